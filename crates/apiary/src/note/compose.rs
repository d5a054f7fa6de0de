//! Notes filled in rather than typed: what a form asks for, and the line that comes of it.
//!
//! Each value of a verb's pattern is a [`Blank`] with a key. [`compose`] writes the line that the filled
//! blanks make, and knows which part of it came from which key; [`fill`] takes a note apart again.
//! Reading what was composed of a note's own values gives that note.
//!
//! Nothing is checked here: the reader alone decides what a line says. Only words that are missing
//! altogether are told, since the line then has no place to underline.

use std::collections::BTreeMap;
use std::ops::Range;

use super::print;
use super::table::{Detail, Element, Entry, Kind, Shape};
use super::value::{Bars, Value, write_text};
use super::{Name, Note};

/// How often a detail that comes again and again is looked for.
pub const MOST_ROUNDS: usize = 40;

/// Keys that every verb has, beside those of its blanks.
pub const COMMON_KEYS: [&str; 4] = ["day", "hour", "anyway", "remark"];

/// One thing to fill in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Blank {
    /// Its key, unlike any other of the form.
    pub key: String,
    /// What it is called.
    pub label: String,
    /// What fills it.
    pub fills: Fills,
    /// The note cannot do without it.
    pub required: bool,
    /// The detail it belongs to; none for what stands right behind the verb.
    pub detail: Option<usize>,
    /// Which repetition of its detail, from 1; 0 where the detail comes once.
    pub round: usize,
}

/// What fills a blank.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fills {
    /// A value of this kind.
    Value(&'static Kind),
    /// The hive of bars; empty where a bar is named by its tag.
    BarsHive,
    /// Places in that hive, or the tag of a bar where no hive is said.
    BarsPlaces,
    /// Words that are there or not: anything at all says them.
    Flag,
}

/// A line composed of what was filled in.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Composed {
    /// The line.
    pub line: String,
    /// Which bytes of the line came from which key, in the order of the line.
    pub spans: Vec<(String, Range<usize>)>,
    /// The keys that are needed and empty.
    pub missing: Vec<String>,
}

/// What a form of a verb asks for, in the order of the table; a detail that repeats, `rounds` times.
pub fn blanks(shape: &'static Shape, rounds: usize) -> Vec<Blank> {
    let mut out = subject_blanks(&shape.subject);
    for (index, detail) in shape.details.iter().enumerate() {
        match detail.repeats {
            true => (1..=rounds).for_each(|round| out.extend(detail_blanks(detail, index, round))),
            false => out.extend(detail_blanks(detail, index, 0)),
        }
    }
    tell_apart(&mut out);
    out
}

/// The line that the filled blanks of a form make, with its day, hour, remark and `anyway`.
pub fn compose(entry: &'static Entry, form: usize, said: &dyn Fn(&str) -> Option<String>) -> Composed {
    let mut writer = Writer {
        said,
        out: Composed::default(),
    };
    writer.needed("day");
    writer.optional("hour");
    writer.word(entry.verb.word);
    let Some(shape) = entry.shapes.get(form) else {
        return writer.out;
    };
    writer.elements(&shape.subject, 0);
    for detail in &shape.details {
        writer.detail(detail);
    }
    if !writer.said("anyway").is_empty() {
        writer.piece("anyway", "anyway");
    }
    let remark = writer.said("remark");
    if !remark.is_empty() {
        writer.piece("remark", &format!("# {remark}"));
    }
    writer.out
}

/// What a form says in plain words, each value by its name: `bars into container`.
///
/// Of what may follow only what is needed is told, so two forms of a verb never sound alike.
pub fn spoken(shape: &Shape) -> String {
    let needed = shape.details.iter().filter(|detail| detail.required);
    let details = needed.flat_map(|detail| &detail.elements);
    let mut words: Vec<String> = Vec::new();
    for element in shape.subject.iter().chain(details) {
        let word = match element {
            Element::Word(words) => words.last().copied().unwrap_or_default().to_owned(),
            Element::Value {
                kind: Kind::Name(what, _),
                ..
            } => what.name().to_owned(),
            Element::Value { field, .. } => spaced(field),
        };
        if words.last() != Some(&word) {
            words.push(word);
        }
    }
    words.join(" ")
}

