//! The round of one yard on one day: in which order its hives are visited, why, what to look for, what to carry, what
//! to leave alone.
//!
//! Holds true: what is told stands on the notes that it names; what the notes do not say is not asked for.
//!
//! Start at [`yard_round`]; the answer itself is [`apiary::colony::round`].

use apiary::arena::YardId;
use apiary::colony::round::{self, Carried, LeftAlone, NothingDue, ORDER, Reason, Round, Thing, Told, Visit};
use page::{Block, Page, Words};

use super::meaning::{by, listed, noted};
use super::{hive_link, path, sentence, to_write};
use crate::forms::cautions::{SMOKER, STINGS};
use crate::reader::Reader;

/// The round of a yard on the day that is looked at. `None` if there is no such yard.
pub fn yard_round(reader: &Reader<'_>, yard: &str) -> Option<Page> {
    let h = reader.holding();
    let id = h.ground.yard_labels.get(yard)?;
    let label = &h.ground.yards[id].label;
    let mut page = Page::new(title(reader, id));
    page.blocks.extend(yard_round_blocks(reader, id));
    page.blocks.push(to_write(&[
        ("What was seen on a bar", "/write/look".to_owned()),
        ("Bars added", "/write/add".to_owned()),
        (
            "A hazard of this yard",
            format!("/write/hazard?yard={}", path(&[label.as_str()]).split_off(1)),
        ),
        ("Anything else", "/write".to_owned()),
    ]));
    let to = format!("/print{}.pdf", path(&["round", label.as_str()]));
    page.blocks.push(super::on_paper(reader, &[("This round", to)]));
    Some(page)
}

fn title(reader: &Reader<'_>, yard: YardId) -> String {
    let label = &reader.holding().ground.yards[yard].label;
    format!("The round of {label} on {}", reader.day())
}

/// The round of a yard for the terminal. `None` if there is no such yard.
pub fn yard_round_of(reader: &Reader<'_>, yard: &str) -> Option<Block> {
    let id = reader.holding().ground.yard_labels.get(yard)?;
    Some(Block::section(title(reader, id), yard_round_blocks(reader, id)))
}

/// The parts of the round of a yard.
pub fn yard_round_blocks(reader: &Reader<'_>, yard: YardId) -> Vec<Block> {
    let notes = |entry| reader.note(entry);
    let weather = reader.weather(yard);
    let round = round::round(reader.holding(), yard, reader.day(), &notes, weather.as_deref());
    let mut blocks = vec![Block::text(in_short(&round))];
    let hazards = round.hazards.iter();
    blocks.extend(hazards.map(|hazard| {
        let until = hazard
            .until
            .map_or_else(String::new, |until| format!(", until {until}"));
        Block::care(
            Words::new(format!("{}{until}", capital(&hazard.says)))
                .and(noted(reader, &hazard.entries))
                .plain("."),
        )
    }));
    if !round.visits.is_empty() {
        blocks.push(Block::care(format!("{STINGS} {SMOKER}")));
    }
    if !round.carry.is_empty() {
        blocks.push(Block::section(
            "To carry",
            [Block::List(round.carry.iter().map(carried).collect())],
        ));
    }
    if !round.visits.is_empty() {
        let visits = round.visits.iter().zip(1..);
        let mut told = vec![Block::text(ORDER)];
        told.extend(visits.map(|(visit, number)| visit_block(reader, visit, number)));
        blocks.push(Block::section("To visit", told));
    }
    if !round.left_alone.is_empty() {
        let alone = round.left_alone.iter().map(|hive| left_alone(reader, hive));
        blocks.push(Block::section("To leave alone", [Block::List(alone.collect())]));
    }
    if !round.nothing_due.is_empty() {
        let quiet = round.nothing_due.iter().map(|hive| nothing_due(reader, hive));
        blocks.push(Block::section("Nothing due", [Block::List(quiet.collect())]));
    }
    if !round.without_bees.is_empty() {
        let mut empty = Words::default();
        for (n, hive) in round.without_bees.iter().enumerate() {
            empty = empty
                .plain(if n > 0 { ", " } else { "" })
                .and(hive_link(reader, hive));
        }
        blocks.push(Block::section("Without bees", [Block::Text(empty.plain("."))]));
    }
    blocks
}

fn capital(words: &str) -> String {
    let told = sentence(words);
    told.strip_suffix('.').map(str::to_owned).unwrap_or(told)
}

fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

