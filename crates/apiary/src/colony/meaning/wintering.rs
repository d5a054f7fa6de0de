//! Whether a colony has enough for winter within its reach, and what is said elsewhere that it needs.

use jiff::ToSpan as _;
use jiff::civil::Date;
use quantity::{Celsius, Estimate, Mass, Source};
use reckon::sources;
use reckon::weather::DailySeries;
use reckon::winter::{self, Outside, Winter, WinterUse};

use super::{Part, days, entries, exactly, once, sum};
use crate::arena::CombId;
use crate::colony::answers::{honey_kg, most_honey_kg, strengths};

/// A cluster whose bees nobody counted, in grams: the heaviest that was measured (Southwick 1985), about 10 000 bees.
pub const UNCOUNTED_CLUSTER_G: i64 = 1_200;

/// Where no weather is known, the mean of the colonies measured by Norrström et al. 2021, in °C.
pub const UNKNOWN_WEATHER_C: f64 = 3.5;

/// The most that sources ask to be left at the end of winter, in kg.
const RESERVE_MOST_KG: f64 = 10.0;

/// Winter from the first of October, brood in earnest from the middle of February, the first flow from the middle of
/// April (common practice, no source; to be shifted by the bloom of the place).
const WINTER_FROM: (i8, i8) = (10, 1);
const BROOD_FROM: (i8, i8) = (2, 15);
const WINTER_TO: (i8, i8) = (4, 15);

/// The days of so many winters before stand for those of a winter that is still to come.
const WINTERS_BACK: i16 = 5;

/// Bees told so long before count for the winter, in days (common practice, no source).
const BEES_WITHIN: f64 = 60.0;

/// What a bee weighs, in mg: 100 empty, 150 with food, 120 taken (steinbergimkerei.jimdo.com/a9, not read at its own
/// text).
const A_BEE_MG: f64 = 120.0;

/// The weather that a winter's need was reckoned with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WeatherUsed {
    /// Readings of the yard.
    OfTheYard {
        /// Days of that winter itself.
        own: u32,
        /// Days for which those of earlier winters stand.
        earlier: u32,
    },
    /// A steady mean, for want of readings.
    Assumed {
        /// How many of the days are known, in that winter or in earlier ones.
        known: u32,
        /// How many there are.
        days: u32,
    },
}

/// Where the bees sit among their combs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// From the first comb on.
    Entrance,
    /// Combs on either side.
    Middle,
    /// Up to the last comb.
    Far,
    /// On all combs.
    Whole,
}

/// Where the bees were last seen.
#[derive(Clone, Copy, Debug)]
pub struct Cluster {
    /// The first place on which brood or bees were told.
    pub from: u16,
    /// The last.
    pub to: u16,
    /// Where that is.
    pub end: End,
    /// The newest look that says so.
    pub day: Date,
}

/// Why the cluster's reach ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stop {
    /// A bare bar.
    Bare(u16),
    /// A comb that was said to hold no honey.
    Empty(u16),
    /// No more places.
    End,
}

/// Honey, counted in full combs and in kg.
#[derive(Clone, Copy, Debug)]
pub struct Reach {
    /// Full combs.
    pub bars: Estimate,
    /// Kilograms; unknown where the hive's section is.
    pub kg: Option<Estimate>,
    /// Combs among them of which no look told the honey.
    pub untold: usize,
}

/// What lies on one side of the cluster.
#[derive(Clone, Copy, Debug)]
pub struct Side {
    /// What is reached without a gap.
    pub within: Reach,
    /// Up to which place.
    pub to: Option<u16>,
    /// Why no further.
    pub stop: Stop,
    /// What lies beyond the gap.
    pub beyond: Reach,
}

/// What a published or told rule asks for.
#[derive(Clone, Copy, Debug)]
pub struct Yardstick {
    /// For whom.
    pub whom: &'static str,
    /// From.
    pub lo: f64,
    /// To.
    pub hi: f64,
    /// Full capped bars, else kg.
    pub in_bars: bool,
    /// Who says so.
    pub source: &'static Source,
}

const LB_KG: f64 = 0.453_592_37;

