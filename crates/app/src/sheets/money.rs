//! Money: cash, what a kilo cost, cash by month, hours, things that last.

use apiary::money::answers as money;
use page::{Block, Column, Field, Form, Page, Table, Words};
use quantity::{Currency, Money};

use super::figures::kg;
use super::{note_path, reason, to_write};
use crate::reader::Reader;

/// Cash, costs and hours. A wage makes the keeper's own time count.
pub fn money(reader: &Reader<'_>, wage: Option<Money>, wage_said: &str, wage_wrong: Option<String>) -> Page {
    let cost = money::cost(reader.holding(), wage);
    let mut wage_form = Form::get("What an hour of your own time is worth", "/money");
    let mut field = Field::line("wage", "An hour of your own time")
        .value(wage_said)
        .hint("money with its currency, such as 15.00 GBP; it is not written down");
    field.wrong = wage_wrong;
    wage_form = wage_form.field(field).button("", "Reckon with it");
    if let Some(on) = reader.on {
        wage_form = wage_form.hidden("on", on.to_string());
    }
    let mut cost_part = cost_blocks(reader, &cost);
    cost_part.push(Block::Form(Box::new(wage_form)));
    Page::new("Money").with([
        Block::section("Cash", cash_blocks(reader)),
        Block::section("What a kilo cost", cost_part),
        Block::section("Cash by month", [Block::Table(by_month(reader))]),
        Block::section("Hours", [Block::Table(hours(reader))]),
        Block::section("Things that last", [Block::Table(owned(reader))]),
        to_write(&[
            ("Money spent", "/write/spend".to_owned()),
            ("Money received", "/write/receive".to_owned()),
            ("Jars sold", "/write/sell?form=4".to_owned()),
            ("A thing that lasts", "/write/own".to_owned()),
            ("Hours worked", "/write/hours".to_owned()),
            ("Travel", "/write/travel".to_owned()),
            ("A rate of exchange", "/write/rate".to_owned()),
        ]),
    ])
}

/// Cash in hand.
pub fn cash_blocks(reader: &Reader<'_>) -> Vec<Block> {
    let cash = &reader.holding().purse.cash;
    if cash.is_empty() {
        return vec![Block::text("No money was noted yet.")];
    }
    cash.iter()
        .map(|(currency, minor)| {
            Block::Text(Words::new("Cash in hand ").number(
                Money::new(*minor, *currency).to_string(),
                None,
                Some(reason(reader, &["cash"])),
            ))
        })
        .collect()
}

/// What a kilo of honey in jars cost.
pub fn cost_blocks(reader: &Reader<'_>, cost: &money::Cost) -> Vec<Block> {
    let currency = cost
        .currency
        .map_or_else(String::new, |currency| currency.as_str().to_owned());
    let why = || Some(reason(reader, &["cost"]));
    let sum = |words: Words, amount: f64| {
        words.number(
            format!("{amount:.2}"),
            Some(currency.as_str()).filter(|unit| !unit.is_empty()),
            why(),
        )
    };
    let words = Words::new("Honey in jars ")
        .number(kg(cost.honey_kg), Some("kg"), why())
        .plain(", spent ");
    let words = sum(words, cost.spend)
        .plain(", ")
        .number(
            format!("{:.2}", cost.hours),
            None,
            Some(reason(reader, &["hours"])),
        )
        .plain(" hours worked.");
    let mut blocks = vec![Block::Text(words)];
    match cost.per_kg {
        Some(per_kg) => blocks.push(Block::Text(
            sum(Words::new("A kilo cost "), per_kg).plain(" without the keeper's own time."),
        )),
        None => blocks.push(Block::text(
            "There is no honey in jars yet, so a kilo has no cost.",
        )),
    }
    if let Some(with_time) = cost.per_kg_with_time {
        blocks.push(Block::Text(sum(Words::new("With it, "), with_time).plain(".")));
    }
    blocks.extend(
        cost.notes
            .iter()
            .map(|note| Block::text(format!("Note: {note}."))),
    );
    blocks
}

fn by_month(reader: &Reader<'_>) -> Table {
    let columns = vec![
        Column::words("Month"),
        Column::amounts("In"),
        Column::amounts("Out"),
        Column::amounts("Difference"),
        Column::words("Currency"),
    ];
    let months = reader.holding().purse.by_month.iter().rev();
    let rows = months.map(|((year, month, currency), (came_in, went_out))| {
        let why = reason(reader, &["month", &format!("{year:04}-{month:02}")]);
        let amount =
            |minor: i64| Words::because(Money::new(minor, *currency).to_decimal().to_string(), why.clone());
        vec![
            Words::new(format!("{year:04}-{month:02}")),
            amount(*came_in),
            amount(*went_out),
            amount(came_in - went_out),
            Words::new(currency.as_str()),
        ]
    });
    Table::new(
        "Cash in and out by month; what was there at the beginning is left out",
        columns,
        "No money has come in or gone out yet.",
    )
    .with(rows)
    .csv(reader.link("/money.csv?table=1"))
}

fn hours(reader: &Reader<'_>) -> Table {
    let columns = vec![Column::words("Task"), Column::amounts("Hours")];
    let rows = reader.holding().purse.minutes.iter().map(|(task, minutes)| {
        vec![
            Words::new(task.to_string()),
            Words::because(
                format!("{:.2}", *minutes as f64 / 60.0),
                reason(reader, &["hours"]),
            ),
        ]
    });
    Table::new("Hours worked, by task", columns, "No hours were noted yet.")
        .with(rows)
        .csv(reader.link("/money.csv?table=2"))
}

fn owned(reader: &Reader<'_>) -> Table {
    let columns = vec![
        Column::words("What"),
        Column::amounts("Price"),
        Column::amounts("Life in years"),
        Column::words("Since"),
    ];
    let rows = reader.holding().purse.owned.iter().map(|owned| {
        vec![
            Words::new(owned.what.clone()),
            Words::because(owned.price.to_string(), note_path(reader.books(), owned.entry)),
            Words::amount(owned.life_years.to_string()),
            Words::new(owned.since.to_string()),
        ]
    });
    Table::new(
        "Things bought to last; they are no cost of one year's honey",
        columns,
        "Nothing was bought to last yet.",
    )
    .with(rows)
    .csv(reader.link("/money.csv?table=3"))
}

/// Reads a wage, such as `15.00 GBP`.
///
/// # Errors
/// How money is written, where this is none.
pub fn wage(said: &str) -> Result<Money, String> {
    let wrong = || "money is written with its currency, such as \"15.00 GBP\"".to_owned();
    let (digits, currency) = said.trim().rsplit_once(' ').ok_or_else(wrong)?;
    let currency = Currency::new(currency).ok_or_else(wrong)?;
    let digits = digits.trim().parse().map_err(|_| wrong())?;
    let wage = Money::from_decimal(digits, currency).ok_or_else(wrong)?;
    if wage.minor() < 0 {
        return Err("a wage is nothing or more, such as \"15.00 GBP\"".to_owned());
    }
    Ok(wage)
}
