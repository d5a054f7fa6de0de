//! A row into a line: what fills its keys, the line they make, and whether it says what the columns say.

use std::collections::BTreeMap;

use apiary::note::aids::{Complete, Desk, Line};
use apiary::note::compose::{Composed, compose, fill, key_at};
use jiff::civil::Date;

use super::cell::{self, Filling, shortened};
use super::mapping::{Filled, Fitted, Mapping, MappingError, Part, fit};
use super::sheet::{Sheet, is_empty, one_line};

/// What a row becomes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Planned {
    /// Its number, as a spreadsheet program counts.
    pub row: usize,
    /// The day it is about; the first of all where it has none.
    pub day: Date,
    /// The line, or why it becomes none.
    pub line: Result<String, RefusedRow>,
}

/// A row that was refused.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RefusedRow {
    /// Its number, as a spreadsheet program counts.
    pub row: usize,
    /// Why, in one sentence or several.
    pub why: Vec<String>,
    /// The key to blame, where it is one alone.
    pub key: Option<String>,
}

/// The lines that the rows of a sheet become, in the order of the sheet. Rows without any words are left out.
///
/// # Errors
/// The mapping does not fit the sheet or the verb.
pub fn plan(sheet: &Sheet, mapping: &Mapping) -> Result<Vec<Planned>, MappingError> {
    let fitted = fit(sheet, mapping)?;
    let rows = sheet.rows.iter().enumerate();
    let planned = rows.filter(|(_, row)| !is_empty(row)).map(|(at, _)| {
        let row = sheet.number(at);
        match line(sheet, mapping, &fitted, at) {
            Ok(Complete { text, note }) => Planned {
                row,
                day: note.day,
                line: Ok(text),
            },
            Err(Wrong { why, key }) => Planned {
                row,
                day: Date::MIN,
                line: Err(RefusedRow { row, why, key }),
            },
        }
    });
    Ok(planned.collect())
}

/// Why a row becomes no line.
struct Wrong {
    why: Vec<String>,
    key: Option<String>,
}

impl Wrong {
    fn row(why: String) -> Self {
        Self {
            why: vec![why],
            key: None,
        }
    }

    /// All that is wrong, told at once.
    fn keys(wrong: Vec<(String, String)>) -> Self {
        let key = match wrong.as_slice() {
            [(key, _)] => Some(key.clone()),
            _ => None,
        };
        Self {
            why: wrong
                .into_iter()
                .map(|(key, why)| format!("{key}: {why}"))
                .collect(),
            key,
        }
    }
}

fn line(sheet: &Sheet, mapping: &Mapping, fitted: &Fitted, at: usize) -> Result<Complete, Wrong> {
    refuse_ragged(sheet, at)?;
    let said = said(sheet, mapping, fitted, at)?;
    let composed = compose(fitted.entry, fitted.form, &|key| said.get(key).cloned());
    if !composed.missing.is_empty() {
        let missing = composed
            .missing
            .iter()
            .map(|key| (key.clone(), "the cell is empty".to_owned()));
        return Err(Wrong::keys(missing.collect()));
    }
    let read = Desk::new(Date::ZERO).line(&composed.line);
    match read.map_err(|unreadable| unreadable_row(&composed, unreadable))? {
        Line::Note(complete) => {
            refuse_more_than_said(fitted, &said, &complete)?;
            Ok(complete)
        }
        _ => Err(Wrong::row("the row makes no note".to_owned())),
    }
}

fn unreadable_row(composed: &Composed, mut unreadable: apiary::note::Unreadable) -> Wrong {
    let key = key_at(composed, unreadable.at.clone()).map(str::to_owned);
    // The example of a whole note helps whoever types one; here the row has its columns.
    unreadable.hint = unreadable.hint.filter(|hint| !hint.starts_with("for example: "));
    let says = unreadable.to_string();
    match key {
        Some(key) => Wrong::keys(vec![(key, says)]),
        None => Wrong::row(says),
    }
}

fn refuse_ragged(sheet: &Sheet, at: usize) -> Result<(), Wrong> {
    let (cells, headings) = (&sheet.rows[at], sheet.columns.len());
    let is_said = |cell: &String| !cell.trim().is_empty();
    let extra = cells.iter().enumerate().any(|(column, cell)| {
        is_said(cell) && (column >= headings || super::refusals::is_extra(sheet, column))
    });
    if extra {
        let last = cells.iter().rposition(is_said).map_or(0, |last| last + 1);
        let says = match last > headings {
            true => format!("the row has {last} cells, and there are only {headings} headings"),
            false => "the row had more cells than there are headings".to_owned(),
        };
        return Err(Wrong::row(says));
    }
    match cells.len() < headings {
        true => Err(Wrong::row(format!(
            "the row has {} cells, and there are {headings} headings",
            cells.len()
        ))),
        false => Ok(()),
    }
}

