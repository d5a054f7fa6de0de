//! The workshop in a browser: pages, files at full size, and what is refused.

use axum::http::{StatusCode, header};

use crate::{Browser, FIRST, demo_books};

#[test]
fn every_design_to_begin_with_opens_a_form_that_can_be_written_as_it_is() {
    let browser = demo_books();
    let page = browser.page("/workshop").text();
    let forms: Vec<String> = page
        .split("href=\"")
        .skip(1)
        .filter_map(|rest| rest.split('"').next())
        .filter(|to| to.starts_with("/write/pattern?"))
        .map(|to| to.replace("&amp;", "&"))
        .collect();
    assert!(forms.len() >= 5, "{forms:?}");
    for form in forms {
        let shown = browser.page(&form).text();
        assert!(shown.contains("name=\"pattern\""), "{form}");
        assert!(!shown.contains("does not fit"), "{form}");
    }
}

#[test]
fn templates_are_files_for_printers_and_for_programs() {
    let browser = demo_books();
    for (path, kind, begins) in [
        (
            "/print/template/cask/end.pdf?paper=letter",
            "application/pdf",
            "%PDF-",
        ),
        (
            "/print/template/snug/follower.svg",
            "image/svg+xml; charset=utf-8",
            "<?xml",
        ),
        ("/print/template/cask/cradle.dxf", "image/vnd.dxf", "  0"),
        ("/print/workshop/slant.pdf", "application/pdf", "%PDF-"),
        ("/print/workshop/compare.pdf", "application/pdf", "%PDF-"),
    ] {
        let answer = browser.page(path);
        assert_eq!(answer.headers[header::CONTENT_TYPE], kind, "{path}");
        assert!(answer.bytes.starts_with(begins.as_bytes()), "{path}");
    }
}

#[test]
fn what_is_not_there_is_told_with_what_is_near() {
    let browser = Browser::of(&FIRST);
    for (path, says) in [
        ("/workshop/slopping", "No pattern is called"),
        ("/print/workshop/elm.pdf", "elm"),
        ("/print/template/elm/end.pdf", "elm"),
        ("/print/template/elm/lid.pdf", "no page at this address"),
        (
            "/print/template/sloping/end.pdf",
            "does not say what its walls are",
        ),
    ] {
        let answer = browser.get(path);
        assert_eq!(answer.status, StatusCode::NOT_FOUND, "{path}");
        assert!(answer.text().contains(says), "{path}: {}", answer.text());
    }
}
