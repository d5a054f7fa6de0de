//! The office: where reading, deciding and writing meet.
//!
//! A line is read, doubted in the light of everything before it, and written only if nothing speaks
//! against it. It counts as written when the store has it on the disk. Another program may write at the
//! same time: then everything is read again and decided again.

mod drafting;
mod trial;

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Mutex, PoisonError};

use apiary::note::Unreadable;
use apiary::note::aids::Desk;
use apiary::{Misgiving, Weight};
use jiff::civil::Date;
use ledger::{Act, Appended, Device, Digest, Draft, Entry, FarmId, Fault, Handle, Person, Scope, Store};

use crate::library::Library;
use crate::reader::Reader;
use crate::surroundings::{Surroundings, fresh_id};
use crate::weather::{Drawer, Kept};

/// Open books of one farm, with a device that writes into them.
pub struct Office {
    store: Mutex<Box<dyn Store + Send>>,
    /// What the store answered when it was last read, so that what others write is noticed.
    as_of: u64,
    farm: FarmId,
    device: Device,
    /// Who writes where nobody is named.
    by: String,
    library: Library,
    /// The address book.
    people: BTreeMap<String, Person>,
    /// Series of weather that were read.
    kept: Kept,
    /// The day of the last writing.
    today: Date,
}

/// How lines are to be written.
#[derive(Clone, Debug, Default)]
pub struct Writing {
    /// Good lines are written even where others are refused.
    pub keep_good: bool,
    /// Nothing is doubted: what is odd becomes a complaint. For bringing in whole books.
    pub undoubted: bool,
    /// The lines are brought in from elsewhere: each that is in the books already is passed over, and a line
    /// `#= phone` hands the writing over to that device.
    pub brought_in: bool,
    /// Who writes: an id of the address book.
    pub by: String,
    /// What the lines come from: what came from there before is not written again.
    pub origin: Option<String>,
    /// What each line comes from, one for each line handed in; instead of `origin`.
    pub origins: Vec<String>,
}

impl Writing {
    /// What entries say they come from.
    fn origin(&self) -> &'static str {
        if self.brought_in { BROUGHT_IN } else { "typed" }
    }

    /// What one of so many lines comes from, where that was said.
    fn origin_of(&self, at: usize, of: usize) -> Option<String> {
        let own = || match &self.origin {
            Some(origin) if of > 1 => Some(format!("{origin}/{}", at + 1)),
            origin => origin.clone(),
        };
        self.origins.get(at).cloned().or_else(own)
    }
}

/// A line that was written.
#[derive(Clone, Debug)]
pub struct Written {
    /// Its number among the lines handed in, from 1.
    pub line: usize,
    /// Its handle.
    pub handle: Handle,
    /// What was stored.
    pub text: String,
    /// What is unusual about it.
    pub remarks: Vec<Misgiving>,
}

/// Why a line was not written.
#[derive(Clone, Debug)]
pub enum Why {
    /// It cannot be read.
    Unreadable(Unreadable),
    /// It can be read, and is impossible.
    Impossible(Vec<Misgiving>),
    /// It is about a note that is not in the books.
    NoSuchNote(String),
}

/// A line that was refused.
#[derive(Clone, Debug)]
pub struct Refused {
    /// Its number among the lines handed in, from 1.
    pub line: usize,
    /// The line.
    pub typed: String,
    /// Why.
    pub why: Why,
}

/// What became of the lines handed in.
#[derive(Clone, Debug, Default)]
pub struct Outcome {
    /// Written, and on the disk.
    pub written: Vec<Written>,
    /// Refused.
    pub refused: Vec<Refused>,
    /// Passed over because they were brought in before.
    pub known: usize,
    /// Passed over because they came from the same place before.
    pub before: Vec<Before>,
}

/// A line that came from the same place before.
#[derive(Clone, Debug)]
pub struct Before {
    /// Its number among the lines handed in, from 1.
    pub line: usize,
    /// What was written then.
    pub handle: Handle,
    /// Its words.
    pub text: String,
}

