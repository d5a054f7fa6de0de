//! What a colony eats in winter, and when it runs out of what it can reach.
//!
//! Holds true: lo ≤ value ≤ hi for every use; the earliest day is never after the likely one; whatever lies
//! outside what was measured is said in a note and widens the interval.
//!
//! Does not: know a hive, a bar or today; judge whether a colony will live; know wind, walls or wetness.
//!
//! Science: Southwick 1985 measured clusters of 5 g to 1.2 kg at 2 °C. **How the use changes with the
//! temperature outside is a model of ours**, see [`warmth_factor`]. The interval is the spread of what whole
//! colonies were measured to use, which all the sources together show. Start at [`winter`].

use std::fmt;

use jiff::civil::Date;
use quantity::{Celsius, Doubt, Estimate, Mass, Source, Sourced};

use crate::sources::{
    FOOD_USE_AUSTRIA, FOOD_USE_DENMARK, FROM_MEMORY, NORRSTROM_2021, SOUTHWICK_1985, STEINBERG_STORES,
};
use crate::weather::DailySeries;

/// Oxygen used by a cluster of one gram, in mL/g/h: the factor of the fit.
pub static OXYGEN_ML_PER_G_H: Sourced<f64> = Sourced {
    value: 22.69,
    doubt: Doubt::RoundedTo(0.01),
    locator: "abstract; that the mass is in grams is the reading that makes sense (from memory)",
    holds_for: "clusters of 5 g to 1.2 kg at 2 °C",
    source: &SOUTHWICK_1985,
};

/// How the oxygen a gram uses falls with the cluster's mass: the exponent of the fit.
pub static OXYGEN_EXPONENT: Sourced<f64> = Sourced {
    value: -0.479,
    doubt: Doubt::RoundedTo(0.001),
    locator: "abstract",
    holds_for: "clusters of 5 g to 1.2 kg at 2 °C",
    source: &SOUTHWICK_1985,
};

/// The heat of a millilitre of oxygen burnt on sugar, in joules.
pub static JOULE_PER_ML_OXYGEN: Sourced<f64> = Sourced {
    value: 21.1,
    doubt: Doubt::RoundedTo(0.1),
    locator: "from memory",
    holds_for: "sugars",
    source: &FROM_MEMORY,
};

/// The heat of a kilogram of honey, in megajoules.
pub static HONEY_MJ_PER_KG: Sourced<f64> = Sourced {
    value: 12.7,
    doubt: Doubt::RoundedTo(0.1),
    locator: "from memory",
    holds_for: "ripe honey",
    source: &FROM_MEMORY,
};

/// What whole colonies were measured to use, in kg a day, with the published spread.
pub static MEASURED_KG_PER_DAY: Sourced<f64> = Sourced {
    value: 0.039,
    doubt: Doubt::StdDev(0.013),
    locator: "abstract: 0.039 ± 0.013 kg a day and colony (which deviation is meant was not read)",
    holds_for: "32 colonies in south-west Sweden, 2019-20, 3.5 °C on average",
    source: &NORRSTROM_2021,
};

/// The most that was measured of a colony without much brood, in kg a day.
pub static MOST_MEASURED_KG_PER_DAY: Sourced<f64> = Sourced {
    value: 0.056,
    doubt: Doubt::RoundedTo(0.001),
    locator: "56 g a day",
    holds_for: "a colony in Denmark in late autumn",
    source: &FOOD_USE_DENMARK,
};

/// What a colony with brood uses in 30 days in spring, in kg: the middle of the 3 to 4 kg told of.
pub static BROOD_KG_PER_30_DAYS: Sourced<f64> = Sourced {
    value: 3.5,
    doubt: Doubt::Between(3.0, 4.0),
    locator: "3 to 4 kg a month once a colony raises brood in earnest (from memory)",
    holds_for: "spring, from about a thousand cells a day",
    source: &FROM_MEMORY,
};

/// The most that a colony was measured to use in spring, in kg a week.
pub static MOST_BROOD_KG_PER_WEEK: Sourced<f64> = Sourced {
    value: 1.0,
    doubt: Doubt::Unstated,
    locator: "up to about a kilogram a week",
    holds_for: "spring brood in Austria",
    source: &FOOD_USE_AUSTRIA,
};

