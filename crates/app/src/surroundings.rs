//! The one place where the clock and randomness come in.

use jiff::civil::{Date, DateTime};
use ledger::Stamp;
use rand::RngExt as _;
use uuid::Uuid;

/// What the program takes from the world around it, apart from the store.
pub trait Surroundings {
    /// The local time.
    fn now(&self) -> DateTime;

    /// Milliseconds since 1970, for the record of when a note was written.
    fn now_ms(&self) -> i64;

    /// Fresh random bytes.
    fn random(&mut self) -> [u8; 32];

    /// Today.
    fn today(&self) -> Date {
        self.now().date()
    }

    /// The clock and the randomness of one entry.
    fn stamp(&mut self) -> Stamp {
        let random = self.random();
        let ms = self.now_ms();
        let mut salt = [0; 16];
        salt.copy_from_slice(&random[..16]);
        let mut tail = [0; 10];
        tail.copy_from_slice(&random[16..26]);
        let id = uuid::Builder::from_unix_timestamp_millis(u64::try_from(ms).unwrap_or(0), &tail).into_uuid();
        Stamp::new(*id.as_bytes(), salt, ms)
    }
}

/// A fresh random id, for a farm.
pub(crate) fn fresh_id(surroundings: &mut dyn Surroundings) -> Uuid {
    surroundings.stamp().id
}

/// The machine's own clock and randomness; the clock may be fixed.
#[derive(Debug, Default)]
pub struct Machine {
    /// The time that `--now` asked for.
    pub fixed: Option<DateTime>,
}

impl Surroundings for Machine {
    #[expect(clippy::disallowed_methods, reason = "this is where the clock comes in")]
    fn now(&self) -> DateTime {
        self.fixed
            .unwrap_or_else(|| jiff::ZonedDateTime::now().datetime())
    }

    #[expect(clippy::disallowed_methods, reason = "this is where the clock comes in")]
    fn now_ms(&self) -> i64 {
        jiff::Timestamp::now().as_millisecond()
    }

    fn random(&mut self) -> [u8; 32] {
        rand::rng().random()
    }
}

/// Surroundings of which each run is like the last: for tests, demo books and benchmarks.
#[derive(Debug)]
pub struct Fixed {
    now: DateTime,
    drawn: u64,
    seed: u64,
}

impl Fixed {
    /// A standing clock, and randomness that follows from a seed.
    pub fn new(now: DateTime, seed: u64) -> Self {
        Self { now, drawn: 0, seed }
    }

    /// Sets the clock.
    pub fn set(&mut self, now: DateTime) {
        self.now = now;
    }
}

impl Surroundings for Fixed {
    fn now(&self) -> DateTime {
        self.now
    }

    fn now_ms(&self) -> i64 {
        self.now
            .in_tz("UTC")
            .map_or(0, |zoned| zoned.timestamp().as_millisecond())
    }

    fn random(&mut self) -> [u8; 32] {
        self.drawn += 1;
        let mut seed = [0; 16];
        seed[..8].copy_from_slice(&self.seed.to_be_bytes());
        seed[8..].copy_from_slice(&self.drawn.to_be_bytes());
        *blake3::hash(&seed).as_bytes()
    }
}
