//! Books in one SQLite file.
//!
//! Written ahead (WAL) and synchronised at every commit, so that an answer means the note is on the
//! disk; freed places are overwritten, so that what was erased is gone. Several programs may have
//! the file open; a writer waits up to ten seconds for another.

pub(crate) mod drawers;
pub(crate) mod fault;
pub(crate) mod opening;

use crate::memory::all_of;
use fault::fault;
use ledger::{Appended, Digest, Entry, FarmId, Fault, Head, Heads, Person, Row, Salt, Scope, Store};
use rusqlite::types::{ToSqlOutput, ValueRef};
use rusqlite::{Connection, OptionalExtension, Transaction, TransactionBehavior, params};
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::fs::File;
use std::io::ErrorKind;
use std::path::PathBuf;

pub use opening::{Options, Synchronous};

/// A file of books, open.
#[derive(Debug)]
pub struct SqliteStore {
    pub(crate) connection: Connection,
    /// Where the log lies; nowhere on a file system that is not the system's own.
    log: Option<PathBuf>,
}

const INSERT: &str = "INSERT OR IGNORE INTO entry (farm, device, number, digest, envelope, salt, note)
     VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)";

/// The keys with the highest number of each device, found by hopping along the primary key.
const NEWEST: &str = "WITH RECURSIVE each (device) AS (
         SELECT min(device) FROM entry WHERE farm = ?1
         UNION ALL
         SELECT (SELECT min(device) FROM entry WHERE farm = ?1 AND device > each.device)
         FROM each WHERE each.device IS NOT NULL)
     SELECT each.device, entry.number, entry.digest FROM each JOIN entry
     ON entry.farm = ?1 AND entry.device = each.device
     AND entry.number = (SELECT max(number) FROM entry WHERE farm = ?1 AND device = each.device)
     ORDER BY each.device, entry.digest";

/// In the order of arrival, which is that of the pages: a walk along the index would jump about.
const LOAD: &str = "SELECT device, number, digest, envelope, salt, note
     FROM entry NOT INDEXED WHERE farm = ?1 ORDER BY rowid";

impl SqliteStore {
    fn begin(&mut self) -> Result<Transaction<'_>, Fault> {
        self.connection
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .map_err(fault)
    }

    /// Moves everything from the log into the file and empties the log: what was erased must not
    /// live on there.
    fn empty_log(&self) -> Result<(), Fault> {
        let busy: i64 = self
            .connection
            .query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |row| row.get(0))
            .map_err(fault)?;
        if busy != 0 {
            return Err(Fault::NotYetErased("somebody is reading it".into()));
        }
        // SQLite leaves it to chance whether the emptied log is still empty after a power cut.
        let synced = self
            .log
            .as_deref()
            .map(|log| File::open(log).and_then(|log| log.sync_all()));
        match synced.unwrap_or(Ok(())) {
            Err(error) if error.kind() != ErrorKind::NotFound => Err(Fault::Failed(Box::new(error))),
            _ => Ok(()),
        }
    }
}

impl Store for SqliteStore {
    fn farms(&self) -> Result<Vec<FarmId>, Fault> {
        let mut select = self
            .connection
            .prepare("SELECT id FROM farm ORDER BY id")
            .map_err(fault)?;
        let ids = select
            .query_map([], |row| row.get(0).map(FarmId::from_bytes))
            .map_err(fault)?;
        ids.collect::<Result<_, _>>().map_err(fault)
    }

    fn create_farm(&mut self, farm: FarmId) -> Result<(), Fault> {
        insert_farm(&self.connection, farm)
    }

    fn only_farm(&mut self, or_else: FarmId) -> Result<FarmId, Fault> {
        // One statement, so that of two programs only one puts its farm in.
        let first = "INSERT INTO farm (id) SELECT ?1 WHERE NOT EXISTS (SELECT 1 FROM farm)";
        self.connection
            .execute(first, [or_else.as_bytes()])
            .map_err(fault)?;
        Ok(self.farms()?.first().copied().unwrap_or(or_else))
    }

    fn count(&self, farm: FarmId) -> Result<usize, Fault> {
        let count = "SELECT count(*) FROM entry WHERE farm = ?1";
        let count: i64 = self
            .connection
            .query_row(count, [farm.as_bytes()], |row| row.get(0))
            .map_err(fault)?;
        Ok(usize::try_from(count).unwrap_or(0))
    }

    fn others_wrote(&self) -> Result<u64, Fault> {
        let mut select = self
            .connection
            .prepare_cached("PRAGMA data_version")
            .map_err(fault)?;
        let version: i64 = select.query_row([], |row| row.get(0)).map_err(fault)?;
        Ok(version.unsigned_abs())
    }

