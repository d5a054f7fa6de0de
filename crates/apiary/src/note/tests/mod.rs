//! Every verb is read, printed and read again; what cannot be read is underlined.

use std::collections::BTreeSet;

use crate::note::aids::{Desk, Line};
use crate::note::table::{Element, Topic, table};
use crate::note::*;

/// The lines that are read exactly as they stand, for ever.
const FIXED: &str = include_str!("../fixed.notes");

fn fixed_notes() -> impl Iterator<Item = &'static str> {
    FIXED.lines().filter(|line| line.starts_with("20"))
}

#[test]
fn every_fixed_line_is_read_and_prints_back_to_the_same_fact() {
    for line in fixed_notes() {
        let note = read(line).unwrap_or_else(|error| panic!("{line}\n{error:?}"));
        let printed = note.to_string();
        assert_eq!(read(&printed).as_ref(), Ok(&note), "{line}\n{printed}");
        let said = line
            .split('#')
            .next()
            .unwrap_or_default()
            .split_whitespace()
            .collect::<Vec<_>>()
            .join(" ");
        let fact = note.to_string();
        let fact = fact.split('#').next().unwrap_or_default().trim().to_owned();
        assert_eq!(
            fact.replace(" and ", ", "),
            said.replace(" and ", ", "),
            "the printed line differs"
        );
    }
}

#[test]
fn every_example_of_the_table_is_read_and_belongs_to_its_verb() {
    for entry in table().entries() {
        assert!(
            !entry.verb.examples.is_empty(),
            "{} has no example",
            entry.verb.word
        );
        for example in entry.verb.examples {
            let note = read(example).unwrap_or_else(|error| panic!("{example}\n{error:?}"));
            assert_eq!(note.fact.word(), entry.verb.word);
            assert_eq!(read(&note.to_string()).as_ref(), Ok(&note));
        }
    }
}

#[test]
fn each_field_stands_once_in_its_form_and_each_verb_once_in_the_table() {
    let mut words = BTreeSet::new();
    for entry in table().entries() {
        assert!(
            words.insert(entry.verb.word),
            "{} is declared twice",
            entry.verb.word
        );
        for shape in &entry.shapes {
            let elements = shape
                .subject
                .iter()
                .chain(shape.details.iter().flat_map(|detail| &detail.elements));
            let mut fields = BTreeSet::new();
            for element in elements {
                if let Element::Value { field, .. } = element {
                    assert!(fields.insert(*field), "{}: {field} twice", entry.verb.word);
                }
            }
            assert!(shape.details.len() <= 32, "the reader keeps 32 details apart");
        }
    }
    assert!(Topic::ALL.iter().all(|topic| table().of(*topic).count() > 0));
}

#[track_caller]
fn refused(line: &str, place: &str, expected: &str) {
    let error = read(line).expect_err("should not be readable");
    let said = format!(
        "{} | {} | {}",
        error.says,
        error.fits.join("; "),
        error.hint.clone().unwrap_or_default()
    );
    assert_eq!(&line[error.at.clone()], place, "{said}");
    assert!(said.contains(expected), "{said}");
}

#[test]
fn what_cannot_be_read_is_underlined_and_says_what_fits_there() {
    refused("2026-07-19 cut alder bars 9 and 10 in pail-12", "in", "into");
    refused(
        "2026-07-19 cutt alder bar 9 into pail-12",
        "cutt",
        "did you mean cut?",
    );
    refused("2026-07-19 discard tank-3 4,6 kg", "4,6", "did you mean 4.6?");
    refused(
        "2026-07-19 strain pail-12 into tank-3 honey 4,6 kg",
        "4,6",
        "did you mean 4.6?",
    );
    refused("2026-07-19 discard tank-3 4.6", "4.6", "a mass, such as 4.6 kg");
    refused(
        "2026-02-30 flow begins",
        "2026-02-30",
        "no day of the calendar after the year 1000",
    );
    refused("cut alder bar 9 into pail-12", "cut", "begins with its day");
    refused("2026-07-19 25:00 flow begins", "25:00", "no hour");
    refused(
        "2026-07-19 look alder bar 9 drawn 9/8",
        "9/8",
        "a share, such as 5/8",
    );
    refused(
        "2026-07-19 hive queen in orchard bars 27",
        "queen",
        "has a meaning of its own",
    );
    refused("2026-07-19 wash alder bees 300", "", "mites");
}

#[test]
fn numbers_may_be_spoken() {
    let spoken = read("2026-04-26 look alder bars one to three drawn eight eighths brood five eighths")
        .expect("spoken");
    let written = read("2026-04-26 look alder bars 1 to 3 drawn 8/8 brood 5/8").expect("written");
    assert_eq!(spoken, written);
    let spoken = read("2026-06-15 wash alder bees three hundred mites twenty one").expect("spoken");
    assert_eq!(spoken.fact.count("bees"), Some(300));
    assert_eq!(spoken.fact.count("mites"), Some(21));
    let spoken = read("2026-06-20 weigh alder forty one point five kilos").expect("spoken");
    assert_eq!(spoken.fact.to_string(), "weigh alder 41.5 kg");
}

#[test]
fn a_line_may_lean_on_the_day_and_the_hive_said_before() {
    let mut desk = Desk::new(jiff::civil::date(2026, 7, 20));
    assert_eq!(desk.line("day 2026-07-19"), Ok(Line::Nothing));
    assert_eq!(desk.line("at alder"), Ok(Line::Nothing));
    let texts = [
        "14:20 cut bar 9 into pail-12",
        "look queen unseen",
        "today feed syrup 1 kg",
        "yesterday spend 3.00 GBP on string",
    ]
    .map(|line| match desk.line(line) {
        Ok(Line::Note(complete)) => complete.text,
        other => panic!("{line}: {other:?}"),
    });
    assert_eq!(
        texts,
        [
            "2026-07-19 14:20 cut alder bar 9 into pail-12",
            "2026-07-19 look alder queen unseen",
            "2026-07-20 feed alder syrup 1 kg",
            "2026-07-19 spend 3.00 GBP on string"
        ]
    );
}

#[test]
fn signs_that_turn_text_round_or_control_the_terminal_are_refused() {
    for bad in [
        "2026-07-19 flow begins # \u{202e}",
        "2026-07-19 flow\0 begins",
        "2026-07-19 flow begins # \u{1b}[31m",
    ] {
        assert!(read(bad).is_err(), "{bad:?}");
    }
    let long = format!("2026-07-19 flow begins # {}", "x".repeat(1_000_000));
    assert!(read(&long).expect_err("too long").says.contains("at most 4000"));
}

mod compose;
mod round_trip;
