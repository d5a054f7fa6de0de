//! Wax, from residue to block.

pub(crate) mod facts;
pub mod state;
