//! Goods made after a recipe.

use quantity::Mass;

use crate::complaint::{Misgiving, Weight};
use crate::holding::Holding;
use crate::honey::misgivings::{pack_misgivings, too_much};
use crate::honey::state::{Drawn, Stuff, draw, into, pack, pour};
use crate::note::{Fact, Name, Value};
use crate::told::Told;

pub(crate) fn misgivings(h: &Holding, fact: &Fact, out: &mut Vec<Misgiving>) {
    match fact.word() {
        "recipe" => shares_add_up(fact, out),
        "make" => ingredients(fact).for_each(|(name, amount)| ingredient_misgivings(h, name, amount, out)),
        "pack" => pack_misgivings(h, fact, out),
        _ => {}
    }
}

/// What a batch takes has to be there, as far as it is counted.
fn ingredient_misgivings(h: &Holding, name: &Name, amount: quantity::Reading, out: &mut Vec<Misgiving>) {
    if let Some(batch) = h.house.current(name) {
        match (h.house.batches[batch].left(), amount.mass()) {
            (Some(left), Some(mass)) => {
                out.extend(too_much(name, left, mass).map(|doubt| doubt.on("amount")));
            }
            (_, None) => {
                let says = format!("{name} is taken by volume, and its balance is kept by mass");
                out.push(Misgiving::new(Weight::Odd, says).on("amount"));
            }
            (None, _) => {}
        }
        return;
    }
    out.extend(h.stock.taking(name, amount));
}

fn shares_add_up(fact: &Fact, out: &mut Vec<Misgiving>) {
    let readings = fact.values().iter().filter_map(|(_, value)| match value {
        Value::Reading(reading) => reading.percent(),
        _ => None,
    });
    let total: rust_decimal::Decimal = readings.sum();
    if total != rust_decimal::Decimal::ONE_HUNDRED {
        let says = format!(
            "the shares of this recipe add up to {} %, not 100 %",
            total.normalize()
        );
        out.push(Misgiving::new(Weight::Odd, says).on("share"));
    }
}

/// The ingredients of a batch with their amounts, in the order said.
fn ingredients(fact: &Fact) -> impl Iterator<Item = (&Name, quantity::Reading)> {
    fact.values().windows(2).filter_map(|pair| match pair {
        [
            ("ingredient", Value::Name(name)),
            ("amount", Value::Reading(amount)),
        ] => Some((name, **amount)),
        _ => None,
    })
}

pub(crate) fn fold(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    match fact.word() {
        "recipe" => {
            if let Some(name) = fact.name("recipe") {
                h.house.recipes.insert(name.clone());
            }
        }
        "make" => make(h, told),
        "pack" => {
            let recipe = fact.name("container").cloned().unwrap_or_default();
            pack(h, told, Stuff::Made(recipe));
        }
        _ => {}
    }
}

fn make(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    let (Some(recipe), Some(label)) = (fact.name("recipe"), fact.name("batch")) else {
        return;
    };
    let batch = into(h, told, label, Stuff::Made(recipe.clone()));
    for (name, amount) in ingredients(fact) {
        let mass = amount.mass();
        if h.house.current(name).is_some_and(|source| source != batch) {
            let mass = mass.unwrap_or(Mass::ZERO);
            let drawn = draw(h, told, name, mass, Stuff::Wax);
            pour(h, batch, mass, &drawn);
            continue;
        }
        h.stock.use_bulk(told, name, amount);
        if let Some(mass) = mass {
            let nothing = Drawn {
                batch,
                from: [].into(),
                upstream: [].into(),
            };
            pour(h, batch, mass, &nothing);
        }
    }
}
