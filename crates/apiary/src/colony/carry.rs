//! What is carried on a round.

use super::round::Visit;

/// What is carried.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Thing {
    /// Bare bars with their guides.
    Bars,
    /// Follower boards.
    Followers,
    /// Pails with lids, for combs cut.
    Pails,
    /// Queen cages.
    Cages,
    /// Boxes for a swarm or a division.
    Boxes,
    /// Strips of cloth and a long knife, to tie a comb in.
    Ties,
    /// A second tool and clean gloves, for a hive kept apart.
    CleanTools,
    /// Combs of honey from one's own healthy colonies.
    HoneyCombs,
}

impl Thing {
    /// What it is called, one or several.
    pub const fn name(self, count: u32) -> &'static str {
        match (self, count) {
            (Self::Bars, 1) => "bare bar",
            (Self::Bars, _) => "bare bars",
            (Self::Followers, 1) => "follower board",
            (Self::Followers, _) => "follower boards",
            (Self::Pails, 1) => "pail with a lid",
            (Self::Pails, _) => "pails with lids",
            (Self::Cages, 1) => "queen cage",
            (Self::Cages, _) => "queen cages",
            (Self::Boxes, 1) => "box for bees",
            (Self::Boxes, _) => "boxes for bees",
            (Self::Ties, 1) => "set of ties with a long knife",
            (Self::Ties, _) => "sets of ties with a long knife",
            (Self::CleanTools, 1) => "set of clean tools and gloves",
            (Self::CleanTools, _) => "sets of clean tools and gloves",
            (Self::HoneyCombs, 1) => "comb of your own honey",
            (Self::HoneyCombs, _) => "combs of your own honey",
        }
    }
}

/// What to carry, counted, and for which hives.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Carried {
    /// What.
    pub what: Thing,
    /// How many.
    pub count: u32,
    /// How many of them for each hive.
    pub for_hives: Vec<(String, u32)>,
}

/// So many ripe combs go into a pail (common practice, no source: pails of 10 to 12 litres, combs laid in whole).
pub(super) const COMBS_A_PAIL: u32 = 4;

/// What all visits need, thing by thing.
pub(super) fn together(visits: &[Visit]) -> Vec<Carried> {
    let mut all: Vec<Carried> = Vec::new();
    for visit in visits {
        for (what, count) in &visit.carry {
            let at = all.iter().position(|carried| carried.what == *what);
            let at = at.unwrap_or_else(|| {
                all.push(Carried {
                    what: *what,
                    count: 0,
                    for_hives: Vec::new(),
                });
                all.len() - 1
            });
            all[at].count += count;
            all[at].for_hives.push((visit.hive.clone(), *count));
        }
    }
    all.sort_by_key(|carried| carried.what);
    all
}
