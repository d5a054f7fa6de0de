//! The books: sealed entries, the chains they form, and which of their notes stand.
//!
//! Holds true: what was written stays readable as it was written; the same set of entries gives
//! the same answer whatever order they arrived in and however often; nothing odd is ever an error,
//! it is a value the reader can be shown.
//!
//! Does not: read a word of a note, know a hive or a bee, touch a disk, a clock or a random number.
//! Those come in as arguments ([`Stamp`]) or live behind the one door, [`Store`].
//!
//! Start at [`Entry`], then [`Books`], then [`standing`]. The bytes are described in `docs/format.md`.

mod books;
mod chain;
mod digest;
mod entry;
mod heads;
mod hours;
mod index;
mod lineage;
mod load;
mod names;
mod problem;
mod standing;
mod store;
pub mod wire;

#[cfg(test)]
mod tests;

pub use books::{Added, Books, Change, Unread};
pub use digest::{Digest, Misread, Salt};
pub use entry::{Act, Broken, Entry, Envelope, Row};
pub use heads::{Draft, Head, Heads, Stamp};
pub use hours::{Hours, Window, effective_hours};
pub use lineage::Lineage;
pub use load::load;
pub use names::{Device, FarmId, Handle, Hour, Unnameable};
pub use problem::Problem;
pub use standing::{Rivals, Standing, in_order, settled, standing, which_first};
pub use store::{Appended, Cause, Fault, Person, Scope, Store};
