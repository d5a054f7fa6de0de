//! Water, index, density and jars.

use crate::{answer, check, has_note, has_source, number, refused};

/// Water that half a printed step of an index, 0.00005, stands for, and half the last printed digit.
const HALF_A_STEP: f64 = 0.02 + 0.05;

#[test]
fn rows_of_the_printed_table_come_out() {
    // Bogdanov's table of water against refraction, 20 °C.
    for (index, percent) in [
        ("1.5044", 13.0),
        ("1.4940", 17.0),
        ("1.4925", 17.6),
        ("1.4915", 18.0),
        ("1.4740", 25.0),
    ] {
        let found = answer(&["moisture", "--index", index]);
        check(&found, "moisture_pct", percent, HALF_A_STEP);
        check(&found, "index_at_20c", index.parse().unwrap(), 1e-9);
        assert!(has_source(&found, "wedmore-1955"));
        assert!(has_note(&found, "20 °C is assumed"));
    }
}

#[test]
fn the_interval_is_half_a_step_of_the_last_digit_or_of_the_resolution() {
    let fine = answer(&["moisture", "--index", "1.4915"]);
    check(&fine, "moisture_lo_pct", 17.981, 0.001);
    check(&fine, "moisture_hi_pct", 18.021, 0.001);
    let coarse = answer(&["moisture", "--index", "1.4915", "--resolution", "0.0005"]);
    check(&coarse, "moisture_lo_pct", 17.903, 0.001);
    check(&coarse, "moisture_hi_pct", 18.1, 0.001);
    assert!(!has_note(&coarse, "--resolution"));
    assert_eq!(fine["moisture_pct"], coarse["moisture_pct"]);
    let more_digits = answer(&["moisture", "--index", "1.49150"]);
    assert!(number(&more_digits, "moisture_lo_pct") > number(&fine, "moisture_lo_pct"));
}

#[test]
fn a_very_coarse_reading_stays_between_nothing_and_everything() {
    let found = answer(&["moisture", "--index", "1.5"]);
    check(&found, "moisture_lo_pct", 0.0, 0.0);
    assert!(number(&found, "moisture_hi_pct") <= 100.0);
    assert!(has_note(&found, "reaches beyond"));
}

#[test]
fn warm_honey_is_moved_up_to_20_degrees_and_cold_honey_down() {
    // A worked example after the note under Bogdanov's table: 1.4820 at 32 °C is 1.48476 at 20 °C.
    let warm = answer(&["moisture", "--index", "1.4820", "--temp", "32 C"]);
    check(&warm, "index_at_20c", 1.484_76, 1e-9);
    check(&warm, "moisture_pct", 20.67, 0.01);
    assert!(has_source(&warm, "bogdanov-physical"));
    let cold = answer(&["moisture", "--index", "1.4915", "--temp", "15C"]);
    check(&cold, "index_at_20c", 1.490_35, 1e-9);
    assert!(number(&cold, "moisture_pct") > 18.4);
    let at_20 = answer(&["moisture", "--index", "1.4915", "--temp", "68 F"]);
    check(&at_20, "index_at_20c", 1.4915, 1e-9);
    assert!(!has_source(&at_20, "bogdanov-physical"));
}

#[test]
fn an_instrument_that_corrects_itself_is_not_corrected_again() {
    let found = answer(&["moisture", "--index", "1.4915", "--temp", "30 C", "--compensated"]);
    check(&found, "index_at_20c", 1.4915, 1e-9);
    check(&found, "moisture_pct", 18.0, 0.01);
    assert!(has_note(&found, "--temp 30 C is ignored"));
    let silent = answer(&["moisture", "--index", "1.4915", "--compensated"]);
    assert!(has_note(&silent, "corrects for temperature itself"));
    assert!(!has_note(&silent, "20 °C is assumed"));
}

#[test]
fn brix_is_not_taken_from_a_hundred_and_both_readings_are_shown() {
    // The Hive and the Honey Bee, p. 892, second-hand: 78 °Bx beside 20.4 % of water.
    let found = answer(&["moisture", "--brix", "78"]);
    check(&found, "moisture_pct", 20.4, 0.05);
    assert!(has_note(&found, "20.4 % water by 98.4 − Brix"));
    assert!(has_note(&found, "22.0 % by 100 − Brix"));
    assert!(has_source(&found, "hive-and-honey-bee"));
    let fine = answer(&["moisture", "--brix", "81.0"]);
    check(&fine, "moisture_lo_pct", 17.4 - 0.25, 0.001);
    check(&fine, "moisture_hi_pct", 17.4 + 0.25, 0.001);
}

#[test]
fn a_honey_scale_is_turned_back_into_an_index_and_corrected() {
    let found = answer(&["moisture", "--water", "17.8%"]);
    check(&found, "moisture_pct", 17.8, 0.0005);
    check(&found, "moisture_hi_pct", 17.85, 0.0005);
    let warm = answer(&["moisture", "--water=17.8 %", "--temp=30C"]);
    check(&warm, "moisture_pct", 16.9, 0.05);
    answer(&["moisture", "--water", "17.8%", "--resolution", "0.2%"]);
}

