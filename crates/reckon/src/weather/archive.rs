//! The three forms of NOAA's Global Historical Climatology Network Daily.
//!
//! A value is a whole number of tenths (of a °C, of a mm); −9999 is a missing one; a value whose quality flag
//! is not blank has failed one of the archive's own checks. The widths of the `.dly` file are published; the
//! layout of the two CSV files is *from memory*.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;

use super::daily::{iso_date, line_number};
use super::{DailySeries, DayWeather, Form, WeatherFaults, WeatherFile, plausible, plausible_rain};

/// What the archive writes for a value it has not got.
const MISSING: i32 = -9999;

/// ID 11, YEAR 4, MONTH 2, ELEMENT 4.
const HEAD: usize = 21;
/// VALUE 5, MFLAG 1, QFLAG 1, SFLAG 1.
const CELL: usize = 8;
/// A row of `.dly`: the head and 31 days.
const ROW: usize = HEAD + 31 * CELL;

const _: () = assert!(
    ROW == 269,
    "a row of a .dly file is published to have 269 characters"
);

/// So many names of stations are told where one has to be chosen.
const MOST_STATIONS: usize = 8;

/// The readings as they are put together.
#[derive(Default)]
struct Gathered {
    days: BTreeMap<Date, DayWeather>,
    stations: BTreeSet<String>,
    seen: BTreeMap<(Date, Element), usize>,
    flagged: usize,
    without_value: usize,
    unused: BTreeSet<String>,
    faults: WeatherFaults,
}

/// The elements that are used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Element {
    Low,
    High,
    Rain,
}

impl Element {
    const ALL: [Self; 3] = [Self::Low, Self::High, Self::Rain];

    fn of(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|element| element.word() == word)
    }

    const fn word(self) -> &'static str {
        match self {
            Self::Low => "TMIN",
            Self::High => "TMAX",
            Self::Rain => "PRCP",
        }
    }
}

impl Gathered {
    /// Takes one value, unless the archive itself says it is missing or doubtful.
    fn take(&mut self, (line, date, element): (usize, Date, Element), value: &str, quality: &str) {
        let column = element.word();
        let Ok(tenths) = value.trim().parse::<i32>() else {
            let wrong = format!(
                "\"{}\" is no value; a whole number of tenths would be accepted",
                value.trim()
            );
            return self.faults.add(line, column, wrong);
        };
        if tenths == MISSING {
            self.without_value += 1;
            return;
        }
        if !quality.trim().is_empty() {
            self.flagged += 1;
            return;
        }
        if let Some(before) = self.seen.insert((date, element), line) {
            let wrong = format!("{date} has this already, in line {before}; once would be accepted");
            return self.faults.add(line, column, wrong);
        }
        let read = f64::from(tenths) / 10.0;
        let day = self.days.entry(date).or_default();
        let took = match element {
            Element::Low => {
                day.low = plausible(read);
                day.low.is_some()
            }
            Element::High => {
                day.high = plausible(read);
                day.high.is_some()
            }
            Element::Rain => {
                day.rain_mm = plausible_rain(read);
                day.rain_mm.is_some()
            }
        };
        if !took {
            let wrong = format!(
                "{read} cannot be; tenths of a °C from -900 to 600, or of a mm from 0 to 20000, would be accepted"
            );
            self.faults.add(line, column, wrong);
        }
    }

    /// Whether a row is of the wanted station.
    fn is_wanted(&mut self, station: &str, wanted: Option<&str>) -> bool {
        let station = station.trim();
        if !self.stations.contains(station) {
            self.stations.insert(station.to_owned());
        }
        match wanted {
            Some(wanted) => wanted.trim() == station,
            // Of several stations none is read: one has to be named.
            None => self.stations.len() == 1,
        }
    }

