//! How strong the colonies of a hive are, estimated from the last looks: bees, brood, honey and pollen.

use apiary::arena::HiveId;
use apiary::colony::answers::{BarStrength, PartStrength, strengths};
use jiff::civil::Date;
use page::{Block, Column, Table, Tone, Words};
use quantity::Estimate;
use reckon::strength::{FLIGHT_CAUTION, SOURCES, Strength};

use crate::reader::Reader;
use crate::sheets::{path, reason};

/// How old the oldest look under a sum may be before its age is said as a warning: brood of three weeks ago has
/// emerged (common practice, no source).
const OLD_DAYS: i32 = 21;

/// A kind of what is estimated.
pub(crate) struct Kind {
    /// What it is called.
    pub(crate) name: &'static str,
    /// Its unit; nothing where the name says it.
    pub(crate) unit: &'static str,
    /// Its key in JSON, without the unit.
    pub(crate) key: &'static str,
    /// The unit at the end of the key.
    pub(crate) key_unit: &'static str,
    /// Where it stands.
    pub(crate) of: fn(&Strength) -> Option<Estimate>,
}

/// So many of the kinds, from the first on, are bees and brood.
const BROOD: usize = 6;

/// Every kind, in the order in which it is told.
pub(crate) const KINDS: [Kind; 8] = [
    kind("Bees", "", ("bees", "count"), |s| s.bees),
    kind("Eggs", "cells", ("eggs", "cells"), |s| s.eggs),
    kind("Open worker brood", "cells", ("open_brood", "cells"), |s| {
        s.open_cells
    }),
    kind("Sealed worker brood", "cells", ("sealed_brood", "cells"), |s| {
        s.sealed_cells
    }),
    kind(
        "Worker brood, all stages",
        "cells",
        ("worker_brood", "cells"),
        |s| s.brood_cells,
    ),
    kind("Drone brood", "cells", ("drone_brood", "cells"), |s| {
        s.drone_cells
    }),
    kind("Honey", "kg", ("honey", "kg"), |s| s.honey_kg),
    kind("Pollen", "kg", ("pollen", "kg"), |s| s.pollen_kg),
];

const fn kind(
    name: &'static str,
    unit: &'static str,
    (key, key_unit): (&'static str, &'static str),
    of: fn(&Strength) -> Option<Estimate>,
) -> Kind {
    Kind {
        name,
        unit,
        key,
        key_unit,
        of,
    }
}

/// The days of the looks that a part stands on, the first and the last.
pub(crate) fn looked_between(reader: &Reader<'_>, part: &PartStrength) -> Option<(Date, Date)> {
    let days = || {
        let looks = part.bars.iter().filter(|bar| says_something(&bar.strength));
        looks.filter_map(|bar| Some(reader.entry(bar.look?).envelope.day))
    };
    days().min().zip(days().max())
}

fn says_something(strength: &Strength) -> bool {
    KINDS.iter().any(|kind| (kind.of)(strength).is_some())
}

/// A number with no more digits than its interval bears out, and its bounds with as many.
struct Rounded {
    value: String,
    lo: String,
    hi: String,
}

fn rounded(of: Estimate) -> Rounded {
    let width = (of.hi() - of.lo()).max(of.value().abs() * 1e-3);
    // The greatest power of ten of which fifteen fit into the interval, from grams to ten thousands.
    let exponent = (-3..=4)
        .rev()
        .find(|exponent| 10f64.powi(*exponent) * 15.0 <= width);
    let exponent = if width > 0.0 { exponent.unwrap_or(-3) } else { 0 };
    let step = 10f64.powi(exponent);
    let places = usize::try_from(-exponent).unwrap_or(0);
    let print = |number: f64| format!("{:.places$}", (number / step).round() * step);
    Rounded {
        value: print(of.value()),
        lo: print(of.lo()),
        hi: print(of.hi()),
    }
}

/// `12400 (9800 to 15600)`; the number alone where nothing is in doubt.
fn in_words(of: Estimate, unit: &str) -> String {
    let digits = rounded(of);
    let unit = if unit.is_empty() {
        String::new()
    } else {
        format!(" {unit}")
    };
    if digits.lo == digits.hi {
        format!("{}{unit}", digits.value)
    } else {
        format!("{}{unit} ({} to {})", digits.value, digits.lo, digits.hi)
    }
}

