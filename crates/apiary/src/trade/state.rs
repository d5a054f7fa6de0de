//! Lots on the shelf and elsewhere, and goods bought for use.
//!
//! Holds true: a lot's stock is what was filled, less what was sold, given, taken, spoiled and left at
//! shops; a count on the shelf overrules it, and the difference stays a complaint until it is settled.
//! Goods that were never started or bought are not counted.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;
use quantity::{Mass, Money, Reading, UnitKind};

use super::dealings::{self, Asked, Invoice, Order};
use crate::arena::{Arena, BatchId, Labels, LotId};
use crate::complaint::{Misgiving, Weight};
use crate::history::push_once;
use crate::holding::Holding;
use crate::honey::state::{Drawn, Part, Stuff};
use crate::note::{Fact, Goods, Name};
use crate::told::Told;

/// Where a lot came from, one for each time it was filled.
#[derive(Clone, Debug)]
pub struct LotSource {
    /// The batch it was filled from; comb honey comes straight from its bars.
    pub batch: Option<BatchId>,
    /// How much of it comes from which pail, in kg.
    pub from: BTreeMap<BatchId, f64>,
    /// Every batch that it came through.
    pub upstream: BTreeSet<BatchId>,
    /// The combs of comb honey.
    pub parts: Vec<Part>,
    /// How many readings of its water the batch had by then.
    pub readings: usize,
    /// How often something had been poured into the batch by then.
    pub pours: usize,
}

/// Pieces that left a lot to a buyer.
#[derive(Clone, Debug)]
pub struct Sale {
    /// The entry.
    pub entry: usize,
    /// The day.
    pub day: Date,
    /// The buyer or the place, where it was said.
    pub to: Option<Name>,
    /// How many.
    pub count: u32,
    /// For how much.
    pub for_money: Option<Money>,
}

/// Goods filled or packed together under one name.
#[derive(Clone, Debug)]
pub struct Lot {
    /// Its label.
    pub label: Name,
    /// What it is: honey, comb honey, wax, or the recipe.
    pub product: String,
    /// What one piece holds.
    pub net: Mass,
    /// How many were made, or there when the books began.
    pub made: i64,
    /// How many of them were there when the books began.
    pub started: i64,
    /// How many were sold, less what came back fit to be sold again.
    pub sold: i64,
    /// How many were given away.
    pub given: i64,
    /// How many went to the keeper's own table.
    pub taken: i64,
    /// How many were spoilt on the shelf.
    pub spoiled: i64,
    /// How many stand at shops, sale or return.
    pub held: BTreeMap<Name, i64>,
    /// What counting the shelf has added or taken off.
    pub counted_off: i64,
    /// The day it was first filled; lots from before the books have none.
    pub filled_on: Option<Date>,
    /// Where it came from.
    pub sources: Vec<LotSource>,
    /// Where it went.
    pub sales: Vec<Sale>,
    /// The entries about it.
    pub entries: Vec<usize>,
}

impl Lot {
    /// How many stand at shops.
    pub fn held_elsewhere(&self) -> i64 {
        self.held.values().sum()
    }

    /// How many are on the shelf.
    pub fn on_hand(&self) -> i64 {
        self.made - self.sold - self.given - self.taken - self.spoiled - self.held_elsewhere()
            + self.counted_off
    }
}

/// How a good is counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Measure {
    /// By the piece.
    Pieces,
    /// In nanograms.
    Mass,
    /// In microlitres.
    Volume,
}

/// A good bought for use: empty jars, ingredients.
#[derive(Clone, Debug)]
pub struct Good {
    /// How it is counted.
    pub measure: Measure,
    /// What was bought, or there when the books began.
    pub bought: i64,
    /// What was used or spoilt.
    pub used: i64,
    /// What counting has added or taken off.
    pub counted_off: i64,
    /// The entries that changed or counted how much there is, in the order of the notes.
    pub entries: Vec<usize>,
}

impl Good {
    /// What is left.
    pub fn on_hand(&self) -> i64 {
        self.bought - self.used + self.counted_off
    }
}

