//! Sections of hives that were published, and the closed forms of geometry.

use quantity::Length;
use reckon::section::{Section, SectionError, Shape, bars_that_fit};

use crate::{check, mm, number, rows};

fn cm(centimetres: f64) -> Length {
    mm(10.0 * centimetres)
}

fn section(shape: Shape) -> Section {
    Section::new(shape).expect("the test gives a section")
}

fn cameroon() -> Section {
    section(Shape::Slope {
        top: cm(44.5),
        floor: cm(19.0),
        depth: cm(28.0),
    })
}

fn half_drum() -> Section {
    section(Shape::Drum {
        diameter: cm(57.15),
        depth: cm(28.575),
    })
}

fn catenary(top: f64, depth: f64) -> Section {
    section(Shape::Catenary {
        top: cm(top),
        depth: cm(depth),
    })
}

fn comb_cm2(section: &Section, bee_space: f64) -> f64 {
    section.comb(cm(bee_space)).to_cm2()
}

#[test]
fn published_hives_have_the_computed_faces_volumes_and_slopes() {
    for row in rows(include_str!("section/hives.csv")) {
        let [top, floor, depth, length] = [1, 2, 3, 4].map(|column| cm(number(row[column])));
        let hive = section(Shape::Slope { top, floor, depth });
        check(row[0], hive.face().to_cm2(), number(row[5]), 0.5);
        check(row[0], hive.volume(length).to_l(), number(row[6]), 0.05);
        check(
            row[0],
            hive.wall_from_vertical_deg().unwrap(),
            number(row[7]),
            0.05,
        );
    }
}

#[test]
fn the_printed_side_board_is_shorter_than_the_other_measures_make_it() {
    let board = (cameroon().wall().to_cm() - 19.0) / 2.0;
    for row in rows(include_str!("section/errata.csv")) {
        check(row[0], board, number(row[3]), 0.005);
        assert!((board - number(row[2])).abs() > 0.2, "{row:?}");
    }
}

#[test]
fn the_comb_keeps_bee_space_square_to_a_sloping_wall() {
    let hive = cameroon();
    check("comb", comb_cm2(&hive, 0.8), 825.689_019, 1e-3);
    check(
        "at the bars",
        hive.width_at_bars(cm(0.8)).to_cm(),
        42.741_928,
        1e-3,
    );
    check("no bee space", comb_cm2(&hive, 0.0), 889.0, 1e-9);
    check(
        "at the bars",
        hive.width_at_bars(Length::ZERO).to_cm(),
        44.5,
        1e-9,
    );
}

#[test]
fn the_outline_of_straight_walls_is_their_corners() {
    let hive = section(Shape::Upright {
        width: cm(44.0),
        depth: cm(30.0),
    });
    let corners = hive.outline(cm(1.0));
    for (ours, expected) in corners
        .iter()
        .zip([(-210.0, 0.0), (210.0, 0.0), (210.0, 290.0), (-210.0, 290.0)])
    {
        check("x", ours.0, expected.0, 1e-9);
        check("y", ours.1, expected.1, 1e-9);
    }
    assert_eq!(corners.len(), 4);
    assert!(hive.outline(cm(22.0)).is_empty(), "no room between the walls");
}

#[test]
fn an_outline_is_seen_from_the_bars_whatever_way_the_corners_were_measured() {
    // The bar line runs downwards at x = 10 cm, and the section lies to the left of it.
    let corners = [(10.0, 0.0), (10.0, 40.0), (0.0, 30.0), (0.0, 10.0)].map(|(x, y)| (cm(x), cm(y)));
    let drawn = section(Shape::Polygon(corners.to_vec())).outline(Length::ZERO);
    let expected = [(-200.0, 0.0), (200.0, 0.0), (100.0, 100.0), (-100.0, 100.0)];
    assert_eq!(drawn.len(), expected.len());
    for corner in expected {
        let near = |at: &(f64, f64)| (at.0 - corner.0).abs() < 1e-9 && (at.1 - corner.1).abs() < 1e-9;
        assert!(drawn.iter().any(near), "{corner:?} is missing in {drawn:?}");
    }
}

