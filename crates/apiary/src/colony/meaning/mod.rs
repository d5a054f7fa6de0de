//! What the looks at a colony mean: room, signs, honey, winter.
//!
//! Holds true: an answer is about the places that a colony has to itself, so two colonies in one long hive get two.
//! What no note says is unknown: it widens an interval or is named, and is never taken for nothing. Each answer
//! carries the entries it came from and the sources of what it adds to them.
//!
//! Does not: score, warn or choose; name a disease; know the weather beyond what notes say.
//!
//! Start at [`parts`], which gives a [`Part`] for each colony of a hive; each file here answers one question about it.

mod bound;
mod care;
mod faults;
mod followers;
mod harvest;
mod history;
mod places;
mod room;
mod signs;
mod wintering;

use std::collections::BTreeSet;

use jiff::ToSpan as _;
use jiff::civil::Date;
use quantity::{Area, Estimate, Fraction, Source};
use reckon::comb;

use history::Look;

use super::state::Comb;
use crate::arena::{ColonyId, CombId, HiveId};
use crate::holding::Holding;
use crate::note::{Bars, Note};

pub use bound::{Bound, Filled, bound};
pub use care::{HOT_C, Heat, HeavyComb, Robbing, heat, robbing};
pub use faults::{Due, Fault, Mending, mending};
pub use followers::{Followers, follower};
pub use harvest::{Aside, Harvest, RipeComb, asides, harvest};
pub use places::{Advice, Advised, places};
pub use room::{DRAWING_WITHIN, Drawing, Room, UntilFull, room};
pub use signs::{BACKFILLED, Sign, SignKind, Wait, signs};
pub use wintering::{
    Cluster, End, Need, Reach, Side, Stop, UNCOUNTED_CLUSTER_G, UNKNOWN_WEATHER_C, WeatherUsed, WinterCheck,
    YARDSTICKS, Yardstick, winter_check,
};

pub use super::answers::Notes;

/// A colony with the places that it has to itself, on a day.
#[derive(Clone, Copy)]
pub struct Part<'a> {
    /// The state of the farm.
    pub h: &'a Holding,
    /// The hive.
    pub hive: HiveId,
    /// Who lives there.
    pub colony: ColonyId,
    /// The first of its places.
    pub from: u16,
    /// The last of them.
    pub to: u16,
    /// The day on which it is asked.
    pub today: Date,
    notes: Notes<'a, 'a>,
}

/// A place of a colony and the comb that hangs there.
#[derive(Clone, Copy)]
pub(super) struct Hanging<'a> {
    pub(super) place: u16,
    pub(super) comb: Option<(CombId, &'a Comb)>,
}

/// The colonies of a hive, from the entrance inwards, each with its places. None live in a store or an empty hive.
pub fn parts<'a>(h: &'a Holding, hive: HiveId, today: Date, notes: Notes<'a, 'a>) -> Vec<Part<'a>> {
    if h.hives[hive].is_store() || h.hives[hive].gone {
        return Vec::new();
    }
    let part = |colony| {
        let (from, to) = h.range(colony);
        Part {
            h,
            hive,
            colony,
            from,
            to,
            today,
            notes,
        }
    };
    h.living_in(hive).map(part).collect()
}

/// Combs that have gone longer ago are of another time, in days.
const GONE_WITHIN: f64 = 120.0;

