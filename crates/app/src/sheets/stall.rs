//! The stall: lots, goods bought for use, prices, orders, invoices.

use apiary::trade::state::{Lot, Measure};
use page::{Block, Column, Page, Table, Words};

use super::figures::signed;
use super::{Part, lot_link, note_path, part_of, reason, to_write};
use crate::reader::Reader;

pub(super) use super::lot::in_short;

/// The stall.
pub fn stall(reader: &Reader<'_>, part: Part) -> Page {
    let mut page = Page::new("Stall");
    page.blocks
        .push(Block::section("Lots", [Block::Table(lots(reader, part))]));
    page.blocks.push(Block::section(
        "Goods bought for use",
        [Block::Table(goods(reader))],
    ));
    page.blocks
        .push(Block::section("Prices asked", [Block::Table(prices(reader))]));
    page.blocks
        .push(Block::section("Orders", [Block::Table(orders(reader))]));
    page.blocks
        .push(Block::section("Invoices", [Block::Table(invoices(reader))]));
    page.with([
        to_write(&[
            ("Jars sold", "/write/sell?form=4".to_owned()),
            ("Left at a shop", "/write/consign?form=1".to_owned()),
            ("A price", "/write/price".to_owned()),
            ("An order", "/write/order".to_owned()),
            ("An invoice", "/write/invoice".to_owned()),
            ("Money owed came in", "/write/paid".to_owned()),
            ("The shelf counted", "/write/tally?form=1".to_owned()),
            ("Goods bought", "/write/spend".to_owned()),
        ]),
        Block::care("Honey is not for infants under one year."),
        Block::text(
            "Labels, sales and food law differ from place to place: check with your local authority.",
        ),
    ])
}

/// Lots and goods in full, for the terminal.
pub fn stock_blocks(reader: &Reader<'_>) -> Vec<Block> {
    vec![Block::Table(lots(reader, Part::ALL)), Block::Table(goods(reader))]
}

fn lots(reader: &Reader<'_>, part: Part) -> Table {
    let lots: Vec<&Lot> = reader.holding().stock.lots.iter().map(|(_, lot)| lot).collect();
    let columns = vec![
        Column::words("Lot"),
        Column::words("Product"),
        Column::amounts("Net g"),
        Column::amounts("Made"),
        Column::amounts("Sold"),
        Column::amounts("Given"),
        Column::amounts("Taken"),
        Column::amounts("Spoilt"),
        Column::amounts("At shops"),
        Column::amounts("Counted off"),
        Column::amounts("On the shelf"),
    ];
    let table = Table::new("Lots, in pieces", columns, "No lot was filled yet.")
        .csv(reader.link("/stall.csv?table=1"));
    let to = |number| reader.link(&format!("/stall?part={number}"));
    part_of(table, &lots, part, to, |lot| {
        let why = reason(reader, &["lot", lot.label.as_str()]);
        let count = |count: i64| Words::because(count.to_string(), why.clone());
        vec![
            lot_link(reader, lot.label.as_str()),
            Words::new(lot.product.clone()),
            Words::amount(lot.net.to_g().to_string()),
            count(lot.made),
            count(lot.sold),
            count(lot.given),
            count(lot.taken),
            count(lot.spoiled),
            count(lot.held_elsewhere()),
            match lot.counted_off {
                0 => Words::default(),
                off => Words::because(signed(off), why.clone()),
            },
            count(lot.on_hand()),
        ]
    })
}

fn goods(reader: &Reader<'_>) -> Table {
    let columns = vec![
        Column::words("Goods"),
        Column::amounts("Bought"),
        Column::amounts("Used"),
        Column::amounts("On hand"),
        Column::words("Unit"),
    ];
    let rows = reader.holding().stock.goods.iter().map(|(name, good)| {
        let why = reason(reader, &["good", name]);
        let amount = |steps: i64| {
            let digits = match good.measure {
                Measure::Pieces => steps.to_string(),
                Measure::Mass => format!("{:.3}", steps as f64 / 1e12),
                Measure::Volume => format!("{:.3}", steps as f64 / 1e6),
            };
            Words::because(digits, why.clone())
        };
        vec![
            Words::new(name.clone()),
            amount(good.bought),
            amount(good.used),
            amount(good.on_hand()),
            Words::new(match good.measure {
                Measure::Pieces => "pieces",
                Measure::Mass => "kg",
                Measure::Volume => "l",
            }),
        ]
    });
    Table::new(
        "Goods bought for use",
        columns,
        "No jars or other goods were bought yet.",
    )
    .with(rows)
    .csv(reader.link("/stall.csv?table=2"))
}

fn prices(reader: &Reader<'_>) -> Table {
    let columns = vec![
        Column::words("Product"),
        Column::words("Size"),
        Column::words("At"),
        Column::amounts("Price"),
        Column::words("Since"),
    ];
    let rows = reader.holding().stock.prices.iter().map(|asked| {
        vec![
            Words::new(asked.product.to_string()),
            Words::new(asked.size.to_string()),
            Words::new(asked.at.clone().unwrap_or_default()),
            Words::because(asked.price.to_string(), note_path(reader.books(), asked.entry)),
            Words::new(asked.since.to_string()),
        ]
    });
    Table::new(
        "What each product is to fetch",
        columns,
        "No price was noted yet.",
    )
    .with(rows)
}

fn orders(reader: &Reader<'_>) -> Table {
    let columns = vec![
        Column::words("From"),
        Column::words("Goods"),
        Column::words("By"),
        Column::words("Note"),
    ];
    let rows = reader.holding().stock.orders.iter().map(|order| {
        vec![
            Words::new(order.person.to_string()),
            Words::new(order.goods.to_string()),
            super::day(order.by),
            super::handle(reader, order.entry),
        ]
    });
    Table::new("Orders noted", columns, "Nobody has ordered anything.").with(rows)
}

fn invoices(reader: &Reader<'_>) -> Table {
    let columns = vec![
        Column::words("Number"),
        Column::words("To"),
        Column::amounts("Amount"),
        Column::amounts("Paid"),
        Column::words("Due"),
    ];
    let rows = reader.holding().stock.invoices.iter().map(|(number, invoice)| {
        let why = note_path(reader.books(), invoice.entry);
        let paid = quantity::Money::new(invoice.paid, invoice.amount.currency());
        vec![
            Words::linked(number.to_string(), why.clone()),
            Words::new(invoice.person.to_string()),
            Words::because(invoice.amount.to_string(), why.clone()),
            Words::because(paid.to_string(), why),
            super::day(invoice.due),
        ]
    });
    Table::new("Invoices", columns, "No invoice was sent yet.").with(rows)
}
