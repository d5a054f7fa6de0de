//! Books opened: entries verified, notes read, put into the order of their days and folded.

mod at_hand;
mod complaints;

use std::collections::BTreeMap;
use std::sync::mpsc;

use apiary::note::{Note, Unreadable, read};
use apiary::{Holding, Told};
use jiff::civil::Date;
use ledger::{
    Act, Books, Broken, Change, Digest, Entry, FarmId, Fault, Hours, Row, Standing, Store, effective_hours,
};

use at_hand::AtHand;
pub(crate) use at_hand::Held;

/// What the words of an entry say; acts without words say nothing.
pub(crate) type Said = Option<Result<Note, Box<Unreadable>>>;

type Decoded = Vec<Result<(Entry, Said), (Broken, Box<Row>)>>;

/// A note that stands, with what decides its place among the others.
#[derive(Clone, Copy, Debug)]
struct Line {
    standing: Standing,
    known_as: usize,
    day: Date,
    hour: u16,
    order: u64,
}

/// Which of two notes is folded first: [`ledger::which_first`], asked only where the keys at hand do not tell.
fn which_first(books: &Books, hours: &Hours, a: &Line, b: &Line) -> std::cmp::Ordering {
    let at_hand = |line: &Line| (line.day, line.hour, line.order);
    at_hand(a)
        .cmp(&at_hand(b))
        .then_with(|| ledger::which_first(books, hours, &a.standing, &b.standing))
}

/// Open books of one farm.
pub struct Library {
    /// All entries.
    pub(crate) books: Books,
    said: Vec<Said>,
    hours: Hours,
    lines: Vec<Line>,
    rivals: Vec<ledger::Rivals>,
    holding: Holding,
    /// How many of the lines are folded into the holding.
    folded: usize,
    at_hand: AtHand,
}

/// How many rows are read before they are handed to another thread.
const CHUNK: usize = 1_024;

/// How many chunks may wait to be read.
const MOST_WAITING: usize = 24;

impl Library {
    /// Reads the books of a farm out of a store.
    ///
    /// # Errors
    /// The store's own faults. What cannot be verified or read is kept and complained about.
    pub fn open(store: &dyn Store, farm: FarmId) -> Result<Self, Fault> {
        let mut shelf = Shelf::default();
        let count = store.count(farm)?;
        shelf.books.reserve(count);
        shelf.said.reserve_exact(count);
        let mut result = Ok(());
        rayon::in_place_scope(|scope| {
            let (send, arrived) = mpsc::channel();
            let mut rows = Vec::with_capacity(CHUNK);
            let mut number = 0;
            let mut hand_over = |rows: Vec<Row>, shelf: &mut Shelf| {
                let (send, at) = (send.clone(), number);
                number += 1;
                // The receiver outlives the scope's tasks, so what is sent arrives.
                scope.spawn(move |_| {
                    let _ = send.send((at, rows.into_iter().map(decode).collect::<Decoded>()));
                });
                arrived.try_iter().for_each(|chunk| shelf.put(chunk));
                // A disk faster than the readers would pile up rows.
                while shelf.next + MOST_WAITING < number {
                    match arrived.recv() {
                        Ok(chunk) => shelf.put(chunk),
                        Err(_) => break,
                    }
                }
            };
            result = store.load(farm, &mut |row| {
                rows.push(row);
                if rows.len() == CHUNK {
                    hand_over(
                        std::mem::replace(&mut rows, Vec::with_capacity(CHUNK)),
                        &mut shelf,
                    );
                }
            });
            hand_over(rows, &mut shelf);
            drop(send);
            arrived.iter().for_each(|chunk| shelf.put(chunk));
        });
        result.map(|()| Self::of(shelf.books, shelf.said))
    }

    /// Empty books.
    pub fn empty() -> Self {
        Self::of(Books::new(), Vec::new())
    }

    /// Books of entries at hand.
    pub fn of_entries(entries: impl IntoIterator<Item = Entry>) -> Self {
        let mut books = Books::new();
        for entry in entries {
            books.add(entry);
        }
        let said = books.entries().iter().map(say).collect();
        Self::of(books, said)
    }

    fn of(books: Books, said: Vec<Said>) -> Self {
        let hours = effective_hours(&books);
        let mut library = Self {
            books,
            said,
            hours,
            lines: Vec::new(),
            rivals: Vec::new(),
            holding: Holding::default(),
            folded: 0,
            at_hand: AtHand::default(),
        };
        library.settle_order();
        library.fold_to(library.lines.len());
        library
    }

    /// Works out anew which notes stand, and in which order.
    fn settle_order(&mut self) {
        let (standing, rivals) = ledger::standing(&self.books);
        self.lines = standing.into_iter().map(|standing| self.line(standing)).collect();
        let (books, hours) = (&self.books, &self.hours);
        self.lines.sort_by(|a, b| which_first(books, hours, a, b));
        self.rivals = rivals;
        self.holding = Holding::default();
        self.folded = 0;
    }

