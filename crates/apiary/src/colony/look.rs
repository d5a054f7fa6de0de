//! A look taken into the state: what a bar's comb is known to hold, which bars of a hive were seen, jottings.
//!
//! Holds true: a look says what it says and no more. `as before` renews the day and keeps what the last look said;
//! the looks of both faces on one day are taken together, and a face that nobody looked at counts as the other; looks
//! at one comb on one day add up, and a look that says nothing of what is in a comb leaves that as it was.

use jiff::civil::Date;
use quantity::Length;

use super::state::{Comb, comb_on};
use crate::arena::{BarId, HiveId};
use crate::holding::{Holding, Hung};
use crate::note::{Fact, Note, Value};
use crate::told::Told;

/// A share of the full outline by the word of the note.
pub type Said = (&'static str, f64);

/// The last look at a hive as a whole: it may take more than one day.
#[derive(Clone, Debug)]
pub struct HiveLook {
    /// The day it began.
    pub since: Date,
    /// The last day on which bars were looked at.
    pub last: Date,
    /// The bars seen in it, in the order in which they were looked at.
    pub seen: Vec<BarId>,
    /// Where it was stopped, if it was.
    pub stopped: Option<Stopped>,
}

/// A look broken off in the middle of a hive.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stopped {
    /// The last place that was seen.
    pub after: u16,
    /// The day.
    pub day: Date,
    /// The note that says so.
    pub entry: usize,
}

/// Words kept as they came, to be written out later.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Jot {
    /// The note.
    pub entry: usize,
    /// The hive it was said of, if any.
    pub hive: Option<HiveId>,
}

/// Days from an egg to a worker (common practice gives 21): brood seen so many days apart is of two turns.
pub const WORKER_DAYS: i32 = 21;

pub(super) fn look(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    let day = told.note.day;
    let Some(bars) = fact.bars("bars") else {
        return of_the_colony(h, told);
    };
    let shows_comb = fact.choice("fault").is_some_and(|fault| fault != "none")
        || shares(fact).any(|(field, share)| share > 0.0 && !matches!(field, "empty_share" | "bees"));
    for hung in h.bars_of(bars) {
        if let Some(colony) = h.colony_at(hung.hive, hung.place) {
            h.colonies[colony].last_look = Some(day);
        }
        seen(h, hung, day);
        h.bars[hung.bar].last_look = Some(told.entry);
        if h.bars[hung.bar].comb.is_none() && !shows_comb {
            continue;
        }
        let comb = comb_on(h, told, hung.bar, Some(day));
        take(&mut h.combs[comb], told);
    }
}

/// The shares that a look says.
pub(super) fn shares(fact: &Fact) -> impl Iterator<Item = Said> + '_ {
    fact.values().iter().filter_map(|(field, value)| match value {
        Value::Share(share) => Some((*field, share.fraction())),
        _ => None,
    })
}

/// What one look said of one face, until the other's comes.
pub(crate) type Face = (Date, &'static str, Vec<Said>);

/// How the words of a look stand to those before it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Stands {
    /// They tell all that is known.
    Alone,
    /// They add to what was known.
    Beside,
    /// They say that all is as it was.
    AsBefore,
}

/// What is known of a comb while its looks are heard one by one.
struct Known<'a> {
    shares: &'a mut Vec<Said>,
    face: &'a mut Option<Face>,
    /// The day of the last look.
    last: &'a mut Option<Date>,
}

/// Takes the shares that a look says into what is known of a comb.
fn hear(known: &mut Known<'_>, fact: &Fact, day: Date) -> Stands {
    let Known { shares, face, last } = known;
    let other_face = face.take();
    let is_same_day = last.replace(day) == Some(day);
    let of_one_face = fact.choice("face");
    let says_nothing_of_it = self::shares(fact).next().is_none() && !fact.says("empty");
    let adds = fact.says("as before") || says_nothing_of_it || (is_same_day && of_one_face.is_none());
    if adds {
        for share in self::shares(fact) {
            match shares.iter_mut().find(|(field, _)| *field == share.0) {
                Some(kept) => *kept = share,
                None => shares.push(share),
            }
        }
        // A remark on one face does not end what that face is known to hold.
        **face = other_face.filter(|_| says_nothing_of_it);
        return if has_words_of_its_own(fact) {
            Stands::Beside
        } else {
            Stands::AsBefore
        };
    }
    shares.clear();
    shares.extend(self::shares(fact));
    let Some(this) = of_one_face else {
        return Stands::Alone;
    };
    **face = Some((day, this, shares.clone()));
    match other_face.filter(|(on, other, _)| *on == day && *other != this) {
        Some((_, _, other)) => {
            **shares = of_both_faces(shares, &other);
            Stands::Beside
        }
        None => Stands::Alone,
    }
}

/// What a comb was known to hold after some of its looks, heard again from their notes.
pub(super) fn shares_after<'a>(notes: &dyn Fn(usize) -> Option<&'a Note>, looks: &[usize]) -> Vec<Said> {
    let (mut shares, mut face, mut last) = (Vec::new(), None, None);
    let mut known = Known {
        shares: &mut shares,
        face: &mut face,
        last: &mut last,
    };
    for note in looks.iter().filter_map(|look| notes(*look)) {
        if note.fact.word() == "look" {
            hear(&mut known, &note.fact, note.day);
        }
    }
    shares
}

