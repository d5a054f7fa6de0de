//! Steps, ranges, and what cannot be built.

use proptest::prelude::*;
use quantity::{Area, Celsius, CelsiusStep, Doubt, Estimate, Fraction, Length, Mass, Volume};

use crate::cases;

#[test]
fn sixteen_ounces_are_a_pound_to_the_nanogram() {
    assert_eq!(Mass::oz(16), Mass::from_ng(453_592_370_000));
    assert_eq!(Mass::kg(1), Mass::g(1_000));
    assert_eq!(Mass::g(1).ng(), 1_000_000_000);
}

#[test]
fn sixty_four_64ths_are_an_inch_of_25_4_millimetres() {
    let inch = Length::inch_64ths(64);
    assert_eq!(inch.checked_mul(5), Some(Length::mm(127)));
    assert_eq!(Length::from_mm_f64(25.4), Some(inch));
    assert_eq!(inch.steps(), 8_128);
}

#[test]
fn masses_are_read_in_every_unit() {
    let half = Mass::g(500);
    assert!((half.to_g() - 500.0).abs() < 1e-12);
    assert!((half.to_kg() - 0.5).abs() < 1e-15);
    assert!((half.to_oz() - 17.636_980_975).abs() < 1e-9);
    assert!((Length::mm(35).to_cm() - 3.5).abs() < 1e-15);
    assert!((Length::mm(127).to_inch() - 5.0).abs() < 1e-15);
    assert!((Length::mm(35).to_mm() - 35.0).abs() < 1e-12);
}

#[test]
fn signs_and_order_are_those_of_numbers() {
    let (light, heavy) = (Mass::g(-3), Mass::g(2));
    assert_eq!(light.abs(), Mass::g(3));
    assert_eq!(-light, Mass::g(3));
    assert_eq!(light.min(heavy), light);
    assert_eq!(light.max(heavy), heavy);
    assert!(Mass::ZERO.is_zero() && !light.is_zero());
    assert_eq!((-Length::mm(4)).abs(), Length::mm(4));
    assert!(Length::ZERO.is_zero() && !Length::mm(1).is_zero());
}

#[test]
fn sums_are_exact_and_assigned_in_place() {
    let tenth = Mass::from_ng(100_000_000);
    assert_eq!((0..10).map(|_| tenth).sum::<Mass>(), Mass::g(1));
    let mut pail = Mass::kg(6);
    pail += Mass::g(100);
    pail -= Mass::g(1_300);
    assert_eq!(pail, Mass::g(4_800));
    let mut row: Length = [Length::mm(35), Length::mm(32)].into_iter().sum();
    row += Length::mm(3);
    row -= Length::mm(1);
    assert_eq!(row, Length::mm(69));
}

#[test]
fn what_is_out_of_range_is_refused() {
    let most = Mass::from_ng(i64::MAX);
    assert_eq!(most.checked_add(Mass::from_ng(1)), None);
    assert_eq!(Mass::from_ng(i64::MIN).checked_sub(Mass::from_ng(1)), None);
    assert_eq!(most.checked_mul(2), None);
    assert_eq!(Mass::from_g_f64(9_223_372_036.854_776), None);
    assert_eq!(Mass::from_g_f64(-1e30), None);
    assert_eq!(Length::from_steps(i64::MAX).checked_add(Length::mm(1)), None);
    assert_eq!(Length::from_steps(i64::MIN).checked_sub(Length::mm(1)), None);
}

#[test]
fn what_is_not_a_number_cannot_be_built() {
    for number in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        assert_eq!(Mass::from_g_f64(number), None);
        assert_eq!(Length::from_mm_f64(number), None);
        assert_eq!(Area::from_cm2(number), None);
        assert_eq!(Volume::from_ml(number), None);
        assert_eq!(Celsius::new(number), None);
        assert_eq!(Celsius::from_fahrenheit(number), None);
        assert_eq!(CelsiusStep::new(number), None);
        assert_eq!(Fraction::new(number), None);
        assert_eq!(Estimate::new(number, number, number), None);
    }
}

#[test]
fn grams_from_a_calculation_round_to_the_nanogram() {
    assert_eq!(Mass::from_g_f64(1e-9 * 1.4), Some(Mass::from_ng(1)));
    assert_eq!(Mass::from_g_f64(1e-9 * -1.6), Some(Mass::from_ng(-2)));
}

