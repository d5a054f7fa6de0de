//! The warmth of the year: degree-days of a yard since midwinter, beside those of earlier years, and what came at
//! which warmth.
//!
//! Holds true: a sum is compared only where at most one day in ten lacks its readings; what is reckoned ahead takes
//! the pace of a year that was measured.
//!
//! Does not: fill in missing days; say which base a plant follows; promise a day.
//!
//! Science: [`reckon::degree_days`], by the single sine. Start at [`warmth`].

use std::collections::BTreeMap;

use apiary::arena::YardId;
use apiary::colony::diary::Happening;
use jiff::ToSpan as _;
use jiff::civil::{Date, date};
use quantity::Celsius;
use reckon::degree_days::{Cutoffs, Method, Sum, of_day, sum};
use reckon::weather::DailySeries;

use crate::reader::Reader;

/// Warmth is counted above this, in °C (common practice, no source).
pub const BASE_C: f64 = 10.0;

/// How the warmth of a day is taken from its lowest and highest.
pub const METHOD: Method = Method::Sine;

/// A span is compared if at most one day in so many lacks its readings.
const MOST_MISSING: u32 = 10;

/// Below so many degree-days one mild day moves a date by weeks, so what came then is not compared.
const LEAST: f64 = 10.0;

/// The warmth of a yard this season.
#[derive(Clone, Debug, PartialEq)]
pub struct Warmth {
    /// The yard.
    pub yard: YardId,
    /// Midwinter, from which it is counted: 1 January in the north, 1 July in the south.
    pub since: Date,
    /// The last day with readings.
    pub until: Date,
    /// What came together by then.
    pub sum: Sum,
    /// The same span of earlier seasons, the last one first.
    pub before: Vec<Before>,
    /// What came in this or an earlier season, in the order of its warmth.
    pub marks: Vec<Mark>,
}

impl Warmth {
    /// Whether enough days are known for it to be compared.
    pub fn is_known(&self) -> bool {
        is_known(self.sum)
    }
}

/// The same span of an earlier season.
#[derive(Clone, Debug, PartialEq)]
pub struct Before {
    /// The day that it was counted from.
    pub since: Date,
    /// The day as far into that season as the last one with readings is into this one.
    pub until: Date,
    /// What came together by then.
    pub sum: Sum,
    /// The day on which it was as warm as it is now in sum, and by how many days this season is ahead; none where too
    /// many days lack their readings.
    pub as_warm: Option<(Date, i32)>,
}

/// Something that comes once a season, at about some warmth.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// What.
    pub what: String,
    /// When it came in earlier seasons, the last one first.
    pub earlier: Vec<Came>,
    /// When it came in this one.
    pub now: Option<Came>,
    /// Where it has not come: within which days the warmth of earlier seasons was reached in this one, or would be at
    /// their pace.
    pub warm_enough: Option<Reached>,
}

/// That it came.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Came {
    /// The day.
    pub day: Date,
    /// The note.
    pub entry: usize,
    /// The degree-days by then; none where too many days lack their readings.
    pub degree_days: Option<f64>,
}

/// When a warmth is reached.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reached {
    /// The first day.
    pub from: Date,
    /// The last day.
    pub to: Date,
    /// Whether some of it lies ahead, at the pace of earlier seasons.
    pub ahead: bool,
}

/// The warmth of a yard on the day that is looked at; none where no day of this season has both readings.
pub fn warmth(reader: &Reader<'_>, yard: YardId) -> Option<Warmth> {
    let h = reader.holding();
    let series = reader.weather(yard)?;
    let southern = h.diary.southern.contains(&yard);
    let since = season(reader.day(), southern)?;
    let has_both = |day: Date| series.mean(day).is_some();
    let last = series
        .iter()
        .rev()
        .map(|(day, _)| day)
        .find(|day| has_both(*day))?;
    let until = (last >= since).then_some(last)?;
    let now = Season {
        series: &series,
        since,
    };
    let total = now.sum(until);
    let first = season(series.first()?, southern)?;
    let mut before = Vec::new();
    let mut begun = since;
    while let Some(earlier) = begun.checked_sub(1.year()).ok().filter(|day| *day >= first) {
        begun = earlier;
        let then = Season {
            series: &series,
            since: begun,
        };
        before.extend(then.beside(&now, until, total));
    }
    let marks = marks(reader, yard, &now, until, southern);
    Some(Warmth {
        yard,
        since,
        until,
        sum: total,
        before,
        marks,
    })
}

/// The midwinter before a day.
fn season(day: Date, southern: bool) -> Option<Date> {
    let (month, of) = match southern {
        false => (1, day.year()),
        true if day.month() >= 7 => (7, day.year()),
        true => (7, day.year().checked_sub(1)?),
    };
    Some(date(of, month, 1))
}

fn cutoffs() -> Cutoffs {
    let base = Celsius::new(BASE_C).expect("BUG: the base is a temperature");
    Cutoffs::new(base, None).expect("BUG: without an upper cut-off there is nothing to be below")
}

fn is_known(sum: Sum) -> bool {
    sum.days > 0 && sum.missing * MOST_MISSING <= sum.days + sum.missing
}

#[derive(Clone, Copy)]
struct Season<'a> {
    series: &'a DailySeries,
    since: Date,
}

