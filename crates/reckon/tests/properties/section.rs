//! What holds for every section, with inward corners or without: areas by scan lines and by a grid of points.

use proptest::prelude::*;
use quantity::Length;
use reckon::section::{Section, Shape};

use crate::{area_cm2, cases, mm};

pub(crate) type Place = (f64, f64);

/// The shapes that are told by two or three measures.
pub(crate) fn plain_shapes() -> impl Strategy<Value = Shape> {
    let measures = (100_u32..700, 0_u32..150, 100_u32..500, 0_usize..5);
    measures.prop_map(|(top, floor_share, depth, kind)| {
        let (top, depth, floor) = (mm(top), mm(depth), mm(top * floor_share / 100));
        match kind {
            0 => Shape::Slope { top, floor, depth },
            1 => Shape::Upright { width: top, depth },
            2 => Shape::Drum {
                diameter: top.max(depth),
                depth,
            },
            3 => Shape::Arc { width: top, depth },
            _ => Shape::Catenary { top, depth },
        }
    })
}

/// Walls that go in and out on their way down to a point, in whole millimetres.
fn crooked_walls() -> impl Strategy<Value = Vec<Place>> {
    let levels = prop::collection::vec((10_u32..120, 20_u32..250, 20_u32..250), 1..5);
    (100_u32..300, 100_u32..300, levels, 10_u32..120).prop_map(|(left, right, levels, last)| {
        let mut depth = 0;
        let mut right_side = vec![(f64::from(right), 0.0)];
        let mut left_side = vec![(-f64::from(left), 0.0)];
        for (down, left, right) in levels {
            depth += down;
            right_side.push((f64::from(right), f64::from(depth)));
            left_side.push((-f64::from(left), f64::from(depth)));
        }
        let point = (0.0, f64::from(depth + last));
        let down = right_side.into_iter().chain([point]);
        let up = left_side[1..].iter().rev().copied();
        [left_side[0]].into_iter().chain(down).chain(up).collect()
    })
}

/// A floor of hills and hollows from one wall to the other, in whole millimetres.
fn crooked_floors() -> impl Strategy<Value = Vec<Place>> {
    prop::collection::vec((20_u32..120, 5_u32..400), 3..8).prop_map(|floor| {
        let mut along = 0;
        let mut heights = Vec::new();
        for (step, depth) in floor {
            heights.push((f64::from(along), f64::from(depth)));
            along += step;
        }
        let width = heights[heights.len() - 1].0;
        let walls = [(0.0, 0.0), (width, 0.0)];
        walls.into_iter().chain(heights.into_iter().rev()).collect()
    })
}

pub(crate) fn outlines() -> impl Strategy<Value = Vec<Place>> {
    prop_oneof![crooked_walls(), crooked_floors()]
}

pub(crate) fn polygon(outline: &[Place]) -> Section {
    let length = |mm| Length::from_mm_f64(mm).expect("a corner of the test");
    let corners = outline.iter().map(|&(x, y)| (length(x), length(y))).collect();
    Section::new(Shape::Polygon(corners)).expect("an outline that does not cross itself")
}

pub(crate) fn edges(outline: &[Place]) -> impl Iterator<Item = (Place, Place)> {
    let next = outline.iter().cycle().skip(1);
    outline.iter().zip(next).map(|(&from, &to)| (from, to))
}

/// How much of a level line lies within an outline.
pub(crate) fn within_mm(outline: &[Place], y: f64) -> f64 {
    let mut at: Vec<f64> = edges(outline)
        .filter(|(from, to)| (from.1 <= y) != (to.1 <= y))
        .map(|(from, to)| from.0 + (to.0 - from.0) * (y - from.1) / (to.1 - from.1))
        .collect();
    at.sort_by(f64::total_cmp);
    at.chunks(2).map(|pair| pair[1] - pair[0]).sum()
}

/// The sum of so many level strips from the bars down.
fn scanned_cm2(depth_mm: f64, width_mm: impl Fn(f64) -> f64) -> f64 {
    let strips = 4_000;
    let high = depth_mm / f64::from(strips);
    let width = |strip: i32| width_mm(high * (f64::from(strip) + 0.5));
    (0..strips).map(width).sum::<f64>() * high / 100.0
}

