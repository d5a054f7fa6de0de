//! Where the books are kept: a single SQLite file, or memory for tests and calculations.
//!
//! Holds true: what a write answered survives a power cut; what it did not answer is there whole or
//! not at all; an entry is never changed, only blanked; nothing that was blanked or erased is left
//! in the files.
//!
//! Does not: know what a note means, nor decide what stands (`ledger`).
//!
//! Start at [`SqliteStore`], then [`conformance`], which says what every store must do. For a file
//! that was hurt: [`check`] and [`rescue`].

mod carve;
mod check;
mod memory;
mod rescue;
mod sqlite;

pub mod conformance;

pub use check::{CheckReport, Finding, check};
pub use memory::MemoryStore;
pub use rescue::{RescueReport, rescue};
pub use sqlite::{Options, SqliteStore, Synchronous};
