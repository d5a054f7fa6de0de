//! Notes handed in: as words, as quoted lines, from a file, from standard input.

use super::{Bench, file};

const FLOW: &str = "2026-03-01 flow begins";

#[test]
fn a_typed_note_beside_a_file_is_refused_and_not_dropped() {
    let bench = Bench::new();
    file(&bench.path("some.notes"), b"2026-03-01 flow begins\n");
    let says = bench.refused(&["note", "--file", "some.notes", FLOW], 2);
    assert!(says.contains("cannot be used with"), "{says}");
    assert!(!bench.path("combwright.books").exists());
}

#[test]
fn standard_input_is_read_for_a_lone_dash_and_for_nothing() {
    let bench = Bench::new();
    let input = b"\xef\xbb\xbf2026-03-01 flow begins\r\n2026-03-02 flow ends\n";
    for args in [&["note"][..], &["note", "-"], &["note", "--file", "-"]] {
        let output = bench.fed(args, input);
        assert!(output.status.success(), "{args:?}: {output:?}");
    }
    assert_eq!(bench.count(), 6);
    let output = bench.fed(&["note"], b"");
    assert_eq!(output.stdout, b"There was nothing to write.\n");
}

#[test]
#[cfg(target_os = "linux")]
fn a_terminal_and_no_note_are_refused_with_all_three_ways() {
    let Ok(terminal) = std::fs::File::options().read(true).write(true).open("/dev/ptmx") else {
        return;
    };
    let bench = Bench::new();
    let output = bench
        .command(&["note"])
        .stdin(terminal)
        .output()
        .expect("it runs");
    let says = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(2));
    for way in ["in quotes", "--file", "standard input"] {
        assert!(says.contains(way), "{way}: {says}");
    }
}

#[test]
fn words_behind_a_lone_day_are_one_note() {
    let bench = Bench::new();
    bench.good(&[
        "note",
        "2026-03-01 yard orchard",
        "2026-03-01 hive alder in orchard bars 27",
        "2026-03-01 start alder 8 bars drawn",
    ]);
    let said = bench.good(&["note", "2026-07-01", "lost", "alder", "cause", "queen failure"]);
    assert!(
        said.ends_with("2026-07-01 lost alder cause \"queen failure\"\n"),
        "{said}"
    );
    let said = bench.good(&["note", "yesterday", "spend", "1.50", "GBP", "on", "bee string"]);
    assert!(
        said.ends_with("2026-11-24 spend 1.50 GBP on \"bee string\"\n"),
        "{said}"
    );
    bench.good(&[
        "note",
        "correct",
        "last:",
        "today",
        "spend",
        "2.50",
        "GBP",
        "on",
        "bee string",
    ]);
    bench.good(&["note", FLOW, "2026-03-02 flow ends"]);
    assert_eq!(bench.count(), 7);
}

#[test]
fn a_refused_line_has_its_number_unless_it_is_the_only_one_typed() {
    let bench = Bench::new();
    file(&bench.path("one.notes"), b"2026-03-01 flwo begins\n");
    let says = bench.refused(&["note", "--file", "one.notes"], 2);
    assert!(
        says.contains("Line 1: ") && says.contains("[line 1:1:12]"),
        "{says}"
    );
    let says = bench.refused(&["note", FLOW, "2026-03-02 flwo ends"], 2);
    assert!(
        says.contains("Line 2: ") && says.contains("[line 2:1:12]"),
        "{says}"
    );
    let says = bench.refused(&["note", "2026-03-01 flwo begins"], 2);
    assert!(!says.contains("Line 1") && says.contains("[note:1:12]"), "{says}");
    file(&bench.path("impossible.notes"), b"2026-03-01 lost alder\n");
    let says = bench.refused(&["note", "--file", "impossible.notes"], 2);
    assert!(says.starts_with("Line 1: Refused"), "{says}");
}

#[test]
fn refused_first_notes_leave_no_file_and_the_first_written_one_names_it() {
    let bench = Bench::new();
    let books = bench.path("combwright.books");
    file(&bench.path("bad.notes"), b"2026-03-01 flwo begins\n");
    file(&bench.path("remark.notes"), b"# nothing yet\n");
    bench.refused(&["note", "2026-03-01 flwo begins", "--device", "phone"], 2);
    bench.refused(&["books", "import", "bad.notes"], 2);
    bench.refused(&["books", "import", "bad.notes", "--keep-good"], 2);
    bench.good(&["note", "--file", "remark.notes"]);
    assert!(!books.exists());
    assert!(
        bench
            .good(&["note", FLOW])
            .starts_with("New books: combwright.books\n")
    );
    assert!(
        !bench
            .good(&["note", "2026-03-02 flow ends"])
            .contains("New books")
    );

    let lines = bench.good(&["books", "export", "--form", "jsonl"]);
    file(&bench.path("all.jsonl"), lines.as_bytes());
    let import = ["books", "import", "all.jsonl", "--books", "second.books"];
    assert!(bench.good(&import).starts_with("New books: second.books\n"));
    assert!(!bench.good(&import).contains("New books"));
}

#[test]
fn entries_of_two_farms_make_no_file() {
    let bench = Bench::new();
    let mut lines = String::new();
    for books in ["one.books", "two.books"] {
        bench.good(&["note", FLOW, "--books", books]);
        lines += &bench.good(&["books", "export", "--form", "jsonl", "--books", books]);
    }
    file(&bench.path("both.jsonl"), lines.as_bytes());
    let import = ["books", "import", "both.jsonl", "--books", "new.books"];
    bench.refused(&import, 74);
    assert!(!bench.path("new.books").exists());
}

#[test]
fn an_import_from_standard_input_is_read_like_a_file() {
    let bench = Bench::new();
    let marked = b"\xef\xbb\xbf2026-03-01 flow begins\n";
    assert!(bench.fed(&["books", "import", "-"], marked).status.success());
    assert_eq!(bench.count(), 1);
    let output = bench.fed(
        &["books", "import", "-"],
        b"2026-03-02 flow ends\n2026-03-03 flow be\xffgins\n",
    );
    let says = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(2));
    assert!(says.contains("Line 2: "), "{says}");

    let mut entries = b"\xef\xbb\xbf".to_vec();
    entries.extend(bench.good(&["books", "export", "--form", "jsonl"]).bytes());
    let output = bench.fed(&["books", "import", "-", "--books", "copy.books"], &entries);
    assert!(output.status.success(), "{output:?}");
}
