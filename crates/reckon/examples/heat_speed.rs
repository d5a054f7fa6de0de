//! How long conduction takes: a square plate and the ring round a hive, some 200 000 nodes each.
//!
//! `cargo run --release -p reckon --example heat_speed`; times are of one core. A loss solves
//! three times, for its value and its bounds, and tells its meshes' time with it.
#![expect(clippy::print_stdout, reason = "this program is there to print")]
#![expect(clippy::disallowed_methods, reason = "measuring needs a clock")]

use std::time::Instant;

use quantity::Length;
use reckon::heat::Built;
use reckon::heat::conduction::{Cell, Face, Plate, Split};
use reckon::section::{Section, Shape};
use reckon::wall::Layer;

fn main() {
    let square = square(447);
    let (nodes, seconds) = best(|| square.0.warmed(&square.1).expect("it settles").temperatures.len());
    println!("square plate: {nodes} nodes, {seconds:.3} s");
    for (name, shape, wall) in hives() {
        let hive = Built {
            section: Section::new(shape).expect("a section"),
            length: Length::mm(900),
            walls: wall.clone(),
            roof: vec![layer("pine 19mm"), layer("wool 50mm")],
            floor: wall.clone(),
            ends: wall,
        };
        for fineness in [2, 14, 15] {
            let (nodes, seconds) = best(|| {
                let loss = hive.loss_meshed(fineness).expect("a loss");
                loss.field.lines() * loss.field.rows()
            });
            println!(
                "{name}: {nodes} nodes, {seconds:.3} s with bounds, a third of it {:.3} s",
                seconds / 3.0
            );
        }
    }
}

/// The shortest of a few times.
fn best(mut work: impl FnMut() -> usize) -> (usize, f64) {
    let mut nodes = 0;
    let times = (0..5).map(|_| {
        let started = Instant::now();
        nodes = work();
        started.elapsed().as_secs_f64()
    });
    let best = times.fold(f64::MAX, f64::min);
    (nodes, best)
}

fn layer(written: &str) -> Layer {
    Layer::read(written).expect("a layer")
}

fn hives() -> [(&'static str, Shape, Vec<Layer>); 2] {
    let slope = Shape::Slope {
        top: Length::mm(445),
        floor: Length::mm(190),
        depth: Length::mm(280),
    };
    let drum = Shape::Drum {
        diameter: Length::mm(572),
        depth: Length::mm(286),
    };
    [
        ("slope", slope, vec![layer("pine 22mm")]),
        ("drum", drum, vec![layer("steel 1.2mm"), layer("cork 40mm")]),
    ]
}

/// A square of so many lines and rows, warm on one side and cold on the other.
fn square(lines: usize) -> (Plate, Vec<Face>) {
    let at = |idx: usize| (idx / lines) as f64 / (lines - 1) as f64;
    let row = |idx: usize| (idx % lines) as f64 / (lines - 1) as f64;
    let cell = Cell {
        split: Split::Best,
        conducts_w_per_mk: [0.12; 2],
    };
    let plate = Plate {
        rows: lines,
        is_ring: false,
        nodes_m: (0..lines * lines).map(|idx| (at(idx), row(idx))).collect(),
        cells: vec![cell; (lines - 1) * (lines - 1)],
    };
    let face = |line: usize, row: usize, air: f64| Face {
        ends: [line * lines + row, (line + 1) * lines + row],
        resistance_m2k_per_w: 0.13,
        air,
    };
    let faces = (0..lines - 1).flat_map(|line| [face(line, 0, 1.0), face(line, lines - 1, 0.0)]);
    (plate, faces.collect())
}