/// What a note says, by the keys of its form: the inverse of [`compose`].
pub fn fill(note: &Note) -> BTreeMap<String, String> {
    let mut out = BTreeMap::new();
    out.insert("day".to_owned(), note.day.to_string());
    if let Some(hour) = note.hour {
        out.insert("hour".to_owned(), hour.to_string());
    }
    if note.anyway {
        out.insert("anyway".to_owned(), YES.to_owned());
    }
    if let Some(remark) = &note.remark {
        out.insert("remark".to_owned(), remark.to_string());
    }
    let mut rest = note.fact.values();
    take(&note.fact.shape().subject, 0, &mut rest, &mut out);
    for detail in &note.fact.shape().details {
        let mut round = usize::from(detail.repeats);
        while print::said(detail, rest) {
            match detail.flag {
                Some(flag) => {
                    out.insert(flag_key(flag), YES.to_owned());
                    rest = &rest[1..];
                }
                None => take(&detail.elements, round, &mut rest, &mut out),
            }
            if !detail.repeats {
                break;
            }
            round += 1;
        }
    }
    out
}

/// The key that a place in the composed line came from, if the place is not one of the verb's own words.
pub fn key_at(composed: &Composed, place: Range<usize>) -> Option<&str> {
    // A place at the very end, where something is missing, touches the value that stands last.
    let touches = |span: &Range<usize>| span.start <= place.end && place.start <= span.end;
    composed
        .spans
        .iter()
        .find(|(_, span)| touches(span))
        .map(|(key, _)| key.as_str())
}

/// What a word that is there is filled in with.
const YES: &str = "yes";

fn flag_key(flag: &str) -> String {
    flag.replace(' ', "-")
}

fn key(field: &str, round: usize) -> String {
    match round {
        0 => field.to_owned(),
        _ => format!("{field}.{round}"),
    }
}

/// The keys of a value: bars have two, a hive and its places.
fn hive_key(field: &str, round: usize) -> String {
    key(&format!("{field}.hive"), round)
}

fn places_key(field: &str, round: usize) -> String {
    key(&format!("{field}.places"), round)
}

struct Writer<'a> {
    said: &'a dyn Fn(&str) -> Option<String>,
    out: Composed,
}

