//! Answers about money: cash, and what a kilo cost.

use quantity::{Currency, Mass, Money};

use crate::arena::LotId;
use crate::holding::Holding;

/// What honey in jars cost.
#[derive(Clone, Debug)]
pub struct Cost {
    /// The currency of all sums.
    pub currency: Option<Currency>,
    /// Strained honey put into jars, comb pieces left out.
    pub honey_kg: f64,
    /// The lots that this honey is in.
    pub lots: Vec<LotId>,
    /// All spending but for things that last, wear, travel and refunds.
    pub spend: f64,
    /// The entries of that spending, in the order of the notes.
    pub spent_entries: Vec<usize>,
    /// All hours worked.
    pub hours: f64,
    /// The entries that say so, in the order of the notes.
    pub hours_entries: Vec<usize>,
    /// Spending per kilo; unknown while there is no honey in jars.
    pub per_kg: Option<f64>,
    /// Spending and hours at the wage, per kilo; unknown without a wage.
    pub per_kg_with_time: Option<f64>,
    /// What is left out, or could not be counted.
    pub notes: Vec<String>,
}

/// What a kilo of honey in jars cost, with and without the keeper's own time.
pub fn cost(h: &Holding, wage: Option<Money>) -> Cost {
    let (lots, honey_kg) = honey_in_jars(h);
    let currency = h.purse.currency.or(wage.map(|wage| wage.currency()));
    let hours = h.purse.all_minutes() as f64 / 60.0;
    let mut notes = vec!["things that last, their wear, travel and refunds are left out".to_owned()];
    let spend: f64 = h
        .purse
        .spent
        .iter()
        .filter_map(|(of, minor)| in_currency(h, *of, *minor, currency, &mut notes))
        .sum();
    // A sum of nothing is nothing, without a sign.
    let spend = spend + 0.0;
    let wage = wage.and_then(|wage| in_currency(h, wage.currency(), wage.minor(), currency, &mut notes));
    if honey_kg > 0.0 && h.stock.lots.iter().any(|(_, lot)| lot.product != "honey") {
        notes.push("comb honey, wax and goods bear none of the cost here".to_owned());
    }
    let per_kg = |sum: f64| (honey_kg > 0.0).then(|| sum / honey_kg);
    Cost {
        currency,
        honey_kg,
        lots,
        spend,
        spent_entries: h.purse.spent_entries.clone(),
        hours,
        hours_entries: h.purse.hours_entries.clone(),
        per_kg: per_kg(spend),
        per_kg_with_time: wage.and_then(|wage| per_kg(spend + wage * hours)),
        notes,
    }
}

/// The lots of strained honey that were filled since the books began, and what is in them, in kg.
fn honey_in_jars(h: &Holding) -> (Vec<LotId>, f64) {
    let lots = h.stock.lots.iter().filter(|(_, lot)| lot.product == "honey");
    let filled = lots.filter_map(|(id, lot)| Some((id, lot.net.checked_mul(lot.made - lot.started)?)));
    let filled: Vec<(LotId, Mass)> = filled.filter(|(_, mass)| !mass.is_zero()).collect();
    let kg = 0.0 + filled.iter().map(|(_, mass)| mass.to_kg()).sum::<f64>();
    (filled.into_iter().map(|(id, _)| id).collect(), kg)
}

/// A sum in the currency of the books, by the last rate noted.
fn in_currency(
    h: &Holding,
    of: Currency,
    minor: i64,
    wanted: Option<Currency>,
    notes: &mut Vec<String>,
) -> Option<f64> {
    let sum = f64::try_from(Money::new(minor, of).to_decimal()).ok()?;
    let wanted = wanted.filter(|wanted| *wanted != of);
    let Some(wanted) = wanted else { return Some(sum) };
    let rate = h.purse.rates.get(&(of, wanted)).copied();
    let rate = rate.or_else(|| h.purse.rates.get(&(wanted, of)).map(|back| 1.0 / back));
    match rate {
        Some(rate) => {
            notes.push(format!(
                "{} is taken at {rate:.4} {}, the last rate noted",
                of.as_str(),
                wanted.as_str()
            ));
            Some(sum * rate)
        }
        None => {
            notes.push(format!(
                "{sum:.2} {} is left out: no rate to {} was noted",
                of.as_str(),
                wanted.as_str()
            ));
            None
        }
    }
}
