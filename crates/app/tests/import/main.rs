//! Sheets brought in: files as keepers and their programs make them, mappings, books that take each row once.

mod books;
mod files;
mod hostile;
mod mapping;
mod round_trip;
mod workbooks;

use app::import::{DayOrder, Mapping, Report, Sheet, bring_in, plan, read};
use app::{Fixed, Office, Writing};
use jiff::civil::date;
use store::MemoryStore;

/// Books in memory, with two hives and combs in them.
struct Desk {
    office: Office,
    surroundings: Fixed,
}

impl Desk {
    fn new() -> Self {
        let mut surroundings = Fixed::new(date(2026, 11, 25).at(9, 0, 0, 0), 7);
        let office = Office::open(Box::new(MemoryStore::new()), None, &mut surroundings).expect("memory");
        Self { office, surroundings }
    }

    fn with_two_hives() -> Self {
        let mut desk = Self::new();
        desk.note(
            "2026-03-01 yard orchard
             2026-03-01 pattern sloping slope top 44.5 cm floor 19 cm depth 28 cm length 95.5 cm bar 35 mm
             2026-03-01 hive alder in orchard pattern sloping bars 27
             2026-03-01 hive birch in orchard pattern sloping bars 27
             2026-03-02 start alder 12 bars drawn
             2026-03-02 start birch 12 bars drawn",
        );
        desk
    }

    #[track_caller]
    fn note(&mut self, lines: &str) {
        let lines: Vec<&str> = lines.lines().map(str::trim).collect();
        let outcome = self
            .office
            .write(&lines, &Writing::default(), &mut self.surroundings)
            .expect("memory never fails");
        assert!(outcome.refused.is_empty(), "{:?}", outcome.refused);
    }

    #[track_caller]
    fn bring_in(&mut self, sheet: &Sheet, mapping: &Mapping, keep_good: bool, dry: bool) -> Report {
        bring_in(
            &mut self.office,
            sheet,
            mapping,
            keep_good,
            dry,
            "",
            &mut self.surroundings,
        )
        .expect("a mapping that fits, and memory never fails")
    }

    /// The words of all entries, in the order in which they were written.
    fn notes(&mut self) -> Vec<String> {
        let entries = self.office.library().books().entries().iter();
        entries
            .filter_map(|entry| entry.note.as_deref().map(str::to_owned))
            .collect()
    }
}

#[track_caller]
fn sheet(text: &str) -> Sheet {
    read("sheet.csv", text.as_bytes(), None).expect("a sheet")
}

fn mapping(verb: &str, fills: &[(&str, &str)]) -> Mapping {
    Mapping {
        verb: verb.to_owned(),
        fills: fills
            .iter()
            .map(|(key, from)| ((*key).to_owned(), (*from).to_owned()))
            .collect(),
        ..Mapping::default()
    }
}

fn by_day_first(mapping: Mapping) -> Mapping {
    Mapping {
        days: DayOrder::Dmy,
        ..mapping
    }
}

/// The rows of a sheet, one a line: the note, or why there is none.
#[track_caller]
fn planned(sheet: &Sheet, mapping: &Mapping) -> String {
    let planned = plan(sheet, mapping).expect("a mapping that fits");
    let line = |row: app::import::Planned| match row.line {
        Ok(line) => format!("{} {line}\n", row.row),
        Err(refused) => format!("{} ! {}\n", row.row, refused.why.join(" | ")),
    };
    planned.into_iter().map(line).collect()
}

/// The mapping that most tests use: what was fed to which hive.
fn fed() -> Mapping {
    mapping(
        "feed",
        &[
            ("day", "Day"),
            ("colony", "Hive"),
            ("food", "Food"),
            ("amount", "Amount"),
        ],
    )
}
