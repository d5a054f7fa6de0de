//! The disk as tests see it.

use crate::ffi;
use crate::file::{File, Mercy};
use crate::rng::Rng;
use std::collections::BTreeMap;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// What is to go wrong, and when. Counting begins when the fault is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fault {
    /// During the n-th call that changes the disk (from 1) the power fails: every call fails until
    /// [`Disk::power_on`].
    PowerCut(u64),
    /// The n-th write (from 1) finds no room, and only half of it is written.
    FullOnce(u64),
    /// The same, and so do all that follow.
    FullFrom(u64),
    /// The n-th synchronisation (from 1) fails.
    SyncFails(u64),
    /// Nothing may be written.
    ReadOnly,
}

/// A disk in memory, known to SQLite under [`Disk::name`].
///
/// With a seed goes SQLite's own generator of random numbers, of which a program has only one: where
/// several disks are used at once, the same seed leaves ruins of the same shape, but not the same
/// bytes.
///
/// SQLite holds on to a file system for as long as the program runs; so a disk is never taken down.
/// [`Disk::wipe`] it and use it again where thousands are wanted.
#[derive(Debug, Clone)]
pub struct Disk {
    name: String,
    state: Arc<Mutex<State>>,
}

#[derive(Debug)]
pub(crate) struct State {
    files: BTreeMap<u64, File>,
    /// The names that programs see.
    names: BTreeMap<String, u64>,
    /// The names that are safe.
    durable_names: BTreeMap<String, u64>,
    made: u64,
    /// Goes up with each power cut; what was opened before is no longer any good.
    pub(crate) generation: u64,
    /// How many files SQLite holds open.
    pub(crate) open: usize,
    fault: Option<Fault>,
    counted: u64,
    struck: bool,
    dead: bool,
    pub(crate) rng: Rng,
}

/// Why the disk refused something.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Refused {
    Dead,
    Full,
    Sync,
    ReadOnly,
}

/// What a call is about to do to the disk.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Step {
    Write,
    Sync,
    Other,
}

impl Fault {
    fn counts(self, step: Step) -> bool {
        match self {
            Self::PowerCut(_) | Self::ReadOnly => true,
            Self::FullOnce(_) | Self::FullFrom(_) => step == Step::Write,
            Self::SyncFails(_) => step == Step::Sync,
        }
    }

    fn strikes(self, counted: u64) -> bool {
        match self {
            Self::ReadOnly => true,
            Self::PowerCut(at) | Self::FullFrom(at) => counted >= at,
            Self::FullOnce(at) | Self::SyncFails(at) => counted == at,
        }
    }
}

impl Disk {
    /// A new, empty disk. The seed decides what survives a power cut.
    ///
    /// # Panics
    /// When SQLite does not take it.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        static COUNT: AtomicU64 = AtomicU64::new(0);
        let name = format!("torn-{}", COUNT.fetch_add(1, Ordering::Relaxed));
        let state = Arc::new(Mutex::new(State::new(seed)));
        ffi::register(&name, Arc::clone(&state));
        ffi::seed_sqlite(seed);
        Self { name, state }
    }

    /// The name to open files by.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Throws everything away and begins with a new seed.
    ///
    /// # Panics
    /// When a file is still open: SQLite may be using its shared memory.
    pub fn wipe(&self, seed: u64) {
        let mut state = self.state();
        assert_eq!(state.open, 0, "close every connection before the disk is wiped");
        let generation = state.generation + 1;
        *state = State {
            generation,
            ..State::new(seed)
        };
        ffi::seed_sqlite(seed);
    }

    /// Sets what is to go wrong.
    pub fn set_fault(&self, fault: Fault) {
        let mut state = self.state();
        state.fault = Some(fault);
        state.counted = 0;
        state.struck = false;
    }

    /// Makes it a good disk again. A power cut needs [`Disk::power_on`].
    pub fn repair(&self) {
        self.state().fault = None;
    }

    /// Whether what was set to go wrong has done so.
    #[must_use]
    pub fn has_struck(&self) -> bool {
        self.state().struck
    }

    /// Whether the power has failed.
    #[must_use]
    pub fn is_dead(&self) -> bool {
        self.state().dead
    }

    /// Cuts the power now, whatever the fault.
    pub fn cut_power(&self) {
        self.state().dead = true;
    }

    /// Brings the disk back with what has survived, and without a fault. If the power was not cut, it
    /// is now.
    ///
    /// # Panics
    /// When a file is still open: SQLite may be using its shared memory.
    pub fn power_on(&self) {
        let mut state = self.state();
        assert_eq!(
            state.open, 0,
            "close every connection before the power comes back"
        );
        state.ruin();
    }

    /// The names of the files there are.
    #[must_use]
    pub fn names(&self) -> Vec<String> {
        self.state().names.keys().cloned().collect()
    }

    /// What a file holds, seen by programs.
    #[must_use]
    pub fn read(&self, name: &str) -> Option<Vec<u8>> {
        let state = self.state();
        state.names.get(name).map(|inode| state.files[inode].live.clone())
    }

    /// Puts a file onto the disk, safely.
    pub fn put(&self, name: &str, bytes: Vec<u8>) {
        let mut state = self.state();
        let inode = state.make(name);
        state.durable_names.insert(name.to_owned(), inode);
        state.file(inode).set(bytes);
    }

    fn state(&self) -> MutexGuard<'_, State> {
        lock(&self.state)
    }
}

