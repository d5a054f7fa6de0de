//! The newest entry of every chain, and sealing the next one onto it.

use crate::{Act, Device, Digest, Entry, Envelope, FarmId, Hour, Salt, wire};
use jiff::civil::Date;
use smol_str::SmolStr;
use std::collections::{BTreeMap, BTreeSet};
use uuid::Uuid;

/// An entry at the end of a chain.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Head {
    /// Whose chain.
    pub device: Device,
    /// How far it reaches.
    pub number: u64,
    /// Which entry that is.
    pub digest: Digest,
}

/// What a caller wants written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Draft {
    /// The day it happened.
    pub day: Date,
    /// The hour, where one was given.
    pub hour: Option<Hour>,
    /// Who writes: an id of the address book, or empty. Below 64 KiB.
    pub by: SmolStr,
    /// What it comes from. Below 64 KiB.
    pub origin: SmolStr,
    /// The version of the note language.
    pub grammar: u16,
    /// What it does to the books.
    pub act: Act,
    /// The words.
    pub note: String,
}

/// The clock and the randomness of one entry, handed in from outside.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stamp {
    /// A fresh UUIDv7.
    pub id: Uuid,
    /// Sixteen fresh random bytes.
    pub salt: Salt,
    /// Milliseconds since 1970.
    pub written_ms: i64,
}

impl Stamp {
    /// A stamp from raw random bytes. The id is marked as a UUIDv7 by whoever drew it.
    #[must_use]
    pub const fn new(id: [u8; 16], salt: [u8; 16], written_ms: i64) -> Self {
        Self {
            id: Uuid::from_bytes(id),
            salt: Salt::from_bytes(salt),
            written_ms,
        }
    }
}

/// The ends of all chains.
///
/// A chain normally has one end; after a fork (a telephone restored from a backup) it has several,
/// and all of them count as known.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Heads {
    chains: BTreeMap<Device, Ends>,
    highest_order: u64,
}

#[derive(Debug, Clone, Default, PartialEq, Eq)]
struct Ends {
    /// The highest number first.
    tips: Vec<Head>,
    /// Per other device, the farthest heads that this chain has already listed as seen. They need
    /// not be listed again: whoever knows an entry knows what its own chain knew before it.
    told: BTreeMap<Device, Vec<Head>>,
    /// Ends of other branches of this same chain that some entry of it has listed as seen: the fork
    /// is known from there on, and they are ends no longer.
    joined: BTreeSet<Digest>,
}

impl Heads {
    /// The number the device's next entry will get.
    #[must_use]
    pub fn next(&self, device: &Device) -> u64 {
        self.get(device).map_or(1, |head| head.number + 1)
    }

    /// The newest entry of a chain; of a forked one, the longest branch.
    #[must_use]
    pub fn get(&self, device: &Device) -> Option<&Head> {
        self.chains.get(device)?.tips.first()
    }

    /// Every end of every chain, by device; a forked chain has several.
    pub fn iter(&self) -> impl Iterator<Item = &Head> {
        self.chains.values().flat_map(|ends| &ends.tips)
    }

    /// The entries with the highest number of each chain, by device, then digest.
    ///
    /// This is what a store compares to tell whether somebody else wrote meanwhile: it can be had
    /// from the keys alone.
    #[must_use]
    pub fn newest(&self) -> Vec<Head> {
        let newest = |ends: &Ends| {
            let top = ends.tips.first().map(|head| head.number);
            ends.tips
                .iter()
                .filter(|head| Some(head.number) == top)
                .cloned()
                .collect::<Vec<_>>()
        };
        self.chains.values().flat_map(newest).collect()
    }

    /// The highest order of any entry; the next one gets one more.
    #[must_use]
    pub const fn highest_order(&self) -> u64 {
        self.highest_order
    }

