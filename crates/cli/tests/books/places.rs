//! Files and folders that cannot be books: each gets a true sentence and its own code.

use super::{Bench, file};

#[test]
fn a_file_that_is_no_books_is_neither_checked_nor_rescued() {
    let bench = Bench::new();
    file(&bench.path("letter.books"), b"Dear bees,\n");
    file(&bench.path("empty.books"), b"");
    for books in ["letter.books", "empty.books"] {
        for args in [&["books", "check"][..], &["books", "rescue", "new.books"]] {
            let says = bench.refused(&[args, &["--books", books]].concat(), 76);
            assert!(says.contains("not a file of books"), "{says}");
        }
    }
    let files = std::fs::read_dir(bench.folder.path())
        .expect("the folder")
        .count();
    assert_eq!(files, 2, "no new file was made");
}

#[test]
fn books_whose_first_bytes_are_gone_are_still_damaged_books() {
    let bench = Bench::new();
    bench.good(&["note", "2026-03-01 flow begins"]);
    let path = bench.path("combwright.books");
    let mut bytes = std::fs::read(&path).expect("the file");
    bytes[..16].fill(0);
    file(&path, &bytes);
    let output = bench.run(&["books", "check"]);
    let says = String::from_utf8_lossy(&output.stdout).into_owned();
    assert_eq!(output.status.code(), Some(1), "{says}");
    assert!(says.contains("books rescue"), "{says}");
    bench.run(&["books", "rescue", "saved.books"]);
    let notes = bench.good(&["show", "notes", "--books", "saved.books"]);
    assert!(notes.contains("flow begins"), "{notes}");
}

#[test]
fn a_folder_is_called_a_folder() {
    let bench = Bench::new();
    std::fs::create_dir(bench.path("shed")).expect("a folder");
    for args in [
        &["note", "2026-03-01 flow begins"][..],
        &["show", "stock"],
        &["books", "check"],
        &["books", "rescue", "new.books"],
        &["books", "person", "p-1"],
        &["demo"],
    ] {
        let says = bench.refused(&[args, &["--books", "shed"]].concat(), 74);
        assert!(says.contains("this is a folder"), "{args:?}: {says}");
    }
}

#[test]
fn a_missing_file_and_a_missing_folder_are_told_apart() {
    let bench = Bench::new();
    for args in [
        &["show", "stock"][..],
        &["books", "check"],
        &["books", "rescue", "new.books"],
        &["books", "person", "p-1", "--erase"],
        &["books", "erase", "laptop/1", "--for-good"],
    ] {
        let says = bench.refused(args, 74);
        assert!(
            says.contains("there are no books of that name"),
            "{args:?}: {says}"
        );
    }
    let note = ["note", "2026-03-01 flow begins", "--books", "attic/my.books"];
    let says = bench.refused(&note, 74);
    assert!(says.contains("the folder attic is not there"), "{says}");
    let files = std::fs::read_dir(bench.folder.path())
        .expect("the folder")
        .count();
    assert_eq!(files, 0, "asking makes no file");
}

#[test]
#[cfg(target_os = "linux")]
fn a_folder_in_which_no_file_can_be_made_is_read_only() {
    let bench = Bench::new();
    let note = ["note", "2026-03-01 flow begins", "--books", "/proc/my.books"];
    let says = bench.refused(&note, 72);
    assert!(says.contains("no file can be made in /proc"), "{says}");
}

#[test]
#[cfg(unix)]
fn a_file_that_may_not_be_read_is_not_called_missing() {
    use std::os::unix::fs::PermissionsExt as _;
    let bench = Bench::new();
    bench.good(&["note", "2026-03-01 flow begins"]);
    let path = bench.path("combwright.books");
    std::fs::set_permissions(&path, std::fs::Permissions::from_mode(0o0)).expect("our own file");
    if std::fs::File::open(&path).is_ok() {
        // Whoever may do everything is stopped by no permission.
        return;
    }
    for args in [
        &["show", "notes"][..],
        &["books", "check"],
        &["note", "2026-03-02 flow ends"],
    ] {
        let says = bench.refused(args, 74);
        assert!(says.contains("cannot be read"), "{args:?}: {says}");
    }
}

#[test]
#[cfg(target_os = "linux")]
fn an_answer_that_cannot_be_put_out_is_a_fault() {
    let bench = Bench::new();
    bench.good(&["note", "2026-03-01 flow begins"]);
    let full = std::fs::File::options()
        .write(true)
        .open("/dev/full")
        .expect("the full device");
    let mut command = bench.command(&["show", "notes"]);
    let output = command.stdout(full).output().expect("the program runs");
    let says = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(74), "{says}");
    assert!(says.starts_with("Standard output: "), "{says}");
    assert_eq!(says.lines().count(), 1);
}

#[test]
fn a_reader_who_has_gone_away_is_no_fault() {
    let bench = Bench::new();
    bench.good(&["note", "2026-03-01 flow begins"]);
    let (reader, writer) = std::io::pipe().expect("a pipe");
    drop(reader);
    let mut command = bench.command(&["show", "notes"]);
    let output = command.stdout(writer).output().expect("the program runs");
    assert!(output.status.success(), "{output:?}");
    assert!(output.stderr.is_empty());
}
