//! The way to the terminal: answers on standard output, refusals and faults on standard error.

use std::io::{ErrorKind, Write as _};
use std::process::ExitCode;

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

/// What a command goes on to do when all that it has to say is on the screen.
pub(crate) type Then = Box<dyn FnOnce() -> Result<(), Failure>>;

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

/// Prints what a command said, does what it goes on to do, and ends with its code.
pub(crate) fn say(said: Result<(Said, Option<Then>), Failure>, json: bool) -> ExitCode {
    match said {
        Ok((said, then)) => answer(&said, then, json),
        Err(failure) => failed(&failure),
    }
}

fn failed(failure: &Failure) -> ExitCode {
    complain(&format!("{}\n", failure.sentence()));
    ExitCode::from(failure.code())
}

fn answer(said: &Said, then: Option<Then>, json: bool) -> ExitCode {
    let printed = if json {
        print(&format!("{:#}\n", said.json))
    } else {
        print(&said.text)
    };
    complain(&said.refused);
    match printed {
        Ok(()) => match then.map_or(Ok(()), |then| then()) {
            Ok(()) => ExitCode::from(said.code),
            Err(failure) => failed(&failure),
        },
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
