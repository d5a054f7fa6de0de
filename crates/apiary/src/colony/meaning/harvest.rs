//! Ripe combs, why one is set aside, and which may be taken after winter's share.

use jiff::civil::Date;

use super::wintering::{WinterCheck, YARDSTICKS};
use super::{Notes, Part, days};
use crate::arena::HiveId;
use crate::colony::answers::{honey_kg, is_brood_told, ripeness};
use crate::colony::state::{Comb, End};
use crate::holding::Holding;

/// A sign of disease is told of so long, in days (common practice, no source: until a season has passed).
const SIGN_WITHIN: i32 = 365;

/// Why a ripe comb is not counted among those that may be taken.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Aside {
    /// Sugar was fed while the comb hung, or may have been begun: bees store and cap it like honey.
    Fed {
        /// When.
        day: Date,
        /// What.
        food: &'static str,
        /// The entry that says so.
        entry: usize,
    },
    /// Something was put into the hive while the comb hung.
    Treated {
        /// When.
        day: Date,
        /// What, in the words of the note.
        with: String,
        /// The entry that says so.
        entry: usize,
    },
    /// The hive is kept apart.
    KeptApart,
    /// A sign of disease was seen in the hive.
    Sign {
        /// When.
        day: Date,
        /// What, in the words of the note.
        what: String,
        /// The entry that says so.
        entry: usize,
    },
    /// The colony was lost, and no other lives there.
    Lost {
        /// When.
        day: Date,
        /// The cause, where it was said.
        cause: Option<String>,
    },
}

/// A ripe comb.
#[derive(Clone, Debug)]
pub struct RipeComb {
    /// Its place.
    pub place: u16,
    /// The share that was capped, of what is drawn.
    pub capped: f64,
    /// The honey on it, in full combs.
    pub bars: f64,
    /// The same in kg; unknown where the hive's section is.
    pub kg: Option<quantity::Estimate>,
    /// The entry of the look that says so.
    pub look: Option<usize>,
    /// The day of that look.
    pub seen: Option<Date>,
    /// Whether that it holds no brood was told; else nothing was said of brood.
    pub brood_told: bool,
    /// Why it is set aside; none for one that may be taken.
    pub aside: Vec<Aside>,
}

/// What may be taken.
#[derive(Clone, Debug)]
pub struct Harvest {
    /// Ripe combs, the farthest from the bees first.
    pub ripe: Vec<RipeComb>,
    /// How many of those not set aside, from the first on, leave the likely need behind by the likely honey.
    pub likely: usize,
    /// How many leave the greatest need behind even by the least honey.
    pub surely: usize,
    /// How many leave the least need behind by the most honey.
    pub at_most: usize,
    /// Whether it was counted in kg, by the winter's use; else in full bars, by a published rule.
    pub in_kg: bool,
    /// The need it was held against.
    pub need: quantity::Estimate,
    /// The honey of all combs of the colony, in the same measure.
    pub all: quantity::Estimate,
}

