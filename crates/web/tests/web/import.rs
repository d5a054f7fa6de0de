//! A spreadsheet brought in step by step.

use axum::body::Body;
use axum::http::{StatusCode, header};

use crate::{Answer, Browser, FIRST, Fields, selector, with};

const BEGIN: &str = "/books/import";
const SHEET: &str = "Day,Weather\r\n2026-05-01,begins\r\n2026-05-20,ends\r\n2026-05-21,wobbles\r\n";

fn upload(browser: &Browser, name: &str, bytes: &str, token: &str) -> Answer {
    upload_with(browser, name, bytes, &with(&Fields::new(), &[("token", token)]))
}

fn upload_with(browser: &Browser, name: &str, bytes: &str, fields: &Fields) -> Answer {
    let part =
        |head: &str, body: &str| format!("--xyz\r\nContent-Disposition: form-data; {head}\r\n\r\n{body}\r\n");
    let fields: String = fields
        .iter()
        .filter(|(key, _)| *key != "file")
        .map(|(key, value)| part(&format!("name=\"{key}\""), value))
        .collect();
    let body = fields + &part(&format!("name=\"file\"; filename=\"{name}\""), bytes) + "--xyz--\r\n";
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

const MAP: &str = "/books/import/map";
const WRITE: &str = "/books/import/write";

/// A hive with a colony, and one without: feeding that one is remarked upon.
const HIVES: [&str; 5] = [
    "2026-03-01 yard orchard",
    "2026-03-01 pattern sloping slope top 44.5 cm floor 19 cm depth 28 cm length 95.5 cm bar 35 mm",
    "2026-03-01 hive alder in orchard pattern sloping bars 27",
    "2026-03-01 hive birch in orchard pattern sloping bars 27",
    "2026-03-02 start alder 12 bars drawn",
];

/// A sheet of feedings, whose headings are keys.
fn feedings<'a>(hives: impl IntoIterator<Item = &'a str>) -> String {
    let rows = hives.into_iter().enumerate().map(|(n, hive)| {
        format!(
            "2026-{:02}-{:02},{hive},syrup,{n}.5 kg\n",
            4 + n / 20 % 7,
            1 + n % 20
        )
    });
    std::iter::once("day,colony,food,amount\n".to_owned())
        .chain(rows)
        .collect()
}

/// The page on which the columns are told.
fn asked_for_columns(browser: &Browser, name: &str, sheet: &str) -> Answer {
    let to = upload(browser, name, sheet, &token(browser));
    assert_eq!(to.status, StatusCode::SEE_OTHER, "{}", to.text());
    browser.page(&format!("{}&verb=feed", to.location()))
}

/// The notes that would come of a sheet.
fn looked_at(browser: &Browser, name: &str, sheet: &str) -> Answer {
    let page = asked_for_columns(browser, name, sheet);
    let shown = browser.post(MAP, &with(&page.form(MAP), &[("press", "look")]));
    assert_eq!(shown.status, StatusCode::OK, "{}", shown.text());
    shown
}

#[track_caller]
fn says(answer: &Answer, words: &str) {
    let text = answer.text();
    assert!(text.contains(words), "{words}: {text}");
}

fn captioned(answer: &Answer, caption: &str) -> Vec<String> {
    let html = answer.html();
    let table = html
        .select(&selector("table"))
        .find(|table| {
            let found = table.select(&selector("caption")).next();
            found.is_some_and(|found| found.text().collect::<String>() == caption)
        })
        .unwrap_or_else(|| panic!("no table {caption}"));
    table
        .select(&selector("tbody tr"))
        .map(|row| row.text().collect::<Vec<_>>().join(" "))
        .collect()
}

