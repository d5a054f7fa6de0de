//! What a form is about, looked up in the books: the verb it fills in, the note it would replace.

use apiary::note::compose::{Composed, Fills, MOST_ROUNDS, blanks, compose, fill};
use apiary::note::table;
use apiary::note::table::{Entry as VerbEntry, Kind};
use ledger::{Act, Handle};

use super::{About, Sent};
use crate::reader::Reader;

/// A form, as far as the books decide what it asks for.
pub(super) struct Plan {
    pub(super) about: About,
    /// The verb whose values are asked for, and which of its forms.
    pub(super) verb: Option<(&'static VerbEntry, usize)>,
    /// What is filled in before anybody fills it in.
    pub(super) filled: Sent,
    /// How the lines begin that this form writes.
    pub(super) lead: String,
}

/// The lines that a form asks to be written.
pub(super) struct Asked {
    pub(super) lines: Vec<String>,
    /// The note in the only line, where it was filled in rather than typed.
    pub(super) composed: Option<Composed>,
    /// The key that the lines were typed into.
    pub(super) key: &'static str,
    /// What is missing, by its key.
    pub(super) missing: Vec<(String, String)>,
}

impl Asked {
    fn nothing(key: &str, says: &str) -> Self {
        Self {
            lines: Vec::new(),
            composed: None,
            key: "",
            missing: vec![(key.to_owned(), says.to_owned())],
        }
    }

    fn typed(key: &'static str, lines: Vec<String>) -> Self {
        Self {
            lines,
            composed: None,
            key,
            missing: Vec::new(),
        }
    }
}

impl Plan {
    pub(super) fn of(reader: &Reader<'_>, about: &About) -> Option<Self> {
        let mut plan = Self {
            about: about.clone(),
            verb: None,
            filled: Sent::new(),
            lead: String::new(),
        };
        match about {
            About::Verb { word, form } => {
                let entry = table().verb(word)?;
                entry.shapes.get(*form)?;
                plan.verb = Some((entry, *form));
                plan.filled.insert("day".to_owned(), reader.day().to_string());
            }
            About::Line => {}
            About::Correct(handle) => {
                let place = only(reader, handle)?;
                if !has_note(&reader.entry(place).envelope.act) {
                    return None;
                }
                if let Some(note) = standing_for(reader, place).and_then(|place| reader.note(place)) {
                    plan.verb = Some((note.fact.verb, usize::from(note.fact.form)));
                    plan.filled = fill(note);
                }
                plan.lead = format!("correct {handle}: ");
            }
            About::Withdraw(handle) => {
                only(reader, handle)?;
                plan.lead = format!("withdraw {handle}");
            }
            About::Settle(handles) => {
                if handles.is_empty() || handles.iter().any(|handle| only(reader, handle).is_none()) {
                    return None;
                }
                let handles: Vec<String> = handles.iter().map(ToString::to_string).collect();
                plan.lead = format!("settle {}", handles.join(", "));
            }
        }
        Some(plan)
    }

    /// What a field holds: what was sent, or what it began with if nothing was.
    pub(super) fn value(&self, sent: &Sent, key: &str) -> String {
        // A tick taken away is not sent at all, so whoever sends a form sends all of it.
        let is_sent = sent.contains_key("once");
        let own = || self.filled.get(key).filter(|_| !is_sent);
        sent.get(key).or_else(own).cloned().unwrap_or_default()
    }

    fn fills(&self, key: &str) -> Option<Fills> {
        let (entry, form) = self.verb?;
        let blanks = blanks(&entry.shapes[form], MOST_ROUNDS);
        blanks
            .into_iter()
            .find(|blank| blank.key == key)
            .map(|blank| blank.fills)
    }

    /// Whether a field holds free words.
    pub(super) fn is_text(&self, key: &str) -> bool {
        matches!(self.fills(key), Some(Fills::Value(Kind::Text)))
    }

