//! The demo yards' whole spring, note by note through the forms of the pages.

use apiary::note::{self, compose};
use app::demo;
use axum::http::StatusCode;
use jiff::civil::{Date, date};
use store::MemoryStore;

use super::{Browser, Fields, clock, desk, selector, with};
use app::{Office, Writing};

const BEGINS: Date = date(2026, 3, 1);
const ENDS: Date = date(2026, 6, 15);

/// The demo's notes of days before `until`, each with the device that wrote it.
fn before(until: Date) -> Vec<(&'static str, &'static str)> {
    let mut device = "";
    let lines = demo::SEASON.lines().filter_map(|line| {
        if let Some(next) = line.strip_prefix("#= ") {
            device = next;
        }
        (!line.starts_with('#')).then_some((device, line))
    });
    lines
        .take_while(|(_, line)| day(line).is_none_or(|day| day < until))
        .collect()
}

/// The day a line begins with; a correction or a withdrawal begins with none.
fn day(line: &str) -> Option<Date> {
    line.get(..10)?.parse().ok()
}

fn kept(notes: &[(&str, &str)]) -> Office {
    let mut clock = clock(1);
    let mut office = Office::open(Box::new(MemoryStore::new()), None, &mut clock).expect("books");
    for stretch in notes.chunk_by(|one, next| one.0 == next.0) {
        let device = ledger::Device::new(stretch[0].0).expect("a device's name");
        office.hand_over(device);
        let lines: Vec<&str> = stretch.iter().map(|(_, line)| *line).collect();
        let outcome = office
            .write(&lines, &Writing::default(), &mut clock)
            .expect("no fault");
        assert!(outcome.refused.is_empty(), "{:?}", outcome.refused);
    }
    office
}

/// What a hive's page says of a day, without the numbers that its notes happen to have.
fn says(browser: &Browser, hive: &str) -> String {
    let page = browser.page(&format!("/hive/{hive}?on={ENDS}"));
    let html = page.html();
    let main = html.select(&selector("main")).next().expect("a main part");
    let words: String = main.text().collect::<Vec<_>>().join(" ");
    let is_handle = |word: &&str| word.contains("phone/") || word.contains("laptop/");
    words
        .split_whitespace()
        .filter(|word| !is_handle(word))
        .collect::<Vec<_>>()
        .join(" ")
}

fn fill_in(browser: &Browser, line: &str) {
    let note = note::read(line).unwrap_or_else(|error| panic!("{line}: {error}"));
    let path = format!("/write/{}?form={}", note.fact.word(), note.fact.form);
    let form = browser.page(&path).form(&path);
    let filled: Fields = compose::fill(&note);
    let filled: Vec<(&str, &str)> = filled
        .iter()
        .map(|(key, value)| (key.as_str(), value.as_str()))
        .collect();
    let shown = browser.post(&path, &with(&with(&form, &filled), &[("press", "look")]));
    assert_eq!(shown.status, StatusCode::OK, "{line}: {}", shown.text());
    let meant = note.to_string();
    let html = shown.html();
    let notes: Vec<String> = html
        .select(&selector("main output.shown code.note"))
        .map(|code| code.text().collect::<String>())
        .collect();
    assert!(
        notes.contains(&meant),
        "{meant} is shown before it is written, not {notes:?}"
    );
    let written = browser.post(&path, &with(&shown.form(&path), &[("press", "write")]));
    assert_eq!(
        written.status,
        StatusCode::SEE_OTHER,
        "{line}: {}",
        written.text()
    );
}

#[test]
fn a_spring_kept_by_the_forms_tells_what_the_demo_tells() {
    let spring: Vec<&str> = before(ENDS)
        .into_iter()
        .map(|(_, line)| line)
        .filter(|line| day(line).is_some_and(|day| day >= BEGINS))
        .collect();
    assert!(spring.len() > 250, "a whole spring: {} notes", spring.len());
    let pages = Browser::before(desk(kept(&before(BEGINS)), 2));
    for line in &spring {
        fill_in(&pages, line);
    }
    let told = Browser::before(desk(kept(&before(ENDS)), 3));
    for hive in [
        "alder", "rowan", "hazel", "wren", "siskin", "dunnock", "heron", "aspen", "curlew", "linnet",
        "plover", "willow", "teal",
    ] {
        assert_eq!(says(&pages, hive), says(&told, hive), "{hive}");
    }
}

/// Notes put in between move the numbers of those behind them, and a correction would then be of another note.
#[test]
fn what_the_demo_corrects_is_of_the_same_day_and_verb() {
    let mut written: std::collections::BTreeMap<&str, Vec<&str>> = std::collections::BTreeMap::new();
    let mut corrected = 0;
    for (device, line) in before(Date::MAX) {
        if let Some((handle, note)) = line
            .strip_prefix("correct ")
            .and_then(|rest| rest.split_once(": "))
        {
            let (of, number) = handle.split_once('/').expect("a handle");
            let number: usize = number.parse().expect("a number");
            let meant = note::read(written[of][number - 1]).expect("a note");
            let note = note::read(note).expect("a note");
            assert_eq!(
                (meant.day, meant.fact.word()),
                (note.day, note.fact.word()),
                "{line}"
            );
            corrected += 1;
        }
        written.entry(device).or_default().push(line);
    }
    assert!(corrected > 4, "{corrected}");
}
