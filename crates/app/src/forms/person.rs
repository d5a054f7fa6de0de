//! The address book: who a person is. It is no note; persons can be changed and erased.

use ledger::{Fault, Person};
use page::{Field, Form, Input};

use super::Sent;
use crate::office::Office;
use crate::reader::Reader;

/// What became of a form of the address book.
#[derive(Clone, Debug)]
pub enum PersonPressed {
    /// Something is wrong with it; nothing was changed.
    Refused(Form),
    /// The person of this id was entered.
    Entered(String),
    /// The person of this id was erased.
    Erased(String),
}

/// Where a person is entered.
const ADDRESS: &str = "/books/people";

/// Where a person is erased.
const ERASING: &str = "/books/people/erase";

/// A person to be entered, or what the address book says of the one whose `id` is sent.
pub fn person(reader: &Reader<'_>, sent: &Sent) -> Form {
    let person = reader.people().get(&said(sent, "id"));
    let is_sent = sent.contains_key("press");
    let heading = |heading: &str| person.and_then(|person| person.get(heading)).cloned();
    let value = |key: &str| match sent.get(key) {
        Some(said) => said.clone(),
        None if is_sent || key == "id" => String::new(),
        None if key == "other" => person.map(other_lines).unwrap_or_default(),
        None => heading(key).unwrap_or_default(),
    };
    asking(&value).hidden("known", known(person))
}

/// What the address book said of a person when the form was opened, so that nothing is overwritten unseen.
fn known(person: Option<&Person>) -> String {
    person.map_or_else(String::new, |person| {
        blake3::hash(format!("{person:?}").as_bytes()).to_hex()[..16].to_owned()
    })
}

fn asking(value: &dyn Fn(&str) -> String) -> Form {
    Form::post("A person of the address book", ADDRESS)
        .field(
            Field::line("id", "id")
                .value(value("id"))
                .hint("A short word that stands for the person in notes, such as p-14; never a name")
                .required(),
        )
        .field(Field::line("name", "name").value(value("name")))
        .field(
            Field::line("address", "address")
                .input(Input::Lines { rows: 3 })
                .value(value("address")),
        )
        .field(
            Field::line("other", "other")
                .input(Input::Lines { rows: 3 })
                .value(value("other"))
                .hint("A heading and what it says on each line, such as telephone=01234 567; two spaces before a line go on with the one above"),
        )
        .button("enter", "Enter the person")
}

/// Asks whether a person is to be erased.
pub fn erasing(sent: &Sent) -> Form {
    Form::post("Erase a person from the address book", ERASING)
        .field(Field::line("id", "id").value(said(sent, "id")).required())
        .field(
            Field::line("good", "for good")
                .input(Input::Tick)
                .value(said(sent, "good"))
                .hint("What the address book says is gone then; notes keep the id alone.")
                .required(),
        )
        .button("erase", "Erase the person")
}

/// Enters a person, in place of what the address book said of them.
///
/// # Errors
/// The store's faults; then nothing was changed.
pub fn press_person(office: &mut Office, sent: &Sent) -> Result<PersonPressed, Fault> {
    let mut form = asking(&|key| sent.get(key).cloned().unwrap_or_default());
    let id = said(sent, "id");
    if !is_id(&id) {
        mark(
            &mut form,
            "id",
            "an id is a short word of letters, digits and hyphens, such as p-14, with no meaning of its own in notes",
        );
    }
    let people = office.people()?;
    let there = known(people.get(&id));
    if !there.is_empty() && there != said(sent, "known") {
        let says = people[&id]
            .iter()
            .map(|(heading, words)| format!("{heading}: {words}"));
        let says = says.collect::<Vec<_>>().join("; ");
        mark(
            &mut form,
            "id",
            &format!(
                "{id} is in the address book and says “{says}”; choose another id, or open {id} in the list to change it"
            ),
        );
    }
    form = form.hidden("known", said(sent, "known"));
    let mut person = Person::new();
    for heading in ["name", "address"] {
        let words = said(sent, heading);
        if !words.is_empty() {
            person.insert(heading.to_owned(), words.replace("\r\n", "\n"));
        }
    }
    let mut last: Option<String> = None;
    for line in said(sent, "other").lines().filter(|line| !line.trim().is_empty()) {
        if let (Some(more), Some(words)) = (
            line.strip_prefix("  "),
            last.as_ref().and_then(|last| person.get_mut(last)),
        ) {
            words.push('\n');
            words.push_str(more.trim_end());
            continue;
        }
        match line
            .split_once('=')
            .map(|(heading, words)| (heading.trim(), words.trim()))
        {
            Some(("name" | "address", _)) => mark(
                &mut form,
                "other",
                "name and address have fields of their own above",
            ),
            Some((heading, words)) if !heading.is_empty() => {
                person.insert(heading.to_owned(), words.to_owned());
                last = Some(heading.to_owned());
            }
            _ => mark(
                &mut form,
                "other",
                &format!("“{line}” lacks a heading, such as telephone=01234 567"),
            ),
        }
    }
    if person.is_empty() {
        mark(&mut form, "name", "something has to be known of the person");
    }
    if form.fields.iter().any(|field| field.wrong.is_some()) {
        return Ok(PersonPressed::Refused(form));
    }
    office.enter_person(&id, &person)?;
    Ok(PersonPressed::Entered(id))
}

/// Erases a person, where it is ticked that this is for good.
///
/// # Errors
/// The store's faults; then nothing was changed.
pub fn erase_person(office: &mut Office, sent: &Sent) -> Result<PersonPressed, Fault> {
    let mut form = erasing(sent);
    let id = said(sent, "id");
    if !office.people()?.contains_key(&id) {
        mark(&mut form, "id", "the address book knows no such person");
    }
    if said(sent, "good").is_empty() {
        mark(
            &mut form,
            "good",
            "it cannot be taken back, so it has to be ticked",
        );
    }
    if form.fields.iter().any(|field| field.wrong.is_some()) {
        return Ok(PersonPressed::Refused(form));
    }
    office.erase_person(&id)?;
    Ok(PersonPressed::Erased(id))
}

fn said(sent: &Sent, key: &str) -> String {
    sent.get(key)
        .map_or_else(String::new, |said| said.trim().to_owned())
}

fn mark(form: &mut Form, key: &str, says: &str) {
    let field = form
        .fields
        .iter_mut()
        .find(|field| field.name == key && field.wrong.is_none());
    if let Some(field) = field {
        field.wrong = Some(says.to_owned());
    }
}

/// Whether a note can name a person so.
fn is_id(id: &str) -> bool {
    let plain = id.starts_with(|first: char| first.is_ascii_alphabetic())
        && id
            .bytes()
            .all(|byte| byte.is_ascii_alphanumeric() || byte == b'-');
    plain && apiary::note::read(&format!("2026-01-01 consent {id} it")).is_ok()
}

fn other_lines(person: &Person) -> String {
    let others = person
        .iter()
        .filter(|(heading, _)| *heading != "name" && *heading != "address");
    let lines: Vec<String> = others
        .map(|(heading, words)| format!("{heading}={}", words.replace('\n', "\n  ")))
        .collect();
    lines.join("\n")
}
