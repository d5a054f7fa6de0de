//! Other programs: killed while they write, or writing at the same time.

use ledger::{Digest, Problem, Store};
use std::collections::BTreeSet;
use std::io::{BufRead, BufReader, Read};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use store::SqliteStore;
use store::conformance::{FARM, books_in};

/// The example that writes; it is built along with the tests.
fn scribe(file: &Path, device: &str, count: u32) -> Child {
    let here = std::env::current_exe().unwrap();
    let program = here.ancestors().nth(2).unwrap().join("examples").join("scribe");
    let mut command = Command::new(program);
    command
        .arg(file)
        .args([device, &count.to_string()])
        .stdout(Stdio::piped())
        .stderr(Stdio::inherit());
    command.spawn().expect("the example scribe, built with the tests")
}

fn new_books(folder: &Path) -> PathBuf {
    let file = folder.join("farm.books");
    SqliteStore::create(&file).unwrap().create_farm(FARM).unwrap();
    file
}

/// Whole lines only: a killed program may have printed half of one.
fn answers(child: &mut Child) -> Vec<Digest> {
    let mut printed = String::new();
    child.stdout.take().unwrap().read_to_string(&mut printed).unwrap();
    let whole = printed.split_inclusive('\n').filter(|line| line.ends_with('\n'));
    whole
        .map(|line| Digest::from_hex(line.trim_end()).unwrap())
        .collect()
}

#[test]
fn what_a_killed_program_was_answered_is_there() {
    let folder = tempfile::tempdir().unwrap();
    let file = new_books(folder.path());
    let mut answered = BTreeSet::new();
    for kill in 1..=25_usize {
        let mut child = scribe(&file, "laptop", 1_000_000);
        // Killed after so many answers, at whatever it is doing then.
        let mut heard = BufReader::new(child.stdout.take().unwrap());
        let mut lines = String::new();
        for _ in 0..kill * 7 % 23 + 1 {
            heard.read_line(&mut lines).unwrap();
        }
        child.kill().unwrap();
        heard.read_to_string(&mut lines).unwrap();
        child.wait().unwrap();
        let whole = lines.split_inclusive('\n').filter(|line| line.ends_with('\n'));
        answered.extend(whole.map(|line| Digest::from_hex(line.trim_end()).unwrap()));
        let books = books_in(&SqliteStore::open(&file).unwrap(), FARM);
        assert_eq!(books.problems(), [], "kill {kill}");
        let lost = answered
            .iter()
            .filter(|digest| books.by_digest(digest).is_none())
            .count();
        assert_eq!(lost, 0, "kill {kill}");
        assert!(
            books.entries().len() <= answered.len() + kill,
            "at most one note a kill was not answered"
        );
    }
}

#[test]
fn two_programs_can_write_at_once() {
    let folder = tempfile::tempdir().unwrap();
    let file = new_books(folder.path());
    let mut children = [
        scribe(&file, "laptop", 60),
        scribe(&file, "phone", 60),
        scribe(&file, "laptop", 60),
    ];
    let answered: Vec<Digest> = children.iter_mut().flat_map(answers).collect();
    for child in &mut children {
        assert!(child.wait().unwrap().success());
    }
    let books = books_in(&SqliteStore::open(&file).unwrap(), FARM);
    assert_eq!(answered.len(), 180);
    assert_eq!(books.entries().len(), 180);
    assert!(answered.iter().all(|digest| books.by_digest(digest).is_some()));
    let forks = books
        .problems()
        .into_iter()
        .filter(|problem| matches!(problem, Problem::Fork { .. }));
    assert_eq!(forks.count(), 0, "two programs of one device share its chain");
    assert_eq!(books.problems(), []);
}
