//! What every topic answers with: a sentence or a small table, numbers by key, sources and notes.
//!
//! Holds true: the sources and the notes are always there, though they may be empty; a number that cannot be
//! known is null.

use quantity::Source;
use serde_json::{Map, Value};

use super::Reckoned;

/// An answer as it is put together.
#[derive(Debug)]
pub(super) struct Answer {
    said: String,
    keys: Map<String, Value>,
    sources: Vec<&'static str>,
    notes: Vec<String>,
}

impl Answer {
    /// An answer that says this to people, without any number yet.
    pub(super) fn saying(said: String) -> Self {
        Self {
            said,
            keys: Map::new(),
            sources: Vec::new(),
            notes: Vec::new(),
        }
    }

    /// With a value under a key.
    pub(super) fn with(mut self, key: &str, value: impl Into<Value>) -> Self {
        self.keys.insert(key.to_owned(), value.into());
        self
    }

    /// With a source, named once however often it is given.
    pub(super) fn resting_on(mut self, source: &'static Source) -> Self {
        if !self.sources.contains(&source.id) {
            self.sources.push(source.id);
        }
        self
    }

    /// With the notes.
    pub(super) fn noting(mut self, notes: impl IntoIterator<Item = String>) -> Self {
        self.notes.extend(notes);
        self
    }

    /// The finished answer.
    pub(super) fn told(self, json: bool) -> Reckoned {
        let for_people = self.for_people();
        let mut keys = self.keys;
        keys.insert("sources".to_owned(), self.sources.into());
        keys.insert("notes".to_owned(), self.notes.into());
        let object = Value::Object(keys);
        Reckoned {
            text: if json { format!("{object}\n") } else { for_people },
            json: object,
        }
    }

    fn for_people(&self) -> String {
        let mut text = self.said.clone();
        for note in &self.notes {
            text.push_str("\nNote: ");
            text.push_str(note);
        }
        if !self.sources.is_empty() {
            text.push_str("\nSources: ");
            text.push_str(&self.sources.join(", "));
        }
        text.push('\n');
        text
    }
}

/// A number to so many decimals, or null if it is none.
pub(super) fn rounded(value: f64, decimals: i32) -> Value {
    let steps_per_unit = 10_f64.powi(decimals);
    // Adding nothing turns a negative zero into a plain one.
    Value::from((value * steps_per_unit).round() / steps_per_unit + 0.0)
}

/// A small table: what each row is about, then its value, aligned.
pub(super) fn table(rows: &[(&str, String)]) -> String {
    let width = rows
        .iter()
        .map(|(about, _)| about.chars().count())
        .max()
        .unwrap_or(0);
    let lines: Vec<String> = rows
        .iter()
        .map(|(about, value)| format!("{about:<width$}  {value}"))
        .collect();
    lines.join("\n")
}
