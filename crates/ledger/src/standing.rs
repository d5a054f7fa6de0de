//! Which notes stand, after all corrections, withdrawals and settlements.
//!
//! A note and the acts about it are *versions*. A version overrides another if whoever wrote it knew
//! the other; those that nobody overrides remain. One remaining version stands. Several are rivals:
//! each of their texts stands, and the reader is told, until a version that knew them all comes.
//!
//! Withdrawing a correction takes that version out, so that the earlier one is back. Withdrawing the
//! note itself is a version without words: it overrides the note and every correction it knew of.

use crate::{Act, Books, Digest, Entry, Hours, Lineage};
use std::cmp::Ordering;
use std::collections::{BTreeMap, BTreeSet};

/// A note that stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Standing {
    /// The entry that holds the words.
    pub entry: usize,
    /// The note first written, whose place in the sequence it keeps.
    pub root: usize,
}

/// Versions of one note that did not know each other and do not say the same.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Rivals {
    /// The note first written.
    pub root: usize,
    /// The versions, by digest; withdrawals among them.
    pub versions: Vec<usize>,
}

/// The notes that stand and the rivals among them.
///
/// Both come in the order in which the roots were added; [`in_order`] puts the notes into that of
/// the days. Entries are given by their places in [`Books::entries`].
#[must_use]
pub fn standing(books: &Books) -> (Vec<Standing>, Vec<Rivals>) {
    let mut rivals = Vec::new();
    let revised = Revised::of(books, &mut rivals);
    let mut stands = Vec::with_capacity(books.entries().len());
    for (place, entry) in books.entries().iter().enumerate() {
        if entry.envelope.act != Act::Note {
            continue;
        }
        match revised.0.get(&place) {
            Some(versions) => stands.extend(versions.iter().map(|&entry| Standing { entry, root: place })),
            None if entry.note.is_some() => stands.push(Standing {
                entry: place,
                root: place,
            }),
            None => {}
        }
    }
    (stands, rivals)
}

/// The entries that some settlement in force has looked at.
#[must_use]
pub fn settled(books: &Books) -> BTreeSet<usize> {
    let withdrawn = withdrawn_acts(books);
    let in_force = books.acts().filter(|act| !withdrawn.contains(act));
    let settles = in_force
        .map(|act| &books.entries()[act].envelope.act)
        .filter(|act| is_settle(act));
    settles
        .flat_map(Act::names)
        .filter_map(|of| books.by_digest(of))
        .collect()
}

/// Sorts standing notes as they are to be read, by [`which_first`].
pub fn in_order(books: &Books, hours: &Hours, stands: &mut [Standing]) {
    stands.sort_by(|a, b| which_first(books, hours, a, b));
}

/// Which of two standing notes is read first: by day, hour, then order, device and number of the note first written.
///
/// Rival versions of one note follow by their own device and number; the salt in a digest must not choose among them.
#[must_use]
pub fn which_first(books: &Books, hours: &Hours, a: &Standing, b: &Standing) -> Ordering {
    let entries = books.entries();
    let key = |stand: &Standing| {
        let (root, at) = (&entries[stand.root], &entries[stand.entry]);
        let time = (at.envelope.day, hours.hour(stand.entry), root.envelope.order);
        let first = (&root.envelope.device, root.envelope.number, root.digest);
        (time, first, &at.envelope.device, at.envelope.number, at.digest)
    };
    key(a).cmp(&key(b))
}

/// What stands in the place of each note that some act is about.
struct Revised(BTreeMap<usize, Vec<usize>>);

impl Revised {
    fn of(books: &Books, rivals: &mut Vec<Rivals>) -> Self {
        let versions = versions(books);
        let mut judge = Judge { books, lineage: None };
        let mut homes: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        let mut revised: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        for (root, acts) in versions {
            let remaining = judge.remaining(root, &acts);
            let remaining = judge.without_echoes(remaining);
            if remaining.len() > 1 {
                rivals.push(Rivals {
                    root,
                    versions: remaining.clone(),
                });
            }
            revised.insert(root, Vec::new());
            for version in remaining
                .into_iter()
                .filter(|&version| has_words(&books.entries()[version]))
            {
                homes.entry(version).or_default().push(root);
            }
        }
        for (version, roots) in homes {
            let home = roots
                .into_iter()
                .min_by_key(|&root| precedence(&books.entries()[root]));
            revised
                .entry(home.expect("BUG: a version without a root"))
                .or_default()
                .push(version);
        }
        for versions in revised.values_mut() {
            versions.sort_by_key(|&version| books.entries()[version].digest);
        }
        Self(revised)
    }
}

