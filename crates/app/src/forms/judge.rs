//! What would be written of what was sent, what is unusual about it, and which field is to blame where it
//! cannot be.

use std::collections::BTreeMap;
use std::ops::Range;

use apiary::note::compose::{Composed, fill, key_at};
use apiary::note::{Unreadable, read};
use apiary::{Misgiving, Weight};
use jiff::civil::Date;
use ledger::{Fault, Handle};
use page::Words;

use super::plan::{Asked, Plan};
use super::{Sent, note_address};
use crate::office::{Office, Outcome, Refused, Why, Writing};
use crate::sheets::sentence;
use crate::surroundings::Surroundings;

/// What would become of a form.
#[derive(Debug, Default)]
pub(super) struct Judged {
    /// The notes as they would be written.
    pub(super) texts: Vec<String>,
    pub(super) remarks: Vec<Words>,
    pub(super) wrong: Wrong,
}

/// What speaks against a form.
#[derive(Debug, Default)]
pub(super) struct Wrong {
    pub(super) by_key: BTreeMap<String, String>,
    pub(super) whole: Vec<Words>,
    /// The keeper may insist.
    pub(super) may_insist: bool,
}

impl Wrong {
    pub(super) fn is_empty(&self) -> bool {
        self.by_key.is_empty() && self.whole.is_empty()
    }

    fn on(&mut self, key: impl Into<String>, says: String) {
        let told = self.by_key.entry(key.into()).or_default();
        if !told.is_empty() {
            told.push_str("; ");
        }
        told.push_str(&says);
    }
}

/// How many notes of others are told.
const MOST_TOLD: usize = 5;

/// What would be written, and what speaks against it.
pub(super) fn judge(
    office: &mut Office,
    plan: &Plan,
    sent: &Sent,
    surroundings: &mut dyn Surroundings,
) -> Result<Judged, Fault> {
    let asked = plan.asked(sent);
    let mut judged = Judged::default();
    for (key, says) in &asked.missing {
        judged.wrong.on(key, says.clone());
    }
    if !asked.missing.is_empty() {
        return Ok(judged);
    }
    ends_early(plan, sent, &asked, &mut judged.wrong);
    if !judged.wrong.is_empty() {
        return Ok(judged);
    }
    let outcome = consider(office, &asked, &Writing::default(), surroundings)?;
    let several = asked.lines.len() > 1;
    for refused in &outcome.refused {
        let mut judge = Blaming {
            office,
            plan,
            sent,
            asked: &asked,
            today: surroundings.today(),
            wrong: &mut judged.wrong,
        };
        judge.refused(refused, several);
    }
    if !judged.wrong.is_empty() {
        return Ok(judged);
    }
    for written in &outcome.written {
        let text = normal(&written.text);
        says_what_was_filled_in(plan, sent, &asked, &text, &mut judged.wrong);
        judged.texts.push(text);
        let line = if several { Some(written.line) } else { None };
        judged
            .remarks
            .extend(written.remarks.iter().map(|remark| told(remark, line)));
    }
    if judged.texts.is_empty() {
        judged
            .wrong
            .on(asked.key, "there is no note here to be written".to_owned());
    }
    if !judged.wrong.is_empty() {
        judged.texts.clear();
        judged.remarks.clear();
    }
    Ok(judged)
}

/// What would be written, doubted or not: for telling whether it was written before.
pub(super) fn texts_alone(
    office: &mut Office,
    plan: &Plan,
    sent: &Sent,
    surroundings: &mut dyn Surroundings,
) -> Result<Vec<String>, Fault> {
    let asked = plan.asked(sent);
    if !asked.missing.is_empty() {
        return Ok(Vec::new());
    }
    let undoubted = Writing {
        undoubted: true,
        ..Writing::default()
    };
    let outcome = consider(office, &asked, &undoubted, surroundings)?;
    Ok(outcome
        .written
        .iter()
        .map(|written| normal(&written.text))
        .collect())
}

fn consider(
    office: &mut Office,
    asked: &Asked,
    writing: &Writing,
    surroundings: &mut dyn Surroundings,
) -> Result<Outcome, Fault> {
    let lines: Vec<&str> = asked.lines.iter().map(String::as_str).collect();
    office.consider(&lines, writing, surroundings)
}

/// A line as it is shown and written: its note printed anew, so that every way of typing it looks the same.
fn normal(text: &str) -> String {
    let again = |note: &str| read(note).ok().map(|note| note.to_string());
    if text.starts_with(|first: char| first.is_ascii_digit()) {
        return again(text).unwrap_or_else(|| text.to_owned());
    }
    let act = text.split_once(": ").filter(|(lead, _)| !lead.contains('"'));
    match act.and_then(|(lead, note)| Some((lead, again(note)?))) {
        Some((lead, note)) => format!("{lead}: {note}"),
        None => text.to_owned(),
    }
}

