//! Quantities as they are typed on the command line: a number, perhaps a fraction, perhaps a space, a unit.
//!
//! Holds true: what is read here is a number with the right unit, in the range of its kind; everything else
//! is refused with the flag and what would be accepted.
//!
//! Does not: guess a unit; take a comma, which is a decimal sign in one country and none in the next.
//!
//! Start at [`length`]; all kinds are read alike.

use std::fmt::Display;

use quantity::{Celsius, Currency, Fraction, Length, Mass, Money, Reading, Unit, UnitKind};
use rust_decimal::Decimal;

use super::Refused;

/// A refusal: the flag, what is wrong with it, and what would be accepted.
pub(super) fn refused(flag: &str, wrong: impl Display, accepted: impl Display) -> Refused {
    Refused(format!("{flag}: {wrong}; {accepted} would be accepted."))
}

/// What was given for a flag that has to be given.
pub(super) fn required<'a>(
    flag: &str,
    given: Option<&'a String>,
    accepted: &str,
) -> Result<&'a str, Refused> {
    given
        .map(String::as_str)
        .ok_or_else(|| refused(flag, "this flag is missing", accepted))
}

/// A mass of nothing or more.
pub(super) fn mass(flag: &str, given: Option<&String>) -> Result<Mass, Refused> {
    let read = reading(flag, given, UnitKind::Mass)?;
    let mass = read
        .mass()
        .ok_or_else(|| beyond(flag, &read, "is too large", UnitKind::Mass))?;
    (mass >= Mass::ZERO)
        .then_some(mass)
        .ok_or_else(|| beyond(flag, &read, "is less than nothing", UnitKind::Mass))
}

/// A length of nothing or more.
pub(super) fn length(flag: &str, given: Option<&String>) -> Result<Length, Refused> {
    let read = reading(flag, given, UnitKind::Length)?;
    let length = read
        .length()
        .ok_or_else(|| beyond(flag, &read, "is too large", UnitKind::Length))?;
    (length >= Length::ZERO)
        .then_some(length)
        .ok_or_else(|| beyond(flag, &read, "is less than nothing", UnitKind::Length))
}

/// A temperature above absolute zero.
pub(super) fn temperature(flag: &str, given: Option<&String>) -> Result<Celsius, Refused> {
    let read = reading(flag, given, UnitKind::Temperature)?;
    read.celsius()
        .ok_or_else(|| beyond(flag, &read, "is below absolute zero", UnitKind::Temperature))
}

/// A temperature, or 20 °C if none is given.
pub(super) fn temperature_or_20(flag: &str, given: Option<&String>) -> Result<Celsius, Refused> {
    match given {
        Some(_) => temperature(flag, given),
        None => Ok(Celsius::new(20.0).expect("BUG: 20 °C is a temperature")),
    }
}

/// The note that goes with [`temperature_or_20`].
pub(super) fn note_of_20(flag: &str, given: Option<&String>) -> Option<String> {
    given
        .is_none()
        .then(|| format!("no {flag} is given: 20 °C is assumed"))
}

/// A part from 0 to 100 %.
pub(super) fn fraction(flag: &str, given: Option<&String>) -> Result<Fraction, Refused> {
    let read = reading(flag, given, UnitKind::Percent)?;
    Fraction::percent(number(read.digits())).ok_or_else(|| {
        refused(
            flag,
            format!("{read} is no part of a whole"),
            "a percentage from 0 to 100 %, such as 17.4%,",
        )
    })
}

/// An amount read in a unit of this kind.
pub(super) fn reading(flag: &str, given: Option<&String>, kind: UnitKind) -> Result<Reading, Refused> {
    let accepted = accepted(kind);
    let typed = Typed::split(flag, required(flag, given, accepted)?, accepted)?;
    if typed.unit.is_empty() {
        return Err(refused(
            flag,
            format!("\"{}\" has no unit", typed.number),
            accepted,
        ));
    }
    let unit = Unit::from_word(typed.unit).ok_or_else(|| {
        let wrong = format!("\"{}\" is no unit known here", typed.unit);
        refused(flag, wrong, accepted)
    })?;
    if unit.kind() != kind {
        return Err(refused(
            flag,
            format!("\"{}\" is a unit of another kind", typed.unit),
            accepted,
        ));
    }
    if typed.number.contains('/') {
        return read_fraction(typed.number, unit).ok_or_else(|| {
            refused(
                flag,
                format!("\"{}\" is no fraction of a rule or a scale", typed.number),
                "a fraction of inches, feet, pounds or ounces with 2, 4, 8, 16, 32 or 64 below the line, such as \"1-1/4 in\",",
            )
        });
    }
    Ok(Reading::new(typed.decimal(flag, accepted)?, unit))
}

