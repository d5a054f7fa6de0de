//! Cells, and the section of a hive.

use serde_json::Value;

use crate::{answer, check, has_note, has_source, number, refused};

/// The sloping hive of Cameroon, 2003.
const CAMEROON: &str = "top=44.5cm,floor=19cm,depth=28cm";

#[test]
fn cells_follow_the_rule_for_counting_them() {
    // Betts 1938: with n cells in 10 cm, 2.309 · n² cells on both faces.
    for (width, cells_in_10_cm) in [("5mm", 20.0), ("4mm", 25.0), ("6.25mm", 16.0)] {
        let found = answer(&["cells", "--width", width]);
        let expected = 2.309 * cells_in_10_cm * cells_in_10_cm;
        check(&found, "cells_per_dm2_both_faces", expected, 0.000_5 * expected);
        let one_face = number(&found, "cells_per_dm2_one_face");
        check(&found, "cells_per_dm2_both_faces", 2.0 * one_face, 0.02);
        assert!(has_source(&found, "betts-1938"));
    }
    check(
        &answer(&["cells", "--width", "5.2mm"]),
        "cells_per_dm2_one_face",
        427.03,
        0.01,
    );
}

#[test]
fn hundredths_of_a_millimetre_are_kept() {
    let expected = 10_000.0 / (0.75_f64.sqrt() * 5.27 * 5.27);
    check(
        &answer(&["cells", "--width", "5.27mm"]),
        "cells_per_dm2_one_face",
        expected,
        0.005,
    );
}

#[test]
fn the_sloping_hive_has_its_computed_measures() {
    let line = [
        "section", "--slope", CAMEROON, "--length", "955mm", "--bar", "35mm",
    ];
    let found = answer(
        &[
            &line[..],
            &["--bee-space", "8mm", "--thickness", "25mm", "--allowance", "10mm"],
        ]
        .concat(),
    );
    check(&found, "face_cm2", 889.0, 0.01);
    check(&found, "volume_l", 84.9, 0.05);
    check(&found, "wall_from_vertical_deg", 24.48, 0.01);
    check(&found, "floor_to_wall_deg", 114.48, 0.01);
    assert_eq!(found["bars"], 27);
    // Side boards of 30.77 cm and the floor of 19 cm, along 95.5 cm.
    check(&found, "wetted_wall_cm2", (2.0 * 30.766 + 19.0) * 95.5, 1.0);
    let face_less_bee_space = number(&found, "comb_cm2");
    assert!((820.0..830.0).contains(&face_less_bee_space), "{found}");
    check(
        &found,
        "honey_kg_full",
        face_less_bee_space * 2.5 * 0.92 * 1.42 / 1_000.0,
        0.001,
    );
    assert!(!has_note(&found, "assumed"));
}

#[test]
fn what_is_not_given_is_assumed_and_said_or_null() {
    let found = answer(&["section", "--slope", CAMEROON]);
    for key in ["volume_l", "bars", "wetted_wall_cm2"] {
        assert_eq!(found[key], Value::Null, "{key}");
    }
    assert!(has_note(&found, "no --length") && has_note(&found, "no --bee-space"));
    assert!(has_note(&found, "no --thickness"));
    let with_length = answer(&["section", "--slope", CAMEROON, "--length", "955mm"]);
    assert_eq!(with_length["bars"], Value::Null);
    assert!(has_note(&with_length, "no --bar"));
}

#[test]
fn the_bee_space_is_taken_off_walls_and_floor_only() {
    let line = ["section", "--upright", "width=38cm,depth=25cm", "--bee-space"];
    let found = answer(&[&line[..], &["8mm"]].concat());
    check(&found, "comb_cm2", (38.0 - 1.6) * (25.0 - 0.8), 0.01);
    check(&found, "wall_from_vertical_deg", 0.0, 0.0);
    check(&found, "floor_to_wall_deg", 90.0, 0.0);
    let honey_g = 1_000.0 * number(&found, "honey_kg_full");
    check(&found, "load_g_per_cm", honey_g / (38.0 - 1.6), 0.01);
    let touching = answer(&[&line[..], &["0mm"]].concat());
    assert_eq!(touching["comb_cm2"], touching["face_cm2"]);
    let narrow = [
        "section",
        "--upright",
        "width=3cm,depth=2cm",
        "--bee-space",
        "20mm",
    ];
    let no_room = answer(&narrow);
    check(&no_room, "comb_cm2", 0.0, 0.0);
    check(&no_room, "honey_kg_full", 0.0, 0.0);
    assert_eq!(no_room["load_g_per_cm"], Value::Null);
    assert!(has_note(&no_room, "no room"));
}

