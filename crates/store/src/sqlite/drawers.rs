//! The drawers beside the entries: attachments, people, settings.

use super::fault::fault;
use super::known;
use ledger::{Digest, FarmId, Fault, Person, Scope};
use rusqlite::{Connection, OptionalExtension, TransactionBehavior, params};
use std::collections::BTreeMap;

pub(crate) fn put_attachment(connection: &Connection, farm: FarmId, bytes: &[u8]) -> Result<Digest, Fault> {
    known(connection, farm)?;
    let digest = Digest::of(bytes);
    let insert = "INSERT OR IGNORE INTO attachment (farm, digest, bytes) VALUES (?1, ?2, ?3)";
    connection
        .execute(insert, params![farm.as_bytes(), digest.as_bytes(), bytes])
        .map_err(fault)?;
    Ok(digest)
}

pub(super) fn attachment(
    connection: &Connection,
    farm: FarmId,
    digest: &Digest,
) -> Result<Option<Vec<u8>>, Fault> {
    known(connection, farm)?;
    let select = "SELECT bytes FROM attachment WHERE farm = ?1 AND digest = ?2";
    let key = params![farm.as_bytes(), digest.as_bytes()];
    connection
        .query_row(select, key, |row| row.get(0))
        .optional()
        .map_err(fault)
}

pub(super) fn attachments(connection: &Connection, farm: FarmId) -> Result<BTreeMap<Digest, u64>, Fault> {
    known(connection, farm)?;
    let select = "SELECT digest, length(bytes) FROM attachment WHERE farm = ?1";
    let mut select = connection.prepare(select).map_err(fault)?;
    let size = |row: &rusqlite::Row<'_>| {
        Ok((
            Digest::from_bytes(row.get(0)?),
            row.get::<_, i64>(1)?.unsigned_abs(),
        ))
    };
    let rows = select.query_map([farm.as_bytes()], size).map_err(fault)?;
    rows.collect::<Result<_, _>>().map_err(fault)
}

/// Says whether there was a page before, the traces of which must go.
pub(super) fn put_person(
    connection: &mut Connection,
    farm: FarmId,
    id: &str,
    person: &Person,
) -> Result<bool, Fault> {
    known(connection, farm)?;
    let transaction = connection
        .transaction_with_behavior(TransactionBehavior::Immediate)
        .map_err(fault)?;
    let replaced = write_person(&transaction, farm, id, person)?;
    transaction.commit().map_err(fault)?;
    Ok(replaced)
}

/// Writes a page of the address book within a transaction of the caller's.
pub(crate) fn write_person(
    connection: &Connection,
    farm: FarmId,
    id: &str,
    person: &Person,
) -> Result<bool, Fault> {
    let write = || {
        let delete = "DELETE FROM person WHERE farm = ?1 AND id = ?2";
        let deleted = connection.execute(delete, params![farm.as_bytes(), id])?;
        connection.execute(
            "INSERT INTO person (farm, id) VALUES (?1, ?2)",
            params![farm.as_bytes(), id],
        )?;
        for (heading, line) in person {
            let insert = "INSERT INTO person_line (farm, id, heading, line) VALUES (?1, ?2, ?3, ?4)";
            connection.execute(insert, params![farm.as_bytes(), id, heading, line])?;
        }
        Ok(deleted > 0)
    };
    write().map_err(fault)
}

pub(super) fn erase_person(connection: &Connection, farm: FarmId, id: &str) -> Result<(), Fault> {
    known(connection, farm)?;
    let delete = "DELETE FROM person WHERE farm = ?1 AND id = ?2";
    connection
        .execute(delete, params![farm.as_bytes(), id])
        .map_err(fault)
        .map(drop)
}

pub(crate) fn people(connection: &Connection, farm: FarmId) -> Result<BTreeMap<String, Person>, Fault> {
    known(connection, farm)?;
    let select =
        "SELECT id, heading, line FROM person LEFT JOIN person_line USING (farm, id) WHERE farm = ?1";
    let mut select = connection.prepare(select).map_err(fault)?;
    let mut rows = select.query([farm.as_bytes()]).map_err(fault)?;
    let mut people = BTreeMap::<String, Person>::new();
    while let Some(row) = rows.next().map_err(fault)? {
        let person = people.entry(row.get(0).map_err(fault)?).or_default();
        if let Some(heading) = row.get(1).map_err(fault)? {
            person.insert(heading, row.get(2).map_err(fault)?);
        }
    }
    Ok(people)
}

pub(crate) fn put_setting(
    connection: &Connection,
    farm: FarmId,
    scope: Scope,
    key: &str,
    value: &str,
) -> Result<(), Fault> {
    known(connection, farm)?;
    let upsert = format!(
        "INSERT INTO {} (farm, key, value) VALUES (?1, ?2, ?3)
         ON CONFLICT (farm, key) DO UPDATE SET value = excluded.value",
        table(scope)
    );
    connection
        .execute(&upsert, params![farm.as_bytes(), key, value])
        .map_err(fault)
        .map(drop)
}

pub(super) fn setting(
    connection: &Connection,
    farm: FarmId,
    scope: Scope,
    key: &str,
) -> Result<Option<String>, Fault> {
    known(connection, farm)?;
    let select = format!("SELECT value FROM {} WHERE farm = ?1 AND key = ?2", table(scope));
    connection
        .query_row(&select, params![farm.as_bytes(), key], |row| row.get(0))
        .optional()
        .map_err(fault)
}

pub(crate) fn settings(
    connection: &Connection,
    farm: FarmId,
    scope: Scope,
) -> Result<BTreeMap<String, String>, Fault> {
    known(connection, farm)?;
    let select = format!("SELECT key, value FROM {} WHERE farm = ?1", table(scope));
    let mut select = connection.prepare(&select).map_err(fault)?;
    let rows = select
        .query_map([farm.as_bytes()], |row| Ok((row.get(0)?, row.get(1)?)))
        .map_err(fault)?;
    rows.collect::<Result<_, _>>().map_err(fault)
}

const fn table(scope: Scope) -> &'static str {
    match scope {
        Scope::Farm => "farm_setting",
        Scope::Device => "device_setting",
    }
}
