//! Lines made on a phone, written once.

use std::collections::{BTreeMap, BTreeSet};

use apiary::note::Name;
use apiary::note::aids::{Complete, Desk, Line, Target};
use apiary::{Misgiving, Weight};
use jiff::civil::Date;
use ledger::{Fault, Handle, Hour};
use serde_json::Value;
use thiserror::Error;
use uuid::Uuid;

use crate::office::{Office, Outcome, Refused, Why, Writing};
use crate::surroundings::Surroundings;

/// A line made on a phone, not yet in the books.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Draft {
    /// Its id, made on the phone.
    pub id: Uuid,
    /// Its number on the phone; drafts are written in this order.
    pub seq: u64,
    /// The day on which it was made, unless the line says another.
    pub day: Date,
    /// The hour at which it was made, unless the line says a day or an hour.
    pub hour: Option<Hour>,
    /// The hive that was open on the phone.
    pub at: Option<String>,
    /// Who made it: an id of the address book, or nobody named.
    pub by: String,
    /// The words.
    pub line: String,
}

/// Why nothing of a batch can be taken in.
#[derive(Clone, Debug, Error, PartialEq, Eq)]
pub enum BadDrafts {
    /// It is not JSON of the agreed form.
    #[error("what was sent is no list of drafts: {0}")]
    Form(String),
    /// One draft lacks something.
    #[error("draft {place} {says}")]
    Draft {
        /// Its place in the list, from 1.
        place: usize,
        /// What is wrong with it.
        says: &'static str,
    },
}

/// What became of one draft.
#[derive(Clone, Debug)]
pub struct Taken {
    /// Its id.
    pub id: Uuid,
    /// What became of it.
    pub became: Became,
}

/// What became of a draft.
#[derive(Clone, Debug)]
pub enum Became {
    /// It was written.
    Written {
        /// Its handle.
        handle: Handle,
        /// What was stored.
        text: String,
        /// What is odd about it.
        remarks: Vec<String>,
    },
    /// It had been written before.
    There {
        /// Its handle.
        handle: Handle,
        /// What was stored then.
        text: String,
    },
    /// It could not be read, and was kept as a jotting to be written out later.
    Kept {
        /// The handle of the jotting.
        handle: Handle,
        /// What was stored.
        text: String,
        /// Why it could not be read.
        why: String,
    },
    /// It could not be kept at all and stays where it is.
    Stays {
        /// Why.
        why: String,
    },
}

/// Reads a batch as a phone sends it: `{"drafts": [{"id", "seq", "day", "hour", "at", "by", "line"}]}`.
///
/// # Errors
/// The batch is not of this form; then none of it is taken in, so that the phone keeps all of it.
pub fn drafts(bytes: &[u8]) -> Result<Vec<Draft>, BadDrafts> {
    let told: Value = serde_json::from_slice(bytes).map_err(|error| BadDrafts::Form(error.to_string()))?;
    let list = told
        .get("drafts")
        .and_then(Value::as_array)
        .ok_or_else(|| BadDrafts::Form("there is no list named drafts".to_owned()))?;
    list.iter()
        .enumerate()
        .map(|(at, told)| draft(told).map_err(|says| BadDrafts::Draft { place: at + 1, says }))
        .collect()
}

/// The longest id of a person that a draft may name, in bytes.
const MOST_BY: usize = 60;

fn draft(told: &Value) -> Result<Draft, &'static str> {
    let text = |key: &str| match told.get(key) {
        None | Some(Value::Null) => Ok(None),
        Some(Value::String(text)) if text.is_empty() => Ok(None),
        Some(Value::String(text)) => Ok(Some(text.clone())),
        Some(_) => Err("has something else than words for words"),
    };
    let id = text("id")?.ok_or("has no id")?;
    let hour = match text("hour")? {
        Some(hour) => Some(
            hour.parse()
                .map_err(|_| "has an hour that is none, such as 14:20")?,
        ),
        None => None,
    };
    let by = text("by")?.unwrap_or_default();
    if by.len() > MOST_BY
        || by
            .chars()
            .any(|letter| letter.is_control() || letter.is_whitespace())
    {
        return Err("names somebody who can be nobody of the address book");
    }
    Ok(Draft {
        id: Uuid::try_parse(&id).map_err(|_| "has an id that is none")?,
        seq: told
            .get("seq")
            .and_then(Value::as_u64)
            .ok_or("has no number of its own")?,
        day: text("day")?
            .and_then(|day| day.parse().ok())
            .ok_or("has no day, such as 2026-07-19")?,
        hour,
        at: text("at")?,
        by,
        line: text("line")?.ok_or("has no words")?,
    })
}

/// The hive that was open, if it can be the name of one.
fn hive_of(draft: &Draft) -> Option<&str> {
    let is_name = |at: &&str| {
        at.starts_with(char::is_alphabetic)
            && at
                .chars()
                .all(|letter| letter.is_alphanumeric() || "-_'".contains(letter))
    };
    draft.at.as_deref().filter(is_name)
}

