//! The water in honey, from a refractometer.
//!
//! A refractometer shows an index, degrees Brix or per cent of water; whatever it shows is first turned into
//! the index at 20 °C, and that into water. Holds true: an instrument that corrects for temperature itself is
//! never corrected again (at 30 °C that would be an error of about a point).
//!
//! Does not: judge whether the honey is ripe; give 100 − Brix, which is often taught and overstates the water
//! by [`HUNDRED_MINUS_BRIX_OVERSTATES`].
//!
//! Science: the relation of Wedmore, which the printed table follows in all its 61 rows.
//! Start at [`moisture`], then [`moisture_shown`].

use std::fmt;

use quantity::{Celsius, Doubt, Fraction, Sourced};

use crate::sources::{BOGDANOV_PHYSICAL, HIVE_AND_HONEY_BEE, WEDMORE_1955};

/// The intercept of Wedmore's relation: the logarithm of 100 · (n − 1) for no water at all.
pub static INTERCEPT: Sourced<f64> = Sourced {
    value: 1.731_90,
    doubt: Doubt::RoundedTo(0.000_01),
    locator: "equation under the table of water against refraction",
    holds_for: "honey of 13 to 25 % water at 20 °C",
    source: &WEDMORE_1955,
};

/// The slope of Wedmore's relation: the fall of that logarithm with each per cent of water.
pub static SLOPE: Sourced<f64> = Sourced {
    value: 0.002_243,
    doubt: Doubt::RoundedTo(0.000_001),
    locator: "equation under the table of water against refraction",
    holds_for: "honey of 13 to 25 % water at 20 °C",
    source: &WEDMORE_1955,
};

/// The change of index for each °C; added above 20 °C, taken off below.
pub static INDEX_PER_CELSIUS: Sourced<f64> = Sourced {
    value: 0.000_23,
    doubt: Doubt::RoundedTo(0.000_01),
    locator: "note under the table of water against refraction",
    holds_for: "honey near 20 °C",
    source: &BOGDANOV_PHYSICAL,
};

/// What degrees Brix and per cent of water add up to in honey; 100 would be right for sucrose alone.
///
/// A line derived from two points: 78 °Bx beside 20.4 % of water in the conversion table, and the index of
/// sucrose at 80 °Bx, 1.49071 *from memory*, which is 18.34 % by Wedmore's relation.
pub static BRIX_AND_WATER: Sourced<f64> = Sourced {
    value: 98.4,
    doubt: Doubt::Between(98.2, 98.6),
    locator: "conversion table, p. 892 (second-hand), and one remembered index of sucrose",
    holds_for: "honey of 13 to 25 % water",
    source: &HIVE_AND_HONEY_BEE,
};

/// How far the often-taught 100 − Brix overstates the water, in points.
pub static HUNDRED_MINUS_BRIX_OVERSTATES: Sourced<f64> = Sourced {
    value: 1.6,
    doubt: Doubt::Between(1.4, 1.8),
    locator: "conversion table, p. 892 (second-hand)",
    holds_for: "honey of 13 to 25 % water",
    source: &HIVE_AND_HONEY_BEE,
};

/// The water that the relation may be asked about: the printed table, 13.0 to 25.0 %, and half a row beyond
/// each end.
const FIT: std::ops::RangeInclusive<f64> = 0.129..=0.251;

/// Liquid honey that a refractometer can be read with; no source, the limits of common sense.
const READABLE_C: std::ops::RangeInclusive<f64> = 0.0..=60.0;

const REFERENCE_C: f64 = 20.0;

/// The water in a honey, with the interval that the resolution of the reading leaves open.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moisture {
    /// The water, in grams per 100 g of honey.
    pub percent: f64,
    /// The driest it may be, in per cent.
    pub lo: f64,
    /// The wettest it may be, in per cent.
    pub hi: f64,
    /// The refractive index of this honey at 20 °C.
    pub index_at_20: f64,
}

