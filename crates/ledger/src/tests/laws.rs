//! Drawn histories of three devices that write, meet and are restored from backups, held against
//! the plainest possible reading of the rules.

use super::desk::{Desk, books_of, everything, shuffled};
use crate::{Act, Books, Change, Digest, Entry, Lineage, standing};
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::test_runner::{RngAlgorithm, TestRng, TestRunner};
use std::collections::{BTreeMap, BTreeSet};

/// The seed of every drawn history.
const SEED: [u8; 32] = [19; 32];
const DEVICES: [&str; 3] = ["phone", "laptop", "tablet"];

type Step = (u8, u8, u8);

fn over_histories(cases: u32, law: impl Fn(Desk) -> Result<(), TestCaseError>) {
    let config = ProptestConfig {
        cases,
        failure_persistence: None,
        ..ProptestConfig::default()
    };
    let mut runner = TestRunner::new_with_rng(config, TestRng::from_seed(RngAlgorithm::ChaCha, &SEED));
    let steps = vec((0..3_u8, 0..12_u8, any::<u8>()), 0..40);
    runner.run(&steps, |steps| law(history(&steps))).unwrap();
}

fn history(steps: &[Step]) -> Desk {
    let mut desk = Desk::default();
    let mut backups: BTreeMap<&str, Books> = BTreeMap::new();
    for &(device, kind, pick) in steps {
        let device = DEVICES[usize::from(device)];
        let other = DEVICES[usize::from(pick % 3)];
        let words = format!("w{}", pick % 7);
        let time =
            ["2026-07-19", "2026-07-19 08:30", "2026-07-20", "2026-07-19 17:00"][usize::from(pick % 4)];
        let known = desk.backup(device);
        let known: Vec<Digest> = known.entries().iter().map(|entry| entry.digest).collect();
        let one = known.get(usize::from(pick) % known.len().max(1)).copied();
        let two = known.get(usize::from(pick / 3) % known.len().max(1)).copied();
        match (kind, one, two) {
            (3..=5, Some(of), _) => drop(desk.write(device, Act::Correct { of }, time, &words)),
            (6, Some(of), _) => drop(desk.withdraw(device, of)),
            (7, Some(one), Some(two)) => drop(desk.replace(device, &[one, two], &words)),
            (8, Some(one), Some(two)) => drop(desk.settle(device, &[one, two])),
            (9, ..) if device != other => desk.meet(device, other),
            (10, ..) => drop(backups.insert(device, desk.backup(device))),
            (11, ..) if backups.contains_key(device) => desk.restore(device, backups[device].clone()),
            _ => drop(desk.write(device, Act::Note, time, &words)),
        }
    }
    desk
}

#[test]
fn neither_the_order_of_arrival_nor_repetition_matters() {
    over_histories(300, |desk| {
        let all = everything(&books_of(&desk.written));
        let doubled: Vec<Entry> = desk
            .written
            .iter()
            .flat_map(|entry| [entry, entry])
            .cloned()
            .collect();
        for seed in 0..4 {
            prop_assert_eq!(&everything(&books_of(&shuffled(&doubled, seed))), &all);
        }
        Ok(())
    });
}

#[test]
fn the_same_holds_when_entries_are_missing() {
    over_histories(300, |desk| {
        let some: Vec<Entry> = shuffled(&desk.written, 5)
            .into_iter()
            .skip(desk.written.len() / 4)
            .collect();
        let all = everything(&books_of(&some));
        for seed in 0..4 {
            prop_assert_eq!(&everything(&books_of(&shuffled(&some, seed))), &all);
        }
        Ok(())
    });
}

#[test]
fn an_entry_covers_what_its_writer_knew_and_nothing_else() {
    over_histories(300, |desk| {
        let books = books_of(&shuffled(&desk.written, 1));
        let lineage = Lineage::of(&books);
        for (a, entry) in books.entries().iter().enumerate() {
            for (b, other) in books.entries().iter().enumerate() {
                let knew = desk.knew[&entry.digest].contains(&other.digest);
                let names = (entry.handle(), other.handle());
                prop_assert_eq!(lineage.covers(a, b), knew, "{:?}", names);
                prop_assert_eq!(books.knows(a, b), knew, "the quick way, {:?}", names);
            }
        }
        Ok(())
    });
}

#[test]
fn what_stands_is_what_the_rules_say() {
    over_histories(600, |desk| {
        let books = books_of(&shuffled(&desk.written, 2));
        let digest = |place: usize| books.entries()[place].digest;
        let (stands, rivals) = standing(&books);
        let stands: BTreeSet<_> = stands
            .iter()
            .map(|stand| (digest(stand.root), digest(stand.entry)))
            .collect();
        let rivals: BTreeMap<_, Vec<_>> = rivals
            .iter()
            .map(|rivals| {
                (
                    digest(rivals.root),
                    rivals.versions.iter().map(|&version| digest(version)).collect(),
                )
            })
            .collect();
        prop_assert_eq!((stands, rivals), Rules::of(&desk).standing());
        Ok(())
    });
}

