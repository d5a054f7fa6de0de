//! Bees, bars and combs as they stand on a day.
//!
//! Holds true: a bar that leaves a hive is replaced at its place by a bare one, so nothing renumbers by
//! taking; only `add` and a `shift` do. A comb keeps its identity wherever its bar goes. A hive outlives
//! its colony, and two colonies may share one with a follower between.

use jiff::civil::Date;
use quantity::Length;

use super::diary::{Seen, seen};
use super::look::{self, Face, Said};
use crate::arena::{BarId, ColonyId, CombId, HiveId, PatternId};
use crate::ground::state::Hive;
use crate::history::push_once;
use crate::holding::{Holding, Hung};
use crate::note::Name;
use crate::told::{Changes, Told};

/// A bar.
#[derive(Clone, Debug)]
pub struct Bar {
    /// Its own tag, if it has one.
    pub tag: Option<Name>,
    /// The comb that hangs from it.
    pub comb: Option<CombId>,
    /// Where it hangs; nowhere once it is sold.
    pub hive: Option<HiveId>,
    /// The entry of the last look at it, bare or not, since it hangs where it does or its comb was cut.
    pub last_look: Option<usize>,
}

/// Where a comb hung, and from when.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Hanging {
    /// The day from which it hung there.
    pub day: Date,
    /// The note that put it there; for the first, the one that made the comb known.
    pub entry: usize,
    /// The hive or store.
    pub hive: HiveId,
    /// Its place there, as places were counted on that day.
    pub place: u16,
}

/// A comb, from the first look that saw it to its cutting.
#[derive(Clone, Debug)]
pub struct Comb {
    /// The day it was first seen drawn; unknown for combs that were there before the books.
    pub since: Option<Date>,
    /// How far it was drawn when last said, as a share of the full outline.
    pub drawn: Option<f64>,
    /// What is left of it after part was cut, as a share of what was drawn.
    pub left: f64,
    /// The entry of the last look, by its place in the books.
    pub last_look: Option<usize>,
    /// The day of the last look.
    pub looked_on: Option<Date>,
    /// Of one face alone the last look tells what is on it.
    pub one_face: bool,
    /// The shares that the last look said, by the words of the note; both faces together, and with what a look
    /// `as before` kept.
    pub shares: Vec<Said>,
    /// A fault found and not yet mended, with the last note that names it.
    pub fault: Option<Seen<&'static str>>,
    /// The looks whose words tell what it is like: the last that told it, and those that added to it as before or for
    /// the other face.
    pub said_by: Vec<usize>,
    /// All looks at it, in the order of the notes.
    pub looks: Vec<usize>,
    /// Where it hung from when; the first is where it began, the last where it hangs or hung last. Places counted anew
    /// because bars were put in before it are among them.
    pub moved: Vec<Hanging>,
    /// All notes that measured it.
    pub measures: Vec<usize>,
    /// Its thickness, as last measured.
    pub thickness: Option<Length>,
    /// The width of a worker cell, as last measured by the ten-cell rule: the mean of the axes.
    pub worker_cell: Option<Length>,
    /// The share of drone cells, as last measured.
    pub drone_share: Option<f64>,
    /// How many turns of worker brood were seen in it: looks with brood at least 21 days apart. There were at least
    /// so many; how many more nobody saw.
    pub brood_turns: u16,
    /// The last day that worker brood was seen in it.
    pub brood_last: Option<Date>,
    /// The day, and the note, by which it was cut off or left the farm.
    pub ended: Option<(Date, usize)>,
    pub(crate) brood_counted: Option<Date>,
    /// What was said of one face on a day, until the other's look comes.
    pub(crate) face: Option<Face>,
}

/// How a colony ended.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum End {
    /// Dead or gone, with the cause where it was said.
    Lost(Option<String>),
    /// Joined to another.
    United(ColonyId),
    /// Sold.
    Sold,
}

/// Bees that live together.
#[derive(Clone, Debug)]
pub struct Colony {
    /// Its label.
    pub label: Name,
    /// The hive it lives in, or last lived in.
    pub hive: HiveId,
    /// The first of its places.
    pub from: u16,
    /// The day it began.
    pub since: Date,
    /// What it came from, in the words of the note.
    pub origin: String,
    /// When and how it ended.
    pub ended: Option<(Date, End)>,
    /// Days on which a swarm left it.
    pub swarmed: Vec<Date>,
    /// The last day it was looked at.
    pub last_look: Option<Date>,
    /// The entries that name it, by its own name or by its hive's where bees are meant, in the order of the notes;
    /// the one with which it began comes first.
    pub entries: Vec<usize>,
}