/// Which of several notes, replaced together by one settlement, gives it its place.
fn precedence(entry: &Entry) -> impl Ord + use<> {
    let envelope = &entry.envelope;
    (
        envelope.day,
        envelope.order,
        envelope.device.clone(),
        envelope.number,
        entry.digest,
    )
}

/// The acts in force that are versions of each note.
fn versions(books: &Books) -> BTreeMap<usize, Vec<usize>> {
    let subjects = Subjects::of(books);
    let withdrawn = withdrawn_acts(books);
    let mut versions: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for act in books.acts().filter(|act| !withdrawn.contains(act)) {
        for root in subjects.revised_by(books, act) {
            versions.entry(root).or_default().push(act);
        }
    }
    versions
}

/// Decides between the versions of a note.
struct Judge<'a> {
    books: &'a Books,
    /// Made when first needed: a note with a single correction does without.
    lineage: Option<Lineage>,
}

impl Judge<'_> {
    /// The versions which no other overrides, by digest.
    fn remaining(&mut self, root: usize, acts: &[usize]) -> Vec<usize> {
        if let [only] = acts {
            // To be a version of the note it must have named it, so it knew it.
            return vec![*only];
        }
        let books = self.books;
        let lineage = self.lineage.get_or_insert_with(|| Lineage::of(books));
        // A later act on a branch knows every earlier one: only the last can remain.
        let mut last: BTreeMap<u32, usize> = BTreeMap::new();
        for &act in acts.iter().chain([&root]) {
            let at = last.entry(lineage.branch(act)).or_insert(act);
            *at = if lineage.covers(*at, act) { *at } else { act };
        }
        let known: BTreeMap<usize, _> = last
            .into_values()
            .map(|act| (act, lineage.knowledge(act)))
            .collect();
        let knows = |a: &usize, b: &usize| known[a].has(lineage, *b);
        let overridden = |version: &&usize| known.keys().any(|by| knows(by, version) && !knows(version, by));
        let mut versions: Vec<usize> = known
            .keys()
            .filter(|version| !overridden(version))
            .copied()
            .collect();
        versions.sort_by_key(|&version| books.entries()[version].digest);
        versions
    }

    /// Of versions that say the same, the first by digest: two telephones which corrected a note
    /// alike agree, and what they say must not count twice.
    fn without_echoes(&self, versions: Vec<usize>) -> Vec<usize> {
        let says = |version: usize| {
            let entry = &self.books.entries()[version];
            has_words(entry).then_some((entry.envelope.day, entry.envelope.hour, entry.note.as_deref()))
        };
        let mut said = BTreeSet::new();
        versions
            .into_iter()
            .filter(|&version| is_blank(&self.books.entries()[version]) || said.insert(says(version)))
            .collect()
    }
}

/// Whether a version puts words into the books. A withdrawal does not, nor does a replacement with
/// nothing.
fn has_words(entry: &Entry) -> bool {
    match (&entry.envelope.act, &entry.note) {
        (_, None) | (Act::Withdraw { .. }, _) => false,
        (Act::Note | Act::Correct { .. }, Some(_)) => true,
        (Act::Settle { replaces, .. }, Some(note)) => *replaces && !note.trim().is_empty(),
    }
}

/// Whether the words were erased, so that there is no telling what the version said.
fn is_blank(entry: &Entry) -> bool {
    entry.note.is_none() && !matches!(entry.envelope.act, Act::Withdraw { .. })
}

fn is_settle(act: &Act) -> bool {
    matches!(act, Act::Settle { .. })
}

