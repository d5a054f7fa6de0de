//! Length, exact in tenths of a millimetre and in 64ths of an inch at once.

use std::iter::Sum;
use std::ops::{Add, AddAssign, Mul, Neg, Sub, SubAssign};

use crate::area::Area;
use crate::mass::whole_steps;

const STEPS_PER_TENTH_MM: i64 = 32;
const STEPS_PER_64TH_INCH: i64 = 127;
pub(crate) const MM_STEPS: i64 = 10 * STEPS_PER_TENTH_MM;
pub(crate) const INCH_STEPS: i64 = 64 * STEPS_PER_64TH_INCH;

const _: () = assert!(
    STEPS_PER_64TH_INCH * 64 == 254 * STEPS_PER_TENTH_MM,
    "an inch is 25.4 mm"
);
const _: () = assert!(MM_STEPS * 3_125 == 1_000_000, "a step is 3.125 µm, or 3 125 nm");

/// A length, held as a whole number of steps of 3.125 µm.
///
/// 0.1 mm is 32 steps and 1/64 inch is 127 steps, so a metric and a fractional-inch cutting list are both
/// exact. The range is ±28 million kilometres; a difference may be negative. Adding past the range stops the
/// program.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Length {
    steps: i64,
}

impl Length {
    /// No length.
    pub const ZERO: Self = Self { steps: 0 };

    /// A whole number of millimetres; beyond ±2.8 × 10¹⁶ mm it stops the program.
    pub const fn mm(millimetres: i64) -> Self {
        Self {
            steps: millimetres
                .checked_mul(MM_STEPS)
                .expect("a length is out of range"),
        }
    }

    /// A whole number of 64ths of an inch; out of range it stops the program.
    pub const fn inch_64ths(count: i64) -> Self {
        Self {
            steps: count
                .checked_mul(STEPS_PER_64TH_INCH)
                .expect("a length is out of range"),
        }
    }

    /// A whole number of steps of 3.125 µm.
    pub const fn from_steps(steps: i64) -> Self {
        Self { steps }
    }

    /// Millimetres from a calculation, rounded to the step; `None` for what is not a number or out of range.
    pub fn from_mm_f64(millimetres: f64) -> Option<Self> {
        whole_steps(millimetres * MM_STEPS as f64).map(Self::from_steps)
    }

    /// The whole number of steps of 3.125 µm.
    pub const fn steps(self) -> i64 {
        self.steps
    }

    /// Millimetres, for arithmetic that does not need exactness.
    pub fn to_mm(self) -> f64 {
        self.steps as f64 / MM_STEPS as f64
    }

    /// Centimetres, for arithmetic that does not need exactness.
    pub fn to_cm(self) -> f64 {
        self.steps as f64 / (10 * MM_STEPS) as f64
    }

    /// Inches, for arithmetic that does not need exactness.
    pub fn to_inch(self) -> f64 {
        self.steps as f64 / INCH_STEPS as f64
    }

    /// The sum, or `None` out of range.
    pub const fn checked_add(self, other: Self) -> Option<Self> {
        Self::maybe(self.steps.checked_add(other.steps))
    }

    /// The difference, or `None` out of range.
    pub const fn checked_sub(self, other: Self) -> Option<Self> {
        Self::maybe(self.steps.checked_sub(other.steps))
    }

    /// So many times the length, or `None` out of range.
    pub const fn checked_mul(self, times: i64) -> Option<Self> {
        Self::maybe(self.steps.checked_mul(times))
    }

    /// Whether there is no length at all.
    pub const fn is_zero(self) -> bool {
        self.steps == 0
    }

    /// The size of the length, whatever its sign.
    pub const fn abs(self) -> Self {
        Self {
            steps: self.steps.checked_abs().expect("a length is out of range"),
        }
    }

    const fn maybe(steps: Option<i64>) -> Option<Self> {
        match steps {
            Some(steps) => Some(Self { steps }),
            None => None,
        }
    }
}

impl Add for Length {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        self.checked_add(other)
            .expect("the sum of two lengths is out of range")
    }
}

impl Sub for Length {
    type Output = Self;

    fn sub(self, other: Self) -> Self {
        self.checked_sub(other)
            .expect("the difference of two lengths is out of range")
    }
}

impl Neg for Length {
    type Output = Self;

    fn neg(self) -> Self {
        Self::ZERO - self
    }
}

impl AddAssign for Length {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl SubAssign for Length {
    fn sub_assign(&mut self, other: Self) {
        *self = *self - other;
    }
}

impl Sum for Length {
    fn sum<I: Iterator<Item = Self>>(lengths: I) -> Self {
        lengths.fold(Self::ZERO, Add::add)
    }
}

/// The rectangle of two lengths, whatever their signs.
impl Mul for Length {
    type Output = Area;

    fn mul(self, other: Self) -> Area {
        Area::finite(self.to_cm().abs() * other.to_cm().abs())
    }
}
