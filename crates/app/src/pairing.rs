//! Which phones and other machines may see the books from beyond this one.
//!
//! Somebody at this machine makes a one-time code; whoever brings it within ten minutes gets a long random key,
//! of which only the digest is kept here. All of it lies among the settings of the device: it is about this
//! machine and its phones, not about bees, so it is no note, is not told to other devices and is in no export.
//!
//! Holds true: neither a code nor a key can be read back from what is kept; a code pairs once; a machine that
//! was stopped gets no answer from then on, whichever program stopped it.
//!
//! Start at [`make_code`], then [`pair`], [`known`].

use std::collections::BTreeMap;
use std::sync::{MutexGuard, PoisonError};

use ledger::{FarmId, Fault, Scope, Store};
use serde_json::{Value, json};

use crate::Office;

/// How long a code can be used, in milliseconds.
pub const CODE_MS: i64 = 10 * 60 * 1000;

/// How often a code may be mistyped. With fifty bits, five guesses hit once in 225 million million.
pub const MOST_TRIES: u64 = 5;

/// How long after a wrong code the next one is looked at, in milliseconds.
pub const PAUSE_MS: i64 = 1000;

/// How often it is written down that a machine was here, in milliseconds.
const SEEN_EVERY_MS: i64 = 10 * 60 * 1000;

/// Letters and figures that are not mistaken for each other: no I, no O, no 1, no 0.
const LETTERS: &[u8; 32] = b"23456789ABCDEFGHJKLMNPQRSTUVWXYZ";

/// How many of them a code has: fifty bits.
const LENGTH: usize = 10;

/// The longest name of a machine, in letters.
const LONGEST_NAME: usize = 60;

const CODE: &str = "pairing-code";
const TRIES: &str = "pairing-tries";
const PLACE: &str = "pairing-place";
const PAIRED: &str = "paired/";
const SEEN: &str = "paired-seen/";

/// A code that pairs one machine.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Code {
    /// As it is read and typed: two groups of five.
    pub text: String,
    /// Until when, in milliseconds since 1970.
    pub until_ms: i64,
}

/// A phone or another machine that was paired.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Paired {
    /// A short name that is its own, such as `d-3`.
    pub id: String,
    /// What its keeper calls it.
    pub name: String,
    /// Who writes on it: an id of the address book, or nothing.
    pub by: String,
    /// When it was paired, in milliseconds since 1970.
    pub since_ms: i64,
    /// When it last asked for something, to ten minutes.
    pub seen_ms: Option<i64>,
    /// When it was stopped, if it was.
    pub stopped_ms: Option<i64>,
}

/// Why a code does not pair.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NotPaired {
    /// No code is open: none was made, its time is over, it was used, or mistyped too often.
    NoCode,
    /// It is another one; so many tries are left.
    Wrong {
        /// How many.
        left: u64,
    },
    /// The last wrong one is too short a while ago.
    TooSoon,
    /// The machine needs a name of at most sixty letters.
    NoName,
    /// That is no id of the address book.
    NoPerson,
}

/// Who comes with a key.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Known {
    /// A machine that may see the books.
    Paired(Paired),
    /// A machine that was stopped.
    Stopped(Paired),
    /// Nobody we know.
    Nobody,
}

/// Where the pages were last served beyond this machine, for whoever wants to pair while another program serves.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Place {
    /// The name or address, and the port: `maple.local:8496`.
    pub at: String,
    /// The port.
    pub port: u16,
    /// The fingerprint of the authority.
    pub fingerprint: String,
}

type Settings = BTreeMap<String, String>;

fn drawer(office: &Office) -> (MutexGuard<'_, Box<dyn Store + Send>>, FarmId) {
    let (store, farm) = office.drawer();
    (store.lock().unwrap_or_else(PoisonError::into_inner), farm)
}

pub(crate) fn settings(office: &Office) -> Result<Settings, Fault> {
    let (store, farm) = drawer(office);
    store.settings(farm, Scope::Device)
}

/// Keeps something beside the machines that were paired.
pub(crate) fn put(office: &Office, name: &str, kept: &str) -> Result<(), Fault> {
    let (mut store, farm) = drawer(office);
    store.put_setting(farm, Scope::Device, name, kept)
}

