//! How many jars a mass of honey fills.
//!
//! Holds true: jars × net mass + what is left = the honey, to the nanogram.
//!
//! Does not: know jar sizes or labels; allow for honey left in the tank. Start at [`jars`].

use std::fmt;

use quantity::{Celsius, Fraction, Mass, Volume};

use crate::density::{DensityError, density};

/// Honey shared out into jars.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Filling {
    /// The number of full jars.
    pub jars: u64,
    /// The honey left over, less than a jar.
    pub left: Mass,
    /// What one jar must hold at 20 °C.
    pub fill_volume: Volume,
}

/// Why honey cannot be shared out into jars.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum JarsError {
    /// The honey is less than nothing.
    NoHoney,
    /// A jar holds nothing or less.
    NoNetMass,
    /// The density at this water is not known.
    Density(DensityError),
}

impl fmt::Display for JarsError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoHoney => f.write_str("the honey is less than nothing"),
            Self::NoNetMass => f.write_str("a jar must hold more than nothing"),
            Self::Density(error) => error.fmt(f),
        }
    }
}

impl std::error::Error for JarsError {}

/// The full jars that honey makes, what is left, and the volume of one fill at 20 °C.
///
/// # What it gives
/// A whole number of jars, the mass left over, the volume of one fill.
///
/// # Equation
/// jars = ⌊honey / net⌋ in whole nanograms; left = honey − jars · net; fill = net / ρ(W, 20 °C).
///
/// # Holds for
/// 13 to 21 % of water, as [`density`].
///
/// # Source
/// Arithmetic; the density from White 1975.
///
/// # Checked against
/// A worked example, computed: 20 kg at 17.5 % make 58 jars of 340 g and leave 280 g; a fill is 240 ml.
pub fn jars(honey: Mass, net: Mass, moisture: Fraction) -> Result<Filling, JarsError> {
    if net <= Mass::ZERO {
        return Err(JarsError::NoNetMass);
    }
    let jars = u64::try_from(honey.ng()).map_err(|_| JarsError::NoHoney)? / net.ng().unsigned_abs();
    let at_20 = Celsius::new(20.0).expect("BUG: 20 °C is a temperature");
    let fill_volume = density(moisture, at_20)
        .map_err(JarsError::Density)?
        .volume_of(net);
    Ok(Filling {
        jars,
        left: Mass::from_ng(honey.ng() % net.ng()),
        fill_volume: fill_volume.expect("BUG: a net mass above zero fills a volume"),
    })
}
