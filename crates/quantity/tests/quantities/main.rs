//! Quantities: exact where they promise to be, kept as read, shared without loss.
//!
//! The property tests draw from one fixed seed (see [`cases`]), so that every run tries the same cases.

mod exact;
mod money;
mod readings;
mod units;

use proptest::test_runner::{Config, RngSeed};

/// So many cases from the fixed seed; nothing is written beside the tests.
fn cases(cases: u32) -> Config {
    Config {
        cases,
        rng_seed: RngSeed::Fixed(20_260_719),
        failure_persistence: None,
        ..Config::default()
    }
}

/// A decimal as it is typed.
fn decimal(typed: &str) -> rust_decimal::Decimal {
    typed.parse().expect("the test types a decimal")
}
