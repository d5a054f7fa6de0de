//! The calendar: what follows from splits, cells, swarms and lost queens, within which days.
//!
//! Holds true: each window names the note it follows from and the publication of its days; what is not sure to come
//! says on what it depends; weather is told where it is known, and where it is not.
//!
//! Start at [`calendar`]; the windows come from [`apiary::colony::calendar`], and [`feed`] gives them to phones.

use std::collections::BTreeMap;

use apiary::arena::HiveId;
use apiary::colony::calendar::{self, Asks, Dated, Ended};
use apiary::colony::{baits, round};
use jiff::ToSpan as _;
use jiff::civil::Date;
use page::{Block, Column, Page, Table, Words, ics};
use reckon::sources::FROM_MEMORY;

use super::meaning::by;
use super::warmth::warmth_blocks;
use super::{Part, handle, hive_link, sentence, to_write};
use crate::reader::Reader;

/// Checks that have passed without a note are asked for so long.
const OVERDUE: i32 = 60;

/// What a later note has closed is told for so long.
const CLOSED_WITHIN: i32 = 30;

/// What begins within so many days is told on the round of the day.
const SOON: i32 = 7;

/// So many dates are told on the round before it leads to the others.
const MOST_SOON: usize = 12;

/// So many hives with all their dates make a part of the page.
const HIVES_A_PART: usize = 8;

/// Queens fly to mate in warmth; below this day's high it is told that they seldom do, in °C (from memory).
const MATING_HIGH: f64 = 20.0;

/// All windows of all colonies, or of one hive.
pub fn calendar(reader: &Reader<'_>, part: Part) -> Page {
    let windows = calendar::windows(reader.holding(), reader.day());
    let mut page = Page::new("Calendar").with([Block::text(INTRO)]);
    page.blocks.extend(days_told(reader, &windows));
    let hives = by_hive(&windows);
    if !hives.is_empty() {
        let part = part.at_most(HIVES_A_PART);
        let range = part.range(hives.len());
        let mut told: Vec<Block> = hives[range]
            .iter()
            .map(|(hive, windows)| Block::section(*hive, happenings(reader, windows)))
            .collect();
        let to = |number| reader.link(&format!("/calendar?part={number}"));
        told.extend(part.pager(hives.len(), to).map(super::other_parts));
        page.blocks.push(Block::section("Hive by hive", told));
    }
    page.blocks.extend(closed(reader, None));
    page.blocks.extend(warmth_blocks(reader));
    page.blocks.push(Block::section("On a phone", on_a_phone()));
    page.with([to_write(&[
        ("Queen cells", "/write/queen-cells".to_owned()),
        ("Combs split off", "/write/split".to_owned()),
        ("The queen", "/write/queen".to_owned()),
        ("A swarm gone from a colony", "/write/swarm?form=2".to_owned()),
    ])])
}

const INTRO: &str = "What follows from the notes, within the days that sources tell: the first and the last of them, and the usual ones where a source tells those. Bees are earlier in warmth and later in cold, so no window is a promise. A note of eggs, of a queen laying or of cells cut closes what it settles.";

fn on_a_phone() -> Vec<Block> {
    vec![
        Block::text(
            Words::new("The same dates as a calendar file: ")
                .link("everything", "/calendar.ics")
                .plain(", or ")
                .link("only what asks something of you", "/calendar.ics?asked=1")
                .plain(". A calendar program on this machine can subscribe to either address, and asks again every few hours."),
        ),
        Block::text(
            Words::new("A phone has no key for these pages in its calendar, so it gets a secret address of its own: ")
                .link("addresses for phones", "/calendar/phones")
                .plain("."),
        ),
    ]
}