impl Colony {
    /// Whether it is still there.
    pub fn lives(&self) -> bool {
        self.ended.is_none()
    }
}

pub(crate) fn fold(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    match fact.word() {
        "install" => install(h, told),
        "look" => look::look(h, told),
        "measure" => look::measure(h, told),
        "jot" => look::jot(h, told),
        "add" => add(h, told),
        "shift" => shift(h, told),
        "split" => split(h, told),
        "store" => put_in_store(h, told),
        "quarantine" => quarantine(h, told),
        "follower" => follower(h, told),
        "unite" => unite(h, told),
        "swarm" => swarm(h, told),
        "lost" => {
            let cause = fact.text("cause").map(str::to_owned);
            end_colony(h, told, fact.name("colony"), End::Lost(cause));
        }
        "fault" => on_combs(h, told, |comb| {
            comb.fault = told.fact().choice("fault").map(|fault| seen(told, fault));
        }),
        "mend" => on_combs(h, told, |comb| comb.fault = None),
        "weigh" => crate::honey::state::fold(h, told),
        _ => {}
    }
}

fn on_combs(h: &mut Holding, told: &Told<'_>, change: impl Fn(&mut Comb)) {
    for bar in told
        .fact()
        .bars("bars")
        .map(|bars| h.bars_of(bars))
        .unwrap_or_default()
    {
        let comb = comb_on(h, told, bar.bar, None);
        change(&mut h.combs[comb]);
    }
}

/// The comb on a bar; one that nobody has seen begins so that it can be spoken of.
pub(crate) fn comb_on(h: &mut Holding, told: &Told<'_>, bar: BarId, since: Option<Date>) -> CombId {
    if let Some(comb) = h.bars[bar].comb {
        return comb;
    }
    let began = h.where_is(bar).map(|hung| Hanging {
        day: told.note.day,
        entry: told.entry,
        hive: hung.hive,
        place: hung.place,
    });
    let comb = h.combs.add(Comb {
        since,
        drawn: None,
        left: 1.0,
        last_look: None,
        looked_on: None,
        one_face: false,
        shares: Vec::new(),
        fault: None,
        said_by: Vec::new(),
        looks: Vec::new(),
        moved: began.into_iter().collect(),
        measures: Vec::new(),
        thickness: None,
        worker_cell: None,
        drone_share: None,
        brood_turns: 0,
        brood_last: None,
        ended: None,
        brood_counted: None,
        face: None,
    });
    h.bars[bar].comb = Some(comb);
    comb
}

/// Writes down where the combs of a hive hang after a note has moved some of them.
fn hang_anew(h: &mut Holding, told: &Told<'_>, hive: HiveId) {
    for (bar, place) in h.hives[hive].bars.iter().zip(1u16..) {
        let Some(comb) = h.bars[*bar].comb else { continue };
        let moved = &mut h.combs[comb].moved;
        let is_there = moved
            .last()
            .is_some_and(|last| last.hive == hive && last.place == place);
        if !is_there {
            moved.push(Hanging {
                day: told.note.day,
                entry: told.entry,
                hive,
                place,
            });
        }
    }
}

/// A comb is cut off, or leaves the farm with its bar.
pub(crate) fn end_comb(h: &mut Holding, told: &Told<'_>, bar: BarId) {
    if let Some(comb) = h.bars[bar].comb {
        h.combs[comb].ended = Some((told.note.day, told.entry));
    }
}

pub(crate) fn begin_colony(
    h: &mut Holding,
    told: &Told<'_>,
    hive: HiveId,
    from: u16,
    name: &Name,
    origin: &str,
) {
    if let Some(colony) = h.colony_at(hive, from) {
        // The bees join the colony that lives there; a misgiving has said so.
        let joined = &mut h.colonies[colony];
        joined.last_look = Some(told.note.day);
        push_once(&mut joined.entries, told.entry);
        return;
    }
    let colony = Colony {
        label: name.clone(),
        hive,
        from,
        since: told.note.day,
        origin: origin.to_owned(),
        ended: None,
        swarmed: Vec::new(),
        last_look: None,
        entries: vec![told.entry],
    };
    let id = h.colonies.add(colony);
    h.colony_labels.give(name, id, told.entry);
}

