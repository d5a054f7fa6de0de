//! Lines as they are handed in: typed, in a file, or on standard input.
//!
//! Holds true: bytes that are no text stay in their line, where they are refused; a line keeps its number.

use std::borrow::Cow;
use std::io::{IsTerminal as _, Read as _};
use std::path::Path;

use crate::args::NoteArgs;
use crate::exit::Failure;

/// What was handed in.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct Lines {
    pub(crate) lines: Vec<String>,
    /// Whether a refusal has to name its line: always but for the single note that was typed.
    pub(crate) numbered: bool,
}

/// The name that stands for standard input.
pub(super) const STANDARD_INPUT: &str = "-";

pub(crate) fn of_note(asked: &NoteArgs) -> Result<Lines, Failure> {
    match (&asked.file, asked.lines.as_slice()) {
        (Some(file), _) => from_file(file),
        (None, [only]) if only == STANDARD_INPUT => from_file(Path::new(STANDARD_INPUT)),
        (None, []) if std::io::stdin().is_terminal() => Err(Failure::Refused(
            "No note was given: write it in quotes, name a file with --file, or send lines to standard input."
                .to_owned(),
        )),
        (None, []) => from_file(Path::new(STANDARD_INPUT)),
        (None, typed) => Ok(as_typed(typed)),
    }
}

fn from_file(file: &Path) -> Result<Lines, Failure> {
    Ok(Lines {
        lines: lines_of(&read_bytes(file)?),
        numbered: true,
    })
}

/// The bytes of a file or of standard input.
pub(crate) fn read_bytes(file: &Path) -> Result<Vec<u8>, Failure> {
    let is_input = file == Path::new(STANDARD_INPUT);
    let read = if is_input {
        let mut bytes = Vec::new();
        std::io::stdin().lock().read_to_end(&mut bytes).map(|_| bytes)
    } else {
        std::fs::read(file)
    };
    let name = || match is_input {
        true => "standard input".to_owned(),
        false => file.display().to_string(),
    };
    read.map_err(|error| Failure::File(name(), error))
}

/// The lines of a file, without the mark that some programs put before text in UTF-8.
pub(crate) fn lines_of(bytes: &[u8]) -> Vec<String> {
    let text = without_mark(bytes);
    let mut lines: Vec<String> = text
        .split(|byte| *byte == b'\n')
        .map(|line| String::from_utf8_lossy(line).into_owned())
        .collect();
    if lines.last().is_some_and(String::is_empty) {
        lines.pop();
    }
    lines
}

/// The bytes behind the mark of UTF-8, if it is there.
pub(crate) fn without_mark(bytes: &[u8]) -> &[u8] {
    bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes)
}

fn as_typed(typed: &[String]) -> Lines {
    let notes = if is_one_note(typed) {
        vec![joined(typed)]
    } else {
        typed.to_vec()
    };
    let lines: Vec<String> = notes
        .iter()
        .flat_map(|note| note.split('\n'))
        .map(str::to_owned)
        .collect();
    let numbered = lines.len() > 1;
    Lines { lines, numbered }
}

/// Whether the arguments are the words of one note, the shell having parted them. No note is a single word, so
/// a first argument of one word begins one; the exceptions are `at`, which ends a hive, a remark and nothing.
fn is_one_note(typed: &[String]) -> bool {
    let [first, second, ..] = typed else {
        return false;
    };
    let is_whole_line = first.is_empty() || first.starts_with('#') || (first == "at" && has_space(second));
    !has_space(first) && !is_whole_line
}

fn has_space(word: &str) -> bool {
    word.contains(char::is_whitespace)
}

/// The words of a note as they were before the shell took the quotes away.
fn joined(words: &[String]) -> String {
    let words: Vec<Cow<'_, str>> = words.iter().map(|word| requoted(word)).collect();
    words.join(" ")
}

fn requoted(word: &str) -> Cow<'_, str> {
    let is_whole = word.contains('"') || word.starts_with('#');
    if word.is_empty() || (has_space(word) && !is_whole) {
        Cow::Owned(format!("\"{word}\""))
    } else {
        Cow::Borrowed(word)
    }
}

#[cfg(test)]
mod tests {
    use super::{as_typed, lines_of};

    #[track_caller]
    fn check(typed: &[&str], lines: &[&str]) {
        let typed: Vec<String> = typed.iter().map(|word| (*word).to_owned()).collect();
        let found = as_typed(&typed);
        assert_eq!(found.lines, lines);
        assert_eq!(found.numbered, lines.len() > 1);
    }

    #[test]
    fn words_that_the_shell_has_parted_are_one_note() {
        check(
            &["2026-07-01", "lost", "alder", "cause", "queen failure"],
            &["2026-07-01 lost alder cause \"queen failure\""],
        );
        check(&["today", "flow", "begins"], &["today flow begins"]);
        check(
            &["yesterday", "note", "\"is quoted\""],
            &["yesterday note \"is quoted\""],
        );
        check(&["flow", "begins", "# at last"], &["flow begins # at last"]);
        check(&["at", "alder"], &["at alder"]);
    }

    #[test]
    fn whole_notes_stay_several() {
        let (first, second) = ("2026-07-01 flow begins", "2026-07-02 flow ends");
        check(&[first, second], &[first, second]);
        check(&["day 2026-07-01", "at alder"], &["day 2026-07-01", "at alder"]);
        check(&["at", first], &["at", first]);
        check(&["# remark", first], &["# remark", first]);
        check(&["", first], &["", first]);
        check(&[first], &[first]);
        check(
            &["2026-07-01 flow begins\n2026-07-02 flow ends"],
            &[first, second],
        );
    }

    #[test]
    fn a_mark_is_taken_off_and_bad_bytes_stay_in_their_line() {
        assert_eq!(
            lines_of(b"\xef\xbb\xbfa\nb\xff\n\nc\n"),
            ["a", "b\u{fffd}", "", "c"]
        );
        assert!(lines_of(b"").is_empty());
    }
}
