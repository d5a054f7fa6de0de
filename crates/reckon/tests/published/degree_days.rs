//! Degree-days by four methods.

use jiff::civil::date;
use quantity::Celsius;
use reckon::degree_days::{Cutoffs, Method, of_day, sum};
use reckon::weather::read;

use crate::{celsius, check, number, rows};

fn day(low: f64, high: f64, cutoffs: (f64, Option<f64>), method: Method) -> f64 {
    let cutoffs = Cutoffs::new(celsius(cutoffs.0), cutoffs.1.map(celsius)).expect("the test gives cut-offs");
    of_day(celsius(low), celsius(high), cutoffs, method).expect("the test gives a day")
}

/// Printed to four decimals, or fewer where the value ends there.
#[test]
fn every_method_agrees_with_every_row() {
    for row in rows(include_str!("degree-days/table.csv")) {
        let in_fahrenheit = row[8] == "F";
        let degrees = |field: &str| match in_fahrenheit {
            true => Celsius::from_fahrenheit(number(field))
                .expect("a temperature")
                .get(),
            false => number(field),
        };
        let upper = (!row[3].is_empty()).then(|| degrees(row[3]));
        let columns = [Method::Sine, Method::Average, Method::Triangle, Method::FourCase];
        for (method, printed) in columns.into_iter().zip(&row[4..8]) {
            if printed.is_empty() {
                continue;
            }
            let ours = day(degrees(row[0]), degrees(row[1]), (degrees(row[2]), upper), method);
            let ours = if in_fahrenheit { ours * 9.0 / 5.0 } else { ours };
            check(&format!("{row:?} {method:?}"), ours, number(printed), 0.000_051);
        }
    }
}

/// A public library of functions expects .47 in its own tests.
#[test]
fn the_sine_agrees_with_a_public_librarys_own_test() {
    check(
        "sine",
        day(7.0, 14.0, (12.0, Some(33.0)), Method::Sine),
        0.47,
        0.005,
    );
}

/// University of California: 64 °F on average above 53 is 11.
#[test]
fn the_average_agrees_with_the_worked_example() {
    let f = |degrees| Celsius::from_fahrenheit(degrees).expect("a temperature").get();
    let ours = day(f(54.0), f(74.0), (f(53.0), None), Method::Average) * 9.0 / 5.0;
    check("citrus red scale", ours, 11.0, 1e-9);
}

#[test]
fn sums_go_by_year_and_gaps_are_counted() {
    let file = read(
        b"date,tmin_c,tmax_c\n2025-12-30,12,28\n2025-12-31,12,28\n2026-01-01,0,18\n2026-01-03,,18\n2026-01-04,5,20\n",
        None,
    )
    .expect("a file");
    let cutoffs = Cutoffs::new(celsius(10.0), None).expect("cut-offs");
    let whole = sum(&file.series, (None, None), cutoffs, Method::Average);
    check("total", whole.total.degree_days, 22.5, 1e-12);
    assert_eq!((whole.total.days, whole.total.missing), (4, 2));
    check("2025", whole.by_year[&2025].degree_days, 20.0, 1e-12);
    check("2026", whole.by_year[&2026].degree_days, 2.5, 1e-12);
    assert_eq!((whole.by_year[&2026].days, whole.by_year[&2026].missing), (2, 2));
    let part = sum(
        &file.series,
        (Some(date(2025, 12, 31)), Some(date(2026, 1, 1))),
        cutoffs,
        Method::Sine,
    );
    check("part", part.total.degree_days, 12.3825, 0.000_05);
    let beyond = sum(
        &file.series,
        (Some(date(2027, 1, 1)), None),
        cutoffs,
        Method::Sine,
    );
    assert_eq!(beyond.total.days, 0);
}

#[test]
fn what_cannot_be_is_refused() {
    assert!(Cutoffs::new(celsius(10.0), Some(celsius(10.0))).is_none());
    let cutoffs = Cutoffs::new(celsius(10.0), None).expect("cut-offs");
    assert_eq!(of_day(celsius(9.0), celsius(8.0), cutoffs, Method::Sine), None);
}