#[test]
fn every_shape_has_the_area_of_geometry() {
    let face = |flag, measures| number(&answer(&["section", flag, measures]), "face_cm2");
    let near = |found: f64, expected: f64| assert!((found - expected).abs() < 0.02, "{found}, {expected}");
    let half_drum = std::f64::consts::PI * 28.575 * 28.575 / 2.0;
    near(face("--drum", "diameter=57.15cm,depth=28.575cm"), half_drum);
    near(face("--arc", "width=57.15cm,depth=28.575cm"), half_drum);
    near(face("--polygon", "0,0 44.5,0 31.75,28 12.75,28"), 889.0);
    near(face("--polygon", "0,28 44.5,28 31.75,0 12.75,0"), 889.0);
    near(face("--polygon", "-22.25,0 22.25,0 9.5,28 -9.5,28"), 889.0);
    near(face("--slope", "depth = 28cm, top=445mm, floor=19cm"), 889.0);
    let hanging = face("--catenary", "top=45cm,depth=30cm");
    assert!((0.66..0.72).contains(&(hanging / (45.0 * 30.0))), "{hanging}");
}

#[test]
fn a_curve_has_no_one_wall_angle() {
    for (flag, measures) in [
        ("--drum", "diameter=57cm,depth=28cm"),
        ("--arc", "width=45cm,depth=20cm"),
        ("--catenary", "top=45cm,depth=30cm"),
    ] {
        let found = answer(&["section", flag, measures]);
        assert_eq!(found["wall_from_vertical_deg"], Value::Null);
        assert_eq!(found["floor_to_wall_deg"], Value::Null);
        assert!(has_note(&found, "not one number"));
    }
}

#[test]
fn inches_and_their_fractions_are_read() {
    let line = [
        "section",
        "--slope",
        "top=17-1/2in,floor=7.5 in,depth=11 in",
        "--length",
        "3 ft",
    ];
    let found = answer(&[&line[..], &["--bar", "1-3/8 in", "--allowance", "3/8 in"]].concat());
    check(&found, "face_cm2", 12.5 * 11.0 * 2.54 * 2.54, 0.01);
    assert_eq!(found["bars"], 25);
}

#[test]
fn cells_of_no_width_are_refused() {
    for width in ["0mm", "-5mm", "5", "5.2 g", "5,2mm", "inf mm", "1e999mm"] {
        refused("--width", &["cells", "--width", width]);
    }
    refused("--width", &["cells"]);
}

#[test]
fn cells_that_no_bee_builds_are_refused() {
    for width in ["53cm", "53mm", "0.52mm", "2.9mm", "10.1mm", "9m"] {
        refused("--width", &["cells", "--width", width]);
    }
    for width in ["3mm", "10mm", "1cm"] {
        answer(&["cells", "--width", width]);
    }
}

#[test]
fn a_bee_space_that_bees_would_fill_is_refused() {
    for typed in ["20.1mm", "20cm", "1 in"] {
        refused(
            "--bee-space",
            &["section", "--slope", CAMEROON, "--bee-space", typed],
        );
    }
    answer(&["section", "--slope", CAMEROON, "--bee-space", "20mm"]);
}

#[test]
fn shapes_that_cannot_be_are_refused() {
    refused("--slope", &["section"]);
    refused(
        "--upright",
        &[
            "section",
            "--slope",
            CAMEROON,
            "--upright",
            "width=38cm,depth=25cm",
        ],
    );
    for measures in [
        "",
        "44.5cm",
        "top=44.5cm",
        "top=44.5cm,floor=19cm,deep=28cm",
        "top=44.5cm,floor=19cm,depth=28cm,depth=28cm",
        "top=44.5,floor=19,depth=28",
        "top=44,5cm,floor=19cm,depth=28cm",
        "top=-44.5cm,floor=19cm,depth=28cm",
        "top=0cm,floor=19cm,depth=28cm",
        "top=44.5cm,floor=19cm,depth=0cm",
        "top=44.5km,floor=19cm,depth=28cm",
        "top=44.5kg,floor=19cm,depth=28cm",
    ] {
        refused("--slope", &["section", "--slope", measures]);
    }
    refused("--drum", &["section", "--drum", "diameter=57cm,depth=58cm"]);
    refused("--arc", &["section", "--arc", "width=9m,depth=0.1mm"]);
    refused("--arc", &["section", "--arc", "width=9m,depth=0mm"]);
    refused("--catenary", &["section", "--catenary", "top=100cm,depth=0.01mm"]);
    for corners in [
        "",
        "0,0 10,0",
        "0,0 10,0 0,10 10,10",
        "0 0 10 0",
        "0,0 1e9,0 5,5",
        "0,0 99999,0 5,5",
        "0,0cm 10,0 5,5",
        "0,0,0 10,0 5,5",
        "0,0 0,0 0,0",
    ] {
        refused("--polygon", &["section", "--polygon", corners]);
    }
}