impl Season<'_> {
    fn sum(&self, until: Date) -> Sum {
        sum(self.series, (Some(self.since), Some(until)), cutoffs(), METHOD).total
    }

    /// The sum up to a day, where enough of its days are known.
    fn known(&self, until: Date) -> Option<f64> {
        let sum = self.sum(until);
        is_known(sum).then_some(sum.degree_days)
    }

    /// The first day by which so many degree-days had come together, where enough of the days up to it are known.
    fn reaches(&self, degree_days: f64) -> Option<Date> {
        let mut so_far = 0.0;
        let days = self.since.series(1.day()).take(366);
        for day in days {
            let warmth = self
                .series
                .get(day)
                .and_then(|day| of_day(day.low?, day.high?, cutoffs(), METHOD));
            so_far += warmth.unwrap_or(0.0);
            // Of the same days the same sum is made, so that a day reaches its own.
            if so_far >= degree_days {
                return is_known(self.sum(day)).then_some(day);
            }
        }
        None
    }

    /// This season beside the present one.
    fn beside(&self, now: &Season<'_>, until: Date, total: Sum) -> Option<Before> {
        let into = (until - now.since).get_days();
        let same = self.since.checked_add(into.days()).ok()?;
        let as_warm = (is_known(total) && total.degree_days >= LEAST)
            .then(|| self.reaches(total.degree_days))
            .flatten()
            .map(|day| (day, (day - self.since).get_days() - into));
        Some(Before {
            since: self.since,
            until: same,
            sum: self.sum(same),
            as_warm,
        })
    }
}

/// What came at a yard, by what it is called, the first of each season.
fn came(reader: &Reader<'_>, yard: YardId) -> BTreeMap<String, Vec<(Date, usize)>> {
    let h = reader.holding();
    let label = h.ground.yards[yard].label.to_string();
    let mut all: BTreeMap<String, Vec<(Date, usize)>> = BTreeMap::new();
    for entry in reader.standing() {
        let Some(note) = reader.note(entry).filter(|note| note.fact.word() == "bloom") else {
            continue;
        };
        let elsewhere = note
            .fact
            .name("yard")
            .is_some_and(|yard| h.ground.yard_labels.get(yard.as_str()) != h.ground.yard_labels.get(&label));
        if elsewhere {
            continue;
        }
        let (Some(plant), Some(stage)) = (note.fact.text("plant"), note.fact.choice("what")) else {
            continue;
        };
        let stage = match stage {
            "full" => "in full flower",
            stage => stage,
        };
        all.entry(format!("{plant} {stage}"))
            .or_default()
            .push((note.day, entry));
    }
    for (colony, pages) in &h.diary.colonies {
        if h.hives[h.colonies[*colony].hive].yard != Some(yard) {
            continue;
        }
        for event in &pages.events {
            let what = match event.what {
                Happening::CellsCharged => "the first queen cells with larvae",
                Happening::CellsSealed => "the first sealed queen cells",
                Happening::SwarmGone => "the first swarm gone",
                _ => continue,
            };
            all.entry(what.to_owned())
                .or_default()
                .push((event.day, event.entry));
        }
    }
    all
}

fn marks(reader: &Reader<'_>, yard: YardId, now: &Season<'_>, until: Date, southern: bool) -> Vec<Mark> {
    let mut marks = Vec::new();
    for (what, days) in came(reader, yard) {
        let mut firsts: BTreeMap<Date, (Date, usize)> = BTreeMap::new();
        for (day, entry) in days.into_iter().filter(|(day, _)| *day <= reader.day()) {
            let Some(since) = season(day, southern) else {
                continue;
            };
            let first = firsts.entry(since).or_insert((day, entry));
            *first = (*first).min((day, entry));
        }
        let told = |since: Date, (day, entry): (Date, usize)| {
            let season = Season {
                series: now.series,
                since,
            };
            // A day whose readings are not there yet has no sum of its own.
            let has_come = now.series.last().is_some_and(|last| day <= last);
            let degree_days = has_come.then(|| season.known(day)).flatten();
            Came {
                day,
                entry,
                degree_days: degree_days.filter(|sum| *sum >= LEAST),
            }
        };
        let this = firsts.remove(&now.since).map(|first| told(now.since, first));
        let earlier: Vec<Came> = firsts
            .iter()
            .rev()
            .map(|(since, first)| told(*since, *first))
            .collect();
        if earlier.iter().chain(&this).all(|came| came.degree_days.is_none()) {
            continue;
        }
        let seasons = firsts.keys().rev().zip(&earlier);
        let warm_enough = this
            .is_none()
            .then(|| warm_enough(now, until, seasons.map(|(since, came)| (*since, *came))))
            .flatten();
        marks.push(Mark {
            what,
            earlier,
            now: this,
            warm_enough,
        });
    }
    let warmth = |mark: &Mark| {
        let all = mark.earlier.iter().chain(&mark.now);
        all.filter_map(|came| came.degree_days)
            .fold(f64::INFINITY, f64::min)
    };
    marks.sort_by(|a, b| warmth(a).total_cmp(&warmth(b)).then_with(|| a.what.cmp(&b.what)));
    marks
}

/// When the warmth at which something came in earlier seasons is reached in this one.
fn warm_enough(
    now: &Season<'_>,
    until: Date,
    earlier: impl Iterator<Item = (Date, Came)>,
) -> Option<Reached> {
    let so_far = now.known(until)?;
    let mut reached: Option<Reached> = None;
    for (since, came) in earlier {
        let Some(wanted) = came.degree_days else {
            continue;
        };
        let found = if wanted <= so_far {
            now.reaches(wanted).map(|day| (day, false))
        } else {
            // As long as it took then, from as warm as it is now.
            let then = Season {
                series: now.series,
                since,
            };
            then.reaches(so_far.max(f64::MIN_POSITIVE))
                .and_then(|day| until.checked_add((came.day - day).get_days().max(0).days()).ok())
                .map(|day| (day, true))
        };
        if let Some((day, ahead)) = found {
            let known = reached.get_or_insert(Reached {
                from: day,
                to: day,
                ahead,
            });
            *known = Reached {
                from: known.from.min(day),
                to: known.to.max(day),
                ahead: known.ahead || ahead,
            };
        }
    }
    reached
}
