//! Cutting lists: which boards to saw, and how, so that the parts of a build cost least.
//!
//! Holds true: every length is exact; parts are sawn in two stages, ripped over the full length and then
//! crosscut or the other way round, and a part smaller than its strip is trimmed to it; parts are not turned,
//! for the grain; the kerf lies between pieces and never counts at the end of a board; nothing lies on a bad
//! place. Least cost comes first, then least waste. A plan says how good it is: its bound is proven in whole
//! numbers, and a plan whose cost is the bound is the cheapest there is.
//!
//! Does not: look at a clock (the caller says when to stop, and the same job stopped at the same call gives
//! the same plan); glue wide parts from strips (`lumber::strips`); draw.
//!
//! Science: column generation after Gilmore and Gomory, with knapsacks solved exactly.
//! Start at [`Job`], then [`cut`]; [`check`] says what a plan has to hold to.

mod check;
mod exact;
mod greedy;
mod job;
mod knapsack;
mod layout;
mod listing;
mod master;
mod pattern;
mod plan;
mod search;
mod simplex;
mod stock;
mod workshop;

pub use check::{Broken, check};
pub use job::{Board, CutError, Job, Order, Part};
pub use plan::{CutBoard, Piece, Plan, Progress};
pub use workshop::{Offcut, Saw, SawCut, offcuts, saw_list};

/// The best plan that is found for a job.
///
/// # Meaning
/// Least cost of the boards used, then least of their area that is no part (length, in one direction). Where no
/// board has a price, area is all that counts.
///
/// # Progress
/// `keep_on` is called after every so many steps, with the best so far; when it says no, that is the
/// answer. It is not called before there is a first plan, unless boards are so few that none is found at once.
/// The search also ends by itself: when its plan is proven, or when it has tried what it knows.
///
/// # Errors
/// See [`CutError`].
///
/// # Source
/// [`GILMORE_GOMORY_1961`](crate::sources::GILMORE_GOMORY_1961) and
/// [`GILMORE_GOMORY_1965`](crate::sources::GILMORE_GOMORY_1965); the bound of an unfinished column generation is
/// [`FARLEY_1990`](crate::sources::FARLEY_1990)'s.
pub fn cut(job: &Job, keep_on: &mut dyn FnMut(&Progress) -> bool) -> Result<Plan, CutError> {
    job.sound()?;
    let problem = stock::Problem::of(job)?;
    let outcome = search::Search::new(&problem, keep_on).run();
    let plan = layout::plan(job, &problem, outcome)?;
    debug_assert_eq!(check(job, &plan), Ok(()), "BUG: a plan cannot be sawn");
    Ok(plan)
}
