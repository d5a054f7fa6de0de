//! Forms: what is asked for, the note that comes of it, and what becomes of it when it is sent.
//!
//! A form is made from the table of verbs, so every note that can be typed can be filled in. What is sent is
//! first shown as the note it makes, and written only if what would be written is what was shown. A form
//! carries an id of its own: sent twice it writes once. Whatever is wrong is told beside the field to blame,
//! and what was typed comes back in every answer.
//!
//! Start at [`About`], then [`form`] and [`press`].

pub(crate) mod cautions;
mod fields;
mod judge;
mod pages;
mod person;
mod plan;

use std::collections::{BTreeMap, BTreeSet};

use apiary::note::table;
use jiff::civil::Date;
use ledger::{Fault, Handle};
use page::Form;
use page::Words;

use crate::office::{Office, Writing, Written};
use crate::reader::Reader;
use crate::sheets::path;
use crate::surroundings::Surroundings;

pub use pages::{index, page, ways};
pub use person::{PersonPressed, erase_person, erasing, person, press_person};

use judge::{Judged, Wrong};
use plan::Plan;

/// What was sent with a form, or stands in the address of one.
pub type Sent = BTreeMap<String, String>;

/// Keys that a form has of its own; no blank of any verb has one of these.
///
/// `once` is the form's id, `entries` says how many entries the books had when it was opened, `shown` is the note
/// that it has shown, `press` the button, `line` a note as a line. `form` is the way in which a verb is said and
/// `on` the day that is looked at; both stand in addresses. `token` proves who sends.
pub const OWN_KEYS: [&str; 8] = ["once", "entries", "shown", "press", "line", "form", "on", "token"];

/// What a form is about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum About {
    /// A note of this verb, said in one of its ways.
    Verb {
        /// The verb's word.
        word: String,
        /// Which of its forms.
        form: usize,
    },
    /// Notes as lines.
    Line,
    /// The note that takes the place of this one.
    Correct(Handle),
    /// That this note should not have been written.
    Withdraw(Handle),
    /// What stands for these notes, or why they are let be.
    Settle(Vec<Handle>),
}

/// What became of a form that was sent.
#[derive(Clone, Debug)]
pub enum Pressed {
    /// It shows the note that it would write; nothing was written.
    Shown(Form),
    /// Something is wrong with it; nothing was written.
    Refused(Form),
    /// It was written.
    Written(Vec<Written>),
    /// It had been sent before and was written then.
    Before(Vec<(Handle, String)>),
}

/// What a form would write, were it sent now.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Preview {
    /// The notes, a line each.
    pub lines: Vec<String>,
    /// What is unusual about them.
    pub remarks: Vec<String>,
    /// What is wrong, by the key of the field; under an empty key what is wrong with the whole.
    pub wrong: BTreeMap<String, String>,
}

impl About {
    /// A verb, said in the way asked for, or in that of its first example.
    pub fn verb(word: &str, form: Option<usize>) -> Option<Self> {
        let entry = table().verb(word)?;
        let usual = || {
            let example = entry.verb.examples.first()?;
            Some(usize::from(apiary::note::read(example).ok()?.fact.form))
        };
        let form = form.or_else(usual).unwrap_or(0);
        (form < entry.shapes.len()).then(|| Self::Verb {
            word: word.to_owned(),
            form,
        })
    }

    /// Where the form is found and sent to.
    pub fn address(&self) -> String {
        self.address_below("")
    }

    /// Where a script asks what the form would write.
    pub fn preview_address(&self) -> String {
        self.address_below("/preview")
    }

    fn address_below(&self, below: &str) -> String {
        let of_note = |handle: &Handle, act: &str| format!("{}/{act}{below}", note_address(handle));
        match self {
            Self::Verb { word, form } => format!("{}{below}?form={form}", path(&["write", word])),
            Self::Line => format!("/note{below}"),
            Self::Correct(handle) => of_note(handle, "correct"),
            Self::Withdraw(handle) => of_note(handle, "withdraw"),
            Self::Settle(_) => format!("/books/settle{below}"),
        }
    }
}

/// In books of more entries than this, several notes at once are shown when asked for and not while typing.
const MOST_FOR_A_PREVIEW: usize = 5_000;

/// Handles as the key `of` holds them: `laptop/3,phone/9`. One that is none is left out.
pub fn handles(said: &str) -> Vec<Handle> {
    said.split([',', ' '])
        .filter_map(|handle| handle.parse().ok())
        .collect()
}

/// A form to fill in, with what its address fills in already. `fresh` is an id that no form had before.
///
/// `None` where there is no such verb, way of saying it, or note.
pub fn form(reader: &Reader<'_>, about: &About, sent: &Sent, fresh: &str) -> Option<Form> {
    let plan = Plan::of(reader, about)?;
    Some(fields::form(reader, &plan, sent, &once(sent, fresh)))
}

