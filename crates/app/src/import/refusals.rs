//! Refused rows as a sheet of their own: all their cells, with the reason, to be mended and handed in again.

use std::collections::BTreeMap;

use csv::{Terminator, WriterBuilder};

use super::bring_in::Report;
use super::sheet::Sheet;

/// What stands over the columns that a sheet of refused rows has beside its own.
const ADDED: [&str; 2] = ["row", "why"];

/// What a cell without a heading gets for one.
const EXTRA: &str = "extra ";

/// Whether a sheet holds rows that were refused before.
pub fn is_refusals(sheet: &Sheet) -> bool {
    sheet.columns.ends_with(&ADDED.map(str::to_owned))
}

/// Whether a column stands for cells that had no heading when their row was refused.
pub(super) fn is_extra(sheet: &Sheet, column: usize) -> bool {
    let number = sheet
        .columns
        .get(column)
        .and_then(|heading| heading.strip_prefix(EXTRA));
    is_refusals(sheet) && number.is_some_and(|number| number.parse::<usize>().is_ok())
}

/// The refused rows, parted by the same sign as the sheet they come from: its columns, the row's number there,
/// and why it was refused.
///
/// A cell that a spreadsheet program would calculate has an apostrophe before it, which is taken off again when
/// the sheet is read.
pub fn refused_csv(sheet: &Sheet, report: &Report) -> String {
    let own = match is_refusals(sheet) {
        true => sheet.columns.len() - ADDED.len(),
        false => sheet.columns.len(),
    };
    let numbers: BTreeMap<usize, usize> = (0..sheet.rows.len()).map(|at| (sheet.number(at), at)).collect();
    let rows: Vec<(usize, String)> = report
        .refused
        .iter()
        .filter_map(|refused| Some((*numbers.get(&refused.row)?, refused.why.join("; "))))
        .collect();
    let extra = rows
        .iter()
        .map(|(at, _)| sheet.rows[*at].len().saturating_sub(sheet.columns.len()))
        .max()
        .unwrap_or(0);
    let mut writer = WriterBuilder::new()
        .delimiter(sheet.origin.separator)
        .terminator(Terminator::CRLF)
        .from_writer(Vec::new());
    let headings = sheet.columns[..own].iter().map(|heading| disarmed(heading));
    let extras = (1..=extra).map(|number| format!("{EXTRA}{number}"));
    let headings = headings.chain(extras).chain(ADDED.map(str::to_owned));
    // Writing into memory cannot fail.
    let _ = writer.write_record(headings.collect::<Vec<_>>());
    for (at, why) in rows {
        let cells = &sheet.rows[at];
        let number = sheet.number(at).to_string();
        let cell = |column: usize| {
            let cell = cells.get(column).map_or("", String::as_str);
            match sheet.is_number(at, column) && report.decimal_comma {
                true => disarmed(&cell.replace('.', ",")),
                false => disarmed(cell),
            }
        };
        let behind = sheet.columns.len()..sheet.columns.len() + extra;
        let record: Vec<String> = (0..own)
            .chain(behind)
            .map(cell)
            .chain([number, disarmed(&why)])
            .collect();
        let _ = writer.write_record(record);
    }
    let bytes = writer.into_inner().unwrap_or_default();
    let text = String::from_utf8(bytes).unwrap_or_default();
    // Without the mark of UTF-8 some programs take letters beyond ASCII for others.
    match text.is_ascii() {
        true => text,
        false => format!("\u{feff}{text}"),
    }
}

fn disarmed(cell: &str) -> String {
    match is_armed(cell) {
        true => format!("'{cell}"),
        false => cell.to_owned(),
    }
}

/// Whether a spreadsheet program would calculate a cell rather than show it.
pub(super) fn is_armed(cell: &str) -> bool {
    let begins = cell.starts_with(['=', '+', '-', '@', '\t', '\r']);
    let is_number = || {
        let digits = cell.strip_prefix(['-', '+']).unwrap_or(cell);
        !digits.is_empty()
            && digits
                .chars()
                .all(|letter| letter.is_ascii_digit() || matches!(letter, '.' | ','))
    };
    begins && cell != "-" && !is_number()
}
