//! What a colony eats in winter: the fit, and what whole colonies were measured to eat.

use jiff::civil::{Date, date};
use quantity::{Estimate, Mass};
use reckon::weather::read;
use reckon::winter::{
    Outside, Winter, WinterError, WinterUse, fitted_kg_per_day, fitted_watts, warmth_factor, winter,
};

use crate::{celsius, check, number, rows};

fn kg(kilograms: f64) -> Mass {
    Mass::from_g_f64(kilograms * 1_000.0).expect("the test gives a mass")
}

fn steady(bees: f64, outside: f64) -> Winter<'static> {
    Winter {
        bees: kg(bees),
        outside: Outside::Steady(celsius(outside)),
        from: date(2026, 11, 1),
        to: date(2026, 12, 1),
        reachable: None,
        brood_from: None,
        reserve: Mass::kg(5),
    }
}

fn used(asked: &Winter<'_>) -> WinterUse {
    winter(asked).expect("the test gives a winter")
}

fn has_note(used: &WinterUse, words: &str) -> bool {
    used.notes.iter().any(|note| note.contains(words))
}

/// The values are computed from the fit and printed with their last digit rounded.
#[test]
fn the_fit_agrees_with_every_computed_row() {
    for row in rows(include_str!("winter/fit.csv")) {
        let bees = number(row[0]);
        let per_day = fitted_kg_per_day(kg(bees));
        check(row[0], per_day * 1_000.0, number(row[4]), 0.05);
        check(row[0], fitted_watts(kg(bees)), number(row[2]), 0.006);
        let oxygen = per_day * 12.7e6 / 21.1 / 24.0 / (bees * 1_000.0);
        check(row[0], oxygen, number(row[1]), 0.000_6);
        let in_30_days = used(&steady(bees, 2.0)).cluster_kg_per_30_days;
        check(row[0], in_30_days.value(), number(row[3]), 0.006);
        // Thirty days lie between the first of November and the first of December.
        check(
            row[0],
            used(&steady(bees, 2.0)).use_kg.value(),
            in_30_days.value(),
            1e-9,
        );
    }
}

#[test]
fn every_measured_use_lies_within_the_interval() {
    for row in rows(include_str!("winter/measured.csv")) {
        let used = used(&steady(number(row[1]), number(row[2]))).use_kg;
        let (lo, hi) = (used.lo() / 30.0 * 1_000.0, used.hi() / 30.0 * 1_000.0);
        // Half the last digit that is printed.
        assert!(lo <= number(row[3]) + 0.5, "{}: from {lo:.1} g", row[0]);
        assert!(hi >= number(row[4]) - 0.5, "{}: to {hi:.1} g", row[0]);
    }
}

/// Austria: up to about a kilogram a week; 3 to 4 kg a month from memory.
#[test]
fn spring_brood_takes_what_is_told_of_spring() {
    let spring = Winter {
        brood_from: Some(date(2026, 11, 1)),
        ..steady(1.2, 2.0)
    };
    let spring = used(&spring).use_kg;
    check("least", spring.lo(), 3.0, 1e-9);
    check("middle", spring.value(), 3.5, 1e-9);
    check("a kilogram a week", spring.hi(), 30.0 / 7.0, 1e-9);
    let half = Winter {
        brood_from: Some(date(2026, 11, 16)),
        ..steady(1.2, 2.0)
    };
    let broodless = used(&steady(1.2, 2.0)).use_kg.value();
    check("half", used(&half).use_kg.value(), broodless / 2.0 + 1.75, 1e-9);
}

/// Seeley 2019: about 20 kg over a whole winter at Ithaca, spring brood included. The mean temperatures are from
/// memory: about 0 °C from November to March.
#[test]
fn a_winter_at_ithaca_with_spring_brood_takes_20_kg_at_most() {
    let ithaca = Winter {
        from: date(2025, 10, 1),
        to: date(2026, 5, 1),
        brood_from: Some(date(2026, 2, 15)),
        ..steady(1.5, 0.0)
    };
    let used = used(&ithaca).use_kg;
    assert!(used.lo() < 20.0 && 20.0 < used.hi(), "{used:?}");
}

