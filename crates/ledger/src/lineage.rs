//! Who knew what: the chains, their branches, and what each entry had seen of the others.
//!
//! Entries of a chain which was never forked lie on one *branch*. A fork starts another one, which
//! remembers where it left its parent. Knowing an entry means knowing everything before it on its
//! branch and the branches below, everything those had seen, and so on.

use crate::Books;
use std::collections::BTreeMap;

/// How the entries of some books hang together.
#[derive(Debug, Clone)]
pub struct Lineage {
    branch_of: Vec<u32>,
    number_of: Vec<u64>,
    branches: Vec<Branch>,
}

#[derive(Debug, Clone, Default)]
struct Branch {
    /// Where it left another branch.
    parent: Option<(u32, u64)>,
    /// The last entry put on it.
    tip: usize,
    /// What entries on it mention outside it: number of the mentioning one, place of the mentioned.
    mentions: Vec<(u64, usize)>,
}

/// How far somebody knows each branch.
#[derive(Debug, Clone, Default)]
pub(crate) struct Knowledge(BTreeMap<u32, u64>);

impl Lineage {
    /// Works out the branches.
    #[must_use]
    pub fn of(books: &Books) -> Self {
        let count = books.entries().len();
        let mut lineage = Self {
            branch_of: vec![0; count],
            number_of: vec![0; count],
            branches: Vec::new(),
        };
        for chain in books.chains() {
            let mut last = None;
            for (number, place) in chain.iter() {
                lineage.number_of[place] = number;
                lineage.branch_of[place] = lineage.branch_for(books, place, last);
                last = Some(place);
            }
        }
        for place in 0..count {
            lineage.note_mentions(books, place);
        }
        lineage
            .branches
            .iter_mut()
            .for_each(|branch| branch.mentions.sort_unstable());
        lineage
    }

    /// Whether the writer of `a` knew `b`. An entry knows itself.
    #[must_use]
    pub fn covers(&self, a: usize, b: usize) -> bool {
        let at = self.branch_of[b];
        if self.branch_of[a] == at {
            return self.number_of[a] >= self.number_of[b];
        }
        self.knowledge(a).has(self, b)
    }

    /// Everything the writer of an entry knew.
    pub(crate) fn knowledge(&self, place: usize) -> Knowledge {
        let mut known = Knowledge::default();
        let mut waiting = vec![(self.branch_of[place], self.number_of[place])];
        while let Some((at, number)) = waiting.pop() {
            let before = known.0.insert(at, number).unwrap_or(0);
            if before >= number {
                known.0.insert(at, before);
                continue;
            }
            let branch = &self.branches[at as usize];
            waiting.extend(branch.parent);
            let from = branch.mentions.partition_point(|&(by, _)| by <= before);
            let mentions = branch.mentions[from..]
                .iter()
                .take_while(|&&(by, _)| by <= number);
            waiting.extend(mentions.map(|&(_, seen)| (self.branch_of[seen], self.number_of[seen])));
        }
        known
    }

    /// The branch an entry lies on.
    pub(crate) fn branch(&self, place: usize) -> u32 {
        self.branch_of[place]
    }

    /// Where a branch left another, and after which number.
    pub(crate) fn parent(&self, branch: u32) -> Option<(u32, u64)> {
        self.branches[branch as usize].parent
    }

    /// The branches that left this one right after this number.
    pub(crate) fn branches_from(&self, branch: u32, number: u64) -> Vec<u32> {
        let left = |at: &u32| self.parent(*at) == Some((branch, number));
        (0..).take(self.branches.len()).filter(left).collect()
    }

    /// The branch of an entry: that of the entry it links to, unless another has gone on there.
    fn branch_for(&mut self, books: &Books, place: usize, last: Option<usize>) -> u32 {
        let parent = match last {
            Some(last) if self.follows_directly(books, place, last) => Some(last),
            _ => books.link(place),
        };
        let Some(parent) = parent else {
            return self.start(None, place);
        };
        let at = self.branch_of[parent];
        if self.branches[at as usize].tip == parent {
            self.branches[at as usize].tip = place;
            return at;
        }
        self.start(Some((at, self.number_of[parent])), place)
    }

    /// The usual case, told without a look-up.
    fn follows_directly(&self, books: &Books, place: usize, last: usize) -> bool {
        let entries = books.entries();
        self.number_of[last] + 1 == self.number_of[place]
            && entries[place].envelope.previous == Some(entries[last].digest)
    }

    fn start(&mut self, parent: Option<(u32, u64)>, tip: usize) -> u32 {
        self.branches.push(Branch {
            parent,
            tip,
            mentions: Vec::new(),
        });
        u32::try_from(self.branches.len() - 1).expect("BUG: no more branches than entries")
    }

    /// Files what an entry had seen, and what it names: to name an entry is to know it. A head that
    /// is not here stands for the nearest one before it that is.
    fn note_mentions(&mut self, books: &Books, place: usize) {
        let envelope = &books.entries()[place].envelope;
        let nearest = |head: &crate::Head| {
            let here = books.place_of(&head.device, head.number, &head.digest);
            here.or_else(|| books.nearest(&head.device, head.number))
        };
        let seen = envelope.seen.iter().filter_map(nearest);
        let named = envelope
            .act
            .names()
            .iter()
            .filter_map(|digest| books.by_digest(digest));
        let mentions = &mut self.branches[self.branch_of[place] as usize].mentions;
        mentions.extend(seen.chain(named).map(|mentioned| (envelope.number, mentioned)));
    }
}

impl Knowledge {
    pub(crate) fn has(&self, lineage: &Lineage, place: usize) -> bool {
        let number = lineage.number_of[place];
        self.0
            .get(&lineage.branch_of[place])
            .is_some_and(|&known| known >= number)
    }
}