/// What the entry of a draft says it comes from.
fn origin(id: Uuid) -> String {
    format!("field {id}")
}

/// Writes drafts that are new, in the order of their numbers, and where those are the same in the order in which they
/// are handed in; those that are in the books are told as they stand.
///
/// # Errors
/// The store's faults. What had been written before stays written, and is known when it is sent again.
pub fn take_in(
    office: &mut Office,
    drafts: &[Draft],
    surroundings: &mut dyn Surroundings,
) -> Result<Vec<Taken>, Fault> {
    if office.is_stale()? {
        office.reload()?;
    }
    let mut first: BTreeSet<Uuid> = BTreeSet::new();
    let mut all: Vec<&Draft> = drafts.iter().filter(|draft| first.insert(draft.id)).collect();
    // Lines added by hand share the number of the one before them, so the sort has to keep their order.
    all.sort_by_key(|draft| draft.seq);
    let origins: Vec<String> = all.iter().map(|draft| origin(draft.id)).collect();
    let known: BTreeMap<String, usize> = office.came_before(&origins).into_iter().collect();
    let mut taken: BTreeMap<Uuid, Became> = BTreeMap::new();
    let mut new = Vec::new();
    for draft in all {
        match known.get(&origin(draft.id)) {
            Some(place) => {
                let before = office.before(0, *place);
                let (handle, text) = (before.handle, before.text);
                taken.insert(draft.id, Became::There { handle, text });
            }
            None => new.push(draft),
        }
    }
    for run in new.chunk_by(|one, next| one.by == next.by) {
        write_run(office, run, &mut taken, surroundings)?;
    }
    let became = |draft: &Draft| {
        taken
            .get(&draft.id)
            .cloned()
            .map(|became| Taken { id: draft.id, became })
    };
    Ok(drafts.iter().filter_map(became).collect())
}

/// A draft on its way into the books.
struct Trying<'a> {
    draft: &'a Draft,
    line: String,
    /// Why it is a jotting.
    why: Option<String>,
    /// The keeper insists, since what was seen was seen.
    anyway: bool,
    /// A jotting that names its hive.
    names_hive: bool,
}

/// Writes drafts of one writer in one go, so that their order is kept: what is refused is mended and all is tried
/// again. Each line is mended at most twice, so it comes to an end.
fn write_run(
    office: &mut Office,
    run: &[&Draft],
    taken: &mut BTreeMap<Uuid, Became>,
    surroundings: &mut dyn Surroundings,
) -> Result<(), Fault> {
    let mut trying: Vec<Trying<'_>> = run.iter().map(|draft| Trying::new(draft)).collect();
    while !trying.is_empty() {
        let lines: Vec<&str> = trying.iter().map(|trying| trying.line.as_str()).collect();
        let writing = Writing {
            by: run[0].by.clone(),
            origins: trying.iter().map(|trying| origin(trying.draft.id)).collect(),
            ..Writing::default()
        };
        let outcome = office.write(&lines, &writing, surroundings)?;
        if outcome.refused.is_empty() {
            tell(&trying, outcome, taken);
            return Ok(());
        }
        let mut stay = Vec::new();
        for refused in &outcome.refused {
            if let Err(why) = trying[refused.line - 1].mend(refused) {
                stay.push((refused.line - 1, why));
            }
        }
        for (at, why) in stay.into_iter().rev() {
            let id = trying.remove(at).draft.id;
            taken.insert(id, Became::Stays { why });
        }
    }
    Ok(())
}

