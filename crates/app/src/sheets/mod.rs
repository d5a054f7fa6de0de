//! Answers as pages: the same ones for a browser and for the terminal.
//!
//! Each sheet is a function of a [`Reader`] and gives a [`page::Page`]. It decides what is told, in which
//! order and to how many places; the answers themselves come from `apiary`, and outputs from `page`.
//!
//! Holds true: every amount leads to the notes that it stands on ([`why`]) or to its source ([`sources`]).
//!
//! Start at [`round`].

mod books;
pub(crate) mod calendar;
mod card;
mod comb;
mod figures;
pub(crate) mod hive;
mod honey;
mod lot;
mod meaning;
mod money;
pub(crate) mod round;
mod sources;
mod stall;
mod swarms;
mod warmth;
mod why;
pub(crate) mod workshop;
mod yard;
mod yard_round;

use jiff::civil::Date;
use ledger::Books;
use page::{Block, Column, Notice, Pager, Table, Tone, Words};

use crate::reader::Reader;

pub use books::{Asked, complaints, entries, note, people};
pub use calendar::{calendar, calendar_blocks, feed};
pub use card::{MOST_BARS, blank_card, look_card, look_cards};
pub use hive::{hive, hive_blocks};
pub use honey::{balance_blocks, container, honey_house, ripe_blocks, yields_blocks};
pub use lot::{lot, lot_blocks};
pub use meaning::meaning_blocks;
pub use money::{cash_blocks, cost_blocks, money, wage};
pub use round::{round, round_blocks};
pub use sources::sources;
pub use stall::{stall, stock_blocks};
pub use swarms::{swarms, swarms_blocks};
pub use why::why;
pub use workshop::{
    CUT_STEPS, CutAsked, Rule, Shaped, Worked, compare, compare_blocks, cut, cut_blocks, for_steps, pattern,
    pattern_blocks, template, worked, workshop, workshop_blocks,
};
pub use yard::{yard, yard_blocks};
pub use yard_round::{yard_round, yard_round_blocks, yard_round_of};

/// Which part of a long table is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Part {
    /// Which part, from 1.
    pub number: usize,
    /// How many rows a part has.
    pub rows: usize,
}

impl Part {
    /// The first part, as a page shows it.
    pub const FIRST: Self = Self::of(1);

    /// A whole table, as a spreadsheet wants it.
    pub const ALL: Self = Self {
        number: 1,
        rows: usize::MAX,
    };

    /// A part of the usual length.
    pub const fn of(number: usize) -> Self {
        Self { number, rows: 50 }
    }

    /// Half as many rows at once, where each has many cells; a whole table stays whole.
    fn halved(self) -> Self {
        self.at_most(self.rows / 2)
    }

    /// At most so many rows at once; a whole table stays whole.
    fn at_most(self, rows: usize) -> Self {
        let rows = if self.rows == usize::MAX {
            self.rows
        } else {
            self.rows.min(rows)
        };
        Self { rows, ..self }
    }

    /// The rows from where to where, of so many; beyond the end it is the last part.
    fn range(self, of: usize) -> std::ops::Range<usize> {
        let last = of.saturating_sub(1) / self.rows;
        let first = self.number.saturating_sub(1).min(last).saturating_mul(self.rows);
        first..first.saturating_add(self.rows).min(of)
    }

    /// Which rows are shown of so many, and where the others are; nothing where all are shown.
    fn pager(self, of: usize, to: impl Fn(usize) -> String) -> Option<Pager> {
        let range = self.range(of);
        if range.len() == of {
            return None;
        }
        let number = range.start / self.rows + 1;
        Some(Pager {
            first: range.start + 1,
            last: range.end,
            of,
            before: (number > 1).then(|| to(number - 1)),
            after: (range.end < of).then(|| to(number + 1)),
        })
    }
}

/// A table of which a part is shown: its rows are made for that part alone.
fn part_of<T>(
    table: Table,
    items: &[T],
    part: Part,
    to: impl Fn(usize) -> String,
    row: impl FnMut(&T) -> Vec<Words>,
) -> Table {
    let range = part.range(items.len());
    let mut table = table.with(items[range].iter().map(row));
    table.pager = part.pager(items.len(), to);
    table
}

/// A path of several steps, whatever the names in it.
pub(crate) fn path(steps: &[&str]) -> String {
    let mut out = String::new();
    for step in steps {
        out.push('/');
        for byte in step.bytes() {
            match byte {
                b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'_' | b'.' | b'~' => out.push(byte as char),
                _ => out.push_str(&format!("%{byte:02X}")),
            }
        }
    }
    out
}

/// Where a note is told of.
pub(crate) fn note_path(books: &Books, entry: usize) -> String {
    let handle = books.entries()[entry].handle();
    path(&[
        "books",
        "note",
        handle.device.as_str(),
        &handle.number.to_string(),
    ])
}

/// A handle that leads to its note.
fn handle(reader: &Reader<'_>, entry: usize) -> Words {
    let books = reader.books();
    Words::linked(
        books.entries()[entry].handle().to_string(),
        note_path(books, entry),
    )
}

