//! Conduction in plates against ISO 10211 and closed forms.

use reckon::heat::conduction::{Cell, Face, Plate, Split, Warmed};

use crate::check;

/// Airs that touch without a surface: so small a resistance that it changes no digit that is checked.
const TOUCHING: f64 = 1e-9;

pub(crate) fn even(conducts: f64) -> Cell {
    Cell {
        split: Split::Best,
        conducts_w_per_mk: [conducts; 2],
    }
}

/// A plate of so many lines and rows, its nodes where `at` puts a line and a row, both from 0 to 1.
pub(crate) fn plate(lines: usize, rows: usize, is_ring: bool, at: impl Fn(f64, f64) -> (f64, f64)) -> Plate {
    let of = |idx: usize, count: usize| idx as f64 / count as f64;
    let node = |idx: usize| {
        let place = of(idx / rows, if is_ring { lines } else { lines - 1 });
        at(place, of(idx % rows, rows - 1))
    };
    let strips = if is_ring { lines } else { lines - 1 };
    Plate {
        rows,
        is_ring,
        nodes_m: (0..lines * rows).map(node).collect(),
        cells: vec![even(1.0); strips * (rows - 1)],
    }
}

pub(crate) fn face(ends: [usize; 2], resistance_m2k_per_w: f64, air: f64) -> Face {
    Face {
        ends,
        resistance_m2k_per_w,
        air,
    }
}

/// Case 1 of ISO 10211: half of a column twice as deep as it is half wide, 20 °C on top, 0 °C on side and bottom.
fn case_1(cells: usize) -> (Plate, Warmed) {
    let (lines, rows) = (cells + 1, 2 * cells + 1);
    let plate = plate(lines, rows, false, |x, y| (x, 2.0 * y));
    let side = (0..rows - 1).map(|row| face([row, row + 1], TOUCHING, 0.0));
    let along = |row: usize, air: f64| {
        (0..lines - 1).map(move |line| face([line * rows + row, (line + 1) * rows + row], TOUCHING, air))
    };
    let faces: Vec<Face> = side.chain(along(0, 20.0)).chain(along(rows - 1, 0.0)).collect();
    let warmed = plate.warmed(&faces).expect("it settles");
    (plate, warmed)
}

/// The series for case 1, x from the cold side and y from the top.
fn series(x: f64, y: f64) -> f64 {
    let pi = std::f64::consts::PI;
    let term = |n: u32| {
        let wave = pi * f64::from(n) / 2.0;
        let fade = libm::sinh(wave * (2.0 - y)) / libm::sinh(wave * 2.0);
        4.0 / (pi * f64::from(n)) * libm::sin(wave * x) * fade
    };
    20.0 * (1..200).step_by(2).map(term).sum::<f64>()
}

/// The 28 points printed for case 1, row by row from the top; from memory, each agrees with the series.
const PRINTED: [[f64; 4]; 7] = [
    [9.7, 13.4, 14.7, 15.1],
    [5.3, 8.6, 10.3, 10.8],
    [3.2, 5.6, 7.0, 7.5],
    [2.0, 3.6, 4.7, 5.0],
    [1.3, 2.3, 3.0, 3.2],
    [0.7, 1.4, 1.8, 1.9],
    [0.3, 0.6, 0.8, 0.9],
];

#[test]
fn heat_of_case_1_of_iso_10211_follows_its_series_and_its_points() {
    let cells = 64;
    let (plate, warmed) = case_1(cells);
    for (down, row) in PRINTED.iter().enumerate() {
        for (across, printed) in row.iter().enumerate() {
            let (line, row) = ((across + 1) * cells / 4, (down + 1) * cells / 4);
            let ours = warmed.temperatures[line * plate.rows + row];
            let exact = series((across + 1) as f64 / 4.0, (down + 1) as f64 / 4.0);
            check("series", ours, exact, 0.01);
            // The standard allows 0.1 K; half a printed digit and our own error is less.
            check("printed", ours, *printed, 0.06);
        }
    }
}

#[test]
fn heat_of_case_1_comes_nearer_to_the_series_with_every_halving() {
    let off = |cells: usize| {
        let (plate, warmed) = case_1(cells);
        let middle = (cells / 4) * plate.rows + cells / 4;
        (warmed.temperatures[middle] - series(0.25, 0.25)).abs()
    };
    assert!(
        off(32) < 0.3 * off(16) && off(16) < 0.3 * off(8),
        "{} {} {}",
        off(8),
        off(16),
        off(32)
    );
}