/// The width of a shape so far below the bars, from its own equation.
fn width_mm(shape: &Shape, y: f64) -> f64 {
    let half_of_circle = |radius: f64, depth: f64| {
        let rise = y - (depth - radius);
        libm::sqrt((radius * radius - rise * rise).max(0.0))
    };
    match shape {
        Shape::Slope { top, floor, depth } => top.to_mm() + (floor.to_mm() - top.to_mm()) * y / depth.to_mm(),
        Shape::Upright { width, .. } => width.to_mm(),
        Shape::Drum { diameter, depth } => 2.0 * half_of_circle(diameter.to_mm() / 2.0, depth.to_mm()),
        Shape::Arc { width, depth } => {
            let (half, depth) = (width.to_mm() / 2.0, depth.to_mm());
            2.0 * half_of_circle((half * half + depth * depth) / (2.0 * depth), depth)
        }
        Shape::Catenary { top, depth } => {
            let (half, depth) = (top.to_mm() / 2.0, depth.to_mm());
            let bend = bend_mm(half, depth);
            2.0 * bend * libm::acosh(1.0 + (depth - y) / bend)
        }
        Shape::Polygon(_) => unreachable!("the test asks of plain shapes"),
    }
}

/// The a of a chain's equation, by halving.
fn bend_mm(half: f64, depth: f64) -> f64 {
    let (mut tight, mut wide) = (half / 100.0, 1e6 * half);
    for _ in 0..200 {
        let middle = f64::midpoint(tight, wide);
        if middle * (libm::cosh(half / middle) - 1.0) > depth {
            tight = middle;
        } else {
            wide = middle;
        }
    }
    tight
}

fn depth_mm(shape: &Shape) -> f64 {
    match shape {
        Shape::Slope { depth, .. }
        | Shape::Upright { depth, .. }
        | Shape::Drum { depth, .. }
        | Shape::Arc { depth, .. }
        | Shape::Catenary { depth, .. } => depth.to_mm(),
        Shape::Polygon(_) => unreachable!("the test asks of plain shapes"),
    }
}

pub(crate) fn distance_mm(at: Place, (from, to): (Place, Place)) -> f64 {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let part = ((at.0 - from.0) * dx + (at.1 - from.1) * dy) / (dx * dx + dy * dy);
    let part = part.clamp(0.0, 1.0);
    libm::hypot(at.0 - from.0 - part * dx, at.1 - from.1 - part * dy)
}

pub(crate) fn is_inside(outline: &[Place], at: Place) -> bool {
    let right_of = |(from, to): (Place, Place)| {
        (from.1 <= at.1) != (to.1 <= at.1)
            && from.0 + (to.0 - from.0) * (at.1 - from.1) / (to.1 - from.1) > at.0
    };
    edges(outline).filter(|&edge| right_of(edge)).count() % 2 == 1
}

/// The squares of a grid whose middles lie inside and so far from every wall, and that hang together from the
/// bars.
fn grid_cm2(outline: &[Place], bee_space: f64, square: f64) -> f64 {
    let least = outline.iter().fold(f64::MAX, |least, at| least.min(at.0));
    let (wide, deep) = outline.iter().fold((0.0_f64, 0.0_f64), |(wide, deep), at| {
        (wide.max(at.0 - least), deep.max(at.1))
    });
    let count = |length: f64| (length / square).ceil() as usize;
    let (columns, rows) = (count(wide), count(deep));
    let middle = |column: usize, row: usize| {
        (
            least + square * (column as f64 + 0.5),
            square * (row as f64 + 0.5),
        )
    };
    let is_free = |column, row| {
        let at = middle(column, row);
        is_inside(outline, at)
            && edges(outline)
                .skip(1)
                .all(|wall| distance_mm(at, wall) >= bee_space)
    };
    let mut seen = vec![false; columns * rows];
    let mut next: Vec<(usize, usize)> = (0..columns).map(|column| (column, 0)).collect();
    let mut squares = 0.0;
    while let Some((column, row)) = next.pop() {
        if std::mem::replace(&mut seen[row * columns + column], true) || !is_free(column, row) {
            continue;
        }
        squares += 1.0;
        let beside = [
            (column.wrapping_sub(1), row),
            (column + 1, row),
            (column, row.wrapping_sub(1)),
            (column, row + 1),
        ];
        next.extend(
            beside
                .into_iter()
                .filter(|&(column, row)| column < columns && row < rows),
        );
    }
    squares * square * square / 100.0
}

