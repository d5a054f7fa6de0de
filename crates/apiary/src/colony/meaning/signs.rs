//! Signs of swarming, as dated facts with the waiting times of the sources.

use jiff::ToSpan as _;
use jiff::civil::Date;
use quantity::Source;
use reckon::queen::{Event, windows};
use reckon::sources;

use super::room::Room;
use super::{Bound, Part};

/// How long a sign is told of, in days: one brood cycle of a queen, twice (common practice, no source).
const TOLD_WITHIN: i32 = 35;

/// From which share on honey where brood was is told as a sign (common practice, no source).
pub const BACKFILLED: f64 = 0.5;

/// Days from the egg to the sealing of a queen's cell, the least and the most that the sources say.
const SEALED_AFTER: (i32, i32) = (8, 9);

/// Days from the sealing of a queen's cell to her emergence.
const EMERGES_AFTER_SEALING: (i32, i32) = (7, 8);

/// What sort of sign it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SignKind {
    /// Cups: cells begun, nothing in them.
    Cups,
    /// Cells with an egg or a larva.
    Charged,
    /// Sealed cells.
    Sealed,
    /// A cell that a queen has left.
    Emerged,
    /// Cells torn down.
    Torn,
    /// Queen cells, it was not said which.
    Cells,
    /// Queen cells were looked for, and none found.
    NoCells,
    /// Queen cells were cut out.
    CutOut,
    /// A swarm has gone.
    Gone,
    /// Less than one comb is left to draw.
    NoRoom,
    /// Brood on the last comb.
    BroodAtTheEnd,
    /// Honey or nectar where brood was.
    Backfilled,
}

/// What a source says comes after a sign.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wait {
    /// What comes.
    pub what: &'static str,
    /// The earliest day.
    pub from: Date,
    /// The latest day, where the sources give one.
    pub to: Option<Date>,
    /// Who says so.
    pub source: &'static Source,
}

/// A sign.
#[derive(Clone, Debug)]
pub struct Sign {
    /// What sort.
    pub kind: SignKind,
    /// How many, where they are counted.
    pub count: Option<u32>,
    /// On which comb, where it was said.
    pub bars: Option<String>,
    /// How much, where it is measured: combs left to draw, the share backfilled.
    pub amount: Option<f64>,
    /// The day it was seen.
    pub day: Date,
    /// The entries that say so.
    pub entries: Vec<usize>,
    /// What the sources say comes after.
    pub waits: Vec<Wait>,
}

/// The signs of the last weeks, in the order of their days. What was seen stays told when something else was seen
/// after it: nothing is taken back for the keeper.
pub fn signs(part: &Part<'_>, room: &Room, bound: &Bound) -> Vec<Sign> {
    let mut out = Vec::new();
    for (entry, note) in part.told() {
        if super::days(note.day, part.today) > f64::from(TOLD_WITHIN) {
            continue;
        }
        let fact = &note.fact;
        let bars = fact.shape().has("bars").then(|| fact.bars("bars")).flatten();
        // Cells on a bar of the other colony in the hive are not this one's.
        if bars.is_some_and(|bars| !part.was_on(bars)) || !part.is_meant(note) {
            continue;
        }
        let mut say = |kind, count: Option<u32>, waits: Vec<Wait>| {
            out.push(Sign {
                kind,
                count,
                bars: bars.map(ToString::to_string),
                amount: None,
                day: note.day,
                entries: vec![entry],
                waits,
            });
        };
        match fact.word() {
            "queen-cells" | "look" => {
                for (field, kind) in COUNTED {
                    let said = fact.shape().has(field).then(|| fact.count(field)).flatten();
                    if let Some(count) = said.filter(|count| *count > 0) {
                        say(*kind, Some(count), waits(*kind, note.day));
                    }
                }
                if fact.word() == "queen-cells" && fact.says("none") {
                    say(SignKind::NoCells, None, Vec::new());
                }
            }
            "swarm" => say(SignKind::Gone, None, waits(SignKind::Gone, note.day)),
            _ => {}
        }
    }
    out.extend(no_room(part, room));
    out.extend(brood_at_the_end(part));
    out.extend(backfilled(bound));
    out.sort_by_key(|sign| sign.day);
    out
}