/// What the row says for each key; keys with nothing to say are left out.
fn said(
    sheet: &Sheet,
    mapping: &Mapping,
    fitted: &Fitted,
    at: usize,
) -> Result<BTreeMap<String, String>, Wrong> {
    let mut said = BTreeMap::new();
    let mut wrong = Vec::new();
    let mut hour_of_day = None;
    for filled in &fitted.keys {
        match value(sheet, mapping, filled, at) {
            Ok(Some(value)) => {
                if filled.key == "day" {
                    hour_of_day = value.hour;
                }
                said.insert(filled.key.clone(), value.text);
            }
            Ok(None) => {}
            Err(why) => wrong.push((filled.key.clone(), why)),
        }
    }
    if !wrong.is_empty() {
        return Err(Wrong::keys(wrong));
    }
    // A day that came with its hour says both, unless a column has the hour to itself.
    let has_hours = fitted.keys.iter().any(|filled| filled.key == "hour");
    if let Some(hour) = hour_of_day.filter(|_| !has_hours) {
        said.insert("hour".to_owned(), hour);
    }
    Ok(said)
}

struct Value {
    text: String,
    hour: Option<String>,
}

/// What a row says for one key.
fn value(sheet: &Sheet, mapping: &Mapping, filled: &Filled, at: usize) -> Result<Option<Value>, String> {
    let mut text = String::new();
    let mut is_fixed = true;
    let mut is_said = false;
    for part in &filled.parts {
        match part {
            Part::Words(words) => text.push_str(words),
            Part::Column(column) => {
                is_fixed = false;
                let cell = cell(sheet, mapping, filled.filling, at, *column)?;
                is_said |= !cell.is_empty();
                text.push_str(&cell);
            }
        }
    }
    let text = text.trim();
    if !(is_fixed || is_said) || text.is_empty() {
        return Ok(None);
    }
    let plain = |text: String| Some(Value { text, hour: None });
    Ok(match filled.filling {
        Filling::Day => {
            let (day, hour) = cell::day(text, mapping.days)?;
            Some(Value {
                text: day.to_string(),
                hour,
            })
        }
        Filling::Hour => plain(cell::hour(text)),
        Filling::Flag => cell::flag(text, &filled.key)?.then(|| Value {
            text: "yes".to_owned(),
            hour: None,
        }),
        Filling::Duration => plain(cell::duration(text)),
        Filling::Number | Filling::Words => plain(text.to_owned()),
    })
}

fn cell(
    sheet: &Sheet,
    mapping: &Mapping,
    filling: Filling,
    row: usize,
    column: usize,
) -> Result<String, String> {
    let cell = sheet.rows[row]
        .get(column)
        .map_or_else(String::new, |cell| one_line(cell));
    if cell::is_error(&cell) {
        return Err(format!("the cell says {cell}: a calculation went wrong there"));
    }
    let is_comma = mapping.decimal_comma && filling.has_decimals() && !sheet.is_number(row, column);
    match is_comma {
        true => cell::pointed(&cell),
        false => Ok(cell),
    }
}

/// A cell must not say more than its column: a name such as `alder anyway` would be read as a word of the note.
fn refuse_more_than_said(
    fitted: &Fitted,
    said: &BTreeMap<String, String>,
    complete: &Complete,
) -> Result<(), Wrong> {
    let fills = fill(&complete.note);
    let is_same_verb = complete.note.fact.word() == fitted.entry.verb.word;
    let (mut read, mut meant) = (counted(fills.keys()), counted(said.keys()));
    let kinds: Vec<String> = read.keys().chain(meant.keys()).cloned().collect();
    let differing: Vec<String> = kinds
        .into_iter()
        .filter(|kind| read.remove(kind) != meant.remove(kind))
        .collect();
    if is_same_verb && differing.is_empty() {
        return Ok(());
    }
    Err(Wrong::row(format!(
        "a cell says more than its column: this would be read as “{}”, and {} would come from no column",
        shortened(&complete.text),
        if differing.is_empty() {
            "the verb".to_owned()
        } else {
            differing.join(", ")
        }
    )))
}

/// How often each key is there; a key that comes again and again counts under its own name.
fn counted<'a>(keys: impl Iterator<Item = &'a String>) -> BTreeMap<String, usize> {
    let mut counts = BTreeMap::new();
    for key in keys {
        let name = match key.rsplit_once('.') {
            Some((name, round)) if round.bytes().all(|byte| byte.is_ascii_digit()) => name,
            _ => key,
        };
        *counts.entry(name.to_owned()).or_insert(0) += 1;
    }
    counts
}