/// What follows from the notes, for the terminal, or for the page of a hive.
pub fn calendar_blocks(reader: &Reader<'_>, hive: Option<HiveId>) -> Vec<Block> {
    let h = reader.holding();
    let Some(id) = hive else {
        let windows = calendar::windows(h, reader.day());
        let mut blocks = days_told(reader, &windows);
        let hives = by_hive(&windows);
        let told = hives
            .iter()
            .map(|(hive, windows)| Block::section(*hive, happenings(reader, windows)));
        blocks.extend(told);
        blocks.extend(closed(reader, None));
        blocks.extend(warmth_blocks(reader));
        return blocks;
    };
    if h.hives[id].is_store() || h.living_in(id).next().is_none() {
        return Vec::new();
    }
    let windows = calendar::windows_in(h, id, reader.day());
    let all: Vec<&Dated> = windows.iter().collect();
    let mut blocks = if all.is_empty() {
        vec![Block::text(
            "No split, sealed cell, swarm or lost queen is open in the notes, so no dates follow.",
        )]
    } else {
        happenings(reader, &all)
    };
    blocks.extend(closed(reader, Some(h.hives[id].label.as_str())));
    vec![Block::section("Dates", blocks)]
}

/// What holds on this day, what comes, and what has passed without its note.
fn days_told(reader: &Reader<'_>, windows: &[Dated]) -> Vec<Block> {
    let day = reader.day();
    let asked = || windows.iter().filter(|window| window.asks != Asks::Know);
    let now: Vec<Words> = asked()
        .filter(|window| window.holds(day))
        .map(|window| line(reader, window))
        .collect();
    let ahead: Vec<Words> = asked()
        .filter(|window| window.from > day)
        .map(|window| line(reader, window))
        .collect();
    let passed: Vec<Words> = asked()
        .filter(|window| is_overdue(window, day))
        .map(|window| line(reader, window))
        .collect();
    let mut blocks = Vec::new();
    for (heading, lines) in [
        ("Passed, and no note settles it", passed),
        ("On this day", now),
        ("Ahead", ahead),
    ] {
        if !lines.is_empty() {
            blocks.push(Block::section(heading, [Block::List(lines)]));
        }
    }
    if blocks.is_empty() {
        blocks.push(Block::text(
            "Nothing is to be done, looked for or left alone on this day or after it, as far as the notes tell.",
        ));
    }
    blocks
}

fn is_overdue(window: &Dated, day: Date) -> bool {
    window.asks == Asks::Look && window.to < day && (day - window.to).get_days() <= OVERDUE
}

/// The days of a window: one, or from and to.
fn span(from: Date, to: Date) -> String {
    if from == to {
        from.to_string()
    } else {
        format!("{from} to {to}")
    }
}

/// A window in a line: when, where, what, and why.
fn line(reader: &Reader<'_>, window: &Dated) -> Words {
    let named = if window.name == window.hive {
        String::new()
    } else {
        format!(" ({})", window.name)
    };
    let usual = window
        .usual
        .map_or_else(String::new, |(from, to)| format!(", usually {}", span(from, to)));
    let only_if = window
        .only_if
        .map_or_else(String::new, |only_if| format!(", {only_if}"));
    Words::default()
        .strong(span(window.from, window.to))
        .plain(usual + ": ")
        .and(hive_link(reader, &window.hive))
        .plain(format!("{named}, {}{only_if} (", window.what))
        .plain(format!("{} on {}: ", window.after.says(), window.since))
        .and(handle(reader, window.because))
        .plain("; ")
        .and(by(reader, window.source))
        .plain(").")
}

/// Windows by the hive, in the order of the first of each.
fn by_hive(windows: &[Dated]) -> Vec<(&str, Vec<&Dated>)> {
    let mut hives: Vec<(&str, Vec<&Dated>)> = Vec::new();
    let mut places: BTreeMap<&str, usize> = BTreeMap::new();
    for window in windows {
        let at = *places.entry(&window.hive).or_insert_with(|| {
            hives.push((&window.hive, Vec::new()));
            hives.len() - 1
        });
        hives[at].1.push(window);
    }
    hives
}

/// The windows of a hive, a table for each happening.
fn happenings(reader: &Reader<'_>, windows: &[&Dated]) -> Vec<Block> {
    let mut events: Vec<(usize, u32, Vec<&Dated>)> = Vec::new();
    for window in windows {
        let same = |(because, kind, _): &&mut (usize, u32, Vec<&Dated>)| {
            *because == window.because && *kind == window.after as u32
        };
        match events.iter_mut().find(same) {
            Some((.., told)) => told.push(window),
            None => events.push((window.because, window.after as u32, vec![window])),
        }
    }
    events.sort_by_key(|(because, _, told)| (told[0].since, *because));
    events
        .iter()
        .flat_map(|(because, _, told)| happening(reader, *because, told))
        .collect()
}

