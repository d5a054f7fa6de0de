//! The figures of colony strength, each with its doubt.
//!
//! Bounds of [`Doubt::Between`] are taken as 90 % bounds. Where publications disagree, the bounds span what they
//! say of the same state. Figures of an eye ([`EYE_LEANING`], [`EYE_OF_ONE_COMB`]) are remembered; no study was
//! read for them, and [`WIDENING`] stands for what that leaves open.

use quantity::{Doubt, Sourced};

use crate::sources::{
    BROOD_STAGES_ACT, COMMON_PRACTICE, EIGHTHS_2020, FELSER_STRENGTH, FROM_MEMORY, NATURAL_CELLS_ISEF,
    SEELEY_MORSE_1976,
};

/// Bees on a dm² of one face that they cover densely in one layer.
///
/// Given as 130 by one page and 125 by another; Kauffeld's 1900 on both faces of a Langstroth comb are 108, and
/// a packed comb of 2430 is 138 (from memory). Simpson's 1400 of 1969 are 80, but are the mean of all combs that
/// have bees, not of combs that are covered.
pub static BEES_PER_DM2: Sourced<f64> = Sourced {
    value: 130.0,
    doubt: Doubt::Between(108.0, 138.0),
    locator: "130 bees to a dm² of one face; the page cites Agroscope ALP forum 68, 2008, table 5",
    holds_for: "faces covered densely by one layer of bees",
    source: &FELSER_STRENGTH,
};

/// How much more or less densely bees sit on one comb than on the others of the hive, in parts.
pub static DENSITY_OF_ONE_COMB: Sourced<f64> = choice(0.03, "bees of one hive at one hour");

/// The width of a worker cell that was not measured, in mm.
///
/// Bounds: 5.0 and 5.6, from natural combs of 4.9 to 5.64 mm on average; others find 5.2 (Seeley and Morse 1976)
/// and 5.4 mm. The usual 400 cells to a dm² are 5.37 mm.
pub static CELL_USUAL_MM: Sourced<f64> = Sourced {
    value: 5.3,
    doubt: Doubt::Between(5.0, 5.6),
    locator: "the middle of 5.2 to 5.4 mm",
    holds_for: "worker cells of natural comb, from wall to wall",
    source: &NATURAL_CELLS_ISEF,
};

/// How far the mean width of the cells of a comb is from one that was measured by the rule of ten cells, in
/// parts: rows of one comb differ more than the ruler errs.
pub static CELL_MEASURED: Sourced<f64> = choice(0.015, "ten cells along three axes, away from the bar");

/// The width of a drone cell, in mm.
///
/// Bounds: 6.2 mm (Seeley and Morse 1976), and 7.09 mm, which the 230 drone cells to an eighth of a Zander face
/// make.
pub static DRONE_CELL_MM: Sourced<f64> = Sourced {
    value: 6.4,
    doubt: Doubt::Between(6.2, 7.09),
    locator: "6.2 mm in tree nests; 6.2 to 6.4 and 6.4 to 6.6 elsewhere",
    holds_for: "drone cells of natural comb, from wall to wall",
    source: &SEELEY_MORSE_1976,
};

/// The days of eggs, open and sealed worker brood, as which their numbers stand to each other while a queen
/// lays evenly.
pub static STAGE_DAYS: [Sourced<f64>; 3] = [stage(3.0), stage(6.0), stage(12.0)];

/// How much of the eggs is overlooked, or taken for eggs, beyond the other doubts, in parts.
pub static EGGS_OVERLOOKED: Sourced<f64> = choice(0.20, "eggs looked for in daylight");

/// The honey in a comb that the eye calls full, in parts of what [`crate::comb::honey_per_dm2_g`] says.
///
/// The rule of eighths, 125 g to an eighth of a face, is 0.8 to 0.9 of it at 22 to 25 mm. The bounds reach to a
/// comb not quite filled, and to one quite full whose walls take less.
pub static FULLNESS: Sourced<f64> = Sourced {
    value: 0.85,
    doubt: Doubt::Between(0.75, 1.0),
    locator: "125 g of food for an eighth of a Zander face, against the model of the same thickness",
    holds_for: "capped comb",
    source: &EIGHTHS_2020,
};

/// Open honey, in parts of capped.
pub static OPEN_HONEY: Sourced<f64> = between_choices(0.8, 0.6, 1.0, "open honey, and thinner cells of it");

/// Nectar, in parts of capped honey: it is thin and does not fill its cells.
pub static NECTAR_AS_HONEY: Sourced<f64> = between_choices(0.25, 0.0, 0.5, "fresh nectar");