/// The first place of the part of a hive that bees are put into: the one asked for, else the first part
/// between followers in which no colony lives.
pub(super) fn first_place_for_bees(h: &Holding, hive: HiveId, asked: Option<u32>) -> u16 {
    let starts = std::iter::once(1).chain(h.hives[hive].followers.iter().copied());
    if let Some(asked) = asked.and_then(|place| u16::try_from(place).ok()) {
        return starts.filter(|start| *start <= asked).max().unwrap_or(1);
    }
    let free = starts.clone().find(|start| h.colony_at(hive, *start).is_none());
    free.unwrap_or(1)
}

fn install(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    let Some(label) = fact.name("hive") else { return };
    let Some(hive) = h.hive_labels.get(label) else {
        return;
    };
    let from = first_place_for_bees(h, hive, fact.count("at"));
    let name = fact.name("colony").unwrap_or(label);
    let origin = match (fact.choice("origin"), fact.text("from")) {
        (Some(origin), Some(place)) => format!("{origin} from {place}"),
        (origin, _) => origin.unwrap_or_default().to_owned(),
    };
    begin_colony(h, told, hive, from, name, &origin);
    let drawn = fact.count("drawn").unwrap_or(0);
    draw(h, told, hive, from, drawn, Some(told.note.day));
}

/// Drawn combs on the first places from one on.
pub(crate) fn draw(
    h: &mut Holding,
    told: &Told<'_>,
    hive: HiveId,
    from: u16,
    count: u32,
    since: Option<Date>,
) {
    let first = usize::from(from) - 1;
    let bars: Vec<BarId> = h.hives[hive]
        .bars
        .iter()
        .skip(first)
        .take(count as usize)
        .copied()
        .collect();
    for bar in bars {
        let comb = comb_on(h, told, bar, since);
        h.combs[comb].drawn = Some(1.0);
    }
}

fn add(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    let Some(hive) = fact.name("hive").and_then(|name| h.hive_labels.get(name)) else {
        return;
    };
    let (Some(count), Some(at)) = (fact.count("count"), fact.count("at")) else {
        return;
    };
    let bars: Vec<BarId> = (0..count.min(u32::from(h.hives[hive].places())))
        .map(|_| h.bare_bar())
        .collect();
    insert(h, told, hive, at, &bars);
}

/// Bars put in at a place: what stood there and behind moves back, bare bars at the far end go out, and
/// followers and colonies behind move along. Returns the place of the first.
fn insert(h: &mut Holding, told: &Told<'_>, hive: HiveId, at: u32, bars: &[BarId]) -> u16 {
    let capacity = h.hives[hive].capacity.map(usize::from);
    let at = (at.max(1) as usize - 1).min(h.hives[hive].bars.len());
    for bar in bars {
        h.bars[*bar].hive = Some(hive);
    }
    h.hives[hive].bars.splice(at..at, bars.iter().copied());
    if let Some(capacity) = capacity {
        let pushed_out = drop_bare_bars(h, hive, capacity, at + bars.len());
        if !pushed_out.is_empty() {
            let spares = store_named(h, told, &Name::new_static(SPARES), None);
            h.hives[spares].bars.extend(&pushed_out);
            for bar in pushed_out {
                h.bars[bar].hive = Some(spares);
            }
        }
    }
    let place = u16::try_from(at + 1).unwrap_or(u16::MAX);
    let by = u16::try_from(bars.len()).unwrap_or(0);
    let last = h.hives[hive].places();
    let followers = h.hives[hive]
        .followers
        .iter()
        .map(|f| if *f > place { (f + by).min(last + 1) } else { *f });
    h.hives[hive].followers = followers.collect();
    let behind: Vec<ColonyId> = h
        .living_in(hive)
        .filter(|colony| h.colonies[*colony].from > place)
        .collect();
    for colony in behind {
        h.colonies[colony].from += by;
    }
    h.hives[hive].changes.push(told, place, u16::MAX);
    hang_anew(h, told, hive);
    place
}

/// The store that bare bars go to when they are pushed out of a hive.
const SPARES: &str = "spares";

