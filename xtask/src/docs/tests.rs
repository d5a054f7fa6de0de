//! The manual as a reader meets it.

use super::pages::{links, unreadable};
use super::*;

#[test]
fn the_manual_shows_every_verb_with_notes_that_can_be_read() {
    let manual = manual();
    for entry in table().entries() {
        assert!(
            manual.contains(&format!("\n### `{}`\n", entry.verb.word)),
            "{}",
            entry.verb.word
        );
    }
    let (count, wrong) = unreadable(&manual);
    assert_eq!(wrong, Vec::<String>::new());
    assert!(count >= table().entries().len());
}

#[test]
fn a_note_that_cannot_be_read_is_told_with_its_line() {
    let page =
        "# A page\n```notes\n2026-06-01 flow begins\n2026-06-01 flow stutters\n```\n2026 is no note here\n";
    let (count, wrong) = unreadable(page);
    assert_eq!((count, wrong.len()), (1, 1));
    assert!(wrong[0].starts_with("4: 2026-06-01 flow stutters"), "{wrong:?}");
}

#[test]
fn only_links_to_files_of_the_project_are_followed() {
    let page = "[a](docs/notes.md#cut) [b](https://example.org) [c](#here) [d](LICENSE-MIT)";
    assert_eq!(links(page).collect::<Vec<_>>(), ["docs/notes.md", "LICENSE-MIT"]);
}

#[test]
fn a_long_rule_goes_on_in_the_next_line_and_says_the_same() {
    let rule = grammar::verb(table().verb("look").expect("look is a verb"));
    let broken = wrapped(&rule);
    assert!(
        broken.lines().all(|line| line.chars().count() <= WIDTH),
        "{broken}"
    );
    let words = |text: &str| text.split_whitespace().map(str::to_owned).collect::<Vec<_>>();
    assert_eq!(words(&broken), words(&rule));
}