/// What others leave, from the least to the most; they differ by climate and by hive.
pub static YARDSTICKS: [Yardstick; 7] = [
    Yardstick {
        whom: "top-bar hives in Maine",
        lo: 6.0,
        hi: 8.0,
        in_bars: true,
        source: &sources::HEMENWAY_2017,
    },
    Yardstick {
        whom: "Germany, one box to two",
        lo: 12.0,
        hi: 22.0,
        in_bars: false,
        source: &sources::WINTER_BOXES_GERMANY,
    },
    Yardstick {
        whom: "a small colony",
        lo: 30.0 * LB_KG,
        hi: 50.0 * LB_KG,
        in_bars: false,
        source: &sources::EXTENSION_STORES,
    },
    Yardstick {
        whom: "the warm south of the United States",
        lo: 40.0 * LB_KG,
        hi: 60.0 * LB_KG,
        in_bars: false,
        source: &sources::EXTENSION_STORES,
    },
    Yardstick {
        whom: "the mountains of Virginia",
        lo: 50.0 * LB_KG,
        hi: 60.0 * LB_KG,
        in_bars: false,
        source: &sources::WALDENEFFECT,
    },
    Yardstick {
        whom: "northern Illinois",
        lo: 60.0 * LB_KG,
        hi: 80.0 * LB_KG,
        in_bars: false,
        source: &sources::BASICBEEKEEPING_2012,
    },
    Yardstick {
        whom: "the cold north of the United States",
        lo: 80.0 * LB_KG,
        hi: 100.0 * LB_KG,
        in_bars: false,
        source: &sources::EXTENSION_STORES,
    },
];

/// What the model says is needed.
#[derive(Clone, Debug)]
pub struct Need {
    /// The first day that counts.
    pub from: Date,
    /// The day that ends it.
    pub to: Date,
    /// From when brood is reckoned.
    pub brood_from: Date,
    /// The bees of the cluster, in kg, and whether they were counted.
    pub bees_kg: f64,
    /// Whether looks told the bees.
    pub bees_known: bool,
    /// The day on which bees were last told, whether they count or not.
    pub bees_told: Option<Date>,
    /// The weather that was used.
    pub weather: WeatherUsed,
    /// The use with its spread, and how far it may be trusted.
    pub used: WinterUse,
    /// The use and a reserve of 5 kg, in kg; the upper bound has a reserve of 10.
    pub need_kg: Estimate,
}

/// The winter check of a colony.
#[derive(Clone, Debug)]
pub struct WinterCheck {
    /// Where the bees were last seen; unknown where no look told brood or bees.
    pub cluster: Option<Cluster>,
    /// On the combs that the bees sit on.
    pub on_cluster: Reach,
    /// Towards the entrance.
    pub before: Option<Side>,
    /// Towards the far end.
    pub behind: Option<Side>,
    /// All that the cluster reaches without a gap; unknown where the cluster is.
    pub reach: Option<Reach>,
    /// All honey of the colony.
    pub all: Reach,
    /// Combs whose honey no look told.
    pub unknown: Vec<u16>,
    /// What is needed; unknown where the model refuses.
    pub need: Option<Need>,
    /// The entries of the looks.
    pub entries: Vec<usize>,
    /// The sources.
    pub sources: Vec<&'static Source>,
}

/// One place, as far as honey matters.
struct Store {
    place: u16,
    /// Full combs of honey; nothing on a bare bar; a comb of which no look told is from nothing to one.
    bars: Estimate,
    comb: Option<CombId>,
    known: bool,
}

/// The winter check, with the weather of the yard where it is known.
pub fn winter_check(part: &Part<'_>, weather: Option<&DailySeries>) -> WinterCheck {
    let stores: Vec<Store> = part.hanging().into_iter().map(|hung| store(part, hung)).collect();
    let cluster = cluster(part);
    let reach = |within: &[&Store]| Reach {
        bars: sum(within.iter().map(|store| store.bars)),
        kg: honey_of(part, within),
        untold: within.iter().filter(|store| !store.known).count(),
    };
    let pick = |fits: &dyn Fn(u16) -> bool| {
        stores
            .iter()
            .filter(|store| fits(store.place))
            .collect::<Vec<_>>()
    };
    let all = reach(&stores.iter().collect::<Vec<_>>());
    let side = |mut outwards: Vec<&Store>, back: bool| {
        if back {
            outwards.reverse();
        }
        side(&outwards, &reach)
    };
    let before = cluster.map(|cluster| side(pick(&|place| place < cluster.from), true));
    let behind = cluster.map(|cluster| side(pick(&|place| place > cluster.to), false));
    let on_cluster = cluster.map_or_else(
        || reach(&[]),
        |cluster| reach(&pick(&|place| (cluster.from..=cluster.to).contains(&place))),
    );
    let within = before
        .zip(behind)
        .map(|(before, behind)| plus(plus(on_cluster, before.within), behind.within));
    let need = need(part, weather);
    let mut all_sources: Vec<&'static Source> = YARDSTICKS.iter().map(|rule| rule.source).collect();
    all_sources.extend(winter::SOURCES);
    WinterCheck {
        cluster,
        on_cluster,
        before,
        behind,
        reach: within,
        all,
        unknown: stores
            .iter()
            .filter(|store| store.comb.is_some() && !store.known)
            .map(|store| store.place)
            .collect(),
        need,
        entries: entries(part.combs().iter().filter_map(|(_, _, comb)| comb.last_look)),
        sources: once(all_sources),
    }
}

