//! Names that a note uses have to be known; names that it makes have to be free.

use crate::complaint::{Misgiving, Weight};
use crate::holding::Holding;
use crate::note::table::Known;
use crate::note::{Bars, Fact, Name, Value, What, nearest};

/// Checks every name of a note against the holding.
pub(crate) fn check(h: &Holding, fact: &Fact, out: &mut Vec<Misgiving>) {
    for (field, value) in fact.values() {
        match value {
            Value::Name(name) => {
                if let Some((what, known)) = fact.shape().label(field) {
                    check_name(h, fact, name, what, known, out);
                }
            }
            Value::Bars(bars) => check_bars(h, bars, out),
            _ => {}
        }
    }
}

fn check_name(h: &Holding, fact: &Fact, name: &Name, what: What, known: Known, out: &mut Vec<Misgiving>) {
    match known {
        Known::Before => {
            if !is_known(h, what, name) {
                unknown(h, fact, name, what, out);
            }
        }
        Known::Now => {
            if let Some(earlier) = taken(h, what, name) {
                let says = format!("there is a {} called {name} already", what.name());
                out.push(
                    Misgiving::new(Weight::Impossible, says)
                        .hint("choose another name, or rename the other first")
                        .about(earlier),
                );
            }
        }
        Known::Either => {}
    }
}

fn is_known(h: &Holding, what: What, name: &str) -> bool {
    match what {
        What::Yard => h.ground.yard_labels.get(name).is_some(),
        What::Pattern => h.ground.pattern_labels.get(name).is_some(),
        What::Hive => h.hive_labels.get(name).is_some(),
        What::Colony => h.colony_named(name).is_some() || h.hive_labels.get(name).is_some(),
        What::Tag => h.tags.get(name).is_some(),
        What::Container => h.house.vessel_labels.get(name).is_some(),
        What::Lot => h.stock.lot_labels.get(name).is_some(),
        What::Recipe => h.house.recipes.contains(name),
        What::Person | What::Store | What::Device | What::Ingredient | What::Product => true,
    }
}

/// The entry that made a name known, if it is in use for another thing of the kind.
fn taken(h: &Holding, what: What, name: &str) -> Option<usize> {
    match what {
        What::Yard => h.ground.yard_labels.made_by(name),
        What::Pattern => h.ground.pattern_labels.made_by(name),
        What::Hive => h
            .hive_labels
            .made_by(name)
            .filter(|_| h.hive_labels.get(name).is_some_and(|hive| !h.hives[hive].gone)),
        What::Colony => h.colony_labels.made_by(name).filter(|_| {
            h.colony_labels
                .get(name)
                .is_some_and(|colony| h.colonies[colony].lives())
        }),
        What::Tag => h
            .tags
            .made_by(name)
            .filter(|_| h.tags.get(name).is_some_and(|bar| h.bars[bar].hive.is_some())),
        What::Container => h
            .house
            .current(name)
            .and_then(|_| h.house.vessel_labels.made_by(name)),
        What::Lot => h.stock.lot_labels.made_by(name),
        What::Recipe | What::Person | What::Store | What::Device | What::Ingredient | What::Product => None,
    }
}

fn known_names(h: &Holding, what: What) -> Vec<&str> {
    match what {
        What::Yard => h.ground.yard_labels.names().collect(),
        What::Pattern => h.ground.pattern_labels.names().collect(),
        What::Hive => h.hive_labels.names().collect(),
        What::Colony => h.colony_labels.names().chain(h.hive_labels.names()).collect(),
        What::Tag => h.tags.names().collect(),
        What::Container => h.house.vessel_labels.names().collect(),
        What::Lot => h.stock.lot_labels.names().collect(),
        What::Recipe => h.house.recipes.iter().map(Name::as_str).collect(),
        What::Person | What::Store | What::Device | What::Ingredient | What::Product => Vec::new(),
    }
}

fn unknown(h: &Holding, fact: &Fact, name: &Name, what: What, out: &mut Vec<Misgiving>) {
    let near = nearest(name, known_names(h, what));
    let says = format!("no {} is called {name}", what.name());
    // Honey and wax may come from before the books, out of a container that no note has filled.
    let may_be_older = what == What::Container
        && !matches!(fact.word(), "crush" | "warm")
        && near.is_none_or(|near| is_a_numbered_sibling(near, name));
    let misgiving = if may_be_older {
        Misgiving::new(
            Weight::Remark,
            format!("{says} in these books; it is taken to hold something from before them"),
        )
    } else {
        Misgiving::new(Weight::Impossible, says)
    };
    out.push(match near {
        Some(near) => misgiving.hint(format!("did you mean {near}?")),
        None => misgiving.hint(made_known_by(what)),
    });
}

/// `tank-1` and `tank-3` are near each other in letters and still two tanks.
fn is_a_numbered_sibling(one: &str, other: &str) -> bool {
    let stem = |name: &str| name.trim_end_matches(|c: char| c.is_ascii_digit()).to_owned();
    stem(one) == stem(other) && one.len() == other.len()
}

fn made_known_by(what: What) -> &'static str {
    match what {
        What::Yard => "a yard is made known by: yard orchard at 52.1 -2.4",
        What::Pattern => "a pattern is made known by the note pattern",
        What::Hive => "a hive is made known by: hive alder in orchard bars 27",
        What::Colony => "a colony begins with install, split or start",
        What::Tag => "a bar gets its tag by: tag alder bar 9 as K7",
        What::Container => "a container is made known by what goes into it",
        What::Lot => "a lot is made by fill, pack, cast or cut",
        What::Recipe => "a recipe is made known by the note recipe",
        What::Person | What::Store | What::Device | What::Ingredient | What::Product => "make it known first",
    }
}

fn check_bars(h: &Holding, bars: &Bars, out: &mut Vec<Misgiving>) {
    match bars {
        Bars::Places { hive, places } => {
            let Some(id) = h.hive_labels.get(hive) else {
                let near = nearest(hive, h.hive_labels.names());
                let hint = near.map_or_else(
                    || made_known_by(What::Hive).to_owned(),
                    |near| format!("did you mean {near}?"),
                );
                out.push(Misgiving::new(Weight::Impossible, format!("no hive is called {hive}")).hint(hint));
                return;
            };
            let has = h.hives[id].places();
            let (_, highest) = places.span();
            if highest > has {
                let says = match has {
                    0 => format!("nothing hangs in {hive}"),
                    _ => format!("{hive} has places 1 to {has}, and no bar {highest}"),
                };
                out.push(Misgiving::new(Weight::Impossible, says));
            }
        }
        Bars::Tagged(tag) => {
            let Some(bar) = h.tags.get(tag) else {
                let near = nearest(tag, h.tags.names());
                let hint = near.map_or_else(
                    || made_known_by(What::Tag).to_owned(),
                    |near| format!("did you mean {near}?"),
                );
                out.push(Misgiving::new(Weight::Impossible, format!("no bar has the tag {tag}")).hint(hint));
                return;
            };
            if h.bars[bar].hive.is_none() {
                out.push(Misgiving::new(
                    Weight::Impossible,
                    format!("the bar {tag} is no longer in any hive or store"),
                ));
            }
        }
    }
}
