//! How old the combs of a hive are, and how much brood they have carried.

use jiff::civil::Date;
use jiff::{ToSpan as _, Unit};

use crate::arena::{CombId, HiveId};
use crate::holding::Holding;

/// After how many years keepers take a comb that has carried brood out: the earliest and the latest often told
/// (common practice, no source).
pub const RENEW_YEARS: [i16; 2] = [3, 5];

/// After how many turns of brood others do (common practice, no source).
pub const RENEW_TURNS: u16 = 10;

/// The age of a comb.
#[derive(Clone, Debug)]
pub struct CombAge {
    /// Its place.
    pub place: u16,
    /// The comb.
    pub comb: CombId,
    /// The day it was first seen drawn; unknown for a comb older than the books.
    pub since: Option<Date>,
    /// The day from which the books know it: it is at least so old.
    pub known: Date,
    /// The note that made it known.
    pub entry: usize,
    /// Whole years from that day to the day asked for.
    pub years: i16,
    /// How many turns of brood were seen in it, at least.
    pub turns: u16,
    /// The last day that brood was seen in it.
    pub brood_last: Option<Date>,
}

/// A rule by which a comb would be renewed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rule {
    /// After so many years.
    Years(i16),
    /// After so many turns of brood.
    Turns(u16),
}

impl CombAge {
    /// The rules that it has come up to, the earliest first.
    pub fn reached(&self) -> Vec<Rule> {
        let years = RENEW_YEARS
            .into_iter()
            .filter(|years| self.years >= *years)
            .map(Rule::Years);
        let turns = (self.turns >= RENEW_TURNS).then_some(Rule::Turns(RENEW_TURNS));
        years.chain(turns).collect()
    }

    /// The day on which it comes up to the next rule by years; nothing where it is past all of them.
    pub fn next(&self) -> Option<(Rule, Date)> {
        let years = RENEW_YEARS.into_iter().find(|years| self.years < *years)?;
        Some((Rule::Years(years), self.known.saturating_add(years.years())))
    }
}

/// The combs of a hive by their age, the oldest first; those older than the books before all others.
pub fn ages(h: &Holding, hive: HiveId, today: Date) -> Vec<CombAge> {
    let mut all: Vec<CombAge> = h.hives[hive]
        .bars
        .iter()
        .zip(1u16..)
        .filter_map(|(bar, place)| {
            let id = h.bars[*bar].comb?;
            let comb = &h.combs[id];
            let first = comb.moved.first()?;
            let known = comb.since.unwrap_or(first.day);
            Some(CombAge {
                place,
                comb: id,
                since: comb.since,
                known,
                entry: first.entry,
                years: years_between(known, today),
                turns: comb.brood_turns,
                brood_last: comb.brood_last,
            })
        })
        .collect();
    all.sort_by_key(|age| (age.since.is_some(), age.known, age.place));
    all
}

fn years_between(from: Date, to: Date) -> i16 {
    let span = from.until((Unit::Year, to));
    span.map_or(0, |span| span.get_years().max(0))
}
