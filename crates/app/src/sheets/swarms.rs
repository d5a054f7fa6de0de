//! Bait boxes and swarms that somebody called about.
//!
//! Start at [`swarms`]; what waits is worked out in [`apiary::colony::baits`].

use apiary::colony::baits;
use apiary::colony::diary::{Bait, Call};
use jiff::civil::Date;
use page::{Block, Column, Page, Table, Words};

use super::meaning::by;
use super::{Part, handle, hive_link, path, to_write};
use crate::forms::cautions::{LADDER, STINGS};
use crate::reader::Reader;

/// Bait boxes and swarm calls.
pub fn swarms(reader: &Reader<'_>) -> Page {
    Page::new("Swarms and bait boxes")
        .with(swarms_blocks(reader))
        .with([to_write(&[
            ("A bait box set out", "/write/bait?what=set".to_owned()),
            ("A bait box looked into", "/write/bait?what=checked".to_owned()),
            ("A swarm somebody called about", "/write/swarm?form=1".to_owned()),
            ("A swarm taken", "/write/swarm?form=0".to_owned()),
            ("A swarm gone from a colony", "/write/swarm?form=2".to_owned()),
            (
                "A swarm put into a hive",
                "/write/install?origin=swarm".to_owned(),
            ),
        ])])
}

/// The parts of it.
pub fn swarms_blocks(reader: &Reader<'_>) -> Vec<Block> {
    let h = reader.holding();
    let mut blocks = vec![Block::care(LADDER), Block::care(STINGS)];
    let open = baits::calls_open(h, reader.day());
    if !open.is_empty() {
        let open = open.iter().map(|call| waiting(reader, call));
        blocks.push(Block::section(
            "Waiting to be taken",
            [Block::List(open.collect())],
        ));
    }
    let standing: Vec<&Bait> = h
        .diary
        .baits
        .iter()
        .filter(|bait| bait.removed.is_none())
        .collect();
    blocks.push(Block::section("Bait boxes out", boxes(reader, &standing)));
    let gone: Vec<&Bait> = h
        .diary
        .baits
        .iter()
        .rev()
        .filter(|bait| bait.removed.is_some())
        .collect();
    if !gone.is_empty() {
        blocks.push(Block::section(
            "Bait boxes brought in",
            [Block::Table(table(reader, "Bait boxes brought in", &gone, false))],
        ));
    }
    let calls: Vec<&Call> = h.diary.calls.iter().rev().collect();
    blocks.push(Block::section(
        "Swarms called about or taken",
        [calls_table(reader, &calls)],
    ));
    blocks
}

fn boxes(reader: &Reader<'_>, standing: &[&Bait]) -> Vec<Block> {
    let swarms = baits::time_of_swarms(reader.holding(), reader.day());
    let mut blocks = Vec::new();
    if !standing.is_empty() {
        let rule = Words::new(format!(
            "A box is looked into again within {} days, before bees who moved in have fixed their comb to it ",
            baits::LOOKED_INTO_WITHIN
        ))
        .plain("(")
        .and(by(reader, &reckon::sources::COMMON_PRACTICE))
        .plain(").");
        blocks.push(Block::text(if swarms {
            rule
        } else {
            Words::new("It is not the time of swarms now, so no day is told by which to look into a box.")
        }));
    }
    blocks.push(Block::Table(table(reader, "Bait boxes out", standing, swarms)));
    blocks
}

/// A day that leads to its note.
fn told_on(reader: &Reader<'_>, day: Date, entry: usize) -> Words {
    Words::linked(day.to_string(), super::note_path(reader.books(), entry))
}

fn table(reader: &Reader<'_>, caption: &str, baits: &[&Bait], waits: bool) -> Table {
    let last = if waits { "Look into it by" } else { "Brought in" };
    let columns = ["Where", "Set out", "Last looked into", "Bees taken", last].map(Column::words);
    let table = Table::new(caption, columns.to_vec(), "No bait box is out.");
    table.with(baits.iter().map(|bait| {
        let place = match &bait.hive {
            Some(hive) => Words::new(format!("{}: ", bait.place)).and(hive_link(reader, hive.as_str())),
            None => Words::new(bait.place.clone()),
        };
        let seen = |seen: Option<(Date, usize)>| {
            seen.map_or_else(Words::default, |(day, entry)| told_on(reader, day, entry))
        };
        let checked = baits::since_set(bait, &bait.checked).map_or_else(Words::default, |checked| {
            let scouts = match checked.what {
                None => String::new(),
                Some(0) => ", no scout".to_owned(),
                Some(1) => ", 1 scout".to_owned(),
                Some(count) => format!(", {count} scouts"),
            };
            told_on(reader, checked.day, checked.entry).plain(scouts)
        });
        let of = |what: &Option<apiary::colony::diary::Seen<()>>| {
            seen(baits::since_set(bait, what).map(|seen| (seen.day, seen.entry)))
        };
        let last = if waits {
            look_by(reader, bait)
        } else {
            of(&bait.removed)
        };
        vec![place, of(&bait.set), checked, of(&bait.taken), last]
    }))
}

/// By when to look, with the way to write down that it was done.
fn look_by(reader: &Reader<'_>, bait: &Bait) -> Words {
    let Some(by) = baits::look_by(bait) else {
        return Words::new("no bees waited for");
    };
    let words = if by < reader.day() {
        Words::default().strong(by.to_string()).plain(" (passed)")
    } else {
        Words::new(by.to_string())
    };
    let place = path(&[&bait.place]).split_off(1);
    words
        .plain("; ")
        .link("write", format!("/write/bait?what=checked&where={place}"))
}

fn waiting(reader: &Reader<'_>, call: &Call) -> Words {
    let place = call.place.as_deref().unwrap_or("a place not said");
    let mut words = Words::default().strong(place);
    if let Some(called) = &call.called {
        words = words
            .plain(format!(": called about on {} (", called.day))
            .and(handle(reader, called.entry))
            .plain(")");
    }
    if let Some(by) = &call.by {
        words = words.plain(format!(" by {by}"));
    }
    let place = path(&[place]).split_off(1);
    words
        .plain("; ")
        .link("taken", format!("/write/swarm?form=0&where={place}"))
        .plain(".")
}

fn calls_table(reader: &Reader<'_>, calls: &[&Call]) -> Block {
    let columns = ["Where", "Called", "By", "Taken", "Weight", "Put into"].map(Column::words);
    let table = Table::new(
        "Swarms called about or taken",
        columns.to_vec(),
        "No note tells of a swarm that was called about or taken.",
    )
    .csv(reader.link("/swarms.csv?table=1"));
    let rows = &calls[Part::ALL.range(calls.len())];
    Block::Table(table.with(rows.iter().map(|call| {
        vec![
            Words::new(call.place.clone().unwrap_or_default()),
            call.called
                .as_ref()
                .map_or_else(Words::default, |seen| told_on(reader, seen.day, seen.entry)),
            Words::new(call.by.clone().unwrap_or_default()),
            call.taken
                .as_ref()
                .map_or_else(Words::default, |seen| told_on(reader, seen.day, seen.entry)),
            Words::new(
                call.taken
                    .as_ref()
                    .and_then(|seen| seen.what.clone())
                    .unwrap_or_default(),
            ),
            call.installed.as_ref().map_or_else(Words::default, |seen| {
                hive_link(reader, seen.what.as_str())
                    .plain(", ")
                    .and(told_on(reader, seen.day, seen.entry))
            }),
        ]
    })))
}
