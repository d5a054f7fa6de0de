//! Daily weather: a file brought in once, laid over by later notes, cut at the day that is looked at.

use app::Writing;
use app::weather::{Brought, File, MOST_BYTES, NotBroughtIn, bring_in};
use jiff::civil::{Date, date};

use crate::fixture::Desk;

const SPRING: &str =
    "date,tmin_c,tmax_c,rain_mm\n2026-04-01,2.5,11,0\n2026-04-02,3,12.5,4.2\n2026-04-04,1,9,\n";

fn desk() -> Desk {
    let mut desk = Desk::new();
    desk.write("2026-03-01 yard orchard at 52.1 -2.4\n2026-03-01 yard meadow at 52.2 -2.4");
    desk
}

fn file<'a>(text: &'a str, yard: &'a str) -> File<'a> {
    File {
        name: "spring 2026.csv",
        bytes: text.as_bytes(),
        yard,
        station: None,
    }
}

fn bring(desk: &mut Desk, file: &File<'_>) -> Result<Brought, NotBroughtIn> {
    bring_in(&mut desk.office, file, false, "", &mut desk.surroundings)
}

/// Lowest and highest of a day as the books have it, on the day that is looked at.
fn known(desk: &Desk, yard: &str, day: Date, on: Option<Date>) -> Option<(f64, f64)> {
    let reader = desk.office.reader(on, date(2026, 11, 25));
    let weather = reader.weather_of(yard)?;
    let day = *weather.get(day)?;
    Some((day.low?.get(), day.high?.get()))
}

fn entries(desk: &mut Desk) -> usize {
    desk.office.library().books().entries().len()
}

#[test]
fn a_file_comes_in_as_one_note_and_one_attachment() {
    let mut desk = desk();
    let before = entries(&mut desk);
    let brought = bring(&mut desk, &file(SPRING, "orchard")).expect("a good file");
    let note = brought.note.expect("a note").text;
    assert!(
        note.starts_with("2026-04-04 weather orchard series \"spring 2026.csv\" digest \""),
        "{note}"
    );
    assert!(note.ends_with("from 2026-04-01 to 2026-04-04"), "{note}");
    assert_eq!(entries(&mut desk), before + 1);
    let farm = desk.office.farm();
    let kept = desk.office.store().attachments(farm).expect("memory");
    assert_eq!(kept.into_values().collect::<Vec<_>>(), [SPRING.len() as u64]);
    assert_eq!(known(&desk, "orchard", date(2026, 4, 2), None), Some((3.0, 12.5)));
    assert_eq!(known(&desk, "orchard", date(2026, 4, 3), None), None);
    assert_eq!(known(&desk, "meadow", date(2026, 4, 2), None), None);
    assert!(desk.complaints().is_empty());
}

#[test]
fn the_same_file_comes_in_once_for_a_yard() {
    let mut desk = desk();
    let first = bring(&mut desk, &file(SPRING, "orchard")).expect("a good file");
    let count = entries(&mut desk);
    let again = bring(&mut desk, &file(SPRING, "orchard")).expect("a known file");
    assert!(again.note.is_none());
    let before = again.before.expect("it was there");
    assert_eq!(before.handle, first.note.expect("a note").handle);
    assert_eq!(entries(&mut desk), count);
    // Under another name it is the same file; for another yard it says something new.
    let renamed = File {
        name: "copy.csv",
        ..file(SPRING, "orchard")
    };
    assert!(bring(&mut desk, &renamed).expect("a known file").before.is_some());
    assert!(
        bring(&mut desk, &file(SPRING, "meadow"))
            .expect("a good file")
            .note
            .is_some()
    );
    assert_eq!(entries(&mut desk), count + 1);
}

#[test]
fn a_dry_run_and_a_refusal_leave_nothing_behind() {
    let mut desk = desk();
    let count = entries(&mut desk);
    let dry = bring_in(
        &mut desk.office,
        &file(SPRING, "orchard"),
        true,
        "",
        &mut desk.surroundings,
    );
    assert!(dry.expect("a good file").note.is_some());
    assert!(matches!(
        bring(&mut desk, &file(SPRING, "orchad")),
        Err(NotBroughtIn::NoSuchYard { .. })
    ));
    let bad = SPRING.replace("12.5", "warm");
    match bring(&mut desk, &file(&bad, "orchard")) {
        Err(NotBroughtIn::Rows(faults)) => {
            let says = faults.to_string();
            assert!(says.contains("line 3, column tmax_c: \"warm\""), "{says}");
        }
        other => panic!("{other:?}"),
    }
    assert!(matches!(
        bring(&mut desk, &file("date,tmin_c,tmax_c\n2026-04-01,,\n", "orchard")),
        Err(NotBroughtIn::Nothing)
    ));
    assert_eq!(entries(&mut desk), count);
    let farm = desk.office.farm();
    assert!(desk.office.store().attachments(farm).expect("memory").is_empty());
}

