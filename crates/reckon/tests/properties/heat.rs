//! Conduction through hives: bounded, balanced, symmetric, monotone.

use proptest::prelude::*;
use quantity::{Estimate, Length};
use reckon::heat::{Built, Shares};
use reckon::section::{Section, Shape};
use reckon::wall::{Flow, Layer, through};

use crate::{cases, mm, sections};

fn layer(conducts: f64, thickness_mm: u32) -> Layer {
    let conducts = Estimate::new(conducts, 0.8 * conducts, 1.2 * conducts).expect("a number");
    Layer::new(conducts, mm(thickness_mm)).expect("a layer")
}

fn layers() -> impl Strategy<Value = Vec<Layer>> {
    let one = (0.03..1.5_f64, 2_u32..40).prop_map(|(conducts, thickness)| layer(conducts, thickness));
    proptest::collection::vec(one, 1..4)
}

fn hives() -> impl Strategy<Value = Built> {
    (sections(), 300_u32..1_500, layers(), layers(), layers()).prop_map(
        |(section, length, walls, roof, floor)| Built {
            section,
            length: mm(length),
            ends: walls.clone(),
            walls,
            roof,
            floor,
        },
    )
}

/// Any slope, and its mirror image as corners.
fn mirrored() -> impl Strategy<Value = (Section, Section)> {
    (200_i64..500, 0_i64..150, 50_i64..200, 150_i64..400).prop_map(|(top, left, floor, depth)| {
        let at = |x: i64, y: i64| (Length::mm(x), Length::mm(y));
        let right = left + floor;
        let section = |corners| Section::new(Shape::Polygon(corners)).expect("a section");
        let top = top.max(right);
        let one = section(vec![at(0, 0), at(top, 0), at(right, depth), at(left, depth)]);
        let other = section(vec![
            at(0, 0),
            at(top, 0),
            at(top - left, depth),
            at(top - right, depth),
        ]);
        (one, other)
    })
}