#[test]
fn lengths_that_a_hive_cannot_have_are_refused() {
    for flag in ["--length", "--bar", "--allowance", "--bee-space", "--thickness"] {
        for typed in [
            "-3mm",
            "3",
            "3 C",
            "3,5mm",
            "11m",
            "nan",
            "9999999999999999999999999999m",
            "",
        ] {
            refused(flag, &["section", "--slope", CAMEROON, flag, typed]);
        }
    }
    for flag in ["--length", "--bar", "--thickness"] {
        refused(flag, &["section", "--slope", CAMEROON, flag, "0mm"]);
    }
}

#[test]
fn a_bar_bears_the_honey_of_its_drawn_and_capped_part() {
    let found = answer(&[
        "bar",
        "--area",
        "8.9dm2",
        "--drawn",
        "80%",
        "--thickness",
        "25mm",
        "--capped",
        "80%",
    ]);
    let part = 8.9 * 0.8 * 0.8;
    check(
        &found,
        "honey_kg",
        part * 100.0 * 2.5 * 0.92 * 1.42 / 1_000.0,
        1e-6,
    );
    check(&found, "honey_lo_kg", part * 0.25, 1e-6);
    check(&found, "honey_hi_kg", part * 0.485_64, 1e-6);
    check(&found, "wax_g_lo", 8.9 * 0.8 * 9.0, 0.01);
    check(&found, "wax_g_hi", 8.9 * 0.8 * 11.0, 0.01);
    check(&found, "cells", 8.9 * 0.8 * 2.0 * 411.07, 1.0);
    for source in ["from-memory", "eighths-2020", "wax-of-comb"] {
        assert!(has_source(&found, source), "{source}");
    }
    assert!(has_note(&found, "5.3 mm") && !has_note(&found, "no --drawn"));
    let in_eighths = answer(&["bar", "--area", "890cm2", "--drawn", "4/8", "--capped", "4/8"]);
    check(&in_eighths, "honey_lo_kg", 8.9 * 0.25 * 0.25, 1e-6);
}

#[test]
fn a_full_bar_holds_what_the_section_says() {
    let of_section = answer(&["section", "--slope", CAMEROON]);
    let of_bar = answer(&["bar", "--slope", CAMEROON, "--capped", "100%"]);
    assert_eq!(of_bar["honey_kg"], of_section["honey_kg_full"]);
    assert_eq!(of_bar["comb_cm2"], of_section["comb_cm2"]);
    // 2.309 · n² on both faces (Betts 1938), n cells in 10 cm.
    let of_5_mm = answer(&["bar", "--area", "1dm2", "--cell", "5mm"]);
    check(&of_5_mm, "cells", 923.6, 0.5);
    assert_eq!(of_5_mm["honey_kg"], Value::Null);
    assert!(has_note(&of_5_mm, "no --capped"));
}

#[test]
fn a_bar_is_refused_with_its_flag() {
    for (line, words) in [
        (&["--area", "0dm2"][..], "--area: there is no room"),
        (&["--area", "8.9kg"], "--area: \"kg\" is a unit of another kind"),
        (&["--area", "8.9"], "--area: \"8.9\" has no unit"),
        (&["--area", "89m2"], "--area: no comb is so large"),
        (&["--area", "8.9dm2", "--drawn", "9/8"], "--drawn: 9/8 is no part"),
        (&["--area", "8.9dm2", "--capped", "101%"], "--capped:"),
        (&["--area", "8.9dm2", "--thickness", "0mm"], "--thickness:"),
        (
            &["--area", "8.9dm2", "--cell", "52mm"],
            "--cell: bees build no such",
        ),
        (
            &["--area", "8.9dm2", "--slope", CAMEROON],
            "--area: the comb is given",
        ),
        (&["--area", "8.9dm2", "--bee-space", "8mm"], "--bee-space:"),
        (&["--drawn", "80%"], "--area: neither"),
    ] {
        refused(words, &[&["bar"], line].concat());
    }
}