/// All lots and goods.
#[derive(Clone, Debug, Default)]
pub struct Stock {
    /// All lots.
    pub lots: Arena<LotId, Lot>,
    /// Their labels.
    pub lot_labels: Labels<LotId>,
    /// Goods by name: `jars of 340 g`, `shea`.
    pub goods: BTreeMap<String, Good>,
    /// The price list as it was last said, in the order in which its lines were first said.
    pub prices: Vec<Asked>,
    /// All orders, in the order of the notes; no note says that one is done with.
    pub orders: Vec<Order>,
    /// Invoices by number.
    pub invoices: BTreeMap<String, Invoice>,
    /// The first way in which the size of each kind of piece was written.
    sizes: BTreeMap<(Name, i64), String>,
}

impl Stock {
    /// The name under which goods are kept: the same size written in another unit is the same good.
    pub(crate) fn key(&self, goods: &Goods) -> String {
        match goods {
            Goods::Pieces {
                kind,
                size: Some(size),
                ..
            } => self
                .sizes
                .get(&(kind.clone(), exact_size(*size)))
                .cloned()
                .unwrap_or_else(|| format!("{kind} of {size}")),
            Goods::Pieces { kind, size: None, .. } => kind.to_string(),
            Goods::Bulk { of, .. } => of.to_string(),
        }
    }

    pub(crate) fn buy(&mut self, told: &Told<'_>, goods: &Goods) {
        let key = self.key(goods);
        if let Goods::Pieces {
            kind,
            size: Some(size),
            ..
        } = goods
        {
            self.sizes
                .entry((kind.clone(), exact_size(*size)))
                .or_insert_with(|| key.clone());
        }
        let (measure, amount) = amount_of(goods);
        let good = self.goods.entry(key).or_insert(Good {
            measure,
            bought: 0,
            used: 0,
            counted_off: 0,
            entries: Vec::new(),
        });
        if good.measure == measure {
            good.bought += amount;
            push_once(&mut good.entries, told.entry);
        }
    }

    fn take(&mut self, told: &Told<'_>, goods: &Goods) {
        let (measure, amount) = amount_of(goods);
        if let Some(good) = self
            .goods
            .get_mut(&self.key(goods))
            .filter(|good| good.measure == measure)
        {
            good.used += amount;
            push_once(&mut good.entries, told.entry);
        }
    }

    /// What is odd about taking an amount of a good.
    pub(crate) fn taking(&self, name: &Name, amount: Reading) -> Option<Misgiving> {
        let goods = Goods::Bulk {
            amount,
            of: name.clone(),
        };
        let (measure, steps) = amount_of(&goods);
        match self.goods.get(name.as_str()) {
            None => {
                let says = format!(
                    "{name} was never bought or made in these books; how much of it is left is unknown"
                );
                Some(Misgiving::new(Weight::Remark, says).on("ingredient"))
            }
            Some(good) if good.measure != measure => {
                let says = format!(
                    "{name} was bought by another measure than {amount}, so it cannot be taken off the stock"
                );
                let hint = "name it by the measure it was bought in";
                Some(Misgiving::new(Weight::Odd, says).hint(hint).on("amount"))
            }
            Some(good) if good.on_hand() < steps => {
                let says = format!("{amount} of {name} is more than is left by the books");
                let hint = "count it and write a tally";
                Some(Misgiving::new(Weight::Odd, says).hint(hint).on("amount"))
            }
            Some(_) => None,
        }
    }

    pub(crate) fn use_bulk(&mut self, told: &Told<'_>, name: &Name, amount: Reading) {
        let goods = Goods::Bulk {
            amount,
            of: name.clone(),
        };
        self.take(told, &goods);
    }
}

pub(super) fn exact_size(size: Reading) -> i64 {
    size.mass()
        .map(Mass::ng)
        .or_else(|| size.volume().map(|volume| -microlitres(volume)))
        .unwrap_or(0)
}

fn microlitres(volume: quantity::Volume) -> i64 {
    libm::round(volume.to_ml() * 1000.0) as i64
}

fn amount_of(goods: &Goods) -> (Measure, i64) {
    match goods {
        Goods::Pieces { count, .. } => (Measure::Pieces, i64::from(*count)),
        Goods::Bulk { amount, .. } if amount.unit().kind() == UnitKind::Mass => {
            (Measure::Mass, amount.mass().map_or(0, Mass::ng))
        }
        Goods::Bulk { amount, .. } => (Measure::Volume, amount.volume().map_or(0, microlitres)),
    }
}

