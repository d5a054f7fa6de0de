//! Readings: kept as read, and exact where they are turned into quantities.

use proptest::prelude::*;
use quantity::{Length, Mass, Reading, Unit, UnitKind};
use rust_decimal::Decimal;

use crate::{cases, decimal};

fn reading(typed: &str, unit: Unit) -> Reading {
    Reading::new(decimal(typed), unit)
}

#[test]
fn a_reading_prints_as_it_was_typed() {
    assert_eq!(reading("4.60", Unit::Kg).to_string(), "4.60 kg");
    assert_eq!(reading("17.4", Unit::Percent).to_string(), "17.4 %");
    assert_eq!(reading("31", Unit::C).to_string(), "31 C");
    assert_eq!(reading("-0.5", Unit::C).to_string(), "-0.5 C");
    assert_eq!(
        Reading::with_fraction(1, 1, 4, Unit::In).unwrap().to_string(),
        "1-1/4 in"
    );
    assert_eq!(
        Reading::with_fraction(0, 3, 8, Unit::In).unwrap().to_string(),
        "3/8 in"
    );
}

#[test]
fn zeros_that_were_read_are_part_of_the_reading() {
    assert_ne!(reading("4.60", Unit::Kg), reading("4.6", Unit::Kg));
    assert_ne!(reading("4.6", Unit::Kg), reading("4.6", Unit::Lb));
    assert_ne!(
        Reading::with_fraction(0, 2, 8, Unit::In),
        Reading::with_fraction(0, 1, 4, Unit::In)
    );
    assert_ne!(
        Reading::with_fraction(0, 1, 2, Unit::In).unwrap(),
        reading("0.5", Unit::In)
    );
    assert_eq!(reading("-0.0", Unit::C).to_string(), "0.0 C");
}

#[test]
fn the_resolution_is_the_last_digit_or_the_denominator() {
    assert_eq!(reading("4.60", Unit::Kg).resolution(), decimal("0.01"));
    assert_eq!(reading("31", Unit::C).resolution(), decimal("1"));
    assert_eq!(
        Reading::with_fraction(2, 1, 64, Unit::In).unwrap().resolution(),
        decimal("0.015625")
    );
    assert_eq!(
        Reading::with_fraction(2, 1, 4, Unit::In).unwrap().resolution(),
        decimal("0.25")
    );
}

#[test]
fn only_a_rules_fractions_are_fractions() {
    assert_eq!(Reading::with_fraction(1, 1, 3, Unit::In), None);
    assert_eq!(Reading::with_fraction(1, 1, 128, Unit::In), None);
    assert_eq!(Reading::with_fraction(1, 1, 0, Unit::In), None);
    assert_eq!(Reading::with_fraction(1, 4, 4, Unit::In), None);
    assert_eq!(Reading::with_fraction(1, 0, 4, Unit::In), None);
    assert_eq!(Reading::with_fraction(1, 1, 4, Unit::Kg), None);
    assert_eq!(
        Reading::with_fraction(0, 64, 64, Unit::In).unwrap().length(),
        Some(Length::inch_64ths(64))
    );
    let half_pound = Reading::with_fraction(0, 1, 2, Unit::Lb).unwrap();
    assert_eq!(half_pound.mass(), Some(Mass::oz(8)));
    assert_eq!(half_pound.fraction().map(|fraction| fraction.den), Some(2));
    assert_eq!(
        Reading::with_fraction(u32::MAX, 63, 64, Unit::Oz).unwrap().mass(),
        None
    );
}

#[test]
fn a_mass_is_exact_in_every_unit() {
    for (typed, unit, ng) in [
        ("1", Unit::T, 1_000_000_000_000_000),
        ("4.60", Unit::Kg, 4_600_000_000_000),
        ("340", Unit::G, 340_000_000_000),
        ("-0.5", Unit::Mg, -500_000),
        ("16", Unit::Oz, 453_592_370_000),
        ("1", Unit::Lb, 453_592_370_000),
        ("0.0001", Unit::Lb, 45_359_237),
        ("12.000000000000000000000000000", Unit::Oz, 340_194_277_500),
        ("9223", Unit::T, 9_223_000_000_000_000_000),
    ] {
        assert_eq!(
            reading(typed, unit).mass(),
            Some(Mass::from_ng(ng)),
            "{typed} {unit}"
        );
    }
}

#[test]
fn a_mass_ends_in_the_nearest_nanogram() {
    assert_eq!(
        reading("12.5", Unit::Oz).mass(),
        Some(Mass::from_ng(354_369_039_063))
    );
    assert_eq!(
        Reading::with_fraction(0, 1, 2, Unit::Oz).unwrap().mass(),
        Some(Mass::from_ng(14_174_761_563))
    );
    assert_eq!(
        reading("-0.5", Unit::Oz).mass(),
        Some(Mass::from_ng(-14_174_761_563))
    );
    assert_eq!(reading("0.0000000004", Unit::G).mass(), Some(Mass::ZERO));
}

#[test]
fn a_mass_out_of_range_or_of_another_unit_is_none() {
    assert_eq!(reading("9224", Unit::T).mass(), None, "out of range");
    assert_eq!(
        reading("79228162514264337593543950335", Unit::Kg).mass(),
        None,
        "the largest decimal"
    );
    assert_eq!(reading("1", Unit::L).mass(), None, "no mass");
}

