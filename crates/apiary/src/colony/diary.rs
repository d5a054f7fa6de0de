//! What the notes say of queens, their cells, swarms, hazards and bait boxes, kept for calendars and rounds.
//!
//! Holds true: a happening stays open until a later note closes it, and the note that closed it is kept beside it. A
//! queen seen soon after a split may be the old one, and so may eggs; how soon is said with each rule.
//!
//! Does not: work out dates. [`super::calendar`] does that from what is open, on the day that is asked about.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;

use crate::arena::{ColonyId, HiveId, YardId};
use crate::holding::Holding;
use crate::note::{Fact, Name};
use crate::told::Told;

/// Something that dates follow from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Happening {
    /// The colony was divided, and the queen is known to be in the other part.
    SplitWithoutQueen,
    /// The colony was divided, and nobody knows which part has the queen.
    SplitUnknown,
    /// Queen cells with larvae were counted.
    CellsCharged,
    /// Sealed queen cells were counted.
    CellsSealed,
    /// Queen cells were seen from which a queen has come, or which one has torn open.
    CellsEmerged,
    /// A swarm left.
    SwarmGone,
    /// The queen is gone.
    QueenGone,
    /// Another queen was put in or has taken over.
    QueenGiven,
}

impl Happening {
    /// What happened, as a sentence begins with it.
    pub const fn says(self) -> &'static str {
        match self {
            Self::SplitWithoutQueen => "divided, the queen in the other part",
            Self::SplitUnknown => "divided, nobody knows which part has the queen",
            Self::CellsCharged => "queen cells with larvae",
            Self::CellsSealed => "sealed queen cells",
            Self::CellsEmerged => "queen cells open or torn",
            Self::SwarmGone => "a swarm gone",
            Self::QueenGone => "queen gone",
            Self::QueenGiven => "a queen put in",
        }
    }

    /// Whether a colony in this way is waiting for a queen to lay.
    const fn waits_for_eggs(self) -> bool {
        !matches!(self, Self::CellsCharged | Self::CellsSealed)
    }
}

/// A happening, and what ended it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Event {
    /// What happened.
    pub what: Happening,
    /// The day of the note.
    pub day: Date,
    /// The note.
    pub entry: usize,
    /// The note first written, where that one corrects it.
    pub root: usize,
    /// The note that ended what follows from it.
    pub closed: Option<Closed>,
}

/// Why nothing more follows from a happening.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Closed {
    /// The day of the note that closed it.
    pub day: Date,
    /// That note.
    pub entry: usize,
    /// What it said, in a few words.
    pub because: &'static str,
}

/// Something seen on a day, and the note that says so.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Seen<T> {
    /// The day.
    pub day: Date,
    /// The note.
    pub entry: usize,
    /// What was seen.
    pub what: T,
}

/// What the notes say of one colony.
#[derive(Clone, Debug, Default)]
pub struct Pages {
    /// What dates follow from, in the order of the notes.
    pub events: Vec<Event>,
    /// Eggs, when last seen.
    pub eggs: Option<Seen<()>>,
    /// The queen, when last seen.
    pub queen: Option<Seen<()>>,
    /// What its weight felt like, when last said.
    pub heft: Option<Seen<&'static str>>,
}

/// A bait box at its place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bait {
    /// Where it is, in the words of the notes.
    pub place: String,
    /// When it was set out, where that was said.
    pub set: Option<Seen<()>>,
    /// When it was last looked at, and how many scouts were counted.
    pub checked: Option<Seen<Option<u32>>>,
    /// When bees were taken from it last.
    pub taken: Option<Seen<()>>,
    /// The hive that stands there as bait, where one was named.
    pub hive: Option<Name>,
    /// When it was brought in.
    pub removed: Option<Seen<()>>,
    /// Every note about it.
    pub entries: Vec<usize>,
}

/// A swarm that somebody called about, or that was taken.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Call {
    /// Where it hung, in the words of the notes.
    pub place: Option<String>,
    /// Who called.
    pub by: Option<String>,
    /// When somebody called; none where the swarm was taken unasked.
    pub called: Option<Seen<()>>,
    /// When it was taken, and the note's weight as it was read.
    pub taken: Option<Seen<Option<String>>>,
    /// The note that put it into a hive, and that hive.
    pub installed: Option<Seen<Name>>,
}

