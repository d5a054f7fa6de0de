//! A note as the fold meets it: what it says, and who knew what when it was written.

use ledger::{Books, Window};

use crate::note::{Fact, Note};

/// A standing note on its way into the holding.
#[derive(Clone, Copy)]
pub struct Told<'a> {
    /// The books it stands in.
    pub books: &'a Books,
    /// The entry that holds its words, by its place in the books.
    pub entry: usize,
    /// The note first written, which a correction stands for; rivals share it.
    pub root: usize,
    /// The entry that others must have known to know what this note changes: the note first written, where
    /// a later correction has left the bars alone.
    pub known_as: usize,
    /// When on its day it can have happened.
    pub window: Window,
    /// What it says.
    pub note: &'a Note,
}

impl<'a> Told<'a> {
    pub(crate) fn fact(&self) -> &'a Fact {
        &self.note.fact
    }

    /// The hour, where the note itself says it.
    fn hour_said(&self) -> Option<u16> {
        self.note.hour.map(ledger::Hour::minutes)
    }

    fn device(&self, entry: usize) -> &'a ledger::Device {
        &self.books.entries()[entry].envelope.device
    }

    /// Whether whoever wrote this note knew of another entry.
    pub(crate) fn knew(&self, other: usize) -> bool {
        self.books.knows(self.entry, other)
    }
}

/// Changes to what places or contents mean, kept so that a note can be told which of them its writer did
/// not know.
#[derive(Clone, Debug, Default)]
pub(crate) struct Changes {
    all: Vec<Change>,
    /// For each device, by the highest number, the newest change: whoever knew that knew them all.
    newest: Vec<(ledger::Device, u64, usize)>,
}

#[derive(Clone, Copy, Debug)]
struct Change {
    entry: usize,
    known_as: usize,
    from: u16,
    to: u16,
    day: jiff::civil::Date,
    /// The hour, where it was said.
    hour: Option<u16>,
}

impl Change {
    /// Two devices in the yard on one day: where both say the hour, each meant what stood there then.
    fn is_told_apart(&self, told: &Told<'_>) -> bool {
        let hours = self.hour.zip(told.hour_said());
        let both_said = self.day == told.note.day && hours.is_some_and(|(change, note)| change < note);
        both_said && told.device(self.entry) != told.device(told.entry)
    }
}

impl Changes {
    pub(crate) fn push(&mut self, told: &Told<'_>, from: u16, to: u16) {
        self.all.push(Change {
            entry: told.entry,
            known_as: told.known_as,
            from,
            to,
            day: told.note.day,
            hour: told.hour_said(),
        });
        let envelope = &told.books.entries()[told.known_as].envelope;
        match self
            .newest
            .iter_mut()
            .find(|(device, _, _)| *device == envelope.device)
        {
            Some((_, number, entry)) => {
                if *number <= envelope.number {
                    (*number, *entry) = (envelope.number, told.known_as);
                }
            }
            None => self
                .newest
                .push((envelope.device.clone(), envelope.number, told.known_as)),
        }
    }

    /// A change between these places that the writer of the note did not know of.
    pub(crate) fn unknown_to(&self, told: &Told<'_>, from: u16, to: u16) -> Option<usize> {
        if self
            .newest
            .iter()
            .all(|(_, _, entry)| *entry == told.known_as || told.knew(*entry))
        {
            return None;
        }
        let unknown = |change: &&Change| {
            change.from <= to
                && from <= change.to
                && change.entry != told.entry
                && !told.knew(change.known_as)
                && !change.is_told_apart(told)
        };
        self.all.iter().rev().find(unknown).map(|change| change.entry)
    }
}
