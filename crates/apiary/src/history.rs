//! Which notes name a hive, a colony or a yard.
//!
//! Holds true: each note stands once in a history, and histories are in the order of the notes.
//!
//! A name that has to be known means what it meant before the note is folded: a colony that the note ends leaves its
//! hive's name to its neighbour. A name that the note makes known is looked up afterwards.

use crate::holding::Holding;
use crate::note::table::Known;
use crate::note::{Bars, Value, What};
use crate::told::Told;

/// Adds a note that is about to be folded to the histories of what it names.
pub(crate) fn before(h: &mut Holding, told: &Told<'_>) {
    for (field, value) in told.fact().values() {
        match value {
            Value::Name(name) => match told.fact().shape().label(field) {
                Some((_, Known::Now)) | None => {}
                Some((What::Colony, _)) => {
                    if let Some(colony) = h.colony_named(name) {
                        push_once(&mut h.colonies[colony].entries, told.entry);
                    }
                }
                Some((what, _)) => named(h, what, name, told.entry),
            },
            Value::Bars(bars) => match &**bars {
                Bars::Places { hive, .. } => named(h, What::Hive, hive, told.entry),
                Bars::Tagged(tag) => named(h, What::Tag, tag, told.entry),
            },
            _ => {}
        }
    }
}

/// Adds a note that was folded to the histories of what it has made known, or given another name.
pub(crate) fn after(h: &mut Holding, told: &Told<'_>) {
    for (field, value) in told.fact().values() {
        let Value::Name(name) = value else { continue };
        match told.fact().shape().label(field) {
            Some((_, Known::Before)) | None => {}
            Some((What::Colony, _)) => {
                let colony = h.colony_labels.get(name);
                if let Some(colony) = colony.filter(|colony| h.colonies[*colony].lives()) {
                    push_once(&mut h.colonies[colony].entries, told.entry);
                }
            }
            Some((what, _)) => named(h, what, name, told.entry),
        }
    }
}

fn named(h: &mut Holding, what: What, name: &str, entry: usize) {
    let hive = match what {
        What::Hive | What::Store => h.hive_labels.get(name),
        What::Tag => h.tags.get(name).and_then(|bar| h.bars[bar].hive),
        _ => None,
    };
    if let Some(hive) = hive {
        push_once(&mut h.hives[hive].entries, entry);
    } else if what == What::Yard
        && let Some(yard) = h.ground.yard_labels.get(name)
    {
        push_once(&mut h.ground.yards[yard].entries, entry);
    }
}

/// Notes are folded one by one, so one that is in a list already is the last of it.
pub(crate) fn push_once(entries: &mut Vec<usize>, entry: usize) {
    if entries.last() != Some(&entry) {
        entries.push(entry);
    }
}
