//! Equations of the craft, and the printed constants they rest on.
//!
//! Holds true: every number from a book has one home, with its doubt, its conditions and its source; an
//! equation asked outside what it holds for refuses, and where it can says what it would have given.
//!
//! Does not: know records, hives by name, or today; round for print; extrapolate silently.
//!
//! Start at [`refractometry`], the shortest whole example; [`sources`] is the bibliography.

pub mod carpentry;
pub mod comb;
pub mod cut;
pub mod degree_days;
pub mod density;
pub mod fit;
pub mod gtin;
pub mod heat;
pub mod jars;
pub mod lumber;
pub mod photo;
mod planar;
pub mod queen;
pub mod rate;
pub mod refractometry;
pub mod section;
pub mod sources;
pub mod strength;
pub mod volumes;
pub mod wall;
pub mod weather;
pub mod winter;
