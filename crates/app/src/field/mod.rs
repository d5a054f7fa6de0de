//! What a phone takes into the field, and what it brings home.
//!
//! A phone is given a *pack*: every hive with its last map, so that a look can be written down where no signal
//! reaches. It brings back *drafts*: lines with ids that were made on the phone. The device that receives them
//! writes them into its own chain and remembers the id as their origin, so that sending twice writes once.
//!
//! Holds true: a draft is never dropped. What contradicts the map is written with `anyway` and becomes a
//! complaint; what cannot be read is kept as a jotting, word for word; what the disk refuses stays on the phone.
//!
//! Start at [`pack()`] and [`take_in`].

mod bring;
mod drafts;
mod pack;

pub use bring::{Bundle, NoBundle, bundle};
pub use drafts::{BadDrafts, Became, Draft, Taken, drafts, take_in};
pub use pack::pack;