pub(crate) fn misgivings(h: &Holding, fact: &Fact, out: &mut Vec<Misgiving>) {
    match fact.word() {
        "sell" | "give" | "take" | "spoil" | "consign" => on_shelf_misgivings(h, fact, out),
        "refund" => refund_misgivings(h, fact, out),
        "tally" => tally_misgivings(h, fact, out),
        "discard" => crate::honey::misgivings::taken_misgivings(h, fact, out),
        "invoice" => dealings::misgivings(&h.stock, fact, out),
        "start" => start_misgivings(h, fact, out),
        _ => {}
    }
    if fact.word() == "spoil" {
        empties_misgivings(h, fact, out);
    }
}

/// A hive cannot have held more combs than it has places.
fn start_misgivings(h: &Holding, fact: &Fact, out: &mut Vec<Misgiving>) {
    let hive = fact.shape().has("hive").then(|| fact.name("hive")).flatten();
    let Some(hive) = hive
        .and_then(|name| h.hive_labels.get(name))
        .map(|hive| &h.hives[hive])
    else {
        return;
    };
    if let Some(drawn) = fact
        .count("drawn")
        .filter(|drawn| *drawn > u32::from(hive.places()))
    {
        let says = format!(
            "{} has places 1 to {}, and cannot hold {drawn} combs",
            hive.label,
            hive.places()
        );
        out.push(Misgiving::new(Weight::Impossible, says).on("drawn"));
    }
}

fn lot_named<'h>(h: &'h Holding, fact: &Fact) -> Option<&'h Lot> {
    let lot = fact.shape().has("lot").then(|| fact.name("lot")).flatten()?;
    h.stock.lot_labels.get(lot).map(|id| &h.stock.lots[id])
}

/// What leaves the shelf, or a shop, has to be there.
fn on_shelf_misgivings(h: &Holding, fact: &Fact, out: &mut Vec<Misgiving>) {
    let (Some(lot), Some(count)) = (lot_named(h, fact), fact.count("count")) else {
        return;
    };
    sold_to_a_shop_with_stock(lot, fact, out);
    let shop = shop(fact);
    let there = shop.map_or(lot.on_hand(), |shop| lot.held.get(shop).copied().unwrap_or(0));
    if i64::from(count) > there {
        let place = shop.map_or("on the shelf".to_owned(), |shop| format!("at {shop}"));
        let says = format!(
            "{count} of {} were asked for, and {} are {place}",
            lot.label,
            there.max(0)
        );
        let hint = "count the shelf and write a tally";
        out.push(Misgiving::new(Weight::Impossible, says).hint(hint).on("count"));
    }
}

/// The shop out of whose stock pieces go: sold by it, or coming back from it.
fn sold_to_a_shop_with_stock(lot: &Lot, fact: &Fact, out: &mut Vec<Misgiving>) {
    let person = (fact.word() == "sell").then(|| fact.name("person")).flatten();
    if let Some(person) = person.filter(|person| lot.held.get(*person).is_some_and(|held| *held > 0)) {
        let says = format!(
            "{person} holds pieces of {} already; these are taken off the shelf",
            lot.label
        );
        out.push(
            Misgiving::new(Weight::Remark, says)
                .hint(format!("what {person} sold is written: sell … from {person}"))
                .on("person"),
        );
    }
}

fn shop(fact: &Fact) -> Option<&Name> {
    match (fact.word(), fact.form) {
        ("sell", _) => fact.name("shop"),
        ("consign", 0) => fact.name("person"),
        _ => None,
    }
}

fn refund_misgivings(h: &Holding, fact: &Fact, out: &mut Vec<Misgiving>) {
    let (Some(lot), Some(count)) = (lot_named(h, fact), fact.count("count")) else {
        return;
    };
    if i64::from(count) > lot.sold {
        let says = format!(
            "{} of {} were sold, and {count} are paid back",
            lot.sold, lot.label
        );
        out.push(Misgiving::new(Weight::Impossible, says).on("count"));
    }
}

