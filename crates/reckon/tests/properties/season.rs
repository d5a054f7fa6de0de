//! Degree-days, winter and files of weather: what holds whatever the numbers are.

use jiff::ToSpan as _;
use jiff::civil::{Date, date};
use proptest::prelude::*;
use quantity::Mass;
use reckon::degree_days::{Cutoffs, Method, of_day, sum};
use reckon::weather::{DailySeries, DayWeather, read};
use reckon::winter::{Outside, Winter, winter};

use crate::{cases, celsius};

const FIRST: Date = date(2026, 1, 1);

/// A lowest and a highest temperature.
fn days() -> impl Strategy<Value = (f64, f64)> {
    (-30.0..40.0, 0.0..25.0).prop_map(|(low, range): (f64, f64)| (low, low + range))
}

fn series(days: &[(f64, f64)]) -> DailySeries {
    let mut series = DailySeries::default();
    let mut day = FIRST;
    for (low, high) in days {
        let weather = DayWeather {
            low: Some(celsius(*low)),
            high: Some(celsius(*high)),
            rain_mm: None,
        };
        series.lay(day, weather);
        day = day.tomorrow().expect("a day");
    }
    series
}

proptest! {
    #![proptest_config(cases(400))]

    /// The area above the base under one wave, summed in thin strips by the midpoint rule. With n strips its
    /// error is at most that of one strip at each of the two crossings and 2 pi squared W over 24 n squared between.
    #[test]
    fn the_sine_is_the_area_under_a_wave((low, high) in days(), base in -20.0..35.0, above in 0.5..20.0) {
        let strips = 20_000;
        let (mean, swing) = ((low + high) / 2.0, (high - low) / 2.0);
        let area: f64 = (0..strips)
            .map(|strip| {
                let at = (f64::from(strip) + 0.5) / f64::from(strips) * std::f64::consts::TAU;
                let warmth: f64 = mean + swing * libm::sin(at);
                f64::max(f64::min(warmth, base + above) - base, 0.0)
            })
            .sum::<f64>() / f64::from(strips);
        let cutoffs = Cutoffs::new(celsius(base), Some(celsius(base + above))).expect("cut-offs");
        let ours = of_day(celsius(low), celsius(high), cutoffs, Method::Sine).expect("a day");
        prop_assert!((ours - area).abs() < 1e-5, "{ours} and {area}");
    }

    #[test]
    fn no_method_takes_away_or_exceeds_what_lies_between_the_cutoffs((low, high) in days(), base in -20.0..35.0, above in 0.5..20.0) {
        let cutoffs = Cutoffs::new(celsius(base), Some(celsius(base + above))).expect("cut-offs");
        let open = Cutoffs::new(celsius(base), None).expect("a base");
        for method in Method::ALL {
            let ours = of_day(celsius(low), celsius(high), cutoffs, method).expect("a day");
            let without = of_day(celsius(low), celsius(high), open, method).expect("a day");
            prop_assert!(ours >= 0.0 && ours <= without + 1e-12, "{method:?}");
            prop_assert!(without <= (high - base).max(0.0) + 1e-12, "{method:?}");
        }
    }

    #[test]
    fn a_sum_is_the_sum_of_its_parts(days in prop::collection::vec(days(), 2..400), parted in 0.0..1.0, base in 0.0..15.0) {
        let series = series(&days);
        let cutoffs = Cutoffs::new(celsius(base), None).expect("a base");
        let middle = FIRST.checked_add((((days.len() - 1) as f64 * parted) as i64).days()).expect("a day");
        for method in Method::ALL {
            let whole = sum(&series, (None, None), cutoffs, method);
            let before = sum(&series, (None, Some(middle)), cutoffs, method).total;
            let after = sum(&series, (Some(middle.tomorrow().expect("a day")), None), cutoffs, method).total;
            prop_assert!((whole.total.degree_days - before.degree_days - after.degree_days).abs() < 1e-8);
            prop_assert_eq!(whole.total.days, before.days + after.days);
            let by_year: f64 = whole.by_year.values().map(|year| year.degree_days).sum();
            prop_assert!((whole.total.degree_days - by_year).abs() < 1e-8);
        }
    }

    #[test]
    fn a_colder_longer_winter_and_more_bees_take_more_and_the_bounds_hold(
        bees_g in 10_u32..3_000, outside in -30.0..14.0, days in 2_i64..250, brood in 0_i64..300,
    ) {
        let asked = |bees_g: u32, outside: f64, days: i64| Winter {
            bees: Mass::g(i64::from(bees_g)),
            outside: Outside::Steady(celsius(outside)),
            from: FIRST,
            to: FIRST.checked_add(days.days()).expect("a day"),
            reachable: Some(Mass::kg(9)),
            brood_from: FIRST.checked_add(brood.days()).ok(),
            reserve: Mass::kg(5),
        };
        let of = |asked: Winter<'_>| winter(&asked).expect("a winter");
        let used = of(asked(bees_g, outside, days));
        prop_assert!(of(asked(bees_g, outside - 1.0, days)).use_kg.value() >= used.use_kg.value());
        prop_assert!(of(asked(bees_g + 10, outside, days)).use_kg.value() >= used.use_kg.value());
        prop_assert!(of(asked(bees_g, outside, days - 1)).use_kg.value() < used.use_kg.value());
        match (used.runs_out_earliest, used.runs_out) {
            (Some(earliest), Some(likely)) => prop_assert!(earliest <= likely),
            (None, likely) => prop_assert_eq!(likely, None),
            (Some(_), None) => {}
        }
        prop_assert_eq!(used.runs_out.is_some(), used.use_kg.value() >= 9.0);
        prop_assert_eq!(used.runs_out_earliest.is_some(), used.use_kg.hi() >= 9.0);
    }

    /// Whatever the bytes, a file is read or refused, and a day that is read can be.
    #[test]
    fn no_file_stops_the_reader(bytes in prop::collection::vec(any::<u8>(), 0..600), head in 0..4_usize) {
        let heads: [&[u8]; 4] = [b"", b"date,tmin_c,tmax_c\n", b"ZZX00000017202604TMAX", b"ZZX00000017,20260401,TMAX,1,,,\n"];
        if let Ok(file) = read(&[heads[head], &bytes].concat(), None) {
            for (_, day) in file.series.iter() {
                prop_assert!(!matches!((day.low, day.high), (Some(low), Some(high)) if low > high));
            }
        }
    }
}