    fn line(&self, standing: Standing) -> Line {
        let entries = self.books.entries();
        let (root, at) = (&entries[standing.root], &entries[standing.entry]);
        Line {
            standing,
            known_as: self.known_as(standing),
            day: at.envelope.day,
            hour: self.hours.window(standing.entry).from,
            order: root.envelope.order,
        }
    }

    /// A correction that leaves the bars and their places alone was known to whoever knew the note.
    fn known_as(&self, standing: Standing) -> usize {
        if standing.entry == standing.root {
            return standing.entry;
        }
        let fact = |entry: usize| match &self.said[entry] {
            Some(Ok(note)) => Some(&note.fact),
            _ => None,
        };
        let bars_alone = match (fact(standing.entry), fact(standing.root)) {
            (Some(now), Some(then)) => {
                let subject = |fact: &apiary::note::Fact| {
                    let keys = ["bars", "at", "hive", "count", "half", "part"];
                    fact.values()
                        .iter()
                        .filter(|(field, _)| keys.contains(field))
                        .cloned()
                        .collect::<Vec<_>>()
                };
                now.word() == then.word() && subject(now) == subject(then)
            }
            _ => false,
        };
        if bars_alone { standing.root } else { standing.entry }
    }

    fn fold_to(&mut self, end: usize) {
        if end < self.folded {
            self.holding = Holding::default();
            self.folded = 0;
        }
        while self.folded < end {
            let line = &self.lines[self.folded];
            fold(&self.books, &self.said, &self.hours, line, &mut self.holding);
            self.folded += 1;
        }
    }

    /// The holding as of now: every note folded.
    pub fn holding(&mut self) -> &Holding {
        self.fold_to(self.lines.len());
        &self.holding
    }

    /// Folds what is not folded, so that readers who only look find the holding as of now.
    pub(crate) fn settle(&mut self) {
        self.fold_to(self.lines.len());
    }

    fn folded_anew(&self, end: usize) -> Holding {
        let mut holding = Holding::default();
        for line in &self.lines[..end] {
            fold(&self.books, &self.said, &self.hours, line, &mut holding);
        }
        holding
    }

    /// An entry as it could be typed.
    pub(crate) fn as_line(&self, entry: &Entry) -> String {
        match entry.note.as_deref() {
            Some(words) => self.line_of(&entry.envelope.act, words),
            None => format!("# the words of {} were erased", entry.handle()),
        }
    }

    /// An act with its words, as it would be typed.
    pub(crate) fn line_of(&self, act: &Act, words: &str) -> String {
        let handle = |digest: &Digest| {
            let place = self.books.by_digest(digest);
            place.map_or_else(
                || digest.short(),
                |place| self.books.entries()[place].handle().to_string(),
            )
        };
        match act {
            Act::Note => words.to_owned(),
            Act::Correct { of } => format!("correct {}: {words}", handle(of)),
            Act::Withdraw { of } => format!("withdraw {} {words}", handle(of)).trim_end().to_owned(),
            Act::Settle { of, replaces } => {
                let of = of.iter().map(handle).collect::<Vec<_>>().join(", ");
                if *replaces {
                    format!("settle {of}: {words}")
                } else {
                    format!("settle {of} {words}")
                }
            }
        }
    }

    /// What the words of an entry say.
    pub fn note(&self, entry: usize) -> Option<&Note> {
        match self.said.get(entry)? {
            Some(Ok(note)) => Some(note),
            _ => None,
        }
    }

    /// The entries that stand up to a day, in the order of their days.
    pub(crate) fn standing_until(&self, on: Option<Date>) -> impl DoubleEndedIterator<Item = usize> {
        let end = on.map_or(self.lines.len(), |day| {
            self.lines.partition_point(|line| line.day <= day)
        });
        self.lines[..end].iter().map(|line| line.standing.entry)
    }

