//! Lots, empties, shops and sales.
//!
//! Holds true: what leaves the shelf was on it, unless the keeper insisted; a count overrules the books and the
//! difference stays a complaint until it is settled.

pub(crate) mod facts;
pub mod state;
