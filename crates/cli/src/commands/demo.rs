//! `demo`: the books of an invented valley, and their pages.

use std::path::{Path, PathBuf};

use app::{Machine, Office, demo};
use ledger::{Fault, Scope, Store as _};
use store::SqliteStore;

use super::opening::{not_read, not_written};
use super::{open, show};
use crate::args::Args;
use crate::exit::Failure;
use crate::output::{Said, Then};

pub(crate) fn run(args: &Args) -> Result<Said, Failure> {
    made(args).map(|(_, said)| said)
}

/// Makes the demo books and serves their pages. For them it is always the demo's last day, unless told
/// otherwise: in another year every colony would be long overdue.
pub(crate) fn serve(args: &Args, port: Option<u16>) -> Result<(Said, Option<Then>), Failure> {
    // Without a port there are no pages, and nothing should be replaced for that.
    let doors = open::doors(port)?;
    let (office, said) = made(args)?;
    let surroundings = Machine {
        fixed: args.now.or(Some(demo::TODAY.at(8, 0, 0, 0))),
    };
    let setup = open::setup(&books_path(args), &doors);
    Ok(open::announced(
        said,
        doors,
        web::Desk::new(office, Box::new(surroundings), setup),
    ))
}

fn books_path(args: &Args) -> PathBuf {
    args.books.clone().unwrap_or_else(|| PathBuf::from("demo.books"))
}

fn made(args: &Args) -> Result<(Office, Said), Failure> {
    let path = books_path(args);
    clear_old_demo(&path)?;
    let store = SqliteStore::create(&path).map_err(|fault| not_written(&path, fault))?;
    let mut office = match demo::write(Box::new(store)) {
        Ok(office) => office,
        Err(demo::DemoError::Fault(fault)) => return Err(fault.into()),
        Err(error) => panic!("BUG: {error}"),
    };
    let count = office.library().books().entries().len();
    let round = show::round(&office, None, demo::TODAY);
    let text = format!(
        "Demo books of an invented valley: {} with {count} entries.\n\n{}",
        path.display(),
        round.text
    );
    Ok((office, Said { text, ..round }))
}

/// Takes an earlier demo out of the way; anything else of that name is left alone.
fn clear_old_demo(path: &Path) -> Result<(), Failure> {
    if !path.exists() {
        return Ok(());
    }
    let is_demo = |store: &SqliteStore| -> Result<bool, Fault> {
        match store.farms()?.first() {
            Some(farm) => Ok(store.setting(*farm, Scope::Farm, demo::MARK)?.is_some()),
            None => Ok(true),
        }
    };
    let old = SqliteStore::open_read_only(path).map_err(|fault| not_read(path, fault))?;
    if !is_demo(&old)? {
        return Err(Fault::Exists.into());
    }
    drop(old);
    for end in ["", "-wal", "-shm"] {
        let file = PathBuf::from(format!("{}{end}", path.display()));
        match std::fs::remove_file(&file) {
            Err(error) if error.kind() != std::io::ErrorKind::NotFound => {
                return Err(Failure::File(file.display().to_string(), error));
            }
            _ => {}
        }
    }
    Ok(())
}