/// The fields of notes that count cells.
const COUNTED: &[(&str, SignKind)] = &[
    ("cups", SignKind::Cups),
    ("charged", SignKind::Charged),
    ("charged_cells", SignKind::Charged),
    ("sealed", SignKind::Sealed),
    ("sealed_cells", SignKind::Sealed),
    ("emerged", SignKind::Emerged),
    ("emerged_cells", SignKind::Emerged),
    ("torn", SignKind::Torn),
    ("torn_cells", SignKind::Torn),
    ("cells", SignKind::Cells),
    ("cut", SignKind::CutOut),
];

/// What comes after a sign, by the sources: the prime swarm leaves when the first cell is sealed, weather allowing,
/// a first cast may leave when the first young queen has emerged.
fn waits(kind: SignKind, seen: Date) -> Vec<Wait> {
    let on = |days: i32| seen.saturating_add(days.days());
    let told = |event, source: &'static Source| -> Vec<Wait> {
        let windows = windows(event, seen).into_iter();
        let of_source = windows.filter(|window| window.source.id == source.id);
        let wait = of_source.map(|window| Wait {
            what: window.what,
            from: window.from,
            to: Some(window.to),
            source,
        });
        wait.collect()
    };
    let (sealed, sealed_at_most) = SEALED_AFTER;
    let (emerges, emerges_at_most) = EMERGES_AFTER_SEALING;
    match kind {
        // A cup may be laid in from the day it was seen, or never: there is no latest day.
        SignKind::Cups => vec![Wait {
            what: "were an egg laid in one that day, a prime swarm leaves at the earliest",
            from: on(sealed),
            to: None,
            source: &sources::SWARM_HALF,
        }],
        // Charged: from a larva about to be sealed to an egg of that day.
        SignKind::Charged => vec![
            Wait {
                what: "the first cell is sealed, and a prime swarm leaves about then",
                from: seen,
                to: Some(on(sealed_at_most)),
                source: &sources::SWARM_HALF,
            },
            Wait {
                what: "the first young queen emerges, and may lead a cast",
                from: on(emerges),
                to: Some(on(sealed_at_most + emerges_at_most)),
                source: &sources::SWARM_VIRGINS,
            },
        ],
        SignKind::Sealed => {
            let mut waits = told(Event::CellSeenSealed, &sources::SWARM_HALF);
            waits.extend(told(Event::CellSeenSealed, &sources::HARDEN_CALENDAR));
            waits
        }
        SignKind::Gone => told(Event::SwarmGone, &sources::SWARM_VIRGINS),
        SignKind::Emerged
        | SignKind::Torn
        | SignKind::Cells
        | SignKind::NoCells
        | SignKind::CutOut
        | SignKind::NoRoom
        | SignKind::BroodAtTheEnd
        | SignKind::Backfilled => Vec::new(),
    }
}

fn measured(kind: SignKind, day: Date, amount: Option<f64>, entries: Vec<usize>) -> Sign {
    Sign {
        kind,
        count: None,
        bars: None,
        amount,
        day,
        entries,
        waits: Vec::new(),
    }
}

/// Less than one comb left to draw, on the newest look that says so.
fn no_room(part: &Part<'_>, room: &Room) -> Option<Sign> {
    let day = room.entries.iter().filter_map(|entry| part.day(*entry)).max()?;
    let full = room.to_draw.hi() < 1.0;
    full.then(|| {
        measured(
            SignKind::NoRoom,
            day,
            Some(room.to_draw.value()),
            room.entries.clone(),
        )
    })
}

/// Brood on the last comb from the entrance.
fn brood_at_the_end(part: &Part<'_>) -> Option<Sign> {
    let (place, _, comb) = part.combs().last().copied()?;
    let look = part.last(comb)?;
    look.says.has_brood().then(|| Sign {
        bars: Some(format!("bar {place}")),
        ..measured(SignKind::BroodAtTheEnd, look.day, None, vec![look.entry])
    })
}

/// Honey or nectar over much of the combs that held brood a short while ago.
fn backfilled(bound: &Bound) -> Option<Sign> {
    let newest = bound.filled.last()?;
    let share = newest.share()?;
    (share >= BACKFILLED).then(|| {
        measured(
            SignKind::Backfilled,
            newest.day,
            Some(share),
            newest.entries.clone(),
        )
    })
}
