//! The holding: the state of the whole farm on a day, folded from the notes that stand.
//!
//! Holds true: the same notes give the same holding, whatever order they came in. Folding never fails:
//! a note that makes no sense becomes a [`Complaint`] and changes as little as it can.
//!
//! Does not: know today, read files, choose for the keeper.
//!
//! Start at [`Holding::fold`]; each topic folds its own verbs in its `state.rs`.

use jiff::civil::Date;
use quantity::Area;

use crate::arena::{Arena, BarId, ColonyId, CombId, HiveId, Labels};
use crate::colony::diary::{self, Diary};
use crate::colony::look::Jot;
use crate::colony::state::{Bar, Colony, Comb};
use crate::complaint::{Complaint, Misgiving, Weight};
use crate::ground::state::{Ground, Hive};
use crate::ground::workshop::Workshop;
use crate::honey::state::House;
use crate::money::state::Purse;
use crate::note::{Bars, Topic};
use crate::sameday::SameDay;
use crate::told::Told;
use crate::trade::state::Stock;

/// The state of the whole farm on a day.
#[derive(Clone, Debug, Default)]
pub struct Holding {
    /// Yards and patterns.
    pub ground: Ground,
    /// Wood, boards on offer, and what was built.
    pub workshop: Workshop,
    /// Hives, and stores in which combs hang.
    pub hives: Arena<HiveId, Hive>,
    /// Labels of hives and stores.
    pub hive_labels: Labels<HiveId>,
    /// Bars.
    pub bars: Arena<BarId, Bar>,
    /// Tags of bars.
    pub tags: Labels<BarId>,
    /// Combs.
    pub combs: Arena<CombId, Comb>,
    /// Colonies, living and gone.
    pub colonies: Arena<ColonyId, Colony>,
    /// Labels of colonies.
    pub colony_labels: Labels<ColonyId>,
    /// Words kept as they came, in the order of the notes.
    pub jots: Vec<Jot>,
    /// Containers and what they hold.
    pub house: House,
    /// Lots and goods.
    pub stock: Stock,
    /// Cash, costs, hours.
    pub purse: Purse,
    /// What dates and rounds follow from.
    pub diary: Diary,
    /// The entries that say that the honey flow begins or ends, in the order of the notes.
    pub flows: Vec<usize>,
    /// What is odd, in the order of the notes.
    pub complaints: Vec<Complaint>,
    /// How many notes were folded.
    pub notes: usize,
    /// The last day folded.
    pub day: Option<Date>,
    sameday: SameDay,
}

/// A bar as a note names it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Hung {
    /// The hive or store that it hangs in.
    pub(crate) hive: HiveId,
    /// Its place there.
    pub(crate) place: u16,
    /// The bar.
    pub(crate) bar: BarId,
}

impl Holding {
    /// Takes one more note in. Notes come in the order of their days.
    pub fn fold(&mut self, told: &Told<'_>) {
        self.day = Some(told.note.day);
        self.notes += 1;
        if let Some((other, thing)) = self.sameday.meet(told) {
            let says = format!(
                "which came first on {}? The order of these two matters to {thing}, and neither says an hour",
                told.note.day
            );
            self.complaints.push(Complaint {
                about: vec![told.entry, other],
                says,
                hint: Some("correct one of them with its hour".to_owned()),
            });
        }
        for misgiving in self.misgivings(told.note) {
            self.take_misgiving(told, misgiving);
        }
        crate::late::check(self, told);
        crate::history::before(self, told);
        let mother = diary::mother(self, told);
        match told.fact().verb.topic {
            Topic::Ground => crate::ground::state::fold(self, told),
            Topic::Colony => crate::colony::state::fold(self, told),
            Topic::Honey => crate::honey::state::fold(self, told),
            Topic::Wax => crate::wax::state::fold(self, told),
            Topic::Goods => crate::goods::state::fold(self, told),
            Topic::Trade => crate::trade::state::fold(self, told),
            Topic::Money => crate::money::state::fold(self, told),
            Topic::Place if told.fact().word() == "flow" => self.flows.push(told.entry),
            Topic::Health | Topic::Place | Topic::Proof => {}
        }
        diary::fold(self, told, mother);
        crate::history::after(self, told);
    }

