//! How strong a colony is: bees, brood cells, honey and pollen, estimated from what an eye saw on its combs.
//!
//! Holds true: lo ≤ value ≤ hi; what was not said is `None` and never nothing; the value of a hive is the sum
//! of the values of its combs.
//!
//! Does not: know hives by name, looks or days; add the bees that are out flying ([`FLIGHT_CAUTION`]); judge
//! whether a colony is strong.
//!
//! Science: the method of estimating the covered part of every comb face and multiplying it by what a dm²
//! holds, as it is taught for the Liebefeld estimation; the figures are [`figures`]. Every interval means 90 %:
//! of a hundred such looks about ninety hold the truth, which a simulation that assumes other things than
//! this estimator checks. Start at [`comb`].
//!
//! # The doubt of a hive
//! The doubt has two parts. What all the combs of a hive have in common, the leaning of the eye that looked,
//! the size of its cells, the thickness of its combs, how densely bees sit, is wrong on all combs alike: it is
//! added comb to comb. What each comb has of its own, the eye's slip and the rounding to eighths, partly
//! cancels: it is added in squares. The two are then put together in squares. So twenty combs are known
//! better, in proportion, than one, but not without end.

pub mod figures;
#[cfg(test)]
mod honest;
mod share;

use quantity::{Area, Estimate, Length, Source};

use crate::comb::{USUAL_THICKNESS, cells_per_dm2, honey_per_dm2_g};
use crate::sources::{
    BROOD_STAGES_ACT, COMMON_PRACTICE, EIGHTHS_2020, FELSER_STRENGTH, FROM_MEMORY, NATURAL_CELLS_ISEF,
    SEELEY_MORSE_1976, STORES_BIENENJOURNAL, STRENGTH_BEEBOOK,
};
use figures::{
    BEES_PER_DM2, CELL_MEASURED, CELL_USUAL_MM, DENSITY_OF_ONE_COMB, DRONE_CELL_MM, EGGS_OVERLOOKED,
    FULLNESS, NECTAR_AS_HONEY, OPEN_HONEY, OUTLINE, POLLEN_G_PER_DM2, THICKNESS_MEASURED_MM,
    THICKNESS_OF_ONE_COMB, THICKNESS_USUAL_MM, WIDENING,
};
use share::Share;

/// What has to be said beside every number of bees.
pub const FLIGHT_CAUTION: &str = "These are the bees on the combs at the hour of the look. On a good flying day up to a third of a colony may be out (from memory); before the flight or at dusk nearly all are in. Looks at another hour, warmth or flight do not compare, and nothing is added for the bees outside.";

/// The sources that estimates of strength rest on.
pub static SOURCES: [&Source; 9] = [
    &STRENGTH_BEEBOOK,
    &FELSER_STRENGTH,
    &EIGHTHS_2020,
    &BROOD_STAGES_ACT,
    &NATURAL_CELLS_ISEF,
    &SEELEY_MORSE_1976,
    &STORES_BIENENJOURNAL,
    &COMMON_PRACTICE,
    &FROM_MEMORY,
];

/// What was seen on a comb: shares from 0 to 1 of the full outline, both faces taken together.
///
/// `None` is what was not said, and so is a share that is no number from 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Seen {
    /// How far it is drawn. A comb not drawn at all has no cells; otherwise it changes no number.
    pub drawn: Option<f64>,
    /// What bees cover, as if they sat close in one layer.
    pub bees: Option<f64>,
    /// Sealed worker brood.
    pub sealed: Option<f64>,
    /// Open worker brood: larvae.
    pub open: Option<f64>,
    /// Cells with eggs.
    pub eggs: Option<f64>,
    /// Worker brood of any stage, not divided; it holds the stages that are said beside it.
    pub brood: Option<f64>,
    /// Drone brood of any stage.
    pub drones: Option<f64>,
    /// Capped honey.
    pub capped: Option<f64>,
    /// Open honey where capped honey is said, else honey of both kinds.
    pub honey: Option<f64>,
    /// Thin, fresh nectar; counted only beside honey that is said.
    pub nectar: Option<f64>,
    /// Beebread.
    pub pollen: Option<f64>,
}