/// The mean thickness of a hive's combs where it was not measured, in mm; its value is
/// [`crate::comb::USUAL_THICKNESS`].
///
/// Worker comb is 20 to 23 mm thick, and honey is drawn out to 38 mm at the bars.
pub static THICKNESS_USUAL_MM: Sourced<f64> =
    between_choices(25.0, 21.0, 30.0, "sealed comb of natural spacing");

/// How much the depth of one comb is off its hive's mean, in parts.
pub static THICKNESS_OF_ONE_COMB: Sourced<f64> = choice(0.12, "sealed comb of natural spacing");

/// How far the mean thickness of a comb is from the one that was measured, in mm.
pub static THICKNESS_MEASURED_MM: Sourced<f64> = choice(2.0, "a comb measured in one place");

/// The beebread on a dm² of one face, in grams.
pub static POLLEN_G_PER_DM2: Sourced<f64> = Sourced {
    value: 100.0,
    doubt: Doubt::Between(68.0, 132.0),
    locator: "about 100 g more for each eighth of a face with beebread; the bounds are ours",
    holds_for: "cells of worker comb that the eye calls full of beebread",
    source: &crate::sources::STORES_BIENENJOURNAL,
};

/// How much heavier or lighter the beebread of one comb is than that of the others, in parts.
pub static POLLEN_OF_ONE_COMB: Sourced<f64> = choice(0.20, "beebread of one hive");

/// The wax of a dm² of new comb, both faces, in grams: two rules of keepers, the lower and the higher.
///
/// The lower is computed from 100 000 cells on 27 square feet for 2.5 lb, the higher from 35 000 cells to a pound,
/// at 5.2 mm.
pub static WAX_G_PER_DM2: [Sourced<f64>; 2] = [
    wax(9.0, "2.5 lb for 27 square feet of face"),
    wax(11.0, "a pound for 35 000 cells"),
];

/// How far the full outline of a hive's combs is off the one that was reckoned from its section, in parts.
pub static OUTLINE: Sourced<f64> = choice(0.04, "comb of a section known to a few mm, bee space 6 to 10 mm");

/// How far the eye of one person leans on all combs of a hive, in parts: what is left of the doubt about a whole
/// colony when the slips have cancelled.
pub static EYE_LEANING: Sourced<f64> = Sourced {
    value: 0.10,
    doubt: Doubt::Unstated,
    locator: "ascribed to Imdorf 1987",
    holds_for: "people trained to estimate, whole colonies",
    source: &FROM_MEMORY,
};

/// How far the eye slips on one comb, in parts: the middle of 20 to 30 %.
pub static EYE_OF_ONE_COMB: Sourced<f64> = Sourced {
    value: 0.25,
    doubt: Doubt::Between(0.20, 0.30),
    locator: "ascribed to Imdorf 1987",
    holds_for: "people trained to estimate, single combs",
    source: &FROM_MEMORY,
};

/// What is lost by writing in eighths, as a share of both faces: half an eighth is the most on a face, and two
/// faces that are rounded apart partly cancel.
pub static EYE_STEP: Sourced<f64> = choice(0.022, "shares written in eighths");

/// How many times wider the doubt of the eye is taken than it is remembered for trained people.
///
/// Found by a simulation of looks that assumes other things than this estimator: without it, the intervals
/// hold the truth too seldom. See the decision on honest intervals.
pub const WIDENING: f64 = 1.15;

/// The bounds of a figure; the figure itself where it has none.
pub(super) const fn between(figure: &Sourced<f64>) -> (f64, f64) {
    match figure.doubt {
        Doubt::Between(least, most) => (least, most),
        _ => (figure.value, figure.value),
    }
}

const fn stage(days: f64) -> Sourced<f64> {
    Sourced {
        value: days,
        doubt: Doubt::Unstated,
        locator: "eggs, open and sealed brood as 3 to 6 to 12",
        holds_for: "worker brood of a queen who lays evenly",
        source: &BROOD_STAGES_ACT,
    }
}

const fn wax(value: f64, locator: &'static str) -> Sourced<f64> {
    Sourced {
        value,
        doubt: Doubt::RoundedTo(1.0),
        locator,
        holds_for: "new comb without cocoons",
        source: &crate::sources::WAX_OF_COMB,
    }
}

const fn choice(value: f64, holds_for: &'static str) -> Sourced<f64> {
    Sourced {
        value,
        doubt: Doubt::Unstated,
        locator: "a choice of ours",
        holds_for,
        source: &COMMON_PRACTICE,
    }
}

const fn between_choices(value: f64, least: f64, most: f64, holds_for: &'static str) -> Sourced<f64> {
    Sourced {
        value,
        doubt: Doubt::Between(least, most),
        locator: "a choice of ours",
        holds_for,
        source: &COMMON_PRACTICE,
    }
}
