//! From a line that was read to an entry that may be sealed, or to why it may not.

use apiary::note::GRAMMAR;
use apiary::note::aids::{Complete, Line, Target};
use apiary::{Misgiving, Weight};
use jiff::civil::Date;
use ledger::{Act, Digest, Draft, Handle};

use super::{Office, Why, Writing};

impl Office {
    /// What a line asks to be written, with what is unusual about it.
    pub(super) fn draft(
        &mut self,
        line: Line,
        writing: &Writing,
    ) -> Result<Option<(Draft, Vec<Misgiving>)>, Why> {
        let (act, complete, root) = match line {
            Line::Nothing => return Ok(None),
            Line::Note(complete) => (Act::Note, complete, None),
            Line::Correct(target, complete) => {
                let of = self.target(&target)?;
                (
                    Act::Correct { of: self.digest(of) },
                    complete,
                    Some(self.root(of)),
                )
            }
            Line::Withdraw(target, because) => {
                let of = self.target(&target)?;
                let reason = because.map_or_else(String::new, |because| format!("because \"{because}\""));
                return Ok(Some((
                    self.bare(Act::Withdraw { of: self.digest(of) }, of, reason, writing),
                    Vec::new(),
                )));
            }
            Line::Settle(targets, settled) => {
                let of = targets
                    .iter()
                    .map(|target| self.target(target))
                    .collect::<Result<Vec<_>, _>>()?;
                let digests = of.iter().map(|of| self.digest(*of)).collect();
                match settled {
                    Ok(complete) => (
                        Act::Settle {
                            of: digests,
                            replaces: true,
                        },
                        complete,
                        of.first().map(|of| self.root(*of)),
                    ),
                    Err(because) => {
                        let reason = format!("because \"{because}\"");
                        let act = Act::Settle {
                            of: digests,
                            replaces: false,
                        };
                        let remarks = self.nothing_to_settle(&of);
                        return Ok(Some((self.bare(act, of[0], reason, writing), remarks)));
                    }
                }
            }
        };
        let remarks = if writing.undoubted {
            Vec::new()
        } else {
            self.doubt(&complete, root)?
        };
        let Complete { text, note } = complete;
        let draft = Draft {
            day: note.day,
            hour: note.hour,
            by: self.writer(writing).into(),
            origin: writing.origin().into(),
            grammar: GRAMMAR,
            act,
            note: text,
        };
        Ok(Some((draft, remarks)))
    }

    /// A remark where nothing is odd about any of the notes that are to be settled.
    fn nothing_to_settle(&mut self, of: &[usize]) -> Vec<Misgiving> {
        let complaints = self.library.complaints(None);
        if complaints
            .iter()
            .any(|complaint| complaint.about.iter().any(|entry| of.contains(entry)))
        {
            return Vec::new();
        }
        let handles: Vec<String> = of
            .iter()
            .map(|of| self.library.books.entries()[*of].handle().to_string())
            .collect();
        vec![Misgiving::new(
            Weight::Remark,
            format!("nothing was odd about {}", handles.join(", ")),
        )]
    }

    /// An act whose words are no note: it happened when what it is about happened.
    fn bare(&self, act: Act, of: usize, note: String, writing: &Writing) -> Draft {
        let day = self.library.books.entries()[of].envelope.day;
        Draft {
            day,
            hour: None,
            by: self.writer(writing).into(),
            origin: writing.origin().into(),
            grammar: GRAMMAR,
            act,
            note,
        }
    }

    fn doubt(&mut self, complete: &Complete, instead_of: Option<usize>) -> Result<Vec<Misgiving>, Why> {
        let note = &complete.note;
        let hour = note.hour.map(ledger::Hour::minutes);
        let mut misgivings = self
            .library
            .holding_before(note.day, hour, instead_of)
            .misgivings(note);
        let blocks = |misgiving: &Misgiving| misgiving.weight == Weight::Impossible && !note.anyway;
        if misgivings.iter().any(blocks) {
            return Err(Why::Impossible(misgivings.into_iter().filter(blocks).collect()));
        }
        if self.today != Date::ZERO && note.day > self.today {
            misgivings.push(Misgiving::new(
                Weight::Remark,
                format!("{} lies ahead; today is {}", note.day, self.today),
            ));
        }
        let unknown = note
            .fact
            .persons()
            .filter(|person| !self.people.contains_key(person.as_str()));
        let remarks = unknown.map(|person| {
            Misgiving::new(
                Weight::Remark,
                format!("{person} is not in the address book; books person {person} enters them"),
            )
        });
        misgivings.extend(remarks);
        Ok(misgivings)
    }

    pub(super) fn digest(&self, of: usize) -> Digest {
        self.library.books.entries()[of].digest
    }

    /// The note first written, behind a correction of it.
    fn root(&self, of: usize) -> usize {
        let mut at = of;
        while let Act::Correct { of } = &self.library.books.entries()[at].envelope.act {
            match self.library.books.by_digest(of) {
                Some(earlier) => at = earlier,
                None => break,
            }
        }
        at
    }

    fn target(&self, target: &Target) -> Result<usize, Why> {
        let books = &self.library.books;
        let handle = match target {
            Target::Handle(handle) => handle.clone(),
            Target::Last => {
                let last = books.heads().get(&self.device).map(|head| head.number);
                let number = last.ok_or_else(|| {
                    Why::NoSuchNote(format!(
                        "{} has written no note that could be the last",
                        self.device
                    ))
                })?;
                Handle {
                    device: self.device.clone(),
                    number,
                }
            }
        };
        match books.by_handle(&handle).as_slice() {
            [only] => Ok(*only),
            [] => Err(Why::NoSuchNote(format!("there is no note {handle}"))),
            _ => Err(Why::NoSuchNote(format!(
                "{handle} names more than one note, since its device was restored from a backup"
            ))),
        }
    }
}
