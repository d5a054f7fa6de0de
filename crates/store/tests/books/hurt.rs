//! Files that were hurt: bytes flipped, cut short, the first page gone.

use ledger::{Entry, Scope, Store};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use store::conformance::{FARM, Pen, books_in};
use store::{Finding, RescueReport, SqliteStore, check, rescue};

/// Books of so many entries, closed, so that all is in one file.
fn books(folder: &Path, count: usize) -> (PathBuf, Vec<Entry>) {
    let file = folder.join("farm.books");
    let (store, entries) = open_books(&file, count);
    drop(store);
    (file, entries)
}

fn open_books(file: &Path, count: usize) -> (SqliteStore, Vec<Entry>) {
    let mut store = SqliteStore::create(file).unwrap();
    store.create_farm(FARM).unwrap();
    let mut pen = Pen::new(FARM, "laptop");
    let words = |at: usize| {
        format!(
            "look alder bar {at} {}",
            "x".repeat(if at % 9 == 4 { 6_000 + at } else { at * 3 })
        )
    };
    let entries: Vec<Entry> = (0..count).map(|at| pen.note(&words(at))).collect();
    assert_eq!(store.add(FARM, &entries).unwrap(), count);
    store.put_attachment(FARM, &[9; 20_000]).unwrap();
    store
        .put_person(FARM, "ann", &[("name".to_owned(), "A. Moss".to_owned())].into())
        .unwrap();
    store.put_setting(FARM, Scope::Farm, "mass", "kg").unwrap();
    (store, entries)
}

fn place_of(bytes: &[u8], wanted: &[u8]) -> usize {
    bytes
        .windows(wanted.len())
        .position(|window| window == wanted)
        .expect("it is there")
}

/// Rescues some bytes; what comes out is sound, and each entry in it is one of these.
#[track_caller]
fn rescued(
    folder: &Path,
    bytes: &[u8],
    log: Option<&[u8]>,
    entries: &[Entry],
) -> (RescueReport, BTreeSet<u64>) {
    let (from, to) = (folder.join("hurt.books"), folder.join("saved.books"));
    std::fs::write(&from, bytes).unwrap();
    std::fs::write(folder.join("hurt.books-wal"), log.unwrap_or_default()).unwrap();
    let _ = std::fs::remove_file(&to);
    let report = rescue(&from, &to).unwrap();
    assert_eq!(
        std::fs::read(&from).unwrap(),
        bytes,
        "the hurt file is left as it was"
    );
    let mut saved = BTreeSet::new();
    if report.entries > 0 {
        let store = SqliteStore::open(&to).unwrap();
        for entry in books_in(&store, FARM).entries() {
            assert_eq!(
                *entry,
                entries[usize::try_from(entry.envelope.number).unwrap() - 1]
            );
            saved.insert(entry.envelope.number);
        }
    }
    assert!(check(&to).unwrap().is_sound());
    assert_eq!(saved.len(), report.entries);
    (report, saved)
}

#[test]
fn sound_books_are_found_sound() {
    let folder = tempfile::tempdir().unwrap();
    let (file, _) = books(folder.path(), 60);
    let before = std::fs::read(&file).unwrap();
    let report = check(&file).unwrap();
    assert_eq!((report.entries, &report.findings[..]), (60, &[][..]));
    assert_eq!(std::fs::read(&file).unwrap(), before);
    let (report, saved) = rescued(folder.path(), &before, None, &books_again(60));
    assert_eq!((saved.len(), report.carved), (60, 0));
    assert_eq!((report.attachments, report.people, report.settings), (1, 1, 1));
    assert_eq!((&report.lost[..], &report.remarks[..]), (&[][..], &[][..]));
}

fn books_again(count: usize) -> Vec<Entry> {
    let folder = tempfile::tempdir().unwrap();
    books(folder.path(), count).1
}

