//! Answers about honey: what each pail and hive gave, where a lot came from, how wet it is.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;
use quantity::Mass;
use reckon::refractometry::{Moisture, moisture_shown};

use super::state::{Batch, Part, Stuff, WaterReading, area_weight};
use crate::arena::{BatchId, HiveId, LotId};
use crate::ground::state::Hive;
use crate::holding::Holding;

/// How far the estimated area of one comb may be off, as a share of it. From memory: single combs are
/// estimated to within 20 to 30 % after training in the Liebefeld method; no publication was read.
pub const SINGLE_COMB_DOUBT: f64 = 0.25;

/// The mass of one comb in a pail.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PartMass {
    /// The mass, in kg.
    pub kg: f64,
    /// The least it may be.
    pub lo_kg: f64,
    /// The most it may be.
    pub hi_kg: f64,
}

/// What each comb of a pail weighed.
///
/// Masses said in the notes come first. What was weighed together is shared by estimated area, and the sum
/// is kept exactly. What was never weighed is estimated from its area alone.
pub fn part_masses(batch: &Batch) -> Vec<PartMass> {
    if batch.strained && batch.comb_in().is_none() {
        // Never weighed as comb: what straining gave is the best that is known of all of it.
        return shared(batch.honey_out + batch.residue + batch.loss, &batch.parts);
    }
    let mut masses = Vec::with_capacity(batch.parts.len());
    let mut before = Mass::ZERO;
    for (net, covered) in &batch.weighings {
        let end = (*covered).min(batch.parts.len());
        let parts = &batch.parts[masses.len().min(end)..end];
        masses.extend(shared(*net - before, parts));
        before = *net;
    }
    let rest = &batch.parts[masses.len()..];
    masses.extend(estimates(rest));
    masses
}

fn shared(net: Mass, parts: &[Part]) -> Vec<PartMass> {
    let stated: Mass = parts.iter().filter_map(|part| part.stated).sum();
    if stated > net || parts.iter().all(|part| part.stated.is_some()) {
        return by_statement(net, parts);
    }
    let rest = net - stated;
    let weigh = |part: &Part| {
        if part.stated.is_some() {
            0
        } else {
            area_weight(part.area_cm2)
        }
    };
    let weights: Vec<u64> = parts.iter().map(weigh).collect();
    let total: u64 = weights.iter().sum();
    let shares = quantity::share(rest.ng(), &weights).unwrap_or_else(|| vec![0; parts.len()]);
    let masses = parts
        .iter()
        .zip(shares)
        .zip(&weights)
        .map(|((part, share), weight)| match part.stated {
            Some(stated) => exactly(stated),
            None => {
                let (lo, hi) = interval(*weight as f64, (total - weight) as f64);
                PartMass {
                    kg: Mass::from_ng(share).to_kg(),
                    lo_kg: lo * rest.to_kg(),
                    hi_kg: hi * rest.to_kg(),
                }
            }
        });
    masses.collect()
}

/// Where the masses said do not add up to what was weighed, the net is shared as they were said: the scale had all
/// of it at once. A complaint tells of the difference.
fn by_statement(net: Mass, parts: &[Part]) -> Vec<PartMass> {
    let said = |part: &Part| u64::try_from(part.stated.map_or(0, Mass::ng)).unwrap_or(0);
    let weights: Vec<u64> = parts.iter().map(said).collect();
    let shares = quantity::share(net.ng(), &weights).unwrap_or_else(|| vec![0; parts.len()]);
    shares
        .into_iter()
        .map(|share| exactly(Mass::from_ng(share)))
        .collect()
}

fn exactly(mass: Mass) -> PartMass {
    PartMass {
        kg: mass.to_kg(),
        lo_kg: mass.to_kg(),
        hi_kg: mass.to_kg(),
    }
}

/// The least and the most that a share by area can be, when this area is over- or underestimated and all
/// the others are off the other way. Alone in its pail a comb has the whole of it, without doubt.
fn interval(own: f64, others: f64) -> (f64, f64) {
    let (less, more) = (1.0 - SINGLE_COMB_DOUBT, 1.0 + SINGLE_COMB_DOUBT);
    (
        own * less / (own * less + others * more),
        own * more / (own * more + others * less),
    )
}

fn estimates(parts: &[Part]) -> Vec<PartMass> {
    parts
        .iter()
        .map(|part| part.stated.map_or_else(|| by_area(part), exactly))
        .collect()
}

