//! Estimates of strength: in order, monotone, additive, whatever was seen.

use proptest::prelude::*;
use quantity::{Area, Estimate, Length};
use reckon::strength::{Measured, Seen, Strength, comb, hive};

use crate::{cases, mm};

fn seen() -> impl Strategy<Value = Seen> {
    proptest::array::uniform11(proptest::option::of(0.0..=1.0_f64)).prop_map(|said| {
        let [
            drawn,
            bees,
            sealed,
            open,
            eggs,
            brood,
            drones,
            capped,
            honey,
            nectar,
            pollen,
        ] = said;
        Seen {
            drawn,
            bees,
            sealed,
            open,
            eggs,
            brood,
            drones,
            capped,
            honey,
            nectar,
            pollen,
        }
    })
}

fn measured() -> impl Strategy<Value = Measured> {
    let measures = (
        50.0..2_000.0_f64,
        proptest::option::of(10_u32..50),
        proptest::option::of(4_u32..8),
        0.0..=1.0_f64,
    );
    measures.prop_map(|(cm2, thickness, cell, left)| Measured {
        face: Area::from_cm2(cm2).expect("an area"),
        thickness: thickness.map(mm),
        worker_cell: cell.map(mm),
        left,
    })
}

fn kinds(strength: &Strength) -> [Option<Estimate>; 8] {
    [
        strength.bees,
        strength.eggs,
        strength.open_cells,
        strength.sealed_cells,
        strength.brood_cells,
        strength.drone_cells,
        strength.honey_kg,
        strength.pollen_kg,
    ]
}

fn bees(share: f64, measured: &Measured) -> Estimate {
    comb(
        &Seen {
            bees: Some(share),
            ..Seen::default()
        },
        measured,
    )
    .bees
    .expect("said and measured")
}

fn honey(share: f64, measured: &Measured) -> Estimate {
    comb(
        &Seen {
            capped: Some(share),
            ..Seen::default()
        },
        measured,
    )
    .honey_kg
    .expect("said and measured")
}

proptest! {
    #![proptest_config(cases(400))]

    #[test]
    fn bounds_are_in_order_and_never_below_nothing(seen in seen(), measured in measured()) {
        for estimate in kinds(&comb(&seen, &measured)).into_iter().flatten() {
            prop_assert!(0.0 <= estimate.lo() && estimate.lo() <= estimate.value() && estimate.value() <= estimate.hi());
        }
    }

    #[test]
    fn a_hive_is_the_sum_of_its_combs(looks in proptest::collection::vec((seen(), measured()), 1..12)) {
        let combs: Vec<Strength> = looks.iter().map(|(seen, measured)| comb(seen, measured)).collect();
        for (kind, whole) in kinds(&hive(&combs)).into_iter().enumerate() {
            let told: Vec<Estimate> = combs.iter().filter_map(|comb| kinds(comb)[kind]).collect();
            prop_assert_eq!(whole.is_none(), told.is_empty());
            let Some(whole) = whole else { continue };
            let sum = |of: fn(Estimate) -> f64| told.iter().map(|estimate| of(*estimate)).sum::<f64>();
            let near = 1e-9 * (1.0 + whole.hi());
            prop_assert!((whole.value() - sum(Estimate::value)).abs() <= near);
            // The doubt of the sum is never more than the sum of the doubts, nor less than any of them.
            prop_assert!(whole.hi() <= sum(Estimate::hi) + near);
            let most = told.iter().map(|estimate| estimate.hi() - estimate.value()).fold(0.0, f64::max);
            prop_assert!(whole.hi() - whole.value() >= most - near);
        }
    }

    #[test]
    fn more_seen_is_more_in_value_and_in_both_bounds(share in 0.0..0.99_f64, more in 0.001..0.01_f64, measured in measured()) {
        let whole = Measured { left: 1.0, ..measured };
        for of in [bees, honey] {
            let (less, more) = (of(share, &whole), of(share + more, &whole));
            prop_assert!(more.value() > less.value());
            prop_assert!(more.lo() >= less.lo() && more.hi() > less.hi(), "{less:?} {more:?}");
        }
    }

    #[test]
    fn amounts_go_with_the_area_and_with_what_is_left(share in 0.0..1.0_f64, left in 0.0..1.0_f64, measured in measured()) {
        let whole = Measured { left: 1.0, ..measured };
        let twice = Measured { face: Area::from_cm2(2.0 * whole.face.to_cm2()).unwrap(), ..whole };
        let cut = Measured { left, ..whole };
        for of in [bees, honey] {
            let (one, two, rest) = (of(share, &whole), of(share, &twice), of(share, &cut));
            for bound in [Estimate::lo, Estimate::value, Estimate::hi] {
                prop_assert!((2.0 * bound(one) - bound(two)).abs() < 1e-9 * (1.0 + bound(two)));
            }
            prop_assert!((rest.value() - left * one.value()).abs() < 1e-9 * (1.0 + one.value()));
            // What a cut took of a content is less sure than what was there: never closer, in proportion.
            prop_assert!(rest.hi() - rest.value() >= left * (one.hi() - one.value()) - 1e-9 * (1.0 + one.hi()));
        }
    }

    #[test]
    fn thicker_combs_hold_more_honey_and_wider_cells_are_fewer(share in 0.1..1.0_f64, thickness in 10_u32..50, cell in 4_u32..7, measured in measured()) {
        let whole = Measured { left: 1.0, ..measured };
        let thick = |millimetres| honey(share, &Measured { thickness: Some(mm(millimetres)), ..whole }).value();
        prop_assert!(thick(thickness + 1) > thick(thickness));
        let cells = |width| {
            let seen = Seen { sealed: Some(share), ..Seen::default() };
            comb(&seen, &Measured { worker_cell: Some(mm(width)), ..whole }).sealed_cells.unwrap().value()
        };
        prop_assert!(cells(cell + 1) < cells(cell));
        let in_squares = cells(cell) * f64::from(cell * cell) / f64::from((cell + 1) * (cell + 1));
        prop_assert!((cells(cell + 1) - in_squares).abs() < 1e-6 * in_squares);
    }

    #[test]
    fn many_combs_are_better_known_than_one_but_not_without_end(share in 0.1..0.9_f64, measured in measured()) {
        let whole = Measured { left: 1.0, ..measured };
        let one = comb(&Seen { bees: Some(share), ..Seen::default() }, &whole);
        let part = |combs: usize| {
            let sum = hive(&vec![one; combs]).bees.unwrap();
            (sum.hi() - sum.value()) / sum.value()
        };
        prop_assert!(part(20) < part(5) && part(5) < part(1));
        // The leaning of the eye and the density are common to all: the density alone leaves six parts of a hundred.
        prop_assert!(part(10_000) > 0.06);
    }
}