/// What is known of the comb itself.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measured {
    /// One face of the full outline, the bee space taken off.
    pub face: Area,
    /// The thickness of the sealed comb, if it was measured; else [`USUAL_THICKNESS`] is taken.
    pub thickness: Option<Length>,
    /// The width of a worker cell from wall to wall, if it was measured; else [`CELL_USUAL_MM`] is taken.
    pub worker_cell: Option<Length>,
    /// The share of the comb that is still there of what was there when it was seen, from 0 to 1: 1 unless it
    /// was cut after the look. What the cut took of each content is not known, and widens the interval.
    pub left: f64,
}

/// What is estimated to be on a comb, or on all combs of a hive; `None` is not known.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Strength {
    /// Adult bees on the comb.
    pub bees: Option<Estimate>,
    /// Cells with eggs.
    pub eggs: Option<Estimate>,
    /// Cells of open worker brood.
    pub open_cells: Option<Estimate>,
    /// Cells of sealed worker brood.
    pub sealed_cells: Option<Estimate>,
    /// Cells of worker brood of all stages.
    pub brood_cells: Option<Estimate>,
    /// Cells of drone brood.
    pub drone_cells: Option<Estimate>,
    /// Honey in kg: capped and open, and a part of the nectar where that was said.
    pub honey_kg: Option<Estimate>,
    /// Beebread in kg.
    pub pollen_kg: Option<Estimate>,
    /// The two parts of the doubt, in the order of the fields.
    doubts: [Option<Amount>; 8],
}

/// An amount with the parts of its doubt, each the distance to a 90 % bound.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Amount {
    value: f64,
    shared_down: f64,
    shared_up: f64,
    own_down: f64,
    own_up: f64,
}

impl Amount {
    const NOTHING: Self = Self {
        value: 0.0,
        shared_down: 0.0,
        shared_up: 0.0,
        own_down: 0.0,
        own_up: 0.0,
    };

    /// An amount per share of a comb, with the relative doubt that the hive shares and that of this comb.
    fn of(share: Share, full: f64, shared: &[Leaning], own: &[f64]) -> Self {
        let value = share.value * full;
        let down = shared.iter().fold(share.shared_down * full, |sum, leaning| {
            libm::hypot(sum, value * leaning.down)
        });
        let up = shared.iter().fold(share.shared_up * full, |sum, leaning| {
            libm::hypot(sum, value * leaning.up)
        });
        let with_own = |of_share: f64| {
            own.iter().fold(of_share * full, |sum, relative| {
                libm::hypot(sum, value * relative)
            })
        };
        Self {
            value,
            shared_down: down,
            shared_up: up,
            own_down: with_own(share.own_down),
            own_up: with_own(share.own_up),
        }
    }

    fn and(self, other: Self) -> Self {
        Self {
            value: self.value + other.value,
            shared_down: self.shared_down + other.shared_down,
            shared_up: self.shared_up + other.shared_up,
            own_down: libm::hypot(self.own_down, other.own_down),
            own_up: libm::hypot(self.own_up, other.own_up),
        }
    }

    fn estimate(self) -> Option<Estimate> {
        let down = libm::hypot(self.shared_down, self.own_down);
        let up = libm::hypot(self.shared_up, self.own_up);
        Estimate::new(self.value, (self.value - down).max(0.0), self.value + up)
    }
}

/// How far, in parts of a value, it may be too high and too low.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Leaning {
    down: f64,
    up: f64,
}

impl Leaning {
    const fn even(relative: f64) -> Self {
        Self {
            down: relative,
            up: relative,
        }
    }

    /// From a value and what it may be at least and at most.
    fn between(value: f64, (least, most): (f64, f64)) -> Self {
        Self {
            down: 1.0 - least / value,
            up: most / value - 1.0,
        }
    }
}