/// What should be left when winter ends, in kg; sources say 5 to 10.
pub static RESERVE_KG: Sourced<f64> = Sourced {
    value: 5.0,
    doubt: Doubt::Between(5.0, 10.0),
    locator: "at least 10 kg at the end of winter; the 5 kg are from memory",
    holds_for: "the end of winter",
    source: &STEINBERG_STORES,
};

/// The temperature of the fit.
const FITTED_AT_C: f64 = 2.0;
/// The heaviest cluster of the fit, in grams.
const HEAVIEST_G: f64 = 1_200.0;
/// The lightest.
const LIGHTEST_G: f64 = 5.0;
/// Beyond this a unit is more likely wrong than a cluster so large; *common practice, no source*.
const LARGEST_G: f64 = 10_000.0;
/// The warmth that a broodless cluster keeps within, *from memory*: 20 to 32 °C.
const CORE_C: (f64, f64) = (20.0, 32.0);
/// Where a cluster loosens, *from memory*: 14 to 18 °C. Above it nothing here holds.
const LOOSE_FROM_C: f64 = 14.0;
/// The published temperatures lie around the fit's: between these it was checked against whole colonies.
const CHECKED_C: (f64, f64) = (0.0, 5.0);
const SECONDS_PER_DAY: f64 = 86_400.0;

/// What the weather outside is.
#[derive(Debug, Clone, Copy)]
pub enum Outside<'a> {
    /// The same all winter, as a mean.
    Steady(Celsius),
    /// Read day by day.
    Daily(&'a DailySeries),
}

/// A colony going into winter.
#[derive(Debug, Clone, Copy)]
pub struct Winter<'a> {
    /// The bees of the cluster.
    pub bees: Mass,
    /// The weather.
    pub outside: Outside<'a>,
    /// The first day that counts.
    pub from: Date,
    /// The day that ends the count; it is not counted itself, so that 30 days lie between 1 November and
    /// 1 December.
    pub to: Date,
    /// What the cluster can reach, where it is known.
    pub reachable: Option<Mass>,
    /// The day from which brood is raised in earnest.
    pub brood_from: Option<Date>,
    /// What should be left at the end.
    pub reserve: Mass,
}

/// What the winter takes.
#[derive(Debug, Clone, PartialEq)]
pub struct WinterUse {
    /// What the cluster uses in 30 days without brood, at the mean temperature of the span.
    pub cluster_kg_per_30_days: Estimate,
    /// What it uses over the whole span, brood included.
    pub use_kg: Estimate,
    /// What is needed at the start: the use and the reserve.
    pub need_kg: Estimate,
    /// What is left of the reachable at the end; below nothing is what is wanting.
    pub left_kg: Option<Estimate>,
    /// The day on which the reachable is eaten, if it is before the end.
    pub runs_out: Option<Date>,
    /// The same at the highest use.
    pub runs_out_earliest: Option<Date>,
    /// The day from which less than the reserve is left, if it is before the end.
    pub into_reserve: Option<Date>,
    /// The same at the highest use.
    pub into_reserve_earliest: Option<Date>,
    /// The mean temperature outside, in °C.
    pub mean_outside_c: f64,
    /// How far it all may be trusted.
    pub notes: Vec<String>,
}

/// Why nothing can be worked out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WinterError {
    /// No bees, or more than 10 kg of them.
    Bees,
    /// The end is not after the start.
    Span,
    /// No day of the span has a temperature.
    NoWeather,
}

impl fmt::Display for WinterError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Bees => "a cluster has some bees, and not more than 10 kg of them",
            Self::Span => "the end of winter is not after its start",
            Self::NoWeather => "no day of this span has both its temperatures",
        })
    }
}

impl std::error::Error for WinterError {}

/// The publications that [`winter`] rests on.
pub static SOURCES: [&Source; 6] = [
    &SOUTHWICK_1985,
    &NORRSTROM_2021,
    &FOOD_USE_DENMARK,
    &FOOD_USE_AUSTRIA,
    &STEINBERG_STORES,
    &FROM_MEMORY,
];

