//! Reading books never fails: whatever notes stand in them, in whatever order, every answer is given.

use apiary::note::table;
use app::{Library, wire};
use ledger::{Entry, FarmId, Heads};
use proptest::prelude::*;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};

use crate::fixture::seal;

const SEASON: &str = include_str!("../../../apiary/src/note/fixed.notes");

/// The fixed lines, the examples of every verb, and forms that stretch them.
fn lines() -> Vec<String> {
    let stretched = [
        "2026-07-01 start t 9 t honey",
        "2026-07-01 fill t 1000000 jars of 9 t lot A26",
        "2026-07-01 fill tank-3 1000000 jars of 1 g lot A26",
        "2026-07-01 cut alder bars 1 to 27 comb 10 t into pail-12",
        "2026-07-01 add alder 27 bars at 1",
        "2026-07-01 add alder 27 bars at 27",
        "2026-07-01 shift alder bars 1 to 27 to birch 27",
        "2026-07-01 split birch bars 1 to 27 into alder at 27",
        "2026-07-01 shift freezer bar 1 to alder 27",
        "2026-07-01 follower alder at 1",
        "2026-07-01 follower alder at 28 second",
        "2026-07-01 unite alder into alder",
        "2026-07-01 blend tank-3 5 kg into tank-3 emptied",
        "2026-07-01 strain pail-12 into pail-12 honey 9 kg residue 9 kg",
        "2026-07-01 weigh pail-12 net 0 kg",
        "2026-07-01 tally A26 0",
        "2026-07-01 tally 1000000 jars of 340 g",
        "2026-07-01 spend 999999999.00 GBP on 9 t of shea",
        "2026-07-01 pattern flat arc width 10 m depth 0.1 mm",
        "2026-07-01 hive cedar in orchard pattern flat bars 999",
        "2026-07-01 cut cedar bar 999 part comb 0 g into 0 pieces of 1 g lot K26",
    ];
    let examples = table()
        .entries()
        .iter()
        .flat_map(|entry| entry.verb.examples.iter().copied());
    let fixed = SEASON.lines().filter(|line| line.starts_with("20"));
    fixed
        .chain(examples)
        .chain(stretched)
        .map(str::to_owned)
        .collect()
}

fn entries(lines: &[String]) -> Vec<Entry> {
    let mut heads = Heads::default();
    let farm = FarmId::from_bytes([9; 16]);
    lines
        .iter()
        .enumerate()
        .map(|(n, line)| seal(&mut heads, farm, "laptop", line, n))
        .collect()
}

/// Fixed seed: ChaCha, thirty-two bytes of 10.
#[test]
fn whatever_stands_in_the_books_every_answer_is_given() {
    let config = Config {
        cases: 150,
        failure_persistence: None,
        ..Config::default()
    };
    let mut runner = TestRunner::new_with_rng(config, TestRng::from_seed(RngAlgorithm::ChaCha, &[10; 32]));
    let all = lines();
    let some = prop::collection::vec((0..all.len(), 0u8..28), 1..150);
    runner
        .run(&some, |picked| {
            let lines: Vec<String> = picked
                .into_iter()
                .map(|(line, day)| format!("2026-07-{:02}{}", day + 1, &all[line][10..]))
                .collect();
            let mut library = Library::of_entries(entries(&lines));
            let complaints = library.complaints(None);
            let holding = library.holding().clone();
            let books = library.books();
            let hives: Vec<String> = holding.hive_labels.names().map(str::to_owned).collect();
            let lots: Vec<String> = holding.stock.lot_labels.names().map(str::to_owned).collect();
            prop_assert!(
                hives
                    .iter()
                    .all(|hive| wire::hive(&holding, books, hive).is_some())
            );
            prop_assert!(lots.iter().all(|lot| wire::lot(&holding, books, lot).is_some()));
            let balance = wire::balance(&holding, books);
            for batch in balance["batches"].as_array().expect("batches") {
                closes(batch)?;
            }
            let all = [
                wire::stock(&holding),
                wire::yields(&holding),
                wire::cash(&holding),
                wire::yard(&holding),
                wire::ripe(
                    &holding,
                    books,
                    &|entry| library.note(entry),
                    jiff::civil::date(2026, 7, 1),
                ),
                wire::cost(&apiary::money::answers::cost(&holding, None)),
                wire::complaints(&complaints, books),
            ];
            prop_assert!(all.iter().all(serde_json::Value::is_object));
            Ok(())
        })
        .expect("every answer");
}

/// In = honey + other + residue + loss + unaccounted + left, wherever all of it is known. Honey is neither made
/// nor lost between the notes.
fn closes(batch: &serde_json::Value) -> Result<(), TestCaseError> {
    let known = |key: &str| batch[key].as_f64();
    let (Some(came_in), Some(unaccounted), Some(left)) =
        (known("in_kg"), known("unaccounted_kg"), known("left_kg"))
    else {
        return Ok(());
    };
    let out: f64 = ["honey_kg", "other_kg", "residue_kg", "loss_kg"]
        .iter()
        .filter_map(|key| known(key))
        .sum();
    prop_assert!((came_in - out - unaccounted - left).abs() < 1e-4, "{batch}");
    Ok(())
}
