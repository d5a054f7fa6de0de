//! Yards, patterns and hives as they stand on a day.

use crate::arena::{Arena, BarId, Labels, PatternId, YardId};
use crate::colony::look::HiveLook;
use crate::complaint::{Misgiving, Weight};
use crate::history::push_once;
use crate::holding::Holding;
use crate::note::{Fact, Name};
use crate::told::{Changes, Told};

use super::pattern::{self, Pattern};
use super::workshop;

/// A place where hives stand.
#[derive(Clone, Debug)]
pub struct Yard {
    /// Its label.
    pub label: Name,
    /// The entry that made it known.
    pub made_by: usize,
    /// Given up.
    pub closed: bool,
    /// The entries that name it, in the order of the notes.
    pub entries: Vec<usize>,
}

/// A box with places for bars, or a store in which combs hang without bees.
#[derive(Clone, Debug)]
pub struct Hive {
    /// Its label.
    pub label: Name,
    /// The entry that made it known.
    pub made_by: usize,
    /// Where it stands; a store stands nowhere.
    pub yard: Option<YardId>,
    /// What it was built after.
    pub pattern: Option<PatternId>,
    /// How many places it has; a store has as many as it needs.
    pub capacity: Option<u16>,
    /// The bars by their places, the first at place 1.
    pub bars: Vec<BarId>,
    /// Followers, each by the place that it stands before, rising.
    pub followers: Vec<u16>,
    /// Sold or otherwise gone.
    pub gone: bool,
    /// Kept apart.
    pub quarantined: bool,
    /// The entries that name it, its bars or a tag that hangs in it, in the order of the notes; the one that made it
    /// known comes first.
    pub entries: Vec<usize>,
    /// The last look at it as a whole.
    pub look: Option<HiveLook>,
    pub(crate) changes: Changes,
}

impl Hive {
    /// The bar at a place.
    pub fn bar_at(&self, place: u16) -> Option<BarId> {
        self.bars.get(usize::from(place).checked_sub(1)?).copied()
    }

    /// How many places there are now.
    pub fn places(&self) -> u16 {
        u16::try_from(self.bars.len()).unwrap_or(u16::MAX)
    }

    /// Whether combs hang here without bees.
    pub fn is_store(&self) -> bool {
        self.capacity.is_none()
    }
}

/// Yards and patterns.
#[derive(Clone, Debug, Default)]
pub struct Ground {
    /// The farm's name, where it was said.
    pub farm: Option<String>,
    /// All yards.
    pub yards: Arena<YardId, Yard>,
    /// Their labels.
    pub yard_labels: Labels<YardId>,
    /// All patterns.
    pub patterns: Arena<PatternId, Pattern>,
    /// Their labels.
    pub pattern_labels: Labels<PatternId>,
}

pub(crate) fn misgivings(h: &Holding, fact: &Fact, out: &mut Vec<Misgiving>) {
    let impossible = match fact.word() {
        "yard" => {
            let beyond = |(field, most): &(&str, f64)| {
                fact.shape().has(field) && fact.number(field).is_some_and(|degrees| degrees.abs() > *most)
            };
            let says = "latitude lies between −90 and 90, longitude between −180 and 180";
            let mut ends = [("latitude", 90.0), ("longitude", 180.0)].into_iter();
            ends.find(beyond).map(|(field, _)| (field, says.to_owned()))
        }
        "hive" => {
            let fits = |count: &u32| (1..=u32::from(crate::note::MOST_PLACES)).contains(count);
            let count = fact.count("bars").filter(|count| !fits(count));
            let says = |count| format!("a hive has 1 to {} bars, not {count}", crate::note::MOST_PLACES);
            count.map(|count| ("bars", says(count)))
        }
        "pattern" => return pattern::misgivings(fact, out),
        "timber" | "sawn" => return workshop::misgivings(h, fact, out),
        "tag" => {
            let several = fact.bars("bars").is_some_and(|bars| h.bars_of(bars).len() > 1);
            several.then(|| ("bars", "a tag is for one bar".to_owned()))
        }
        _ => None,
    };
    out.extend(impossible.map(|(field, says)| Misgiving::new(Weight::Impossible, says).on(field)));
}

