//! What holds for the combs of any hive in any other.

use proptest::prelude::*;
use quantity::Length;
use reckon::fit::{Hive, Overlap, comb_in, follower_in};
use reckon::section::{Section, Shape};

use crate::section::{Place, distance_mm, edges, is_inside, outlines, plain_shapes, polygon, within_mm};
use crate::{cases, mm};

fn any_sections() -> impl Strategy<Value = Section> {
    let plain = plain_shapes().prop_map(|shape| Section::new(shape).expect("a section of some size"));
    prop_oneof![plain, outlines().prop_map(|outline| polygon(&outline))]
}

/// Sections the same on both sides that get no wider below the bars.
fn tapering() -> impl Strategy<Value = Section> {
    let narrows = |shape: &Shape| match shape {
        Shape::Slope { top, floor, .. } => floor <= top,
        Shape::Drum { diameter, depth } => *depth + *depth <= *diameter,
        Shape::Arc { width, depth } => *depth + *depth <= *width,
        Shape::Upright { .. } | Shape::Catenary { .. } => true,
        Shape::Polygon(_) => false,
    };
    plain_shapes()
        .prop_filter("gets wider below the bars", narrows)
        .prop_map(|shape| Section::new(shape).expect("a section of some size"))
}

fn overlap(from: &Section, into: &Section, bee_space: Length) -> Option<Overlap> {
    let hive = |section| Hive {
        section,
        bar_length: mm(500),
        bar_width: mm(35),
        bee_space,
        longest_bar: None,
    };
    comb_in(hive(from), hive(into)).map(|fit| fit.comb)
}

/// How far inside walls a place lies, below nothing outside.
fn inside_mm(walls: &[Place], at: Place) -> f64 {
    let is_wall = |edge: &(Place, Place)| edge.0.1 > 1e-6 || edge.1.1 > 1e-6;
    let distance = edges(walls)
        .filter(is_wall)
        .map(|wall| distance_mm(at, wall))
        .fold(f64::MAX, f64::min);
    if is_inside(walls, at) { distance } else { -distance }
}

/// Places so close on the edges of an outline and on level lines across it, that none of it is farther off than
/// the distance between them.
fn places(outline: &[Place], apart: f64) -> Vec<Place> {
    let deep = outline.iter().fold(0.0_f64, |deep, at| deep.max(at.1));
    let level = edges(outline).flat_map(|(from, to)| {
        let pieces = (libm::hypot(to.0 - from.0, to.1 - from.1) / apart)
            .ceil()
            .max(1.0);
        (0..pieces as u32).map(move |piece| {
            let part = f64::from(piece) / pieces;
            (from.0 + part * (to.0 - from.0), from.1 + part * (to.1 - from.1))
        })
    });
    let (least, most) = outline.iter().fold((f64::MAX, f64::MIN), |(least, most), at| {
        (least.min(at.0), most.max(at.0))
    });
    let columns = ((most - least) / apart) as u32;
    let within = (1..(deep / apart) as u32).flat_map(|row| {
        (0..columns).map(move |column| (least + apart * f64::from(column), apart * f64::from(row)))
    });
    level.chain(within.filter(|&at| is_inside(outline, at))).collect()
}

proptest! {
    #![proptest_config(cases(128))]

    #[test]
    fn a_comb_hangs_where_it_was_built(section in any_sections(), space in 0_u32..20) {
        if let Some(own) = overlap(&section, &section, mm(space)) {
            // A comb that hangs from no bar, as in a drum nearly full, hangs nowhere.
            if section.width_at_bars(mm(space)) > Length::ZERO {
                prop_assert!(own.cut_away.to_percent() < 1e-9, "{own:?}");
            }
            prop_assert_eq!(own.too_near, Length::ZERO);
        }
    }

    #[test]
    fn what_is_cut_away_is_what_is_wider_on_level_strips(from in tapering(), into in tapering(), space in 0_u32..20) {
        let (comb, room) = (from.outline(mm(space)), into.outline(mm(space)));
        let Some(ours) = overlap(&from, &into, mm(space)) else { return Ok(()); };
        let deep = comb.iter().fold(0.0_f64, |deep, at| deep.max(at.1));
        let strips = 1_000;
        let middle = |strip: u32| deep * (f64::from(strip) + 0.5) / f64::from(strips);
        let whole: f64 = (0..strips).map(|strip| within_mm(&comb, middle(strip))).sum();
        let kept: f64 = (0..strips).map(|strip| within_mm(&comb, middle(strip)).min(within_mm(&room, middle(strip)))).sum();
        let cut = 100.0 * (1.0 - kept / whole);
        // Outlines that are drawn have the area of a curve to half a per cent.
        prop_assert!((ours.cut_away.to_percent() - cut).abs() < 0.5, "{ours:?} for {cut}");
        prop_assert!(ours.cut_away.to_percent() > 0.01 || ours.too_near < mm(1), "{ours:?}");
    }

    #[test]
    fn a_larger_hive_of_the_same_shape_takes_every_comb(shape in tapering(), space in 0_u32..20, more in 1_u32..30) {
        // A wider bee space in the first hive stands for larger walls round the same comb.
        let comb = |space, apart| {
            let hive = |bee_space| Hive { section: &shape, bar_length: mm(500), bar_width: mm(35), bee_space, longest_bar: None };
            comb_in(hive(mm(space)), hive(mm(apart))).map(|fit| fit.comb)
        };
        if let Some(fit) = comb(space + more, space) {
            prop_assert!(fit.cut_away.to_percent() < 1e-9 && fit.too_near == Length::ZERO, "{fit:?}");
        }
        if let Some(fit) = comb(space, space + more) {
            prop_assert!((fit.too_near.to_mm() - f64::from(more)).abs() < 0.05, "{fit:?} for {more}");
        }
    }
}

proptest! {
    #![proptest_config(cases(48))]

    #[test]
    fn what_is_too_near_is_the_worst_of_many_places(from in any_sections(), into in any_sections(), space in 0_u32..20) {
        let Some(ours) = overlap(&from, &into, mm(space)) else { return Ok(()); };
        let (walls, apart) = (into.outline(Length::ZERO), 4.0);
        let nearest = from.combs(mm(space)).iter().flat_map(|comb| places(comb, apart))
            .map(|at| inside_mm(&walls, at)).fold(f64::MAX, f64::min);
        let sampled = (f64::from(space) - nearest).max(0.0);
        let ours = ours.too_near.to_mm();
        // A curve is drawn by straight pieces that lie up to half a millimetre inside it.
        prop_assert!(sampled <= ours * 1.005 + 0.6, "{ours} for {sampled}");
        prop_assert!(ours <= sampled + apart + 0.6, "{ours} for {sampled}");
    }

    #[test]
    fn the_widest_gap_is_that_of_many_places(from in any_sections(), into in any_sections(), clearance in 0_u32..10) {
        let Some(ours) = follower_in(&from, mm(clearance), &into) else { return Ok(()); };
        let (walls, apart) = (into.outline(Length::ZERO), 2.0);
        let boards = from.combs(mm(clearance));
        let wall_edges = boards.iter().flat_map(|board| edges(board)).filter(|edge| edge.0.1 > 1e-6 || edge.1.1 > 1e-6);
        let widest = wall_edges.flat_map(|edge| places(&[edge.0, edge.1], apart))
            .map(|at| inside_mm(&walls, at)).fold(0.0, f64::max);
        let ours = ours.widest_gap.to_mm();
        prop_assert!((ours - widest).abs() <= apart + 0.6 + 0.005 * widest, "{ours} for {widest}");
    }
}