    /// Whether no chain has begun.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.chains.is_empty()
    }

    /// Seals a draft onto the device's chain, and takes the new entry as its head.
    pub fn seal(&mut self, farm: FarmId, device: &Device, draft: Draft, stamp: Stamp) -> Entry {
        let envelope = Envelope {
            id: stamp.id,
            farm,
            device: device.clone(),
            number: self.next(device),
            previous: self.get(device).map(|head| head.digest),
            seen: self.unheard(device),
            order: self.highest_order.saturating_add(1),
            day: draft.day,
            hour: draft.hour,
            written_ms: stamp.written_ms,
            by: draft.by,
            origin: draft.origin,
            grammar: draft.grammar,
            act: draft.act,
            commitment: Digest::commitment(&stamp.salt, draft.note.as_bytes()),
        };
        let digest = Digest::of(&wire::encode(&envelope));
        let entry = Entry {
            envelope,
            digest,
            salt: Some(stamp.salt),
            note: Some(draft.note.into()),
        };
        self.take(&entry, false);
        entry
    }

    /// Moves the heads on by one entry; `followed` says whether a later entry of its chain, which
    /// links to it, is here already.
    pub(crate) fn take(&mut self, entry: &Entry, followed: bool) {
        let envelope = &entry.envelope;
        self.highest_order = self.highest_order.max(envelope.order);
        let ends = self.ends(&envelope.device);
        match &mut ends.tips[..] {
            // The usual case: the chain has one end, and it moves on by one.
            [tip] if !followed && envelope.seen.is_empty() && Some(tip.digest) == envelope.previous => {
                tip.number = envelope.number;
                tip.digest = entry.digest;
                return;
            }
            _ => ends.tips.retain(|tip| Some(tip.digest) != envelope.previous),
        }
        if !followed {
            ends.add_tip(entry.head());
        }
        for head in &envelope.seen {
            if head.device == envelope.device {
                ends.join(head);
            } else {
                ends.tell(head);
            }
        }
    }

    /// Takes an entry that cannot be read, by its key. Its number is used up, and the next entry
    /// must link to it all the same.
    pub(crate) fn take_unread(&mut self, head: Head, followed: bool) {
        if !followed {
            self.ends(&head.device.clone()).add_tip(head);
        }
    }

    fn ends(&mut self, device: &Device) -> &mut Ends {
        self.chains.entry(device.clone()).or_default()
    }

    /// The heads of other chains that the device's chain has not listed before, and other ends of
    /// its own.
    ///
    /// A device whose own chain is forked lists them all: what one branch listed, the other may
    /// never have known.
    fn unheard(&self, device: &Device) -> Vec<Head> {
        let own = self.chains.get(device).filter(|ends| ends.tips.len() == 1);
        let heard = |head: &Head| own.is_some_and(|ends| ends.has_told(head));
        let previous = self.get(device);
        let mut seen: Vec<Head> = self
            .iter()
            .filter(|head| Some(*head) != previous && !heard(head))
            .cloned()
            .collect();
        seen.sort_by(|a, b| (&a.device, a.digest).cmp(&(&b.device, b.digest)));
        seen
    }
}

impl Ends {
    /// Puts a head among the tips, the highest number first.
    fn add_tip(&mut self, head: Head) {
        if self.joined.contains(&head.digest) || self.tips.contains(&head) {
            return;
        }
        let key = |head: &Head| (std::cmp::Reverse(head.number), head.digest);
        let at = self.tips.partition_point(|tip| key(tip) < key(&head));
        self.tips.insert(at, head);
    }

    fn join(&mut self, head: &Head) {
        self.tips.retain(|tip| tip.digest != head.digest);
        self.joined.insert(head.digest);
    }

    fn tell(&mut self, head: &Head) {
        let told = self.told.entry(head.device.clone()).or_default();
        let farthest = told.first().map_or(0, |known| known.number);
        if head.number > farthest {
            told.clear();
        }
        if head.number >= farthest
            && let Err(at) = told.binary_search(head)
        {
            told.insert(at, head.clone());
        }
    }

    fn has_told(&self, head: &Head) -> bool {
        self.told
            .get(&head.device)
            .is_some_and(|told| told.binary_search(head).is_ok())
    }
}
