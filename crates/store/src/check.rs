//! Looking a file of books over: is every entry as it was sealed, every chain whole, every page sound?

use crate::carve::{ENTRY_KEY, Image, Record};
use crate::sqlite::fault::fault;
use crate::sqlite::opening::log_of;
use crate::sqlite::{SqliteStore, entry_row, fitted};
use ledger::{Books, Broken, Digest, Entry, FarmId, Fault, Problem, Row};
use rusqlite::Connection;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt;
use std::path::Path;

/// What a look at a file has found.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct CheckReport {
    /// How many entries are whole.
    pub entries: usize,
    /// What is not as it should be.
    pub findings: Vec<Finding>,
}

/// Something that is not as it should be.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Finding {
    /// An entry was changed, or cannot be read.
    Entry {
        /// Whose chain.
        device: String,
        /// Which of its entries.
        number: u64,
        /// What is wrong with it; nothing, if there is nothing left of it.
        broken: Option<Broken>,
    },
    /// An attachment was changed, or cannot be read.
    Attachment(Digest),
    /// A page of the file was changed; what lies there is not known.
    Page {
        /// The number of the page, from 1.
        page: u64,
        /// What SQLite says of it.
        says: String,
    },
    /// Something else about the file.
    File(String),
    /// Something odd about the chains. It need not be damage: two telephones can do it.
    Chain(String),
}

impl CheckReport {
    /// Whether the file is as it was written. Odd chains do not count: they may have been written so.
    #[must_use]
    pub fn is_sound(&self) -> bool {
        self.findings
            .iter()
            .all(|finding| matches!(finding, Finding::Chain(_)))
    }
}

impl Finding {
    fn entry(name: &(String, u64), broken: Option<Broken>) -> Self {
        let (device, number) = name.clone();
        Self::Entry {
            device,
            number,
            broken,
        }
    }

    fn index_page(page: u64) -> Self {
        Self::Page {
            page,
            says: "the index of entries was changed".to_owned(),
        }
    }
}

impl fmt::Display for Finding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Entry {
                device,
                number,
                broken: Some(broken),
            } => write!(f, "{device}/{number}: {broken}."),
            Self::Entry {
                device,
                number,
                broken: None,
            } => write!(f, "{device}/{number} cannot be read."),
            Self::Attachment(digest) => {
                write!(f, "Attachment {} was changed or cannot be read.", digest.short())
            }
            Self::Page { page, says } => write!(f, "Page {page} of the file is damaged: {says}."),
            Self::File(says) => write!(f, "The file is damaged: {says}."),
            Self::Chain(says) => f.write_str(says),
        }
    }
}

/// Looks a file of books over, without changing it.
///
/// # Errors
/// When there is no such file, or it is of a newer version. A file that is damaged, however badly, is
/// no fault but a finding.
pub fn check(path: &Path) -> Result<CheckReport, Fault> {
    let mut report = CheckReport::default();
    match SqliteStore::open_read_only(path) {
        Ok(store) => look(&store.connection, path, &mut report),
        Err(fault @ (Fault::Missing(_) | Fault::TooNew { .. } | Fault::Locked(_) | Fault::ReadOnly(_))) => {
            return Err(fault);
        }
        Err(fault) => report.findings.push(Finding::File(fault.to_string())),
    }
    Ok(report)
}

fn look(connection: &Connection, path: &Path, report: &mut CheckReport) {
    let mut farms: BTreeMap<FarmId, Books> = BTreeMap::new();
    let mut loaded: BTreeMap<Digest, Key> = BTreeMap::new();
    each_row(connection, &ENTRIES, &mut |row| {
        let farm = FarmId::from_bytes(fitted(row.get_ref(0)?.as_bytes().unwrap_or_default()));
        let place = row.get("place")?;
        let row = entry_row(row, 1)?;
        let name = (row.device.to_string(), row.number);
        loaded.insert(
            row.digest,
            Key {
                farm,
                name,
                digest: row.digest,
                place,
            },
        );
        look_at_entry(farm, farms.entry(farm).or_default(), row, report);
        Ok(())
    });
    let file = std::fs::read(path).unwrap_or_default();
    let log = std::fs::read(log_of(path)).unwrap_or_default();
    let keys = found_keys(&Image::new(&file, &log));
    look_at_index(&keys, &loaded, report);
    look_at_attachments(connection, report);
    look_at_pages(connection, report);
    name_missing_keys(&keys, &loaded, report);
    for books in farms.values() {
        let odd = books.problems().into_iter();
        let odd = odd.filter(|problem| !matches!(problem, Problem::Blanked { .. } | Problem::Unread { .. }));
        report
            .findings
            .extend(odd.map(|problem| Finding::Chain(problem.says(books))));
    }
}

