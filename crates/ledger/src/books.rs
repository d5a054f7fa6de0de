//! All entries of a farm, as a set: the union of the chains of its devices.

use crate::chain::Chain;
use crate::index::DigestIndex;
use crate::problem::{self, Problem};
use crate::{Act, Broken, Device, Digest, Entry, Handle, Head, Heads, Lineage, Row, Standing};
use std::collections::{BTreeMap, BTreeSet};

/// How many entries may wait until they are filed by digest.
const BATCH: usize = 64;

/// The entries of one farm. Adding an entry twice, or in another order, changes nothing but the
/// places at which the entries are found.
#[derive(Debug, Clone, Default)]
pub struct Books {
    entries: Vec<Entry>,
    chains: Vec<Chain>,
    by_device: BTreeMap<Device, usize>,
    /// The chain last added to.
    recent: usize,
    index: DigestIndex,
    heads: Heads,
    /// Places of the entries which are not plain notes.
    acts: Vec<u32>,
    /// Digests which some entry mentions and which are not here.
    awaited: BTreeSet<Digest>,
    /// How far each chain must reach at least, since some entry was added before one it had seen.
    reaches: BTreeMap<Device, u64>,
    unread: BTreeMap<Digest, Unread>,
}

/// An entry that is kept although it cannot be read: damaged, or of a newer version.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unread {
    /// What is wrong with it.
    pub broken: Broken,
    /// The bytes as they are.
    pub row: Row,
}

/// How an entry fits into its chain.
struct Link {
    /// Another one has its number.
    twin: bool,
    /// One that links to it is here already.
    followed: bool,
    /// It links to what was the last one.
    follows: bool,
}

/// What became of an entry that was added; each with its place in [`Books::entries`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Added {
    /// It was not here before.
    New(usize),
    /// It was here already.
    Known(usize),
    /// It was not here, but its device has another entry with the same number. Both are kept.
    Forked(usize),
}

/// What a new entry changes in what stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Change {
    /// It was known; all is as before.
    Nothing,
    /// A plain note at the end of its chain: this one stands now as well, and nothing else changed.
    Appended(Standing),
    /// Anything may have changed: ask [`crate::standing`] again.
    Reshaped,
}

impl Added {
    /// Where the entry is.
    #[must_use]
    pub const fn place(self) -> usize {
        match self {
            Self::New(place) | Self::Known(place) | Self::Forked(place) => place,
        }
    }
}

impl Books {
    /// Books with nothing in them.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Makes room for so many more entries at once.
    pub fn reserve(&mut self, additional: usize) {
        self.entries.reserve_exact(additional);
        self.index.reserve(additional);
    }

    /// Adds an entry, if it is not here already.
    ///
    /// Of two copies, one blanked and one whole, the whole one is kept: a pack that shows a few
    /// notes only must not take the others out of the books.
    pub fn add(&mut self, entry: Entry) -> Added {
        if let Some(place) = self.place_of(&entry.envelope.device, entry.envelope.number, &entry.digest) {
            self.fill_in(place, entry);
            return Added::Known(place);
        }
        let place = self.entries.len();
        let link = self.enchain(&entry, place);
        self.await_mentioned(&entry, &link);
        self.heads.take(&entry, link.followed);
        if entry.envelope.act != Act::Note {
            self.acts.push(as_u32(place));
        }
        self.entries.push(entry);
        self.file();
        if link.twin {
            Added::Forked(place)
        } else {
            Added::New(place)
        }
    }

    /// Keeps what [`Entry::from_row`] could not read. Its number counts as used, so that the chain
    /// goes on after it.
    pub fn keep_unread(&mut self, broken: Broken, row: Row) {
        if self.holds(&row.digest) {
            return;
        }
        if let Ok(device) = Device::new(&row.device) {
            let head = Head {
                device,
                number: row.number,
                digest: row.digest,
            };
            let followed = self.is_linked_to(&head);
            self.heads.take_unread(head, followed);
        }
        self.awaited.remove(&row.digest);
        self.unread.insert(row.digest, Unread { broken, row });
    }

    /// Adds an entry and tells what it changed in what stands, at the cost of a few look-ups.
    pub fn learn(&mut self, entry: Entry) -> Change {
        let extends = self.merely_extends(&entry);
        let known = self.place_of(&entry.envelope.device, entry.envelope.number, &entry.digest);
        let known = known.map(|place| self.entries[place].note.is_some());
        let blank = entry.note.is_none();
        match self.add(entry) {
            Added::Known(_) if blank || known == Some(true) => Change::Nothing,
            Added::New(place) if extends => Change::Appended(Standing {
                entry: place,
                root: place,
            }),
            Added::New(_) | Added::Known(_) | Added::Forked(_) => Change::Reshaped,
        }
    }

