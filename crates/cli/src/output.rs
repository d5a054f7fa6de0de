//! The way to the terminal: answers on standard output, refusals and faults on standard error.

use std::io::Write as _;
use std::process::ExitCode;

use comfy_table::{CellAlignment, ContentArrangement, Table, presets};
use serde_json::Value;

use crate::exit::Failure;

/// What a command has to say.
#[derive(Debug, Default)]
pub(crate) struct Said {
    /// For people.
    pub(crate) text: String,
    /// For programs.
    pub(crate) json: Value,
    /// What was refused, for people, on standard error.
    pub(crate) refused: String,
    /// The code to end with.
    pub(crate) code: u8,
}

impl Said {
    pub(crate) fn new(text: impl Into<String>, json: Value) -> Self {
        Self {
            text: text.into(),
            json,
            refused: String::new(),
            code: 0,
        }
    }
}

/// Prints what a command said, and ends with its code. A reader who has gone away is no fault of ours.
pub(crate) fn say(said: Result<Said, Failure>, json: bool) -> ExitCode {
    match said {
        Ok(said) => {
            let text = if json {
                format!("{:#}\n", said.json)
            } else {
                said.text
            };
            let _ = std::io::stdout().lock().write_all(text.as_bytes());
            if !said.refused.is_empty() {
                let _ = std::io::stderr().lock().write_all(said.refused.as_bytes());
            }
            ExitCode::from(said.code)
        }
        Err(failure) => {
            let _ = writeln!(std::io::stderr().lock(), "{}", failure.sentence());
            ExitCode::from(failure.code())
        }
    }
}

/// A plain table: the headings, and which columns hold numbers.
pub(crate) fn table(headings: &[&str], numbers: &[usize], rows: Vec<Vec<String>>) -> String {
    let mut table = Table::new();
    table
        .load_style(presets::NOTHING)
        .set_content_arrangement(ContentArrangement::Disabled);
    table.set_header(headings);
    table.add_rows(rows);
    for column in numbers {
        if let Some(column) = table.column_mut(*column) {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    let lines = table.lines().map(|line| line.trim_end().to_owned());
    lines
        .map(|line| format!("{}\n", line.strip_prefix(' ').unwrap_or(&line)))
        .collect()
}
