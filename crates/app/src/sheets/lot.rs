//! One lot: where it came from and where it went.

use apiary::honey::answers as honey;
use apiary::trade::state::Lot;
use page::{Block, Column, Page, Table, Words};

use super::figures::{between, kg};
use super::{Part, container_link, handle, hive_link, lot_link, note_path, part_of, path, reason, to_write};
use crate::reader::Reader;

/// One lot. `None` if there is no such lot.
pub fn lot(reader: &Reader<'_>, name: &str, part: Part) -> Option<Page> {
    let blocks = lot_blocks(reader, name, part)?;
    let label = &path(&[name])[1..];
    let of = |verb: &str, form: usize| format!("/write/{verb}?form={form}&lot={label}");
    Some(Page::new(format!("Lot {name}")).with(blocks).with([to_write(&[
        ("Sold", of("sell", 4)),
        ("Left at a shop", of("consign", 1)),
        ("Back from a shop", of("consign", 0)),
        ("Given away", of("give", 0)),
        ("Taken for the own table", of("take", 0)),
        ("Money given back", of("refund", 0)),
        ("Spoilt", of("spoil", 0)),
        ("Counted", of("tally", 1)),
    ])]))
}

/// The parts of a lot's page. `None` if there is no such lot.
pub fn lot_blocks(reader: &Reader<'_>, name: &str, part: Part) -> Option<Vec<Block>> {
    let h = reader.holding();
    let id = h.stock.lot_labels.get(name)?;
    let lot = &h.stock.lots[id];
    let trace = honey::trace(h, id);
    let mut blocks = vec![Block::text(first_sentence(reader, lot))];
    if let (Some(water), Some(reading)) = (trace.moisture(), &trace.reading) {
        let assumed = if reading.assumed_20_c {
            "; 20 °C is assumed, none was noted"
        } else {
            ""
        };
        let words = Words::new("Water ")
            .number(
                format!("{:.1}", water.percent),
                Some("%"),
                Some(note_path(reader.books(), reading.entry)),
            )
            .plain(format!(" ({:.1} to {:.1}), from ", water.lo, water.hi))
            .and(handle(reader, reading.entry))
            .plain(format!("{assumed}. Relation of "))
            .link("Wedmore 1955", reader.link("/sources#wedmore-1955"))
            .plain(".");
        blocks.push(Block::Text(words));
    }
    if trace.poured_since {
        blocks.push(Block::text("Something was poured in after the water was read."));
    }
    if !trace.tanks.is_empty() {
        let mut words = Words::new("Through ");
        for (n, tank) in trace.tanks.iter().enumerate() {
            words = words
                .plain(if n > 0 { ", " } else { "" })
                .and(container_link(reader, tank));
        }
        blocks.push(Block::Text(words.plain(".")));
    }
    blocks.extend(
        trace
            .unknown
            .iter()
            .map(|older| Block::text(format!("What was in {older} is older than these books."))),
    );
    blocks.push(Block::Table(origins(reader, name, &trace.from, part)));
    if trace.from.len() > 1 && !trace.tanks.is_empty() {
        blocks.push(Block::text(
            "These combs came together on the way: the lot may hold honey of any of them, and other lots may too. Each comb is given whole.",
        ));
    }
    if !lot.sales.is_empty() || lot.made > lot.on_hand() {
        blocks.push(Block::Table(went(reader, lot)));
    }
    Some(blocks)
}

fn first_sentence(reader: &Reader<'_>, lot: &Lot) -> Words {
    let why = || Some(reason(reader, &["lot", lot.label.as_str()]));
    let filled = lot.filled_on.map_or_else(
        || "from before the books".to_owned(),
        |day| format!("filled on {day}"),
    );
    Words::new(format!("Lot {}: {} of ", lot.label, lot.product))
        .number(lot.net.to_g().to_string(), Some("g"), why())
        .plain(format!(", {filled}. "))
        .number(lot.made.to_string(), None, why())
        .plain(" made, ")
        .number(lot.on_hand().to_string(), None, why())
        .plain(" on the shelf, ")
        .number(lot.held_elsewhere().to_string(), None, why())
        .plain(" at shops.")
}

