//! Cash, costs, hours and things that last.

use std::collections::BTreeMap;

use jiff::civil::Date;
use quantity::{Currency, Money};

use crate::history::push_once;
use crate::holding::Holding;
use crate::note::{Name, Value};
use crate::told::Told;

/// A thing bought to last.
#[derive(Clone, Debug)]
pub struct Owned {
    /// The entry.
    pub entry: usize,
    /// What it is.
    pub what: String,
    /// What it cost.
    pub price: Money,
    /// How many years it is expected to last.
    pub life_years: u32,
    /// The day it was bought.
    pub since: Date,
}

/// Cash, costs and hours.
#[derive(Clone, Debug, Default)]
pub struct Purse {
    /// Cash in hand, in minor units.
    pub cash: BTreeMap<Currency, i64>,
    /// The entries that moved cash, in the order of the notes; what was there when the books began among them.
    pub cash_entries: Vec<usize>,
    /// What came in and what went out in each month of a year, in minor units; the cash that was there when the books
    /// began is left out.
    pub by_month: BTreeMap<(i16, i8, Currency), (i64, i64)>,
    /// All spending but for things that last.
    pub spent: BTreeMap<Currency, i64>,
    /// The entries of that spending, in the order of the notes.
    pub spent_entries: Vec<usize>,
    /// Minutes worked, by task.
    pub minutes: BTreeMap<Name, u64>,
    /// The entries that say so, in the order of the notes.
    pub hours_entries: Vec<usize>,
    /// Distance travelled, in metres.
    pub travelled_m: f64,
    /// Things that last.
    pub owned: Vec<Owned>,
    /// The currency that was named first; answers are given in it.
    pub currency: Option<Currency>,
    /// What one unit of a currency was last said to be worth, in another.
    pub rates: BTreeMap<(Currency, Currency), f64>,
}

impl Purse {
    fn name_currency(&mut self, money: Money) {
        self.currency.get_or_insert(money.currency());
    }

    pub(crate) fn cash_in(&mut self, told: &Told<'_>, money: Option<Money>) {
        if let Some(money) = money {
            self.add_cash(told, money, money.minor());
            self.month(told, money).0 += money.minor();
        }
    }

    pub(crate) fn cash_out(&mut self, told: &Told<'_>, money: Option<Money>) {
        if let Some(money) = money {
            self.add_cash(told, money, -money.minor());
            self.month(told, money).1 += money.minor();
        }
    }

    fn add_cash(&mut self, told: &Told<'_>, money: Money, minor: i64) {
        self.name_currency(money);
        *self.cash.entry(money.currency()).or_insert(0) += minor;
        push_once(&mut self.cash_entries, told.entry);
    }

    fn month(&mut self, told: &Told<'_>, money: Money) -> &mut (i64, i64) {
        let day = told.note.day;
        self.by_month
            .entry((day.year(), day.month(), money.currency()))
            .or_default()
    }

    /// Time that was worked at a task.
    pub(crate) fn work(&mut self, told: &Told<'_>, task: &str, minutes: u32) {
        *self.minutes.entry(Name::new(task)).or_insert(0) += u64::from(minutes);
        self.hours_entries.push(told.entry);
    }

    /// All minutes worked.
    pub fn all_minutes(&self) -> u64 {
        self.minutes.values().sum()
    }
}

pub(crate) fn fold(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    match fact.word() {
        "start" => start(h, told),
        "spend" => {
            let amount = fact.money("amount");
            h.purse.cash_out(told, amount);
            if let Some(money) = amount {
                h.purse.spent_entries.push(told.entry);
                *h.purse.spent.entry(money.currency()).or_insert(0) += money.minor();
            }
            if let Some(goods) = fact.goods("goods") {
                h.stock.buy(told, goods);
            }
        }
        "receive" => h.purse.cash_in(told, fact.money("amount")),
        "own" => own(h, told),
        "hours" => {
            let task = fact.text("task").unwrap_or_default();
            h.purse.work(told, task, fact.minutes("time").unwrap_or(0));
        }
        "offcut" => crate::ground::workshop::fold(h, told),
        "travel" => {
            h.purse.travelled_m += fact
                .length("distance")
                .map_or(0.0, |length| length.to_mm() / 1000.0);
        }
        "rate" => rate(h, told),
        _ => {}
    }
}

fn start(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    match fact.form {
        0 => {
            if let Some(cash) = fact.money("cash") {
                h.purse.add_cash(told, cash, cash.minor());
            }
        }
        1 => start_hive(h, told),
        2 => {
            let Some(goods) = fact.goods("goods") else { return };
            match fact.name("lot") {
                Some(lot) => crate::trade::state::lot_before(h, told, lot, goods),
                None => h.stock.buy(told, goods),
            }
        }
        _ => start_container(h, told),
    }
}

fn start_hive(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    let (Some(label), Some(drawn)) = (fact.name("hive"), fact.count("drawn")) else {
        return;
    };
    let Some(hive) = h.hive_labels.get(label) else {
        return;
    };
    crate::colony::state::draw(h, told, hive, 1, drawn, None);
    if !fact.says("without bees") {
        let name = fact.name("colony").unwrap_or(label);
        crate::colony::state::begin_colony(h, told, hive, 1, name, "from before the books");
    }
}

fn start_container(h: &mut Holding, told: &Told<'_>) {
    use crate::honey::state::{Stuff, into};
    let fact = told.fact();
    let (Some(label), Some(mass)) = (fact.name("container"), fact.mass("mass")) else {
        return;
    };
    let stuff = match fact.choice("of") {
        Some("wax") => Stuff::Wax,
        Some("comb") => Stuff::Comb,
        _ => Stuff::Honey,
    };
    let is_comb = stuff == Stuff::Comb;
    let batch = into(h, told, label, stuff);
    let starting = &mut h.house.batches[batch];
    if is_comb {
        starting.weighings.push((mass, 0));
    } else {
        starting.came_in += mass;
        *starting.from.entry(batch).or_insert(0.0) += mass.to_kg();
    }
}

fn own(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    let (Some(what), Some(price), Some(life_years)) =
        (fact.text("what"), fact.money("price"), fact.count("life"))
    else {
        return;
    };
    h.purse.cash_out(told, Some(price));
    h.purse.owned.push(Owned {
        entry: told.entry,
        what: what.to_owned(),
        price,
        life_years,
        since: told.note.day,
    });
}

fn rate(h: &mut Holding, told: &Told<'_>) {
    let price = |field| match told.fact().get(field) {
        Some(Value::Money(price)) => Some(*price),
        _ => None,
    };
    let (Some(one), Some(worth)) = (price("one"), price("worth")) else {
        return;
    };
    let digits = |price: crate::note::Price| f64::try_from(price.digits).unwrap_or(0.0);
    if digits(one) > 0.0 {
        h.purse
            .rates
            .insert((one.currency, worth.currency), digits(worth) / digits(one));
    }
}
