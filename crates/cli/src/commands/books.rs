//! `books`: looking after the file itself.

use std::path::Path;

use apiary::Complaint;
use app::{Office, Writing};
use jiff::civil::Date;
use ledger::{Act, Digest, Entry, FarmId, Handle, Person, Row, Salt, Store, wire};
use serde_json::{Value, json};
use store::{Finding, MemoryStore};

use super::lines::{lines_of, read_bytes, without_mark};
use super::note::outcome_said;
use super::opening::{
    not_read, not_written, office_for_answers, office_for_changes, office_for_writing, refuse_other_files,
    store_for_writing, surroundings,
};
use super::sheet;
use super::writing::{self, announced};
use crate::args::{Args, Books, Form, ImportArgs};
use crate::exit::Failure;
use crate::output::Said;

pub(crate) fn run(args: &Args, what: &Books) -> Result<Said, Failure> {
    match what {
        Books::Check => check(args),
        Books::Export { form } => export(args, *form),
        Books::Import(asked) => import(args, asked),
        Books::Bring { file } => super::field::bring(args, file),
        Books::Weather {
            file,
            yard,
            station,
            dry_run,
        } => super::weather::bring_in(args, file, yard, station.as_deref(), *dry_run),
        Books::Rescue { to } => rescue(args, to),
        Books::People => people(args),
        Books::Person { id, says, erase } => person(args, id, says, *erase),
        Books::Erase { handle, for_good } => erase(args, handle, *for_good),
    }
}

fn check(args: &Args) -> Result<Said, Failure> {
    let path = args.books_path();
    refuse_other_files(&path)?;
    let report = store::check(&path).map_err(|fault| not_read(&path, fault))?;
    // What is odd about the chains is among the complaints, beside the notes that it is about.
    let damage: Vec<String> = report
        .findings
        .iter()
        .filter(|finding| !matches!(finding, Finding::Chain(_)))
        .map(ToString::to_string)
        .collect();
    let (complaints, odd) = complaints(&path);
    let entries = report.entries;
    let mut text: String = damage
        .iter()
        .map(|damage| format!("! {}.\n", damage.trim_end_matches('.')))
        .collect();
    text.push_str(&odd);
    text.push_str(&verdict(&path, entries, damage.is_empty(), complaints.len()));
    let json = json!({
        "entries": entries, "whole": damage.is_empty(), "damage": damage,
        "complaints": complaints.iter().map(|complaint| complaint.says.as_str()).collect::<Vec<_>>(),
    });
    let code = u8::from(!damage.is_empty() || !complaints.is_empty());
    Ok(Said {
        text,
        json,
        refused: String::new(),
        code,
    })
}

/// The complaints about books that can be opened, also as text.
fn complaints(path: &Path) -> (Vec<Complaint>, String) {
    let Ok(office) = office_for_answers(path) else {
        return (Vec::new(), String::new());
    };
    // What is odd as of now does not turn on the day.
    let reader = office.reader(None, Date::ZERO);
    let complaints = reader.complaints().into_owned();
    let text = if complaints.is_empty() {
        String::new()
    } else {
        super::show::complaints_text(&reader)
    };
    (complaints, text)
}

fn verdict(path: &Path, entries: usize, is_whole: bool, odd: usize) -> String {
    match (is_whole, odd) {
        (true, 0) => format!("{entries} entries, every one whole, every chain unbroken. Nothing is odd.\n"),
        (true, odd) => format!("{entries} entries, every one whole. Odd: {odd}.\n"),
        (false, _) => format!(
            "The file is damaged; {entries} entries are whole. Keep it as it is, and run:\n  combwright books rescue NEW-FILE --books {}\n",
            path.display()
        ),
    }
}

