//! A keeper at the pages: what the walk-through of the season is told in.
//!
//! Whatever is written is first shown as a note, compared with the note that was meant, and only then written;
//! the page that comes next has to say so.

use apiary::note::{Note, compose, read};
use serde_json::Value;

use crate::driver::{Browser, Element, Script};
use crate::http;
use crate::served::Served;

/// A keeper with a browser of their own and books of their own.
pub(crate) struct Keeper {
    browser: Browser,
    pub(crate) served: Served,
}

impl Keeper {
    pub(crate) fn sits_down(served: Served, width: u32, script: Script) -> Self {
        let browser = Browser::open(width, script);
        Self { browser, served }
    }

    /// Goes to a page.
    pub(crate) fn opens(&self, path: &str) -> &Self {
        self.browser.visit(&self.served.address(path));
        self
    }

    /// Follows the link that is called so.
    #[track_caller]
    pub(crate) fn follows(&self, link: &str) -> &Self {
        let links = self.browser.find_all("main a");
        let found = links.iter().find(|found| found.text() == link);
        found
            .unwrap_or_else(|| panic!("no link is called {link}"))
            .follow();
        self
    }

    /// Fills in the field of this key.
    #[track_caller]
    pub(crate) fn fills(&self, key: &str, value: &str) -> &Self {
        let selector = format!("main [name=\"{key}\"]");
        let kind = self.browser.run(
            "const field = document.querySelector(arguments[0]);
             return field && [field.type, field.value].join(' ');",
            &[selector.clone().into()],
        );
        match kind.as_str().and_then(|kind| kind.split_once(' ')) {
            Some(("checkbox", _)) => self.main(&selector).click(),
            Some(("select-one", _)) => self
                .main(&format!("{selector} option[value=\"{value}\"]"))
                .click(),
            Some((_, "")) => self.main(&selector).types(value),
            Some(_) => {
                let field = self.main(&selector);
                field.clear();
                field.types(value);
            }
            None => panic!("there is no {key} to be filled in at {}", self.browser.address()),
        }
        self
    }

    /// Fills in a form with what a note says, field by field, and writes it.
    #[track_caller]
    pub(crate) fn fills_in(&self, line: &str) {
        let note = understood(line);
        self.opens(&format!("/write/{}?form={}", note.fact.word(), note.fact.form));
        for (key, value) in compose::fill(&note) {
            self.fills(&key, &value);
        }
        self.writes(line);
    }

    /// Has the note shown, looks whether it is what was meant, and writes it.
    #[track_caller]
    pub(crate) fn writes(&self, note: &str) {
        let shown = self.is_shown();
        let meant = understood(note).to_string();
        assert_eq!(
            shown,
            std::slice::from_ref(&meant),
            "the note that is shown is the one that was meant"
        );
        self.presses("main", "write");
        let said = self.receipt();
        assert!(
            said.contains(&single_spaced(&meant)),
            "“{meant}” was not said to be written: {said}"
        );
    }

    /// Writes what is shown, whatever it is; used where the shown note is no note of its own, such as a withdrawal.
    #[track_caller]
    pub(crate) fn writes_what_is_shown(&self, shown: &str) {
        assert_eq!(self.is_shown(), [shown]);
        self.presses("main", "write");
        let said = self.receipt();
        assert!(
            said.contains(shown),
            "“{shown}” was not said to be written: {said}"
        );
    }

    /// Types lines into the box at the foot of the page that is open, and writes them.
    #[track_caller]
    pub(crate) fn types(&self, lines: &str) {
        let many = lines
            .lines()
            .filter(|line| !matches!(line.split(' ').next(), Some("day" | "at")))
            .count();
        self.types_only("footer", lines);
        assert_eq!(self.shown().len(), many, "as many notes are shown as were typed");
        self.presses("main", "write");
        let said = self.receipt();
        assert_eq!(
            said.matches("Written").count(),
            many,
            "as many notes are written as were typed: {said}"
        );
    }

    /// Types one line whose day is said in words; the shown note says the day itself.
    pub(crate) fn types_a_day_in_words(&self, line: &str, meant: &str) {
        self.types_only("main", line);
        assert_eq!(self.shown(), [meant]);
        self.presses("main", "write");
        assert!(self.receipt().contains(meant));
    }