/// What is estimated, a part for each colony. Without a pattern it says what is missing.
pub(super) fn strength_section(reader: &Reader<'_>, id: HiveId) -> Option<Block> {
    let h = reader.holding();
    let notes = |entry| reader.note(entry);
    let name = h.hives[id].label.as_str();
    let heading = "How strong, by the last looks";
    let Some(parts) = strengths(h, &notes, id) else {
        return h.hives[id].bars.iter().any(|bar| h.bars[*bar].comb.is_some()).then(|| {
            Block::section(
                heading,
                [Block::text(
                    "It was built after no pattern, so nobody knows how large its combs are, and nothing can be estimated.",
                )],
            )
        });
    };
    if parts.is_empty() {
        return None;
    }
    let several = parts.len() > 1;
    let mut blocks = Vec::new();
    for (n, part) in parts.iter().enumerate() {
        let of = part.colony.map_or_else(
            || "combs without bees".to_owned(),
            |colony| h.colonies[colony].label.to_string(),
        );
        let caption = if several {
            format!("Estimated on the combs of {of}")
        } else {
            format!("Estimated on the combs of {name}")
        };
        let told = part_blocks(reader, part, &caption, (name, n));
        if several {
            blocks.push(Block::section(of, told));
        } else {
            blocks.extend(told);
        }
    }
    blocks.push(Block::notice(Tone::Plain, FLIGHT_CAUTION));
    let mut sources = Words::new("Each interval is meant to hold the truth nine times in ten. Reckoned by ");
    for (n, source) in SOURCES.iter().enumerate() {
        let between = match n {
            0 => "",
            last if last + 1 == SOURCES.len() => " and ",
            _ => ", ",
        };
        sources = sources
            .plain(between)
            .link(source.id, reader.link(&format!("/sources#{}", source.id)));
    }
    blocks.push(Block::Text(sources.plain(".")));
    Some(Block::section(heading, blocks))
}

fn part_blocks(
    reader: &Reader<'_>,
    part: &PartStrength,
    caption: &str,
    (name, n): (&str, usize),
) -> Vec<Block> {
    let Some((first, last)) = looked_between(reader, part) else {
        return vec![Block::text(format!(
            "{caption}: nothing. No look has told what is on them, and what is not said is unknown, not nothing."
        ))];
    };
    let columns = vec![
        Column::words("What"),
        Column::amounts("About"),
        Column::amounts("At least"),
        Column::amounts("At most"),
        Column::words("Told by"),
    ];
    let why = reason(reader, &["strength", name]);
    let of = part.bars.len();
    let (told, untold): (Vec<&Kind>, Vec<&Kind>) =
        KINDS.iter().partition(|kind| (kind.of)(&part.whole).is_some());
    let rows = told.into_iter().map(|kind| {
        let heading = match kind.unit {
            "" => kind.name.to_owned(),
            unit => format!("{}, {unit}", kind.name),
        };
        let mut row = vec![Words::new(heading)];
        if let Some(digits) = (kind.of)(&part.whole).map(rounded) {
            row.extend([
                Words::because(digits.value, why.clone()),
                Words::amount(digits.lo),
                Words::amount(digits.hi),
            ]);
        }
        let told = part.told(|strength| (kind.of)(strength).is_some());
        row.push(Words::new(match told {
            1 if of == 1 => "the one comb".to_owned(),
            told if told == of => format!("all {of} combs"),
            told => format!("{told} of {of} combs"),
        }));
        row
    });
    let brood = brood_last_told(reader, part);
    let mut age = age_said(reader, first, last, brood);
    let untold: Vec<String> = untold.iter().map(|kind| kind.name.to_lowercase()).collect();
    if !untold.is_empty() {
        let those = crate::sheets::meaning::listed(&untold);
        age.push_str(&format!(
            " No look told of {those}: that is not known, and not nothing."
        ));
    }
    vec![
        Block::Table(Table::new(caption, columns, "").with(rows)),
        Block::text(age),
        Block::Folded {
            summary: "Comb by comb, in numbers".to_owned(),
            blocks: vec![Block::Table(bars_table(reader, part, (name, n)))],
        },
    ]
}

/// Of which days the looks are, and how long ago; a sum counts only the combs that tell.
/// The day of the newest look that told brood or bees.
fn brood_last_told(reader: &Reader<'_>, part: &PartStrength) -> Option<Date> {
    let tells = |strength: &Strength| KINDS[..BROOD].iter().any(|kind| (kind.of)(strength).is_some());
    let looks = part.bars.iter().filter(|bar| tells(&bar.strength));
    looks
        .filter_map(|bar| Some(reader.entry(bar.look?).envelope.day))
        .max()
}

fn age_said(reader: &Reader<'_>, first: Date, last: Date, brood: Option<Date>) -> String {
    let looks = if first == last {
        format!("By the look of {first}")
    } else {
        format!("By looks from {first} to {last}")
    };
    let days = (reader.day() - first).get_days();
    let age = match days {
        0 => ", that day".to_owned(),
        1 => ", the day before".to_owned(),
        days if first == last => format!(", {days} days before"),
        days => format!(", the oldest {days} days before"),
    };
    let is_old = brood.is_some_and(|day| (reader.day() - day).get_days() > OLD_DAYS);
    let old = if is_old {
        " All the worker brood that was told has emerged since, and bees and stores are others: these numbers are of then and not of now."
    } else {
        ""
    };
    format!(
        "{looks}{age} ({}).{old} A sum counts only the combs that tell.",
        reader.day()
    )
}

