//! Containers and what they hold: comb, honey, wax and batches of goods, with their mass balance.
//!
//! Holds true: what a container holds between two emptyings is one batch; what goes in equals what comes
//! out, what is lost by statement, what nobody accounts for and what is left. A pail of comb is emptied by
//! straining; its residue stays with the batch until it is melted.
//!
//! Science: `reckon::comb` for what a comb holds, `reckon::refractometry` for its water.
//! Start at [`Batch`].

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;
use quantity::{Celsius, Mass};
use reckon::refractometry::{Instrument, Scale, Shown};

use crate::arena::{Arena, BatchId, CombId, HiveId, Labels, VesselId};
use crate::colony::state::{comb_on, end_comb};
use crate::holding::{Holding, Hung};
use crate::note::{Fact, Goods, Name};
use crate::told::{Changes, Told};

/// A pail, tank, wax pot or the like.
#[derive(Clone, Debug)]
pub struct Vessel {
    /// Its label.
    pub label: Name,
    /// Everything it has held, the newest last.
    pub batches: Vec<BatchId>,
    pub(crate) emptied: Changes,
}

/// What a batch is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Stuff {
    /// Cut comb.
    Comb,
    /// Strained honey.
    Honey,
    /// Wax.
    Wax,
    /// Goods made after a recipe.
    Made(Name),
}

/// A comb, or part of one, in a pail.
#[derive(Clone, Debug)]
pub struct Part {
    /// The comb.
    pub comb: CombId,
    /// The entry that cut it.
    pub entry: usize,
    /// The hive it hung in.
    pub hive: HiveId,
    /// Its place there on that day.
    pub place: u16,
    /// The tag of its bar.
    pub tag: Option<Name>,
    /// The day it was cut.
    pub cut_on: Date,
    /// Its estimated area in cm²: outline × last drawn × part cut. Without a pattern, the outline counts as
    /// [`UNKNOWN_OUTLINE_CM2`].
    pub area_cm2: f64,
    /// Its mass, where the note said it.
    pub stated: Option<Mass>,
}

/// The outline that stands for a comb whose hive has no pattern: the sloping section of 889 cm² published
/// in Bees for Development Journal 68 (2003). It matters only beside combs of known outline.
pub const UNKNOWN_OUTLINE_CM2: f64 = 889.0;

/// A reading of the water in honey, as it was noted.
#[derive(Clone, Debug)]
pub struct WaterReading {
    /// The entry.
    pub entry: usize,
    /// The day.
    pub day: Date,
    /// What the refractometer showed, and what kind of instrument it is.
    pub shown: Shown,
    /// How often something had been poured in by then.
    pub pours: usize,
    /// No temperature was said, and the instrument does not correct for it: 20 °C is assumed.
    pub assumed_20_c: bool,
}

/// Residue melted to wax.
#[derive(Clone, Debug)]
pub struct Melt {
    /// The entry.
    pub entry: usize,
    /// The day.
    pub day: Date,
    /// What was melted.
    pub crude: Mass,
    /// The wax that came of it.
    pub wax: Mass,
    /// What was lost by statement.
    pub loss: Mass,
}

/// What a container held between two emptyings.
#[derive(Clone, Debug)]
pub struct Batch {
    /// The container.
    pub vessel: VesselId,
    /// What it is.
    pub stuff: Stuff,
    /// The day it began.
    pub begun: Date,
    /// The day the container was emptied.
    pub ended: Option<Date>,
    /// Combs cut into it.
    pub parts: Vec<Part>,
    /// The net masses of comb weighed, each with how many of the parts were in the pail then; both rise.
    pub weighings: Vec<(Mass, usize)>,
    /// What came in by known mass.
    pub came_in: Mass,
    /// Something was taken though nothing is known to have come in.
    pub unknown_in: bool,
    /// Honey that went out, into jars or other containers.
    pub honey_out: Mass,
    /// Wax or goods that went out.
    pub other_out: Mass,
    /// Residue left by straining.
    pub residue: Mass,
    /// Residue not melted.
    pub residue_left: Mass,
    /// Loss stated.
    pub loss: Mass,
    /// What a weighing or an emptying showed to be missing (or, below zero, to be too much).
    pub missing: Mass,
    /// Comb was strained.
    pub strained: bool,
    /// The pails whose comb it comes from, and how much of what is in it comes from each, in kg.
    pub from: BTreeMap<BatchId, f64>,
    /// Every batch that it came through.
    pub upstream: BTreeSet<BatchId>,
    /// Readings of its water.
    pub readings: Vec<WaterReading>,
    /// How often something was poured in.
    pub pours: usize,
    /// Meltings of its residue.
    pub melts: Vec<Melt>,
    /// The entries about it.
    pub entries: Vec<usize>,
}

