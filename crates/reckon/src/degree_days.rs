//! Degree-days: the warmth of days above a base, by which bloom and brood are compared between years.
//!
//! Holds true: a day below the base adds nothing; a day never takes anything away; the sum over a span is the
//! sum over its parts; a day with only one reading is counted as missing, not as nought.
//!
//! Does not: guess a missing day; say which base or which method a plant follows (a base is published with
//! its method, and the two belong together).
//!
//! Science: the four methods in common use; they disagree most on days that cross the base. Start at
//! [`of_day`].

use std::collections::BTreeMap;
use std::f64::consts::{FRAC_PI_2, PI};

use jiff::civil::Date;
use quantity::{Celsius, Source};

use crate::sources::{BASKERVILLE_EMIN_1969, CITRUS_SCALE_UC, FROM_MEMORY, MET_EIREANN_DEGREE_DAYS};
use crate::weather::DailySeries;

/// How the warmth of a day is taken from its lowest and its highest temperature.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Method {
    /// The mean of the two, less the base.
    Average,
    /// The area above the base under one sine wave through the two.
    Sine,
    /// The area above the base under straight lines between the two.
    Triangle,
    /// Four formulas, by where the base lies between the two.
    FourCase,
}

impl Method {
    /// All methods.
    pub const ALL: [Self; 4] = [Self::Average, Self::Sine, Self::Triangle, Self::FourCase];

    /// The method's name.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Average => "average",
            Self::Sine => "sine",
            Self::Triangle => "triangle",
            Self::FourCase => "four-case",
        }
    }

    /// Where the method was taken from.
    pub const fn source(self) -> &'static Source {
        match self {
            Self::Average => &CITRUS_SCALE_UC,
            Self::Sine => &BASKERVILLE_EMIN_1969,
            Self::Triangle => &FROM_MEMORY,
            Self::FourCase => &MET_EIREANN_DEGREE_DAYS,
        }
    }
}

/// A base and, perhaps, an upper cut-off above which more warmth brings no more (a *horizontal* one: the day
/// goes on counting as if it were no warmer).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cutoffs {
    base: Celsius,
    upper: Option<Celsius>,
}

impl Cutoffs {
    /// A base and an upper cut-off; `None` unless the upper one is above the base.
    pub fn new(base: Celsius, upper: Option<Celsius>) -> Option<Self> {
        upper
            .is_none_or(|upper| upper > base)
            .then_some(Self { base, upper })
    }

    /// The base.
    pub const fn base(self) -> Celsius {
        self.base
    }

    /// The upper cut-off.
    pub const fn upper(self) -> Option<Celsius> {
        self.upper
    }
}

/// The degree-days of one day.
///
/// # What it gives
/// Degree-days in °C; times 9/5 they are those in °F. `None` where the lowest is above the highest.
///
/// # Equation
/// With Tn, Tx the lowest and highest, M = (Tx + Tn)/2, W = (Tx − Tn)/2, Tb the base.
/// Average: max(0, M − Tb). Where Tb lies between Tn and Tx, sine: ((M − Tb)(π/2 − θ) + W cos θ)/π with
/// θ = asin((Tb − M)/W); triangle: (Tx − Tb)²/(2(Tx − Tn)); four-case: (Tx − Tb)/2 − (Tb − Tn)/4 where
/// M > Tb, else (Tx − Tb)/4. Elsewhere all three are max(0, M − Tb). With an upper cut-off Tu what lies above
/// Tu is taken off: DD(Tb) − DD(Tu).
///
/// # Holds for
/// Any day and base.
///
/// # Source
/// Sine: Baskerville and Emin 1969. Four-case: Met Éireann. Average: as the University of California works
/// its example of citrus red scale. Triangle: *from memory*, checked by geometry.
///
/// # Checked against
/// 7, 14 °C, base 12, upper 33 by sine: 0.47, the answer that a public library's own tests expect; 64 °F on
/// average above 53: 11; the sine against its numeric integral.
pub fn of_day(low: Celsius, high: Celsius, cutoffs: Cutoffs, method: Method) -> Option<f64> {
    if low > high {
        return None;
    }
    let above = |base: Celsius| above(low.get(), high.get(), base.get(), method);
    let over_the_top = cutoffs.upper.map_or(0.0, above);
    Some((above(cutoffs.base) - over_the_top).max(0.0))
}

fn above(low: f64, high: f64, base: f64, method: Method) -> f64 {
    let mean = (low + high) / 2.0;
    if method == Method::Average || base <= low || base >= high {
        return (mean - base).max(0.0);
    }
    match method {
        Method::Sine => {
            let swing = (high - low) / 2.0;
            // Rounding may carry the quotient a hair past one.
            let rises_at = libm::asin(((base - mean) / swing).clamp(-1.0, 1.0));
            ((mean - base) * (FRAC_PI_2 - rises_at) + swing * libm::cos(rises_at)) / PI
        }
        Method::Triangle => (high - base) * (high - base) / (2.0 * (high - low)),
        Method::FourCase if mean > base => (high - base) / 2.0 - (base - low) / 4.0,
        Method::FourCase | Method::Average => (high - base) / 4.0,
    }
}

/// The degree-days of a span.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Sum {
    /// Degree-days in °C of the days that have both readings.
    pub degree_days: f64,
    /// How many days have both readings.
    pub days: u32,
    /// How many days of the span have not: they add nothing, so the sum is too small by theirs.
    pub missing: u32,
}

/// The degree-days of a span, and of each year of it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Sums {
    /// The whole.
    pub total: Sum,
    /// Each calendar year's part.
    pub by_year: BTreeMap<i16, Sum>,
}

/// The degree-days from the first to the last of these days, both included; without them, of the whole
/// series.
pub fn sum(
    series: &DailySeries,
    (from, to): (Option<Date>, Option<Date>),
    cutoffs: Cutoffs,
    method: Method,
) -> Sums {
    let mut sums = Sums::default();
    let (Some(from), Some(to)) = (from.or(series.first()), to.or(series.last())) else {
        return sums;
    };
    let mut day = Some(from).filter(|from| *from <= to);
    while let Some(date) = day {
        let warmth = series
            .get(date)
            .and_then(|day| of_day(day.low?, day.high?, cutoffs, method));
        for sum in [&mut sums.total, sums.by_year.entry(date.year()).or_default()] {
            match warmth {
                Some(degree_days) => {
                    sum.degree_days += degree_days;
                    sum.days += 1;
                }
                None => sum.missing += 1,
            }
        }
        day = date.tomorrow().ok().filter(|next| *next <= to);
    }
    sums
}
