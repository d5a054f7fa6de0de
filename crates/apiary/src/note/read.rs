//! A line into a note, or the place where it cannot be read and what would have fitted there.
//!
//! The reader walks the patterns of the table. It runs without keeping track of what it expected; only
//! when a line cannot be read does it run again, slowly, to find the furthest place reached and
//! everything that would have been accepted there.

use std::ops::Range;
use std::str::FromStr as _;

use jiff::civil::Date;
use ledger::Hour;

use super::lex::{Sort, Token, lex};
use super::table::{Detail, Element, Entry, Shape, table};
use super::value::Value;
use super::{Fact, Note};

/// The longest line that is a note; longer ones are texts for an attachment.
pub(super) const LONGEST_NOTE: usize = 4_000;

/// A line that is no note: where it stops being one, and what would have fitted there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unreadable {
    /// The bytes of the line that are to blame.
    pub at: Range<usize>,
    /// What is wrong, as a sentence without its full stop.
    pub says: String,
    /// What would have been accepted there.
    pub fits: Vec<String>,
    /// A way out, where one is near.
    pub hint: Option<String>,
}

impl Unreadable {
    pub(super) fn new(at: Range<usize>, says: impl Into<String>) -> Self {
        Self {
            at,
            says: says.into(),
            fits: Vec::new(),
            hint: None,
        }
    }

    pub(super) fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }

    pub(super) fn shifted(mut self, by: usize) -> Self {
        self.at = self.at.start + by..self.at.end + by;
        self
    }
}

impl std::fmt::Display for Unreadable {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}", self.says)?;
        if !self.fits.is_empty() {
            write!(f, "; here fits: {}", self.fits.join("; "))?;
        }
        self.hint.iter().try_for_each(|hint| write!(f, " ({hint})"))
    }
}

/// Reads one stored line: a day, perhaps an hour, a verb and what belongs to it.
///
/// # Errors
/// [`Unreadable`] with the place and what would fit there.
pub fn read(line: &str) -> Result<Note, Unreadable> {
    check_characters(line)?;
    let mut tokens = Vec::with_capacity(24);
    let remark_at = lex(line, &mut tokens);
    let mut reader = Reader::<false> {
        line,
        tokens: &tokens,
        furthest: 0,
        expected: Vec::new(),
        shy: false,
    };
    let (day, hour, at) = reader.when()?;
    let entry = reader.verb(at)?;
    let read = reader
        .forms(entry, at + 1)
        .or_else(|| reader.shyly(entry, at + 1));
    let Some((fact, anyway)) = read else {
        return Err(explain(line, &tokens, entry, at + 1));
    };
    let remark = remark_at
        .map(|at| line[at + 1..].trim())
        .filter(|text| !text.is_empty())
        .map(Box::from);
    Ok(Note {
        day,
        hour,
        fact,
        anyway,
        remark,
    })
}

/// Runs the patterns again and collects what was expected at the furthest place.
fn explain(line: &str, tokens: &[Token], entry: &'static Entry, at: usize) -> Unreadable {
    let mut reader = Reader::<true> {
        line,
        tokens,
        furthest: at,
        expected: Vec::new(),
        shy: false,
    };
    let _ = reader.forms(entry, at);
    let place = reader.furthest;
    let slip = reader.slip(place);
    let mut fits = reader.expected;
    fits.sort();
    fits.dedup();
    let end = line.trim_end().len();
    let range = tokens.get(place).map_or(end..end, |token| token.range());
    let says = match tokens.get(place) {
        Some(token) => format!("“{}” does not fit here", token.of(line)),
        None => "something is missing at the end".to_owned(),
    };
    if let Some((range, point)) = comma_for_point(line, tokens, place) {
        let says = format!("“{}” is a list, since a comma makes one", &line[range.clone()]);
        return Unreadable {
            at: range,
            says,
            fits,
            hint: Some(format!("did you mean {point}?")),
        };
    }
    let hint = slip.or_else(|| Some(format!("for example: {}", entry.verb.examples[0])));
    Unreadable {
        at: range,
        says,
        fits,
        hint,
    }
}

/// A comma typed for the point near a place: where, and the number that may be meant.
fn comma_for_point(line: &str, tokens: &[Token], at: usize) -> Option<(Range<usize>, String)> {
    [at, at.wrapping_sub(1), at.wrapping_sub(2)]
        .into_iter()
        .find_map(|n| {
            let [a, b, c] = tokens.get(n..n.checked_add(3)?)? else {
                return None;
            };
            let touching = a.end == b.start && b.end == c.start && b.of(line) == ",";
            let numbers = a.sort == Sort::Number && c.sort == Sort::Number;
            (touching && numbers).then(|| {
                (
                    a.start as usize..c.letters as usize,
                    format!("{}.{}", a.of(line), c.figures(line)),
                )
            })
        })
}

