//! The warmth of the year, with days whose warmth is plain: 12 to 28 °C is ten degree-days above 10 °C by every method
//! (published among the rows of `reckon`'s tests), 0 to 8 °C none.

use std::fmt::Write as _;

use app::warmth::{Reached, Warmth, warmth};
use app::weather::{File, bring_in};
use jiff::ToSpan as _;
use jiff::civil::{Date, date};

use crate::fixture::Desk;

/// Cold days up to the one that is named of each year, warm ones from it to the end of August.
fn series(years: &[(i16, Date)], last: Date) -> String {
    let mut text = "date,tmin_c,tmax_c\n".to_owned();
    for (year, warm_from) in years {
        let days = date(*year, 1, 1).series(1.day());
        for day in days.take_while(|day| day.year() == *year && *day <= last) {
            let (low, high) = match day >= *warm_from && day.month() <= 8 {
                true => (12, 28),
                false => (0, 8),
            };
            writeln!(text, "{day},{low},{high}").expect("memory");
        }
    }
    text
}

fn desk(notes: &str, text: &str) -> Desk {
    let mut desk = Desk::new();
    desk.write("2024-03-01 yard orchard at 52.1 -2.4\n2024-03-01 yard meadow at -35.2 149.1");
    if !notes.is_empty() {
        desk.write(notes);
    }
    for yard in ["orchard", "meadow"] {
        let file = File {
            name: "weather.csv",
            bytes: text.as_bytes(),
            yard,
            station: None,
        };
        bring_in(&mut desk.office, &file, false, "", &mut desk.surroundings).expect("a good file");
    }
    desk
}

fn of(desk: &Desk, yard: &str, on: Date) -> Option<Warmth> {
    let reader = desk.office.reader(Some(on), date(2026, 11, 25));
    warmth(&reader, reader.holding().ground.yard_labels.get(yard)?)
}

const APRIL: Date = date(2026, 4, 20);

fn two_springs() -> String {
    series(
        &[(2025, date(2025, 4, 10)), (2026, date(2026, 4, 1))],
        date(2026, 4, 20),
    )
}

#[test]
fn a_season_stands_beside_the_one_before() {
    let warmth = of(&desk("", &two_springs()), "orchard", APRIL).expect("it is known");
    assert_eq!((warmth.since, warmth.until), (date(2026, 1, 1), APRIL));
    // Twenty warm days.
    assert!((warmth.sum.degree_days - 200.0).abs() < 1e-9, "{warmth:?}");
    let [before] = warmth.before.as_slice() else {
        panic!("{warmth:?}");
    };
    // Eleven of them, from the 10th to the 20th; the twentieth was the 29th.
    assert!((before.sum.degree_days - 110.0).abs() < 1e-9, "{before:?}");
    assert_eq!(before.as_warm, Some((date(2025, 4, 29), 9)));
}

#[test]
fn what_came_before_is_looked_for_at_the_same_warmth() {
    let notes = "2025-04-15 bloom plum begins in orchard
                 2025-04-17 bloom plum begins in orchard
                 2025-05-10 bloom bramble begins
                 2025-05-01 bloom hawthorn full in meadow
                 2026-04-18 bloom dandelion begins in orchard
                 2025-03-01 bloom hazel begins in orchard";
    let warmth = of(&desk(notes, &two_springs()), "orchard", APRIL).expect("it is known");
    let told: Vec<_> = warmth
        .marks
        .iter()
        .map(|mark| {
            (
                mark.what.as_str(),
                mark.now.map(|came| came.degree_days),
                mark.warm_enough,
            )
        })
        .collect();
    let reached = |from, ahead| {
        Some(Reached {
            from,
            to: from,
            ahead,
        })
    };
    assert_eq!(
        told,
        [
            // Six warm days: reached on the sixth of this April.
            ("plum begins", None, reached(date(2026, 4, 6), false)),
            ("dandelion begins", Some(Some(180.0)), None),
            // Thirty-one warm days; eleven days after it was as warm as now, so eleven days from now.
            ("bramble begins", None, reached(date(2026, 5, 1), true)),
        ],
        "the meadow's hawthorn is elsewhere, and a hazel before any warmth says nothing"
    );
    assert_eq!(warmth.marks[0].earlier.len(), 1, "the first of a season counts");
    assert_eq!(warmth.marks[0].earlier[0].day, date(2025, 4, 15));
}

