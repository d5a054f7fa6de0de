//! The looks at a hive: stepping from day to day, what was left out, what has changed, what waits to be written out.

use std::collections::BTreeMap;

use apiary::arena::HiveId;
use apiary::colony::answers::{self, BarChange, Change, LookChanges, Unfinished};
use jiff::civil::Date;
use page::{Block, Tone, Words};

use crate::reader::Reader;
use crate::sheets::meaning::{bars, listed};
use crate::sheets::{handle, note_path, path, sentence, words_of};

/// The days with looks, and which of them is shown.
pub(crate) struct Steps {
    /// All days on which bars of the hive were looked at, rising; those after the day that is shown as well.
    pub(crate) days: Vec<Date>,
    /// The last look of which the page knows.
    pub(crate) shown: Option<Date>,
    /// The look before that.
    pub(crate) before: Option<Date>,
    /// The next look after the day that is shown.
    pub(crate) after: Option<Date>,
}

/// The days with looks at a hive, seen from the day that is shown.
pub(crate) fn steps(reader: &Reader<'_>, name: &str) -> Steps {
    let now = reader.holding_now();
    let notes = |entry| reader.note(entry);
    let days = match now.hive_labels.get(name) {
        Some(id) => answers::look_days(&now, &notes, id),
        None => Vec::new(),
    };
    let until = days.partition_point(|day| *day <= reader.day());
    let at = |index: Option<usize>| index.and_then(|index| days.get(index)).copied();
    Steps {
        shown: at(until.checked_sub(1)),
        before: at(until.checked_sub(2)),
        after: at(Some(until)),
        days,
    }
}

/// Links from look to look, and the list of all.
pub(super) fn steps_blocks(reader: &Reader<'_>, name: &str) -> Vec<Block> {
    let steps = steps(reader, name);
    if steps.days.is_empty() {
        return vec![Block::text(
            "No bar of it was looked at yet; a bar that nobody has spoken of counts as bare.",
        )];
    }
    let hive = path(&["hive", name]);
    let to = |day: Date| format!("{hive}?on={day}");
    let words = match steps.shown {
        Some(day) => Words::new("Shown is what the look of ")
            .strong(day.to_string())
            .plain(" and those before it tell."),
        None => Words::new("No bar of it was looked at until this day."),
    };
    let before = steps.before.map(|day| (format!("Look before: {day}"), to(day)));
    let after = steps.after.map(|day| (format!("Look after: {day}"), to(day)));
    let now = reader.on.map(|_| ("As of now".to_owned(), hive.clone()));
    let others: Vec<Words> = [before, after, now]
        .into_iter()
        .flatten()
        .map(|(text, to)| Words::linked(text, to))
        .collect();
    let mut years: BTreeMap<i16, Words> = BTreeMap::new();
    for day in &steps.days {
        let year = years
            .entry(day.year())
            .or_insert_with(|| Words::new(format!("{}:", day.year())));
        let month_and_day = format!("{:02}-{:02}", day.month(), day.day());
        *year = if steps.shown == Some(*day) {
            std::mem::take(year).plain(" ").strong(month_and_day)
        } else {
            std::mem::take(year).plain(" ").link(month_and_day, to(*day))
        };
    }
    let count = match steps.days.len() {
        1 => "The one day with a look".to_owned(),
        many => format!("All {many} days with looks"),
    };
    let mut blocks = vec![Block::Text(words)];
    if !others.is_empty() {
        blocks.push(Block::List(others));
    }
    blocks.push(Block::Folded {
        summary: count,
        blocks: vec![Block::List(years.into_values().collect())],
    });
    blocks
}

/// What a stopped look has left out; nothing where none was stopped.
pub(super) fn unfinished_block(reader: &Reader<'_>, id: HiveId) -> Option<Block> {
    let left = answers::unfinished(reader.holding(), id)?;
    let words = Words::new(unfinished_said(&left))
        .plain(" (")
        .and(handle(reader, left.entry))
        .plain(").");
    Some(Block::notice(Tone::Plain, words))
}

