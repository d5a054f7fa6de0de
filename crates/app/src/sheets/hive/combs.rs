//! The combs of a hive as things of their own: the life of each, their ages, what was measured.

use apiary::arena::{CombId, HiveId};
use apiary::colony::answers::{self, CombAge, RENEW_TURNS, RENEW_YEARS, Rule};
use page::{Block, Column, Page, Table, Words};
use quantity::{Length, Source};
use reckon::sources;

use super::strong;
use crate::reader::Reader;
use crate::sheets::figures::percent;
use crate::sheets::{Part, handle, hive_link, notes_table, path, reason};

/// The comb at a place of a hive: what is known of it, and its life. `None` if none hangs there.
pub(crate) fn comb_page(reader: &Reader<'_>, hive: &str, place: &str, part: Part) -> Option<Page> {
    let h = reader.holding();
    let id = h.hive_labels.get(hive)?;
    let at: u16 = place.parse().ok()?;
    let comb = h.bars[h.hives[id].bar_at(at)?].comb?;
    let notes = |entry| reader.note(entry);
    let life = answers::life(h, &notes, comb);
    let rows = life.iter().map(|row| {
        vec![
            Words::new(row.day.to_string()),
            Words::new(row.says.clone()),
            handle(reader, row.entry),
        ]
    });
    let columns = vec![
        Column::words("Day"),
        Column::words("What is told"),
        Column::words("Note"),
    ];
    let mut page = Page::new(format!("The comb on bar {at} of {hive}"));
    page.blocks.push(Block::text(
        Words::new("It keeps its name in these books wherever its bar goes; places are those of the day told. It hangs in ")
            .and(hive_link(reader, hive))
            .plain("."),
    ));
    page.blocks.push(Block::Facts(facts(reader, comb)));
    page.blocks.push(Block::section(
        "Its life",
        [Block::Table(
            Table::new("What the notes tell of it", columns, "No note tells of it.").with(rows),
        )],
    ));
    let estimates = strong::of_one_comb(reader, id, at);
    if !estimates.is_empty() {
        let sources = reckon::strength::SOURCES.iter();
        let sources = sources.map(|source| linked(reader, source)).collect();
        page.blocks.push(Block::section(
            "Estimated by its last look",
            [Block::Facts(estimates), Block::List(sources)],
        ));
    }
    let mut entries: Vec<usize> = life.iter().map(|row| row.entry).collect();
    entries.sort_unstable();
    entries.dedup();
    let address = path(&["why", "comb", hive, place]);
    let to = |number| reader.link(&format!("{address}?part={number}"));
    let table = notes_table(reader, "The notes it stands on", &entries, part, to);
    Some(page.with([Block::section("Notes", [Block::Table(table)])]))
}

fn linked(reader: &Reader<'_>, source: &Source) -> Words {
    Words::linked(source.id, reader.link(&format!("/sources#{}", source.id)))
}

fn facts(reader: &Reader<'_>, comb: CombId) -> Vec<(String, Words)> {
    let h = reader.holding();
    let comb = &h.combs[comb];
    let mut facts = Vec::new();
    let mut fact = |name: &str, words: Words| facts.push((name.to_owned(), words));
    match (comb.since, comb.moved.first()) {
        (Some(day), _) => fact("First seen drawn", Words::new(day.to_string())),
        (None, Some(first)) => fact(
            "First seen drawn",
            Words::new(format!(
                "not known; the books have known it since {} (",
                first.day
            ))
            .and(handle(reader, first.entry))
            .plain(")"),
        ),
        (None, None) => {}
    }
    let turns = match (comb.brood_turns, comb.brood_last) {
        (0, _) => Words::new("no brood was seen in it"),
        (turns, last) => {
            let last = last.map_or_else(String::new, |day| format!(", brood last seen {day}"));
            Words::new(format!("at least {turns}{last}"))
        }
    };
    fact("Turns of brood", turns);
    if let Some(width) = comb.worker_cell {
        fact("Width of a cell", Words::new(format!("{:.2} mm", width.to_mm())));
    }
    if let Some(thickness) = comb.thickness {
        fact("Thickness", Words::new(format!("{:.1} mm", thickness.to_mm())));
    }
    if let Some(drones) = comb.drone_share {
        fact("Drone cells", Words::new(format!("{} %", percent(drones))));
    }
    if let Some(fault) = &comb.fault {
        fact(
            "Fault",
            Words::new(format!("{}, found on {} (", fault.what, fault.day))
                .and(handle(reader, fault.entry))
                .plain(")"),
        );
    }
    if comb.left < 1.0 {
        fact(
            "Left after cutting",
            Words::new(format!("{} %", percent(comb.left))),
        );
    }
    facts
}

