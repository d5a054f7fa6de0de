//! A line into a note, or the place where it cannot be read and what would have fitted there.
//!
//! The reader walks the patterns of the table. It runs without keeping track of what it expected; only
//! when a line cannot be read does it run again, slowly, to find the furthest place reached and
//! everything that would have been accepted there.

use std::ops::Range;
use std::str::FromStr as _;

use jiff::civil::Date;
use ledger::Hour;
use quantity::{Currency, Reading, Unit, UnitKind};
use rust_decimal::Decimal;
use smol_str::SmolStr;

use super::lex::{Sort, Token, lex};
use super::table::{Detail, Element, Entry, Kind, Shape, What, table};
use super::value::{Bars, Goods, PIECES, Places, Price, Share, Value, plural};
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
    let mut fits = std::mem::take(&mut reader.expected);
    fits.sort();
    fits.dedup();
    let place = reader.furthest;
    let range = tokens
        .get(place)
        .map_or(line.trim_end().len()..line.trim_end().len(), |token| {
            token.range()
        });
    let says = match tokens.get(place) {
        Some(token) => format!("“{}” does not fit here", token.of(line)),
        None => "something is missing at the end".to_owned(),
    };
    let hint = reader
        .slip(place)
        .or_else(|| Some(format!("for example: {}", entry.verb.examples[0])));
    Unreadable {
        at: range,
        says,
        fits,
        hint,
    }
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

