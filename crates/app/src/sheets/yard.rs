//! The yards and all hives as one table.

use apiary::colony::answers as colony;
use page::{Block, Column, Page, Table, Words};

use super::{Part, comb, day, hive_link, part_of, reason, to_write};
use crate::reader::Reader;

/// All hives, the yards they stand in and what they are built after.
pub fn yard(reader: &Reader<'_>, part: Part) -> Page {
    let h = reader.holding();
    let yards: Vec<Words> = h
        .ground
        .yards
        .iter()
        .filter(|(_, yard)| !yard.closed)
        .map(|(id, yard)| {
            let stand = h
                .hives
                .iter()
                .filter(|(_, hive)| hive.yard == Some(id) && !hive.gone)
                .count();
            let hives = if stand == 1 { " hive" } else { " hives" };
            Words::default()
                .strong(yard.label.to_string())
                .plain(": ")
                .number(
                    stand.to_string(),
                    None,
                    Some(reason(reader, &["yard", yard.label.as_str()])),
                )
                .plain(hives)
        })
        .collect();
    let mut page = Page::new("Yard").with(yard_table(reader, part));
    if !yards.is_empty() {
        page.blocks
            .push(Block::section("Where hives stand", [Block::List(yards)]));
    }
    let patterns: Vec<_> = h
        .ground
        .patterns
        .iter()
        .filter_map(|(_, pattern)| comb::section_drawing(pattern))
        .collect();
    if !patterns.is_empty() {
        page.blocks.push(Block::section(
            "What they are built after",
            [
                Block::text(Words::new(
                    "Each section at true scale against the others: walls and floor, and inside them the comb that bees build out to their own space.",
                )),
                Block::Gallery(patterns),
            ],
        ));
    }
    page.with([to_write(&[
        ("A yard", "/write/yard".to_owned()),
        ("A pattern of hives", "/write/pattern".to_owned()),
        ("A hive", "/write/hive".to_owned()),
        ("A hive carried to another yard", "/write/carry".to_owned()),
        ("Bees put into a hive", "/write/install".to_owned()),
        ("A swarm", "/write/swarm".to_owned()),
        ("Bloom, flow or weather", "/write/bloom".to_owned()),
    ])])
}

/// All hives as one table.
pub fn yard_blocks(reader: &Reader<'_>) -> Vec<Block> {
    yard_table(reader, Part::ALL)
}

fn yard_table(reader: &Reader<'_>, part: Part) -> Vec<Block> {
    let rows = colony::yard(reader.holding());
    if rows.is_empty() {
        return vec![
            Block::text("No hive is in these books yet. A yard and a hive begin them:"),
            Block::List(vec![
                Words::default().note("2026-03-01 yard orchard at 52.1 -2.4"),
                Words::default().note("2026-03-01 hive alder in orchard bars 27"),
            ]),
        ];
    }
    let columns = vec![
        Column::words("Hive"),
        Column::words("Yard"),
        Column::words("Pattern"),
        Column::amounts("Places"),
        Column::amounts("Combs"),
        Column::words("Colonies"),
        Column::words("Last look"),
    ];
    let table = Table::new("Hives", columns, "").csv(reader.link("/yard.csv?table=1"));
    let to = |number| reader.link(&format!("/yard?part={number}"));
    let table = part_of(table, &rows, part, to, |row| {
        let colonies = row
            .colonies
            .iter()
            .map(|(label, since)| format!("{label} since {since}"))
            .collect::<Vec<_>>()
            .join(", ");
        let why = reason(reader, &["hive", &row.hive]);
        vec![
            hive_link(reader, &row.hive),
            Words::new(row.yard.clone().unwrap_or_else(|| "store".to_owned())),
            Words::new(row.pattern.clone().unwrap_or_default()),
            Words::because(row.places.to_string(), why.clone()),
            Words::because(row.combs.to_string(), why),
            Words::new(if colonies.is_empty() {
                "no bees".to_owned()
            } else {
                colonies
            }),
            day(row.last_look),
        ]
    });
    vec![Block::Table(table)]
}
