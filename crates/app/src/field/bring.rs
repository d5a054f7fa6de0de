//! A text file of notes that a phone gave out, to be brought in by hand.
//!
//! Before each line stands a remark that carries what the line alone does not say:
//! `#= field ID SEQ DAY HOUR HIVE BY`, with `-` for what is not known. A line that was added by hand has no such
//! remark; its id then follows from its words, so that it too comes in once.

use std::borrow::Cow;
use std::collections::BTreeMap;

use jiff::civil::Date;
use thiserror::Error;
use uuid::Uuid;

use super::drafts::{Draft, is_note};

/// What stands in such a file.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Bundle {
    /// The drafts, in the order of the file.
    pub drafts: Vec<Draft>,
}

/// Why a file could not be brought in.
#[derive(Clone, Debug, Error, PartialEq, Eq)]
pub enum NoBundle {
    /// It is a file of another kind.
    #[error("it is {0}, and no text of notes")]
    Other(&'static str),
    /// Bytes that are no letters.
    #[error("line {line} is no text in UTF-8; if an editor saved the file, let it save it as UTF-8")]
    NoText {
        /// The number of the line, from 1.
        line: usize,
    },
    /// What should begin a line stands within one.
    #[error(
        "line {line} has \u{201c}#= field\u{201d} in its middle; the line breaks of the file were lost on its way"
    )]
    Joined {
        /// The number of the line, from 1.
        line: usize,
    },
    /// Nothing in it came from a phone, and nothing is a note.
    #[error(
        "no line in it came from the page for the field or can be read as a note; the first is \u{201c}{first}\u{201d}"
    )]
    NoNote {
        /// How its first line begins.
        first: String,
    },
    /// A remark that should carry an id does not.
    #[error("line {line} should carry the id of a note and does not: {text}")]
    Head {
        /// The number of the line, from 1.
        line: usize,
        /// What stands there.
        text: String,
    },
    /// Nothing follows a remark that carries an id.
    #[error("the note that line {line} announces is missing; the file may have been cut off")]
    Cut {
        /// The number of the line, from 1.
        line: usize,
    },
}

const HEAD: &str = "#= field ";

/// Reads a file of notes; a line without a day of its own that was added by hand is of `today`.
///
/// A copy out of a letter, with `>` before its lines, is read as the file was.
///
/// # Errors
/// It is no such file, a remark of ours is damaged, or the file ends after one. Then nothing is taken in: the file is
/// still there.
pub fn bundle(bytes: &[u8], today: Date) -> Result<Bundle, NoBundle> {
    let text = unquoted(text_of(bytes)?);
    let mut bundle = Bundle::default();
    let mut times: BTreeMap<&str, u32> = BTreeMap::new();
    let mut is_ours = false;
    let mut lines = text.lines().map(str::trim).zip(1usize..);
    while let Some((line, number)) = lines.next() {
        if is_joined(line) {
            return Err(NoBundle::Joined { line: number });
        }
        if let Some(head) = line.strip_prefix(HEAD) {
            let mut draft = head_of(head).ok_or_else(|| NoBundle::Head {
                line: number,
                text: line.to_owned(),
            })?;
            let words = match lines.next() {
                Some((words, number)) if is_joined(words) => return Err(NoBundle::Joined { line: number }),
                words => words
                    .map(|(words, _)| words)
                    .filter(|words| !words.is_empty() && !words.starts_with(HEAD)),
            };
            draft.line = words.ok_or(NoBundle::Cut { line: number })?.to_owned();
            is_ours = true;
            bundle.drafts.push(draft);
        } else if !line.is_empty() && !line.starts_with('#') {
            let time = times.entry(line).and_modify(|time| *time += 1).or_insert(1);
            let seq = bundle.drafts.last().map_or(0, |last| last.seq);
            bundle.drafts.push(Draft {
                id: id_of_words(line, *time),
                seq,
                day: today,
                hour: None,
                at: None,
                by: String::new(),
                line: line.to_owned(),
            });
        }
    }
    match bundle.drafts.first() {
        Some(first) if !is_ours && !bundle.drafts.iter().any(is_note) => Err(NoBundle::NoNote {
            first: beginning(&first.line),
        }),
        _ => Ok(bundle),
    }
}

