//! Things by number: an internal id that no renaming changes.

use std::marker::PhantomData;
use std::ops::{Index, IndexMut};

use std::collections::BTreeMap;

use crate::note::Name;

/// The number of a thing of one kind.
pub(crate) trait Id: Copy {
    fn new(at: usize) -> Self;
    fn at(self) -> usize;
}

macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident;)*) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        pub struct $name(u32);

        impl Id for $name {
            fn new(at: usize) -> Self {
                Self(u32::try_from(at).expect("no books hold four thousand million things"))
            }

            fn at(self) -> usize {
                self.0 as usize
            }
        }
    )*};
}

ids! {
    /// A yard.
    YardId;
    /// A pattern.
    PatternId;
    /// A hive, or a store where combs hang without bees.
    HiveId;
    /// A bar.
    BarId;
    /// A comb.
    CombId;
    /// A colony.
    ColonyId;
    /// A container.
    VesselId;
    /// What a container held between two emptyings.
    BatchId;
    /// A lot.
    LotId;
}

/// All things of one kind.
#[derive(Clone, Debug)]
pub struct Arena<I, T> {
    items: Vec<T>,
    id: PhantomData<I>,
}

impl<I, T> Default for Arena<I, T> {
    fn default() -> Self {
        Self {
            items: Vec::new(),
            id: PhantomData,
        }
    }
}

#[expect(private_bounds, reason = "ids are made by arenas alone")]
impl<I: Id, T> Arena<I, T> {
    pub(crate) fn add(&mut self, item: T) -> I {
        self.items.push(item);
        I::new(self.items.len() - 1)
    }

    /// Each thing with its number, in the order in which they were made known.
    pub fn iter(&self) -> impl Iterator<Item = (I, &T)> {
        self.items.iter().enumerate().map(|(at, item)| (I::new(at), item))
    }
}

impl<I: Id, T> Index<I> for Arena<I, T> {
    type Output = T;

    fn index(&self, id: I) -> &T {
        &self.items[id.at()]
    }
}

impl<I: Id, T> IndexMut<I> for Arena<I, T> {
    fn index_mut(&mut self, id: I) -> &mut T {
        &mut self.items[id.at()]
    }
}

/// Labels of one kind of thing, and the entry that last gave each its meaning.
#[derive(Clone, Debug)]
pub struct Labels<I> {
    known: BTreeMap<Name, (I, usize)>,
    /// Entries that gave a label another meaning than it had.
    turned: BTreeMap<Name, Vec<usize>>,
}

impl<I> Default for Labels<I> {
    fn default() -> Self {
        Self {
            known: BTreeMap::new(),
            turned: BTreeMap::new(),
        }
    }
}

impl<I: Copy> Labels<I> {
    /// The thing that a label means, if it is known.
    pub fn get(&self, label: &str) -> Option<I> {
        self.known.get(label).map(|(id, _)| *id)
    }

    /// The entry that gave a label its meaning.
    pub(crate) fn made_by(&self, label: &str) -> Option<usize> {
        self.known.get(label).map(|(_, entry)| *entry)
    }

    /// All labels in use, in the order of the alphabet.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.known.keys().map(Name::as_str)
    }

    pub(crate) fn give(&mut self, label: &Name, id: I, entry: usize) {
        if self.known.insert(label.clone(), (id, entry)).is_some() {
            self.turned.entry(label.clone()).or_default().push(entry);
        }
    }

    pub(crate) fn rename(&mut self, from: &Name, to: &Name, entry: usize) {
        if let Some((id, _)) = self.known.remove(from) {
            self.turned.entry(from.clone()).or_default().push(entry);
            self.turned.entry(to.clone()).or_default().push(entry);
            self.known.insert(to.clone(), (id, entry));
        }
    }

    /// Entries that gave this label another meaning.
    pub(crate) fn turned(&self, label: &str) -> &[usize] {
        self.turned.get(label).map_or(&[], Vec::as_slice)
    }
}
