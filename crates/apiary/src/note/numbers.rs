//! Numbers in figures and in words.

use quantity::{Mass, Reading, Unit, UnitKind};
use rust_decimal::Decimal;

pub(super) fn decimal(figures: &str) -> Option<Decimal> {
    let digits = figures.strip_prefix('-').unwrap_or(figures);
    let plain = digits.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.');
    if !plain || digits.len() > 18 || digits.ends_with('.') {
        return None;
    }
    Decimal::from_str_exact(figures).ok()
}

/// `3/4`, `1-1/4`: the fractions of an inch, a pound or an ounce.
pub(super) fn fraction(figures: &str, unit: Unit) -> Option<Reading> {
    let (whole, part) = figures.split_once('-').unwrap_or(("0", figures));
    let (over, under) = part.split_once('/')?;
    Reading::with_fraction(whole.parse().ok()?, over.parse().ok()?, under.parse().ok()?, unit)
}

/// No note is about more than this, so that sums over all notes stay exact. Ten tonnes are a year of a hundred hives.
const MOST_MASS: Mass = Mass::kg(10_000);

/// No note counts more than this.
pub(super) const MOST_PIECES: u32 = 1_000_000;

/// No note is about more money than this, in the smallest coins.
pub(super) const MOST_MONEY: i64 = 100_000_000_000;

/// Whether an amount has an exact value inside the range of its quantity.
pub(super) fn representable(reading: Reading) -> bool {
    match reading.unit().kind() {
        UnitKind::Mass => reading.mass().is_some_and(|mass| mass <= MOST_MASS),
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
