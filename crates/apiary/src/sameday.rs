//! Two devices' notes of one day whose order matters and is not said.
//!
//! Each note leaves a trace of what it touches and how. Two traces of one day clash where they touch the
//! same thing in ways that do not give the same result in either order, neither writer knew the other's
//! note, and the hours do not tell.

use jiff::civil::Date;
use ledger::Window;

use crate::note::Value;
use crate::note::{Bars, Fact, Name, What};
use crate::told::Told;

/// The notes of the day being folded.
#[derive(Clone, Debug, Default)]
pub(crate) struct SameDay {
    day: Option<Date>,
    met: Vec<Met>,
    devices: usize,
}

#[derive(Clone, Debug)]
struct Met {
    entry: usize,
    root: usize,
    device: ledger::Device,
    window: Window,
    traces: Vec<Trace>,
}

#[derive(Clone, Debug, PartialEq, Eq)]
struct Trace {
    what: What,
    name: Name,
    how: How,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum How {
    /// Names places in a hive.
    Names(u16, u16),
    /// Changes what stands at places of a hive.
    Moves(u16, u16),
    /// Puts something into a container, or on the shelf.
    Puts,
    /// Takes something out.
    Takes,
    /// Weighs, counts or empties: what it means turns on all that came before.
    Settles,
}

impl Trace {
    fn clashes(&self, other: &Self) -> bool {
        let overlap = |a: (u16, u16), b: (u16, u16)| a.0 <= b.1 && b.0 <= a.1;
        if self.what != other.what || self.name != other.name {
            return false;
        }
        match (self.how, other.how) {
            (How::Names(..), How::Names(..)) | (How::Puts, How::Puts) | (How::Takes, How::Takes) => false,
            (How::Names(a, b) | How::Moves(a, b), How::Names(c, d) | How::Moves(c, d)) => {
                overlap((a, b), (c, d))
            }
            _ => true,
        }
    }
}

impl SameDay {
    /// Takes a note in; gives an earlier one of the same day that it clashes with, and the thing.
    pub(crate) fn meet(&mut self, told: &Told<'_>) -> Option<(usize, String)> {
        if told.books.devices() < 2 {
            return None;
        }
        if self.day != Some(told.note.day) {
            *self = Self {
                day: Some(told.note.day),
                ..Self::default()
            };
        }
        let device = told.books.entries()[told.entry].envelope.device.clone();
        if self.met.iter().all(|met| met.device != device) {
            self.devices += 1;
        }
        let met = Met {
            entry: told.entry,
            root: told.root,
            device,
            window: told.window,
            traces: traces(told.fact()),
        };
        let clash = if self.devices > 1 {
            self.clash(told, &met)
        } else {
            None
        };
        if !met.traces.is_empty() || self.met.is_empty() {
            self.met.push(met);
        }
        clash
    }

    fn clash(&self, told: &Told<'_>, new: &Met) -> Option<(usize, String)> {
        let unordered = |old: &&Met| {
            old.device != new.device
                && old.root != new.root
                && old.window.to >= new.window.from
                && new.window.to >= old.window.from
                && !told.knew(old.entry)
                && !told.books.knows(old.entry, told.entry)
        };
        self.met.iter().filter(unordered).find_map(|old| {
            let trace = new
                .traces
                .iter()
                .find(|trace| old.traces.iter().any(|other| trace.clashes(other)))?;
            Some((old.entry, trace.name.to_string()))
        })
    }
}

fn traces(fact: &Fact) -> Vec<Trace> {
    let mut out = Vec::new();
    for (field, value) in fact.values() {
        match value {
            Value::Bars(bars) => out.extend(bars_trace(fact, bars)),
            Value::Name(name) => {
                let what = fact.shape().label(field).map(|(what, _)| what);
                out.extend(what.and_then(|what| name_trace(fact, field, what, name)));
            }
            _ => {}
        }
    }
    out
}

fn bars_trace(fact: &Fact, bars: &Bars) -> Option<Trace> {
    let Bars::Places { hive, places } = bars else {
        return None;
    };
    let (low, high) = places.span();
    let how = match fact.word() {
        "cut" if !fact.says("half") && !fact.says("part") => How::Moves(low, high),
        "shift" if fact.shape().has("hive") => How::Moves(low, high),
        "shift" => {
            let at = fact
                .count("at")
                .and_then(|at| u16::try_from(at).ok())
                .unwrap_or(high);
            How::Moves(low.min(at), high.max(at))
        }
        "split" | "store" | "sell" => How::Moves(low, high),
        _ => How::Names(low, high),
    };
    Some(Trace {
        what: What::Hive,
        name: hive.clone(),
        how,
    })
}

fn name_trace(fact: &Fact, field: &str, what: What, name: &Name) -> Option<Trace> {
    let from = |field| {
        fact.count(field)
            .and_then(|at| u16::try_from(at).ok())
            .unwrap_or(1)
    };
    let how = match (fact.word(), what, field) {
        ("add", What::Hive, _) => How::Moves(from("at"), u16::MAX),
        ("shift", What::Hive, _) => How::Moves(from("at"), u16::MAX),
        ("split", What::Hive, _) => How::Moves(1, u16::MAX),
        ("rename", What::Hive, _) => How::Moves(0, u16::MAX),
        ("cut" | "strain" | "melt", What::Container, "into") => How::Puts,
        ("blend", What::Container, "into") => How::Puts,
        ("blend" | "fill" | "cast" | "pack" | "discard", What::Container, _) => How::Takes,
        ("weigh" | "strain" | "melt" | "crush", What::Container, _) => How::Settles,
        ("fill" | "cast" | "pack" | "cut", What::Lot, _) => How::Puts,
        ("sell" | "give" | "take" | "spoil" | "consign", What::Lot, _) => How::Takes,
        ("refund", What::Lot, _) => How::Puts,
        ("tally", What::Lot, _) => How::Settles,
        _ => return None,
    };
    Some(Trace {
        what,
        name: name.clone(),
        how,
    })
}
