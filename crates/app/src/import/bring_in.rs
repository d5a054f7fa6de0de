//! The rows of a sheet into the books, each once.

use std::collections::BTreeMap;

use apiary::Misgiving;
use ledger::{Fault, Handle};
use thiserror::Error;

use super::mapping::{Mapping, MappingError};
use super::plan::{Planned, RefusedRow, plan};
use super::sheet::Sheet;
use crate::office::{Office, Outcome, Refused, Why, Writing};
use crate::surroundings::Surroundings;

/// What became of a sheet.
#[derive(Clone, Debug, Default)]
pub struct Report {
    /// What would be written if the refused rows were left out, where nothing was written.
    pub planned: Vec<Row>,
    /// What was written, and is on the disk.
    pub written: Vec<WrittenRow>,
    /// What was refused.
    pub refused: Vec<RefusedRow>,
    /// How many rows came in before, and were passed over.
    pub known: usize,
    /// Those of the known rows that would now read otherwise: what was written then stands.
    pub otherwise: Vec<Before>,
    pub(super) decimal_comma: bool,
}

/// A row that would be written.
#[derive(Clone, Debug)]
pub struct Row {
    /// Its number, as a spreadsheet program counts.
    pub row: usize,
    /// The note.
    pub line: String,
    /// What is unusual about it.
    pub remarks: Vec<Misgiving>,
}

/// A row that was written.
#[derive(Clone, Debug)]
pub struct WrittenRow {
    /// Its number, as a spreadsheet program counts.
    pub row: usize,
    /// Its handle.
    pub handle: Handle,
    /// What was stored.
    pub text: String,
    /// What is unusual about it.
    pub remarks: Vec<Misgiving>,
}

/// A row that came in before with other words.
#[derive(Clone, Debug)]
pub struct Before {
    /// Its number, as a spreadsheet program counts.
    pub row: usize,
    /// What was written then.
    pub handle: Handle,
    /// Its words; none where they were erased.
    pub text: Option<String>,
    /// What the row would say now.
    pub now: String,
}