    /// The holding at the end of a day.
    pub fn holding_on(&mut self, day: Date) -> std::borrow::Cow<'_, Holding> {
        let end = self.lines.partition_point(|line| line.day <= day);
        if end == self.lines.len() {
            return std::borrow::Cow::Borrowed(self.holding());
        }
        std::borrow::Cow::Owned(self.folded_anew(end))
    }

    /// The holding just before a note of this day and hour, written last, would be folded.
    ///
    /// `instead_of` is a note that this one would replace: it is left out, and its place is taken.
    pub(crate) fn holding_before(
        &mut self,
        day: Date,
        hour: Option<u16>,
        instead_of: Option<usize>,
    ) -> std::borrow::Cow<'_, Holding> {
        if let Some(root) = instead_of {
            let entry = &self.books.entries()[root];
            let own = || self.hours.window(root).from;
            let hour = hour.unwrap_or_else(|| {
                if entry.envelope.day == day {
                    own()
                } else {
                    u16::MAX
                }
            });
            let place = (day, hour, entry.envelope.order);
            let mut holding = Holding::default();
            for line in self.lines.iter().filter(|line| line.standing.root != root) {
                if (line.day, line.hour, line.order) > place {
                    break;
                }
                fold(&self.books, &self.said, &self.hours, line, &mut holding);
            }
            return std::borrow::Cow::Owned(holding);
        }
        // Without an hour the note takes the last one given that day, so it follows all of them.
        let end = match hour {
            Some(hour) => self
                .lines
                .partition_point(|line| (line.day, line.hour) <= (day, hour)),
            None => self.lines.partition_point(|line| line.day <= day),
        };
        self.fold_to(end);
        std::borrow::Cow::Borrowed(&self.holding)
    }

    /// Takes in a new entry.
    pub(crate) fn learn(&mut self, entry: Entry) {
        self.at_hand = AtHand::default();
        let read = say(&entry);
        let change = self.books.learn(entry);
        if self.said.len() < self.books.entries().len() {
            self.said.push(read);
        }
        match change {
            Change::Nothing => {}
            Change::Appended(standing) if self.alone_on_its_day(standing) => {
                self.hours.append(&self.books, standing.entry);
                let line = self.line(standing);
                let at = self
                    .lines
                    .partition_point(|other| which_first(&self.books, &self.hours, other, &line).is_le());
                if at < self.folded {
                    self.holding = Holding::default();
                    self.folded = 0;
                }
                self.lines.insert(at, line);
            }
            Change::Appended(_) | Change::Reshaped => {
                self.hours = effective_hours(&self.books);
                self.settle_order();
            }
        }
    }

    /// Whether only this device wrote about that day, so that no other note's hours turn on this one.
    fn alone_on_its_day(&self, standing: Standing) -> bool {
        let envelope = &self.books.entries()[standing.entry].envelope;
        let first = self.lines.partition_point(|line| line.day < envelope.day);
        self.lines[first..]
            .iter()
            .take_while(|line| line.day == envelope.day)
            .all(|line| self.books.entries()[line.standing.entry].envelope.device == envelope.device)
    }

    /// Entries of the books.
    pub fn books(&self) -> &Books {
        &self.books
    }

    /// The standing notes, in the order of their days.
    pub fn standing(&self) -> impl Iterator<Item = (&Entry, Option<&Note>)> {
        self.lines.iter().map(|line| {
            let note = match &self.said[line.standing.entry] {
                Some(Ok(note)) => Some(note),
                _ => None,
            };
            (&self.books.entries()[line.standing.entry], note)
        })
    }
}

fn fold(books: &Books, said: &[Said], hours: &Hours, line: &Line, holding: &mut Holding) {
    let entry = line.standing.entry;
    if let Some(Ok(note)) = &said[entry] {
        holding.fold(&Told {
            books,
            entry,
            root: line.standing.root,
            known_as: line.known_as,
            window: hours.window(entry),
            note,
        });
    }
}

/// Reads the words of an entry, where it has words that stand for something.
fn say(entry: &Entry) -> Said {
    let words = entry.note.as_deref()?;
    match entry.envelope.act {
        Act::Note | Act::Correct { .. } | Act::Settle { replaces: true, .. } => {
            Some(read(words).map_err(Box::new))
        }
        Act::Withdraw { .. } | Act::Settle { replaces: false, .. } => None,
    }
}

/// Entries taken in as their chunks arrive: rows come off the disk on one thread and are verified and read on
/// the others, and what is done in the meantime makes room again.
#[derive(Default)]
struct Shelf {
    books: Books,
    said: Vec<Said>,
    /// Chunks that came before their turn.
    early: BTreeMap<usize, Decoded>,
    next: usize,
}

impl Shelf {
    fn put(&mut self, (number, chunk): (usize, Decoded)) {
        self.early.insert(number, chunk);
        while let Some(chunk) = self.early.remove(&self.next) {
            self.next += 1;
            chunk.into_iter().for_each(|decoded| self.take(decoded));
        }
    }

    fn take(&mut self, decoded: Result<(Entry, Said), (Broken, Box<Row>)>) {
        match decoded {
            Ok((entry, read)) => {
                let place = self.books.add(entry).place();
                if place == self.said.len() {
                    self.said.push(read);
                }
            }
            Err((broken, row)) => self.books.keep_unread(broken, *row),
        }
    }
}

fn decode(row: Row) -> Result<(Entry, Said), (Broken, Box<Row>)> {
    let entry = Entry::from_row(row)?;
    let said = say(&entry);
    Ok((entry, said))
}
