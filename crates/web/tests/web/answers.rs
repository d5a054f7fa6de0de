//! Pages that answer: for people, for programs, for spreadsheets.

use axum::body::Body;
use axum::http::{StatusCode, header};
use serde_json::Value;

use crate::{Browser, FIRST, demo_books, selector};

/// Every path of our own that a page leads to.
fn leads_to(browser: &Browser, path: &str) -> Vec<String> {
    let html = browser.page(path).html();
    html.select(&selector("main a[href], main form[method=get]"))
        .filter_map(|element| element.attr("href").or_else(|| element.attr("action")))
        .filter(|to| to.starts_with('/'))
        .map(|to| to.split('#').next().unwrap_or_default().to_owned())
        .collect()
}

fn json(browser: &Browser, path: &str) -> (StatusCode, Value) {
    let request = browser
        .request("GET", path)
        .header(header::ACCEPT, "application/json")
        .body(Body::empty());
    let answer = browser.ask(request.expect("a request"));
    assert_eq!(answer.headers[header::CONTENT_TYPE], "application/json");
    (answer.status, serde_json::from_str(&answer.body).expect("JSON"))
}

#[test]
fn nothing_leads_nowhere() {
    let browser = demo_books();
    let pages = [
        "/",
        "/calendar",
        "/calendar?on=2026-05-24",
        "/calendar/phones",
        "/swarms",
        "/swarms?on=2026-05-24",
        "/round/garth?on=2026-05-24",
        "/yard",
        "/honey",
        "/stall",
        "/money",
        "/books",
        "/books/complaints",
        "/books/people",
        "/books/import",
        "/sources",
        "/write",
        "/?on=2026-07-19",
        "/yard?on=2026-07-19",
        "/honey?on=2026-07-19",
    ];
    let mut known: std::collections::BTreeSet<String> = pages.iter().map(|page| (*page).to_owned()).collect();
    let mut to_see: Vec<String> = known.iter().cloned().collect();
    let mut printed = std::collections::BTreeSet::new();
    let mut seen = 0;
    // Two steps from the pages named above; the third is the same in another dress.
    for _ in 0..2 {
        let mut next = Vec::new();
        for path in to_see {
            seen += 1;
            for to in leads_to(&browser, &path) {
                let is_file = to.contains(".csv");
                // Sheets take their time to be set, and have checks of their own.
                if to.starts_with("/print/") {
                    printed.insert(to.split('?').next().unwrap_or_default().to_owned());
                    continue;
                }
                if known.insert(to.clone()) {
                    let answer = browser.get(&to);
                    assert_eq!(answer.status, StatusCode::OK, "{path} leads to {to}");
                    // Of the many hundred notes a few tell enough.
                    if !is_file && (known.len() < 400 || !to.starts_with("/books/note")) {
                        next.push(to);
                    }
                }
            }
        }
        next.truncate(150);
        to_see = next;
    }
    assert!(seen > 50, "{seen}");
    for sheet in [
        "/print/cards.pdf",
        "/print/blank.pdf",
        "/print/round.pdf",
        "/print/card/alder.pdf",
        "/print/hive/alder.pdf",
        "/print/round/garth.pdf",
    ] {
        assert!(printed.contains(sheet), "nothing leads to {sheet}: {printed:?}");
    }
}

#[test]
fn a_day_is_kept_to_and_stepped_through() {
    let browser = demo_books();
    let then = browser.page("/hive/alder?on=2026-07-19");
    assert!(then.body.contains("on=2026-07-18"), "the day before");
    assert!(then.body.contains("on=2026-07-20"), "the day after");
    let now = browser.page("/hive/alder");
    assert!(!now.body.contains("on=2026-11-26"), "no day after today");
    assert!(now.body.contains("on=2026-11-24"));
}

#[test]
fn a_wrong_day_is_told_how_days_are_written() {
    let browser = Browser::of(&FIRST);
    for day in [
        "x",
        "2026-02-30",
        "19.7.2026",
        "20260719",
        "2026-7-1",
        "-1",
        "9999999-01-01",
        "%00",
        "2026-07-19T10:00",
    ] {
        for path in ["/", "/hive/alder", "/books", "/write/flow", "/why/cash"] {
            let answer = browser.get(&format!("{path}?on={day}"));
            assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{path} {day}");
            assert!(
                answer.text().contains("A day is written 2026-07-19"),
                "{}",
                answer.text()
            );
        }
    }
    for day in [
        "",
        "2026-07-19",
        "1900-01-01",
        "-9999-01-01",
        "9999-12-31",
        "+2026-07-19",
    ] {
        let status = browser.get(&format!("/?on={day}")).status;
        assert!(
            status == StatusCode::OK || status == StatusCode::UNPROCESSABLE_ENTITY,
            "{day}"
        );
    }
}

#[test]
fn an_unknown_name_is_asked_back() {
    let browser = Browser::of(&FIRST);
    let answer = browser.get("/hive/aldr");
    assert_eq!(answer.status, StatusCode::NOT_FOUND);
    assert!(
        answer
            .text()
            .contains("No hive is called aldr in these books. Did you mean alder ?"),
        "{}",
        answer.text()
    );
    assert!(answer.body.contains("href=\"/hive/alder\""));
    assert!(
        answer.body.contains("href=\"/yard\""),
        "the other pages are at hand"
    );
}