/// The ripe combs of a colony after winter's share.
pub fn harvest(part: &Part<'_>, winter: &WinterCheck) -> Harvest {
    let mut ripe: Vec<RipeComb> = part
        .combs()
        .into_iter()
        .filter_map(|(place, id, comb)| {
            let capped = ripeness(comb)?;
            let bars = part.honey_of(comb).unwrap_or(0.0);
            Some(RipeComb {
                place,
                capped,
                bars,
                kg: honey_kg(part.h, part.notes(), part.hive, &[id]),
                look: comb.last_look,
                seen: comb.looked_on,
                brood_told: is_brood_told(comb),
                aside: asides(part.h, part.hive, comb, part.today, part.notes),
            })
        })
        .collect();
    let middle = winter.cluster.map_or(f64::from(part.from), |cluster| {
        f64::midpoint(f64::from(cluster.from), f64::from(cluster.to))
    });
    let far = |comb: &RipeComb| (f64::from(comb.place) - middle).abs();
    ripe.sort_by(|a, b| far(b).total_cmp(&far(a)).then(b.place.cmp(&a.place)));
    let by_kg = winter
        .need
        .as_ref()
        .map(|need| need.need_kg)
        .zip(winter.all.kg)
        .filter(|_| ripe.iter().all(|comb| comb.kg.is_some()));
    let in_kg = by_kg.is_some();
    let rule = YARDSTICKS[0];
    let in_bars = || {
        let need = quantity::Estimate::new(f64::midpoint(rule.lo, rule.hi), rule.lo, rule.hi);
        (need.unwrap_or_else(|| super::exactly(rule.hi)), winter.all.bars)
    };
    let (need, all) = by_kg.unwrap_or_else(in_bars);
    let amount =
        |comb: &RipeComb| if in_kg { comb.kg } else { None }.unwrap_or_else(|| super::exactly(comb.bars));
    let taking = || ripe.iter().filter(|comb| comb.aside.is_empty());
    // What is left is a sum over the combs that stay; their doubts go together.
    let leaving = |left_of: &dyn Fn(quantity::Estimate) -> f64, need: f64| {
        let mut left = left_of(all);
        taking()
            .take_while(|comb| {
                left -= left_of(amount(comb));
                left >= need - 1e-9
            })
            .count()
    };
    Harvest {
        likely: leaving(&|of| of.value(), need.value()),
        surely: leaving(&|of| of.lo(), need.hi()),
        at_most: leaving(&|of| of.hi(), need.lo()),
        in_kg,
        need,
        all,
        ripe,
    }
}

/// Why a comb in a hive is set aside, whoever lives there.
pub fn asides(h: &Holding, hive: HiveId, comb: &Comb, today: Date, notes: Notes<'_, '_>) -> Vec<Aside> {
    let mut out = Vec::new();
    let of_hive = &h.hives[hive];
    if of_hive.quarantined {
        out.push(Aside::KeptApart);
    }
    let colonies = || {
        h.colonies
            .iter()
            .map(|(_, colony)| colony)
            .filter(|colony| colony.hive == hive)
    };
    if h.living_in(hive).next().is_none() {
        let lost = colonies().filter_map(|colony| match &colony.ended {
            Some((day, End::Lost(cause))) => Some((*day, cause.clone())),
            _ => None,
        });
        if let Some((day, cause)) = lost.max_by_key(|(day, _)| *day) {
            out.push(Aside::Lost { day, cause });
        }
    }
    let mut entries: Vec<usize> = colonies()
        .flat_map(|colony| colony.entries.iter())
        .chain(&of_hive.entries)
        .copied()
        .collect();
    entries.sort_unstable();
    entries.dedup();
    let told: Vec<(usize, &crate::note::Note)> = entries
        .into_iter()
        .filter_map(|entry| Some((entry, notes(entry)?)))
        .filter(|(_, note)| note.day <= today)
        .collect();
    // It may have been begun any time after the look before the one that first saw it.
    let began = comb.since.map(|since| {
        let looks = told
            .iter()
            .filter(|(_, note)| note.fact.word() == "look" && note.day < since);
        looks.map(|(_, note)| note.day).max().unwrap_or(since)
    });
    let hung = |day: Date| began.is_none_or(|began| day >= began);
    for (entry, note) in told {
        let (fact, day) = (&note.fact, note.day);
        match fact.word() {
            "feed" if hung(day) => {
                let food = fact.choice("food");
                let food = food.filter(|food| matches!(*food, "syrup" | "fondant" | "sugar"));
                out.extend(food.map(|food| Aside::Fed { day, food, entry }));
            }
            "treat" if hung(day) => out.push(Aside::Treated {
                day,
                with: fact.text("what").unwrap_or_default().to_owned(),
                entry,
            }),
            "sign" if days(day, today) <= f64::from(SIGN_WITHIN) => out.push(Aside::Sign {
                day,
                what: fact.text("what").unwrap_or_default().to_owned(),
                entry,
            }),
            _ => {}
        }
    }
    out
}