/// Something near a yard that can harm.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hazard {
    /// The yard.
    pub yard: YardId,
    /// What it is, in the words of the note.
    pub what: String,
    /// The day of the note.
    pub day: Date,
    /// The last day that it holds, where one was said.
    pub until: Option<Date>,
    /// The note.
    pub entry: usize,
}

/// A symptom that was seen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sign {
    /// The hive it was seen in.
    pub hive: HiveId,
    /// What was seen, in the words of the note.
    pub what: String,
    /// The day.
    pub day: Date,
    /// The note.
    pub entry: usize,
}

/// What is kept for calendars and rounds.
#[derive(Clone, Debug, Default)]
pub struct Diary {
    /// By colony.
    pub colonies: BTreeMap<ColonyId, Pages>,
    /// Bait boxes, in the order in which they were first named.
    pub baits: Vec<Bait>,
    /// Swarms called about or taken, in the order of the notes.
    pub calls: Vec<Call>,
    /// Hazards, in the order of the notes.
    pub hazards: Vec<Hazard>,
    /// Symptoms, in the order of the notes.
    pub signs: Vec<Sign>,
    /// The day a hive was last set free from quarantine, and the note.
    pub lifted: BTreeMap<HiveId, (Date, usize)>,
    /// The last note that set a hive apart.
    pub apart: BTreeMap<HiveId, usize>,
    /// Yards south of the equator, where the year goes the other way round.
    pub southern: BTreeSet<YardId>,
}

/// How soon after a queen was lost her own eggs may still be seen: an egg lies three days before it hatches, and
/// the day itself counts (liquisearch, Queen bee: development).
const EGGS_OUTLAST_HER: i32 = 3;

/// Eggs seen so long after sealed cells are not those of a queen who was about to leave: she left when the first
/// cell was sealed, or the young queen has mated since (from memory: two weeks after emergence at the least).
const EGGS_AFTER_CELLS: i32 = 14;

/// A queen seen so soon after a division is the old one: a new one emerges on day 11 at the earliest.
const OLD_QUEEN_UNTIL: i32 = 10;

/// The last worker brood of a lost queen is sealed 9 days after she laid, and her drones emerge after 24: open brood
/// and brood seen later are another's (rawartisanhoney.com; Cornell University, fact sheet, 2018).
const OPEN_OUTLASTS_HER: i32 = 9;
const BROOD_OUTLASTS_HER: i32 = 24;

/// A second swarm so soon after the first is a cast of the same colony.
const CASTS_WITHIN: i32 = 16;

fn days(from: Date, to: Date) -> i32 {
    (to - from).get_days()
}

impl Pages {
    fn open(&mut self, told: &Told<'_>, what: Happening) {
        // Cells counted again, or a cast after the swarm, tell nothing new: the first sighting dates them best.
        let day = told.note.day;
        let again = self.events.iter().any(|event| {
            event.closed.is_none()
                && event.what == what
                && match what {
                    Happening::CellsSealed | Happening::CellsCharged => days(event.day, day) <= 9,
                    Happening::SwarmGone | Happening::CellsEmerged => days(event.day, day) <= CASTS_WITHIN,
                    _ => event.day == day,
                }
        });
        if !again {
            self.events.push(Event {
                what,
                day,
                entry: told.entry,
                root: told.root,
                closed: None,
            });
        }
    }

    fn close(&mut self, told: &Told<'_>, because: &'static str, which: impl Fn(&Event) -> bool) {
        let closed = Closed {
            day: told.note.day,
            entry: told.entry,
            because,
        };
        self.events
            .iter_mut()
            .filter(|event| event.closed.is_none() && which(event))
            .for_each(|event| event.closed = Some(closed));
    }

    fn eggs_seen(&mut self, told: &Told<'_>) {
        let day = told.note.day;
        self.eggs = Some(seen(told, ()));
        self.close(told, "eggs seen", |event| {
            let since = days(event.day, day);
            if event.what.waits_for_eggs() {
                since > EGGS_OUTLAST_HER
            } else {
                since >= EGGS_AFTER_CELLS
            }
        });
    }

