//! Quantities: what a keeper weighs, measures, reads, counts in money, and how far each may be trusted.
//!
//! Holds true: a mass, a length and a sum of money are whole numbers of a step in which every unit we print
//! is whole; what was read is kept as it was read ([`Reading`]); a quantity that is not a number cannot be
//! built.
//!
//! Does not: round in passing (printing rounds, or a function whose name says so, such as [`share`]); convert
//! between quantities without being asked; know bees, records or today.
//!
//! Start at [`Mass`], then [`Reading`], then [`Sourced`].

mod area;
mod doubt;
mod fraction;
mod length;
mod mass;
mod money;
mod reading;
mod source;
mod temperature;
mod unit;
mod volume;

pub use mass::Mass;

pub use length::Length;

pub use area::Area;

pub use volume::Volume;

pub use temperature::{Celsius, CelsiusStep};

pub use fraction::Fraction;

pub use money::{Currency, Money, share};

pub use unit::{Unit, UnitKind};

pub use reading::{InchFraction, Reading};

pub use doubt::{Doubt, Estimate, Sourced};

pub use source::{Seen, Source};
