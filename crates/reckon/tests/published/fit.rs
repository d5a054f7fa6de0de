//! Combs and boards of one hive in another, against closed forms.

use quantity::Length;
use reckon::fit::{CombFit, Hive, Rest, comb_in, follower_in, rest};
use reckon::section::{Section, Shape};

use crate::{check, mm};

fn section(shape: Shape) -> Section {
    Section::new(shape).expect("the test gives a section")
}

fn upright(width: f64, depth: f64) -> Section {
    section(Shape::Upright {
        width: mm(width),
        depth: mm(depth),
    })
}

fn half_drum(radius: f64) -> Section {
    section(Shape::Drum {
        diameter: mm(2.0 * radius),
        depth: mm(radius),
    })
}

fn polygon(corners: &[(f64, f64)]) -> Section {
    section(Shape::Polygon(
        corners.iter().map(|&(x, y)| (mm(x), mm(y))).collect(),
    ))
}

fn hive(section: &Section) -> Hive<'_> {
    Hive {
        section,
        bar_length: Length::mm(480),
        bar_width: Length::mm(35),
        bee_space: Length::mm(10),
        longest_bar: None,
    }
}

fn moved(from: &Section, into: &Section) -> CombFit {
    comb_in(hive(from), hive(into)).expect("the test gives a hive with room for comb")
}

/// The share cut away in per cent, and what is too near in millimetres.
#[track_caller]
fn check_comb(from: &Section, into: &Section, cut_pct: f64, too_near: f64) {
    let comb = moved(from, into).comb;
    check("cut away", comb.cut_away.to_percent(), cut_pct, 0.002);
    check("too near", comb.too_near.to_mm(), too_near, 0.02);
}

#[test]
fn a_hive_takes_its_own_combs() {
    let sections = [
        upright(400.0, 300.0),
        half_drum(285.0),
        section(Shape::Slope {
            top: mm(445.0),
            floor: mm(190.0),
            depth: mm(280.0),
        }),
        section(Shape::Slope {
            top: mm(300.0),
            floor: mm(400.0),
            depth: mm(280.0),
        }),
        section(Shape::Catenary {
            top: mm(445.0),
            depth: mm(280.0),
        }),
        section(Shape::Arc {
            width: mm(445.0),
            depth: mm(200.0),
        }),
        polygon(&[
            (0.0, 0.0),
            (400.0, 0.0),
            (400.0, 300.0),
            (200.0, 5.0),
            (0.0, 300.0),
        ]),
    ];
    for hive in &sections {
        let comb = moved(hive, hive).comb;
        assert!(comb.cut_away.to_percent().abs() < 1e-12, "{comb:?}");
        assert_eq!(comb.too_near, Length::ZERO);
    }
}

#[test]
fn a_comb_too_wide_or_too_deep_loses_a_strip() {
    let from = upright(400.0, 300.0);
    // The comb is 380 mm wide and 290 mm deep.
    check_comb(&from, &upright(380.0, 300.0), 100.0 * 20.0 / 380.0, 10.0);
    check_comb(&from, &upright(340.0, 300.0), 100.0 * 60.0 / 380.0, 30.0);
    check_comb(&from, &upright(400.0, 296.0), 100.0 * 4.0 / 290.0, 4.0);
    check_comb(&from, &upright(400.0, 250.0), 100.0 * 50.0 / 290.0, 50.0);
    check_comb(&from, &upright(401.0, 301.0), 0.0, 0.0);
}

#[test]
fn a_comb_of_a_wider_drum_loses_a_ring() {
    let ring = 1.0 - (270.0 / 275.75) * (270.0 / 275.75);
    check_comb(&half_drum(285.75), &half_drum(280.0), 100.0 * ring, 5.75);
    check_comb(&half_drum(280.0), &half_drum(285.75), 0.0, 0.0);
}

