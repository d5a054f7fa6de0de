//! The books themselves: entries, one note and what became of it, what is odd, the address book.

use std::sync::Arc;

use ledger::{Act, Handle};
use page::{Block, Column, Field, Form, Page, Table, Words};

use super::{Part, complaint_blocks, handle, note_path, part_of, path};
use crate::reader::Reader;

/// Which entries are asked for.
#[derive(Clone, Debug)]
pub struct Asked {
    /// Words that the entry has in it, its handle or its day; nothing for all.
    pub find: String,
    /// Which part of them.
    pub part: Part,
}

/// All entries, those written last first.
pub fn entries(reader: &Reader<'_>, asked: &Asked) -> Page {
    let all = 0..reader.books().entries().len();
    let wanted = asked.find.trim();
    let found = if wanted.is_empty() {
        Arc::new(all.rev().collect())
    } else {
        reader.found(wanted)
    };
    let find = &path(&[asked.find.as_str()])[1..];
    let to = |number| format!("/books?find={find}&part={number}");
    let columns = vec![
        Column::words("Note"),
        Column::words("What it says"),
        Column::words("Stands"),
    ];
    let nothing = if wanted.is_empty() {
        "Nothing was written yet."
    } else {
        "No note has these words in it."
    };
    let table = Table::new("Entries, the last written first", columns, nothing)
        .csv(format!("/books.csv?find={find}&table=1"));
    let table = part_of(table, &found, asked.part, to, |entry| {
        vec![
            handle(reader, *entry),
            Words::default().note(reader.as_line(*entry)),
            standing(reader, *entry),
        ]
    });
    let form = Form::get("Find notes", "/books")
        .field(
            Field::line("find", "Words in a note, its handle or its day")
                .value(asked.find.clone())
                .hint("alder, laptop/17 or 2026-07"),
        )
        .button("", "Find");
    let complaints = reader.complaints().len();
    let odd = match complaints {
        0 => Words::linked("Nothing is odd", "/books/complaints").plain("."),
        1 => Words::linked("One thing is odd", "/books/complaints").plain("."),
        many => Words::linked(format!("{many} things are odd"), "/books/complaints").plain("."),
    };
    Page::new("Books").with([
        Block::List(vec![
            odd,
            Words::linked("The address book", "/books/people").plain(": names and addresses stay out of the notes."),
            Words::linked("Bring in a spreadsheet", "/books/import").plain("."),
            Words::linked("Bring in daily weather", "/books/weather").plain("."),
            Words::new("Nothing written is ever changed. What was wrong is mended by another line: open the note to correct or withdraw it."),
        ]),
        Block::Form(Box::new(form)),
        Block::Table(table),
    ])
}

/// Whether an entry stands, and what became of it.
fn standing(reader: &Reader<'_>, entry: usize) -> Words {
    if reader.stands(entry) {
        return Words::new("stands");
    }
    let mut words = Words::default();
    for act in reader.acts_about(entry) {
        let what = match reader.entry(*act).envelope.act {
            Act::Correct { .. } => "corrected by ",
            Act::Withdraw { .. } => "withdrawn by ",
            Act::Settle { .. } => "settled by ",
            Act::Note => continue,
        };
        if !words.is_empty() {
            words = words.plain(", ");
        }
        words = words.plain(what).and(handle(reader, *act));
    }
    if !words.is_empty() {
        return words;
    }
    match reader.entry(entry).envelope.act {
        Act::Note => Words::new("does not stand"),
        Act::Correct { .. } => Words::new("overridden"),
        Act::Withdraw { .. } => Words::new("takes a note back"),
        Act::Settle { .. } => Words::new("settles"),
    }
}

/// One note: its words, its envelope, what became of it. `None` if there is no such note.
pub fn note(reader: &Reader<'_>, named: &Handle) -> Option<Page> {
    let entries = reader.books().by_handle(named);
    let first = *entries.first()?;
    let mut page = Page::new(named.to_string());
    for entry in &entries {
        page.blocks.extend(one_entry(reader, *entry));
    }
    let own = note_path(reader.books(), first);
    let mut links = vec![
        Words::linked("Correct it", format!("{own}/correct")),
        Words::linked("Withdraw it", format!("{own}/withdraw")),
    ];
    let odd: Vec<_> = reader
        .complaints()
        .iter()
        .filter(|complaint| complaint.about.iter().any(|entry| entries.contains(entry)))
        .cloned()
        .collect();
    if !odd.is_empty() {
        page.blocks
            .push(Block::section("Odd", complaint_blocks(reader, &odd)));
        links.push(Words::linked(
            "Settle what is odd about it",
            format!("/books/settle?of={}", &path(&[&named.to_string()])[1..]),
        ));
    }
    page.blocks.push(Block::section("Write", [Block::List(links)]));
    Some(page)
}

