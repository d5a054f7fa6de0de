//! The note language: one line, one happening.
//!
//! `read` turns a line into a [`Note`]; `print` turns it back. Both, and the grammar in the manual, come
//! from the one [`table`] of verbs. What a line says is kept as it was said: amounts with their digits
//! and units, shares in eighths or per cent. A line that cannot be read is an [`Unreadable`], which
//! knows the place and what would have fitted there; nothing is guessed.
//!
//! Lines as they are typed may lean on what was typed before (`today`, `at alder`): [`aids`] resolves
//! that, so that each stored note stands alone.

pub mod aids;
pub mod compose;
pub mod grammar;
mod lex;
mod numbers;
mod print;
mod read;
pub mod table;
mod value;
mod values;

use jiff::civil::Date;
use ledger::Hour;

pub use read::{Unreadable, nearest, read};
pub use table::{GRAMMAR, Topic, Verb, What, is_reserved, table};
pub use value::{Bars, Goods, MOST_PLACES, Name, Places, Price, Share, Value};

/// A note as read.
#[derive(Clone, Debug, PartialEq)]
pub struct Note {
    /// The day it happened.
    pub day: Date,
    /// The hour, where it was said.
    pub hour: Option<Hour>,
    /// What happened.
    pub fact: Fact,
    /// The keeper insists, though it looked impossible.
    pub anyway: bool,
    /// What stands behind `#`.
    pub remark: Option<Box<str>>,
}

/// What happened: a verb and its values, in the order of the table.
#[derive(Clone, Debug)]
pub struct Fact {
    /// The verb.
    pub verb: &'static table::Entry,
    /// Which of its forms.
    pub form: u8,
    values: Box<[(&'static str, Value)]>,
}

impl PartialEq for Fact {
    fn eq(&self, other: &Self) -> bool {
        self.verb.verb.word == other.verb.verb.word && self.form == other.form && self.values == other.values
    }
}

impl Fact {
    /// The verb's word.
    pub fn word(&self) -> &'static str {
        self.verb.verb.word
    }

    /// The form it was said in.
    pub fn shape(&self) -> &'static table::Shape {
        &self.verb.shapes[usize::from(self.form)]
    }

    /// The values, in the order of the table.
    pub fn values(&self) -> &[(&'static str, Value)] {
        &self.values
    }

    /// The value of a field, if it was said.
    ///
    /// Whoever asks for a field that no form of the verb has, has mistyped it.
    pub fn get(&self, field: &str) -> Option<&Value> {
        debug_assert!(
            self.verb.shapes.iter().any(|shape| shape.has(field)),
            "BUG: {} has no {field}",
            self.word()
        );
        self.values
            .iter()
            .find(|(name, _)| *name == field)
            .map(|(_, value)| value)
    }

    /// Whether a word without a value was said.
    pub fn says(&self, flag: &str) -> bool {
        self.get(flag).is_some()
    }

    /// A label.
    pub fn name(&self, field: &str) -> Option<&Name> {
        match self.get(field) {
            Some(Value::Name(name)) => Some(name),
            _ => None,
        }
    }

    /// Free words.
    pub fn text(&self, field: &str) -> Option<&str> {
        match self.get(field) {
            Some(Value::Text(text)) => Some(text),
            _ => None,
        }
    }

    /// A word of a closed set.
    pub fn choice(&self, field: &str) -> Option<&'static str> {
        match self.get(field) {
            Some(Value::Word(word)) => Some(word),
            _ => None,
        }
    }

    /// A count.
    pub fn count(&self, field: &str) -> Option<u32> {
        match self.get(field) {
            Some(Value::Count(count)) => Some(*count),
            _ => None,
        }
    }

    /// An amount as it was read.
    pub fn reading(&self, field: &str) -> Option<quantity::Reading> {
        match self.get(field) {
            Some(Value::Reading(reading)) => Some(**reading),
            _ => None,
        }
    }

    /// A mass.
    pub fn mass(&self, field: &str) -> Option<quantity::Mass> {
        self.reading(field).and_then(|reading| reading.mass())
    }

    /// A length.
    pub fn length(&self, field: &str) -> Option<quantity::Length> {
        self.reading(field).and_then(|reading| reading.length())
    }

    /// Money.
    pub fn money(&self, field: &str) -> Option<quantity::Money> {
        match self.get(field) {
            Some(Value::Money(price)) => price.money(),
            _ => None,
        }
    }

    /// A share of a comb, as a fraction of one.
    pub fn share(&self, field: &str) -> Option<f64> {
        match self.get(field) {
            Some(Value::Share(share)) => Some(share.fraction()),
            _ => None,
        }
    }

    /// Minutes.
    pub fn minutes(&self, field: &str) -> Option<u32> {
        match self.get(field) {
            Some(Value::Duration(minutes)) => Some(*minutes),
            _ => None,
        }
    }

    /// A bare number.
    pub fn number(&self, field: &str) -> Option<f64> {
        match self.get(field) {
            Some(Value::Number(number)) => f64::try_from(*number).ok(),
            _ => None,
        }
    }

    /// Bars.
    pub fn bars(&self, field: &str) -> Option<&Bars> {
        match self.get(field) {
            Some(Value::Bars(bars)) => Some(bars),
            _ => None,
        }
    }

    /// The persons it names, by their ids of the address book.
    pub fn persons(&self) -> impl Iterator<Item = &Name> {
        self.values.iter().filter_map(|(field, value)| match value {
            Value::Name(name)
                if self
                    .shape()
                    .label(field)
                    .is_some_and(|(what, _)| what == What::Person) =>
            {
                Some(name)
            }
            _ => None,
        })
    }

    /// Goods.
    pub fn goods(&self, field: &str) -> Option<&Goods> {
        match self.get(field) {
            Some(Value::Goods(goods)) => Some(goods),
            _ => None,
        }
    }
}

impl std::fmt::Display for Note {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&print::note(self))
    }
}

impl std::fmt::Display for Fact {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&print::fact(self))
    }
}

#[cfg(test)]
mod tests;