/// The text of a file, without the mark that some programs put before it; a file of another kind is told by its kind.
fn text_of(bytes: &[u8]) -> Result<&str, NoBundle> {
    const KINDS: &[(&str, &str)] = &[
        ("%pdf-", "a PDF file"),
        ("<!doctype", "a page of HTML"),
        ("<html", "a page of HTML"),
        ("<?xml", "a file of XML"),
        ("{\\rtf", "a document of a word processor"),
        ("pk\u{3}\u{4}", "a packed file or a document of a word processor"),
    ];
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let starts = bytes.trim_ascii_start();
    for (start, kind) in KINDS {
        let begins = starts.get(..start.len());
        if begins.is_some_and(|begins| begins.eq_ignore_ascii_case(start.as_bytes())) {
            return Err(NoBundle::Other(kind));
        }
    }
    let no_text = |at: usize| NoBundle::NoText {
        line: 1 + bytes[..at].iter().filter(|byte| **byte == b'\n').count(),
    };
    if let Some(at) = bytes.iter().position(|byte| *byte == 0) {
        return Err(no_text(at));
    }
    std::str::from_utf8(bytes).map_err(|error| no_text(error.valid_up_to()))
}

/// The text without the marks of a quotation: those that stand before every line, or before one that carries an id.
fn unquoted(text: &str) -> Cow<'_, str> {
    let mut text = Cow::Borrowed(text);
    while is_quoted(&text) {
        let lines = text.lines().map(|line| without_mark(line).unwrap_or(line));
        text = Cow::Owned(lines.collect::<Vec<_>>().join("\n"));
    }
    text
}

fn is_quoted(text: &str) -> bool {
    let mut lines = text.lines().filter(|line| !line.trim().is_empty()).peekable();
    let carries_id =
        |line: &str| line.starts_with('>') && line.trim_start_matches(['>', ' ']).starts_with(HEAD);
    lines.peek().is_some() && (lines.clone().all(|line| line.starts_with('>')) || lines.any(carries_id))
}

fn without_mark(line: &str) -> Option<&str> {
    let rest = line.strip_prefix('>')?;
    Some(rest.strip_prefix(' ').unwrap_or(rest))
}

/// Whether a line that carries an id was joined to what stood before it.
fn is_joined(line: &str) -> bool {
    line.match_indices(HEAD).any(|(at, head)| {
        let id = line[at + head.len()..].split_whitespace().next();
        at > 0 && id.is_some_and(|id| Uuid::try_parse(id).is_ok())
    })
}

/// How a line begins, to be told.
fn beginning(line: &str) -> String {
    const MOST: usize = 60;
    match line.char_indices().nth(MOST) {
        Some((at, _)) => format!("{}\u{2026}", &line[..at]),
        None => line.to_owned(),
    }
}

fn head_of(head: &str) -> Option<Draft> {
    let words: Vec<&str> = head.split_whitespace().collect();
    let [id, seq, day, hour, at, by] = words.as_slice() else {
        return None;
    };
    let said = |word: &str| (word != "-").then(|| word.to_owned());
    Some(Draft {
        id: Uuid::try_parse(id).ok()?,
        seq: seq.parse().ok()?,
        day: day.parse().ok()?,
        hour: match said(hour) {
            Some(hour) => Some(hour.parse().ok()?),
            None => None,
        },
        at: said(at),
        by: said(by).unwrap_or_default(),
        line: String::new(),
    })
}

