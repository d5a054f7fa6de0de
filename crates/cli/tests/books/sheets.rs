//! Sheets handed to the program: what it answers, what it leaves behind, and what it leaves alone.

use crate::{Bench, file};

const FEEDING: &str = "Day,Hive,Food,Amount\n2026-06-01,alder,syrup,1 kg\n2026-06-02,alder,syrup,2 kg\n";

const MAPPED: &[&str] = &[
    "--as",
    "feed",
    "--map",
    "day=Day",
    "--map",
    "colony=Hive",
    "--map",
    "food=Food",
    "--map",
    "amount=Amount",
];

fn bench_with(sheet: &str) -> Bench {
    let bench = Bench::new();
    bench.good(&[
        "note",
        "2026-03-01 yard orchard",
        "2026-03-01 hive alder in orchard bars 20",
        "2026-03-02 install alder swarm",
    ]);
    file(&bench.path("feeding.csv"), sheet.as_bytes());
    bench
}

fn import<'a>(name: &'a str, more: &[&'a str]) -> Vec<&'a str> {
    [&["books", "import", name], MAPPED, more].concat()
}

#[test]
fn a_sheet_that_comes_in_whole_leaves_no_file_and_comes_in_once() {
    let bench = bench_with(FEEDING);
    assert_eq!(bench.good(&import("feeding.csv", &[])), "2 notes are written.\n");
    assert!(!bench.path("feeding.refused.csv").exists());
    std::fs::rename(bench.path("feeding.csv"), bench.path("renamed.csv")).expect("a folder");
    assert_eq!(
        bench.good(&import("renamed.csv", &[])),
        "2 rows were here already.\n"
    );
    let json = bench.json(&import("renamed.csv", &[]));
    assert_eq!(
        (&json["known"], &json["refused_file"]),
        (&2.into(), &serde_json::Value::Null)
    );
    assert_eq!(bench.count(), 5);
}

#[test]
fn rows_come_in_with_a_device_that_took_the_books_over() {
    let bench = bench_with(FEEDING);
    bench.good(&import("feeding.csv", &[]));
    let entries = bench.good(&["books", "export", "--form", "jsonl"]);
    file(&bench.path("all.jsonl"), entries.as_bytes());
    bench.good(&["books", "import", "all.jsonl", "--books", "phone.books"]);
    let again = bench.good(&import("feeding.csv", &["--books", "phone.books"]));
    assert_eq!(again, "2 rows were here already.\n");
}

#[test]
fn a_dry_run_makes_no_books_and_no_file() {
    let bench = Bench::new();
    file(
        &bench.path("yards.csv"),
        b"day,yard\n2026-03-01,orchard\n2026-03-01,\n",
    );
    let dry = [
        "books",
        "import",
        "yards.csv",
        "--as",
        "yard",
        "--form",
        "2",
        "--dry-run",
    ];
    let says = bench.refused(&dry, 2);
    assert!(
        says.starts_with("Row 3 is refused:\n  yard: the cell is empty.\n"),
        "{says}"
    );
    let kept = ["books", "import", "yards.csv", "--as", "yard", "--form", "2"];
    assert!(
        bench
            .refused(&kept, 2)
            .ends_with("add --keep-good to write the other rows.\n")
    );
    assert!(!bench.path("combwright.books").exists());
    std::fs::remove_file(bench.path("yards.refused.csv")).expect("the refused row");
    bench.refused(&dry, 2);
    assert!(!bench.path("yards.refused.csv").exists());
    let output = bench.run(&[&kept[..], &["--keep-good"]].concat());
    assert_eq!(output.status.code(), Some(2));
    let says = String::from_utf8_lossy(&output.stdout).into_owned();
    assert_eq!(says, "New books: combwright.books\n1 note is written.\n");
}

#[test]
fn refused_rows_go_into_a_file_that_replaces_only_its_like() {
    let bench = bench_with(&format!("{FEEDING}2026-06-03,elder,syrup,1 kg\n"));
    file(&bench.path("feeding.refused.csv"), b"Dear bees,\n");
    let says = bench.refused(&import("feeding.csv", &["--keep-good"]), 74);
    assert!(
        says.contains("does not hold refused rows") && says.contains("Nothing was written."),
        "{says}"
    );
    assert_eq!(bench.count(), 3);
    let says = bench.refused(&import("feeding.csv", &["--refused", "feeding.csv"]), 74);
    assert!(says.contains("does not hold refused rows"), "{says}");

    for _ in 0..2 {
        let says = bench.refused(
            &import("feeding.csv", &["--keep-good", "--refused", "odd.csv"]),
            2,
        );
        assert!(says.contains("The refused row is in odd.csv"), "{says}");
    }
    let odd = std::fs::read_to_string(bench.path("odd.csv")).expect("the refused row");
    assert!(
        odd.starts_with("Day,Hive,Food,Amount,row,why\r\n2026-06-03,elder,syrup,1 kg,4,"),
        "{odd}"
    );
    assert_eq!(bench.count(), 5);
    file(
        &bench.path("mended.csv"),
        odd.replace("elder", "alder").as_bytes(),
    );
    assert_eq!(bench.good(&import("mended.csv", &[])), "1 note is written.\n");
    bench.good(&["books", "check"]);
}

#[test]
fn many_refused_rows_are_counted_and_kept() {
    let rows: String = (1..=28)
        .cycle()
        .take(400)
        .map(|day| format!("2026-06-{day},elder,tea,1\n"))
        .collect();
    let bench = bench_with(&format!("Day,Hive,Food,Amount\n{rows}"));
    let says = bench.refused(&import("feeding.csv", &[]), 2);
    assert!(
        says.contains("And 350 more.\nThe 400 refused rows are in feeding.refused.csv"),
        "{says}"
    );
    assert!(says.len() < 20_000, "{}", says.len());
}

#[test]
fn sheets_without_a_verb_and_files_of_other_kinds_are_refused_with_what_to_say() {
    let bench = bench_with(FEEDING);
    let says = bench.refused(&["books", "import", "feeding.csv"], 2);
    assert!(says.contains("say which verb its rows are notes of"), "{says}");
    file(&bench.path("old.ods"), b"PK\x03\x04");
    assert!(
        bench
            .refused(&["books", "import", "old.ods"], 2)
            .contains("--as feed")
    );
    let says = bench.refused(&import("old.ods", &[]), 2);
    assert!(says.contains("Save the sheet as .xlsx"), "{says}");
    let says = bench.refused(&["books", "import", "feeding.csv", "--as", "fed"], 2);
    assert!(says.contains("did you mean feed?"), "{says}");
    bench.refused(&["books", "import", "feeding.csv", "--dry-run"], 2);
    bench.refused(
        &["books", "import", "feeding.csv", "--as", "feed", "--map", "day"],
        2,
    );
    bench.refused(
        &["books", "import", "feeding.csv", "--as", "feed", "--form", "0"],
        2,
    );
    bench.refused(&import("none.csv", &[]), 74);
    assert_eq!(bench.count(), 3);
}

#[test]
fn a_sheet_on_standard_input_comes_in_and_notes_come_in_as_before() {
    let bench = bench_with(FEEDING);
    let output = bench.fed(&import("-", &[]), FEEDING.replace(',', ";").as_bytes());
    assert_eq!(String::from_utf8_lossy(&output.stdout), "2 notes are written.\n");
    let output = bench.fed(
        &import("-", &[]),
        b"Day;Hive;Food;Amount\n2026-06-09;alder;tea;1 kg\n",
    );
    assert_eq!(output.status.code(), Some(2));
    assert!(!bench.path("-.refused.csv").exists());
    let output = bench.fed(&["books", "import", "-"], b"2026-06-09 feed alder syrup 1 kg\n");
    assert!(output.status.success());
    assert_eq!(bench.count(), 6);
}
