//! A text file of notes that a phone gave out, to be brought in by hand.
//!
//! Before each line stands a remark that carries what the line alone does not say:
//! `#= field ID SEQ DAY HOUR HIVE BY`, with `-` for what is not known. A line that was added by hand has no such
//! remark; its id then follows from its words, so that it too comes in once.

use std::collections::BTreeMap;

use jiff::civil::Date;
use thiserror::Error;
use uuid::Uuid;

use super::drafts::Draft;

/// What stands in such a file.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Bundle {
    /// The drafts, in the order of the file.
    pub drafts: Vec<Draft>,
}

/// Why a file could not be brought in.
#[derive(Clone, Debug, Error, PartialEq, Eq)]
pub enum NoBundle {
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
/// # Errors
/// A remark of ours is damaged, or the file ends after one. Then nothing is taken in: the file is still there.
pub fn bundle(text: &str, today: Date) -> Result<Bundle, NoBundle> {
    let mut bundle = Bundle::default();
    let mut times: BTreeMap<&str, u32> = BTreeMap::new();
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut lines = text.lines().zip(1usize..);
    while let Some((line, number)) = lines.next() {
        if let Some(head) = line.strip_prefix(HEAD) {
            let mut draft = head_of(head).ok_or_else(|| NoBundle::Head {
                line: number,
                text: line.to_owned(),
            })?;
            let words = lines
                .next()
                .map(|(words, _)| words.trim())
                .filter(|words| !words.is_empty());
            draft.line = words.ok_or(NoBundle::Cut { line: number })?.to_owned();
            bundle.drafts.push(draft);
        } else if !line.trim().is_empty() && !line.starts_with('#') {
            let words = line.trim();
            let time = times.entry(words).and_modify(|time| *time += 1).or_insert(1);
            let seq = bundle.drafts.last().map_or(0, |last| last.seq);
            bundle.drafts.push(Draft {
                id: id_of_words(words, *time),
                seq,
                day: today,
                hour: None,
                at: None,
                by: String::new(),
                line: words.to_owned(),
            });
        }
    }
    Ok(bundle)
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
        let drafts = bundle(text, TODAY).expect("it is read").drafts;
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
        let once = bundle(text, TODAY).expect("it is read");
        assert_eq!(once, bundle(text, TODAY).expect("it is read"));
        let ids: std::collections::BTreeSet<Uuid> = once.drafts.iter().map(|draft| draft.id).collect();
        assert_eq!(ids.len(), 3, "the same words twice are two notes");
    }

    #[test]
    fn a_damaged_or_cut_file_is_refused_as_a_whole() {
        let head = "#= field 01981b2e-5f00-7000-8000-000000000001 4 2026-07-18 14:20 alder p-14";
        assert_eq!(bundle(head, TODAY), Err(NoBundle::Cut { line: 1 }));
        assert_eq!(
            bundle(&format!("{head}\n\n"), TODAY),
            Err(NoBundle::Cut { line: 1 })
        );
        for broken in [
            "#= field x",
            &head.replace("14:20", "24:61"),
            &head.replace(" p-14", ""),
        ] {
            let told = bundle(&format!("# a\n{broken}\nlook alder queen seen\n"), TODAY);
            assert!(matches!(told, Err(NoBundle::Head { line: 2, .. })), "{broken}");
        }
    }
}