    fn load(&self, farm: FarmId, each: &mut dyn FnMut(Row)) -> Result<(), Fault> {
        known(&self.connection, farm)?;
        let mut select = self.connection.prepare_cached(LOAD).map_err(fault)?;
        let mut rows = select.query([farm.as_bytes()]).map_err(fault)?;
        while let Some(row) = rows.next().map_err(fault)? {
            each(entry_row(row, 0).map_err(fault)?);
        }
        Ok(())
    }

    fn append(&mut self, farm: FarmId, after: &Heads, entries: &[Entry]) -> Result<Appended, Fault> {
        all_of(farm, entries)?;
        let transaction = self.begin()?;
        known(&transaction, farm)?;
        if newest(&transaction, farm)? != after.newest() {
            return Ok(Appended::Stale);
        }
        insert(&transaction, farm, entries)?;
        transaction.commit().map_err(fault)?;
        Ok(Appended::Written)
    }

    fn add(&mut self, farm: FarmId, entries: &[Entry]) -> Result<usize, Fault> {
        all_of(farm, entries)?;
        let transaction = self.begin()?;
        known(&transaction, farm)?;
        let new = entries
            .iter()
            .map(|entry| take_in(&transaction, farm, entry))
            .sum::<Result<usize, _>>()?;
        transaction.commit().map_err(fault)?;
        Ok(new)
    }

    fn blank(&mut self, farm: FarmId, digest: &Digest) -> Result<(), Fault> {
        let update = "UPDATE entry SET salt = NULL, note = NULL WHERE farm = ?1 AND digest = ?2";
        let blanked = self
            .connection
            .execute(update, params![farm.as_bytes(), digest.as_bytes()])
            .map_err(fault)?;
        if blanked == 0 {
            known(&self.connection, farm)?;
            return Err(Fault::NoSuchEntry);
        }
        self.empty_log()
    }

    fn put_attachment(&mut self, farm: FarmId, bytes: &[u8]) -> Result<Digest, Fault> {
        drawers::put_attachment(&self.connection, farm, bytes)
    }

    fn attachment(&self, farm: FarmId, digest: &Digest) -> Result<Option<Vec<u8>>, Fault> {
        drawers::attachment(&self.connection, farm, digest)
    }

    fn attachments(&self, farm: FarmId) -> Result<BTreeMap<Digest, u64>, Fault> {
        drawers::attachments(&self.connection, farm)
    }

    fn put_person(&mut self, farm: FarmId, id: &str, person: &Person) -> Result<(), Fault> {
        let replaced = drawers::put_person(&mut self.connection, farm, id, person)?;
        if replaced { self.empty_log() } else { Ok(()) }
    }

    fn erase_person(&mut self, farm: FarmId, id: &str) -> Result<(), Fault> {
        drawers::erase_person(&self.connection, farm, id)?;
        self.empty_log()
    }

    fn people(&self, farm: FarmId) -> Result<BTreeMap<String, Person>, Fault> {
        drawers::people(&self.connection, farm)
    }

    fn put_setting(&mut self, farm: FarmId, scope: Scope, key: &str, value: &str) -> Result<(), Fault> {
        drawers::put_setting(&self.connection, farm, scope, key, value)
    }

    fn setting(&self, farm: FarmId, scope: Scope, key: &str) -> Result<Option<String>, Fault> {
        drawers::setting(&self.connection, farm, scope, key)
    }

    fn settings(&self, farm: FarmId, scope: Scope) -> Result<BTreeMap<String, String>, Fault> {
        drawers::settings(&self.connection, farm, scope)
    }
}

/// Makes sure that a farm is there: an empty answer must not hide a wrong question.
pub(crate) fn known(connection: &Connection, farm: FarmId) -> Result<(), Fault> {
    let mut select = connection
        .prepare_cached("SELECT 1 FROM farm WHERE id = ?1")
        .map_err(fault)?;
    let found = select
        .query_row([farm.as_bytes()], |_| Ok(()))
        .optional()
        .map_err(fault)?;
    found.ok_or(Fault::NoSuchFarm)
}

pub(crate) fn insert_farm(connection: &Connection, farm: FarmId) -> Result<(), Fault> {
    let insert = "INSERT OR IGNORE INTO farm (id) VALUES (?1)";
    connection
        .execute(insert, [farm.as_bytes()])
        .map_err(fault)
        .map(drop)
}

fn insert(transaction: &Transaction<'_>, farm: FarmId, entries: &[Entry]) -> Result<usize, Fault> {
    entries
        .iter()
        .map(|entry| insert_row(transaction, farm, &entry.to_row()))
        .sum()
}