fn happening(reader: &Reader<'_>, because: usize, windows: &[&Dated]) -> Vec<Block> {
    let first = windows[0];
    let named = if first.name == first.hive {
        String::new()
    } else {
        format!("{}: ", first.name)
    };
    let says = sentence(first.after.says());
    let mut intro = Words::new(format!(
        "{named}{} on {} (",
        says.trim_end_matches('.'),
        first.since
    ))
    .and(handle(reader, because))
    .plain(").");
    if windows.iter().all(|window| window.only_if == first.only_if)
        && let Some(only_if) = first.only_if
    {
        intro = intro.plain(format!(" All of it {only_if}."));
    }
    let day = reader.day();
    let columns = ["What", "Days", "Usually", "Source"].map(Column::words);
    let caption = format!("{}: {} on {}", first.name, first.after.says(), first.since);
    let table = Table::new(caption, columns.to_vec(), "").with(windows.iter().map(|window| {
        let what = Words::new(window.what);
        let what = match (window.only_if, window.holds(day)) {
            (_, true) => what.plain(" – ").strong("on this day"),
            _ => what,
        };
        vec![
            what,
            Words::new(span(window.from, window.to)),
            Words::new(window.usual.map_or_else(String::new, |(from, to)| span(from, to))),
            by(reader, window.source).plain(format!(": {}", window.basis)),
        ]
    }));
    let mut blocks = vec![Block::Text(intro), Block::Table(table)];
    let apart: Vec<&Dated> = windows
        .iter()
        .filter(|window| window.only_if.is_some() && window.only_if != first.only_if)
        .copied()
        .collect();
    if let Some(only_if) = apart.first().and_then(|window| window.only_if) {
        let whats: Vec<String> = apart.iter().map(|window| window.what.to_owned()).collect();
        blocks.push(Block::text(sentence(&format!(
            "{} {only_if}: {}",
            "only",
            super::meaning::listed(&whats)
        ))));
    }
    let weather = windows.iter().filter_map(|window| mating_weather(reader, window));
    blocks.extend(weather.map(Block::Text));
    blocks.extend(beyond(reader, windows).map(Block::Text));
    blocks
}

/// What the weather was on the days of mating, as far as it is known.
fn mating_weather(reader: &Reader<'_>, window: &Dated) -> Option<Words> {
    if !window.what.contains("flies to mate") || window.from > reader.day() {
        return None;
    }
    let h = reader.holding();
    let yard = h.hives[h.colonies[window.colony].hive].yard?;
    let series = reader.weather(yard);
    let days = window.from.series(1.day()).take_while(|day| *day <= window.to);
    let highs: Vec<Option<f64>> = days
        .map(|day| {
            let weather = series.as_ref()?.get(day)?;
            weather.high.map(quantity::Celsius::get)
        })
        .collect();
    let known: Vec<f64> = highs.iter().copied().flatten().collect();
    let label = &h.ground.yards[yard].label;
    if known.is_empty() {
        return Some(Words::new(format!(
            "No weather of {label} is in these books for the days of mating, so the days above are those of a usual season.",
        )));
    }
    let warm = known.iter().filter(|high| **high >= MATING_HIGH).count();
    let (low, high) = known.iter().fold((f64::MAX, f64::MIN), |(low, high), known| {
        (low.min(*known), high.max(*known))
    });
    let rest = highs.len() - known.len();
    let mut words = Words::new(format!(
        "Weather of {label} on the days of mating: known for {} of {} days, with highs of {low:.0} to {high:.0} °C; {warm} reached {MATING_HIGH:.0} °C, below which queens seldom fly (",
        known.len(),
        highs.len(),
    ))
    .and(by(reader, &FROM_MEMORY))
    .plain(").");
    if rest > 0 {
        words = words.plain(format!(" Of the other {rest} nothing is known."));
    }
    if warm == 0 {
        words = words.plain(
            " Where no day was warm enough she may mate and lay later than the last days told above; how much later, no source here tells.",
        );
    }
    Some(words)
}

