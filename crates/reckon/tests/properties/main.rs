//! What holds for every honey, comb and section: monotone, invertible, bounded.
//!
//! The cases are drawn from one fixed seed, so that every run tries the same ones.

mod carpentry;
mod cut;
mod fit;
mod heat;
mod photo;
mod season;
mod section;
mod strength;

use proptest::prelude::*;
use proptest::test_runner::{Config, RngSeed};
use quantity::{Area, Celsius, Fraction, Length, Mass};
use reckon::comb::{cells_per_dm2, full_comb_g, honey_per_dm2_g};
use reckon::density::density;
use reckon::gtin::{gtin, is_gtin};
use reckon::jars::jars;
use reckon::refractometry::{Instrument, Scale, Shown, index, moisture, moisture_shown};
use reckon::section::{Section, Shape};

/// So many cases from the fixed seed; nothing is written beside the tests.
fn cases(cases: u32) -> Config {
    Config {
        cases,
        rng_seed: RngSeed::Fixed(20_260_719),
        failure_persistence: None,
        ..Config::default()
    }
}

fn celsius(degrees: f64) -> Celsius {
    Celsius::new(degrees).expect("the test gives a temperature")
}

fn percent(percent: f64) -> Fraction {
    Fraction::percent(percent).expect("the test gives a part of a hundred")
}

fn mm(millimetres: u32) -> Length {
    Length::mm(i64::from(millimetres))
}

/// Any section between a nucleus box and a barrel.
fn sections() -> impl Strategy<Value = Section> {
    let measures = (100_u32..700, 0_u32..100, 100_u32..500, 0_usize..5);
    measures.prop_map(|(top, floor_share, depth, kind)| {
        let (top, depth, floor) = (mm(top), mm(depth), mm(top * floor_share / 100));
        let shape = match kind {
            0 => Shape::Slope { top, floor, depth },
            1 => Shape::Upright { width: top, depth },
            2 => Shape::Drum {
                diameter: top.max(depth),
                depth,
            },
            3 => Shape::Arc { width: top, depth },
            _ => Shape::Catenary { top, depth },
        };
        Section::new(shape).expect("a section of some size")
    })
}

/// The area within corners in millimetres, by the sum of the cross products of neighbours.
fn area_cm2(corners: &[(f64, f64)]) -> f64 {
    let next = corners.iter().cycle().skip(1);
    let doubled: f64 = corners.iter().zip(next).map(|(a, b)| a.0 * b.1 - b.0 * a.1).sum();
    doubled.abs() / 200.0
}

/// How much of the corners' outline lies at the height of the bars.
fn width_at_bars_mm(corners: &[(f64, f64)]) -> f64 {
    let at_bars = corners.iter().filter(|(_, y)| y.abs() < 1e-6).map(|(x, _)| *x);
    let (least, most) = at_bars.fold((f64::MAX, f64::MIN), |(least, most), x| {
        (least.min(x), most.max(x))
    });
    (most - least).max(0.0)
}

