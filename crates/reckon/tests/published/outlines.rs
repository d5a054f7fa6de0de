//! Outlines with inward corners, against closed forms, and what is no outline.

use std::f64::consts::FRAC_PI_4;

use quantity::Length;
use reckon::section::{Edge, Section, SectionError, Shape};

use crate::{check, mm};

fn cm(centimetres: f64) -> Length {
    mm(10.0 * centimetres)
}

fn corners(corners: &[(f64, f64)]) -> Vec<(Length, Length)> {
    corners.iter().map(|&(x, y)| (cm(x), cm(y))).collect()
}

fn section(outline: &[(f64, f64)]) -> Section {
    Section::new(Shape::Polygon(corners(outline))).expect("the test gives a section")
}

fn refused(outline: &[(f64, f64)]) -> SectionError {
    Section::new(Shape::Polygon(corners(outline))).expect_err("the test gives no section")
}

/// A step in the floor.
const STEP: [(f64, f64); 6] = [
    (0.0, 0.0),
    (40.0, 0.0),
    (40.0, 30.0),
    (20.0, 30.0),
    (20.0, 20.0),
    (0.0, 20.0),
];

/// A floor that rises to half a centimetre below the bars.
const RIDGE: [(f64, f64); 5] = [(0.0, 0.0), (40.0, 0.0), (40.0, 30.0), (20.0, 0.5), (0.0, 30.0)];

/// A neck a centimetre wide above a wider room.
const NECK: [(f64, f64); 6] = [
    (0.0, 0.0),
    (40.0, 0.0),
    (20.5, 10.0),
    (40.0, 20.0),
    (0.0, 20.0),
    (19.5, 10.0),
];

/// A shelf that reaches in from the left.
const SHELF: [(f64, f64); 8] = [
    (0.0, 0.0),
    (40.0, 0.0),
    (40.0, 30.0),
    (0.0, 30.0),
    (0.0, 20.0),
    (25.0, 20.0),
    (25.0, 10.0),
    (0.0, 10.0),
];

#[test]
fn round_an_inward_corner_a_quarter_of_a_circle_is_left_to_the_bees() {
    let hive = section(&STEP);
    check("face", hive.face().to_cm2(), 1_000.0, 1e-9);
    check("wall", hive.wall().to_cm(), 100.0, 1e-9);
    let level = 38.0 * 19.0 + 19.0 + 18.0 * 9.0;
    check("comb", hive.comb(cm(1.0)).to_cm2(), level - FRAC_PI_4, 2e-4);
    check("at the bars", hive.width_at_bars(cm(1.0)).to_cm(), 38.0, 1e-3);
    check("upright", hive.wall_from_vertical_deg().unwrap(), 0.0, 1e-9);
    assert_eq!(hive.combs(cm(1.0)), vec![hive.outline(cm(1.0))]);
}

#[test]
fn comb_goes_round_a_shelf() {
    let hive = section(&SHELF);
    check("face", hive.face().to_cm2(), 40.0 * 30.0 - 250.0, 1e-9);
    let level = 38.0 * 9.0 + 14.0 + 13.0 * 10.0 + 14.0 + 38.0 * 8.0;
    check("comb", hive.comb(cm(1.0)).to_cm2(), level - 2.0 * FRAC_PI_4, 4e-4);
    // More than half the way from the shelf to the wall: what is left hangs above the shelf, and beside it as far
    // as a circle of 8 cm round its corner allows.
    let circle = 3.5 * libm::sqrt(15.0) + 32.0 * libm::asin(7.0 / 8.0);
    let above = 24.0 * 2.0 + 7.0 * 8.0 - circle;
    check("above it", hive.comb(cm(8.0)).to_cm2(), above, 1e-2);
}

#[test]
fn a_ridge_near_the_bars_parts_the_comb_in_two() {
    let hive = section(&RIDGE);
    check("face", hive.face().to_cm2(), 40.0 * 30.0 - 20.0 * 29.5, 1e-9);
    let from_the_ridge = (libm::hypot(20.0, 29.5) - 10.0) / 29.5;
    let width = 20.0 - 1.0 - from_the_ridge;
    check(
        "at the bars",
        hive.width_at_bars(cm(1.0)).to_cm(),
        2.0 * width,
        1e-3,
    );
    let combs = hive.combs(cm(1.0));
    assert_eq!(combs.len(), 2);
    for (comb, [left, right]) in combs.iter().zip([[-19.0, -19.0 + width], [19.0 - width, 19.0]]) {
        check("left end", comb[0].0, 10.0 * left, 1e-2);
        check("right end", comb[1].0, 10.0 * right, 1e-2);
        check("at the bars", comb[0].1.abs() + comb[1].1.abs(), 0.0, 0.0);
    }
    // Each is a triangle: at the bars, at the wall, and where the wall and the ridge come near each other.
    let height = width * 29.5 / 20.0;
    check("comb", hive.comb(cm(1.0)).to_cm2(), width * height, 1e-2);
    let joined = hive.outline(cm(1.0));
    assert_eq!(joined[..2], [combs[0][0], combs[1][1]]);
    let next = joined.iter().cycle().skip(1);
    let doubled_mm2: f64 = joined.iter().zip(next).map(|(a, b)| a.0 * b.1 - a.1 * b.0).sum();
    check("joined", doubled_mm2 / 200.0, hive.comb(cm(1.0)).to_cm2(), 1e-6);
    assert_eq!(hive.combs(Length::ZERO).len(), 1);
}