/// What a comb of this area weighs when it is full of honey, from its area alone.
fn by_area(part: &Part) -> PartMass {
    let area = quantity::Area::from_cm2(part.area_cm2);
    let grams = area.and_then(|area| reckon::comb::full_comb_g(area, reckon::comb::USUAL_THICKNESS));
    grams.map_or(
        PartMass {
            kg: 0.0,
            lo_kg: 0.0,
            hi_kg: 0.0,
        },
        |estimate| PartMass {
            kg: estimate.value() / 1000.0,
            lo_kg: estimate.lo() / 1000.0,
            hi_kg: estimate.hi() / 1000.0,
        },
    )
}

/// The mass balance of one batch; what cannot be known is `None`.
#[derive(Clone, Debug)]
pub struct Balance {
    /// The label of its container.
    pub name: String,
    /// What it is: comb, honey, wax, or a recipe.
    pub kind: String,
    /// The day it began.
    pub begun: Date,
    /// The day the container was emptied.
    pub ended: Option<Date>,
    /// What came in.
    pub in_kg: Option<f64>,
    /// Comb that was neither weighed nor stated, estimated from its area, with the least and the most.
    pub in_estimate_kg: Option<PartMass>,
    /// Honey that went out.
    pub honey_kg: f64,
    /// Wax, goods or comb that went out.
    pub other_kg: f64,
    /// Residue left by straining.
    pub residue_kg: f64,
    /// Residue not melted or thrown away.
    pub residue_left_kg: f64,
    /// Loss stated.
    pub loss_kg: f64,
    /// What nobody accounts for.
    pub unaccounted_kg: Option<f64>,
    /// What is left.
    pub left_kg: Option<f64>,
    /// Wax melted from its residue.
    pub wax_kg: f64,
    /// What was lost in melting without being stated.
    pub melt_unaccounted_kg: f64,
    /// The entries about it.
    pub entries: Vec<usize>,
}

/// The balances of all batches, in the order in which they began.
pub fn balances(h: &Holding) -> Vec<Balance> {
    h.house.batches.iter().map(|(id, _)| balance(h, id)).collect()
}

/// The balance of one batch.
pub fn balance(h: &Holding, batch: BatchId) -> Balance {
    let batch = &h.house.batches[batch];
    let estimated = batch.stuff == Stuff::Comb && batch.in_mass().is_none() && !batch.parts.is_empty();
    let wax: Mass = batch.melts.iter().map(|melt| melt.wax).sum();
    let melt_lost: Mass = batch
        .melts
        .iter()
        .map(|melt| melt.crude - melt.wax - melt.loss)
        .sum();
    let kg = |mass: Option<Mass>| mass.map(Mass::to_kg);
    Balance {
        name: h.house.vessels[batch.vessel].label.to_string(),
        kind: kind(batch),
        begun: batch.begun,
        ended: batch.ended,
        in_kg: kg(batch.in_mass()),
        in_estimate_kg: estimated.then(|| sum(&part_masses(batch))),
        honey_kg: batch.honey_out.to_kg(),
        other_kg: batch.other_out.to_kg(),
        residue_kg: batch.residue.to_kg(),
        residue_left_kg: batch.residue_left.to_kg(),
        loss_kg: batch.loss.to_kg(),
        unaccounted_kg: kg(batch.unaccounted()),
        left_kg: kg(batch.left()),
        wax_kg: wax.to_kg(),
        melt_unaccounted_kg: melt_lost.to_kg(),
        entries: once_each(&batch.entries),
    }
}

/// Each entry once, in the order of the notes. Their places in the books must not show: they tell the order of
/// arrival.
fn once_each(entries: &[usize]) -> Vec<usize> {
    let mut seen = BTreeSet::new();
    entries
        .iter()
        .copied()
        .filter(|entry| seen.insert(*entry))
        .collect()
}

fn kind(batch: &Batch) -> String {
    match &batch.stuff {
        Stuff::Comb => "comb".to_owned(),
        Stuff::Honey => "honey".to_owned(),
        Stuff::Wax => "wax".to_owned(),
        Stuff::Made(recipe) => recipe.to_string(),
    }
}

