//! Bait boxes and swarms called about: which wait for somebody.
//!
//! Holds true: a box waits to be looked into while it stands, its bees were not taken since it was last set or looked
//! into, and swarms may fly; a call waits until the swarm was taken.
//!
//! Does not: know whether a swarm still hangs where somebody saw it.

use jiff::ToSpan as _;
use jiff::civil::Date;

use super::diary::{Bait, Call, Seen};
use super::spacing::spacing;
use crate::holding::Holding;

/// A bait box is looked into again after so many days (common practice, no source: bees who moved in build comb and
/// fix it within days, and are moved best before that).
pub const LOOKED_INTO_WITHIN: i32 = 7;

/// A call is told as waiting for so many days (from memory: a swarm mostly hangs for hours, seldom for more than two or
/// three days).
pub const CALL_WAITS: i32 = 3;

/// Whether colonies may swarm on this day, in one of the yards at least; without a yard, north of the equator.
pub fn time_of_swarms(h: &Holding, day: Date) -> bool {
    let mut yards = h.ground.yards.iter().filter(|(_, yard)| !yard.closed).peekable();
    if yards.peek().is_none() {
        return spacing(day, false).swarms;
    }
    yards.any(|(id, _)| spacing(day, h.diary.southern.contains(&id)).swarms)
}

/// What was seen or done at a bait box since it was last set out.
pub fn since_set<'a, T>(bait: &Bait, seen: &'a Option<Seen<T>>) -> Option<&'a Seen<T>> {
    let set = bait.set.as_ref().map(|set| set.day);
    seen.as_ref().filter(|seen| set.is_none_or(|set| seen.day >= set))
}

/// By which day a bait box is to be looked into; nothing where no bees are waited for.
pub fn look_by(bait: &Bait) -> Option<Date> {
    if bait.removed.is_some() {
        return None;
    }
    let set = bait.set.as_ref().map(|seen| seen.day);
    let last = set.max(bait.checked.as_ref().map(|seen| seen.day))?;
    let taken = bait.taken.as_ref().map(|seen| seen.day);
    if taken.is_some_and(|taken| taken >= last) {
        return None;
    }
    last.checked_add(LOOKED_INTO_WITHIN.days()).ok()
}

/// Bait boxes that wait to be looked into, those that waited longest first.
pub fn to_look_into(h: &Holding, day: Date) -> Vec<(Date, &Bait)> {
    if !time_of_swarms(h, day) {
        return Vec::new();
    }
    let baits = h.diary.baits.iter();
    let mut waiting: Vec<(Date, &Bait)> = baits.filter_map(|bait| Some((look_by(bait)?, bait))).collect();
    waiting.sort_by_key(|(by, _)| *by);
    waiting
}

/// Swarms that somebody called about in the last days and that no note says were taken.
pub fn calls_open(h: &Holding, day: Date) -> Vec<&Call> {
    let waits = |call: &&Call| {
        let called = call.called.as_ref().filter(|_| call.taken.is_none());
        called.is_some_and(|called| (0..=CALL_WAITS).contains(&(day - called.day).get_days()))
    };
    h.diary.calls.iter().filter(waits).collect()
}