/// Takes a form that was sent: shows its note, or writes it where the key `press` is `write` and what would be
/// written is what was shown.
///
/// `None` where there is no such verb, way of saying it, or note.
///
/// # Errors
/// The store's faults; then nothing was written.
pub fn press(
    office: &mut Office,
    about: &About,
    sent: &Sent,
    fresh: &str,
    surroundings: &mut dyn Surroundings,
) -> Result<Option<Pressed>, Fault> {
    if office.is_stale()? {
        office.reload()?;
    }
    let today = surroundings.today();
    let Some(plan) = Plan::of(&office.reader(None, today), about) else {
        return Ok(None);
    };
    let answering = Answering {
        plan: &plan,
        sent,
        today,
        once: once(sent, fresh),
    };
    let before = came_before(office, &answering.once);
    if !before.is_empty() {
        return answering.again(office, before, fresh, surroundings).map(Some);
    }
    let mut judged = judge::judge(office, &plan, sent, surroundings)?;
    let crossed = answering.crossed(office);
    if !crossed.is_empty() {
        judged.wrong.whole.extend(crossed);
        return Ok(Some(Pressed::Refused(answering.answer(office, &judged))));
    }
    if !judged.wrong.is_empty() {
        return Ok(Some(answering.refuse(office, judged)));
    }
    if answering.is_to_be_written(&judged) {
        return answering.write(office, &judged, surroundings).map(Some);
    }
    Ok(Some(Pressed::Shown(answering.answer(office, &judged))))
}

/// What a form would write, were it sent now; nothing is written.
///
/// # Errors
/// The store's faults.
pub fn preview(
    office: &mut Office,
    about: &About,
    sent: &Sent,
    surroundings: &mut dyn Surroundings,
) -> Result<Preview, Fault> {
    if office.is_stale()? {
        office.reload()?;
    }
    let today = surroundings.today();
    let Some(plan) = Plan::of(&office.reader(None, today), about) else {
        return Ok(Preview::default());
    };
    // Several notes are tried out in earnest, which takes too long in large books to be done at each pause.
    let entries = office.library().books().entries().len();
    if plan.asked(sent).lines.len() > 1 && entries > MOST_FOR_A_PREVIEW {
        return Ok(Preview::default());
    }
    let judged = judge::judge(office, &plan, sent, surroundings)?;
    let mut wrong = judged.wrong.by_key;
    if !judged.wrong.whole.is_empty() {
        let whole: Vec<String> = judged.wrong.whole.iter().map(ToString::to_string).collect();
        wrong.insert(String::new(), whole.join(" "));
    }
    Ok(Preview {
        lines: judged.texts,
        remarks: judged.remarks.iter().map(ToString::to_string).collect(),
        wrong,
    })
}

/// Where a note is told of.
fn note_address(handle: &Handle) -> String {
    path(&[
        "books",
        "note",
        handle.device.as_str(),
        &handle.number.to_string(),
    ])
}

/// The id of a form; one that no form of ours has is put aside.
fn once(sent: &Sent, fresh: &str) -> String {
    let sent = sent.get("once").filter(|once| {
        (1..=64).contains(&once.len())
            && once
                .bytes()
                .all(|byte| byte.is_ascii_alphanumeric() || byte == b'-')
    });
    sent.map_or_else(|| fresh.to_owned(), String::clone)
}

fn origin(once: &str) -> String {
    format!("page {once}")
}

/// What a form of this id has written already, in the order of its lines.
fn came_before(office: &mut Office, once: &str) -> Vec<(Handle, String)> {
    let (own, several) = (origin(once), format!("{}/", origin(once)));
    let is_own = |of: &str| of == own || of.starts_with(&several);
    let entries = office.library().books().entries().iter().enumerate();
    let places: BTreeSet<usize> = entries
        .filter(|(_, entry)| is_own(entry.envelope.origin.as_str()))
        .map(|(place, _)| place)
        .collect();
    let Some(first) = places.first() else {
        return Vec::new();
    };
    let since = office.notes_since(*first).into_iter().enumerate();
    let mut own: Vec<(Handle, String)> = since
        .filter(|(at, _)| places.contains(&(first + at)))
        .map(|(_, note)| note)
        .collect();
    own.sort_by_key(|(handle, _)| handle.number);
    own
}

/// A form that was sent, being answered.
struct Answering<'a> {
    plan: &'a Plan,
    sent: &'a Sent,
    today: Date,
    once: String,
}

