//! An office in memory, its clock standing still.

use app::{Fixed, Office, Outcome, Writing, wire};
use jiff::civil::{Date, date};
use ledger::{Act, Device, Draft, Entry, FarmId, Heads, Stamp};
use serde_json::Value;
use store::MemoryStore;

pub(crate) struct Desk {
    pub(crate) office: Office,
    pub(crate) surroundings: Fixed,
}

impl Desk {
    /// Empty books, the device `laptop`, seed 7.
    pub(crate) fn new() -> Self {
        let mut surroundings = Fixed::new(date(2026, 11, 25).at(9, 0, 0, 0), 7);
        let office = Office::open(Box::new(MemoryStore::new()), None, &mut surroundings).expect("memory");
        Self { office, surroundings }
    }

    /// Books with a yard, a pattern and two hives of 27 places.
    pub(crate) fn with_two_hives() -> Self {
        let mut desk = Self::new();
        desk.write(
            "2026-03-01 yard orchard at 52.1 -2.4
             2026-03-01 pattern sloping slope top 44.5 cm floor 19 cm depth 28 cm length 95.5 cm bar 35 mm
             2026-03-01 hive alder in orchard pattern sloping bars 27
             2026-03-01 hive birch in orchard pattern sloping bars 27",
        );
        desk
    }

    pub(crate) fn try_write(&mut self, text: &str) -> Outcome {
        let lines: Vec<&str> = text.lines().map(str::trim).collect();
        self.office
            .write(&lines, &Writing::default(), &mut self.surroundings)
            .expect("memory never fails")
    }

    #[track_caller]
    pub(crate) fn write(&mut self, text: &str) -> Outcome {
        let outcome = self.try_write(text);
        assert!(outcome.refused.is_empty(), "{:#?}", outcome.refused);
        outcome
    }

    /// Why a line is refused.
    #[track_caller]
    pub(crate) fn refused(&mut self, line: &str) -> String {
        let outcome = self.try_write(line);
        assert_eq!(outcome.written.len(), 0, "{line} was written");
        format!("{:?}", outcome.refused[0].why)
    }

    pub(crate) fn complaints(&mut self) -> Vec<String> {
        self.office
            .library()
            .complaints(None)
            .into_iter()
            .map(|complaint| complaint.says)
            .collect()
    }

    pub(crate) fn lot(&mut self, name: &str) -> Value {
        let holding = self.office.library().holding().clone();
        wire::lot(&holding, self.office.library().books(), name).expect("a lot")
    }

    pub(crate) fn stock_of(&mut self, lot: &str) -> Value {
        let stock = wire::stock(self.office.library().holding());
        stock["lots"]
            .as_array()
            .expect("lots")
            .iter()
            .find(|row| row["lot"] == lot)
            .expect("the lot")
            .clone()
    }

    pub(crate) fn good(&mut self, good: &str) -> Value {
        let stock = wire::stock(self.office.library().holding());
        stock["goods"]
            .as_array()
            .expect("goods")
            .iter()
            .find(|row| row["good"] == good)
            .expect("the good")
            .clone()
    }

    pub(crate) fn batch(&mut self, name: &str) -> Value {
        let holding = self.office.library().holding().clone();
        let balance = wire::balance(&holding, self.office.library().books());
        balance["batches"]
            .as_array()
            .expect("batches")
            .iter()
            .find(|row| row["name"] == name)
            .expect("the batch")
            .clone()
    }

    /// The bars of a hive in short: place, then what hangs there.
    pub(crate) fn map(&mut self, hive: &str, on: Option<Date>) -> String {
        let holding = match on {
            Some(day) => self.office.library().holding_on(day).into_owned(),
            None => self.office.library().holding().clone(),
        };
        let map = wire::hive(&holding, self.office.library().books(), hive).expect("a hive");
        let bars = map["bars"]
            .as_array()
            .expect("bars")
            .iter()
            .filter(|bar| bar["comb"] == true || !bar["tag"].is_null());
        bars.map(|bar| {
            let tag = bar["tag"].as_str().unwrap_or("-");
            let colony = bar["colony"].as_str().unwrap_or("nobody");
            format!("{}:{tag}:{colony}", bar["place"])
        })
        .collect::<Vec<_>>()
        .join(" ")
    }
}

pub(crate) fn kg(value: &Value) -> f64 {
    value.as_f64().unwrap_or(f64::NAN)
}

#[track_caller]
pub(crate) fn close(value: &Value, expected: f64) {
    assert!((kg(value) - expected).abs() < 1e-6, "{value} is not {expected}");
}

/// A line sealed onto the heads by a device; the stamp follows from the number.
pub(crate) fn seal(heads: &mut Heads, farm: FarmId, device: &str, line: &str, number: usize) -> Entry {
    let note = apiary::note::read(line).unwrap_or_else(|error| panic!("{line}: {error}"));
    let draft = Draft {
        day: note.day,
        hour: note.hour,
        by: "".into(),
        origin: "typed".into(),
        grammar: 1,
        act: Act::Note,
        note: line.to_owned(),
    };
    let mut seed = [0; 16];
    seed[..8].copy_from_slice(&(number as u64).to_be_bytes());
    heads.seal(
        farm,
        &Device::new(device).expect("a good name"),
        draft,
        Stamp::new(seed, seed, 0),
    )
}