pub(crate) fn fold(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    match fact.word() {
        "farm" => h.ground.farm = fact.text("name").map(str::to_owned),
        "yard" => yard(h, told),
        "pattern" => pattern::fold(h, told),
        "timber" | "sawn" | "build" => workshop::fold(h, told),
        "hive" => hive(h, told),
        "tag" => tag(h, told),
        "carry" => {
            let yard = fact.name("yard").and_then(|name| h.ground.yard_labels.get(name));
            if let Some(hive) = fact.name("hive").and_then(|name| h.hive_labels.get(name)) {
                h.hives[hive].yard = yard.or(h.hives[hive].yard);
            }
        }
        "rename" => rename(h, told),
        _ => {}
    }
}

fn yard(h: &mut Holding, told: &Told<'_>) {
    let Some(label) = told.fact().name("yard") else {
        return;
    };
    if told.fact().form == 0 {
        if let Some(id) = h.ground.yard_labels.get(label) {
            h.ground.yards[id].closed = true;
        }
        return;
    }
    let id = h.ground.yards.add(Yard {
        label: label.clone(),
        made_by: told.entry,
        closed: false,
        entries: vec![told.entry],
    });
    h.ground.yard_labels.give(label, id, told.entry);
}

fn hive(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    let (Some(label), Some(count)) = (fact.name("hive"), fact.count("bars")) else {
        return;
    };
    let capacity = u16::try_from(count)
        .unwrap_or(u16::MAX)
        .min(crate::note::MOST_PLACES);
    let bars: Vec<BarId> = (0..capacity).map(|_| h.bare_bar()).collect();
    let hive = Hive {
        label: label.clone(),
        made_by: told.entry,
        yard: fact.name("yard").and_then(|name| h.ground.yard_labels.get(name)),
        pattern: fact
            .name("pattern")
            .and_then(|name| h.ground.pattern_labels.get(name)),
        capacity: Some(capacity),
        bars: bars.clone(),
        followers: Vec::new(),
        gone: false,
        quarantined: false,
        entries: vec![told.entry],
        look: None,
        changes: Changes::default(),
    };
    let id = h.hives.add(hive);
    for bar in bars {
        h.bars[bar].hive = Some(id);
    }
    h.hive_labels.give(label, id, told.entry);
}

fn tag(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    let Some(tag) = fact.name("tag") else { return };
    let Some(bar) = fact
        .bars("bars")
        .and_then(|bars| h.bars_of(bars).first().copied())
    else {
        return;
    };
    h.bars[bar.bar].tag = Some(tag.clone());
    h.tags.give(tag, bar.bar, told.entry);
}

fn rename(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    let pair = |from: &str, to: &str| Some((fact.name(from)?.clone(), fact.name(to)?.clone()));
    let entry = told.entry;
    if let Some((from, to)) = pair("hive", "hive_to") {
        if let Some(id) = h.hive_labels.get(&from) {
            h.hives[id].label = to.clone();
            // A colony that bears its hive's name follows it.
            if let Some(colony) = h
                .colony_labels
                .get(&from)
                .filter(|colony| h.colonies[*colony].hive == id)
            {
                h.colonies[colony].label = to.clone();
                push_once(&mut h.colonies[colony].entries, entry);
                h.colony_labels.rename(&from, &to, entry);
            }
        }
        h.hive_labels.rename(&from, &to, entry);
    } else if let Some((from, to)) = pair("colony", "colony_to") {
        if let Some(id) = h.colony_labels.get(&from) {
            h.colonies[id].label = to.clone();
        }
        h.colony_labels.rename(&from, &to, entry);
    } else if let Some((from, to)) = pair("yard", "yard_to") {
        if let Some(id) = h.ground.yard_labels.get(&from) {
            h.ground.yards[id].label = to.clone();
        }
        h.ground.yard_labels.rename(&from, &to, entry);
    } else if let Some((from, to)) = pair("pattern", "pattern_to") {
        if let Some(id) = h.ground.pattern_labels.get(&from) {
            h.ground.patterns[id].label = to.clone();
        }
        h.ground.pattern_labels.rename(&from, &to, entry);
    } else if let Some((from, to)) = pair("container", "container_to") {
        if let Some(id) = h.house.vessel_labels.get(&from) {
            h.house.vessels[id].label = to.clone();
        }
        h.house.vessel_labels.rename(&from, &to, entry);
    } else if let Some((from, to)) = pair("tag", "tag_to") {
        if let Some(id) = h.tags.get(&from) {
            h.bars[id].tag = Some(to.clone());
        }
        h.tags.rename(&from, &to, entry);
    } else if let Some((from, to)) = pair("lot", "lot_to") {
        if let Some(id) = h.stock.lot_labels.get(&from) {
            h.stock.lots[id].label = to.clone();
        }
        h.stock.lot_labels.rename(&from, &to, entry);
    }
}
