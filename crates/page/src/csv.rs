//! Tables for a spreadsheet: RFC 4180, UTF-8, lines ended by carriage return and line feed.
//!
//! Amounts are bare digits; the heading says their unit. Whatever a spreadsheet would take for a formula gets
//! an apostrophe before it, so that a name stays a name.
//!
//! Start at [`table()`].

use crate::align::is_number;
use crate::table::Table;
use crate::words::{Span, Words};

/// The headings, then the rows, every column of them.
pub fn table(table: &Table) -> String {
    let mut writer = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .flexible(true)
        .from_writer(Vec::new());
    let headings = table.columns.iter().map(|column| harmless(&column.heading));
    let rows = table.rows.iter().map(|row| row.cells.iter().map(cell).collect());
    for record in std::iter::once(headings.collect::<Vec<_>>()).chain(rows) {
        writer
            .write_record(record)
            .expect("BUG: writing to memory failed");
    }
    let bytes = writer.into_inner().expect("BUG: writing to memory failed");
    String::from_utf8(bytes).expect("BUG: text written as CSV is text no longer")
}

fn cell(said: &Words) -> String {
    match said.0.as_slice() {
        [Span::Amount(amount)] => harmless(&amount.digits),
        _ => harmless(&said.to_string()),
    }
}

/// Spreadsheets calculate whatever begins with one of these, and some of them pass over blanks before it.
fn harmless(text: &str) -> String {
    let begins = text.trim_start().starts_with(['=', '+', '-', '@']);
    if begins && !is_number(text) {
        format!("'{text}")
    } else {
        text.to_owned()
    }
}
