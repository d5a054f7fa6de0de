//! Answers as JSON. Keys are promises: snake_case, the unit at the end, none ever renamed.

mod dates;
mod hive;
mod meaning;
mod workshop;

use std::collections::BTreeMap;

use apiary::colony::answers as colony;
use apiary::colony::meaning::Notes;
use apiary::honey::answers as honey;
use apiary::money::answers as money;
use apiary::trade::state::Measure;
use apiary::{Complaint, Holding};
use jiff::civil::Date;
use ledger::Books;
use quantity::{Currency, Money};
use serde_json::{Value, json};

use crate::reader::Reader;
use crate::sheets::round as sheet;

/// A number without the noise of binary fractions: at most six decimals.
fn tidy(number: f64) -> Value {
    let rounded = (number * 1e6).round() / 1e6;
    json!(if rounded == 0.0 { 0.0 } else { rounded })
}

/// A mass in kg to the nanogram, so that shares of a pail add up to its net.
fn exact_kg(kg: f64) -> Value {
    json!((kg * 1e12).round() / 1e12)
}

fn maybe(number: Option<f64>) -> Value {
    number.map_or(Value::Null, tidy)
}

fn handle(books: &Books, entry: usize) -> String {
    books.entries()[entry].handle().to_string()
}

fn handles(books: &Books, entries: &[usize]) -> Vec<String> {
    entries.iter().map(|entry| handle(books, *entry)).collect()
}

fn day(day: Option<Date>) -> Value {
    day.map_or(Value::Null, |day| json!(day.to_string()))
}

/// An amount in minor units, as a number of whole units.
fn units(minor: i64, currency: Currency) -> f64 {
    f64::try_from(Money::new(minor, currency).to_decimal()).unwrap_or(0.0)
}

/// What is in stock: lots with where their pieces went, and goods bought for use.
pub fn stock(h: &Holding) -> Value {
    let lots: Vec<Value> = h
        .stock
        .lots
        .iter()
        .map(|(_, lot)| {
            json!({
                "lot": lot.label.as_str(), "product": lot.product, "net_g": tidy(lot.net.to_g()), "made": lot.made,
                "sold": lot.sold, "given": lot.given, "taken": lot.taken, "spoiled": lot.spoiled,
                "held_elsewhere": lot.held_elsewhere(), "on_hand": lot.on_hand(),
                "held_at": lot.held.iter().filter(|(_, count)| **count != 0)
                    .map(|(place, count)| json!({"place": place.as_str(), "count": count})).collect::<Vec<_>>(),
                "counted_off": lot.counted_off,
            })
        })
        .collect();
    let goods: Vec<Value> = h
        .stock
        .goods
        .iter()
        .map(|(name, good)| {
            let (scale, unit) = match good.measure {
                Measure::Pieces => (1.0, "pieces"),
                Measure::Mass => (1e12, "kg"),
                Measure::Volume => (1e6, "l"),
            };
            let amount = |steps: i64| {
                if good.measure == Measure::Pieces {
                    json!(steps)
                } else {
                    tidy(steps as f64 / scale)
                }
            };
            json!({
                "good": name, "bought": amount(good.bought), "used": amount(good.used),
                "on_hand": amount(good.on_hand()), "unit": unit, "counted_off": amount(good.counted_off),
            })
        })
        .collect();
    json!({ "lots": lots, "goods": goods })
}

