//! Power cuts: notes are written until the power fails at a drawn moment, and whatever was answered
//! must be there afterwards.

use ledger::{Appended, Digest, Entry, Fault, Scope, Store};
use std::path::Path;
use store::conformance::{FARM, Pen};
use store::{Options, SqliteStore, Synchronous};
use torn_vfs::Disk;

const FILE: &str = "books";
/// No run has more calls that change the disk than this; most have several hundred.
const LONGEST: u64 = 700;

/// What a run was told is safe.
#[derive(Default)]
struct Answered {
    farm: bool,
    entries: Vec<Entry>,
    /// Sealed and handed over; the power failed before the answer.
    in_doubt: Vec<Entry>,
    blanked: Vec<Digest>,
    attachments: Vec<Digest>,
    setting: Option<String>,
}

/// One life of a disk: notes, a power cut, and a look at what is left. Says which promise was broken.
pub(crate) fn cut(disk: &Disk, seed: u64, synchronous: Synchronous) -> Result<(), String> {
    disk.wipe(seed);
    let options = Options {
        synchronous,
        vfs: Some(disk.name().to_owned()),
        ..Options::default()
    };
    let mut draw = Draw(seed);
    disk.set_fault(torn_vfs::Fault::PowerCut(1 + draw.below(LONGEST)));
    let mut answered = Answered::default();
    match write(&options, &mut draw, &mut answered) {
        Err(_) if disk.is_dead() => {}
        Err(fault) => return Err(format!("the disk is well, and yet: {fault:?}")),
        Ok(()) => disk.cut_power(),
    }
    disk.power_on();
    inspect(&options, &answered)
}

/// Whether a seed is wanted for a number of runs: they are spread so that no two share any numbers.
pub(crate) const fn seed(base: u64, run: u64) -> u64 {
    base.wrapping_add(run.wrapping_mul(0x9E37_79B9_7F4A_7C15))
}

fn write(options: &Options, draw: &mut Draw, answered: &mut Answered) -> Result<(), Fault> {
    let mut store = SqliteStore::create_with(Path::new(FILE), options)?;
    store.create_farm(FARM)?;
    answered.farm = true;
    let mut pen = Pen::new(FARM, "laptop");
    for _ in 0..120 {
        match draw.below(20) {
            0 => {
                drop(store);
                store = SqliteStore::open_with(Path::new(FILE), options)?;
            }
            1 => attach(&mut store, draw, answered)?,
            2 => blank(&mut store, draw, answered)?,
            3 => {
                let value = draw.below(1_000).to_string();
                store.put_setting(FARM, Scope::Farm, "last", &value)?;
                answered.setting = Some(value);
            }
            _ => append(&mut store, &mut pen, draw, answered)?,
        }
    }
    Ok(())
}

fn append(
    store: &mut SqliteStore,
    pen: &mut Pen,
    draw: &mut Draw,
    answered: &mut Answered,
) -> Result<(), Fault> {
    let before = pen.heads.clone();
    let longest = [30, 600, 9_000][usize::try_from(draw.below(3)).unwrap_or(0)];
    let mut words = || {
        format!(
            "look alder bar {} {}",
            draw.below(24),
            "x".repeat(draw.length(longest))
        )
    };
    answered.in_doubt = vec![pen.note(&words()), pen.note(&words())];
    let written = store.append(FARM, &before, &answered.in_doubt)?;
    assert_eq!(written, Appended::Written, "nobody else writes");
    answered.entries.append(&mut answered.in_doubt);
    Ok(())
}

fn attach(store: &mut SqliteStore, draw: &mut Draw, answered: &mut Answered) -> Result<(), Fault> {
    let bytes = vec![7; 1 + draw.length(400_000)];
    answered.attachments.push(store.put_attachment(FARM, &bytes)?);
    Ok(())
}

fn blank(store: &mut SqliteStore, draw: &mut Draw, answered: &mut Answered) -> Result<(), Fault> {
    if answered.entries.is_empty() {
        return Ok(());
    }
    let digest = answered.entries[draw.length(answered.entries.len())].digest;
    // A blank that was not answered may have happened all the same.
    answered.blanked.push(digest);
    store.blank(FARM, &digest)
}

