//! The checks themselves, on two small pages made by hand: one that is well and one that is not.

use std::io::{BufRead as _, BufReader, Write as _};
use std::net::{Ipv4Addr, TcpListener};

use crate::checks;
use crate::driver::{Browser, Script};

const WELL: &str = r#"<!doctype html><html lang="en"><head><title>Well</title>
<meta name="viewport" content="width=device-width, initial-scale=1"></head>
<body><main><h1>Well</h1><h2>Part</h2><p><a href="/other">Other</a></p>
<form action="/sent"><label for="hive">Hive</label><input id="hive" name="hive"><button>Send</button></form>
</main></body></html>"#;

const ILL: &str = r#"<!doctype html><html lang="en"><head><title>Ill</title>
<meta name="viewport" content="width=device-width, initial-scale=1"><style>a:focus { outline: none }</style></head>
<body><main><h1>Ill</h1><h3>Part</h3><p><a href="/other">Other</a></p><div style="width: 700px">wide</div>
<form action="/sent"><input name="hive"><button tabindex="2">Send</button><button tabindex="1">Ask</button></form>
<script>console.warn('odd')</script></main></body></html>"#;

#[test]
fn the_checks_pass_a_page_that_is_well_and_tell_each_fault_of_one_that_is_not() {
    let port = serve_by_hand();
    let browser = Browser::open(320, Script::On);
    browser.visit(&format!("http://127.0.0.1:{port}/well"));
    assert_eq!(checks::all(&browser), Vec::<String>::new());
    browser.visit(&format!("http://127.0.0.1:{port}/ill"));
    let wrong = checks::all(&browser).join("\n");
    for fault in [
        "in the console: WARNING:",
        "the page is 708 px wide in a window of 320 px",
        "after level 1 comes level 3: Part",
        "out of order: ",
        "the focus is not seen on a “Other”",
        "axe: label (critical)",
    ] {
        assert!(wrong.contains(fault), "{fault} is missing among:\n{wrong}");
    }
}

#[test]
fn a_browser_without_scripts_is_driven_all_the_same() {
    let port = serve_by_hand();
    let browser = Browser::open(320, Script::Off);
    browser.visit(&format!("http://127.0.0.1:{port}/ill"));
    assert_eq!(
        checks::console(&browser),
        Vec::<String>::new(),
        "the script did not run"
    );
    browser.visit(&format!("http://127.0.0.1:{port}/well"));
    assert_eq!(checks::all(&browser), Vec::<String>::new());
    let field = browser.find("#hive").expect("there is a field");
    field.types("maple");
    assert_eq!(field.property("value"), "maple");
    browser.find("button").expect("there is a button").follow();
    assert_eq!(
        browser.address(),
        format!("http://127.0.0.1:{port}/sent?hive=maple")
    );
}

/// Serves the two pages until the test ends.
fn serve_by_hand() -> u16 {
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).expect("a free port");
    let port = listener.local_addr().expect("it has a port").port();
    std::thread::spawn(move || {
        for stream in listener.incoming().flatten() {
            // A browser opens connections ahead of need; one that stays silent must not hold up the others.
            std::thread::spawn(move || {
                let mut lines = BufReader::new(&stream).lines().map_while(Result::ok);
                let asked = lines.next().unwrap_or_default();
                lines.take_while(|line| !line.is_empty()).for_each(drop);
                let page = if asked.contains("/ill") { ILL } else { WELL };
                let kind = "Content-Type: text/html; charset=utf-8\r\nConnection: close";
                let _ = write!(
                    &stream,
                    "HTTP/1.1 200 OK\r\n{kind}\r\nContent-Length: {}\r\n\r\n{page}",
                    page.len()
                );
            });
        }
    });
    port
}