#[test]
fn index_is_the_inverse_of_moisture() {
    let found = answer(&["index", "--moisture", "17.6%"]);
    check(&found, "index_at_20c", 1.4925, 0.000_05);
    for percent in ["13.0%", "17.4%", "25.0%"] {
        let index = number(&answer(&["index", "--moisture", percent]), "index_at_20c");
        let back = answer(&["moisture", "--index", &format!("{index:.6}")]);
        let expected: f64 = percent.trim_end_matches('%').parse().unwrap();
        check(&back, "moisture_pct", expected, 0.001);
    }
}

#[test]
fn density_has_the_printed_ends_of_the_gallon_and_falls_with_warmth() {
    // The printed limits of the US gallon, 12.057138 and 11.6343 lb, divided by 8.34, in water of 20 °C.
    let dry = answer(&["density", "--moisture", "13%"]);
    check(&dry, "density_kg_per_l", 12.057_138 / 8.34 * 0.998_20, 0.000_05);
    let wet = answer(&["density", "--moisture", "21%", "--temp", "20 C"]);
    check(&wet, "density_kg_per_l", 11.6343 / 8.34 * 0.998_20, 0.000_05);
    assert!(has_note(&dry, "20 °C is assumed") && !has_note(&wet, "20 °C is assumed"));
    let warm = answer(&["density", "--moisture", "21%", "--temp", "30 C"]);
    check(
        &warm,
        "density_kg_per_l",
        number(&wet, "density_kg_per_l") - 0.006,
        1e-9,
    );
    assert!(has_note(&warm, "from memory") && has_source(&warm, "from-memory"));
}

#[test]
fn twenty_kilos_make_58_jars() {
    let found = answer(&["jars", "--honey", "20kg", "--net", "340g", "--moisture", "17.5%"]);
    assert_eq!(found["jars"], 58);
    check(&found, "left_kg", 0.28, 1e-9);
    check(&found, "fill_ml", 239.8, 0.1);
    let none = answer(&["jars", "--honey", "0.2kg", "--net", "340g", "--moisture", "17.5%"]);
    assert_eq!(none["jars"], 0);
    check(&none, "left_kg", 0.2, 1e-9);
    let pounds = answer(&[
        "jars",
        "--honey",
        "3 lb",
        "--net",
        "1-1/2 lb",
        "--moisture",
        "17.5%",
    ]);
    assert_eq!(pounds["jars"], 2);
    check(&pounds, "left_kg", 0.0, 1e-9);
}

#[test]
fn what_no_refractometer_shows_is_refused() {
    refused("--index", &["moisture"]);
    refused("--brix", &["moisture", "--index", "1.4915", "--brix", "81"]);
    refused("--index", &["moisture", "--index", "1.7"]);
    refused("--index", &["moisture", "--index", "1"]);
    refused("--index", &["moisture", "--index", "-1.4915"]);
    refused("--index", &["moisture", "--index", "1.4915%"]);
    refused("--brix", &["moisture", "--brix", "20"]);
    refused("--brix", &["moisture", "--brix", "1000000"]);
    refused("--water", &["moisture", "--water", "40%"]);
    refused("--water", &["moisture", "--water", "17.8"]);
    refused("--temp", &["moisture", "--index", "1.4915", "--temp", "-5C"]);
    refused("--temp", &["moisture", "--index", "1.4915", "--temp=-5C"]);
    refused("--temp", &["moisture", "--index", "1.4915", "--temp", "61 C"]);
    refused("--temp", &["moisture", "--index", "1.4915", "--temp", "-300 C"]);
    refused(
        "--temp",
        &["moisture", "--index", "1.4915", "--compensated", "--temp", "warm"],
    );
    for resolution in ["0", "-0.0005", "fine", "3", "0.0005 C"] {
        refused(
            "--resolution",
            &["moisture", "--index", "1.4915", "--resolution", resolution],
        );
    }
}

#[test]
fn what_the_tables_of_honey_do_not_cover_is_refused() {
    refused("--moisture", &["index"]);
    refused("--moisture", &["index", "--moisture", "12.8%"]);
    refused("--moisture", &["index", "--moisture", "25.2%"]);
    refused("--moisture", &["index", "--moisture", "130%"]);
    refused("--moisture", &["density"]);
    refused("--moisture", &["density", "--moisture", "12.9%"]);
    refused("--moisture", &["density", "--moisture", "21.1%"]);
    refused("--temp", &["density", "--moisture", "17%", "--temp", "150 F"]);
    let jars = |honey, net, moisture| ["jars", "--honey", honey, "--net", net, "--moisture", moisture];
    refused("--honey", &jars("-1kg", "340g", "17.5%"));
    refused("--honey", &jars("20 l", "340g", "17.5%"));
    refused("--net", &jars("20kg", "0g", "17.5%"));
    refused("--net", &jars("20kg", "-340g", "17.5%"));
    refused("--moisture", &jars("20kg", "340g", "22%"));
    refused("--honey", &["jars", "--net", "340g", "--moisture", "17.5%"]);
    refused("--net", &["jars", "--honey", "20kg", "--moisture", "17.5%"]);
    refused("--moisture", &["jars", "--honey", "20kg", "--net", "340g"]);
}
