//! Books opened: entries verified, notes read, put into the order of their days and folded.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, OnceLock, PoisonError, mpsc};

use apiary::honey::answers::{HiveYield, yields};
use apiary::note::{Note, Unreadable, read};
use apiary::{Complaint, Holding, Told};
use jiff::civil::Date;
use ledger::{
    Act, Books, Broken, Change, Digest, Entry, FarmId, Fault, Hours, Problem, Row, Standing, Store,
    effective_hours,
};

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

/// What was worked out for one reader and serves the next, until something is written.
#[derive(Default)]
struct AtHand {
    complaints: OnceLock<Vec<Complaint>>,
    /// For each entry, whether it stands.
    stands: OnceLock<Vec<bool>>,
    /// What corrects, withdraws or settles an entry.
    acts: OnceLock<BTreeMap<usize, Vec<usize>>>,
    /// What each hive gave, as of now.
    yields: OnceLock<Vec<HiveYield>>,
    /// The entries that have words in them, by the words; the search asked for last is at the end.
    found: Mutex<Vec<(String, Arc<Vec<usize>>)>>,
    /// Holdings of earlier days, the one asked for last at the end.
    past: Mutex<Vec<(Date, Arc<Holding>)>>,
}

/// How many searches are kept at hand: a reader pages through what was found.
const MOST_SEARCHES: usize = 8;

