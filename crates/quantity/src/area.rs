//! Area: comb faces, walls, floors.

use std::iter::Sum;
use std::ops::{Add, Mul};

use crate::fraction::Fraction;
use crate::length::Length;
use crate::volume::Volume;

/// An area, in square centimetres, never negative and always a number.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Area {
    cm2: f64,
}

impl Area {
    /// No area.
    pub const ZERO: Self = Self { cm2: 0.0 };

    /// Square centimetres; `None` for what is negative or not a finite number.
    pub fn from_cm2(cm2: f64) -> Option<Self> {
        (cm2.is_finite() && cm2 >= 0.0).then_some(Self { cm2 })
    }

    /// Square centimetres.
    pub const fn to_cm2(self) -> f64 {
        self.cm2
    }

    /// Square decimetres.
    pub fn to_dm2(self) -> f64 {
        self.cm2 / 100.0
    }

    /// The part of the area that the fraction says.
    pub fn part(self, fraction: Fraction) -> Self {
        Self {
            cm2: self.cm2 * fraction.get(),
        }
    }

    /// An area from sums and products of areas and lengths, which stay finite and not negative.
    pub(crate) fn finite(cm2: f64) -> Self {
        Self::from_cm2(cm2).expect("an area is out of range")
    }
}

impl Add for Area {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self::finite(self.cm2 + other.cm2)
    }
}

impl Sum for Area {
    fn sum<I: Iterator<Item = Self>>(areas: I) -> Self {
        areas.fold(Self::ZERO, Add::add)
    }
}

/// The prism over the area, whatever the sign of the length.
impl Mul<Length> for Area {
    type Output = Volume;

    fn mul(self, height: Length) -> Volume {
        Volume::from_ml(self.cm2 * height.to_cm().abs()).expect("a volume is out of range")
    }
}