#[test]
fn areas_and_volumes_are_never_negative_and_multiply_out() {
    assert_eq!(Area::from_cm2(-0.1), None);
    assert_eq!(Volume::from_ml(-0.1), None);
    let face = Length::mm(445) * Length::mm(-280);
    assert!((face.to_cm2() - 1_246.0).abs() < 1e-9);
    assert!((face.to_dm2() - 12.46).abs() < 1e-11);
    let half = Fraction::new(0.5).unwrap();
    assert!((face.part(half).to_cm2() - 623.0).abs() < 1e-9);
    let box_of_a_metre = face * Length::mm(1_000);
    assert!((box_of_a_metre.to_l() - 124.6).abs() < 1e-9);
    assert!(
        ([box_of_a_metre, box_of_a_metre]
            .into_iter()
            .sum::<Volume>()
            .to_ml()
            - 249_200.0)
            .abs()
            < 1e-6
    );
    assert!(([face, Area::ZERO].into_iter().sum::<Area>().to_cm2() - 1_246.0).abs() < 1e-9);
}

#[test]
fn nothing_and_next_to_nothing_are_quantities_too() {
    for little in [0.0, 1e-9] {
        assert!(Area::from_cm2(little).is_some() && Volume::from_ml(little).is_some());
        assert!(Fraction::new(little).is_some() && Fraction::new(1.0 - little).is_some());
    }
}

#[test]
fn fahrenheit_and_celsius_meet_at_the_known_points() {
    for (fahrenheit, celsius) in [(32.0, 0.0), (212.0, 100.0), (-40.0, -40.0), (95.0, 35.0)] {
        let read = Celsius::from_fahrenheit(fahrenheit).unwrap();
        assert!((read.get() - celsius).abs() < 1e-12);
        assert!((read.to_fahrenheit() - fahrenheit).abs() < 1e-12);
    }
    assert_eq!(Celsius::new(-273.16), None);
    assert!(Celsius::new(-273.15).is_some());
}

#[test]
fn a_step_of_temperature_is_no_temperature() {
    let (cold, warm) = (Celsius::new(8.0).unwrap(), Celsius::new(35.5).unwrap());
    let step = warm - cold;
    assert!((step.get() - 27.5).abs() < 1e-12);
    assert_eq!(cold.checked_add(step), Some(warm));
    assert_eq!(cold.checked_add(CelsiusStep::new(-300.0).unwrap()), None);
}

#[test]
fn a_fraction_lies_between_nothing_and_the_whole() {
    assert_eq!(Fraction::new(1.000_001), None);
    assert_eq!(Fraction::percent(-0.1), None);
    assert_eq!(Fraction::percent(100.0), Some(Fraction::ONE));
    let water = Fraction::percent(17.4).unwrap();
    assert!((water.get() - 0.174).abs() < 1e-15);
    assert!((water.to_percent() - 17.4).abs() < 1e-12);
    assert!((water.rest().to_percent() - 82.6).abs() < 1e-12);
    assert_eq!(Fraction::ZERO.rest(), Fraction::ONE);
}

#[test]
fn an_estimate_lies_between_its_bounds() {
    let honey = Estimate::new(2.0, 1.5, 2.5).unwrap();
    assert_eq!(
        [honey.lo(), honey.value(), honey.hi()].map(f64::to_bits),
        [1.5, 2.0, 2.5].map(f64::to_bits)
    );
    assert_eq!(Estimate::new(1.4, 1.5, 2.5), None);
    assert_eq!(Estimate::new(2.6, 1.5, 2.5), None);
    assert!(Estimate::new(2.0, 2.0, 2.0).is_some());
    assert_ne!(Doubt::Unstated, Doubt::Exact);
}

proptest! {
    #![proptest_config(cases(256))]

    #[test]
    fn adding_and_taking_away_again_changes_nothing(first in any::<i32>(), second in any::<i32>()) {
        let (first, second) = (Mass::g(i64::from(first)), Mass::oz(i64::from(second) / 64));
        prop_assert_eq!(first + second - second, first);
    }

    #[test]
    fn millimetres_come_back_from_a_calculation(tenths in -10_000_000_i64..10_000_000) {
        let length = Length::from_steps(tenths * 32);
        prop_assert_eq!(Length::from_mm_f64(tenths as f64 / 10.0), Some(length));
    }
}
