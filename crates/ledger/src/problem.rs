//! What is odd about the chains themselves. Values to be shown; nothing here stops anything.

use crate::chain::Chain;
use crate::standing::Subjects;
use crate::{Books, Device, Digest, Head};

/// Something odd. Entries are given by their places in [`Books::entries`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Problem {
    /// Entries of a chain are missing.
    Gap {
        /// Whose chain.
        device: Device,
        /// The first missing number.
        from: u64,
        /// The last missing number.
        to: u64,
    },
    /// Somebody has seen an entry that is not here, past the end of its chain or on another branch.
    NotHere {
        /// Who mentions it.
        by: usize,
        /// What is missing.
        head: Head,
    },
    /// An entry does not link to the one before it, although that one is here.
    BrokenLink {
        /// Which.
        entry: usize,
    },
    /// A number was used more than once: the device was restored from a backup, and needs a new id.
    Fork {
        /// All that bear the number, by digest.
        entries: Vec<usize>,
    },
    /// An entry's order is not higher than that of all it had seen.
    Order {
        /// Which.
        entry: usize,
    },
    /// An act is about an entry that is not here.
    UnknownTarget {
        /// The act.
        act: usize,
        /// What it names.
        of: Digest,
    },
    /// An act is about an entry that it cannot be about, such as a correction of a remark.
    OddTarget {
        /// The act.
        act: usize,
        /// What it names.
        of: usize,
    },
    /// An entry is kept but cannot be read: see [`Books::unread`].
    Unread {
        /// The digest it is kept under.
        digest: Digest,
    },
    /// The words of an entry were erased.
    Blanked {
        /// Which.
        entry: usize,
    },
}

impl Problem {
    /// The problem in a sentence, with the short names of the entries.
    #[must_use]
    pub fn says(&self, books: &Books) -> String {
        let name = |place: &usize| books.entries()[*place].handle().to_string();
        match self {
            Self::Gap { device, from, to } if from == to => format!("{device}/{from} is missing."),
            Self::Gap { device, from, to } => format!("{device}/{from} to {device}/{to} are missing."),
            Self::NotHere { by, head } => {
                format!(
                    "{} has seen {}/{}, which is not here.",
                    name(by),
                    head.device,
                    head.number
                )
            }
            Self::BrokenLink { entry } => format!("{} does not link to the entry before it.", name(entry)),
            Self::Fork { entries } => {
                format!(
                    "{} was written {} times; all are kept.",
                    name(&entries[0]),
                    entries.len()
                )
            }
            Self::Order { entry } => format!("{} claims to be older than what it had seen.", name(entry)),
            Self::UnknownTarget { act, of } => {
                format!("{} is about entry {}, which is not here.", name(act), of.short())
            }
            Self::OddTarget { act, of } => format!("{} cannot be about {}.", name(act), name(of)),
            Self::Unread { digest } => match books.unread().get(digest) {
                Some(unread) => format!("{}/{}: {}.", unread.row.device, unread.row.number, unread.broken),
                None => format!("Entry {} cannot be read.", digest.short()),
            },
            Self::Blanked { entry } => format!("The words of {} were erased.", name(entry)),
        }
    }
}

/// Everything odd, chain by chain.
pub(crate) fn problems(books: &Books) -> Vec<Problem> {
    let mut chains: Vec<&Chain> = books.chains().iter().collect();
    chains.sort_by(|a, b| a.device.cmp(&b.device));
    let mut found = Vec::new();
    for chain in chains {
        let places = in_chain_order(books, chain);
        let mut last = None;
        for twins in places.chunk_by(|a, b| a.0 == b.0) {
            number_problems(books, twins, last, &mut found);
            last = twins.last().copied();
        }
    }
    found.extend(odd_targets(books));
    found.extend(books.unread().keys().map(|&digest| Problem::Unread { digest }));
    found
}

/// Numbers with places; of one number, by digest.
fn in_chain_order(books: &Books, chain: &Chain) -> Vec<(u64, usize)> {
    let mut places: Vec<(u64, usize)> = chain.iter().collect();
    if chain.forked {
        places.sort_by_key(|&(number, place)| (number, books.entries()[place].digest));
    }
    places
}

/// What is odd about the entries with one number of one chain.
fn number_problems(
    books: &Books,
    twins: &[(u64, usize)],
    last: Option<(u64, usize)>,
    found: &mut Vec<Problem>,
) {
    let (number, first) = twins[0];
    let before = last.map_or(0, |(number, _)| number);
    let device = &books.entries()[first].envelope.device;
    if (before + 1..number).any(|missing| !is_unread(books, device, missing)) {
        found.push(Problem::Gap {
            device: device.clone(),
            from: before + 1,
            to: number - 1,
        });
    }
    if twins.len() > 1 {
        found.push(Problem::Fork {
            entries: twins.iter().map(|&(_, place)| place).collect(),
        });
    }
    for &(_, entry) in twins {
        link_problems(books, entry, last, found);
        let blanked = books.entries()[entry].note.is_none();
        found.extend(blanked.then_some(Problem::Blanked { entry }));
    }
}

fn is_unread(books: &Books, device: &Device, number: u64) -> bool {
    books
        .unread()
        .values()
        .any(|unread| unread.row.number == number && unread.row.device == device.as_str())
}

fn link_problems(books: &Books, entry: usize, last: Option<(u64, usize)>, found: &mut Vec<Problem>) {
    let envelope = &books.entries()[entry].envelope;
    let previous = previous(books, entry, last);
    let follows = last.map_or(0, |(number, _)| number) + 1 == envelope.number;
    let to_unread = envelope
        .previous
        .is_some_and(|digest| books.unread().contains_key(&digest));
    if !to_unread
        && previous.is_none()
        && (follows && envelope.number > 1 || envelope.number == 1 && envelope.previous.is_some())
    {
        found.push(Problem::BrokenLink { entry });
    }
    let order = |place: usize| books.entries()[place].envelope.order;
    let here = |head: &Head| books.place_of(&head.device, head.number, &head.digest);
    let seen = envelope.seen.iter().filter_map(here);
    if previous
        .into_iter()
        .chain(seen)
        .any(|known| order(known) >= envelope.order)
    {
        found.push(Problem::Order { entry });
    }
    let kept = |head: &Head| here(head).is_some() || books.unread().contains_key(&head.digest);
    let unseen = envelope.seen.iter().filter(|head| !kept(head));
    found.extend(unseen.map(|head| Problem::NotHere {
        by: entry,
        head: head.clone(),
    }));
}

/// The entry before in the chain, in the usual case without a look-up.
fn previous(books: &Books, entry: usize, last: Option<(u64, usize)>) -> Option<usize> {
    let envelope = &books.entries()[entry].envelope;
    match last {
        Some((number, place))
            if number + 1 == envelope.number && envelope.previous == Some(books.entries()[place].digest) =>
        {
            Some(place)
        }
        _ => books.true_link(entry),
    }
}

/// Acts about entries that are not here, or that they cannot be about.
fn odd_targets(books: &Books) -> Vec<Problem> {
    let subjects = Subjects::of(books);
    let mut acts: Vec<usize> = books.acts().collect();
    acts.sort_by_key(|&act| books.entries()[act].digest);
    let mut found = Vec::new();
    for act in acts {
        for of in books.entries()[act].envelope.act.names() {
            match books.by_digest(of) {
                None => found.push(Problem::UnknownTarget { act, of: *of }),
                Some(of) if subjects.can_be_about(books, act, of) => {}
                Some(of) => found.push(Problem::OddTarget { act, of }),
            }
        }
    }
    found
}