    /// All entries, in the order in which they were added.
    #[must_use]
    pub fn entries(&self) -> &[Entry] {
        &self.entries
    }

    /// The place of the entry with this digest.
    #[must_use]
    pub fn by_digest(&self, digest: &Digest) -> Option<usize> {
        let is_it = |place: usize| self.entries[place].digest == *digest;
        let unfiled = || (self.index.filled()..self.entries.len()).find(|&place| is_it(place));
        self.index.find(digest, is_it).or_else(unfiled)
    }

    /// The places of the entries with this short name, by digest: several if the chain is forked.
    #[must_use]
    pub fn by_handle(&self, handle: &Handle) -> Vec<usize> {
        let chain = self.chain(&handle.device).into_iter();
        let mut places: Vec<usize> = chain.flat_map(|chain| chain.at(handle.number)).collect();
        places.sort_by_key(|&place| self.entries[place].digest);
        places
    }

    /// How many devices have written into these books.
    #[must_use]
    pub fn devices(&self) -> usize {
        self.chains.len()
    }

    /// What could not be read, by the digest it was kept under.
    #[must_use]
    pub const fn unread(&self) -> &BTreeMap<Digest, Unread> {
        &self.unread
    }

    /// The newest entry of each chain.
    #[must_use]
    pub const fn heads(&self) -> &Heads {
        &self.heads
    }

    /// Whether whoever wrote entry `a` knew entry `b`, in its own chain or through what it had seen.
    ///
    /// An entry knows itself. For more than one such question, make a [`Lineage`] once.
    #[must_use]
    pub fn covers(&self, a: usize, b: usize) -> bool {
        Lineage::of(self).covers(a, b)
    }

    /// Whether the writer of entry `a` knew entry `b`, as [`Books::covers`] tells, at the cost of a few
    /// look-ups.
    ///
    /// An entry lists the heads of *all* other chains that its device had come to know since its previous
    /// entry. So on chains that were never forked the last list up to `a` decides.
    #[must_use]
    pub fn knows(&self, a: usize, b: usize) -> bool {
        let (one, other) = (&self.entries[a].envelope, &self.entries[b].envelope);
        let (Some(own), Some(theirs)) = (self.chain(&one.device), self.chain(&other.device)) else {
            return false;
        };
        if own.forked || theirs.forked {
            return self.covers(a, b);
        }
        if one.device == other.device {
            return one.number >= other.number;
        }
        own.reach(one.number, &other.device)
            .is_some_and(|reach| reach >= other.number)
            || one.act.names().contains(&self.entries[b].digest)
    }

    /// Everything odd about the chains, in an order that does not depend on that of arrival.
    #[must_use]
    pub fn problems(&self) -> Vec<Problem> {
        problem::problems(self)
    }

    pub(crate) fn chains(&self) -> &[Chain] {
        &self.chains
    }

    pub(crate) fn acts(&self) -> impl Iterator<Item = usize> {
        self.acts.iter().map(|&place| place as usize)
    }

    /// The entry that another one's chain goes back to; where it is not here, or not what it should
    /// be, the nearest one before it.
    pub(crate) fn link(&self, place: usize) -> Option<usize> {
        let envelope = &self.entries[place].envelope;
        self.true_link(place)
            .or_else(|| self.nearest(&envelope.device, envelope.number - 1))
    }

    /// The entry named as previous, if it is here and is the one before in the same chain.
    pub(crate) fn true_link(&self, place: usize) -> Option<usize> {
        let envelope = &self.entries[place].envelope;
        self.place_of(&envelope.device, envelope.number - 1, &envelope.previous?)
    }

    /// The place of an entry of which the chain and the number are known too: found without going
    /// through the digests, which lie all over the memory.
    pub(crate) fn place_of(&self, device: &Device, number: u64, digest: &Digest) -> Option<usize> {
        let chain = self.chain(device)?;
        if chain.last().is_none_or(|(last, _)| last < number) {
            return None;
        }
        chain
            .at(number)
            .find(|&place| self.entries[place].digest == *digest)
    }

    /// The entry of a chain with the highest number up to this one. Of a forked chain none: there is
    /// no telling which branch is meant.
    pub(crate) fn nearest(&self, device: &Device, number: u64) -> Option<usize> {
        let chain = self.chain(device).filter(|chain| !chain.forked)?;
        chain.at_or_before(number).map(|(_, place)| place)
    }