    /// What is odd about a note, were it to follow now. The same doubts refuse it at the desk and become
    /// complaints where it stands.
    pub fn misgivings(&self, note: &crate::note::Note) -> Vec<Misgiving> {
        let mut out = Vec::new();
        let fact = &note.fact;
        crate::names::check(self, fact, &mut out);
        match fact.verb.topic {
            Topic::Ground => crate::ground::state::misgivings(self, fact, &mut out),
            Topic::Health => crate::colony::misgivings::colony_is_gone(self, fact, &mut out),
            Topic::Place => crate::place::state::misgivings(fact, &mut out),
            Topic::Proof => {}
            Topic::Colony => crate::colony::misgivings::misgivings(self, fact, &mut out),
            Topic::Honey | Topic::Wax => crate::honey::misgivings::misgivings(self, fact, &mut out),
            Topic::Goods => crate::goods::state::misgivings(self, fact, &mut out),
            Topic::Money if fact.word() == "offcut" => {
                crate::ground::workshop::misgivings(self, fact, &mut out);
            }
            Topic::Trade | Topic::Money => crate::trade::state::misgivings(self, fact, &mut out),
        }
        out
    }

    /// Writes down something odd about a note that stands.
    pub(crate) fn complain(
        &mut self,
        told: &Told<'_>,
        says: impl Into<String>,
        hint: Option<String>,
        others: &[usize],
    ) {
        let mut about = vec![told.entry];
        about.extend(others.iter().filter(|other| **other != told.entry));
        self.complaints.push(Complaint {
            about,
            says: says.into(),
            hint,
        });
    }

    fn take_misgiving(&mut self, told: &Told<'_>, misgiving: Misgiving) {
        if misgiving.weight > Weight::Remark {
            self.complain(told, misgiving.says, misgiving.hint, &misgiving.about);
        }
    }

    /// The bars that a note means, as of now. A place that the hive has not got is left out.
    pub(crate) fn bars_of(&self, bars: &Bars) -> Vec<Hung> {
        match bars {
            Bars::Places { hive, places } => {
                let Some(hive) = self.hive_labels.get(hive) else {
                    return Vec::new();
                };
                let at = |place| {
                    self.hives[hive]
                        .bar_at(place)
                        .map(|bar| Hung { hive, place, bar })
                };
                places.iter().filter_map(at).collect()
            }
            Bars::Tagged(tag) => self
                .tags
                .get(tag)
                .and_then(|bar| self.where_is(bar))
                .into_iter()
                .collect(),
        }
    }

    /// Where a bar hangs; nowhere once it is sold.
    pub(crate) fn where_is(&self, bar: BarId) -> Option<Hung> {
        let hive = self.bars[bar].hive?;
        let at = self.hives[hive].bars.iter().position(|other| *other == bar)?;
        Some(Hung {
            hive,
            place: u16::try_from(at + 1).ok()?,
            bar,
        })
    }

    pub(crate) fn bare_bar(&mut self) -> BarId {
        self.bars.add(Bar {
            tag: None,
            comb: None,
            hive: None,
            last_look: None,
        })
    }

    /// One face of a full comb in a hive, inside the bee space, where its pattern tells.
    pub fn comb_area(&self, hive: HiveId) -> Option<Area> {
        self.hives[hive]
            .pattern
            .and_then(|pattern| self.ground.patterns[pattern].comb)
    }

    /// The colony that a note means: by its own name, or the one that lives in the hive of that name.
    pub fn colony_named(&self, name: &str) -> Option<ColonyId> {
        let own = self
            .colony_labels
            .get(name)
            .filter(|colony| self.colonies[*colony].lives());
        own.or_else(|| {
            let hive = self.hive_labels.get(name)?;
            self.living_in(hive).next()
        })
        .or_else(|| self.colony_labels.get(name))
    }

    /// The colonies that live in a hive, from the entrance inwards.
    pub fn living_in(&self, hive: HiveId) -> impl Iterator<Item = ColonyId> {
        let mut living: Vec<_> = self
            .colonies
            .iter()
            .filter(move |(_, colony)| colony.hive == hive && colony.lives())
            .map(|(id, colony)| (colony.from, id))
            .collect();
        living.sort_unstable();
        living.into_iter().map(|(_, id)| id)
    }

    /// The colony that lives at a place of a hive.
    pub fn colony_at(&self, hive: HiveId, place: u16) -> Option<ColonyId> {
        let living = self
            .living_in(hive)
            .filter(|colony| self.colonies[*colony].from <= place)
            .last()?;
        let (_, to) = self.range(living);
        (place <= to).then_some(living)
    }

    /// The places that a colony has to itself: from its own first one up to the next follower.
    pub fn range(&self, colony: ColonyId) -> (u16, u16) {
        let colony = &self.colonies[colony];
        let hive = &self.hives[colony.hive];
        let follower = hive.followers.iter().find(|follower| **follower > colony.from);
        (
            colony.from,
            follower.map_or(hive.places(), |follower| follower - 1),
        )
    }
}
