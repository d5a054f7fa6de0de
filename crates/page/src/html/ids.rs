//! Ids within one document: each is given once.

use std::collections::BTreeSet;

/// The ids given so far.
pub(super) struct Ids {
    given: BTreeSet<String>,
}

impl Ids {
    pub(super) fn new(taken: &[&str]) -> Self {
        Self {
            given: taken.iter().map(|&id| id.to_owned()).collect(),
        }
    }

    /// This id, or this with the first free number behind.
    pub(super) fn give(&mut self, wish: &str) -> String {
        let mut id = wish.to_owned();
        let mut number = 2_u32;
        while !self.given.insert(id.clone()) {
            id = format!("{wish}-{number}");
            number += 1;
        }
        id
    }
}

/// The id that a heading gets, so that a link can lead to it: its letters and digits in lower case, with
/// hyphens for whatever lies between. Where two headings would get the same, the second ends in `-2`.
pub fn slug(heading: &str) -> String {
    let words = heading
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect::<Vec<_>>();
    if words.is_empty() {
        "part".to_owned()
    } else {
        words.join("-")
    }
}
