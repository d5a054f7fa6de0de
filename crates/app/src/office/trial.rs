//! What writing would do, without writing; and what came from the same place before.

use std::collections::BTreeSet;

use apiary::note::aids::Desk;
use ledger::{Fault, Handle};

use super::{Before, Office, Outcome, Refused, Why, Writing, Written};
use crate::surroundings::Surroundings;

impl Office {
    /// What [`Self::write`] would do; nothing is written.
    ///
    /// # Errors
    /// The store's faults.
    pub fn consider(
        &mut self,
        lines: &[&str],
        writing: &Writing,
        surroundings: &mut dyn Surroundings,
    ) -> Result<Outcome, Fault> {
        self.today = surroundings.today();
        if let [line] = lines {
            let outcome = self.consider_one(line, writing);
            self.library.settle();
            return Ok(outcome);
        }
        // Later lines may lean on earlier ones, so all are decided in earnest and then forgotten.
        let device = self.device.clone();
        let outcome = self.decide(lines, writing, surroundings).outcome;
        self.device = device;
        self.reload()?;
        Ok(outcome)
    }

    fn consider_one(&mut self, typed: &str, writing: &Writing) -> Outcome {
        let mut outcome = Outcome::default();
        let read = Desk::new(self.today).line(typed).map_err(Why::Unreadable);
        match read.and_then(|read| self.draft(read, writing)) {
            Ok(None) => {}
            Ok(Some((draft, remarks))) => {
                let text = self.library.line_of(&draft.act, &draft.note);
                let before = writing
                    .origin_of(0, 1)
                    .and_then(|origin| self.came_before(&[origin]).pop());
                match before {
                    Some((_, place)) => outcome.before.push(self.before(1, place)),
                    None => outcome.written.push(Written {
                        line: 1,
                        handle: self.next_handle(),
                        text,
                        remarks,
                    }),
                }
            }
            Err(why) => outcome.refused.push(Refused {
                line: 1,
                typed: typed.to_owned(),
                why,
            }),
        }
        outcome
    }

    fn next_handle(&self) -> Handle {
        let last = self
            .library
            .books
            .heads()
            .get(&self.device)
            .map_or(0, |head| head.number);
        Handle {
            device: self.device.clone(),
            number: last + 1,
        }
    }

    /// Which of these origins are in the books already, with the entry that came from each.
    pub(crate) fn came_before(&self, origins: &[String]) -> Vec<(String, usize)> {
        let wanted: BTreeSet<&str> = origins.iter().map(String::as_str).collect();
        if wanted.is_empty() {
            return Vec::new();
        }
        let entries = self.library.books.entries().iter().enumerate();
        entries
            .filter(|(_, entry)| wanted.contains(entry.envelope.origin.as_str()))
            .map(|(place, entry)| (entry.envelope.origin.to_string(), place))
            .collect()
    }

    pub(crate) fn before(&self, line: usize, place: usize) -> Before {
        let entry = &self.library.books.entries()[place];
        Before {
            line,
            handle: entry.handle(),
            text: self.library.as_line(entry),
        }
    }
}
