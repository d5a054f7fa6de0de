//! Opening the books, and saying truly why they cannot be opened.
//!
//! Holds true: asking makes no file; what is said of a file that cannot be opened was looked up first.

use std::fs::File;
use std::io::ErrorKind;
use std::path::Path;

use app::{Machine, Office};
use ledger::{Device, Fault};
use store::SqliteStore;

use crate::args::Args;
use crate::exit::Failure;

/// The clock and the randomness of this run.
pub(crate) fn surroundings(args: &Args) -> Machine {
    Machine { fixed: args.now }
}

/// Opens books for writing; where there are none, new ones are made.
pub(crate) fn office_for_writing(args: &Args, device: Option<Device>) -> Result<Office, Failure> {
    let store = store_for_writing(args)?;
    Ok(Office::open(Box::new(store), device, &mut surroundings(args))?)
}

/// Opens the file of the books for writing; where there is none, a new one is made.
pub(crate) fn store_for_writing(args: &Args) -> Result<SqliteStore, Failure> {
    let path = args.books_path();
    SqliteStore::open_or_create(&path).map_err(|fault| not_written(&path, fault))
}

/// Opens books that are there already, to change something in them.
pub(crate) fn office_for_changes(args: &Args) -> Result<Office, Failure> {
    let path = args.books_path();
    let store = SqliteStore::open(&path).map_err(|fault| not_read(&path, fault))?;
    Ok(Office::open(Box::new(store), None, &mut surroundings(args))?)
}

/// Opens books for answers alone.
pub(crate) fn office_for_answers(path: &Path) -> Result<Office, Failure> {
    let store = SqliteStore::open_read_only(path).map_err(|fault| not_read(path, fault))?;
    Ok(Office::open_for_answers(Box::new(store))?)
}

/// Whether a file can be read, or else why not.
pub(crate) fn readable(path: &Path) -> Result<(), Failure> {
    let name = path.display();
    let says = |says| Err(Failure::Place(says));
    if path.is_dir() {
        return says(format!("{name}: this is a folder. Name a file of books in it."));
    }
    match File::open(path) {
        Ok(_) => Ok(()),
        Err(error) if error.kind() == ErrorKind::NotFound => says(format!(
            "{name}: there are no books of that name; the first note makes them. Check the name and the folder."
        )),
        Err(error) => says(format!(
            "{name}: the file cannot be read: {error}. Allow reading it, or check the name."
        )),
    }
}

/// Why a file could not be opened that was to be there.
pub(crate) fn not_read(path: &Path, fault: Fault) -> Failure {
    match (readable(path), fault) {
        (Err(failure), Fault::Missing(_) | Fault::Failed(_)) => failure,
        // The file is there, so it is something beside it.
        (Ok(()), Fault::Missing(_)) => {
            Fault::ReadOnly("the log beside the file cannot be opened".into()).into()
        }
        (_, fault) => fault.into(),
    }
}

/// Why a file could not be opened that might have been made.
pub(crate) fn not_written(path: &Path, fault: Fault) -> Failure {
    let is_missing = matches!(fault, Fault::Missing(_));
    if !is_missing || path.exists() {
        return not_read(path, fault);
    }
    let folder = path
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    if folder.try_exists().is_ok_and(|exists| !exists) {
        return Failure::Place(format!(
            "{}: the folder {} is not there. Make it, or check the name.",
            path.display(),
            folder.display()
        ));
    }
    Fault::ReadOnly(format!("no file can be made in {}", folder.display()).into()).into()
}

/// Refuses a file that is not one of books. A damaged file may look like another one; if a single whole entry
/// is left in it, it is one.
pub(crate) fn refuse_other_files(path: &Path) -> Result<(), Failure> {
    readable(path)?;
    match SqliteStore::open_read_only(path) {
        Err(Fault::NotBooks) if entries_left(path)? == 0 => Err(Fault::NotBooks.into()),
        _ => Ok(()),
    }
}

/// How many entries a rescue would save, tried out where nobody else looks.
fn entries_left(path: &Path) -> Result<usize, Failure> {
    let failed = |error| Failure::File(std::env::temp_dir().display().to_string(), error);
    let folder = tempfile::tempdir().map_err(failed)?;
    let report = store::rescue(path, &folder.path().join("rescued"))?;
    Ok(report.entries)
}