/// Puts an entry in unless a whole copy of it, or a blanked one, is there.
fn take_in(transaction: &Transaction<'_>, farm: FarmId, entry: &Entry) -> Result<usize, Fault> {
    let row = entry.to_row();
    let new = insert_row(transaction, farm, &row)?;
    if new > 0 || is_whole(transaction, farm, &row)? {
        return Ok(new);
    }
    let delete = "DELETE FROM entry WHERE farm = ?1 AND device = ?2 AND number = ?3 AND digest = ?4";
    transaction
        .prepare_cached(delete)
        .and_then(|mut delete| delete.execute(own_key(farm, &row)))
        .map_err(fault)?;
    insert_row(transaction, farm, &row)
}

/// Whether the entry kept under the key of this one is as it was sealed.
fn is_whole(transaction: &Transaction<'_>, farm: FarmId, row: &Row) -> Result<bool, Fault> {
    let select = "SELECT device, number, digest, envelope, salt, note FROM entry
         WHERE farm = ?1 AND device = ?2 AND number = ?3 AND digest = ?4";
    let mut select = transaction.prepare_cached(select).map_err(fault)?;
    let kept = select
        .query_row(own_key(farm, row), |row| entry_row(row, 0))
        .map_err(fault)?;
    Ok(Entry::from_row(kept).is_ok())
}

fn own_key(farm: FarmId, row: &Row) -> impl rusqlite::Params {
    let number = i64::try_from(row.number).unwrap_or(i64::MAX);
    (
        *farm.as_bytes(),
        row.device.to_string(),
        number,
        *row.digest.as_bytes(),
    )
}

/// Puts a row in as it is, unless it is there, and says how many that were.
pub(crate) fn insert_row(transaction: &Transaction<'_>, farm: FarmId, row: &Row) -> Result<usize, Fault> {
    let mut insert = transaction.prepare_cached(INSERT).map_err(fault)?;
    let number = i64::try_from(row.number).expect("BUG: a chain longer than the number of its entries");
    let note = row.note.as_deref().map_or(ValueRef::Null, ValueRef::Text);
    let values = params![
        farm.as_bytes(),
        row.device.as_str(),
        number,
        row.digest.as_bytes(),
        row.envelope,
        row.salt.as_ref().map(Salt::as_bytes),
        ToSqlOutput::Borrowed(note),
    ];
    insert.execute(values).map_err(fault)
}

/// The newest keys; those under a name that no device can have are left out, as they are by whoever
/// loads them.
fn newest(connection: &Connection, farm: FarmId) -> Result<Vec<Head>, Fault> {
    let mut select = connection.prepare_cached(NEWEST).map_err(fault)?;
    let mut rows = select.query([farm.as_bytes()]).map_err(fault)?;
    let mut newest = Vec::new();
    while let Some(row) = rows.next().map_err(fault)? {
        let row = key(row, 0).map_err(fault)?;
        newest.extend(row.0.parse().ok().map(|device| Head {
            device,
            number: row.1,
            digest: row.2,
        }));
    }
    Ok(newest)
}

/// The device, number and digest in the columns from `first` on.
fn key<'a>(row: &'a rusqlite::Row<'_>, first: usize) -> rusqlite::Result<(Cow<'a, str>, u64, Digest)> {
    let device = String::from_utf8_lossy(bytes(row.get_ref(first)?));
    let digest = Digest::from_bytes(fitted(bytes(row.get_ref(first + 2)?)));
    Ok((device, number(row.get_ref(first + 1)?), digest))
}

/// The entry in the columns from `first` on.
pub(crate) fn entry_row(row: &rusqlite::Row<'_>, first: usize) -> rusqlite::Result<Row> {
    let (device, number, digest) = key(row, first)?;
    Ok(Row {
        device: device.as_ref().into(),
        number,
        digest,
        envelope: bytes(row.get_ref(first + 3)?).to_vec(),
        salt: optional(row.get_ref(first + 4)?).map(|salt| Salt::from_bytes(fitted(salt))),
        note: optional(row.get_ref(first + 5)?).map(Into::into),
    })
}

fn number(value: ValueRef<'_>) -> u64 {
    value
        .as_i64()
        .ok()
        .and_then(|number| u64::try_from(number).ok())
        .unwrap_or(0)
}

/// Whatever a column holds, as bytes: in a damaged file it need not be what the table says.
fn bytes(value: ValueRef<'_>) -> &[u8] {
    optional(value).unwrap_or_default()
}

fn optional(value: ValueRef<'_>) -> Option<&[u8]> {
    match value {
        ValueRef::Null => None,
        ValueRef::Text(bytes) | ValueRef::Blob(bytes) => Some(bytes),
        ValueRef::Integer(_) | ValueRef::Real(_) => Some(&[]),
    }
}

/// Bytes of a wrong length fail the check of the entry later; here they must only not stop the rest.
pub(crate) fn fitted<const N: usize>(bytes: &[u8]) -> [u8; N] {
    let mut fitted = [0; N];
    let length = bytes.len().min(N);
    fitted[..length].copy_from_slice(&bytes[..length]);
    fitted
}