fn origins(reader: &Reader<'_>, name: &str, from: &[honey::Origin], part: Part) -> Table {
    let columns = vec![
        Column::words("Hive"),
        Column::amounts("Bar"),
        Column::words("Yard"),
        Column::words("Cut on"),
        Column::amounts("Whole comb kg"),
        Column::words("From – to"),
        Column::words("Pail"),
        Column::words("Note"),
    ];
    let to = |number| reader.link(&format!("{}?part={number}", path(&["lot", name])));
    let table = Table::new(
        "Where it came from",
        columns,
        "No comb is known that it came from.",
    );
    part_of(table, from, part, to, |origin| {
        vec![
            hive_link(reader, &origin.hive),
            Words::amount(origin.bar.to_string()),
            Words::new(origin.yard.clone().unwrap_or_default()),
            Words::new(origin.cut_on.to_string()),
            Words::because(kg(origin.comb.kg), note_path(reader.books(), origin.entry)),
            Words::new(between(origin.comb)),
            origin
                .pail
                .as_ref()
                .map_or_else(Words::default, |pail| container_link(reader, pail)),
            handle(reader, origin.entry),
        ]
    })
}

fn went(reader: &Reader<'_>, lot: &Lot) -> Table {
    let columns = vec![
        Column::words("When"),
        Column::words("To"),
        Column::amounts("Pieces"),
        Column::amounts("For"),
    ];
    let rows = lot.sales.iter().map(|sale| {
        let why = note_path(reader.books(), sale.entry);
        vec![
            Words::linked(sale.day.to_string(), why.clone()),
            Words::new(sale.to.as_ref().map(ToString::to_string).unwrap_or_default()),
            Words::because(sale.count.to_string(), why.clone()),
            sale.for_money
                .map_or_else(Words::default, |money| Words::because(money.to_string(), why)),
        ]
    });
    let why = reason(reader, &["lot", lot.label.as_str()]);
    let besides = lot
        .held
        .iter()
        .map(|(shop, count)| (format!("stands at {shop}"), *count))
        .chain([
            ("given away".to_owned(), lot.given),
            ("taken for the own table".to_owned(), lot.taken),
            ("spoilt".to_owned(), lot.spoiled),
            ("on the shelf".to_owned(), lot.on_hand()),
        ])
        .filter(|(_, count)| *count != 0)
        .map(|(what, count)| {
            vec![
                Words::default(),
                Words::new(what),
                Words::because(count.to_string(), why.clone()),
                Words::default(),
            ]
        });
    Table::new("Where it went", columns, "").with(rows.chain(besides))
}

/// How many lots the round tells of, the newest.
const MOST_LOTS: usize = 25;

/// The lots on the shelf and at shops, as the round tells them.
pub(super) fn in_short(reader: &Reader<'_>) -> Vec<Block> {
    let lots: Vec<&Lot> = reader
        .holding()
        .stock
        .lots
        .iter()
        .map(|(_, lot)| lot)
        .filter(|lot| lot.on_hand() != 0 || lot.held_elsewhere() != 0)
        .collect();
    if lots.is_empty() {
        return vec![Block::text("Nothing is on the shelf.")];
    }
    let columns = vec![
        Column::words("Lot"),
        Column::words("Product"),
        Column::amounts("Net g"),
        Column::amounts("On the shelf"),
        Column::amounts("At shops"),
    ];
    let more = lots.len().saturating_sub(MOST_LOTS);
    let rows = lots.into_iter().rev().take(MOST_LOTS).rev().map(|lot| {
        let why = reason(reader, &["lot", lot.label.as_str()]);
        vec![
            lot_link(reader, lot.label.as_str()),
            Words::new(lot.product.clone()),
            Words::amount(lot.net.to_g().to_string()),
            Words::because(lot.on_hand().to_string(), why.clone()),
            Words::because(lot.held_elsewhere().to_string(), why),
        ]
    });
    let table = Table::new("Lots on the shelf and at shops", columns, "").with(rows);
    let mut blocks = vec![Block::Table(table)];
    if more > 0 {
        blocks.push(Block::Text(
            Words::new(format!("And {more} older lots, "))
                .link("all of them at the stall", reader.link("/stall"))
                .plain("."),
        ));
    }
    blocks
}