/// A plain number, behind which one of these words may stand.
pub(super) fn bare(flag: &str, given: &str, words: &[&str], accepted: &str) -> Result<Decimal, Refused> {
    let typed = Typed::split(flag, given, accepted)?;
    if !typed.unit.is_empty() && !words.contains(&typed.unit) {
        let wrong = format!("\"{}\" does not belong behind this number", typed.unit);
        return Err(refused(flag, wrong, accepted));
    }
    typed.decimal(flag, accepted)
}

/// A sum of money, such as `10.00 GBP`; a debt is negative.
pub(super) fn money(flag: &str, given: Option<&String>) -> Result<Money, Refused> {
    let accepted = "an amount with the three capital letters of its currency, such as \"10.00 GBP\",";
    let typed = Typed::split(flag, required(flag, given, accepted)?, accepted)?;
    let currency = Currency::new(typed.unit).ok_or_else(|| {
        let wrong = if typed.unit.is_empty() {
            format!("\"{}\" has no currency", typed.number)
        } else {
            format!("\"{}\" is no currency", typed.unit)
        };
        refused(flag, wrong, accepted)
    })?;
    Money::from_decimal(typed.decimal(flag, accepted)?, currency).ok_or_else(|| {
        let digits = currency.minor_digits();
        refused(
            flag,
            format!("{} {currency} cannot be counted in its minor unit", typed.number),
            format!("an amount with {digits} decimals at most"),
        )
    })
}

/// A decimal as a binary number, the nearest there is.
pub(super) fn number(digits: Decimal) -> f64 {
    digits
        .to_string()
        .parse()
        .expect("BUG: a decimal is printed as a number")
}

/// What was typed, parted into a number and what stands behind it.
struct Typed<'a> {
    number: &'a str,
    unit: &'a str,
}

impl<'a> Typed<'a> {
    fn split(flag: &str, given: &'a str, accepted: &str) -> Result<Self, Refused> {
        let given = given.trim();
        if given.contains(',') {
            let wrong = format!("\"{given}\" has a comma, and the decimal sign is the point");
            return Err(refused(flag, wrong, accepted));
        }
        let end = given.find(|sign| !may_be_of_number(sign)).unwrap_or(given.len());
        let (number, unit) = given.split_at(end);
        if !number.contains(|sign: char| sign.is_ascii_digit()) {
            return Err(refused(flag, format!("\"{given}\" is no number"), accepted));
        }
        Ok(Self {
            number: number.trim(),
            unit: unit.trim(),
        })
    }

    fn decimal(&self, flag: &str, accepted: &str) -> Result<Decimal, Refused> {
        plain_decimal(self.number).ok_or_else(|| {
            let wrong = format!("\"{}\" is no number, or has too many digits", self.number);
            refused(flag, wrong, accepted)
        })
    }
}

fn may_be_of_number(sign: char) -> bool {
    sign.is_ascii_digit() || sign.is_whitespace() || matches!(sign, '+' | '-' | '−' | '.' | '/')
}

/// Digits with perhaps a sign before and a point among them; no exponent, and nothing rounded away.
fn plain_decimal(typed: &str) -> Option<Decimal> {
    let typed = typed.replace('−', "-");
    let unsigned = typed.strip_prefix(['-', '+']).unwrap_or(&typed);
    let is_plain = unsigned.chars().all(|sign| sign.is_ascii_digit() || sign == '.')
        && unsigned.ends_with(|sign: char| sign.is_ascii_digit());
    is_plain.then(|| Decimal::from_str_exact(&typed).ok()).flatten()
}

/// `1-1/4`, `1 1/4` or `3/8` of a unit.
fn read_fraction(typed: &str, unit: Unit) -> Option<Reading> {
    let (whole, fraction) = match typed.split_once(['-', ' ']) {
        Some((whole, fraction)) => (whole.trim().parse().ok()?, fraction.trim()),
        None => (0, typed),
    };
    let (num, den) = fraction.split_once('/')?;
    Reading::with_fraction(whole, num.trim().parse().ok()?, den.trim().parse().ok()?, unit)
}

fn beyond(flag: &str, read: &Reading, wrong: &str, kind: UnitKind) -> Refused {
    refused(flag, format!("{read} {wrong}"), accepted(kind))
}

const fn accepted(kind: UnitKind) -> &'static str {
    match kind {
        UnitKind::Mass => "a mass such as 340g, 20kg or \"12 oz\"",
        UnitKind::Length => "a length such as 35mm, 44.5cm or \"1-1/4 in\"",
        UnitKind::Volume => "a volume such as 240ml, 20l or \"5 gal\"",
        UnitKind::Temperature => "a temperature such as \"25 C\" or \"77 F\"",
        UnitKind::Percent => "a percentage such as 17.4%",
        UnitKind::Area => "an area such as 8.9dm2 or \"25 in2\"",
    }
}