const TOO_MUCH: &str = "more is said here than belongs into this field";

/// A `#` ends a note, so in a field that is neither text nor remark it would cut off the fields behind.
fn ends_early(plan: &Plan, sent: &Sent, asked: &Asked, wrong: &mut Wrong) {
    if asked.key == "because" && plan.value(sent, "because").contains(" #") {
        wrong.on("because", "a reason cannot hold a # behind a space".to_owned());
    }
    let composed = asked.composed.iter().flat_map(|composed| &composed.spans);
    for (key, _) in composed.filter(|(key, _)| key != "remark") {
        if !plan.is_text(key) && plan.value(sent, key).contains('#') {
            wrong.on(key, TOO_MUCH.to_owned());
        }
    }
}

/// Fields are put behind each other into one line, and nothing typed into one may reach into the next.
fn says_what_was_filled_in(plan: &Plan, sent: &Sent, asked: &Asked, text: &str, wrong: &mut Wrong) {
    let Some(composed) = &asked.composed else {
        return;
    };
    // Rounds left out in between are closed up, so it is how many of them there are that counts.
    let sorted = |mut keys: Vec<String>| {
        keys.sort();
        keys
    };
    let typed = sorted(composed.spans.iter().map(|(key, _)| without_round(key)).collect());
    let note = text.strip_prefix(&plan.lead).and_then(|note| read(note).ok());
    let said = note.map(|note| fill(&note)).unwrap_or_default();
    if typed == sorted(said.keys().map(|key| without_round(key)).collect()) {
        return;
    }
    let goes_on = |key: &&String| plan.is_one_word(key) && plan.value(sent, key).trim().contains(' ');
    match composed.spans.iter().map(|(key, _)| key).find(goes_on) {
        Some(key) => wrong.on(key, TOO_MUCH.to_owned()),
        None => wrong
            .whole
            .push(Words::new("What is filled in reads as another note: ").note(text)),
    }
}

fn without_round(key: &str) -> String {
    match key.rsplit_once('.') {
        Some((field, round)) if round.bytes().all(|byte| byte.is_ascii_digit()) => field.to_owned(),
        _ => key.to_owned(),
    }
}

struct Blaming<'a> {
    office: &'a Office,
    plan: &'a Plan,
    sent: &'a Sent,
    asked: &'a Asked,
    today: Date,
    wrong: &'a mut Wrong,
}

impl Blaming<'_> {
    fn refused(&mut self, refused: &Refused, several: bool) {
        match (&refused.why, &self.asked.composed) {
            (Why::Unreadable(unreadable), Some(composed)) => self.unreadable(unreadable, composed),
            (Why::Unreadable(unreadable), None) => {
                let line = several.then_some(refused.line);
                self.wrong
                    .whole
                    .push(underlined(unreadable, &refused.typed, line));
                self.mark();
            }
            (Why::Impossible(misgivings), Some(_)) => {
                self.wrong.may_insist = true;
                for misgiving in misgivings {
                    match self.field(misgiving) {
                        Some(key) => self.wrong.on(key, plain(misgiving)),
                        None => self.wrong.whole.push(told(misgiving, None)),
                    }
                }
            }
            (Why::Impossible(misgivings), None) => {
                let line = several.then_some(refused.line);
                let all = misgivings.iter().map(|misgiving| told(misgiving, line));
                self.wrong.whole.extend(all);
                self.wrong
                    .whole
                    .push("To write it all the same, put anyway at its end.".into());
                self.mark();
            }
            (Why::NoSuchNote(says), _) => self.wrong.whole.push(sentence(says).into()),
        }
    }

    /// The field that lines were typed into is marked; what is wrong with them is told above.
    fn mark(&mut self) {
        let key = self.asked.key;
        self.wrong
            .by_key
            .entry(key.to_owned())
            .or_insert_with(|| "this cannot be written as it stands".to_owned());
    }

    fn unreadable(&mut self, unreadable: &Unreadable, composed: &Composed) {
        let lead = self.plan.lead.len();
        let place = |at: usize| at.saturating_sub(lead);
        let at: Range<usize> = place(unreadable.at.start)..place(unreadable.at.end);
        match key_at(composed, at) {
            Some(key) => self.wrong.on(key, beside(unreadable)),
            None => {
                let line = &self.asked.lines[0];
                self.wrong.whole.push(underlined(unreadable, line, None));
            }
        }
    }

    /// The key of the field that a misgiving is about.
    fn field(&self, misgiving: &Misgiving) -> Option<String> {
        let field = misgiving.field?;
        let value = |key: &str| self.plan.value(self.sent, key);
        let of_field = |key: &&str| {
            let behind = key.strip_prefix(field);
            behind.is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
        };
        let spans = self.asked.composed.iter().flat_map(|composed| &composed.spans);
        let keys: Vec<&str> = spans.map(|(key, _)| key.as_str()).filter(of_field).collect();
        let hive = format!("{field}.hive");
        if keys.contains(&hive.as_str()) {
            let known = self
                .office
                .reader(None, self.today)
                .holding()
                .hive_labels
                .get(value(&hive).trim());
            return Some(if known.is_none() {
                hive
            } else {
                format!("{field}.places")
            });
        }
        // Of values that come again and again it is the one that the doubt names.
        let named = keys.iter().find(|key| misgiving.says.contains(value(key).trim()));
        named.or(keys.first()).map(|key| (*key).to_owned())
    }
}

