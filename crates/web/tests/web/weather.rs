//! Daily weather brought in through its page.

use axum::body::Body;
use axum::http::{StatusCode, header};

use crate::{Answer, Browser, FIRST, Fields, with};

const BEGIN: &str = "/books/weather";
const WRITE: &str = "/books/weather/write";
const SPRING: &str = "date,tmin_c,tmax_c,rain_mm\n2026-04-01,2.5,11,0\n2026-04-02,3,12.5,4.2\n2026-04-03,,,\n2026-04-04,1,9,\n";

fn upload(browser: &Browser, bytes: &str, filled: &[(&str, &str)]) -> Answer {
    let fields: Fields = with(&browser.page(BEGIN).form(BEGIN), filled);
    let part =
        |head: &str, body: &str| format!("--xyz\r\nContent-Disposition: form-data; {head}\r\n\r\n{body}\r\n");
    let fields: String = fields
        .iter()
        .filter(|(key, _)| *key != "file")
        .map(|(key, value)| part(&format!("name=\"{key}\""), value))
        .collect();
    let body = fields + &part("name=\"file\"; filename=\"spring.csv\"", bytes) + "--xyz--\r\n";
    let request = browser
        .request("POST", BEGIN)
        .header(header::CONTENT_TYPE, "multipart/form-data; boundary=xyz")
        .body(Body::from(body));
    browser.ask(request.expect("a request"))
}

#[test]
fn weather_is_shown_before_it_is_written_and_written_once() {
    let browser = Browser::of(&FIRST);
    assert!(
        browser
            .page(BEGIN)
            .text()
            .contains("No weather is in the books yet")
    );
    let shown = upload(&browser, SPRING, &[("yard", "orchard")]);
    assert_eq!(shown.status, StatusCode::OK, "{}", shown.text());
    let text = shown.text();
    for says in [
        "3 days from 2026-04-01 to 2026-04-04, read as daily CSV",
        "Coldest 1.0 °C on 2026-04-04, hottest 12.5 °C on 2026-04-02",
        "1 day between the first and the last lacks",
        "Nothing is written yet",
    ] {
        assert!(text.contains(says), "{says}: {text}");
    }
    assert_eq!(browser.count(), 3);
    let form = shown.form(WRITE);
    let stale = browser.post(WRITE, &with(&form, &[("token", "x")]));
    assert_eq!(stale.status, StatusCode::FORBIDDEN);
    assert_eq!(browser.count(), 3);
    let written = browser.post(WRITE, &form);
    assert_eq!(written.status, StatusCode::SEE_OTHER, "{}", written.text());
    let again = browser.post(WRITE, &form);
    assert_eq!(again.location(), written.location(), "one receipt");
    assert_eq!(browser.count(), 4);
    let page = browser.page(&written.location()).text();
    assert!(page.contains("3 days of weather from spring.csv"), "{page}");
    assert!(page.contains("2026-04-01 to 2026-04-04"), "{page}");
    // The same file again is known, and another yard has its own.
    let known = upload(&browser, SPRING, &[("yard", "orchard")]).text();
    assert!(known.contains("It is in the books already"), "{known}");
}

#[test]
fn what_cannot_be_read_is_told_and_nothing_is_written() {
    let browser = Browser::of(&FIRST);
    for (bytes, filled, says) in [
        ("date,tmin_c\n2026-04-01,2\n", ("yard", "orchard"), "tmax_c"),
        ("date,tmin_c,tmax_c\n2026-04-01,2,x\n", ("yard", "orchard"), "x"),
        ("date,tmin_c,tmax_c\n", ("yard", "orchard"), "no day"),
        ("", ("yard", "orchard"), "header"),
        (SPRING, ("yard", "orchid"), "did you mean orchard"),
        (
            SPRING,
            ("station", "a b\" note \"c"),
            "letters, digits and hyphens",
        ),
        (SPRING, ("station", "XX1"), "no stations"),
    ] {
        let filled = with(&Fields::from([("yard".into(), "orchard".into())]), &[filled]);
        let filled: Vec<(&str, &str)> = filled
            .iter()
            .map(|(key, value)| (key.as_str(), value.as_str()))
            .collect();
        let answer = upload(&browser, bytes, &filled);
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{bytes}");
        assert!(answer.text().contains(says), "{says}: {}", answer.text());
        assert_eq!(browser.count(), 3);
    }
}

/// A page that was left open until the program forgot the file asks for it again.
#[test]
fn a_file_that_is_gone_is_asked_for_again() {
    let browser = Browser::of(&FIRST);
    let shown = upload(&browser, SPRING, &[("yard", "orchard")]);
    let form = with(&shown.form(WRITE), &[("sheet", "0123456789abcdef")]);
    let answer = browser.post(WRITE, &form);
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(answer.text().contains("no longer at hand"), "{}", answer.text());
    assert_eq!(browser.count(), 3);
}
