//! What every store must do, whatever keeps it: one suite, run over each of them.
//!
//! A new kind of store is finished when [`check_store`] passes over it. The suite asserts, so it
//! belongs into tests.

use ledger::{
    Act, Appended, Books, Device, Digest, Draft, Entry, FarmId, Fault, Heads, Person, Scope, Stamp, Store,
};
use std::collections::BTreeMap;

/// Writes entries for tests: its clock and its random numbers are counted, not drawn.
#[derive(Debug, Clone)]
pub struct Pen {
    farm: FarmId,
    device: Device,
    /// The chains, as the writer knows them.
    pub heads: Heads,
    drawn: u64,
}

impl Pen {
    /// A pen for a device that has written nothing.
    ///
    /// # Panics
    /// When no device can have the name.
    #[must_use]
    pub fn new(farm: FarmId, device: &str) -> Self {
        let device = Device::new(device).expect("a device name");
        Self {
            farm,
            device,
            heads: Heads::default(),
            drawn: 0,
        }
    }

    /// A pen that goes on where others have stopped.
    ///
    /// # Panics
    /// When no device can have the name.
    #[must_use]
    pub fn after(farm: FarmId, device: &str, heads: &Heads) -> Self {
        Self {
            heads: heads.clone(),
            ..Self::new(farm, device)
        }
    }

    /// Seals a note.
    pub fn note(&mut self, words: &str) -> Entry {
        self.act(Act::Note, words)
    }

    /// Seals an entry.
    ///
    /// # Panics
    /// Never: its day is a day.
    pub fn act(&mut self, act: Act, words: &str) -> Entry {
        self.drawn += 1;
        let day = "2026-07-19".parse().expect("a day");
        let draft = Draft {
            day,
            hour: None,
            by: "".into(),
            origin: "".into(),
            grammar: 1,
            act,
            note: words.into(),
        };
        let random =
            *Digest::of(format!("{} {}", self.device, self.heads.next(&self.device)).as_bytes()).as_bytes();
        let (id, salt) = random.split_at(16);
        let stamp = Stamp::new(
            id.try_into().expect("half of 32 bytes"),
            salt.try_into().expect("half of 32 bytes"),
            i64::try_from(self.drawn).unwrap_or(i64::MAX),
        );
        self.heads.seal(self.farm, &self.device, draft, stamp)
    }
}

/// The farm that the suite writes for.
pub const FARM: FarmId = FarmId::from_bytes(*b"the small yard, ");
const NEIGHBOUR: FarmId = FarmId::from_bytes(*b"the next valley.");

/// Runs the suite; `make` gives a new, empty store each time.
///
/// # Panics
/// When the store does not do what it must.
pub fn check_store<S: Store>(make: impl Fn() -> S) {
    let with_farm = || {
        let mut store = make();
        store.create_farm(FARM).expect("a farm");
        store
    };
    farms_are_made_once(make());
    a_farm_must_be_made_first(make());
    what_was_written_comes_back(with_farm());
    a_stale_append_writes_nothing(with_farm());
    several_entries_are_one_append(with_farm());
    taking_in_is_a_union(with_farm());
    a_number_used_twice_keeps_both(with_farm());
    farms_do_not_mix(with_farm());
    a_blanked_entry_keeps_its_envelope(with_farm());
    attachments_are_kept_by_digest(with_farm());
    people_are_replaced_and_erased(with_farm());
    settings_are_kept_apart(with_farm());
}

/// Everything a store holds of a farm, read and verified.
///
/// # Panics
/// When it cannot be loaded.
#[must_use]
pub fn books_in(store: &impl Store, farm: FarmId) -> Books {
    ledger::load(store, farm).expect("a farm that can be loaded")
}

fn farms_are_made_once(mut store: impl Store) {
    assert_eq!(store.farms().expect("farms"), []);
    store.create_farm(FARM).expect("a farm");
    store.create_farm(NEIGHBOUR).expect("a second farm");
    store.create_farm(FARM).expect("the same farm again");
    assert_eq!(store.farms().expect("farms"), [NEIGHBOUR, FARM]);
}

