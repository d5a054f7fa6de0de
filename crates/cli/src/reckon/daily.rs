//! Days and files of daily weather as they are named on the command line.

use std::fs::File;
use std::io::Read as _;

use jiff::civil::Date;
use quantity::Celsius;
use reckon::weather::{WeatherFile, read};

use super::Refused;
use super::quantities::refused;

/// No file of weather is read that is larger: a station's whole history is a few megabytes.
const MOST_BYTES: u64 = 64 << 20;

const ACCEPTED: &str =
    "a file of daily weather with the header date,tmin_c,tmax_c, or of GHCN-Daily (.dly or .csv),";

/// A day such as 2026-05-10, if one is given.
pub(super) fn day(flag: &str, given: Option<&String>) -> Result<Option<Date>, Refused> {
    let Some(given) = given else { return Ok(None) };
    let typed = given.trim();
    // The reader of days also takes other forms; one form is enough to read aloud.
    let in_shape = typed.len() == 10 && typed.bytes().all(|byte| byte.is_ascii_digit() || byte == b'-');
    match typed.parse() {
        Ok(day) if in_shape => Ok(Some(day)),
        _ => Err(refused(
            flag,
            format!("\"{typed}\" is no day"),
            "a day such as 2026-05-10",
        )),
    }
}

/// Two days in their order, where both are given.
pub(super) fn span(from: Option<Date>, to: Option<Date>) -> Result<(Option<Date>, Option<Date>), Refused> {
    match (from, to) {
        (Some(from), Some(to)) if to < from => Err(refused(
            "--to",
            format!("{to} is before --from {from}"),
            "a later day",
        )),
        span => Ok(span),
    }
}

/// A file of daily weather.
pub(super) fn weather(flag: &str, path: &str, station: Option<&String>) -> Result<WeatherFile, Refused> {
    let unread = |wrong: std::io::Error| refused(flag, format!("{path} cannot be read: {wrong}"), ACCEPTED);
    let mut bytes = Vec::new();
    let file = File::open(path).map_err(unread)?;
    file.take(MOST_BYTES + 1)
        .read_to_end(&mut bytes)
        .map_err(unread)?;
    if bytes.len() as u64 > MOST_BYTES {
        let wrong = format!("{path} has more than {} MiB", MOST_BYTES >> 20);
        return Err(refused(flag, wrong, "the lines of one station alone"));
    }
    let file = read(&bytes, station.map(String::as_str)).map_err(|faults| {
        let told = faults.to_string().replace('\n', "; ");
        refused(flag, format!("{path}: {told}"), ACCEPTED)
    })?;
    if file.series.is_empty() {
        return Err(refused(
            flag,
            format!("{path} has no day with a reading"),
            ACCEPTED,
        ));
    }
    Ok(file)
}

/// What was left out of a file, as notes.
pub(super) fn remarks(file: &WeatherFile) -> Vec<String> {
    file.remarks()
        .into_iter()
        .map(|remark| format!("in the file of weather {remark}"))
        .collect()
}

/// A temperature as people read it.
pub(super) fn degrees(at: Celsius) -> String {
    format!("{:.1} °C", at.get())
}
