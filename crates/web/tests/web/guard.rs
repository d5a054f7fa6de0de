//! Who may ask, who may send, and what every answer carries.

use axum::body::Body;
use axum::http::{HeaderMap, Request, StatusCode, header};

use crate::{Browser, FIRST, HOST, books, desk, encoded, with};

const LINE: &str = "/note";

#[track_caller]
fn is_protected(headers: &HeaderMap, what: &str) {
    for (name, value) in [
        ("x-content-type-options", "nosniff"),
        ("referrer-policy", "same-origin"),
        ("cross-origin-opener-policy", "same-origin"),
        ("cross-origin-resource-policy", "same-origin"),
    ] {
        assert_eq!(headers[name], value, "{what}");
    }
    let policy = headers["content-security-policy"].to_str().expect("text");
    for part in [
        "default-src 'none'",
        "script-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    ] {
        assert!(policy.contains(part), "{what}: {policy}");
    }
    assert!(!policy.contains("unsafe"), "{what}: {policy}");
    let kept = headers[header::CACHE_CONTROL].to_str().expect("text");
    assert!(kept.contains("no-cache"), "{what}: {kept}");
}

#[test]
fn every_kind_of_answer_is_protected() {
    let browser = Browser::of(&FIRST);
    for (method, path, status) in [
        ("GET", "/", StatusCode::OK),
        ("GET", "/write/flow", StatusCode::OK),
        ("GET", "/asset/style.css", StatusCode::OK),
        ("GET", "/asset/none.css", StatusCode::NOT_FOUND),
        ("GET", "/nowhere", StatusCode::NOT_FOUND),
        ("GET", "/hive/none", StatusCode::NOT_FOUND),
        ("GET", "/yard?on=never", StatusCode::UNPROCESSABLE_ENTITY),
        ("DELETE", "/yard", StatusCode::METHOD_NOT_ALLOWED),
        ("POST", "/yard", StatusCode::METHOD_NOT_ALLOWED),
        ("POST", "/asset/style.css", StatusCode::METHOD_NOT_ALLOWED),
        ("GET", "/note/preview", StatusCode::METHOD_NOT_ALLOWED),
        ("POST", "/note", StatusCode::UNSUPPORTED_MEDIA_TYPE),
        ("POST", "/nowhere", StatusCode::NOT_FOUND),
        ("OPTIONS", "/", StatusCode::METHOD_NOT_ALLOWED),
        ("CONNECT", "/", StatusCode::METHOD_NOT_ALLOWED),
    ] {
        let request = browser
            .request(method, path)
            .body(Body::empty())
            .expect("a request");
        let answer = browser.ask(request);
        assert_eq!(answer.status, status, "{method} {path}: {}", answer.body);
        is_protected(&answer.headers, path);
        if status == StatusCode::METHOD_NOT_ALLOWED {
            assert!(answer.headers.contains_key(header::ALLOW), "{method} {path}");
        }
    }
}

#[test]
fn another_name_for_this_machine_gets_no_page() {
    let browser = Browser::of(&FIRST);
    for host in [
        "example.com",
        "example.com:8436",
        "127.0.0.1:80",
        "0.0.0.0:8436",
        "",
    ] {
        for path in ["/", "/asset/page.js", "/nowhere"] {
            let request = Request::builder()
                .uri(path)
                .header(header::HOST, host)
                .body(Body::empty());
            let answer = browser.ask(request.expect("a request"));
            assert_eq!(answer.status, StatusCode::MISDIRECTED_REQUEST, "{host}{path}");
            assert!(!answer.headers.contains_key(header::SET_COOKIE));
            assert!(!answer.body.contains("alder"), "{}", answer.body);
            is_protected(&answer.headers, host);
        }
    }
    let request = Request::builder()
        .uri("/")
        .body(Body::empty())
        .expect("a request");
    assert_eq!(browser.ask(request).status, StatusCode::MISDIRECTED_REQUEST);
}