/// How many earlier days are kept at hand: a reader who steps through days goes back and forth.
const MOST_DAYS: usize = 4;

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

    /// The holding of a reader who only looks: as of now, or at the end of a day.
    pub(crate) fn held(&self, on: Option<Date>) -> Held<'_> {
        let end = on.map_or(self.lines.len(), |day| {
            self.lines.partition_point(|line| line.day <= day)
        });
        match on {
            Some(day) if end < self.lines.len() => Held::Then(self.past(day, end)),
            _ if self.folded == self.lines.len() => Held::Now(&self.holding),
            _ => Held::Then(Arc::new(self.folded_anew(end))),
        }
    }

    fn past(&self, day: Date, end: usize) -> Arc<Holding> {
        let mut past = self.at_hand.past.lock().unwrap_or_else(PoisonError::into_inner);
        let at = past.iter().position(|(of, _)| *of == day);
        let found = match at {
            Some(at) => past.remove(at),
            None => (day, Arc::new(self.folded_anew(end))),
        };
        if past.len() >= MOST_DAYS {
            past.remove(0);
        }
        let holding = Arc::clone(&found.1);
        past.push(found);
        holding
    }

    fn folded_anew(&self, end: usize) -> Holding {
        let mut holding = Holding::default();
        for line in &self.lines[..end] {
            fold(&self.books, &self.said, &self.hours, line, &mut holding);
        }
        holding
    }

    /// What is odd as of now, for a reader who only looks.
    pub(crate) fn complaints_at_hand(&self) -> &[Complaint] {
        self.at_hand
            .complaints
            .get_or_init(|| self.complaints_of(&self.held(None), None))
    }

    /// Whether an entry stands.
    pub(crate) fn stands(&self, entry: usize) -> bool {
        let stands = self.at_hand.stands.get_or_init(|| {
            let mut stands = vec![false; self.books.entries().len()];
            for line in &self.lines {
                stands[line.standing.entry] = true;
            }
            stands
        });
        stands.get(entry).copied().unwrap_or(false)
    }

    /// The entries that correct, withdraw or settle an entry, in the order in which they came.
    pub(crate) fn acts_about(&self, entry: usize) -> &[usize] {
        let acts = self.at_hand.acts.get_or_init(|| {
            let mut acts: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
            for (place, entry) in self.books.entries().iter().enumerate() {
                let of = match &entry.envelope.act {
                    Act::Note => continue,
                    Act::Correct { of } | Act::Withdraw { of } => std::slice::from_ref(of),
                    Act::Settle { of, .. } => of.as_slice(),
                };
                for target in of.iter().filter_map(|digest| self.books.by_digest(digest)) {
                    acts.entry(target).or_default().push(place);
                }
            }
            acts
        });
        acts.get(&entry).map_or(&[], Vec::as_slice)
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

    /// What each hive gave, as of now.
    pub(crate) fn yields_at_hand(&self) -> &[HiveYield] {
        self.at_hand.yields.get_or_init(|| yields(&self.held(None)))
    }

    /// The entries that have these words in them, those written last first; or the entry of that handle.
    pub(crate) fn found(&self, words: &str) -> Arc<Vec<usize>> {
        let mut searches = self.at_hand.found.lock().unwrap_or_else(PoisonError::into_inner);
        let at = searches.iter().position(|(of, _)| of == words);
        let found = match at {
            Some(at) => searches.remove(at),
            None => {
                let all = self.books.entries().iter().enumerate().rev();
                let has = |entry: &Entry| {
                    entry.note.as_deref().is_some_and(|note| has_words(note, words))
                        || entry.handle().to_string() == words
                };
                let found = all.filter(|(_, entry)| has(entry)).map(|(place, _)| place);
                (words.to_owned(), Arc::new(found.collect()))
            }
        };
        if searches.len() >= MOST_SEARCHES {
            searches.remove(0);
        }
        let entries = Arc::clone(&found.1);
        searches.push(found);
        entries
    }

    /// What the words of an entry say.
    pub(crate) fn note(&self, entry: usize) -> Option<&Note> {
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

    /// The holding as of now, for a caller who asks once; asking again folds anew.
    pub fn take_holding(&mut self) -> Holding {
        self.fold_to(self.lines.len());
        self.folded = 0;
        std::mem::take(&mut self.holding)
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

    /// Everything odd: about the chains, the words, and what they say together.
    pub fn complaints(&mut self, on: Option<Date>) -> Vec<Complaint> {
        if on.is_none() {
            self.settle();
        }
        self.complaints_of(&self.held(on), on)
    }

    /// Everything odd, with what a holding says of the day it is of.
    pub(crate) fn complaints_of(&self, holding: &Holding, on: Option<Date>) -> Vec<Complaint> {
        let settled = ledger::settled(&self.books);
        let mut all: Vec<Complaint> = self.chain_complaints();
        all.extend(self.rival_complaints());
        all.extend(self.unreadable());
        all.extend(holding.complaints.iter().cloned());
        let at = |entry: usize| self.books.entries()[entry].envelope.day;
        all.retain(|complaint| {
            let laid_to_rest = complaint.about.iter().any(|entry| settled.contains(entry));
            let later = on.is_some_and(|day| complaint.about.first().is_some_and(|entry| at(*entry) > day));
            !laid_to_rest && !later
        });
        all
    }

    fn rival_complaints(&self) -> Vec<Complaint> {
        let mut rivals: Vec<_> = self.rivals.iter().collect();
        rivals.sort_by_key(|rivals| self.books.entries()[rivals.root].digest);
        let complaint = |rivals: &&ledger::Rivals| Complaint {
            about: rivals.versions.clone(),
            says: format!(
                "{} was changed in different ways by writers who did not know each other; each version stands",
                self.books.entries()[rivals.root].handle()
            ),
            hint: Some("settle them: settle A, B: and the note as it should be".to_owned()),
        };
        rivals.iter().map(complaint).collect()
    }

    fn unreadable(&self) -> Vec<Complaint> {
        let lines = self.lines.iter();
        let unread = lines.filter_map(|line| match &self.said[line.standing.entry] {
            Some(Err(unreadable)) => Some(Complaint {
                about: vec![line.standing.entry],
                says: format!("this note cannot be read and counts for nothing: {unreadable}"),
                hint: Some("correct it; its words are kept as they are".to_owned()),
            }),
            _ => None,
        });
        unread.collect()
    }

    fn chain_complaints(&self) -> Vec<Complaint> {
        // Erased words are no oddity: the keeper asked for it.
        let odd = |problem: &&Problem| !matches!(problem, Problem::Blanked { .. });
        self.books
            .problems()
            .iter()
            .filter(odd)
            .map(|problem| self.chain_complaint(problem))
            .collect()
    }

    fn chain_complaint(&self, problem: &Problem) -> Complaint {
        let handle = |entry: &usize| self.books.entries()[*entry].handle().to_string();
        let (about, says, hint) = match problem {
            Problem::Gap { device, from, to } if from == to => (
                vec![],
                format!("{device}/{from} is missing from its chain"),
                "bring in the notes of that device again",
            ),
            Problem::Gap { device, from, to } => (
                vec![],
                format!("{device}/{from} to {to} are missing from their chain"),
                "bring in the notes of that device again",
            ),
            Problem::NotHere { by, head } => (
                vec![*by],
                format!(
                    "{} was written knowing {}/{}, which is not here",
                    handle(by),
                    head.device,
                    head.number
                ),
                "bring in the notes of that device",
            ),
            Problem::BrokenLink { entry } => (
                vec![*entry],
                format!("{} does not follow the entry before it", handle(entry)),
                "check where it came from",
            ),
            Problem::Fork { entries } => (
                entries.clone(),
                format!(
                    "{} was written twice with different words; both are kept",
                    entries.first().map(handle).unwrap_or_default()
                ),
                "the device was restored from a backup: give it a new name",
            ),
            Problem::Order { entry } => (
                vec![*entry],
                format!("{} is out of order", handle(entry)),
                "check where it came from",
            ),
            Problem::UnknownTarget { act, .. } => (
                vec![*act],
                format!("{} is about an entry that is not here", handle(act)),
                "bring in the notes of the other devices",
            ),
            Problem::OddTarget { act, of } => (
                vec![*act, *of],
                format!("{} cannot be about {}", handle(act), handle(of)),
                "withdraw it and write what was meant",
            ),
            Problem::Unread { digest } => (
                vec![],
                format!("an entry is kept but cannot be read ({})", digest.short()),
                "run books check",
            ),
            Problem::Blanked { entry } => (
                vec![*entry],
                format!("the words of {} were erased", handle(entry)),
                "nothing; the chain still holds",
            ),
        };
        Complaint {
            about,
            says,
            hint: Some(hint.to_owned()),
        }
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

/// Whether words stand in a note, in capitals or not.
fn has_words(note: &str, words: &str) -> bool {
    if !(note.is_ascii() && words.is_ascii()) {
        return note.to_lowercase().contains(&words.to_lowercase());
    }
    let (note, words) = (note.as_bytes(), words.as_bytes());
    words.is_empty()
        || note
            .windows(words.len())
            .any(|part| part.eq_ignore_ascii_case(words))
}

/// A holding that a reader looks at.
pub(crate) enum Held<'a> {
    /// As of now.
    Now(&'a Holding),
    /// At the end of an earlier day.
    Then(Arc<Holding>),
}

impl std::ops::Deref for Held<'_> {
    type Target = Holding;

    fn deref(&self) -> &Holding {
        match self {
            Self::Now(holding) => holding,
            Self::Then(holding) => holding,
        }
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
