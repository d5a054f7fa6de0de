//! Look cards: what is taken down by hand at a hive, with its last map beside each box.
//!
//! Holds true: the columns are those of [`apiary::colony::card`], in their order, and so a card is copied in from
//! left to right and from the top down.

use std::collections::BTreeSet;

use apiary::arena::HiveId;
use apiary::colony::answers::{self as colony, BarRow};
use apiary::colony::card::{COLONY, COLUMNS, Column, Kind};
use apiary::note::Fact;
use jiff::civil::Date;
use ledger::Digest;
use page::{Asked, AskedField, BoxWidth, Card, CardColumn, CardRow};

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
        ..CardRow::default()
    });
    Card {
        asked: vec![asked(String::new(), |_| true)],
        rows: rows.collect(),
        foot: foot(false),
        ..card(false)
    }
}

fn of_hive(reader: &Reader<'_>, id: HiveId) -> Card {
    let h = reader.holding();
    let hive = &h.hives[id];
    let bars = colony::bars(h, reader.books(), id);
    let living: Vec<_> = h.living_in(id).map(|colony| &h.colonies[colony]).collect();
    let asked = match living.as_slice() {
        // One colony has the hive to itself; it is named where it is called otherwise.
        [one] if one.label.as_str() == hive.label.as_str() => vec![asked(String::new(), |_| true)],
        [] => Vec::new(),
        [one] => vec![asked(format!("Colony {}", one.label), |_| true)],
        several => {
            let of_each = several
                .iter()
                .map(|colony| asked(format!("Colony {}", colony.label), |column| !is_of_hive(column)));
            of_each
                .chain([asked("The whole hive".to_owned(), is_of_hive)])
                .collect()
        }
    };
    let mut whose: Option<&str> = None;
    let mut rows = Vec::new();
    for bar in &bars {
        let (last, words) = (last(reader, bar), in_words(reader, bar));
        let colony = bar.colony.as_deref();
        let begins = match (whose, colony) {
            (Some(before), Some(colony)) if before != colony => format!("colony {colony} from here"),
            _ => String::new(),
        };
        whose = colony.or(whose);
        rows.push(CardRow {
            place: bar.place,
            tag: bar.tag.clone().unwrap_or_default(),
            begins,
            // Nothing is as before where the bees are others than before.
            known: !bar.of_another && (!words.is_empty() || last.iter().any(|last| !last.is_empty())),
            last,
            words,
            board: hive.followers.contains(&bar.place),
        });
    }
    let has_bare = bars.iter().any(|bar| !bar.has_comb);
    Card {
        title: hive.label.to_string(),
        day: reader.day().to_string(),
        code: code(hive.label.as_str(), reader.day()),
        known: known(reader, id),
        asked,
        rows,
        foot: foot(has_bare),
        ..card(true)
    }
}

/// What a hive does not say before it is opened: short enough for a line of a card.
const CAUTION: &str =
    "stings can kill: with trouble breathing or faintness call an ambulance; keep water by the smoker.";

fn card(has_map: bool) -> Card {
    let columns = COLUMNS.iter().map(|column| CardColumn {
        heading: heading(column).to_owned(),
        group: group(column).to_owned(),
        width: match column.kind {
            Kind::Choice(words) if has_one_letter_each(words) => BoxWidth::Figure,
            Kind::Choice(_) | Kind::Mass => BoxWidth::Letters,
            Kind::Share | Kind::Eggs | Kind::Count => BoxWidth::Figure,
        },
        last: has_map && is_shown(column),
    });
    Card {
        columns: columns.collect(),
        tick: if has_map {
            "As before".to_owned()
        } else {
            String::new()
        },
        words: "Words".to_owned(),
        cautions: vec![CAUTION.to_owned()],
        ..Card::default()
    }
}

/// Whether the first letter of each word tells it from the others.
fn has_one_letter_each(words: &[&str]) -> bool {
    let firsts: BTreeSet<Option<char>> = words.iter().map(|word| word.chars().next()).collect();
    firsts.len() == words.len()
}

/// Whether what was known last stands beside the box. Cells and the queen are seldom on a bar: for them it is told in
/// words below the rows, and their room is the other columns'.
fn is_shown(column: &Column) -> bool {
    column.key != "queen" && !column.key.starts_with("cells")
}

/// What is asked once where two colonies share a hive: it is opened once.
fn is_of_hive(column: &Column) -> bool {
    matches!(column.key, "smoke" | "handled" | "flight" | "stopped")
}