impl Batch {
    /// What is left in the container; for comb, what is not strained. Unknown where it was never weighed or
    /// nothing is known to have come in.
    pub fn left(&self) -> Option<Mass> {
        if self.stuff == Stuff::Comb {
            return if self.strained || self.ended.is_some() {
                Some(Mass::ZERO)
            } else {
                self.comb_in().map(|mass| mass - self.loss - self.other_out)
            };
        }
        let known = !self.unknown_in;
        known.then(|| self.came_in - self.honey_out - self.other_out - self.loss - self.missing)
    }

    /// The comb that came in, where all of it was weighed or stated.
    pub fn comb_in(&self) -> Option<Mass> {
        let (weighed, covered) = self.weighings.last().copied().unwrap_or((Mass::ZERO, 0));
        let rest = self.parts.iter().skip(covered).map(|part| part.stated);
        let known = !self.parts.is_empty() || !self.weighings.is_empty();
        rest.sum::<Option<Mass>>()
            .map(|stated| weighed + stated)
            .filter(|_| known)
    }

    /// What came in, of whatever it is.
    pub fn in_mass(&self) -> Option<Mass> {
        match self.stuff {
            Stuff::Comb => self.comb_in().map(|comb| comb + self.came_in),
            _ => (!self.unknown_in).then_some(self.came_in),
        }
    }

    /// What nobody accounts for: in = out + residue + loss + unaccounted + left.
    pub fn unaccounted(&self) -> Option<Mass> {
        let out = self.honey_out + self.other_out + self.residue + self.loss;
        Some(self.in_mass()? - out - self.left()?)
    }
}

/// The honey house: all containers and their batches.
#[derive(Clone, Debug, Default)]
pub struct House {
    /// All containers.
    pub vessels: Arena<VesselId, Vessel>,
    /// Their labels.
    pub vessel_labels: Labels<VesselId>,
    /// All batches.
    pub batches: Arena<BatchId, Batch>,
    /// Recipes known by name.
    pub recipes: BTreeSet<Name>,
}

impl House {
    /// What a container holds now.
    pub fn current(&self, label: &str) -> Option<BatchId> {
        let vessel = self.vessel_labels.get(label)?;
        let newest = self.vessels[vessel].batches.last().copied()?;
        self.batches[newest].ended.is_none().then_some(newest)
    }

    fn newest(&self, label: &str) -> Option<BatchId> {
        self.vessels[self.vessel_labels.get(label)?]
            .batches
            .last()
            .copied()
    }
}

pub(crate) fn fold(h: &mut Holding, told: &Told<'_>) {
    match told.fact().word() {
        "cut" => cut(h, told),
        "weigh" => weigh(h, told),
        "crush" => {
            if let Some(batch) = told
                .fact()
                .name("container")
                .and_then(|name| h.house.current(name))
            {
                h.house.batches[batch].entries.push(told.entry);
            }
        }
        "strain" => strain(h, told),
        "read" => read(h, told),
        "blend" => blend(h, told),
        "fill" => fill(h, told),
        _ => {}
    }
}

