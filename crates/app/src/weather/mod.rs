//! Daily weather in the books: a file kept as an attachment and named by one note, and single readings.
//!
//! Holds true: a file is read once and kept at hand by its digest; the weather of a yard is made of all notes
//! about it that stand, in the order of the notes, and what a later one says replaces what an earlier one
//! said; a series that is not in the books or cannot be read is told, not passed over.
//!
//! Start at [`crate::Reader::weather`]; a file comes in through [`bring_in`].

mod bring_in;

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

use apiary::arena::YardId;
use apiary::note::Fact;
use ledger::{Digest, FarmId, Fault, Store};
use reckon::weather::{DailySeries, DayWeather, WeatherFile, read};

use crate::reader::Reader;

pub use bring_in::{Brought, File, NotBroughtIn, bring_in};

/// The largest file that is taken in.
pub const MOST_BYTES: usize = crate::import::MOST_BYTES;

/// Series that were read, by their digest and the station wanted of them.
#[derive(Default)]
pub(crate) struct Kept(Mutex<BTreeMap<(Digest, String), Arc<WeatherFile>>>);

/// How many series are kept at hand.
const MOST_KEPT: usize = 64;

/// Where attachments lie, for readers who only look.
#[derive(Clone, Copy)]
pub(crate) struct Drawer<'a> {
    pub(crate) store: &'a Mutex<Box<dyn Store + Send>>,
    pub(crate) farm: FarmId,
    pub(crate) kept: &'a Kept,
}

impl Drawer<'_> {
    /// A series by its digest; what is wrong with it is a sentence.
    fn series(&self, digest: Digest, station: &str) -> Result<Arc<WeatherFile>, String> {
        let key = (digest, station.to_owned());
        let kept = || self.kept.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(file) = kept().get(&key) {
            return Ok(Arc::clone(file));
        }
        let found: Result<_, Fault> = {
            let store = self.store.lock().unwrap_or_else(PoisonError::into_inner);
            store.attachment(self.farm, &digest)
        };
        let bytes = found
            .map_err(|fault| format!("the series could not be fetched: {fault}"))?
            .ok_or("the series itself is not in these books; bring the file in once more")?;
        let wanted = Some(station).filter(|station| !station.is_empty());
        let file = read(&bytes, wanted).map_err(|faults| format!("the series cannot be read: {faults}"))?;
        let file = Arc::new(file);
        let mut kept = kept();
        if kept.len() >= MOST_KEPT {
            kept.pop_first();
        }
        kept.insert(key, Arc::clone(&file));
        Ok(file)
    }
}

/// The weather of a yard, and where it comes from.
#[derive(Clone, Debug, Default)]
pub struct YardWeather {
    /// The readings, up to the day that is looked at.
    pub series: Arc<DailySeries>,
    /// The notes that they come from, in the order of the notes.
    pub parts: Vec<WeatherPart>,
}

/// One note of weather.
#[derive(Clone, Debug)]
pub struct WeatherPart {
    /// The note.
    pub entry: usize,
    /// The file that it names; none where it says the readings itself.
    pub series: Option<Result<Arc<WeatherFile>, String>>,
}

impl Reader<'_> {
    /// The daily weather of a yard, up to the day that is looked at; none where nothing is known of it.
    pub fn weather(&self, yard: YardId) -> Option<Arc<DailySeries>> {
        let weather = self.weather_told(yard);
        (!weather.series.is_empty()).then_some(weather.series)
    }

    /// The daily weather of the yard that has this label now.
    pub fn weather_of(&self, label: &str) -> Option<Arc<DailySeries>> {
        self.weather(self.holding().ground.yard_labels.get(label)?)
    }

    /// The daily weather of a yard with the notes that it comes from.
    ///
    /// A series tells of many days, whenever its note was written: so the notes are those that stand now, and
    /// their days are cut at the day that is looked at.
    pub fn weather_told(&self, yard: YardId) -> YardWeather {
        let now = self.holding_now();
        // A file may hold days that are still to come; nothing is known of those.
        let until = self.day();
        let mut series = DailySeries::default();
        let mut parts = Vec::new();
        if now.ground.yards.iter().all(|(id, _)| id != yard) {
            return YardWeather::default();
        }
        for entry in &now.ground.yards[yard].entries {
            let Some(note) = self.note(*entry).filter(|note| note.fact.word() == "weather") else {
                continue;
            };
            let named = named(&note.fact).map(|(digest, station)| {
                let file = digest.and_then(|digest| self.drawer().series(digest, station));
                if let Ok(file) = &file {
                    let days = file.series.iter().take_while(|(day, _)| *day <= until);
                    days.for_each(|(day, weather)| series.lay(day, *weather));
                }
                file
            });
            let said = said(&note.fact);
            if note.day <= until {
                series.lay(note.day, said);
            }
            if named.is_some() || (!said.is_blank() && note.day <= until) {
                parts.push(WeatherPart {
                    entry: *entry,
                    series: named,
                });
            }
        }
        YardWeather {
            series: Arc::new(series),
            parts,
        }
    }
}

/// The digest and the station of the series that a note names.
fn named(fact: &Fact) -> Option<(Result<Digest, String>, &str)> {
    fact.text("series")?;
    let digest = fact
        .text("digest")
        .ok_or("the note names a series without its digest")
        .and_then(|digest| Digest::from_hex(digest).map_err(|_| "the digest in the note is none"))
        .map_err(str::to_owned);
    Some((digest, fact.text("station").unwrap_or("")))
}

/// What a note itself says of its day.
fn said(fact: &Fact) -> DayWeather {
    let celsius = |field| fact.reading(field).and_then(|read| read.celsius());
    DayWeather {
        low: celsius("low"),
        high: celsius("high"),
        rain_mm: fact.length("rain").map(|rain| rain.to_mm()),
    }
}
