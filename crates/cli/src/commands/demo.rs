//! `demo`: the books of an invented valley.

use std::path::{Path, PathBuf};

use app::demo;
use ledger::{Fault, Scope, Store as _};
use store::SqliteStore;

use super::opening::{not_read, not_written};
use super::show;
use crate::args::Args;
use crate::exit::Failure;
use crate::output::Said;

pub(crate) fn run(args: &Args) -> Result<Said, Failure> {
    let path = args.books.clone().unwrap_or_else(|| PathBuf::from("demo.books"));
    clear_old_demo(&path)?;
    let store = SqliteStore::create(&path).map_err(|fault| not_written(&path, fault))?;
    let mut office = match demo::write(Box::new(store)) {
        Ok(office) => office,
        Err(demo::DemoError::Fault(fault)) => return Err(fault.into()),
        Err(error) => panic!("BUG: {error}"),
    };
    let count = office.library().books().entries().len();
    let round = show::round(&mut office, None, demo::TODAY);
    let text = format!(
        "Demo books of an invented valley: {} with {count} entries.\n\n{}",
        path.display(),
        round.text
    );
    Ok(Said { text, ..round })
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