/// What a refractometer shows, on the scale it has.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Scale {
    /// A refractive index, such as 1.4915.
    Index(f64),
    /// Degrees Brix, the scale of sugar solutions.
    Brix(f64),
    /// Per cent of water, on a scale made for honey.
    Water(f64),
}

/// Whether the instrument corrects for temperature itself.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Instrument {
    /// It does not; the honey and the prism were this warm.
    Plain {
        /// The temperature of prism and honey.
        at: Celsius,
    },
    /// It does, so the temperature changes nothing.
    Compensating,
}

/// One look through a refractometer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shown {
    /// What it shows.
    pub scale: Scale,
    /// The finest step that can be read, in the unit of the scale; 0 where nothing is known of it.
    pub resolution: f64,
    /// The kind of instrument.
    pub instrument: Instrument,
}

/// Why the water cannot be told.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MoistureError {
    /// The relation was fitted on 13 to 25 % water only.
    OutsideFit {
        /// The water that the relation would have given, in per cent.
        would_be_percent: f64,
    },
    /// Honey colder than 0 °C or warmer than 60 °C.
    OutsideTemperature {
        /// The temperature that was asked for, in °C.
        degrees: f64,
    },
    /// No refractometer can show this: no number, an index of 1 or less, a resolution below zero.
    NotAReading,
}

impl fmt::Display for MoistureError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OutsideFit { would_be_percent } => write!(
                f,
                "the relation holds from 12.9 to 25.1 % water only, and would have given {would_be_percent:.2} %"
            ),
            Self::OutsideTemperature { degrees } => {
                write!(f, "honey is read between 0 and 60 °C, not at {degrees} °C")
            }
            Self::NotAReading => f.write_str("no refractometer can show this"),
        }
    }
}

impl std::error::Error for MoistureError {}

/// The water in a honey whose refractive index was read at a temperature, on an instrument that does not
/// correct for it.
///
/// # What it gives
/// Grams of water in 100 g of honey.
///
/// # Equation
/// W = (1.73190 − log₁₀(100 · (n₂₀ − 1))) / 0.002243, with n₂₀ from [`index_at_20`]. It is often printed with
/// the logarithm of n − 1 itself; taken so, an index of 1.4915 would be 909.7 % of water.
///
/// # Holds for
/// 12.9 to 25.1 % of water; liquid honey without crystals.
///
/// # Source
/// Wedmore 1955, after Chataway's measurements.
///
/// # Checked against
/// All 61 rows of the table printed by Bogdanov, 13.0 to 25.0 %.
pub fn moisture(index: f64, at: Celsius) -> Result<Moisture, MoistureError> {
    moisture_shown(Shown {
        scale: Scale::Index(index),
        resolution: 0.0,
        instrument: Instrument::Plain { at },
    })
}

/// The water in a honey from whatever scale the refractometer has, with the interval its resolution leaves
/// open.
///
/// # What it gives
/// Grams of water in 100 g of honey; the interval is what half a step of the scale up and down would have
/// given, and for Brix the 0.2 points of [`BRIX_AND_WATER`] besides.
///
/// # Equation
/// A honey scale is turned back into the index by [`index`], a Brix scale by W = 98.4 − Bx first; the index
/// is moved to 20 °C unless the instrument did so itself, and turned into water as in [`moisture`].
///
/// # Holds for
/// 12.9 to 25.1 % of water; an end of the interval may lie a little outside.
///
/// # Source
/// Wedmore 1955; for Brix the table of *The Hive and the Honey Bee*, second-hand.
///
/// # Checked against
/// The printed table by way of [`moisture`]; 78 °Bx beside 20.4 %.
pub fn moisture_shown(shown: Shown) -> Result<Moisture, MoistureError> {
    if !(shown.resolution.is_finite() && shown.resolution >= 0.0) {
        return Err(MoistureError::NotAReading);
    }
    let half_step = shown.resolution / 2.0;
    let middle = index_shown(shown.scale, 0.0, shown.instrument)?;
    let one_end = percent_at(index_shown(shown.scale, -half_step, shown.instrument)?)?;
    let other_end = percent_at(index_shown(shown.scale, half_step, shown.instrument)?)?;
    let doubt = doubt_of(shown.scale);
    Ok(Moisture {
        percent: within_fit(percent_at(middle)?)?,
        lo: one_end.min(other_end) - doubt,
        hi: one_end.max(other_end) + doubt,
        index_at_20: middle,
    })
}