impl<'a> Part<'a> {
    /// Its places from the entrance end inwards.
    pub(super) fn hanging(&self) -> Vec<Hanging<'a>> {
        let (h, hive) = (self.h, &self.h.hives[self.hive]);
        let at = |place: u16| {
            let bar = hive.bar_at(place)?;
            let comb = h.bars[bar].comb.map(|id| (id, &h.combs[id]));
            Some(Hanging { place, comb })
        };
        (self.from..=self.to).filter_map(at).collect()
    }

    /// Its combs from the entrance end inwards.
    pub(super) fn combs(&self) -> Vec<(u16, CombId, &'a Comb)> {
        let hung = self.hanging().into_iter();
        hung.filter_map(|hung| hung.comb.map(|(id, comb)| (hung.place, id, comb)))
            .collect()
    }

    /// A day as the north would call it: south of the equator the seasons are half a year off. Without a latitude the
    /// yard is taken to lie in the north.
    pub(super) fn northern(&self, day: Date) -> Date {
        if self.is_southern() {
            day.saturating_add(6.months())
        } else {
            day
        }
    }

    /// The next day, from a day on, that the north would call so.
    pub(super) fn next(&self, from: Date, month: i8, day: i8) -> Date {
        let month = if self.is_southern() {
            (month + 5) % 12 + 1
        } else {
            month
        };
        let of_year = |year: i16| Date::new(year, month, day).unwrap_or(from);
        let this = of_year(from.year());
        if this >= from {
            this
        } else {
            of_year(from.year() + 1)
        }
    }

    /// The day about which combs are no longer built this season, late in September of the north (common practice, no
    /// source).
    pub fn building_ends(&self) -> Date {
        self.next(self.today, 9, 20)
    }

    /// Whether its yard is known to lie south of the equator.
    fn is_southern(&self) -> bool {
        let yard = self.h.hives[self.hive].yard;
        yard.is_some_and(|yard| self.h.diary.southern.contains(&yard))
    }

    /// The day of an entry, where its words can be read.
    pub(super) fn day(&self, entry: usize) -> Option<Date> {
        (self.notes)(entry).map(|note| note.day)
    }

    /// Reads notes by their entries.
    pub(super) const fn notes(&self) -> Notes<'a, 'a> {
        self.notes
    }

    pub(super) fn note(&self, entry: usize) -> Option<&'a Note> {
        (self.notes)(entry)
    }

    /// The notes that name the colony or its hive, in the order of their days, each with its entry.
    pub(super) fn told(&self) -> Vec<(usize, &'a Note)> {
        let of_hive = self.h.hives[self.hive].entries.iter();
        let mut entries: Vec<usize> = of_hive
            .chain(&self.h.colonies[self.colony].entries)
            .copied()
            .collect();
        entries.sort_unstable();
        entries.dedup();
        let mut told: Vec<_> = entries
            .into_iter()
            .filter_map(|entry| Some((entry, self.note(entry)?)))
            .filter(|(_, note)| note.day <= self.today)
            .collect();
        told.sort_by_key(|(entry, note)| (note.day, note.hour, *entry));
        told
    }

    /// Whether a note that names a colony means this one. One that names its bars or the hive alone may mean it.
    pub(super) fn is_meant(&self, note: &Note) -> bool {
        let colony = ["colony", "from", "into"]
            .into_iter()
            .find(|field| note.fact.shape().has(field) && note.fact.name(field).is_some());
        let named = colony.and_then(|field| note.fact.name(field));
        // A label may have been another colony's in another year: the history of this one tells.
        named.is_none_or(|name| {
            *name == self.h.colonies[self.colony].label || self.h.colony_named(name) == Some(self.colony)
        })
    }

    /// Whether bars, as a note names them, are this colony's. Places are told by where its part of the hive lies now.
    pub(super) fn was_on(&self, bars: &Bars) -> bool {
        let alone = self.h.living_in(self.hive).count() == 1;
        let is_here = |place: u16| (self.from..=self.to).contains(&place);
        match bars {
            Bars::Places { hive, places } => {
                self.h.hive_labels.get(hive) == Some(self.hive) && (alone || places.iter().any(is_here))
            }
            Bars::Tagged(tag) => {
                let bar = self.h.tags.get(tag).and_then(|bar| self.h.where_is(bar));
                bar.is_some_and(|hung| hung.hive == self.hive && is_here(hung.place))
            }
        }
    }

    /// The looks at combs that hang or hung here, each while it did, with whether the comb was made known here. A comb
    /// that is gone counts where it hung last.
    fn looks_here(&self) -> Vec<(Vec<Look>, bool)> {
        let alone = self.h.living_in(self.hive).count() == 1;
        let now: BTreeSet<CombId> = self.combs().into_iter().map(|(_, id, _)| id).collect();
        let of_comb = |(id, comb): (CombId, &Comb)| {
            // Most combs of a farm of many years are gone, and tell nothing of now.
            if comb
                .ended
                .is_some_and(|(day, _)| days(day, self.today) > GONE_WITHIN)
            {
                return None;
            }
            let here = comb.moved.iter().rposition(|hung| hung.hive == self.hive)?;
            let away = comb.moved[..here].iter().rposition(|hung| hung.hive != self.hive);
            let first = away.map_or(0, |away| away + 1);
            let hangs = comb.ended.is_none() && here + 1 == comb.moved.len();
            let place = comb.moved[here].place;
            let was_mine = alone || (self.from..=self.to).contains(&place);
            if !(now.contains(&id) || !hangs && was_mine) {
                return None;
            }
            // What hung here before the colony was another's work.
            let began = self.h.colonies[self.colony].since;
            let since = comb.moved[first].day.max(began);
            let until = comb
                .moved
                .get(here + 1)
                .map(|hung| hung.day)
                .or(comb.ended.map(|(day, _)| day));
            let looks = self.looks(comb).into_iter();
            let within = |look: &Look| look.day >= since && until.is_none_or(|until| look.day <= until);
            // A comb from before the books was drawn long ago, whenever it was first looked at.
            let made_known_here = first == 0
                && comb.looks.len() <= history::MOST_LOOKS
                && comb.since.is_some_and(|since| since >= began);
            Some((looks.filter(within).collect(), made_known_here))
        };
        self.h.combs.iter().filter_map(of_comb).collect()
    }

    /// The honey of a comb by its last look, in full combs: `None` where no look told it.
    pub(super) fn honey_of(&self, comb: &Comb) -> Option<f64> {
        let look = self.last(comb)?;
        look.says.honey().map(|share| (share * comb.left).clamp(0.0, 1.0))
    }

    /// The honey under a share of a full outline of this hive, in kg, both faces; unknown where the hive's section is.
    pub(super) fn honey_kg(&self, of: &Comb, share: f64) -> Option<Estimate> {
        let face: Area = self.h.comb_area(self.hive)?;
        let full = Fraction::new(share.clamp(0.0, 1.0))?;
        let thickness = of.thickness.unwrap_or(comb::USUAL_THICKNESS);
        let grams = comb::part_full_comb_g(face, thickness, full)?;
        Estimate::new(grams.value() / 1000.0, grams.lo() / 1000.0, grams.hi() / 1000.0)
    }
}

