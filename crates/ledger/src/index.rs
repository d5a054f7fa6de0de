//! Finding an entry by its digest.
//!
//! The digest is already an even hash, so its first bytes serve as the place in an open table: a
//! million entries are found in 16 MiB, where a tree of whole digests would take five times that
//! and several times as long.

use crate::Digest;

/// Places of entries, by digest. Knows only the places; the caller compares the digests.
#[derive(Debug, Clone, Default)]
pub(crate) struct DigestIndex {
    slots: Vec<Slot>,
    filled: usize,
}

#[derive(Debug, Clone, Copy, Default)]
struct Slot {
    /// The first bytes of the digest: where to start looking, and whether it is worth comparing.
    tag: u32,
    /// The entry's place plus one; zero where the slot is free.
    place: u32,
}

impl DigestIndex {
    /// The place of the entry for which `is_it` holds, among those filed under the digest.
    pub(crate) fn find(&self, digest: &Digest, is_it: impl Fn(usize) -> bool) -> Option<usize> {
        if self.slots.is_empty() {
            return None;
        }
        let tag = digest.tag();
        let mut at = self.start(tag);
        while self.slots[at].place != 0 {
            let place = self.slots[at].place as usize - 1;
            if self.slots[at].tag == tag && is_it(place) {
                return Some(place);
            }
            at = self.after(at);
        }
        None
    }

    /// How many are filed.
    pub(crate) const fn filled(&self) -> usize {
        self.filled
    }

    /// Files one more entry.
    pub(crate) fn insert(&mut self, digest: &Digest, place: usize) {
        self.reserve(1);
        let place = u32::try_from(place + 1).expect("BUG: more than four thousand million entries");
        self.file(Slot {
            tag: digest.tag(),
            place,
        });
        self.filled += 1;
    }

    /// Makes room for so many more, keeping at least a quarter of the table free.
    pub(crate) fn reserve(&mut self, additional: usize) {
        let needed = (self.filled + additional) * 4 / 3 + 1;
        if needed <= self.slots.len() {
            return;
        }
        let roomier = vec![Slot::default(); needed.next_power_of_two().max(16)];
        let before = std::mem::replace(&mut self.slots, roomier);
        before
            .into_iter()
            .filter(|slot| slot.place != 0)
            .for_each(|slot| self.file(slot));
    }

    fn file(&mut self, slot: Slot) {
        let mut at = self.start(slot.tag);
        while self.slots[at].place != 0 {
            at = self.after(at);
        }
        self.slots[at] = slot;
    }

    /// The table's length is a power of two, so masking is the remainder.
    fn start(&self, tag: u32) -> usize {
        tag as usize & (self.slots.len() - 1)
    }

    fn after(&self, at: usize) -> usize {
        (at + 1) & (self.slots.len() - 1)
    }
}