/// The corners of an upright comb reach beyond leaning walls: by the distance square to them.
#[test]
fn an_upright_comb_loses_two_triangles_to_leaning_walls() {
    let leaning = section(Shape::Slope {
        top: mm(460.0),
        floor: mm(220.0),
        depth: mm(300.0),
    });
    let slant = libm::hypot(120.0, 300.0);
    // At the bars 10 mm square to the wall are less than the 40 mm beside the comb; at its lower end the wall, and
    // the bee space along the level, have come so much nearer.
    let level_bee_space = 10.0 * slant / 300.0;
    let overlap = 190.0 + level_bee_space - (230.0 - 290.0 * 120.0 / 300.0);
    let triangle = overlap * overlap * 300.0 / 120.0 / 2.0;
    check_comb(
        &upright(400.0, 300.0),
        &leaning,
        100.0 * 2.0 * triangle / (380.0 * 290.0),
        overlap * 300.0 / slant,
    );
}

/// A pillar with a head of 100 by 60 mm: the middle of the head is as far from its top as from the corners where
/// its stem begins.
#[test]
fn what_a_comb_swallows_is_told_by_its_deepest_place() {
    let pillar = polygon(&[
        (0.0, 0.0),
        (400.0, 0.0),
        (400.0, 300.0),
        (210.0, 300.0),
        (210.0, 160.0),
        (250.0, 160.0),
        (250.0, 100.0),
        (150.0, 100.0),
        (150.0, 160.0),
        (190.0, 160.0),
        (190.0, 300.0),
        (0.0, 300.0),
    ]);
    let comb = moved(&upright(400.0, 300.0), &pillar).comb;
    let deepest = (10.0 * 10.0 + 60.0 * 60.0) / (2.0 * 60.0);
    check("too near", comb.too_near.to_mm(), 10.0 + deepest, 0.005 * deepest);
}

/// Below a neck nothing hangs from the bar any more, though there is room.
#[test]
fn what_is_cut_off_falls() {
    let neck = polygon(&[
        (0.0, 0.0),
        (400.0, 0.0),
        (400.0, 100.0),
        (210.0, 100.0),
        (210.0, 120.0),
        (400.0, 120.0),
        (400.0, 300.0),
        (0.0, 300.0),
        (0.0, 120.0),
        (190.0, 120.0),
        (190.0, 100.0),
        (0.0, 100.0),
    ]);
    let comb = moved(&upright(400.0, 300.0), &neck).comb;
    // Above it the comb ends in a point between the two corners that it keeps off.
    let point = 20.0 * 10.0 - std::f64::consts::PI * 10.0 * 10.0 / 2.0;
    let kept = 380.0 * 90.0 + point;
    let cut = 100.0 * (1.0 - kept / (380.0 * 290.0));
    check("cut away", comb.cut_away.to_percent(), cut, 0.002);
}

/// A narrow comb has no way round a shelf that a wide one would hang beside.
#[test]
fn what_a_shelf_cuts_off_falls() {
    let shelf = polygon(&[
        (0.0, 0.0),
        (400.0, 0.0),
        (400.0, 300.0),
        (0.0, 300.0),
        (0.0, 200.0),
        (250.0, 200.0),
        (250.0, 100.0),
        (0.0, 100.0),
    ]);
    let comb = moved(&upright(120.0, 300.0), &shelf).comb;
    let cut = 100.0 * (1.0 - 90.0 / 290.0);
    check("cut away", comb.cut_away.to_percent(), cut, 0.002);
}

/// Beside walls that lean outwards a comb is as far from the ends of the bars as from anything.
#[test]
fn an_upright_comb_hangs_between_walls_that_lean_outwards() {
    let outwards = section(Shape::Slope {
        top: mm(300.0),
        floor: mm(700.0),
        depth: mm(280.0),
    });
    check_comb(&upright(300.0, 250.0), &outwards, 0.0, 0.0);
}