struct Reader<'a, const EXPLAINS: bool> {
    line: &'a str,
    tokens: &'a [Token],
    furthest: usize,
    expected: Vec<String>,
    /// In `shift alder bars 3 and 4 to 9` the last `to` leads to the new place and does not make a run.
    shy: bool,
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
                let says = format!("“{}” is no day of the calendar", first.of(self.line));
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
        for (index, detail) in shape.details.iter().enumerate() {
            if used & (1 << index) != 0 && !detail.repeats {
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

    fn expect(&mut self, at: usize, what: impl Fn() -> String) {
        if !EXPLAINS || at < self.furthest {
            return;
        }
        if at > self.furthest {
            self.furthest = at;
            self.expected.clear();
        }
        self.expected.push(what());
    }

    /// What is often slipped on at a place: a comma for the point, a unit left out.
    fn slip(&self, at: usize) -> Option<String> {
        let comma = |n: usize| {
            let (a, b, c) = (
                self.tokens.get(n)?,
                self.tokens.get(n + 1)?,
                self.tokens.get(n + 2)?,
            );
            let touching = a.end == b.start && b.end == c.start && b.of(self.line) == ",";
            (a.sort == Sort::Number && c.sort == Sort::Number && touching).then(|| {
                format!(
                    "a comma makes a list; did you mean {}.{}?",
                    a.of(self.line),
                    c.of(self.line)
                )
            })
        };
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
        [at, at.wrapping_sub(1), at.wrapping_sub(2)]
            .into_iter()
            .find_map(comma)
            .or_else(unit)
            .or_else(reserved)
    }

    fn token(&self, at: usize) -> Option<Token> {
        self.tokens.get(at).copied()
    }

    fn is_word(&self, at: usize, word: &str) -> bool {
        self.token(at)
            .is_some_and(|token| token.sort == Sort::Word && token.of(self.line).eq_ignore_ascii_case(word))
    }

    fn is_sign(&self, at: usize, sign: &str) -> bool {
        self.token(at)
            .is_some_and(|token| token.sort == Sort::Sign && token.of(self.line) == sign)
    }

    fn word(&self, at: usize) -> Option<&str> {
        self.token(at)
            .filter(|token| token.sort == Sort::Word)
            .map(|token| token.of(self.line))
    }

    fn value(&mut self, kind: &'static Kind, at: usize) -> Option<(Value, usize)> {
        match kind {
            // What is sold or mixed is called by everyday words, such as honey or wax.
            Kind::Name(What::Product | What::Ingredient, _) => {
                self.everyday(at).map(|name| (Value::Name(name), at + 1))
            }
            Kind::Name(..) => self.name(at).map(|name| (Value::Name(name), at + 1)),
            Kind::Text => self.text(at),
            Kind::Word(words) => {
                let word = words.iter().find(|word| self.is_word(at, word))?;
                Some((Value::Word(word), at + 1))
            }
            Kind::Count => self.count(at).map(|(count, next)| (Value::Count(count), next)),
            Kind::Number => self.bare_number(at),
            Kind::Mass => self.amount(at, &[UnitKind::Mass]),
            Kind::Length => self.amount(at, &[UnitKind::Length]),
            Kind::Volume => self.amount(at, &[UnitKind::Volume]),
            Kind::Amount => self.amount(at, &[UnitKind::Mass, UnitKind::Volume]),
            Kind::Temperature => self.amount(at, &[UnitKind::Temperature]),
            Kind::Percent => self.amount(at, &[UnitKind::Percent]),
            Kind::Share => self.share(at),
            Kind::Money => self.money(at),
            Kind::Duration => self.duration(at),
            Kind::Day => self.day(at).map(|day| (Value::Day(day), at + 1)),
            Kind::Lengths => self.lengths(at),
            Kind::Bars => self.bars(at),
            Kind::Goods => self.goods(at),
        }
    }

    fn name(&self, at: usize) -> Option<SmolStr> {
        let word = self.word(at)?;
        (!super::table::is_reserved(word) && word.len() <= 40).then(|| SmolStr::new(word))
    }

    fn everyday(&self, at: usize) -> Option<SmolStr> {
        let word = self.word(at)?;
        let taken = matches!(word, "anyway" | "of" | "and" | "at" | "to" | "lot");
        (!taken && word.len() <= 40).then(|| SmolStr::new(word))
    }

    fn text(&self, at: usize) -> Option<(Value, usize)> {
        let token = self.token(at)?;
        let said = token.of(self.line);
        match token.sort {
            Sort::Text => Some((Value::Text(SmolStr::new(&said[1..said.len() - 1])), at + 1)),
            Sort::Word if said != "anyway" => Some((Value::Text(SmolStr::new(said)), at + 1)),
            _ => None,
        }
    }

    fn day(&self, at: usize) -> Option<Date> {
        let token = self.token(at).filter(|token| token.sort == Sort::Number)?;
        let said = token.of(self.line);
        let shaped = said.len() == 10 && said.as_bytes()[4] == b'-' && said.as_bytes()[7] == b'-';
        if !shaped {
            return None;
        }
        let day = Date::new(
            said[..4].parse().ok()?,
            said[5..7].parse().ok()?,
            said[8..].parse().ok()?,
        )
        .ok()?;
        (day.year() >= 1000).then_some(day)
    }

    /// A number without letters behind it, in figures or as spoken words.
    fn plain(&self, at: usize) -> Option<(Decimal, usize)> {
        let token = self.token(at)?;
        match token.sort {
            Sort::Number if token.letters == token.end => {
                decimal(token.of(self.line)).map(|number| (number, at + 1))
            }
            Sort::Word => self.spoken_number(at),
            _ => None,
        }
    }

    fn spoken_number(&self, at: usize) -> Option<(Decimal, usize)> {
        let (mut whole, mut next) = self.spoken_below_hundred(at)?;
        if self.is_word(next, "hundred") && whole < 10 {
            whole *= 100;
            next += 1;
            let join = usize::from(self.is_word(next, "and"));
            if let Some((rest, after)) = self.spoken_below_hundred(next + join) {
                whole += rest;
                next = after;
            }
        }
        let mut number = Decimal::from(whole);
        if self.is_word(next, "point") {
            let mut scale = 0;
            while let Some(digit) = self.word(next + 1).and_then(spoken).filter(|digit| *digit < 10) {
                scale += 1;
                number += Decimal::new(i64::from(digit), scale);
                next += 1;
            }
            next += 1;
            if scale == 0 {
                return None;
            }
        }
        Some((number, next))
    }

    fn spoken_below_hundred(&self, at: usize) -> Option<(u32, usize)> {
        let first = spoken(self.word(at)?)?;
        let tens = first >= 20 && first % 10 == 0;
        match self
            .word(at + 1)
            .and_then(spoken)
            .filter(|rest| tens && (1..10).contains(rest))
        {
            Some(rest) => Some((first + rest, at + 2)),
            None => Some((first, at + 1)),
        }
    }

    fn count(&self, at: usize) -> Option<(u32, usize)> {
        let (number, next) = self.plain(at)?;
        let whole = number.scale() == 0 && number.is_sign_positive();
        // A count directly before a unit sign is an amount that has lost its way.
        let clean = whole && !self.is_sign(next, "%") && !self.is_list_slip(at);
        clean
            .then(|| u32::try_from(number).ok().map(|count| (count, next)))
            .flatten()
    }

    fn is_list_slip(&self, at: usize) -> bool {
        let touching = |a: usize, b: usize| match (self.token(a), self.token(b)) {
            (Some(a), Some(b)) => a.end == b.start,
            _ => false,
        };
        self.is_sign(at + 1, ",") && touching(at, at + 1) && touching(at + 1, at + 2)
    }

    fn bare_number(&self, at: usize) -> Option<(Value, usize)> {
        let token = self
            .token(at)
            .filter(|token| token.sort == Sort::Number && token.letters == token.end)?;
        if self.is_list_slip(at) {
            return None;
        }
        decimal(token.of(self.line)).map(|number| (Value::Number(number), at + 1))
    }

    fn amount(&self, at: usize, kinds: &[UnitKind]) -> Option<(Value, usize)> {
        self.reading(at, kinds)
            .map(|(reading, next)| (Value::Reading(Box::new(reading)), next))
    }

    fn reading(&self, at: usize, kinds: &[UnitKind]) -> Option<(Reading, usize)> {
        let token = self.token(at)?;
        let (unit, next, digits) = if token.sort == Sort::Number {
            let (unit, next) = self.unit(token, at)?;
            (unit, next, decimal(token.figures(self.line)))
        } else {
            let (number, next) = self.spoken_number(at)?;
            let (unit, next) = self.unit_at(next)?;
            (unit, next, Some(number))
        };
        if !kinds.contains(&unit.kind()) {
            return None;
        }
        let reading = match digits {
            Some(digits) if !digits.is_sign_negative() || unit.kind() == UnitKind::Temperature => {
                Reading::new(digits, unit)
            }
            Some(_) => return None,
            None => fraction(token.figures(self.line), unit)?,
        };
        representable(reading).then_some((reading, next))
    }

    /// The unit of a number: letters right behind it, or the next word or sign.
    fn unit(&self, token: Token, at: usize) -> Option<(Unit, usize)> {
        match token.suffix(self.line) {
            "" => self.unit_at(at + 1),
            suffix => Unit::from_word(suffix).map(|unit| (unit, at + 1)),
        }
    }

    fn unit_at(&self, at: usize) -> Option<(Unit, usize)> {
        let token = self.token(at)?;
        if token.sort == Sort::Word && token.of(self.line) == "per" && self.is_word(at + 1, "cent") {
            return Unit::from_word("%").map(|unit| (unit, at + 2));
        }
        let fits = matches!(token.sort, Sort::Word) || self.is_sign(at, "%");
        fits.then(|| Unit::from_word(token.of(self.line)))
            .flatten()
            .map(|unit| (unit, at + 1))
    }

    fn lengths(&self, at: usize) -> Option<(Value, usize)> {
        let (first, mut next) = self.reading(at, &[UnitKind::Length])?;
        let mut all = vec![first];
        while all.len() < 3 {
            let Some((reading, after)) = self.reading(next, &[UnitKind::Length]) else {
                break;
            };
            all.push(reading);
            next = after;
        }
        Some((Value::Readings(all.into_boxed_slice()), next))
    }

    fn share(&self, at: usize) -> Option<(Value, usize)> {
        let token = self.token(at)?;
        if token.sort == Sort::Number
            && let Some(eighths) = token.of(self.line).strip_suffix("/8")
        {
            let eighths = eighths.parse().ok().filter(|eighths| *eighths <= 8)?;
            return Some((Value::Share(Share::Eighths(eighths)), at + 1));
        }
        if let Some((number, next)) = self.plain(at)
            && (self.is_word(next, "eighths") || self.is_word(next, "eighth"))
        {
            let eighths = u8::try_from(number)
                .ok()
                .filter(|eighths| *eighths <= 8 && number.scale() == 0)?;
            return Some((Value::Share(Share::Eighths(eighths)), next + 1));
        }
        let (reading, next) = self.reading(at, &[UnitKind::Percent])?;
        let percent = reading.digits();
        (percent <= Decimal::ONE_HUNDRED).then_some((Value::Share(Share::Percent(percent)), next))
    }

    fn money(&self, at: usize) -> Option<(Value, usize)> {
        let token = self.token(at)?;
        let (digits, suffix, next) = match token.sort {
            Sort::Number => (
                decimal(token.figures(self.line))?,
                token.suffix(self.line),
                at + 1,
            ),
            _ => self.spoken_number(at).map(|(number, next)| (number, "", next))?,
        };
        let (word, next) = if suffix.is_empty() {
            (self.word(next)?, next + 1)
        } else {
            (suffix, next)
        };
        let price = Price {
            digits,
            currency: Currency::new(word)?,
        };
        price
            .money()
            .filter(|_| !digits.is_sign_negative())
            .map(|_| (Value::Money(price), next))
    }

    fn duration(&self, at: usize) -> Option<(Value, usize)> {
        let token = self.token(at).filter(|token| token.sort == Sort::Number)?;
        let (letters, next) = match token.suffix(self.line) {
            "" => (self.word(at + 1)?, at + 2),
            suffix => (suffix, at + 1),
        };
        let number: u32 = token.figures(self.line).parse().ok()?;
        let minutes = match letters {
            "min" | "minutes" | "minute" => number,
            "h" | "hours" | "hour" => number.checked_mul(60)?,
            _ => {
                let rest: u32 = letters
                    .strip_prefix('h')?
                    .parse()
                    .ok()
                    .filter(|rest| *rest < 60)?;
                number.checked_mul(60)?.checked_add(rest)?
            }
        };
        (minutes > 0 && minutes <= 1_000_000).then_some((Value::Duration(minutes), next))
    }

    fn bars(&mut self, at: usize) -> Option<(Value, usize)> {
        if self.is_word(at, "bar") {
            let Some(tag) = self.name(at + 1) else {
                self.expect(at + 1, || "the tag of a bar, such as K7".to_owned());
                return None;
            };
            return Some((Value::Bars(Box::new(Bars::Tagged(tag))), at + 2));
        }
        let name = self.name(at)?;
        if !self.is_word(at + 1, "bar") && !self.is_word(at + 1, "bars") {
            self.expect(at + 1, || "bar".to_owned());
            return None;
        }
        let (places, next) = self.places(at + 2)?;
        Some((Value::Bars(Box::new(Bars::Places { hive: name, places })), next))
    }

    fn places(&mut self, mut at: usize) -> Option<(Places, usize)> {
        let mut runs = Vec::with_capacity(2);
        loop {
            let Some((from, to, next)) = self.run(at) else {
                self.expect(at, || "a place in the hive, such as 9 or 1 to 4".to_owned());
                return None;
            };
            runs.push((from, to));
            let joined = self.is_sign(next, ",") || self.is_word(next, "and");
            if !joined && self.shy && from < to && self.is_word(next.saturating_sub(2), "to") {
                runs.pop();
                runs.push((from, from));
                return Places::new(runs).map(|places| (places, next - 2));
            }
            if !joined {
                return Places::new(runs).map(|places| (places, next));
            }
            at = next + 1;
        }
    }

    fn run(&self, at: usize) -> Option<(u16, u16, usize)> {
        let token = self.token(at)?;
        if token.sort == Sort::Number
            && let Some((from, to)) = token.of(self.line).split_once('-')
        {
            return Some((from.parse().ok()?, to.parse().ok()?, at + 1));
        }
        let place = |at| {
            let (number, next) = self.plain(at)?;
            Some((u16::try_from(number).ok().filter(|_| number.scale() == 0)?, next))
        };
        let (from, next) = place(at)?;
        // `bar 9 to 7` moves a comb; `bars 3 to 5` is a run: only a rising pair behind `bars` is one.
        let is_list = self.is_behind_bars(at);
        match place(next + 1).filter(|(to, _)| is_list && self.is_word(next, "to") && *to >= from) {
            Some((to, after)) => Some((from, to, after)),
            None => Some((from, from, next)),
        }
    }

    /// Whether the list that a place belongs to began with the plural.
    fn is_behind_bars(&self, at: usize) -> bool {
        (0..at).rev().find_map(|n| match self.word(n) {
            Some(word) if word.eq_ignore_ascii_case("bars") => Some(true),
            Some(word) if word.eq_ignore_ascii_case("bar") => Some(false),
            _ => None,
        }) == Some(true)
    }

    fn goods(&self, at: usize) -> Option<(Value, usize)> {
        if let Some((amount, next)) = self.reading(at, &[UnitKind::Mass, UnitKind::Volume]) {
            if !self.is_word(next, "of") {
                return None;
            }
            let of = self.everyday(next + 1)?;
            return Some((Value::Goods(Box::new(Goods::Bulk { amount, of })), next + 2));
        }
        let (count, next) = self.count(at)?;
        let word = self.word(next)?;
        let known = PIECES.iter().any(|(one, many)| *one == word || *many == word);
        if !known && super::table::is_reserved(word) {
            return None;
        }
        let kind = plural(word);
        let (size, next) = match self.is_word(next + 1, "of") {
            true => {
                let (size, after) = self.reading(next + 2, &[UnitKind::Mass, UnitKind::Volume])?;
                (Some(size), after)
            }
            false => (None, next + 1),
        };
        Some((Value::Goods(Box::new(Goods::Pieces { count, kind, size })), next))
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

fn decimal(figures: &str) -> Option<Decimal> {
    let digits = figures.strip_prefix('-').unwrap_or(figures);
    let plain = digits.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.');
    if !plain || digits.len() > 18 || digits.ends_with('.') {
        return None;
    }
    Decimal::from_str_exact(figures).ok()
}

/// `3/4`, `1-1/4`: the fractions of an inch, a pound or an ounce.
fn fraction(figures: &str, unit: Unit) -> Option<Reading> {
    let (whole, part) = figures.split_once('-').unwrap_or(("0", figures));
    let (over, under) = part.split_once('/')?;
    Reading::with_fraction(whole.parse().ok()?, over.parse().ok()?, under.parse().ok()?, unit)
}

/// Whether an amount has an exact value inside the range of its quantity.
fn representable(reading: Reading) -> bool {
    match reading.unit().kind() {
        UnitKind::Mass => reading.mass().is_some(),
        UnitKind::Length => reading.length().is_some(),
        UnitKind::Volume => reading.volume().is_some(),
        UnitKind::Temperature => reading.celsius().is_some(),
        UnitKind::Percent => reading.percent().is_some(),
        UnitKind::Area => reading.area().is_some(),
    }
}

const SPOKEN: &[(&str, u32)] = &[
    ("zero", 0),
    ("one", 1),
    ("two", 2),
    ("three", 3),
    ("four", 4),
    ("five", 5),
    ("six", 6),
    ("seven", 7),
    ("eight", 8),
    ("nine", 9),
    ("ten", 10),
    ("eleven", 11),
    ("twelve", 12),
    ("thirteen", 13),
    ("fourteen", 14),
    ("fifteen", 15),
    ("sixteen", 16),
    ("seventeen", 17),
    ("eighteen", 18),
    ("nineteen", 19),
    ("twenty", 20),
    ("thirty", 30),
    ("forty", 40),
    ("fifty", 50),
    ("sixty", 60),
    ("seventy", 70),
    ("eighty", 80),
    ("ninety", 90),
];

/// The number that a word says: `nine`, `forty`, `twenty-one`.
pub(super) fn spoken(word: &str) -> Option<u32> {
    let single = |word: &str| {
        SPOKEN
            .iter()
            .find(|(said, _)| word.eq_ignore_ascii_case(said))
            .map(|(_, number)| *number)
    };
    single(word).or_else(|| {
        let (tens, ones) = word.split_once('-')?;
        let (tens, ones) = (single(tens)?, single(ones)?);
        (tens >= 20 && (1..10).contains(&ones)).then_some(tens + ones)
    })
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
