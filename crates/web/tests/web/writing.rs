//! Forms: filled in, shown, written; twice, late, from two tabs, beside another program.

use axum::http::StatusCode;

use crate::{Browser, FIRST, books_at, desk, selector, with, write};

const LINE: &str = "/note";
const FLOW: &str = "/write/flow";

#[test]
fn a_note_is_shown_before_it_is_written() {
    let browser = Browser::of(&FIRST);
    let form = browser.page(LINE).form(LINE);
    let typed = with(&form, &[("line", "2026-03-03 flow ends")]);
    let shown = browser.post(LINE, &with(&typed, &[("press", "look")]));
    assert_eq!(shown.status, StatusCode::OK);
    assert!(shown.text().contains("2026-03-03 flow ends"));
    assert_eq!(browser.count(), 3, "showing writes nothing");
    let written = browser.post(LINE, &with(&shown.form(LINE), &[("press", "write")]));
    assert_eq!(written.status, StatusCode::SEE_OTHER, "{}", written.body);
    assert_eq!(browser.count(), 4);
    let after = browser.page(&written.location());
    assert!(after.text().contains("laptop/4"), "{}", after.text());
    assert!(
        browser.page(&written.location()).text().contains("laptop/4"),
        "loading it again says it again"
    );
    let other = browser.page("/?done=nothing");
    assert!(!other.text().contains("Written"), "{}", other.text());
}

#[test]
fn after_writing_the_way_leads_back_or_to_what_was_written_about() {
    let browser = Browser::of(&FIRST);
    let note = "2026-03-03 install bees into alder from \"a neighbour\"";
    let form = browser.page(LINE).form(LINE);
    let shown = browser.post(LINE, &with(&form, &[("line", note), ("press", "look")]));
    if shown.status == StatusCode::OK {
        let written = browser.post(LINE, &with(&shown.form(LINE), &[("press", "write")]));
        assert!(
            written.location().starts_with("/hive/alder?done="),
            "{}",
            written.location()
        );
    }
    for (back, to) in [
        ("/yard?on=2026-03-02", "/yard?"),
        ("/honey", "/honey?done="),
        ("//example.com/", "/books/note/laptop/"),
        ("https://example.com/", "/books/note/laptop/"),
        ("/note", "/books/note/laptop/"),
        ("/yard\r\nx: y", "/books/note/laptop/"),
    ] {
        let form = browser.page(LINE).form(LINE);
        let line = format!("2026-04-{:02} flow begins", browser.count());
        let asked = with(&form, &[("line", &line), ("press", "look"), ("back", back)]);
        let shown = browser.post(LINE, &asked);
        assert_eq!(shown.status, StatusCode::OK, "{}", shown.text());
        let written = browser.post(LINE, &with(&shown.form(LINE), &[("press", "write")]));
        assert_eq!(written.status, StatusCode::SEE_OTHER, "{}", written.text());
        assert!(
            written.location().starts_with(to),
            "{back}: {}",
            written.location()
        );
    }
}

#[test]
fn the_box_on_a_page_returns_to_that_page() {
    let browser = Browser::of(&FIRST);
    let page = browser.page("/hive/alder?on=2026-03-02&done=x").html();
    let form = page
        .select(&selector("form"))
        .find(|form| form.attr("action") == Some(LINE))
        .expect("the box");
    let back = form
        .select(&selector("input[name=back]"))
        .next()
        .and_then(|back| back.attr("value"));
    assert_eq!(back, Some("/hive/alder?on=2026-03-02"));
}

