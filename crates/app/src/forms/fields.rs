//! What a form asks for, field by field.

use std::collections::BTreeMap;

use apiary::colony::card;
use apiary::note::What;
use apiary::note::compose::{Blank, Fills, MOST_ROUNDS, blanks};
use apiary::note::table::{Kind, Known, Shape};
use page::{Button, Choice, Field, Form, Input, Shown, Words};

use super::judge::Judged;
use super::plan::Plan;
use super::{About, Sent};
use crate::reader::Reader;

/// How many of a detail that repeats are asked for at first.
const FIRST_ROUNDS: usize = 3;

/// How many persons a hint names.
const MOST_PERSONS: usize = 3;

/// The form with what was sent filled in; nothing is judged.
pub(super) fn form(reader: &Reader<'_>, plan: &Plan, sent: &Sent, once: &str) -> Form {
    let mut form = Form::post(name(&plan.about), plan.about.address())
        .hidden("once", once)
        .hidden("entries", reader.books().entries().len().to_string())
        .hidden("shown", "")
        .button("show", "Show the note");
    if let About::Settle(handles) = &plan.about {
        let handles: Vec<String> = handles.iter().map(ToString::to_string).collect();
        form = form.hidden("of", handles.join(","));
    }
    form.preview = Some(plan.about.preview_address());
    let value = |key: &str| plan.value(sent, key);
    if let Some((entry, of)) = plan.verb {
        let asking = Asking {
            word: entry.verb.word,
            of_a_bar: of == 0,
            reader,
            value: &value,
        };
        form.fields = asking.note(&entry.shapes[of]);
    }
    form.fields.extend(of_acts(plan, &value));
    form
}

/// The note that was judged, and the button that writes it.
pub(super) fn show(form: &mut Form, judged: &Judged, is_changed: bool) {
    let mut remarks = judged.remarks.clone();
    if is_changed {
        remarks.insert(0, Words::new("This is not what was shown before."));
    }
    form.shown = Some(Shown {
        lines: judged.texts.clone(),
        remarks,
    });
    for (key, value) in &mut form.hidden {
        if key == "shown" {
            *value = judged.texts.join("\n");
        }
    }
    // The first button is the one that the return key presses.
    form.buttons.insert(
        0,
        Button {
            press: "write".to_owned(),
            text: "Write it".to_owned(),
        },
    );
}

/// The tick that insists, once something was impossible.
pub(super) fn let_insist(form: &mut Form) {
    if form.fields.iter().all(|field| field.name != "anyway") {
        let remark = form.fields.iter().position(|field| field.name == "remark");
        let behind = remark.map_or(form.fields.len(), |at| at + 1);
        form.fields.insert(behind, anyway());
    }
}

fn anyway() -> Field {
    Field::line("anyway", "Write it all the same (anyway)")
        .input(Input::Tick)
        .hint("It will stand among what is odd.")
}

/// Blanks in the order of the paper card, so that one is copied in from left to right. What the card does not ask for
/// stays behind what it stands behind in the table of verbs.
fn as_on_a_card(blanks: &mut [Blank], of_a_bar: bool) {
    let mut before = None;
    let places: BTreeMap<String, Option<usize>> = blanks
        .iter()
        .map(|blank| {
            before = card::position(of_a_bar, &blank.key).or(before);
            (blank.key.clone(), before)
        })
        .collect();
    blanks.sort_by_key(|blank| {
        places
            .get(&blank.key)
            .copied()
            .flatten()
            .map_or(0, |place| place + 1)
    });
}

fn name(about: &About) -> String {
    match about {
        About::Verb { word, .. } => format!("Write: {word}"),
        About::Line => "Write notes as lines".to_owned(),
        About::Correct(handle) => format!("Correct {handle}"),
        About::Withdraw(handle) => format!("Withdraw {handle}"),
        About::Settle(_) => "Settle what is odd".to_owned(),
    }
}