fn one_entry(reader: &Reader<'_>, entry: usize) -> Vec<Block> {
    let of = reader.entry(entry);
    let envelope = &of.envelope;
    let mut facts = vec![
        ("It says".to_owned(), Words::default().note(reader.as_line(entry))),
        ("Stands".to_owned(), standing(reader, entry)),
        ("Happened".to_owned(), Words::new(envelope.day.to_string())),
    ];
    let mut fact = |name: &str, words: Words| facts.push((name.to_owned(), words));
    let about = targets(reader, &envelope.act);
    if !about.is_empty() {
        let mut words = Words::default();
        for (n, target) in about.iter().enumerate() {
            words = words
                .plain(if n > 0 { ", " } else { "" })
                .and(handle(reader, *target));
        }
        fact("About", words);
    }
    if let Some(verb) = reader.note(entry).map(|note| note.fact.word()) {
        fact("Kind of note", Words::linked(verb, path(&["write", verb])));
    }
    if !envelope.by.is_empty() {
        fact("Written by", Words::new(envelope.by.to_string()));
    }
    fact("Came from", Words::new(envelope.origin.to_string()));
    fact(
        "In the chain",
        Words::new(format!(
            "number {} of {}, order {}",
            envelope.number, envelope.device, envelope.order
        )),
    );
    fact("Digest", Words::default().note(of.digest.to_string()));
    vec![Block::Facts(facts)]
}

fn targets(reader: &Reader<'_>, act: &Act) -> Vec<usize> {
    let digests: Vec<_> = match act {
        Act::Note => Vec::new(),
        Act::Correct { of } | Act::Withdraw { of } => vec![*of],
        Act::Settle { of, .. } => of.clone(),
    };
    digests
        .iter()
        .filter_map(|digest| reader.books().by_digest(digest))
        .collect()
}

/// What is odd in the books.
pub fn complaints(reader: &Reader<'_>, part: Part) -> Page {
    let complaints = reader.complaints();
    let range = part.range(complaints.len());
    let mut page = Page::new("What is odd");
    page.blocks.push(Block::text(
        "What makes no sense together is told here and never stops the books. Correct or withdraw a note, or settle the matter with a reason.",
    ));
    for complaint in &complaints[range.clone()] {
        page.blocks
            .extend(complaint_blocks(reader, std::slice::from_ref(complaint)));
        let of: Vec<String> = complaint
            .about
            .iter()
            .map(|entry| reader.entry(*entry).handle().to_string())
            .collect();
        if !of.is_empty() {
            let of = &path(&[&of.join(",")])[1..];
            page.blocks.push(Block::Text(Words::linked(
                "Settle it",
                format!("/books/settle?of={of}"),
            )));
        }
    }
    if complaints.is_empty() {
        page.blocks.push(Block::text("Nothing is odd."));
    }
    if let Some(pager) = part.pager(complaints.len(), |number| {
        reader.link(&format!("/books/complaints?part={number}"))
    }) {
        page.blocks.push(super::other_parts(pager));
    }
    page
}

/// The address book.
pub fn people(reader: &Reader<'_>, part: Part) -> Page {
    let columns = vec![Column::words("Id"), Column::words("What the book says")];
    let people: Vec<_> = reader.people().iter().collect();
    let table = Table::new("People", columns, "Nobody is in the address book.");
    let to = |number| format!("/books/people?part={number}");
    let table = part_of(table, &people, part, to, |(id, says)| {
        let says = says
            .iter()
            .map(|(heading, text)| format!("{heading}: {text}"))
            .collect::<Vec<_>>()
            .join("; ");
        vec![
            Words::linked((*id).clone(), format!("/books/people?id={}", &path(&[id])[1..])),
            Words::new(says),
        ]
    });
    Page::new("The address book").with([
        Block::text("Notes name people by an id alone. Their names and addresses stand here, and can be torn out for good."),
        Block::Table(table),
    ])
}