#[test]
fn two_seasons_give_a_span() {
    let text = series(
        &[
            (2024, date(2024, 4, 10)),
            (2025, date(2025, 4, 10)),
            (2026, date(2026, 4, 1)),
        ],
        date(2026, 4, 20),
    );
    let notes = "2024-05-06 bloom bramble begins\n2025-05-10 bloom bramble begins";
    let warmth = of(&desk(notes, &text), "orchard", APRIL).expect("it is known");
    // 27 and 31 warm days, of which twenty have come.
    assert_eq!(
        warmth.marks[0].warm_enough,
        Some(Reached {
            from: date(2026, 4, 27),
            to: date(2026, 5, 1),
            ahead: true
        })
    );
    assert_eq!(warmth.before.len(), 2);
    assert_eq!(warmth.before[0].since, date(2025, 1, 1), "the last one first");
}

#[test]
fn colonies_are_among_what_comes() {
    let notes = "2024-03-02 hive alder in orchard bars 20
                 2024-03-03 start alder 8 bars drawn
                 2025-05-05 look alder bar 3 cells sealed 2
                 2025-05-06 swarm alder gone";
    let warmth = of(&desk(notes, &two_springs()), "orchard", APRIL).expect("it is known");
    let what: Vec<&str> = warmth.marks.iter().map(|mark| mark.what.as_str()).collect();
    assert_eq!(what, ["the first sealed queen cells", "the first swarm gone"]);
    let elsewhere = of(&desk(notes, &two_springs()), "meadow", APRIL).expect("it is known");
    assert!(elsewhere.marks.is_empty(), "{elsewhere:?}");
}

#[test]
fn the_south_counts_from_july() {
    let warmth = of(&desk("", &two_springs()), "meadow", APRIL).expect("it is known");
    assert_eq!(warmth.since, date(2025, 7, 1));
    // July and August of 2025, and this April.
    assert!(
        (warmth.sum.degree_days - (620.0 + 200.0)).abs() < 1e-9,
        "{warmth:?}"
    );
}

#[test]
fn a_year_with_many_days_wanting_is_not_compared() {
    // One day in five is gone.
    let lines: Vec<String> = two_springs().lines().map(str::to_owned).collect();
    let thinned: String = lines
        .iter()
        .enumerate()
        .filter(|(n, line)| !(line.starts_with("2025") && n % 5 == 0))
        .map(|(_, line)| format!("{line}\n"))
        .collect();
    let desk = desk("2025-05-10 bloom bramble begins", &thinned);
    let warmth = of(&desk, "orchard", APRIL).expect("it is known");
    assert_eq!(warmth.before[0].as_warm, None);
    assert!(warmth.before[0].sum.missing > 15);
    assert!(warmth.marks.is_empty(), "{:?}", warmth.marks);
}

#[test]
fn before_any_day_of_the_season_nothing_is_told() {
    let text = series(&[(2025, date(2025, 4, 10))], date(2025, 12, 31));
    let desk = desk("", &text);
    assert_eq!(of(&desk, "orchard", date(2026, 1, 1)), None);
    // On a past day the days behind it are not known yet.
    let warmth = of(&desk, "orchard", date(2025, 4, 12)).expect("it is known");
    assert_eq!(warmth.until, date(2025, 4, 12));
    assert!((warmth.sum.degree_days - 30.0).abs() < 1e-9);
}
