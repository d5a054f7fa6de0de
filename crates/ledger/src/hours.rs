//! The hour at which a note without one is taken to have happened, and how far off that may be.
//!
//! A keeper gives the hour once and goes on writing; so a note without an hour takes the last one
//! given earlier that day in its own chain. Only notes give hours to others: a correction is written
//! whenever the mistake is found, and takes its hour from what it corrects.

use crate::{Act, Books, Device, Entry, Hour, Lineage};
use jiff::civil::Date;
use std::collections::BTreeMap;

/// The end of a day, in minutes.
const MIDNIGHT: u16 = 24 * 60;

/// When on its day a note can have happened, in minutes after midnight, both ends included.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Window {
    /// The hour given, or the last one given before, or 0.
    pub from: u16,
    /// The hour given, or the next one given after it that day, or 1440.
    pub to: u16,
}

/// Hours of all entries of some books, by place.
#[derive(Debug, Clone)]
pub struct Hours {
    windows: Vec<Window>,
    /// Per device with an unforked chain, the last hour given for each day.
    given: BTreeMap<Device, BTreeMap<Date, u16>>,
}

impl Hours {
    /// The hour at which an entry counts as having happened.
    #[must_use]
    pub fn hour(&self, place: usize) -> Hour {
        Hour::from_minutes(self.windows[place].from).unwrap_or(Hour::MIDNIGHT)
    }

    /// When an entry can have happened.
    #[must_use]
    pub fn window(&self, place: usize) -> Window {
        self.windows[place]
    }
}

impl Hours {
    /// The hour of one more plain note at the end of an unforked chain, on a day about which only its own
    /// device has written. What it says about how long the notes before it can have taken is left for
    /// [`effective_hours`] to tell.
    pub fn append(&mut self, books: &Books, place: usize) {
        let envelope = &books.entries()[place].envelope;
        let given = self.given.entry(envelope.device.clone()).or_default();
        let own = note_hour(&books.entries()[place]);
        if let Some(hour) = own {
            given.insert(envelope.day, hour);
        }
        let from = own.or_else(|| given.get(&envelope.day).copied()).unwrap_or(0);
        self.windows.push(Window {
            from,
            to: own.unwrap_or(MIDNIGHT),
        });
    }
}

/// The hours of all entries.
#[must_use]
pub fn effective_hours(books: &Books) -> Hours {
    let windows = vec![
        Window {
            from: 0,
            to: MIDNIGHT
        };
        books.entries().len()
    ];
    let mut hours = Hours {
        windows,
        given: BTreeMap::new(),
    };
    let lineage = books
        .chains()
        .iter()
        .any(|chain| chain.forked)
        .then(|| Lineage::of(books));
    for chain in books.chains() {
        let lineage = lineage.as_ref().filter(|_| chain.forked);
        let places: Vec<(u64, usize)> = chain.iter().collect();
        let mut given = forwards(books, &places, lineage, &mut hours);
        if let Some(given) = given.remove(&0).filter(|_| !chain.forked) {
            hours.given.insert(chain.device.clone(), given);
        }
        backwards(books, &places, lineage, &mut hours);
    }
    for act in books.acts() {
        hours.windows[act] = act_window(books, act, &hours);
    }
    hours
}

/// On each branch, the last hour given on each day; going backwards, the next one.
type Given = BTreeMap<u32, BTreeMap<Date, u16>>;

/// Hands each hour on to the notes after it.
fn forwards(books: &Books, places: &[(u64, usize)], lineage: Option<&Lineage>, hours: &mut Hours) -> Given {
    let mut given = Given::new();
    for twins in places.chunk_by(|a, b| a.0 == b.0) {
        for &(_, place) in twins {
            begin_branch(place, lineage, &mut given);
        }
        for &(_, place) in twins {
            let entry = &books.entries()[place];
            let given = given.entry(branch(place, lineage)).or_default();
            match note_hour(entry) {
                Some(hour) => {
                    given.insert(entry.envelope.day, hour);
                    hours.windows[place] = Window { from: hour, to: hour };
                }
                None => hours.windows[place].from = given.get(&entry.envelope.day).copied().unwrap_or(0),
            }
        }
    }
    given
}

/// Hands each hour back to the notes before it.
fn backwards(books: &Books, places: &[(u64, usize)], lineage: Option<&Lineage>, hours: &mut Hours) {
    let mut given = Given::new();
    for &(number, place) in places.iter().rev() {
        let entry = &books.entries()[place];
        let at = branch(place, lineage);
        for ended in lineage.map_or_else(Vec::new, |lineage| lineage.branches_from(at, number)) {
            join(at, ended, &mut given);
        }
        let given = given.entry(at).or_default();
        match note_hour(entry) {
            Some(hour) => {
                given.insert(entry.envelope.day, hour);
            }
            None => {
                let from = hours.windows[place].from;
                let next = given.get(&entry.envelope.day).copied();
                // An hour given later but lying earlier says nothing about how long this can have taken.
                hours.windows[place].to = next.filter(|&next| next >= from).unwrap_or(MIDNIGHT);
            }
        }
    }
}

/// The branch of a chain's entry; of a chain without forks there is only one.
fn branch(place: usize, lineage: Option<&Lineage>) -> u32 {
    lineage.map_or(0, |lineage| lineage.branch(place))
}

/// A branch begins with the hours given before it left its parent.
fn begin_branch(place: usize, lineage: Option<&Lineage>, given: &mut Given) {
    let Some(lineage) = lineage else {
        return;
    };
    let at = lineage.branch(place);
    if !given.contains_key(&at) {
        let inherited = lineage
            .parent(at)
            .and_then(|(parent, _)| given.get(&parent).cloned());
        given.insert(at, inherited.unwrap_or_default());
    }
}

/// Before a fork, the next hour is the later of those given on either branch, if both give one.
fn join(at: u32, ended: u32, given: &mut Given) {
    let other = given.remove(&ended).unwrap_or_default();
    let own = given.entry(at).or_default();
    own.retain(|day, hour| {
        let later = other.get(day).map(|&other| other.max(*hour));
        *hour = later.unwrap_or(*hour);
        later.is_some()
    });
}

fn note_hour(entry: &Entry) -> Option<u16> {
    let is_note = entry.envelope.act == Act::Note;
    entry.envelope.hour.filter(|_| is_note).map(Hour::minutes)
}

/// An act's own hour, else that of what it is about, if that was on the same day.
fn act_window(books: &Books, act: usize, hours: &Hours) -> Window {
    let day = books.entries()[act].envelope.day;
    let mut at = act;
    loop {
        let envelope = &books.entries()[at].envelope;
        let about = envelope.act.names().iter().find_map(|of| books.by_digest(of));
        match (envelope.hour.map(Hour::minutes), about) {
            _ if envelope.day != day => {
                break Window {
                    from: 0,
                    to: MIDNIGHT,
                };
            }
            (Some(hour), _) => break Window { from: hour, to: hour },
            (None, None) if envelope.act == Act::Note => break hours.windows[at],
            (None, None) => {
                break Window {
                    from: 0,
                    to: MIDNIGHT,
                };
            }
            (None, Some(about)) => at = about,
        }
    }
}
