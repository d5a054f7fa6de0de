//! What the looks said of a comb, one after the other.

use jiff::civil::Date;

use super::Part;
use crate::colony::answers::{OF_BEES, was_before};
use crate::colony::look::of_both_faces;
use crate::colony::state::Comb;
use crate::note::Value;

/// So many looks at a comb reach further back than any answer asks, which is some six weeks; a comb of many years has
/// hundreds.
pub(super) const MOST_LOOKS: usize = 24;

/// What one look said of one comb.
#[derive(Clone, Debug)]
pub(super) struct Look {
    pub(super) day: Date,
    pub(super) entry: usize,
    pub(super) says: Shares,
}

/// The shares of the full outline that a look said, both faces.
#[derive(Clone, Debug, Default)]
pub(super) struct Shares {
    said: Vec<(&'static str, f64)>,
    /// Said to hold nothing.
    empty: bool,
    /// Eggs were seen.
    eggs: bool,
    /// It was said of one face.
    face: Option<&'static str>,
}

impl Shares {
    pub(super) fn of(&self, field: &str) -> Option<f64> {
        let said = self.said.iter().find(|(name, _)| *name == field);
        said.map(|(_, share)| *share)
    }

    /// Brood of all ages, worker and drone; nothing where the look says that it saw none or spoke of other things.
    pub(super) fn brood(&self) -> f64 {
        let of = |field| self.of(field).unwrap_or(0.0);
        let stages = of("sealed") + of("open") + of("eggs_share");
        of("brood").max(stages) + of("drones")
    }

    /// Whether brood was seen, be it one egg.
    pub(super) fn has_brood(&self) -> bool {
        self.eggs || self.brood() > 0.0
    }

    /// Honey and nectar; unknown where the look spoke of neither and did not say that the comb was empty.
    pub(super) fn stores(&self) -> Option<f64> {
        let said = [self.of("capped"), self.of("honey"), self.of("nectar")];
        if said.iter().all(Option::is_none) {
            return self.empty.then_some(0.0);
        }
        let [capped, honey, nectar] = said.map(|share| share.unwrap_or(0.0));
        // Honey is said open or undivided: where both are, the larger holds the smaller or stands for it.
        Some((honey.max(capped) + nectar).min(1.0))
    }

    /// Honey, without nectar that may still dry up; unknown as [`Self::stores`] is.
    pub(super) fn honey(&self) -> Option<f64> {
        let nectar = self.of("nectar").unwrap_or(0.0);
        let said = [self.of("honey"), self.of("capped")]
            .into_iter()
            .flatten()
            .reduce(f64::max);
        said.or_else(|| self.stores().map(|stores| (stores - nectar).max(0.0)))
    }

    /// Whether bees were seen to cover it.
    pub(super) fn has_bees(&self) -> bool {
        self.of("bees").is_some_and(|share| share > 0.0)
    }

    /// With what a look as before adds.
    fn with(mut self, more: Self) -> Self {
        for (field, share) in more.said {
            match self.said.iter_mut().find(|(name, _)| *name == field) {
                Some(kept) => kept.1 = share,
                None => self.said.push((field, share)),
            }
        }
        self.empty |= more.empty;
        self.eggs |= more.eggs;
        self
    }

    fn is_other_face(&self, other: &Self) -> bool {
        self.face.zip(other.face).is_some_and(|(one, other)| one != other)
    }

    /// Both faces together.
    fn and_face(mut self, other: Self) -> Self {
        self.said = of_both_faces(&self.said, &other.said);
        self.empty &= other.empty;
        self.eggs |= other.eggs;
        self.face = None;
        self
    }
}

impl Part<'_> {
    /// What the last look said of a comb.
    pub(super) fn last(&self, comb: &Comb) -> Option<Look> {
        let mut last = self.looks(comb).pop()?;
        // The state knows best what several looks of a day come to.
        if comb.last_look == Some(last.entry) {
            last.says.said.clone_from(&comb.shares);
            self.without_anothers_bees(comb, std::slice::from_mut(&mut last));
        }
        Some(last)
    }

    /// What the last looks said of a comb, [`MOST_LOOKS`] of them at the most, the oldest first. A look as before says
    /// what the one before it said.
    pub(super) fn looks(&self, comb: &Comb) -> Vec<Look> {
        let from = comb.looks.len().saturating_sub(MOST_LOOKS);
        let mut out: Vec<Look> = Vec::with_capacity(comb.looks.len() - from);
        for entry in comb.looks[from..].iter().copied() {
            let Some(note) = self.note(entry).filter(|note| note.day <= self.today) else {
                continue;
            };
            let mut says = said_by(note);
            let before = out.last();
            let says_nothing_of_it = says.said.is_empty() && !says.empty;
            let adds = before.is_some_and(|before| {
                let is_same_day = before.day == note.day && says.face.is_none();
                says_nothing_of_it || is_same_day
            });
            if note.fact.says("as before") || adds {
                says = before
                    .map_or_else(Shares::default, |before| before.says.clone())
                    .with(says);
            } else if let Some(before) =
                before.filter(|before| before.day == note.day && before.says.is_other_face(&says))
            {
                says = before.says.clone().and_face(says);
                out.pop();
            }
            out.push(Look {
                day: note.day,
                entry,
                says,
            });
        }
        self.without_anothers_bees(comb, &mut out);
        out
    }

    /// Bees and brood of looks before the colony came, on a comb that hung there before it, were another's.
    fn without_anothers_bees(&self, comb: &Comb, looks: &mut [Look]) {
        let since = self.h.colonies[self.colony].since;
        if was_before(comb, self.hive, since) {
            for look in looks.iter_mut().filter(|look| look.day < since) {
                look.says.said.retain(|(field, _)| !OF_BEES.contains(field));
                look.says.eggs = false;
            }
        }
    }
}

fn said_by(note: &crate::note::Note) -> Shares {
    let fact = &note.fact;
    let said = fact.values().iter().filter_map(|(field, value)| match value {
        Value::Share(share) => Some((*field, share.fraction())),
        _ => None,
    });
    Shares {
        said: said.collect(),
        empty: fact.shape().has("empty") && fact.says("empty"),
        face: fact.choice("face"),
        eggs: fact.shape().has("eggs") && fact.choice("eggs") == Some("seen"),
    }
}