    fn brood_seen(&mut self, told: &Told<'_>, open: bool) {
        let day = told.note.day;
        let outlasts = if open {
            OPEN_OUTLASTS_HER
        } else {
            BROOD_OUTLASTS_HER
        };
        self.close(told, "brood seen that is not the old queen's", |event| {
            event.what.waits_for_eggs() && days(event.day, day) > outlasts
        });
    }

    fn queen_seen(&mut self, told: &Told<'_>) {
        let day = told.note.day;
        self.queen = Some(seen(told, ()));
        self.close(told, "the queen seen", |event| match event.what {
            Happening::SplitWithoutQueen | Happening::SplitUnknown => {
                (1..=OLD_QUEEN_UNTIL).contains(&days(event.day, day))
            }
            Happening::QueenGone => true,
            _ => false,
        });
    }

    /// Events of which something still follows.
    pub fn still_open(&self) -> impl Iterator<Item = &Event> {
        self.events.iter().filter(|event| event.closed.is_none())
    }
}

pub(super) fn seen<T>(told: &Told<'_>, what: T) -> Seen<T> {
    Seen {
        day: told.note.day,
        entry: told.entry,
        what,
    }
}

/// The colony that a note is about to divide: where its bars hang before they are moved.
pub(crate) fn mother(h: &Holding, told: &Told<'_>) -> Option<ColonyId> {
    (told.fact().word() == "split")
        .then(|| meant(h, told.fact()).into_iter().next())
        .flatten()
}

/// Takes in what a note says, after everything else was folded; the mother is whom it has divided.
pub(crate) fn fold(h: &mut Holding, told: &Told<'_>, mother: Option<ColonyId>) {
    let fact = told.fact();
    match fact.word() {
        "look" => look(h, told),
        "queen" => queen(h, told),
        "queen-cells" => cells(h, told),
        "split" => split(h, told, mother),
        "swarm" => swarm(h, told),
        "unite" => united(h, told),
        "install" => installed(h, told),
        "bait" => bait(&mut h.diary, told),
        "hazard" => hazard(h, told),
        "sign" => sign(h, told),
        "quarantine" => apart(h, told),
        "yard" => yard(h, told),
        _ => {}
    }
}

/// The colonies that a note is about, each once.
fn meant(h: &Holding, fact: &Fact) -> Vec<ColonyId> {
    if let Some(bars) = bars_said(fact) {
        let mut all: Vec<ColonyId> = h
            .bars_of(bars)
            .into_iter()
            .filter_map(|bar| h.colony_at(bar.hive, bar.place))
            .collect();
        all.dedup();
        return all;
    }
    let has = fact.shape().has("colony");
    let named = has.then(|| fact.name("colony")).flatten();
    named.and_then(|name| h.colony_named(name)).into_iter().collect()
}

/// The bars that a note is about, where its form has any.
fn bars_said(fact: &Fact) -> Option<&crate::note::Bars> {
    fact.shape().has("bars").then(|| fact.bars("bars")).flatten()
}

fn look(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    let count = |field: &str| fact.shape().has(field).then(|| fact.count(field)).flatten();
    let some = |field: &str| count(field).is_some_and(|count| count > 0);
    let eggs =
        fact.choice("eggs") == Some("seen") || fact.share("eggs_share").is_some_and(|share| share > 0.0);
    for colony in meant(h, fact) {
        let pages = h.diary.colonies.entry(colony).or_default();
        if eggs {
            pages.eggs_seen(told);
        }
        for (field, open) in [("open", true), ("brood", false), ("sealed", false)] {
            if fact.share(field).is_some_and(|share| share > 0.0) {
                pages.brood_seen(told, open);
            }
        }
        if fact.choice("queen") == Some("seen") {
            pages.queen_seen(told);
        }
        if some("charged_cells") {
            pages.open(told, Happening::CellsCharged);
        }
        if some("sealed_cells") {
            pages.open(told, Happening::CellsSealed);
        }
        if some("emerged_cells") || some("torn_cells") {
            emerged(pages, told);
        }
        if let (None, Some(heft)) = (bars_said(fact), fact.choice("heft")) {
            pages.heft = Some(seen(told, heft));
        }
    }
}

