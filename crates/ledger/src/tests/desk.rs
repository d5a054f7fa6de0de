//! A desk with several devices that write, meet, and are sometimes restored from a backup.

use crate::{
    Act, Books, Device, Digest, Draft, Entry, FarmId, Hour, Hours, Problem, Salt, Stamp, effective_hours,
    in_order, settled, standing,
};
use std::collections::{BTreeMap, BTreeSet};
use uuid::Uuid;

pub(super) const FARM: FarmId = FarmId::from_bytes([7; 16]);

/// What everybody wrote, and what each device knows of it.
#[derive(Default)]
pub(super) struct Desk {
    pub(super) written: Vec<Entry>,
    devices: BTreeMap<String, Books>,
    /// For each entry, what its writer knew: the truth that `covers` must tell.
    pub(super) knew: BTreeMap<Digest, BTreeSet<Digest>>,
}

impl Desk {
    pub(super) fn write(&mut self, device: &str, act: Act, time: &str, words: &str) -> Digest {
        let (day, hour) = time
            .split_once(' ')
            .map_or((time, None), |(day, hour)| (day, Some(hour)));
        let hour: Option<Hour> = hour.map(|hour| hour.parse().unwrap());
        let drawn = u8::try_from(self.written.len() % 251).unwrap();
        let draft = Draft {
            day: day.parse().unwrap(),
            hour,
            by: "hr".into(),
            origin: "typed".into(),
            grammar: 1,
            act,
            note: words.into(),
        };
        let stamp = Stamp {
            id: Uuid::from_bytes([drawn; 16]),
            salt: Salt::from_bytes([drawn; 16]),
            written_ms: 0,
        };
        let books = self.devices.entry(device.to_owned()).or_default();
        let mut heads = books.heads().clone();
        let entry = heads.seal(FARM, &Device::new(device).unwrap(), draft, stamp);
        books.add(entry.clone());
        assert_eq!(&heads, books.heads(), "sealing and adding move the heads alike");
        let knew = books.entries().iter().map(|entry| entry.digest).collect();
        self.knew.insert(entry.digest, knew);
        self.written.push(entry);
        self.written.last().unwrap().digest
    }

    pub(super) fn note(&mut self, device: &str, words: &str) -> Digest {
        self.write(device, Act::Note, "2026-07-19", words)
    }

    pub(super) fn correct(&mut self, device: &str, of: Digest, words: &str) -> Digest {
        self.write(device, Act::Correct { of }, "2026-07-19", words)
    }

    pub(super) fn withdraw(&mut self, device: &str, of: Digest) -> Digest {
        self.write(device, Act::Withdraw { of }, "2026-07-19", "a slip")
    }

    pub(super) fn replace(&mut self, device: &str, of: &[Digest], words: &str) -> Digest {
        self.write(
            device,
            Act::Settle {
                of: of.into(),
                replaces: true,
            },
            "2026-07-19",
            words,
        )
    }

    pub(super) fn settle(&mut self, device: &str, of: &[Digest]) -> Digest {
        self.write(
            device,
            Act::Settle {
                of: of.into(),
                replaces: false,
            },
            "2026-07-19",
            "seen",
        )
    }

    /// Both know everything afterwards.
    pub(super) fn meet(&mut self, one: &str, other: &str) {
        let mut all = self.devices.remove(one).unwrap_or_default();
        for entry in self.devices.remove(other).unwrap_or_default().entries() {
            all.add(entry.clone());
        }
        self.devices.insert(one.to_owned(), all.clone());
        self.devices.insert(other.to_owned(), all);
    }

    /// The device forgets all but what it had long ago.
    pub(super) fn restore(&mut self, device: &str, backup: Books) {
        self.devices.insert(device.to_owned(), backup);
    }

    pub(super) fn backup(&self, device: &str) -> Books {
        self.devices.get(device).cloned().unwrap_or_default()
    }
}

pub(super) fn books_of<'a>(entries: impl IntoIterator<Item = &'a Entry>) -> Books {
    let mut books = Books::new();
    for entry in entries {
        books.add(entry.clone());
    }
    books
}

