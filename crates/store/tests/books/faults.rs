//! A disk that is full, cannot be written, or fails to synchronise: each time a clear fault, and
//! nothing lost or half-written.

use ledger::{Appended, Entry, Fault, Scope, Store};
use std::path::Path;
use store::conformance::{FARM, Pen};
use store::{Options, SqliteStore};
use torn_vfs::Disk;

const FILE: &str = "books";

fn options(disk: &Disk) -> Options {
    Options {
        vfs: Some(disk.name().to_owned()),
        ..Options::default()
    }
}

fn open(disk: &Disk) -> Result<SqliteStore, Fault> {
    let mut store = SqliteStore::create_with(Path::new(FILE), &options(disk))?;
    store.create_farm(FARM)?;
    Ok(store)
}

/// A day's work; goes on where it stopped when it is called again after a fault.
fn work(store: &mut SqliteStore, pen: &mut Pen, answered: &mut Vec<Entry>) -> Result<(), Fault> {
    while answered.len() < 16 {
        let mut ahead = pen.clone();
        let words = "x".repeat(answered.len() * 800);
        let entries = [ahead.note(&words), ahead.note("look alder bar 1")];
        assert_eq!(store.append(FARM, &pen.heads, &entries)?, Appended::Written);
        answered.extend(entries);
        *pen = ahead;
    }
    store.put_attachment(FARM, &vec![7; 30_000])?;
    store.put_setting(FARM, Scope::Device, "mass", "kg")?;
    store.blank(FARM, &answered[3].digest)
}

/// Makes the n-th write go wrong, for n = 1, 2, … until none does.
fn until_success(
    at_least: usize,
    fault: impl Fn(u64) -> torn_vfs::Fault,
    is_expected: impl Fn(&Fault) -> bool,
) {
    let disk = Disk::new(1);
    let mut failed = 0;
    for n in 1.. {
        disk.wipe(n);
        disk.set_fault(fault(n));
        failed += life(&disk, &is_expected);
        if !disk.has_struck() {
            break;
        }
    }
    assert!(failed >= at_least, "only {failed} faults were noticed");
}

/// Works through all faults, repairing the disk after each, and says how many there were.
fn life(disk: &Disk, is_expected: impl Fn(&Fault) -> bool) -> usize {
    let mut faults = 0;
    let mut expect = |fault: Fault| {
        assert!(is_expected(&fault), "{fault:?}");
        assert!(!fault.action().is_empty());
        disk.repair();
        faults += 1;
    };
    let mut store = open(disk).or_else(|fault| {
        expect(fault);
        open(disk)
    });
    let store = store.as_mut().expect("books, now that the disk is repaired");
    let (mut pen, mut answered) = (Pen::new(FARM, "laptop"), Vec::new());
    while let Err(fault) = work(store, &mut pen, &mut answered) {
        expect(fault);
        whole(store, &answered);
    }
    whole(store, &answered);
    faults
}

/// What was answered is there, and nothing else.
#[track_caller]
fn whole(store: &SqliteStore, answered: &[Entry]) {
    let books = ledger::load(store, FARM).expect("books that can be loaded");
    assert_eq!(books.entries().len(), answered.len());
    for (kept, entry) in books.entries().iter().zip(answered) {
        assert_eq!(kept.digest, entry.digest);
        assert_eq!(kept.verify(), Ok(()));
        assert!(kept.note.is_some() || entry.digest == answered[3].digest);
    }
}

#[test]
fn a_disk_that_is_full_for_a_moment_loses_nothing() {
    until_success(100, torn_vfs::Fault::FullOnce, |fault| {
        matches!(fault, Fault::DiskFull(_))
    });
}

#[test]
fn a_disk_that_stays_full_loses_nothing() {
    until_success(100, torn_vfs::Fault::FullFrom, |fault| {
        matches!(fault, Fault::DiskFull(_))
    });
}

#[test]
fn a_failed_synchronisation_loses_nothing() {
    until_success(15, torn_vfs::Fault::SyncFails, |fault| {
        matches!(fault, Fault::Failed(_))
    });
}

#[test]
fn a_disk_that_cannot_be_written_is_told() {
    let disk = Disk::new(1);
    let mut store = open(&disk).unwrap();
    let mut pen = Pen::new(FARM, "laptop");
    disk.set_fault(torn_vfs::Fault::ReadOnly);
    let before = pen.heads.clone();
    let refused = store.append(FARM, &before, &[pen.note("look alder bar 1")]);
    assert!(matches!(refused, Err(Fault::ReadOnly(_))), "{refused:?}");
    drop(store);
    let refused = SqliteStore::open_with(Path::new(FILE), &options(&disk));
    assert!(matches!(refused, Err(Fault::ReadOnly(_))), "{refused:?}");
}