fn a_farm_must_be_made_first(mut store: impl Store) {
    let entry = Pen::new(FARM, "laptop").note("look alder bar 1");
    assert!(matches!(
        store.append(FARM, &Heads::default(), std::slice::from_ref(&entry)),
        Err(Fault::NoSuchFarm)
    ));
    assert!(matches!(store.add(FARM, &[entry]), Err(Fault::NoSuchFarm)));
    assert!(matches!(store.load(FARM, &mut |_| {}), Err(Fault::NoSuchFarm)));
    assert!(matches!(
        store.put_setting(FARM, Scope::Farm, "a", "b"),
        Err(Fault::NoSuchFarm)
    ));
    assert!(matches!(
        store.blank(FARM, &Digest::of(b"")),
        Err(Fault::NoSuchFarm)
    ));
}

fn what_was_written_comes_back(mut store: impl Store) {
    let mut pen = Pen::new(FARM, "laptop");
    let long = "x".repeat(20_000);
    for words in [
        "look alder bar 1",
        "",
        "größe 5\u{2009}cm # ein \"Wort\"",
        "two\nlines\0and a zero",
        &long,
    ] {
        let before = pen.heads.clone();
        let entry = pen.note(words);
        written(store.append(FARM, &before, std::slice::from_ref(&entry)));
        let books = books_in(&store, FARM);
        assert_eq!(books.entries().last(), Some(&entry));
        assert_eq!(books.heads(), &pen.heads);
        assert_eq!(books.problems(), []);
    }
}

fn a_stale_append_writes_nothing(mut store: impl Store) {
    let mut first = Pen::new(FARM, "laptop");
    let mut second = Pen::new(FARM, "phone");
    written(store.append(FARM, &Heads::default(), &[first.note("look alder bar 1")]));
    let late = second.note("look alder bar 2");
    assert_eq!(
        store.append(FARM, &Heads::default(), &[late]).expect("an answer"),
        Appended::Stale
    );
    let books = books_in(&store, FARM);
    assert_eq!(books.entries().len(), 1);
    let mut second = Pen::after(FARM, "phone", books.heads());
    let again = second.note("look alder bar 2");
    assert_eq!(
        again.envelope.seen,
        first.heads.newest(),
        "the second writer now knows the first"
    );
    written(store.append(FARM, books.heads(), &[again]));
}

fn several_entries_are_one_append(mut store: impl Store) {
    let mut pen = Pen::new(FARM, "laptop");
    let entries: Vec<Entry> = (0..50)
        .map(|bar| pen.note(&format!("look alder bar {bar}")))
        .collect();
    written(store.append(FARM, &Heads::default(), &entries));
    written(store.append(FARM, &pen.heads.clone(), &[]));
    assert_eq!(books_in(&store, FARM).entries(), entries);
}

fn taking_in_is_a_union(mut store: impl Store) {
    let mut pen = Pen::new(FARM, "phone");
    let entries: Vec<Entry> = (0..4)
        .map(|bar| pen.note(&format!("look alder bar {bar}")))
        .collect();
    assert_eq!(store.add(FARM, &entries[2..]).expect("an answer"), 2);
    assert_eq!(store.add(FARM, &entries).expect("an answer"), 2);
    assert_eq!(store.add(FARM, &entries).expect("an answer"), 0);
    let books = books_in(&store, FARM);
    assert_eq!(books.entries().len(), 4);
    assert_eq!(books.heads(), &pen.heads);
}

fn a_number_used_twice_keeps_both(mut store: impl Store) {
    let mut pen = Pen::new(FARM, "phone");
    let first = pen.note("look alder bar 1");
    let mut restored = pen.clone();
    let twins = [pen.note("look alder bar 2"), restored.note("look rowan bar 2")];
    assert_eq!(store.add(FARM, &[first]).expect("an answer"), 1);
    assert_eq!(store.add(FARM, &twins).expect("an answer"), 2);
    let books = books_in(&store, FARM);
    assert_eq!(books.by_handle(&twins[0].handle()).len(), 2);
    let next = Pen::after(FARM, "laptop", books.heads()).note("look alder bar 3");
    assert_eq!(
        next.envelope.seen.len(),
        2,
        "both ends of the forked chain are known"
    );
    written(store.append(FARM, books.heads(), &[next]));
}

