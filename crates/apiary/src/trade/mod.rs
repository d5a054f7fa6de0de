//! Lots, empties, shops and sales; prices, orders and invoices.
//!
//! Holds true: what leaves the shelf was on it, unless the keeper insisted; a count overrules the books and the
//! difference stays a complaint until it is settled.

pub mod dealings;
pub(crate) mod facts;
pub mod state;
