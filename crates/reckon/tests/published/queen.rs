//! The calendar of queens, row by row.

use jiff::ToSpan as _;
use jiff::civil::{Date, date};
use reckon::queen::{Event, Window, windows};

use crate::rows;

const DAY: Date = date(2026, 5, 10);

fn event(name: &str) -> Event {
    let named = Event::ALL.into_iter().find(|event| event.name() == name);
    named.unwrap_or_else(|| panic!("{name} is no event"))
}

fn window(event: Event, what: &str) -> Window {
    let found = windows(event, DAY)
        .into_iter()
        .find(|window| window.what.starts_with(what));
    found.unwrap_or_else(|| panic!("{what} is no window of {}", event.name()))
}

fn after(days: &str) -> Date {
    let days: i32 = days.parse().expect("a number of days");
    DAY.checked_add(days.days()).expect("a day")
}

#[test]
fn the_windows_agree_with_every_row() {
    for row in rows(include_str!("queen/calendar.csv")) {
        let found = window(event(row[0]), row[1]);
        assert_eq!((found.from, found.to), (after(row[2]), after(row[5])), "{row:?}");
        let usual = (!row[3].is_empty()).then(|| (after(row[3]), after(row[4])));
        assert_eq!(found.usual, usual, "{row:?}");
        assert_eq!(found.source.id, row[6], "{row:?}");
    }
}

/// Sealed 7.5 to 9 days after the egg and emerging after 15.5 to 17: what is told of a sealed cell fits what is
/// told of an egg. Harden counts egg 0, graft 4, sealed 9, emerging 16.
#[test]
fn calendars_from_different_events_meet() {
    let days = |from: Date, to: Date| from.duration_until(to).as_hours() / 24;
    let sealed = window(Event::Egg, "a queen cell is sealed");
    let emerges = window(Event::Egg, "a queen emerges");
    let from_cell = window(Event::CellCapped, "the new queen emerges");
    assert!(days(sealed.to, emerges.from) <= days(DAY, from_cell.usual.expect("usual days").0));
    assert!(days(sealed.from, emerges.to) >= days(DAY, from_cell.usual.expect("usual days").1));
    let graft = window(Event::Graft, "the queens emerge")
        .usual
        .expect("usual days")
        .0;
    assert_eq!(days(DAY, graft) + 4, 16);
    assert_eq!(
        days(DAY, window(Event::Graft, "the queen cells are sealed").from) + 4,
        9
    );
    let split = window(Event::Split, "the new queen emerges")
        .usual
        .expect("usual days");
    assert_eq!((days(DAY, split.0), days(DAY, split.1)), (16 - 4, 16 - 3));
}

/// mudsongs.org, a kept diary in days from the egg: sealed cells seen on day 13, torn ones on day 20, laying by
/// about day 28, brood seen on day 33. A split begins on eggs of 3 to 4 days.
#[test]
fn a_kept_diary_lies_within_the_windows() {
    let on = |day_from_egg: i32, age: i32| after(&(day_from_egg - age).to_string());
    for age in [3, 4] {
        assert!(window(Event::Split, "the queen cells are sealed").from <= on(13, age));
        assert!(window(Event::Split, "the new queen emerges").from <= on(16, age));
        assert!(on(16, age) <= window(Event::Split, "the new queen emerges").to);
        let lays = window(Event::Split, "the new queen begins to lay");
        assert!(lays.from <= on(28, age) && on(28, age) <= lays.to);
        assert!(on(33, age) <= window(Event::Split, "without eggs").from);
    }
}

#[test]
fn windows_are_in_order_and_none_goes_backwards() {
    for event in Event::ALL {
        let windows = windows(event, DAY);
        assert!(windows.is_sorted_by_key(|window| window.from), "{}", event.name());
        for window in windows {
            let (first, last) = window.usual.unwrap_or((window.from, window.to));
            assert!(
                window.from <= first && first <= last && last <= window.to,
                "{window:?}"
            );
            assert!(!window.basis.is_empty(), "{window:?}");
        }
        // At the end of all calendars there is nothing to tell, and nothing breaks.
        assert!(windows_at_the_ends(event));
    }
}

fn windows_at_the_ends(event: Event) -> bool {
    [Date::MIN, Date::MAX]
        .into_iter()
        .all(|day| windows(event, day).iter().all(|window| window.from <= window.to))
}