/// Refuses what would not look on every screen as it is: control characters and marks that turn text round.
pub(super) fn check_characters(line: &str) -> Result<(), Unreadable> {
    if line.len() > LONGEST_NOTE {
        let says = format!(
            "a note has at most {LONGEST_NOTE} characters; this line has {}",
            line.len()
        );
        return Err(Unreadable::new(0..0, says).hint("keep long texts as an attachment"));
    }
    if line.bytes().all(|byte| (b' '..=b'~').contains(&byte)) {
        return Ok(());
    }
    for (at, letter) in line.char_indices() {
        if letter.is_ascii_graphic() || letter == ' ' {
            continue;
        }
        let says = match letter {
            '\t' => continue,
            '\0'..='\u{1f}' | '\u{7f}'..='\u{9f}' => "a control character cannot stand in a note",
            '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => {
                "a mark that turns the direction of writing cannot stand in a note"
            }
            '\u{fffd}' => "this was no text in UTF-8",
            '\u{2028}' | '\u{2029}' => "a note is one line",
            _ => continue,
        };
        return Err(Unreadable::new(at..at + letter.len_utf8(), says));
    }
    Ok(())
}

pub(super) struct Reader<'a, const EXPLAINS: bool> {
    pub(super) line: &'a str,
    pub(super) tokens: &'a [Token],
    furthest: usize,
    expected: Vec<String>,
    /// In `shift alder bars 3 and 4 to 9` the last `to` leads to the new place and does not make a run.
    pub(super) shy: bool,
}

