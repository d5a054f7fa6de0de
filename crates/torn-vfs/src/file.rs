//! One file: what a program sees of it, and what would be left of it.

use crate::locks::{Locks, SharedMemory};
use crate::rng::Rng;
use std::collections::BTreeMap;

/// The smallest piece a disk writes.
pub(crate) const SECTOR: usize = 512;

/// A file on the disk, whatever its name.
#[derive(Debug, Default)]
pub(crate) struct File {
    /// What programs see.
    pub(crate) live: Vec<u8>,
    /// What is safe.
    durable: Vec<u8>,
    /// For each sector written since, everything it has held.
    pending: BTreeMap<usize, Vec<[u8; SECTOR]>>,
    /// Every length since.
    lengths: Vec<usize>,
    pub(crate) locks: Locks,
    pub(crate) shared: SharedMemory,
}

/// How much of what was not synchronised is left.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Mercy {
    Nothing,
    Everything,
    /// So many sectors in a hundred.
    Some(usize),
}

impl Mercy {
    pub(crate) fn draw(rng: &mut Rng) -> Self {
        match rng.below(4) {
            0 => Self::Nothing,
            1 => Self::Everything,
            _ => Self::Some(rng.below(101)),
        }
    }
}

impl File {
    pub(crate) fn write(&mut self, offset: usize, bytes: &[u8]) {
        let end = offset + bytes.len();
        if end > self.live.len() {
            self.live.resize(end, 0);
            self.lengths.push(end);
        }
        self.live[offset..end].copy_from_slice(bytes);
        for sector in offset / SECTOR..end.div_ceil(SECTOR) {
            let held = sector_of(&self.live, sector);
            self.pending.entry(sector).or_default().push(held);
        }
    }

    pub(crate) fn truncate(&mut self, length: usize) {
        self.live.resize(length, 0);
        self.lengths.push(length);
    }

    /// Everything written so far is safe from now on.
    pub(crate) fn sync(&mut self) {
        self.durable.clone_from(&self.live);
        self.pending.clear();
        self.lengths.clear();
    }

    /// What is left after the power failed.
    pub(crate) fn ruin(&self, mercy: Mercy, rng: &mut Rng) -> Self {
        let left = match mercy {
            Mercy::Nothing => self.durable.clone(),
            Mercy::Everything => self.live.clone(),
            Mercy::Some(chance) => self.torn(chance, rng),
        };
        Self {
            durable: left.clone(),
            live: left,
            ..Self::default()
        }
    }

    /// Flips bits, as a dying disk or another program might.
    pub(crate) fn set(&mut self, bytes: Vec<u8>) {
        self.live = bytes;
        self.sync();
    }

    fn torn(&self, chance: usize, rng: &mut Rng) -> Vec<u8> {
        let mut left = self.durable.clone();
        if !self.lengths.is_empty() && rng.percent(chance) {
            left.resize(self.lengths[rng.below(self.lengths.len())], 0);
        }
        for (&sector, versions) in &self.pending {
            if rng.percent(chance) {
                let version = versions[rng.below(versions.len())];
                let at = sector * SECTOR;
                let whole = SECTOR.min(left.len().saturating_sub(at));
                let part = if rng.percent(15) {
                    rng.below(whole + 1)
                } else {
                    whole
                };
                // Half a sector: the head of the new over the tail of the old, or the other way.
                let range = if rng.percent(50) {
                    0..part
                } else {
                    whole - part..whole
                };
                for byte in range {
                    left[at + byte] = version[byte];
                }
            }
        }
        left
    }
}

fn sector_of(bytes: &[u8], sector: usize) -> [u8; SECTOR] {
    let mut held = [0; SECTOR];
    let from = bytes.get(sector * SECTOR..).unwrap_or_default();
    let length = from.len().min(SECTOR);
    held[..length].copy_from_slice(&from[..length]);
    held
}
