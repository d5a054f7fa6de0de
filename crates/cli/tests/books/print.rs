//! Sheets for the printer as files: where they go, what they never overwrite, what is refused.

use crate::{Bench, file};

fn bench() -> Bench {
    let bench = Bench::new();
    bench.good(&[
        "note",
        "2026-03-01 yard orchard",
        "2026-03-01 hive alder in orchard bars 20",
        "2026-03-02 install alder swarm",
    ]);
    bench
}

fn pdf(bench: &Bench, name: &str) -> Vec<u8> {
    let bytes = std::fs::read(bench.path(name)).expect("the file that was told");
    assert!(bytes.starts_with(b"%PDF-"), "{name}");
    bytes
}

/// The files beside the books and what the store keeps with them while they are read.
fn sheets(bench: &Bench) -> Vec<String> {
    let mut files = bench.files();
    files.retain(|file| !file.contains(".books"));
    files
}

#[test]
fn a_sheet_is_a_file_beside_the_keeper() {
    let bench = bench();
    let says = bench.good(&["print", "card", "alder"]);
    assert!(says.contains("card-alder.pdf"), "{says}");
    pdf(&bench, "card-alder.pdf");
    let json = bench.json(&[
        "print",
        "round",
        "orchard",
        "--out",
        "on paper.pdf",
        "--paper",
        "letter",
    ]);
    assert_eq!(json["file"], "on paper.pdf", "{json}");
    pdf(&bench, "on paper.pdf");
    // A card without a map is made where there are no books.
    let bare = Bench::new();
    bare.good(&["print", "blank", "--bars", "8"]);
    pdf(&bare, "card-blank-8.pdf");
    assert_eq!(
        bare.files(),
        ["card-blank-8.pdf"],
        "no books were made by the way"
    );
}

#[test]
fn a_file_that_is_there_is_kept_unless_its_place_is_asked_for() {
    let bench = bench();
    file(&bench.path("card-alder.pdf"), b"last year's card");
    let says = bench.refused(&["print", "card", "alder"], 74);
    assert!(
        says.contains("there is a file of this name, and it was kept"),
        "{says}"
    );
    let kept = std::fs::read(bench.path("card-alder.pdf")).expect("the file");
    assert_eq!(kept, b"last year's card");
    bench.good(&["print", "card", "alder", "--replace"]);
    pdf(&bench, "card-alder.pdf");
}

#[test]
fn a_place_that_cannot_be_written_leaves_nothing_half_done() {
    let bench = bench();
    let before = sheets(&bench);
    for (out, says) in [
        ("nowhere/card.pdf", "its folder is not there"),
        (".", "this is a folder"),
        ("/dev/full", "there is a file of this name"),
    ] {
        let told = bench.refused(&["print", "card", "alder", "--out", out], 74);
        assert!(told.contains(says), "{out}: {told}");
    }
    assert_eq!(sheets(&bench), before);
}

#[test]
fn what_is_not_there_is_not_printed() {
    let bench = bench();
    let before = sheets(&bench);
    for (args, says) in [
        (&["print", "card", "elm"][..], "No hive is called elm"),
        (&["print", "hive", "elm"], "No hive is called elm"),
        (&["print", "round", "marsh"], "No yard is called marsh"),
        (&["print", "card", "--yard", "marsh"], "No yard is called marsh"),
        (&["print", "card", "--on", "2026-01-01"], "no card to fill"),
        (&["print", "blank", "--bars", "0"], "0"),
        (&["print", "blank", "--bars", "121"], "121"),
    ] {
        let output = bench.run(args);
        let told = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(matches!(output.status.code(), Some(2 | 74)), "{args:?}: {told}");
        assert!(told.contains(says), "{args:?}: {told}");
    }
    assert_eq!(sheets(&bench), before);
}

/// Whoever names the books for a sheet slipped, with whatever options.
#[test]
fn no_sheet_takes_the_place_of_books_logs_or_keys() {
    let bench = bench();
    bench.good(&["devices", "new-authority", "--called", "books.home.arpa"]);
    let other = Bench::new();
    other.good(&["note", "2026-03-01 yard marsh"]);
    for (copy, of) in [("last-year.books", &other), ("copy", &bench)] {
        std::fs::copy(of.path("combwright.books"), bench.path(copy)).expect("a copy");
    }
    std::fs::copy(bench.path("combwright.books.keys"), bench.path("keys.txt")).expect("a copy");
    #[cfg(unix)]
    std::os::unix::fs::symlink("combwright.books", bench.path("link.pdf")).expect("a link");
    #[cfg(unix)]
    let link = ["link.pdf"];
    #[cfg(not(unix))]
    let link: [&str; 0] = [];
    let plain = [
        "combwright.books",
        "combwright.books.keys",
        "combwright.books.keys-new",
        "combwright.books-wal",
        "combwright.books-shm",
        "combwright.books-journal",
        "last-year.books",
        "last-year.books-wal",
        "copy",
        "keys.txt",
    ];
    let read = |file: &str| std::fs::read(bench.path(file)).ok();
    for file in plain.into_iter().chain(link) {
        let before = read(file);
        for args in [
            &["print", "card", "alder", "--out", file, "--replace"][..],
            &["print", "blank", "--out", file, "--replace"],
            &["print", "round", "--out", file],
            &["field", file, "--replace"],
        ] {
            let told = bench.refused(args, 74);
            assert!(told.contains("never written over"), "{args:?}: {told}");
        }
        assert!(before.is_none_or(|before| read(file) == Some(before)), "{file}");
    }
    assert_eq!(bench.count(), 3);
    // Where no books were made yet, their place is kept free.
    let bare = Bench::new();
    let told = bare.refused(&["print", "blank", "--out", "combwright.books"], 74);
    assert!(told.contains("never written over"), "{told}");
    assert_eq!(bare.files(), [""; 0]);
}

#[cfg(unix)]
#[test]
fn what_is_no_file_is_not_replaced() {
    let bench = bench();
    let told = bench.refused(&["print", "card", "alder", "--out", "/dev/full", "--replace"], 74);
    assert!(
        told.contains("this is no file that another could take the place of"),
        "{told}"
    );
}

#[test]
fn several_sheets_are_told_as_several() {
    let bench = bench();
    let says = bench.good(&["print", "blank", "--cards", "2", "--out", "blank.pdf"]);
    assert!(
        says.contains("2 sheets of A4. Print them at their own size"),
        "{says}"
    );
    let says = bench.good(&["print", "blank", "--bars", "8", "--out", "one.pdf"]);
    assert!(says.contains("1 sheet of A4. Print it at its own size"), "{says}");
}