/// How many hives are in which part, as a paragraph.
fn in_short(round: &Round) -> String {
    let parts = [
        (round.visits.len(), "hive to visit", "hives to visit"),
        (round.left_alone.len(), "to leave alone", "to leave alone"),
        (
            round.nothing_due.len(),
            "in which nothing is due",
            "in which nothing is due",
        ),
        (round.without_bees.len(), "without bees", "without bees"),
    ];
    let told: Vec<String> = parts
        .iter()
        .filter(|(count, ..)| *count > 0)
        .map(|(count, one, many)| counted(*count, one, many))
        .collect();
    if told.is_empty() {
        return format!("No hive stands in {} on this day.", round.yard);
    }
    let season = if round.spacing.opens {
        format!("At this time of the year a look is due {}.", round.spacing.says)
    } else {
        format!(
            "At this time of the year hives stay closed; a look from outside is due {}.",
            round.spacing.says
        )
    };
    format!("{}. {season}", capital(&listed(&told)))
}

/// Things to carry: `6 bare bars: 5 for alder and 1 for birch`.
fn carried(carried: &Carried) -> Words {
    let for_hives: Vec<String> = carried
        .for_hives
        .iter()
        .map(|(hive, count)| {
            if carried.for_hives.len() == 1 {
                hive.clone()
            } else {
                format!("{hive} ({count})")
            }
        })
        .collect();
    Words::default()
        .strong(thing(carried.what, carried.count))
        .plain(format!(", for {}", listed(&for_hives)))
}

fn thing(what: Thing, count: u32) -> String {
    format!("{count} {}", what.name(count))
}

fn visit_block(reader: &Reader<'_>, visit: &Visit, number: usize) -> Block {
    let mut facts = Vec::new();
    let mut fact = |name: &str, words: Words| facts.push((name.to_owned(), words));
    let is_alone = visit.colonies.len() == 1;
    let bees = visit
        .colonies
        .iter()
        .filter(|colony| !is_alone || **colony != visit.hive);
    let bees: Vec<String> = bees.cloned().collect();
    if !bees.is_empty() {
        fact("Bees", Words::new(listed(&bees)));
    }
    let last_look = visit
        .last_look
        .map_or("none yet".to_owned(), |day| day.to_string());
    fact(
        "Last look",
        Words::linked(last_look, reader.link(&path(&["hive", &visit.hive]))),
    );
    if let Some((heft, day)) = visit.heft {
        fact("Weight by hand", Words::new(format!("{heft} on {day}")));
    }
    if !visit.carry.is_empty() {
        let things: Vec<String> = visit
            .carry
            .iter()
            .map(|(what, count)| thing(*what, *count))
            .collect();
        fact("Carry", Words::new(listed(&things)));
    }
    let mut blocks = vec![Block::Facts(facts)];
    let why = visit.why.iter().map(|(_, told)| told_words(reader, told));
    blocks.push(Block::section("Why", [Block::List(why.collect())]));
    if !visit.look_for.is_empty() {
        let look_for = visit.look_for.iter().map(|told| told_words(reader, told));
        blocks.push(Block::section("Look for", [Block::List(look_for.collect())]));
    }
    Block::chore(format!("{number}. {}", visit.hive), blocks)
}

/// Something told, its last day, its notes and its source.
fn told_words(reader: &Reader<'_>, told: &Told) -> Words {
    let mut words = Words::new(capital(&told.says)).and(noted(reader, &told.entries));
    if let Some(until) = told.until {
        let word = if until < reader.day() { "by" } else { "until" };
        words = words.plain(format!(", {word} {until}"));
    }
    if let Some(source) = told.source {
        words = words.plain("; ").and(by(reader, source));
    }
    words.plain(".")
}

fn left_alone(reader: &Reader<'_>, hive: &LeftAlone) -> Words {
    let named = if hive.colony == hive.hive {
        String::new()
    } else {
        format!(" ({})", hive.colony)
    };
    let mut words = Words::default()
        .and(hive_link(reader, &hive.hive))
        .plain(format!("{named} until "))
        .strong(hive.until.to_string())
        .plain(format!(": {}", hive.because.says))
        .and(noted(reader, &hive.because.entries));
    if let Some(source) = hive.because.source {
        words = words.plain("; ").and(by(reader, source));
    }
    words = words.plain(".");
    let waits: Vec<String> = hive.waits.iter().map(|(_, told)| told.says.clone()).collect();
    if !waits.is_empty() {
        words = words.plain(format!(" What waits until then: {}.", waits.join("; ")));
    }
    // A symptom does not wait for a queen.
    if hive.waits.iter().any(|(reason, _)| *reason == Reason::Apart) {
        words = words.plain(" The inspector is called now all the same.");
    }
    words
}

fn nothing_due(reader: &Reader<'_>, hive: &NothingDue) -> Words {
    let seen = hive.last_look.map_or("never looked at".to_owned(), |day| {
        format!("last looked at {day}")
    });
    let next = hive
        .next
        .map_or_else(String::new, |(what, from)| format!("; next from {from}: {what}"));
    hive_link(reader, &hive.hive).plain(format!(": {seen}{next}."))
}
