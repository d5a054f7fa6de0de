//! Cash, costs, hours and things that last.

pub mod answers;
pub(crate) mod facts;
pub mod state;