/// What is on a comb.
///
/// # What it gives
/// Bees, cells of brood by stage, drone cells, kilograms of honey and beebread, each with a 90 % interval,
/// and each `None` where it was not said. A comb that is not drawn at all holds no cells and nothing in them,
/// said or not.
///
/// # Equation
/// amount = 2 · A · s · l · c, with A one face in dm², s the share seen, l the share left after a cut, and c
/// what a dm² of one face holds: 130 bees; 10 000/(√3/2 · d²) cells; half of 0.85 · (T − 2) · 13.49 g of honey;
/// 100 g of beebread.
///
/// Brood of all stages is the undivided brood or the sum of the stages, whichever is more. Where brood was not
/// said undivided and a stage is missing, stages of together twelve days or more stand for the rest by the
/// days that each lasts (3 : 6 : 12); the lower bound takes the missing stages as none. One stage that is
/// missing beside undivided brood is the difference. Nothing else is filled in.
///
/// # Holds for
/// Combs of *Apis mellifera*, looked at by an eye used to it. A measure that is no length, and honey of a comb
/// thinner than 2 mm, give `None`.
///
/// # Source
/// The figures in [`figures`], each with its source and what others give instead.
///
/// # Checked against
/// The inventory of a Zander face (bees-online.at 2020), of Dadant and Swiss faces (imker.felser.ch) and of
/// Langstroth combs (Simpson 1969; Kauffeld, quoted by Burgett and Burikam 1985); a simulation of looks.
pub fn comb(seen: &Seen, measured: &Measured) -> Strength {
    widened(seen, measured, WIDENING)
}

/// [`comb`] with another widening of what is said of trained eyes.
fn widened(seen: &Seen, measured: &Measured, widening: f64) -> Strength {
    let (seen, left) = (share::sound(seen), measured.left);
    if !(0.0..=1.0).contains(&left) {
        return Strength::default();
    }
    let eye = |given: Option<Share>| given.map(|share| share.seen_by_eye(widening).left_after_cut(left));
    let two_faces_dm2 = 2.0 * measured.face.to_dm2();
    let outline = Leaning::even(OUTLINE.value);

    let worker = worker_cells(measured).map(|(per_dm2, leaning)| (per_dm2 * two_faces_dm2, leaning));
    let cells = |given: Option<Share>, more: f64| {
        let (full, size) = worker?;
        let shared = [Leaning::even(more), outline, size];
        Some(Amount::of(eye(given)?, full, &shared, &[]))
    };
    let stages = share::stages(&seen);
    let drone_full = cells_of(DRONE_CELL_MM.value).map(|per_dm2| per_dm2 * two_faces_dm2);
    let drones = eye(seen.drones.map(Share::said))
        .zip(drone_full)
        .map(|(share, full)| {
            let size = by_width(DRONE_CELL_MM.value, figures::between(&DRONE_CELL_MM));
            Amount::of(share, full, &[outline, size], &[])
        });
    let bees = eye(seen.bees.map(Share::said)).map(|share| {
        let density = Leaning::between(BEES_PER_DM2.value, figures::between(&BEES_PER_DM2));
        let full = two_faces_dm2 * BEES_PER_DM2.value;
        Amount::of(share, full, &[outline, density], &[DENSITY_OF_ONE_COMB.value])
    });
    let pollen = eye(seen.pollen.map(Share::said)).map(|share| {
        let mass = Leaning::between(POLLEN_G_PER_DM2.value, figures::between(&POLLEN_G_PER_DM2));
        let full = two_faces_dm2 * POLLEN_G_PER_DM2.value / 1_000.0;
        Amount::of(
            share,
            full,
            &[outline, mass],
            &[figures::POLLEN_OF_ONE_COMB.value],
        )
    });
    let mut amounts = [
        bees,
        cells(stages.eggs, EGGS_OVERLOOKED.value),
        cells(stages.open, 0.0),
        cells(stages.sealed, 0.0),
        cells(stages.all, 0.0),
        drones,
        honey(&seen, measured, &|share| eye(Some(share)), outline),
        pollen,
    ];
    if seen.drawn.is_some_and(|drawn| drawn <= 0.0) {
        // Without comb there are no cells, whatever was not said of them; bees may hang there.
        amounts[1..].fill(Some(Amount::NOTHING));
    }
    Strength::of(amounts)
}