/// A shell between two circles passes 2πλ / ln(r₂ / r₁).
#[test]
fn heat_through_the_shell_of_a_cylinder_goes_by_the_logarithm() {
    let (inner, outer, lines, rows) = (0.1, 0.25, 192, 33);
    let plate = plate(lines, rows, true, |turn, out| {
        let (sine, cosine) = libm::sincos(2.0 * std::f64::consts::PI * turn);
        let radius = inner + (outer - inner) * out;
        (radius * cosine, radius * sine)
    });
    let nodes = plate.nodes_m.len();
    let ring = |row: usize, air: f64| {
        (0..lines).map(move |line| {
            face(
                [line * rows + row, ((line + 1) * rows + row) % nodes],
                TOUCHING,
                air,
            )
        })
    };
    let inside: Vec<Face> = ring(0, 1.0).collect();
    let faces: Vec<Face> = inside.iter().copied().chain(ring(rows - 1, 0.0)).collect();
    let warmed = plate.warmed(&faces).expect("it settles");
    let exact = 2.0 * std::f64::consts::PI / libm::log(outer / inner);
    // Counted by what each ring of cells passes, since the surfaces have next to no resistance to count by.
    let at_middle = warmed.temperatures[rows / 2];
    let half = libm::log((inner + outer) / 2.0 / inner);
    check("middle", at_middle, 1.0 - half / libm::log(outer / inner), 2e-4);
    let total: f64 = inside.iter().map(|face| plate.inflow(&warmed, face)).sum();
    check("flow", total, exact, 2e-3 * exact);
}

#[test]
fn heat_through_slabs_is_exact_on_the_coarsest_and_on_skewed_meshes() {
    for skew in [0.0, 0.1, -0.15] {
        let mut slab = plate(5, 4, false, |x, y| (0.2 * x + skew * y * x * (1.0 - x), 0.03 * y));
        for (idx, cell) in slab.cells.iter_mut().enumerate() {
            *cell = even([0.04, 0.12, 50.0][idx % 3]);
        }
        let along = |row: usize, resistance, air| {
            (0..4).map(move |line| face([line * 4 + row, (line + 1) * 4 + row], resistance, air))
        };
        let inside: Vec<Face> = along(0, 0.13, 20.0).collect();
        let faces: Vec<Face> = inside.iter().copied().chain(along(3, 0.04, 0.0)).collect();
        let warmed = slab.warmed(&faces).expect("it settles");
        let r = 0.13 + 0.01 / 0.04 + 0.01 / 0.12 + 0.01 / 50.0 + 0.04;
        let flow: f64 = inside.iter().map(|face| slab.inflow(&warmed, face)).sum();
        check("flow", flow, 0.2 * 20.0 / r, 1e-9);
        let lost: f64 = faces.iter().map(|face| slab.inflow(&warmed, face)).sum();
        check("what goes in comes out", lost, 0.0, 1e-9);
        for (row, before) in [0.13, 0.38, 0.38 + 0.01 / 0.12].into_iter().enumerate() {
            for line in 0..5 {
                let ours = warmed.temperatures[line * 4 + row];
                check("between layers", ours, 20.0 * (1.0 - before / r), 1e-9);
            }
        }
    }
}

/// Cells of two materials, each triangle its own, split one way and, in the mirror, the other way.
#[test]
fn heat_through_split_cells_is_the_same_in_a_mirror() {
    let (lines, rows) = (5, 4);
    let solved = |side: f64, split: Split| {
        let mut plate = plate(lines, rows, false, |x, y| (x, y));
        plate.nodes_m = (0..lines * rows)
            .map(|idx| {
                let line = if side < 0.0 {
                    lines - 1 - idx / rows
                } else {
                    idx / rows
                };
                let (x, y) = (line as f64 / 4.0, (idx % rows) as f64 / 3.0);
                (side * (x + 0.2 * y * y), y + 0.1 * x * x)
            })
            .collect();
        for (idx, cell) in plate.cells.iter_mut().enumerate() {
            let strip = idx / (rows - 1);
            let strip = if side < 0.0 { lines - 2 - strip } else { strip };
            let conducts_w_per_mk = [1.0 + strip as f64, 0.1 + (idx % (rows - 1)) as f64];
            *cell = Cell {
                split,
                conducts_w_per_mk,
            };
        }
        let faces = (0..lines - 1).flat_map(|line| {
            let at = |row: usize| [line * rows + row, (line + 1) * rows + row];
            [face(at(0), 0.1, 1.0), face(at(rows - 1), 0.1, 0.0)]
        });
        plate
            .warmed(&faces.collect::<Vec<_>>())
            .expect("it settles")
            .temperatures
    };
    let (one, other) = (solved(1.0, Split::Rising), solved(-1.0, Split::Falling));
    for line in 0..lines {
        for row in 0..rows {
            let mirrored = other[(lines - 1 - line) * rows + row];
            check("mirror", one[line * rows + row], mirrored, 1e-12);
        }
    }
}

#[test]
fn heat_of_a_plate_without_air_is_not_told() {
    assert_eq!(plate(3, 3, false, |x, y| (x, y)).warmed(&[]), None);
}