#[test]
fn what_does_not_fit_on_the_page_is_offered_as_a_whole() {
    let browser = Browser::of(&HIVES);
    let odd = |n: usize| if [0, 1_048].contains(&n) { "birch" } else { "alder" };
    let shown = looked_at(&browser, "many.csv", &feedings((0..1_100).map(odd)));
    assert_eq!(captioned(&shown, "The notes").len(), 1_000);
    says(&shown, "These are the first 1000 of 1100.");
    let remarked = captioned(&shown, "2 notes with remarks");
    assert!(remarked[1].contains("1050"), "{remarked:?}");
    assert!(remarked[1].contains("no colony lives in birch"), "{remarked:?}");
    let all = browser.post(MAP, &with(&shown.form(MAP), &[("press", "all")]));
    assert_eq!(all.status, StatusCode::OK);
    assert_eq!(all.headers[header::CONTENT_TYPE], "text/csv; charset=utf-8");
    assert_eq!(all.body.lines().count(), 1_101);
    assert!(all.body.contains("feed alder syrup 1099.5 kg"), "the last row");
    assert!(all.body.contains("no colony lives in birch"), "its remarks");
    let few = looked_at(&browser, "few.csv", &feedings((0..60).map(|_| "alder")));
    assert_eq!(captioned(&few, "The notes").len(), 60);
    assert!(!few.text().contains("as CSV"), "all of it is on the page");
}

#[test]
fn refused_rows_are_told_up_to_two_hundred_and_counted() {
    let browser = Browser::of(&HIVES);
    let shown = looked_at(&browser, "bad.csv", &feedings((0..210).map(|_| "elder")));
    assert_eq!(captioned(&shown, "Refused rows").len(), 200);
    says(&shown, "210 rows cannot be written as they stand.");
    says(&shown, "These are the first 200 of 210.");
}

#[test]
fn a_refused_row_holds_the_others_back_and_the_form_stays() {
    let browser = Browser::of(&HIVES);
    let shown = looked_at(&browser, "mixed.csv", &feedings(["alder", "elder", "alder"]));
    says(&shown, "2 notes would be written.");
    says(&shown, "1 row cannot be written as it stands.");
    let refused = browser.post(WRITE, &shown.form(WRITE));
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    says(
        &refused,
        "Nothing was written: 1 row is refused, and 2 good rows were held back.",
    );
    says(&refused, "no colony is called elder");
    assert!(!refused.text().contains("would be written"), "{}", refused.text());
    assert_eq!(browser.count(), HIVES.len());
    assert!(
        refused
            .html()
            .select(&selector("input[type=checkbox][name=keep]"))
            .next()
            .is_some(),
        "the good rows can still be written"
    );
    let written = browser.post(WRITE, &with(&refused.form(WRITE), &[("keep", "yes")]));
    assert_eq!(written.status, StatusCode::SEE_OTHER, "{}", written.text());
    assert_eq!(browser.count(), HIVES.len() + 2);
    says(
        &browser.page(&written.location()),
        "1 row was refused: that row as a sheet",
    );
}

#[test]
fn where_all_rows_are_refused_there_is_nothing_to_tick() {
    let browser = Browser::of(&HIVES);
    let good = looked_at(&browser, "a.csv", &feedings(["alder"]));
    let form = good.form(WRITE);
    let gone = looked_at(&browser, "b.csv", &feedings(["elder"]));
    says(&gone, "0 notes would be written.");
    let refused = browser.post(WRITE, &with(&form, &[("sheet", &gone.form(MAP)["sheet"])]));
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    says(
        &refused,
        "Nothing was written: 1 row is refused, and no other is left to write.",
    );
}

#[test]
fn pressed_twice_both_end_on_one_receipt() {
    let browser = Browser::of(&HIVES);
    let shown = looked_at(&browser, "twice.csv", &feedings(["alder", "alder"]));
    let form = shown.form(WRITE);
    let first = browser.post(WRITE, &form);
    let second = browser.post(WRITE, &form);
    assert_eq!(first.status, StatusCode::SEE_OTHER, "{}", first.text());
    assert_eq!(second.status, StatusCode::SEE_OTHER, "{}", second.text());
    assert_eq!(first.location(), second.location());
    says(&browser.page(&second.location()), "2 notes from twice.csv.");
    assert_eq!(browser.count(), HIVES.len() + 2);
    push_out(&browser);
    let third = browser.post(WRITE, &form);
    assert_eq!(third.status, StatusCode::SEE_OTHER, "though its sheet is gone");
    assert_eq!(third.location(), first.location());
    let other = with(&form, &[("once", "another")]);
    says(&browser.post(WRITE, &other), "no longer at hand");
    upload(
        &browser,
        "twice.csv",
        &feedings(["alder", "alder"]),
        &token(&browser),
    );
    says(
        &browser.post(WRITE, &other),
        "Nothing was written. 2 rows came in before and are passed over.",
    );
}