fn bars_table(reader: &Reader<'_>, part: &PartStrength, (name, n): (&str, usize)) -> Table {
    let columns = vec![
        Column::amounts("Bar"),
        Column::words("Seen"),
        Column::words("Bees"),
        Column::words("Worker brood, cells"),
        Column::words("Drone brood, cells"),
        Column::words("Honey, kg"),
        Column::words("Pollen, kg"),
    ];
    let cell = |of: Option<Estimate>| Words::new(of.map_or_else(|| "–".to_owned(), |of| in_words(of, "")));
    let row = |bar: &BarStrength| {
        let place = bar.place.to_string();
        let seen = bar.look.map(|look| reader.entry(look).envelope.day);
        vec![
            Words::because(place.clone(), reason(reader, &["comb", name, &place])),
            crate::sheets::day(seen),
            cell(bar.strength.bees),
            cell(bar.strength.brood_cells),
            cell(bar.strength.drone_cells),
            cell(bar.strength.honey_kg),
            cell(bar.strength.pollen_kg),
        ]
    };
    let csv = reader.link(&format!("{}.csv?table={}", path(&["hive", name]), n + 2));
    Table::new(format!("Estimates for {name}, part {}", n + 1), columns, "")
        .csv(csv)
        .with(part.bars.iter().map(row))
}

/// In one line for the terminal, a line for each colony.
pub(in crate::sheets) fn strength_in_short(reader: &Reader<'_>, id: HiveId) -> Vec<Words> {
    let h = reader.holding();
    let notes = |entry| reader.note(entry);
    let parts = strengths(h, &notes, id).unwrap_or_default();
    let several = parts.len() > 1;
    let said = parts.iter().filter_map(|part| {
        let (first, _) = looked_between(reader, part)?;
        let days = (reader.day() - first).get_days();
        let mut said: Vec<String> = Vec::new();
        let mut say = |of: Option<Estimate>, unit: &str, what: &str| {
            if let Some(of) = of {
                said.push(format!("{what} {}", in_words(of, unit)));
            }
        };
        // Of bees and brood long ago nothing is left that could be counted with.
        let is_old =
            brood_last_told(reader, part).is_some_and(|day| (reader.day() - day).get_days() > OLD_DAYS);
        if !is_old {
            say(part.whole.bees, "", "bees");
            say(part.whole.brood_cells, "cells", "worker brood");
        }
        say(part.whole.honey_kg, "kg", "honey");
        say(part.whole.pollen_kg, "kg", "pollen");
        let who = match part.colony {
            Some(colony) if several => format!("{}, estimated", h.colonies[colony].label),
            _ => "Estimated".to_owned(),
        };
        let age = match days {
            0 => String::new(),
            1 => " (the oldest look is 1 day old)".to_owned(),
            days => format!(" (the oldest look is {days} days old)"),
        };
        (!said.is_empty()).then(|| Words::new(format!("{who}: {}{age}.", said.join("; "))))
    });
    said.collect()
}

/// One comb's estimates, a row for each kind that is known.
pub(super) fn of_one_comb(reader: &Reader<'_>, id: HiveId, place: u16) -> Vec<(String, Words)> {
    let notes = |entry| reader.note(entry);
    let parts = strengths(reader.holding(), &notes, id).unwrap_or_default();
    let bar = parts
        .iter()
        .flat_map(|part| &part.bars)
        .find(|bar| bar.place == place);
    let Some(bar) = bar else { return Vec::new() };
    KINDS
        .iter()
        .filter_map(|kind| {
            let of = (kind.of)(&bar.strength)?;
            Some((kind.name.to_owned(), Words::new(in_words(of, kind.unit))))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_has_no_more_digits_than_its_interval_bears_out() {
        let said = |value, lo, hi, unit| in_words(Estimate::new(value, lo, hi).expect("in order"), unit);
        assert_eq!(said(12_431.0, 9_812.0, 15_644.0, ""), "12400 (9800 to 15600)");
        assert_eq!(said(8.2345, 6.91, 10.02, "kg"), "8.2 kg (6.9 to 10.0)");
        assert_eq!(said(0.1234, 0.05, 0.2, "kg"), "0.12 kg (0.05 to 0.20)");
        assert_eq!(said(0.0, 0.0, 0.0, "cells"), "0 cells");
    }
}
