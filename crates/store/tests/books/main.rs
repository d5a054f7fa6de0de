//! The stores, held to what they promise.
#![expect(
    clippy::unwrap_used,
    reason = "a test may stop where it stands, in its helpers too"
)]

mod every_store;
mod faults;
mod hurt;
mod opening;
mod power;
mod power_cuts;
mod processes;
mod traces;