proptest! {
    #![proptest_config(cases(96))]

    #[test]
    fn heat_makes_no_wall_warmer_or_colder_than_the_air(hive in hives()) {
        let Ok(loss) = hive.loss_meshed(1) else { return Ok(()); };
        for line in 0..loss.field.lines() {
            for row in 0..loss.field.rows() {
                let warmth = loss.field.warmth(line, row);
                prop_assert!((-1e-9..=1.0 + 1e-9).contains(&warmth), "{warmth}");
            }
        }
    }

    #[test]
    fn heat_that_leaves_inside_comes_out_outside(hive in hives()) {
        let Ok(loss) = hive.loss_meshed(1) else { return Ok(()); };
        let out = outside_w_per_mk(&loss.field);
        let inside = loss.ua_section_w_per_mk.value();
        prop_assert!((out / inside - 1.0).abs() < 1e-6, "{out} {inside}");
        let shares = loss.shares;
        prop_assert!((shares.walls + shares.roof + shares.floor + shares.ends - 1.0).abs() < 1e-9);
    }

    #[test]
    fn heat_is_lost_more_through_a_layer_that_conducts_more(hive in hives(), part in 0_usize..4, at in 0_usize..3, more in 1.05..3.0_f64) {
        let mut worse = hive.clone();
        change(&mut worse, part, at, |layer| conducting(layer, more));
        let (Ok(one), Ok(other)) = (hive.loss_meshed(1), worse.loss_meshed(1)) else { return Ok(()); };
        let (ua, worse) = (one.ua_w_per_k, other.ua_w_per_k.value());
        prop_assert!(worse > ua.value() || is_missing(part, &one.shares), "{worse} {ua:?}");
        prop_assert!(ua.lo() < ua.value() && ua.value() < ua.hi());
    }

    // Of what conducts well a thicker wall may lose more: it is larger outside.
    #[test]
    fn heat_is_lost_less_through_a_thicker_layer_of_wood_or_wool(hive in hives(), part in 0_usize..4, at in 0_usize..3, conducts in 0.03..0.2_f64, (thin, thick) in (5_u32..25, 3_u32..15)) {
        let with = |thickness| {
            let mut hive = hive.clone();
            change(&mut hive, part, at, |_| layer(conducts, thickness));
            hive.loss_meshed(1)
        };
        let (Ok(one), Ok(other)) = (with(thin), with(thin + thick)) else { return Ok(()); };
        let (thin, thick) = (one.ua_w_per_k.value(), other.ua_w_per_k.value());
        prop_assert!(thick < thin || is_missing(part, &one.shares), "{thick} {thin}");
    }

    #[test]
    fn heat_is_the_same_in_a_mirror((one, other) in mirrored(), walls in layers(), roof in layers()) {
        let hive = |section| Built {
            section,
            length: Length::mm(900),
            walls: walls.clone(),
            roof: roof.clone(),
            floor: walls.clone(),
            ends: walls.clone(),
        };
        let loss = (hive(one).loss_meshed(1), hive(other).loss_meshed(1));
        if let (Ok(one), Ok(other)) = &loss {
            let (one, other) = (one.ua_w_per_k.value(), other.ua_w_per_k.value());
            prop_assert!((one / other - 1.0).abs() < 1e-8, "{one} {other}");
        }
        prop_assert_eq!(loss.0.is_ok(), loss.1.is_ok());
    }

    #[test]
    fn heat_of_common_hives_is_told(top in 300_u32..600, share in 30_u32..=100, depth in 200_u32..400, walls in layers(), roof in layers()) {
        let shape = Shape::Slope { top: mm(top), floor: mm(top * share / 100), depth: mm(depth) };
        let hive = Built {
            section: Section::new(shape).expect("a section"),
            length: mm(900),
            floor: walls.clone(),
            ends: walls.clone(),
            walls,
            roof,
        };
        prop_assert!(hive.loss_meshed(1).is_ok());
    }

    #[test]
    fn wall_layers_in_another_order_resist_alike(layers in layers()) {
        let turned: Vec<Layer> = layers.iter().rev().copied().collect();
        let (one, other) = (through(&layers, Flow::Level), through(&turned, Flow::Level));
        prop_assert!((one.r_m2k_per_w.value() - other.r_m2k_per_w.value()).abs() < 1e-12);
        prop_assert!((one.u_w_per_m2k.value() * one.r_m2k_per_w.value() - 1.0).abs() < 1e-12);
    }

    #[test]
    fn wall_layers_are_read_or_refused(written in "[a-z0-9 ./-]{0,24}(mm|cm|in| W/mK| kg/m3)?") {
        if let Ok(layer) = Layer::read(&written) {
            prop_assert!(layer.thickness() > Length::ZERO && layer.conductivity_w_per_mk(Flow::Level).lo() > 0.0);
        }
    }
}

/// Changes one layer of the walls, the roof, the floor or the ends.
fn change(hive: &mut Built, part: usize, at: usize, to: impl Fn(Layer) -> Layer) {
    let layers = match part {
        0 => &mut hive.walls,
        1 => &mut hive.roof,
        2 => &mut hive.floor,
        _ => &mut hive.ends,
    };
    let at = at % layers.len();
    layers[at] = to(layers[at]);
}

/// Whether the section has no such part: a curve has no floor, and a full drum no roof.
fn is_missing(part: usize, shares: &Shares) -> bool {
    (part == 1 && shares.roof == 0.0) || (part == 2 && shares.floor == 0.0)
}

fn conducting(layer: Layer, times: f64) -> Layer {
    let conducts = layer.conductivity_w_per_mk(Flow::Level);
    let conducts = Estimate::new(
        times * conducts.value(),
        times * conducts.lo(),
        times * conducts.hi(),
    );
    Layer::new(conducts.expect("a number"), layer.thickness()).expect("a layer")
}

/// What the outside faces pass, from the warmth of their nodes and 0.04 m²K/W.
fn outside_w_per_mk(field: &reckon::heat::Field) -> f64 {
    let (last, lines) = (field.rows() - 1, field.lines());
    let face = |line: usize| {
        let next = (line + 1) % lines;
        let ((ax, ay), (bx, by)) = (field.node_mm(line, last), field.node_mm(next, last));
        let metres = libm::hypot(bx - ax, by - ay) / 1_000.0;
        metres / 0.04 * (field.warmth(line, last) + field.warmth(next, last)) / 2.0
    };
    (0..lines).map(face).sum()
}
