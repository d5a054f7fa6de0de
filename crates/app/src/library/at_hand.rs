//! What readers who only look find at hand: worked out for one, kept for the next, until something is written.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use apiary::honey::answers::{HiveYield, yields};
use apiary::{Complaint, Holding};
use jiff::civil::Date;
use ledger::{Act, Entry};

use super::Library;

/// What was worked out for one reader and serves the next, until something is written.
#[derive(Default)]
pub(super) struct AtHand {
    complaints: OnceLock<Vec<Complaint>>,
    /// For each entry, whether it stands.
    stands: OnceLock<Vec<bool>>,
    /// What corrects, withdraws or settles an entry.
    acts: OnceLock<BTreeMap<usize, Vec<usize>>>,
    /// What each hive gave, as of now.
    yields: OnceLock<Vec<HiveYield>>,
    /// The entries that have words in them, by the words; the search asked for last is at the end.
    found: Mutex<Vec<(String, Arc<Vec<usize>>)>>,
    /// Holdings of earlier days, the one asked for last at the end.
    past: Mutex<Vec<(Date, Arc<Holding>)>>,
}

/// How many searches are kept at hand: a reader pages through what was found.
const MOST_SEARCHES: usize = 8;

/// How many earlier days are kept at hand: a reader who steps through days goes back and forth.
const MOST_DAYS: usize = 4;

impl Library {
    /// The holding of a reader who only looks: as of now, or at the end of a day.
    pub(crate) fn held(&self, on: Option<Date>) -> Held<'_> {
        let end = on.map_or(self.lines.len(), |day| {
            self.lines.partition_point(|line| line.day <= day)
        });
        match on {
            Some(day) if end < self.lines.len() => Held::Then(self.past(day, end)),
            _ if self.folded == self.lines.len() => Held::Now(&self.holding),
            _ => Held::Then(Arc::new(self.folded_anew(end))),
        }
    }

    fn past(&self, day: Date, end: usize) -> Arc<Holding> {
        let mut past = self.at_hand.past.lock().unwrap_or_else(PoisonError::into_inner);
        let at = past.iter().position(|(of, _)| *of == day);
        let found = match at {
            Some(at) => past.remove(at),
            None => (day, Arc::new(self.folded_anew(end))),
        };
        if past.len() >= MOST_DAYS {
            past.remove(0);
        }
        let holding = Arc::clone(&found.1);
        past.push(found);
        holding
    }

    /// What is odd as of now, for a reader who only looks.
    pub(crate) fn complaints_at_hand(&self) -> &[Complaint] {
        self.at_hand
            .complaints
            .get_or_init(|| self.complaints_of(&self.held(None), None))
    }

    /// Whether an entry stands.
    pub(crate) fn stands(&self, entry: usize) -> bool {
        let stands = self.at_hand.stands.get_or_init(|| {
            let mut stands = vec![false; self.books.entries().len()];
            for line in &self.lines {
                stands[line.standing.entry] = true;
            }
            stands
        });
        stands.get(entry).copied().unwrap_or(false)
    }

    /// The entries that correct, withdraw or settle an entry, in the order in which they came.
    pub(crate) fn acts_about(&self, entry: usize) -> &[usize] {
        let acts = self.at_hand.acts.get_or_init(|| {
            let mut acts: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
            for (place, entry) in self.books.entries().iter().enumerate() {
                let of = match &entry.envelope.act {
                    Act::Note => continue,
                    Act::Correct { of } | Act::Withdraw { of } => std::slice::from_ref(of),
                    Act::Settle { of, .. } => of.as_slice(),
                };
                for target in of.iter().filter_map(|digest| self.books.by_digest(digest)) {
                    acts.entry(target).or_default().push(place);
                }
            }
            acts
        });
        acts.get(&entry).map_or(&[], Vec::as_slice)
    }

    /// What each hive gave, as of now.
    pub(crate) fn yields_at_hand(&self) -> &[HiveYield] {
        self.at_hand.yields.get_or_init(|| yields(&self.held(None)))
    }

    /// The entries that have these words in them, those written last first; or the entry of that handle.
    pub(crate) fn found(&self, words: &str) -> Arc<Vec<usize>> {
        let mut searches = self.at_hand.found.lock().unwrap_or_else(PoisonError::into_inner);
        let at = searches.iter().position(|(of, _)| of == words);
        let found = match at {
            Some(at) => searches.remove(at),
            None => {
                let all = self.books.entries().iter().enumerate().rev();
                let has = |entry: &Entry| {
                    entry.note.as_deref().is_some_and(|note| has_words(note, words))
                        || entry.handle().to_string() == words
                };
                let found = all.filter(|(_, entry)| has(entry)).map(|(place, _)| place);
                (words.to_owned(), Arc::new(found.collect()))
            }
        };
        if searches.len() >= MOST_SEARCHES {
            searches.remove(0);
        }
        let entries = Arc::clone(&found.1);
        searches.push(found);
        entries
    }
}

/// A holding that a reader looks at.
pub(crate) enum Held<'a> {
    /// As of now.
    Now(&'a Holding),
    /// At the end of an earlier day.
    Then(Arc<Holding>),
}

impl std::ops::Deref for Held<'_> {
    type Target = Holding;

    fn deref(&self) -> &Holding {
        match self {
            Self::Now(holding) => holding,
            Self::Then(holding) => holding,
        }
    }
}

/// Whether words stand in a note, in capitals or not.
fn has_words(note: &str, words: &str) -> bool {
    if !(note.is_ascii() && words.is_ascii()) {
        return note.to_lowercase().contains(&words.to_lowercase());
    }
    let (note, words) = (note.as_bytes(), words.as_bytes());
    words.is_empty()
        || note
            .windows(words.len())
            .any(|part| part.eq_ignore_ascii_case(words))
}