#[test]
fn upright_walls_take_the_bee_space_off_both_sides_and_the_floor() {
    let hive = section(Shape::Upright {
        width: cm(44.0),
        depth: cm(30.0),
    });
    check("comb", comb_cm2(&hive, 1.0), 42.0 * 29.0, 1e-9);
    check("face", hive.face().to_cm2(), 1_320.0, 1e-9);
    check("wall", hive.wall().to_cm(), 104.0, 1e-9);
    check("slope", hive.wall_from_vertical_deg().unwrap(), 0.0, 1e-9);
    check("less than none", hive.comb(cm(-1.0)).to_cm2(), 1_320.0, 1e-9);
}

#[test]
fn walls_that_meet_make_a_triangle() {
    let hive = section(Shape::Slope {
        top: cm(60.0),
        floor: Length::ZERO,
        depth: cm(40.0),
    });
    check("face", hive.face().to_cm2(), 1_200.0, 1e-9);
    let corners = vec![(cm(0.0), cm(0.0)), (cm(60.0), cm(0.0)), (cm(30.0), cm(40.0))];
    assert_eq!(section(Shape::Polygon(corners)).comb(cm(1.0)), hive.comb(cm(1.0)));
    // Walls of 30, 40 and 50 cm: a centimetre square to the wall is 1.25 cm at the bars, and 5/3 cm at the point.
    check("at the bars", hive.width_at_bars(cm(1.0)).to_cm(), 57.5, 1e-4);
    check(
        "comb",
        comb_cm2(&hive, 1.0),
        57.5 * (40.0 - 5.0 / 3.0) / 2.0,
        1e-4,
    );
    check("wall", hive.wall().to_cm(), 100.0, 1e-9);
}

/// The depth is printed to 0.1 cm, so the area may be out by half of that times the width.
#[test]
fn half_a_drum_of_57_15_cm_has_1283_cm2() {
    check("exactly half", half_drum().face().to_cm2(), 1_283.0, 0.5);
    let as_printed = section(Shape::Drum {
        diameter: cm(57.15),
        depth: cm(28.6),
    });
    check(
        "printed depth",
        as_printed.face().to_cm2(),
        1_283.0,
        0.05 * 57.15 + 0.5,
    );
    check("computed", as_printed.face().to_cm2(), 1_284.032_056, 1e-5);
    check("comb, computed", comb_cm2(&as_printed, 0.8), 1_213.180_558, 1e-4);
    check(
        "litres, at least",
        half_drum().volume(cm(85.1)).to_l(),
        109.0,
        0.5,
    );
    assert_eq!(half_drum().wall_from_vertical_deg(), None);
}

/// Computed: π/4 · 22.5² · 33.5 cubic inches, 231 to the gallon. A drum of 20.5 inches, as one maker tells, cannot
/// be one of 55 gallons.
#[test]
fn a_drum_of_55_gallons_is_22_inches_and_a_half_wide_inside() {
    let inch = |inches: f64| cm(2.54 * inches);
    let gallons = |diameter: f64, length: f64| {
        let whole = section(Shape::Drum {
            diameter: inch(diameter),
            depth: inch(diameter),
        });
        whole.volume(inch(length)).to_l() / 3.785_411_784
    };
    check("22.5 in", gallons(22.5, 33.5), 57.7, 0.05);
    check("20.5 in", gallons(20.5, 33.5), 47.9, 0.05);
    let half = |length: f64| half_drum().volume(inch(length)).to_l();
    check("half, open head", half(32.8), 107.0, 0.5);
    check("half, tight head", half(33.5), 109.0, 0.5);
}