/// The floor rises in a point to 6 mm below the middle of the comb.
#[test]
fn a_point_of_the_floor_may_be_what_is_too_near() {
    let ridge = polygon(&[
        (0.0, 0.0),
        (400.0, 0.0),
        (400.0, 340.0),
        (200.0, 296.0),
        (0.0, 340.0),
    ]);
    let comb = moved(&upright(400.0, 300.0), &ridge).comb;
    check("too near", comb.too_near.to_mm(), 4.0, 0.002);
}

#[test]
fn a_bar_rests_where_both_walls_bear_it() {
    let box_of_440 = upright(440.0, 300.0);
    let into = hive(&box_of_440);
    let bar = |millimetres| rest(Length::mm(millimetres), into);
    assert_eq!(
        bar(480),
        Rest::OnBoth {
            at_each: Length::mm(20)
        }
    );
    assert_eq!(
        bar(460),
        Rest::OnBoth {
            at_each: Length::mm(10)
        }
    );
    assert_eq!(bar(459), Rest::TooShort { by: Length::mm(1) });
    let limited = Hive {
        longest_bar: Some(Length::mm(482)),
        ..into
    };
    assert_eq!(
        rest(Length::mm(482), limited),
        Rest::OnBoth {
            at_each: Length::mm(21)
        }
    );
    assert_eq!(
        rest(Length::mm(490), limited),
        Rest::TooLong { by: Length::mm(8) }
    );
    let narrower = Hive {
        bar_width: Length::mm(32),
        bar_length: Length::mm(450),
        ..into
    };
    let fit = comb_in(narrower, into).unwrap();
    assert_eq!(fit.bar_wider_by, Length::mm(-3));
    assert_eq!(fit.rest, Rest::TooShort { by: Length::mm(10) });
}

#[test]
fn a_follower_board_is_told_by_its_gap_and_by_what_touches() {
    let from = upright(400.0, 300.0);
    let clearance = Length::mm(5);
    let own = follower_in(&from, clearance, &from).unwrap();
    assert_eq!(own.board.too_near, Length::ZERO);
    check("gap", own.widest_gap.to_mm(), 5.0, 0.02);
    // In a hive 20 mm wider and 2 mm deeper it leaves 15 mm at the sides.
    let wider = follower_in(&from, clearance, &upright(420.0, 302.0)).unwrap();
    check("gap", wider.widest_gap.to_mm(), 15.0, 0.05);
    assert_eq!(wider.board.too_near, Length::ZERO);
    // In one 6 mm narrower it comes 3 mm too near and leaves 15 mm at the floor.
    let narrower = follower_in(&from, clearance, &upright(394.0, 310.0)).unwrap();
    check("too near", narrower.board.too_near.to_mm(), 3.0, 0.02);
    check(
        "cut away",
        narrower.board.cut_away.to_percent(),
        100.0 * 6.0 / 390.0,
        0.002,
    );
    check("gap", narrower.widest_gap.to_mm(), 15.0, 0.05);
    // Farthest from the walls in the middle of the lower edge, above a hollow of the floor 40 mm deep.
    let hollow = polygon(&[
        (0.0, 0.0),
        (400.0, 0.0),
        (400.0, 300.0),
        (200.0, 340.0),
        (0.0, 300.0),
    ]);
    let over = follower_in(&from, clearance, &hollow).unwrap();
    let square_to_floor = 45.0 * 200.0 / libm::hypot(200.0, 40.0);
    check("gap", over.widest_gap.to_mm(), square_to_floor, 0.1);
    assert_eq!(follower_in(&from, Length::mm(200), &from), None);
}

#[test]
fn no_comb_fits_nowhere() {
    let narrow = upright(20.0, 300.0);
    assert_eq!(comb_in(hive(&narrow), hive(&narrow)), None);
    let wide = upright(400.0, 300.0);
    let comb = moved(&wide, &narrow).comb;
    check("cut away", comb.cut_away.to_percent(), 100.0, 0.0);
    check("too near", comb.too_near.to_mm(), 190.0, 0.02);
}
