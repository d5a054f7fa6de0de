//! What has been published of the room that bees have: in hives of keepers, and in nests they chose themselves.
//!
//! Holds true: every range has its source, and none is called right.
//!
//! Does not: say how large a hive should be.

use quantity::{Doubt, Sourced, Volume};

use crate::sources::{BFDJ_1985, HIVE_VOLUMES, NABORS_2015, NEST_VOLUMES};

/// A published range of room, in litres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    /// What has so much room.
    pub what: &'static str,
    /// From so many litres.
    pub from_l: f64,
    /// To so many litres.
    pub to_l: f64,
}

const fn range(
    what: &'static str,
    from_l: f64,
    to_l: f64,
    locator: &'static str,
    source: &'static quantity::Source,
) -> Sourced<Range> {
    Sourced {
        value: Range { what, from_l, to_l },
        doubt: Doubt::Unstated,
        locator,
        holds_for: "inside, below the bars",
        source,
    }
}

/// Published ranges of room, from the smallest.
pub static PUBLISHED: [Sourced<Range>; 4] = [
    range(
        "nests that swarms prefer",
        30.0,
        60.0,
        "30 to 60 litres, median about 42",
        &NEST_VOLUMES,
    ),
    range(
        "nests that swarms use at all",
        20.0,
        100.0,
        "20 to 100 litres, mean about 40",
        &NABORS_2015,
    ),
    range(
        "top-bar hives that authors advise",
        70.0,
        80.0,
        "cluster in 70 to 80 litres",
        &HIVE_VOLUMES,
    ),
    range(
        "half of a 200-litre drum",
        107.0,
        109.0,
        "half a drum on its side; computed from its measures",
        &BFDJ_1985,
    ),
];

/// Where a volume lies to a range.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lies {
    /// It is less.
    Below,
    /// It is within.
    Within,
    /// It is more.
    Above,
}

impl Range {
    /// Where a volume lies.
    pub fn place(&self, volume: Volume) -> Lies {
        match volume.to_l() {
            less if less < self.from_l => Lies::Below,
            more if more > self.to_l => Lies::Above,
            _ => Lies::Within,
        }
    }
}
