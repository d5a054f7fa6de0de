//! Answers about hives: what hangs where, who lives there, what looks ripe.

mod ages;
mod looks;
mod strength;

use jiff::civil::Date;
use ledger::Books;

pub use ages::{CombAge, RENEW_TURNS, RENEW_YEARS, Rule, ages};
pub use looks::{
    BarChange, Change, LifeRow, LookChanges, Notes, Unfinished, changes, life, look_days, unfinished,
};
pub use strength::{BarStrength, PartStrength, strengths};
pub(super) use strength::{honey_kg, most_honey_kg};

use super::look::share_of;
use super::meaning::{Aside, asides};
use super::state::Comb;
use crate::arena::{CombId, HiveId};
use crate::holding::Holding;
use crate::note::{Fact, read};

/// What is known of a comb in numbers, each a share of one.
#[derive(Clone, Debug, PartialEq)]
pub struct Contents {
    /// How far it was drawn when last said, of the full outline.
    pub drawn: Option<f64>,
    /// What is left of it after part was cut, of what was drawn.
    pub left: f64,
    /// The shares of the full outline that the last look said, by the words of the note.
    pub shares: Vec<(&'static str, f64)>,
}

/// One place of a hive on a day.
#[derive(Clone, Debug)]
pub struct BarRow {
    /// The place, counted from the entrance end.
    pub place: u16,
    /// The tag of the bar.
    pub tag: Option<String>,
    /// The colony whose place it is.
    pub colony: Option<String>,
    /// The day the comb was first seen drawn; unknown for combs older than the books, or where none hangs.
    pub comb_since: Option<Date>,
    /// Whether a comb hangs there.
    pub has_comb: bool,
    /// What the last look said of it, in the words of the note.
    pub contents: Option<String>,
    /// The comb that hangs there, in numbers.
    pub comb: Option<Contents>,
    /// The comb itself, in the holding.
    pub comb_id: Option<CombId>,
    /// A fault found and not yet mended.
    pub fault: Option<&'static str>,
    /// The entry of the last look; of a bare bar too, where one looked at it bare.
    pub look: Option<usize>,
    /// The day of the last look.
    pub looked_on: Option<Date>,
    /// Whether that look was before the colony came that lives there now: bees and brood it told are not among
    /// [`Self::comb`]'s shares.
    pub of_another: bool,
}

/// What tells of bees and brood in a look, by the words of the note.
pub(super) const OF_BEES: [&str; 6] = ["brood", "sealed", "open", "eggs_share", "drones", "bees"];

/// Whether the last look at a comb told of another colony's bees and brood: it hung there before the one that lives
/// there now came, and nobody has looked at it since.
pub fn is_of_another(h: &Holding, hive: HiveId, place: u16, comb: &Comb) -> bool {
    let Some(colony) = h.colony_at(hive, place) else {
        return false;
    };
    let since = h.colonies[colony].since;
    was_before(comb, hive, since) && comb.looked_on.is_some_and(|day| day < since)
}

/// Whether a comb hung in a hive before a day.
pub(super) fn was_before(comb: &Comb, hive: HiveId, day: Date) -> bool {
    let here = comb.moved.iter().rev().take_while(|hung| hung.hive == hive);
    here.last().is_some_and(|came| came.day < day)
}

/// The bar map of a hive; what the last look said is read again from its note.
pub fn bars(h: &Holding, books: &Books, hive: HiveId) -> Vec<BarRow> {
    // Looked up once: a farm of many years has more colonies than a hive has bars.
    let living: Vec<_> = h
        .living_in(hive)
        .map(|colony| (h.range(colony), colony))
        .collect();
    let at = |place: u16| {
        let last = living.iter().rfind(|((from, _), _)| *from <= place);
        last.filter(|((_, to), _)| place <= *to)
            .map(|(_, colony)| *colony)
    };
    let rows = h.hives[hive].bars.iter().zip(1u16..).map(|(bar, place)| {
        let bar = &h.bars[*bar];
        let comb_id = bar.comb;
        let comb = comb_id.map(|comb| &h.combs[comb]);
        let look = comb.map_or(bar.last_look, |comb| comb.last_look);
        let of_another = comb.is_some_and(|comb| is_of_another(h, hive, place, comb));
        let contents = comb
            .and_then(|comb| contents(books, comb))
            .map(|said| match at(place) {
                Some(colony) if of_another => format!("before {} came: {said}", h.colonies[colony].label),
                _ => said,
            });
        BarRow {
            place,
            tag: bar.tag.as_ref().map(ToString::to_string),
            colony: at(place).map(|colony| h.colonies[colony].label.to_string()),
            comb_since: comb.and_then(|comb| comb.since),
            has_comb: comb.is_some(),
            contents,
            comb: comb.map(|comb| {
                let mut shares = shares_with_empty(books, comb);
                shares.retain(|(field, _)| !(of_another && OF_BEES.contains(field)));
                Contents {
                    drawn: comb.drawn,
                    left: comb.left,
                    shares,
                }
            }),
            comb_id,
            fault: comb.and_then(|comb| Some(comb.fault.as_ref()?.what)),
            look,
            looked_on: look.map(|look| books.entries()[look].envelope.day),
            of_another,
        }
    });
    rows.collect()
}

/// The shares of a comb; one said to be empty without a share is empty as far as it is drawn.
fn shares_with_empty(books: &Books, comb: &Comb) -> Vec<(&'static str, f64)> {
    let mut shares = comb.shares.clone();
    let says_empty = |look: &usize| {
        let note = books.entries()[*look].note.as_deref();
        note.and_then(|note| read(note).ok())
            .is_some_and(|note| note.fact.says("empty"))
    };
    if let Some(drawn) = comb.drawn.filter(|drawn| *drawn > 0.0)
        && comb.said_by.last().is_some_and(says_empty)
    {
        shares.push(("empty_share", drawn));
    }
    shares
}

fn contents(books: &Books, comb: &Comb) -> Option<String> {
    let drawn = || comb.drawn.map(|drawn| format!("drawn {:.0} %", drawn * 100.0));
    let words: Vec<String> = comb
        .said_by
        .iter()
        .filter_map(|look| said_of_a_bar(books.entries()[*look].note.as_deref()?))
        .collect();
    let said = (!words.is_empty()).then(|| words.join("; ")).or_else(drawn);
    if comb.left < 1.0 {
        let left = format!("{:.0} % of the comb left after cutting", comb.left * 100.0);
        return Some(said.map_or(left.clone(), |said| format!("{said}; {left}")));
    }
    said
}

/// What a look said of its bars, without the bars; nothing where it said only that all was as before.
fn said_of_a_bar(note: &str) -> Option<String> {
    let said = said_of_fact(&read(note).ok()?.fact)?;
    let rest = said.strip_prefix("as before").unwrap_or(&said).trim();
    (!rest.is_empty()).then(|| rest.to_owned())
}

/// What a fact says of its bars, without its verb and the bars.
fn said_of_fact(fact: &Fact) -> Option<String> {
    let said = fact.to_string();
    let bars = fact.bars("bars")?.to_string();
    let rest = said
        .strip_prefix(fact.word())?
        .trim_start()
        .strip_prefix(bars.as_str())?
        .trim();
    (!rest.is_empty()).then(|| rest.to_owned())
}

/// A hive as a row of its yard.
#[derive(Clone, Debug)]
pub struct HiveRow {
    /// The hive.
    pub hive: String,
    /// Its yard; a store has none.
    pub yard: Option<String>,
    /// Its pattern.
    pub pattern: Option<String>,
    /// How many places it has.
    pub places: u16,
    /// How many combs hang in it.
    pub combs: usize,
    /// Who lives there, from the entrance inwards, with the day each colony began.
    pub colonies: Vec<(String, Date)>,
    /// The last day that one of them was looked at.
    pub last_look: Option<Date>,
    /// Kept apart.
    pub quarantined: bool,
}

/// All hives that are still there, in the order in which they were made known; stores last.
pub fn yard(h: &Holding) -> Vec<HiveRow> {
    let there = |store: bool| {
        h.hives
            .iter()
            .filter(move |(_, hive)| !hive.gone && hive.is_store() == store)
    };
    there(false)
        .chain(there(true))
        .map(|(id, _)| hive_row(h, id))
        .collect()
}

fn hive_row(h: &Holding, id: HiveId) -> HiveRow {
    let hive = &h.hives[id];
    let colonies: Vec<_> = h.living_in(id).map(|colony| &h.colonies[colony]).collect();
    HiveRow {
        hive: hive.label.to_string(),
        yard: hive.yard.map(|yard| h.ground.yards[yard].label.to_string()),
        pattern: hive
            .pattern
            .map(|pattern| h.ground.patterns[pattern].label.to_string()),
        places: hive.places(),
        combs: hive
            .bars
            .iter()
            .filter(|bar| h.bars[**bar].comb.is_some())
            .count(),
        last_look: colonies.iter().filter_map(|colony| colony.last_look).max(),
        colonies: colonies
            .into_iter()
            .map(|colony| (colony.label.to_string(), colony.since))
            .collect(),
        quarantined: hive.quarantined,
    }
}

/// A comb that looks ripe.
#[derive(Clone, Debug)]
pub struct Ripe {
    /// The hive.
    pub hive: String,
    /// Its place there.
    pub place: u16,
    /// The share that was capped, of what is drawn.
    pub capped: f64,
    /// The entry of the look that says so.
    pub look: usize,
    /// Whether that it holds no brood was told; else nothing was said of brood.
    pub brood_told: bool,
    /// The hive by its number.
    pub id: HiveId,
    /// The comb by its number.
    pub comb: CombId,
}

impl Ripe {
    /// Why it is set aside; none for one that may be taken after winter's share.
    pub fn asides(&self, h: &Holding, today: Date, notes: Notes<'_, '_>) -> Vec<Aside> {
        asides(h, self.id, &h.combs[self.comb], today, notes)
    }
}

/// How much of a drawn comb must be capped before it counts as ripe (common practice, no source).
pub const RIPE_CAPPED: f64 = 0.75;

/// Combs that were last seen capped for at least three quarters of what is drawn, and without brood. One that
/// was cut in part since is left out until it is looked at again. Those to be set aside are among them; [`Ripe::asides`] tells why.
pub fn ripe(h: &Holding) -> Vec<Ripe> {
    let mut out = Vec::new();
    for (id, hive) in h.hives.iter().filter(|(_, hive)| !hive.gone && !hive.is_store()) {
        for (bar, place) in hive.bars.iter().zip(1u16..) {
            let Some(comb_id) = h.bars[*bar].comb else {
                continue;
            };
            let comb = &h.combs[comb_id];
            if let (Some(capped), Some(look)) = (ripeness(comb), comb.last_look) {
                out.push(Ripe {
                    hive: hive.label.to_string(),
                    place,
                    capped,
                    look,
                    brood_told: is_brood_told(comb),
                    id,
                    comb: comb_id,
                });
            }
        }
    }
    out
}

/// The share of a comb that was capped, of what is drawn, where that makes it ripe.
pub(super) fn ripeness(comb: &Comb) -> Option<f64> {
    let share = |field| share_of(&comb.shares, field);
    let brood = ["brood", "sealed", "open", "drones", "eggs_share"]
        .into_iter()
        .filter_map(share)
        .any(|share| share > 0.0);
    let drawn = comb.drawn.filter(|drawn| *drawn > 0.0)?;
    let capped = share("capped")? / drawn;
    let whole = comb.left >= 1.0;
    // Eggs may be told in a word; and of one face alone the other's brood is not known.
    let eggs = comb.looked_on.is_some() && comb.brood_last == comb.looked_on;
    (whole && !brood && !eggs && !comb.one_face && capped >= RIPE_CAPPED).then_some(capped.min(1.0))
}

/// Whether the looks told that a comb holds no brood: in so many words, or since all that is drawn holds other things.
pub(super) fn is_brood_told(comb: &Comb) -> bool {
    let share = |field| share_of(&comb.shares, field);
    let said = ["brood", "sealed", "open", "eggs_share"]
        .into_iter()
        .any(|field| share(field).is_some());
    let honey = share("honey").unwrap_or(0.0).max(share("capped").unwrap_or(0.0));
    let others = ["nectar", "pollen", "empty_share"].into_iter().filter_map(share);
    let filled = honey + others.sum::<f64>();
    said || comb.drawn.is_some_and(|drawn| filled >= drawn - 1e-9)
}