/// Brings so many sheets in that an earlier one is no longer at hand.
fn push_out(browser: &Browser) {
    let token = token(browser);
    for n in 0..8 {
        upload(browser, "other.csv", &format!("Day\n{n}\n"), &token);
    }
}

#[test]
fn what_was_said_of_the_columns_outlives_the_sheet() {
    let browser = Browser::of(&HIVES);
    let sheet = feedings(["alder"]);
    let page = asked_for_columns(&browser, "long.csv", &sheet);
    for remark in ["from {food} & \"more\"".to_owned(), "x".repeat(9_000)] {
        push_out(&browser);
        let said = [
            ("way", "0"),
            ("days", "dmy"),
            ("comma", "yes"),
            ("fill.colony", ""),
            ("fill.remark", remark.as_str()),
        ];
        let gone = browser.post(MAP, &with(&page.form(MAP), &said));
        assert_eq!(gone.status, StatusCode::UNPROCESSABLE_ENTITY);
        says(&gone, "What you said about it is kept");
        let kept = gone.form(BEGIN);
        let unchosen = upload_with(&browser, "", "", &kept);
        assert_eq!(unchosen.status, StatusCode::UNPROCESSABLE_ENTITY);
        let back = upload_with(&browser, "long.csv", &sheet, &unchosen.form(BEGIN));
        let back = match back.status {
            StatusCode::SEE_OTHER => browser.page(&back.location()),
            _ => back,
        };
        assert_eq!(back.status, StatusCode::OK);
        let form = back.form(MAP);
        for (key, value) in said {
            assert_eq!(form[key], value, "{key}");
        }
        assert_eq!(form["verb"], "feed");
        assert_eq!(form["fill.food"], "food");
    }
}

#[test]
fn one_row_and_two_are_told_in_their_grammar() {
    let browser = Browser::of(&HIVES);
    let one = looked_at(&browser, "one.csv", &feedings(["alder"]));
    says(&one, "one.csv has 1 row.");
    says(&one, "1 note would be written.");
    browser.post(WRITE, &one.form(WRITE));
    let two = looked_at(&browser, "two.csv", &feedings(["alder", "alder"]));
    says(&two, "two.csv has 2 rows.");
    says(
        &two,
        "1 note would be written; 1 row came in before and is passed over.",
    );
    let written = browser.post(WRITE, &two.form(WRITE));
    says(
        &browser.page(&written.location()),
        "1 row came in before and was passed over.",
    );
    let three = looked_at(&browser, "three.csv", &feedings(["alder", "alder", "alder"]));
    says(
        &three,
        "1 note would be written; 2 rows came in before and are passed over.",
    );
}

#[test]
fn a_file_is_as_large_as_the_terminal_takes_it() {
    let browser = Browser::of(&FIRST);
    says(&browser.page(BEGIN), "up to 10 MiB");
    let large = "x".repeat(app::import::MOST_BYTES + 1);
    let to = upload(&browser, "a.csv", &large, &token(&browser));
    says(&browser.get(&to.location()), "at most 10 MiB are read");
}

#[test]
fn what_is_odd_about_written_rows_is_told_on_the_receipt() {
    let browser = Browser::of(&HIVES);
    let one = looked_at(&browser, "one.csv", &feedings(["alder", "birch"]));
    let written = browser.post(WRITE, &one.form(WRITE));
    let receipt = browser.page(&written.location());
    says(&receipt, "1 row has remarks. Row 3, ");
    says(&receipt, "no colony lives in birch");
    let many = looked_at(&browser, "many.csv", &feedings((0..60).map(|_| "birch")));
    let written = browser.post(WRITE, &many.form(WRITE));
    let receipt = browser.page(&written.location());
    says(&receipt, "rows have remarks; these are the first 50.");
    assert_eq!(receipt.text().matches("no colony lives in birch").count(), 50);
}
