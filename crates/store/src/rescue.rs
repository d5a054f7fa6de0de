//! Saving what can be saved from a damaged file of books into a new one.
//!
//! First SQLite hands out whatever it can still reach, row by row. Then every page of the file and of
//! its log is searched for records that SQLite no longer finds ([`crate::carve`]). An entry is saved if
//! and only if its digest says that it is whole.

use crate::SqliteStore;
use crate::carve::{ATTACHMENT, ENTRY, Image, Record};
use crate::check::{ATTACHMENTS, ENTRIES, FARMS, be_number, each_row, found_keys, is_merely_new};
use crate::sqlite::fault::fault;
use crate::sqlite::opening::log_of;
use crate::sqlite::{drawers, entry_row, fitted, insert_farm, insert_row};
use ledger::{Digest, Entry, FarmId, Fault, Row, Salt, Scope};
use rusqlite::{Connection, OpenFlags, Transaction};
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

/// What was saved, and what was not.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct RescueReport {
    /// Entries saved.
    pub entries: usize,
    /// Of these, the ones that only a search of the raw pages found.
    pub carved: usize,
    /// Attachments saved.
    pub attachments: usize,
    /// Pages of the address book saved.
    pub people: usize,
    /// Settings saved.
    pub settings: usize,
    /// Entries that were there and of which no whole copy was found, as device and number.
    pub lost: Vec<(String, u64)>,
    /// What else could not be saved, in sentences.
    pub remarks: Vec<String>,
}

/// What was found, before it is written.
#[derive(Default)]
struct Found {
    farms: BTreeSet<FarmId>,
    rows: Vec<(FarmId, Row)>,
    saved: BTreeSet<Digest>,
    attachments: BTreeMap<(FarmId, Digest), Vec<u8>>,
    /// Names of entries seen in any state, by digest.
    names: BTreeMap<Digest, (String, u64)>,
}

/// Saves every whole entry of a damaged file, and whatever else can be read, into a new file. The
/// damaged one is not touched.
///
/// # Errors
/// When the damaged file cannot be read at all, or the new one cannot be made.
pub fn rescue(from: &Path, to: &Path) -> Result<RescueReport, Fault> {
    let file = std::fs::read(from).map_err(|error| Fault::Missing(Box::new(error)))?;
    let log = std::fs::read(log_of(from)).unwrap_or_default();
    let mut report = RescueReport::default();
    let mut found = Found::default();
    let mut rescued = SqliteStore::create(to)?;
    let copy = Copy::of(to, &file, &log)?;
    let connection = copy.open();
    if let Some(connection) = &connection {
        found.read(connection);
    }
    let read = found.rows.len();
    found.carve(&Image::new(&file, &log));
    report.carved = found.rows.len() - read;
    let transaction = rescued.connection.transaction().map_err(fault)?;
    found.write(&transaction, &mut report)?;
    match &connection {
        Some(connection) => save_drawers(connection, &found.farms, &transaction, &mut report)?,
        None => report
            .remarks
            .push("The address book and the settings could not be read.".to_owned()),
    }
    transaction.commit().map_err(fault)?;
    Ok(report)
}

impl Found {
    /// What SQLite can reach.
    fn read(&mut self, connection: &Connection) {
        each_row(connection, &ENTRIES, &mut |row| {
            let farm = FarmId::from_bytes(fitted(row.get_ref(0)?.as_bytes().unwrap_or_default()));
            self.take(farm, entry_row(row, 1)?);
            Ok(())
        });
        each_row(connection, &ATTACHMENTS, &mut |row| {
            let column = |at| row.get_ref(at).map(|value| value.as_bytes().unwrap_or_default());
            self.take_attachment(column(0)?, column(1)?, column(2)?.to_vec());
            Ok(())
        });
        each_row(connection, &FARMS, &mut |row| {
            self.farms.insert(FarmId::from_bytes(row.get(0)?));
            Ok(())
        });
    }

    /// What lies in the pages.
    fn carve(&mut self, image: &Image<'_>) {
        let mut blanked: BTreeSet<Digest> = BTreeSet::new();
        let mut carved: Vec<(FarmId, Row)> = Vec::new();
        image.records(ENTRY, &mut |_, record| match row_of(record) {
            Some((_, row)) if self.saved.contains(&row.digest) => true,
            Some((farm, row)) if is_whole(&row) => {
                // Of two copies, the one without words is the later one: nothing is ever unblanked.
                blanked.extend(row.note.is_none().then_some(row.digest));
                carved.push((farm, row));
                true
            }
            Some((_, row)) => {
                self.name(&row);
                false
            }
            None => false,
        });
        carved.retain(|(_, row)| row.note.is_none() || !blanked.contains(&row.digest));
        carved.into_iter().for_each(|(farm, row)| self.take(farm, row));
        image.records(ATTACHMENT, &mut |_, record| match &record[..] {
            [Some(farm), Some(digest), Some(bytes)] => self.take_attachment(farm, digest, bytes.clone()),
            _ => false,
        });
        self.names.extend(
            found_keys(image)
                .into_iter()
                .map(|(_, key)| (key.digest, key.name)),
        );
    }

    fn take(&mut self, farm: FarmId, row: Row) {
        self.name(&row);
        if is_whole(&row) && self.saved.insert(row.digest) {
            self.rows.push((farm_of(&row).unwrap_or(farm), row));
        }
    }