/// A sum of estimates whose doubts go together: bounds are added.
pub(super) fn sum(all: impl IntoIterator<Item = Estimate>) -> Estimate {
    let add = |sum: Estimate, next: Estimate| {
        Estimate::new(
            sum.value() + next.value(),
            sum.lo() + next.lo(),
            sum.hi() + next.hi(),
        )
        .unwrap_or(sum)
    };
    all.into_iter().fold(exactly(0.0), add)
}

/// A number without doubt.
pub(super) fn exactly(value: f64) -> Estimate {
    Estimate::new(value, value, value).unwrap_or_else(|| exactly(0.0))
}

/// The sources, each once, by their ids.
pub(super) fn once(sources: impl IntoIterator<Item = &'static Source>) -> Vec<&'static Source> {
    let mut all: Vec<&'static Source> = sources.into_iter().collect();
    all.sort_by_key(|source| source.id);
    all.dedup_by_key(|source| source.id);
    all
}

/// The entries, each once, in the order of the books.
pub(super) fn entries(all: impl IntoIterator<Item = usize>) -> Vec<usize> {
    let mut all: Vec<usize> = all.into_iter().collect();
    all.sort_unstable();
    all.dedup();
    all
}

/// Days from one day to another.
pub(super) fn days(from: Date, to: Date) -> f64 {
    f64::from((to - from).get_days())
}
