//! How strong the colonies of a hive are, estimated from the last look at each comb.

use quantity::Estimate;
use reckon::strength::{self, Measured, Seen, Strength};

use super::{Notes, is_of_another};
use crate::arena::{ColonyId, CombId, HiveId};
use crate::colony::look::share_of;
use crate::colony::state::Comb;
use crate::holding::Holding;

/// What is estimated to be on one comb.
#[derive(Clone, Debug)]
pub struct BarStrength {
    /// The place.
    pub place: u16,
    /// The comb.
    pub comb: CombId,
    /// The last look at it; the estimate is of that day. Nothing where nobody has looked at it.
    pub look: Option<usize>,
    /// What it stands on: the looks whose words tell what it is like, and its measures.
    pub entries: Vec<usize>,
    /// The estimate; a kind that the look did not tell is not known.
    pub strength: Strength,
}

/// What is estimated to be on the combs of one colony, or of a hive or store in which none lives.
#[derive(Clone, Debug)]
pub struct PartStrength {
    /// Who lives there.
    pub colony: Option<ColonyId>,
    /// The first of its places.
    pub from: u16,
    /// The last of them.
    pub to: u16,
    /// Its combs, from the entrance end.
    pub bars: Vec<BarStrength>,
    /// All of them together: of each kind the sum of the combs that tell it.
    pub whole: Strength,
}

impl PartStrength {
    /// How many of its combs tell a kind.
    pub fn told(&self, kind: impl Fn(&Strength) -> bool) -> usize {
        self.bars.iter().filter(|bar| kind(&bar.strength)).count()
    }

    /// The entries that the estimate stands on, each once, in the order of the notes.
    pub fn entries(&self) -> Vec<usize> {
        let mut all: Vec<usize> = self.bars.iter().flat_map(|bar| bar.entries.clone()).collect();
        all.sort_unstable();
        all.dedup();
        all
    }
}

/// What the last looks say is on the combs of a hive, a part for each colony and one for combs without bees.
///
/// Nothing where no pattern tells how large its combs are: then nothing can be estimated.
pub fn strengths(h: &Holding, notes: Notes<'_, '_>, hive_id: HiveId) -> Option<Vec<PartStrength>> {
    let hive = &h.hives[hive_id];
    let face = h.ground.patterns[hive.pattern?].comb?;
    let mut parts: Vec<PartStrength> = Vec::new();
    for (bar, place) in hive.bars.iter().zip(1u16..) {
        let Some(id) = h.bars[*bar].comb else { continue };
        let comb = &h.combs[id];
        let colony = h.colony_at(hive_id, place);
        let mut seen = seen(comb, notes);
        // Where none lives any more, or another has come since, the bees of that look and their brood are gone.
        if (colony.is_none() && !hive.is_store()) || is_of_another(h, hive_id, place, comb) {
            seen = Seen {
                bees: None,
                sealed: None,
                open: None,
                eggs: None,
                brood: None,
                drones: None,
                ..seen
            };
        }
        let told = BarStrength {
            place,
            comb: id,
            look: comb.last_look,
            entries: comb.said_by.iter().chain(&comb.measures).copied().collect(),
            strength: strength::comb(&seen, &measured(comb, face)),
        };
        match parts.last_mut().filter(|part| part.colony == colony) {
            Some(part) => {
                part.to = part.to.max(place);
                part.bars.push(told);
            }
            None => {
                let (from, to) = colony.map_or((place, place), |colony| h.range(colony));
                parts.push(PartStrength {
                    colony,
                    from,
                    to,
                    bars: vec![told],
                    whole: Strength::default(),
                });
            }
        }
    }
    for part in &mut parts {
        let combs: Vec<Strength> = part.bars.iter().map(|bar| bar.strength).collect();
        part.whole = strength::hive(&combs);
    }
    Some(parts)
}

/// The honey on some combs of a hive by the last looks, in kg, and as many of them as tell it; nothing where none does
/// or no pattern tells how large combs are.
pub(in crate::colony) fn honey_kg(
    h: &Holding,
    notes: Notes<'_, '_>,
    hive: HiveId,
    combs: &[CombId],
) -> Option<Estimate> {
    let face = h.comb_area(hive)?;
    let told: Vec<Strength> = combs
        .iter()
        .map(|id| {
            let comb = &h.combs[*id];
            strength::comb(&seen(comb, notes), &measured(comb, face))
        })
        .filter(|comb| comb.honey_kg.is_some())
        .collect();
    strength::hive(&told).honey_kg
}

/// The honey of a comb that is full and capped as far as it is drawn, in kg.
pub(in crate::colony) fn most_honey_kg(h: &Holding, hive: HiveId, comb: &Comb) -> Option<Estimate> {
    let face = h.comb_area(hive)?;
    let full = Seen {
        capped: Some(comb.drawn.unwrap_or(1.0)),
        ..Seen::default()
    };
    strength::comb(&full, &measured(comb, face)).honey_kg
}

/// What was said of a comb, as the estimate wants it. In the notes `honey` holds what is capped, where both are said;
/// a comb said to be empty holds nothing.
fn seen(comb: &Comb, notes: Notes<'_, '_>) -> Seen {
    let said = |field| share_of(&comb.shares, field);
    let is_empty = says_empty(comb, notes);
    let within = |field| said(field).or(is_empty.then_some(0.0));
    let capped = said("capped").unwrap_or(0.0);
    Seen {
        drawn: comb.drawn,
        bees: said("bees"),
        sealed: within("sealed"),
        open: within("open"),
        eggs: within("eggs_share"),
        brood: within("brood"),
        drones: within("drones"),
        capped: within("capped"),
        honey: within("honey").map(|honey| (honey - capped).max(0.0)),
        nectar: within("nectar"),
        pollen: within("pollen"),
    }
}

/// Whether the last look that told what the comb is like said that nothing is in it.
fn says_empty(comb: &Comb, notes: Notes<'_, '_>) -> bool {
    let in_words = comb.said_by.last().and_then(|look| notes(*look));
    let in_shares = share_of(&comb.shares, "empty_share").zip(share_of(&comb.shares, "drawn"));
    in_words.is_some_and(|note| note.fact.says("empty"))
        || in_shares.is_some_and(|(empty, drawn)| drawn > 0.0 && empty >= drawn)
}

fn measured(comb: &Comb, face: quantity::Area) -> Measured {
    Measured {
        face,
        thickness: comb.thickness,
        worker_cell: comb.worker_cell,
        left: comb.left,
    }
}