    fn finish(self, form: Form, wanted: Option<&str>) -> Result<WeatherFile, WeatherFaults> {
        let mut names: Vec<String> = self.stations.iter().take(MOST_STATIONS).cloned().collect();
        if self.stations.len() > MOST_STATIONS {
            names.push(format!("and {} more", self.stations.len() - MOST_STATIONS));
        }
        let names = names.join(", ");
        let station = match wanted {
            Some(wanted) if !self.stations.contains(wanted.trim()) => {
                let wrong = format!("the file has no station {}; it has {names}", wanted.trim());
                return Err(WeatherFaults::one(1, "station", wrong));
            }
            Some(wanted) => Some(wanted.trim().to_owned()),
            None if self.stations.len() > 1 => {
                let wrong = format!("the file has several stations, and one has to be named: {names}");
                return Err(WeatherFaults::one(1, "station", wrong));
            }
            None => self.stations.first().cloned(),
        };
        let mut series = DailySeries::default();
        let mut upside_down = 0;
        for (date, mut day) in self.days {
            if day.is_upside_down() {
                upside_down += 1;
                (day.low, day.high) = (None, None);
            }
            series.lay(date, day);
        }
        self.faults.unless(WeatherFile {
            form,
            station,
            series,
            flagged: self.flagged,
            without_value: self.without_value,
            upside_down,
            unused: self.unused.into_iter().collect(),
        })
    }
}

/// Whether a file that begins so is a `.dly` file.
pub(super) fn is_dly(first: &str) -> bool {
    first.len() > HEAD
        && first.is_ascii()
        && !first[..HEAD].contains(',')
        && first[11..17].bytes().all(|byte| byte.is_ascii_digit())
        && first[17..HEAD].bytes().all(|byte| byte.is_ascii_alphanumeric())
}

pub(super) fn dly(text: &str, wanted: Option<&str>) -> Result<WeatherFile, WeatherFaults> {
    let mut gathered = Gathered::default();
    for (idx, row) in text.lines().enumerate() {
        let line = idx + 1;
        if gathered.faults.is_full() {
            break;
        }
        if !row.trim().is_empty() {
            dly_row(row, line, wanted, &mut gathered);
        }
    }
    gathered.finish(Form::Dly, wanted)
}

fn dly_row(row: &str, line: usize, wanted: Option<&str>, gathered: &mut Gathered) {
    // Blank flags at the end of a row may have been cut off on the way, never a value.
    if !row.is_ascii() || !(ROW - 3..=ROW).contains(&row.len()) {
        let wrong = format!(
            "has {} characters; a row of {ROW} characters would be accepted",
            row.chars().count()
        );
        return gathered.faults.add(line, "", wrong);
    }
    let row = format!("{row:<ROW$}");
    let (year, month) = (row[11..15].parse::<i16>(), row[15..17].parse::<i8>());
    let first = match (year, month) {
        (Ok(year), Ok(month)) => Date::new(year, month, 1).ok(),
        _ => None,
    };
    let Some(first) = first else {
        let wrong = format!("\"{}\" is no year and month", &row[11..17]);
        return gathered.faults.add(line, "YEAR", wrong);
    };
    if !gathered.is_wanted(&row[..11], wanted) {
        return;
    }
    let Some(element) = Element::of(row[17..HEAD].trim()) else {
        gathered.unused.insert(row[17..HEAD].trim().to_owned());
        return;
    };
    for day in 1..=31_i8 {
        let at = HEAD + CELL * (usize::from(day.unsigned_abs()) - 1);
        let (value, quality) = (&row[at..at + 5], &row[at + 6..at + 7]);
        match Date::new(first.year(), first.month(), day) {
            Ok(date) => gathered.take((line, date, element), value, quality),
            Err(_) if value.trim() == "-9999" => {}
            Err(_) => {
                let wrong = format!("VALUE{day}: the month has no such day, and a value stands there");
                gathered.faults.add(line, element.word(), wrong);
            }
        }
        if gathered.faults.is_full() {
            return;
        }
    }
}

/// Whether a file that begins so is the CSV of a year.
pub(super) fn is_by_year(first: &str) -> bool {
    let mut cells = first.split(',');
    let (id, day) = (cells.next().unwrap_or(""), cells.next().unwrap_or(""));
    id.len() == 11 && day.len() == 8 && day.bytes().all(|byte| byte.is_ascii_digit())
}