#[test]
fn a_flipped_byte_in_an_entry_is_told_by_its_name() {
    let folder = tempfile::tempdir().unwrap();
    let (file, entries) = books(folder.path(), 60);
    let bytes = std::fs::read(&file).unwrap();
    for (at, entry) in entries.iter().enumerate().step_by(2) {
        let row = entry.to_row();
        let parts = [
            &row.envelope[..],
            row.salt.as_ref().unwrap().as_bytes(),
            row.note.as_deref().unwrap(),
        ];
        let part = parts[at % 3];
        let part = &part[..part.len().min(60)];
        let mut hurt = bytes.clone();
        hurt[place_of(&bytes, part) + at * 7 % part.len()] ^= 1 << (at % 8);
        std::fs::write(&file, &hurt).unwrap();
        let report = check(&file).unwrap();
        let named = report.findings.iter().any(|finding| {
            matches!(finding, Finding::Entry { device, number, .. } if device == "laptop" && *number == entry.envelope.number)
        });
        assert!(named, "{:?}", report.findings);
        let (report, saved) = rescued(folder.path(), &hurt, None, &entries);
        assert_eq!(saved.len(), 59);
        assert_eq!(report.lost, [("laptop".to_owned(), entry.envelope.number)]);
    }
}

#[test]
fn whatever_byte_is_flipped_at_most_one_entry_is_lost_and_it_is_named() {
    let folder = tempfile::tempdir().unwrap();
    let (file, entries) = books(folder.path(), 60);
    let bytes = std::fs::read(&file).unwrap();
    // Much of the first page's head, then here and there in all pages.
    let places = (0..100)
        .step_by(5)
        .chain((100..bytes.len()).step_by(bytes.len() / 50));
    let (mut noticed, mut lost) = (0, 0);
    for place in places {
        let mut hurt = bytes.clone();
        hurt[place] ^= 1 << (place % 8);
        let (report, saved) = rescued(folder.path(), &hurt, None, &entries);
        assert!(saved.len() >= 59, "byte {place}: {} of 60 saved", saved.len());
        let missing: Vec<_> = (1..=60)
            .filter(|number| !saved.contains(number))
            .map(|n| ("laptop".to_owned(), n))
            .collect();
        assert_eq!(report.lost, missing, "byte {place}");
        lost += missing.len();
        std::fs::write(&file, &hurt).unwrap();
        noticed += usize::from(check(&file).map_or(true, |report| !report.is_sound()));
    }
    // What lies free in a page, or counts the changes of the file, may be flipped unnoticed.
    assert!(lost > 10, "{lost}");
    assert!(noticed >= lost, "{noticed} noticed, {lost} lost");
}

#[test]
fn of_a_file_cut_short_the_rest_is_saved() {
    let folder = tempfile::tempdir().unwrap();
    let (file, entries) = books(folder.path(), 60);
    let bytes = std::fs::read(&file).unwrap();
    let mut last = 0;
    for length in (0..=bytes.len()).step_by(11_777) {
        let cut = &bytes[..length];
        let (report, saved) = rescued(folder.path(), cut, None, &entries);
        for entry in entries
            .iter()
            .filter(|entry| entry.note.as_ref().unwrap().len() < 1_000)
        {
            let row = entry.to_row();
            let end = place_of(&bytes, row.note.as_ref().unwrap()) + row.note.unwrap().len();
            assert_eq!(
                saved.contains(&entry.envelope.number),
                end <= length,
                "{}",
                entry.handle()
            );
        }
        assert!(
            report.entries >= last,
            "a longer piece holds as much as a shorter one"
        );
        last = report.entries;
    }
    assert!(last > 50);
}

#[test]
fn without_the_first_page_every_entry_is_saved() {
    let folder = tempfile::tempdir().unwrap();
    let (file, entries) = books(folder.path(), 60);
    let mut bytes = std::fs::read(&file).unwrap();
    bytes[..4096].fill(0);
    std::fs::write(&file, &bytes).unwrap();
    let report = check(&file).unwrap();
    assert!(
        matches!(report.findings[..], [Finding::File(_)]),
        "{:?}",
        report.findings
    );
    let (report, saved) = rescued(folder.path(), &bytes, None, &entries);
    assert_eq!((saved.len(), report.carved, report.attachments), (60, 60, 1));
    assert_eq!(report.remarks.len(), 1);
}