/// The index that a honey would have shown at 20 °C.
///
/// # What it gives
/// A refractive index at 20 °C.
///
/// # Equation
/// n₂₀ = n + 0.00023 · (t − 20): added above 20 °C, taken off below.
///
/// # Holds for
/// Honey from 0 to 60 °C; the coefficient is known near 20 °C only.
///
/// # Source
/// Bogdanov, note under the table.
///
/// # Checked against
/// A worked example: 1.4820 at 32 °C is 1.48476 at 20 °C.
pub fn index_at_20(index: f64, at: Celsius) -> Result<f64, MoistureError> {
    if !READABLE_C.contains(&at.get()) {
        return Err(MoistureError::OutsideTemperature { degrees: at.get() });
    }
    Ok(index + INDEX_PER_CELSIUS.value * (at.get() - REFERENCE_C))
}

/// The refractive index at 20 °C of a honey with so much water.
///
/// # What it gives
/// A refractive index at 20 °C.
///
/// # Equation
/// n₂₀ = 1 + 10^(1.73190 − 0.002243 · W) / 100, the inverse of [`moisture`].
///
/// # Holds for
/// 12.9 to 25.1 % of water.
///
/// # Source
/// Wedmore 1955.
///
/// # Checked against
/// All 61 rows of the table printed by Bogdanov, 13.0 to 25.0 %.
pub fn index(moisture: Fraction) -> Result<f64, MoistureError> {
    if !FIT.contains(&moisture.get()) {
        return Err(MoistureError::OutsideFit {
            would_be_percent: moisture.to_percent(),
        });
    }
    Ok(index_of(moisture.to_percent()))
}

/// The index at 20 °C behind what is shown, moved along the scale by `offset`.
fn index_shown(scale: Scale, offset: f64, instrument: Instrument) -> Result<f64, MoistureError> {
    let index = match scale {
        Scale::Index(index) => index + offset,
        Scale::Brix(brix) => index_of(BRIX_AND_WATER.value - (brix + offset)),
        Scale::Water(percent) => index_of(percent + offset),
    };
    match instrument {
        Instrument::Plain { at } => index_at_20(index, at),
        Instrument::Compensating => Ok(index),
    }
}

fn doubt_of(scale: Scale) -> f64 {
    match (scale, BRIX_AND_WATER.doubt) {
        (Scale::Brix(_), Doubt::Between(lo, hi)) => (hi - lo) / 2.0,
        _ => 0.0,
    }
}

fn percent_at(index_at_20: f64) -> Result<f64, MoistureError> {
    let percent = (INTERCEPT.value - libm::log10(100.0 * (index_at_20 - 1.0))) / SLOPE.value;
    percent
        .is_finite()
        .then_some(percent)
        .ok_or(MoistureError::NotAReading)
}

fn within_fit(percent: f64) -> Result<f64, MoistureError> {
    // A scale that shows exactly the end of the fit comes back from the index with a last digit of its own.
    let rounding = 1e-12;
    let (driest, wettest) = (100.0 * FIT.start() - rounding, 100.0 * FIT.end() + rounding);
    let is_within = (driest..=wettest).contains(&percent);
    is_within.then_some(percent).ok_or(MoistureError::OutsideFit {
        would_be_percent: percent,
    })
}

fn index_of(percent: f64) -> f64 {
    1.0 + libm::exp10(INTERCEPT.value - SLOPE.value * percent) / 100.0
}