impl Writer<'_> {
    fn said(&self, key: &str) -> String {
        (self.said)(key).map_or_else(String::new, |said| said.trim().to_owned())
    }

    fn is_said(&self, key: &str) -> bool {
        !self.said(key).is_empty()
    }

    fn word(&mut self, word: &str) {
        if !self.out.line.is_empty() {
            self.out.line.push(' ');
        }
        self.out.line.push_str(word);
    }

    fn piece(&mut self, key: &str, text: &str) {
        self.word(text);
        let end = self.out.line.len();
        self.out.spans.push((key.to_owned(), end - text.len()..end));
    }

    fn optional(&mut self, key: &str) {
        let said = self.said(key);
        if !said.is_empty() {
            self.piece(key, &said);
        }
    }

    fn needed(&mut self, key: &str) {
        match self.is_said(key) {
            true => self.optional(key),
            false => self.out.missing.push(key.to_owned()),
        }
    }

    fn detail(&mut self, detail: &'static Detail) {
        if let Some(flag) = detail.flag {
            if self.is_said(&flag_key(flag)) {
                self.piece(&flag_key(flag), flag);
            }
            return;
        }
        let rounds = if detail.repeats { 1..=MOST_ROUNDS } else { 0..=0 };
        let said: Vec<usize> = rounds
            .filter(|round| self.any_said(&detail.elements, *round))
            .collect();
        if said.is_empty() && detail.required {
            // Writing it empty tells which keys are missing.
            self.elements(&detail.elements, usize::from(detail.repeats));
        }
        for round in said {
            self.elements(&detail.elements, round);
        }
    }

    fn any_said(&self, elements: &[Element], round: usize) -> bool {
        elements.iter().any(|element| match element {
            Element::Word(_) => false,
            Element::Value {
                field,
                kind: Kind::Bars,
            } => self.is_said(&hive_key(field, round)) || self.is_said(&places_key(field, round)),
            Element::Value { field, .. } => self.is_said(&key(field, round)),
        })
    }

    fn elements(&mut self, elements: &[Element], round: usize) {
        for element in elements {
            match element {
                Element::Word(words) => self.word(words.last().copied().unwrap_or_default()),
                Element::Value {
                    field,
                    kind: Kind::Bars,
                } => self.bars(&hive_key(field, round), &places_key(field, round)),
                Element::Value {
                    field,
                    kind: Kind::Text,
                } => self.text(&key(field, round)),
                Element::Value { field, .. } => self.needed(&key(field, round)),
            }
        }
    }

    fn bars(&mut self, hive: &str, places: &str) {
        let said = self.said(places);
        if self.is_said(hive) {
            self.optional(hive);
            self.word(if is_one_place(&said) { "bar" } else { "bars" });
        } else {
            // A tag begins with a letter; a bare place wants its hive.
            if said.starts_with(|first: char| first.is_ascii_digit()) {
                self.out.missing.push(hive.to_owned());
            }
            self.word("bar");
        }
        self.needed(places);
    }

    fn text(&mut self, key: &str) {
        let said = self.said(key);
        if said.is_empty() {
            self.out.missing.push(key.to_owned());
            return;
        }
        let inner = said.strip_prefix('"').and_then(|rest| rest.strip_suffix('"'));
        // The language has no sign for a straight quote within a text, and one would end the text here.
        let words = inner.unwrap_or(&said).replace('"', "\u{201d}");
        let mut text = String::new();
        write_text(&words, &mut text);
        self.piece(key, &text);
    }
}

fn is_one_place(places: &str) -> bool {
    !places.contains([' ', ',', '-'])
}