/// The honey that a cluster burns in a day at 2 °C.
///
/// # What it gives
/// Kilograms of honey a day.
///
/// # Equation
/// 22.69 · m^−0.479 · m · 24 · 21.1 / 12 700 000, m the cluster's mass in grams: mL of oxygen a gram and
/// hour, 21.1 J a mL, 12.7 MJ a kg.
///
/// # Holds for
/// 5 g to 1.2 kg at 2 °C, broodless. Beyond it is carried on: [`winter`] says so and widens the interval.
///
/// # Source
/// Southwick 1985; the heats of oxygen and honey *from memory*.
///
/// # Checked against
/// Values computed from the same fit, 23.1 g a day for 0.5 kg to 47.5 g for 2 kg (arithmetic); whole colonies
/// measured at 26 to 56 g a day.
pub fn fitted_kg_per_day(bees: Mass) -> f64 {
    let grams = bees.to_g();
    let ml_per_hour = OXYGEN_ML_PER_G_H.value * libm::pow(grams, OXYGEN_EXPONENT.value) * grams;
    ml_per_hour * 24.0 * JOULE_PER_ML_OXYGEN.value / (HONEY_MJ_PER_KG.value * 1e6)
}

/// The power of a cluster at 2 °C, in watts.
pub fn fitted_watts(bees: Mass) -> f64 {
    fitted_kg_per_day(bees) * HONEY_MJ_PER_KG.value * 1e6 / SECONDS_PER_DAY
}

/// How much more a cluster uses at a temperature than at 2 °C.
///
/// # What it gives
/// A factor, 1 at 2 °C.
///
/// # Equation
/// (Tc − T)/(Tc − 2), Tc the warmth kept inside: heat is lost in proportion to the difference. With Tc of
/// 20, 26 and 32 °C; the bounds are the lower and the higher of the outer two. Above 14 °C, where a cluster
/// loosens, as at 14 °C.
///
/// # Holds for
/// **A model, not a measurement**: the fit knows 2 °C alone. A cluster also draws together as it gets colder,
/// which this leaves out.
///
/// # Source
/// *From memory*: a broodless core of 20 to 32 °C, a loose cluster from 14 to 18 °C.
///
/// # Checked against
/// The colonies of south-west Sweden at 3.5 °C (Norrström et al. 2021) lie within [`winter`]'s interval.
pub fn warmth_factor(outside: Celsius) -> Estimate {
    let outside = outside.get().min(LOOSE_FROM_C);
    let with_core = |core: f64| (core - outside) / (core - FITTED_AT_C);
    let (cool, warm) = (with_core(CORE_C.0), with_core(CORE_C.1));
    let value = with_core((CORE_C.0 + CORE_C.1) / 2.0);
    Estimate::new(value, cool.min(warm), cool.max(warm))
        .expect("BUG: the middle core lies between the outer ones")
}

/// What a winter takes out of the stores, and when what can be reached is eaten.
///
/// # What it gives
/// Kilograms with bounds, and dates.
///
/// # Equation
/// Each day without brood: [`fitted_kg_per_day`] · [`warmth_factor`]. From the day of brood on: 3.5 kg in 30
/// days, or the cluster's own use where that is more. Bounds: without brood from 0.026/0.039 (the spread of
/// Norrström et al.) to 0.056 kg over the fit at 1.2 kg (the most that was measured), times the bounds of the
/// model; with brood from 3 kg in 30 days to 1 kg a week. Beyond 1.2 kg of bees the lower bound is that of
/// 1.2 kg and the upper grows in proportion to the mass.
///
/// # Holds for
/// A cluster of 5 g to 1.2 kg near 2 °C; all else is carried on and said in a note. A day without its
/// temperatures is taken at the mean of the others, with the warmest and coldest of them as bounds.
///
/// # Source
/// Southwick 1985; Norrström et al. 2021; scale hives of keepers; *from memory* where marked.
///
/// # Checked against
/// The measured uses named in [`SOURCES`], each within the interval.
pub fn winter(winter: &Winter<'_>) -> Result<WinterUse, WinterError> {
    let grams = winter.bees.to_g();
    if grams <= 0.0 || grams > LARGEST_G {
        return Err(WinterError::Bees);
    }
    if winter.to <= winter.from {
        return Err(WinterError::Span);
    }
    let weather = Weather::of(winter)?;
    let cluster = Cluster::of(winter.bees);
    let mut eaten = Eaten::default();
    let mut day = winter.from;
    let reachable = winter.reachable.map(Mass::to_kg);
    while day < winter.to {
        let has_brood = winter.brood_from.is_some_and(|from| day >= from);
        let broodless = cluster.on_a_day(weather.factor(day));
        let used = if has_brood {
            with_brood(broodless)
        } else {
            broodless
        };
        eaten.add(used);
        if let Some(reachable) = reachable {
            eaten.mark(day, reachable, winter.reserve.to_kg());
        }
        let Ok(next) = day.tomorrow() else { break };
        day = next;
    }
    let cluster_kg_per_30_days = times(cluster.on_a_day(weather.mean_factor()), 30.0);
    let use_kg = eaten.sum();
    let reserve = winter.reserve.to_kg();
    Ok(WinterUse {
        cluster_kg_per_30_days,
        use_kg,
        need_kg: plus(use_kg, reserve),
        left_kg: reachable
            .and_then(|kg| Estimate::new(kg - use_kg.value(), kg - use_kg.hi(), kg - use_kg.lo())),
        runs_out: eaten.runs_out,
        runs_out_earliest: eaten.runs_out_earliest,
        into_reserve: eaten.into_reserve,
        into_reserve_earliest: eaten.into_reserve_earliest,
        mean_outside_c: weather.mean,
        notes: notes(winter, &weather),
    })
}

