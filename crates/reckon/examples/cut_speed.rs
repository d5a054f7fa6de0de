//! How long cutting lists take: a published one of 219 lengths, and the parts of ten hives.
//!
//! `cargo run --release -p reckon --example cut_speed`; times are of one core.
#![expect(clippy::print_stdout, reason = "this program is there to print")]
#![expect(clippy::disallowed_methods, reason = "measuring needs a clock")]

use std::time::Instant;

use quantity::Length;
use reckon::cut::{Board, Job, Order, Part, Progress, cut};

fn main() {
    measure("219 lengths", &published());
    for order in [Order::RipFirst, Order::CrosscutFirst] {
        measure(&format!("ten hives, {order:?}"), &ten_hives(order));
    }
}

fn measure(name: &str, job: &Job) {
    let started = Instant::now();
    let mut reached = 10.0_f64;
    let mut keep_on = |progress: &Progress| {
        let seconds = started.elapsed().as_secs_f64();
        if progress.gap().is_some_and(|gap| gap <= 0.01) {
            reached = reached.min(seconds);
        }
        seconds < 10.0
    };
    let plan = cut(job, &mut keep_on).expect("a plan");
    let seconds = started.elapsed().as_secs_f64();
    let pieces: usize = plan.boards.iter().map(|board| board.pieces.len()).sum();
    println!(
        "{name}: {pieces} pieces from {} boards, cost {}, bound {}, gap {:.2} %, waste {:.2} %, {seconds:.3} s; \
         within 1 % after {:.3} s",
        plan.boards.len(),
        plan.cost,
        plan.bound,
        100.0 * plan.gap(),
        100.0 * plan.waste_fraction,
        reached.min(seconds),
    );
}

/// The worked example of "Cutting stock problem" in Wikipedia: 73 rolls of 5600 mm.
fn published() -> Job {
    let sizes = [
        (1380, 22),
        (1520, 25),
        (1560, 12),
        (1710, 14),
        (1820, 18),
        (1880, 18),
        (1930, 20),
        (2000, 10),
        (2050, 12),
        (2100, 14),
        (2140, 16),
        (2150, 18),
        (2200, 20),
    ];
    let part = |&(length, count): &(i64, u32)| Part {
        name: format!("{length}"),
        length: Length::mm(length),
        width: None,
        count,
    };
    Job {
        parts: sizes.iter().map(part).collect(),
        boards: vec![Board {
            name: "roll".to_owned(),
            length: Length::mm(5600),
            width: None,
            price: Some(1),
            count: None,
            bad: Vec::new(),
        }],
        kerf: Length::ZERO,
        edge: Length::ZERO,
        order: Order::RipFirst,
    }
}

/// Parts of ten hives with sloping sides (invented), from boards as they are sold and a few from the shed.
fn ten_hives(order: Order) -> Job {
    let parts = [
        ("side strip", 955, 145, 40),
        ("end strip", 445, 145, 40),
        ("floor", 955, 190, 10),
        ("roof side", 1020, 95, 20),
        ("roof end", 520, 120, 20),
        ("roof slat", 1060, 110, 30),
        ("follower strip", 430, 140, 40),
        ("bar", 483, 35, 240),
        ("leg", 700, 70, 40),
        ("brace", 610, 45, 20),
        ("entrance block", 120, 22, 10),
    ];
    let boards = [
        ("board 2400 x 195", 2400, 195, 980, None),
        ("board 3000 x 145", 3000, 145, 890, None),
        ("board 4200 x 220", 4200, 220, 2150, None),
        ("from the shed", 1750, 240, 0, Some(6)),
    ];
    Job {
        parts: parts
            .iter()
            .map(|&(name, length, width, count)| Part {
                name: name.to_owned(),
                length: Length::mm(length),
                width: Some(Length::mm(width)),
                count,
            })
            .collect(),
        boards: boards
            .iter()
            .map(|&(name, length, width, price, count)| Board {
                name: name.to_owned(),
                length: Length::mm(length),
                width: Some(Length::mm(width)),
                price: Some(price),
                count,
                bad: if count.is_some() {
                    vec![(Length::mm(800), Length::mm(850))]
                } else {
                    Vec::new()
                },
            })
            .collect(),
        kerf: Length::from_steps(1024),
        edge: Length::ZERO,
        order,
    }
}
