//! Cutting lists against a published example, against bars worked by hand, and against HiGHS.

use quantity::Length;
use reckon::cut::{Board, CutError, Job, Order, Part, Plan, check, cut};
use reckon::lumber::ripped;
use serde_json::Value;

use crate::{check as close, rows};

/// Calls of the search before it is told to stop: enough for nearly everything here to be proven.
const MOST_CALLS: u32 = 1_000;

fn planned(job: &Job) -> Result<Plan, CutError> {
    let mut calls = 0;
    let plan = cut(job, &mut |_| {
        calls += 1;
        calls < MOST_CALLS
    })?;
    assert_eq!(check(job, &plan), Ok(()));
    Ok(plan)
}

/// The published rolls.
fn rolls(kerf: Length) -> Job {
    let part = |row: Vec<&str>| Part {
        name: row[0].to_owned(),
        length: Length::mm(row[0].parse().expect("what the test gives")),
        width: None,
        count: row[1].parse().expect("what the test gives"),
    };
    Job {
        parts: rows(include_str!("cut/rolls.csv")).map(part).collect(),
        boards: vec![Board {
            name: "roll".to_owned(),
            length: Length::mm(5600),
            width: None,
            price: Some(1),
            count: None,
            bad: Vec::new(),
        }],
        kerf,
        edge: Length::ZERO,
        order: Order::RipFirst,
    }
}

#[test]
fn the_published_rolls_are_73_with_their_waste() {
    let job = rolls(Length::ZERO);
    assert_eq!(job.parts.iter().map(|part| part.count).sum::<u32>(), 219);
    let plan = planned(&job).expect("what the test gives");
    assert_eq!((plan.cost, plan.bound, plan.boards.len()), (73, 73, 73));
    close("waste of the rolls", 100.0 * plan.waste_fraction, 0.401, 0.000_5);
}

/// The kerfs were worked out beside the published example, by an integer programme over all patterns.
#[test]
fn with_any_kerf_the_rolls_are_74() {
    for tenths in [5, 10, 20, 30, 32, 50, 100] {
        let plan = planned(&rolls(Length::from_steps(32 * tenths))).expect("what the test gives");
        assert_eq!((plan.cost, plan.bound), (74, 74), "{tenths}");
    }
}

/// As many bars as [`ripped`] gives, which is checked against a table worked by hand.
#[test]
fn bars_from_a_board_are_as_many_as_one_board_gives() {
    let (width, bar, kerf) = (Length::mm(184), Length::mm(35), Length::from_steps(1024));
    let one_board = ripped(width, bar, kerf).expect("what the test gives").pieces;
    for (extra, boards) in [(0, 1), (1, 2)] {
        let job = Job {
            parts: vec![Part {
                name: "bar".to_owned(),
                length: Length::mm(483),
                width: Some(bar),
                count: 4 * one_board + extra,
            }],
            boards: vec![Board {
                name: "1 x 8".to_owned(),
                length: Length::from_steps(4 * Length::mm(483).steps() + 3 * kerf.steps()),
                width: Some(width),
                price: None,
                count: None,
                bad: Vec::new(),
            }],
            kerf,
            edge: Length::ZERO,
            order: Order::RipFirst,
        };
        assert_eq!(planned(&job).expect("what the test gives").boards.len(), boards);
    }
}

/// A job of the references, whose lengths are tenths of a millimetre.
fn job_of(written: &Value) -> Job {
    let length = |value: &Value| value.as_i64().map(|tenths| Length::from_steps(32 * tenths));
    let name = |value: &Value| value.as_str().expect("what the test gives").to_owned();
    let count = |value: &Value| {
        value
            .as_u64()
            .map(|count| u32::try_from(count).expect("what the test gives"))
    };
    let list = |key: &str| written[key].as_array().expect("what the test gives").iter();
    let bad = |pair: &Value| {
        (
            length(&pair[0]).expect("what the test gives"),
            length(&pair[1]).expect("what the test gives"),
        )
    };
    Job {
        parts: list("parts")
            .map(|part| Part {
                name: name(&part["part"]),
                length: length(&part["length"]).expect("what the test gives"),
                width: length(&part["width"]),
                count: count(&part["count"]).expect("what the test gives"),
            })
            .collect(),
        boards: list("boards")
            .map(|board| Board {
                name: name(&board["board"]),
                length: length(&board["length"]).expect("what the test gives"),
                width: length(&board["width"]),
                price: board["price"].as_u64(),
                count: count(&board["count"]),
                bad: board["bad"]
                    .as_array()
                    .expect("what the test gives")
                    .iter()
                    .map(bad)
                    .collect(),
            })
            .collect(),
        kerf: length(&written["kerf"]).expect("what the test gives"),
        edge: length(&written["edge"]).expect("what the test gives"),
        order: if written["order"] == "rip-first" {
            Order::RipFirst
        } else {
            Order::CrosscutFirst
        },
    }
}

/// The area of the boards of a plan, in square tenths of a millimetre; of lengths, in tenths.
fn area(job: &Job, plan: &Plan) -> i64 {
    let boards = plan.boards.iter().map(|cut| &job.boards[cut.board]);
    boards
        .map(|board| board.length.steps() / 32 * board.width.map_or(1, |width| width.steps() / 32))
        .sum()
}

#[test]
fn plans_are_those_of_an_integer_programme_over_all_patterns() {
    let references: Value =
        serde_json::from_str(include_str!("cut/references.json")).expect("what the test gives");
    let jobs = references["jobs"].as_array().expect("what the test gives");
    let (mut proven, mut impossible, mut least_waste) = (0, 0, 0);
    for written in jobs {
        let (job, seed) = (job_of(written), &written["seed"]);
        let least = &written["least"];
        match planned(&job) {
            Ok(plan) => {
                let cost = least["cost"]
                    .as_u64()
                    .unwrap_or_else(|| panic!("{seed} cannot be made: {plan:?}"));
                assert!(
                    plan.bound <= cost && cost <= plan.cost,
                    "{seed}: {} {cost} {}",
                    plan.bound,
                    plan.cost
                );
                proven += u32::from(plan.is_optimal());
                let least_area = least["area"].as_i64().expect("what the test gives");
                let ours = area(&job, &plan);
                if plan.cost == cost {
                    assert!(ours >= least_area, "{seed}: {ours} {least_area}");
                }
                least_waste += u32::from(ours == least_area);
            }
            Err(CutError::TooLarge { .. } | CutError::TooFewBoards { .. }) => {
                assert!(least.is_null(), "{seed} can be made");
                impossible += 1;
            }
            Err(other) => panic!("{seed}: {other}"),
        }
    }
    assert_eq!(
        (jobs.len(), impossible, proven, least_waste),
        (120, 10, 110, 110),
        "jobs, impossible, proven, with the least waste"
    );
}