    /// Whether a field holds a single word or figure.
    pub(super) fn is_one_word(&self, key: &str) -> bool {
        match self.fills(key) {
            Some(fills) => matches!(
                fills,
                Fills::Value(Kind::Name(..) | Kind::Word(_)) | Fills::BarsHive
            ),
            None => key == "day" || key == "hour",
        }
    }

    /// The lines that come of what was sent.
    pub(super) fn asked(&self, sent: &Sent) -> Asked {
        let line = self.value(sent, "line");
        let line = line.trim_end();
        let because = self.value(sent, "because").trim().replace('"', "\u{201d}");
        match &self.about {
            About::Line if line.trim().is_empty() => Asked::nothing("line", "a note is needed"),
            About::Line => Asked::typed("line", line.lines().map(str::to_owned).collect()),
            About::Verb { .. } => self.filled_in(sent),
            About::Correct(_) if !line.trim().is_empty() => {
                Asked::typed("line", vec![format!("{}{}", self.lead, line.trim())])
            }
            About::Correct(_) => self.filled_in(sent),
            About::Withdraw(_) if because.is_empty() => Asked::typed("because", vec![self.lead.clone()]),
            About::Withdraw(_) => Asked::typed("because", vec![self.reasoned(&because)]),
            About::Settle(_) => match (line.trim(), because.as_str()) {
                ("", "") => Asked::nothing("line", "the note that stands, or a reason, is needed"),
                (line, "") => Asked::typed("line", vec![format!("{}: {line}", self.lead)]),
                ("", because) => Asked::typed("because", vec![self.reasoned(because)]),
                _ => Asked::nothing("because", "a note or a reason settles it, not both"),
            },
        }
    }

    fn reasoned(&self, because: &str) -> String {
        format!("{} because \"{because}\"", self.lead)
    }

    fn filled_in(&self, sent: &Sent) -> Asked {
        let Some((entry, form)) = self.verb else {
            return Asked::nothing("line", "the note as it should be is needed");
        };
        let composed = compose(entry, form, &|key| Some(self.value(sent, key)));
        let missing = composed.missing.iter();
        Asked {
            lines: vec![format!("{}{}", self.lead, composed.line)],
            missing: missing
                .map(|key| (key.clone(), "this is needed".to_owned()))
                .collect(),
            composed: Some(composed),
            key: "",
        }
    }
}

fn only(reader: &Reader<'_>, handle: &Handle) -> Option<usize> {
    match reader.books().by_handle(handle).as_slice() {
        [only] => Some(*only),
        _ => None,
    }
}

fn has_note(act: &Act) -> bool {
    match act {
        Act::Note | Act::Correct { .. } => true,
        Act::Settle { replaces, .. } => *replaces,
        Act::Withdraw { .. } => false,
    }
}

/// The entry whose words stand for a note now; its own where none do.
fn standing_for(reader: &Reader<'_>, place: usize) -> Option<usize> {
    let mut stand: Vec<usize> = Vec::new();
    let root = root(reader, place);
    for standing in reader.standing() {
        if standing == place {
            return Some(place);
        }
        if reader.entry(standing).envelope.act != Act::Note && self::root(reader, standing) == root {
            stand.push(standing);
        }
    }
    Some(stand.first().copied().unwrap_or(place))
}

/// The note first written, behind what was written in its place.
fn root(reader: &Reader<'_>, place: usize) -> usize {
    let mut at = place;
    // An act names what was there before it; more steps than entries would be a ring.
    for _ in 0..reader.books().entries().len() {
        let earlier = match &reader.entry(at).envelope.act {
            Act::Correct { of } => Some(of),
            Act::Settle { of, replaces: true } => of.first(),
            Act::Note | Act::Settle { .. } | Act::Withdraw { .. } => None,
        };
        match earlier.and_then(|of| reader.books().by_digest(of)) {
            Some(earlier) => at = earlier,
            None => break,
        }
    }
    at
}