fn sum(masses: &[PartMass]) -> PartMass {
    let nothing = PartMass {
        kg: 0.0,
        lo_kg: 0.0,
        hi_kg: 0.0,
    };
    masses.iter().fold(nothing, |all, one| PartMass {
        kg: all.kg + one.kg,
        lo_kg: all.lo_kg + one.lo_kg,
        hi_kg: all.hi_kg + one.hi_kg,
    })
}

/// A comb that a lot came from.
#[derive(Clone, Debug)]
pub struct Origin {
    /// Its place in the hive on the day it was cut.
    pub bar: u16,
    /// The tag of its bar.
    pub tag: Option<String>,
    /// The hive, by the label it has now.
    pub hive: String,
    /// The yard where the hive stands now.
    pub yard: Option<String>,
    /// The day it was cut.
    pub cut_on: Date,
    /// What it weighed.
    pub comb: PartMass,
    /// The pail it was cut into; comb honey has none.
    pub pail: Option<String>,
    /// The entry that cut it.
    pub entry: usize,
}

/// Where a lot came from.
#[derive(Clone, Debug)]
pub struct Trace {
    /// The combs, in the order in which they were cut.
    pub from: Vec<Origin>,
    /// The containers it came through, but for the pails of comb, in the order in which they were begun.
    pub tanks: Vec<String>,
    /// Containers whose content is older than the books, or was never noted.
    pub unknown: Vec<String>,
    /// The last reading of its water before it was filled.
    pub reading: Option<WaterReading>,
    /// Something was poured in between the reading and the filling.
    pub poured_since: bool,
}

impl Trace {
    /// The water in it, where it was read.
    pub fn moisture(&self) -> Option<Moisture> {
        self.reading
            .as_ref()
            .and_then(|reading| moisture_shown(reading.shown).ok())
    }
}

/// Where a lot came from: lot ← tank ← pail ← comb ← bar ← hive ← yard.
pub fn trace(h: &Holding, lot: LotId) -> Trace {
    let mut trace = Trace {
        from: Vec::new(),
        tanks: Vec::new(),
        unknown: Vec::new(),
        reading: None,
        poured_since: false,
    };
    let mut roots: BTreeSet<BatchId> = BTreeSet::new();
    let mut through: BTreeSet<BatchId> = BTreeSet::new();
    for source in &h.stock.lots[lot].sources {
        roots.extend(source.from.keys());
        through.extend(&source.upstream);
        let stated = source
            .parts
            .iter()
            .map(|part| (part, part.stated.map_or_else(|| by_area(part), exactly)));
        trace
            .from
            .extend(stated.map(|(part, mass)| origin(h, part, mass, None)));
        if let Some(batch) = source.batch.map(|batch| &h.house.batches[batch])
            && let Some(reading) = batch.readings.get(..source.readings).and_then(|read| read.last())
        {
            trace.poured_since = reading.pours < source.pours;
            trace.reading = Some(reading.clone());
        }
    }
    for root in &roots {
        let batch = &h.house.batches[*root];
        let pail = h.house.vessels[batch.vessel].label.to_string();
        if batch.parts.is_empty() {
            trace.unknown.push(pail.clone());
        }
        let masses = part_masses(batch);
        trace.from.extend(
            batch
                .parts
                .iter()
                .zip(masses)
                .map(|(part, mass)| origin(h, part, mass, Some(pail.clone()))),
        );
    }
    trace
        .from
        .sort_by_key(|origin| (origin.cut_on, origin.hive.clone(), origin.bar));
    let tanks = through
        .iter()
        .filter(|batch| h.house.batches[**batch].stuff != Stuff::Comb);
    trace.tanks = tanks
        .map(|batch| h.house.vessels[h.house.batches[*batch].vessel].label.to_string())
        .collect();
    trace
}

fn origin(h: &Holding, part: &Part, comb: PartMass, pail: Option<String>) -> Origin {
    let hive = &h.hives[part.hive];
    Origin {
        bar: part.place,
        tag: part.tag.as_ref().map(ToString::to_string),
        hive: hive.label.to_string(),
        yard: hive.yard.map(|yard| h.ground.yards[yard].label.to_string()),
        cut_on: part.cut_on,
        comb,
        pail,
        entry: part.entry,
    }
}

/// The lots that hold honey or wax of a hive, with the bars: the same trace the other way.
pub fn lots_of_hive(h: &Holding, label: &str) -> Vec<(LotId, Vec<Origin>)> {
    let mut out = Vec::new();
    for (id, _) in h.stock.lots.iter() {
        let from: Vec<Origin> = trace(h, id)
            .from
            .into_iter()
            .filter(|origin| origin.hive == label)
            .collect();
        if !from.is_empty() {
            out.push((id, from));
        }
    }
    out
}

