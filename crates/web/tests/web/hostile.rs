//! Whatever is typed into an address or a note: no page breaks, and a name stays a name.

use axum::body::Body;
use axum::http::Request;

use crate::{Browser, HOST, selector, with};

const NAMES: [&str; 30] = [
    "%",
    "%2",
    "%zz",
    "%00",
    "%ff%fe",
    "%c0%af",
    "%2e%2e%2f%2e%2e%2fetc%2fpasswd",
    "..%2f..",
    "..",
    ".",
    "%0d%0aset-cookie:%20a=b",
    "%3Cscript%3Ealert(1)%3C/script%3E",
    "%22%3E%3Cimg%20src=x%20onerror=alert(1)%3E",
    "'%20or%201=1--",
    "%E2%80%AE",
    "%F0%9F%90%9D",
    "a%2Fb",
    "a%3Fb%3Dc",
    "a%23b",
    "+",
    "%20",
    "a;b",
    "a=b&c",
    "alder.csv",
    "1e999",
    "-1",
    "18446744073709551616",
    "{{7*7}}",
    "%25%32%66",
    "aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa",
];

#[test]
fn no_address_breaks_a_page() {
    let browser = Browser::of(&crate::FIRST);
    let mut asked = 0;
    for name in NAMES {
        for path in [
            "/{}",
            "/hive/{}",
            "/lot/{}",
            "/container/{}",
            "/why/{}",
            "/why/hive/{}",
            "/why/lot/{}/made",
            "/books/note/{}/1",
            "/books/note/laptop/{}",
            "/books/note/laptop/{}/correct",
            "/write/{}",
            "/write/look?form={}",
            "/write/look?day={}&bars.hive={}&once={}&back={}",
            "/asset/{}",
            "/books?find={}&part={}",
            "/books/settle?of={}",
            "/books/people?id={}",
            "/books/people/erase?id={}",
            "/books/import?sheet={}&verb={}&named={}",
            "/books/import/refused/{}",
            "/money?wage={}",
            "/yard?part={}&done={}",
            "/yard.csv?table={}",
            "/?on={}",
        ] {
            let path = path.replace("{}", name);
            for accept in ["text/html", "application/json"] {
                let request = Request::builder()
                    .uri(&path)
                    .header("host", HOST)
                    .header("accept", accept)
                    .header("referer", format!("http://{HOST}/{name}"));
                let Ok(request) = request.body(Body::empty()) else {
                    continue;
                };
                let answer = browser.ask(request);
                asked += 1;
                assert!(!answer.status.is_server_error(), "{path}: {}", answer.body);
                assert!(!answer.headers.contains_key("set-cookie: a"));
                if answer.headers["content-type"] != "application/json" {
                    assert!(!answer.body.contains("<script>alert"), "{path}");
                    assert!(!answer.body.contains("<img"), "{path}");
                }
            }
        }
    }
    assert!(asked > 1_000, "{asked}");
}

#[test]
fn no_form_breaks_a_page() {
    let browser = Browser::of(&crate::FIRST);
    let token = browser.page("/note").form("/note")["token"].clone();
    for name in NAMES {
        for path in [
            "/note",
            "/note/preview",
            "/write/look",
            "/write/look?form=0",
            "/write/look/preview",
            "/write/cut?form=1",
            "/books/note/laptop/1/correct",
            "/books/note/laptop/1/withdraw",
            "/books/settle",
            "/books/people",
            "/books/people/erase",
            "/books/import/map",
            "/books/import/write",
        ] {
            let typed = name.replace('%', "%25");
            let body = [
                "line", "day", "once", "entries", "shown", "press", "form", "of", "back", "id", "other",
                "sheet", "fill.day", "verb",
            ]
            .map(|key| format!("{key}={typed}"))
            .join("&");
            for body in [format!("{body}&token={token}"), name.to_owned()] {
                let request = browser
                    .request("POST", path)
                    .header("content-type", "application/x-www-form-urlencoded")
                    .body(Body::from(body));
                let answer = browser.ask(request.expect("a request"));
                assert!(!answer.status.is_server_error(), "{path} {name}: {}", answer.body);
            }
        }
    }
    assert_eq!(browser.count(), 3);
}

#[test]
fn names_that_look_like_markup_stay_names() {
    let evil = "<script>alert(1)</script><img src=x onerror=alert(1)>";
    let farm = format!("2026-03-01 farm \"{evil}\"");
    let spend = format!("2026-03-01 spend 1.00 GBP on \"{evil}\" # {evil}");
    let browser = Browser::of(&[&farm, "2026-03-01 yard orchard", &spend]);
    let form = browser.page("/note").form("/note");
    let typed = browser.post("/note", &with(&form, &[("line", evil), ("press", "look")]));
    let mut pages = vec![typed];
    for path in [
        "/",
        "/yard",
        "/books",
        "/books/note/laptop/1",
        "/books/note/laptop/3",
        "/books/note/laptop/3/correct",
        "/money",
        "/nowhere",
    ] {
        pages.push(browser.get(path));
    }
    let find = form_urlencoded::byte_serialize(evil.as_bytes()).collect::<String>();
    pages.push(browser.get(&format!("/books?find={find}")));
    for page in pages {
        let html = page.html();
        let scripts: Vec<_> = html
            .select(&selector("script"))
            .filter_map(|script| script.attr("src"))
            .collect();
        assert_eq!(scripts, ["/asset/page.js"]);
        assert_eq!(html.select(&selector("script")).count(), 1);
        assert_eq!(
            html.select(&selector("img, [onerror], [onclick], [style], base, iframe"))
                .count(),
            0
        );
    }
    assert!(browser.page("/").text().contains(evil), "the farm keeps its name");
}