/// The use of one day without brood at 2 °C.
struct Cluster {
    at_fit: Estimate,
}

impl Cluster {
    fn of(bees: Mass) -> Self {
        let value = fitted_kg_per_day(bees);
        let heaviest = fitted_kg_per_day(Mass::g(1_200));
        let beyond = bees.to_g() / HEAVIEST_G;
        let (least, most) = if beyond > 1.0 {
            (heaviest, heaviest * beyond)
        } else {
            (value, value)
        };
        let spread = match MEASURED_KG_PER_DAY.doubt {
            Doubt::StdDev(spread) => spread,
            _ => 0.0,
        };
        let lo = 1.0 - spread / MEASURED_KG_PER_DAY.value;
        let hi = MOST_MEASURED_KG_PER_DAY.value / heaviest;
        Self {
            at_fit: Estimate::new(value, least * lo, most * hi)
                .expect("BUG: the fit lies within its own spread"),
        }
    }

    fn on_a_day(&self, factor: Estimate) -> Estimate {
        let fit = self.at_fit;
        Estimate::new(
            fit.value() * factor.value(),
            fit.lo() * factor.lo(),
            fit.hi() * factor.hi(),
        )
        .expect("BUG: factors are above nothing and in order")
    }
}

/// A day with brood takes what is told of spring, or the cluster's own use where that is more.
fn with_brood(broodless: Estimate) -> Estimate {
    let least = match BROOD_KG_PER_30_DAYS.doubt {
        Doubt::Between(least, _) => least,
        _ => BROOD_KG_PER_30_DAYS.value,
    };
    Estimate::new(
        broodless.value().max(BROOD_KG_PER_30_DAYS.value / 30.0),
        broodless.lo().max(least / 30.0),
        broodless.hi().max(MOST_BROOD_KG_PER_WEEK.value / 7.0),
    )
    .expect("BUG: the larger of two in order are in order")
}

/// What is eaten so far: the doubt is shared by all days, so the bounds add up.
#[derive(Default)]
struct Eaten {
    value: f64,
    lo: f64,
    hi: f64,
    runs_out: Option<Date>,
    runs_out_earliest: Option<Date>,
    into_reserve: Option<Date>,
    into_reserve_earliest: Option<Date>,
}

impl Eaten {
    fn add(&mut self, day: Estimate) {
        self.value += day.value();
        self.lo += day.lo();
        self.hi += day.hi();
    }

    fn mark(&mut self, day: Date, reachable: f64, reserve: f64) {
        let first = |mark: &mut Option<Date>, is_past: bool| {
            if is_past && mark.is_none() {
                *mark = Some(day);
            }
        };
        first(&mut self.runs_out, self.value >= reachable);
        first(&mut self.runs_out_earliest, self.hi >= reachable);
        first(&mut self.into_reserve, self.value > reachable - reserve);
        first(&mut self.into_reserve_earliest, self.hi > reachable - reserve);
    }

    fn sum(&self) -> Estimate {
        Estimate::new(self.value, self.lo, self.hi).expect("BUG: sums of estimates are in order")
    }
}

/// The temperatures of the span.
struct Weather<'a> {
    outside: Outside<'a>,
    mean: f64,
    coldest: f64,
    warmest: f64,
    unknown: usize,
    loose: usize,
}

