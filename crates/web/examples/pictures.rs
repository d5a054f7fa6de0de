//! Takes pictures of the pages of the demo books: `cargo xtask pictures`.

#[path = "../tests/browser/driver.rs"]
#[expect(dead_code, reason = "pictures need only a part of what drives the browser")]
mod driver;
#[path = "../tests/browser/http.rs"]
#[expect(dead_code, reason = "the driver is all that is asked here")]
mod http;
#[path = "../tests/browser/paths.rs"]
mod paths;
#[path = "../tests/browser/phone.rs"]
#[expect(dead_code, reason = "pictures need only a part of what a phone does")]
mod phone;
#[path = "../tests/browser/served.rs"]
#[expect(dead_code, reason = "the demo books are all that is served here")]
mod served;

use std::path::Path;

use driver::{Browser, Script};
use paths::PAGES;
use phone::Phone;
use serde_json::json;
use served::Served;

/// Nobody looks at more than this of a picture, in px; what lies below is cut off.
const TALLEST: f64 = 1800.0;

/// The pages whose look in the dark is shown too.
const ALSO_DARK: &[&str] = &["round", "hive"];

fn main() {
    let folder = std::env::args()
        .nth(1)
        .expect("the folder that the pictures go to");
    let folder = Path::new(&folder);
    // Named, only the pages for the field are taken anew.
    field(folder);
    if std::env::args().nth(2).as_deref() == Some("field") {
        return;
    }
    let served = Served::demo();
    for width in [320, 1440] {
        let browser = Browser::open(width, Script::On);
        for (name, path) in PAGES {
            browser.visit(&served.address(path));
            save(&folder.join(format!("{name}-{width}.png")), &picture(&browser));
            if ALSO_DARK.contains(name) {
                browser.prefers("dark");
                save(
                    &folder.join(format!("{name}-dark-{width}.png")),
                    &picture(&browser),
                );
                browser.prefers("light");
            }
        }
    }
}

/// The pages for the field, as a phone shows them, and as a wide window does.
fn field(folder: &Path) {
    let served = Served::demo_beyond();
    for (width, height) in [(320, 640), (1440, 900)] {
        let keep = |phone: &Phone, name: &str| {
            save(
                &folder.join(format!("field-{name}-{width}.png")),
                &phone.browser.picture(),
            );
        };
        let mut phone = Phone::new();
        phone.measures(width, height);
        // The phone's clock stands at the day of the demo books.
        let day = format!(
            "const Real = Date; globalThis.Date = class extends Real {{ constructor(...a) {{ \
             a.length ? super(...a) : super('{}T10:40') }} }};",
            app::demo::TODAY
        );
        let script = json!({ "source": day });
        phone
            .browser
            .chromium("Page.addScriptToEvaluateOnNewDocument", &script);
        phone.opens_and_keeps(&served.address("/field"));
        keep(&phone, "start");
        phone.taps("hive alder");
        phone.taps("begin");
        phone.taps("after");
        phone.taps("after");
        keep(&phone, "bar");
        phone.sets("cells sealed", "2");
        phone.taps("column cells sealed");
        keep(&phone, "cells");
        phone.taps("main");
        phone.taps("main");
        phone.taps("end");
        let away = json!({ "offline": true, "latency": 0, "downloadThroughput": -1, "uploadThroughput": -1 });
        phone.browser.chromium("Network.enable", &json!({}));
        phone.browser.chromium("Network.emulateNetworkConditions", &away);
        phone.taps("keep look");
        phone.taps("waiting");
        phone.waits_until(
            "it is told",
            "return document.body.innerText.includes('Not sent yet')",
        );
        keep(&phone, "waiting");
    }
    for width in [320, 1440] {
        let browser = Browser::open(width, Script::On);
        browser.visit(&format!("http://127.0.0.1:{}/", served.port_beyond));
        save(
            &folder.join(format!("field-untrusted-{width}.png")),
            &picture(&browser),
        );
        browser.visit(&served.address("/pair"));
        let make = browser.find("main button[value=code]");
        make.expect("a code can be made").follow();
        save(&folder.join(format!("pair-{width}.png")), &picture(&browser));
    }
}

fn save(file: &Path, png: &[u8]) {
    std::fs::write(file, png).unwrap_or_else(|error| panic!("{}: {error}", file.display()));
}

/// The page that is open, as a PNG.
fn picture(browser: &Browser) -> Vec<u8> {
    let size = &browser.chromium("Page.getLayoutMetrics", &json!({}))["cssContentSize"];
    let width = size["width"].as_f64().expect("a page has a width");
    let height = size["height"].as_f64().expect("a page has a height").min(TALLEST);
    let clip = json!({ "x": 0, "y": 0, "width": width, "height": height, "scale": 1 });
    let wanted = json!({ "format": "png", "captureBeyondViewport": true, "clip": clip });
    let taken = browser.chromium("Page.captureScreenshot", &wanted);
    from_base64(taken["data"].as_str().expect("a picture"))
}

/// Bytes as JSON carries them: four letters for three bytes.
fn from_base64(text: &str) -> Vec<u8> {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let place = |letter: u8| LETTERS.iter().position(|known| *known == letter);
    let (mut bytes, mut bits, mut held) = (Vec::new(), 0, 0);
    for six in text.bytes().map_while(place) {
        bits = ((bits << 6) | six) & 0xffff;
        held += 6;
        if held >= 8 {
            held -= 8;
            bytes.push(u8::try_from((bits >> held) & 0xff).expect("BUG: eight bits are a byte"));
        }
    }
    bytes
}