    /// Puts an entry into its chain, and tells how it fits there.
    fn enchain(&mut self, entry: &Entry, place: usize) -> Link {
        let number = entry.envelope.number;
        let at = self.chain_of(&entry.envelope.device);
        let chain = &self.chains[at];
        let last = chain.last();
        let newest = last.is_none_or(|(last, _)| last < number);
        let link = Link {
            twin: !newest && chain.at(number).next().is_some(),
            followed: !newest && self.is_followed(chain, number, &entry.digest),
            follows: last.is_some_and(|(last, place)| {
                last + 1 == number && Some(self.entries[place].digest) == entry.envelope.previous
            }),
        };
        let chain = &mut self.chains[at];
        chain.insert(number, as_u32(place));
        chain.forked |= link.twin;
        entry
            .envelope
            .seen
            .iter()
            .for_each(|head| chain.hear(number, head));
        self.recent = at;
        link
    }

    fn is_followed(&self, chain: &Chain, number: u64, digest: &Digest) -> bool {
        chain
            .at(number + 1)
            .any(|place| self.entries[place].envelope.previous == Some(*digest))
    }

    fn is_linked_to(&self, head: &Head) -> bool {
        let chain = self.chain(&head.device);
        chain.is_some_and(|chain| self.is_followed(chain, head.number, &head.digest))
    }

    fn chain(&self, device: &Device) -> Option<&Chain> {
        // Entries of one device mostly come in a row.
        let recent = self
            .chains
            .get(self.recent)
            .filter(|chain| chain.device == *device);
        recent.or_else(|| self.by_device.get(device).map(|&at| &self.chains[at]))
    }

    fn chain_of(&mut self, device: &Device) -> usize {
        if self
            .chains
            .get(self.recent)
            .is_some_and(|chain| chain.device == *device)
        {
            return self.recent;
        }
        if let Some(&at) = self.by_device.get(device) {
            return at;
        }
        self.chains.push(Chain::new(device.clone()));
        self.by_device.insert(device.clone(), self.chains.len() - 1);
        self.chains.len() - 1
    }

    /// Remembers what the entry mentions and the books do not hold.
    fn await_mentioned(&mut self, entry: &Entry, link: &Link) {
        self.awaited.remove(&entry.digest);
        self.unread.remove(&entry.digest);
        let envelope = &entry.envelope;
        let before = envelope.number - 1;
        let previous = envelope.previous.filter(|_| !link.follows);
        let previous = previous.filter(|digest| self.place_of(&envelope.device, before, digest).is_none());
        let named = envelope
            .act
            .names()
            .iter()
            .filter(|digest| self.by_digest(digest).is_none());
        let missing: Vec<Digest> = previous.into_iter().chain(named.copied()).collect();
        self.awaited.extend(
            missing
                .into_iter()
                .filter(|digest| !self.unread.contains_key(digest)),
        );
        for head in &envelope.seen {
            if self.place_of(&head.device, head.number, &head.digest).is_none() {
                self.awaited.insert(head.digest);
                let reach = self.reaches.entry(head.device.clone()).or_default();
                *reach = head.number.max(*reach);
            }
        }
    }

    /// Files new entries by digest, a batch at a time: each lands far from the one before, and the
    /// memory is waited for only once.
    fn file(&mut self) {
        if self.entries.len() - self.index.filled() < BATCH {
            return;
        }
        for place in self.index.filled()..self.entries.len() {
            self.index.insert(&self.entries[place].digest, place);
        }
    }

    fn holds(&self, digest: &Digest) -> bool {
        self.by_digest(digest).is_some() || self.unread.contains_key(digest)
    }

    fn fill_in(&mut self, place: usize, entry: Entry) {
        let kept = &mut self.entries[place];
        if kept.note.is_none() {
            kept.note = entry.note;
            kept.salt = entry.salt;
        }
    }

    /// Whether an entry is a plain note at the end of an unforked chain, that nothing waits for.
    fn merely_extends(&self, entry: &Entry) -> bool {
        let envelope = &entry.envelope;
        let end = self.heads.get(&envelope.device);
        envelope.act == Act::Note
            && entry.note.is_some()
            && !self.awaited.contains(&entry.digest)
            && self
                .reaches
                .get(&envelope.device)
                .is_none_or(|&reach| reach < envelope.number)
            && envelope.number == self.heads.next(&envelope.device)
            && envelope.previous == end.map(|head| head.digest)
    }
}

fn as_u32(place: usize) -> u32 {
    u32::try_from(place).expect("BUG: more than four thousand million entries")
}
