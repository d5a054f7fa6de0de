//! A calendar as iCalendar (RFC 5545), for whatever phone or program subscribes to it.
//!
//! Holds true: the same events give the same bytes; lines end in CRLF and have at most 75 octets; every event lasts
//! whole days, and keeps its id from one making to the next.
//!
//! Does not: know why an event is there, or today.

use icalendar::{Calendar as Written, Component as _, Event as WrittenEvent, Property};
use jiff::civil::Date;
use jiff::{Timestamp, ToSpan as _};

/// What is told of one stretch of days.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Event {
    /// What it is known by: the same whenever the calendar is made again.
    pub uid: String,
    /// The first day.
    pub from: Date,
    /// The last day, itself included.
    pub to: Date,
    /// What it is, in one line.
    pub title: String,
    /// More about it.
    pub says: String,
    /// A word or two by which programs may sort.
    pub sort: &'static str,
    /// When what it stands on was written, in milliseconds since 1970.
    pub written_ms: i64,
    /// How often that was corrected.
    pub corrected: u32,
}

/// Events under a name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Calendar {
    /// Its name.
    pub name: String,
    /// The events.
    pub events: Vec<Event>,
}

/// How soon a subscriber is asked to look again.
const LOOK_AGAIN: &str = "PT6H";

/// The calendar as text, ready to be sent or kept.
///
/// An event that ends on the last day of all calendars cannot say when it is over, and is left out.
pub fn calendar(calendar: &Calendar) -> String {
    let mut written = Written::empty();
    for (key, value) in [
        ("VERSION", "2.0"),
        ("PRODID", "-//Combwright//Calendar of queens and swarms//EN"),
        ("CALSCALE", "GREGORIAN"),
        ("METHOD", "PUBLISH"),
    ] {
        written.append_property(Property::new(key, value));
    }
    // RFC 7986 has a name and an interval; what came before it is read by more programs.
    let name = icalendar_text(&calendar.name);
    written.append_property(Property::new("NAME", name.as_str()));
    written.append_property(Property::new("X-WR-CALNAME", plain(&calendar.name)));
    written.append_property(
        Property::new("REFRESH-INTERVAL", LOOK_AGAIN)
            .add_parameter("VALUE", "DURATION")
            .done(),
    );
    written.append_property(Property::new("X-PUBLISHED-TTL", LOOK_AGAIN));
    let mut is_empty = true;
    for event in calendar.events.iter().filter_map(written_event) {
        written.push(event);
        is_empty = false;
    }
    let text = written.to_string();
    if is_empty {
        // RFC 5545 wants one component at least (section 3.6), and programs refuse a file without; this one shows nothing.
        text.replacen("END:VCALENDAR", &format!("{UTC}END:VCALENDAR"), 1)
    } else {
        text
    }
}

/// The zone of all time stamps above, as a component.
const UTC: &str = "BEGIN:VTIMEZONE\r\nTZID:UTC\r\nBEGIN:STANDARD\r\nDTSTART:19700101T000000\r\nTZOFFSETFROM:+0000\r\nTZOFFSETTO:+0000\r\nEND:STANDARD\r\nEND:VTIMEZONE\r\n";

fn written_event(event: &Event) -> Option<WrittenEvent> {
    let over = event.to.checked_add(1.day()).ok()?;
    let stamp = Timestamp::from_millisecond(event.written_ms).unwrap_or(Timestamp::UNIX_EPOCH);
    let stamp = stamp.strftime("%Y%m%dT%H%M%SZ").to_string();
    let day = |key: &str, day: Date| {
        Property::new(key, day.strftime("%Y%m%d").to_string())
            .add_parameter("VALUE", "DATE")
            .done()
    };
    let mut written = WrittenEvent::new();
    written
        .uid(&event.uid)
        .append_property(day("DTSTART", event.from))
        .append_property(day("DTEND", over))
        .add_property("DTSTAMP", stamp.as_str())
        .add_property("LAST-MODIFIED", stamp.as_str())
        .add_property("SEQUENCE", event.corrected.to_string())
        .add_property("SUMMARY", plain(&event.title))
        .add_property("DESCRIPTION", plain(&event.says))
        .add_property("CATEGORIES", event.sort)
        // Windows of weeks would otherwise show the keeper as busy.
        .add_property("TRANSP", "TRANSPARENT");
    Some(written.done())
}

/// Text without the characters that RFC 5545 does not allow in one.
fn plain(text: &str) -> String {
    text.chars()
        .filter(|letter| matches!(letter, '\n' | '\t') || !letter.is_control())
        .collect()
}

/// Text as RFC 5545 has it, for a property of which the library does not know that it is text.
fn icalendar_text(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '\\' | ';' | ',' => out.extend(['\\', letter]),
            '\n' => out.push_str("\\n"),
            letter if letter.is_control() => {}
            letter => out.push(letter),
        }
    }
    out
}