/// The name of a hive that leads to it.
fn hive_link(reader: &Reader<'_>, name: &str) -> Words {
    Words::linked(name, reader.link(&path(&["hive", name])))
}

/// The name of a lot that leads to it.
fn lot_link(reader: &Reader<'_>, name: &str) -> Words {
    Words::linked(name, reader.link(&path(&["lot", name])))
}

/// The name of a container that leads to it.
fn container_link(reader: &Reader<'_>, name: &str) -> Words {
    Words::linked(name, reader.link(&path(&["container", name])))
}

/// Where it is told what a number stands on.
fn reason(reader: &Reader<'_>, steps: &[&str]) -> String {
    let mut all = vec!["why"];
    all.extend(steps);
    reader.link(&path(&all))
}

/// Where the other parts are of what is no table.
fn other_parts(pager: Pager) -> Block {
    let mut words = Words::new(format!("{} to {} of {}.", pager.first, pager.last, pager.of));
    for (text, to) in [("Those before", pager.before), ("Those after", pager.after)] {
        if let Some(to) = to {
            words = words.plain(" ").link(text, to);
        }
    }
    Block::Text(words)
}

/// Notes in a table: the handle, and the words.
fn notes_table(
    reader: &Reader<'_>,
    caption: &str,
    entries: &[usize],
    part: Part,
    to: impl Fn(usize) -> String,
) -> Table {
    let columns = vec![Column::words("Note"), Column::words("What it says")];
    part_of(
        Table::new(caption, columns, "No note speaks of it."),
        entries,
        part,
        to,
        |entry| {
            vec![
                handle(reader, *entry),
                Words::default().note(words_of(reader, *entry)),
            ]
        },
    )
}

/// The words of an entry, or that they were erased.
fn words_of(reader: &Reader<'_>, entry: usize) -> String {
    reader
        .entry(entry)
        .note
        .as_deref()
        .unwrap_or("(erased)")
        .to_owned()
}

/// The notes about a hive and about the colonies that live or last lived in it, in the order of their days: so many
/// of the newest at least.
fn notes_about_hive(reader: &Reader<'_>, id: apiary::arena::HiveId, newest: usize) -> Vec<usize> {
    // Each history is in the order of days, so the newest of all are among the newest of each.
    let last = |entries: &'_ [usize]| entries[entries.len().saturating_sub(newest)..].to_vec();
    let h = reader.holding();
    let colonies = h.colonies.iter().map(|(_, colony)| colony);
    let mut entries: Vec<usize> = colonies
        .filter(|colony| colony.hive == id)
        .flat_map(|colony| last(&colony.entries))
        .chain(last(&h.hives[id].entries))
        .collect();
    entries.sort_unstable_by_key(|entry| (reader.entry(*entry).envelope.day, *entry));
    entries.dedup();
    entries
}

/// What may be written from a page: each link opens the form with what is known filled in.
fn to_write(links: &[(&str, String)]) -> Block {
    let links = links
        .iter()
        .map(|(text, to)| Words::linked(*text, to.clone()))
        .collect();
    Block::section("Write", [Block::List(links)])
}

/// What may be printed from a page, for the paper that is usual where the browser is or for either.
fn on_paper(reader: &Reader<'_>, links: &[(&str, String)]) -> Block {
    let links = links
        .iter()
        .flat_map(|(text, to)| {
            ["A4", "Letter"].map(|paper| {
                let to = reader.link(&format!("{to}?paper={}", paper.to_lowercase()));
                Words::linked(format!("{text}, {paper}"), to)
            })
        })
        .collect();
    Block::section("On paper", [Block::List(links)])
}

/// What is odd, a notice each.
pub fn complaint_blocks(reader: &Reader<'_>, complaints: &[apiary::Complaint]) -> Vec<Block> {
    if complaints.is_empty() {
        return vec![Block::text("Nothing is odd.")];
    }
    let notice = |complaint: &apiary::Complaint| {
        let mut more: Vec<Words> = complaint
            .about
            .iter()
            .map(|entry| handle(reader, *entry).plain(": ").note(words_of(reader, *entry)))
            .collect();
        more.extend(complaint.hint.iter().map(|hint| Words::new(sentence(hint))));
        Block::Notice(Notice {
            tone: Tone::Odd,
            says: Words::new(sentence(&complaint.says)),
            more,
        })
    };
    complaints.iter().map(notice).collect()
}

/// Words as a sentence: a capital first, a stop at the end.
pub(crate) fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next();
    // A name or a handle at the beginning stays as it is spelt.
    let spelt = words
        .split([' ', ','])
        .next()
        .is_some_and(|word| word.contains(|c: char| c.is_ascii_digit() || c == '/' || c == '-'));
    let capital = match first {
        Some(letter) if !spelt => letter.to_uppercase().chain(letters).collect(),
        _ => words.to_owned(),
    };
    if capital.ends_with(['.', '?', '!']) {
        capital
    } else {
        format!("{capital}.")
    }
}

fn day(day: Option<Date>) -> Words {
    day.map_or_else(Words::default, |day| Words::new(day.to_string()))
}
