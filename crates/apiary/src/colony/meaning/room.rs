//! How much is left to draw, how fast combs were drawn, and when all will be.

use jiff::civil::Date;
use quantity::{Estimate, Fraction, Source};
use reckon::{rate, sources};

use super::history::Look;
use super::{Part, days, entries, once};
use crate::colony::state::Colony;

/// How far back looks tell of the drawing of now, in days before the newest (common practice, no source: about
/// two brood cycles; drawing follows the flow).
pub const DRAWING_WITHIN: i32 = 42;

/// A comb that lost more than this between two looks was cut or broke; less is how well eighths are judged.
const WAS_CUT: f64 = 0.25;

/// How sure the interval of the rate is.
const CONFIDENCE: f64 = 0.9;

/// What is left to draw.
#[derive(Clone, Debug)]
pub struct Room {
    /// Places without a comb.
    pub bare: Vec<u16>,
    /// Places whose comb is not drawn to the end, with the share drawn.
    pub partly: Vec<(u16, f64)>,
    /// Places whose comb was never said to be drawn so and so far.
    pub unknown: Vec<u16>,
    /// All of it, in full combs: a comb that nobody measured counts from nothing to one.
    pub to_draw: Estimate,
    /// Places behind the follower, which no colony has.
    pub beyond: usize,
    /// How fast combs were drawn; unknown with fewer than two looks on different days.
    pub drawing: Option<Drawing>,
    /// When all is drawn; unknown where the drawing is, where nothing was drawn, or where that is long ago.
    pub full: Option<UntilFull>,
    /// The last look that tells of the drawing is so long ago that its rate no longer holds.
    pub is_long_ago: bool,
    /// The entries that it stands on.
    pub entries: Vec<usize>,
    /// The sources of the interval.
    pub sources: Vec<&'static Source>,
}

/// How fast combs were drawn.
#[derive(Clone, Copy, Debug)]
pub struct Drawing {
    /// The first look that counts.
    pub from: Date,
    /// The last.
    pub to: Date,
    /// Looks on how many days.
    pub rounds: usize,
    /// What was drawn between, in full combs.
    pub drawn: f64,
    /// Full combs in a week, with the exact 90 % interval of a rate.
    pub per_week: Estimate,
}

/// When all is drawn, counted from the last look.
#[derive(Clone, Copy, Debug)]
pub struct UntilFull {
    /// Days at the rate seen.
    pub days: f64,
    /// At the fastest rate and with the least room that the doubt allows.
    pub lo: f64,
    /// At the slowest rate and with the most room; never, where the doubt allows that nothing is drawn.
    pub hi: Option<f64>,
    /// The day from which they count.
    pub from: Date,
}

/// The room of a colony.
pub fn room(part: &Part<'_>) -> Room {
    let (mut bare, mut partly, mut unknown) = (Vec::new(), Vec::new(), Vec::new());
    let (mut lo, mut value, mut hi) = (0.0, 0.0, 0.0);
    let mut from = Vec::new();
    for hung in part.hanging() {
        let Some((_, comb)) = hung.comb else {
            bare.push(hung.place);
            (lo, value, hi) = (lo + 1.0, value + 1.0, hi + 1.0);
            continue;
        };
        from.extend(comb.last_look);
        if let Some(drawn) = comb.drawn {
            let there = (drawn * comb.left).clamp(0.0, 1.0);
            let missing = 1.0 - there;
            if missing > 1e-9 {
                partly.push((hung.place, there));
            }
            (lo, value, hi) = (lo + missing, value + missing, hi + missing);
        } else {
            unknown.push(hung.place);
            (value, hi) = (value + 0.5, hi + 1.0);
        }
    }
    let (drawing, seen) = drawing(part);
    from.extend(seen);
    let to_draw = Estimate::new(value, lo, hi).unwrap_or_else(|| super::exactly(value));
    let hive = &part.h.hives[part.hive];
    let taken: usize = part
        .h
        .living_in(part.hive)
        .map(|colony| {
            let (from, to) = part.h.range(colony);
            usize::from((to + 1).saturating_sub(from))
        })
        .sum();
    let is_long_ago = drawing.is_some_and(|drawing| days(drawing.to, part.today) > f64::from(DRAWING_WITHIN));
    Room {
        full: drawing
            .filter(|_| !is_long_ago)
            .and_then(|drawing| until_full(to_draw, &drawing)),
        is_long_ago,
        sources: if drawing.is_some() {
            once([&sources::GARWOOD_1936, &sources::COMMON_PRACTICE])
        } else {
            Vec::new()
        },
        bare,
        partly,
        unknown,
        to_draw,
        beyond: usize::from(hive.places()).saturating_sub(taken),
        drawing,
        entries: entries(from),
    }
}