/// The batch in a container that more of some stuff goes into; a new one where the container is empty.
pub(crate) fn into(h: &mut Holding, told: &Told<'_>, label: &Name, stuff: Stuff) -> BatchId {
    let vessel = h.house.vessel_labels.get(label).unwrap_or_else(|| {
        let vessel = Vessel {
            label: label.clone(),
            batches: Vec::new(),
            emptied: Changes::default(),
        };
        let id = h.house.vessels.add(vessel);
        h.house.vessel_labels.give(label, id, told.entry);
        id
    });
    if let Some(batch) = h.house.current(label) {
        if h.house.batches[batch].stuff == stuff {
            h.house.batches[batch].entries.push(told.entry);
            return batch;
        }
        let says = format!("{label} still holds something else; what goes in now is kept apart from it");
        h.complain(
            told,
            says,
            Some("say that it was emptied, or use another name".to_owned()),
            &[],
        );
        empty(h, told, batch);
    }
    let batch = Batch {
        vessel,
        stuff,
        begun: told.note.day,
        ended: None,
        parts: Vec::new(),
        weighings: Vec::new(),
        came_in: Mass::ZERO,
        unknown_in: false,
        honey_out: Mass::ZERO,
        other_out: Mass::ZERO,
        residue: Mass::ZERO,
        residue_left: Mass::ZERO,
        loss: Mass::ZERO,
        missing: Mass::ZERO,
        strained: false,
        from: BTreeMap::new(),
        upstream: BTreeSet::new(),
        readings: Vec::new(),
        pours: 0,
        melts: Vec::new(),
        entries: vec![told.entry],
    };
    let id = h.house.batches.add(batch);
    h.house.vessels[vessel].batches.push(id);
    id
}

/// Ends a batch: the container is empty, and what should be left by the books is missing.
fn empty(h: &mut Holding, told: &Told<'_>, batch: BatchId) {
    let left = h.house.batches[batch].left();
    let is_comb = h.house.batches[batch].stuff == Stuff::Comb;
    let vessel = h.house.batches[batch].vessel;
    let ended = &mut h.house.batches[batch];
    if let Some(left) = left.filter(|_| !is_comb) {
        ended.missing += left;
    }
    ended.ended = Some(told.note.day);
    h.house.vessels[vessel].emptied.push(told, 0, 0);
}

/// What comes out of a container: how much of it comes from which pail.
pub(crate) struct Drawn {
    pub(crate) batch: BatchId,
    pub(crate) from: BTreeMap<BatchId, f64>,
    pub(crate) upstream: BTreeSet<BatchId>,
}

/// Takes a mass out of a container and tells where it came from.
pub(crate) fn draw(h: &mut Holding, told: &Told<'_>, label: &Name, mass: Mass, fallback: Stuff) -> Drawn {
    let batch = h.house.current(label).unwrap_or_else(|| {
        let batch = into(h, told, label, fallback);
        h.house.batches[batch].unknown_in = true;
        batch
    });
    let left_kg = h.house.batches[batch].left().map_or(0.0, Mass::to_kg);
    let taken_kg = mass.to_kg();
    let taking = &mut h.house.batches[batch];
    taking.entries.push(told.entry);
    if taking.stuff == Stuff::Honey {
        taking.honey_out += mass;
    } else {
        taking.other_out += mass;
    }
    let known: f64 = taking.from.values().sum();
    let share = if known > 0.0 {
        taken_kg / known.max(left_kg).max(taken_kg)
    } else {
        0.0
    };
    let mut from: BTreeMap<BatchId, f64> = BTreeMap::new();
    for (root, kg) in &mut taking.from {
        from.insert(*root, *kg * share);
        *kg -= *kg * share;
    }
    let mut upstream = taking.upstream.clone();
    upstream.insert(batch);
    if from.is_empty() {
        // Where it came from was never noted: it is its own beginning.
        from.insert(batch, taken_kg);
    }
    Drawn {
        batch,
        from,
        upstream,
    }
}