#[test]
fn a_yard_of_any_words_cannot_slip_another_note_in() {
    let mut desk = desk();
    let count = entries(&mut desk);
    for yard in [
        "orchard low 3 C",
        "orchard\n2026-04-01 flow begins",
        "\"orchard",
        "",
        "  ",
        "orchard # x",
    ] {
        let told = bring(&mut desk, &file(SPRING, yard));
        assert!(
            matches!(told, Err(NotBroughtIn::NoSuchYard { .. })),
            "{yard:?}: {told:?}"
        );
    }
    assert_eq!(entries(&mut desk), count);
    for name in [
        "a\"b\n#c.csv",
        "../../etc/passwd",
        "\u{202e}gnp.csv",
        "",
        "…",
        &"x".repeat(5_000),
    ] {
        let other = format!("{SPRING}2026-04-05,1,{},\n", name.len() % 40 + 2);
        let told = bring_in(
            &mut desk.office,
            &File {
                name,
                ..file(&other, "meadow")
            },
            true,
            "",
            &mut desk.surroundings,
        );
        assert!(told.is_ok(), "{name:?}: {told:?}");
    }
}

#[test]
fn a_file_that_is_too_large_is_refused_unread() {
    let mut desk = desk();
    let huge = "x".repeat(MOST_BYTES + 1);
    let told = bring(&mut desk, &file(&huge, "orchard"));
    assert!(matches!(told, Err(NotBroughtIn::TooLarge { .. })), "{told:?}");
    // Forty years of days are no trouble.
    let mut years = "date,tmin_c,tmax_c\n".to_owned();
    let mut day = date(1986, 1, 1);
    while day < date(2026, 1, 1) {
        years.push_str(&format!("{day},-1.5,7.25\n"));
        day = day.tomorrow().expect("a day");
    }
    bring(&mut desk, &file(&years, "orchard")).expect("a long file");
    assert_eq!(
        known(&desk, "orchard", date(1999, 12, 31), None),
        Some((-1.5, 7.25))
    );
}

#[test]
fn what_a_later_note_says_replaces_what_an_earlier_one_said() {
    let mut desk = desk();
    bring(&mut desk, &file(SPRING, "orchard")).expect("a good file");
    desk.write("2026-04-03 weather orchard low 4 C high 10 C rain 3 mm");
    assert_eq!(known(&desk, "orchard", date(2026, 4, 3), None), Some((4.0, 10.0)));
    let mended = "date,tmin_c,tmax_c\n2026-04-02,2,12\n2026-04-05,3,13\n";
    bring(&mut desk, &file(mended, "orchard")).expect("a good file");
    assert_eq!(known(&desk, "orchard", date(2026, 4, 2), None), Some((2.0, 12.0)));
    assert_eq!(known(&desk, "orchard", date(2026, 4, 4), None), Some((1.0, 9.0)));
    // What is looked at as of an earlier day knows no later one, whenever the file was named.
    let then = Some(date(2026, 4, 2));
    assert_eq!(known(&desk, "orchard", date(2026, 4, 2), then), Some((2.0, 12.0)));
    assert_eq!(known(&desk, "orchard", date(2026, 4, 3), then), None);
}

#[test]
fn a_withdrawn_series_is_gone_and_a_lost_attachment_is_told() {
    let mut desk = desk();
    let note = bring(&mut desk, &file(SPRING, "orchard"))
        .expect("a good file")
        .note;
    let handle = note.expect("a note").handle;
    desk.write(&format!("withdraw {handle} because \"another valley\""));
    assert_eq!(known(&desk, "orchard", date(2026, 4, 2), None), None);
    let digest = "0".repeat(64);
    desk.write(&format!(
        "2026-05-01 weather orchard series \"lost.csv\" digest \"{digest}\"\n2026-05-02 weather orchard series \"paper\""
    ));
    let reader = desk.office.reader(None, date(2026, 11, 25));
    let yard = reader
        .holding()
        .ground
        .yard_labels
        .get("orchard")
        .expect("the yard");
    let told = reader.weather_told(yard);
    assert_eq!(told.parts.len(), 2);
    let says = |at: usize| {
        told.parts[at]
            .series
            .clone()
            .expect("a series")
            .expect_err("it is lost")
    };
    assert!(says(0).contains("not in these books"), "{}", says(0));
    assert!(says(1).contains("without its digest"), "{}", says(1));
}

#[test]
fn weather_that_cannot_be_is_refused_at_the_desk() {
    let mut desk = desk();
    for (line, why) in [
        (
            "2026-04-01 weather orchard low 12 C high 3 C",
            "not above its highest",
        ),
        (
            "2026-04-01 weather orchard series \"a\" digest \"12\"",
            "64 hexadecimal",
        ),
        (
            "2026-04-01 weather orchard series \"a\" from 2026-04-01 to 2026-03-01",
            "not end before",
        ),
    ] {
        assert!(desk.refused(line).contains(why), "{line}");
    }
    desk.write("2026-04-01 weather orchard low 37 F high 3 C");
}

#[test]
fn whole_books_brought_into_others_tell_of_the_attachment_that_stayed_behind() {
    let mut desk = desk();
    bring(&mut desk, &file(SPRING, "orchard")).expect("a good file");
    let lines = desk.office.as_lines();
    let lines: Vec<&str> = lines.iter().map(String::as_str).collect();
    let mut other = Desk::new();
    let writing = Writing {
        brought_in: true,
        ..Writing::default()
    };
    let outcome = other.office.write(&lines, &writing, &mut other.surroundings);
    assert!(outcome.expect("memory").refused.is_empty());
    assert_eq!(known(&other, "orchard", date(2026, 4, 2), None), None);
    // The file itself mends it: its note is there, by its words, and the attachment is put beside it.
    bring(&mut other, &file(SPRING, "orchard")).expect("a good file");
    assert_eq!(
        known(&other, "orchard", date(2026, 4, 2), None),
        Some((3.0, 12.5))
    );
}
