//! A spreadsheet brought in step by step.

use axum::body::Body;
use axum::http::{StatusCode, header};

use crate::{Answer, Browser, FIRST, selector, with};

const BEGIN: &str = "/books/import";
const SHEET: &str = "Day,Weather\r\n2026-05-01,begins\r\n2026-05-20,ends\r\n2026-05-21,wobbles\r\n";

fn upload(browser: &Browser, name: &str, bytes: &str, token: &str) -> Answer {
    let part =
        |head: &str, body: &str| format!("--xyz\r\nContent-Disposition: form-data; {head}\r\n\r\n{body}\r\n");
    let body = part("name=\"token\"", token)
        + &part(&format!("name=\"file\"; filename=\"{name}\""), bytes)
        + "--xyz--\r\n";
    let request = browser
        .request("POST", BEGIN)
        .header(header::CONTENT_TYPE, "multipart/form-data; boundary=xyz")
        .body(Body::from(body));
    browser.ask(request.expect("a request"))
}

fn token(browser: &Browser) -> String {
    browser.page(BEGIN).form(BEGIN)["token"].clone()
}

fn mapped(browser: &Browser) -> Answer {
    let to = upload(browser, "bloom.csv", SHEET, &token(browser));
    assert_eq!(to.status, StatusCode::SEE_OTHER, "{}", to.text());
    let page = browser.page(&to.location());
    assert!(page.text().contains("wobbles"), "the first rows are shown");
    let form = page.form(BEGIN);
    let page = browser.page(&format!("{BEGIN}?sheet={}&verb=flow", form["sheet"]));
    let map = "/books/import/map";
    let form = page.form(map);
    assert_eq!(
        form["fill.day"], "Day",
        "a column fills the key that it is headed with"
    );
    let filled = with(&form, &[("fill.what", "Weather")]);
    browser.post(map, &filled)
}

#[test]
fn rows_become_notes_once_they_were_shown() {
    let browser = Browser::of(&FIRST);
    let shown = mapped(&browser);
    assert_eq!(shown.status, StatusCode::OK, "{}", shown.text());
    assert!(
        shown.text().contains("2026-05-01 flow begins"),
        "{}",
        shown.text()
    );
    assert_eq!(browser.count(), 3);
    let write = "/books/import/write";
    let refused = browser.post(write, &shown.form(write));
    assert_eq!(
        refused.status,
        StatusCode::UNPROCESSABLE_ENTITY,
        "one row is no note, so none is written"
    );
    assert_eq!(browser.count(), 3);
    let stale = browser.post(
        write,
        &with(&shown.form(write), &[("keep", "yes"), ("token", "x")]),
    );
    assert_eq!(stale.status, StatusCode::FORBIDDEN);
    assert_eq!(browser.count(), 3);
    let written = browser.post(write, &with(&shown.form(write), &[("keep", "yes")]));
    assert_eq!(written.status, StatusCode::SEE_OTHER, "{}", written.text());
    assert_eq!(browser.count(), 5);
    let page = browser.page(&written.location());
    assert!(page.text().contains("2 notes from bloom.csv"), "{}", page.text());
    let html = page.html();
    let rows = html
        .select(&selector("a"))
        .filter_map(|a| a.attr("href"))
        .find(|to| to.contains("/refused/"))
        .expect("the refused rows")
        .to_owned();
    assert!(browser.page(&rows).body.contains("wobbles"));
    browser.post(write, &with(&shown.form(write), &[("keep", "yes")]));
    assert_eq!(browser.count(), 5, "twice changes nothing");
}

#[test]
fn a_sheet_that_is_gone_or_none_is_asked_for_again() {
    let browser = Browser::of(&FIRST);
    let token = token(&browser);
    for (name, bytes) in [
        ("a.csv", ""),
        ("a.xlsx", "no workbook"),
        ("a.ods", "x"),
        ("a.csv", "\"open\r\n"),
    ] {
        let to = upload(&browser, name, bytes, &token);
        let page = browser.get(&to.location());
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{name}");
        assert!(page.html().select(&selector("input[type=file]")).next().is_some());
    }
    let gone = browser.get(&format!("{BEGIN}?sheet=0123456789abcdef"));
    assert_eq!(gone.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(gone.text().contains("no longer at hand"), "{}", gone.text());
    assert_eq!(
        upload(&browser, "", "", &token).status,
        StatusCode::UNPROCESSABLE_ENTITY
    );
    assert_eq!(
        upload(&browser, "a.csv", SHEET, "x").status,
        StatusCode::FORBIDDEN
    );
    let large = "x".repeat(11 << 20);
    assert_eq!(
        upload(&browser, "a.csv", &large, &token).status,
        StatusCode::PAYLOAD_TOO_LARGE
    );
}

#[test]
fn a_file_in_pieces_that_do_not_fit_is_no_form() {
    let browser = Browser::of(&FIRST);
    for (kind, body) in [
        (
            "multipart/form-data; boundary=xyz",
            "--xyz\r\nContent-Disposition: form-data; name=\"file\"",
        ),
        ("multipart/form-data", "x"),
        ("text/plain", "file=x"),
        ("application/x-www-form-urlencoded", "file=x"),
    ] {
        let request = browser
            .request("POST", BEGIN)
            .header(header::CONTENT_TYPE, kind)
            .body(Body::from(body));
        let answer = browser.ask(request.expect("a request"));
        assert_eq!(answer.status, StatusCode::UNSUPPORTED_MEDIA_TYPE, "{kind}");
    }
}
