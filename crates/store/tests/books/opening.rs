//! Files that are not what they should be, and files on media that cannot be written.

use ledger::{Fault, Store};
use std::path::{Path, PathBuf};
use store::SqliteStore;
use store::conformance::{FARM, Pen, books_in};

fn books(folder: &Path) -> PathBuf {
    let file = folder.join("ein Hof, 100 %?.books");
    let mut store = SqliteStore::create(&file).unwrap();
    store.create_farm(FARM).unwrap();
    let mut pen = Pen::new(FARM, "laptop");
    assert_eq!(store.add(FARM, &[pen.note("look alder bar 1"), pen.note("look alder bar 2")]).unwrap(), 2);
    file
}

#[test]
fn a_file_that_is_not_there_is_not_made_by_opening_it() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("none.books");
    assert!(matches!(SqliteStore::open(&file), Err(Fault::Missing(_))));
    assert!(matches!(SqliteStore::open_read_only(&file), Err(Fault::Missing(_))));
    assert!(matches!(SqliteStore::create(&folder.path().join("no/folder")), Err(Fault::Missing(_))));
    assert!(!file.exists());
}

#[test]
fn a_file_that_is_there_is_not_made_anew() {
    let folder = tempfile::tempdir().unwrap();
    let file = books(folder.path());
    assert!(matches!(SqliteStore::create(&file), Err(Fault::Exists)));
    assert_eq!(books_in(&SqliteStore::open_or_create(&file).unwrap(), FARM).entries().len(), 2);
}

#[test]
fn a_file_of_something_else_is_left_as_it_is() {
    let folder = tempfile::tempdir().unwrap();
    let letter = folder.path().join("letter.txt");
    let text = "Dear Ann,\n".repeat(1_000);
    std::fs::write(&letter, &text).unwrap();
    let other = folder.path().join("other.sqlite");
    rusqlite::Connection::open(&other).unwrap().execute_batch("CREATE TABLE hens (name TEXT)").unwrap();
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
    rusqlite::Connection::open(&file).unwrap().pragma_update(None, "user_version", 7).unwrap();
    assert!(matches!(SqliteStore::open(&file), Err(Fault::TooNew { found: 7, known: 1 })));
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