/// A lot: where it came from, bar by bar, and where it went. `None` if there is no such lot.
pub fn lot(h: &Holding, books: &Books, label: &str) -> Option<Value> {
    let id = h.stock.lot_labels.get(label)?;
    let lot = &h.stock.lots[id];
    let trace = honey::trace(h, id);
    let water = trace.moisture();
    let from: Vec<Value> = trace
        .from
        .iter()
        .map(|origin| {
            json!({
                "bar": origin.bar, "hive": origin.hive, "cut_on": origin.cut_on.to_string(),
                "comb_kg": exact_kg(origin.comb.kg), "comb_lo_kg": tidy(origin.comb.lo_kg), "comb_hi_kg": tidy(origin.comb.hi_kg),
                "tag": origin.tag, "yard": origin.yard, "pail": origin.pail, "note": handle(books, origin.entry),
            })
        })
        .collect();
    let sold: Vec<Value> = lot
        .sales
        .iter()
        .map(|sale| {
            json!({
                "day": sale.day.to_string(), "to": sale.to.as_deref(), "count": sale.count,
                "for": sale.for_money.map(|money| money.to_string()), "note": handle(books, sale.entry),
            })
        })
        .collect();
    let mut notes = Vec::new();
    if trace.reading.as_ref().is_some_and(|reading| reading.assumed_20_c) {
        notes.push("no temperature was noted with the reading; 20 °C is assumed".to_owned());
    }
    if trace.poured_since {
        notes.push("something was poured in after the water was read".to_owned());
    }
    if trace.from.iter().any(|origin| origin.comb.lo_kg < origin.comb.kg) {
        notes.push("kilos of single combs are shared by estimated comb area; the interval says how far they may be off".to_owned());
    }
    notes.extend(
        trace
            .unknown
            .iter()
            .map(|name| format!("what was in {name} is older than these books")),
    );
    Some(json!({
        "lot": lot.label.as_str(), "product": lot.product, "net_g": tidy(lot.net.to_g()),
        "from": from, "tanks": trace.tanks, "older_than_the_books": trace.unknown,
        "moisture_pct": maybe(water.map(|water| water.percent)),
        "moisture_lo_pct": maybe(water.map(|water| water.lo)), "moisture_hi_pct": maybe(water.map(|water| water.hi)),
        "read_with": trace.reading.as_ref().map(|reading| handle(books, reading.entry)),
        "filled_on": day(lot.filled_on), "made": lot.made, "on_hand": lot.on_hand(), "held_elsewhere": lot.held_elsewhere(),
        "sold_to": sold, "from_notes": handles(books, &lot.entries), "notes": notes,
        "sources": if water.is_some() { vec![reckon::sources::WEDMORE_1955.id] } else { Vec::new() },
    }))
}

/// The mass balance of every batch.
pub fn balance(h: &Holding, books: &Books) -> Value {
    let batches: Vec<Value> = honey::balances(h)
        .iter()
        .map(|balance| {
            json!({
                "name": balance.name, "in_kg": maybe(balance.in_kg), "honey_kg": tidy(balance.honey_kg),
                "residue_kg": tidy(balance.residue_kg), "loss_kg": tidy(balance.loss_kg),
                "unaccounted_kg": maybe(balance.unaccounted_kg), "left_kg": maybe(balance.left_kg),
                "kind": balance.kind, "begun": balance.begun.to_string(), "ended": day(balance.ended),
                "other_kg": tidy(balance.other_kg), "wax_kg": tidy(balance.wax_kg),
                "residue_left_kg": tidy(balance.residue_left_kg), "melt_unaccounted_kg": tidy(balance.melt_unaccounted_kg),
                "in_estimate_kg": balance.in_estimate_kg.map(|mass| json!([tidy(mass.lo_kg), tidy(mass.kg), tidy(mass.hi_kg)])),
                "from_notes": handles(books, &balance.entries),
            })
        })
        .collect();
    json!({ "batches": batches })
}

/// What each hive gave.
pub fn yields(h: &Holding) -> Value {
    let hives: Vec<Value> = honey::yields(h)
        .iter()
        .map(|row| {
            json!({
                "hive": row.hive, "comb_kg": tidy(row.comb.kg), "honey_kg": tidy(row.honey_kg), "wax_kg": tidy(row.wax_kg),
                "comb_lo_kg": tidy(row.comb.lo_kg), "comb_hi_kg": tidy(row.comb.hi_kg), "combs": row.combs,
            })
        })
        .collect();
    json!({ "hives": hives })
}

/// What a kilo of honey in jars cost.
pub fn cost(cost: &money::Cost) -> Value {
    json!({
        "honey_kg": tidy(cost.honey_kg), "spend": tidy(cost.spend), "hours": tidy(cost.hours),
        "cost_per_kg": maybe(cost.per_kg), "cost_per_kg_with_time": maybe(cost.per_kg_with_time),
        "currency": cost.currency.map(|currency| currency.as_str().to_owned()), "notes": cost.notes,
    })
}