fn farms_do_not_mix(mut store: impl Store) {
    store.create_farm(NEIGHBOUR).expect("a farm");
    let entry = Pen::new(NEIGHBOUR, "laptop").note("look oak bar 1");
    assert!(matches!(
        store.add(FARM, std::slice::from_ref(&entry)),
        Err(Fault::OtherFarm)
    ));
    assert!(matches!(
        store.append(FARM, &Heads::default(), std::slice::from_ref(&entry)),
        Err(Fault::OtherFarm)
    ));
    assert_eq!(store.add(NEIGHBOUR, &[entry]).expect("an answer"), 1);
    assert_eq!(books_in(&store, FARM).entries(), []);
    written(store.append(
        FARM,
        &Heads::default(),
        &[Pen::new(FARM, "laptop").note("look alder bar 1")],
    ));
}

fn a_blanked_entry_keeps_its_envelope(mut store: impl Store) {
    let mut pen = Pen::new(FARM, "laptop");
    let entries = [pen.note("sell 3 jars to ann"), pen.note("look alder bar 1")];
    written(store.append(FARM, &Heads::default(), &entries));
    store.blank(FARM, &entries[0].digest).expect("a blanked entry");
    store
        .blank(FARM, &entries[0].digest)
        .expect("a blanked entry, once more");
    assert!(matches!(
        store.blank(FARM, &Digest::of(b"none")),
        Err(Fault::NoSuchEntry)
    ));
    let mut blanked = entries[0].clone();
    blanked.blank();
    assert_eq!(books_in(&store, FARM).entries(), [blanked, entries[1].clone()]);
    assert_eq!(
        store.add(FARM, &entries).expect("an answer"),
        0,
        "what was erased does not come back"
    );
    assert_eq!(books_in(&store, FARM).entries()[0].note, None);
}

fn attachments_are_kept_by_digest(mut store: impl Store) {
    let photograph = vec![7; 100_000];
    let digest = store.put_attachment(FARM, &photograph).expect("an attachment");
    assert_eq!(digest, Digest::of(&photograph));
    assert_eq!(
        store
            .put_attachment(FARM, &photograph)
            .expect("the same one again"),
        digest
    );
    assert_eq!(
        store.attachment(FARM, &digest).expect("an answer"),
        Some(photograph)
    );
    assert_eq!(store.attachment(FARM, &Digest::of(b"")).expect("an answer"), None);
    assert_eq!(
        store.attachments(FARM).expect("a list"),
        BTreeMap::from([(digest, 100_000)])
    );
}

fn people_are_replaced_and_erased(mut store: impl Store) {
    let page = |lines: &[(&str, &str)]| -> Person {
        lines
            .iter()
            .map(|(heading, line)| ((*heading).to_owned(), (*line).to_owned()))
            .collect()
    };
    store
        .put_person(FARM, "ann", &page(&[("name", "A. Moss"), ("town", "Upper Fold")]))
        .expect("a person");
    store
        .put_person(FARM, "ann", &page(&[("name", "A. Moss-Fell")]))
        .expect("a person");
    store
        .put_person(FARM, "bo", &page(&[]))
        .expect("a person of whom nothing is known");
    let people = BTreeMap::from([
        ("ann".to_owned(), page(&[("name", "A. Moss-Fell")])),
        ("bo".to_owned(), page(&[])),
    ]);
    assert_eq!(store.people(FARM).expect("people"), people);
    store.erase_person(FARM, "ann").expect("an erased person");
    store
        .erase_person(FARM, "ann")
        .expect("an erased person, once more");
    assert_eq!(store.people(FARM).expect("people").len(), 1);
}

fn settings_are_kept_apart(mut store: impl Store) {
    store
        .put_setting(FARM, Scope::Farm, "mass", "kg")
        .expect("a setting");
    store
        .put_setting(FARM, Scope::Farm, "mass", "lb")
        .expect("a setting");
    store
        .put_setting(FARM, Scope::Device, "mass", "g")
        .expect("a setting");
    assert_eq!(
        store
            .setting(FARM, Scope::Farm, "mass")
            .expect("an answer")
            .as_deref(),
        Some("lb")
    );
    assert_eq!(
        store.setting(FARM, Scope::Device, "money").expect("an answer"),
        None
    );
    let device = BTreeMap::from([("mass".to_owned(), "g".to_owned())]);
    assert_eq!(store.settings(FARM, Scope::Device).expect("settings"), device);
}

fn written(answer: Result<Appended, Fault>) {
    assert_eq!(answer.expect("an answer"), Appended::Written);
}
