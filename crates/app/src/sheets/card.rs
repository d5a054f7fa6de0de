//! Look cards: what is taken down by hand at a hive, with its last map beside each box.
//!
//! Holds true: the columns are those of [`apiary::colony::card`], in their order, and so a card is copied in from
//! left to right and from the top down.

use apiary::arena::HiveId;
use apiary::colony::answers::{self as colony, BarRow};
use apiary::colony::card::{COLONY, COLUMNS, Column, Kind};
use apiary::note::Fact;
use jiff::civil::Date;
use ledger::Digest;
use page::{Asked, BoxWidth, Card, CardColumn, CardRow};

use crate::forms;
use crate::reader::Reader;

/// A card of a hive, filled with its last map. `None` if there is no such hive.
pub fn look_card(reader: &Reader<'_>, name: &str) -> Option<Card> {
    let id = reader.holding().hive_labels.get(name)?;
    Some(of_hive(reader, id))
}

/// Cards of all hives that bees live in, in the order in which they were made known; those of one yard where it is
/// named. `None` if there is no such yard.
pub fn look_cards(reader: &Reader<'_>, yard: Option<&str>) -> Option<Vec<Card>> {
    let h = reader.holding();
    let yard = match yard {
        Some(name) => Some(h.ground.yard_labels.get(name)?),
        None => None,
    };
    let wanted = h.hives.iter().filter(|(id, hive)| {
        !hive.gone
            && !hive.is_store()
            && (yard.is_none() || hive.yard == yard)
            && h.living_in(*id).next().is_some()
    });
    Some(wanted.map(|(id, _)| of_hive(reader, id)).collect())
}

/// The most bars of a blank card.
pub const MOST_BARS: u16 = 120;

/// A card without a map, for a hive without records.
pub fn blank_card(bars: u16) -> Card {
    let rows = (1..=bars.min(MOST_BARS)).map(|place| CardRow {
        place,
        last: vec![String::new(); COLUMNS.len()],
        // Without a map nothing is as before; still a bar may be like the one before it, in the keeper's words.
        ..CardRow::default()
    });
    Card {
        asked: vec![asked(String::new())],
        rows: rows.collect(),
        foot: foot(false, false),
        ..card()
    }
}

fn of_hive(reader: &Reader<'_>, id: HiveId) -> Card {
    let h = reader.holding();
    let hive = &h.hives[id];
    let bars = colony::bars(h, reader.books(), id);
    let living: Vec<_> = h.living_in(id).map(|colony| &h.colonies[colony]).collect();
    let asked = match living.as_slice() {
        // One colony has the hive to itself; it is named where it is called otherwise.
        [one] if one.label.as_str() == hive.label.as_str() => vec![asked(String::new())],
        [] => Vec::new(),
        several => several
            .iter()
            .map(|colony| asked(format!("Colony {}", colony.label)))
            .collect(),
    };
    let rows = bars.iter().map(|bar| CardRow {
        place: bar.place,
        tag: bar.tag.clone().unwrap_or_default(),
        last: last(reader, bar),
        words: in_words(reader, bar),
        board: hive.followers.contains(&bar.place),
    });
    let has_bare = bars.iter().any(|bar| !bar.has_comb);
    let mut foot = foot(true, has_bare);
    if !hive.followers.is_empty() {
        foot.push("A thick line: a follower board.".to_owned());
    }
    Card {
        title: hive.label.to_string(),
        day: reader.day().to_string(),
        code: code(hive.label.as_str(), reader.day()),
        known: known(reader, id),
        asked,
        rows: rows.collect(),
        foot,
        ..card()
    }
}

fn card() -> Card {
    let columns = COLUMNS.iter().map(|column| CardColumn {
        heading: column.heading.to_owned(),
        group: group(column).to_owned(),
        width: match column.kind {
            Kind::Choice(_) | Kind::Mass => BoxWidth::Letters,
            Kind::Share | Kind::Eggs | Kind::Count => BoxWidth::Figure,
        },
    });
    Card {
        columns: columns.collect(),
        tick: "As before".to_owned(),
        words: "Words".to_owned(),
        cautions: forms::cautions_of("look")
            .iter()
            .map(|says| (*says).to_owned())
            .collect(),
        ..Card::default()
    }
}

fn group(column: &Column) -> &'static str {
    match column.key {
        "sealed" | "open" | "eggs" | "drones" => "Brood",
        "capped" | "honey" | "pollen" => "Stores",
        key if key.starts_with("cells") => "Queen cells",
        _ => "",
    }
}

fn asked(of: String) -> Asked {
    let fields = COLONY.iter().map(|column| {
        let words = match column.kind {
            Kind::Choice(words) => words.iter().map(|word| (*word).to_owned()).collect(),
            Kind::Share | Kind::Eggs | Kind::Count | Kind::Mass => Vec::new(),
        };
        let unit = match column.kind {
            Kind::Share => " (eighths)",
            Kind::Mass => " (with unit)",
            Kind::Eggs | Kind::Count | Kind::Choice(_) => "",
        };
        (format!("{}{unit}", column.heading), words)
    });
    Asked {
        of,
        fields: fields.collect(),
        words: "Words".to_owned(),
    }
}