/// The same figure as under the strength of the colony; a comb of which no look told holds from nothing to all that is
/// drawn.
fn honey_of(part: &Part<'_>, within: &[&Store]) -> Option<Estimate> {
    part.h.comb_area(part.hive)?;
    let of = |known: bool| {
        let stores = within.iter().filter(move |store| store.known == known);
        stores.filter_map(|store| store.comb)
    };
    let told: Vec<CombId> = of(true).collect();
    let notes = |entry| part.note(entry);
    let known = honey_kg(part.h, &notes, part.hive, &told).unwrap_or_else(|| exactly(0.0));
    let most = of(false).map(|id| most_honey_kg(part.h, part.hive, &part.h.combs[id]).map(Estimate::hi));
    let most = most.sum::<Option<f64>>()?;
    Estimate::new(known.value(), known.lo(), known.hi() + most)
}

fn plus(one: Reach, other: Reach) -> Reach {
    Reach {
        untold: one.untold + other.untold,
        bars: sum([one.bars, other.bars]),
        kg: one.kg.zip(other.kg).map(|(one, other)| sum([one, other])),
    }
}

fn store(part: &Part<'_>, hung: super::Hanging<'_>) -> Store {
    let Some((id, comb)) = hung.comb else {
        return Store {
            place: hung.place,
            bars: exactly(0.0),
            comb: None,
            known: true,
        };
    };
    let honey = part.honey_of(comb);
    let full = comb.drawn.map_or(1.0, |drawn| drawn * comb.left).clamp(0.0, 1.0);
    let bars = match honey {
        Some(share) => exactly(share),
        // Whatever it holds is within what is drawn; a guess at the middle would be none.
        None => Estimate::new(0.0, 0.0, full).unwrap_or_else(|| exactly(0.0)),
    };
    Store {
        place: hung.place,
        bars,
        comb: Some(id),
        known: honey.is_some(),
    }
}

/// Walks outwards from the cluster until a gap. Past a comb of which no look told, only the upper bound goes on.
fn side(outwards: &[&Store], reach: &dyn Fn(&[&Store]) -> Reach) -> Side {
    let gap = outwards.iter().position(|store| store.bars.hi() <= 0.0);
    let reached = &outwards[..gap.unwrap_or(outwards.len())];
    let beyond = &outwards[gap.unwrap_or(outwards.len())..];
    let unsure = reached
        .iter()
        .position(|store| !store.known)
        .unwrap_or(reached.len());
    let (sure, most) = (reach(&reached[..unsure]), reach(reached));
    let bounds =
        |sure: Estimate, most: Estimate| Estimate::new(sure.value(), sure.lo(), most.hi()).unwrap_or(sure);
    Side {
        within: Reach {
            bars: bounds(sure.bars, most.bars),
            kg: sure.kg.zip(most.kg).map(|(sure, most)| bounds(sure, most)),
            untold: most.untold,
        },
        to: reached.last().map(|store| store.place),
        stop: match gap.map(|gap| outwards[gap]) {
            Some(store) if store.comb.is_some() => Stop::Empty(store.place),
            Some(store) => Stop::Bare(store.place),
            None => Stop::End,
        },
        beyond: reach(beyond),
    }
}