/// Windows outside the warm half of the year, for which their days were told.
fn beyond(reader: &Reader<'_>, windows: &[&Dated]) -> Option<Words> {
    let h = reader.holding();
    let yard = h.hives[h.colonies[windows[0].colony].hive].yard;
    let southern = yard.is_some_and(|yard| h.diary.southern.contains(&yard));
    let cold = |window: &&&Dated| !round::spacing(window.to, southern).opens;
    windows.iter().any(|window| cold(&window)).then(|| {
        Words::new(
            "Some of these days lie in the cold half of the year, and sources tell of the warm one: there the days are carried further than anybody counted. A queen who emerges then may find no drones and no day to fly.",
        )
    })
}

fn closed(reader: &Reader<'_>, hive: Option<&str>) -> Option<Block> {
    let since = reader.day().checked_sub(CLOSED_WITHIN.days()).ok()?;
    let ended = calendar::ended_since(reader.holding(), since);
    let told: Vec<Words> = ended
        .iter()
        .filter(|ended| hive.is_none_or(|hive| ended.hive == hive))
        .map(|ended| ended_words(reader, ended, hive.is_none()))
        .collect();
    (!told.is_empty()).then(|| {
        Block::section(
            format!("Settled in the last {CLOSED_WITHIN} days"),
            [Block::List(told)],
        )
    })
}

fn ended_words(reader: &Reader<'_>, ended: &Ended, with_hive: bool) -> Words {
    let before = if with_hive {
        hive_link(reader, &ended.hive).plain(": ")
    } else {
        Words::default()
    };
    before
        .plain(format!("{} on {} (", ended.what.says(), ended.day))
        .and(handle(reader, ended.entry))
        .plain(format!(
            "), settled by {} on {} (",
            ended.closed.because, ended.closed.day
        ))
        .and(handle(reader, ended.closed.entry))
        .plain(").")
}

/// What falls on this day or soon, for the round of the day.
pub(crate) fn soon(reader: &Reader<'_>) -> Vec<Block> {
    let day = reader.day();
    let h = reader.holding();
    let mut lines: Vec<(Date, Words)> = Vec::new();
    for window in calendar::windows(h, reader.day()) {
        let is_soon = window.holds(day) || (window.from > day && (window.from - day).get_days() <= SOON);
        if window.asks != Asks::Know && (is_soon || is_overdue(&window, day)) {
            lines.push((window.from, line(reader, &window)));
        }
    }
    for (by, bait) in baits::to_look_into(h, day) {
        if (by - day).get_days() <= SOON {
            let words = Words::default()
                .strong(by.to_string())
                .plain(if by < day {
                    " (passed): bait box "
                } else {
                    ": bait box "
                })
                .link(bait.place.clone(), reader.link("/swarms"))
                .plain(", look into it by then.");
            lines.push((by, words));
        }
    }
    for call in baits::calls_open(h, day) {
        let words = Words::default()
            .strong(call.called.as_ref().map_or(day, |called| called.day).to_string())
            .plain(": a swarm called about at ")
            .link(
                call.place
                    .clone()
                    .unwrap_or_else(|| "a place not said".to_owned()),
                reader.link("/swarms"),
            )
            .plain(", and no note says it was taken.");
        lines.push((call.called.as_ref().map_or(day, |called| called.day), words));
    }
    lines.sort_by_key(|(from, _)| *from);
    let more = lines.len().saturating_sub(MOST_SOON);
    let told: Vec<Words> = lines
        .into_iter()
        .take(MOST_SOON)
        .map(|(_, words)| words)
        .collect();
    let mut blocks = if told.is_empty() {
        vec![Block::text("Nothing falls on this day or within a week of it.")]
    } else {
        vec![Block::List(told)]
    };
    let all = match more {
        0 => "All dates stand in the ".to_owned(),
        1 => "One more of these, and all dates, stand in the ".to_owned(),
        more => format!("{more} more of these, and all dates, stand in the "),
    };
    blocks.push(Block::Text(
        Words::new(all)
            .link("calendar", reader.link("/calendar"))
            .plain(", bait boxes and swarm calls under ")
            .link("swarms", reader.link("/swarms"))
            .plain("."),
    ));
    blocks
}

