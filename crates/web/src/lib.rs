//! The pages of the books in a browser, on the keeper's own machine, and beyond it for paired phones.
//!
//! A request comes in through a `door`, is let in by `guard`, looked up in `place`, and answered at the [`Desk`]: `answers` reads,
//! `writing` and `import` change, `look` puts the nav, the day and the notices around what `app` tells.
//! The pages themselves come from `app`, their HTML from `page`.
//!
//! Holds true: every page works without a script; nothing is written by looking; a form sent twice writes once;
//! whatever was typed comes back in an answer that does not write it.
//!
//! Start at [`serve()`], then `router`.

mod answers;
mod asked;
mod desk;
mod door;
mod feed;
mod field;
mod guard;
mod import;
mod lan;
mod look;
mod pairing;
mod place;
mod print;
mod reply;
mod router;
mod serve;
mod weather;
mod writing;

pub use desk::{Desk, Setup};
pub use field::{single_file, single_file_of};
pub use lan::Lan;
pub use router::{router, router_beyond};
pub use serve::{Doors, LAN_PORT, USUAL_PORT, serve};
