//! Bees, bars and combs.
//!
//! Holds true: a hive is not a colony; a comb keeps its identity wherever its bar goes; what a look does not say
//! is unknown, never zero.
//!
//! Does not: judge a colony or name a disease.

pub mod answers;
pub mod baits;
pub mod calendar;
pub mod card;
mod carry;
pub mod diary;
pub(crate) mod facts;
pub mod look;
mod look_misgivings;
pub mod meaning;
pub(crate) mod misgivings;
pub mod round;
mod spacing;
pub mod state;