/// Takes bare bars off the far end, but none of the first so many, until the hive holds as many as it can. A comb
/// is never dropped: where one was pushed beyond the end (the keeper insisted), the hive has a place more.
fn drop_bare_bars(h: &mut Holding, hive: HiveId, capacity: usize, keep: usize) -> Vec<BarId> {
    let mut dropped = Vec::new();
    while h.hives[hive].bars.len() > capacity.max(keep) {
        let bars = &h.hives[hive].bars;
        let Some(at) = bars[keep..].iter().rposition(|bar| h.bars[*bar].comb.is_none()) else {
            break;
        };
        dropped.push(h.hives[hive].bars.remove(keep + at));
    }
    dropped
}

/// Bars taken out of their hives, bare bars left in their places. A store closes the gap.
pub(crate) fn take_out(h: &mut Holding, told: &Told<'_>, bars: &[Hung]) -> Vec<BarId> {
    for hung in bars {
        h.hives[hung.hive].changes.push(told, hung.place, hung.place);
        if h.hives[hung.hive].is_store() {
            h.hives[hung.hive].bars.retain(|bar| *bar != hung.bar);
            hang_anew(h, told, hung.hive);
        } else {
            let bare = h.bare_bar();
            h.bars[bare].hive = Some(hung.hive);
            h.hives[hung.hive].bars[usize::from(hung.place) - 1] = bare;
        }
        h.bars[hung.bar].hive = None;
    }
    bars.iter().map(|hung| hung.bar).collect()
}

fn shift(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    let Some(bars) = fact.bars("bars") else { return };
    let Some(at) = fact.count("at") else { return };
    let hung = h.bars_of(bars);
    let Some(first) = hung.first().copied() else {
        return;
    };
    let target = match fact.name("hive") {
        Some(name) => h.hive_labels.get(name),
        None => Some(first.hive),
    };
    match target {
        Some(target) if target == first.hive => move_within(h, told, target, &hung, at),
        Some(target) => {
            let bars = take_out(h, told, &hung);
            insert(h, told, target, at, &bars);
        }
        None => {}
    }
}

/// Combs moved within a hive: they stand from the new place on, in the order said; those between move up.
fn move_within(h: &mut Holding, told: &Told<'_>, hive: HiveId, hung: &[Hung], at: u32) {
    let at = u16::try_from(at)
        .unwrap_or(u16::MAX)
        .clamp(1, h.hives[hive].places());
    let places = hung.iter().map(|bar| bar.place);
    let low = places.clone().chain([at]).min().unwrap_or(at);
    let count = u16::try_from(hung.len()).unwrap_or(1);
    let high = places.chain([at + (count - 1)]).max().unwrap_or(at);
    let moved: Vec<BarId> = hung.iter().map(|bar| bar.bar).collect();
    let list = &mut h.hives[hive].bars;
    list.retain(|bar| !moved.contains(bar));
    let index = (usize::from(at) - 1).min(list.len());
    list.splice(index..index, moved);
    h.hives[hive].changes.push(told, low, high);
    hang_anew(h, told, hive);
}

fn split(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    let Some(label) = fact.name("hive") else { return };
    let Some(hive) = h.hive_labels.get(label) else {
        return;
    };
    let hung = fact.bars("bars").map(|bars| h.bars_of(bars)).unwrap_or_default();
    let origin = hung
        .first()
        .and_then(|bar| h.colony_at(bar.hive, bar.place))
        .map(|id| h.colonies[id].label.clone());
    for bar in &hung {
        comb_on(h, told, bar.bar, None);
    }
    let bars = take_out(h, told, &hung);
    let behind_last = last_comb(h, hive) + 1;
    let at = insert(
        h,
        told,
        hive,
        fact.count("at").unwrap_or(u32::from(behind_last)),
        &bars,
    );
    let from = first_place_for_bees(h, hive, Some(u32::from(at)));
    let origin = origin.map_or_else(|| "split".to_owned(), |mother| format!("split from {mother}"));
    begin_colony(h, told, hive, from, fact.name("colony").unwrap_or(label), &origin);
}

/// The place of the last comb in a hive, 0 if none hangs there.
pub(super) fn last_comb(h: &Holding, hive: HiveId) -> u16 {
    let last = h.hives[hive]
        .bars
        .iter()
        .rposition(|bar| h.bars[*bar].comb.is_some());
    last.and_then(|at| u16::try_from(at + 1).ok()).unwrap_or(0)
}

