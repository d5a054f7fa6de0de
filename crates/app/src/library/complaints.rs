//! What is odd: about the chains, the words, and what they say together.

use apiary::{Complaint, Holding};
use jiff::civil::Date;
use ledger::Problem;

use super::Library;

impl Library {
    /// Everything odd: about the chains, the words, and what they say together.
    pub fn complaints(&mut self, on: Option<Date>) -> Vec<Complaint> {
        if on.is_none() {
            self.settle();
        }
        self.complaints_of(&self.held(on), on)
    }

    /// Everything odd, with what a holding says of the day it is of.
    pub(crate) fn complaints_of(&self, holding: &Holding, on: Option<Date>) -> Vec<Complaint> {
        let settled = ledger::settled(&self.books);
        let mut all: Vec<Complaint> = self.chain_complaints();
        all.extend(self.rival_complaints());
        all.extend(self.unreadable());
        all.extend(holding.complaints.iter().cloned());
        let at = |entry: usize| self.books.entries()[entry].envelope.day;
        all.retain(|complaint| {
            let laid_to_rest = complaint.about.iter().any(|entry| settled.contains(entry));
            let later = on.is_some_and(|day| complaint.about.first().is_some_and(|entry| at(*entry) > day));
            !laid_to_rest && !later
        });
        all
    }

    fn rival_complaints(&self) -> Vec<Complaint> {
        let mut rivals: Vec<_> = self.rivals.iter().collect();
        rivals.sort_by_key(|rivals| self.books.entries()[rivals.root].digest);
        let complaint = |rivals: &&ledger::Rivals| Complaint {
            about: rivals.versions.clone(),
            says: format!(
                "{} was changed in different ways by writers who did not know each other; each version stands",
                self.books.entries()[rivals.root].handle()
            ),
            hint: Some("settle them: settle A, B: and the note as it should be".to_owned()),
        };
        rivals.iter().map(complaint).collect()
    }

    fn unreadable(&self) -> Vec<Complaint> {
        let lines = self.lines.iter();
        let unread = lines.filter_map(|line| match &self.said[line.standing.entry] {
            Some(Err(unreadable)) => Some(Complaint {
                about: vec![line.standing.entry],
                says: format!("this note cannot be read and counts for nothing: {unreadable}"),
                hint: Some("correct it; its words are kept as they are".to_owned()),
            }),
            _ => None,
        });
        unread.collect()
    }

    fn chain_complaints(&self) -> Vec<Complaint> {
        // Erased words are no oddity: the keeper asked for it.
        let odd = |problem: &&Problem| !matches!(problem, Problem::Blanked { .. });
        self.books
            .problems()
            .iter()
            .filter(odd)
            .map(|problem| self.chain_complaint(problem))
            .collect()
    }

    fn chain_complaint(&self, problem: &Problem) -> Complaint {
        let handle = |entry: &usize| self.books.entries()[*entry].handle().to_string();
        let (about, says, hint) = match problem {
            Problem::Gap { device, from, to } if from == to => (
                vec![],
                format!("{device}/{from} is missing from its chain"),
                "bring in the notes of that device again",
            ),
            Problem::Gap { device, from, to } => (
                vec![],
                format!("{device}/{from} to {to} are missing from their chain"),
                "bring in the notes of that device again",
            ),
            Problem::NotHere { by, head } => (
                vec![*by],
                format!(
                    "{} was written knowing {}/{}, which is not here",
                    handle(by),
                    head.device,
                    head.number
                ),
                "bring in the notes of that device",
            ),
            Problem::BrokenLink { entry } => (
                vec![*entry],
                format!("{} does not follow the entry before it", handle(entry)),
                "check where it came from",
            ),
            Problem::Fork { entries } => (
                entries.clone(),
                format!(
                    "{} was written twice with different words; both are kept",
                    entries.first().map(handle).unwrap_or_default()
                ),
                "the device was restored from a backup: give it a new name",
            ),
            Problem::Order { entry } => (
                vec![*entry],
                format!("{} is out of order", handle(entry)),
                "check where it came from",
            ),
            Problem::UnknownTarget { act, .. } => (
                vec![*act],
                format!("{} is about an entry that is not here", handle(act)),
                "bring in the notes of the other devices",
            ),
            Problem::OddTarget { act, of } => (
                vec![*act, *of],
                format!("{} cannot be about {}", handle(act), handle(of)),
                "withdraw it and write what was meant",
            ),
            Problem::Unread { digest } => (
                vec![],
                format!("an entry is kept but cannot be read ({})", digest.short()),
                "run books check",
            ),
            Problem::Blanked { entry } => (
                vec![*entry],
                format!("the words of {} were erased", handle(entry)),
                "nothing; the chain still holds",
            ),
        };
        Complaint {
            about,
            says,
            hint: Some(hint.to_owned()),
        }
    }
}
