//! Fractions of a whole: a comb's fill, the share of water.

/// A part of a whole, from 0 to 1, always a number.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Fraction {
    part: f64,
}

impl Fraction {
    /// Nothing of the whole.
    pub const ZERO: Self = Self { part: 0.0 };

    /// All of the whole.
    pub const ONE: Self = Self { part: 1.0 };

    /// A part between 0 and 1; `None` outside and for what is not a number.
    pub fn new(part: f64) -> Option<Self> {
        (0.0..=1.0).contains(&part).then_some(Self { part })
    }

    /// A part in per cent, between 0 and 100; `None` outside and for what is not a number.
    pub fn percent(percent: f64) -> Option<Self> {
        Self::new(percent / 100.0)
    }

    /// The part, between 0 and 1.
    pub const fn get(self) -> f64 {
        self.part
    }

    /// The part in per cent, between 0 and 100.
    pub fn to_percent(self) -> f64 {
        self.part * 100.0
    }

    /// What is missing to the whole.
    pub fn rest(self) -> Self {
        Self {
            part: 1.0 - self.part,
        }
    }
}