fn unfinished_said(left: &Unfinished) -> String {
    format!(
        "The look of {} was stopped after bar {}, and not finished yet: {} {} not seen in it",
        left.day,
        left.after,
        bars(&left.unseen),
        if left.unseen.len() == 1 { "was" } else { "were" }
    )
}

/// Words kept as they came and not yet written out.
pub(super) fn jottings(reader: &Reader<'_>, id: HiveId) -> Vec<usize> {
    let jots = reader.holding().jots.iter();
    jots.filter(|jot| jot.hive == Some(id))
        .map(|jot| jot.entry)
        .collect()
}

pub(super) fn jottings_block(reader: &Reader<'_>, id: HiveId) -> Option<Block> {
    let jots = jottings(reader, id);
    let said: Vec<Words> = jots
        .iter()
        .map(|entry| {
            let correct = format!("{}/correct", note_path(reader.books(), *entry));
            handle(reader, *entry)
                .plain(" ")
                .note(words_of(reader, *entry))
                .plain(" ")
                .link("write it out", correct)
        })
        .collect();
    (!said.is_empty()).then(|| {
        Block::section(
            "To be written out",
            [
                Block::text("Words kept as they came. Each stands here until a note that says the same takes its place."),
                Block::List(said),
            ],
        )
    })
}

/// What the newest look found against the look before, bar by bar. `None` where no bar was looked at.
pub(super) fn changes_section(reader: &Reader<'_>, id: HiveId) -> Option<Block> {
    let notes = |entry| reader.note(entry);
    let changes = answers::changes(reader.holding(), &notes, id)?;
    Some(Block::section(
        "What changed since the look before",
        [
            Block::text(intro(&changes)),
            Block::List(changes_said(reader, &changes)),
        ],
    ))
}

fn intro(changes: &LookChanges) -> String {
    let look = if changes.since == changes.last {
        format!("The look of {}", changes.since)
    } else {
        format!("The look from {} to {}", changes.since, changes.last)
    };
    match changes.bars.len() {
        0 => format!("{look} saw no comb."),
        1 => format!("{look} saw one comb, beside what was last said of it:"),
        many => format!("{look} saw {many} combs, each beside what was last said of it:"),
    }
}

/// What changed, a sentence for each comb; those of which the same is said stand together.
fn changes_said(reader: &Reader<'_>, changes: &LookChanges) -> Vec<Words> {
    let is_quiet = |bar: &&BarChange| bar.before.is_some() && bar.changes.is_empty() && bar.found.is_empty();
    let quiet: Vec<u16> = changes
        .bars
        .iter()
        .filter(is_quiet)
        .map(|bar| bar.place)
        .collect();
    let changed: Vec<&BarChange> = changes.bars.iter().filter(|bar| !is_quiet(bar)).collect();
    let mut said: Vec<Words> = alike(&changed)
        .into_iter()
        .map(|same| change_said(reader, same))
        .collect();
    let mut together = |places: &[u16], says: &str| {
        if !places.is_empty() {
            said.push(Words::new(sentence(&format!("{}: {says}", bars(places)))));
        }
    };
    together(&quiet, "the same is said as before");
    together(
        &changes.not_seen,
        "a comb, and not seen in this look; what is known of it is older",
    );
    for (place, day, entry) in &changes.gone {
        said.push(
            Words::new(format!(
                "The comb that hung at bar {place}: cut off, or gone with its bar, on {day} ("
            ))
            .and(handle(reader, *entry))
            .plain(")."),
        );
    }
    said
}

/// Bars beside each other of which the same notes tell the same stand together.
fn alike<'a>(bars: &[&'a BarChange]) -> Vec<Vec<&'a BarChange>> {
    let mut groups: Vec<Vec<&BarChange>> = Vec::new();
    for bar in bars {
        let is_same = |group: &&mut Vec<&BarChange>| {
            group.last().is_some_and(|last| {
                (last.entry, last.before) == (bar.entry, bar.before) && told_of(last) == told_of(bar)
            })
        };
        match groups.last_mut().filter(|group| is_same(group)) {
            Some(group) => group.push(bar),
            None => groups.push(vec![bar]),
        }
    }
    groups
}