/// Makes a code, in place of one that was open.
///
/// # Errors
/// The store's faults.
pub fn make_code(office: &Office, now_ms: i64, random: &[u8; 32]) -> Result<Code, Fault> {
    let letters: String = random[..LENGTH]
        .iter()
        .map(|byte| char::from(LETTERS[usize::from(byte % 32)]))
        .collect();
    let until_ms = now_ms + CODE_MS;
    let kept = json!({ "digest": code_digest(&letters).to_string(), "until_ms": until_ms });
    let (mut store, farm) = drawer(office);
    store.put_setting(farm, Scope::Device, CODE, &kept.to_string())?;
    let text = format!("{}-{}", &letters[..LENGTH / 2], &letters[LENGTH / 2..]);
    Ok(Code { text, until_ms })
}

/// Pairs a machine that brings the code, under a name, for a person. Gives the key that it has to bring from then
/// on; it is not kept and cannot be had again.
///
/// # Errors
/// The store's faults.
pub fn pair(
    office: &Office,
    said: &Said<'_>,
    now_ms: i64,
    random: &[u8; 32],
) -> Result<Result<String, NotPaired>, Fault> {
    let name = said.name.split_whitespace().collect::<Vec<_>>().join(" ");
    let is_odd = |letter: char| letter.is_control() || is_direction(letter);
    if name.is_empty() || name.chars().count() > LONGEST_NAME || name.chars().any(is_odd) {
        return Ok(Err(NotPaired::NoName));
    }
    let by = said.by.trim();
    if !is_person(by) {
        return Ok(Err(NotPaired::NoPerson));
    }
    // Held to the end, so that two who come at once do not both use the code.
    let (mut store, farm) = drawer(office);
    let all = store.settings(farm, Scope::Device)?;
    if let Err(not) = judge(&mut **store, farm, &all, said.code, now_ms)? {
        return Ok(Err(not));
    }
    store.put_setting(farm, Scope::Device, CODE, "")?;
    let number = all.keys().filter(|key| key.starts_with(PAIRED)).count() + 1;
    let key = hex(random);
    let kept = json!({
        "name": name, "by": by, "since_ms": now_ms, "digest": key_digest(&key).to_string(),
    });
    store.put_setting(
        farm,
        Scope::Device,
        &format!("{PAIRED}d-{number}"),
        &kept.to_string(),
    )?;
    Ok(Ok(key))
}

/// What a machine says of itself when it wants to be paired.
#[derive(Clone, Copy, Debug)]
pub struct Said<'a> {
    /// The code.
    pub code: &'a str,
    /// What it is called.
    pub name: &'a str,
    /// Who writes on it: an id of the address book, or nothing.
    pub by: &'a str,
}

/// Whether a code is the one that is open. It takes as long to say no as yes.
fn judge(
    store: &mut dyn Store,
    farm: FarmId,
    all: &Settings,
    code: &str,
    now_ms: i64,
) -> Result<Result<(), NotPaired>, Fault> {
    let open = read(all.get(CODE)).and_then(|open| {
        let until_ms = open["until_ms"].as_i64()?;
        let digest = open["digest"].as_str()?.to_owned();
        // A clock that was set back must not make a code last longer.
        (now_ms < until_ms && now_ms >= until_ms - CODE_MS).then_some(digest)
    });
    let Some(open) = open else {
        return Ok(Err(NotPaired::NoCode));
    };
    let tries = read(all.get(TRIES)).filter(|tries| tries["of"] == open.as_str());
    let wrong = tries
        .as_ref()
        .and_then(|tries| tries["wrong"].as_u64())
        .unwrap_or(0);
    let last_ms = tries.as_ref().and_then(|tries| tries["last_ms"].as_i64());
    if wrong >= MOST_TRIES {
        return Ok(Err(NotPaired::NoCode));
    }
    if last_ms.is_some_and(|last_ms| (last_ms..last_ms + PAUSE_MS).contains(&now_ms)) {
        return Ok(Err(NotPaired::TooSoon));
    }
    let letters: String = code.chars().filter(char::is_ascii_alphanumeric).collect();
    // The comparison of digests takes the same time wherever they differ.
    if blake3::Hash::from_hex(&open).is_ok_and(|open| open == code_digest(&letters.to_ascii_uppercase())) {
        return Ok(Ok(()));
    }
    let tries = json!({ "of": open, "wrong": wrong + 1, "last_ms": now_ms });
    store.put_setting(farm, Scope::Device, TRIES, &tries.to_string())?;
    let left = MOST_TRIES - wrong - 1;
    Ok(Err(if left == 0 {
        NotPaired::NoCode
    } else {
        NotPaired::Wrong { left }
    }))
}