fn tell(trying: &[Trying<'_>], outcome: Outcome, taken: &mut BTreeMap<Uuid, Became>) {
    for written in outcome.written {
        let (handle, text) = (written.handle, written.text);
        let trying = &trying[written.line - 1];
        let became = match &trying.why {
            Some(why) => Became::Kept {
                handle,
                text,
                why: why.clone(),
            },
            None => Became::Written {
                handle,
                text,
                remarks: written.remarks.iter().map(told).collect(),
            },
        };
        taken.insert(trying.draft.id, became);
    }
    // Another program took the same batch in at the same moment.
    for before in outcome.before {
        let (handle, text) = (before.handle, before.text);
        taken.insert(trying[before.line - 1].draft.id, Became::There { handle, text });
    }
}

fn told(misgiving: &Misgiving) -> String {
    match &misgiving.hint {
        Some(hint) => format!("{} ({hint})", misgiving.says),
        None => misgiving.says.clone(),
    }
}

impl<'a> Trying<'a> {
    fn new(draft: &'a Draft) -> Self {
        let mut trying = Self {
            draft,
            line: String::new(),
            why: None,
            anyway: false,
            names_hive: false,
        };
        match completed(draft) {
            Ok(line) => trying.line = line,
            Err(why) => trying.keep_as_jotting(why),
        }
        trying
    }

    fn keep_as_jotting(&mut self, why: String) {
        self.names_hive = hive_of(self.draft).is_some();
        self.line = jotting(self.draft, hive_of(self.draft));
        self.why = Some(why);
        self.anyway = false;
    }

    /// Makes the line so that it can be written, or tells why it cannot.
    fn mend(&mut self, refused: &Refused) -> Result<(), String> {
        let why = match &refused.why {
            Why::Impossible(misgivings) if !self.anyway => {
                self.anyway = true;
                // A remark ends a line, so the word comes before it.
                return match with_anyway(&self.line) {
                    Some(line) => {
                        self.line = line;
                        Ok(())
                    }
                    None => {
                        self.keep_as_jotting(sentence(misgivings));
                        Ok(())
                    }
                };
            }
            Why::Impossible(misgivings) => sentence(misgivings),
            Why::Unreadable(unreadable) => unreadable.to_string(),
            Why::NoSuchNote(says) => says.clone(),
        };
        match &self.why {
            None => {
                self.keep_as_jotting(why);
                Ok(())
            }
            // The words matter more than where they were said.
            Some(_) if self.names_hive => {
                self.names_hive = false;
                self.line = jotting(self.draft, None);
                Ok(())
            }
            Some(first) => Err(format!(
                "{first}; it could not be kept as a jotting either: {why}"
            )),
        }
    }
}

fn sentence(misgivings: &[Misgiving]) -> String {
    let impossible = misgivings
        .iter()
        .filter(|misgiving| misgiving.weight == Weight::Impossible);
    impossible.map(told).collect::<Vec<_>>().join("; ")
}

/// Whether the words of a draft can be read as a note.
pub(super) fn is_note(draft: &Draft) -> bool {
    completed(draft).is_ok()
}

/// The line of a draft with its day, hour and hive, so that it stands alone.
fn completed(draft: &Draft) -> Result<String, String> {
    let mut desk = Desk::new(draft.day);
    desk.day = Some(draft.day);
    desk.at = hive_of(draft).map(Name::new);
    let typed = draft.line.trim();
    let read = match with_hour(draft, typed) {
        Some(timed) => desk.line(&timed).or_else(|_| desk.line(typed)),
        None => desk.line(typed),
    };
    let line = read.map_err(|unreadable| unreadable.to_string())?;
    let by_handle = |target: &Target| match target {
        Target::Handle(handle) => Ok(handle.to_string()),
        Target::Last => Err("the phone has no chain of its own, so nothing is its last note".to_owned()),
    };
    let words = |complete: &Complete| complete.text.clone();
    match line {
        Line::Nothing => Err("it says nothing that could be a note".to_owned()),
        Line::Note(complete) => Ok(words(&complete)),
        Line::Correct(target, complete) => {
            Ok(format!("correct {}: {}", by_handle(&target)?, words(&complete)))
        }
        Line::Withdraw(target, _) => by_handle(&target).map(|_| typed.to_owned()),
        Line::Settle(targets, _) => {
            let handles: Result<Vec<_>, _> = targets.iter().map(by_handle).collect();
            handles.map(|_| typed.to_owned())
        }
    }
}

/// The line with the day and hour of its draft before it; none where it says a day or an hour, or is no note.
fn with_hour(draft: &Draft, typed: &str) -> Option<String> {
    let hour = draft.hour?;
    let first = typed.split_ascii_whitespace().next()?;
    let says_its_own = first.starts_with(|letter: char| letter.is_ascii_digit());
    let is_aid = matches!(
        first,
        "today" | "yesterday" | "day" | "at" | "correct" | "withdraw" | "settle"
    );
    (!says_its_own && !is_aid && !first.starts_with('#')).then(|| format!("{} {hour} {typed}", draft.day))
}

/// The line with the word that insists, before the remark if there is one.
fn with_anyway(line: &str) -> Option<String> {
    let mut quoted = false;
    let remark = line.char_indices().find(|(_, letter)| {
        quoted ^= *letter == '"';
        *letter == '#' && !quoted
    });
    let (words, remark) = line.split_at(remark.map_or(line.len(), |(at, _)| at));
    let insisting = format!("{} anyway {remark}", words.trim_end());
    let insisting = insisting.trim_end();
    let is_read = Desk::new(Date::ZERO).line(insisting).is_ok();
    is_read.then(|| insisting.to_owned())
}

/// The words as they came, as a jotting. Of the letters only those are changed that no quoted words can hold.
fn jotting(draft: &Draft, hive: Option<&str>) -> String {
    let words: String = draft
        .line
        .trim()
        .chars()
        .map(|letter| match letter {
            '"' => '\'',
            '\u{2028}' | '\u{2029}' => ' ',
            letter if letter.is_control() => ' ',
            letter => letter,
        })
        .filter(|letter| !is_bidi_control(*letter))
        .collect();
    let hour = draft.hour.map(|hour| format!("{hour} ")).unwrap_or_default();
    let hive = hive.map(|hive| format!("{hive} ")).unwrap_or_default();
    format!("{} {hour}jot {hive}\"{words}\"", draft.day)
}

fn is_bidi_control(letter: char) -> bool {
    matches!(letter, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}
