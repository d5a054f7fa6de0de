//! A number kept as it was read, so that its doubt is kept with it.

use std::fmt;
use std::hash::{Hash, Hasher};

use rust_decimal::Decimal;

use crate::area::Area;
use crate::length::{INCH_STEPS, Length, MM_STEPS};
use crate::mass::{GRAM_NG, Mass, OUNCE_NG, POUND_NG};
use crate::temperature::Celsius;
use crate::unit::Unit;
use crate::volume::Volume;

/// The fraction on a rule or a scale: `1-1/4`, or `3/8` with no whole.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct InchFraction {
    /// The whole units before the fraction.
    pub whole: u32,
    /// The numerator, above the line.
    pub num: u16,
    /// The denominator, below the line: a power of two, 64 at most.
    pub den: u16,
}

/// An amount kept as it was read: its digits with their trailing zeros, or its fraction, and its unit.
///
/// The derived quantities ([`Reading::mass`] and the like) are computed, never stored, so that "31.2 kg"
/// keeps the doubt of a scale that shows tenths. Two readings are equal when they are written alike: `4.60
/// kg` is not `4.6 kg`.
#[derive(Debug, Clone, Copy)]
pub struct Reading {
    digits: Decimal,
    fraction: Option<InchFraction>,
    unit: Unit,
}

const _: () = assert!(size_of::<Reading>() <= 40, "a reading is copied freely");

impl Reading {
    /// An amount read in decimals.
    pub fn new(digits: Decimal, unit: Unit) -> Self {
        let mut digits = digits;
        if digits.is_zero() {
            digits.set_sign_positive(true);
        }
        Self {
            digits,
            fraction: None,
            unit,
        }
    }

    /// An amount read in fractions, such as `1-1/4 in`.
    ///
    /// `None` unless the unit is inch, foot, pound or ounce, the denominator is a power of two up to 64, the
    /// numerator is not zero, and it is less than the denominator or stands alone.
    pub fn with_fraction(whole: u32, num: u16, den: u16, unit: Unit) -> Option<Self> {
        let is_ruled = matches!(unit, Unit::In | Unit::Ft | Unit::Lb | Unit::Oz);
        let is_fraction = den.is_power_of_two() && den <= 64 && num > 0 && (num < den || whole == 0);
        if !is_ruled || !is_fraction {
            return None;
        }
        // A 64th has six decimals, so every such fraction is a whole number of millionths.
        let millionths = i64::from(num) * 1_000_000 / i64::from(den);
        let digits = (Decimal::from(whole) + Decimal::new(millionths, 6)).normalize();
        Some(Self {
            digits,
            fraction: Some(InchFraction { whole, num, den }),
            unit,
        })
    }

    /// The exact value in its own unit, a fraction included.
    pub const fn digits(&self) -> Decimal {
        self.digits
    }

    /// The fraction, if it was read as one.
    pub const fn fraction(&self) -> Option<InchFraction> {
        self.fraction
    }

    /// The unit it was read in.
    pub const fn unit(&self) -> Unit {
        self.unit
    }

    /// One unit of the last digit, or of the denominator, in the reading's own unit.
    pub fn resolution(&self) -> Decimal {
        match self.fraction {
            Some(fraction) => Decimal::new(1_000_000 / i64::from(fraction.den), 6).normalize(),
            None => Decimal::new(1, self.digits.scale()),
        }
    }

    /// The mass, to the nearest nanogram; `None` when the unit is none of mass, and out of range.
    ///
    /// It is exact for a metric reading of a microgram or coarser, for whole ounces and for a pound in
    /// ten-thousandths; half an ounce ends in half a nanogram.
    pub fn mass(&self) -> Option<Mass> {
        self.nearest(mass_step_ng(self.unit)?).map(Mass::from_ng)
    }

    /// The length, to the nearest step of 3.125 µm; `None` when the unit is none of length, and out of range.
    ///
    /// It is exact for tenths of a millimetre and 64ths of an inch.
    pub fn length(&self) -> Option<Length> {
        self.nearest(length_steps(self.unit)?).map(Length::from_steps)
    }

    /// The volume; `None` when the unit is none of volume, and when it is negative.
    pub fn volume(&self) -> Option<Volume> {
        Volume::from_ml(self.to_f64() * volume_ml(self.unit)?)
    }

    /// The temperature; `None` when the unit is none of temperature, and below absolute zero.
    pub fn celsius(&self) -> Option<Celsius> {
        match self.unit {
            Unit::C => Celsius::new(self.to_f64()),
            Unit::F => Celsius::from_fahrenheit(self.to_f64()),
            _ => None,
        }
    }