#[test]
fn a_drum_filled_to_the_top_is_a_whole_circle() {
    let whole = section(Shape::Drum {
        diameter: cm(20.0),
        depth: cm(20.0),
    });
    let circle = |radius: f64| std::f64::consts::PI * radius * radius;
    check("face", whole.face().to_cm2(), circle(10.0), 1e-9);
    check("comb", comb_cm2(&whole, 1.0), circle(9.0), 1e-9);
    check("wall", whole.wall().to_cm(), 20.0 * std::f64::consts::PI, 1e-3);
    check(
        "no line to hang from",
        whole.width_at_bars(cm(1.0)).to_cm(),
        0.0,
        1e-9,
    );
}

#[test]
fn a_drum_nearly_full_leaves_a_comb_that_is_a_whole_circle() {
    let nearly = section(Shape::Drum {
        diameter: cm(20.0),
        depth: cm(19.9),
    });
    check("comb", comb_cm2(&nearly, 1.0), 81.0 * std::f64::consts::PI, 1e-9);
    check(
        "no line to hang from",
        nearly.width_at_bars(cm(1.0)).to_cm(),
        0.0,
        1e-9,
    );
}

#[test]
fn no_room_leaves_no_comb() {
    for shape in [
        Shape::Drum {
            diameter: cm(20.0),
            depth: cm(5.0),
        },
        Shape::Drum {
            diameter: cm(10.0),
            depth: cm(10.0),
        },
        Shape::Catenary {
            top: cm(20.0),
            depth: cm(5.0),
        },
        Shape::Upright {
            width: cm(10.0),
            depth: cm(20.0),
        },
    ] {
        let hive = section(shape);
        check("comb", comb_cm2(&hive, 6.0), 0.0, 1e-9);
        check("at the bars", hive.width_at_bars(cm(6.0)).to_cm(), 0.0, 1e-9);
    }
}

#[test]
fn the_smallest_bee_space_is_taken_off_too() {
    let step = Length::from_steps(1);
    let band = 889.0 - cameroon().comb(step).to_cm2();
    check("band", band, step.to_cm() * cameroon().wall().to_cm(), 1e-5);
}

#[test]
fn an_arc_is_a_piece_of_the_circle_through_its_ends() {
    let hive = section(Shape::Arc {
        width: cm(44.5),
        depth: cm(15.0),
    });
    check("face", hive.face().to_cm2(), 483.154_720, 1e-5);
    check("comb", comb_cm2(&hive, 0.8), 438.613_953, 1e-5);
    check("wall", hive.wall().to_cm(), 56.949_313, 1e-3);
    check(
        "at the bars",
        hive.width_at_bars(cm(0.8)).to_cm(),
        42.769_109,
        1e-3,
    );
    let half = section(Shape::Arc {
        width: cm(57.15),
        depth: cm(28.575),
    });
    check(
        "half a drum",
        half.face().to_cm2(),
        half_drum().face().to_cm2(),
        1e-9,
    );
}

/// Computed from the closed forms in another language.
#[test]
fn a_hanging_curve_has_the_area_and_length_of_its_closed_forms() {
    let hive = catenary(44.5, 28.0);
    check("face", hive.face().to_cm2(), 874.344_683, 1e-5);
    check("comb", comb_cm2(&hive, 0.8), 814.546_283, 1e-3);
    check("wall", hive.wall().to_cm(), 76.012_219, 1e-3);
    check(
        "at the bars",
        hive.width_at_bars(Length::ZERO).to_cm(),
        44.5,
        1e-3,
    );
    check(
        "a narrow one",
        comb_cm2(&catenary(10.0, 28.0), 0.8),
        170.146_739,
        1e-3,
    );
    assert_eq!(hive.wall_from_vertical_deg(), None);
}

