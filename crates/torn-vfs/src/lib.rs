//! A disk that fails on purpose, to be put under SQLite in tests.
//!
//! A [`Disk`] is a virtual file system in memory. It knows which bytes have been synchronised and
//! which only lie in the cache of the operating system. When the *power fails*, what was
//! synchronised survives; of the rest, any 512-byte sector may be there in any of its versions, or
//! half of it. A disk can also be full, read-only, or fail to synchronise.
//!
//! Holds true: without a fault it behaves like the system's own, locks and shared memory of the
//! write-ahead log included; the same seed and the same calls give the same ruins.
//!
//! Start at [`Disk`], then [`Fault`]. What survives is decided in `file.rs`.
#![expect(
    unsafe_code,
    reason = "SQLite takes a file system as C structures and calls back into it"
)]

mod disk;
mod ffi;
mod file;
mod locks;
mod rng;

pub use disk::{Disk, Fault};
