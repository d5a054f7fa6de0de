//! Writing lines into the books, old or new.
//!
//! Holds true: a file is made only when something is written into it.

use app::{Office, Outcome, Writing};
use ledger::Device;
use store::MemoryStore;

use super::opening::{office_for_writing, surroundings};
use crate::args::Args;
use crate::exit::Failure;
use crate::output::Said;

/// What became of the lines.
pub(crate) struct Done {
    pub(crate) outcome: Outcome,
    /// The books, unless none were made.
    pub(crate) office: Option<Office>,
    /// Whether these are the first entries of a new file.
    pub(crate) is_new: bool,
}

/// Writes lines. Where there is no file yet, it is decided in memory first whether there is anything to write:
/// refused lines must not leave empty books behind.
pub(crate) fn write(
    args: &Args,
    device: Option<&Device>,
    lines: &[&str],
    writing: &Writing,
) -> Result<Done, Failure> {
    let was_missing = !args.books_path().exists();
    if was_missing {
        let outcome = tried(args, device, lines, writing)?;
        if outcome.written.is_empty() {
            return Ok(Done {
                outcome,
                office: None,
                is_new: false,
            });
        }
    }
    let mut office = office_for_writing(args, device.cloned())?;
    let outcome = office.write(lines, writing, &mut surroundings(args))?;
    // Another program may have made the file meanwhile; then its notes came first.
    let written = outcome.written.len();
    let is_new = was_missing && written > 0 && office.library().books().entries().len() == written;
    Ok(Done {
        outcome,
        office: Some(office),
        is_new,
    })
}

fn tried(
    args: &Args,
    device: Option<&Device>,
    lines: &[&str],
    writing: &Writing,
) -> Result<Outcome, Failure> {
    let mut surroundings = surroundings(args);
    let mut office = Office::open(Box::new(MemoryStore::new()), device.cloned(), &mut surroundings)?;
    Ok(office.write(lines, writing, &mut surroundings)?)
}

/// The answer, with the name of the books before it where they are new.
pub(crate) fn announced(args: &Args, is_new: bool, said: Said) -> Said {
    if !is_new {
        return said;
    }
    let text = format!("New books: {}\n{}", args.books_path().display(), said.text);
    Said { text, ..said }
}