    fn name(&mut self, row: &Row) {
        if ledger::Device::new(&row.device).is_ok() {
            self.names
                .insert(row.digest, (row.device.to_string(), row.number));
        }
    }

    fn take_attachment(&mut self, farm: &[u8], digest: &[u8], bytes: Vec<u8>) -> bool {
        let digest = Digest::from_bytes(fitted(digest));
        let whole = Digest::of(&bytes) == digest;
        if whole {
            self.attachments
                .insert((FarmId::from_bytes(fitted(farm)), digest), bytes);
        }
        whole
    }

    fn write(&mut self, rescued: &Transaction<'_>, report: &mut RescueReport) -> Result<(), Fault> {
        self.farms.extend(self.rows.iter().map(|(farm, _)| *farm));
        for farm in &self.farms {
            insert_farm(rescued, *farm)?;
        }
        for (farm, row) in &self.rows {
            report.entries += insert_row(rescued, *farm, row)?;
        }
        for ((farm, _), bytes) in self
            .attachments
            .iter()
            .filter(|((farm, _), _)| self.farms.contains(farm))
        {
            drawers::put_attachment(rescued, *farm, bytes)?;
            report.attachments += 1;
        }
        report.lost = self.lost();
        Ok(())
    }

    /// Names that were met and of which no entry was saved. A damaged copy of an entry whose whole
    /// copy was found is no loss.
    fn lost(&self) -> Vec<(String, u64)> {
        let saved: BTreeSet<(&str, u64)> = self
            .rows
            .iter()
            .map(|(_, row)| (row.device.as_str(), row.number))
            .collect();
        let unsaved = self
            .names
            .iter()
            .filter(|(digest, _)| !self.saved.contains(digest))
            .map(|(_, name)| name);
        let lost: BTreeSet<&(String, u64)> = unsaved
            .filter(|(device, number)| !saved.contains(&(device.as_str(), *number)))
            .collect();
        lost.into_iter().cloned().collect()
    }
}

fn is_whole(row: &Row) -> bool {
    match Entry::from_row(row.clone()) {
        Ok(_) => true,
        Err((broken, row)) => is_merely_new(broken, &row),
    }
}

fn farm_of(row: &Row) -> Option<FarmId> {
    ledger::wire::decode(&row.envelope)
        .ok()
        .map(|envelope| envelope.farm)
}

fn row_of(record: Record) -> Option<(FarmId, Row)> {
    let [farm, device, number, digest, envelope, salt, note] =
        <[Option<Vec<u8>>; 7]>::try_from(record).ok()?;
    let row = Row {
        device: String::from_utf8(device?).ok()?.into(),
        number: be_number(&number?),
        digest: Digest::from_bytes(fitted(&digest?)),
        envelope: envelope?,
        salt: salt.map(|salt| Salt::from_bytes(fitted(&salt))),
        note: note.map(Into::into),
    };
    Some((FarmId::from_bytes(fitted(&farm?)), row))
}

/// People and settings bear no digest: what SQLite can read is taken as it is.
fn save_drawers(
    connection: &Connection,
    farms: &BTreeSet<FarmId>,
    rescued: &Transaction<'_>,
    report: &mut RescueReport,
) -> Result<(), Fault> {
    for &farm in farms {
        let people =
            drawers::people(connection, farm).unwrap_or_else(|_| report.unreadable("The address book"));
        for (id, person) in people {
            drawers::write_person(rescued, farm, &id, &person)?;
            report.people += 1;
        }
        for (scope, name) in [
            (Scope::Farm, "The settings of the farm"),
            (Scope::Device, "The settings of the device"),
        ] {
            let settings =
                drawers::settings(connection, farm, scope).unwrap_or_else(|_| report.unreadable(name));
            for (key, value) in settings {
                drawers::put_setting(rescued, farm, scope, &key, &value)?;
                report.settings += 1;
            }
        }
    }
    Ok(())
}

impl RescueReport {
    /// Remarks that a drawer could not be read, and gives an empty one in its place.
    fn unreadable<T: Default>(&mut self, drawer: &str) -> T {
        self.remarks.push(format!("{drawer} could not be read."));
        T::default()
    }
}

/// A copy for SQLite to read: opening the damaged file itself could change it.
struct Copy(PathBuf);

impl Copy {
    fn of(to: &Path, file: &[u8], log: &[u8]) -> Result<Self, Fault> {
        let mut name = to.as_os_str().to_owned();
        name.push("-damaged");
        let copy = Self(name.into());
        let written = std::fs::write(&copy.0, file).and_then(|()| std::fs::write(log_of(&copy.0), log));
        written.map_err(|error| Fault::Failed(Box::new(error)))?;
        Ok(copy)
    }

    fn open(&self) -> Option<Connection> {
        let connection = Connection::open_with_flags(&self.0, OpenFlags::SQLITE_OPEN_READ_WRITE).ok()?;
        let readable = connection.query_row("SELECT count(*) FROM sqlite_schema", [], |row| {
            row.get::<_, i64>(0)
        });
        readable.ok().map(|_| connection)
    }
}

impl Drop for Copy {
    fn drop(&mut self) {
        for end in ["", "-wal", "-shm", "-journal"] {
            let mut name = self.0.as_os_str().to_owned();
            name.push(end);
            // What cannot be removed is left lying about: no reason to call the rescue a failure.
            let _ = std::fs::remove_file(PathBuf::from(name));
        }
    }
}