#[test]
fn what_no_longer_hangs_from_the_bars_is_no_comb() {
    let hive = section(&NECK);
    let to_the_neck = (40.0 + 1.0) / 2.0 * 10.0;
    check("face", hive.face().to_cm2(), 2.0 * to_the_neck, 1e-9);
    let off_the_bars = libm::hypot(19.5, 10.0) / 10.0;
    let half = 20.0 - off_the_bars;
    check(
        "above the neck",
        hive.comb(cm(1.0)).to_cm2(),
        half * half * 10.0 / 19.5,
        1e-2,
    );
    let through = hive.combs(cm(0.45));
    assert!(through[0].iter().any(|(_, y)| *y > 190.0), "{through:?}");
    assert!(hive.combs(cm(1.0))[0].iter().all(|(_, y)| *y < 100.0));
}

#[test]
fn a_bee_space_wider_than_the_hive_leaves_nothing() {
    for outline in [&STEP[..], &RIDGE, &NECK, &SHELF] {
        let hive = section(outline);
        check("comb", hive.comb(cm(25.0)).to_cm2(), 0.0, 0.0);
        check("at the bars", hive.width_at_bars(cm(25.0)).to_cm(), 0.0, 0.0);
        assert!(hive.outline(cm(25.0)).is_empty() && hive.combs(cm(25.0)).is_empty());
        assert!(hive.combs(Length::from_steps(i64::MAX)).is_empty());
    }
}

#[test]
fn a_straight_outline_has_one_comb() {
    let hive = Section::new(Shape::Upright {
        width: cm(40.0),
        depth: cm(30.0),
    })
    .unwrap();
    assert_eq!(hive.combs(cm(1.0)), vec![hive.outline(cm(1.0))]);
    assert!(hive.combs(cm(20.0)).is_empty());
}

/// The bars lie from left to right however the corners were measured.
#[test]
fn an_outline_seen_from_either_end_has_its_first_corner_on_the_left() {
    let place = |(x, y): (f64, f64)| [(x, y), (x, -y), (-y, x), (y, x)];
    let drawn: Vec<_> = (0..4)
        .map(|way| {
            let outline: Vec<_> = STEP.iter().map(|&at| place(at)[way]).collect();
            section(&outline).outline(Length::ZERO)
        })
        .collect();
    let expected = STEP.map(|(x, y)| (10.0 * (x - 20.0), 10.0 * y));
    for outline in drawn {
        assert_eq!(outline.len(), expected.len());
        for (ours, expected) in outline.iter().zip(expected) {
            check("x", ours.0, expected.0, 1e-9);
            check("y", ours.1, expected.1, 1e-9);
        }
    }
    // So for an outline without inward corners.
    let lopsided = [(0.0, 0.0), (40.0, 0.0), (40.0, -30.0), (10.0, -30.0)];
    let left_end_of_floor = section(&lopsided).outline(Length::ZERO)[3];
    check("x", left_end_of_floor.0, -100.0, 1e-9);
}

#[test]
fn the_lean_above_an_uneven_floor_is_that_of_both_walls_at_the_bars() {
    let alike = [(0.0, 0.0), (40.0, 0.0), (35.0, 30.0), (20.0, 20.0), (5.0, 30.0)];
    let lean = libm::atan2(5.0, 30.0).to_degrees();
    check(
        "lean",
        section(&alike).wall_from_vertical_deg().unwrap(),
        lean,
        1e-9,
    );
    let mut unlike = alike;
    unlike[4] = (4.0, 30.0);
    assert_eq!(section(&unlike).wall_from_vertical_deg(), None);
}

