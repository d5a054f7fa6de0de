//! A phone that reaches the books under another name than `localhost`: with the farm's certificate taken in it works
//! without a signal, and without it the pages say what to do.

use crate::checks;
use crate::driver::{Browser, Script};
use crate::field::{BOOKS, notes};
use crate::http;
use crate::phone::Phone;
use crate::served::{HOST, Served};

/// The phone is in the network of the machine: its name is found.
const THERE: &str = "--host-resolver-rules=MAP maple.local 127.0.0.1";

/// The phone is out in the field: nobody answers under the name.
const AWAY: &str = "--host-resolver-rules=MAP maple.local 127.0.0.1:9";

/// Brings the code of the machine to it.
fn pairs(phone: &Phone, served: &Served) {
    let code = served.code().text;
    // As the camera reads it off the screen of the machine.
    let path = format!("/pair#{code}");
    phone.browser.visit(&served.address_beyond("https", &path));
    let field = phone
        .browser
        .find("main [name=code]")
        .expect("a code is asked for");
    assert_eq!(field.property("value"), code);
    let fill = |name: &str, value: &str| {
        let field = phone.browser.find(&format!("main [name={name}]"));
        field
            .unwrap_or_else(|| panic!("no {name}: {}", phone.says()))
            .types(value);
    };
    fill("name", "green phone");
    fill("by", "p-1");
    phone.picture("pair-phone");
    let button = phone.browser.find("main button[value=pair]").expect("a button");
    button.follow();
    assert!(phone.says().contains("This phone is paired"), "{}", phone.says());
}

#[test]
fn with_the_farms_certificate_a_phone_works_without_a_signal_under_another_name() {
    let served = Served::beyond(BOOKS);
    let profile = Browser::fresh_profile();
    let host = format!("{HOST}:{}", served.port_beyond);
    let certificate = http::ask_as(served.port_beyond, &host, "GET", "/ca.crt", &[], b"").expect("an answer");
    assert_eq!(
        certificate.header("content-type"),
        Some("application/x-x509-ca-cert")
    );
    Browser::takes_in(&profile, &certificate.body);
    let mut phone = Phone::with_flags(profile, &[THERE]);
    phone.browser.visit(&served.address_beyond("https", "/field"));
    assert!(
        phone.says().contains("not paired"),
        "nothing is shown before: {}",
        phone.says()
    );
    pairs(&phone, &served);
    phone
        .browser
        .find("main a[href='/field']")
        .expect("a link")
        .follow();
    phone.waits_until(
        "the page is kept",
        "return document.documentElement.dataset.kept === 'yes'",
    );
    let is_trusted = phone
        .browser
        .run("return isSecureContext && location.hostname", &[]);
    assert_eq!(is_trusted, HOST);
    phone.waits_until(
        "the hives are there",
        "return document.querySelector('.hives button') !== null",
    );
    assert!(
        !phone.says().contains("cannot work without a signal"),
        "{}",
        phone.says()
    );
    let profile = phone.browser.closes();

    phone = Phone::with_flags(profile, &[AWAY]);
    phone.browser.visit(&served.address_beyond("https", "/field"));
    phone.taps("hive birch");
    phone.taps("begin");
    phone.taps("main");
    phone.taps("end");
    phone.taps("keep look");
    phone.waits_until("it waits", "return document.body.innerText.includes('2 waiting')");
    assert_eq!(notes(&served), Vec::<String>::new());
    let profile = phone.browser.closes();

    phone = Phone::with_flags(profile, &[THERE]);
    phone.browser.visit(&served.address_beyond("https", "/field"));
    phone.sends_all();
    let birch = ["look birch bar 1 as before", "look birch stopped 1"];
    assert_eq!(notes(&served), birch);

    // The phone is lost, and stopped at the machine.
    assert_eq!(served.stops_all(), 1);
    phone.taps("words");
    phone
        .browser
        .find("#words")
        .expect("a box")
        .types("feed birch syrup 1 kg");
    phone.taps("keep words");
    phone.waits_until(
        "it is told",
        "return document.body.innerText.includes('was stopped at the machine')",
    );
    assert!(phone.says().contains("1 waiting"), "{}", phone.says());
    assert_eq!(notes(&served), birch);
}

#[test]
fn without_the_farms_certificate_a_phone_is_told_what_to_do() {
    let served = Served::beyond(BOOKS);
    let mut phone = Phone::with_flags(Browser::fresh_profile(), &[THERE]);
    let field = served.address_beyond("https", "/field");
    let refused = "return document.body.innerText.includes('ERR_CERT_AUTHORITY_INVALID')";
    phone.browser.tries_to_visit(&field);
    phone.waits_until("the browser refuses it", refused);

    // The address that is not encrypted says what to do, and nothing of the books.
    phone.browser.visit(&served.address_beyond("http", "/field"));
    let says = phone.says();
    for said in [
        "a browser lets no page from here work without a signal",
        "1. Take in the certificate",
        "2. Open the encrypted address",
        "A page opened past a warning does not work without a signal",
    ] {
        assert!(says.contains(said), "{said}: {says}");
    }
    assert!(!says.contains("birch"), "{says}");
    phone.measures(320, 640);
    assert_eq!(checks::all(&phone.browser), Vec::<String>::new());
    phone.picture("untrusted");

    // Whoever presses on past the warning of the browser is told on the page itself.
    phone.browser.tries_to_visit(&field);
    phone.waits_until("the browser refuses it", refused);
    phone.browser.keys("thisisunsafe");
    phone.waits_until(
        "the page is shown",
        "return document.body.innerText.includes('not paired')",
    );
    pairs(&phone, &served);
    phone.browser.visit(&field);
    phone.waits_until(
        "it is told",
        "return document.body.innerText.includes('cannot work without a signal')",
    );
    phone.picture("past-the-warning");
    // The certificate that the browser refuses is told to the console by the browser itself.
    phone.browser.console();
    assert_eq!(checks::of_screen(&phone.browser), Vec::<String>::new());
    phone.taps("what to do");
    phone.waits_until(
        "it is explained",
        "return document.body.innerText.includes('Take in the certificate')",
    );
}

#[test]
fn the_page_for_pairing_is_well_before_and_after_a_code_is_made() {
    let served = Served::demo_beyond();
    for width in [320, 1440] {
        let browser = Browser::open(width, Script::On);
        browser.visit(&served.address("/pair"));
        assert_eq!(checks::all(&browser), Vec::<String>::new(), "at {width} px");
        let make = browser.find("main button[value=code]");
        make.expect("a code can be made").follow();
        let says = browser.find("main").expect("a page").text();
        assert!(
            says.contains(&format!("https://{HOST}:{}/pair#", web::LAN_PORT)),
            "{says}"
        );
        assert_eq!(
            checks::all(&browser),
            Vec::<String>::new(),
            "with a code, at {width} px"
        );
    }
}