#[test]
fn sent_twice_it_is_written_once() {
    let browser = Browser::of(&FIRST);
    let form = browser.page(LINE).form(LINE);
    let shown = browser.post(
        LINE,
        &with(&form, &[("line", "2026-03-03 flow ends"), ("press", "look")]),
    );
    let pressed = with(&shown.form(LINE), &[("press", "write")]);
    let first = browser.post(LINE, &pressed);
    let second = browser.post(LINE, &pressed);
    assert_eq!(
        (first.status, second.status),
        (StatusCode::SEE_OTHER, StatusCode::SEE_OTHER)
    );
    assert_eq!(first.location(), second.location());
    assert_eq!(browser.count(), 4);
    // Back to the form as it was filled in, and something else typed into it.
    let other = with(
        &pressed,
        &[
            ("line", "2026-03-04 flow ends"),
            ("shown", "2026-03-04 flow ends"),
        ],
    );
    let refused = browser.post(LINE, &other);
    assert_eq!(
        refused.status,
        StatusCode::UNPROCESSABLE_ENTITY,
        "{}",
        refused.text()
    );
    assert!(
        refused.text().contains("laptop/4"),
        "it says what was written: {}",
        refused.text()
    );
    assert_eq!(refused.form(LINE)["line"], "2026-03-04 flow ends");
    assert_eq!(browser.count(), 4);
    let again = browser.post(LINE, &with(&refused.form(LINE), &[("press", "write")]));
    assert_eq!(again.status, StatusCode::SEE_OTHER, "{}", again.text());
    assert_eq!(browser.count(), 5);
}

#[test]
fn two_tabs_write_a_note_each() {
    let browser = Browser::of(&FIRST);
    let (one, two) = (browser.page(LINE).form(LINE), browser.page(LINE).form(LINE));
    assert_ne!(one["once"], two["once"]);
    for form in [one, two] {
        let shown = browser.post(
            LINE,
            &with(
                &form,
                &[("line", "2026-03-03 spend 1.00 GBP on string"), ("press", "look")],
            ),
        );
        let written = browser.post(LINE, &with(&shown.form(LINE), &[("press", "write")]));
        assert_eq!(written.status, StatusCode::SEE_OTHER, "{}", written.text());
    }
    assert_eq!(browser.count(), 5);
}

#[test]
fn after_a_new_start_the_form_comes_back_with_all_that_was_typed() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("a.books");
    write(&mut books_at(&path, 1), &FIRST);
    let before = Browser::before(desk(books_at(&path, 2), 2));
    let form = before.page(LINE).form(LINE);
    let typed = with(
        &form,
        &[
            ("line", "2026-03-03 spend 1.00 GBP on \"string & <twine>\""),
            ("press", "write"),
        ],
    );
    let cookie = before.cookie.borrow().clone();
    drop(before);
    let after = Browser::before(desk(books_at(&path, 3), 3));
    after.cookie.replace(cookie);
    let answer = after.post(LINE, &typed);
    assert_eq!(answer.status, StatusCode::FORBIDDEN);
    assert_eq!(after.count(), 3, "nothing was written");
    let form = answer.form(LINE);
    assert_eq!(form["line"], typed["line"]);
    assert_eq!(
        form["once"], typed["once"],
        "so that what was written before the new start is not written twice"
    );
    assert_ne!(form["token"], typed["token"]);
    let shown = after.post(LINE, &with(&form, &[("press", "look")]));
    let written = after.post(LINE, &with(&shown.form(LINE), &[("press", "write")]));
    assert_eq!(written.status, StatusCode::SEE_OTHER, "{}", written.text());
    assert_eq!(after.count(), 4);
}

#[test]
fn what_another_program_writes_is_on_the_next_page() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("a.books");
    let mut other = books_at(&path, 1);
    write(&mut other, &FIRST);
    let browser = Browser::before(desk(books_at(&path, 2), 2));
    assert_eq!(browser.get("/hive/birch").status, StatusCode::NOT_FOUND);
    let form = browser.page(LINE).form(LINE);
    write(&mut other, &["2026-03-03 hive birch in orchard bars 20"]);
    browser.page("/hive/birch");
    // What was opened before the other program wrote is still taken.
    let shown = browser.post(
        LINE,
        &with(&form, &[("line", "2026-03-04 flow ends"), ("press", "look")]),
    );
    write(&mut other, &["2026-03-03 hive cedar in orchard bars 20"]);
    let written = browser.post(LINE, &with(&shown.form(LINE), &[("press", "write")]));
    assert_eq!(written.status, StatusCode::SEE_OTHER, "{}", written.text());
    assert_eq!(browser.count(), 6);
    browser.page("/hive/cedar");
}