/// A seventh of 12 cm: 17.142 857 mm, or 5 485.7 steps.
#[test]
fn a_crossing_is_told_to_the_nearest_step() {
    let bow = refused(&[(0.0, 0.0), (4.0, 0.0), (0.0, 3.0), (4.0, 4.0)]);
    let SectionError::EdgesCross { at, .. } = bow else {
        panic!("{bow:?}");
    };
    assert_eq!(at, (Length::from_steps(5_486), Length::from_steps(5_486)));
}

#[test]
fn a_crossing_is_named() {
    let bow = refused(&[(0.0, 0.0), (4.0, 0.0), (0.0, 4.0), (4.0, 4.0)]);
    let edge = |number, from: (f64, f64), to: (f64, f64)| Edge {
        number,
        from: (cm(from.0), cm(from.1)),
        to: (cm(to.0), cm(to.1)),
    };
    assert_eq!(
        bow,
        SectionError::EdgesCross {
            edges: [edge(2, (4.0, 0.0), (0.0, 4.0)), edge(4, (4.0, 4.0), (0.0, 0.0))],
            at: (cm(2.0), cm(2.0)),
        }
    );
    assert_eq!(
        bow.to_string(),
        "edge 2 (from 40,0 mm to 0,40 mm) and edge 4 (from 40,40 mm to 0,0 mm) cross at 20,20 mm"
    );
    // The star crosses its bars: (1,3)–(2,−2) at 1.6, worked by hand.
    let star = refused(&[(0.0, 0.0), (4.0, 0.0), (1.0, 3.0), (2.0, -2.0), (3.0, 3.0)]);
    let SectionError::EdgesCross { edges, at } = star else {
        panic!("{star:?}");
    };
    assert_eq!(edges.map(|edge| edge.number), [1, 3]);
    assert_eq!(at, (cm(1.6), cm(0.0)));
}

#[test]
fn what_is_no_outline_is_refused_by_its_own_sentence() {
    for (outline, told) in [
        (
            &[(0.0, 0.0), (1.0, 0.0)][..],
            "an outline needs three corners or more; there are 2",
        ),
        (
            &[(0.0, 0.0), (4.0, 0.0), (1e6, 4.0)],
            "corner 3 lies more than a kilometre away",
        ),
        (
            &[(0.0, 0.0), (0.0, 0.0), (4.0, 4.0), (0.0, 4.0)],
            "edge 1 (from 0,0 mm to 0,0 mm) has no length: no corner is given twice, and the last joins the first by itself",
        ),
        (
            &[(0.0, 0.0), (4.0, 0.0), (2.0, 3.0), (0.0, 0.0)],
            "edge 4 (from 0,0 mm to 0,0 mm) has no length: no corner is given twice, and the last joins the first by itself",
        ),
        (
            &[(0.0, 0.0), (1.0, 0.0), (2.0, 0.0)],
            "edge 1 (from 0,0 mm to 10,0 mm) and edge 3 (from 20,0 mm to 0,0 mm) lie on each other",
        ),
        (
            &[(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (4.0, 2.0), (0.0, 4.0)],
            "edge 2 (from 40,0 mm to 40,40 mm) and edge 3 (from 40,40 mm to 40,20 mm) lie on each other",
        ),
        (
            &[(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (2.0, 0.0), (0.0, 4.05)],
            "edge 1 (from 0,0 mm to 40,0 mm) and edge 3 (from 40,40 mm to 20,0 mm) touch at 20,0 mm",
        ),
        (
            &[(0.0, 0.0), (4.0, 0.0), (6.05, -2.0), (6.05, 4.0), (0.0, 4.0)],
            "corner 3 at 60.5,-20 mm does not lie below the bars, which lie from corner 1 to corner 2",
        ),
        (
            &[
                (0.0, 0.0),
                (4.0, 0.0),
                (6.0, 0.0),
                (6.0, 4.0),
                (3.0, 2.0),
                (0.0, 4.0),
            ],
            "corner 3 at 60,0 mm does not lie below the bars, which lie from corner 1 to corner 2",
        ),
    ] {
        assert_eq!(refused(outline).to_string(), told);
    }
}

#[test]
fn an_outline_gone_round_twice_is_refused() {
    let twice = [(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)].repeat(2);
    assert!(matches!(refused(&twice), SectionError::EdgesTouch { .. }));
}

#[test]
fn measures_that_make_no_section_are_told_in_words() {
    for (error, told) in [
        (
            SectionError::NoSize,
            "every width, depth and diameter must be more than nothing",
        ),
        (
            SectionError::DeeperThanDrum,
            "a drum cannot be filled deeper than its diameter",
        ),
        (
            SectionError::NoCatenary,
            "this width and depth are too narrow or too flat for a hanging curve",
        ),
    ] {
        assert_eq!(error.to_string(), told);
    }
}