fn tally_misgivings(h: &Holding, fact: &Fact, out: &mut Vec<Misgiving>) {
    let (what, counted, books, field) = if let Some(lot) = lot_named(h, fact) {
        (
            lot.label.to_string(),
            i64::from(fact.count("count").unwrap_or(0)),
            lot.on_hand(),
            "count",
        )
    } else if let Some(goods) = fact.goods("goods") {
        let key = h.stock.key(goods);
        let Some(good) = h
            .stock
            .goods
            .get(&key)
            .filter(|good| good.measure == amount_of(goods).0)
        else {
            return;
        };
        (key, amount_of(goods).1, good.on_hand(), "goods")
    } else {
        return;
    };
    if counted != books {
        let says = format!("{what}: {counted} counted, {books} by the books");
        out.push(
            Misgiving::new(Weight::Odd, says)
                .hint("find what was not noted, or settle it with a reason")
                .on(field),
        );
    }
}

/// Empties that leave the stock have to be there, as far as they are counted.
pub(crate) fn empties_misgivings(h: &Holding, fact: &Fact, out: &mut Vec<Misgiving>) {
    let Some(goods) = fact.goods("goods") else { return };
    let key = h.stock.key(goods);
    match h.stock.goods.get(&key) {
        Some(good) if good.on_hand() < amount_of(goods).1 => {
            let says = format!(
                "{} {key} are used, and {} are left by the books",
                amount_of(goods).1,
                good.on_hand()
            );
            let hint = "count the empties and write a tally";
            out.push(Misgiving::new(Weight::Odd, says).hint(hint).on("goods"));
        }
        Some(_) => {}
        None => {
            let says =
                format!("{key} were never bought or started in these books; the stock of empties is unknown");
            out.push(Misgiving::new(Weight::Remark, says).on("goods"));
        }
    }
}

/// A lot filled again must be the same thing.
pub(crate) fn lot_misgivings(h: &Holding, fact: &Fact, net: Mass, out: &mut Vec<Misgiving>) {
    if let Some(lot) = lot_named(h, fact).filter(|lot| lot.net != net) {
        let says = format!(
            "lot {} has pieces of {} g; these hold {} g",
            lot.label,
            lot.net.to_g(),
            net.to_g()
        );
        let hint = "give them a lot of their own";
        out.push(Misgiving::new(Weight::Impossible, says).hint(hint).on("lot"));
    }
}

pub(crate) fn fold(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    match fact.word() {
        "sell" => sell(h, told),
        "consign" => consign(h, told),
        "give" => change(h, told, |lot, count| lot.given += count),
        "take" => change(h, told, |lot, count| lot.taken += count),
        "refund" => refund(h, told),
        "spoil" => {
            change(h, told, |lot, count| lot.spoiled += count);
            use_empties(h, told);
        }
        "discard" => crate::honey::state::discard(h, told),
        "tally" => tally(h, told),
        "paid" => {
            h.purse.cash_in(told, fact.money("amount"));
            dealings::paid(&mut h.stock, told);
        }
        "price" => dealings::price(&mut h.stock, told),
        "order" => dealings::order(&mut h.stock, told),
        "invoice" => dealings::invoice(&mut h.stock, told),
        _ => {}
    }
}

fn change(h: &mut Holding, told: &Told<'_>, how: impl Fn(&mut Lot, i64)) {
    let fact = told.fact();
    let lot = fact.shape().has("lot").then(|| fact.name("lot")).flatten();
    let (Some(id), Some(count)) = (
        lot.and_then(|lot| h.stock.lot_labels.get(lot)),
        fact.count("count"),
    ) else {
        return;
    };
    let lot = &mut h.stock.lots[id];
    lot.entries.push(told.entry);
    how(lot, i64::from(count));
}

fn sell(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    h.purse.cash_in(told, fact.money("for"));
    crate::colony::state::sold(h, told);
    let to = fact
        .name("person")
        .cloned()
        .or_else(|| fact.text("at").map(Name::new));
    let shop = fact.name("shop").cloned();
    change(h, told, |lot, count| {
        lot.sold += count;
        if let Some(shop) = &shop {
            *lot.held.entry(shop.clone()).or_insert(0) -= count;
        }
        let count = u32::try_from(count).unwrap_or(0);
        let to = to.clone().or_else(|| shop.clone());
        lot.sales.push(Sale {
            entry: told.entry,
            day: told.note.day,
            to,
            count,
            for_money: fact.money("for"),
        });
    });
    if let Some(goods) = fact.shape().has("goods").then(|| fact.goods("goods")).flatten() {
        h.stock.take(told, goods);
    }
}