/// What one hive gave.
#[derive(Clone, Debug)]
pub struct HiveYield {
    /// The hive.
    pub hive: String,
    /// Comb cut.
    pub comb: PartMass,
    /// Strained honey that came of it.
    pub honey_kg: f64,
    /// Wax that came of it.
    pub wax_kg: f64,
    /// How many combs, or parts of combs, were cut.
    pub combs: usize,
    /// The entries that cut them, each once, in the order of the notes.
    pub entries: Vec<usize>,
}

/// What each hive gave, in the order in which the hives were made known.
pub fn yields(h: &Holding) -> Vec<HiveYield> {
    let cuts = cuts(h);
    let mut gave: BTreeMap<HiveId, HiveYield> = BTreeMap::new();
    for (id, hive) in h.hives.iter().filter(|(_, hive)| !hive.is_store()) {
        let nothing = PartMass {
            kg: 0.0,
            lo_kg: 0.0,
            hi_kg: 0.0,
        };
        gave.insert(
            id,
            HiveYield {
                hive: hive.label.to_string(),
                comb: nothing,
                honey_kg: 0.0,
                wax_kg: 0.0,
                combs: 0,
                entries: cuts_of(hive, &cuts),
            },
        );
    }
    for (_, batch) in h.house.batches.iter() {
        add_pail(batch, &mut gave);
    }
    for (_, lot) in h.stock.lots.iter() {
        for part in lot.sources.iter().flat_map(|source| &source.parts) {
            add_comb(
                &mut gave,
                part.hive,
                part.stated.map_or_else(|| by_area(part), exactly),
                1,
            );
        }
    }
    gave.into_values().collect()
}

/// The entries that cut comb.
fn cuts(h: &Holding) -> BTreeSet<usize> {
    let batches = h.house.batches.iter().flat_map(|(_, batch)| &batch.parts);
    let lots = h.stock.lots.iter().flat_map(|(_, lot)| &lot.sources);
    let pieces = lots.flat_map(|source| &source.parts);
    batches.chain(pieces).map(|part| part.entry).collect()
}

/// A hive's history is in the order of the notes, which neither pails nor lots are.
fn cuts_of(hive: &Hive, cuts: &BTreeSet<usize>) -> Vec<usize> {
    let named = hive.entries.iter().copied();
    named.filter(|entry| cuts.contains(entry)).collect()
}

fn add_comb(gave: &mut BTreeMap<HiveId, HiveYield>, hive: HiveId, mass: PartMass, combs: usize) {
    if let Some(row) = gave.get_mut(&hive) {
        row.comb = sum(&[row.comb, mass]);
        row.combs += combs;
    }
}

fn add_pail(batch: &Batch, gave: &mut BTreeMap<HiveId, HiveYield>) {
    let masses = part_masses(batch);
    let all: f64 = masses.iter().map(|mass| mass.kg).sum();
    let hives: BTreeSet<HiveId> = batch.parts.iter().map(|part| part.hive).collect();
    let wax: f64 = batch.melts.iter().map(|melt| melt.wax.to_kg()).sum();
    for hive in hives {
        let own = batch
            .parts
            .iter()
            .zip(&masses)
            .filter(|(part, _)| part.hive == hive);
        let own: Vec<PartMass> = own.map(|(_, mass)| *mass).collect();
        let combs = own.len();
        let mass = tightened(sum(&own), all, batch, combs);
        add_comb(gave, hive, mass, combs);
        if let Some(row) = gave.get_mut(&hive).filter(|_| all > 0.0) {
            row.honey_kg += batch.honey_out.to_kg() * mass.kg / all;
            row.wax_kg += wax * mass.kg / all;
        }
    }
}

/// A hive that gave every comb of a weighed pail gave its net mass, whatever the single combs weighed.
fn tightened(mass: PartMass, all: f64, batch: &Batch, combs: usize) -> PartMass {
    if batch.comb_in().is_none() {
        return mass;
    }
    if combs == batch.parts.len() {
        return PartMass {
            kg: all,
            lo_kg: all,
            hi_kg: all,
        };
    }
    PartMass {
        hi_kg: mass.hi_kg.min(all),
        ..mass
    }
}
