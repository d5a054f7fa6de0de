//! Cash, costs, hours and things that last.

pub(crate) mod facts;
pub mod state;
pub mod answers;
