//! The values of a note: each kind of the table read at a place in the line.

use jiff::civil::Date;
use quantity::{Currency, Reading, Unit, UnitKind};
use rust_decimal::Decimal;
use smol_str::SmolStr;

use super::lex::{Sort, Token};
use super::numbers::{MOST_MONEY, MOST_PIECES, decimal, fraction, representable, spoken};
use super::read::Reader;
use super::table::{Kind, What};
use super::value::{Bars, Goods, PIECES, Places, Price, Share, Value, plural};

impl<const EXPLAINS: bool> Reader<'_, EXPLAINS> {
    fn token(&self, at: usize) -> Option<Token> {
        self.tokens.get(at).copied()
    }

    pub(super) fn is_word(&self, at: usize, word: &str) -> bool {
        self.token(at)
            .is_some_and(|token| token.sort == Sort::Word && token.of(self.line).eq_ignore_ascii_case(word))
    }

    pub(super) fn is_sign(&self, at: usize, sign: &str) -> bool {
        self.token(at)
            .is_some_and(|token| token.sort == Sort::Sign && token.of(self.line) == sign)
    }

    pub(super) fn word(&self, at: usize) -> Option<&str> {
        self.token(at)
            .filter(|token| token.sort == Sort::Word)
            .map(|token| token.of(self.line))
    }

    pub(super) fn value(&mut self, kind: &'static Kind, at: usize) -> Option<(Value, usize)> {
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
            Kind::Area => self.amount(at, &[UnitKind::Area]),
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
        let free = !super::table::is_reserved(word) && spoken(word).is_none();
        (free && word.len() <= 40).then(|| SmolStr::new(word))
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

    pub(super) fn day(&self, at: usize) -> Option<Date> {
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
            .then(|| {
                u32::try_from(number)
                    .ok()
                    .filter(|count| *count <= MOST_PIECES)
                    .map(|count| (count, next))
            })
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
            .filter(|money| (0..=MOST_MONEY).contains(&money.minor()))
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
            // `bar five` is a place, whose hive the desk may supply.
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

    fn places(&mut self, at: usize) -> Option<(Places, usize)> {
        let read = self.places_read(at);
        if read.is_none() {
            self.expect(at, || {
                "places counted from 1, each once, runs rising, such as 9 or 1 to 4".to_owned()
            });
        }
        read
    }

    fn places_read(&mut self, mut at: usize) -> Option<(Places, usize)> {
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
