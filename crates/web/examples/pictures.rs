//! Takes a picture of every page of the demo books: `cargo xtask pictures`.

#[path = "../tests/browser/driver.rs"]
#[expect(dead_code, reason = "pictures need only a part of what drives the browser")]
mod driver;
#[path = "../tests/browser/http.rs"]
#[expect(dead_code, reason = "the driver is all that is asked here")]
mod http;
#[path = "../tests/browser/paths.rs"]
mod paths;
#[path = "../tests/browser/served.rs"]
#[expect(dead_code, reason = "the demo books are all that is served here")]
mod served;

use std::path::Path;

use driver::{Browser, Script};
use paths::PAGES;
use served::Served;

/// Nobody looks at more than this of a picture, in px; what lies below is cut off.
const TALLEST: f64 = 2400.0;

/// The pages whose look in the dark is shown too.
const ALSO_DARK: &[&str] = &["round", "hive"];

fn main() {
    let folder = std::env::args()
        .nth(1)
        .expect("the folder that the pictures go to");
    let folder = Path::new(&folder);
    let served = Served::demo();
    for width in [320, 1440] {
        let browser = Browser::open(width, Script::On);
        for (name, path) in PAGES {
            browser.visit(&served.address(path));
            save(
                &folder.join(format!("{name}-{width}.png")),
                &browser.picture(TALLEST),
            );
            if ALSO_DARK.contains(name) {
                browser.prefers("dark");
                save(
                    &folder.join(format!("{name}-dark-{width}.png")),
                    &browser.picture(TALLEST),
                );
                browser.prefers("light");
            }
        }
    }
}

fn save(file: &Path, png: &[u8]) {
    std::fs::write(file, png).unwrap_or_else(|error| panic!("{}: {error}", file.display()));
}