fn take(
    elements: &[Element],
    round: usize,
    rest: &mut &[(&'static str, Value)],
    out: &mut BTreeMap<String, String>,
) {
    for element in elements {
        let Element::Value { field, .. } = element else {
            continue;
        };
        let Some(((_, value), others)) = rest.split_first() else {
            return;
        };
        *rest = others;
        match value {
            Value::Bars(bars) => take_bars(bars, field, round, out),
            Value::Text(text) => {
                out.insert(key(field, round), quoted_where_needed(text));
            }
            _ => {
                let mut text = String::new();
                print::write_value(value, &mut text);
                out.insert(key(field, round), text);
            }
        }
    }
}

fn take_bars(bars: &Bars, field: &str, round: usize, out: &mut BTreeMap<String, String>) {
    match bars {
        Bars::Places { hive, places } => {
            out.insert(hive_key(field, round), hive.to_string());
            out.insert(places_key(field, round), places.to_string());
        }
        Bars::Tagged(tag) => {
            out.insert(places_key(field, round), tag.to_string());
        }
    }
}

/// A text that filling in would shorten or lose is filled in with its quotes.
fn quoted_where_needed(text: &Name) -> String {
    match text.is_empty() || text.trim() != text {
        true => format!("\"{text}\""),
        false => text.to_string(),
    }
}

fn subject_blanks(elements: &'static [Element]) -> Vec<Blank> {
    let mut out = Vec::new();
    // Words in front of the first value belong to the verb and name nothing.
    let mut before: Option<Vec<&'static str>> = None;
    for (at, element) in elements.iter().enumerate() {
        match element {
            Element::Word(words) => {
                // `6 of A26`: the lot is called a lot.
                if let (Some(before), [only]) = (&mut before, words.as_slice())
                    && *only != "of"
                {
                    before.push(only);
                }
            }
            Element::Value { field, kind } => {
                let words = before.replace(Vec::new()).unwrap_or_default().join(" ");
                let label = match (plural_behind(elements, at), thing(field, kind)) {
                    (Some(plural), _) => plural.to_owned(),
                    (None, Some(thing)) => led_by(&words, thing),
                    (None, None) => spaced(field),
                };
                out.extend(value_blanks(field, kind, label, true));
            }
        }
    }
    out
}

fn detail_blanks(detail: &'static Detail, index: usize, round: usize) -> Vec<Blank> {
    let placed = |blank: Blank| Blank {
        required: blank.required && detail.required && round <= 1,
        detail: Some(index),
        round,
        ..blank
    };
    if let Some(flag) = detail.flag {
        let blank = blank(flag_key(flag), flag.to_owned(), Fills::Flag, false);
        return vec![placed(blank)];
    }
    let values = || {
        detail.elements.iter().filter_map(|element| match element {
            Element::Value { field, kind } => Some((*field, kind)),
            Element::Word(_) => None,
        })
    };
    let alone = values().count() == 1;
    let words: Vec<&str> = detail
        .elements
        .iter()
        .map_while(|element| match element {
            Element::Word(words) => words.last().copied(),
            Element::Value { .. } => None,
        })
        .collect();
    let label = |field, kind| {
        let words = if alone { words.join(" ") } else { String::new() };
        match thing(field, kind) {
            Some(thing) => led_by(&words, thing),
            None if words.is_empty() => spaced(field),
            None => words,
        }
    };
    values()
        .flat_map(|(field, kind)| value_blanks(field, kind, label(field, kind), true))
        .map(|blank| Blank {
            key: key(&blank.key, round),
            ..placed(blank)
        })
        .collect()
}

fn value_blanks(field: &str, kind: &'static Kind, label: String, required: bool) -> Vec<Blank> {
    match kind {
        Kind::Bars => vec![
            blank(hive_key(field, 0), "hive".to_owned(), Fills::BarsHive, false),
            blank(
                places_key(field, 0),
                "bars".to_owned(),
                Fills::BarsPlaces,
                required,
            ),
        ],
        _ => vec![blank(field.to_owned(), label, Fills::Value(kind), required)],
    }
}

fn blank(key: String, label: String, fills: Fills, required: bool) -> Blank {
    Blank {
        key,
        label,
        fills,
        required,
        detail: None,
        round: 0,
    }
}

/// Where two blanks would be called alike, each is called by its field instead.
fn tell_apart(blanks: &mut [Blank]) {
    for at in 0..blanks.len() {
        let is_shared = blanks
            .iter()
            .any(|other| other.key != blanks[at].key && other.label == blanks[at].label);
        if is_shared && matches!(blanks[at].fills, Fills::Value(_)) {
            blanks[at].label = spaced(blanks[at].key.split('.').next().unwrap_or_default());
        }
    }
}

/// The plural that a count is followed by: `2 bars`, `9 years`.
fn plural_behind(elements: &'static [Element], at: usize) -> Option<&'static str> {
    match (&elements[at], elements.get(at + 1)) {
        (
            Element::Value {
                kind: Kind::Count, ..
            },
            Some(Element::Word(words)),
        ) if words.len() > 1 => words.last().copied(),
        _ => None,
    }
}

/// What sort of thing fills a field, where that says more than the field's name.
fn thing(field: &str, kind: &Kind) -> Option<&'static str> {
    match kind {
        Kind::Name(what, _) => Some(what.name()),
        Kind::Count if field == "at" || field == "from" => Some("place"),
        _ => None,
    }
}

/// `into container`, and `lot` rather than `lot lot`.
fn led_by(words: &str, thing: &str) -> String {
    match words.is_empty() || words == thing {
        true => thing.to_owned(),
        false => format!("{words} {thing}"),
    }
}

fn spaced(field: &str) -> String {
    field.replace('_', " ")
}