/// Puts a mass, with where it came from, into a batch.
pub(crate) fn pour(h: &mut Holding, batch: BatchId, mass: Mass, drawn: &Drawn) {
    let into = &mut h.house.batches[batch];
    into.pours += 1;
    into.came_in += mass;
    for (root, kg) in &drawn.from {
        *into.from.entry(*root).or_insert(0.0) += kg;
    }
    into.upstream.extend(&drawn.upstream);
}

pub(crate) fn empty_if_said(h: &mut Holding, told: &Told<'_>, batch: BatchId) {
    let fact = told.fact();
    let said = fact.shape().has("emptied") && fact.says("emptied");
    let nothing_left = h.house.batches[batch].left().is_some_and(Mass::is_zero);
    if said || nothing_left {
        empty(h, told, batch);
    }
}

fn cut(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    let hung = fact.bars("bars").map(|bars| h.bars_of(bars)).unwrap_or_default();
    let areas: Vec<f64> = hung.iter().map(|bar| area_cut(h, fact, *bar)).collect();
    let stated = shared_by_area(stated_mass(fact), &areas);
    let mut parts = Vec::with_capacity(hung.len());
    for (n, bar) in hung.iter().enumerate() {
        let comb = take_comb(h, told, *bar);
        parts.push(Part {
            comb,
            entry: told.entry,
            hive: bar.hive,
            place: bar.place,
            tag: h.bars[bar.bar].tag.clone(),
            cut_on: told.note.day,
            area_cm2: areas[n],
            stated: stated.as_ref().map(|masses| masses[n]),
        });
    }
    if let Some(lot) = fact.shape().has("lot").then(|| fact.name("lot")).flatten() {
        let (Some(net), Some(count)) = (fact.mass("size"), fact.count("pieces")) else {
            return;
        };
        return crate::trade::state::comb_lot(h, told, lot, net, count, parts);
    }
    if let Some(into_label) = fact.name("into") {
        let batch = into(h, told, into_label, Stuff::Comb);
        h.house.batches[batch].parts.extend(parts);
    }
}

/// The honey in a full comb of a hive; without a pattern, that of the widest comb published for a half drum.
pub(super) fn full_comb_g(h: &Holding, hive: HiveId) -> f64 {
    /// 1 283 cm² of half drum at 25 mm hold about 4.2 kg (computed with `reckon::comb`).
    const WIDEST_G: f64 = 4_200.0;
    let pattern = h.hives[hive]
        .pattern
        .and_then(|pattern| h.ground.patterns[pattern].full_g);
    pattern.map_or(WIDEST_G, |estimate| estimate.value())
}

pub(super) fn stated_mass(fact: &Fact) -> Option<Mass> {
    fact.mass("comb").or_else(|| {
        let pieces = i64::from(fact.count("pieces")?);
        fact.mass("size")?.checked_mul(pieces)
    })
}

fn shared_by_area(mass: Option<Mass>, areas: &[f64]) -> Option<Vec<Mass>> {
    let weights: Vec<u64> = areas.iter().map(|area| area_weight(*area)).collect();
    let shares = quantity::share(mass?.ng(), &weights)?;
    Some(shares.into_iter().map(Mass::from_ng).collect())
}

/// An area as a whole number of hundredths of a mm², at least one, so that masses are shared without a rest.
pub(crate) fn area_weight(area_cm2: f64) -> u64 {
    let steps = libm::round(area_cm2 * 10_000.0).clamp(1.0, 1e12);
    steps as u64
}

fn area_cut(h: &Holding, fact: &Fact, bar: Hung) -> f64 {
    let outline = h
        .comb_area(bar.hive)
        .map_or(UNKNOWN_OUTLINE_CM2, |area| area.to_cm2());
    let comb = h.bars[bar.bar].comb.map(|comb| &h.combs[comb]);
    let drawn = comb.and_then(|comb| comb.drawn).unwrap_or(1.0) * comb.map_or(1.0, |comb| comb.left);
    outline * drawn * part_cut(h, fact, bar)
}

