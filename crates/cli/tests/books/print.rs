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