/// What stands, in order, and what is odd, in words that do not depend on places.
pub(super) fn says(books: &Books) -> String {
    let hours = effective_hours(books);
    let (mut stands, rivals) = standing(books);
    in_order(books, &hours, &mut stands);
    let name = |place: usize| {
        let entry = &books.entries()[place];
        entry.note.as_deref().map_or_else(
            || "(blank)".to_owned(),
            |note| match &entry.envelope.act {
                Act::Withdraw { .. } => "(nothing)".to_owned(),
                _ => note.to_owned(),
            },
        )
    };
    let notes: Vec<String> = stands.iter().map(|stand| name(stand.entry)).collect();
    let mut said = notes.join(" ");
    let mut rivals: Vec<String> = rivals
        .into_iter()
        .map(|rivals| {
            let mut versions: Vec<String> = rivals.versions.iter().map(|&version| name(version)).collect();
            versions.sort();
            format!(" | {}: {}", name(rivals.root), versions.join(" or "))
        })
        .collect();
    rivals.sort();
    said.extend(rivals);
    let mut looked_at: Vec<String> = settled(books).into_iter().map(name).collect();
    looked_at.sort();
    if !looked_at.is_empty() {
        said.push_str(&format!(" | settled: {}", looked_at.join(" ")));
    }
    said
}

/// Everything the books can be asked, by digest.
pub(super) fn everything(books: &Books) -> String {
    let name = |place: usize| books.entries()[place].digest.short();
    let hours: Hours = effective_hours(books);
    let mut windows: Vec<String> = (0..books.entries().len())
        .map(|place| format!("{} {:?}", name(place), hours.window(place)))
        .collect();
    windows.sort();
    let (stands, rivals) = standing(books);
    let mut stands: Vec<String> = stands
        .iter()
        .map(|stand| format!("{}<-{}", name(stand.entry), name(stand.root)))
        .collect();
    stands.sort();
    let mut rivals: Vec<String> = rivals
        .iter()
        .map(|r| {
            format!(
                "{} {:?}",
                name(r.root),
                r.versions.iter().map(|&v| name(v)).collect::<Vec<_>>()
            )
        })
        .collect();
    rivals.sort();
    let settled: BTreeSet<String> = settled(books).into_iter().map(name).collect();
    let problems: Vec<String> = books
        .problems()
        .iter()
        .map(|problem| by_digest(books, problem))
        .collect();
    let heads = books.heads();
    format!(
        "{} {stands:#?} {rivals:#?} {settled:?} {problems:#?} {windows:#?} {heads:?}",
        says(books)
    )
}

fn by_digest(books: &Books, problem: &Problem) -> String {
    let name = |place: usize| books.entries()[place].digest.short();
    match problem {
        Problem::Gap { .. } | Problem::Unread { .. } => format!("{problem:?}"),
        Problem::NotHere { by, head } => format!("not here {} {head:?}", name(*by)),
        Problem::BrokenLink { entry } => format!("broken link {}", name(*entry)),
        Problem::Fork { entries } => {
            format!("fork {:?}", entries.iter().map(|&e| name(e)).collect::<Vec<_>>())
        }
        Problem::Order { entry } => format!("order {}", name(*entry)),
        Problem::UnknownTarget { act, of } => format!("unknown target {} {of:?}", name(*act)),
        Problem::OddTarget { act, of } => format!("odd target {} {}", name(*act), name(*of)),
        Problem::Blanked { entry } => format!("blanked {}", name(*entry)),
    }
}

/// An order of arrival drawn from a number.
pub(super) fn shuffled<T: Clone>(items: &[T], mut seed: u64) -> Vec<T> {
    let mut items = items.to_vec();
    for at in (1..items.len()).rev() {
        seed = seed
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        items.swap(at, usize::try_from(seed >> 33).unwrap() % (at + 1));
    }
    items
}

/// Checks what stands, whatever the order of arrival and however often each entry arrives.
#[track_caller]
pub(super) fn check(desk: &Desk, expected: &str) {
    let straight = books_of(&desk.written);
    assert_eq!(says(&straight), expected);
    let all = everything(&straight);
    let backwards: Vec<Entry> = desk.written.iter().rev().cloned().collect();
    assert_eq!(
        everything(&books_of(&backwards)),
        all,
        "order of arrival changed the answer"
    );
    let doubled: Vec<Entry> = desk
        .written
        .iter()
        .flat_map(|entry| [entry, entry])
        .cloned()
        .collect();
    assert_eq!(
        everything(&books_of(&doubled)),
        all,
        "a repeated entry changed the answer"
    );
    for seed in 0..8 {
        let arrived = books_of(&shuffled(&doubled, seed));
        assert_eq!(
            everything(&arrived),
            all,
            "order of arrival {seed} changed the answer"
        );
    }
}
