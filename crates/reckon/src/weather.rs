//! Daily weather: the lowest and highest temperature of each day, and its rain.
//!
//! Holds true: a day has each reading once; the lowest is never above the highest; what a file does not say
//! is unknown, never nought. A file with a bad row is refused with the line and the column named; what an
//! archive itself marks as doubtful is left out and counted.
//!
//! Does not: open files; fill gaps; know which yard a station stands for.
//!
//! Forms: our own CSV (`date,tmin_c,tmax_c` and perhaps `rain_mm`), and three of NOAA's Global Historical
//! Climatology Network Daily: the `.dly` file of a station, the `by_year` CSV and the access CSV (the layout
//! of the last two is *from memory*). Start at [`read`].

mod archive;
mod daily;
mod fault;

use std::collections::BTreeMap;

use jiff::civil::Date;
use quantity::Celsius;

pub use fault::{MOST_FAULTS, WeatherFault, WeatherFaults};

/// The readings of one day.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct DayWeather {
    /// The lowest temperature.
    pub low: Option<Celsius>,
    /// The highest temperature.
    pub high: Option<Celsius>,
    /// The rain (or melted snow) in millimetres.
    pub rain_mm: Option<f64>,
}

impl DayWeather {
    /// The mean of lowest and highest, where both are known.
    pub fn mean(&self) -> Option<Celsius> {
        Celsius::new((self.low?.get() + self.high?.get()) / 2.0)
    }

    /// Whether nothing at all is known.
    pub fn is_blank(&self) -> bool {
        self.low.is_none() && self.high.is_none() && self.rain_mm.is_none()
    }

    /// Whether the lowest lies above the highest.
    fn is_upside_down(&self) -> bool {
        matches!((self.low, self.high), (Some(low), Some(high)) if low > high)
    }
}

/// The readings of many days, in their order.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct DailySeries {
    days: BTreeMap<Date, DayWeather>,
}

impl DailySeries {
    /// A day's readings.
    pub fn get(&self, day: Date) -> Option<&DayWeather> {
        self.days.get(&day)
    }

    /// The mean of a day's lowest and highest temperature.
    pub fn mean(&self, day: Date) -> Option<Celsius> {
        self.get(day)?.mean()
    }

    /// The first day with readings.
    pub fn first(&self) -> Option<Date> {
        self.days.keys().next().copied()
    }

    /// The last day with readings.
    pub fn last(&self) -> Option<Date> {
        self.days.keys().next_back().copied()
    }

    /// The coldest night and the hottest day, the first of them where several are alike.
    pub fn extremes(&self) -> Option<((Date, Celsius), (Date, Celsius))> {
        let lows = self.iter().filter_map(|(day, weather)| Some((day, weather.low?)));
        let highs = self
            .iter()
            .filter_map(|(day, weather)| Some((day, weather.high?)));
        let coldest = lows.min_by(|a, b| a.1.get().total_cmp(&b.1.get()))?;
        let hottest = highs.rev().max_by(|a, b| a.1.get().total_cmp(&b.1.get()))?;
        Some((coldest, hottest))
    }

    /// How many days have readings.
    pub fn len(&self) -> usize {
        self.days.len()
    }

    /// Whether no day has readings.
    pub fn is_empty(&self) -> bool {
        self.days.is_empty()
    }

    /// All days with readings, in order; they can be gone through from the end.
    pub fn iter(&self) -> impl DoubleEndedIterator<Item = (Date, &DayWeather)> {
        self.days.iter().map(|(day, weather)| (*day, weather))
    }

    /// Lays one day's readings over what is known: those it has replace the older ones.
    ///
    /// Where the newer readings contradict the older ones (a new highest below the old lowest) the old one of
    /// the two is dropped: the later word holds, and no day is upside down.
    pub fn lay(&mut self, day: Date, newer: DayWeather) {
        if newer.is_blank() || newer.is_upside_down() {
            return;
        }
        let known = self.days.entry(day).or_default();
        known.low = newer.low.or(known.low);
        known.high = newer.high.or(known.high);
        known.rain_mm = newer.rain_mm.or(known.rain_mm);
        if known.is_upside_down() {
            (known.low, known.high) = (newer.low, newer.high);
        }
    }

    /// Lays a whole series over what is known, as [`DailySeries::lay`] does.
    pub fn lay_all(&mut self, newer: &Self) {
        for (day, weather) in newer.iter() {
            self.lay(day, *weather);
        }
    }