fn of_acts(plan: &Plan, value: &dyn Fn(&str) -> String) -> Vec<Field> {
    let line = |label: &str, rows: u8, hint: &str| {
        Field::line("line", label)
            .input(Input::Lines { rows })
            .value(value("line"))
            .hint(hint)
    };
    let because = |hint: &str| {
        Field::line("because", "because")
            .value(value("because"))
            .hint(hint)
    };
    match &plan.about {
        About::Verb { .. } => Vec::new(),
        About::Line => vec![
            line(
                "Notes, one on each line",
                3,
                "Each begins with its day, today or yesterday: 2026-07-19 cut alder bars 9 and 10 into pail-12",
            )
            .required(),
        ],
        About::Correct(_) if plan.verb.is_some() => vec![
            heading("Or as a line"),
            line(
                "The note as it should be",
                2,
                "What is written here counts instead of all that stands above.",
            ),
        ],
        About::Correct(_) => vec![
            line("The note as it should be", 2, "With its day: 2026-07-19 crush pail-12").required(),
        ],
        About::Withdraw(_) => vec![because("Why it should not have been written; it stays in the books.")],
        About::Settle(_) => vec![
            line(
                "The note that stands for them",
                2,
                "With its day: 2026-07-19 crush pail-12. Leave it empty where a reason is enough.",
            ),
            because("Why nothing has to be changed, such as: two were given away"),
        ],
    }
}

fn heading(text: &str) -> Field {
    Field::line("", text).input(Input::Heading)
}

/// A form of a verb being filled in.
struct Asking<'a> {
    /// It is about bars rather than a colony.
    of_a_bar: bool,
    /// The verb.
    word: &'static str,
    reader: &'a Reader<'a>,
    value: &'a dyn Fn(&str) -> String,
}

