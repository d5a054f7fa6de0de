//! What can stand in a note: names, counts, readings, shares, money, bars, goods.

use std::fmt::{self, Write as _};

use jiff::civil::Date;
use ledger::Hour;
use quantity::{Currency, Money, Reading};
use rust_decimal::Decimal;
use smol_str::SmolStr;

/// A label that a note uses for a thing.
pub type Name = SmolStr;

/// One detail of a fact, kept as it was said.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Value {
    /// A word that is either there or not: `half`, `spoilt`.
    Said,
    /// The label of a thing.
    Name(Name),
    /// Free words.
    Text(SmolStr),
    /// One word of a closed set.
    Word(&'static str),
    /// A count; it has no unit.
    Count(u32),
    /// A bare number, such as a refractive index or a latitude.
    Number(Decimal),
    /// An amount with its unit, as it was read.
    Reading(Box<Reading>),
    /// Up to three like amounts, as they were read.
    Readings(Box<[Reading]>),
    /// An amount of money, as it was said.
    Money(Price),
    /// A share of a comb.
    Share(Share),
    /// A length of time in minutes.
    Duration(u32),
    /// A day.
    Day(Date),
    /// An hour of the day.
    Hour(Hour),
    /// Bars of a hive, or one bar by its tag.
    Bars(Box<Bars>),
    /// Goods by piece or by mass.
    Goods(Box<Goods>),
}

/// Money as it was typed: the digits are kept, with trailing zeros.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Price {
    /// The digits typed.
    pub digits: Decimal,
    /// The currency named.
    pub currency: Currency,
}

impl Price {
    /// The exact amount; `None` where it is finer than the currency's smallest coin.
    pub fn money(self) -> Option<Money> {
        Money::from_decimal(self.digits, self.currency)
    }
}

/// A share of the full outline of a comb, both faces.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Share {
    /// So many eighths, 0 to 8.
    Eighths(u8),
    /// Per cent, 0 to 100, as typed.
    Percent(Decimal),
}

impl Share {
    /// The share as a fraction of one.
    pub fn fraction(self) -> f64 {
        match self {
            Self::Eighths(eighths) => f64::from(eighths) / 8.0,
            Self::Percent(percent) => f64::try_from(percent).unwrap_or(0.0) / 100.0,
        }
    }
}

/// Which bars a note is about.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Bars {
    /// Bars of a hive by their places on that day.
    Places {
        /// The hive, or the store that the bars hang in.
        hive: Name,
        /// The places, in the order said.
        places: Places,
    },
    /// One bar by its own tag.
    Tagged(Name),
}

/// Places in a hive, as runs from–to in the order they were said. Never empty, never twice the same place.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Places(Box<[(u16, u16)]>);

impl Places {
    /// Runs of places; `None` if there are none, one is reversed, zero or absurd, or a place comes twice.
    pub fn new(runs: Vec<(u16, u16)>) -> Option<Self> {
        let sound = runs
            .iter()
            .all(|(from, to)| *from >= 1 && from <= to && *to <= MOST_PLACES);
        let apart = runs
            .iter()
            .enumerate()
            .all(|(n, a)| runs[..n].iter().all(|b| a.1 < b.0 || b.1 < a.0));
        (!runs.is_empty() && sound && apart).then(|| Self(runs.into_boxed_slice()))
    }

    /// Each place, in the order said.
    pub fn iter(&self) -> impl Iterator<Item = u16> + '_ {
        self.0.iter().flat_map(|(from, to)| *from..=*to)
    }

    /// How many places.
    pub fn count(&self) -> usize {
        self.0.iter().map(|(from, to)| usize::from(to - from) + 1).sum()
    }

    /// The lowest and the highest place.
    pub fn span(&self) -> (u16, u16) {
        let low = self.0.iter().map(|run| run.0).min().unwrap_or(1);
        let high = self.0.iter().map(|run| run.1).max().unwrap_or(1);
        (low, high)
    }
}

/// No hive has more places than this; it keeps a slip of the finger from making one.
pub const MOST_PLACES: u16 = 999;

