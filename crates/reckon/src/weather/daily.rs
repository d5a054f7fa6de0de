//! Our own form: a header, then a day a row.

use std::collections::BTreeMap;

use jiff::civil::Date;
use quantity::Celsius;

use super::{DailySeries, DayWeather, Form, WeatherFaults, WeatherFile, plausible, plausible_rain};

/// What is accepted as a header.
const HEADER: &str = "a header row with the columns date,tmin_c,tmax_c (or tmin_f,tmax_f) and perhaps rain_mm would be accepted";

/// Which column holds what.
struct Columns {
    date: usize,
    low: usize,
    high: usize,
    rain: Option<usize>,
    in_fahrenheit: bool,
    names: Vec<String>,
}

impl Columns {
    fn of(header: &csv::StringRecord, line: usize) -> Result<Self, WeatherFaults> {
        let names: Vec<String> = header
            .iter()
            .map(|name| name.trim().to_ascii_lowercase())
            .collect();
        let at = |name: &str| names.iter().position(|other| other == name);
        for (idx, name) in names.iter().enumerate() {
            if !name.is_empty() && at(name) != Some(idx) {
                return Err(WeatherFaults::one(line, name, "the column is there twice"));
            }
        }
        let wanting =
            |name: &str| WeatherFaults::one(line, name, format!("the column is not there; {HEADER}"));
        let date = at("date").ok_or_else(|| wanting("date"))?;
        let in_fahrenheit = at("tmin_c").is_none() && at("tmin_f").is_some();
        let (low, high) = if in_fahrenheit {
            ("tmin_f", "tmax_f")
        } else {
            ("tmin_c", "tmax_c")
        };
        Ok(Self {
            date,
            low: at(low).ok_or_else(|| wanting(low))?,
            high: at(high).ok_or_else(|| wanting(high))?,
            rain: at("rain_mm"),
            in_fahrenheit,
            names,
        })
    }

    fn unused(&self) -> Vec<String> {
        let used = [Some(self.date), Some(self.low), Some(self.high), self.rain];
        let unused = (0..self.names.len()).filter(|idx| !used.contains(&Some(*idx)));
        unused
            .map(|idx| format!("column \"{}\"", self.names[idx]))
            .collect()
    }
}

pub(super) fn read(text: &str) -> Result<WeatherFile, WeatherFaults> {
    let mut rows = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .from_reader(text.as_bytes());
    let mut columns: Option<Columns> = None;
    let mut faults = WeatherFaults::default();
    let mut seen: BTreeMap<Date, usize> = BTreeMap::new();
    let mut series = DailySeries::default();
    let mut without_value = 0;
    for row in rows.records() {
        let row = row.map_err(|wrong| {
            let line = wrong.position().map_or(0, csv::Position::line);
            WeatherFaults::one(line_number(line), "", format!("cannot be read as CSV: {wrong}"))
        })?;
        let line = line_number(row.position().map_or(0, csv::Position::line));
        let Some(columns) = &columns else {
            columns = Some(Columns::of(&row, line)?);
            continue;
        };
        if row.iter().all(|cell| cell.trim().is_empty()) {
            continue;
        }
        if row.len() != columns.names.len() {
            let (cells, named) = (row.len(), columns.names.len());
            faults.add(line, "", format!("has {cells} cells, and the header has {named}"));
        } else if let Some((date, day)) = day(&row, columns, line, &mut faults) {
            without_value += usize::from(day.low.is_none()) + usize::from(day.high.is_none());
            match seen.insert(date, line) {
                Some(before) => faults.add(
                    line,
                    "date",
                    format!("{date} is there already, in line {before}; each day once would be accepted"),
                ),
                None => series.lay(date, day),
            }
        }
        if faults.is_full() {
            break;
        }
    }
    let Some(columns) = columns else {
        return Err(WeatherFaults::one(1, "", format!("the file is empty; {HEADER}")));
    };
    faults.unless(WeatherFile {
        form: Form::Daily,
        station: None,
        series,
        flagged: 0,
        without_value,
        upside_down: 0,
        unused: columns.unused(),
    })
}

/// One row, or what is wrong with it.
fn day(
    row: &csv::StringRecord,
    columns: &Columns,
    line: usize,
    faults: &mut WeatherFaults,
) -> Option<(Date, DayWeather)> {
    let before = faults.0.len();
    let cell = |idx: usize| row.get(idx).unwrap_or("").trim();
    let date = iso_date(cell(columns.date));
    if date.is_none() {
        let wrong = format!(
            "\"{}\" is no day; a day such as 2026-03-01 would be accepted",
            cell(columns.date)
        );
        faults.add(line, "date", wrong);
    }
    let mut temperature = |idx: usize| {
        let typed = cell(idx);
        let read = temperature(typed, columns.in_fahrenheit);
        if !typed.is_empty() && read.is_none() {
            let (name, from, to) = (
                columns.names[idx].as_str(),
                if columns.in_fahrenheit { -130 } else { -90 },
                if columns.in_fahrenheit { 140 } else { 60 },
            );
            faults.add(
                line,
                name,
                format!("\"{typed}\" is no temperature; a number from {from} to {to} would be accepted"),
            );
        }
        read
    };
    let (low, high) = (temperature(columns.low), temperature(columns.high));
    let rain_mm = columns.rain.map(cell).filter(|typed| !typed.is_empty());
    let rain_mm = rain_mm.and_then(|typed| {
        let read = plain_number(typed).and_then(plausible_rain);
        if read.is_none() {
            let wrong =
                format!("\"{typed}\" is no rain of a day; millimetres from 0 to 2000 would be accepted");
            faults.add(line, "rain_mm", wrong);
        }
        read
    });
    let day = DayWeather { low, high, rain_mm };
    if let (Some(low), Some(high), true) = (low, high, day.is_upside_down()) {
        let wrong = format!(
            "the lowest temperature ({:.1} °C) is above the highest ({:.1} °C)",
            low.get(),
            high.get()
        );
        faults.add(line, &columns.names[columns.low], wrong);
    }
    date.filter(|_| faults.0.len() == before).map(|date| (date, day))
}

fn temperature(typed: &str, in_fahrenheit: bool) -> Option<Celsius> {
    let degrees = plain_number(typed)?;
    let celsius = if in_fahrenheit {
        Celsius::from_fahrenheit(degrees)?
    } else {
        Celsius::new(degrees)?
    };
    plausible(celsius.get())
}

/// Digits with perhaps a sign and a point: no exponent, no words such as `nan`.
pub(super) fn plain_number(typed: &str) -> Option<f64> {
    let typed = typed.replace('−', "-");
    let unsigned = typed.strip_prefix(['-', '+']).unwrap_or(&typed);
    let is_plain = unsigned.chars().all(|sign| sign.is_ascii_digit() || sign == '.')
        && unsigned.ends_with(|sign: char| sign.is_ascii_digit());
    is_plain.then(|| typed.parse().ok()).flatten()
}

/// `2026-03-01`, and nothing looser.
pub(super) fn iso_date(typed: &str) -> Option<Date> {
    let bytes = typed.as_bytes();
    let in_shape = bytes.len() == 10
        && bytes.iter().enumerate().all(|(idx, byte)| match idx {
            4 | 7 => *byte == b'-',
            _ => byte.is_ascii_digit(),
        });
    if !in_shape {
        return None;
    }
    Date::new(
        typed[..4].parse().ok()?,
        typed[5..7].parse().ok()?,
        typed[8..].parse().ok()?,
    )
    .ok()
}

pub(super) fn line_number(line: u64) -> usize {
    usize::try_from(line).unwrap_or(usize::MAX)
}
