//! What the holding keeps for the pages: which notes name a thing, where sums come from, what is asked and owed.
//!
//! An entry is told by its place in the books, which here is the line of the text it stands in, from 0.

mod calendar;
mod cutting;
mod doubts;
mod history;
mod looks;
mod round;
mod sums;
mod trade;
mod workshop;

use apiary::note::{Note, read};
use apiary::{Holding, Misgiving, Told};
use jiff::civil::Date;
use ledger::{Act, Books, Device, Draft, FarmId, Heads, Stamp, effective_hours};

/// A yard, a pattern and two hives of 27 places: entries 0 to 3.
const TWO_HIVES: &str = "2026-03-01 yard orchard at 52.1 -2.4
2026-03-01 pattern sloping slope top 44.5 cm floor 19 cm depth 28 cm length 95.5 cm bar 35 mm
2026-03-01 hive alder in orchard pattern sloping bars 27
2026-03-01 hive birch in orchard pattern sloping bars 27";

struct Farm {
    books: Books,
    holding: Holding,
    notes: Vec<Note>,
}

/// Lines folded in their order, all written on one device.
fn farm(text: &str) -> Farm {
    let notes: Vec<Note> = text.lines().map(|line| note(line.trim())).collect();
    let mut heads = Heads::default();
    let mut books = Books::new();
    for (at, note) in notes.iter().enumerate() {
        let draft = Draft {
            day: note.day,
            hour: note.hour,
            by: "".into(),
            origin: "typed".into(),
            grammar: 1,
            act: Act::Note,
            note: note.to_string(),
        };
        let mut seed = [0; 16];
        seed[..8].copy_from_slice(&(at as u64 + 1).to_be_bytes());
        let phone = Device::new("phone").expect("a good name");
        let farm = FarmId::from_bytes([1; 16]);
        books.add(heads.seal(farm, &phone, draft, Stamp::new(seed, seed, 0)));
    }
    let hours = effective_hours(&books);
    let mut holding = Holding::default();
    for (entry, note) in notes.iter().enumerate() {
        holding.fold(&Told {
            books: &books,
            entry,
            root: entry,
            known_as: entry,
            window: hours.window(entry),
            note,
        });
    }
    Farm {
        books,
        holding,
        notes,
    }
}

/// Two hives, and more.
fn two_hives_and(text: &str) -> Farm {
    farm(&format!("{TWO_HIVES}\n{text}"))
}

#[track_caller]
fn note(line: &str) -> Note {
    read(line).unwrap_or_else(|error| panic!("{line}: {error}"))
}

impl Farm {
    fn doubts(&self, line: &str) -> Vec<Misgiving> {
        self.holding.misgivings(&note(line))
    }

    fn hive(&self, name: &str) -> &[usize] {
        let hive = self.holding.hive_labels.get(name).expect("a hive");
        &self.holding.hives[hive].entries
    }

    fn colony(&self, name: &str) -> &[usize] {
        let colony = self.holding.colony_labels.get(name).expect("a colony");
        &self.holding.colonies[colony].entries
    }

    fn yard(&self, name: &str) -> &[usize] {
        let yard = self.holding.ground.yard_labels.get(name).expect("a yard");
        &self.holding.ground.yards[yard].entries
    }
}

fn on(text: &str) -> Date {
    text.parse().expect("a day")
}