#[test]
fn a_page_of_somebody_else_has_nothing_written() {
    let browser = Browser::of(&FIRST);
    let form = browser.page(LINE).form(LINE);
    let form = with(
        &form,
        &[
            ("line", "2026-03-03 flow ends"),
            ("press", "write"),
            ("shown", "2026-03-03 flow ends"),
        ],
    );
    for (name, value) in [
        ("origin", "http://example.com"),
        ("origin", "null"),
        ("origin", "http://127.0.0.1:3000"),
        ("sec-fetch-site", "cross-site"),
        ("sec-fetch-site", "same-site"),
    ] {
        let request = browser
            .request("POST", LINE)
            .header(name, value)
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded")
            .body(Body::from(encoded(&form)))
            .expect("a request");
        let answer = browser.ask(request);
        assert_eq!(answer.status, StatusCode::FORBIDDEN, "{name}: {value}");
        assert!(!answer.body.contains("flow ends"), "nothing of it is shown");
        is_protected(&answer.headers, value);
    }
    assert_eq!(browser.count(), 3);
}

#[test]
fn the_cookie_is_for_this_host_alone_and_is_set_once() {
    let browser = Browser::of(&FIRST);
    let first = browser.page("/");
    let set = first.headers[header::SET_COOKIE].to_str().expect("text");
    assert!(set.starts_with("combwright-8436="), "{set}");
    for part in ["HttpOnly", "SameSite=Strict", "Path=/"] {
        assert!(set.contains(part), "{set}");
    }
    assert!(!browser.page("/yard").headers.contains_key(header::SET_COOKIE));
    let request = Request::builder()
        .uri("/")
        .header(header::HOST, HOST)
        .header(header::COOKIE, "combwright-8436=short; other=1");
    let answer = browser.ask(request.body(Body::empty()).expect("a request"));
    assert!(
        answer.headers.contains_key(header::SET_COOKIE),
        "an odd one is replaced"
    );
}

#[test]
fn a_token_is_of_one_session_and_one_run() {
    let (browser, other) = (Browser::of(&FIRST), Browser::before(desk(books(&FIRST), 3)));
    let form = browser.page(LINE).form(LINE);
    let form = with(&form, &[("line", "2026-03-03 flow ends"), ("press", "look")]);
    assert_eq!(browser.post(LINE, &form).status, StatusCode::OK);
    let token = other.page(LINE).form(LINE)["token"].clone();
    for token in ["", "0", &token, &form["token"][1..], &"0".repeat(64)] {
        let answer = browser.post(LINE, &with(&form, &[("token", token)]));
        assert_eq!(answer.status, StatusCode::FORBIDDEN, "{token}");
    }
    let mut without = form.clone();
    without.remove("token");
    assert_eq!(browser.post(LINE, &without).status, StatusCode::FORBIDDEN);
    browser.cookie.replace(None);
    assert_eq!(browser.post(LINE, &form).status, StatusCode::FORBIDDEN);
}

#[test]
fn what_is_too_large_is_not_taken_in() {
    let browser = Browser::of(&FIRST);
    let form = browser.page(LINE).form(LINE);
    for length in [70_000, 300_000] {
        let large = with(&form, &[("line", &"x".repeat(length))]);
        let answer = browser.post(LINE, &large);
        assert_eq!(answer.status, StatusCode::PAYLOAD_TOO_LARGE);
        assert!(answer.text().contains("64 KiB"), "{}", answer.text());
        is_protected(&answer.headers, "too large");
    }
    assert_eq!(browser.count(), 3);
}

#[test]
fn a_file_of_the_pages_is_not_sent_twice() {
    let browser = Browser::of(&FIRST);
    let first = browser.get("/asset/style.css");
    assert_eq!(first.status, StatusCode::OK);
    assert_eq!(first.headers[header::CONTENT_TYPE], "text/css; charset=utf-8");
    let request = browser
        .request("GET", "/asset/style.css")
        .header(header::IF_NONE_MATCH, &first.headers[header::ETAG])
        .body(Body::empty());
    let again = browser.ask(request.expect("a request"));
    assert_eq!(again.status, StatusCode::NOT_MODIFIED);
    assert!(again.body.is_empty());
    is_protected(&again.headers, "not modified");
}
