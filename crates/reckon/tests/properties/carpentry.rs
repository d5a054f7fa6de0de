//! What holds for the boards round every section of straight walls.

use proptest::prelude::*;
use quantity::Length;
use reckon::carpentry::{Bars, Design, Followers, Legs, Part, Role, Spacers, Thickness, Work, parts};
use reckon::section::{Section, Shape};

use crate::{area_cm2, cases, mm};

type Place = (f64, f64);

/// Corners on an arch below the bars, the same on both sides but for a shift, in millimetres: no level edge, no
/// inward corner.
fn bowls() -> impl Strategy<Value = Vec<Place>> {
    (200_u32..500, 120_u32..400, prop::collection::vec(1_u32..20, 3..7)).prop_map(|(wide, deep, parts)| {
        let whole: u32 = parts.iter().sum();
        let mut gone = 0;
        let mut outline = vec![(-f64::from(wide), 0.0), (f64::from(wide), 0.0)];
        for part in &parts[..parts.len() - 1] {
            gone += part;
            let angle = std::f64::consts::PI * f64::from(gone) / f64::from(whole);
            let (sine, cosine) = libm::sincos(angle);
            outline.push((f64::from(wide) * cosine, f64::from(deep) * sine + cosine));
        }
        outline
    })
}

fn design(section: Section, board: Length) -> Design {
    let bars = Bars {
        count: 10,
        width: mm(35),
        length: section.width_at_bars(Length::ZERO) + mm(40),
        thickness: mm(18),
    };
    Design {
        section,
        inside_length: mm(360),
        thickness: Thickness {
            walls: board,
            floor: board,
            ends: board,
            followers: board,
            roof: board,
        },
        bars,
        spacers: Spacers {
            count: 0,
            width: Length::ZERO,
        },
        followers: Followers {
            count: 1,
            clearance: mm(5),
        },
        legs: Legs {
            working_height: mm(900),
            width: mm(50),
            thickness: mm(25),
            splay_deg: 10.0,
        },
        roof_overhang: Length::ZERO,
    }
}

/// Where two lines cross, each given by two places on it.
fn crossing((a, b): (Place, Place), (c, d): (Place, Place)) -> Place {
    let way = |from: Place, to: Place| (to.0 - from.0, to.1 - from.1);
    let cross = |one: Place, other: Place| one.0 * other.1 - one.1 * other.0;
    let part = cross(way(a, c), way(c, d)) / cross(way(a, b), way(c, d));
    (a.0 + part * (b.0 - a.0), a.1 + part * (b.1 - a.1))
}

/// The outline whose walls lie so far outside, cut off at the height of the bars.
fn moved_out(outline: &[Place], by: f64) -> Vec<Place> {
    let next = outline.iter().cycle().skip(1);
    let lines: Vec<(Place, Place)> = outline
        .iter()
        .zip(next)
        .zip(0..)
        .map(|((&from, &to), idx)| {
            let (dx, dy) = (to.0 - from.0, to.1 - from.1);
            let by = if idx == 0 { 0.0 } else { by / libm::hypot(dx, dy) };
            let shift = |at: Place| (at.0 + dy * by, at.1 - dx * by);
            (shift(from), shift(to))
        })
        .collect();
    let before = lines.iter().cycle().skip(lines.len() - 1);
    before
        .zip(&lines)
        .map(|(&before, &line)| crossing(before, line))
        .collect()
}

/// The area of a board seen from its end: between its inner and its outer face.
fn seen_from_the_end_cm2(part: &Part) -> f64 {
    let thickness = part.thickness.to_mm();
    let wider: f64 = part
        .work
        .iter()
        .map(|work| match work {
            Work::Bevelled { from_square_deg, .. } => thickness * libm::tan(from_square_deg.to_radians()),
            Work::Ripped | Work::Crosscut { .. } | Work::SawnToOutline | Work::Bent => 0.0,
        })
        .sum();
    thickness * (part.width.to_mm() + wider / 2.0) / 100.0
}

fn boards(parts: &[Part]) -> impl Iterator<Item = &Part> {
    parts
        .iter()
        .filter(|part| matches!(part.role, Role::Wall { .. } | Role::Floor { .. }))
}

proptest! {
    #![proptest_config(cases(256))]

    #[test]
    fn mitred_boards_are_what_lies_between_inside_and_outside(outline in bowls(), board in 5_u32..30) {
        let length = |mm| Length::from_mm_f64(mm).unwrap();
        let corners = outline.iter().map(|&(x, y)| (length(x), length(y))).collect();
        let section = Section::new(Shape::Polygon(corners)).unwrap();
        let parts = parts(&design(section, mm(board))).unwrap();
        let ours: f64 = boards(&parts).map(seen_from_the_end_cm2).sum();
        let expected = area_cm2(&moved_out(&outline, f64::from(board))) - area_cm2(&outline);
        prop_assert!((ours - expected).abs() < 1e-3 * expected, "{ours} for {expected}");
        prop_assert_eq!(boards(&parts).count(), outline.len() - 1);
    }

    #[test]
    fn a_floor_and_two_walls_are_what_lies_round_a_slope(top in 200_u32..600, share in 50_u32..150, depth in 200_u32..400, board in 5_u32..30) {
        let floor = top * share / 100;
        let shape = Shape::Slope { top: mm(top), floor: mm(floor), depth: mm(depth) };
        let parts = parts(&design(Section::new(shape).unwrap(), mm(board))).unwrap();
        let ours: f64 = boards(&parts).map(seen_from_the_end_cm2).sum();
        // Beside the section two slanting strips as high as it is, under it the floor from outside to outside.
        let slant = libm::hypot(f64::from(top.abs_diff(floor)) / 2.0, f64::from(depth)) / f64::from(depth);
        let wide = f64::from(board) * slant;
        let expected = 2.0 * wide * f64::from(depth) + (f64::from(floor) + 2.0 * wide) * f64::from(board);
        prop_assert!((ours - expected / 100.0).abs() < 1e-3 * ours, "{ours} for {expected}");
    }

    #[test]
    fn a_part_comes_out_of_its_blank(outline in bowls(), board in 5_u32..30) {
        let length = |mm| Length::from_mm_f64(mm).unwrap();
        let corners = outline.iter().map(|&(x, y)| (length(x), length(y))).collect();
        let section = Section::new(Shape::Polygon(corners)).unwrap();
        let made = parts(&design(section, mm(board))).unwrap();
        for part in &made {
            prop_assert!(part.blank_length >= part.length && part.blank_width >= part.width);
            let strips = part.strips(mm(100), mm(3)).unwrap();
            let whole = strips.width.steps() * i64::from(strips.count) - mm(3).steps() * i64::from(strips.count - 1);
            let over = whole - part.blank_width.steps();
            prop_assert!((0..i64::from(strips.count)).contains(&over) && strips.width <= mm(100));
        }
        let side: Vec<&Part> = made.iter().filter(|part| matches!(part.role, Role::Follower | Role::End)).collect();
        prop_assert!(side[1].length < side[0].length && side[1].width < side[0].width);
    }
}
