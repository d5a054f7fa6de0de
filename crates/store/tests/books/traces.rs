//! What was erased must not be found in any byte of any file.

use ledger::{Entry, Person, Store};
use std::path::Path;
use store::SqliteStore;
use store::conformance::{FARM, Pen};

/// Whether some file in the folder holds these bytes.
fn is_found(folder: &Path, wanted: &[u8]) -> bool {
    let files = std::fs::read_dir(folder)
        .unwrap()
        .map(|file| std::fs::read(file.unwrap().path()).unwrap());
    files
        .into_iter()
        .any(|bytes| bytes.windows(wanted.len()).any(|window| window == wanted))
}

#[test]
fn a_blanked_note_leaves_no_trace() {
    let folder = tempfile::tempdir().unwrap();
    let mut store = SqliteStore::create(&folder.path().join("farm.books")).unwrap();
    store.create_farm(FARM).unwrap();
    let mut pen = Pen::new(FARM, "laptop");
    let secret = |at: usize| format!("sell 3 jars to secret-{at:04} ") + &"y".repeat(at * at * 11 % 7_000);
    let entries: Vec<Entry> = (0..60).map(|at| pen.note(&secret(at))).collect();
    for part in entries.chunks(7) {
        assert_eq!(store.add(FARM, part).unwrap(), part.len());
    }
    for (at, entry) in entries.iter().enumerate().step_by(3) {
        let (mark, salt) = (format!("secret-{at:04}"), *entry.salt.unwrap().as_bytes());
        assert!(
            is_found(folder.path(), mark.as_bytes()),
            "the search itself works"
        );
        store.blank(FARM, &entry.digest).unwrap();
        assert!(!is_found(folder.path(), mark.as_bytes()), "{at}");
        assert!(!is_found(folder.path(), &salt), "the salt of {at}");
    }
    assert!(
        is_found(folder.path(), b"secret-0001"),
        "the others are as they were"
    );
}

#[test]
fn an_erased_person_leaves_no_trace() {
    let folder = tempfile::tempdir().unwrap();
    let mut store = SqliteStore::create(&folder.path().join("farm.books")).unwrap();
    store.create_farm(FARM).unwrap();
    let page = |at: usize, street: &str| -> Person {
        let long = "z".repeat(at * 37 % 900);
        [
            ("name", format!("secret-{at:04} {long}")),
            ("street", street.to_owned()),
        ]
        .map(|(heading, line)| (heading.to_owned(), line))
        .into()
    };
    // Out of order, so that pages are split and lines moved about.
    for at in (0..120).map(|at| at * 71 % 120) {
        store
            .put_person(
                FARM,
                &format!("person-{at}"),
                &page(at, &format!("old-street-{at:04}")),
            )
            .unwrap();
    }
    for at in (0..120).step_by(2) {
        store
            .put_person(FARM, &format!("person-{at}"), &page(at, "new"))
            .unwrap();
        assert!(
            !is_found(folder.path(), format!("old-street-{at:04}").as_bytes()),
            "{at}"
        );
    }
    for at in (0..120).step_by(5) {
        store.erase_person(FARM, &format!("person-{at}")).unwrap();
        assert!(
            !is_found(folder.path(), format!("secret-{at:04}").as_bytes()),
            "{at}"
        );
    }
    assert!(
        is_found(folder.path(), b"secret-0001"),
        "the others are as they were"
    );
}