fn put_in_store(h: &mut Holding, told: &Told<'_>) {
    let Some(label) = told.fact().name("store") else {
        return;
    };
    let hung = told
        .fact()
        .bars("bars")
        .map(|bars| h.bars_of(bars))
        .unwrap_or_default();
    for bar in &hung {
        comb_on(h, told, bar.bar, None);
    }
    let bars = take_out(h, told, &hung);
    let pattern = hung.first().and_then(|bar| h.hives[bar.hive].pattern);
    let store = store_named(h, told, label, pattern);
    let end = h.hives[store].bars.len() as u32 + 1;
    insert(h, told, store, end, &bars);
}

/// The store of that name; it is there from its first bar on.
fn store_named(h: &mut Holding, told: &Told<'_>, label: &Name, pattern: Option<PatternId>) -> HiveId {
    h.hive_labels.get(label).unwrap_or_else(|| {
        let store = Hive {
            label: label.clone(),
            made_by: told.entry,
            yard: None,
            pattern,
            capacity: None,
            bars: Vec::new(),
            followers: Vec::new(),
            gone: false,
            quarantined: false,
            entries: vec![told.entry],
            look: None,
            changes: Changes::default(),
        };
        let id = h.hives.add(store);
        h.hive_labels.give(label, id, told.entry);
        id
    })
}

fn quarantine(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    if fact.form == 0 {
        return put_in_store(h, told);
    }
    if let Some(hive) = fact.name("hive").and_then(|name| h.hive_labels.get(name)) {
        h.hives[hive].quarantined = fact.form == 2;
    }
}

fn follower(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    let Some(hive) = fact.name("hive").and_then(|name| h.hive_labels.get(name)) else {
        return;
    };
    let place = |field| fact.count(field).and_then(|place| u16::try_from(place).ok());
    let to = place("at");
    let followers = &h.hives[hive].followers;
    let from = match (place("from"), to) {
        (Some(from), _) => Some(from),
        _ if fact.form == 0 && fact.says("second") => None,
        // A note that does not say which follower means the only one, or the nearest.
        (None, Some(to)) => followers
            .iter()
            .copied()
            .min_by_key(|follower| follower.abs_diff(to)),
        (None, None) => followers.last().copied(),
    };
    let hive_mut = &mut h.hives[hive];
    if let Some(from) = from {
        hive_mut.followers.retain(|follower| *follower != from);
    }
    if let Some(to) = to {
        let last = hive_mut.places();
        hive_mut.followers.push(to.clamp(1, last + 1));
        hive_mut.followers.sort_unstable();
        hive_mut.followers.dedup();
    }
    // A colony that began behind the follower goes with it.
    if let (Some(from), Some(to)) = (from, to) {
        let moved: Vec<ColonyId> = h
            .living_in(hive)
            .filter(|colony| h.colonies[*colony].from == from && from > 1)
            .collect();
        for colony in moved {
            h.colonies[colony].from = to;
        }
    }
}

fn end_colony(h: &mut Holding, told: &Told<'_>, name: Option<&Name>, end: End) {
    if let Some(colony) = name
        .and_then(|name| h.colony_named(name))
        .filter(|colony| h.colonies[*colony].lives())
    {
        h.colonies[colony].ended = Some((told.note.day, end));
    }
}

fn unite(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    let Some(into) = fact.name("into").and_then(|name| h.colony_named(name)) else {
        return;
    };
    end_colony(h, told, fact.name("from"), End::United(into));
}

fn swarm(h: &mut Holding, told: &Told<'_>) {
    if let Some(colony) = told.fact().name("colony").and_then(|name| h.colony_named(name)) {
        h.colonies[colony].swarmed.push(told.note.day);
    }
}

/// A nucleus, a colony or a hive goes to somebody else.
pub(crate) fn sold(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    if let Some(bars) = fact.bars("bars") {
        let hung = h.bars_of(bars);
        for bar in &hung {
            end_comb(h, told, bar.bar);
        }
        take_out(h, told, &hung);
    } else if fact.name("colony").is_some() && fact.shape().subject.len() == 2 {
        end_colony(h, told, fact.name("colony"), End::Sold);
    } else if let Some(hive) = fact.name("hive").and_then(|name| h.hive_labels.get(name)) {
        h.hives[hive].gone = true;
        let living: Vec<ColonyId> = h.living_in(hive).collect();
        for colony in living {
            h.colonies[colony].ended = Some((told.note.day, End::Sold));
        }
    }
}