/// What share of a comb a note cuts: half, all, or for `part` with a mass as much as that mass would fill.
fn part_cut(h: &Holding, fact: &Fact, bar: Hung) -> f64 {
    if fact.says("half") {
        return 0.5;
    }
    if !fact.says("part") {
        return 1.0;
    }
    let bars = fact.bars("bars").map_or(1, |bars| h.bars_of(bars).len().max(1)) as f64;
    let full = full_comb_g(h, bar.hive);
    stated_mass(fact).map_or(0.5, |mass| (mass.to_g() / bars / full).clamp(0.05, 0.95))
}

fn take_comb(h: &mut Holding, told: &Told<'_>, bar: Hung) -> CombId {
    let fact = told.fact();
    let comb = comb_on(h, told, bar.bar, None);
    let cut = part_cut(h, fact, bar);
    if cut < 1.0 {
        h.combs[comb].left *= 1.0 - cut;
    } else {
        end_comb(h, told, bar.bar);
        h.bars[bar.bar].comb = None;
        h.bars[bar.bar].last_look = None;
        h.hives[bar.hive].changes.push(told, bar.place, bar.place);
    }
    comb
}

/// The net mass that a weighing says.
pub(super) fn weighed_net(fact: &Fact) -> Option<Mass> {
    let field = |name: &str| fact.shape().has(name).then(|| fact.mass(name)).flatten();
    field("net").or_else(|| Some(field("gross")? - field("tare")?))
}

fn weigh(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    let (Some(label), Some(net)) = (fact.name("container"), weighed_net(fact)) else {
        return;
    };
    let Some(batch) = h.house.current(label) else {
        // An unknown name has its own doubt.
        if let Some(newest) = h.house.newest(label) {
            let ended = h.house.batches[newest]
                .ended
                .map_or_else(String::new, |day| format!(" since {day}"));
            let hint = "if it was weighed before, say the day and the hour".to_owned();
            h.complain(
                told,
                format!("{label} is weighed, but is empty by the books{ended}"),
                Some(hint),
                &[],
            );
        }
        return;
    };
    let left = h.house.batches[batch].left();
    let weighed = &mut h.house.batches[batch];
    weighed.entries.push(told.entry);
    if weighed.stuff == Stuff::Comb {
        let covered = weighed.parts.len();
        // The same combs weighed again, or less than before: the newest reading counts.
        weighed
            .weighings
            .retain(|(before, then)| *then < covered && *before <= net);
        weighed.weighings.push((net, covered));
    } else if let Some(left) = left {
        weighed.missing += left - net;
    } else {
        // The first weighing of a container whose content was never noted begins its balance.
        weighed.unknown_in = false;
        weighed.came_in = net + weighed.honey_out + weighed.other_out + weighed.loss;
    }
}

fn strain(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    let (Some(label), Some(target), Some(honey)) =
        (fact.name("container"), fact.name("into"), fact.mass("honey"))
    else {
        return;
    };
    let source = h.house.current(label).unwrap_or_else(|| {
        let batch = into(h, told, label, Stuff::Comb);
        h.house.batches[batch].unknown_in = true;
        batch
    });
    let residue = fact.mass("residue").unwrap_or(Mass::ZERO);
    let batch = &mut h.house.batches[source];
    batch.entries.push(told.entry);
    batch.honey_out += honey;
    batch.residue += residue;
    batch.residue_left += residue;
    batch.loss += fact.mass("loss").unwrap_or(Mass::ZERO);
    batch.strained = true;
    empty(h, told, source);
    let tank = into(h, told, target, Stuff::Honey);
    let drawn = Drawn {
        batch: source,
        from: [(source, honey.to_kg())].into(),
        upstream: [source].into(),
    };
    pour(h, tank, honey, &drawn);
}