/// What is wrong with a field, beside it.
fn beside(unreadable: &Unreadable) -> String {
    let mut says = unreadable.says.clone();
    if !unreadable.fits.is_empty() {
        says.push_str(&format!("; here fits: {}", unreadable.fits.join("; ")));
    }
    // A whole note as an example says little beside one field.
    if let Some(hint) = unreadable
        .hint
        .as_ref()
        .filter(|hint| !hint.starts_with("for example: 2"))
    {
        says.push_str(&format!(" ({hint})"));
    }
    says
}

/// What is wrong with a line, with the place where it stops being a note.
fn underlined(unreadable: &Unreadable, line: &str, number: Option<usize>) -> Words {
    let at = |place: usize| {
        (0..=place.min(line.len()))
            .rev()
            .find(|at| line.is_char_boundary(*at))
            .unwrap_or(0)
    };
    let (from, to) = (
        at(unreadable.at.start),
        at(unreadable.at.end.max(unreadable.at.start)),
    );
    let mut words = Words::new(number.map_or_else(String::new, |number| format!("Line {number}: ")));
    words = words.plain(sentence(&unreadable.says)).plain(" In the line: ");
    if from > 0 {
        words = words.note(&line[..from]);
    }
    words = match from == to {
        true => words.strong(" …"),
        false => words.strong(&line[from..to]),
    };
    if to < line.len() {
        words = words.note(&line[to..]);
    }
    if !unreadable.fits.is_empty() {
        words = words.plain(format!(" Here fits: {}.", unreadable.fits.join("; ")));
    }
    if let Some(hint) = &unreadable.hint {
        words = words.plain(format!(" {}", sentence(hint)));
    }
    words
}

fn plain(misgiving: &Misgiving) -> String {
    match &misgiving.hint {
        Some(hint) => format!("{} ({hint})", misgiving.says),
        None => misgiving.says.clone(),
    }
}

fn told(misgiving: &Misgiving, line: Option<usize>) -> Words {
    let line = line.map_or_else(String::new, |line| format!("Line {line}: "));
    let odd = if misgiving.weight == Weight::Remark {
        ""
    } else {
        "Odd: "
    };
    let odd = if misgiving.weight == Weight::Impossible {
        ""
    } else {
        odd
    };
    Words::new(format!("{line}{odd}{}", sentence(&plain(misgiving))))
}

/// What speaks against lines that were refused as a whole.
pub(super) fn refusals(outcome: &Outcome) -> Vec<Words> {
    let all = outcome.refused.iter().flat_map(|refused| match &refused.why {
        Why::Unreadable(unreadable) => vec![underlined(unreadable, &refused.typed, None)],
        Why::Impossible(misgivings) => misgivings.iter().map(|misgiving| told(misgiving, None)).collect(),
        Why::NoSuchNote(says) => vec![Words::new(sentence(says))],
    });
    all.collect()
}

/// That a form had been sent before, with other words.
pub(super) fn written_before(before: &[(Handle, String)]) -> Words {
    let words = Words::new("This form was sent before, and then it was written: ");
    notes(words, before)
        .plain(" What it says now is another note. Press again to write that one too; to change the first, correct it.")
}

/// What others wrote while a form was being filled in.
pub(super) fn meanwhile(since: &[(Handle, String)]) -> Option<Words> {
    let more = since.len().saturating_sub(MOST_TOLD);
    let told = &since[..since.len() - more];
    let words = notes(
        Words::new("While this was being filled in, this was written: "),
        told,
    );
    let words = match more {
        0 => words,
        more => words.plain(format!(" And {more} more.")),
    };
    (!since.is_empty()).then_some(words)
}

fn notes(mut words: Words, notes: &[(Handle, String)]) -> Words {
    for (at, (handle, text)) in notes.iter().enumerate() {
        words = words
            .plain(if at == 0 { "" } else { "; " })
            .link(handle.to_string(), note_address(handle))
            .plain(" ")
            .note(text);
    }
    words.plain(".")
}
