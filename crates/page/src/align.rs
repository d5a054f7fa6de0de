//! Amounts below each other, point below point.

use crate::table::Table;
use crate::words::{Span, Words};

/// The digits of a cell that is a single amount.
pub(crate) fn digits_of(said: &Words) -> Option<&str> {
    match said.0.as_slice() {
        [Span::Amount(one)] => Some(&one.digits),
        [Span::Plain(text)] if is_number(text) => Some(text),
        _ => None,
    }
}

/// Whether a text is a number and nothing else: a sign or none, digits, and perhaps a point and digits.
pub(crate) fn is_number(text: &str) -> bool {
    let unsigned = text.strip_prefix(['-', '+']).unwrap_or(text);
    let (whole, part) = unsigned.split_once('.').unwrap_or((unsigned, "0"));
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    digits(whole) && digits(part)
}

/// How many decimals the amounts of a column have at most.
pub(crate) fn most_decimals(table: &Table, column: usize) -> usize {
    let cells = table.rows.iter().filter_map(|row| row.cells.get(column));
    cells
        .filter_map(|said| digits_of(said).map(decimals))
        .max()
        .unwrap_or(0)
}

/// What an amount lacks of so many decimals, in spaces as wide as a point and as a digit.
pub(crate) fn padding(digits: &str, most: usize, point: char, digit: char) -> String {
    let has = decimals(digits);
    let no_point = has == 0 && most > 0;
    let mut pad = String::new();
    pad.extend(no_point.then_some(point));
    pad.extend((has..most).map(|_| digit));
    pad
}

fn decimals(digits: &str) -> usize {
    digits.split_once('.').map_or(0, |(_, behind)| behind.len())
}

/// An amount of a column, with what it lacks of the longest decimals among its neighbours.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FilledUp<'a> {
    /// The digits.
    pub digits: &'a str,
    /// What is missing behind them, as a point and digits; not to be seen.
    pub pad: String,
    /// The unit, where no column says it.
    pub unit: Option<&'a str>,
}

impl Table {
    /// A cell of a column as an amount, filled up so that the points of the column stand below each other where the
    /// cells are set flush right. `None` where it is no single amount.
    pub fn filled_up<'a>(&self, column: usize, said: &'a Words) -> Option<FilledUp<'a>> {
        let digits = digits_of(said)?;
        let unit = match said.0.as_slice() {
            [Span::Amount(amount)] => amount.unit.as_deref(),
            _ => None,
        };
        Some(FilledUp {
            digits,
            pad: padding(digits, most_decimals(self, column), '.', '0'),
            unit,
        })
    }
}
