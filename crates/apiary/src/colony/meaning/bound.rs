//! Whether the brood nest fills with honey: the share of its combs under honey and nectar, look by look.

use jiff::civil::Date;
use quantity::Source;
use reckon::sources;

use super::history::Look;
use super::{Part, days, entries};

/// Combs that held brood so many days before a look are its brood nest: two brood cycles of a worker (common
/// practice, no source).
const NEST_WITHIN: i32 = 42;

/// How many looks back are told.
const ROUNDS: usize = 6;

/// The brood nest on a day.
#[derive(Clone, Debug)]
pub struct Filled {
    /// The day of the look.
    pub day: Date,
    /// How many combs held brood then or in the weeks before.
    pub combs: usize,
    /// Drawn comb in them, in full combs.
    pub drawn: f64,
    /// Under honey and nectar, in full combs; combs of which no look told count nothing.
    pub stores: f64,
    /// Under brood, in full combs.
    pub brood: f64,
    /// How many of the combs no look told the honey of.
    pub unknown: usize,
    /// The entries of the looks.
    pub entries: Vec<usize>,
}

impl Filled {
    /// The share of the drawn comb under honey and nectar; unknown where none of it was told.
    pub fn share(&self) -> Option<f64> {
        (self.drawn > 0.0 && self.unknown < self.combs).then(|| (self.stores / self.drawn).min(1.0))
    }
}

/// The brood nest, look by look.
#[derive(Clone, Debug)]
pub struct Bound {
    /// The oldest first; none where no brood was seen.
    pub filled: Vec<Filled>,
    /// The sources of what counts as the nest.
    pub sources: Vec<&'static Source>,
}

impl Bound {
    /// By how much the share grew from the first look told to the last.
    pub fn change(&self) -> Option<f64> {
        let (first, last) = (self.filled.first()?, self.filled.last()?);
        (first.day < last.day).then_some(())?;
        Some(last.share()? - first.share()?)
    }
}

/// The honey in the brood nest, look by look.
pub fn bound(part: &Part<'_>) -> Bound {
    let combs: Vec<Vec<Look>> = part.looks_here().into_iter().map(|(looks, _)| looks).collect();
    let mut rounds: Vec<Date> = combs.iter().flatten().map(|look| look.day).collect();
    rounds.sort_unstable();
    rounds.dedup();
    let skip = rounds.len().saturating_sub(ROUNDS);
    let filled = rounds[skip..].iter().filter_map(|day| nest_on(&combs, *day));
    Bound {
        filled: filled.collect(),
        sources: vec![&sources::COMMON_PRACTICE],
    }
}

fn nest_on(combs: &[Vec<Look>], day: Date) -> Option<Filled> {
    let mut nest = Filled {
        day,
        combs: 0,
        drawn: 0.0,
        stores: 0.0,
        brood: 0.0,
        unknown: 0,
        entries: Vec::new(),
    };
    for looks in combs {
        let known = &looks[..looks.partition_point(|look| look.day <= day)];
        let of_nest = |look: &Look| days(look.day, day) <= f64::from(NEST_WITHIN) && look.says.has_brood();
        let Some(last) = known.last().filter(|_| known.iter().any(of_nest)) else {
            continue;
        };
        let drawn = known.iter().rev().find_map(|look| look.says.of("drawn"));
        nest.combs += 1;
        nest.drawn += drawn.unwrap_or(1.0);
        nest.brood += last.says.brood().min(1.0);
        match last.says.stores() {
            Some(stores) => nest.stores += stores,
            None => nest.unknown += 1,
        }
        nest.entries.push(last.entry);
    }
    nest.entries = entries(nest.entries);
    (nest.combs > 0).then_some(nest)
}