#[test]
fn learning_entry_by_entry_comes_to_the_same() {
    over_histories(200, |desk| {
        let mut books = Books::new();
        let mut stands = Vec::new();
        for entry in shuffled(&desk.written, 0).iter().take(5).chain(&desk.written) {
            match books.learn(entry.clone()) {
                Change::Nothing => {}
                Change::Appended(stand) => stands.push(stand),
                Change::Reshaped => stands = standing(&books).0,
            }
            prop_assert_eq!(&stands, &standing(&books).0);
        }
        Ok(())
    });
}

#[test]
fn a_whole_chain_without_forks_has_no_problems() {
    over_histories(200, |desk| {
        let books = books_of(&desk.written);
        let odd = books.problems().into_iter().filter(|problem| {
            !matches!(
                problem,
                crate::Problem::Fork { .. } | crate::Problem::OddTarget { .. }
            )
        });
        prop_assert_eq!(odd.count(), 0);
        Ok(())
    });
}

/// The rules of `standing`, word for word, with no thought of speed.
struct Rules<'a> {
    entries: BTreeMap<Digest, &'a Entry>,
    knew: &'a BTreeMap<Digest, BTreeSet<Digest>>,
}

type Stands = (BTreeSet<(Digest, Digest)>, BTreeMap<Digest, Vec<Digest>>);

impl<'a> Rules<'a> {
    fn of(desk: &'a Desk) -> Self {
        Self {
            entries: desk.written.iter().map(|entry| (entry.digest, entry)).collect(),
            knew: &desk.knew,
        }
    }

    fn act(&self, digest: Digest) -> &Act {
        &self.entries[&digest].envelope.act
    }

    fn roots(&self, digest: Digest) -> BTreeSet<Digest> {
        match self.act(digest) {
            Act::Note => [digest].into(),
            Act::Settle { replaces: false, .. } => BTreeSet::new(),
            act => act.names().iter().flat_map(|&of| self.roots(of)).collect(),
        }
    }

    fn is_withdrawn(&self, digest: Digest) -> bool {
        self.entries
            .keys()
            .any(|&by| *self.act(by) == Act::Withdraw { of: digest } && !self.is_withdrawn(by))
    }

    fn is_version(&self, digest: Digest) -> bool {
        let kind = match self.act(digest) {
            Act::Withdraw { of } => *self.act(*of) == Act::Note,
            act => *act != Act::Note,
        };
        kind && !self.is_withdrawn(digest)
    }

    /// The versions that nobody who knew them revised, each saying something else.
    fn remaining(&self, root: Digest) -> Vec<Digest> {
        let about = |digest: &Digest| self.is_version(*digest) && self.roots(*digest).contains(&root);
        let versions: Vec<Digest> = self
            .entries
            .keys()
            .copied()
            .filter(|d| *d == root || about(d))
            .collect();
        let knows = |by: Digest, version: Digest| by != version && self.knew[&by].contains(&version);
        let mut said = BTreeSet::new();
        let remaining = versions
            .iter()
            .filter(|version| !versions.iter().any(|by| knows(*by, **version)));
        remaining
            .copied()
            .filter(|version| said.insert(self.says(*version)))
            .collect()
    }

    fn says(&self, digest: Digest) -> Option<String> {
        let entry = self.entries[&digest];
        let silent = matches!(entry.envelope.act, Act::Withdraw { .. });
        (!silent).then(|| {
            format!(
                "{:?} {:?} {:?}",
                entry.note, entry.envelope.day, entry.envelope.hour
            )
        })
    }

    fn standing(&self) -> Stands {
        let mut homes: BTreeMap<Digest, Vec<Digest>> = BTreeMap::new();
        let mut rivals = BTreeMap::new();
        for root in self
            .entries
            .keys()
            .copied()
            .filter(|digest| *self.act(*digest) == Act::Note)
        {
            let remaining = self.remaining(root);
            for version in remaining.iter().filter(|version| self.says(**version).is_some()) {
                homes.entry(*version).or_default().push(root);
            }
            if remaining.len() > 1 {
                rivals.insert(root, remaining);
            }
        }
        let home = |roots: Vec<Digest>| {
            roots.into_iter().min_by_key(|root| {
                let envelope = &self.entries[root].envelope;
                (
                    envelope.day,
                    envelope.order,
                    envelope.device.clone(),
                    envelope.number,
                    *root,
                )
            })
        };
        (
            homes
                .into_iter()
                .map(|(version, roots)| (home(roots).unwrap(), version))
                .collect(),
            rivals,
        )
    }
}
