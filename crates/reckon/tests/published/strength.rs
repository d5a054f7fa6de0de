//! Bees, brood, honey and pollen of a comb against inventories that were printed.

use quantity::{Area, Estimate, Length};
use reckon::strength::{FLIGHT_CAUTION, Measured, SOURCES, Seen, Strength, comb, hive};

use crate::{check, mm, number, rows};

/// A Zander face: eight eighths of 0.96 to 1.0 dm².
const ZANDER_DM2: f64 = 7.84;

fn of(dm2: f64) -> Measured {
    Measured {
        face: Area::from_cm2(100.0 * dm2).expect("the test gives an area"),
        thickness: None,
        worker_cell: None,
        left: 1.0,
    }
}

fn bees_on(dm2: f64, share: f64) -> Estimate {
    let seen = Seen {
        bees: Some(share),
        ..Seen::default()
    };
    comb(&seen, &of(dm2)).bees.expect("bees were said")
}

fn holds(estimate: Estimate, printed: f64) -> bool {
    (estimate.lo()..=estimate.hi()).contains(&printed)
}

#[test]
fn the_inventory_of_a_zander_face_is_as_printed() {
    for row in rows(include_str!("strength/inventory.csv")) {
        // One face is half of the comb's two.
        let share = Some(number(row[2]) / 16.0);
        let mut seen = Seen::default();
        let measured = Measured {
            thickness: (row[1] == "honey").then(|| mm(23.5)),
            ..of(ZANDER_DM2)
        };
        let (estimate, relative): (fn(&Strength) -> Option<Estimate>, f64) = match row[1] {
            "bees" => {
                seen.bees = share;
                (|found| found.bees, 0.04)
            }
            "brood" => {
                seen.brood = share;
                (|found| found.brood_cells, 0.027)
            }
            "honey" => {
                seen.honey = share;
                (|found| found.honey_kg, 1.5 / 21.5)
            }
            _ => {
                seen.pollen = share;
                (|found| found.pollen_kg, 0.0)
            }
        };
        let (found, printed) = (estimate(&comb(&seen, &measured)).unwrap(), number(row[3]));
        // The face is 2 % larger or smaller; half a cell, bee or gram is nothing beside it.
        check(row[0], found.value(), printed, printed * (0.021 + relative));
        assert!(holds(found, printed), "{}: {found:?}", row[0]);
    }
}

#[test]
fn a_dm2_holds_what_the_liebefeld_pages_print() {
    check("bees on one face", bees_on(1.0, 0.5).value(), 130.0, 1e-9);
    let seen = Seen {
        sealed: Some(0.5),
        ..Seen::default()
    };
    let measured = Measured {
        worker_cell: Some(mm(5.4)),
        ..of(1.0)
    };
    let cells = comb(&seen, &measured).sealed_cells.unwrap();
    check("cells of 5.4 mm, computed", cells.value(), 396.0, 0.5);
    assert!(holds(cells, 400.0), "up to 400 are printed: {cells:?}");
    check(
        "one layer on a Dadant face",
        bees_on(11.2, 0.5).value(),
        5_000.0 / 3.5,
        0.03 * 1_430.0,
    );
    check(
        "one layer on a Swiss face",
        bees_on(9.5, 0.5).value(),
        5_000.0 / 4.0,
        0.03 * 1_250.0,
    );
}

#[test]
fn langstroth_combs_of_several_authors_lie_in_the_interval() {
    let covered = bees_on(8.8, 1.0);
    check("computed", covered.value(), 2_288.0, 1e-9);
    assert!(holds(covered, 1_900.0), "Kauffeld, one layer: {covered:?}");
    assert!(holds(covered, 2_430.0), "packed, from memory: {covered:?}");
    let occupied = bees_on(8.8, 5.0 / 8.0);
    assert!(
        holds(occupied, 1_400.0),
        "Simpson 1969, mean of occupied: {occupied:?}"
    );
}

#[test]
fn drone_cells_of_the_zander_sheet_and_of_tree_nests_lie_in_the_interval() {
    let seen = Seen {
        drones: Some(0.5),
        ..Seen::default()
    };
    let found = comb(&seen, &of(ZANDER_DM2)).drone_cells.unwrap();
    check(
        "6.4 mm, computed: 281.9 a dm²",
        found.value(),
        281.9 * ZANDER_DM2,
        0.05 * ZANDER_DM2 + 0.5,
    );
    assert!(
        holds(found, 1_840.0) && holds(found, 300.4 * ZANDER_DM2),
        "{found:?}"
    );
}

/// 0.85 of the model of full comb, which is computed as 270 g at 22 mm, 310 at 25 and 378 at 30.
#[test]
fn honey_by_thickness_is_that_of_the_model_less_what_is_not_filled() {
    for (thickness, full_g) in [
        (22.0, 270.0),
        (25.0, 310.0),
        (28.0, 351.0),
        (30.0, 378.0),
        (38.0, 486.0),
    ] {
        let seen = Seen {
            capped: Some(1.0),
            ..Seen::default()
        };
        let measured = Measured {
            thickness: Some(mm(thickness)),
            ..of(1.0)
        };
        let honey = comb(&seen, &measured).honey_kg.unwrap();
        check("kg", honey.value(), 0.85 * full_g / 1_000.0, 0.000_5);
        assert!(
            holds(honey, full_g / 1_000.0),
            "{thickness} mm, brim full: {honey:?}"
        );
    }
    let usual = comb(
        &Seen {
            capped: Some(1.0),
            ..Seen::default()
        },
        &of(1.0),
    )
    .honey_kg;
    assert!(holds(usual.unwrap(), 0.25), "eighths: {usual:?}");
}

