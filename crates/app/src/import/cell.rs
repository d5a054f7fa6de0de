//! What a cell says, as a note writes it: days in any order of their parts, decimals with a comma, yes and no.
//!
//! What cannot be told for certain is refused with the reason.

use apiary::note::compose::Fills;
use apiary::note::table::Kind;
use jiff::civil::Date;

use super::mapping::DayOrder;

/// What fills a key.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Filling {
    /// The day of the note, or another one.
    Day,
    /// The hour.
    Hour,
    /// Words that are there or not.
    Flag,
    /// A length of time.
    Duration,
    /// A number, with or without a unit.
    Number,
    /// Names, words and places, as they stand.
    Words,
}

impl Filling {
    pub(super) fn of(fills: Fills) -> Self {
        match fills {
            Fills::Flag => Self::Flag,
            Fills::BarsHive | Fills::BarsPlaces => Self::Words,
            Fills::Value(kind) => match kind {
                Kind::Name(..) | Kind::Text | Kind::Word(_) | Kind::Bars => Self::Words,
                Kind::Day => Self::Day,
                Kind::Duration => Self::Duration,
                Kind::Count
                | Kind::Number
                | Kind::Mass
                | Kind::Length
                | Kind::Area
                | Kind::Volume
                | Kind::Amount
                | Kind::Temperature
                | Kind::Percent
                | Kind::Share
                | Kind::Money
                | Kind::Lengths
                | Kind::Goods => Self::Number,
            },
        }
    }

    /// Whether its numbers may have a decimal sign.
    pub(super) fn has_decimals(self) -> bool {
        matches!(self, Self::Number | Self::Duration)
    }
}

/// What spreadsheet programs show where a calculation went wrong.
const ERRORS: &[&str] = &["#N/A", "#DIV/0!", "#REF!", "#VALUE!", "#NAME?", "#NUM!", "#NULL!"];

/// Whether a cell holds the word for a calculation that went wrong.
pub(super) fn is_error(cell: &str) -> bool {
    ERRORS.contains(&cell)
}

/// Numbers with a decimal comma, with a point instead; points between groups of three digits are left out.
pub(super) fn pointed(cell: &str) -> Result<String, String> {
    let mut out = String::with_capacity(cell.len());
    let mut rest = cell;
    while let Some(start) = rest.find(|letter: char| letter.is_ascii_digit()) {
        let (before, from) = rest.split_at(start);
        let part_of_number = |letter: char| letter.is_ascii_digit() || letter == ',' || letter == '.';
        let end = from.find(|letter| !part_of_number(letter)).unwrap_or(from.len());
        let number = from[..end].trim_end_matches([',', '.']);
        out.push_str(before);
        out.push_str(&pointed_number(number)?);
        rest = &from[number.len()..];
    }
    out.push_str(rest);
    Ok(out)
}

fn pointed_number(number: &str) -> Result<String, String> {
    let (whole, decimals) = match number.split_once(',') {
        Some((whole, decimals)) => (whole, Some(decimals)),
        None => (number, None),
    };
    let groups: Vec<&str> = whole.split('.').collect();
    let is_grouped =
        groups.len() > 1 && groups[0].len() <= 3 && groups[1..].iter().all(|group| group.len() == 3);
    match decimals {
        Some(decimals) if decimals.contains([',', '.']) => Ok(number.to_owned()),
        Some(decimals) if is_grouped || groups.len() == 1 => Ok(format!("{}.{decimals}", groups.concat())),
        Some(_) => Ok(number.to_owned()),
        None if is_grouped && groups.len() == 2 => Err(format!(
            "“{number}” may be {} or {}; write it without the point, or with a comma for the decimals",
            groups.concat(),
            number.replace('.', ",")
        )),
        None if is_grouped => Ok(groups.concat()),
        None => Ok(number.to_owned()),
    }
}

/// A day in the order of its parts, with the hour that may stand behind it. A day with the year first is one
/// whatever the order.
pub(super) fn day(said: &str, order: DayOrder) -> Result<(Date, Option<String>), String> {
    let (day_part, hour_part) = match said.split_once([' ', 'T']) {
        Some((day, hour)) => (day, Some(hour.trim())),
        None => (said, None),
    };
    let day = date(day_part.trim_end_matches('.'), order).ok_or_else(|| {
        let short_year = day_part
            .split(['-', '/', '.'])
            .filter(|part| !part.is_empty())
            .all(|part| part.len() <= 2);
        let shown = shortened(said);
        if short_year && day_part.contains(['-', '/', '.']) {
            return format!("“{shown}” is no day: write the year with four digits");
        }
        format!("“{shown}” is no day {}", order.example())
    })?;
    let hour = match hour_part {
        None | Some("") => None,
        Some(said) => match hour(said).as_str() {
            // What spreadsheet programs put behind a day that was typed without an hour.
            "00:00" => None,
            hour if is_hour(hour) => Some(hour.to_owned()),
            _ => return Err(format!("“{}” is no hour of the day", shortened(said))),
        },
    };
    Ok((day, hour))
}

