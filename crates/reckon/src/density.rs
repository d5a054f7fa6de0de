//! The density of honey, from its water and its temperature.
//!
//! Holds true: nothing is given outside the printed table.
//!
//! Does not: weigh jars (see [`crate::jars`]); know foamed or granulated honey.
//!
//! Science: White's table of specific gravity. Start at [`density`].

use std::fmt;

use quantity::{Celsius, Doubt, Fraction, Mass, Sourced, Volume};

use crate::sources::{FROM_MEMORY, WHITE_1975};

/// Specific gravity 20/20 °C beside per cent of water.
///
/// The two ends are confirmed: times 8.34 they are the printed limits of the US gallon, 12.057138 and 11.6343
/// lb. The rows between are *from memory*.
pub static SPECIFIC_GRAVITY: Sourced<[(f64, f64); 9]> = Sourced {
    value: [
        (13.0, 1.4457),
        (14.0, 1.4404),
        (15.0, 1.4350),
        (16.0, 1.4295),
        (17.0, 1.4237),
        (18.0, 1.4171),
        (19.0, 1.4101),
        (20.0, 1.4027),
        (21.0, 1.3950),
    ],
    doubt: Doubt::RoundedTo(0.000_1),
    locator: "table of specific gravity against water; rows 14 to 20 % from memory",
    holds_for: "liquid honey at 20 °C",
    source: &WHITE_1975,
};

/// The density of water at 20 °C, in kg/L, which turns the specific gravity into a density.
pub static WATER_KG_PER_L: Sourced<f64> = Sourced {
    value: 0.998_20,
    doubt: Doubt::RoundedTo(0.000_01),
    locator: "from memory",
    holds_for: "pure water at 20 °C",
    source: &FROM_MEMORY,
};

/// The change of density for each °C, in kg/L, *from memory*: no printed table was reached.
pub static KG_PER_L_PER_CELSIUS: Sourced<f64> = Sourced {
    value: -0.000_6,
    doubt: Doubt::RoundedTo(0.000_1),
    locator: "from memory",
    holds_for: "liquid honey near 20 °C",
    source: &FROM_MEMORY,
};

/// The water that the printed table covers.
const TABLE: std::ops::RangeInclusive<f64> = 0.13..=0.21;

/// The temperatures that the remembered coefficient is carried to; no source, the limits of a honey house.
const CARRIED_C: std::ops::RangeInclusive<f64> = 0.0..=60.0;

/// A density, in kg/L.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Density {
    kg_per_l: f64,
}

impl Density {
    /// Kilograms per litre, the same number of grams per millilitre.
    pub const fn to_kg_per_l(self) -> f64 {
        self.kg_per_l
    }

    /// The volume that a mass fills; `None` for a mass below zero.
    pub fn volume_of(self, mass: Mass) -> Option<Volume> {
        Volume::from_ml(mass.to_g() / self.kg_per_l)
    }

    /// The mass of a volume, to the nanogram; `None` out of range.
    pub fn mass_of(self, volume: Volume) -> Option<Mass> {
        Mass::from_g_f64(volume.to_ml() * self.kg_per_l)
    }
}

/// Why a density cannot be told.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DensityError {
    /// The table covers 13 to 21 % of water.
    OutsideTable {
        /// The water that was asked for, in per cent.
        percent: f64,
    },
    /// The coefficient is carried from 0 to 60 °C.
    OutsideTemperature {
        /// The temperature that was asked for, in °C.
        degrees: f64,
    },
}

impl fmt::Display for DensityError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OutsideTable { percent } => {
                write!(
                    f,
                    "the table of density covers 13 to 21 % water, not {percent:.1} %"
                )
            }
            Self::OutsideTemperature { degrees } => {
                write!(
                    f,
                    "the density of honey is given from 0 to 60 °C, not at {degrees} °C"
                )
            }
        }
    }
}

impl std::error::Error for DensityError {}

/// The density of liquid honey.
///
/// # What it gives
/// Kilograms per litre, the same number of grams per millilitre.
///
/// # Equation
/// ρ = S(W) · 0.99820 − 0.0006 · (t − 20), S read from the table on a straight line between its rows.
///
/// # Holds for
/// 13 to 21 % of water, 0 to 60 °C; the temperature coefficient is *from memory*.
///
/// # Source
/// White 1975, rows 14 to 20 % *from memory*.
///
/// # Checked against
/// Every row of the table; the printed limits of a US gallon, 11.6343 and 12.057138 lb; 1.423 printed for 17
/// % and 1.417 for 18 %.
pub fn density(moisture: Fraction, at: Celsius) -> Result<Density, DensityError> {
    if !CARRIED_C.contains(&at.get()) {
        return Err(DensityError::OutsideTemperature { degrees: at.get() });
    }
    let warming = KG_PER_L_PER_CELSIUS.value * (at.get() - 20.0);
    Ok(Density {
        kg_per_l: specific_gravity(moisture)? * WATER_KG_PER_L.value + warming,
    })
}

/// The specific gravity 20/20 °C of liquid honey.
///
/// # What it gives
/// The ratio of the mass of honey to that of as much water, both at 20 °C.
///
/// # Equation
/// On a straight line between the rows of [`SPECIFIC_GRAVITY`].
///
/// # Holds for
/// 13 to 21 % of water.
///
/// # Source
/// White 1975, rows 14 to 20 % *from memory*.
///
/// # Checked against
/// Every row of the table.
pub fn specific_gravity(moisture: Fraction) -> Result<f64, DensityError> {
    let percent = moisture.to_percent();
    if !TABLE.contains(&moisture.get()) {
        return Err(DensityError::OutsideTable { percent });
    }
    let rows = &SPECIFIC_GRAVITY.value;
    let below = rows
        .iter()
        .rposition(|row| row.0 <= percent)
        .unwrap_or(0)
        .min(rows.len() - 2);
    let ((dry, heavy), (wet, light)) = (rows[below], rows[below + 1]);
    Ok(heavy + (light - heavy) * (percent - dry) / (wet - dry))
}