    /// Enters a person into the address book.
    pub(crate) fn enters(&self, id: &str) {
        self.main("main form button").follow();
        let said = self.texts("main").join(" ");
        assert!(said.contains(id), "{id} is not in the address book: {said}");
    }

    fn types_only(&self, part: &str, lines: &str) {
        let field = self.browser.find(&format!("{part} textarea[name=line]"));
        field.expect("notes can be typed").types(lines);
        self.presses(part, "show");
    }

    /// Types a line and is told that it cannot be, with these words.
    #[track_caller]
    pub(crate) fn types_in_vain(&self, line: &str, because: &str) {
        let before = self.entries();
        self.opens("/note").types_only("main", line);
        self.is_refused(because);
        assert_eq!(self.entries(), before, "nothing is written");
    }

    /// Has what was filled in shown, and is told that it cannot be.
    #[track_caller]
    pub(crate) fn shows_in_vain(&self, because: &str) {
        self.presses("main", "show");
        self.is_refused(because);
    }

    #[track_caller]
    fn is_refused(&self, because: &str) {
        let said = self.texts("main .notice.refused, main p.wrong").join(" ");
        assert!(said.contains(because), "“{because}” is not among: {said}");
    }

    /// Presses the button that writes.
    pub(crate) fn insists(&self, note: &str) {
        self.fills("anyway", "").writes(note);
    }

    #[track_caller]
    fn is_shown(&self) -> Vec<String> {
        self.presses("main", "show");
        let wrong = self.texts("main .notice.refused").join(" ");
        assert!(wrong.is_empty(), "it was refused: {wrong}");
        self.shown()
    }

    fn shown(&self) -> Vec<String> {
        let shown = self.browser.find_all("main output.shown code.note");
        let shown = shown.iter().map(|note| note.property("textContent"));
        shown
            .map(|note| note.as_str().unwrap_or_default().to_owned())
            .collect()
    }

    #[track_caller]
    fn receipt(&self) -> String {
        let said = self.texts(".notice.written").join("\n");
        assert!(
            !said.is_empty(),
            "nothing is said to be written at {}: {}",
            self.browser.address(),
            self.texts("main").join(" ")
        );
        single_spaced(&said)
    }

    /// What is said at all places that fit.
    pub(crate) fn texts(&self, selector: &str) -> Vec<String> {
        self.browser
            .find_all(selector)
            .iter()
            .map(Element::text)
            .collect()
    }

    #[track_caller]
    fn presses(&self, part: &str, press: &str) {
        let button = self
            .browser
            .find(&format!("{part} button[name=press][value={press}]"));
        let button = button.unwrap_or_else(|| {
            let said = self.texts("main").join(" ");
            panic!(
                "there is no button to {press} at {}: {said}",
                self.browser.address()
            )
        });
        button.follow();
    }

    #[track_caller]
    fn main(&self, selector: &str) -> Element<'_> {
        let found = self.browser.find(selector);
        found.unwrap_or_else(|| panic!("there is no {selector} at {}", self.browser.address()))
    }

    /// The answer of a page as a program gets it.
    pub(crate) fn json(&self, path: &str) -> Value {
        let asks = [("Accept", "application/json")];
        let answer = http::ask(self.served.port, "GET", path, &asks, b"").expect("the pages answer");
        serde_json::from_slice(&answer.body)
            .unwrap_or_else(|error| panic!("{path}: {error}: {}", answer.text()))
    }

    /// How many entries the foot of the pages tells.
    pub(crate) fn entries(&self) -> usize {
        let page = http::get(self.served.port, "/sources").text();
        let after = page
            .split_once("From ")
            .map(|(_, after)| after)
            .unwrap_or_default();
        let count = after.split(' ').next().and_then(|count| count.parse().ok());
        count.expect("the foot tells how many entries there are")
    }
}

fn understood(line: &str) -> Note {
    read(line).unwrap_or_else(|error| panic!("{line}: {error}"))
}

fn single_spaced(text: &str) -> String {
    text.split([' ', '\n'])
        .filter(|word| !word.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}
