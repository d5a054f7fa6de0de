//! Mass, exact in grams, ounces and pounds at once.

use std::iter::Sum;
use std::ops::{Add, AddAssign, Neg, Sub, SubAssign};

pub(crate) const GRAM_NG: i64 = 1_000_000_000;
pub(crate) const OUNCE_NG: i64 = 28_349_523_125;
pub(crate) const POUND_NG: i64 = 453_592_370_000;
const KILOGRAM_NG: i64 = 1_000 * GRAM_NG;

const _: () = assert!(OUNCE_NG * 16 == POUND_NG, "a pound is 16 ounces and 453.59237 g");

/// A mass, held as a whole number of nanograms.
///
/// One nanogram is the coarsest decimal step in which both the avoirdupois pound (0.453 592 37 kg exactly)
/// and the ounce are whole numbers, so a label printed in either stays exact. The range is ±9 223 tonnes; a
/// difference may be negative. Adding past the range stops the program: use [`Mass::checked_add`] where the
/// masses come from outside.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Mass {
    ng: i64,
}

impl Mass {
    /// No mass.
    pub const ZERO: Self = Self { ng: 0 };

    /// A whole number of grams; beyond ±9.2 × 10⁹ g it stops the program.
    pub const fn g(grams: i64) -> Self {
        Self::of(grams, GRAM_NG)
    }

    /// A whole number of kilograms; beyond ±9.2 × 10⁶ kg it stops the program.
    pub const fn kg(kilograms: i64) -> Self {
        Self::of(kilograms, KILOGRAM_NG)
    }

    /// A whole number of avoirdupois ounces; beyond ±3.2 × 10⁸ oz it stops the program.
    pub const fn oz(ounces: i64) -> Self {
        Self::of(ounces, OUNCE_NG)
    }

    /// A whole number of nanograms.
    pub const fn from_ng(ng: i64) -> Self {
        Self { ng }
    }

    /// Grams from a calculation, rounded to the nanogram; `None` for what is not a number or out of range.
    pub fn from_g_f64(grams: f64) -> Option<Self> {
        whole_steps(grams * GRAM_NG as f64).map(Self::from_ng)
    }

    /// The whole number of nanograms.
    pub const fn ng(self) -> i64 {
        self.ng
    }

    /// Grams, for arithmetic that does not need exactness.
    pub fn to_g(self) -> f64 {
        self.ng as f64 / GRAM_NG as f64
    }

    /// Kilograms, for arithmetic that does not need exactness.
    pub fn to_kg(self) -> f64 {
        self.ng as f64 / KILOGRAM_NG as f64
    }

    /// Avoirdupois ounces, for arithmetic that does not need exactness.
    pub fn to_oz(self) -> f64 {
        self.ng as f64 / OUNCE_NG as f64
    }

    /// The sum, or `None` out of range.
    pub const fn checked_add(self, other: Self) -> Option<Self> {
        Self::maybe(self.ng.checked_add(other.ng))
    }

    /// The difference, or `None` out of range.
    pub const fn checked_sub(self, other: Self) -> Option<Self> {
        Self::maybe(self.ng.checked_sub(other.ng))
    }

    /// So many times the mass, or `None` out of range.
    pub const fn checked_mul(self, times: i64) -> Option<Self> {
        Self::maybe(self.ng.checked_mul(times))
    }

    /// Whether there is no mass at all.
    pub const fn is_zero(self) -> bool {
        self.ng == 0
    }

    /// The size of the mass, whatever its sign.
    pub const fn abs(self) -> Self {
        Self {
            ng: self.ng.checked_abs().expect("a mass is out of range"),
        }
    }

    const fn of(count: i64, step_ng: i64) -> Self {
        Self {
            ng: count.checked_mul(step_ng).expect("a mass is out of range"),
        }
    }

    const fn maybe(ng: Option<i64>) -> Option<Self> {
        match ng {
            Some(ng) => Some(Self { ng }),
            None => None,
        }
    }
}

/// A sum beyond ±9 223 t stays at that end: reading books must never stop, and no farm comes near.
/// Where it matters, use [`Mass::checked_add`].
impl Add for Mass {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self {
            ng: self.ng.saturating_add(other.ng),
        }
    }
}

impl Sub for Mass {
    type Output = Self;

    fn sub(self, other: Self) -> Self {
        Self {
            ng: self.ng.saturating_sub(other.ng),
        }
    }
}

impl Neg for Mass {
    type Output = Self;

    fn neg(self) -> Self {
        Self::ZERO - self
    }
}

impl AddAssign for Mass {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl SubAssign for Mass {
    fn sub_assign(&mut self, other: Self) {
        *self = *self - other;
    }
}

impl Sum for Mass {
    fn sum<I: Iterator<Item = Self>>(masses: I) -> Self {
        masses.fold(Self::ZERO, Add::add)
    }
}

/// The nearest whole number of steps, halves away from zero; `None` where `i64` cannot hold it.
pub(crate) fn whole_steps(steps: f64) -> Option<i64> {
    let rounded = libm::round(steps);
    // 2^63 is the first float past the largest i64, and −2^63 the last one inside.
    let past_the_end = 9_223_372_036_854_775_808.0;
    (rounded >= -past_the_end && rounded < past_the_end).then_some(rounded as i64)
}