/// Worked by hand: 36.36 g a day, so that 1 kg is eaten on the 28th day; at 56 g on the 18th.
#[test]
fn the_days_on_which_stores_run_out_are_those_counted_by_hand() {
    let asked = Winter {
        reachable: Some(Mass::kg(1)),
        reserve: Mass::g(500),
        ..steady(1.2, 2.0)
    };
    let used = used(&asked);
    assert_eq!(used.runs_out, Some(date(2026, 11, 28)));
    assert_eq!(used.runs_out_earliest, Some(date(2026, 11, 18)));
    // 0.5 kg: after 13.75 days, and after 8.9 at 56 g.
    assert_eq!(used.into_reserve, Some(date(2026, 11, 14)));
    assert_eq!(used.into_reserve_earliest, Some(date(2026, 11, 9)));
    let left = used.left_kg.expect("the reachable is known");
    check("left", left.value(), 1.0 - used.use_kg.value(), 1e-12);
    assert!(left.lo() < 0.0 && left.lo() <= left.value() && left.value() <= left.hi());
    check("need", used.need_kg.value(), used.use_kg.value() + 0.5, 1e-12);
    let plenty = winter(&Winter {
        reachable: Some(Mass::kg(9)),
        ..asked
    });
    let plenty = plenty.expect("a winter");
    assert_eq!((plenty.runs_out, plenty.runs_out_earliest), (None, None));
}

#[test]
fn what_lies_beyond_the_fit_is_said_and_widens_the_interval() {
    assert!(!has_note(&used(&steady(1.2, 2.0)), "extrapolated"));
    assert!(has_note(&used(&steady(1.5, 2.0)), "up to 1.2 kg"));
    assert!(has_note(&used(&steady(0.004, 2.0)), "5 g and more"));
    assert!(has_note(
        &used(&steady(1.2, -5.0)),
        "other temperatures are a model"
    ));
    assert!(has_note(&used(&steady(1.2, 16.0)), "above 14 °C"));
    let width = |bees| {
        let used = used(&steady(bees, 2.0)).use_kg;
        used.hi() / used.lo()
    };
    check("within the fit", width(1.2), width(0.5), 1e-9);
    assert!(width(2.0) > width(1.2) * 1.4);
}

/// The model by hand: with a core of 26 °C the use at −4 °C is 30/24 of that at 2 °C; with 20 °C 24/18, with 32 °C
/// 36/30.
#[test]
fn the_model_of_temperature_is_the_one_that_is_told() {
    let at = |degrees| warmth_factor(celsius(degrees));
    let near = |estimate: Estimate, value: f64, lo: f64, hi: f64| {
        check("value", estimate.value(), value, 1e-12);
        check("lo", estimate.lo(), lo, 1e-12);
        check("hi", estimate.hi(), hi, 1e-12);
    };
    near(at(2.0), 1.0, 1.0, 1.0);
    near(at(-4.0), 1.25, 1.2, 4.0 / 3.0);
    near(at(8.0), 0.75, 2.0 / 3.0, 0.8);
    near(at(30.0), 0.5, 1.0 / 3.0, 0.6);
}

#[test]
fn daily_weather_is_followed_day_by_day_and_gaps_are_said() {
    let file = read(
        b"date,tmin_c,tmax_c\n2026-11-01,0,4\n2026-11-02,-6,-2\n2026-11-04,6,10\n",
        None,
    )
    .expect("a file");
    let asked = Winter {
        outside: Outside::Daily(&file.series),
        to: date(2026, 11, 5),
        ..steady(1.2, 0.0)
    };
    let found = used(&asked);
    let a_day = fitted_kg_per_day(kg(1.2));
    // 2, −4 and 8 °C, and the gap at their mean of 2 °C.
    check(
        "use",
        found.use_kg.value(),
        a_day * (1.0 + 1.25 + 0.75 + 1.0),
        1e-12,
    );
    check("mean", found.mean_outside_c, 2.0, 1e-12);
    assert!(has_note(&found, "1 day has no temperatures"));
    let spread = 0.026 / 0.039;
    let lo = a_day * spread * (1.0 + 1.2 + 2.0 / 3.0 + 2.0 / 3.0);
    check("lo", found.use_kg.lo(), lo, 1e-12);
    let nothing = Winter {
        from: date(2027, 1, 1),
        to: date(2027, 2, 1),
        ..asked
    };
    assert_eq!(winter(&nothing), Err(WinterError::NoWeather));
}

#[test]
fn what_is_no_winter_is_refused() {
    assert_eq!(winter(&steady(0.0, 2.0)), Err(WinterError::Bees));
    assert_eq!(winter(&steady(10.5, 2.0)), Err(WinterError::Bees));
    let backwards = Winter {
        to: date(2026, 11, 1),
        ..steady(1.2, 2.0)
    };
    assert_eq!(winter(&backwards), Err(WinterError::Span));
    let at_the_end = Winter {
        from: Date::MAX.yesterday().expect("a day"),
        to: Date::MAX,
        ..steady(1.2, 2.0)
    };
    assert!(winter(&at_the_end).is_ok());
}