/// The combs by age and turns of brood, beside what is advised. Nothing where no comb hangs.
pub(super) fn ages_section(reader: &Reader<'_>, id: HiveId) -> Option<Block> {
    let all = answers::ages(reader.holding(), id, reader.day());
    let oldest = all.first()?;
    let name = reader.holding().hives[id].label.as_str();
    let due: Vec<&CombAge> = all.iter().filter(|age| !age.reached().is_empty()).collect();
    let mut blocks = Vec::new();
    if due.is_empty() {
        blocks.push(Block::text(none_due(&all, oldest)));
    } else {
        let columns = vec![
            Column::amounts("Bar"),
            Column::words("First seen drawn"),
            Column::amounts("Years, at least"),
            Column::amounts("Turns of brood seen"),
            Column::words("Brood last seen"),
            Column::words("Has come up to"),
        ];
        let rows = due.iter().map(|age| {
            let place = age.place.to_string();
            let rules: Vec<String> = age.reached().into_iter().map(rule_said).collect();
            let since = age
                .since
                .map_or_else(|| format!("before {}", age.known), |day| day.to_string());
            vec![
                Words::because(place.clone(), reason(reader, &["comb", name, &place])),
                Words::new(since),
                Words::amount(age.years.to_string()),
                Words::amount(age.turns.to_string()),
                crate::sheets::day(age.brood_last),
                Words::new(rules.join(", ")),
            ]
        });
        blocks.push(Block::Table(
            Table::new("Combs that one or other rule would renew", columns, "").with(rows),
        ));
    }
    blocks.push(Block::Folded {
        summary: "What is said about old comb, which differs".to_owned(),
        blocks: vec![Block::List(advice(reader))],
    });
    Some(Block::section("Old combs", blocks))
}

fn none_due(all: &[CombAge], oldest: &CombAge) -> String {
    let next = all
        .iter()
        .filter_map(|age| Some((age.next()?, age)))
        .min_by_key(|((_, day), _)| *day);
    let next = next.map_or_else(String::new, |((rule, day), age)| {
        format!(" Bar {} comes up to {} on {day}.", age.place, rule_said(rule))
    });
    format!(
        "No comb has come up to {} years or {RENEW_TURNS} turns of brood by these books; bar {} has been known longest, since {}.{next}",
        RENEW_YEARS[0], oldest.place, oldest.known
    )
}

fn rule_said(rule: Rule) -> String {
    match rule {
        Rule::Years(years) => format!("{years} years"),
        Rule::Turns(turns) => format!("{turns} turns"),
    }
}

fn advice(reader: &Reader<'_>) -> Vec<Words> {
    let by = |source: &'static Source| Words::new(" (").and(linked(reader, source)).plain(").");
    vec![
        Words::new(format!(
            "Combs that carried brood are taken out after {} to {} years, or after about {RENEW_TURNS} turns of brood; it suits whoever wants few cocoons and little old wax in the nest",
            RENEW_YEARS[0], RENEW_YEARS[1]
        ))
        .and(by(&sources::COMMON_PRACTICE)),
        Words::new(
            "Old combs are moved to the back, left to be filled, and cut there; one who wrote for many years found that it failed, and takes old combs out at once",
        )
        .and(by(&sources::HAPPYHOUR_2017)),
        Words::new(
            "Colonies on much old comb left or would not build, and small ones got wax moth and beetles, the same keeper tells",
        )
        .and(by(&sources::HAPPYHOUR_2017)),
        Words::new(
            "Others leave combs as long as the bees use them: drawn comb costs a colony honey and time, and suits one that has little of either",
        )
        .and(by(&sources::COMMON_PRACTICE)),
        Words::new(
            "Turns are counted from looks with brood at least three weeks apart: there were at least so many, and how many more nobody saw. A comb is cut when no brood is in it.",
        ),
    ]
}

