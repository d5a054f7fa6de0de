//! The chores of the workspace: check everything, write the manual of the notes, start the long runs.
//!
//! `cargo xtask test` is what stands between a change and the main line; it runs the same on a laptop as
//! anywhere else.
#![expect(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "a chore talks to the terminal"
)]

mod docs;
mod licences;
mod long;
mod needs;
mod pictures;
mod references;
mod steps;

use std::path::PathBuf;
use std::process::ExitCode;

use anyhow::{Result, bail};

const USAGE: &str = "\
cargo xtask CHORE

  test            everything that has to hold: format, lints, tests, manual, licences
  docs            write docs/notes.md from the table of verbs
  docs --check    fail if docs/notes.md is stale or a document shows a note that cannot be read
  outlines        write what each page says anew (crates/web/tests/outlines); then read what changed
  pictures        take the pages of the demo books into docs/pictures
  references      solve the cutting lists of the tests with HiGHS anew (crates/reckon/tests/published/cut)
  licences        check licences, reasons for dependencies, and which crate may use which
  soak [SEED]     power cuts by the thousand; a seed repeats a run
  bench [--quick] [--out FILE]
                  measure the release build";

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    match chore(&words) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("{error:#}");
            ExitCode::FAILURE
        }
    }
}

fn chore(words: &[&str]) -> Result<()> {
    match words {
        ["test"] => steps::test(),
        ["docs"] => docs::write(),
        ["docs", "--check"] => docs::check(),
        ["outlines"] => pictures::outlines(),
        ["pictures"] => pictures::pictures(),
        ["references"] => references::write(),
        ["licences"] => licences::check(),
        ["soak"] => long::soak(None),
        ["soak", seed] => long::soak(Some(seed)),
        ["bench", rest @ ..] => long::bench(rest),
        [] | ["help" | "--help" | "-h"] => {
            println!("{USAGE}");
            Ok(())
        }
        _ => bail!("there is no such chore\n\n{USAGE}"),
    }
}

/// The folder that holds the workspace.
fn root() -> PathBuf {
    let here = PathBuf::from(env!("CARGO_MANIFEST_DIR"));
    here.parent()
        .expect("BUG: xtask lies in the workspace")
        .to_owned()
}