/// A test that failed with the lock held is no reason to fail the others.
pub(crate) fn lock(state: &Mutex<State>) -> MutexGuard<'_, State> {
    state.lock().unwrap_or_else(PoisonError::into_inner)
}

impl State {
    fn new(seed: u64) -> Self {
        Self {
            files: BTreeMap::new(),
            names: BTreeMap::new(),
            durable_names: BTreeMap::new(),
            made: 0,
            generation: 0,
            open: 0,
            fault: None,
            counted: 0,
            struck: false,
            dead: false,
            rng: Rng::new(seed),
        }
    }

    /// Lets a call pass, or not. At a power cut the call itself still reaches the cache.
    pub(crate) fn pass(&mut self, step: Step) -> Result<(), Refused> {
        if self.dead {
            return Err(Refused::Dead);
        }
        let Some(fault) = self.fault else {
            return Ok(());
        };
        self.counted += u64::from(fault.counts(step));
        if !fault.counts(step) || !fault.strikes(self.counted) {
            return Ok(());
        }
        self.struck = true;
        match fault {
            Fault::FullOnce(_) | Fault::FullFrom(_) => Err(Refused::Full),
            Fault::SyncFails(_) => Err(Refused::Sync),
            Fault::ReadOnly => Err(Refused::ReadOnly),
            Fault::PowerCut(_) => {
                self.dead = true;
                // A synchronisation that is cut off may have done nothing at all.
                if step == Step::Write {
                    Ok(())
                } else {
                    Err(Refused::Dead)
                }
            }
        }
    }

    pub(crate) const fn is_dead(&self) -> bool {
        self.dead
    }

    pub(crate) fn is_read_only(&self) -> bool {
        self.fault == Some(Fault::ReadOnly)
    }

    pub(crate) fn find(&self, name: &str) -> Option<u64> {
        self.names.get(name).copied()
    }

    /// Makes a file; without a name, it is nobody else's.
    pub(crate) fn make(&mut self, name: &str) -> u64 {
        self.made += 1;
        self.files.insert(self.made, File::default());
        if !name.is_empty() {
            self.names.insert(name.to_owned(), self.made);
        }
        self.made
    }

    pub(crate) fn file(&mut self, inode: u64) -> &mut File {
        self.files.entry(inode).or_default()
    }

    /// Makes a file safe, and its name with it: SQLite synchronises the folder of a new log.
    pub(crate) fn sync(&mut self, inode: u64) {
        self.file(inode).sync();
        let named = self.names.iter().filter(|(_, held)| **held == inode);
        let named: Vec<(String, u64)> = named.map(|(name, held)| (name.clone(), *held)).collect();
        self.durable_names.extend(named);
    }

    pub(crate) fn delete(&mut self, name: &str, safely: bool) {
        self.names.remove(name);
        if safely {
            self.durable_names.remove(name);
        }
    }

    fn ruin(&mut self) {
        let mercy = Mercy::draw(&mut self.rng);
        let mut names = self.durable_names.clone();
        for name in self.names.keys().chain(self.durable_names.keys()) {
            let (old, new) = (self.durable_names.get(name), self.names.get(name));
            let takes_new = match mercy {
                Mercy::Nothing => false,
                Mercy::Everything => true,
                Mercy::Some(chance) => self.rng.percent(chance),
            };
            match new.filter(|_| takes_new && old != new) {
                Some(inode) => drop(names.insert(name.clone(), *inode)),
                None if takes_new && new.is_none() => drop(names.remove(name)),
                None => {}
            }
        }
        let mut left = BTreeMap::new();
        for inode in names.values() {
            left.insert(*inode, self.files[inode].ruin(mercy, &mut self.rng));
        }
        self.files = left;
        self.durable_names.clone_from(&names);
        self.names = names;
        self.generation += 1;
        self.fault = None;
        self.counted = 0;
        self.dead = false;
    }
}