/// What was measured, beside what is published; no judgement. Nothing where nothing was measured.
pub(super) fn measures_section(reader: &Reader<'_>, id: HiveId) -> Option<Block> {
    let h = reader.holding();
    let name = h.hives[id].label.as_str();
    let rows: Vec<Vec<Words>> = h.hives[id]
        .bars
        .iter()
        .zip(1u16..)
        .filter_map(|(bar, place)| Some((place, &h.combs[h.bars[*bar].comb?])))
        .filter(|(_, comb)| !comb.measures.is_empty())
        .map(|(place, comb)| {
            let mm = |length: Option<Length>, places: usize| {
                length.map_or_else(
                    || Words::new("–"),
                    |length| Words::amount(format!("{:.places$}", length.to_mm())),
                )
            };
            let place = place.to_string();
            let newest = comb.measures.last().copied();
            vec![
                Words::because(place.clone(), reason(reader, &["comb", name, &place])),
                mm(comb.worker_cell, 2),
                mm(comb.thickness, 1),
                comb.drone_share
                    .map_or_else(|| Words::new("–"), |share| Words::amount(percent(share))),
                newest.map_or_else(Words::default, |entry| handle(reader, entry)),
            ]
        })
        .collect();
    if rows.is_empty() {
        return None;
    }
    let columns = vec![
        Column::amounts("Bar"),
        Column::amounts("Cell, mm"),
        Column::amounts("Thickness, mm"),
        Column::amounts("Drone cells, %"),
        Column::words("Note"),
    ];
    Some(Block::section(
        "Measured",
        [
            Block::Table(Table::new(format!("What was measured in {name}"), columns, "").with(rows)),
            Block::text(
                "A cell is the mean of ten along each axis that was measured, from wall to wall, over ten. Beside it, what others have published or told:",
            ),
            Block::List(published(reader)),
        ],
    ))
}

fn published(reader: &Reader<'_>) -> Vec<Words> {
    let line = |says: &str, source: &'static Source| {
        Words::new(format!("{says} ("))
            .and(linked(reader, source))
            .plain(").")
    };
    vec![
        line(
            "Tree nests: worker cells 5.2 mm wide, drone cells 6.2 mm; 17 % of the comb area of drone cells, give or take 3",
            &sources::SEELEY_MORSE_1976,
        ),
        line(
            "Natural comb: worker cells 5.2 to 5.4 mm, drone cells 6.2 to 6.4 mm",
            &sources::NATURAL_CELLS_ISEF,
        ),
        line(
            "Top rows under a top bar: 5.0 to 5.67 mm in one hive, 4.6 to 5.83 mm in another, changing within a row or two: cells at the bar are wider than those below",
            &sources::BEE_L_2005,
        ),
        line(
            "Natural comb over three years: 5.4 mm, beside 5.3 mm on foundation",
            &sources::CELL_SIZE_3_YEARS,
        ),
        line(
            "A fifth of the comb of drone cells is called the natural amount",
            &sources::SEELEY_2002,
        ),
        line(
            "Thickness by the width of the cell: 20.2 mm at 4.70 mm, 21.8 mm at 5.21 mm, 22.6 mm at 5.555 mm",
            &sources::BAUDOUX_THICKNESS,
        ),
        line(
            "Worker comb 20.3 mm thick, drone comb 28.6 mm",
            &sources::MINER_THICKNESS,
        ),
    ]
}