/// An id that is the same whenever the same words come for the same time in a file.
fn id_of_words(words: &str, time: u32) -> Uuid {
    let digest = blake3::hash(format!("{time} {words}").as_bytes());
    let mut bytes = [0; 16];
    bytes.copy_from_slice(&digest.as_bytes()[..16]);
    uuid::Builder::from_custom_bytes(bytes).into_uuid()
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::*;

    const TODAY: Date = date(2026, 7, 19);

    #[test]
    fn a_file_of_the_phone_is_read_with_its_ids() {
        let text = "# notes of the field\n\
                    #= field 01981b2e-5f00-7000-8000-000000000001 4 2026-07-18 14:20 alder p-14\n\
                    look bar 3 sealed 5/8   # five  \n\
                    #= field 01981b2e-5f00-7000-8000-000000000002 5 2026-07-18 - - -\r\n\
                    # words that begin as a remark\n\n";
        let drafts = bundle(text.as_bytes(), TODAY).expect("it is read").drafts;
        assert_eq!(drafts.len(), 2);
        assert_eq!(drafts[0].line, "look bar 3 sealed 5/8   # five");
        assert_eq!(drafts[0].at.as_deref(), Some("alder"));
        assert_eq!((drafts[0].seq, drafts[0].by.as_str()), (4, "p-14"));
        assert_eq!(
            drafts[0].hour.map(|hour| hour.to_string()).as_deref(),
            Some("14:20")
        );
        assert_eq!(drafts[1].line, "# words that begin as a remark");
        assert_eq!((drafts[1].hour, drafts[1].at.as_deref()), (None, None));
    }

    #[test]
    fn a_line_added_by_hand_has_an_id_of_its_words() {
        let text = "feed alder syrup 1 kg\nfeed alder syrup 1 kg\nfeed birch syrup 1 kg\n";
        let once = bundle(text.as_bytes(), TODAY).expect("it is read");
        assert_eq!(once, bundle(text.as_bytes(), TODAY).expect("it is read"));
        let ids: std::collections::BTreeSet<Uuid> = once.drafts.iter().map(|draft| draft.id).collect();
        assert_eq!(ids.len(), 3, "the same words twice are two notes");
    }

    #[test]
    fn a_damaged_or_cut_file_is_refused_as_a_whole() {
        let head = "#= field 01981b2e-5f00-7000-8000-000000000001 4 2026-07-18 14:20 alder p-14";
        assert_eq!(bundle(head.as_bytes(), TODAY), Err(NoBundle::Cut { line: 1 }));
        assert_eq!(
            bundle(format!("{head}\n\n").as_bytes(), TODAY),
            Err(NoBundle::Cut { line: 1 })
        );
        for broken in [
            "#= field x",
            &head.replace("14:20", "24:61"),
            &head.replace(" p-14", ""),
        ] {
            let told = bundle(
                format!("# a\n{broken}\nlook alder queen seen\n").as_bytes(),
                TODAY,
            );
            assert!(matches!(told, Err(NoBundle::Head { line: 2, .. })), "{broken}");
        }
    }

    #[test]
    fn what_is_no_text_of_notes_is_told_by_what_it_is() {
        let hours = "2026-05-24 feed alder syrup 1 kg\n";
        for (bytes, says) in [
            (&b"%PDF-1.7\n"[..], "it is a PDF file"),
            (b"\xef\xbb\xbf  <!DOCTYPE html><html>", "it is a page of HTML"),
            (b"<HTML>", "it is a page of HTML"),
            (b"PK\x03\x04aaaa", "a packed file"),
            (b"feed alder syrup 1 kg\nfeed \0 birch", "line 2 is no text"),
            (b"feed alder syrup 1 kg\n\nfeed \xff birch", "line 3 is no text"),
            (b"f\0e\0e\0d\0", "line 1 is no text"),
            (
                b"Dear all,\nthe hives are well.\n",
                "the first is \u{201c}Dear all,\u{201d}",
            ),
        ] {
            let told = bundle(bytes, TODAY).expect_err(says).to_string();
            assert!(told.contains(says), "{told}");
            // A single note among other words is reason enough to take all of it in.
            let beside = [bytes, b"\n", hours.as_bytes()].concat();
            assert_eq!(
                bundle(&beside, TODAY).is_ok(),
                says.starts_with("the first"),
                "{says}"
            );
        }
        assert_eq!(bundle(b"# nothing yet\n\n", TODAY), Ok(Bundle::default()));
    }

    const TWO: &str = "# notes of the field\n\
        #= field 01981b2e-5f00-7000-8000-000000000001 4 2026-07-18 14:20 alder p-14\n\
        look bar 3 sealed 5/8\n\
        feed alder syrup 1 kg\n\
        #= field 01981b2e-5f00-7000-8000-000000000002 5 2026-07-18 - - -\n\
        > words that begin with a mark\n";

    #[test]
    fn lost_line_breaks_are_told() {
        for (joined, line) in [
            (TWO.replace('\n', " "), 1),
            (TWO.replace('\n', "\r"), 1),
            (TWO.replace("1 kg\n", "1 kg "), 4),
            (TWO.replace("5/8\nfeed alder syrup 1 kg\n", "5/8 "), 3),
        ] {
            assert_eq!(
                bundle(joined.as_bytes(), TODAY),
                Err(NoBundle::Joined { line }),
                "{joined}"
            );
        }
    }

    #[test]
    fn a_copy_out_of_a_letter_is_read_as_the_file_was() {
        let plain = bundle(TWO.as_bytes(), TODAY).expect("it is read");
        assert_eq!(plain.drafts.len(), 3);
        assert_eq!(plain.drafts[2].line, "> words that begin with a mark");
        for mark in ["> ", ">", "> > ", ">>"] {
            let quoted: String = TWO.lines().map(|line| format!("{mark}{line}\r\n")).collect();
            assert_eq!(bundle(quoted.as_bytes(), TODAY).as_ref(), Ok(&plain), "{mark}");
        }
        let answered = format!(
            "Thank you!\n{}",
            TWO.replace('\n', "\n> ").replacen('#', "> #", 1)
        );
        let drafts = bundle(answered.as_bytes(), TODAY).expect("it is read").drafts;
        assert_eq!(drafts[1..], plain.drafts);
        assert_eq!(drafts[0].line, "Thank you!");
    }
}