proptest! {
    #![proptest_config(cases(256))]

    #[test]
    fn a_plain_section_has_the_area_and_volume_of_its_level_strips(shape in plain_shapes(), length in 100_u32..1_500) {
        let section = Section::new(shape.clone()).unwrap();
        let scanned = scanned_cm2(depth_mm(&shape), |y| width_mm(&shape, y));
        prop_assert!((section.face().to_cm2() - scanned).abs() < 2e-4 * scanned, "{scanned} for {section:?}");
        let litres = section.volume(mm(length)).to_l();
        prop_assert!((litres - scanned * f64::from(length) / 10_000.0).abs() < 2e-4 * litres);
    }

    #[test]
    fn a_crooked_section_has_the_area_and_volume_of_its_level_strips(outline in outlines(), length in 100_u32..1_500) {
        let section = polygon(&outline);
        let depth = outline.iter().fold(0.0_f64, |deep, at| deep.max(at.1));
        let scanned = scanned_cm2(depth, |y| within_mm(&outline, y));
        prop_assert!((section.face().to_cm2() - scanned).abs() < 1e-3 * scanned, "{scanned} for {section:?}");
        let litres = section.volume(mm(length)).to_l();
        prop_assert!((litres - scanned * f64::from(length) / 10_000.0).abs() < 1e-3 * litres);
    }

    #[test]
    fn no_bee_space_leaves_the_crooked_section(outline in outlines()) {
        let section = polygon(&outline);
        prop_assert!((area_cm2(&section.outline(Length::ZERO)) - area_cm2(&outline)).abs() < 1e-6);
        prop_assert!((section.face().to_cm2() - area_cm2(&outline)).abs() < 1e-6);
        let width = outline[1].0 - outline[0].0;
        prop_assert!((section.width_at_bars(Length::ZERO).to_mm() - width).abs() < 1e-3);
        let wall: f64 = edges(&outline).skip(1).map(|(from, to)| libm::hypot(to.0 - from.0, to.1 - from.1)).sum();
        prop_assert!((section.wall().to_mm() - wall).abs() < 1e-2);
    }

    #[test]
    fn more_bee_space_leaves_less_of_a_crooked_comb(outline in outlines(), space in 0_u32..40) {
        let section = polygon(&outline);
        let (here, next) = (section.comb(mm(space)).to_cm2(), section.comb(mm(space + 1)).to_cm2());
        prop_assert!(next <= here + 1e-9, "{next} after {here}");
        prop_assert!(section.width_at_bars(mm(space + 1)) <= section.width_at_bars(mm(space)));
        prop_assert!(next < here || here.abs() < 1e-9);
    }

    #[test]
    fn a_crooked_comb_lies_inside_and_keeps_the_bee_space(outline in outlines(), space in 1_u32..40) {
        let section = polygon(&outline);
        let middle = f64::midpoint(outline[0].0, outline[1].0);
        let combs = section.combs(mm(space));
        for comb in &combs {
            for &(x, y) in comb {
                let at = (x + middle, y);
                prop_assert!(y >= 0.0 && (y < 1e-9 || is_inside(&outline, at)), "{at:?}");
                for wall in edges(&outline).skip(1) {
                    prop_assert!(distance_mm(at, wall) > f64::from(space) - 1e-4, "{at:?} from {wall:?}");
                }
            }
            prop_assert!(comb[0].1.abs() < 1e-9 && comb[1].1.abs() < 1e-9 && comb[0].0 < comb[1].0);
        }
        let apart: f64 = combs.iter().map(|comb| area_cm2(comb)).sum();
        prop_assert!((apart - section.comb(mm(space)).to_cm2()).abs() < 1e-6);
        prop_assert!((area_cm2(&section.outline(mm(space))) - apart).abs() < 1e-6);
    }

    #[test]
    fn twice_the_size_is_four_times_the_area(outline in outlines(), space in 0_u32..40, times in 2_u32..5) {
        let larger: Vec<Place> = outline.iter().map(|at| (at.0 * f64::from(times), at.1 * f64::from(times))).collect();
        let (small, large) = (polygon(&outline).comb(mm(space)), polygon(&larger).comb(mm(times * space)));
        let expected = small.to_cm2() * f64::from(times * times);
        prop_assert!((large.to_cm2() - expected).abs() < 1e-6 * expected + 1e-6);
    }

    #[test]
    fn a_mirrored_or_turned_outline_has_the_same_comb(outline in outlines(), space in 0_u32..40) {
        let comb = polygon(&outline).comb(mm(space)).to_cm2();
        let mut mirrored: Vec<Place> = outline.iter().map(|at| (-at.0, at.1)).collect();
        mirrored[..2].reverse();
        mirrored[2..].reverse();
        let turned: Vec<Place> = outline.iter().map(|at| (17.0 - at.1, at.0 + 5.0)).collect();
        for other in [mirrored, turned] {
            prop_assert!((polygon(&other).comb(mm(space)).to_cm2() - comb).abs() < 1e-6 * comb + 1e-6);
        }
    }
}

proptest! {
    #![proptest_config(cases(48))]

    /// A square's corner lies 0.71 of its side from its middle: with so much more bee space every square counted
    /// lies in the comb, with so much less the squares cover it.
    #[test]
    fn a_crooked_comb_is_that_of_a_grid_of_points(outline in outlines(), space in 3_u32..30) {
        let square = 1.5;
        let comb = polygon(&outline).comb(mm(space)).to_cm2();
        let least = grid_cm2(&outline, f64::from(space) + 0.7072 * square, square);
        let most = grid_cm2(&outline, f64::from(space) - 0.7072 * square, square);
        prop_assert!(least <= comb + 1e-6 && comb <= most + 1e-6, "{least} {comb} {most}");
    }
}
