//! How long a colony may go without a look, by the time of the year.

use jiff::civil::Date;
use quantity::Source;
use reckon::sources::COMMON_PRACTICE;

/// How often a colony is looked at in a month.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spacing {
    /// A look is due after so many days.
    pub days: i32,
    /// As a sentence tells it: `every 14 days`.
    pub says: &'static str,
    /// Whether hives are opened at all.
    pub opens: bool,
    /// Whether colonies may swarm.
    pub swarms: bool,
    /// Where the rule comes from.
    pub source: &'static Source,
}

/// How often colonies are looked at, on this day, on this side of the equator: every 14 days from April to September
/// and every 42 in the rest of the year, north of it (common practice, no source; keepers who stop swarms by looking
/// do so every 7 to 10 days from April to June, because a cell is sealed 8 to 9 days after its egg).
pub fn spacing(day: Date, southern: bool) -> Spacing {
    let month = if southern {
        (day.month() + 5) % 12 + 1
    } else {
        day.month()
    };
    let (days, says) = match month {
        4..=6 => (
            14,
            "every 14 days, or every 7 to 10 where swarms are to be stopped",
        ),
        7..=9 => (14, "every 14 days"),
        _ => (42, "every 42 days"),
    };
    Spacing {
        days,
        says,
        opens: (3..=10).contains(&month),
        swarms: (4..=7).contains(&month),
        source: &COMMON_PRACTICE,
    }
}
