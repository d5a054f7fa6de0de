//! The bad day: hostile lines, two programs at once, files that cannot be written, damage and rescue, all
//! through the program as a keeper meets it.

mod field;
mod handing_in;
mod places;
mod print;
mod sheets;
mod weather;

use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use serde_json::Value;

struct Bench {
    folder: tempfile::TempDir,
}

impl Bench {
    fn new() -> Self {
        Self {
            folder: tempfile::tempdir().expect("a folder"),
        }
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    fn command(&self, args: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_combwright"));
        command
            .current_dir(self.folder.path())
            .args(args)
            .args(["--now", "2026-11-25T09:00"])
            .env_clear();
        command
    }

    fn run(&self, args: &[&str]) -> Output {
        self.command(args).output().expect("the program runs")
    }

    #[track_caller]
    fn good(&self, args: &[&str]) -> String {
        let output = self.run(args);
        assert!(
            output.status.success(),
            "{args:?}: {}",
            String::from_utf8_lossy(&output.stderr)
        );
        String::from_utf8_lossy(&output.stdout).into_owned()
    }

    #[track_caller]
    fn refused(&self, args: &[&str], code: i32) -> String {
        let output = self.run(args);
        let says = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(code), "{args:?}: {says}");
        assert!(!says.contains("panicked"), "{says}");
        says
    }

    /// What the program answers to this on its standard input.
    fn fed(&self, args: &[&str], input: &[u8]) -> Output {
        let mut command = self.command(args);
        command
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped());
        let mut child = command.spawn().expect("the program runs");
        let mut stdin = child.stdin.take().expect("a pipe");
        stdin.write_all(input).expect("the program reads");
        drop(stdin);
        child.wait_with_output().expect("the program ends")
    }

    /// How many notes stand in the books.
    fn count(&self) -> usize {
        self.json(&["show", "notes"])["notes"]
            .as_array()
            .map_or(0, Vec::len)
    }

    /// What lies in the folder, by name.
    fn files(&self) -> Vec<String> {
        let all = std::fs::read_dir(self.folder.path()).expect("the folder");
        let names = all.map(|file| file.expect("a file").file_name().to_string_lossy().into_owned());
        let mut names: Vec<String> = names.collect();
        names.sort();
        names
    }

    fn json(&self, args: &[&str]) -> Value {
        let text = self.good(&[args, &["--json"]].concat());
        serde_json::from_str(&text).expect("well-formed JSON")
    }
}

fn file(path: &Path, bytes: &[u8]) {
    std::fs::File::create(path)
        .and_then(|mut file| file.write_all(bytes))
        .expect("a file");
}

#[test]
fn hostile_lines_are_refused_by_number_and_nothing_of_the_file_is_written() {
    let bench = Bench::new();
    let mut bytes =
        b"2026-03-01 yard orchard\n2026-03-01 flow be\xff\xfegins\n2026-03-01 flow\0 begins\n".to_vec();
    bytes.extend_from_slice("2026-03-01 flow begins # \u{202e}abc\n".as_bytes());
    bytes.extend_from_slice(format!("2026-03-01 flow begins # {}\n", "x".repeat(1_000_000)).as_bytes());
    bytes.extend_from_slice(b"2026-03-01 flow begins\n");
    file(&bench.path("bad.notes"), &bytes);
    let says = bench.refused(&["note", "--file", "bad.notes"], 2);
    for line in [2, 3, 4, 5] {
        assert!(says.contains(&format!("Line {line}: ")), "{says}");
    }
    assert!(says.contains("Nothing was written"));
    assert!(says.len() < 20_000, "a long line is not thrown back whole");
    assert!(!bench.path("combwright.books").exists());
    let says = bench.refused(&["note", "--file", "bad.notes", "--keep-good"], 2);
    assert!(says.contains("Line 5: "));
    assert_eq!(bench.count(), 2);
}

