//! Prices asked, orders and invoices.
//!
//! Holds true: each is as it was last said. A payment counts for the invoice whose number it says, in that invoice's
//! currency; nothing is guessed from the buyer or the sum.
//!
//! Does not: say which order a sale has met; the notes do not tell.

use jiff::civil::Date;
use quantity::{Money, Reading};

use super::state::{Stock, exact_size};
use crate::complaint::{Misgiving, Weight};
use crate::note::{Fact, Name, Value};
use crate::told::Told;

/// What a product is to fetch, as it was last said for its size and place.
#[derive(Clone, Debug)]
pub struct Asked {
    /// The product, in the word of the note.
    pub product: String,
    /// What one piece holds.
    pub size: Reading,
    /// What it is to fetch.
    pub price: Money,
    /// The place where it is asked; everywhere else where none was said.
    pub at: Option<String>,
    /// The day from which it is asked.
    pub since: Date,
    /// The entry.
    pub entry: usize,
}

/// Goods that somebody ordered.
#[derive(Clone, Debug)]
pub struct Order {
    /// The entry.
    pub entry: usize,
    /// The day it was placed.
    pub day: Date,
    /// Who ordered.
    pub person: Name,
    /// The goods, in the words of the note.
    pub goods: String,
    /// The day by which they are wanted.
    pub by: Option<Date>,
    /// The sum agreed.
    pub for_money: Option<Money>,
    /// The number of the order.
    pub number: Option<String>,
}

/// An invoice sent.
#[derive(Clone, Debug)]
pub struct Invoice {
    /// Its number.
    pub number: String,
    /// The entry that last sent it.
    pub entry: usize,
    /// The day it was last sent.
    pub day: Date,
    /// Who is to pay.
    pub person: Name,
    /// How much.
    pub amount: Money,
    /// The day by which it is to be paid.
    pub due: Option<Date>,
    /// What was paid on it, in minor units of its currency.
    pub paid: i64,
    /// The entries that paid it, in the order of the notes.
    pub paid_entries: Vec<usize>,
}

impl Invoice {
    /// What is still owed, in minor units of its currency; below nothing where too much was paid.
    pub fn owed(&self) -> i64 {
        self.amount.minor() - self.paid
    }
}

/// A number is for one invoice.
pub(super) fn misgivings(stock: &Stock, fact: &Fact, out: &mut Vec<Misgiving>) {
    if let Some(earlier) = fact.text("number").and_then(|number| stock.invoices.get(number)) {
        let says = format!("invoice {} was sent on {} already", earlier.number, earlier.day);
        out.push(
            Misgiving::new(Weight::Odd, says)
                .hint("give it a number of its own, or correct the note that sent it first")
                .about(earlier.entry)
                .on("number"),
        );
    }
}

pub(super) fn price(stock: &mut Stock, told: &Told<'_>) {
    let fact = told.fact();
    let (Some(product), Some(size), Some(price)) =
        (fact.name("product"), fact.reading("size"), fact.money("price"))
    else {
        return;
    };
    let at = fact.text("at");
    let asked = Asked {
        product: product.to_string(),
        size,
        price,
        at: at.map(str::to_owned),
        since: told.note.day,
        entry: told.entry,
    };
    let same = stock.prices.iter_mut().find(|other| {
        other.product == asked.product
            && exact_size(other.size) == exact_size(size)
            && other.at.as_deref() == at
    });
    match same {
        Some(same) => *same = asked,
        None => stock.prices.push(asked),
    }
}

pub(super) fn order(stock: &mut Stock, told: &Told<'_>) {
    let fact = told.fact();
    let (Some(person), Some(goods)) = (fact.name("person"), fact.goods("goods")) else {
        return;
    };
    stock.orders.push(Order {
        entry: told.entry,
        day: told.note.day,
        person: person.clone(),
        goods: goods.to_string(),
        by: day(fact, "by"),
        for_money: fact.money("for"),
        number: fact.text("number").map(str::to_owned),
    });
}

pub(super) fn invoice(stock: &mut Stock, told: &Told<'_>) {
    let fact = told.fact();
    let (Some(number), Some(person), Some(amount)) =
        (fact.text("number"), fact.name("person"), fact.money("amount"))
    else {
        return;
    };
    let earlier = stock.invoices.remove(number);
    // A sum paid in one currency says nothing of another.
    let earlier = earlier.filter(|earlier| earlier.amount.currency() == amount.currency());
    let (paid, paid_entries) =
        earlier.map_or((0, Vec::new()), |earlier| (earlier.paid, earlier.paid_entries));
    let invoice = Invoice {
        number: number.to_owned(),
        entry: told.entry,
        day: told.note.day,
        person: person.clone(),
        amount,
        due: day(fact, "due"),
        paid,
        paid_entries,
    };
    stock.invoices.insert(number.to_owned(), invoice);
}

/// Takes a payment in for the invoice that it names.
pub(super) fn paid(stock: &mut Stock, told: &Told<'_>) {
    let fact = told.fact();
    let (Some(number), Some(amount)) = (fact.text("invoice"), fact.money("amount")) else {
        return;
    };
    let invoice = stock.invoices.get_mut(number);
    if let Some(invoice) = invoice.filter(|invoice| invoice.amount.currency() == amount.currency()) {
        invoice.paid += amount.minor();
        invoice.paid_entries.push(told.entry);
    }
}

fn day(fact: &Fact, field: &str) -> Option<Date> {
    match fact.get(field) {
        Some(Value::Day(day)) => Some(*day),
        _ => None,
    }
}
