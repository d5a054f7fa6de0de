//! How far a number may be trusted, and where it comes from.

use crate::source::Source;

/// How far a number from a publication may be trusted, as its source says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Doubt {
    /// Exact by definition.
    Exact,
    /// Rounded to this step, in the unit of the number: the truth is within half a step.
    RoundedTo(f64),
    /// With this standard deviation, in the unit of the number.
    StdDev(f64),
    /// Between these two values, in the unit of the number.
    Between(f64, f64),
    /// The source does not say.
    Unstated,
}

/// A number taken from a publication, with everything needed to judge it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sourced<T> {
    /// The number, in the unit its home says.
    pub value: T,
    /// How far it may be trusted.
    pub doubt: Doubt,
    /// The table, page or equation in the source.
    pub locator: &'static str,
    /// The conditions it holds under.
    pub holds_for: &'static str,
    /// The publication.
    pub source: &'static Source,
}

/// A calculated value between its lowest and highest defensible values; `lo ≤ value ≤ hi` always.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    value: f64,
    lo: f64,
    hi: f64,
}

impl Estimate {
    /// A value with its bounds, all in one unit; `None` unless they are finite numbers and `lo ≤ value ≤ hi`.
    pub fn new(value: f64, lo: f64, hi: f64) -> Option<Self> {
        let in_order = lo <= value && value <= hi;
        (lo.is_finite() && hi.is_finite() && in_order).then_some(Self { value, lo, hi })
    }

    /// The value itself.
    pub const fn value(self) -> f64 {
        self.value
    }

    /// The lowest defensible value.
    pub const fn lo(self) -> f64 {
        self.lo
    }

    /// The highest defensible value.
    pub const fn hi(self) -> f64 {
        self.hi
    }
}