fn rescue(args: &Args, to: &Path) -> Result<Said, Failure> {
    let from = args.books_path();
    refuse_other_files(&from)?;
    let report = store::rescue(&from, to).map_err(|fault| not_written(to, fault))?;
    let mut text = format!(
        "{} whole entries are saved in {}.\n",
        report.entries,
        to.display()
    );
    let lost: Vec<String> = report
        .lost
        .iter()
        .map(|(device, number)| format!("{device}/{number}"))
        .collect();
    if !lost.is_empty() {
        text.push_str(&format!("! No whole copy was found of {}.\n", lost.join(", ")));
    }
    for remark in &report.remarks {
        text.push_str(&format!("! {}.\n", remark.trim_end_matches('.')));
    }
    let json = json!({
        "entries": report.entries, "carved": report.carved, "attachments": report.attachments, "people": report.people,
        "settings": report.settings, "lost": lost, "remarks": report.remarks,
    });
    let whole = report.lost.is_empty() && report.remarks.is_empty();
    Ok(Said {
        text,
        json,
        refused: String::new(),
        code: u8::from(!whole),
    })
}

fn export(args: &Args, form: Form) -> Result<Said, Failure> {
    let mut office = office_for_answers(&args.books_path())?;
    let lines: Vec<String> = match form {
        Form::Notes => office.as_lines(),
        Form::Jsonl => {
            let mut entries: Vec<&Entry> = office.library().books().entries().iter().collect();
            entries.sort_by_key(|entry| {
                (
                    entry.envelope.order,
                    entry.envelope.device.clone(),
                    entry.envelope.number,
                    entry.digest,
                )
            });
            entries
                .into_iter()
                .map(|entry| entry_json(entry).to_string())
                .collect()
        }
    };
    let text: String = lines.iter().map(|line| format!("{line}\n")).collect();
    Ok(Said::new(text, json!({ "lines": lines })))
}