/// Whose key that is. Where it is a paired machine's, it is remembered that it was here, if that can be written.
///
/// # Errors
/// The store's faults.
pub fn known(office: &Office, key: &str, now_ms: i64) -> Result<Known, Fault> {
    let all = settings(office)?;
    let own = key_digest(key);
    let found = all
        .iter()
        .filter(|(name, _)| name.starts_with(PAIRED))
        .find(|(_, kept)| {
            let digest = read(Some(kept)).and_then(|kept| Some(kept["digest"].as_str()?.to_owned()));
            digest.is_some_and(|digest| blake3::Hash::from_hex(digest).is_ok_and(|digest| digest == own))
        });
    let Some(paired) = found.and_then(|(name, kept)| paired(name, kept, &all)) else {
        return Ok(Known::Nobody);
    };
    if paired.stopped_ms.is_some() {
        return Ok(Known::Stopped(paired));
    }
    if paired
        .seen_ms
        .is_none_or(|seen_ms| (now_ms - seen_ms).abs() >= SEEN_EVERY_MS)
    {
        let (mut store, farm) = drawer(office);
        let name = format!("{SEEN}{}", paired.id);
        // A full disk must not lock a phone out of what it only wants to read. What it writes meets the same disk,
        // and is refused with its reason; until then the list of machines shows an older hour.
        drop(store.put_setting(farm, Scope::Device, &name, &now_ms.to_string()));
    }
    Ok(Known::Paired(paired))
}

/// How a machine that was let in stands by now.
///
/// # Errors
/// The store's faults.
pub fn now(office: &Office, id: &str) -> Result<Known, Fault> {
    let all = settings(office)?;
    let name = format!("{PAIRED}{id}");
    let found = all.get(&name).and_then(|kept| paired(&name, kept, &all));
    Ok(match found {
        Some(paired) if paired.stopped_ms.is_some() => Known::Stopped(paired),
        Some(paired) => Known::Paired(paired),
        None => Known::Nobody,
    })
}

/// All machines that were ever paired, the first one first.
///
/// # Errors
/// The store's faults.
pub fn list(office: &Office) -> Result<Vec<Paired>, Fault> {
    let all = settings(office)?;
    let mut list: Vec<Paired> = all
        .iter()
        .filter_map(|(name, kept)| paired(name, kept, &all))
        .collect();
    list.sort_by_key(|paired| (paired.since_ms, paired.id.len(), paired.id.clone()));
    Ok(list)
}

/// Stops a machine: its key is worth nothing from now on. Gives whether there was one that could be stopped.
///
/// # Errors
/// The store's faults.
pub fn stop(office: &Office, id: &str, now_ms: i64) -> Result<bool, Fault> {
    let (mut store, farm) = drawer(office);
    let name = format!("{PAIRED}{id}");
    let Some(mut kept) = read(store.setting(farm, Scope::Device, &name)?.as_ref()) else {
        return Ok(false);
    };
    if kept["stopped_ms"].is_i64() {
        return Ok(false);
    }
    kept["stopped_ms"] = json!(now_ms);
    store.put_setting(farm, Scope::Device, &name, &kept.to_string())?;
    Ok(true)
}

/// Stops all machines and closes the code that may be open; gives how many were stopped.
///
/// # Errors
/// The store's faults.
pub fn stop_all(office: &Office, now_ms: i64) -> Result<usize, Fault> {
    {
        // First, so that nobody is paired while the others are stopped.
        let (mut store, farm) = drawer(office);
        store.put_setting(farm, Scope::Device, CODE, "")?;
    }
    let mut stopped = 0;
    for paired in list(office)? {
        stopped += usize::from(stop(office, &paired.id, now_ms)?);
    }
    Ok(stopped)
}

/// Writes down where the pages are served beyond this machine.
///
/// # Errors
/// The store's faults.
pub fn remember_place(office: &Office, place: &Place) -> Result<(), Fault> {
    let kept = json!({ "at": place.at, "port": place.port, "fingerprint": place.fingerprint });
    let (mut store, farm) = drawer(office);
    store.put_setting(farm, Scope::Device, PLACE, &kept.to_string())
}

