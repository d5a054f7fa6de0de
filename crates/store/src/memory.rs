//! A store that forgets: for tests, and for calculating with borrowed books.

use ledger::{Appended, Digest, Entry, FarmId, Fault, Head, Heads, Person, Row, Scope, Store};
use std::collections::{BTreeMap, BTreeSet};

/// Books in memory.
#[derive(Debug, Clone, Default)]
pub struct MemoryStore {
    farms: BTreeMap<FarmId, Drawers>,
}

#[derive(Debug, Clone, Default)]
struct Drawers {
    rows: Vec<Row>,
    keys: BTreeSet<(String, u64, Digest)>,
    attachments: BTreeMap<Digest, Vec<u8>>,
    people: BTreeMap<String, Person>,
    settings: BTreeMap<(Scope, String), String>,
}

impl MemoryStore {
    /// An empty store.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    fn farm(&self, farm: FarmId) -> Result<&Drawers, Fault> {
        self.farms.get(&farm).ok_or(Fault::NoSuchFarm)
    }

    fn farm_mut(&mut self, farm: FarmId) -> Result<&mut Drawers, Fault> {
        self.farms.get_mut(&farm).ok_or(Fault::NoSuchFarm)
    }
}

impl Drawers {
    /// Puts an entry in, unless it is there.
    fn take(&mut self, entry: &Entry) -> bool {
        let new = self.keys.insert((
            entry.envelope.device.to_string(),
            entry.envelope.number,
            entry.digest,
        ));
        if new {
            self.rows.push(entry.to_row());
        }
        new
    }

    /// The keys with the highest number of each device.
    fn newest(&self) -> Vec<Head> {
        let mut newest: Vec<Head> = Vec::new();
        for (device, number, digest) in &self.keys {
            let device = device.parse().expect("BUG: a key with a name that no device has");
            newest.retain(|head: &Head| head.device != device || head.number == *number);
            newest.push(Head {
                device,
                number: *number,
                digest: *digest,
            });
        }
        newest
    }
}

impl Store for MemoryStore {
    fn farms(&self) -> Result<Vec<FarmId>, Fault> {
        Ok(self.farms.keys().copied().collect())
    }

    fn create_farm(&mut self, farm: FarmId) -> Result<(), Fault> {
        self.farms.entry(farm).or_default();
        Ok(())
    }

    fn only_farm(&mut self, or_else: FarmId) -> Result<FarmId, Fault> {
        if self.farms.is_empty() {
            self.create_farm(or_else)?;
        }
        Ok(self.farms.keys().next().copied().unwrap_or(or_else))
    }

    fn count(&self, farm: FarmId) -> Result<usize, Fault> {
        Ok(self.farm(farm)?.rows.len())
    }

    fn others_wrote(&self) -> Result<u64, Fault> {
        Ok(0)
    }

    fn load(&self, farm: FarmId, each: &mut dyn FnMut(Row)) -> Result<(), Fault> {
        self.farm(farm)?.rows.iter().cloned().for_each(each);
        Ok(())
    }

    fn append(&mut self, farm: FarmId, after: &Heads, entries: &[Entry]) -> Result<Appended, Fault> {
        all_of(farm, entries)?;
        let drawers = self.farm_mut(farm)?;
        if drawers.newest() != after.newest() {
            return Ok(Appended::Stale);
        }
        for entry in entries {
            drawers.take(entry);
        }
        Ok(Appended::Written)
    }

    fn add(&mut self, farm: FarmId, entries: &[Entry]) -> Result<usize, Fault> {
        all_of(farm, entries)?;
        let drawers = self.farm_mut(farm)?;
        Ok(entries.iter().filter(|entry| drawers.take(entry)).count())
    }

    fn blank(&mut self, farm: FarmId, digest: &Digest) -> Result<(), Fault> {
        let rows = &mut self.farm_mut(farm)?.rows;
        let row = rows
            .iter_mut()
            .find(|row| row.digest == *digest)
            .ok_or(Fault::NoSuchEntry)?;
        row.note = None;
        row.salt = None;
        Ok(())
    }

    fn put_attachment(&mut self, farm: FarmId, bytes: &[u8]) -> Result<Digest, Fault> {
        let digest = Digest::of(bytes);
        self.farm_mut(farm)?.attachments.insert(digest, bytes.to_vec());
        Ok(digest)
    }

    fn attachment(&self, farm: FarmId, digest: &Digest) -> Result<Option<Vec<u8>>, Fault> {
        Ok(self.farm(farm)?.attachments.get(digest).cloned())
    }

    fn attachments(&self, farm: FarmId) -> Result<BTreeMap<Digest, u64>, Fault> {
        let size = |bytes: &Vec<u8>| u64::try_from(bytes.len()).unwrap_or(u64::MAX);
        Ok(self
            .farm(farm)?
            .attachments
            .iter()
            .map(|(digest, bytes)| (*digest, size(bytes)))
            .collect())
    }

    fn put_person(&mut self, farm: FarmId, id: &str, person: &Person) -> Result<(), Fault> {
        self.farm_mut(farm)?.people.insert(id.to_owned(), person.clone());
        Ok(())
    }

    fn erase_person(&mut self, farm: FarmId, id: &str) -> Result<(), Fault> {
        self.farm_mut(farm)?.people.remove(id);
        Ok(())
    }

    fn people(&self, farm: FarmId) -> Result<BTreeMap<String, Person>, Fault> {
        Ok(self.farm(farm)?.people.clone())
    }

    fn put_setting(&mut self, farm: FarmId, scope: Scope, key: &str, value: &str) -> Result<(), Fault> {
        self.farm_mut(farm)?
            .settings
            .insert((scope, key.to_owned()), value.to_owned());
        Ok(())
    }

    fn setting(&self, farm: FarmId, scope: Scope, key: &str) -> Result<Option<String>, Fault> {
        Ok(self.farm(farm)?.settings.get(&(scope, key.to_owned())).cloned())
    }

    fn settings(&self, farm: FarmId, scope: Scope) -> Result<BTreeMap<String, String>, Fault> {
        let drawer = self
            .farm(farm)?
            .settings
            .iter()
            .filter(|((of, _), _)| *of == scope);
        Ok(drawer
            .map(|((_, key), value)| (key.clone(), value.clone()))
            .collect())
    }
}

/// Refuses entries of another farm.
pub(crate) fn all_of(farm: FarmId, entries: &[Entry]) -> Result<(), Fault> {
    let ours = entries.iter().all(|entry| entry.envelope.farm == farm);
    if ours { Ok(()) } else { Err(Fault::OtherFarm) }
}