/// The name of a new device, unless another is asked for.
const FIRST_DEVICE: &str = "laptop";

/// The origin of lines brought in from a file.
const BROUGHT_IN: &str = "brought in";

/// `#= phone`: from here on that device writes.
pub(crate) fn device_line(line: &str) -> Option<Device> {
    Device::new(line.strip_prefix("#= ")?.trim()).ok()
}

/// How often to begin again when another program writes at the same time.
const MOST_TRIES: usize = 50;

impl Office {
    /// Opens the books in a store; new books get a farm.
    ///
    /// # Errors
    /// The store's faults.
    pub fn open(
        mut store: Box<dyn Store + Send>,
        device: Option<Device>,
        surroundings: &mut dyn Surroundings,
    ) -> Result<Self, Fault> {
        let farm = store.only_farm(FarmId(fresh_id(surroundings)))?;
        Self::of(store, farm, device)
    }

    /// Opens books for answers alone: nothing is written, not even a farm for empty books.
    ///
    /// # Errors
    /// The store's faults.
    pub fn open_for_answers(store: Box<dyn Store + Send>) -> Result<Self, Fault> {
        let farm = store.farms()?.first().copied();
        let farm = farm.ok_or(Fault::NoSuchFarm)?;
        Self::of(store, farm, None)
    }

    fn of(store: Box<dyn Store + Send>, farm: FarmId, device: Option<Device>) -> Result<Self, Fault> {
        let stored = store.setting(farm, Scope::Device, "device")?;
        let named = device.or_else(|| stored.and_then(|name| Device::new(&name).ok()));
        let device = named.unwrap_or_else(|| {
            Device::new(FIRST_DEVICE).expect("BUG: the first device's name is a good one")
        });
        let as_of = store.others_wrote()?;
        let library = Library::open(&*store, farm)?;
        let device = unforked(&library, device);
        let people = store.people(farm)?;
        Ok(Self {
            as_of,
            store: Mutex::new(store),
            farm,
            device,
            by: String::new(),
            library,
            people,
            kept: Kept::default(),
            today: Date::ZERO,
        })
    }

    /// The library.
    pub fn library(&mut self) -> &mut Library {
        &mut self.library
    }

    /// The store.
    pub fn store(&mut self) -> &mut dyn Store {
        &mut **self.own_store()
    }

    fn own_store(&mut self) -> &mut Box<dyn Store + Send> {
        self.store.get_mut().unwrap_or_else(PoisonError::into_inner)
    }

