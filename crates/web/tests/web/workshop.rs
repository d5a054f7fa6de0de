//! The workshop in a browser: pages, files at full size, and what is refused.

use axum::http::{StatusCode, header};

use crate::{Browser, FIRST, demo_books, with};

#[test]
fn every_design_to_begin_with_opens_a_form_that_can_be_written_as_it_is() {
    let browser = demo_books();
    let page = browser.page("/workshop").body;
    let forms: Vec<String> = page
        .split("href=\"")
        .skip(1)
        .filter_map(|rest| rest.split('"').next())
        .filter(|to| to.starts_with("/write/pattern?"))
        .map(|to| to.replace("&amp;", "&"))
        .collect();
    assert!(forms.len() >= 5, "{forms:?}");
    for form in forms {
        let shown = browser.page(&form).body;
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
    ] {
        let answer = browser.get(path);
        assert_eq!(answer.status, StatusCode::NOT_FOUND, "{path}");
        assert!(answer.text().contains(says), "{path}: {}", answer.text());
    }
}

/// Fills a form in, looks at the note and writes it; gives the page that it leads to.
#[track_caller]
fn written(browser: &Browser, link: &str, filled: &[(&str, &str)]) -> String {
    let (action, _) = link.split_once('?').unwrap_or((link, ""));
    let form = browser.page(link).form(action);
    let asked = with(&with(&form, filled), &[("press", "look")]);
    let shown = browser.post(action, &asked);
    assert_eq!(shown.status, StatusCode::OK, "{}", shown.text());
    let answer = browser.post(action, &with(&shown.form(action), &[("press", "write")]));
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text());
    answer.location()
}

/// The link on the page of the workshop whose words begin so.
fn design(browser: &Browser, words: &str) -> String {
    let page = browser.page("/workshop").body;
    let at = page.find(words).unwrap_or_else(|| panic!("{words} is not there"));
    let before = &page[..at];
    let from = before.rfind("href=\"").expect("it leads somewhere") + 6;
    let link = &page[from..];
    link[..link.find('"').expect("a link")].replace("&amp;", "&")
}

/// A drum hive of sixty litres, from an empty yard and with the pages alone: drawn, measured, its template printed.
#[test]
fn a_new_keeper_designs_a_drum_hive_of_sixty_litres() {
    let browser = Browser::of(&FIRST);
    let to = written(
        &browser,
        &design(&browser, "A steel drum of 200 litres"),
        &[("pattern", "keg"), ("held", "cider")],
    );
    assert!(to.starts_with("/workshop/keg?done="), "{to}");
    let page = browser.page("/workshop/keg").text();
    for says in [
        "60.7",
        "182.4 mm for 60 l",
        "the drum held cider",
        "Cradle",
        "DXF",
        "good to ±20 %",
    ] {
        assert!(page.contains(says), "{says}: {page}");
    }
    let end = browser.page("/print/template/keg/end.pdf");
    assert!(end.bytes.starts_with(b"%PDF-"));
}

/// A sloping hive from twelve odd boards: what to saw from which, on a page and on paper.
#[test]
fn a_new_keeper_saws_a_sloping_hive_from_twelve_odd_boards() {
    let browser = Browser::of(&FIRST);
    let to = written(
        &browser,
        &design(&browser, "Sloping boards"),
        &[("pattern", "tray")],
    );
    assert!(to.starts_with("/workshop/tray?done="), "{to}");
    let lacking = browser.page("/workshop/tray/cut").text();
    assert!(
        lacking.contains("there is no board of that thickness"),
        "{lacking}"
    );
    for (wood, length, width, thickness, bad) in [
        ("shelf", "1210 mm", "295 mm", "22 mm", None),
        ("door", "1990 mm", "182 mm", "23 mm", Some(("930 mm", "1010 mm"))),
        (
            "floorboard",
            "2400 mm",
            "137 mm",
            "22 mm",
            Some(("0 mm", "60 mm")),
        ),
    ] {
        let (from, until) = bad.unwrap_or_default();
        let filled = [
            ("wood", wood),
            ("length", length),
            ("width", width),
            ("thickness", thickness),
            ("count", "4"),
            ("bad_from.1", from),
            ("bad_to.1", until),
        ];
        let to = written(&browser, "/write/offcut", &filled);
        assert!(to.starts_with("/workshop?done="), "{to}");
    }
    let list = browser.page("/workshop/tray/cut?from=hand").text();
    for says in [
        "Nothing is to be bought",
        "Order of cuts",
        "Once it is sawn, note",
        "sawn shelf 1210 mm x 295 mm x 22 mm",
        "keep the guard on",
    ] {
        assert!(list.contains(says), "{says}: {list}");
    }
    assert!(!list.contains("not all of it can be sawn"), "{list}");
    let again = browser.page("/workshop/tray/cut?from=hand").text();
    assert_eq!(list, again, "the same list each time");
    assert!(
        browser
            .page("/print/cut/tray.pdf?from=hand")
            .bytes
            .starts_with(b"%PDF-")
    );
    assert!(
        browser
            .page("/print/template/tray/follower.pdf")
            .bytes
            .starts_with(b"%PDF-")
    );
    let wrong = browser.get("/workshop/tray/cut?kerf=3");
    assert!(wrong.text().contains("a length up to 50 mm"), "{}", wrong.text());
}