/// Cash in hand, in the currency of the books and in all others.
pub fn cash(h: &Holding) -> Value {
    let all: BTreeMap<String, Value> = h
        .purse
        .cash
        .iter()
        .map(|(currency, minor)| (currency.as_str().to_owned(), tidy(units(*minor, *currency))))
        .collect();
    let own = h
        .purse
        .currency
        .map(|currency| units(h.purse.cash.get(&currency).copied().unwrap_or(0), currency));
    json!({ "cash": own.map_or(tidy(0.0), tidy), "currency": h.purse.currency.map(|currency| currency.as_str().to_owned()), "by_currency": all })
}

pub use dates::{calendar, swarms, yard_round};
pub use hive::hive_told;
pub use meaning::hive_and_meaning;
pub use workshop::{cut, pattern, workshop};

/// The bar map of a hive or store. `None` if there is no such hive.
pub fn hive(h: &Holding, books: &Books, label: &str) -> Option<Value> {
    let id = h.hive_labels.get(label)?;
    let hive = &h.hives[id];
    let bars: Vec<Value> = colony::bars(h, books, id)
        .iter()
        .map(|bar| {
            json!({
                "place": bar.place, "tag": bar.tag, "colony": bar.colony, "comb_since": day(bar.comb_since),
                "contents": if bar.has_comb { json!(bar.contents) } else { json!("bare bar") },
                "comb": bar.has_comb, "fault": bar.fault, "look": bar.look.map(|entry| handle(books, entry)),
            })
        })
        .collect();
    let colonies: Vec<Value> = h
        .living_in(id)
        .map(|colony| {
            let (from, to) = h.range(colony);
            let colony = &h.colonies[colony];
            json!({
                "colony": colony.label.as_str(), "from_place": from, "to_place": to, "since": colony.since.to_string(),
                "origin": colony.origin, "last_look": day(colony.last_look),
            })
        })
        .collect();
    Some(json!({
        "hive": hive.label.as_str(), "yard": hive.yard.map(|yard| h.ground.yards[yard].label.to_string()),
        "pattern": hive.pattern.map(|pattern| h.ground.patterns[pattern].label.to_string()),
        "places": hive.places(), "followers": hive.followers, "quarantined": hive.quarantined,
        "colonies": colonies, "bars": bars,
    }))
}

/// All hives that are there.
pub fn yard(h: &Holding) -> Value {
    let hives: Vec<Value> = colony::yard(h)
        .iter()
        .map(|row| {
            json!({
                "hive": row.hive, "yard": row.yard, "pattern": row.pattern, "places": row.places, "combs": row.combs,
                "colonies": row.colonies.iter().map(|(label, since)| json!({"colony": label, "since": since.to_string()})).collect::<Vec<_>>(),
                "last_look": day(row.last_look), "quarantined": row.quarantined,
            })
        })
        .collect();
    json!({ "hives": hives })
}

/// What is odd.
pub fn complaints(complaints: &[Complaint], books: &Books) -> Value {
    let all: Vec<Value> = complaints
        .iter()
        .map(|complaint| json!({ "about": handles(books, &complaint.about), "says": complaint.says, "hint": complaint.hint }))
        .collect();
    json!({ "complaints": all })
}

/// The round of a day.
pub fn round(reader: &Reader<'_>) -> Value {
    let (h, books) = (reader.holding(), reader.books());
    json!({
        "day": reader.day().to_string(), "to_see": sheet::to_see_words(h, reader.day()), "to_mend": sheet::faults_words(h),
        "windows": dates::calendar(reader, None)["windows"], "ripe": ripe(h, books, &|entry| reader.note(entry), reader.day()), "stock": stock(h), "cost": cost(&money::cost(h, None)),
        "complaints": complaints(&reader.complaints(), books)["complaints"],
    })
}

/// Combs that were last seen ripe, with why some are set aside.
pub fn ripe(h: &Holding, books: &Books, notes: Notes<'_, '_>, today: Date) -> Value {
    let combs: Vec<Value> = colony::ripe(h)
        .iter()
        .map(|ripe| json!({ "hive": ripe.hive, "bar": ripe.place, "capped_pct": tidy(ripe.capped * 100.0), "brood_told": ripe.brood_told, "look": handle(books, ripe.look), "set_aside": meaning::asides(&ripe.asides(h, today, notes), books) }))
        .collect();
    json!({ "combs": combs, "notes": ["capped for at least three quarters of what is drawn, and no brood (common practice, no source)"] })
}
