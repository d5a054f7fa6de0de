//! Wax: melted from residue or comb, cast into blocks.

use quantity::Mass;

use crate::holding::Holding;
use crate::honey::state::{Drawn, Melt, Stuff, empty_if_said, into, pack, pour, with_residue};
use crate::told::Told;

pub(crate) fn fold(h: &mut Holding, told: &Told<'_>) {
    match told.fact().word() {
        "melt" => melt(h, told),
        "cast" => pack(h, told, Stuff::Wax),
        _ => {}
    }
}

fn melt(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    let (Some(label), Some(target), Some(wax)) =
        (fact.name("container"), fact.name("into"), fact.mass("wax"))
    else {
        return;
    };
    let is_residue = fact.form == 0;
    let Some(crude) = fact.mass(if is_residue { "residue" } else { "comb" }) else {
        return;
    };
    let loss = fact.mass("loss").unwrap_or(Mass::ZERO);
    let source = if is_residue {
        with_residue(h, label)
    } else {
        h.house.current(label)
    };
    let source = source.unwrap_or_else(|| {
        let batch = into(h, told, label, Stuff::Comb);
        h.house.batches[batch].unknown_in = true;
        batch
    });
    let melt = Melt {
        entry: told.entry,
        day: told.note.day,
        crude,
        wax,
        loss,
    };
    let batch = &mut h.house.batches[source];
    batch.entries.push(told.entry);
    batch.melts.push(melt);
    if is_residue {
        batch.residue_left = (batch.residue_left - crude).max(Mass::ZERO);
    } else {
        batch.other_out += crude;
        batch.strained = batch.comb_in().is_some_and(|comb| batch.other_out >= comb);
        empty_if_said(h, told, source);
    }
    let pot = into(h, told, target, Stuff::Wax);
    let drawn = Drawn {
        batch: source,
        from: [(source, wax.to_kg())].into(),
        upstream: [source].into(),
    };
    pour(h, pot, wax, &drawn);
}
