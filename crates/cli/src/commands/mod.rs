//! The commands, one file each.

mod books;
mod demo;
mod note;
pub(crate) mod show;

use std::path::Path;

use app::{Machine, Office};
use clap::CommandFactory as _;
use ledger::{Device, Store};
use serde_json::Value;
use store::SqliteStore;

use crate::args::{Args, Command};
use crate::exit::Failure;
use crate::output::Said;

pub(crate) fn run(args: &Args) -> Result<Said, Failure> {
    match &args.command {
        Command::Demo { no_serve: _ } => demo::run(args),
        Command::Note(asked) => note::run(args, asked),
        Command::Show { topic, on } => show::run(args, topic, *on),
        Command::Reckon(asked) => reckon(args, asked),
        Command::Books { what } => books::run(args, what),
        Command::Completions { shell } => Ok(completions(*shell)),
        Command::Man { folder } => man(folder),
    }
}

fn reckon(args: &Args, asked: &crate::reckon::ReckonArgs) -> Result<Said, Failure> {
    let reckoned = crate::reckon::run(asked, args.json).map_err(|refused| Failure::Refused(refused.0))?;
    Ok(Said::new(reckoned.text, reckoned.json))
}

/// The clock and the randomness of this run.
pub(crate) fn surroundings(args: &Args) -> Machine {
    Machine { fixed: args.now }
}

/// Opens books for writing; where there are none, new ones are made.
pub(crate) fn office_for_writing(args: &Args, device: Option<Device>) -> Result<Office, Failure> {
    let store = SqliteStore::open_or_create(&args.books_path())?;
    Ok(Office::open(Box::new(store), device, &mut surroundings(args))?)
}

/// Opens books for answers alone.
pub(crate) fn office_for_answers(path: &Path) -> Result<Office, Failure> {
    let store: Box<dyn Store + Send> =
        Box::new(SqliteStore::open_read_only(path).map_err(|fault| missing(path, fault))?);
    Ok(Office::open_for_answers(store)?)
}

fn missing(path: &Path, fault: ledger::Fault) -> Failure {
    match fault {
        ledger::Fault::Missing(_) => Failure::File(
            path.display().to_string(),
            std::io::Error::new(
                std::io::ErrorKind::NotFound,
                "there are no books of that name; the first note makes them",
            ),
        ),
        other => Failure::Fault(other),
    }
}

fn completions(shell: clap_complete::Shell) -> Said {
    let mut out = Vec::new();
    clap_complete::generate(shell, &mut Args::command(), "combwright", &mut out);
    Said::new(String::from_utf8_lossy(&out), Value::Null)
}

fn man(folder: &Path) -> Result<Said, Failure> {
    let failed = |error| Failure::File(folder.display().to_string(), error);
    std::fs::create_dir_all(folder).map_err(failed)?;
    clap_mangen::generate_to(Args::command(), folder).map_err(failed)?;
    Ok(Said::new(
        format!("The manual pages are in {}.\n", folder.display()),
        Value::Null,
    ))
}