/// How long a rate takes to fill the room; `None` where nothing was drawn.
fn until_full(room: Estimate, drawing: &Drawing) -> Option<UntilFull> {
    let per_day = |per_week: f64| per_week / 7.0;
    let rate = drawing.per_week;
    (rate.value() > 0.0).then(|| UntilFull {
        days: room.value() / per_day(rate.value()),
        lo: room.lo() / per_day(rate.hi()),
        hi: (rate.lo() > 0.0).then(|| room.hi() / per_day(rate.lo())),
        from: drawing.to,
    })
}

/// A swarm or a package is put on bare bars: that day counts as a look that saw no comb.
fn began_on_bare_bars(colony: &Colony) -> Option<Date> {
    let origin = colony.origin.as_str();
    (origin.starts_with("swarm") || origin.starts_with("package")).then_some(colony.since)
}

/// The drawing seen, and the looks that it was seen in.
fn drawing(part: &Part<'_>) -> (Option<Drawing>, Vec<usize>) {
    let colony = &part.h.colonies[part.colony];
    let combs: Vec<(Vec<Look>, Option<Date>)> = part
        .looks_here()
        .into_iter()
        .map(|(looks, made_known_here)| {
            let told: Vec<Look> = looks
                .into_iter()
                .filter(|look| look.says.of("drawn").is_some())
                .collect();
            // A comb that a look here made known was bare bar at the look before it.
            let began = told.first().map(|look| look.day).filter(|_| made_known_here);
            (told, began)
        })
        .collect();
    let mut rounds: Vec<Date> = combs
        .iter()
        .flat_map(|(looks, _)| looks.iter().map(|look| look.day))
        .chain(began_on_bare_bars(colony))
        .collect();
    rounds.sort_unstable();
    rounds.dedup();
    let Some(last) = rounds.last().copied() else {
        return (None, Vec::new());
    };
    rounds.retain(|day| days(*day, last) <= f64::from(DRAWING_WITHIN));
    let first = rounds.first().copied().unwrap_or(last);
    let time = days(first, last);
    let mut seen = Vec::new();
    let mut drawn = 0.0;
    for (looks, began) in &combs {
        let counts = |look: &&Look| look.day >= first;
        seen.extend(looks.iter().filter(counts).map(|look| look.entry));
        if let (Some(day), Some(look)) = (began, looks.first()) {
            drawn += if *day > first {
                look.says.of("drawn").unwrap_or(0.0)
            } else {
                0.0
            };
        }
        for pair in looks.windows(2) {
            let [before, after] = pair else { continue };
            let said = |look: &Look| look.says.of("drawn").unwrap_or(0.0);
            let grown = said(after) - said(before);
            let between = days(before.day, after.day);
            if after.day <= first || between <= 0.0 || grown < -WAS_CUT {
                continue;
            }
            // Of what grew since a look before the first that counts, only the part after it.
            let within = days(before.day.max(first), after.day) / between;
            drawn += grown * within;
        }
    }
    let drawn = drawn.max(0.0);
    let confidence = Fraction::new(CONFIDENCE).unwrap_or(Fraction::ONE);
    let per_week = rate::per_time(drawn, time / 7.0, confidence);
    let drawing = per_week.map(|per_week| Drawing {
        from: first,
        to: last,
        rounds: rounds.len(),
        drawn,
        per_week,
    });
    (drawing, seen)
}
