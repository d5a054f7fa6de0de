//! What is told to a reader who only looks: the holding of a day, the entries, what is odd.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::sync::Arc;

use apiary::honey::answers::{HiveYield, yields};
use apiary::note::Note;
use apiary::{Complaint, Holding};
use jiff::civil::Date;
use ledger::{Books, Device, Entry, Person};

use crate::library::{Held, Library};
use crate::weather::Drawer;

/// The books as somebody looks at them, as of now or at the end of a day.
pub struct Reader<'a> {
    library: &'a Library,
    held: Held<'a>,
    people: &'a BTreeMap<String, Person>,
    device: &'a Device,
    drawer: Drawer<'a>,
    /// The day asked for; none is now.
    pub on: Option<Date>,
    /// Today.
    pub today: Date,
}

impl<'a> Reader<'a> {
    pub(crate) fn new(
        library: &'a Library,
        people: &'a BTreeMap<String, Person>,
        device: &'a Device,
        drawer: Drawer<'a>,
        (on, today): (Option<Date>, Date),
    ) -> Self {
        Self {
            held: library.held(on),
            library,
            people,
            device,
            drawer,
            on,
            today,
        }
    }

    /// The state of the farm.
    pub fn holding(&self) -> &Holding {
        &self.held
    }

    /// The state of the farm as of now, whatever day is looked at.
    pub(crate) fn holding_now(&self) -> Held<'a> {
        self.library.held(None)
    }

    /// Where attachments lie.
    pub(crate) fn drawer(&self) -> Drawer<'a> {
        self.drawer
    }

    /// All entries.
    pub fn books(&self) -> &'a Books {
        &self.library.books
    }

    /// An entry by its place.
    pub fn entry(&self, place: usize) -> &'a Entry {
        &self.library.books.entries()[place]
    }

    /// What the words of an entry say, where they can be read.
    pub fn note(&self, place: usize) -> Option<&'a Note> {
        self.library.note(place)
    }

    /// The places of the entries that stand, in the order of their days.
    pub fn standing(&self) -> impl DoubleEndedIterator<Item = usize> + '_ {
        self.library.standing_until(self.on)
    }

    /// What each hive gave.
    pub fn yields(&self) -> Cow<'_, [HiveYield]> {
        match self.on {
            None => Cow::Borrowed(self.library.yields_at_hand()),
            Some(_) => Cow::Owned(yields(&self.held)),
        }
    }

    /// The entries that have these words in them, those written last first; or the entry of that handle.
    pub fn found(&self, words: &str) -> Arc<Vec<usize>> {
        self.library.found(words)
    }

    /// Whether an entry stands, as of now.
    pub fn stands(&self, place: usize) -> bool {
        self.library.stands(place)
    }

    /// The entries that correct, withdraw or settle an entry, in the order in which they came.
    pub fn acts_about(&self, place: usize) -> &[usize] {
        self.library.acts_about(place)
    }

    /// An entry as it could be typed, its act included.
    pub fn as_line(&self, place: usize) -> String {
        self.library.as_line(self.entry(place))
    }

    /// What is odd.
    pub fn complaints(&self) -> Cow<'_, [Complaint]> {
        match self.on {
            None => Cow::Borrowed(self.library.complaints_at_hand()),
            on => Cow::Owned(self.library.complaints_of(&self.held, on)),
        }
    }

    /// The address book.
    pub fn people(&self) -> &'a BTreeMap<String, Person> {
        self.people
    }

    /// The device that writes.
    pub fn device(&self) -> &'a Device {
        self.device
    }

    /// The day that is looked at.
    pub fn day(&self) -> Date {
        self.on.unwrap_or(self.today)
    }

    /// A path that keeps to the day that is looked at.
    pub fn link(&self, path: &str) -> String {
        match self.on {
            None => path.to_owned(),
            Some(day) => {
                // The place on a page comes behind everything else.
                let (path, place) = path.split_at(path.find('#').unwrap_or(path.len()));
                let sign = if path.contains('?') { '&' } else { '?' };
                format!("{path}{sign}on={day}{place}")
            }
        }
    }
}