#[test]
fn words_that_look_like_commands_of_other_languages_are_only_words() {
    let bench = Bench::new();
    let text = "'); drop table entry; -- <script>alert(1)</script>";
    bench.good(&["note", &format!("2026-03-01 spend 1.00 GBP on \"{text}\"")]);
    let notes = bench.json(&["show", "notes"]);
    assert!(
        notes["notes"][0]["note"]
            .as_str()
            .is_some_and(|note| note.contains(text))
    );
    bench.good(&["books", "check"]);
}

#[test]
fn two_programs_writing_at_once_both_get_their_notes_in() {
    let bench = Bench::new();
    bench.good(&["note", "2026-03-01 yard orchard"]);
    let writer = |device: &str| {
        let device = device.to_owned();
        let commands: Vec<Command> = (0..12)
            .map(|n| {
                let note = format!("2026-03-02 spend {n}.50 GBP on {device}");
                let mut command = bench.command(&["note", &note, "--device", &device]);
                command.stdout(Stdio::null());
                command
            })
            .collect();
        std::thread::spawn(move || {
            commands
                .into_iter()
                .all(|mut command| command.status().is_ok_and(|status| status.success()))
        })
    };
    // The same device twice, and another one: chains must stay whole all the same.
    let writers = [writer("laptop"), writer("laptop"), writer("phone")];
    assert!(writers.into_iter().all(|writer| writer.join().expect("no panic")));
    assert_eq!(bench.count(), 37);
    let check = bench.json(&["books", "check"]);
    assert_eq!((&check["entries"], &check["whole"]), (&37.into(), &true.into()));
}

#[test]
fn two_programs_that_make_the_same_books_at_once_write_into_one() {
    for _ in 0..15 {
        let bench = Bench::new();
        let start = |device: &str| {
            let note = format!("2026-03-02 spend 1.50 GBP on {device}");
            let mut command = bench.command(&["note", &note, "--device", device]);
            command.stdout(Stdio::null()).spawn().expect("the program runs")
        };
        let writers = [start("laptop"), start("phone")];
        let codes = writers.map(|mut writer| writer.wait().expect("it ends").code());
        assert_eq!(codes, [Some(0), Some(0)], "each waits for the other");
        let answered = 2;
        assert_eq!(bench.count(), answered);
        let check = bench.json(&["books", "check"]);
        assert_eq!(
            (&check["entries"], &check["whole"]),
            (&answered.into(), &true.into())
        );
        assert_eq!(farms(&bench), 1);
    }
}

/// How many farms the file holds.
fn farms(bench: &Bench) -> usize {
    let store = store::SqliteStore::open_read_only(&bench.path("combwright.books")).expect("books");
    ledger::Store::farms(&store).expect("farms").len()
}

#[test]
fn huge_amounts_are_refused_or_answered_and_the_books_still_work() {
    let bench = Bench::new();
    let mut notes = vec!["2026-03-01 yard orchard"];
    notes.extend(["2026-03-01 start t 9000 t honey"; 3]);
    notes.push("2026-03-01 start t 9 t honey");
    notes.push("2026-03-02 fill t 4294967295 jars of 1 g lot Z");
    notes.push("2026-03-02 fill t 1000000 jars of 1 g lot Y");
    notes.extend(["2026-03-03 spend 1.00 GBP on 9000 t of shea"; 2]);
    notes.extend(["2026-03-03 spend 1000000000.00 GBP on 10 t of shea"; 2]);
    for note in notes {
        for note in [note.to_owned(), format!("{note} anyway")] {
            let output = bench.run(&["note", &note]);
            let says = String::from_utf8_lossy(&output.stderr).into_owned();
            assert!(matches!(output.status.code(), Some(0 | 2)), "{note}: {says}");
            assert!(!says.contains("panicked"), "{note}: {says}");
        }
    }
    for topic in [
        "balance",
        "stock",
        "cost",
        "cash",
        "yields",
        "complaints",
        "round",
    ] {
        bench.good(&["show", topic]);
    }
    let check = bench.run(&["books", "check", "--json"]);
    let check: Value = serde_json::from_slice(&check.stdout).expect("JSON");
    assert_eq!(check["whole"], true);
}