impl Answering<'_> {
    /// The answer to a form that has written already: sent again as it was, or with other words.
    fn again(
        self,
        office: &mut Office,
        before: Vec<(Handle, String)>,
        fresh: &str,
        surroundings: &mut dyn Surroundings,
    ) -> Result<Pressed, Fault> {
        let again = judge::texts_alone(office, self.plan, self.sent, surroundings)?;
        if before.iter().map(|(_, text)| text).eq(&again) {
            return Ok(Pressed::Before(before));
        }
        let mut judged = judge::judge(office, self.plan, self.sent, surroundings)?;
        judged.wrong.whole.insert(0, judge::written_before(&before));
        let as_another = Self {
            once: fresh.to_owned(),
            ..self
        };
        Ok(Pressed::Refused(as_another.answer(office, &judged)))
    }

    fn write(
        &self,
        office: &mut Office,
        judged: &Judged,
        surroundings: &mut dyn Surroundings,
    ) -> Result<Pressed, Fault> {
        let lines: Vec<&str> = judged.texts.iter().map(String::as_str).collect();
        let writing = Writing {
            origin: Some(origin(&self.once)),
            ..Writing::default()
        };
        let outcome = office.write(&lines, &writing, surroundings)?;
        if !outcome.refused.is_empty() {
            // Another program wrote in between, and that speaks against it.
            let mut judged = judge::judge(office, self.plan, self.sent, surroundings)?;
            if judged.wrong.is_empty() {
                judged.wrong.whole.extend(judge::refusals(&outcome));
            }
            return Ok(self.refuse(office, judged));
        }
        if outcome.written.is_empty() {
            let before = outcome.before.into_iter();
            let before = before.map(|before| (before.handle, before.text));
            return Ok(Pressed::Before(before.collect()));
        }
        Ok(Pressed::Written(outcome.written))
    }

    /// What others have done since the form was opened to the notes that it is about. Whoever corrects or
    /// withdraws a note must have seen what became of it.
    fn crossed(&self, office: &Office) -> Vec<Words> {
        let about: &[Handle] = match &self.plan.about {
            About::Verb { .. } | About::Line => return Vec::new(),
            About::Correct(handle) | About::Withdraw(handle) => std::slice::from_ref(handle),
            About::Settle(handles) => handles,
        };
        let Some(count) = self
            .sent
            .get("entries")
            .and_then(|count| count.parse::<usize>().ok())
        else {
            return Vec::new();
        };
        let reader = office.reader(None, self.today);
        let mut crossed = Vec::new();
        for handle in about {
            for place in reader.books().by_handle(handle) {
                let since = reader.acts_about(place).iter().filter(|act| **act >= count);
                crossed.extend(since.map(|act| {
                    Words::new(format!("While this page was open, {handle} was changed by "))
                        .link(
                            reader.entry(*act).handle().to_string(),
                            note_address(&reader.entry(*act).handle()),
                        )
                        .plain(": ")
                        .note(reader.as_line(*act))
                        .plain(". Nothing was written. If yours shall count all the same, press once more.")
                }));
            }
        }
        crossed
    }

    fn is_to_be_written(&self, judged: &Judged) -> bool {
        let said = |key| self.sent.get(key).map(String::as_str);
        said("press") == Some("write") && said("shown") == Some(judged.texts.join("\n").as_str())
    }

    /// The form with all that was typed, what is wrong, and what it would write.
    fn answer(&self, office: &Office, judged: &Judged) -> Form {
        let reader = office.reader(None, self.today);
        let mut form = fields::form(&reader, self.plan, self.sent, &self.once);
        if judged.wrong.may_insist {
            fields::let_insist(&mut form);
        }
        judged.wrong.put_into(&mut form);
        if !judged.texts.is_empty() {
            fields::show(&mut form, judged, self.is_changed_since_shown(judged));
        }
        form
    }

    fn is_changed_since_shown(&self, judged: &Judged) -> bool {
        let shown = self.sent.get("shown").filter(|shown| !shown.is_empty());
        shown.is_some_and(|shown| *shown != judged.texts.join("\n"))
    }

    /// The form with what is wrong, and with what was written by others in the meantime.
    fn refuse(&self, office: &Office, mut judged: Judged) -> Pressed {
        let count = self.sent.get("entries").and_then(|count| count.parse().ok());
        if let Some(count) = count {
            let since = office.notes_since(count);
            judged.wrong.whole.extend(judge::meanwhile(&since));
        }
        Pressed::Refused(self.answer(office, &judged))
    }
}

impl Wrong {
    fn put_into(&self, form: &mut Form) {
        form.wrong.extend(self.whole.iter().cloned());
        for (key, says) in &self.by_key {
            match form.fields.iter_mut().find(|field| field.name == *key) {
                Some(field) => field.wrong = Some(says.clone()),
                None => form.wrong.push(says.clone().into()),
            }
        }
        if !self.by_key.is_empty() && self.whole.is_empty() {
            form.wrong
                .insert(0, "Nothing was written; look at what is marked.".into());
        }
    }
}