/// Computed by scanning 800 levels for the places that far from 3 000 points of the chain.
#[test]
fn a_bend_tighter_than_the_bee_space_leaves_the_comb_a_point() {
    let narrow = catenary(6.0, 28.0);
    check("comb", comb_cm2(&narrow, 1.0), 77.576, 0.05);
    check("no room", comb_cm2(&narrow, 3.5), 0.0, 1e-9);
    check("no width", narrow.width_at_bars(cm(3.5)).to_cm(), 0.0, 1e-9);
}

#[test]
fn corners_go_either_way_round() {
    let outline =
        |corners: &[(f64, f64)]| Shape::Polygon(corners.iter().map(|&(x, y)| (cm(x), cm(y))).collect());
    let down = section(outline(&[(0.0, 0.0), (44.5, 0.0), (31.75, 28.0), (12.75, 28.0)]));
    let up = section(outline(&[
        (0.0, 0.0),
        (44.5, 0.0),
        (31.75, -28.0),
        (12.75, -28.0),
    ]));
    let with_a_joint = section(outline(&[
        (0.0, 0.0),
        (20.0, 0.0),
        (44.5, 0.0),
        (31.75, 28.0),
        (12.75, 28.0),
    ]));
    for hive in [down, up, with_a_joint] {
        check("comb", comb_cm2(&hive, 0.8), comb_cm2(&cameroon(), 0.8), 1e-9);
        check(
            "width",
            hive.width_at_bars(cm(0.8)).to_cm(),
            cameroon().width_at_bars(cm(0.8)).to_cm(),
            1e-9,
        );
        check("wall", hive.wall().to_cm(), cameroon().wall().to_cm(), 1e-9);
        check(
            "slope",
            hive.wall_from_vertical_deg().unwrap(),
            24.482_485_897,
            1e-6,
        );
    }
    let lopsided = section(outline(&[(0.0, 0.0), (40.0, 0.0), (40.0, 30.0), (10.0, 30.0)]));
    assert_eq!(lopsided.wall_from_vertical_deg(), None);
}

#[test]
fn what_is_no_section_is_refused() {
    let refused = |shape| Section::new(shape).unwrap_err();
    let nothing = Length::ZERO;
    assert_eq!(
        refused(Shape::Upright {
            width: nothing,
            depth: cm(1.0)
        }),
        SectionError::NoSize
    );
    assert_eq!(
        refused(Shape::Slope {
            top: cm(1.0),
            floor: cm(-1.0),
            depth: cm(1.0)
        }),
        SectionError::NoSize
    );
    assert_eq!(
        refused(Shape::Arc {
            width: cm(1.0),
            depth: nothing
        }),
        SectionError::NoSize
    );
    assert_eq!(
        refused(Shape::Drum {
            diameter: cm(20.0),
            depth: cm(20.1)
        }),
        SectionError::DeeperThanDrum
    );
    assert_eq!(
        refused(Shape::Catenary {
            top: cm(100.0),
            depth: mm(0.01)
        }),
        SectionError::NoCatenary
    );
    assert_eq!(
        refused(Shape::Catenary {
            top: mm(0.1),
            depth: cm(1e7)
        }),
        SectionError::NoCatenary
    );
}

/// Published: 27 bars of 35 mm and an allowance of 10 mm need 955 mm; of 32 mm, 874 mm.
#[test]
fn twenty_seven_bars_fit_as_published() {
    for (bar, length) in [(35, 955), (32, 874)] {
        assert_eq!(
            bars_that_fit(Length::mm(length), Length::mm(bar), Length::mm(10)),
            Some(27)
        );
        assert_eq!(
            bars_that_fit(Length::mm(length - 1), Length::mm(bar), Length::mm(10)),
            Some(26)
        );
    }
    assert_eq!(
        bars_that_fit(Length::mm(5), Length::mm(35), Length::mm(10)),
        Some(0)
    );
    assert_eq!(bars_that_fit(Length::mm(955), Length::ZERO, Length::mm(10)), None);
}