fn consign(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    let Some(person) = fact.name("person").cloned() else {
        return;
    };
    let sign = if fact.form == 0 { -1 } else { 1 };
    change(h, told, |lot, count| {
        *lot.held.entry(person.clone()).or_insert(0) += sign * count;
    });
}

fn refund(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    h.purse.cash_out(told, fact.money("amount"));
    let spoilt = fact.says("spoilt");
    change(h, told, |lot, count| {
        if !spoilt {
            lot.sold -= count;
        }
    });
}

/// Empties, by piece or bulk, leave the stock.
pub(crate) fn use_empties(h: &mut Holding, told: &Told<'_>) {
    if let Some(goods) = told.fact().goods("goods") {
        h.stock.take(told, goods);
    }
}

fn tally(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    change(h, told, |lot, count| lot.counted_off += count - lot.on_hand());
    if let Some(goods) = fact.goods("goods") {
        let (measure, counted) = amount_of(goods);
        let key = h.stock.key(goods);
        match h.stock.goods.get_mut(&key) {
            Some(good) if good.measure == measure => {
                good.counted_off += counted - good.on_hand();
                push_once(&mut good.entries, told.entry);
            }
            Some(_) => {}
            // What was never bought begins to be counted with its first tally.
            None => h.stock.buy(told, goods),
        }
    }
}

fn lot(h: &mut Holding, told: &Told<'_>, label: &Name, product: String, net: Mass, count: u32) -> LotId {
    let id = h.stock.lot_labels.get(label).unwrap_or_else(|| {
        let lot = Lot {
            label: label.clone(),
            product: product.clone(),
            net,
            made: 0,
            started: 0,
            sold: 0,
            given: 0,
            taken: 0,
            spoiled: 0,
            held: BTreeMap::new(),
            counted_off: 0,
            filled_on: Some(told.note.day),
            sources: Vec::new(),
            sales: Vec::new(),
            entries: Vec::new(),
        };
        let id = h.stock.lots.add(lot);
        h.stock.lot_labels.give(label, id, told.entry);
        id
    });
    let lot = &mut h.stock.lots[id];
    if lot.made == lot.started && product != BEFORE_THE_BOOKS {
        product.clone_into(&mut lot.product);
        lot.filled_on = Some(told.note.day);
    }
    lot.made += i64::from(count);
    lot.entries.push(told.entry);
    id
}

/// A lot filled from a container.
pub(crate) fn lot_of(h: &mut Holding, told: &Told<'_>, label: &Name, net: Mass, count: u32, drawn: &Drawn) {
    let batch = &h.house.batches[drawn.batch];
    let product = match &batch.stuff {
        Stuff::Comb => "comb".to_owned(),
        Stuff::Honey => "honey".to_owned(),
        Stuff::Wax => "wax".to_owned(),
        Stuff::Made(recipe) => recipe.to_string(),
    };
    let source = LotSource {
        batch: Some(drawn.batch),
        from: drawn.from.clone(),
        upstream: drawn.upstream.clone(),
        parts: Vec::new(),
        readings: batch.readings.len(),
        pours: batch.pours,
    };
    let id = lot(h, told, label, product, net, count);
    h.stock.lots[id].sources.push(source);
}

/// A lot of comb honey, straight from its bars.
pub(crate) fn comb_lot(
    h: &mut Holding,
    told: &Told<'_>,
    label: &Name,
    net: Mass,
    count: u32,
    parts: Vec<Part>,
) {
    let source = LotSource {
        batch: None,
        from: BTreeMap::new(),
        upstream: BTreeSet::new(),
        parts,
        readings: 0,
        pours: 0,
    };
    let id = lot(h, told, label, "comb honey".to_owned(), net, count);
    h.stock.lots[id].sources.push(source);
}

/// What a lot is, as long as nothing more is known of it.
const BEFORE_THE_BOOKS: &str = "from before the books";

/// A lot that was there when the books began.
pub(crate) fn lot_before(h: &mut Holding, told: &Told<'_>, label: &Name, goods: &Goods) {
    let Goods::Pieces { count, size, .. } = goods else {
        return;
    };
    let net = size.and_then(|size| size.mass()).unwrap_or(Mass::ZERO);
    let id = lot(h, told, label, BEFORE_THE_BOOKS.to_owned(), net, *count);
    let lot = &mut h.stock.lots[id];
    lot.started += i64::from(*count);
    if lot.made == lot.started {
        lot.filled_on = None;
    }
}
