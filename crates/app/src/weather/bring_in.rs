//! A file of daily weather into the books: once, whole, or not at all.

use apiary::note::nearest;
use jiff::civil::Date;
use ledger::{Digest, Fault};
use reckon::weather::{WeatherFaults, WeatherFile, read};
use thiserror::Error;

use super::MOST_BYTES;
use crate::office::{Before, Office, Refused, Writing, Written};
use crate::surroundings::Surroundings;

/// A file that was handed in.
#[derive(Clone, Copy, Debug)]
pub struct File<'a> {
    /// What it is called.
    pub name: &'a str,
    /// What is in it.
    pub bytes: &'a [u8],
    /// The yard whose weather it tells.
    pub yard: &'a str,
    /// The station wanted, where the file has several.
    pub station: Option<&'a str>,
}

/// What became of a file.
#[derive(Clone, Debug)]
pub struct Brought {
    /// What was read from it.
    pub file: WeatherFile,
    /// The note that was written, or would be.
    pub note: Option<Written>,
    /// The note of the same file and yard that was in the books already.
    pub before: Option<Before>,
}

/// Why a file was not brought in; nothing was written.
#[derive(Debug, Error)]
pub enum NotBroughtIn {
    /// It is too large.
    #[error(
        "the file has {bytes} bytes, and at most {} MiB are read. Keep the lines of one station, and bring those in",
        MOST_BYTES >> 20
    )]
    TooLarge {
        /// How many bytes it has.
        bytes: usize,
    },
    /// Rows of it are bad.
    #[error("{0}")]
    Rows(#[from] WeatherFaults),
    /// No day has any reading.
    #[error("no day in the file has a reading")]
    Nothing,
    /// No yard is called so.
    #[error("no yard is called “{asked}” in these books{}", near.as_ref().map_or_else(String::new, |near| format!("; did you mean {near}?")))]
    NoSuchYard {
        /// What was asked for.
        asked: String,
        /// The nearest name of a yard.
        near: Option<String>,
    },
    /// A station cannot be called so.
    #[error("a station's name has letters, digits and hyphens alone")]
    Station,
    /// The note was refused.
    #[error("the note was refused")]
    Note(Box<Refused>),
    /// The world failed.
    #[error(transparent)]
    Fault(#[from] Fault),
}

/// Keeps a file of daily weather as an attachment and names it by one note; dry, it only says what it would
/// write. The same file for the same yard comes in once.
///
/// # Errors
/// A file that cannot be read, a note that is refused, or a fault of the store; then no note was written.
pub fn bring_in(
    office: &mut Office,
    file: &File<'_>,
    dry: bool,
    by: &str,
    surroundings: &mut dyn Surroundings,
) -> Result<Brought, NotBroughtIn> {
    if file.bytes.len() > MOST_BYTES {
        return Err(NotBroughtIn::TooLarge {
            bytes: file.bytes.len(),
        });
    }
    let station = file.station.map(str::trim).filter(|station| !station.is_empty());
    let is_plain = |station: &str| {
        station
            .chars()
            .all(|sign| sign.is_ascii_alphanumeric() || "-_".contains(sign))
    };
    if !station.is_none_or(is_plain) {
        return Err(NotBroughtIn::Station);
    }
    let read = read(file.bytes, station)?;
    let (Some(first), Some(last)) = (read.series.first(), read.series.last()) else {
        return Err(NotBroughtIn::Nothing);
    };
    let digest = Digest::of(file.bytes);
    // The weather of years before the yard was there is told on the day from which the yard has a name.
    let day = known_since(office, file.yard.trim())?.max(last);
    let mut line = format!(
        "{day} weather {} series \"{}\" digest \"{digest}\"",
        file.yard.trim(),
        plain_name(file.name)
    );
    if let Some(station) = station {
        line.push_str(&format!(" station \"{station}\""));
    }
    line.push_str(&format!(" from {first} to {last}"));
    let yard = file.yard.trim();
    let writing = Writing {
        by: by.to_owned(),
        origin: Some(format!("weather {digest} {} {yard}", station.unwrap_or("-"))),
        ..Writing::default()
    };
    let lines = [line.as_str()];
    let mut outcome = office.consider(&lines, &writing, surroundings)?;
    let is_new = outcome.refused.is_empty() && outcome.before.is_empty();
    if !dry && outcome.refused.is_empty() {
        // The attachment comes first: a note must not name what is not there. Should the note fail, the
        // attachment is found again by its digest when the file is handed in once more; and a file that came
        // in before is put back where its attachment was lost.
        let farm = office.farm();
        office.store().put_attachment(farm, file.bytes)?;
        if is_new {
            outcome = office.write(&lines, &writing, surroundings)?;
        }
    }
    if let Some(refused) = outcome.refused.pop() {
        return Err(NotBroughtIn::Note(Box::new(refused)));
    }
    Ok(Brought {
        file: read,
        note: outcome.written.pop(),
        before: outcome.before.pop(),
    })
}

/// The day on which the yard of that name was made known. Only a name that the books know gets into a note,
/// so that no words of a form are taken for more of it.
fn known_since(office: &mut Office, yard: &str) -> Result<Date, NotBroughtIn> {
    let library = office.library();
    let ground = &library.holding().ground;
    let Some(id) = ground.yard_labels.get(yard) else {
        let near = nearest(yard, ground.yard_labels.names());
        return Err(NotBroughtIn::NoSuchYard {
            asked: yard.to_owned(),
            near: near.map(str::to_owned),
        });
    };
    let made_by = ground.yards[id].made_by;
    Ok(library.books().entries()[made_by].envelope.day)
}

/// The last part of a file's name, with what cannot stand between quotes replaced.
fn plain_name(name: &str) -> String {
    let last = name.rsplit(['/', '\\']).next().unwrap_or(name);
    let plain: String = last
        .chars()
        .take(80)
        .map(|letter| match letter {
            letter if letter.is_ascii_alphanumeric() || " ._-".contains(letter) => letter,
            letter if letter.is_alphabetic() => letter,
            _ => '_',
        })
        .collect();
    match plain.trim() {
        "" => "weather".to_owned(),
        plain => plain.to_owned(),
    }
}