#[test]
fn a_refused_form_keeps_what_was_typed() {
    let browser = Browser::of(&FIRST);
    let form = browser.page(LINE).form(LINE);
    for line in [
        "2026-03-03 flo ends",
        "2026-03-03 cut nowhere bar 3 into pail-1",
        "<b>&\"'",
    ] {
        let answer = browser.post(
            LINE,
            &with(&form, &[("line", line), ("press", "write"), ("shown", line)]),
        );
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{line}");
        assert_eq!(answer.form(LINE)["line"], line);
        assert!(
            answer
                .html()
                .select(&selector(".wrong, .refused"))
                .next()
                .is_some(),
            "{}",
            answer.body
        );
    }
    assert_eq!(browser.count(), 3);
}

/// What contradicts the map is told beside the field that says it, with the bar, and nothing is lost.
#[test]
fn a_look_that_contradicts_the_map_is_refused_in_its_form() {
    const LOOK: &str = "/write/look";
    let browser = Browser::of(&FIRST);
    let seed = [("2026-03-05 start alder 12 bars drawn", 4)];
    for (line, count) in seed {
        browser.write(LINE, &[("line", line)]);
        assert_eq!(browser.count(), count);
    }
    for (filled, says, field) in [
        (
            &[("bars.places", "31"), ("drawn", "8/8")][..],
            "alder has places 1 to 27, and no bar 31",
            "bars.places",
        ),
        (
            &[
                ("bars.places", "4"),
                ("drawn", "8/8"),
                ("brood", "5/8"),
                ("honey", "4/8"),
            ],
            "alder bar 4: honey and brood make 9/8, more than a whole comb (8/8)",
            "honey",
        ),
    ] {
        let form = browser.page(LOOK).form(LOOK);
        let form = with(&form, &[("day", "2026-05-24"), ("bars.hive", "alder")]);
        let form = with(&form, filled);
        let refused = browser.post(LOOK, &with(&form, &[("press", "write"), ("shown", "")]));
        assert_eq!(
            refused.status,
            StatusCode::UNPROCESSABLE_ENTITY,
            "{}",
            refused.text()
        );
        assert!(refused.text().contains(says), "{says}: {}", refused.text());
        let back = refused.form(LOOK);
        for (key, typed) in filled {
            assert_eq!(back[*key], **typed, "what was typed is kept");
        }
        let html = refused.html();
        let wrong = format!("[aria-invalid=true][name='{field}']");
        assert!(
            html.select(&selector(&wrong)).next().is_some(),
            "{field}: {}",
            refused.body
        );
        assert_eq!(browser.count(), 4);
    }
}

#[test]
fn a_verb_is_filled_in_key_by_key() {
    let browser = Browser::of(&FIRST);
    let page = browser.page("/write/hive");
    let action = page.html();
    let action = action
        .select(&selector("main form[method=post]"))
        .next()
        .and_then(|form| form.attr("action"))
        .expect("a form")
        .to_owned();
    let form = page.form("/write/hive");
    assert!(form.contains_key("day") && form.contains_key("hive"), "{form:?}");
    let filled = with(
        &form,
        &[
            ("day", "2026-03-05"),
            ("hive", "birch"),
            ("yard", "orchard"),
            ("bars", "20"),
            ("press", "look"),
        ],
    );
    let shown = browser.post(&action, &filled);
    assert!(shown.text().contains("birch"), "{}", shown.text());
    assert_eq!(browser.get("/write/none").status, StatusCode::NOT_FOUND);
    assert_eq!(browser.get("/write/hive?form=99").status, StatusCode::NOT_FOUND);
    assert_eq!(browser.get("/write/hive?form=x").status, StatusCode::NOT_FOUND);
    assert_eq!(
        browser.page(FLOW).form(FLOW)["day"],
        "2026-11-25",
        "today is filled in"
    );
}