#[test]
fn a_file_that_is_no_books_and_one_that_is_missing_get_their_own_codes() {
    let bench = Bench::new();
    file(&bench.path("letter.books"), b"Dear bees,\n");
    assert!(
        bench
            .refused(&["show", "stock", "--books", "letter.books"], 76)
            .contains("not a file of books")
    );
    assert!(
        bench
            .refused(&["note", "2026-03-01 flow begins", "--books", "letter.books"], 76)
            .contains("not a file of books")
    );
    assert!(
        bench
            .refused(&["show", "stock", "--books", "none.books"], 74)
            .contains("no books of that name")
    );
    assert!(!bench.path("none.books").exists(), "asking makes no file");
}

#[test]
fn damage_is_named_and_every_whole_entry_is_saved() {
    let bench = Bench::new();
    let notes: Vec<String> = (0..40)
        .map(|n| format!("2026-03-01 spend {n}.25 GBP on \"string number {n} of the big ball\""))
        .collect();
    let mut args = vec!["note"];
    args.extend(notes.iter().map(String::as_str));
    bench.good(&args);
    let path = bench.path("combwright.books");
    let mut bytes = std::fs::read(&path).expect("the file");
    let needle = b"string number 17 of";
    let at = bytes
        .windows(needle.len())
        .position(|window| window == needle)
        .expect("the words lie in the file");
    bytes[at + 14] ^= 0x40;
    file(&path, &bytes);
    let output = bench.run(&["books", "check"]);
    let says = String::from_utf8_lossy(&output.stdout).into_owned();
    assert_eq!(output.status.code(), Some(1));
    assert!(says.contains("laptop/18"), "{says}");
    let output = bench.run(&["books", "rescue", "saved.books"]);
    let says = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(says.starts_with("39 whole entries are saved"), "{says}");
    assert!(says.contains("laptop/18"), "{says}");
    assert_eq!(
        bench.json(&["show", "notes", "--books", "saved.books"])["notes"]
            .as_array()
            .map(Vec::len),
        Some(39)
    );
}

#[test]
fn entries_go_out_and_come_in_whole_and_only_once() {
    let bench = Bench::new();
    bench.good(&[
        "note",
        "2026-03-01 start cash 300.00 GBP",
        "2026-03-02 spend 3.00 GBP on string",
    ]);
    bench.good(&[
        "note",
        "correct laptop/2: 2026-03-02 spend 4.00 GBP on string",
        "--device",
        "phone",
    ]);
    let lines = bench.good(&["books", "export", "--form", "jsonl"]);
    file(&bench.path("all.jsonl"), lines.as_bytes());
    for new in [3, 0] {
        let said = bench.json(&["books", "import", "all.jsonl", "--books", "other.books"]);
        assert_eq!(said["new"], new);
    }
    assert_eq!(
        bench.json(&["show", "cash", "--books", "other.books"])["cash"],
        296.0
    );
    let changed = lines.replace("3.00", "2.00");
    file(&bench.path("changed.jsonl"), changed.as_bytes());
    assert!(
        bench
            .refused(&["books", "import", "changed.jsonl", "--books", "third.books"], 2)
            .contains("was changed")
    );
    let notes = bench.good(&["books", "export"]);
    let (heading, notes_of_devices) = notes.split_once('\n').expect("lines");
    assert!(heading.starts_with("# notes of the farm "), "{heading}");
    assert_eq!(
        notes_of_devices,
        "#= laptop\n2026-03-01 start cash 300.00 GBP\n2026-03-02 spend 3.00 GBP on string\n#= phone\ncorrect laptop/2: 2026-03-02 spend 4.00 GBP on string\n"
    );
    file(&bench.path("all.notes"), notes.as_bytes());
    for known in [0, 3] {
        let said = bench.json(&["books", "import", "all.notes", "--books", "fourth.books"]);
        assert_eq!(said["known"], known);
    }
    assert_eq!(
        bench.json(&["show", "cash", "--books", "fourth.books"])["cash"],
        296.0
    );
}