fn inspect(options: &Options, answered: &Answered) -> Result<(), String> {
    let mut store = match SqliteStore::open_with(Path::new(FILE), options) {
        Err(Fault::Missing(_) | Fault::NotBooks) if !answered.farm => return Ok(()),
        other => other.map_err(|fault| format!("cannot be opened: {fault:?}"))?,
    };
    if !answered.farm {
        store
            .create_farm(FARM)
            .map_err(|fault| format!("no farm can be made: {fault:?}"))?;
    }
    sound(options)?;
    entries_are_there(&store, answered)?;
    drawers_are_there(&store, answered)?;
    go_on_writing(&mut store)?;
    sound(options)
}

fn entries_are_there(store: &SqliteStore, answered: &Answered) -> Result<(), String> {
    let books = ledger::load(store, FARM).map_err(|fault| format!("cannot be loaded: {fault:?}"))?;
    for entry in &answered.entries {
        let place = books
            .by_digest(&entry.digest)
            .ok_or_else(|| format!("{} is lost", entry.handle()))?;
        let kept = &books.entries()[place];
        let same = kept == entry || kept.note.is_none() && answered.blanked.contains(&entry.digest);
        if !same {
            return Err(format!("{} was changed", entry.handle()));
        }
    }
    let doubtful = answered
        .in_doubt
        .iter()
        .filter(|entry| books.by_digest(&entry.digest).is_some())
        .count();
    let whole = doubtful == 0 || doubtful == answered.in_doubt.len();
    let count = answered.entries.len() + doubtful;
    let odd = books
        .problems()
        .into_iter()
        .find(|problem| !matches!(problem, ledger::Problem::Blanked { .. }));
    match odd {
        _ if !whole => Err("half of an append is there".to_owned()),
        _ if count != books.entries().len() => Err("something was never written".to_owned()),
        _ if !books.unread().is_empty() => Err("an entry cannot be read".to_owned()),
        Some(problem) => Err(format!("the chain: {problem:?}")),
        None => Ok(()),
    }
}

fn drawers_are_there(store: &SqliteStore, answered: &Answered) -> Result<(), String> {
    for digest in &answered.attachments {
        let bytes = store
            .attachment(FARM, digest)
            .map_err(|fault| format!("{fault:?}"))?;
        if bytes.map(|bytes| Digest::of(&bytes)) != Some(*digest) {
            return Err("an attachment is lost".to_owned());
        }
    }
    let setting = store
        .setting(FARM, Scope::Farm, "last")
        .map_err(|fault| format!("{fault:?}"))?;
    if answered.setting.is_some() && setting.is_none() {
        Err("a setting is lost".to_owned())
    } else {
        Ok(())
    }
}

fn go_on_writing(store: &mut SqliteStore) -> Result<(), String> {
    let books = ledger::load(store, FARM).map_err(|fault| format!("cannot be loaded: {fault:?}"))?;
    let mut pen = Pen::after(FARM, "laptop", books.heads());
    let next = pen.note("look alder bar 1");
    match store.append(FARM, books.heads(), &[next]) {
        Ok(Appended::Written) => Ok(()),
        other => Err(format!("nothing can be written: {other:?}")),
    }
}

/// SQLite's own opinion of the file.
fn sound(options: &Options) -> Result<(), String> {
    let vfs = options.vfs.as_deref().unwrap_or_default();
    let flags = rusqlite::OpenFlags::SQLITE_OPEN_READ_WRITE;
    let ask = || -> rusqlite::Result<String> {
        let connection = rusqlite::Connection::open_with_flags_and_vfs(FILE, flags, vfs)?;
        connection.query_row("PRAGMA integrity_check", [], |row| row.get(0))
    };
    match ask() {
        Ok(opinion) if opinion == "ok" => Ok(()),
        other => Err(format!("not sound: {other:?}")),
    }
}

/// Numbers of a run.
struct Draw(u64);

impl Draw {
    fn below(&mut self, limit: u64) -> u64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % limit
    }

    fn length(&mut self, limit: usize) -> usize {
        usize::try_from(self.below(u64::try_from(limit).unwrap_or(1))).unwrap_or(0)
    }
}