/// Goods: pieces of a kind and size, pieces of a name, or a mass or volume of something.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Goods {
    /// `60 jars of 340 g`, `12 lids`.
    Pieces {
        /// How many.
        count: u32,
        /// The kind of piece, as a plural: `jars`, `lids`.
        kind: Name,
        /// What one holds, where said.
        size: Option<Reading>,
    },
    /// `2 kg of shea`.
    Bulk {
        /// How much.
        amount: Reading,
        /// Of what.
        of: Name,
    },
}

/// Words for pieces that hold something: singular and plural.
pub(crate) const PIECES: &[(&str, &str)] = &[
    ("jar", "jars"),
    ("tin", "tins"),
    ("piece", "pieces"),
    ("block", "blocks"),
    ("pot", "pots"),
    ("bottle", "bottles"),
    ("box", "boxes"),
    ("bag", "bags"),
    ("bucket", "buckets"),
    ("tub", "tubs"),
    ("tube", "tubes"),
    ("candle", "candles"),
    ("bar", "bars"),
    ("lid", "lids"),
    ("label", "labels"),
];

/// The plural under which pieces are kept: `jar` and `jars` are both `jars`.
pub(crate) fn plural(word: &str) -> Name {
    PIECES
        .iter()
        .find(|(one, many)| *one == word || *many == word)
        .map_or_else(|| Name::new(many_of(word)), |(_, many)| Name::new_static(many))
}

/// More than one of a piece that has no entry in the list.
fn many_of(word: &str) -> String {
    match word.ends_with('s') {
        _ if word.ends_with("ss") => format!("{word}es"),
        true => word.to_owned(),
        false => format!("{word}s"),
    }
}

fn singular(word: &str) -> &str {
    PIECES
        .iter()
        .find(|(_, many)| *many == word)
        .map_or(word, |(one, _)| one)
}

impl fmt::Display for Price {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.digits, self.currency.as_str())
    }
}

impl fmt::Display for Share {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Eighths(eighths) => write!(f, "{eighths}/8"),
            Self::Percent(percent) => write!(f, "{percent} %"),
        }
    }
}

impl fmt::Display for Places {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (n, (from, to)) in self.0.iter().enumerate() {
            match n {
                0 => {}
                _ if n + 1 == self.0.len() => f.write_str(" and ")?,
                _ => f.write_str(", ")?,
            }
            if from == to {
                write!(f, "{from}")?;
            } else {
                write!(f, "{from} to {to}")?;
            }
        }
        Ok(())
    }
}

impl fmt::Display for Bars {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Places { hive, places } => {
                let word = if places.count() == 1 { "bar" } else { "bars" };
                write!(f, "{hive} {word} {places}")
            }
            Self::Tagged(tag) => write!(f, "bar {tag}"),
        }
    }
}

impl fmt::Display for Goods {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Pieces { count, kind, size } => {
                let word = if *count == 1 { singular(kind) } else { kind };
                write!(f, "{count} {word}")?;
                size.iter().try_for_each(|size| write!(f, " of {size}"))
            }
            Self::Bulk { amount, of } => write!(f, "{amount} of {of}"),
        }
    }
}

/// Free words as a note writes them: bare where that reads back the same, else between quotes.
pub(crate) fn write_text(text: &str, out: &mut String) {
    if is_bare_word(text) && !super::table::is_reserved(text) {
        out.push_str(text);
    } else {
        let _ = write!(out, "\"{text}\"");
    }
}

fn is_bare_word(text: &str) -> bool {
    let mut tokens = Vec::new();
    super::lex::lex(text, &mut tokens);
    matches!(tokens.as_slice(), [only] if only.sort == super::lex::Sort::Word && only.range() == (0..text.len()))
        && super::numbers::spoken(text).is_none()
}

/// A length of time as a note writes it: `2h30`, `45min`, `3h`.
pub(crate) fn write_duration(minutes: u32, out: &mut String) {
    let _ = match (minutes / 60, minutes % 60) {
        (0, rest) => write!(out, "{rest}min"),
        (hours, 0) => write!(out, "{hours}h"),
        (hours, rest) => write!(out, "{hours}h{rest:02}"),
    };
}
