//! Demo books: an invented valley, two years of an invented keeper's notes, and its invented weather.

use jiff::civil::{Date, date};
use ledger::{Fault, Scope, Store};

use crate::office::{Office, Refused, Writing, device_line};
use crate::surroundings::Fixed;
use crate::weather::{self, NotBroughtIn};

/// The notes, as the keeper wrote them. A line `#= phone` hands the writing over to that device.
pub const SEASON: &str = include_str!("demo/season.notes");

/// The daily weather of one of its yards: a yearly wave with days that hang together, made up by a fixed seed, two of
/// them without readings in a row as a station leaves them out.
const WEATHER: &str = include_str!("demo/garth-weather.csv");

/// The day on which the demo books are opened.
pub const TODAY: Date = date(2026, 11, 22);

/// The setting of the farm that marks books as the demo's, so that the next demo may replace them.
pub const MARK: &str = "demo";

/// Why there are no demo books.
#[derive(Debug, thiserror::Error)]
pub enum DemoError {
    /// The store failed.
    #[error("the demo books could not be written")]
    Fault(#[from] Fault),
    /// A line of the demo was refused, which is a mistake in the program.
    #[error("the demo's own notes were refused: {0:?}")]
    Refused(Box<Refused>),
    /// The demo's weather was refused, which is a mistake in the program.
    #[error("the demo's own weather was refused: {0}")]
    Weather(#[from] NotBroughtIn),
}

/// Writes the demo's notes into an empty store.
///
/// # Errors
/// The store's faults.
pub fn write(store: Box<dyn Store + Send>) -> Result<Office, DemoError> {
    let mut surroundings = Fixed::new(TODAY.at(8, 0, 0, 0), 1);
    let mut office = Office::open(store, None, &mut surroundings)?;
    let farm = office.farm();
    office.store().put_setting(farm, Scope::Farm, MARK, "yes")?;
    let mut lines: Vec<&str> = Vec::new();
    for line in SEASON.lines() {
        match device_line(line) {
            Some(device) => {
                flush(&mut office, &mut lines, &mut surroundings)?;
                office.hand_over(device);
            }
            None => lines.push(line),
        }
    }
    flush(&mut office, &mut lines, &mut surroundings)?;
    let file = weather::File {
        name: "garth weather.csv",
        bytes: WEATHER.as_bytes(),
        yard: "garth",
        station: None,
    };
    weather::bring_in(&mut office, &file, false, "", &mut surroundings)?;
    Ok(office)
}

fn flush(office: &mut Office, lines: &mut Vec<&str>, surroundings: &mut Fixed) -> Result<(), DemoError> {
    let outcome = office.write(lines, &Writing::default(), surroundings)?;
    lines.clear();
    match outcome.refused.into_iter().next() {
        Some(refused) => Err(DemoError::Refused(Box::new(refused))),
        None => Ok(()),
    }
}