#[test]
fn erased_words_are_gone_from_the_file_and_the_chain_still_holds() {
    let bench = Bench::new();
    bench.good(&[
        "note",
        "2026-03-01 flow begins # a secret of Ottilie",
        "2026-03-02 flow ends",
    ]);
    assert!(
        bench
            .refused(&["books", "erase", "laptop/1"], 2)
            .contains("--for-good")
    );
    bench.good(&["books", "erase", "laptop/1", "--for-good"]);
    for end in ["", "-wal"] {
        let bytes = std::fs::read(bench.path(&format!("combwright.books{end}"))).unwrap_or_default();
        assert!(!bytes.windows(7).any(|window| window == b"Ottilie"), "{end}");
    }
    let check = bench.run(&["books", "check", "--json"]);
    let check: Value = serde_json::from_slice(&check.stdout).expect("JSON");
    assert_eq!(check["whole"], true);
}

#[test]
fn the_demo_prints_the_round_and_replaces_only_itself() {
    let bench = Bench::new();
    for _ in 0..2 {
        let text = bench.good(&["demo", "--no-serve"]);
        for heading in ["The round of", "To see", "Ripe", "Stock", "Cost", "Odd"] {
            assert!(text.contains(heading), "{heading}: {text}");
        }
    }
    let complaints = bench.json(&["show", "complaints", "--books", "demo.books"]);
    assert_eq!(
        complaints["complaints"].as_array().map(Vec::len),
        Some(1),
        "one odd record stays a complaint"
    );
    let entries = bench.json(&["books", "export", "--books", "demo.books"])["lines"]
        .as_array()
        .map_or(0, Vec::len);
    assert!(entries >= 600, "{entries}");
    bench.good(&["note", "2026-03-01 flow begins", "--books", "mine.books"]);
    assert!(
        bench
            .refused(&["demo", "--no-serve", "--books", "mine.books"], 74)
            .contains("already")
    );
}

#[test]
fn completions_and_manual_pages_are_made() {
    let bench = Bench::new();
    assert!(bench.good(&["completions", "bash"]).contains("combwright"));
    bench.good(&["man", "pages"]);
    assert!(bench.path("pages/combwright.1").exists());
    let shell = bench.json(&["completions", "bash"]);
    assert_eq!(shell["shell"], "bash");
    assert!(
        shell["script"]
            .as_str()
            .is_some_and(|script| script.contains("combwright"))
    );
    assert_eq!(bench.json(&["man", "pages"])["folder"], "pages");
}

#[test]
fn usage_speaks_of_combwright_whatever_the_file_is_called() {
    let bench = Bench::new();
    let other = bench.path("other-name");
    std::fs::copy(env!("CARGO_BIN_EXE_combwright"), &other).expect("a copy");
    let output = Command::new(other).arg("--help").output().expect("it runs");
    let says = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(
        says.contains("Usage: combwright") && !says.contains("other-name"),
        "{says}"
    );
}

#[test]
fn a_wage_below_nothing_is_refused_by_its_own_sentence() {
    let bench = Bench::new();
    for wage in [["--wage", "-1.00 GBP"].as_slice(), &["--wage=-1.00 GBP"]] {
        let says = bench.refused(&[&["show", "cost"], wage].concat(), 2);
        assert!(says.contains("a wage is nothing or more"), "{says}");
    }
}

#[test]
fn a_question_gets_no_full_stop() {
    let bench = Bench::new();
    bench.good(&[
        "note",
        "2026-03-01 yard orchard",
        "2026-03-01 hive alder in orchard bars 27",
        "2026-03-01 start alder 8 bars drawn",
        "2026-07-01 cut alder bar 8 comb 9.99 kg into pail-1 anyway",
    ]);
    let text = bench.good(&["show", "complaints"]);
    assert!(text.contains("?\n") && !text.contains("?."), "{text}");
}
