//! Answers about looks: what a stopped one left out, what has changed since the one before, a comb's life.

use jiff::civil::Date;

use super::said_of_fact;
use crate::arena::{CombId, HiveId};
use crate::colony::look::{Said, share_of, shares_after};
use crate::holding::Holding;
use crate::note::{Fact, Note};

/// What the words of an entry say, where they can be read.
pub type Notes<'a, 'n> = &'a dyn Fn(usize) -> Option<&'n Note>;

/// A look that was stopped and not yet finished.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unfinished {
    /// The last place that was seen.
    pub after: u16,
    /// The day on which it was stopped.
    pub day: Date,
    /// The note that says so.
    pub entry: usize,
    /// The places behind it that nobody has looked at since: up to the last comb, or where no comb is known there, up
    /// to the end of the colony's part.
    pub unseen: Vec<u16>,
}

/// What a stopped look has left out; nothing where none was stopped, or where it was finished since.
pub fn unfinished(h: &Holding, hive: HiveId) -> Option<Unfinished> {
    let hive_id = hive;
    let hive = &h.hives[hive_id];
    let look = hive.look.as_ref()?;
    let stopped = look.stopped?;
    let end = h
        .colony_at(hive_id, stopped.after.max(1))
        .map_or(hive.places(), |colony| h.range(colony).1);
    let behind = || (stopped.after + 1..=end).filter_map(|place| Some((place, hive.bar_at(place)?)));
    let last_comb = behind()
        .filter(|(_, bar)| h.bars[*bar].comb.is_some())
        .map(|(place, _)| place)
        .next_back();
    let end = last_comb.unwrap_or(end);
    let unseen: Vec<u16> = behind()
        .filter(|(place, bar)| *place <= end && !look.seen.contains(bar))
        .map(|(place, _)| place)
        .collect();
    (!unseen.is_empty()).then_some(Unfinished {
        after: stopped.after,
        day: stopped.day,
        entry: stopped.entry,
        unseen,
    })
}

/// The days on which bars of a hive were looked at, rising.
pub fn look_days(h: &Holding, notes: Notes<'_, '_>, hive: HiveId) -> Vec<Date> {
    let mut days: Vec<Date> = h.hives[hive]
        .entries
        .iter()
        .filter_map(|entry| notes(*entry))
        .filter(|note| note.fact.word() == "look" && note.fact.form == 0)
        .map(|note| note.day)
        .collect();
    days.sort_unstable();
    days.dedup();
    days
}

/// What one word of a look said before and says now, as shares of the full outline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Change {
    /// The word of the note.
    pub field: &'static str,
    /// Before; nothing where it was not said.
    pub before: Option<f64>,
    /// Now; nothing where it was not said.
    pub now: Option<f64>,
}

/// What has become of the comb on a bar between two looks.
#[derive(Clone, Debug)]
pub struct BarChange {
    /// The place, as of now.
    pub place: u16,
    /// The newest look at it.
    pub entry: usize,
    /// The look before, with its day; nothing where there was none.
    pub before: Option<(Date, usize)>,
    /// What is said differently.
    pub changes: Vec<Change>,
    /// What the newest look found besides: queen cells by kind, a fault, the queen, eggs.
    pub found: Vec<String>,
}

/// What the newest look at a hive found, against the look before at each bar.
#[derive(Clone, Debug)]
pub struct LookChanges {
    /// The day the look began.
    pub since: Date,
    /// Its last day.
    pub last: Date,
    /// The combs seen in it, from the entrance end.
    pub bars: Vec<BarChange>,
    /// The places with combs that were not seen in it.
    pub not_seen: Vec<u16>,
    /// Combs cut off, or gone with their bars, since it began: the place where each hung, the day, the note.
    pub gone: Vec<(u16, Date, usize)>,
}

/// In which order changes are told.
const FIELDS: [&str; 12] = [
    "drawn",
    "eggs_share",
    "open",
    "sealed",
    "brood",
    "drones",
    "capped",
    "honey",
    "nectar",
    "pollen",
    "empty_share",
    "bees",
];