#[test]
fn what_was_not_there_on_a_day_is_shown_as_of_now() {
    let browser = Browser::of(&FIRST);
    let answer = browser.get("/hive/alder?on=2026-02-01");
    assert_eq!(answer.status, StatusCode::NOT_FOUND);
    assert!(answer.text().contains("on 2026-02-01"), "{}", answer.text());
    assert!(answer.body.contains("href=\"/hive/alder\""), "{}", answer.body);
}

#[test]
fn programs_get_the_answers_that_the_terminal_gives_them() {
    let browser = demo_books();
    for (path, key) in [
        ("/", "to_see"),
        ("/yard", "hives"),
        ("/hive/alder", "bars"),
        ("/honey", "balance"),
        ("/honey", "yields"),
        ("/honey", "ripe"),
        ("/stall", "lots"),
        ("/money", "cash"),
        ("/money?wage=15.00+GBP", "cost"),
        ("/books/complaints", "complaints"),
        ("/books", "notes"),
    ] {
        let (status, json) = json(&browser, path);
        assert_eq!(status, StatusCode::OK, "{path}");
        assert!(json.get(key).is_some(), "{path}: {json}");
    }
    let (_, stock) = json(&browser, "/stall");
    let lot = stock["lots"][0]["lot"].as_str().expect("a lot").to_owned();
    assert_eq!(json(&browser, &format!("/lot/{lot}")).1["lot"], lot);
    let (then, now) = (json(&browser, "/yard?on=2025-06-01").1, json(&browser, "/yard").1);
    assert_ne!(then, now);
}

#[test]
fn programs_are_refused_in_their_own_form() {
    let browser = Browser::of(&FIRST);
    for (path, status) in [
        ("/hive/none", StatusCode::NOT_FOUND),
        ("/nowhere", StatusCode::NOT_FOUND),
        ("/yard?on=x", StatusCode::UNPROCESSABLE_ENTITY),
        ("/sources", StatusCode::NOT_ACCEPTABLE),
    ] {
        let (got, json) = json(&browser, path);
        assert_eq!(got, status, "{path}");
        assert!(json["says"].is_string() && json["hint"].is_string(), "{json}");
    }
}

#[test]
fn a_table_is_had_whole_for_a_spreadsheet() {
    let browser = demo_books();
    let answer = browser.page("/books.csv?find=&table=1");
    assert_eq!(answer.headers[header::CONTENT_TYPE], "text/csv; charset=utf-8");
    let named = answer.headers[header::CONTENT_DISPOSITION]
        .to_str()
        .expect("text");
    assert!(
        named.starts_with("attachment; filename=\"") && named.ends_with(".csv\""),
        "{named}"
    );
    assert!(answer.body.starts_with("Note,"), "{}", &answer.body[..40]);
    assert!(
        answer.body.matches("\r\n").count() > 1_000,
        "every entry, not one part of them"
    );
    let then = browser.page("/yard.csv?table=1&on=2025-06-01");
    assert!(
        then.headers[header::CONTENT_DISPOSITION]
            .to_str()
            .expect("text")
            .contains("2025-06-01")
    );
    for path in [
        "/yard.csv",
        "/yard.csv?table=9",
        "/yard.csv?table=x",
        "/.csv?table=1",
        "/sources.csv?table=1",
    ] {
        assert_eq!(browser.get(path).status, StatusCode::NOT_FOUND, "{path}");
    }
}

#[test]
fn the_head_alone_is_like_the_whole() {
    let browser = Browser::of(&FIRST);
    for path in [
        "/",
        "/hive/alder",
        "/nowhere",
        "/asset/page.js",
        "/yard.csv?table=1",
    ] {
        let whole = browser.get(path);
        let request = browser.request("HEAD", path).body(Body::empty());
        let head = browser.ask(request.expect("a request"));
        assert_eq!(head.status, whole.status, "{path}");
        assert!(head.body.is_empty());
        assert_eq!(
            head.headers[header::CONTENT_TYPE],
            whole.headers[header::CONTENT_TYPE]
        );
        let length = head.headers[header::CONTENT_LENGTH].to_str().expect("text");
        assert_eq!(length, whole.body.len().to_string(), "{path}");
    }
}

#[test]
fn empty_books_have_pages_too() {
    let browser = Browser::of(&[]);
    for path in [
        "/",
        "/yard",
        "/honey",
        "/stall",
        "/money",
        "/books",
        "/books/complaints",
        "/books/people",
        "/sources",
        "/write",
        "/write/look",
        "/note",
        "/books/import",
        "/why/cash",
        "/why/cost",
        "/why/hours",
    ] {
        browser.page(path);
    }
    for path in [
        "/hive/alder",
        "/lot/x",
        "/container/x",
        "/books/note/laptop/1",
        "/books/note/laptop/1/correct",
        "/books/settle",
    ] {
        assert_eq!(browser.get(path).status, StatusCode::NOT_FOUND, "{path}");
    }
}