fn look_at_entry(farm: FarmId, books: &mut Books, row: Row, report: &mut CheckReport) {
    let name = own_name(&row);
    let mut tell = |broken| report.findings.push(Finding::entry(&name, Some(broken)));
    match Entry::from_row(row) {
        Ok(entry) if entry.envelope.farm != farm => tell(Broken::Key),
        Ok(entry) => {
            report.entries += 1;
            books.add(entry);
        }
        Err((broken, row)) => {
            // A newer version's entry is whole, as far as anybody can tell.
            if !is_merely_new(broken, &row) {
                tell(broken);
            }
            books.keep_unread(broken, *row);
        }
    }
}

pub(crate) fn is_merely_new(broken: Broken, row: &Row) -> bool {
    let is_new = matches!(broken, Broken::Undecodable(_)) && i64::try_from(row.number).is_ok();
    is_new && Digest::of(&row.envelope) == row.digest
}

/// The name of a damaged entry: the one in its envelope if that is whole, else the one in its key.
fn own_name(row: &Row) -> (String, u64) {
    let whole = Digest::of(&row.envelope) == row.digest;
    match ledger::wire::decode(&row.envelope) {
        Ok(envelope) if whole => (envelope.device.to_string(), envelope.number),
        _ => (row.device.to_string(), row.number),
    }
}

/// The key of an entry, as its row or the index has it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Key {
    farm: FarmId,
    pub(crate) name: (String, u64),
    pub(crate) digest: Digest,
    place: i64,
}

/// Holds the index of entries against the entries. A key without its entry is a loss, unless the
/// entry is there and only the key was changed; then the page of the key is named.
fn look_at_index(keys: &[(Option<u64>, Key)], loaded: &BTreeMap<Digest, Key>, report: &mut CheckReport) {
    let names: BTreeSet<&(String, u64)> = loaded.values().map(|key| &key.name).collect();
    for (page, key) in keys {
        let finding = match loaded.get(&key.digest) {
            Some(loaded) if loaded == key => continue,
            Some(loaded) => Finding::entry(&loaded.name, Some(Broken::Key)),
            None if !names.contains(&key.name) => Finding::entry(&key.name, None),
            None => Finding::index_page(page.unwrap_or(0)),
        };
        if !report.findings.contains(&finding) {
            report.findings.push(finding);
        }
    }
}

/// Where SQLite misses the key of a row in the index, the page is named where the key should be: that
/// of the nearest key of the same device.
fn name_missing_keys(keys: &[(Option<u64>, Key)], loaded: &BTreeMap<Digest, Key>, report: &mut CheckReport) {
    let by_place: BTreeMap<i64, &Key> = loaded.values().map(|key| (key.place, key)).collect();
    for finding in &mut report.findings {
        let Finding::File(says) = &*finding else {
            continue;
        };
        let words: Vec<&str> = says.split(' ').collect();
        let [
            "row",
            place,
            "missing",
            "from",
            "index",
            "sqlite_autoindex_entry_1",
        ] = words[..]
        else {
            continue;
        };
        let missing = place.parse().ok().and_then(|place: i64| by_place.get(&place));
        let near = missing.and_then(|missing| {
            let same = keys.iter().filter(|(_, key)| key.name.0 == missing.name.0);
            same.min_by_key(|(_, key)| key.name.1.abs_diff(missing.name.1))
        });
        if let Some((Some(page), _)) = near {
            *finding = Finding::index_page(*page);
        }
    }
}

/// The keys of all entries, from whatever is left of the index, with the pages they lie on.
pub(crate) fn found_keys(image: &Image<'_>) -> Vec<(Option<u64>, Key)> {
    let mut keys = Vec::new();
    image.records(ENTRY_KEY, &mut |page, record| {
        let key = key_of(&record).filter(|key| ledger::Device::new(&key.name.0).is_ok());
        let is_key = key.is_some();
        keys.extend(key.map(|key| (page, key)));
        is_key
    });
    keys
}