/// Where brood or bees were last seen.
fn cluster(part: &Part<'_>) -> Option<Cluster> {
    let combs = part.combs();
    let seen: Vec<(u16, Date)> = combs
        .iter()
        .filter_map(|(place, _, comb)| {
            let look = part.last(comb)?;
            (look.says.has_brood() || look.says.has_bees()).then_some((*place, look.day))
        })
        .collect();
    let (from, to) = (seen.first()?.0, seen.last()?.0);
    let first = combs.first().is_some_and(|(place, ..)| *place == from);
    let last = combs.last().is_some_and(|(place, ..)| *place == to);
    let end = match (first, last) {
        (true, true) => End::Whole,
        (true, false) => End::Entrance,
        (false, true) => End::Far,
        (false, false) => End::Middle,
    };
    let day = seen.iter().map(|(_, day)| *day).max()?;
    Some(Cluster { from, to, end, day })
}

/// The weather of a winter in a yard: its own days, and for those that have no readings yet the same days of the
/// winters before, the last one first.
fn weather_of(weather: Option<&DailySeries>, from: Date, to: Date) -> (DailySeries, WeatherUsed) {
    let mut taken = DailySeries::default();
    let (mut own, mut earlier, mut days) = (0, 0, 0);
    for day in from.series(1.day()).take_while(|day| *day < to) {
        days += 1;
        let of = |years: i16| {
            let then = day.checked_sub(years.years()).ok()?;
            let weather = weather?.get(then)?;
            weather.mean().is_some().then_some(*weather)
        };
        let found = (0..=WINTERS_BACK).find_map(|years| Some((years, of(years)?)));
        if let Some((years, weather)) = found {
            taken.lay(day, weather);
            if years == 0 { own += 1 } else { earlier += 1 }
        }
    }
    // With fewer the mean of the others would stand for most of a winter.
    let used = match (own + earlier) * 4 >= days * 3 {
        true => WeatherUsed::OfTheYard { own, earlier },
        false => WeatherUsed::Assumed {
            known: own + earlier,
            days,
        },
    };
    (taken, used)
}

/// The bees by the last looks that told them, where those are of this autumn or winter; else the day of them.
fn bees_told(part: &Part<'_>) -> (Option<Mass>, Option<Date>) {
    let notes = |entry| part.note(entry);
    let parts = strengths(part.h, &notes, part.hive).unwrap_or_default();
    let Some(own) = parts.into_iter().find(|told| told.colony == Some(part.colony)) else {
        return (None, None);
    };
    let told = own.bars.iter().filter(|bar| bar.strength.bees.is_some());
    let day = told.filter_map(|bar| part.day(bar.look?)).max();
    let counts = day.filter(|day| {
        let month = part.northern(*day).month();
        days(*day, part.today) <= BEES_WITHIN && (month >= 9 || month <= 3)
    });
    let mass = counts
        .and(own.whole.bees)
        .and_then(|bees| Mass::from_g_f64(bees.value() * A_BEE_MG / 1_000.0));
    (mass, day)
}

fn need(part: &Part<'_>, weather: Option<&DailySeries>) -> Option<Need> {
    let to = part.next(part.today, WINTER_TO.0, WINTER_TO.1);
    // Within winter the count begins today, before it with the next October.
    let october = part.next(part.today, WINTER_FROM.0, WINTER_FROM.1);
    let (from, to) = if october < to {
        (october, to)
    } else {
        (part.today, to)
    };
    let brood_from = part.next(from, BROOD_FROM.0, BROOD_FROM.1);
    let brood_from = if brood_from > to { from } else { brood_from };
    let (taken, used_weather) = weather_of(weather, from, to);
    let outside = match used_weather {
        WeatherUsed::OfTheYard { .. } => Outside::Daily(&taken),
        WeatherUsed::Assumed { .. } => Outside::Steady(Celsius::new(UNKNOWN_WEATHER_C)?),
    };
    let (bees, bees_told) = bees_told(part);
    let cluster = bees.unwrap_or(Mass::g(UNCOUNTED_CLUSTER_G));
    let reserve = Mass::from_g_f64(winter::RESERVE_KG.value * 1000.0)?;
    let asked = Winter {
        bees: cluster,
        outside,
        from,
        to,
        reachable: None,
        brood_from: Some(brood_from),
        reserve,
    };
    let used = winter::winter(&asked).ok()?;
    let need = used.need_kg;
    let more = RESERVE_MOST_KG - winter::RESERVE_KG.value;
    Some(Need {
        from,
        to,
        brood_from,
        bees_kg: cluster.to_kg(),
        bees_known: bees.is_some(),
        bees_told,
        weather: used_weather,
        need_kg: Estimate::new(need.value(), need.lo(), need.hi() + more)?,
        used,
    })
}