    /// The days between the first and the last that lack the lowest or the highest temperature.
    pub fn days_without_temperature(&self) -> usize {
        let (Some(first), Some(last)) = (self.first(), self.last()) else {
            return 0;
        };
        let span = days_between(first, last) + 1;
        span - self.days.values().filter(|day| day.mean().is_some()).count()
    }
}

/// How many days lie between a day and a later one.
fn days_between(from: Date, to: Date) -> usize {
    let days = from.duration_until(to).as_hours() / 24;
    usize::try_from(days).unwrap_or(0)
}

/// The form a file was read in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// `date,tmin_c,tmax_c[,rain_mm]`.
    Daily,
    /// The fixed-width file of a station of GHCN-Daily.
    Dly,
    /// The CSV of a year of GHCN-Daily, without a header.
    ByYear,
    /// The CSV of a station with a header and a column of attributes behind each element.
    Access,
}

impl Form {
    /// What the form is called.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Daily => "daily CSV",
            Self::Dly => "GHCN-Daily station file (.dly)",
            Self::ByYear => "GHCN-Daily CSV of a year",
            Self::Access => "GHCN-Daily access CSV of a station",
        }
    }
}

/// What was read from a file, and what was left out.
#[derive(Debug, Clone, PartialEq)]
pub struct WeatherFile {
    /// The form it was read in.
    pub form: Form,
    /// The station, where the file names one.
    pub station: Option<String>,
    /// The readings.
    pub series: DailySeries,
    /// Values that the archive's own checks have marked as doubtful: left out.
    pub flagged: usize,
    /// Values that the file says are missing.
    pub without_value: usize,
    /// Days of an archive whose lowest is above their highest: both left out.
    pub upside_down: usize,
    /// Columns and elements that are not used.
    pub unused: Vec<String>,
}

impl WeatherFile {
    /// What was left out or is wanting, in sentences.
    pub fn remarks(&self) -> Vec<String> {
        let mut remarks = Vec::new();
        let mut tell = |count: usize, one: &str, many: &str| match count {
            0 => {}
            1 => remarks.push(format!("1 {one}")),
            _ => remarks.push(format!("{count} {many}")),
        };
        tell(
            self.flagged,
            "value is marked as doubtful by the archive's own checks and left out",
            "values are marked as doubtful by the archive's own checks and left out",
        );
        tell(self.without_value, "value is missing", "values are missing");
        tell(
            self.upside_down,
            "day has its lowest temperature above its highest; both are left out",
            "days have their lowest temperature above their highest; both are left out",
        );
        tell(
            self.series.days_without_temperature(),
            "day between the first and the last lacks the lowest or the highest temperature",
            "days between the first and the last lack the lowest or the highest temperature",
        );
        if !self.unused.is_empty() {
            remarks.push(format!("not used: {}", self.unused.join(", ")));
        }
        remarks
    }
}

/// Reads a file of daily weather in whichever form it is.
///
/// `station` chooses one where the file holds several.
///
/// # Errors
/// Every bad row, up to [`MOST_FAULTS`], by line and column.
pub fn read(bytes: &[u8], station: Option<&str>) -> Result<WeatherFile, WeatherFaults> {
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let text = std::str::from_utf8(bytes).map_err(|wrong| {
        let line = 1 + bytes[..wrong.valid_up_to()]
            .iter()
            .filter(|byte| **byte == b'\n')
            .count();
        WeatherFaults::one(line, "", "is no text in UTF-8")
    })?;
    let first = text.lines().find(|line| !line.trim().is_empty()).unwrap_or("");
    if archive::is_dly(first) {
        archive::dly(text, station)
    } else if archive::is_by_year(first) {
        archive::by_year(text, station)
    } else if archive::is_access(first) {
        archive::access(text, station)
    } else if station.is_some() {
        let wrong = "the file has no stations: leave the station out";
        Err(WeatherFaults::one(1, "station", wrong))
    } else {
        daily::read(text)
    }
}

/// A temperature that a station near the ground can read; beyond it the unit is more likely wrong.
fn plausible(degrees: f64) -> Option<Celsius> {
    // The coldest and hottest on record are −89.2 and 56.7 °C (from memory).
    (-90.0..=60.0)
        .contains(&degrees)
        .then(|| Celsius::new(degrees))
        .flatten()
}

/// Rain in a day in millimetres; the most on record is about 1 825 mm (from memory).
fn plausible_rain(mm: f64) -> Option<f64> {
    (0.0..=2_000.0).contains(&mm).then_some(mm)
}
