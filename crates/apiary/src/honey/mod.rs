//! Honey, from the cut comb to the sealed jar.
//!
//! Holds true: in = out + residue + loss + unaccounted + left, for every batch; every lot reaches back to its
//! bars, or says where the books begin.
//!
//! Science: `reckon::refractometry`, `reckon::comb`. Start at [`state::Batch`], then [`answers::trace`].

pub mod answers;
pub(crate) mod facts;
pub(crate) mod misgivings;
pub mod state;
