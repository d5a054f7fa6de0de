//! Secret addresses at which the calendar program of a paired phone finds the calendar, and nothing else.
//!
//! A calendar program brings no key, so its address is the key: a long random word of which only the digest is kept,
//! beside the machines that were paired.
//!
//! Holds true: the word cannot be read back from what is kept; each machine has one at most, a new one ends the old;
//! where the machine was stopped, its address is worth nothing either.
//!
//! Start at [`make`], then [`whose`].

use ledger::Fault;
use serde_json::{Value, json};

use crate::Office;
use crate::pairing::{self, Paired};

const FEED: &str = "calendar-feed/";

/// Makes an address for a machine, in place of the one it had. `None` where there is no such machine, or it was stopped.
///
/// # Errors
/// The store's faults.
pub fn make(office: &Office, id: &str, now_ms: i64, random: &[u8; 32]) -> Result<Option<String>, Fault> {
    if !may_have(office, id)? {
        return Ok(None);
    }
    let word: String = random.iter().map(|byte| format!("{byte:02x}")).collect();
    let kept = json!({ "digest": digest(&word).to_string(), "made_ms": now_ms });
    pairing::put(office, &format!("{FEED}{id}"), &kept.to_string())?;
    Ok(Some(word))
}

/// Closes the address of a machine; gives whether it had one.
///
/// # Errors
/// The store's faults.
pub fn close(office: &Office, id: &str) -> Result<bool, Fault> {
    let had = made_ms(office, id)?.is_some();
    if had {
        pairing::put(office, &format!("{FEED}{id}"), "")?;
    }
    Ok(had)
}

/// When the address of a machine was made, in milliseconds since 1970, if it has one.
///
/// # Errors
/// The store's faults.
pub fn made_ms(office: &Office, id: &str) -> Result<Option<i64>, Fault> {
    let all = pairing::settings(office)?;
    let kept = all.get(&format!("{FEED}{id}")).and_then(|kept| read(kept));
    Ok(kept.and_then(|kept| kept["made_ms"].as_i64()))
}

/// Whose address has this word in it; nobody where it is none, was closed, or the machine was stopped.
///
/// # Errors
/// The store's faults.
pub fn whose(office: &Office, word: &str) -> Result<Option<Paired>, Fault> {
    let own = digest(word);
    let all = pairing::settings(office)?;
    // The comparison of digests takes the same time wherever they differ.
    let found = all.iter().find_map(|(name, kept)| {
        let id = name.strip_prefix(FEED)?;
        let kept = read(kept)?;
        let is_own = blake3::Hash::from_hex(kept["digest"].as_str()?).is_ok_and(|kept| kept == own);
        is_own.then(|| id.to_owned())
    });
    let Some(id) = found else {
        return Ok(None);
    };
    let list = pairing::list(office)?;
    Ok(list
        .into_iter()
        .find(|paired| paired.id == id && paired.stopped_ms.is_none()))
}

fn may_have(office: &Office, id: &str) -> Result<bool, Fault> {
    let list = pairing::list(office)?;
    Ok(list
        .iter()
        .any(|paired| paired.id == id && paired.stopped_ms.is_none()))
}

/// What is kept; what cannot be read opens nothing, which is the safe side.
fn read(kept: &str) -> Option<Value> {
    serde_json::from_str(kept).ok()
}

fn digest(word: &str) -> blake3::Hash {
    blake3::Hash::from_bytes(blake3::derive_key(
        "combwright 2026 secret address of a calendar",
        word.as_bytes(),
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Fixed;

    const NOON: i64 = 1_795_000_000_000;

    fn office() -> Office {
        let mut surroundings = Fixed::new(jiff::civil::date(2026, 11, 25).at(12, 0, 0, 0), 1);
        let office =
            Office::open(Box::new(store::MemoryStore::new()), None, &mut surroundings).expect("books");
        let code = pairing::make_code(&office, NOON, &[7; 32]).expect("a code").text;
        let said = pairing::Said {
            code: &code,
            name: "green phone",
            by: "",
        };
        let paired = pairing::pair(&office, &said, NOON, &[9; 32]).expect("no fault");
        assert!(paired.is_ok());
        office
    }

    fn is_open(office: &Office, word: &str) -> bool {
        whose(office, word).expect("no fault").is_some()
    }

    #[test]
    fn an_address_is_open_until_it_is_closed_or_made_anew() {
        let office = office();
        assert_eq!(make(&office, "d-2", NOON, &[1; 32]).expect("no fault"), None);
        let first = make(&office, "d-1", NOON, &[1; 32])
            .expect("no fault")
            .expect("a word");
        assert_eq!(first.len(), 64);
        assert_eq!(
            whose(&office, &first).expect("no fault").map(|paired| paired.id),
            Some("d-1".to_owned())
        );
        let second = make(&office, "d-1", NOON, &[2; 32])
            .expect("no fault")
            .expect("a word");
        assert!(!is_open(&office, &first) && is_open(&office, &second));
        assert!(close(&office, "d-1").expect("no fault"));
        assert!(!close(&office, "d-1").expect("no fault"), "it is closed already");
        assert!(!is_open(&office, &second) && !is_open(&office, ""));
    }

    #[test]
    fn an_address_ends_with_its_machine_and_is_not_kept_in_words() {
        let office = office();
        let word = make(&office, "d-1", NOON, &[1; 32])
            .expect("no fault")
            .expect("a word");
        let kept = format!("{:?}", pairing::settings(&office).expect("no fault"));
        assert!(!kept.contains(&word));
        assert!(pairing::stop(&office, "d-1", NOON).expect("no fault"));
        assert!(!is_open(&office, &word));
        assert_eq!(make(&office, "d-1", NOON, &[3; 32]).expect("no fault"), None);
    }
}
