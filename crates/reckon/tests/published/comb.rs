//! Cells and honey of a comb.

use quantity::{Area, Fraction, Length, Mass};
use reckon::comb::{
    USUAL_THICKNESS, cells_per_dm2, full_comb_g, honey_per_dm2_g, load_g_per_cm, part_full_comb_g,
};

use crate::{check, mm, number, rows};

fn cm2(cm2: f64) -> Area {
    Area::from_cm2(cm2).expect("the test gives an area")
}

#[test]
fn cells_agree_with_every_computed_row() {
    for row in rows(include_str!("comb/cells.csv")) {
        let cells = cells_per_dm2(mm(number(row[0]))).unwrap();
        check(row[0], cells.one_face, number(row[1]), 0.05);
        check(row[0], cells.both_faces, number(row[2]), 0.1);
    }
}

#[test]
fn a_hexagon_of_2_mm_is_2_root_3_square_millimetres() {
    let one_face = cells_per_dm2(Length::mm(2)).unwrap().one_face;
    check("cells", one_face, 10_000.0 / (2.0 * 1.732_050_807_568_877), 1e-9);
}

/// The constant is printed to 0.001; the table's cells have their decimals cut off.
#[test]
fn cells_agree_with_betts() {
    for row in rows(include_str!("comb/betts.csv")) {
        let in_10_cm = number(row[0]);
        let both = cells_per_dm2(mm(100.0 / in_10_cm)).unwrap().both_faces;
        // A width in steps of 3.125 µm is half a step off at most.
        let of_width = 2.0 * both * (0.003_125 / 2.0) / (100.0 / in_10_cm);
        check(
            row[0],
            both,
            2.309 * in_10_cm * in_10_cm,
            0.000_5 * in_10_cm * in_10_cm + of_width,
        );
        check(row[0], both, number(row[1]), 1.0);
    }
}

#[test]
fn honey_agrees_with_every_computed_row() {
    for row in rows(include_str!("comb/honey.csv")) {
        check(
            row[0],
            honey_per_dm2_g(mm(number(row[0]))).unwrap(),
            number(row[1]),
            0.5,
        );
    }
    check(
        "25 mm, computed",
        honey_per_dm2_g(Length::mm(25)).unwrap(),
        310.27,
        1e-9,
    );
    check(
        "38 mm, computed",
        honey_per_dm2_g(Length::mm(38)).unwrap(),
        485.64,
        1e-9,
    );
}

#[test]
fn a_full_comb_of_889_cm2_holds_2_9_kg() {
    let honey = full_comb_g(cm2(889.0), USUAL_THICKNESS).unwrap();
    check("printed to 0.1 kg", honey.value(), 2_900.0, 50.0);
    check("computed", honey.value(), 2_903.474, 1e-6);
    check("eighths of a face", honey.lo(), 2_222.5, 1e-9);
    check("38 mm", honey.hi(), 889.0 * 4.8564, 1e-6);
    check(
        "half a drum",
        full_comb_g(cm2(1_283.0), USUAL_THICKNESS).unwrap().value(),
        4_190.278,
        1e-6,
    );
}

#[test]
fn grams_to_the_square_centimetre_are_those_computed() {
    for (thickness, grams) in [(25, 3.3), (28, 3.7), (32, 4.2)] {
        check(
            "g/cm²",
            full_comb_g(cm2(1.0), Length::mm(thickness)).unwrap().value(),
            grams,
            0.05,
        );
    }
}

#[test]
fn a_comb_beyond_what_is_told_widens_its_own_bounds() {
    let thick = full_comb_g(cm2(100.0), Length::mm(45)).unwrap();
    check("thick", thick.hi(), thick.value(), 1e-12);
    let thin = full_comb_g(cm2(100.0), Length::mm(15)).unwrap();
    check("thin", thin.lo(), thin.value(), 1e-12);
}

#[test]
fn a_comb_sealed_by_half_holds_half() {
    let whole = full_comb_g(cm2(889.0), Length::mm(28)).unwrap();
    let half = part_full_comb_g(cm2(889.0), Length::mm(28), Fraction::new(0.5).unwrap()).unwrap();
    check("half", half.value() * 2.0, whole.value(), 1e-9);
    check("half, at least", half.lo() * 2.0, whole.lo(), 1e-9);
}

/// Computed: 3.27 g/cm² over the width at the bars.
#[test]
fn the_load_at_the_bar_is_65_grams_a_centimetre_and_74_in_half_a_drum() {
    let load = |grams, width| load_g_per_cm(Mass::from_g_f64(grams).unwrap(), mm(width)).unwrap();
    check("Cameroon", load(889.0 * 3.27, 445.0), 65.0, 0.5);
    check("half a drum", load(1_283.0 * 3.27, 570.0), 74.0, 0.5);
    assert_eq!(load_g_per_cm(Mass::kg(1), Length::ZERO), None);
}

#[test]
fn what_has_no_size_holds_nothing_that_can_be_told() {
    assert_eq!(cells_per_dm2(Length::ZERO), None);
    assert_eq!(cells_per_dm2(Length::mm(-5)), None);
    assert_eq!(honey_per_dm2_g(Length::mm(2)), None);
    assert!(honey_per_dm2_g(mm(2.05)).is_some());
    assert_eq!(full_comb_g(cm2(1.0), Length::ZERO), None);
}