/// An entry, whole: readable fields first, then what proves it.
fn entry_json(entry: &Entry) -> Value {
    let envelope = &entry.envelope;
    let act = match &envelope.act {
        Act::Note => "note",
        Act::Correct { .. } => "correct",
        Act::Withdraw { .. } => "withdraw",
        Act::Settle { .. } => "settle",
    };
    json!({
        "handle": entry.handle().to_string(), "day": envelope.day.to_string(), "act": act,
        "of": envelope.act.names().iter().map(ToString::to_string).collect::<Vec<_>>(),
        "note": entry.note.as_deref(), "digest": entry.digest.to_string(),
        "salt": entry.salt.map(|salt| hex(salt.as_bytes())), "envelope": hex(&wire::encode(envelope)),
    })
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

fn unhex(text: &str) -> Option<Vec<u8>> {
    let digits = text.as_bytes();
    let pair = |pair: &[u8]| u8::from_str_radix(std::str::from_utf8(pair).ok()?, 16).ok();
    digits
        .len()
        .is_multiple_of(2)
        .then(|| digits.chunks(2).map(pair).collect())
        .flatten()
}

fn import(args: &Args, asked: &ImportArgs) -> Result<Said, Failure> {
    let bytes = read_bytes(&asked.file)?;
    if let Some(verb) = &asked.verb {
        return sheet::import(args, asked, verb, &bytes);
    }
    sheet::refuse_without_verb(&asked.file, &bytes)?;
    let lines = lines_of(&bytes);
    let is_entries = without_mark(&bytes).trim_ascii_start().starts_with(b"{");
    if is_entries {
        return import_entries(args, &lines);
    }
    let lines: Vec<&str> = lines.iter().map(String::as_str).collect();
    let writing = Writing {
        keep_good: asked.keep_good,
        undoubted: true,
        brought_in: true,
        ..Writing::default()
    };
    let done = writing::write(args, None, &lines, &writing)?;
    Ok(announced(
        args,
        done.is_new,
        outcome_said(&done.outcome, true, true),
    ))
}

fn import_entries(args: &Args, lines: &[String]) -> Result<Said, Failure> {
    let entries = entries_of(lines)?;
    let Some(farm) = entries.first().map(|entry| entry.envelope.farm) else {
        return Ok(Said::new("There was nothing to bring in.\n", json!({ "new": 0 })));
    };
    let is_new = !args.books_path().exists();
    if is_new {
        // Entries of two farms are refused before a file is made for them.
        office_of_farm(args, Box::new(MemoryStore::new()), farm)?.take_in(&entries)?;
    }
    let mut office = office_of_farm(args, Box::new(store_for_writing(args)?), farm)?;
    let new = office.take_in(&entries)?;
    let known = entries.len() - new;
    let text = format!("{new} entries are new, {known} were here already.\n");
    let said = Said::new(text, json!({ "new": new, "known": known }));
    Ok(announced(args, is_new, said))
}

fn entries_of(lines: &[String]) -> Result<Vec<Entry>, Failure> {
    let numbered = lines.iter().zip(1..).filter(|(line, _)| !line.trim().is_empty());
    let entry = |(line, number): (&String, usize)| {
        entry_of(line)
            .map_err(|why| Failure::Refused(format!("Line {number}: {why}. Nothing was brought in.")))
    };
    numbered.map(entry).collect()
}

/// Opens books to bring entries into; new books become those of the entries' farm.
fn office_of_farm(args: &Args, mut store: Box<dyn Store + Send>, farm: FarmId) -> Result<Office, Failure> {
    store.only_farm(farm)?;
    Ok(Office::open(store, None, &mut surroundings(args))?)
}

fn entry_of(line: &str) -> Result<Entry, String> {
    let value: Value = serde_json::from_str(line).map_err(|error| format!("this is no entry: {error}"))?;
    let text = |key: &str| value.get(key).and_then(Value::as_str);
    let envelope = text("envelope")
        .and_then(unhex)
        .ok_or("the envelope is missing or no hexadecimal text")?;
    let digest = text("digest")
        .and_then(|digest| Digest::from_hex(digest).ok())
        .ok_or("the digest is missing")?;
    let handle: Handle = text("handle")
        .and_then(|handle| handle.parse().ok())
        .ok_or("the handle is missing")?;
    let salt = match text("salt") {
        Some(salt) => Some(
            unhex(salt)
                .and_then(|salt| <[u8; 16]>::try_from(salt).ok())
                .ok_or("the salt is no salt")?,
        ),
        None => None,
    };
    let row = Row {
        device: handle.device.as_str().into(),
        number: handle.number,
        digest,
        envelope,
        salt: salt.map(Salt::from_bytes),
        note: text("note").map(|note| note.as_bytes().into()),
    };
    Entry::from_row(row).map_err(|(broken, _)| format!("this entry was changed: {broken}"))
}

fn people(args: &Args) -> Result<Said, Failure> {
    let people = office_for_answers(&args.books_path())?.people()?;
    let page = |page: &Person| {
        page.iter()
            .map(|(heading, text)| format!("{heading}: {text}"))
            .collect::<Vec<_>>()
            .join(", ")
    };
    let mut text: String = people
        .iter()
        .map(|(id, person)| format!("{id:<8} {}\n", page(person)))
        .collect();
    if text.is_empty() {
        text = "The address book is empty.\n".to_owned();
    }
    Ok(Said::new(text, json!({ "people": people })))
}

fn person(args: &Args, id: &str, says: &[String], erase: bool) -> Result<Said, Failure> {
    let is_id = id.starts_with(|c: char| c.is_ascii_alphabetic())
        && id.chars().all(|c| c.is_ascii_alphanumeric() || c == '-');
    if !is_id {
        return Err(Failure::Refused(format!(
            "{id} is no id of the address book; an id is a short word, such as p-14."
        )));
    }
    let mut page = Person::new();
    for said in says {
        let (heading, text) = said.split_once('=').ok_or_else(|| {
            Failure::Refused(format!(
                "“{said}” says nothing: write a heading and a text, such as name=\"Ann Example\"."
            ))
        })?;
        page.insert(heading.trim().to_owned(), text.trim().to_owned());
    }
    let text = if erase {
        office_for_changes(args)?.erase_person(id)?;
        format!("{id} is torn out of the address book; notes keep the id alone.\n")
    } else {
        office_for_writing(args, None)?.enter_person(id, &page)?;
        format!("{id} is in the address book.\n")
    };
    Ok(Said::new(text, json!({ "id": id, "erased": erase })))
}

fn erase(args: &Args, handle: &Handle, for_good: bool) -> Result<Said, Failure> {
    if !for_good {
        return Err(Failure::Refused(format!(
            "Erasing {handle} cannot be taken back; a mistake is better mended with correct or withdraw. Add --for-good to erase it."
        )));
    }
    let mut office = office_for_changes(args)?;
    office.erase(handle)?;
    Ok(Said::new(
        format!("The words of {handle} are erased; its place in the chain stays.\n"),
        json!({ "erased": handle.to_string() }),
    ))
}