pub(super) fn by_year(text: &str, wanted: Option<&str>) -> Result<WeatherFile, WeatherFaults> {
    let mut gathered = Gathered::default();
    for_each_row(text, &mut gathered, |row, line, gathered| {
        if !(7..=8).contains(&row.len()) {
            let wrong = format!(
                "has {} cells; ID,DATE,ELEMENT,VALUE,MFLAG,QFLAG,SFLAG,TIME would be accepted",
                row.len()
            );
            return gathered.faults.add(line, "", wrong);
        }
        if !gathered.is_wanted(&row[0], wanted) {
            return;
        }
        let Some(date) = plain_date(&row[1]) else {
            let wrong = format!(
                "\"{}\" is no day; a day such as 20260301 would be accepted",
                &row[1]
            );
            return gathered.faults.add(line, "DATE", wrong);
        };
        match Element::of(row[2].trim()) {
            Some(element) => gathered.take((line, date, element), &row[3], &row[5]),
            None => {
                gathered.unused.insert(row[2].trim().to_owned());
            }
        }
    })?;
    gathered.finish(Form::ByYear, wanted)
}

/// Whether a file that begins so is the CSV of a station.
pub(super) fn is_access(first: &str) -> bool {
    let cells: Vec<&str> = first
        .split(',')
        .map(|cell| cell.trim().trim_matches('"'))
        .collect();
    cells.contains(&"STATION") && cells.contains(&"DATE")
}

pub(super) fn access(text: &str, wanted: Option<&str>) -> Result<WeatherFile, WeatherFaults> {
    let mut gathered = Gathered::default();
    let mut header: Option<Vec<String>> = None;
    for_each_row(text, &mut gathered, |row, line, gathered| {
        let Some(names) = &header else {
            let names: Vec<String> = row.iter().map(|name| name.trim().to_owned()).collect();
            for element in Element::ALL.map(Element::word) {
                // Without its flags a value of the archive cannot be told from a doubtful one.
                let attributes = format!("{element}_ATTRIBUTES");
                if names.iter().any(|name| name == element) && !names.contains(&attributes) {
                    gathered
                        .faults
                        .add(line, element, format!("the column {attributes} is not there"));
                }
            }
            header = Some(names);
            return;
        };
        if row.len() != names.len() {
            let wrong = format!("has {} cells, and the header has {}", row.len(), names.len());
            return gathered.faults.add(line, "", wrong);
        }
        let cell = |name: &str| {
            let at = names.iter().position(|other| other == name);
            at.and_then(|at| row.get(at)).unwrap_or("")
        };
        if !gathered.is_wanted(cell("STATION"), wanted) {
            return;
        }
        let Some(date) = iso_date(cell("DATE").trim()) else {
            let wrong = format!(
                "\"{}\" is no day; a day such as 2026-03-01 would be accepted",
                cell("DATE")
            );
            return gathered.faults.add(line, "DATE", wrong);
        };
        for element in Element::ALL {
            let value = cell(element.word()).trim();
            if !value.is_empty() {
                // The attributes of a value are its flags of measurement, quality and source.
                let attributes = cell(&format!("{}_ATTRIBUTES", element.word())).to_owned();
                let quality = attributes.split(',').nth(1).unwrap_or("");
                gathered.take((line, date, element), value, quality);
            }
        }
    })?;
    gathered.finish(Form::Access, wanted)
}

fn for_each_row(
    text: &str,
    gathered: &mut Gathered,
    mut each: impl FnMut(&csv::StringRecord, usize, &mut Gathered),
) -> Result<(), WeatherFaults> {
    let mut rows = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .from_reader(text.as_bytes());
    for row in rows.records() {
        let row = row.map_err(|wrong| {
            let line = wrong.position().map_or(0, csv::Position::line);
            WeatherFaults::one(line_number(line), "", format!("cannot be read as CSV: {wrong}"))
        })?;
        let line = line_number(row.position().map_or(0, csv::Position::line));
        each(&row, line, gathered);
        if gathered.faults.is_full() {
            break;
        }
    }
    Ok(())
}

/// `20260301`.
fn plain_date(typed: &str) -> Option<Date> {
    let typed = typed.trim();
    let in_shape = typed.len() == 8 && typed.bytes().all(|byte| byte.is_ascii_digit());
    if !in_shape {
        return None;
    }
    Date::new(
        typed[..4].parse().ok()?,
        typed[4..6].parse().ok()?,
        typed[6..].parse().ok()?,
    )
    .ok()
}