fn places_of(group: &[&BarChange]) -> String {
    let places: Vec<u16> = group.iter().map(|bar| bar.place).collect();
    let said = bars(&places);
    format!("B{}", said.strip_prefix('b').unwrap_or(&said))
}

fn change_said(reader: &Reader<'_>, group: Vec<&BarChange>) -> Words {
    let books = reader.books();
    let bar = group[0];
    let mut words = Words::linked(places_of(&group), note_path(books, bar.entry));
    words = match bar.before {
        Some((day, entry)) => words
            .plain(", since ")
            .link(day.to_string(), note_path(books, entry))
            .plain(": "),
        None if group.len() == 1 => words.plain(", the first look at it: "),
        None => words.plain(", the first look at them: "),
    };
    words.plain(format!("{}.", told_of(bar)))
}

/// What is said differently of a comb, what was found besides, and of what this look said nothing.
fn told_of(bar: &BarChange) -> String {
    let is_first = bar.before.is_none();
    let mut parts: Vec<String> = bar
        .changes
        .iter()
        .filter_map(|change| changed(change, is_first))
        .chain(bar.found.iter().cloned())
        .collect();
    let unsaid: Vec<String> = bar.changes.iter().filter_map(left_unsaid).collect();
    if !unsaid.is_empty() {
        parts.push(format!("not said this time: {}", listed(&unsaid)));
    }
    match parts.is_empty() {
        true if is_first => "a comb, and nothing said of it".to_owned(),
        true => "the same is said as before".to_owned(),
        false => parts.join("; "),
    }
}

fn changed(change: &Change, is_first: bool) -> Option<String> {
    let what = field_name(change.field);
    let now = share(change.now?);
    Some(match change.before {
        Some(before) => format!("{what} from {} to {now}", share(before)),
        None if is_first => format!("{what} {now}"),
        None => format!("{what} {now}, not said before"),
    })
}

fn left_unsaid(change: &Change) -> Option<String> {
    let before = change.before.filter(|_| change.now.is_none())?;
    Some(format!("{} ({} before)", field_name(change.field), share(before)))
}

/// What a word of a look means, in plain words.
fn field_name(field: &str) -> &str {
    match field {
        "eggs_share" => "eggs",
        "open" => "open brood",
        "sealed" => "sealed brood",
        "drones" => "drone brood",
        "capped" => "capped honey",
        "empty_share" => "empty",
        other => other,
    }
}

/// A share in eighths where it is whole ones, else in per cent.
fn share(share: f64) -> String {
    let eighths = share * 8.0;
    if (eighths - eighths.round()).abs() < 1e-6 {
        format!("{eighths:.0}/8")
    } else {
        format!("{:.0} %", share * 100.0)
    }
}

/// In one line for the terminal: which bars changed, which did not.
pub(super) fn changes_in_short(reader: &Reader<'_>, id: HiveId) -> Vec<Words> {
    let notes = |entry| reader.note(entry);
    let Some(changes) = answers::changes(reader.holding(), &notes, id) else {
        return Vec::new();
    };
    let places = |wanted: &dyn Fn(&BarChange) -> bool| -> Vec<u16> {
        let bars = changes.bars.iter().filter(|bar| wanted(bar));
        bars.map(|bar| bar.place).collect()
    };
    let first = places(&|bar| bar.before.is_none());
    let changed: Vec<&BarChange> = changes
        .bars
        .iter()
        .filter(|bar| bar.before.is_some() && !(bar.changes.is_empty() && bar.found.is_empty()))
        .collect();
    let mut said: Vec<Words> = alike(&changed)
        .iter()
        .map(|group| Words::new(format!("{}: {}.", places_of(group), told_of(group[0]))))
        .collect();
    let quiet = places(&|bar| bar.before.is_some() && bar.changes.is_empty() && bar.found.is_empty());
    let rest: Vec<String> = [
        (quiet, "as before"),
        (first, "seen for the first time"),
        (changes.not_seen.clone(), "not seen"),
    ]
    .into_iter()
    .filter(|(places, _)| !places.is_empty())
    .map(|(places, what)| format!("{} {what}", bars(&places)))
    .collect();
    if !rest.is_empty() {
        said.push(Words::new(sentence(&listed(&rest))));
    }
    said
}