fn date(said: &str, order: DayOrder) -> Option<Date> {
    let separator = said.chars().find(|letter| !letter.is_ascii_digit())?;
    if !matches!(separator, '-' | '/' | '.') {
        return None;
    }
    let parts: Vec<&str> = said.split(separator).collect();
    let [first, second, third] = parts.as_slice() else {
        return None;
    };
    let is_year_first = first.len() == 4;
    let (year, month, day) = match order {
        _ if is_year_first => (first, second, third),
        DayOrder::Ymd => return None,
        DayOrder::Dmy => (third, second, first),
        DayOrder::Mdy => (third, first, second),
    };
    let number = |part: &str, most: usize| {
        let plain = !part.is_empty() && part.len() <= most && part.bytes().all(|byte| byte.is_ascii_digit());
        part.parse::<i16>().ok().filter(|_| plain)
    };
    let year = number(year, 4).filter(|_| year.len() == 4)?;
    let (month, day) = (number(month, 2)?, number(day, 2)?);
    Date::new(year, i8::try_from(month).ok()?, i8::try_from(day).ok()?).ok()
}

/// An hour as a note writes it: `9:05` and `09:05:00` are `09:05`.
pub(super) fn hour(said: &str) -> String {
    let mut parts = said.split(':');
    let (Some(hour), Some(minute)) = (parts.next(), parts.next()) else {
        return said.to_owned();
    };
    let seconds = parts.next().unwrap_or("00");
    let seconds = seconds.split('.').next().unwrap_or_default();
    let plain =
        |part: &str| part.len() <= 2 && !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    match parts.next() {
        None if plain(hour) && plain(minute) && plain(seconds) => format!("{hour:0>2}:{minute:0>2}"),
        _ => said.to_owned(),
    }
}

fn is_hour(said: &str) -> bool {
    said.parse::<ledger::Hour>().is_ok()
}

/// Whether a flag is said.
pub(super) fn flag(said: &str, key: &str) -> Result<bool, String> {
    let small = said.to_lowercase();
    match small.as_str() {
        "" | "no" | "n" | "false" | "0" | "-" => Ok(false),
        "yes" | "y" | "true" | "1" | "x" | "✓" | "✔" => Ok(true),
        word if word.replace(' ', "-") == key => Ok(true),
        _ => Err(format!("“{}” is neither yes nor no", shortened(said))),
    }
}

/// A length of time as a note writes it: `2:30` and `2.5 h` are `2h30`.
pub(super) fn duration(said: &str) -> String {
    let whole = |part: &str| {
        part.parse::<u32>()
            .ok()
            .filter(|_| part.bytes().all(|byte| byte.is_ascii_digit()))
    };
    if let Some((hours, minutes)) = said.split_once(':')
        && let (Some(hours), Some(rest)) = (whole(hours), whole(minutes))
        && minutes.len() == 2
    {
        return format!("{hours}h{rest:02}");
    }
    let number = said
        .trim_end_matches(|letter: char| letter.is_ascii_alphabetic())
        .trim_end();
    let is_hours = matches!(said[number.len()..].trim_start(), "h" | "hour" | "hours");
    if let Some((hours, part)) = number.split_once('.').filter(|_| is_hours)
        && let (Some(hours), Some(decimals)) = (whole(hours), whole(part))
        && part.len() <= 4
    {
        let of = 10_u32.pow(u32::try_from(part.len()).unwrap_or(0));
        // A length of time that is no whole number of minutes is left for the reader to refuse.
        if (decimals * 60).is_multiple_of(of) {
            return format!("{hours}h{:02}", decimals * 60 / of);
        }
    }
    said.to_owned()
}

/// The beginning of what a cell holds, as it can be shown in a sentence.
pub(super) fn shortened(said: &str) -> String {
    const LONGEST: usize = 60;
    let mut letters = said.chars().map(harmless);
    let mut short: String = letters.by_ref().take(LONGEST).collect();
    if letters.next().is_some() {
        short.push('…');
    }
    short
}

/// Control characters and marks that turn the direction of writing would speak to the screen.
fn harmless(letter: char) -> char {
    let turns = matches!(letter, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    if letter.is_control() || turns { ' ' } else { letter }
}