/// Bar by bar what the newest look at a hive found against the look before; nothing where no bar was looked at.
pub fn changes(h: &Holding, notes: Notes<'_, '_>, hive: HiveId) -> Option<LookChanges> {
    let look = h.hives[hive].look.as_ref()?;
    let in_it = |day: Date| (look.since..=look.last).contains(&day);
    let mut out = LookChanges {
        since: look.since,
        last: look.last,
        bars: Vec::new(),
        not_seen: Vec::new(),
        gone: Vec::new(),
    };
    for (bar, place) in h.hives[hive].bars.iter().zip(1u16..) {
        let Some(comb) = h.bars[*bar].comb.map(|comb| &h.combs[comb]) else {
            continue;
        };
        let first = comb
            .looks
            .iter()
            .position(|entry| notes(*entry).is_some_and(|note| in_it(note.day)));
        let (Some(first), Some(entry)) = (first, comb.last_look) else {
            out.not_seen.push(place);
            continue;
        };
        let (earlier, these) = comb.looks.split_at(first);
        let before = earlier
            .last()
            .and_then(|entry| Some((notes(*entry)?.day, *entry)));
        let was = shares_after(notes, earlier);
        out.bars.push(BarChange {
            place,
            entry,
            before,
            changes: differences(&was, &comb.shares),
            found: these
                .iter()
                .filter_map(|look| notes(*look))
                .flat_map(|note| found(&note.fact))
                .collect(),
        });
    }
    let gone = h.combs.iter().filter_map(|(_, comb)| {
        let (day, entry) = comb.ended?;
        let hung = comb.moved.last().filter(|hung| hung.hive == hive)?;
        (day >= look.since).then_some((hung.place, day, entry))
    });
    out.gone = gone.collect();
    out.gone.sort_unstable();
    Some(out)
}

fn differences(was: &[Said], is: &[Said]) -> Vec<Change> {
    let all = FIELDS.into_iter().filter_map(|field| {
        let (before, now) = (share_of(was, field), share_of(is, field));
        let differs = match (before, now) {
            (None, None) => false,
            (Some(before), Some(now)) => (before - now).abs() > 1e-9,
            _ => true,
        };
        differs.then_some(Change { field, before, now })
    });
    all.collect()
}

/// What a look found besides shares, in plain words.
fn found(fact: &Fact) -> Vec<String> {
    let counted = [
        ("cells", "queen cells"),
        ("cups", "cups"),
        ("charged_cells", "charged queen cells"),
        ("sealed_cells", "sealed queen cells"),
        ("emerged_cells", "queen cells that have emerged"),
        ("torn_cells", "torn queen cells"),
    ];
    let cells = counted
        .into_iter()
        .filter_map(|(field, name)| fact.count(field).map(|count| format!("{name}: {count}")));
    let chosen = ["queen", "eggs", "fault"].into_iter().filter_map(|field| {
        let said = fact.choice(field)?;
        Some(match (field, said) {
            ("fault", "none") => "no fault".to_owned(),
            ("fault", fault) => fault.to_owned(),
            _ => format!("{field} {said}"),
        })
    });
    cells.chain(chosen).collect()
}

/// Something in the life of a comb.
#[derive(Clone, Debug)]
pub struct LifeRow {
    /// The day.
    pub day: Date,
    /// The note that tells it.
    pub entry: usize,
    /// What happened, in plain words.
    pub says: String,
}

/// The life of a comb in the order of its days: where it hung, each look and measure, its end.
pub fn life(h: &Holding, notes: Notes<'_, '_>, comb: CombId) -> Vec<LifeRow> {
    let comb = &h.combs[comb];
    let mut rows: Vec<LifeRow> = Vec::new();
    for (at, hung) in comb.moved.iter().enumerate() {
        let hive = &h.hives[hung.hive].label;
        let says = match comb.moved[..at].last() {
            None => format!("known to hang in {hive} at place {}", hung.place),
            Some(before) if before.hive == hung.hive => format!(
                "stands at place {} of {hive} instead of {}",
                hung.place, before.place
            ),
            Some(before) => format!(
                "goes from {} to {hive}, place {}",
                h.hives[before.hive].label, hung.place
            ),
        };
        rows.push(LifeRow {
            day: hung.day,
            entry: hung.entry,
            says,
        });
    }
    for (what, entries) in [("seen", &comb.looks), ("measured", &comb.measures)] {
        for entry in entries {
            let Some(note) = notes(*entry) else { continue };
            let said = said_of_fact(&note.fact).unwrap_or_else(|| "nothing said of it".to_owned());
            rows.push(LifeRow {
                day: note.day,
                entry: *entry,
                says: format!("{what}: {said}"),
            });
        }
    }
    rows.extend(comb.ended.map(|(day, entry)| LifeRow {
        day,
        entry,
        says: "cut off, or gone with its bar".to_owned(),
    }));
    // What one note tells stays in the order told: a comb is known before it is seen.
    rows.sort_by_key(|row| row.day);
    rows
}
