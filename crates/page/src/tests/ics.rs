//! iCalendar is read back by a library that had no part in writing it, and held against RFC 5545.

use calcard::icalendar::{ICalendar, ICalendarComponentType, ICalendarProperty, ICalendarValue};
use calcard::{Entry, Parser};
use jiff::civil::{Date, date};

use crate::ics::{Calendar, Event, calendar};

fn event(title: &str, says: &str) -> Event {
    Event {
        uid: "0195-alder-emerges@combwright".to_owned(),
        from: date(2026, 5, 21),
        to: date(2026, 5, 26),
        title: title.to_owned(),
        says: says.to_owned(),
        sort: "know",
        written_ms: 1_778_421_600_123,
        corrected: 2,
    }
}

fn written(events: Vec<Event>) -> String {
    calendar(&Calendar {
        name: "Holm End, bees; \"all\"".to_owned(),
        events,
    })
}

/// Reads what was written. The reader's strict mode refuses every component in this version, so that what the standard
/// requires of lines is checked by itself below.
#[track_caller]
fn read(text: &str) -> ICalendar {
    let mut parser = Parser::new(text);
    let entry = parser.entry();
    let Entry::ICalendar(read) = entry else {
        panic!("it cannot be read: {entry:?}\n{text}");
    };
    assert!(matches!(parser.entry(), Entry::Eof), "something follows");
    read
}

fn texts(read: &ICalendar, of: &ICalendarComponentType, name: &ICalendarProperty) -> Vec<String> {
    let components = read
        .components
        .iter()
        .filter(|component| component.component_type == *of);
    let entries =
        components.flat_map(|component| component.entries.iter().filter(|entry| entry.name == *name));
    let text = |value: &ICalendarValue| match value {
        ICalendarValue::Text(text) => Some(text.clone()),
        _ => None,
    };
    entries
        .flat_map(|entry| entry.values.iter().filter_map(text))
        .collect()
}

const HOSTILE: &[&str] = &[
    "alder: the new queen emerges",
    "commas, semicolons; colons: and \\ backslashes \\n, \\, ends\\",
    "two\nlines, and \"quotes\"",
    "END:VEVENT\r\nBEGIN:VALARM\r\nTRIGGER:-PT1H",
    "Äpfel und Bäume, größer als fünfundsiebzig Oktette, damit die Zeile zwischen zwei Oktetten eines Buchstabens geteilt würde",
    "蜜蜂蜜蜂蜜蜂蜜蜂蜜蜂蜜蜂蜜蜂蜜蜂蜜蜂蜜蜂蜜蜂蜜蜂蜜蜂蜜蜂蜜蜂蜜蜂蜜蜂蜜蜂蜜蜂",
    "spaces                                                                                   in a row",
    "a null \0 and a bell \u{7}",
];

#[test]
fn every_text_comes_back_as_it_was() {
    for text in HOSTILE {
        let read = read(&written(vec![event(text, text)]));
        let kept: String = text
            .chars()
            .filter(|letter| *letter == '\n' || !letter.is_control())
            .collect();
        for name in [ICalendarProperty::Summary, ICalendarProperty::Description] {
            assert_eq!(
                texts(&read, &ICalendarComponentType::VEvent, &name),
                [kept.as_str()]
            );
        }
        let events = read
            .components
            .iter()
            .filter(|component| component.component_type == ICalendarComponentType::VEvent);
        assert_eq!((events.count(), read.components.len()), (1, 2), "{text}");
        let name = texts(
            &read,
            &ICalendarComponentType::VCalendar,
            &ICalendarProperty::Name,
        );
        assert_eq!(name, ["Holm End, bees; \"all\""]);
    }
}

#[test]
fn lines_end_and_fold_as_the_standard_has_it() {
    let text = written(HOSTILE.iter().map(|text| event(text, text)).collect());
    assert!(text.ends_with("END:VCALENDAR\r\n"));
    assert!(
        !text.replace("\r\n", "").contains(['\r', '\n']),
        "a bare end of line"
    );
    for line in text.split_terminator("\r\n") {
        assert!(
            !line.is_empty() && line.len() <= 75,
            "{} octets: {line}",
            line.len()
        );
    }
}

#[test]
fn what_the_standard_requires_stands_once() {
    let text = written(vec![event("a", "b")]).replace("\r\n ", "");
    let lines: Vec<&str> = text.split_terminator("\r\n").collect();
    assert_eq!((lines[0], lines[1]), ("BEGIN:VCALENDAR", "VERSION:2.0"));
    for line in [
        "CALSCALE:GREGORIAN",
        "METHOD:PUBLISH",
        "REFRESH-INTERVAL;VALUE=DURATION:PT6H",
        "X-WR-CALNAME:Holm End\\, bees\\; \"all\"",
        "BEGIN:VEVENT",
        "UID:0195-alder-emerges@combwright",
        "DTSTAMP:20260510T140000Z",
        "DTSTART;VALUE=DATE:20260521",
        "DTEND;VALUE=DATE:20260527",
        "SEQUENCE:2",
        "TRANSP:TRANSPARENT",
        "END:VEVENT",
    ] {
        assert_eq!(
            lines.iter().filter(|other| **other == line).count(),
            1,
            "{line}\n{text}"
        );
    }
    assert!(lines.iter().any(|line| line.starts_with("PRODID:-//")));
}

#[test]
fn the_same_events_give_the_same_bytes() {
    let events = || vec![event("a", "b"), event("c", "d")];
    assert_eq!(written(events()), written(events()));
}

#[test]
fn an_empty_calendar_can_be_read_and_the_last_of_all_days_leaves_an_event_out() {
    let empty = read(&written(Vec::new()));
    // A zone stands in it, since one component has to.
    let zones = empty
        .components
        .iter()
        .filter(|component| component.component_type == ICalendarComponentType::VTimezone);
    assert_eq!(zones.count(), 1);
    let last = Event {
        to: Date::MAX,
        ..event("a", "b")
    };
    assert_eq!(written(vec![last]), written(Vec::new()));
}
