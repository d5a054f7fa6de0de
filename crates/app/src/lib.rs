//! Use-cases: open the books, read, doubt, write, answer.
//!
//! Owns the clock, randomness and the way to the store; knows no terminal and no page.
//! Start at [`Office`], then [`Library`].

pub mod demo;
pub mod feeds;
pub mod field;
pub mod forms;
pub mod import;
mod library;
mod office;
pub mod pairing;
mod reader;
pub mod sheets;
mod surroundings;
pub mod warmth;
pub mod weather;
pub mod wire;

pub use library::Library;
pub use office::{Before, Office, Outcome, Refused, Why, Writing, Written};
pub use reader::Reader;
pub use surroundings::{Fixed, Machine, Surroundings};