impl Asking<'_> {
    fn note(&self, shape: &'static Shape) -> Vec<Field> {
        let rounds = self.rounds(shape);
        let mut blanks = blanks(shape, rounds);
        if self.word == "look" {
            as_on_a_card(&mut blanks, self.of_a_bar);
        }
        let is_needed = |blank: &&Blank| blank.detail.is_none_or(|detail| shape.details[detail].required);
        let mut fields = vec![
            self.field("day", "day", "2026-07-19, today or yesterday")
                .required(),
            self.field("hour", "hour", "14:20; may be left out"),
        ];
        fields.extend(blanks.iter().filter(is_needed).map(|blank| self.blank(blank)));
        let more: Vec<Field> = blanks
            .iter()
            .filter(|blank| !is_needed(blank))
            .map(|blank| self.blank(blank))
            .collect();
        if !more.is_empty() {
            fields.push(heading("More, where it is known"));
            fields.extend(more);
        }
        fields.push(self.field("remark", "remark", "Anything else, in your own words"));
        if !(self.value)("anyway").is_empty() {
            fields.push(anyway().value("yes"));
        }
        fields
    }

    fn field(&self, key: &str, label: &str, hint: &str) -> Field {
        Field::line(key, label).value((self.value)(key)).hint(hint)
    }

    /// As many rounds as are filled in and one more.
    fn rounds(&self, shape: &'static Shape) -> usize {
        let repeating = shape.details.iter().any(|detail| detail.repeats);
        let all = if repeating {
            blanks(shape, MOST_ROUNDS)
        } else {
            Vec::new()
        };
        let filled = all
            .iter()
            .filter(|blank| !(self.value)(&blank.key).is_empty())
            .map(|blank| blank.round)
            .max();
        filled.map_or(0, |last| last + 1).clamp(FIRST_ROUNDS, MOST_ROUNDS)
    }

    /// What a field is called where the word of the note, alone, would leave a doubt.
    fn plain_label(&self, key: &str) -> Option<&'static str> {
        Some(match (self.word, key) {
            ("look", "drawn") => "drawn, of the full comb",
            ("look", "sealed") => "sealed brood",
            ("look", "brood") => "brood, of any age",
            ("look", "open") => "open brood",
            ("look", "drones") => "drone brood",
            ("look", "capped") => "capped honey",
            ("look", "honey") => "honey, capped or not",
            ("look", "cells") => "queen cells",
            ("look", "empty_share") => "empty part",
            ("look", "empty") => "all of it empty",
            ("look", "eggs_share") => "eggs, as a part",
            ("sell", "at") => "where (stall, door …)",
            ("sell", "for") => "price in all",
            ("sell", "to") => "buyer",
            ("sell", "shop") => "sold by the shop of",
            _ => return None,
        })
    }

    fn blank(&self, blank: &Blank) -> Field {
        let plain = self
            .plain_label(&blank.key)
            .map_or_else(|| blank.label.clone(), str::to_owned);
        let label = match blank.round {
            0 => plain,
            round => format!("{plain} {round}"),
        };
        let (input, hint) = self.filled_by(blank);
        let field = self.field(&blank.key, &label, &hint).input(input);
        if blank.required { field.required() } else { field }
    }

    fn filled_by(&self, blank: &Blank) -> (Input, String) {
        match blank.fills {
            Fills::Flag => (Input::Tick, String::new()),
            Fills::BarsHive => (
                self.offered(What::Hive),
                "a hive or store, such as alder; empty for a bar with a tag".to_owned(),
            ),
            Fills::BarsPlaces => (
                self.offered(What::Tag),
                "9, or 9 and 10, or 1 to 4; without a hive the tag of a bar, such as K7".to_owned(),
            ),
            Fills::Value(kind) => self.value_of(kind, blank.required),
        }
    }

    fn value_of(&self, kind: &Kind, required: bool) -> (Input, String) {
        match kind {
            Kind::Name(_, Known::Now) => (Input::Line { offered: Vec::new() }, kind.expects()),
            Kind::Name(What::Person, _) => (self.offered(What::Person), self.persons_hint(kind)),
            Kind::Name(what, _) => (self.offered(*what), kind.expects()),
            Kind::Word(words) => {
                let said = words.iter().map(|word| choice(word, word));
                // A needed choice begins with none made, which the page shows by itself.
                let unsaid = (!required).then(|| choice("", "not said"));
                (
                    Input::Choice(unsaid.into_iter().chain(said).collect()),
                    String::new(),
                )
            }
            Kind::Count => (Input::Figures, kind.expects()),
            Kind::Text => (Input::Line { offered: Vec::new() }, "your own words".to_owned()),
            _ => (Input::Line { offered: Vec::new() }, kind.expects()),
        }
    }

    fn offered(&self, what: What) -> Input {
        let holding = self.reader.holding();
        let mut names: Vec<&str> = match what {
            What::Person => self.reader.people().keys().map(String::as_str).collect(),
            What::Device => self.devices(),
            // A hive's own name means the colony in it.
            What::Colony => [What::Colony, What::Hive]
                .iter()
                .flat_map(|what| holding.known_names(*what))
                .collect(),
            _ => holding.known_names(what),
        };
        let mut seen = std::collections::BTreeSet::new();
        names.retain(|name| seen.insert(*name));
        Input::Line {
            offered: names.into_iter().map(str::to_owned).collect(),
        }
    }

    fn devices(&self) -> Vec<&str> {
        let heads = self.reader.books().heads().iter();
        let mut devices: Vec<&str> = heads.map(|head| head.device.as_str()).collect();
        devices.push(self.reader.device().as_str());
        devices
    }

    /// Ids say little by themselves, so a few are told with their names.
    fn persons_hint(&self, kind: &Kind) -> String {
        let named = self.reader.people().iter().filter_map(|(id, person)| {
            let name = person.get("name").filter(|name| !name.is_empty())?;
            Some(format!("{id} {name}"))
        });
        let named: Vec<String> = named.take(MOST_PERSONS).collect();
        match named.is_empty() {
            true => kind.expects(),
            false => format!("an id of the address book: {}", named.join(", ")),
        }
    }
}

fn choice(value: &str, text: &str) -> Choice {
    Choice {
        value: value.to_owned(),
        text: text.to_owned(),
    }
}
