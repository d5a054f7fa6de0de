//! Who holds what: the lock of a file, and the shared memory of its write-ahead log.

/// The lock of a file, in SQLite's five steps.
#[derive(Debug, Default)]
pub(crate) struct Locks {
    shared: usize,
    reserved: bool,
    pending: bool,
    exclusive: bool,
}

/// How far one holder has got. The numbers are SQLite's.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Level {
    #[default]
    None = 0,
    Shared = 1,
    Reserved = 2,
    Pending = 3,
    Exclusive = 4,
}

impl Level {
    pub(crate) const fn from_c(level: i32) -> Self {
        match level {
            0 => Self::None,
            1 => Self::Shared,
            2 => Self::Reserved,
            3 => Self::Pending,
            _ => Self::Exclusive,
        }
    }
}

impl Locks {
    /// Goes up to a level; `held` is what the holder has, and is told how far it got.
    pub(crate) fn raise(&mut self, held: &mut Level, wanted: Level) -> bool {
        if *held == Level::None && wanted >= Level::Shared {
            if self.pending || self.exclusive {
                return false;
            }
            self.shared += 1;
            *held = Level::Shared;
        }
        if *held < Level::Reserved && wanted >= Level::Reserved {
            if self.reserved {
                return false;
            }
            self.reserved = true;
            *held = Level::Reserved;
        }
        if wanted == Level::Exclusive && *held < Level::Exclusive {
            self.pending = true;
            *held = Level::Pending;
            if self.shared > 1 {
                return false;
            }
            self.exclusive = true;
            *held = Level::Exclusive;
        }
        true
    }

    pub(crate) fn lower(&mut self, held: &mut Level, wanted: Level) {
        if *held >= Level::Reserved {
            self.reserved = false;
        }
        if *held >= Level::Pending {
            self.pending = false;
            self.exclusive = false;
        }
        if *held >= Level::Shared && wanted == Level::None {
            self.shared -= 1;
        }
        *held = wanted.min(*held);
    }

    pub(crate) const fn is_reserved(&self) -> bool {
        self.reserved || self.pending || self.exclusive
    }
}

/// The number of locks on the shared memory.
const SLOTS: usize = 8;

/// The index of a write-ahead log, shared by all that have the file open.
#[derive(Debug, Default)]
pub(crate) struct SharedMemory {
    /// Boxed, so that their addresses stay.
    regions: Vec<Box<[u64]>>,
    users: usize,
    readers: [usize; SLOTS],
    writers: [bool; SLOTS],
}

/// The locks on the shared memory that one holder has.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct SharedHold {
    pub(crate) uses: bool,
    reads: [bool; SLOTS],
    writes: [bool; SLOTS],
}

impl SharedMemory {
    /// The address of a region, which is made if `extend` says so.
    pub(crate) fn region(
        &mut self,
        hold: &mut SharedHold,
        at: usize,
        size: usize,
        extend: bool,
    ) -> Option<*mut u64> {
        if !hold.uses {
            hold.uses = true;
            self.users += 1;
        }
        while extend && self.regions.len() <= at {
            self.regions.push(vec![0; size / 8].into());
        }
        self.regions.get_mut(at).map(|region| region.as_mut_ptr())
    }

    pub(crate) fn lock(
        &mut self,
        hold: &mut SharedHold,
        slots: std::ops::Range<usize>,
        exclusive: bool,
    ) -> bool {
        let others_read = |slot: usize| self.readers[slot] > usize::from(hold.reads[slot]);
        let others_write = |slot: usize| self.writers[slot] && !hold.writes[slot];
        if slots
            .clone()
            .any(|slot| others_write(slot) || exclusive && others_read(slot))
        {
            return false;
        }
        for slot in slots {
            if exclusive {
                self.writers[slot] = true;
                hold.writes[slot] = true;
            } else if !hold.reads[slot] {
                self.readers[slot] += 1;
                hold.reads[slot] = true;
            }
        }
        true
    }

    pub(crate) fn unlock(&mut self, hold: &mut SharedHold, slots: std::ops::Range<usize>) {
        for slot in slots {
            self.readers[slot] -= usize::from(std::mem::take(&mut hold.reads[slot]));
            self.writers[slot] &= !std::mem::take(&mut hold.writes[slot]);
        }
    }

    /// The last one to leave takes the memory along.
    pub(crate) fn leave(&mut self, hold: &mut SharedHold) {
        self.unlock(hold, 0..SLOTS);
        if std::mem::take(&mut hold.uses) {
            self.users -= 1;
        }
        if self.users == 0 {
            self.regions.clear();
        }
    }
}
