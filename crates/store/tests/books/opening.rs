//! Files that are not what they should be, and files on media that cannot be written.

use ledger::{Appended, Digest, Fault, Problem, Store};
use std::path::{Path, PathBuf};
use std::time::Duration;
use store::conformance::{FARM, Pen, books_in};
use store::{Options, SqliteStore, check, rescue};

fn books(folder: &Path) -> PathBuf {
    let file = folder.join("ein Hof, 100 %?.books");
    let mut store = SqliteStore::create(&file).unwrap();
    store.create_farm(FARM).unwrap();
    let mut pen = Pen::new(FARM, "laptop");
    assert_eq!(
        store
            .add(
                FARM,
                &[pen.note("look alder bar 1"), pen.note("look alder bar 2")]
            )
            .unwrap(),
        2
    );
    file
}

#[test]
fn a_file_that_is_not_there_is_not_made_by_opening_it() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("none.books");
    assert!(matches!(SqliteStore::open(&file), Err(Fault::Missing(_))));
    assert!(matches!(
        SqliteStore::open_read_only(&file),
        Err(Fault::Missing(_))
    ));
    assert!(matches!(
        SqliteStore::create(&folder.path().join("no/folder")),
        Err(Fault::Missing(_))
    ));
    assert!(!file.exists());
}

#[test]
fn a_file_that_is_there_is_not_made_anew() {
    let folder = tempfile::tempdir().unwrap();
    let file = books(folder.path());
    assert!(matches!(SqliteStore::create(&file), Err(Fault::Exists)));
    assert_eq!(
        books_in(&SqliteStore::open_or_create(&file).unwrap(), FARM)
            .entries()
            .len(),
        2
    );
}

#[test]
fn a_file_of_something_else_is_left_as_it_is() {
    let folder = tempfile::tempdir().unwrap();
    let letter = folder.path().join("letter.txt");
    let text = "Dear Ann,\n".repeat(1_000);
    std::fs::write(&letter, &text).unwrap();
    let other = folder.path().join("other.sqlite");
    rusqlite::Connection::open(&other)
        .unwrap()
        .execute_batch("CREATE TABLE hens (name TEXT)")
        .unwrap();
    for file in [&letter, &other] {
        assert!(matches!(SqliteStore::open(file), Err(Fault::NotBooks)));
        assert!(matches!(SqliteStore::open_or_create(file), Err(Fault::NotBooks)));
        assert!(matches!(SqliteStore::open_read_only(file), Err(Fault::NotBooks)));
    }
    assert_eq!(std::fs::read_to_string(&letter).unwrap(), text);
}

#[test]
fn books_of_a_newer_version_are_left_as_they_are() {
    let folder = tempfile::tempdir().unwrap();
    let file = books(folder.path());
    rusqlite::Connection::open(&file)
        .unwrap()
        .pragma_update(None, "user_version", 7)
        .unwrap();
    assert!(matches!(
        SqliteStore::open(&file),
        Err(Fault::TooNew { found: 7, known: 1 })
    ));
}

#[test]
fn books_can_be_read_where_nothing_can_be_written() {
    let folder = tempfile::tempdir().unwrap();
    let file = books(folder.path());
    let mut store = SqliteStore::open_read_only(&file).unwrap();
    assert_eq!(books_in(&store, FARM).entries().len(), 2);
    let refused = store.add(FARM, &[Pen::new(FARM, "phone").note("x")]);
    assert!(matches!(refused, Err(Fault::ReadOnly(_))), "{refused:?}");
}

/// A link to nowhere in the place of the log's index stands for a medium that cannot be written.
#[test]
#[cfg(unix)]
fn books_can_be_read_where_no_log_can_be_kept() {
    let folder = tempfile::tempdir().unwrap();
    let file = books(folder.path());
    let mut beside = file.clone().into_os_string();
    beside.push("-shm");
    std::os::unix::fs::symlink(folder.path().join("nowhere/at all"), &beside).unwrap();
    assert_eq!(
        books_in(&SqliteStore::open_read_only(&file).unwrap(), FARM)
            .entries()
            .len(),
        2
    );
    assert!(SqliteStore::open(&file).is_err());
}

