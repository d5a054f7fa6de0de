//! When heavy new comb may fall and when bees may rob: facts from the notes for two of the trade's cautions.

use jiff::civil::Date;
use quantity::{Estimate, Mass};
use reckon::comb;
use reckon::weather::DailySeries;

use super::{Part, days};

/// Comb is new so long, in days (common practice, no source: about six weeks).
const NEW_WITHIN: i32 = 42;

/// From such a day on keepers leave heavy new comb alone, in °C (keepers' reports of 30 to 35 °C).
pub const HOT_C: f64 = 30.0;

/// Weather and feeding are told of so long back, in days.
const LATELY: i32 = 7;

/// A new comb with honey on it.
#[derive(Clone, Copy, Debug)]
pub struct HeavyComb {
    /// Its place.
    pub place: u16,
    /// The day it was first seen.
    pub since: Date,
    /// Its honey, in full combs.
    pub bars: f64,
    /// The honey on each cm of the line it hangs from, in grams; unknown where the hive's section is.
    pub load_g_per_cm: Option<Estimate>,
}

/// New combs, and heat.
#[derive(Clone, Debug)]
pub struct Heat {
    /// New combs with honey, the heaviest first.
    pub combs: Vec<HeavyComb>,
    /// Hot days of the last week, with the note of each that has one of its own.
    pub hot: Vec<(Date, f64, Option<usize>)>,
    /// Whether any weather of the last week was noted.
    pub weather_known: bool,
    /// Whether it is the season in which keepers tell of combs that fell: May to September.
    pub summer: bool,
}

/// What may draw robbers.
#[derive(Clone, Debug, Default)]
pub struct Robbing {
    /// The flow has ended, and none has begun since.
    pub flow_ended: Option<(Date, usize)>,
    /// Food given in the last week.
    pub fed: Vec<(Date, &'static str, usize)>,
    /// Comb cut in the last week.
    pub cut: Vec<(Date, usize)>,
    /// Combs that fell or broke.
    pub open: Vec<(u16, &'static str)>,
}

impl Robbing {
    /// Whether any of it is so.
    pub fn any(&self) -> bool {
        self.flow_ended.is_some() || !self.fed.is_empty() || !self.cut.is_empty() || !self.open.is_empty()
    }
}

/// New combs with honey and hot days noted.
pub fn heat(part: &Part<'_>, series: Option<&DailySeries>) -> Heat {
    let pattern = part.h.hives[part.hive]
        .pattern
        .map(|pattern| &part.h.ground.patterns[pattern]);
    let width = pattern.and_then(|pattern| {
        let section = pattern.section.as_ref()?;
        Some(section.width_at_bars(pattern.bee_space()))
    });
    let load = |kg: f64| comb::load_g_per_cm(Mass::from_g_f64(kg * 1000.0)?, width?);
    let mut combs: Vec<HeavyComb> = part
        .combs()
        .into_iter()
        .filter_map(|(place, _, comb)| {
            let since = comb
                .since
                .filter(|since| days(*since, part.today) <= f64::from(NEW_WITHIN))?;
            let look = part.last(comb)?;
            let bars = look.says.stores()? * comb.left;
            let load = part
                .honey_kg(comb, bars)
                .and_then(|kg| Estimate::new(load(kg.value())?, load(kg.lo())?, load(kg.hi())?));
            (bars > 0.0).then_some(HeavyComb {
                place,
                since,
                bars,
                load_g_per_cm: load,
            })
        })
        .collect();
    combs.sort_by(|a, b| b.bars.total_cmp(&a.bars).then(a.place.cmp(&b.place)));
    let noted = weather(part);
    let lately = |day: Date| (0.0..=f64::from(LATELY)).contains(&days(day, part.today));
    let own_note = |of: Date| {
        noted
            .iter()
            .rev()
            .find(|(day, ..)| *day == of)
            .map(|(.., entry)| *entry)
    };
    let highs: Vec<(Date, f64, Option<usize>)> = match series {
        Some(series) => series
            .iter()
            .filter(|(day, _)| lately(*day))
            .filter_map(|(day, weather)| Some((day, weather.high?.get(), own_note(day))))
            .collect(),
        None => noted
            .iter()
            .filter(|(day, ..)| lately(*day))
            .map(|(day, high, entry)| (*day, *high, Some(*entry)))
            .collect(),
    };
    Heat {
        combs,
        weather_known: !highs.is_empty(),
        hot: highs.into_iter().filter(|(_, high, _)| *high >= HOT_C).collect(),
        summer: (5..=9).contains(&part.northern(part.today).month()),
    }
}

/// The highest temperature of each day noted for the yard.
fn weather(part: &Part<'_>) -> Vec<(Date, f64, usize)> {
    let Some(yard) = part.h.hives[part.hive].yard else {
        return Vec::new();
    };
    let entries = part.h.ground.yards[yard].entries.iter();
    entries
        .filter_map(|entry| {
            let note = part.note(*entry).filter(|note| note.day <= part.today)?;
            let fact = &note.fact;
            let high = (fact.word() == "weather")
                .then(|| fact.reading("high"))
                .flatten()?;
            Some((note.day, high.celsius()?.get(), *entry))
        })
        .collect()
}

/// What may draw robbers.
pub fn robbing(part: &Part<'_>) -> Robbing {
    let mut out = Robbing::default();
    let yard = part.h.hives[part.hive]
        .yard
        .map(|yard| &part.h.ground.yards[yard].label);
    for entry in &part.h.flows {
        let Some(note) = part.note(*entry).filter(|note| note.day <= part.today) else {
            continue;
        };
        let fact = &note.fact;
        if fact.name("yard").is_some_and(|of| Some(of) != yard) {
            continue;
        }
        out.flow_ended = (fact.choice("what") == Some("ends")).then_some((note.day, *entry));
    }
    let lately = |day: Date| days(day, part.today) <= f64::from(LATELY);
    for (entry, note) in part.told() {
        let fact = &note.fact;
        match fact.word() {
            "feed" if lately(note.day) && part.is_meant(note) => {
                out.fed
                    .extend(fact.choice("food").map(|food| (note.day, food, entry)));
            }
            "cut" if lately(note.day) => out.cut.push((note.day, entry)),
            _ => {}
        }
    }
    let open = part.combs().into_iter().filter_map(|(place, _, comb)| {
        let fault = comb.fault.as_ref()?;
        matches!(fault.what, "fallen" | "broken").then_some((place, fault.what))
    });
    out.open.extend(open);
    out
}