/// What a note says was shown; and whether a temperature had to be assumed.
pub(super) fn shown_of(fact: &Fact) -> Option<(Shown, bool)> {
    let (field, scale) = match fact.form {
        0 => ("index", Scale::Index(fact.number("index")?)),
        1 => (
            "water",
            Scale::Water(f64::try_from(fact.reading("water")?.percent()?).ok()?),
        ),
        _ => ("brix", Scale::Brix(fact.number("brix")?)),
    };
    let resolution = match fact.get(field) {
        Some(crate::note::Value::Number(number)) => libm::pow(10.0, -f64::from(number.scale())),
        Some(crate::note::Value::Reading(reading)) => f64::try_from(reading.resolution()).unwrap_or(0.0),
        _ => 0.0,
    };
    let said = fact.reading("at").and_then(|at| at.celsius());
    let assumed = said.is_none() && !fact.says("compensated");
    let instrument = match said.or_else(|| Celsius::new(20.0)) {
        Some(at) if !fact.says("compensated") => Instrument::Plain { at },
        _ => Instrument::Compensating,
    };
    Some((
        Shown {
            scale,
            resolution,
            instrument,
        },
        assumed,
    ))
}

fn read(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    let (Some(label), Some((shown, assumed_20_c))) = (fact.name("container"), shown_of(fact)) else {
        return;
    };
    let Some(batch) = h.house.current(label) else {
        h.complain(
            told,
            format!("{label} is read, but nothing is known to be in it"),
            None,
            &[],
        );
        return;
    };
    let reading = WaterReading {
        entry: told.entry,
        day: told.note.day,
        shown,
        pours: h.house.batches[batch].pours,
        assumed_20_c,
    };
    h.house.batches[batch].readings.push(reading);
    h.house.batches[batch].entries.push(told.entry);
}

fn blend(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    let (Some(from), Some(mass), Some(target)) =
        (fact.name("container"), fact.mass("mass"), fact.name("into"))
    else {
        return;
    };
    let drawn = draw(h, told, from, mass, Stuff::Honey);
    let stuff = h.house.batches[drawn.batch].stuff.clone();
    empty_if_said(h, told, drawn.batch);
    let batch = into(h, told, target, stuff);
    pour(h, batch, mass, &drawn);
}

fn fill(h: &mut Holding, told: &Told<'_>) {
    pack(h, told, Stuff::Honey);
}

/// Fills, casts or packs: a lot is made of what a container holds, and empties leave the stock.
pub(crate) fn pack(h: &mut Holding, told: &Told<'_>, stuff: Stuff) {
    let fact = told.fact();
    let (Some(label), Some(lot)) = (fact.name("container"), fact.name("lot")) else {
        return;
    };
    let Some(Goods::Pieces {
        count,
        size: Some(size),
        ..
    }) = fact.goods("goods")
    else {
        return;
    };
    let Some(net) = size.mass() else { return };
    let Some(total) = net.checked_mul(i64::from(*count)) else {
        return;
    };
    let drawn = draw(h, told, label, total, stuff);
    crate::trade::state::lot_of(h, told, lot, net, *count, &drawn);
    crate::trade::state::use_empties(h, told);
    empty_if_said(h, told, drawn.batch);
}

/// The newest batch of a container that still has residue.
pub(crate) fn with_residue(h: &Holding, label: &str) -> Option<BatchId> {
    let vessel = h.house.vessel_labels.get(label)?;
    h.house.vessels[vessel]
        .batches
        .iter()
        .rev()
        .copied()
        .find(|batch| !h.house.batches[*batch].residue_left.is_zero())
}

/// Throws some of what a container holds away.
pub(crate) fn discard(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    let (Some(label), Some(mass)) = (fact.name("container"), fact.mass("mass")) else {
        return;
    };
    // Residue that was never melted is thrown away under its pail's name.
    if let Some(batch) = h
        .house
        .newest(label)
        .filter(|batch| h.house.batches[*batch].ended.is_some())
    {
        let left = h.house.batches[batch].residue_left;
        h.house.batches[batch].residue_left = (left - mass).max(Mass::ZERO);
        h.house.batches[batch].entries.push(told.entry);
        return;
    }
    let Some(batch) = h.house.current(label) else {
        return;
    };
    let discarding = &mut h.house.batches[batch];
    discarding.loss += mass;
    discarding.entries.push(told.entry);
    empty_if_said(h, told, batch);
}