proptest! {
    #![proptest_config(cases(512))]

    #[test]
    fn wetter_honey_bends_light_less(water in 12.9..25.0_f64, more in 0.001..0.1_f64) {
        prop_assert!(index(percent(water)).unwrap() > index(percent(water + more)).unwrap());
    }

    #[test]
    fn the_index_and_the_water_are_each_others_inverse(water in 12.9..25.1_f64) {
        let back = moisture(index(percent(water)).unwrap(), celsius(20.0)).unwrap();
        prop_assert!((back.percent - water).abs() < 1e-9);
    }

    #[test]
    fn the_warmer_a_reading_the_drier_the_honey(read in 1.478..1.500_f64, at in 12.0..28.0_f64, warmer in 0.1..2.0_f64) {
        let (cool, warm) = (moisture(read, celsius(at)).unwrap(), moisture(read, celsius(at + warmer)).unwrap());
        prop_assert!(warm.percent < cool.percent && warm.index_at_20 > cool.index_at_20);
    }

    #[test]
    fn a_reading_lies_within_its_interval(water in 13.5..24.5_f64, resolution in 0.0..1.0_f64, at in 18.0..22.0_f64) {
        for scale in [Scale::Water(water), Scale::Brix(98.4 - water)] {
            let shown = Shown { scale, resolution, instrument: Instrument::Plain { at: celsius(at) } };
            let read = moisture_shown(shown).unwrap();
            prop_assert!(read.lo <= read.percent + 1e-12 && read.percent <= read.hi + 1e-12);
            prop_assert!(read.hi - read.lo >= resolution - 0.01);
        }
    }

    #[test]
    fn wetter_or_warmer_honey_is_lighter(water in 13.0..20.0_f64, at in 0.0..59.0_f64) {
        let kg_per_l = |water, at| density(percent(water), celsius(at)).unwrap().to_kg_per_l();
        prop_assert!(kg_per_l(water + 0.5, at) < kg_per_l(water, at));
        prop_assert!(kg_per_l(water, at + 1.0) < kg_per_l(water, at));
    }

    #[test]
    fn jars_and_what_is_left_are_the_honey(honey in 0..i64::MAX, net in 1..i64::MAX) {
        let filling = jars(Mass::from_ng(honey), Mass::from_ng(net), percent(17.0)).unwrap();
        prop_assert!(filling.left < Mass::from_ng(net) && filling.left >= Mass::ZERO);
        prop_assert_eq!(i128::from(filling.jars) * i128::from(net) + i128::from(filling.left.ng()), i128::from(honey));
    }

    #[test]
    fn a_changed_digit_breaks_the_number(body in "[0-9]{12}", place in 0_usize..12, by in 1_u8..10) {
        let full = gtin(&body).unwrap();
        prop_assert!(is_gtin(&full));
        let mut digits = full.into_bytes();
        digits[place] = b'0' + (digits[place] - b'0' + by) % 10;
        prop_assert!(!is_gtin(&String::from_utf8(digits).unwrap()));
    }

    #[test]
    fn thicker_or_larger_combs_hold_more(cm2 in 1.0..3_000.0_f64, thickness in 10_u32..60) {
        let honey = |cm2, thickness| full_comb_g(Area::from_cm2(cm2).unwrap(), mm(thickness)).unwrap();
        prop_assert!(honey(cm2, thickness + 1).value() > honey(cm2, thickness).value());
        prop_assert!(honey(cm2 + 1.0, thickness).value() > honey(cm2, thickness).value());
        prop_assert!(honey_per_dm2_g(mm(thickness + 1)).unwrap() > honey_per_dm2_g(mm(thickness)).unwrap());
    }

    #[test]
    fn wider_cells_are_fewer(tenths in 40_i64..80) {
        let cells = |tenths| cells_per_dm2(Length::from_steps(32 * tenths)).unwrap();
        prop_assert!(cells(tenths + 1).one_face < cells(tenths).one_face);
        prop_assert!((cells(tenths).both_faces - 2.0 * cells(tenths).one_face).abs() < 1e-9);
    }

    #[test]
    fn more_bee_space_leaves_less_comb(section in sections(), space in 0_u32..30) {
        let comb = |space| section.comb(mm(space)).to_cm2();
        prop_assert!(comb(space) <= section.face().to_cm2() + 1e-9);
        prop_assert!(comb(space + 1) <= comb(space) + 1e-9);
        prop_assert!(section.width_at_bars(mm(space + 1)) <= section.width_at_bars(mm(space)));
        // The band taken off is no wider than the bee space; in an overfull drum it may be a little longer than the wall.
        let band = comb(space) - comb(space + 1);
        prop_assert!(band <= 0.11 * section.wall().to_cm() + 1e-3, "{band}");
    }

    #[test]
    fn the_drawn_outline_has_the_area_and_the_width_of_the_comb(section in sections(), space in 0_u32..60) {
        let outline = section.outline(mm(space));
        let (cm2, drawn_cm2) = (section.comb(mm(space)).to_cm2(), area_cm2(&outline));
        prop_assert!((drawn_cm2 - cm2).abs() <= 0.005 * cm2 + 1e-6, "{drawn_cm2} for {cm2}");
        prop_assert_eq!(outline.is_empty(), cm2 < 1e-6);
        let width = section.width_at_bars(mm(space)).to_mm();
        prop_assert!((width_at_bars_mm(&outline) - width).abs() < 0.01, "{outline:?} for {width}");
        prop_assert!(outline.iter().all(|(_, y)| *y > -1e-6));
    }

    #[test]
    fn the_wall_goes_round_the_section(section in sections()) {
        prop_assert!(section.wall() >= section.width_at_bars(Length::ZERO));
        let litres = section.volume(Length::mm(1_000)).to_l();
        prop_assert!((litres - section.face().to_cm2() / 10.0).abs() < 1e-9);
    }
}