    /// The number of parts in a hundred, any sign and size; `None` when the unit is not per cent.
    pub fn percent(&self) -> Option<Decimal> {
        (self.unit == Unit::Percent).then_some(self.digits)
    }

    /// The area; `None` when the unit is none of area, and when it is negative.
    pub fn area(&self) -> Option<Area> {
        Area::from_cm2(self.to_f64() * area_cm2(self.unit)?)
    }

    /// The value in whole steps, rounded half away from zero.
    fn nearest(&self, steps_per_unit: i64) -> Option<i64> {
        let (steps, divisor) = self.over(steps_per_unit)?;
        let rounded = (2 * steps.abs() + divisor) / (2 * divisor) * steps.signum();
        i64::try_from(rounded).ok()
    }

    /// The value times a whole number of steps, as a numerator and a denominator that share no needless
    /// factor.
    ///
    /// `None` when the numerator does not fit in 125 bits, far beyond any quantity here.
    fn over(&self, step: i64) -> Option<(i128, i128)> {
        let tens = 10_i128.pow(self.digits.scale());
        let common = common_factor(i128::from(step), tens);
        let numerator = self.digits.mantissa().checked_mul(i128::from(step) / common)?;
        (numerator.unsigned_abs() < 1 << 125).then_some((numerator, tens / common))
    }

    fn to_f64(self) -> f64 {
        self.digits.mantissa() as f64 / 10_i128.pow(self.digits.scale()) as f64
    }

    fn as_written(&self) -> (i128, u32, Option<InchFraction>, Unit) {
        (
            self.digits.mantissa(),
            self.digits.scale(),
            self.fraction,
            self.unit,
        )
    }
}

impl PartialEq for Reading {
    fn eq(&self, other: &Self) -> bool {
        self.as_written() == other.as_written()
    }
}

impl Eq for Reading {}

impl Hash for Reading {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.as_written().hash(state);
    }
}

impl fmt::Display for Reading {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.fraction {
            None => write!(f, "{} {}", self.digits, self.unit),
            Some(InchFraction { whole: 0, num, den }) => write!(f, "{num}/{den} {}", self.unit),
            Some(InchFraction { whole, num, den }) => write!(f, "{whole}-{num}/{den} {}", self.unit),
        }
    }
}

fn mass_step_ng(unit: Unit) -> Option<i64> {
    Some(match unit {
        Unit::T => 1_000_000 * GRAM_NG,
        Unit::Kg => 1_000 * GRAM_NG,
        Unit::G => GRAM_NG,
        Unit::Mg => GRAM_NG / 1_000,
        Unit::Lb => POUND_NG,
        Unit::Oz => OUNCE_NG,
        _ => return None,
    })
}

fn length_steps(unit: Unit) -> Option<i64> {
    Some(match unit {
        Unit::Mm => MM_STEPS,
        Unit::Cm => 10 * MM_STEPS,
        Unit::M => 1_000 * MM_STEPS,
        Unit::Km => 1_000_000 * MM_STEPS,
        Unit::In => INCH_STEPS,
        Unit::Ft => 12 * INCH_STEPS,
        Unit::Mi => 5_280 * 12 * INCH_STEPS,
        _ => return None,
    })
}

/// A US gallon is 231 cubic inches of 16.387 064 ml, exactly.
const GALLON_ML: f64 = 3_785.411_784;

fn volume_ml(unit: Unit) -> Option<f64> {
    Some(match unit {
        Unit::Ml => 1.0,
        Unit::Cl => 10.0,
        Unit::L => 1_000.0,
        Unit::Gal => GALLON_ML,
        Unit::Qt => GALLON_ML / 4.0,
        Unit::Pt => GALLON_ML / 8.0,
        Unit::Floz => GALLON_ML / 128.0,
        _ => return None,
    })
}

fn area_cm2(unit: Unit) -> Option<f64> {
    Some(match unit {
        Unit::Cm2 => 1.0,
        Unit::Dm2 => 100.0,
        Unit::M2 => 10_000.0,
        Unit::In2 => 2.54 * 2.54,
        _ => return None,
    })
}

/// The greatest common divisor, by Euclid.
fn common_factor(first: i128, second: i128) -> i128 {
    let (mut larger, mut smaller) = (first, second);
    while smaller != 0 {
        (larger, smaller) = (smaller, larger % smaller);
    }
    larger
}