/// Acts taken back by a withdrawal that is itself in force.
fn withdrawn_acts(books: &Books) -> BTreeSet<usize> {
    let mut withdrawals: BTreeMap<usize, usize> = BTreeMap::new();
    let mut pending: BTreeMap<usize, usize> = BTreeMap::new();
    for act in books.acts() {
        if let Some(target) = withdrawn_act(books, act) {
            withdrawals.insert(act, target);
            *pending.entry(target).or_default() += 1;
        }
    }
    // From those that nobody withdraws, inwards: by then each one's own fate is known.
    let mut ready: Vec<usize> = withdrawals
        .keys()
        .copied()
        .filter(|act| !pending.contains_key(act))
        .collect();
    let mut withdrawn = BTreeSet::new();
    while let Some(act) = ready.pop() {
        let Some(&target) = withdrawals.get(&act) else {
            continue;
        };
        if !withdrawn.contains(&act) {
            withdrawn.insert(target);
        }
        let left = pending.get_mut(&target).expect("BUG: every target was counted");
        *left -= 1;
        if *left == 0 {
            ready.push(target);
        }
    }
    withdrawn
}

/// The act that a withdrawal takes back; none if it withdraws a note.
fn withdrawn_act(books: &Books, act: usize) -> Option<usize> {
    let Act::Withdraw { of } = &books.entries()[act].envelope.act else {
        return None;
    };
    books
        .by_digest(of)
        .filter(|&target| books.entries()[target].envelope.act != Act::Note)
}

/// Which notes each act is about, in the end.
pub(crate) struct Subjects(BTreeMap<usize, Vec<usize>>);

impl Subjects {
    pub(crate) fn of(books: &Books) -> Self {
        let mut subjects = Self(BTreeMap::new());
        for act in books.acts() {
            subjects.settle_subjects_of(books, act);
        }
        subjects
    }

    /// Whether it makes sense for an act to name an entry. A look at anything may be recorded, and
    /// anything may be withdrawn; a revision must be of a note or of another version of one.
    pub(crate) fn can_be_about(&self, books: &Books, act: usize, of: usize) -> bool {
        match &books.entries()[act].envelope.act {
            Act::Correct { .. } | Act::Settle { replaces: true, .. } => !self.roots(books, of).is_empty(),
            Act::Note | Act::Withdraw { .. } | Act::Settle { replaces: false, .. } => true,
        }
    }

    /// The notes of which an act is a version.
    fn revised_by(&self, books: &Books, act: usize) -> Vec<usize> {
        match &books.entries()[act].envelope.act {
            Act::Withdraw { .. } if withdrawn_act(books, act).is_some() => Vec::new(),
            Act::Note | Act::Settle { replaces: false, .. } => Vec::new(),
            Act::Correct { .. } | Act::Withdraw { .. } | Act::Settle { replaces: true, .. } => {
                self.roots(books, act)
            }
        }
    }

    /// The notes at the bottom of an entry: itself, if it is one.
    fn roots(&self, books: &Books, place: usize) -> Vec<usize> {
        match books.entries()[place].envelope.act {
            Act::Note => vec![place],
            _ => self.0.get(&place).cloned().unwrap_or_default(),
        }
    }

    /// Works out an act's notes after those of the acts it names, without recursion: a note may have
    /// been corrected any number of times.
    fn settle_subjects_of(&mut self, books: &Books, act: usize) {
        let mut waiting = vec![act];
        while let Some(&act) = waiting.last() {
            let named = named_by(books, act);
            let is_open = |place: &usize| {
                books.entries()[*place].envelope.act != Act::Note && !self.0.contains_key(place)
            };
            let open: Vec<usize> = named.iter().copied().filter(is_open).collect();
            if open.is_empty() || self.0.contains_key(&act) {
                waiting.pop();
                let roots: BTreeSet<usize> =
                    named.iter().flat_map(|&place| self.roots(books, place)).collect();
                self.0.entry(act).or_insert_with(|| roots.into_iter().collect());
            } else {
                waiting.extend(open);
            }
        }
    }
}

/// The entries here that an act names, if through it a note could be revised.
fn named_by(books: &Books, act: usize) -> Vec<usize> {
    let act = &books.entries()[act].envelope.act;
    let names: &[Digest] = if matches!(act, Act::Settle { replaces: false, .. }) {
        &[]
    } else {
        act.names()
    };
    names.iter().filter_map(|of| books.by_digest(of)).collect()
}
