//! Where the follower stands, and where it would close the hive to its combs.

use quantity::Source;
use reckon::sources;

use super::{Part, entries};

/// The follower of a colony.
#[derive(Clone, Debug)]
pub struct Followers {
    /// The places before which followers stand, on either side of the colony.
    pub at: Vec<u16>,
    /// Places behind the last comb of the colony and before its follower, without a comb.
    pub bare_behind: usize,
    /// Before which place a follower would stand right behind the last comb; none where combs reach the end.
    pub closes_at: Option<u16>,
    /// Bare places between its combs: they would stay within.
    pub gaps: Vec<u16>,
    /// Whether it is the season in which keepers close up: September to November.
    pub autumn: bool,
    /// Who says so.
    pub sources: Vec<&'static Source>,
    /// The entries of the looks at its combs.
    pub entries: Vec<usize>,
}

/// The follower of a colony.
pub fn follower(part: &Part<'_>) -> Followers {
    let hive = &part.h.hives[part.hive];
    let combs = part.combs();
    let last = combs.last().map(|(place, ..)| *place);
    let first = combs.first().map(|(place, ..)| *place);
    let behind = last.map_or(0, |last| part.to.saturating_sub(last));
    let bare: Vec<u16> = part
        .hanging()
        .into_iter()
        .filter(|hung| hung.comb.is_none())
        .map(|hung| hung.place)
        .collect();
    let within =
        |place: &&u16| first.is_some_and(|first| **place > first) && last.is_some_and(|last| **place < last);
    let at = hive.followers.iter().copied();
    Followers {
        at: at.filter(|at| *at == part.from || *at == part.to + 1).collect(),
        bare_behind: usize::from(behind),
        closes_at: last.map(|last| last + 1).filter(|at| *at <= hive.places()),
        gaps: bare.iter().filter(within).copied().collect(),
        autumn: (9..=11).contains(&part.northern(part.today).month()),
        sources: vec![&sources::KEEPERS_CALENDARS, &sources::VENDOR_ADVICE],
        entries: entries(combs.iter().filter_map(|(_, _, comb)| comb.last_look)),
    }
}
