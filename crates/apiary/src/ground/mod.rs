//! Yards, patterns, hives, bars' tags, devices.
//!
//! Holds true: a thing keeps its internal number through every renaming; a label is free again once its thing is
//! gone.
//!
//! Does not: draw sections or plan cuts (`reckon::section`).

pub(crate) mod facts;
pub mod state;