/// How far, in squares of parts of the value, the upper and the lower bound lie from it.
fn doubt(estimate: Estimate) -> (f64, f64) {
    let part = |bound: f64| (bound - estimate.value()) / estimate.value();
    let (down, up) = (part(estimate.lo()), part(estimate.hi()));
    (down * down, up * up)
}

/// Of two estimates that differ in one figure alone, the squares of their doubt differ by that figure's.
#[test]
fn each_figure_of_doubt_is_in_the_interval() {
    let plain = Measured {
        face: Area::from_cm2(800.0).expect("an area"),
        thickness: None,
        worker_cell: None,
        left: 1.0,
    };
    let measured = Measured {
        worker_cell: Some(Length::from_mm_f64(5.3).expect("a length")),
        ..plain
    };
    let close = |found: f64, wanted: f64| assert!((found - wanted).abs() < 1e-9, "{found} {wanted}");
    let half = |fill: fn(&mut Seen)| {
        let mut seen = Seen::default();
        fill(&mut seen);
        seen
    };
    // A cell that was measured at the usual width: 1.5 %, twice over since the number goes with its square; the usual
    // one lies between 5.0 and 5.6 mm.
    let sealed = half(|seen| seen.sealed = Some(0.5));
    let usual = comb(&sealed, &plain).sealed_cells.expect("it was said");
    let known = comb(&sealed, &measured).sealed_cells.expect("it was said");
    close(known.value(), usual.value());
    let ((usual_down, usual_up), (known_down, known_up)) = (doubt(usual), doubt(known));
    let wide = 1.0 - (5.3 / 5.6_f64) * (5.3 / 5.6);
    let narrow = (5.3 / 5.0_f64) * (5.3 / 5.0) - 1.0;
    close(usual_down - known_down, wide * wide - 0.03 * 0.03);
    close(usual_up - known_up, narrow * narrow - 0.03 * 0.03);

    // Eggs that are overlooked: a fifth.
    let eggs = half(|seen| seen.eggs = Some(0.5));
    let eggs = doubt(comb(&eggs, &measured).eggs.expect("it was said"));
    close(eggs.0 - known_down, 0.2 * 0.2);
    close(eggs.1 - known_up, 0.2 * 0.2);

    // Half a comb of open honey is 0.8 of capped, 0.6 to 1.0: a quarter either way of what it is.
    let capped = half(|seen| seen.capped = Some(0.5));
    let open = half(|seen| {
        seen.capped = Some(0.0);
        seen.honey = Some(0.5);
    });
    let whole = comb(&capped, &plain).honey_kg.expect("it was said");
    let thin = comb(&open, &plain).honey_kg.expect("it was said");
    close(thin.value() / whole.value(), 0.8);
    // The eye looked at half a comb both times; in proportion to the less that it holds it errs by 1/0.8.
    let eye = eye_of_half_a_comb();
    let more_by_eye = eye * (1.0 / (0.8 * 0.8) - 1.0);
    close(doubt(thin).0 - doubt(whole).0, 0.25 * 0.25 + more_by_eye);
    close(doubt(thin).1 - doubt(whole).1, 0.25 * 0.25 + more_by_eye);

    // Half a comb of nectar beside none of honey is a quarter of it, from nothing to twice as much.
    let nectar = half(|seen| {
        seen.capped = Some(0.0);
        seen.nectar = Some(0.5);
    });
    let nectar = comb(&nectar, &plain).honey_kg.expect("it was said");
    close(nectar.value() / whole.value(), 0.25);
    let more_by_eye = eye * (1.0 / (0.25 * 0.25) - 1.0);
    close(doubt(nectar).1 - doubt(whole).1, 1.0 + more_by_eye);
    assert!(nectar.lo() <= 0.0, "it may be none");
}

/// What the eye's leaning, its slip and the step of its scale make of half a comb, in squares of parts.
fn eye_of_half_a_comb() -> f64 {
    use reckon::strength::figures::{EYE_LEANING, EYE_OF_ONE_COMB, EYE_STEP, WIDENING};
    // Half of a half is misjudged; a step is of the whole comb, and so twice as much of its half.
    let leaning = EYE_LEANING.value * WIDENING;
    let slip = EYE_OF_ONE_COMB.value * WIDENING;
    let step = 2.0 * EYE_STEP.value * WIDENING;
    leaning * leaning + slip * slip + step * step
}