    /// What a reader is told who only looks, as of now or at the end of a day.
    pub fn reader(&self, on: Option<Date>, today: Date) -> Reader<'_> {
        let drawer = Drawer {
            store: &self.store,
            farm: self.farm,
            kept: &self.kept,
        };
        Reader::new(&self.library, &self.people, &self.device, drawer, (on, today))
    }

    /// Whether another program has written since the books were read.
    ///
    /// # Errors
    /// The store's faults.
    pub fn is_stale(&self) -> Result<bool, Fault> {
        let store = self.store.lock().unwrap_or_else(PoisonError::into_inner);
        Ok(store.others_wrote()? != self.as_of)
    }

    /// What came into the books after they had so many entries, as it could be typed.
    pub fn notes_since(&self, count: usize) -> Vec<(Handle, String)> {
        let new = self.library.books.entries().get(count..).unwrap_or_default();
        new.iter()
            .map(|entry| (entry.handle(), self.library.as_line(entry)))
            .collect()
    }

    /// The farm.
    pub fn farm(&self) -> FarmId {
        self.farm
    }

    /// The device that writes.
    pub fn device(&self) -> &Device {
        &self.device
    }

    /// Names who writes from now on, where a writing names nobody: an id of the address book.
    pub fn write_as(&mut self, by: &str) {
        by.clone_into(&mut self.by);
    }

    /// Who writes where nobody is named.
    pub fn writes_as(&self) -> &str {
        &self.by
    }

    /// The store, for settings that are no part of the books.
    pub(crate) fn drawer(&self) -> (&Mutex<Box<dyn Store + Send>>, FarmId) {
        (&self.store, self.farm)
    }

    fn writer<'a>(&'a self, writing: &'a Writing) -> &'a str {
        if writing.by.is_empty() {
            &self.by
        } else {
            &writing.by
        }
    }

    /// Lets another device write from now on; its notes know all that went before.
    pub fn hand_over(&mut self, device: Device) {
        self.device = unforked(&self.library, device);
    }

    /// Writes lines, all or none unless told otherwise.
    ///
    /// # Errors
    /// The store's faults; then nothing was written.
    pub fn write(
        &mut self,
        lines: &[&str],
        writing: &Writing,
        surroundings: &mut dyn Surroundings,
    ) -> Result<Outcome, Fault> {
        self.today = surroundings.today();
        if self.is_stale()? {
            self.reload()?;
        }
        for _ in 0..MOST_TRIES {
            let before = self.complaints_before(lines, writing);
            let after = self.library.books.heads().clone();
            let device = self.device.clone();
            let mut attempt = self.decide(lines, writing, surroundings);
            self.device = device;
            if !attempt.outcome.refused.is_empty() && !writing.keep_good {
                self.reload()?;
                return Ok(Outcome {
                    written: Vec::new(),
                    ..attempt.outcome
                });
            }
            if attempt.entries.is_empty() {
                self.library.settle();
                return Ok(attempt.outcome);
            }
            let farm = self.farm;
            match self.own_store().append(farm, &after, &attempt.entries) {
                Ok(Appended::Written) => {
                    if !writing.undoubted {
                        self.remark_on_consequences(&mut attempt);
                        self.remark_on_acts(&mut attempt, before.as_ref());
                    }
                    self.library.settle();
                    return Ok(attempt.outcome);
                }
                Ok(Appended::Stale) => self.reload()?,
                Err(fault) => {
                    // Memory must not know better than the disk; if even reading fails, the first fault is the news.
                    if self.reload().is_err() {
                        self.library = Library::empty();
                    }
                    return Err(fault);
                }
            }
        }
        Err(Fault::Locked("other programs kept writing".into()))
    }

    /// Reads the books again, as the store has them now.
    ///
    /// # Errors
    /// The store's faults.
    pub fn reload(&mut self) -> Result<(), Fault> {
        let farm = self.farm;
        let store = self.own_store();
        let as_of = store.others_wrote()?;
        let library = Library::open(&**store, farm)?;
        let people = store.people(farm)?;
        (self.as_of, self.library, self.people) = (as_of, library, people);
        Ok(())
    }

    fn decide(&mut self, lines: &[&str], writing: &Writing, surroundings: &mut dyn Surroundings) -> Attempt {
        let mut desk = Desk::new(surroundings.today());
        let mut attempt = Attempt {
            entries: Vec::new(),
            outcome: Outcome::default(),
        };
        let origins: Vec<String> = (0..lines.len())
            .filter_map(|at| writing.origin_of(at, lines.len()))
            .collect();
        let came_before: BTreeMap<String, usize> = self.came_before(&origins).into_iter().collect();
        let mut here = if writing.brought_in {
            self.lines_here(lines)
        } else {
            Default::default()
        };
        for (at, typed) in lines.iter().enumerate() {
            let line = at + 1;
            if let Some(device) = device_line(typed).filter(|_| writing.brought_in) {
                self.hand_over(device);
                continue;
            }
            let read = desk.line(typed).map_err(Why::Unreadable);
            match read.and_then(|read| self.draft(read, writing)) {
                Ok(None) => {}
                Ok(Some((mut draft, remarks))) => {
                    let text = self.library.line_of(&draft.act, &draft.note);
                    if let Some(origin) = writing.origin_of(at, lines.len()) {
                        if let Some(place) = came_before.get(&origin) {
                            attempt.outcome.before.push(self.before(line, *place));
                            continue;
                        }
                        draft.origin = origin.as_str().into();
                    }
                    if let Some(count) = here.get_mut(&text).filter(|count| **count > 0) {
                        *count -= 1;
                        attempt.outcome.known += 1;
                        continue;
                    }
                    let entry = self.seal(draft, surroundings);
                    attempt.outcome.written.push(Written {
                        line,
                        handle: entry.handle(),
                        text,
                        remarks,
                    });
                    attempt.entries.push(entry);
                }
                Err(why) => attempt.outcome.refused.push(Refused {
                    line,
                    typed: (*typed).to_owned(),
                    why,
                }),
            }
        }
        attempt
    }

    /// How often each line stands in the books: all of them for lines that these very books gave out, else
    /// those that were brought in before.
    fn lines_here(&self, lines: &[&str]) -> BTreeMap<String, usize> {
        let own = lines.first().is_some_and(|first| *first == self.export_heading());
        let entries = self.library.books.entries().iter();
        let mut here = BTreeMap::new();
        for entry in entries.filter(|entry| own || entry.envelope.origin == BROUGHT_IN) {
            *here.entry(self.library.as_line(entry)).or_insert(0) += 1;
        }
        here
    }

    fn export_heading(&self) -> String {
        format!("# notes of the farm {}", self.farm.0)
    }

    fn seal(&mut self, draft: Draft, surroundings: &mut dyn Surroundings) -> Entry {
        let mut heads = self.library.books.heads().clone();
        let entry = heads.seal(self.farm, &self.device, draft, surroundings.stamp());
        self.library.learn(entry.clone());
        entry
    }

    /// What is odd before acts are written; nothing is asked where there are only notes.
    fn complaints_before(&mut self, lines: &[&str], writing: &Writing) -> Option<BTreeSet<String>> {
        let is_act = |line: &&str| {
            ["correct", "withdraw", "settle"]
                .iter()
                .any(|act| line.trim_start().starts_with(act))
        };
        let asked = !writing.undoubted && lines.iter().any(is_act);
        asked.then(|| {
            self.library
                .complaints(None)
                .into_iter()
                .map(|complaint| complaint.says)
                .collect()
        })
    }

    /// An act can make other notes odd: what is odd now and was not before is said beside the last act.
    fn remark_on_acts(&mut self, attempt: &mut Attempt, before: Option<&BTreeSet<String>>) {
        let acts = attempt
            .entries
            .iter()
            .rposition(|entry| entry.envelope.act != Act::Note);
        let (Some(before), Some(at)) = (before, acts) else {
            return;
        };
        let said: BTreeSet<String> = attempt
            .outcome
            .written
            .iter()
            .flat_map(|written| &written.remarks)
            .map(|remark| remark.says.clone())
            .collect();
        for complaint in self.library.complaints(None) {
            if !before.contains(&complaint.says) && !said.contains(&complaint.says) {
                let remark = Misgiving {
                    hint: complaint.hint,
                    ..Misgiving::new(Weight::Odd, complaint.says)
                };
                attempt.outcome.written[at].remarks.push(remark);
            }
        }
    }

    /// Complaints that a note has just caused, and that nothing said while it was doubted: where it comes late
    /// and changes what another means, or meets another device's note of its day.
    fn remark_on_consequences(&mut self, attempt: &mut Attempt) {
        let places: BTreeMap<usize, usize> = attempt
            .entries
            .iter()
            .enumerate()
            .filter_map(|(at, entry)| Some((self.library.books.by_digest(&entry.digest)?, at)))
            .collect();
        for complaint in &self.library.holding().complaints {
            let Some(at) = complaint.about.iter().find_map(|entry| places.get(entry)) else {
                continue;
            };
            let remarks = &mut attempt.outcome.written[*at].remarks;
            if remarks.iter().all(|remark| remark.says != complaint.says) {
                let remark = Misgiving {
                    hint: complaint.hint.clone(),
                    ..Misgiving::new(Weight::Odd, complaint.says.clone())
                };
                remarks.push(remark);
            }
        }
    }

    /// The entries as lines that could be typed again, in the order in which the devices knew them. A line
    /// `#= phone` stands where another device goes on, so that brought into new books each keeps its handle.
    pub fn as_lines(&self) -> Vec<String> {
        let mut order: Vec<&Entry> = self.library.books.entries().iter().collect();
        let key = |entry: &Entry| {
            (
                entry.envelope.order,
                entry.envelope.device.clone(),
                entry.envelope.number,
                entry.digest,
            )
        };
        order.sort_by_cached_key(|entry| key(entry));
        let mut lines = vec![self.export_heading()];
        let mut device = None;
        for entry in order {
            if device != Some(&entry.envelope.device) {
                lines.push(format!("#= {}", entry.envelope.device));
                device = Some(&entry.envelope.device);
            }
            lines.push(self.library.as_line(entry));
        }
        lines
    }

    /// Takes in entries from elsewhere; those that are here already change nothing.
    ///
    /// # Errors
    /// The store's faults; then nothing was taken in.
    pub fn take_in(&mut self, entries: &[Entry]) -> Result<usize, Fault> {
        let farm = self.farm;
        let new = self.own_store().add(farm, entries)?;
        self.reload()?;
        Ok(new)
    }

    /// The address book.
    ///
    /// # Errors
    /// The store's faults.
    pub fn people(&mut self) -> Result<BTreeMap<String, Person>, Fault> {
        let farm = self.farm;
        self.own_store().people(farm)
    }

    /// Enters a person into the address book, in place of what it said of them.
    ///
    /// # Errors
    /// The store's faults.
    pub fn enter_person(&mut self, id: &str, person: &Person) -> Result<(), Fault> {
        let farm = self.farm;
        self.own_store().put_person(farm, id, person)?;
        self.people.insert(id.to_owned(), person.clone());
        Ok(())
    }

    /// Erases a person from the address book; notes keep the id alone.
    ///
    /// # Errors
    /// The store's faults.
    pub fn erase_person(&mut self, id: &str) -> Result<(), Fault> {
        let farm = self.farm;
        self.own_store().erase_person(farm, id)?;
        self.people.remove(id);
        Ok(())
    }

    /// Erases the words of an entry; its place in the chain stays.
    ///
    /// # Errors
    /// The store's faults, or that there is no such note.
    pub fn erase(&mut self, handle: &Handle) -> Result<(), Fault> {
        let digests: Vec<Digest> = self
            .library
            .books
            .by_handle(handle)
            .into_iter()
            .map(|place| self.digest(place))
            .collect();
        if digests.is_empty() {
            return Err(Fault::NoSuchEntry);
        }
        for digest in digests {
            let farm = self.farm;
            self.own_store().blank(farm, &digest)?;
        }
        self.reload()
    }

    /// Remembers this device's name for the next time these books are opened here.
    ///
    /// # Errors
    /// The store's faults.
    pub fn remember_device(&mut self) -> Result<(), Fault> {
        let (farm, device) = (self.farm, self.device.to_string());
        self.own_store()
            .put_setting(farm, Scope::Device, "device", &device)
    }

    /// The newest day that any standing note is about.
    pub fn newest_day(&mut self) -> Option<Date> {
        self.library.holding().day
    }
}

struct Attempt {
    entries: Vec<Entry>,
    outcome: Outcome,
}

/// A device whose chain was forked goes on under a new name: `phone`, then `phone-2`.
fn unforked(library: &Library, device: Device) -> Device {
    let forked = |device: &Device| {
        let ends = library
            .books
            .heads()
            .iter()
            .filter(|head| head.device == *device)
            .count();
        ends > 1
    };
    let mut name = device.clone();
    let mut number = 2;
    while forked(&name) {
        match Device::new(&format!("{device}-{number}")) {
            Ok(next) => name = next,
            Err(_) => return device,
        }
        number += 1;
    }
    name
}