/// Where the pages were last served beyond this machine.
///
/// # Errors
/// The store's faults.
pub fn place(office: &Office) -> Result<Option<Place>, Fault> {
    let kept = read(settings(office)?.get(PLACE));
    Ok(kept.and_then(|kept| {
        Some(Place {
            at: kept["at"].as_str()?.to_owned(),
            port: u16::try_from(kept["port"].as_u64()?).ok()?,
            fingerprint: kept["fingerprint"].as_str()?.to_owned(),
        })
    }))
}

fn paired(name: &str, kept: &str, all: &Settings) -> Option<Paired> {
    let id = name.strip_prefix(PAIRED)?;
    let kept = read(Some(&kept.to_owned()))?;
    Some(Paired {
        id: id.to_owned(),
        name: kept["name"].as_str()?.to_owned(),
        by: kept["by"].as_str()?.to_owned(),
        since_ms: kept["since_ms"].as_i64()?,
        seen_ms: all.get(&format!("{SEEN}{id}")).and_then(|seen| seen.parse().ok()),
        stopped_ms: kept["stopped_ms"].as_i64(),
    })
}

/// What is kept under a name. What cannot be read pairs nobody, which is the safe side.
fn read(kept: Option<&String>) -> Option<Value> {
    serde_json::from_str(kept?).ok()
}

/// An id of the address book as notes write it, or nothing.
fn is_person(by: &str) -> bool {
    by.len() <= 40
        && by
            .bytes()
            .all(|byte| byte.is_ascii_alphanumeric() || byte == b'-')
}

/// A letter that is not seen and turns the others round: in the list a machine could pass for another.
fn is_direction(letter: char) -> bool {
    matches!(letter, '\u{61c}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{2069}' | '\u{feff}')
}

fn code_digest(letters: &str) -> blake3::Hash {
    blake3::Hash::from_bytes(blake3::derive_key(
        "combwright 2026 pairing code",
        letters.as_bytes(),
    ))
}