#[test]
fn who_waits_in_vain_for_another_writer_is_told_so() {
    let folder = tempfile::tempdir().unwrap();
    let file = books(folder.path());
    let other = rusqlite::Connection::open(&file).unwrap();
    other.execute_batch("BEGIN IMMEDIATE").unwrap();
    let options = Options {
        patience: Duration::from_millis(20),
        ..Options::default()
    };
    let mut store = SqliteStore::open_with(&file, &options).unwrap();
    let books = books_in(&store, FARM);
    let next = Pen::after(FARM, "laptop", books.heads()).note("look alder bar 3");
    let refused = store.append(FARM, books.heads(), std::slice::from_ref(&next));
    assert!(matches!(refused, Err(Fault::Locked(_))), "{refused:?}");
    other.execute_batch("ROLLBACK").unwrap();
    assert_eq!(
        store.append(FARM, books.heads(), &[next]).unwrap(),
        Appended::Written
    );
}

#[test]
fn words_are_not_called_erased_while_another_program_reads_the_log() {
    let folder = tempfile::tempdir().unwrap();
    let file = books(folder.path());
    let options = Options {
        patience: Duration::from_millis(20),
        ..Options::default()
    };
    let mut store = SqliteStore::open_with(&file, &options).unwrap();
    let digest = books_in(&store, FARM).entries()[0].digest;
    assert_eq!(
        store
            .add(FARM, &[Pen::new(FARM, "phone").note("look alder bar 3")])
            .unwrap(),
        1
    );
    let other = rusqlite::Connection::open(&file).unwrap();
    other.execute_batch("BEGIN; SELECT count(*) FROM entry").unwrap();
    let refused = store.blank(FARM, &digest);
    assert!(matches!(refused, Err(Fault::NotYetErased(_))), "{refused:?}");
    other.execute_batch("ROLLBACK").unwrap();
    store.blank(FARM, &digest).unwrap();
}

/// An entry of a newer version at the end of a chain: it is kept, named, and written after.
#[test]
fn entries_of_a_newer_version_are_kept_and_the_chain_goes_on() {
    let folder = tempfile::tempdir().unwrap();
    let file = books(folder.path());
    let envelope = b"CWE\x09 of the year 2040";
    let digest = Digest::of(envelope);
    let insert = "INSERT INTO entry (farm, device, number, digest, envelope, salt, note)
         VALUES (?1, 'laptop', 3, ?2, ?3, zeroblob(16), 'look alder bar 3')";
    let other = rusqlite::Connection::open(&file).unwrap();
    other
        .execute(
            insert,
            rusqlite::params![FARM.as_bytes(), digest.as_bytes(), envelope],
        )
        .unwrap();
    let mut store = SqliteStore::open(&file).unwrap();
    let books = books_in(&store, FARM);
    assert_eq!(books.problems(), [Problem::Unread { digest }]);
    let next = Pen::after(FARM, "laptop", books.heads()).note("look alder bar 4");
    assert_eq!((next.envelope.number, next.envelope.previous), (4, Some(digest)));
    assert_eq!(
        store.append(FARM, books.heads(), &[next]).unwrap(),
        Appended::Written
    );
    assert!(check(&file).unwrap().is_sound());
    let saved = folder.path().join("saved.books");
    assert_eq!(rescue(&file, &saved).unwrap().entries, 4);
    assert_eq!(
        books_in(&SqliteStore::open(&saved).unwrap(), FARM).unread().len(),
        1
    );
}

#[test]
fn a_damaged_entry_is_healed_by_its_whole_copy() {
    let folder = tempfile::tempdir().unwrap();
    let file = books(folder.path());
    let mut store = SqliteStore::open(&file).unwrap();
    let whole = books_in(&store, FARM).entries().to_vec();
    let other = rusqlite::Connection::open(&file).unwrap();
    other
        .execute("UPDATE entry SET note = 'look alder bar 7' WHERE number = 2", [])
        .unwrap();
    let hurt = books_in(&store, FARM);
    assert_eq!((hurt.entries().len(), hurt.unread().len()), (1, 1));
    assert_eq!(store.add(FARM, &whole).unwrap(), 1);
    assert_eq!(books_in(&store, FARM).entries(), whole);
    assert_eq!(store.add(FARM, &whole).unwrap(), 0);
}

#[test]
fn reading_and_writing_at_once_do_not_disturb_each_other() {
    let folder = tempfile::tempdir().unwrap();
    let file = books(folder.path());
    let reader = SqliteStore::open_read_only(&file).unwrap();
    let mut writer = SqliteStore::open(&file).unwrap();
    let mut seen = 0;
    reader
        .load(FARM, &mut |_| {
            seen += 1;
            let next = Pen::new(FARM, &format!("phone-{seen}")).note("look alder bar 3");
            assert_eq!(writer.add(FARM, &[next]).unwrap(), 1);
        })
        .unwrap();
    assert_eq!(seen, 2, "the reader sees the books as they were when it began");
    assert_eq!(books_in(&reader, FARM).entries().len(), 4);
}
