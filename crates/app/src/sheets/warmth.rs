//! The warmth of the year on the page of the calendar: how this season stands to earlier ones, and what came when.

use apiary::arena::YardId;
use jiff::civil::Date;
use page::{Block, Column, Table, Words};
use reckon::degree_days::Sum;
use reckon::sources::COMMON_PRACTICE;

use super::handle;
use super::meaning::by;
use crate::reader::Reader;
use crate::warmth::{BASE_C, Before, Came, METHOD, Mark, Reached, Warmth, warmth};

/// The warmth of each yard of which there is weather; nothing where no yard has any bees or weather.
pub(super) fn warmth_blocks(reader: &Reader<'_>) -> Vec<Block> {
    let yards: Vec<(YardId, Option<Warmth>)> = reader
        .holding()
        .ground
        .yards
        .iter()
        .map(|(id, _)| (id, warmth(reader, id)))
        .collect();
    if yards.is_empty() {
        return Vec::new();
    }
    let known: Vec<&Warmth> = yards
        .iter()
        .filter_map(|(_, warmth)| warmth.as_ref())
        .filter(|warmth| warmth.is_known())
        .collect();
    let bring_in = Words::new("Bring in a file of ").link("daily weather", "/books/weather");
    let scarce: Vec<Words> = yards
        .iter()
        .filter_map(|(_, warmth)| warmth.as_ref())
        .filter(|warmth| !warmth.is_known())
        .map(|warmth| Words::new(scarce(reader, warmth)))
        .collect();
    if known.is_empty() && !scarce.is_empty() {
        return vec![Block::section("The warmth of the year", [Block::List(scarce)])];
    }
    if known.is_empty() {
        let says = bring_in.plain(
            " of a station near by, and this page tells how far the season is beside earlier ones, and when plants and swarms came at that warmth before.",
        );
        return vec![Block::section("The warmth of the year", [Block::Text(says)])];
    }
    let mut blocks = vec![Block::Text(
        Words::new(format!(
            "Warmth is counted in degree-days above {BASE_C:.0} °C since midwinter, by a single sine through the lowest and highest of each day ("
        ))
        .and(by(reader, METHOD.source()))
        .plain("; the base is common practice, ")
        .and(by(reader, &COMMON_PRACTICE))
        .plain("). Plants and bees follow more than warmth: dates ahead are told at the pace of a year that was measured, and none is a promise."),
    )];
    blocks.extend(known.iter().map(|warmth| of_yard(reader, warmth)));
    let lacking = yards.len() - known.len() - scarce.len();
    if !scarce.is_empty() {
        blocks.push(Block::List(scarce));
    }
    if lacking > 0 {
        let says = match lacking {
            1 => "Of one other yard no weather is known. ".to_owned(),
            many => format!("Of {many} other yards no weather is known. "),
        };
        blocks.push(Block::Text(Words::new(says).and(bring_in).plain(".")));
    }
    vec![Block::section("The warmth of the year", blocks)]
}

fn scarce(reader: &Reader<'_>, warmth: &Warmth) -> String {
    let Sum { days, missing, .. } = warmth.sum;
    format!(
        "{}: {days} of the {} days from {} to {} have their readings, too few to be told beside another year.",
        reader.holding().ground.yards[warmth.yard].label,
        days + missing,
        warmth.since,
        warmth.until
    )
}

fn of_yard(reader: &Reader<'_>, warmth: &Warmth) -> Block {
    let label = reader.holding().ground.yards[warmth.yard].label.to_string();
    let mut lines = vec![Words::new(format!(
        "{} degree-days from {} to {}{}.",
        whole(warmth.sum.degree_days),
        warmth.since,
        warmth.until,
        lacking(warmth.sum)
    ))];
    lines.extend(warmth.before.iter().map(beside));
    let mut blocks = vec![Block::List(lines)];
    if !warmth.marks.is_empty() {
        let columns = vec![
            Column::words("What"),
            Column::words("Came before"),
            Column::words("This season"),
        ];
        let rows = warmth.marks.iter().map(|mark| row(reader, mark));
        blocks.push(Block::Table(
            Table::new("What came at which warmth", columns, "").with(rows),
        ));
    }
    Block::section(label, blocks)
}

fn lacking(sum: Sum) -> String {
    match sum.missing {
        0 => String::new(),
        1 => "; one day lacks its readings and adds nothing".to_owned(),
        many => format!("; {many} days lack their readings and add nothing"),
    }
}

fn beside(before: &Before) -> Words {
    let year = before.since.year();
    let of = format!(
        "{year}: {} by {}{}",
        whole(before.sum.degree_days),
        before.until,
        lacking(before.sum)
    );
    Words::new(match before.as_warm {
        Some((_, 0)) => format!("{of}. This season is level with it."),
        Some((day, ahead)) => {
            let days = if ahead.abs() == 1 { "day" } else { "days" };
            let way = if ahead > 0 { "ahead of" } else { "behind" };
            format!(
                "{of}. It was as warm as now on {day}: this season is {} {days} {way} it.",
                ahead.abs()
            )
        }
        None => format!("{of}. It cannot be compared."),
    })
}

fn row(reader: &Reader<'_>, mark: &Mark) -> Vec<Words> {
    let mut before = Words::default();
    for (n, came) in mark.earlier.iter().enumerate() {
        before = before
            .plain(if n > 0 { "; " } else { "" })
            .and(came_words(reader, came));
    }
    let now = match (&mark.now, mark.warm_enough) {
        (Some(came), _) => came_words(reader, came),
        (None, Some(reached)) => Words::new(reached_said(reached)),
        (None, None) => Words::new("not noted"),
    };
    vec![Words::new(mark.what.clone()), before, now]
}

fn came_words(reader: &Reader<'_>, came: &Came) -> Words {
    let at = came
        .degree_days
        .map_or_else(String::new, |sum| format!(" at {}", whole(sum)));
    Words::new(format!("{}{at} (", came.day))
        .and(handle(reader, came.entry))
        .plain(")")
}

fn reached_said(reached: Reached) -> String {
    let days = |from: Date, to: Date| {
        if from == to {
            from.to_string()
        } else {
            format!("{from} to {to}")
        }
    };
    let days = days(reached.from, reached.to);
    if reached.ahead {
        format!("not noted; as warm by about {days}, at the pace of before")
    } else {
        format!("not noted; as warm since {days}")
    }
}

fn whole(degree_days: f64) -> String {
    format!("{degree_days:.0}")
}