fn key_digest(key: &str) -> blake3::Hash {
    blake3::Hash::from_bytes(blake3::derive_key(
        "combwright 2026 key of a paired machine",
        key.as_bytes(),
    ))
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Fixed;

    const NOON: i64 = 1_795_000_000_000;

    fn office() -> Office {
        let mut surroundings = Fixed::new(jiff::civil::date(2026, 11, 25).at(12, 0, 0, 0), 1);
        Office::open(Box::new(store::MemoryStore::new()), None, &mut surroundings).expect("books")
    }

    fn code(office: &Office) -> String {
        make_code(office, NOON, &[7; 32]).expect("a code").text
    }

    fn bring(office: &Office, code: &str, now_ms: i64) -> Result<String, NotPaired> {
        let said = Said {
            code,
            name: "  green  phone ",
            by: "p-14",
        };
        pair(office, &said, now_ms, &[9; 32]).expect("no fault")
    }

    #[test]
    fn a_code_pairs_one_machine_once() {
        let office = office();
        let code = code(&office);
        assert_eq!((code.len(), &code[5..6]), (11, "-"));
        let key = bring(&office, &code.to_ascii_lowercase().replace('-', " "), NOON + 1).expect("it pairs");
        assert_eq!(key.len(), 64);
        assert_eq!(bring(&office, &code, NOON + 2), Err(NotPaired::NoCode));
        let Known::Paired(paired) = known(&office, &key, NOON + 3).expect("no fault") else {
            panic!("it is not known");
        };
        assert_eq!(
            (&*paired.id, &*paired.name, &*paired.by),
            ("d-1", "green phone", "p-14")
        );
        assert_eq!(known(&office, "", NOON).expect("no fault"), Known::Nobody);
        assert_eq!(
            known(&office, &"0".repeat(64), NOON).expect("no fault"),
            Known::Nobody
        );
    }

    #[test]
    fn neither_code_nor_key_lies_in_what_is_kept() {
        let office = office();
        let code = code(&office);
        let kept = || format!("{:?}", settings(&office).expect("no fault"));
        assert!(!kept().contains(&code) && !kept().contains(&code.replace('-', "")));
        let key = bring(&office, &code, NOON).expect("it pairs");
        assert!(!kept().contains(&key));
    }

    #[test]
    fn a_code_ends_after_ten_minutes_and_when_the_clock_is_set_back() {
        for (after_ms, pairs) in [(CODE_MS - 1, true), (CODE_MS, false), (-1, false)] {
            let office = office();
            let code = code(&office);
            assert_eq!(
                bring(&office, &code, NOON + after_ms).is_ok(),
                pairs,
                "{after_ms}"
            );
        }
    }

    #[test]
    fn five_wrong_codes_close_it() {
        let office = office();
        let code = code(&office);
        for tried in 1..=5 {
            let expected = match 5 - tried {
                0 => NotPaired::NoCode,
                left => NotPaired::Wrong { left },
            };
            let now_ms = NOON + i64::try_from(tried).expect("small") * PAUSE_MS;
            assert_eq!(bring(&office, "22222-22222", now_ms), Err(expected));
        }
        assert_eq!(bring(&office, &code, NOON + 9 * PAUSE_MS), Err(NotPaired::NoCode));
        let next = make_code(&office, NOON + 9 * PAUSE_MS, &[8; 32])
            .expect("a code")
            .text;
        assert!(
            bring(&office, &next, NOON + 9 * PAUSE_MS).is_ok(),
            "a new code begins anew"
        );
    }

    #[test]
    fn codes_are_not_tried_faster_than_one_a_second() {
        let office = office();
        let code = code(&office);
        assert_eq!(bring(&office, "x", NOON), Err(NotPaired::Wrong { left: 4 }));
        assert_eq!(
            bring(&office, &code, NOON + PAUSE_MS - 1),
            Err(NotPaired::TooSoon)
        );
        assert!(bring(&office, &code, NOON + PAUSE_MS).is_ok());
    }

    #[test]
    fn who_was_stopped_is_told_so_and_stays_on_the_list() {
        let office = office();
        let first = bring(&office, &code(&office), NOON).expect("it pairs");
        assert!(stop(&office, "d-1", NOON + 5).expect("no fault"));
        assert!(
            !stop(&office, "d-1", NOON + 6).expect("no fault"),
            "it was stopped already"
        );
        assert!(
            !stop(&office, "d-9", NOON + 6).expect("no fault"),
            "there is none"
        );
        assert!(matches!(
            known(&office, &first, NOON + 6).expect("no fault"),
            Known::Stopped(_)
        ));
        let said = Said {
            code: &code(&office),
            name: "tablet",
            by: "",
        };
        let second = pair(&office, &said, NOON, &[3; 32])
            .expect("no fault")
            .expect("it pairs");
        let list = list(&office).expect("no fault");
        let told: Vec<_> = list
            .iter()
            .map(|paired| (&*paired.id, paired.stopped_ms))
            .collect();
        assert_eq!(told, [("d-1", Some(NOON + 5)), ("d-2", None)]);
        let open = code(&office);
        assert_eq!(stop_all(&office, NOON + 7).expect("no fault"), 1);
        assert!(matches!(
            known(&office, &second, NOON + 8).expect("no fault"),
            Known::Stopped(_)
        ));
        assert_eq!(
            bring(&office, &open, NOON + 8),
            Err(NotPaired::NoCode),
            "the open code is closed"
        );
    }

    #[test]
    fn it_is_remembered_when_a_machine_was_last_here() {
        let office = office();
        let key = bring(&office, &code(&office), NOON).expect("it pairs");
        let seen = || list(&office).expect("no fault")[0].seen_ms;
        assert_eq!(seen(), None);
        for (now_ms, expected) in [
            (NOON, NOON),
            (NOON + SEEN_EVERY_MS - 1, NOON),
            (NOON + SEEN_EVERY_MS, NOON + SEEN_EVERY_MS),
        ] {
            known(&office, &key, now_ms).expect("no fault");
            assert_eq!(seen(), Some(expected));
        }
    }

    #[test]
    fn a_machine_needs_a_name_and_an_id_that_can_be_one() {
        let office = office();
        let code = code(&office);
        let pair = |name: &str, by: &str| {
            pair(
                &office,
                &Said {
                    code: &code,
                    name,
                    by,
                },
                NOON,
                &[9; 32],
            )
            .expect("no fault")
        };
        assert_eq!(pair(" ", ""), Err(NotPaired::NoName));
        assert_eq!(pair(&"x".repeat(61), ""), Err(NotPaired::NoName));
        assert_eq!(pair("ph\u{7}one", ""), Err(NotPaired::NoName));
        assert_eq!(pair("\u{202e}enohp", ""), Err(NotPaired::NoName));
        assert_eq!(pair("phone", "Ann Example"), Err(NotPaired::NoPerson));
        assert!(
            pair("phone", "").is_ok(),
            "what was wrong with the rest did not use the code up"
        );
    }
}
