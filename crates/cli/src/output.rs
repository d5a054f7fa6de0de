//! The way to the terminal: answers on standard output, refusals and faults on standard error.

use std::io::{ErrorKind, Write as _};
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

/// Prints what a command said, and ends with its code.
pub(crate) fn say(said: Result<Said, Failure>, json: bool) -> ExitCode {
    match said {
        Ok(said) => answer(&said, json),
        Err(failure) => {
            complain(&format!("{}\n", failure.sentence()));
            ExitCode::from(failure.code())
        }
    }
}

fn answer(said: &Said, json: bool) -> ExitCode {
    let printed = if json {
        print(&format!("{:#}\n", said.json))
    } else {
        print(&said.text)
    };
    complain(&said.refused);
    match printed {
        Ok(()) => ExitCode::from(said.code),
        Err(error) => {
            complain(&format!(
                "Standard output: {error}. The answer could not be put out; whatever the command did stands.\n"
            ));
            ExitCode::from(CANNOT_BE_WRITTEN)
        }
    }
}

/// The code for an answer that cannot be put out, the same as for any file that cannot be written.
const CANNOT_BE_WRITTEN: u8 = 74;

/// A reader who has gone away has read enough, and is no fault of ours.
fn print(text: &str) -> std::io::Result<()> {
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != ErrorKind::BrokenPipe => Err(error),
        _ => Ok(()),
    }
}

/// Where even this cannot be said, the code alone has to tell.
fn complain(text: &str) {
    let _ = std::io::stderr().lock().write_all(text.as_bytes());
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