/// What is on all combs of a hive.
///
/// # What it gives
/// The sum of the combs, in the units of [`Strength`]. A kind that no comb tells of is `None`; a comb that
/// does not tell of it adds nothing, so that the sum is that **of the combs that tell**: say beside it how many
/// they are.
///
/// # Equation
/// bound = Σ value ± √((Σ shared)² + Σ own²): the shared doubt of the combs is added, their own in squares.
///
/// # Holds for
/// Combs seen by one person in one hive. Sums of several hives share less, and this interval is then too wide.
///
/// # Source
/// The propagation of errors; which part is shared is said in [`figures`].
///
/// # Checked against
/// A simulation whose cell size, comb thickness and leaning eye are drawn hive by hive.
pub fn hive(combs: &[Strength]) -> Strength {
    let sum = |kind: usize| {
        let told = combs.iter().filter_map(|comb| comb.doubts[kind]);
        told.reduce(Amount::and)
    };
    Strength::of(std::array::from_fn(sum))
}

impl Strength {
    fn of(doubts: [Option<Amount>; 8]) -> Self {
        let [
            bees,
            eggs,
            open_cells,
            sealed_cells,
            brood_cells,
            drone_cells,
            honey_kg,
            pollen_kg,
        ] = doubts.map(|amount| amount.and_then(Amount::estimate));
        Self {
            bees,
            eggs,
            open_cells,
            sealed_cells,
            brood_cells,
            drone_cells,
            honey_kg,
            pollen_kg,
            doubts,
        }
    }
}

/// Worker cells on a dm² of one face, and how far their size leads astray.
fn worker_cells(measured: &Measured) -> Option<(f64, Leaning)> {
    match measured.worker_cell {
        Some(width) => {
            let per_dm2 = cells_per_dm2(width)?.one_face;
            Some((per_dm2, Leaning::even(2.0 * CELL_MEASURED.value)))
        }
        None => {
            let usual = CELL_USUAL_MM.value;
            Some((
                cells_of(usual)?,
                by_width(usual, figures::between(&CELL_USUAL_MM)),
            ))
        }
    }
}

/// The cells on a dm² of one face, by their width in mm.
fn cells_of(width_mm: f64) -> Option<f64> {
    Some(cells_per_dm2(Length::from_mm_f64(width_mm)?)?.one_face)
}

/// How a doubt about the width of cells leads to one about their number, which goes with its inverse square.
fn by_width(width: f64, (narrowest, widest): (f64, f64)) -> Leaning {
    let by = |other: f64| (width / other) * (width / other);
    Leaning::between(1.0, (by(widest), by(narrowest)))
}

/// Honey in kg.
fn honey(
    seen: &Seen,
    measured: &Measured,
    eye: &dyn Fn(Share) -> Option<Share>,
    outline: Leaning,
) -> Option<Amount> {
    let share = eye(share::honey(seen, &OPEN_HONEY, &NECTAR_AS_HONEY)?)?;
    let thickness = measured.thickness.unwrap_or(USUAL_THICKNESS);
    let full_g = FULLNESS.value * honey_per_dm2_g(thickness)? * measured.face.to_dm2();
    let fullness = Leaning::between(FULLNESS.value, figures::between(&FULLNESS));
    let deep = |mm: f64| mm - crate::comb::MIDRIB_AND_CAPPINGS_MM.value;
    let depth_mm = deep(thickness.to_mm());
    let (thickness_of_hive, own) = if measured.thickness.is_some() {
        // Half of it again for the hive: who measures near the foot of one comb does so on all.
        let own = THICKNESS_MEASURED_MM.value / depth_mm;
        (Leaning::even(own / 2.0), own)
    } else {
        let (thin, thick) = figures::between(&THICKNESS_USUAL_MM);
        (
            Leaning::between(depth_mm, (deep(thin), deep(thick))),
            THICKNESS_OF_ONE_COMB.value,
        )
    };
    let shared = [outline, fullness, thickness_of_hive];
    Some(Amount::of(share, full_g / 1_000.0, &shared, &[own]))
}