#[test]
fn entries_that_lie_in_the_log_alone_are_saved() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("farm.books");
    let (_open, entries) = open_books(&file, 60);
    // The address book empties the log; these come after.
    let mut store = SqliteStore::open(&file).unwrap();
    let mut pen = Pen::after(FARM, "laptop", books_in(&store, FARM).heads());
    let more: Vec<Entry> = (0..20).map(|at| pen.note(&"y".repeat(at * 500))).collect();
    assert_eq!(store.add(FARM, &more).unwrap(), 20);
    let entries = [entries, more].concat();
    let bytes = std::fs::read(&file).unwrap();
    let log = std::fs::read(folder.path().join("farm.books-wal")).unwrap();
    assert!(log.len() > 50_000);
    let (_, saved) = rescued(folder.path(), &bytes, Some(&log), &entries);
    assert_eq!(saved.len(), 80);
    let (_, saved) = rescued(folder.path(), &[0; 4096], Some(&log), &entries);
    assert!((61..=80).all(|number| saved.contains(&number)), "{saved:?}");
    let mut hurt = log;
    hurt[..32].fill(0);
    let (_, saved) = rescued(folder.path(), &[], Some(&hurt), &entries);
    assert!((61..=80).all(|number| saved.contains(&number)), "{saved:?}");
}

#[test]
fn a_blanked_note_is_not_brought_back_by_a_rescue() {
    let folder = tempfile::tempdir().unwrap();
    let (file, mut entries) = books(folder.path(), 60);
    let mut store = SqliteStore::open(&file).unwrap();
    for at in [4, 30] {
        store.blank(FARM, &entries[at].digest).unwrap();
        entries[at].blank();
    }
    drop(store);
    let mut bytes = std::fs::read(&file).unwrap();
    assert!(check(&file).unwrap().is_sound());
    bytes[..4096].fill(0xFF);
    let (report, _) = rescued(folder.path(), &bytes, None, &entries);
    assert_eq!(report.entries, 60);
}

#[test]
fn noise_is_no_books() {
    let folder = tempfile::tempdir().unwrap();
    let noise: Vec<u8> = (0..60_000_u32)
        .map(|at| at.wrapping_mul(2_654_435_761).to_be_bytes()[0])
        .collect();
    let (report, saved) = rescued(folder.path(), &noise, None, &[]);
    assert_eq!((saved.len(), report.lost.len()), (0, 0));
    let (report, _) = rescued(folder.path(), &[], None, &[]);
    assert_eq!(report.entries, 0);
}

#[test]
fn a_flipped_byte_in_the_index_is_told_by_its_page() {
    let folder = tempfile::tempdir().unwrap();
    let (file, entries) = books(folder.path(), 60);
    let bytes = std::fs::read(&file).unwrap();
    let mut pages = BTreeSet::new();
    for entry in entries.iter().step_by(4) {
        // Every digest is there twice: in the row and in the index.
        let digest = entry.digest.as_bytes();
        let places: Vec<usize> = (0..bytes.len() - 32)
            .filter(|&at| bytes[at..].starts_with(digest))
            .collect();
        let [.., in_index] = places
            .iter()
            .filter(|&&at| bytes[at / 4096 * 4096] == 0x0A)
            .collect::<Vec<_>>()[..]
        else {
            continue;
        };
        let mut hurt = bytes.clone();
        hurt[in_index + 5] ^= 4;
        std::fs::write(&file, &hurt).unwrap();
        let report = check(&file).unwrap();
        let page = u64::try_from(in_index / 4096 + 1).unwrap();
        let told = report
            .findings
            .iter()
            .any(|finding| matches!(finding, Finding::Page { page: told, .. } if *told == page));
        assert!(told, "{:?}", report.findings);
        assert!(
            !report
                .findings
                .iter()
                .any(|finding| matches!(finding, Finding::Entry { .. })),
            "{:?}",
            report.findings
        );
        pages.insert(page);
    }
    assert!(!pages.is_empty());
}