fn emerged(pages: &mut Pages, told: &Told<'_>) {
    // Those that are counted as sealed beside it are still to come.
    let others = ["sealed", "sealed_cells"].into_iter().any(|field| {
        let fact = told.fact();
        fact.shape().has(field) && fact.count(field).is_some_and(|count| count > 0)
    });
    pages.close(told, "a cell found open or torn", |event| {
        event.what == Happening::CellsCharged || (event.what == Happening::CellsSealed && !others)
    });
    // After a split the dates are known better from that day; after a swarm this is the sight of what was waited for.
    let known = pages
        .still_open()
        .any(|event| event.what.waits_for_eggs() && event.what != Happening::SwarmGone);
    if !known {
        pages.open(told, Happening::CellsEmerged);
    }
}

fn cells(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    let some = |field: &str| fact.count(field).is_some_and(|count| count > 0);
    for colony in meant(h, fact) {
        let pages = h.diary.colonies.entry(colony).or_default();
        // A count on one bar says nothing of the others, so only a colony without any has none.
        let gone = fact.says("none") && bars_said(fact).is_none();
        let cut = some("cut") && !some("sealed") && !some("charged");
        if gone || cut {
            let because = if gone {
                "no cells left"
            } else {
                "the cells cut out"
            };
            pages.close(told, because, |event| {
                matches!(event.what, Happening::CellsSealed | Happening::CellsCharged)
            });
        }
        if some("charged") {
            pages.open(told, Happening::CellsCharged);
        }
        if some("sealed") {
            pages.open(told, Happening::CellsSealed);
        }
        if some("emerged") || some("torn") {
            emerged(pages, told);
        }
    }
}

fn queen(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    let gone = fact.says("gone");
    let given = fact.says("introduced") || fact.says("replaced");
    let laying = fact.says("laying");
    for colony in meant(h, fact) {
        let pages = h.diary.colonies.entry(colony).or_default();
        if gone {
            // What was waited for from an earlier day goes on from that day: its brood was the last.
            let waiting = pages.still_open().any(|event| event.what.waits_for_eggs());
            pages.close(told, "the queen gone", |event| {
                event.what == Happening::QueenGiven
            });
            if !waiting || pages.still_open().next().is_none() {
                pages.open(told, Happening::QueenGone);
            }
        }
        if given {
            pages.close(told, "a queen put in", |event| event.what.waits_for_eggs());
            pages.open(told, Happening::QueenGiven);
        }
        if laying {
            pages.queen = Some(seen(told, ()));
            pages.close(told, "a queen seen laying", |event| event.what.waits_for_eggs());
        } else if fact.says("seen") || fact.choice("colour").is_some() || fact.says("clipped") {
            pages.queen_seen(told);
        }
    }
}

fn split(h: &mut Holding, told: &Told<'_>, mother: Option<ColonyId>) {
    let fact = told.fact();
    let daughter = fact
        .name("colony")
        .or_else(|| fact.name("hive"))
        .and_then(|name| h.colony_named(name));
    let (mother_is, daughter_is) = match fact.choice("queen") {
        Some("moved") => (Some(Happening::SplitWithoutQueen), None),
        Some("stayed") => (None, Some(Happening::SplitWithoutQueen)),
        _ => (Some(Happening::SplitUnknown), Some(Happening::SplitUnknown)),
    };
    for (colony, what) in [(mother, mother_is), (daughter, daughter_is)] {
        if let (Some(colony), Some(what)) = (colony, what) {
            h.diary.colonies.entry(colony).or_default().open(told, what);
        }
    }
}

fn swarm(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    let place = || fact.text("where").map(str::to_owned);
    match fact.form {
        0 => {
            let weight = fact.reading("weight").map(|weight| weight.to_string());
            let taken = Some(seen(told, weight));
            let open = h.diary.calls.iter_mut().rfind(|call| {
                call.taken.is_none() && call.place.is_some() && call.place.as_deref() == fact.text("where")
            });
            match open {
                Some(call) => call.taken = taken,
                None => h.diary.calls.push(Call {
                    place: place().or_else(|| fact.text("from").map(str::to_owned)),
                    by: None,
                    called: None,
                    taken,
                    installed: None,
                }),
            }
        }
        1 => h.diary.calls.push(Call {
            place: place(),
            by: fact.text("by").map(str::to_owned),
            called: Some(seen(told, ())),
            taken: None,
            installed: None,
        }),
        _ => {
            for colony in meant(h, fact) {
                let pages = h.diary.colonies.entry(colony).or_default();
                pages.close(told, "the swarm gone", |event| {
                    matches!(event.what, Happening::CellsSealed | Happening::CellsCharged)
                });
                pages.open(told, Happening::SwarmGone);
            }
        }
    }
}