/// The heading, without what its group says already.
fn heading(column: &Column) -> &'static str {
    match column.key {
        "cells charged" => "Charged",
        "cells sealed" => "Sealed",
        _ => column.heading,
    }
}

fn group(column: &Column) -> &'static str {
    match column.key {
        "brood" | "sealed" | "open" | "eggs" | "drones" => "Brood",
        "capped" | "honey" | "nectar" | "pollen" => "Stores",
        key if key.starts_with("cells") => "Queen cells",
        _ => "",
    }
}

/// What is asked of a colony, as far as it is wanted; of a colony there is always more to say in words.
fn asked(of: String, wanted: fn(&Column) -> bool) -> Asked {
    let fields = COLONY.iter().enumerate().filter(|(_, column)| wanted(column));
    let mut fields: Vec<AskedField> = fields
        .map(|(number, column)| {
            let words = match column.kind {
                Kind::Choice(words) => words.iter().map(|word| (*word).to_owned()).collect(),
                Kind::Share | Kind::Eggs | Kind::Count | Kind::Mass => Vec::new(),
            };
            let unit = match column.kind {
                Kind::Share => " (eighths)",
                Kind::Mass => " (with unit)",
                Kind::Eggs | Kind::Count | Kind::Choice(_) => "",
            };
            AskedField {
                number,
                heading: format!("{}{unit}", column.heading),
                words,
                line: false,
            }
        })
        .collect();
    if COLONY.iter().any(|column| wanted(column) && !is_of_hive(column)) {
        fields.push(AskedField {
            number: COLONY.len(),
            heading: "Words".to_owned(),
            words: Vec::new(),
            line: true,
        });
    }
    Asked { of, fields }
}

fn foot(has_bare: bool) -> Vec<String> {
    let bare = if has_bare { ", – bare" } else { "" };
    vec![
        format!("Eighths, both faces: 0 none, blank not seen{bare}."),
        "s seen, u unseen.".to_owned(),
        "n none, c crossed, bu bulging, a attached, br broken, f fallen.".to_owned(),
    ]
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
    if !hive.followers.is_empty() {
        known.push("thick line: a follower board".to_owned());
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
    let eggs = || {
        let mut of_bees = facts.iter().rev().filter(|_| !bar.of_another);
        of_bees.find_map(|fact| fact.choice("eggs"))
    };
    let of = |column: &Column| match column.key {
        "drawn" => comb.drawn.map_or_else(String::new, eighths),
        "eggs" => match share("eggs_share") {
            none if none.is_empty() => eggs().map_or_else(String::new, |eggs| eggs[..1].to_owned()),
            share => share,
        },
        "fault" => bar
            .fault
            .map_or_else(String::new, |fault| fault.chars().take(2).collect()),
        key => share(key),
    };
    COLUMNS
        .iter()
        .map(|column| {
            if is_shown(column) {
                of(column)
            } else {
                String::new()
            }
        })
        .collect()
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

/// What was known last and is not shown beside a box, in words.
fn in_words(reader: &Reader<'_>, bar: &BarRow) -> String {
    let mut words = Vec::new();
    if let Some(comb) = &bar.comb {
        if let Some((_, share)) = comb.shares.iter().find(|(of, _)| *of == "empty_share") {
            words.push(format!("empty {}/8", eighths(*share)));
        }
        if comb.left < 1.0 {
            words.push(format!("{:.0} % left after cutting", comb.left * 100.0));
        }
    }
    let facts = told_by(reader, bar);
    // The queen and her cells went with the colony that had them.
    let of_bees = || facts.iter().rev().filter(|_| !bar.of_another);
    let queen = of_bees().find_map(|fact| fact.choice("queen"));
    words.extend(queen.map(|seen| format!("queen {seen}")));
    for (field, name) in [
        ("cells", "cells"),
        ("cups", "cups"),
        ("charged_cells", "cells charged"),
        ("sealed_cells", "cells sealed"),
        ("emerged_cells", "cells emerged"),
        ("torn_cells", "cells torn"),
    ] {
        let said = of_bees().find_map(|fact| fact.count(field));
        words.extend(said.map(|count| format!("{name} {count}")));
    }
    words.extend(
        facts
            .iter()
            .filter_map(|fact| fact.text("note").map(str::to_owned)),
    );
    words.join(", ")
}

/// A share in whole eighths, as there is room for one figure; what is not nothing is not told as nothing.
fn eighths(share: f64) -> String {
    let least = if share > 0.0 { 1.0 } else { 0.0 };
    format!("{:.0}", (share * 8.0).round().max(least))
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