#[test]
fn a_length_is_exact_in_tenths_and_64ths_and_else_the_nearest_step() {
    for (typed, unit, steps) in [
        ("5.2", Unit::Mm, 1_664),
        ("44.5", Unit::Cm, 142_400),
        ("0.955", Unit::M, 305_600),
        ("1", Unit::Km, 320_000_000),
        ("1.25", Unit::In, 10_160),
        ("1", Unit::Ft, 97_536),
        ("1", Unit::Mi, 514_990_080),
        ("5.37", Unit::Mm, 1_718),
        ("5.36", Unit::Mm, 1_715),
        ("-5.36", Unit::Mm, -1_715),
        ("0.0015625", Unit::Mm, 1),
    ] {
        assert_eq!(
            reading(typed, unit).length(),
            Some(Length::from_steps(steps)),
            "{typed} {unit}"
        );
    }
    assert_eq!(reading("1", Unit::Kg).length(), None);
    assert_eq!(reading("79228162514264337593543950335", Unit::Km).length(), None);
    assert_eq!(reading("99999999999", Unit::Km).length(), None);
}

#[test]
fn volumes_areas_temperatures_and_per_cents_are_read() {
    let ml = |typed, unit| reading(typed, unit).volume().unwrap().to_ml();
    assert!((ml("1", Unit::Floz) - 29.573_529_562_5).abs() < 1e-12);
    assert!((ml("1", Unit::Pt) - 473.176_473).abs() < 1e-9);
    assert!((ml("1", Unit::Qt) - 946.352_946).abs() < 1e-9);
    assert!((ml("1", Unit::Gal) - 3_785.411_784).abs() < 1e-9);
    assert!((ml("1.5", Unit::L) - 1_500.0).abs() < 1e-9);
    assert!((ml("25", Unit::Cl) - 250.0).abs() < 1e-9);
    assert!((ml("240", Unit::Ml) - 240.0).abs() < 1e-12);
    let cm2 = |typed, unit| reading(typed, unit).area().unwrap().to_cm2();
    assert!((cm2("25", Unit::In2) - 161.29).abs() < 1e-9);
    assert!((cm2("8.9", Unit::Dm2) - 890.0).abs() < 1e-9);
    assert!((cm2("0.16", Unit::M2) - 1_600.0).abs() < 1e-9);
    assert!((cm2("889", Unit::Cm2) - 889.0).abs() < 1e-9);
    assert!((reading("88", Unit::F).celsius().unwrap().get() - 31.111_111_111).abs() < 1e-8);
    assert!((reading("31", Unit::C).celsius().unwrap().get() - 31.0).abs() < 1e-12);
    assert_eq!(reading("17.40", Unit::Percent).percent(), Some(decimal("17.40")));
}

#[test]
fn what_is_another_thing_or_negative_is_none() {
    let pail = reading("6", Unit::Kg);
    assert_eq!(pail.volume(), None);
    assert_eq!(pail.area(), None);
    assert_eq!(pail.celsius(), None);
    assert_eq!(pail.percent(), None);
    assert_eq!(reading("-1", Unit::L).volume(), None);
    assert_eq!(reading("-1", Unit::Cm2).area(), None);
    assert_eq!(reading("-300", Unit::C).celsius(), None);
}

/// What a note's reader does with a printed amount.
fn read_back(printed: &str) -> Option<Reading> {
    let (amount, word) = printed.split_once(' ')?;
    let unit = Unit::from_word(word)?;
    let Some((before, den)) = amount.split_once('/') else {
        return Some(Reading::new(amount.parse().ok()?, unit));
    };
    let (whole, num) = before.split_once('-').unwrap_or(("0", before));
    Reading::with_fraction(whole.parse().ok()?, num.parse().ok()?, den.parse().ok()?, unit)
}

proptest! {
    #![proptest_config(cases(512))]

    #[test]
    fn what_is_printed_is_read_back(mantissa in any::<i64>(), scale in 0_u32..12, place in 0..Unit::ALL.len()) {
        let read = Reading::new(Decimal::new(mantissa, scale), Unit::ALL[place]);
        prop_assert_eq!(read_back(&read.to_string()), Some(read));
    }

    #[test]
    fn a_printed_fraction_is_read_back(whole in any::<u32>(), power in 1_u32..7, part in 0_u16..64) {
        let den = 1 << power;
        let read = Reading::with_fraction(whole, part % (den - 1) + 1, den, Unit::Ft).unwrap();
        prop_assert_eq!(read_back(&read.to_string()), Some(read));
        prop_assert_eq!(read.digits() % read.resolution(), Decimal::ZERO);
    }

    #[test]
    fn a_mass_agrees_with_floating_point(thousandths in -10_000_000_i64..10_000_000, place in 0..6_usize) {
        let read = Reading::new(Decimal::new(thousandths, 3), Unit::ALL[place]);
        prop_assert_eq!(read.unit().kind(), UnitKind::Mass);
        let grams = [1e3, 1.0, 1e-3, 1e6, 453.592_37, 28.349_523_125][place] * thousandths as f64 / 1e3;
        if let Some(mass) = read.mass() {
            prop_assert!((mass.to_g() - grams).abs() <= 1e-12 * grams.abs());
        }
    }
}
