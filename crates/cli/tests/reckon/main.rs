//! `combwright reckon`, as a script meets it: `--json` on standard output, or a refusal and exit code 2.
//!
//! The numbers are those of printed tables and of examples worked by hand; the publication is named beside
//! each.

mod comb;
mod goods;
mod heat;
mod honey;
mod quantities;
mod season;
mod workshop;

use std::process::{Command, Output};

use serde_json::Value;

/// What `combwright reckon …` puts out, with the words of the line parted at spaces and quotes left whole.
fn reckon(line: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_combwright"))
        .arg("reckon")
        .args(line)
        .env_clear()
        .env("COLUMNS", "100")
        .output()
        .expect("the program runs")
}

/// The JSON object of an answer, which always has sources and notes.
#[track_caller]
fn answer(line: &[&str]) -> Value {
    let put_out = reckon(&[line, &["--json"]].concat());
    let said = String::from_utf8_lossy(&put_out.stderr).into_owned();
    assert_eq!(put_out.status.code(), Some(0), "{line:?}: {said}");
    let object: Value = serde_json::from_slice(&put_out.stdout).expect("an answer is one JSON object");
    for list in ["sources", "notes"] {
        let texts = object[list].as_array().expect("sources and notes are lists");
        assert!(texts.iter().all(Value::is_string), "{line:?}: {object}");
    }
    object
}

/// The number under a key.
#[track_caller]
fn number(object: &Value, key: &str) -> f64 {
    let value = object[key].as_f64();
    value.unwrap_or_else(|| panic!("{key} is a number in {object}"))
}

/// Checks a number against its expected value.
#[track_caller]
fn check(object: &Value, key: &str, expected: f64, tolerance: f64) {
    let found = number(object, key);
    assert!(
        (found - expected).abs() <= tolerance,
        "{key} is {found}, not {expected} ± {tolerance}"
    );
}

/// Whether a note has these words in it.
#[track_caller]
fn has_note(object: &Value, words: &str) -> bool {
    let notes = object["notes"].as_array().expect("notes are a list");
    notes
        .iter()
        .any(|note| note.as_str().is_some_and(|text| text.contains(words)))
}

#[track_caller]
fn has_source(object: &Value, id: &str) -> bool {
    let sources = object["sources"].as_array().expect("sources are a list");
    sources.iter().any(|source| source == id)
}

/// Checks that a line is refused: exit code 2, nothing on standard output, one line that names the flag.
#[track_caller]
fn refused(flag: &str, line: &[&str]) {
    for line in [line.to_vec(), [line, &["--json"]].concat()] {
        let put_out = reckon(&line);
        let said = String::from_utf8_lossy(&put_out.stderr).into_owned();
        assert_eq!(put_out.status.code(), Some(2), "{line:?}: {said}");
        assert!(put_out.stdout.is_empty(), "{line:?} puts something out");
        assert!(
            said.contains(flag) && said.contains("would be accepted"),
            "{line:?}: {said}"
        );
        assert!(!said.contains("panicked"), "{line:?}: {said}");
    }
}

#[test]
fn every_topic_has_help_with_one_example_that_runs() {
    for topic in [
        "moisture", "index", "density", "jars", "share", "gtin", "cells", "section", "winter", "queen",
        "wall", "heat",
    ] {
        let help = String::from_utf8(reckon(&[topic, "--help"]).stdout).expect("help is text");
        let (_, example) = help.split_once("Example:").expect("there is an example");
        let words = in_words(example.trim());
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        let ["combwright", "reckon", line @ ..] = &words[..] else {
            panic!("{topic}: {example}");
        };
        assert_eq!(line[0], topic);
        answer(line);
    }
    // These read files, which are handed to them in the tests of their own.
    for (topic, example) in [
        ("degree-days", "degree-days --daily daily.csv"),
        ("cut", "cut --parts parts.csv --boards boards.csv"),
    ] {
        let help = String::from_utf8(reckon(&[topic, "--help"]).stdout).expect("help is text");
        assert!(
            help.contains(&format!("Example:\n  combwright reckon {example}")),
            "{help}"
        );
    }
}

#[test]
fn people_get_sentences_with_notes_and_sources() {
    let put_out = reckon(&["moisture", "--index", "1.4915"]);
    let text = String::from_utf8(put_out.stdout).expect("an answer is text");
    assert!(
        text.starts_with("18.00 % water, between 17.98 and 18.02 %"),
        "{text}"
    );
    assert!(
        text.contains("\nNote: no --temp is given: 20 °C is assumed\n"),
        "{text}"
    );
    assert!(text.trim_end().ends_with("Sources: wedmore-1955"), "{text}");
}

#[test]
fn an_unknown_topic_and_an_unknown_flag_are_refused() {
    for line in [&["nectar"][..], &["gtin", "--boddy", "1"], &[]] {
        let put_out = reckon(line);
        assert_eq!(put_out.status.code(), Some(2), "{line:?}");
        assert!(put_out.stdout.is_empty(), "{line:?}");
    }
}

/// A line in the words a shell would make of it, without escapes.
fn in_words(line: &str) -> Vec<String> {
    let mut words = Vec::new();
    for (idx, piece) in line.split('"').enumerate() {
        if idx % 2 == 1 {
            words.push(piece.to_owned());
        } else {
            words.extend(piece.split_whitespace().map(str::to_owned));
        }
    }
    words
}