/// Why a sheet could not be brought in at all.
#[derive(Debug, Error)]
pub enum NotBroughtIn {
    /// The mapping does not fit.
    #[error(transparent)]
    Mapping(#[from] MappingError),
    /// The world failed.
    #[error(transparent)]
    Fault(#[from] Fault),
}

/// Brings the rows of a sheet in, all or none unless told otherwise; a dry run writes nothing.
///
/// The rows are taken in the order of their days, and those of one day in the order of the sheet, so that a
/// sheet whose newest row stands first comes in as well.
///
/// # Errors
/// The mapping does not fit, or a fault of the store; then nothing was written.
pub fn bring_in(
    office: &mut Office,
    sheet: &Sheet,
    mapping: &Mapping,
    keep_good: bool,
    dry: bool,
    by: &str,
    surroundings: &mut dyn Surroundings,
) -> Result<Report, NotBroughtIn> {
    let mut report = Report {
        decimal_comma: mapping.decimal_comma,
        ..Report::default()
    };
    let mut planned = plan(sheet, mapping)?;
    let known = Known::of(office, &sheet.digest, mapping.verb.trim());
    let mut rows = known.pass_over(&mut planned, &mut report);
    rows.sort_by_key(|row| (row.day, row.row));
    let lines: Vec<&str> = rows.iter().map(|row| row.line.as_str()).collect();
    let writing = Writing {
        keep_good,
        by: by.to_owned(),
        origins: rows.iter().map(|row| row.origin.clone()).collect(),
        ..Writing::default()
    };
    let mut only_considers = dry || (!keep_good && !report.refused.is_empty());
    let mut outcome = match (lines.is_empty(), only_considers) {
        (true, _) => Outcome::default(),
        (false, true) => office.consider(&lines, &writing, surroundings)?,
        (false, false) => office.write(&lines, &writing, surroundings)?,
    };
    if !only_considers && !keep_good && !outcome.refused.is_empty() {
        // Nothing was written. What was held back with the refused rows is told as well.
        only_considers = true;
        outcome = office.consider(&lines, &writing, surroundings)?;
    }
    report.take(&rows, outcome, only_considers);
    Ok(report)
}

/// A row that is new.
struct New {
    row: usize,
    day: jiff::civil::Date,
    line: String,
    origin: String,
}

impl Report {
    fn take(&mut self, rows: &[New], outcome: Outcome, only_considers: bool) {
        let row = |line: usize| rows[line - 1].row;
        // Another program brought the same file in at the same moment.
        self.known += outcome.before.len() + outcome.known;
        for written in outcome.written {
            let row = row(written.line);
            match only_considers {
                true => self.planned.push(Row {
                    row,
                    line: written.text,
                    remarks: written.remarks,
                }),
                false => self.written.push(WrittenRow {
                    row,
                    handle: written.handle,
                    text: written.text,
                    remarks: written.remarks,
                }),
            }
        }
        self.refused.extend(
            outcome
                .refused
                .into_iter()
                .map(|refused| refused_row(row(refused.line), refused)),
        );
        self.planned.sort_by_key(|row| row.row);
        self.written.sort_by_key(|row| row.row);
        self.refused.sort_by_key(|row| row.row);
    }
}

fn refused_row(row: usize, refused: Refused) -> RefusedRow {
    let misgivings = match refused.why {
        Why::Impossible(misgivings) => misgivings,
        Why::Unreadable(unreadable) => return alone(row, unreadable.to_string()),
        Why::NoSuchNote(says) => return alone(row, says),
    };
    let fields: Vec<&'static str> = misgivings
        .iter()
        .filter_map(|misgiving| misgiving.field)
        .collect();
    let why = misgivings.iter().map(|misgiving| {
        let hint = misgiving.hint.as_ref();
        hint.map_or_else(
            || misgiving.says.clone(),
            |hint| format!("{} ({hint})", misgiving.says),
        )
    });
    RefusedRow {
        row,
        why: why.collect(),
        key: match fields.as_slice() {
            [only] if misgivings.len() == 1 => Some((*only).to_owned()),
            _ => None,
        },
    }
}

fn alone(row: usize, says: String) -> RefusedRow {
    RefusedRow {
        row,
        why: vec![says],
        key: None,
    }
}

/// What an entry says it comes from: the file by its digest, the row, and the verb, since one row may tell of
/// several things, each of which is brought in by itself.
fn origin(digest: &str, row: usize, verb: &str) -> String {
    format!("{ORIGIN}{digest} row {row} {verb}")
}

const ORIGIN: &str = "file ";

/// What came in from sheets before.
struct Known {
    digest: String,
    verb: String,
    /// What came in from this very file: the handle and the words, by origin.
    here: BTreeMap<String, (Handle, Option<String>)>,
    /// How often the same words came in with other files.
    elsewhere: BTreeMap<String, usize>,
}

impl Known {
    fn of(office: &mut Office, digest: &str, verb: &str) -> Self {
        let mut known = Self {
            digest: digest.to_owned(),
            verb: verb.to_lowercase(),
            here: BTreeMap::new(),
            elsewhere: BTreeMap::new(),
        };
        let own = format!("{ORIGIN}{digest} row ");
        for entry in office.library().books().entries() {
            let origin = entry.envelope.origin.as_str();
            if !origin.starts_with(ORIGIN) {
                continue;
            }
            let words = entry.note.as_deref().map(str::to_owned);
            if origin.starts_with(&own) {
                known.here.insert(origin.to_owned(), (entry.handle(), words));
            } else if let Some(words) = words {
                *known.elsewhere.entry(words).or_insert(0) += 1;
            }
        }
        known
    }

    /// The rows that are new. What is known and what cannot be read goes into the report.
    fn pass_over(mut self, planned: &mut Vec<Planned>, report: &mut Report) -> Vec<New> {
        let mut new = Vec::new();
        for Planned { row, day, line } in planned.drain(..) {
            let origin = origin(&self.digest, row, &self.verb);
            let line = match line {
                Ok(line) => line,
                Err(refused) => {
                    report.refused.push(refused);
                    continue;
                }
            };
            if let Some((handle, text)) = self.here.get(&origin) {
                report.known += 1;
                if text.as_deref() != Some(line.as_str()) {
                    report.otherwise.push(Before {
                        row,
                        handle: handle.clone(),
                        text: text.clone(),
                        now: line,
                    });
                }
                continue;
            }
            match self.elsewhere.get_mut(&line).filter(|count| **count > 0) {
                Some(count) => {
                    *count -= 1;
                    report.known += 1;
                }
                None => new.push(New {
                    row,
                    day,
                    line,
                    origin,
                }),
            }
        }
        new
    }
}
