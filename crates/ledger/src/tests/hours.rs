use super::desk::{Desk, books_of, check};
use crate::{Act, Digest, effective_hours};

/// The windows of the notes, as the entries were written.
fn windows(desk: &Desk) -> String {
    let books = books_of(&desk.written);
    let hours = effective_hours(&books);
    let clock = |minutes: u16| format!("{:02}:{:02}", minutes / 60, minutes % 60);
    let each = (0..books.entries().len()).map(|place| {
        let window = hours.window(place);
        if window.from == window.to {
            clock(window.from)
        } else {
            clock(window.from) + "–" + &clock(window.to)
        }
    });
    each.collect::<Vec<_>>().join(" ")
}

fn note(desk: &mut Desk, time: &str) -> Digest {
    let words = desk.written.len().to_string();
    desk.write("phone", Act::Note, time, &words)
}

#[test]
fn a_note_without_an_hour_takes_the_last_one_of_its_day() {
    let mut desk = Desk::default();
    for time in [
        "2026-07-19",
        "2026-07-19 14:20",
        "2026-07-19",
        "2026-07-19 18:05",
        "2026-07-19",
        "2026-07-20",
    ] {
        note(&mut desk, time);
    }
    assert_eq!(
        windows(&desk),
        "00:00–14:20 14:20 14:20–18:05 18:05 18:05–24:00 00:00–24:00"
    );
    check(&desk, "0 1 2 3 4 5");
}

#[test]
fn notes_of_another_day_in_between_change_nothing() {
    let mut desk = Desk::default();
    for time in ["2026-07-19 14:20", "2026-07-12 09:00", "2026-07-19", "2026-07-12"] {
        note(&mut desk, time);
    }
    assert_eq!(windows(&desk), "14:20 09:00 14:20–24:00 09:00–24:00");
    check(&desk, "1 3 0 2");
}

#[test]
fn an_hour_that_goes_back_does_not_turn_the_window_round() {
    let mut desk = Desk::default();
    for time in ["2026-07-19 14:20", "2026-07-19", "2026-07-19 09:00", "2026-07-19"] {
        note(&mut desk, time);
    }
    assert_eq!(windows(&desk), "14:20 14:20–24:00 09:00 09:00–24:00");
}

#[test]
fn a_correction_takes_its_hour_from_what_it_corrects() {
    let mut desk = Desk::default();
    let first = note(&mut desk, "2026-07-19 14:20");
    note(&mut desk, "2026-07-19 18:05");
    let second = desk.correct("phone", first, "A");
    desk.write("phone", Act::Correct { of: second }, "2026-07-18", "B");
    desk.write("phone", Act::Correct { of: second }, "2026-07-19 15:00", "C");
    assert_eq!(windows(&desk), "14:20 18:05 14:20 00:00–24:00 15:00");
    note(&mut desk, "2026-07-19");
    assert!(
        windows(&desk).ends_with("15:00 18:05–24:00"),
        "corrections give no hour to others"
    );
}

#[test]
fn devices_do_not_lend_each_other_hours() {
    let mut desk = Desk::default();
    note(&mut desk, "2026-07-19 14:20");
    desk.meet("phone", "laptop");
    desk.note("laptop", "x");
    assert_eq!(windows(&desk), "14:20 00:00–24:00");
}

#[test]
fn each_branch_of_a_fork_goes_by_its_own_hours() {
    let mut desk = Desk::default();
    note(&mut desk, "2026-07-19 08:00");
    note(&mut desk, "2026-07-19");
    let backup = desk.backup("phone");
    note(&mut desk, "2026-07-19 10:00");
    note(&mut desk, "2026-07-19");
    desk.restore("phone", backup);
    note(&mut desk, "2026-07-19");
    note(&mut desk, "2026-07-19 12:00");
    assert_eq!(
        windows(&desk),
        "08:00 08:00–12:00 10:00 10:00–24:00 08:00–12:00 12:00"
    );
}