fn united(h: &mut Holding, told: &Told<'_>) {
    if let Some(into) = told.fact().name("into").and_then(|name| h.colony_named(name)) {
        h.diary
            .colonies
            .entry(into)
            .or_default()
            .close(told, "united with another colony", |event| {
                event.what.waits_for_eggs()
            });
    }
}

/// A swarm put into a hive on the day it was taken, or a few days later, from the place where it hung.
fn installed(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    if fact.choice("origin") != Some("swarm") {
        return;
    }
    let (Some(hive), Some(from)) = (fact.name("hive"), fact.text("from")) else {
        return;
    };
    let call = h.diary.calls.iter_mut().rfind(|call| {
        call.installed.is_none() && call.taken.is_some() && call.place.as_deref() == Some(from)
    });
    if let Some(call) = call {
        call.installed = Some(seen(told, hive.clone()));
    }
}

fn bait(diary: &mut Diary, told: &Told<'_>) {
    let fact = told.fact();
    let (Some(place), Some(what)) = (fact.text("where"), fact.choice("what")) else {
        return;
    };
    // A box set again at a place that was cleared is another one.
    let at = diary
        .baits
        .iter()
        .rposition(|bait| bait.place == place && (bait.removed.is_none() || what != "set"));
    let at = at.unwrap_or_else(|| {
        diary.baits.push(Bait {
            place: place.to_owned(),
            set: None,
            checked: None,
            taken: None,
            hive: None,
            removed: None,
            entries: Vec::new(),
        });
        diary.baits.len() - 1
    });
    let bait = &mut diary.baits[at];
    bait.entries.push(told.entry);
    if let Some(hive) = fact.name("hive") {
        bait.hive = Some(hive.clone());
    }
    match what {
        "set" => bait.set = Some(seen(told, ())),
        "checked" => bait.checked = Some(seen(told, fact.count("scouts"))),
        "taken" => bait.taken = Some(seen(told, ())),
        _ => bait.removed = Some(seen(told, ())),
    }
}

fn day_of(fact: &Fact, field: &str) -> Option<Date> {
    match fact.get(field) {
        Some(crate::note::Value::Day(day)) => Some(*day),
        _ => None,
    }
}

fn hazard(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    let yard = fact.name("yard").and_then(|name| h.ground.yard_labels.get(name));
    if let (Some(yard), Some(what)) = (yard, fact.text("what")) {
        h.diary.hazards.push(Hazard {
            yard,
            what: what.to_owned(),
            day: told.note.day,
            until: day_of(fact, "until"),
            entry: told.entry,
        });
    }
}

fn yard(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    let south = fact.shape().has("latitude") && fact.number("latitude").is_some_and(|degrees| degrees < 0.0);
    if let (true, Some(yard)) = (
        south,
        fact.name("yard").and_then(|name| h.ground.yard_labels.get(name)),
    ) {
        h.diary.southern.insert(yard);
    }
}

fn sign(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    let hive = match bars_said(fact) {
        Some(bars) => h.bars_of(bars).first().map(|bar| bar.hive),
        None => meant(h, fact).first().map(|colony| h.colonies[*colony].hive),
    };
    if let (Some(hive), Some(what)) = (hive, fact.text("what")) {
        h.diary.signs.push(Sign {
            hive,
            what: what.to_owned(),
            day: told.note.day,
            entry: told.entry,
        });
    }
}

fn apart(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    let Some(hive) = fact.name("hive").and_then(|name| h.hive_labels.get(name)) else {
        return;
    };
    if fact.form == 2 {
        h.diary.apart.insert(hive, told.entry);
    } else if fact.form == 1 {
        h.diary.lifted.insert(hive, (told.note.day, told.entry));
        h.diary.apart.remove(&hive);
    }
}
