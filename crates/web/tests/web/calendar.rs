//! The calendar for calendar programs.

use axum::body::Body;
use axum::http::{StatusCode, header};

use crate::{Browser, FIRST, demo_books};

fn of_a_split() -> Browser {
    let mut notes = FIRST.to_vec();
    notes.extend([
        "2026-11-01 hive rowan in orchard bars 20",
        "2026-11-02 start alder 8 bars drawn",
        "2026-11-10 split alder bars 3 to 5 into rowan queen stayed",
    ]);
    Browser::of(&notes)
}

#[test]
fn a_calendar_program_gets_whole_days_and_asks_again_cheaply() {
    let browser = of_a_split();
    let first = browser.get("/calendar.ics");
    assert_eq!(first.status, StatusCode::OK, "{}", first.body);
    assert_eq!(
        first.headers[header::CONTENT_TYPE],
        "text/calendar; charset=utf-8"
    );
    let lines: Vec<String> = first
        .body
        .replace("\r\n ", "")
        .split("\r\n")
        .map(str::to_owned)
        .collect();
    let at = lines
        .iter()
        .position(|line| line == "SUMMARY:rowan: look for eggs")
        .expect("it is told");
    let begin = lines[..at]
        .iter()
        .rposition(|line| line == "BEGIN:VEVENT")
        .expect("an event");
    let end = at
        + lines[at..]
            .iter()
            .position(|line| line == "END:VEVENT")
            .expect("its end");
    // 28 days after the split (a rule of keepers); the end of whole days is the day after.
    for line in ["DTSTART;VALUE=DATE:20261208", "DTEND;VALUE=DATE:20261209"] {
        assert!(lines[begin..end].iter().any(|other| other == line), "{line}");
    }
    let tag = first.headers[header::ETAG].to_str().expect("a tag").to_owned();
    let again = |tag: &str| {
        let request = browser
            .request("GET", "/calendar.ics")
            .header(header::IF_NONE_MATCH, tag)
            .body(Body::empty());
        browser.ask(request.expect("a request"))
    };
    let same = again(&format!("\"other\", W/{tag}"));
    assert_eq!((same.status, same.body.as_str()), (StatusCode::NOT_MODIFIED, ""));
    assert_eq!(again("\"other\"").status, StatusCode::OK);
}

#[test]
fn what_goes_on_inside_can_be_left_out_and_one_hive_asked_for() {
    let browser = of_a_split();
    let count = |path: &str| browser.get(path).body.matches("BEGIN:VEVENT").count();
    let (all, asked) = (count("/calendar.ics"), count("/calendar.ics?asked=1"));
    assert!(0 < asked && asked < all, "{asked} of {all}");
    assert_eq!(
        (
            count("/calendar.ics?hive=rowan"),
            count("/calendar.ics?hive=alder")
        ),
        (all, 0)
    );
    assert_eq!(
        browser.get("/calendar.ics?hive=nowhere").status,
        StatusCode::NOT_FOUND
    );
    assert_eq!(
        browser.get("/calendar.ics?on=tomorrow").status,
        StatusCode::UNPROCESSABLE_ENTITY
    );
}

#[test]
fn an_event_keeps_its_id_from_day_to_day() {
    let browser = of_a_split();
    let uids = |path: &str| -> Vec<String> {
        let body = browser.get(path).body.replace("\r\n ", "");
        let mut uids: Vec<String> = body
            .lines()
            .filter(|line| line.starts_with("UID:"))
            .map(|line| line.trim_end().to_owned())
            .collect();
        uids.sort();
        uids
    };
    let all = uids("/calendar.ics");
    assert_eq!(all, uids("/calendar.ics?on=2026-11-12"));
    let mut once = all.clone();
    once.dedup();
    assert_eq!(once.len(), all.len(), "each is its own");
}

#[test]
fn a_secret_address_that_is_none_tells_nothing() {
    let browser = demo_books();
    let answer = browser.get(&format!("/calendar/feed/{}.ics", "0".repeat(64)));
    assert_eq!(answer.status, StatusCode::NOT_FOUND);
    assert_eq!(answer.body, "There is no calendar at this address.\n");
    assert!(answer.headers.get(header::SET_COOKIE).is_none());
    assert_eq!(browser.get("/calendar/feed/x").status, StatusCode::NOT_FOUND);
}