/// The calendar as iCalendar (RFC 5545): of all hives or of one, with what goes on inside or without it.
pub fn feed(reader: &Reader<'_>, hive: Option<HiveId>, asked_alone: bool) -> String {
    let h = reader.holding();
    let windows = match hive {
        Some(hive) => calendar::windows_in(h, hive, reader.day()),
        None => calendar::windows(h, reader.day()),
    };
    let since = reader.day().checked_sub(OVERDUE.days()).unwrap_or(Date::MIN);
    let mut events: Vec<ics::Event> = windows
        .iter()
        .filter(|window| window.to >= since && (!asked_alone || window.asks != Asks::Know))
        .map(|window| event(reader, window))
        .collect();
    if hive.is_none() {
        let waiting = baits::to_look_into(h, reader.day());
        events.extend(waiting.iter().filter_map(|(by, bait)| {
            let entry = *bait.entries.last()?;
            let envelope = &reader.entry(entry).envelope;
            Some(ics::Event {
                uid: uid(&["bait", &envelope.id.to_string()]),
                from: *by,
                to: *by,
                title: format!("bait box {}: look into it", bait.place),
                says: format!("Within {} days of the last time (common practice, no source). Trees, buildings and wires are for people trained for them.", baits::LOOKED_INTO_WITHIN),
                sort: "look",
                written_ms: envelope.written_ms,
                corrected: 0,
            })
        }));
    }
    let farm = h.ground.farm.clone().unwrap_or_else(|| "Bees".to_owned());
    let name = match hive {
        Some(hive) => format!("{farm}: {}", h.hives[hive].label),
        None => format!("{farm}: queens and swarms"),
    };
    ics::calendar(&ics::Calendar { name, events })
}

/// What an event is known by: the same for the same thing, whatever is renamed, corrected or asked for.
fn uid(parts: &[&str]) -> String {
    let whole = parts.join("\n");
    let digest = blake3::derive_key("combwright 2026 event of a calendar", whole.as_bytes());
    let hex: String = digest[..16].iter().map(|byte| format!("{byte:02x}")).collect();
    format!("{hex}@combwright")
}

fn event(reader: &Reader<'_>, window: &Dated) -> ics::Event {
    let h = reader.holding();
    let envelope = &reader.entry(window.because).envelope;
    let began = h.colonies[window.colony].entries.first();
    let began = began.map_or_else(String::new, |entry| reader.entry(*entry).envelope.id.to_string());
    let root = reader.entry(window.root).envelope.id.to_string();
    let usual = window
        .usual
        .map_or_else(String::new, |(from, to)| format!(" Usually {}.", span(from, to)));
    let only_if = window
        .only_if
        .map_or_else(String::new, |only_if| format!(" Only {only_if}."));
    let named = if window.name == window.hive {
        window.hive.clone()
    } else {
        format!("{} ({})", window.hive, window.name)
    };
    ics::Event {
        uid: uid(&["window", &root, &began, window.after.says(), window.what]),
        from: window.from,
        to: window.to,
        title: format!("{named}: {}", window.what),
        says: format!(
            "{} on {} (note {}).{usual}{only_if} {} Days from {}.",
            sentence(window.after.says()).trim_end_matches('.'),
            window.since,
            reader.entry(window.because).handle(),
            sentence(window.basis),
            window.source.id,
        ),
        sort: window.asks.word(),
        written_ms: envelope.written_ms,
        corrected: u32::try_from(corrections(reader, window)).unwrap_or(u32::MAX),
    }
}

/// How often the note was corrected by the time it said this.
fn corrections(reader: &Reader<'_>, window: &Dated) -> usize {
    if window.because == window.root {
        return 0;
    }
    reader
        .acts_about(window.root)
        .iter()
        .filter(|act| **act <= window.because)
        .count()
        .max(1)
}