fn foot(has_map: bool, has_bare: bool) -> Vec<String> {
    let mut foot = vec![
        "Amounts in eighths of the full comb, both faces together: 0 is none, a blank box is unknown."
            .to_owned(),
        "Eggs also s seen, u unseen; queen s or u.".to_owned(),
        "Fault: n none, c crossed, bu bulging, a attached, br broken, f fallen.".to_owned(),
        "A bar whose row stays blank was not looked at.".to_owned(),
    ];
    if has_map {
        foot.push("Grey: as last known.".to_owned());
    }
    if has_bare {
        foot.push("In grey, – is no comb known.".to_owned());
    }
    foot
}

/// What is known of the hive itself, a line each.
fn known(reader: &Reader<'_>, id: HiveId) -> Vec<String> {
    let h = reader.holding();
    let hive = &h.hives[id];
    let mut known = Vec::new();
    if let Some(yard) = hive.yard {
        known.push(format!("in {}", h.ground.yards[yard].label));
    }
    for colony in h.living_in(id) {
        let colony = &h.colonies[colony];
        let last = colony.last_look.map_or_else(
            || "not looked at yet".to_owned(),
            |day| format!("last look {day}"),
        );
        known.push(if colony.label.as_str() == hive.label.as_str() {
            last
        } else {
            format!("{} {last}", colony.label)
        });
    }
    if h.living_in(id).next().is_none() {
        known.push("no bees".to_owned());
    }
    if hive.quarantined {
        known.push("kept apart: move nothing out of it".to_owned());
    }
    if let Some(stopped) = colony::unfinished(h, id) {
        known.push(format!(
            "the look of {} stopped at bar {}",
            stopped.day, stopped.after
        ));
    }
    known
}

/// What was known last of a bar, for each column.
fn last(reader: &Reader<'_>, bar: &BarRow) -> Vec<String> {
    let Some(comb) = &bar.comb else {
        let no_comb = |column: &Column| if column.key == "drawn" { "–" } else { "" };
        return COLUMNS.iter().map(|column| no_comb(column).to_owned()).collect();
    };
    let share = |key: &str| {
        let said = comb.shares.iter().find(|(name, _)| *name == key);
        said.map_or_else(String::new, |(_, share)| eighths(*share))
    };
    let facts = told_by(reader, bar);
    let word = |key: &str| facts.iter().rev().find_map(|fact| fact.choice(key));
    let count = |field: &str| {
        let said = facts.iter().rev().find_map(|fact| fact.count(field));
        said.map_or_else(String::new, |count| count.to_string())
    };
    let of = |column: &Column| match column.key {
        "drawn" => comb.drawn.map_or_else(String::new, eighths),
        "eggs" => match share("eggs_share") {
            none if none.is_empty() => word("eggs").map_or_else(String::new, |eggs| eggs[..1].to_owned()),
            share => share,
        },
        "cells cups" => count("cups"),
        "cells charged" => count("charged_cells"),
        "cells sealed" => count("sealed_cells"),
        "fault" => bar
            .fault
            .map_or_else(String::new, |fault| fault.chars().take(2).collect()),
        "queen" => word("queen").map_or_else(String::new, |queen| queen[..1].to_owned()),
        key => share(key),
    };
    COLUMNS.iter().map(of).collect()
}

/// The looks whose words tell what a comb is like, the last behind.
fn told_by<'a>(reader: &Reader<'a>, bar: &BarRow) -> Vec<&'a Fact> {
    let Some(comb) = bar.comb_id.map(|comb| &reader.holding().combs[comb]) else {
        return Vec::new();
    };
    let mut entries = comb.said_by.clone();
    entries.extend(comb.last_look);
    entries.sort_unstable();
    entries.dedup();
    let notes = entries.into_iter().filter_map(|entry| reader.note(entry));
    notes
        .map(|note| &note.fact)
        .filter(|fact| fact.word() == "look")
        .collect()
}

/// What was known last and has no column, in words.
fn in_words(reader: &Reader<'_>, bar: &BarRow) -> String {
    let mut words = Vec::new();
    if let Some(comb) = &bar.comb {
        for (key, name) in [("brood", "brood"), ("nectar", "nectar"), ("empty_share", "empty")] {
            if let Some((_, share)) = comb.shares.iter().find(|(of, _)| *of == key) {
                words.push(format!("{name} {}/8", eighths(*share)));
            }
        }
        if comb.left < 1.0 {
            words.push(format!("{:.0} % left after cutting", comb.left * 100.0));
        }
    }
    for fact in told_by(reader, bar) {
        for (field, name) in [
            ("cells", "cells"),
            ("emerged_cells", "cells emerged"),
            ("torn_cells", "cells torn"),
        ] {
            if let Some(count) = fact.count(field) {
                words.push(format!("{name} {count}"));
            }
        }
        words.extend(fact.text("note").map(str::to_owned));
    }
    words.join(", ")
}

/// A share in eighths, with a decimal where it is no whole number of them.
fn eighths(share: f64) -> String {
    let eighths = (share * 80.0).round() / 10.0;
    if eighths.fract() == 0.0 {
        format!("{eighths:.0}")
    } else {
        format!("{eighths:.1}")
    }
}

/// Letters and figures that cannot be taken for each other.
const LETTERS: &[u8; 30] = b"ABCDEFGHJKLMNPQRSTUVWXYZ234567";

/// Four letters that tell the card of a hive and a day from others, where a name is smudged.
fn code(hive: &str, day: Date) -> String {
    let digest = Digest::of(format!("{hive}\n{day}").as_bytes());
    let bytes = digest.as_bytes().iter().take(4);
    bytes
        .map(|byte| char::from(LETTERS[usize::from(*byte) % LETTERS.len()]))
        .collect()
}
