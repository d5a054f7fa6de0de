//! Sheets as files for the printer.

use axum::http::{StatusCode, header};

use crate::{Answer, Browser, FIRST, demo_books};

fn sheet(browser: &Browser, path: &str) -> Answer {
    let answer = browser.page(path);
    assert_eq!(answer.headers[header::CONTENT_TYPE], "application/pdf", "{path}");
    assert!(answer.bytes.starts_with(b"%PDF-"), "{path}");
    answer
}

#[test]
fn every_sheet_is_a_file_with_a_name_of_its_own() {
    let browser = demo_books();
    for (path, name) in [
        ("/print/card/alder.pdf?on=2026-05-24", "card-alder-2026-05-24.pdf"),
        ("/print/blank.pdf?bars=4", "card-blank.pdf"),
        (
            "/print/round/garth.pdf?on=2026-05-24",
            "round-garth-2026-05-24.pdf",
        ),
        ("/print/hive/alder.pdf?on=2026-05-24", "hive-alder-2026-05-24.pdf"),
    ] {
        let answer = sheet(&browser, path);
        let disposition = answer.headers[header::CONTENT_DISPOSITION].to_str();
        assert_eq!(disposition.expect("text"), format!("inline; filename=\"{name}\""));
    }
}

#[test]
fn a_sheet_is_set_for_the_paper_that_is_asked_for() {
    let browser = Browser::of(&FIRST);
    let of = |asked: &str| sheet(&browser, &format!("/print/blank.pdf?bars=6{asked}")).bytes;
    let usual = of("");
    assert!(
        usual == of("&paper=a4"),
        "A4 is usual, and the same is printed twice alike"
    );
    assert!(usual != of("&paper=letter"));
    let refused = browser.get("/print/blank.pdf?paper=foolscap");
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        refused
            .text()
            .contains("“foolscap” is no paper. Say a4 or letter."),
        "{}",
        refused.text()
    );
}

#[test]
fn what_is_not_there_is_not_printed() {
    let browser = Browser::of(&FIRST);
    for (path, says) in [
        ("/print/card/elm.pdf", "elm"),
        ("/print/hive/elm.pdf", "elm"),
        ("/print/round/marsh.pdf", "marsh"),
        ("/print/card/alder", "no page at this address"),
        ("/print/.pdf", "no page at this address"),
        ("/print", "no page at this address"),
    ] {
        let answer = browser.get(path);
        assert_eq!(answer.status, StatusCode::NOT_FOUND, "{path}");
        assert!(answer.text().contains(says), "{path}: {}", answer.text());
    }
}

/// An empty hive has no map to fill in, and no day is asked for that cannot be.
#[test]
fn a_hive_without_bees_and_a_wrong_day() {
    let browser = Browser::of(&FIRST);
    sheet(&browser, "/print/card/alder.pdf");
    sheet(&browser, "/print/cards.pdf");
    sheet(&browser, "/print/round.pdf");
    let answer = browser.get("/print/card/alder.pdf?on=2026-02-30");
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
    // However many bars are asked for, a card ends.
    let many = sheet(&browser, "/print/blank.pdf?bars=65535").bytes;
    assert!(many == sheet(&browser, "/print/blank.pdf?bars=120").bytes);
}
