//! What a number stands on: the notes, and the sources of its equation.

use apiary::honey::answers as honey;
use page::{Block, Page, Words};

use super::{Part, notes_table, path, sentence};
use crate::reader::Reader;

/// What a number stands on. `steps` is what stands behind `/why/` in its address; `None` if there is no such
/// number.
pub fn why(reader: &Reader<'_>, steps: &[&str], part: Part) -> Option<Page> {
    if let ["comb", hive, place] = steps {
        return super::hive::comb_page(reader, hive, place, part);
    }
    let because = because(reader, steps)?;
    let mut address = vec!["why"];
    address.extend(steps);
    let to = |number| {
        let address = path(&address);
        reader.link(&format!("{address}?part={number}"))
    };
    let mut page = Page::new(because.title).with([Block::text(sentence(&because.says))]);
    let count = because.entries.len();
    let notes = if count == 1 { "note" } else { "notes" };
    page.blocks.push(Block::Table(notes_table(
        reader,
        &format!("It stands on {count} {notes}"),
        &because.entries,
        part,
        to,
    )));
    if !because.sources.is_empty() {
        let sources = because
            .sources
            .iter()
            .map(|source| Words::linked(*source, reader.link(&format!("/sources#{source}"))))
            .collect();
        page.blocks
            .push(Block::section("Sources", [Block::List(sources)]));
    }
    Some(page)
}

struct Because {
    title: String,
    says: String,
    entries: Vec<usize>,
    sources: Vec<&'static str>,
}

fn because(reader: &Reader<'_>, steps: &[&str]) -> Option<Because> {
    let h = reader.holding();
    let of = |title: String, says: &str, entries: Vec<usize>| {
        Some(Because {
            title,
            says: says.to_owned(),
            entries,
            sources: Vec::new(),
        })
    };
    match steps {
        ["cash"] => of(
            "Cash in hand".to_owned(),
            "what was there at the beginning and came in, less what went out",
            h.purse.cash_entries.clone(),
        ),
        ["month", month] => {
            let in_month = |entry: &usize| reader.entry(*entry).envelope.day.to_string().starts_with(month);
            let entries = h.purse.cash_entries.iter().copied().filter(in_month).collect();
            of(
                format!("Cash in {month}"),
                "what came in and went out in that month",
                entries,
            )
        }
        ["hours"] => of(
            "Hours worked".to_owned(),
            "all time that was noted",
            h.purse.hours_entries.clone(),
        ),
        ["cost"] => {
            let cost = apiary::money::answers::cost(h, None);
            let mut entries = cost.spent_entries;
            for lot in cost.lots {
                entries.extend(&h.stock.lots[lot].entries);
            }
            once_each(&mut entries);
            of(
                "What a kilo cost".to_owned(),
                "all spending but for things that last, over the honey filled into jars",
                entries,
            )
        }
        ["good", name] => {
            let good = h.stock.goods.get(*name)?;
            of(
                (*name).to_owned(),
                "bought or there at the beginning, less what was used, as counting put it right",
                good.entries.clone(),
            )
        }
        ["lot", name] => {
            let id = h.stock.lot_labels.get(name)?;
            let mut entries = h.stock.lots[id].entries.clone();
            once_each(&mut entries);
            let mut because = of(
                format!("Lot {name}"),
                "filled, less what was sold, given, taken, spoilt and left at shops, as counting put it right",
                entries,
            )?;
            if honey::trace(h, id).reading.is_some() {
                because.sources = vec![reckon::sources::WEDMORE_1955.id];
            }
            Some(because)
        }
        ["batch", name, begun] => {
            let vessel = &h.house.vessels[h.house.vessel_labels.get(name)?];
            let batch = vessel
                .batches
                .iter()
                .rev()
                .find(|batch| h.house.batches[**batch].begun.to_string() == *begun)?;
            let balance = honey::balance(h, *batch);
            of(
                format!("{name} since {begun}"),
                "what came in equals honey out, other out, residue, stated loss, what nobody accounts for and what is left",
                balance.entries,
            )
        }
        ["yield", name] => {
            let row = reader.yields().iter().find(|row| row.hive == *name)?.clone();
            let mut because = of(
                format!("What {name} gave"),
                "combs cut from it; where several hives lay in one pail, its kilos are shared by estimated comb area",
                row.entries,
            )?;
            because.sources = vec![reckon::sources::FROM_MEMORY.id];
            Some(because)
        }
        ["hive", name] => of(
            format!("Notes about the hive {name}"),
            "every note that names it, one of its bars or a colony that lives in it",
            super::notes_about_hive(reader, h.hive_labels.get(name)?, usize::MAX),
        ),
        ["strength", name] => {
            let id = h.hive_labels.get(name)?;
            let notes = |entry| reader.note(entry);
            let parts = apiary::colony::answers::strengths(h, &notes, id)?;
            let mut entries: Vec<usize> = parts.iter().flat_map(|part| part.entries()).collect();
            if let Some(pattern) = h.hives[id].pattern {
                entries.push(h.ground.patterns[pattern].made_by);
            }
            once_each(&mut entries);
            let told: Vec<String> = super::hive::strong::strength_in_short(reader, id)
                .iter()
                .map(ToString::to_string)
                .collect();
            let says = format!(
                "{} These are the shares that the last look at each comb told, times what a full comb of its pattern holds; the cells and thickness measured where they were, else usual ones",
                told.join(" ")
            );
            let mut because = of(format!("How strong {name} is"), says.trim_start(), entries)?;
            because.sources = reckon::strength::SOURCES.iter().map(|source| source.id).collect();
            Some(because)
        }
        ["colony", name] => of(
            format!("Notes about the colony {name}"),
            "every note that names it, or its hive where a colony is meant",
            h.colonies[h.colony_named(name)?].entries.clone(),
        ),
        ["yard", name] => of(
            format!("Notes about the yard {name}"),
            "every note that names it",
            h.ground.yards[h.ground.yard_labels.get(name)?].entries.clone(),
        ),
        _ => None,
    }
}

/// Each entry once, in the order they first come.
fn once_each(entries: &mut Vec<usize>) {
    let mut seen = std::collections::BTreeSet::new();
    entries.retain(|entry| seen.insert(*entry));
}