impl<'a> Weather<'a> {
    fn of(winter: &Winter<'a>) -> Result<Self, WinterError> {
        let series = match winter.outside {
            Outside::Steady(at) => {
                let at = at.get();
                return Ok(Self {
                    outside: winter.outside,
                    mean: at,
                    coldest: at,
                    warmest: at,
                    unknown: 0,
                    loose: usize::from(at > LOOSE_FROM_C),
                });
            }
            Outside::Daily(series) => series,
        };
        let mut known: Vec<f64> = Vec::new();
        let mut unknown = 0;
        let mut day = winter.from;
        while day < winter.to {
            match series.mean(day) {
                Some(mean) => known.push(mean.get()),
                None => unknown += 1,
            }
            let Ok(next) = day.tomorrow() else { break };
            day = next;
        }
        if known.is_empty() {
            return Err(WinterError::NoWeather);
        }
        Ok(Self {
            outside: winter.outside,
            mean: known.iter().sum::<f64>() / known.len() as f64,
            coldest: known.iter().copied().fold(f64::INFINITY, f64::min),
            warmest: known.iter().copied().fold(f64::NEG_INFINITY, f64::max),
            unknown,
            loose: known.iter().filter(|mean| **mean > LOOSE_FROM_C).count(),
        })
    }

    fn factor(&self, day: Date) -> Estimate {
        let read = match self.outside {
            Outside::Steady(at) => Some(at),
            Outside::Daily(series) => series.mean(day),
        };
        match read {
            Some(at) => warmth_factor(at),
            None => {
                let (least, most) = (factor_at(self.warmest), factor_at(self.coldest));
                Estimate::new(factor_at(self.mean).value(), least.lo(), most.hi())
                    .expect("BUG: a mean lies between the warmest and the coldest")
            }
        }
    }

    fn mean_factor(&self) -> Estimate {
        factor_at(self.mean)
    }
}

fn factor_at(degrees: f64) -> Estimate {
    warmth_factor(Celsius::new(degrees).expect("BUG: a mean of temperatures is one"))
}

fn notes(winter: &Winter<'_>, weather: &Weather<'_>) -> Vec<String> {
    let mut notes = vec![
        "the interval is the spread that whole colonies were measured to show, from two thirds of the fit to about one and a half times it".to_owned(),
    ];
    let grams = winter.bees.to_g();
    if grams > HEAVIEST_G {
        notes.push("extrapolated: the fit was made on clusters of up to 1.2 kg; beyond, the lower bound stays at that of 1.2 kg and the upper grows with the mass".to_owned());
    } else if grams < LIGHTEST_G {
        notes.push("extrapolated: the fit was made on clusters of 5 g and more".to_owned());
    }
    // A temperature read at a tenth of a degree is at the fit's if it is nearer than that.
    let steady_at_fit =
        matches!(weather.outside, Outside::Steady(at) if (at.get() - FITTED_AT_C).abs() < 0.05);
    if !steady_at_fit {
        notes.push("extrapolated: the fit was made at 2 °C; other temperatures are a model, loss in proportion to the difference from a core of 20 to 32 °C (from memory)".to_owned());
    }
    if weather.coldest < CHECKED_C.0 || weather.warmest > CHECKED_C.1 {
        notes.push("the model has been held against measured colonies near 2 to 4 °C alone".to_owned());
    }
    if weather.loose > 0 {
        notes.push(
            "at means above 14 °C bees fly, forage and keep no cluster: such days are taken as 14 °C"
                .to_owned(),
        );
    }
    if weather.unknown > 0 {
        let lack = match weather.unknown {
            1 => "1 day has no temperatures and is".to_owned(),
            many => format!("{many} days have no temperatures and are"),
        };
        notes.push(format!(
            "{lack} taken at the mean of the others, with the warmest and the coldest as bounds"
        ));
    }
    match winter.brood_from {
        None => notes.push("no brood is reckoned with: raising brood in spring takes 3 to 4 kg a month, and up to about a kilogram a week".to_owned()),
        Some(_) => notes.push("from the day of brood on 3 to 4 kg in 30 days are reckoned (from memory), up to a kilogram a week".to_owned()),
    }
    if winter.reserve < Mass::kg(10) {
        notes.push("sources ask for a reserve of 5 to 10 kg when winter ends".to_owned());
    }
    notes
}

fn times(one: Estimate, by: f64) -> Estimate {
    Estimate::new(one.value() * by, one.lo() * by, one.hi() * by).expect("BUG: stretched in order")
}

fn plus(one: Estimate, more: f64) -> Estimate {
    Estimate::new(one.value() + more, one.lo() + more, one.hi() + more).expect("BUG: shifted in order")
}
