//! Yards, patterns, hives, bars' tags, devices; wood, and what is built of it.
//!
//! Holds true: a thing keeps its internal number through every renaming; a label is free again once its thing is
//! gone; wood that was sawn up is no longer there.
//!
//! Does not: draw sections, or know how cuts are planned (`reckon::section`, `reckon::cut`).

pub mod cutting;
pub mod design;
pub(crate) mod facts;
pub mod pattern;
pub mod state;
pub mod workshop;
