//! White's table of specific gravity, and what is printed elsewhere.

use quantity::{Mass, Volume};
use reckon::density::{DensityError, SPECIFIC_GRAVITY, density, specific_gravity};

use crate::{celsius, check, number, percent, rows};

fn kg_per_l(water: f64, degrees: f64) -> f64 {
    density(percent(water), celsius(degrees))
        .expect("within the table")
        .to_kg_per_l()
}

#[test]
fn every_row_of_the_table_comes_out_as_printed() {
    let mut n_rows = 0;
    for row in rows(include_str!("honey-density/table.csv")) {
        let (water, printed) = (number(row[0]), number(row[1]));
        check(row[0], specific_gravity(percent(water)).unwrap(), printed, 1e-12);
        if !row[2].is_empty() {
            check(row[0], kg_per_l(water, 20.0), number(row[2]), 0.000_05);
        }
        n_rows += 1;
    }
    assert_eq!(n_rows, SPECIFIC_GRAVITY.value.len());
}

/// A US gallon of water weighs 8.34 lb in the trade; the limits are printed to the last digit of the product.
#[test]
fn the_ends_of_the_table_are_the_printed_limits_of_the_gallon() {
    check(
        "wettest",
        specific_gravity(percent(21.0)).unwrap() * 8.34,
        11.634_3,
        1e-9,
    );
    check(
        "driest",
        specific_gravity(percent(13.0)).unwrap() * 8.34,
        12.057_138,
        1e-9,
    );
}

#[test]
fn other_prints_agree_to_their_last_digit() {
    for row in rows(include_str!("honey-density/elsewhere.csv")) {
        let ours = specific_gravity(percent(number(row[1]))).unwrap();
        check(row[0], ours, number(row[2]), 0.001);
    }
}

#[test]
fn a_print_that_we_believe_wrong_is_kept_and_disagrees() {
    for row in rows(include_str!("honey-density/errata.csv")) {
        let ours = specific_gravity(percent(number(row[1]))).unwrap();
        check(row[0], ours, number(row[3]), 0.000_05);
        assert!((ours - number(row[2])).abs() > 0.01, "{row:?}");
    }
}

#[test]
fn between_two_rows_the_table_is_straight() {
    check("17.5 %", kg_per_l(17.5, 20.0), 1.417_843_28, 1e-9);
    check(
        "13.25 %",
        specific_gravity(percent(13.25)).unwrap(),
        1.444_375,
        1e-12,
    );
    check(
        "20.75 %",
        specific_gravity(percent(20.75)).unwrap(),
        1.396_925,
        1e-12,
    );
}

#[test]
fn warm_honey_is_lighter_and_cold_honey_heavier() {
    check("35 °C", kg_per_l(17.5, 35.0), 1.408_843_28, 1e-9);
    check("5 °C", kg_per_l(17.5, 5.0), 1.426_843_28, 1e-9);
}

/// Computed from the table: a jar of 250 ml to the brim.
#[test]
fn a_quarter_litre_holds_about_355_grams() {
    let brim = Volume::from_ml(250.0).unwrap();
    for (water, grams) in [(17.0, 355.3), (18.0, 353.6)] {
        let honey = density(percent(water), celsius(20.0)).unwrap();
        check("brim", honey.mass_of(brim).unwrap().to_g(), grams, 0.05);
        check(
            "back",
            honey.volume_of(honey.mass_of(brim).unwrap()).unwrap().to_ml(),
            250.0,
            1e-6,
        );
    }
    assert_eq!(
        density(percent(17.0), celsius(20.0))
            .unwrap()
            .volume_of(Mass::g(-1)),
        None
    );
}

#[test]
fn outside_the_table_is_refused() {
    for water in [12.99, 21.01] {
        assert!(
            matches!(
                specific_gravity(percent(water)),
                Err(DensityError::OutsideTable { .. })
            ),
            "{water}"
        );
    }
    for degrees in [-0.1, 60.1] {
        let refused = density(percent(17.0), celsius(degrees));
        assert_eq!(refused, Err(DensityError::OutsideTemperature { degrees }));
    }
    assert!(density(percent(17.0), celsius(0.0)).is_ok() && density(percent(17.0), celsius(60.0)).is_ok());
}

#[test]
fn refusals_are_told_in_words() {
    assert_eq!(
        DensityError::OutsideTable { percent: 22.0 }.to_string(),
        "the table of density covers 13 to 21 % water, not 22.0 %"
    );
    assert_eq!(
        DensityError::OutsideTemperature { degrees: 61.0 }.to_string(),
        "the density of honey is given from 0 to 60 °C, not at 61 °C"
    );
}
