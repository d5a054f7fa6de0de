//! Volume: hives, jars, honey.

use std::iter::Sum;
use std::ops::Add;

/// A volume, in millilitres, never negative and always a number.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Volume {
    ml: f64,
}

impl Volume {
    /// No volume.
    pub const ZERO: Self = Self { ml: 0.0 };

    /// Millilitres; `None` for what is negative or not a finite number.
    pub fn from_ml(ml: f64) -> Option<Self> {
        (ml.is_finite() && ml >= 0.0).then_some(Self { ml })
    }

    /// Millilitres.
    pub const fn to_ml(self) -> f64 {
        self.ml
    }

    /// Litres.
    pub fn to_l(self) -> f64 {
        self.ml / 1_000.0
    }
}

impl Add for Volume {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self::from_ml(self.ml + other.ml).expect("a volume is out of range")
    }
}

impl Sum for Volume {
    fn sum<I: Iterator<Item = Self>>(volumes: I) -> Self {
        volumes.fold(Self::ZERO, Add::add)
    }
}