#[test]
fn stages_of_an_even_brood_stand_as_3_to_6_to_12() {
    let even = Seen {
        eggs: Some(0.1),
        open: Some(0.2),
        sealed: Some(0.4),
        ..Seen::default()
    };
    let whole = comb(&even, &of(8.0)).brood_cells.unwrap();
    for partly in [
        Seen { eggs: None, ..even },
        Seen { open: None, ..even },
        Seen {
            eggs: None,
            open: None,
            ..even
        },
    ] {
        let found = comb(&partly, &of(8.0)).brood_cells.unwrap();
        check("from some stages", found.value(), whole.value(), 1e-6);
        assert!(found.hi() - found.lo() > whole.hi() - whole.lo(), "{found:?}");
    }
    let young = Seen { sealed: None, ..even };
    // Nine days of 21 say too little of the sealed: they count as they are, and the sealed from none on.
    let found = comb(&young, &of(8.0)).brood_cells.unwrap();
    check(
        "eggs and larvae alone",
        found.value(),
        whole.value() * 3.0 / 7.0,
        1e-6,
    );
    assert!(found.hi() > whole.value(), "{found:?}");
    let unsealed = Seen {
        sealed: Some(0.0),
        ..Seen::default()
    };
    assert_eq!(comb(&unsealed, &of(8.0)).brood_cells, None, "there may be eggs");
}

#[test]
fn undivided_brood_bounds_its_stages() {
    let full = 2.0 * 411.07 * 8.0;
    let seen = Seen {
        brood: Some(0.5),
        sealed: Some(0.2),
        ..Seen::default()
    };
    let found = comb(&seen, &of(8.0));
    check("all", found.brood_cells.unwrap().value(), 0.5 * full, 1.0);
    assert_eq!((found.eggs, found.open_cells), (None, None));
    let with_eggs = comb(
        &Seen {
            eggs: Some(0.1),
            ..seen
        },
        &of(8.0),
    );
    check("the rest", with_eggs.open_cells.unwrap().value(), 0.2 * full, 1.0);
    let more_than_said = comb(
        &Seen {
            sealed: Some(0.6),
            ..seen
        },
        &of(8.0),
    );
    check(
        "the stages",
        more_than_said.brood_cells.unwrap().value(),
        0.6 * full,
        1.0,
    );
    let none = comb(
        &Seen {
            brood: Some(0.0),
            ..Seen::default()
        },
        &of(8.0),
    );
    check("none of any stage", none.eggs.unwrap().value(), 0.0, 0.0);
}

#[test]
fn honey_is_capped_and_open_and_a_part_of_the_nectar() {
    let kg = |capped, honey, nectar| {
        let seen = Seen {
            capped,
            honey,
            nectar,
            ..Seen::default()
        };
        comb(&seen, &of(1.0)).honey_kg.map(Estimate::value)
    };
    let full = kg(Some(1.0), None, None).unwrap();
    check("undivided", kg(None, Some(0.5), None).unwrap(), 0.5 * full, 1e-12);
    check(
        "open",
        kg(Some(0.25), Some(0.5), None).unwrap(),
        (0.25 + 0.4) * full,
        1e-12,
    );
    check(
        "nectar",
        kg(Some(0.25), None, Some(0.4)).unwrap(),
        (0.25 + 0.1) * full,
        1e-12,
    );
    check(
        "over a whole comb",
        kg(Some(0.5), Some(0.75), None).unwrap(),
        (0.5 + 0.2) * full,
        1e-12,
    );
    assert_eq!(kg(None, None, Some(0.5)), None, "nectar alone says no honey");
}

#[test]
fn what_was_not_said_is_not_known_and_what_is_not_drawn_holds_nothing() {
    assert_eq!(comb(&Seen::default(), &of(8.0)), Strength::default());
    assert_eq!(hive(&[]), Strength::default());
    assert_eq!(hive(&[Strength::default(); 3]), Strength::default());
    let undrawn = comb(
        &Seen {
            drawn: Some(0.0),
            ..Seen::default()
        },
        &of(8.0),
    );
    assert_eq!(undrawn.bees, None, "bees may hang where no comb is");
    for cells in [
        undrawn.sealed_cells,
        undrawn.brood_cells,
        undrawn.honey_kg,
        undrawn.pollen_kg,
    ] {
        check("nothing", cells.unwrap().hi(), 0.0, 0.0);
    }
    for share in [1.1, -0.1, f64::NAN, f64::INFINITY] {
        let seen = Seen {
            bees: Some(share),
            ..Seen::default()
        };
        assert_eq!(comb(&seen, &of(8.0)).bees, None, "{share}");
    }
    let seen = Seen {
        bees: Some(0.5),
        honey: Some(0.5),
        brood: Some(0.5),
        ..Seen::default()
    };
    let odd = Measured {
        thickness: Some(Length::mm(2)),
        worker_cell: Some(Length::ZERO),
        ..of(8.0)
    };
    let found = comb(&seen, &odd);
    assert!(found.bees.is_some() && found.honey_kg.is_none() && found.brood_cells.is_none());
    assert_eq!(comb(&seen, &Measured { left: 1.5, ..odd }), Strength::default());
}

#[test]
fn the_sources_are_in_the_bibliography_and_flight_is_told() {
    for source in SOURCES {
        assert!(reckon::sources::ALL.contains(&source), "{}", source.id);
    }
    assert!(FLIGHT_CAUTION.contains("out") && FLIGHT_CAUTION.contains("from memory"));
}