fn key_of(record: &Record) -> Option<Key> {
    let [Some(farm), Some(device), Some(number), Some(digest), Some(place)] = &record[..] else {
        return None;
    };
    Some(Key {
        farm: FarmId::from_bytes(fitted(farm)),
        name: (String::from_utf8_lossy(device).into_owned(), be_number(number)),
        digest: Digest::from_bytes(fitted(digest)),
        place: i64::try_from(be_number(place)).ok()?,
    })
}

pub(crate) fn be_number(bytes: &[u8]) -> u64 {
    bytes
        .iter()
        .take(8)
        .fold(0, |number, byte| number << 8 | u64::from(*byte))
}

fn look_at_attachments(connection: &Connection, report: &mut CheckReport) {
    let mut changed = Vec::new();
    let lost = each_row(connection, &ATTACHMENTS, &mut |row| {
        let digest = Digest::from_bytes(fitted(row.get_ref(1)?.as_bytes().unwrap_or_default()));
        let bytes = row.get_ref(2)?;
        if Digest::of(bytes.as_bytes().unwrap_or_default()) != digest {
            changed.push(Finding::Attachment(digest));
        }
        Ok(())
    });
    report.findings.append(&mut changed);
    if lost > 0 {
        report
            .findings
            .push(Finding::File(format!("{lost} attachments cannot be read")));
    }
}

/// SQLite's own look at the tree of pages.
fn look_at_pages(connection: &Connection, report: &mut CheckReport) {
    let ask = || -> rusqlite::Result<Vec<String>> {
        let mut check = connection.prepare("PRAGMA integrity_check")?;
        check.query_map([], |row| row.get(0))?.collect()
    };
    match ask() {
        Ok(says) => {
            let lines = says
                .iter()
                .flat_map(|says| says.lines())
                .filter(|line| *line != "ok");
            report
                .findings
                .extend(lines.filter(|line| !line.starts_with("***")).map(finding));
        }
        Err(error) => report.findings.push(Finding::File(fault(error).to_string())),
    }
}

/// `Tree 4 page 78: says`, `Page 16: says`, or anything else.
fn finding(line: &str) -> Finding {
    let lower = line.to_ascii_lowercase();
    let number = lower
        .split_once("page ")
        .map(|(_, rest)| rest.split(|c: char| !c.is_ascii_digit()).next());
    let page = number.flatten().and_then(|digits| digits.parse().ok());
    let says = line.split_once(": ").map_or(line, |(_, says)| says).to_owned();
    page.map_or(Finding::File(line.to_owned()), |page| Finding::Page {
        page,
        says,
    })
}

/// A table to be walked row by row.
pub(crate) struct Table {
    name: &'static str,
    columns: &'static str,
}

pub(crate) const ENTRIES: Table = Table {
    name: "entry",
    columns: "farm, device, number, digest, envelope, salt, note",
};
pub(crate) const ATTACHMENTS: Table = Table {
    name: "attachment",
    columns: "farm, digest, bytes",
};
pub(crate) const FARMS: Table = Table {
    name: "farm",
    columns: "id",
};

/// Walks a table in the order of its rows; where the way is blocked, tries each row by itself. Says
/// how many rows there may be that could not be read.
pub(crate) fn each_row(
    connection: &Connection,
    table: &Table,
    each: &mut dyn FnMut(&rusqlite::Row<'_>) -> rusqlite::Result<()>,
) -> usize {
    let Table { name, columns } = table;
    let mut last = 0;
    let all = format!("SELECT {columns}, rowid AS place FROM {name} NOT INDEXED ORDER BY rowid");
    let walked = walk(connection, &all, None, &mut |row| {
        each(row)?;
        last = row.get("place")?;
        Ok(())
    });
    if walked.is_ok() {
        return 0;
    }
    let end = connection
        .query_row(&format!("SELECT max(rowid) FROM {name}"), [], |row| row.get(0))
        .unwrap_or(last);
    let one = format!("SELECT {columns}, rowid AS place FROM {name} WHERE rowid = ?1");
    (last + 1..=end)
        .filter(|&place| walk(connection, &one, Some(place), each).is_err())
        .count()
}

fn walk(
    connection: &Connection,
    select: &str,
    place: Option<i64>,
    each: &mut dyn FnMut(&rusqlite::Row<'_>) -> rusqlite::Result<()>,
) -> rusqlite::Result<()> {
    let mut select = connection.prepare_cached(select)?;
    let mut rows = select.query(rusqlite::params_from_iter(place))?;
    while let Some(row) = rows.next()? {
        each(row)?;
    }
    Ok(())
}