#[test]
fn a_note_is_corrected_and_withdrawn() {
    let browser = Browser::of(&FIRST);
    let correct = "/books/note/laptop/3/correct";
    let form = browser.page(correct).form(correct);
    assert_eq!(form["day"], "2026-03-02");
    browser.write(correct, &[("day", "2026-03-07")]);
    assert!(
        browser
            .page("/books/note/laptop/3")
            .text()
            .contains("corrected by")
    );
    let withdraw = "/books/note/laptop/3/withdraw";
    browser.write(withdraw, &[("because", "a slip")]);
    assert_eq!(browser.count(), 2);
    for path in [
        "/books/note/laptop/99/correct",
        "/books/note/laptop/99/withdraw",
        "/books/settle?of=laptop/99",
    ] {
        assert_eq!(browser.get(path).status, StatusCode::NOT_FOUND, "{path}");
    }
}

#[test]
fn a_script_may_ask_what_would_be_written() {
    let browser = Browser::of(&FIRST);
    let form = browser.page(LINE).form(LINE);
    let ask = |line: &str| {
        let answer = browser.post("/note/preview", &with(&form, &[("line", line)]));
        assert_eq!(answer.status, StatusCode::OK, "{}", answer.body);
        serde_json::from_str::<serde_json::Value>(&answer.body).expect("JSON")
    };
    let good = ask("2026-03-03 flow ends");
    assert_eq!(good["lines"][0], "2026-03-03 flow ends");
    assert!(
        good["wrong"].as_object().is_some_and(serde_json::Map::is_empty),
        "{good}"
    );
    let bad = ask("2026-03-03 flo ends");
    assert!(
        bad["wrong"].as_object().is_some_and(|wrong| !wrong.is_empty()),
        "{bad}"
    );
    let foreign = browser.post("/note/preview", &with(&form, &[("token", "x")]));
    assert_eq!(foreign.status, StatusCode::FORBIDDEN);
    assert_eq!(browser.count(), 3, "asking writes nothing");
}

#[test]
fn whoever_opened_the_books_signs_the_notes() {
    let mut office = crate::books(&FIRST);
    office.write_as("p-14");
    let browser = Browser::before(desk(office, 2));
    let written = browser.write(LINE, &[("line", "2026-03-03 flow ends")]);
    let page = browser.page(&written.location());
    assert!(page.text().contains("p-14"), "{}", page.text());
}

#[test]
fn a_person_is_entered_changed_and_erased() {
    let browser = Browser::of(&FIRST);
    let people = "/books/people";
    let form = browser.page(people).form(people);
    let refused = browser.post(
        people,
        &with(
            &form,
            &[("id", "Ann Example"), ("name", "Ann"), ("press", "enter")],
        ),
    );
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(refused.form(people)["name"], "Ann");
    let entered = browser.post(
        people,
        &with(
            &form,
            &[("id", "p-14"), ("name", "Ann <i>Example</i>"), ("press", "enter")],
        ),
    );
    assert_eq!(entered.status, StatusCode::SEE_OTHER, "{}", entered.text());
    let page = browser.page(&entered.location());
    assert!(page.text().contains("Ann <i>Example</i>"), "{}", page.text());
    assert_eq!(
        browser.page("/books/people?id=p-14").form(people)["name"],
        "Ann <i>Example</i>"
    );
    let erase = "/books/people/erase";
    let form = browser.page("/books/people/erase?id=p-14").form(erase);
    assert_eq!(
        browser.post(erase, &form).status,
        StatusCode::UNPROCESSABLE_ENTITY,
        "it has to be ticked"
    );
    let stale = browser.post(erase, &with(&form, &[("good", "yes"), ("token", "x")]));
    assert_eq!(stale.status, StatusCode::FORBIDDEN);
    let erased = browser.post(erase, &with(&form, &[("good", "yes")]));
    assert_eq!(erased.status, StatusCode::SEE_OTHER);
    assert!(!browser.page(people).text().contains("Ann"));
}