type Values = Vec<(&'static str, Value)>;

impl<const EXPLAINS: bool> Reader<'_, EXPLAINS> {
    fn when(&self) -> Result<(Date, Option<Hour>, usize), Unreadable> {
        let missing = || {
            let at = self.tokens.first().map_or(0..0, |token| token.range());
            Unreadable::new(at, "a note begins with its day")
                .hint("write 2026-07-19, today or yesterday first")
        };
        let first = self.tokens.first().ok_or_else(missing)?;
        let day = self.day(0).ok_or_else(|| {
            if first.sort == Sort::Number {
                let says = format!(
                    "“{}” is no day of the calendar after the year 1000",
                    first.of(self.line)
                );
                return Unreadable::new(first.range(), says).hint("a day is written 2026-07-19");
            }
            missing()
        })?;
        match self.tokens.get(1) {
            Some(token) if token.sort == Sort::Number && token.of(self.line).contains(':') => {
                let hour = Hour::from_str(token.of(self.line)).map_err(|_| {
                    Unreadable::new(
                        token.range(),
                        format!("“{}” is no hour of the day", token.of(self.line)),
                    )
                    .hint("an hour is written 14:20")
                })?;
                Ok((day, Some(hour), 2))
            }
            _ => Ok((day, None, 1)),
        }
    }

    fn verb(&self, at: usize) -> Result<&'static Entry, Unreadable> {
        let Some(token) = self.tokens.get(at) else {
            let end = self.line.trim_end().len();
            return Err(Unreadable::new(end..end, "the note says no happening")
                .hint("a verb comes next, such as look or cut"));
        };
        let word = token.of(self.line);
        if let Some(entry) = table().verb(word) {
            return Ok(entry);
        }
        let lower = word.to_lowercase();
        if let Some(entry) = table().verb(&lower) {
            return Ok(entry);
        }
        let refusal = Unreadable::new(token.range(), format!("“{word}” is no verb of the note language"));
        let words = table().entries().iter().map(|entry| entry.verb.word);
        Err(match nearest(&lower, words) {
            Some(near) => refusal.hint(format!("did you mean {near}?")),
            None => refusal.hint("docs/notes.md lists the verbs"),
        })
    }

    fn forms(&mut self, entry: &'static Entry, at: usize) -> Option<(Fact, bool)> {
        for (form, shape) in entry.shapes.iter().enumerate() {
            let mut values = Values::with_capacity(8);
            if let Some(anyway) = self.form(shape, at, &mut values) {
                return Some((
                    Fact {
                        verb: entry,
                        form: form as u8,
                        values: values.into_boxed_slice(),
                    },
                    anyway,
                ));
            }
        }
        None
    }

    fn shyly(&mut self, entry: &'static Entry, at: usize) -> Option<(Fact, bool)> {
        self.shy = true;
        self.forms(entry, at)
    }

    fn form(&mut self, shape: &'static Shape, at: usize, values: &mut Values) -> Option<bool> {
        let mut at = self.elements(&shape.subject, at, values)?;
        let subject = values.len();
        let mut used: u32 = 0;
        // Where each detail's values begin, so that they can be put into the table's order.
        let mut order: Vec<(usize, usize)> = Vec::new();
        while at < self.tokens.len() {
            if at + 1 == self.tokens.len() && self.is_word(at, "anyway") {
                self.required(shape, used, at)?;
                sort_details(values, subject, &order);
                return Some(true);
            }
            let (index, next, start) = self.detail(shape, used, at, values)?;
            order.push((index, start));
            used |= 1 << index;
            at = next;
        }
        self.required(shape, used, at)?;
        sort_details(values, subject, &order);
        Some(false)
    }

    fn detail(
        &mut self,
        shape: &'static Shape,
        used: u32,
        at: usize,
        values: &mut Values,
    ) -> Option<(usize, usize, usize)> {
        let letter = self
            .tokens
            .get(at)
            .map(|token| self.line.as_bytes()[token.start as usize].to_ascii_lowercase());
        for (index, detail) in shape.details.iter().enumerate() {
            // Most details are ruled out by their first letter; only who explains has to hear of all.
            let ruled_out = !EXPLAINS && detail.first.is_some() && detail.first != letter;
            if ruled_out || (used & (1 << index) != 0 && !detail.repeats) {
                continue;
            }
            let start = values.len();
            if let Some(next) = self.elements(&detail.elements, at, values) {
                if let Some(flag) = detail.flag {
                    values.push((flag, Value::Said));
                }
                return Some((index, next, start));
            }
            values.truncate(start);
        }
        None
    }

    fn required(&mut self, shape: &'static Shape, used: u32, at: usize) -> Option<()> {
        let missing = |(index, detail): &(usize, &Detail)| detail.required && used & (1 << index) == 0;
        let detail = shape.details.iter().enumerate().find(missing);
        let Some((_, detail)) = detail else {
            return Some(());
        };
        if EXPLAINS {
            let wanted = describe(detail);
            self.expect(at, || wanted.clone());
        }
        None
    }

    fn elements(
        &mut self,
        elements: &'static [Element],
        mut at: usize,
        values: &mut Values,
    ) -> Option<usize> {
        for element in elements {
            match element {
                Element::Word(words) => {
                    if !words.iter().any(|word| self.is_word(at, word)) {
                        self.expect(at, || words.last().copied().unwrap_or_default().to_owned());
                        return None;
                    }
                    at += 1;
                }
                Element::Value { field, kind } => {
                    let Some((value, next)) = self.value(kind, at) else {
                        self.expect(at, || kind.expects());
                        return None;
                    };
                    values.push((field, value));
                    at = next;
                }
            }
        }
        Some(at)
    }

    pub(super) fn expect(&mut self, at: usize, what: impl Fn() -> String) {
        if !EXPLAINS || at < self.furthest {
            return;
        }
        if at > self.furthest {
            self.furthest = at;
            self.expected.clear();
        }
        self.expected.push(what());
    }

    /// What is often slipped on at a place: a name that means something else, a unit left out.
    fn slip(&self, at: usize) -> Option<String> {
        let unit = || {
            let token = self.tokens.get(at.checked_sub(1)?)?;
            let lonely = token.sort == Sort::Number && token.suffix(self.line).is_empty();
            lonely.then(|| "an amount needs its unit, such as kg, mm, % or GBP; a count has none".to_owned())
        };
        let reserved = || {
            let word = self.word(at).filter(|word| super::table::is_reserved(word))?;
            let named = self.expected.iter().any(|wanted| wanted.contains("name for"));
            named.then(|| format!("“{word}” has a meaning of its own in notes; choose another name"))
        };
        reserved().or_else(unit)
    }
}

/// What is still missing, as its pattern would be written.
fn describe(detail: &Detail) -> String {
    let pieces = detail.elements.iter().map(|element| match element {
        Element::Word(words) => words.last().copied().unwrap_or_default().to_owned(),
        Element::Value { kind, .. } => kind.expects(),
    });
    pieces.collect::<Vec<_>>().join(" ")
}

fn sort_details(values: &mut Values, subject: usize, order: &[(usize, usize)]) {
    if order.windows(2).all(|pair| pair[0].0 <= pair[1].0) {
        return;
    }
    let mut details = values.split_off(subject);
    let mut pieces: Vec<(usize, Values)> = Vec::with_capacity(order.len());
    for (index, start) in order.iter().rev() {
        pieces.push((*index, details.split_off(start - subject)));
    }
    pieces.reverse();
    pieces.sort_by_key(|(index, _)| *index);
    values.extend(pieces.into_iter().flat_map(|(_, piece)| piece));
}

/// The known word nearest to one that is not known, if one is near enough to be meant.
pub fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let allowed = (word.chars().count() / 3).clamp(1, 3);
    let distance = |other: &str| strsim::osa_distance(&word.to_lowercase(), &other.to_lowercase());
    known
        .into_iter()
        .map(|other| (distance(other), other))
        .filter(|(far, _)| *far <= allowed)
        .min()
        .map(|(_, other)| other)
}