fn take(comb: &mut Comb, told: &Told<'_>) {
    let fact = told.fact();
    let day = told.note.day;
    let mut known = Known {
        shares: &mut comb.shares,
        face: &mut comb.face,
        last: &mut comb.looked_on,
    };
    let stands = hear(&mut known, fact, day);
    if fact.choice("face").is_some() {
        comb.one_face = stands == Stands::Alone;
    } else if stands == Stands::Alone {
        comb.one_face = false;
    }
    match stands {
        Stands::Alone => {
            comb.said_by.clear();
            comb.said_by.push(told.entry);
        }
        Stands::Beside => comb.said_by.push(told.entry),
        Stands::AsBefore => {}
    }
    if fact.share("drawn").is_some() {
        comb.drawn = share_of(&comb.shares, "drawn");
        comb.left = 1.0;
    }
    match fact.choice("fault") {
        Some("none") => comb.fault = None,
        Some(fault) => comb.fault = Some(super::diary::seen(told, fault)),
        None => {}
    }
    comb.last_look = Some(told.entry);
    comb.looks.push(told.entry);
    if has_worker_brood(&comb.shares) || fact.choice("eggs") == Some("seen") {
        brood_seen(comb, day);
    }
}

/// Whether a look said more than that all was as before.
fn has_words_of_its_own(fact: &Fact) -> bool {
    fact.values()
        .iter()
        .any(|(field, _)| !matches!(*field, "bars" | "as before" | "face"))
}

/// The shares of both faces together: the mean where both say it; what one face alone says is on half of the comb, but
/// for how far it is drawn, which is as far on both.
pub(super) fn of_both_faces(one: &[Said], other: &[Said]) -> Vec<Said> {
    let of_one = |(field, share): &Said| {
        let share = if *field == "drawn" { *share } else { share / 2.0 };
        (*field, share)
    };
    let mut both: Vec<Said> = one
        .iter()
        .map(|said| match share_of(other, said.0) {
            Some(beside) => (said.0, f64::midpoint(said.1, beside)),
            None => of_one(said),
        })
        .collect();
    let only_there = other.iter().filter(|(field, _)| share_of(one, field).is_none());
    both.extend(only_there.map(of_one));
    both
}

pub(super) fn share_of(shares: &[Said], wanted: &str) -> Option<f64> {
    shares
        .iter()
        .find(|(field, _)| *field == wanted)
        .map(|(_, share)| *share)
}

/// Whether shares tell of worker brood of any age.
pub fn has_worker_brood(shares: &[Said]) -> bool {
    shares
        .iter()
        .any(|(field, share)| *share > 0.0 && matches!(*field, "brood" | "sealed" | "open" | "eggs_share"))
}

/// Counts a turn of brood where what was seen cannot be what was counted last.
fn brood_seen(comb: &mut Comb, day: Date) {
    let is_another = comb
        .brood_counted
        .is_none_or(|counted| (day - counted).get_days() >= WORKER_DAYS);
    if is_another {
        comb.brood_turns = comb.brood_turns.saturating_add(1);
        comb.brood_counted = Some(day);
    }
    comb.brood_last = Some(day);
}

/// Takes a bar into the look at its hive, or begins another look with it.
fn seen(h: &mut Holding, hung: Hung, day: Date) {
    let goes_on = h.hives[hung.hive].look.as_ref().is_some_and(|look| {
        look.last == day || look.stopped.is_some_and(|stopped| hung.place > stopped.after)
    });
    let look = &mut h.hives[hung.hive].look;
    match look {
        Some(look) if goes_on => {
            look.last = day;
            if !look.seen.contains(&hung.bar) {
                look.seen.push(hung.bar);
            }
        }
        _ => {
            *look = Some(HiveLook {
                since: day,
                last: day,
                seen: vec![hung.bar],
                stopped: None,
            });
        }
    }
}

fn of_the_colony(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    let day = told.note.day;
    let Some(colony) = fact.name("colony").and_then(|name| h.colony_named(name)) else {
        return;
    };
    h.colonies[colony].last_look = Some(day);
    let Some(after) = fact.count("stopped").and_then(|place| u16::try_from(place).ok()) else {
        return;
    };
    let stopped = Some(Stopped {
        after,
        day,
        entry: told.entry,
    });
    let hive = h.colonies[colony].hive;
    match &mut h.hives[hive].look {
        Some(look) if look.last == day => look.stopped = stopped,
        look => {
            *look = Some(HiveLook {
                since: day,
                last: day,
                seen: Vec::new(),
                stopped,
            });
        }
    }
}

pub(super) fn jot(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    let hive = match fact.form {
        1 => fact.name("hive").and_then(|name| h.hive_labels.get(name)),
        2 => fact
            .bars("bars")
            .and_then(|bars| h.bars_of(bars).first().map(|hung| hung.hive)),
        _ => None,
    };
    h.jots.push(Jot {
        entry: told.entry,
        hive,
    });
}

pub(super) fn measure(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    let cell = ten_cells(fact);
    let bars = fact.bars("bars").map(|bars| h.bars_of(bars)).unwrap_or_default();
    for bar in bars {
        let comb = comb_on(h, told, bar.bar, None);
        let comb = &mut h.combs[comb];
        comb.measures.push(told.entry);
        comb.worker_cell = cell.or(comb.worker_cell);
        comb.thickness = fact.length("thickness").or(comb.thickness);
        comb.drone_share = fact.share("drones").or(comb.drone_share);
    }
}

/// The width of one cell by the ten-cell rule: the mean of the axes measured, over ten.
pub(crate) fn ten_cells(fact: &Fact) -> Option<Length> {
    let Some(Value::Readings(readings)) = fact.get("ten_cells") else {
        return None;
    };
    let lengths: Option<Vec<f64>> = readings
        .iter()
        .map(|reading| reading.length().map(Length::to_mm))
        .collect();
    let lengths = lengths.filter(|lengths| !lengths.is_empty())?;
    let mean = lengths.iter().sum::<f64>() / lengths.len() as f64;
    Length::from_mm_f64(mean / 10.0)
}
