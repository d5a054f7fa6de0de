//! Late notes that change what an earlier-written note refers to.
//!
//! A place in a hive, a pail's content and a name mean what they meant to whoever wrote the note. Where a
//! note that its writer did not know of has since come between, the words stay and their meaning may have
//! moved: both notes are shown together, and nothing is guessed.

use ledger::Books;

use crate::holding::Holding;
use crate::note::{Bars, Value, What};
use crate::told::{Changes, Told};

/// Complains where a note meets a change that its writer did not know.
pub(crate) fn check(h: &mut Holding, told: &Told<'_>) {
    let found: Vec<(usize, String)> = told
        .fact()
        .values()
        .iter()
        .filter_map(|(field, value)| match value {
            Value::Bars(bars) => moved_bars(h, told, bars),
            Value::Name(name) => {
                let (what, _) = told.fact().shape().label(field)?;
                changed_name(h, told, name, what)
            }
            _ => None,
        })
        .collect();
    for (other, says) in found {
        let hint = "look at both; correct the one that says something else now than was meant, or settle it"
            .to_owned();
        h.complain(told, says, Some(hint), &[other]);
    }
}

fn handle(books: &Books, entry: usize) -> String {
    books.entries()[entry].handle().to_string()
}

fn moved_bars(h: &Holding, told: &Told<'_>, bars: &Bars) -> Option<(usize, String)> {
    let Bars::Places { hive, places } = bars else {
        return None;
    };
    let id = h.hive_labels.get(hive)?;
    let (low, high) = places.span();
    let other = h.hives[id]
        .changes
        .unknown_to(told, low, high)
        .or_else(|| turned(told, h.hive_labels.turned(hive)))?;
    let says = format!(
        "{} names {bars} without knowing {}, which changed what hangs there",
        handle(told.books, told.entry),
        handle(told.books, other)
    );
    Some((other, says))
}

fn turned(told: &Told<'_>, entries: &[usize]) -> Option<usize> {
    entries
        .iter()
        .rev()
        .copied()
        .find(|entry| *entry != told.entry && !told.knew(*entry))
}

fn changed_name(h: &Holding, told: &Told<'_>, name: &str, what: What) -> Option<(usize, String)> {
    let unknown = |changes: &Changes| changes.unknown_to(told, 0, 0);
    let other = match what {
        What::Container => {
            let vessel = h.house.vessel_labels.get(name);
            vessel
                .and_then(|vessel| unknown(&h.house.vessels[vessel].emptied))
                .or_else(|| turned(told, h.house.vessel_labels.turned(name)))
        }
        What::Hive => turned(told, h.hive_labels.turned(name)),
        What::Colony => {
            turned(told, h.colony_labels.turned(name)).or_else(|| turned(told, h.hive_labels.turned(name)))
        }
        What::Yard => turned(told, h.ground.yard_labels.turned(name)),
        What::Pattern => turned(told, h.ground.pattern_labels.turned(name)),
        What::Lot => turned(told, h.stock.lot_labels.turned(name)),
        What::Tag => turned(told, h.tags.turned(name)),
        What::Recipe | What::Person | What::Store | What::Device | What::Ingredient | What::Product => None,
    }?;
    let says = format!(
        "{} names {name} without knowing {}, since which {name} means something else",
        handle(told.books, told.entry),
        handle(told.books, other)
    );
    Some((other, says))
}
