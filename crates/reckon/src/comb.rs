//! What a comb holds: cells, and honey when it is full.
//!
//! Holds true: a comb's area is that of one face; the honey of a comb is that of both its faces.
//!
//! Does not: know brood or pollen; know the outline of a comb (see [`crate::section`]).
//!
//! Science: the geometry of hexagons; two models of honey by thickness and the keepers' rule of eighths,
//! which disagree and are all given. Start at [`full_comb_g`].

use quantity::{Area, Doubt, Estimate, Fraction, Length, Mass, Sourced};

use crate::sources::{EIGHTHS_2020, FROM_MEMORY};

/// The thickness of a sealed comb whose thickness was not measured; *common practice, no source*.
pub const USUAL_THICKNESS: Length = Length::mm(25);

/// The density of ripe honey, in g/cm³, where its water is not known: about 17 to 18 %.
pub static RIPE_HONEY_G_PER_CM3: Sourced<f64> = Sourced {
    value: 1.42,
    doubt: Doubt::RoundedTo(0.01),
    locator: "from memory",
    holds_for: "honey of 17 to 18 % water at 20 °C",
    source: &FROM_MEMORY,
};

/// The part of a full comb's space that is honey and not wax or air.
pub static FILL: Sourced<f64> = Sourced {
    value: 0.92,
    doubt: Doubt::Unstated,
    locator: "from memory",
    holds_for: "a sealed comb, by its whole thickness",
    source: &FROM_MEMORY,
};

/// The thickness of midrib and cappings, in millimetres.
pub static MIDRIB_AND_CAPPINGS_MM: Sourced<f64> = Sourced {
    value: 2.0,
    doubt: Doubt::Unstated,
    locator: "from memory",
    holds_for: "a sealed comb",
    source: &FROM_MEMORY,
};

/// The part between midrib and cappings that is not cell walls.
pub static BETWEEN_WALLS: Sourced<f64> = Sourced {
    value: 0.95,
    doubt: Doubt::Unstated,
    locator: "from memory",
    holds_for: "a sealed comb",
    source: &FROM_MEMORY,
};

/// The honey in a dm² of full comb, both faces, in grams, by the rule of eighths: 125 g for each eighth of a
/// face.
pub static EIGHTHS_G_PER_DM2: Sourced<f64> = Sourced {
    value: 250.0,
    doubt: Doubt::Unstated,
    locator: "125 g of food for an eighth of a Zander face, which is about a dm²",
    holds_for: "comb of brood thickness, 22 to 25 mm",
    source: &EIGHTHS_2020,
};

/// The thickest honeycomb of the range that is told of, whose 486 g/dm² by [`honey_per_dm2_g`] is the upper
/// bound.
const THICKEST: Length = Length::mm(38);

/// Cells in a square decimetre.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CellsPerDm2 {
    /// On one face.
    pub one_face: f64,
    /// On both faces.
    pub both_faces: f64,
}

/// The cells in a square decimetre of comb.
///
/// # What it gives
/// Cells on one face, and on both.
///
/// # Equation
/// N = 10 000 / (√3/2 · d²), d the width of a cell in mm from wall to wall; both faces are twice as many.
///
/// # Holds for
/// Regular cells; `None` for a width of nothing or less.
///
/// # Source
/// The area of a hexagon.
///
/// # Checked against
/// Betts 1938: with n cells in 10 cm, 2.309 · n² cells on both faces.
pub fn cells_per_dm2(width: Length) -> Option<CellsPerDm2> {
    if width <= Length::ZERO {
        return None;
    }
    let cell_mm2 = libm::sqrt(3.0) / 2.0 * width.to_mm() * width.to_mm();
    let one_face = 10_000.0 / cell_mm2;
    Some(CellsPerDm2 {
        one_face,
        both_faces: 2.0 * one_face,
    })
}

/// The honey in a square decimetre of full comb, from its parts.
///
/// # What it gives
/// Grams of honey in both faces of 1 dm² of comb: an upper bound, for a comb is seldom quite full.
///
/// # Equation
/// m = (T − 2) · 10 · 0.95 · 1.42, T the thickness in mm: 2 mm of midrib and cappings, 5 % of walls.
///
/// # Holds for
/// Sealed comb thicker than 2 mm, else `None`.
///
/// # Source
/// A model; its constants are *from memory*.
///
/// # Checked against
/// Values computed from the same model, 270 g at 22 mm to 486 g at 38 mm; the rule of eighths, 250 g at 22 to
/// 25 mm, lies below it.
pub fn honey_per_dm2_g(thickness: Length) -> Option<f64> {
    let cells_mm = thickness.to_mm() - MIDRIB_AND_CAPPINGS_MM.value;
    (cells_mm > 0.0).then_some(cells_mm * 10.0 * BETWEEN_WALLS.value * RIPE_HONEY_G_PER_CM3.value)
}

/// The honey in a full comb.
///
/// # What it gives
/// Grams of honey in both faces. The bounds are those of what is told of full combs, 250 to 486 g/dm²,
/// widened where the thickness leads beyond them.
///
/// # Equation
/// m = A · T · 0.92 · 1.42, A the area of one face in cm², T the thickness in cm.
///
/// # Holds for
/// Comb full and sealed on both faces, of any thickness above nothing, else `None`; use [`USUAL_THICKNESS`]
/// where it was not measured.
///
/// # Source
/// A model whose constants are *from memory*; the lower bound from the rule of eighths, the upper from
/// [`honey_per_dm2_g`] at 38 mm.
///
/// # Checked against
/// Values computed from the same model: 3.3, 3.7 and 4.2 g/cm² at 25, 28 and 32 mm; 2.9 kg for 889 cm².
pub fn full_comb_g(face: Area, thickness: Length) -> Option<Estimate> {
    if thickness <= Length::ZERO {
        return None;
    }
    let grams = face.to_cm2() * thickness.to_cm() * FILL.value * RIPE_HONEY_G_PER_CM3.value;
    let lo = face.to_dm2() * EIGHTHS_G_PER_DM2.value;
    let hi = face.to_dm2() * honey_per_dm2_g(THICKEST)?;
    Estimate::new(grams, lo.min(grams), hi.max(grams))
}

/// The honey in a comb of which a part is full, such as that under cappings: [`full_comb_g`] of that part.
pub fn part_full_comb_g(face: Area, thickness: Length, full: Fraction) -> Option<Estimate> {
    full_comb_g(face.part(full), thickness)
}

/// The load on each centimetre of the line where a comb hangs from its bar, in grams; `None` for no width.
pub fn load_g_per_cm(comb: Mass, width_at_bar: Length) -> Option<f64> {
    (width_at_bar > Length::ZERO).then(|| comb.to_g() / width_at_bar.to_cm())
}
