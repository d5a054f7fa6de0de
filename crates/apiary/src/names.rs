//! Names that a note uses have to be known; names that it makes have to be free.

use crate::arena::Labels;
use crate::complaint::{Misgiving, Weight};
use crate::holding::Holding;
use crate::note::table::Known;
use crate::note::{Bars, Fact, Name, Places, Value, What, nearest};
use crate::trade::state::Measure;

/// Checks every name of a note against the holding.
pub(crate) fn check(h: &Holding, fact: &Fact, out: &mut Vec<Misgiving>) {
    for (field, value) in fact.values() {
        match value {
            Value::Name(name) => {
                if let Some((what, known)) = fact.shape().label(field) {
                    let doubt = check_name(h, fact, name, what, known);
                    out.extend(doubt.map(|doubt| doubt.on(field)));
                }
            }
            Value::Bars(bars) => out.extend(check_bars(h, bars).map(|doubt| doubt.on(field))),
            _ => {}
        }
    }
}

fn check_name(h: &Holding, fact: &Fact, name: &Name, what: What, known: Known) -> Option<Misgiving> {
    match known {
        Known::Before => (!is_known(h, what, name)).then(|| unknown(h, fact, name, what)),
        Known::Now => taken(h, what, name).map(|earlier| {
            let says = format!("there is a {} called {name} already", what.name());
            Misgiving::new(Weight::Impossible, says)
                .hint("choose another name, or rename the other first")
                .about(earlier)
        }),
        Known::Either => None,
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

impl Holding {
    /// The names of one sort that a note of today would likely use, for suggestions: what is gone, closed or has died
    /// is left out.
    ///
    /// Hives and stores are both hives; ingredients are the containers, then the goods kept by mass or volume. Of
    /// persons, devices and products the books keep no list: empty.
    pub fn known_names(&self, what: What) -> Vec<&str> {
        let ever = match what {
            // A hive's own name means the colony in it, and would suggest most of them twice.
            What::Colony => self.colony_labels.names().collect(),
            _ => ever_known(self, what),
        };
        let still = |name: &&str| match what {
            What::Yard => named(&self.ground.yard_labels, name, |yard| {
                !self.ground.yards[yard].closed
            }),
            What::Hive => named(&self.hive_labels, name, |hive| !self.hives[hive].gone),
            What::Store => named(&self.hive_labels, name, |hive| {
                self.hives[hive].is_store() && !self.hives[hive].gone
            }),
            What::Colony => named(&self.colony_labels, name, |colony| self.colonies[colony].lives()),
            What::Tag => named(&self.tags, name, |bar| self.bars[bar].hive.is_some()),
            _ => true,
        };
        ever.into_iter().filter(still).collect()
    }
}

fn named<I: Copy>(labels: &Labels<I>, name: &str, still: impl Fn(I) -> bool) -> bool {
    labels.get(name).is_some_and(still)
}

/// All names of a sort that were ever known: one mistyped may be of what is gone.
fn ever_known(h: &Holding, what: What) -> Vec<&str> {
    match what {
        What::Yard => h.ground.yard_labels.names().collect(),
        What::Pattern => h.ground.pattern_labels.names().collect(),
        What::Hive | What::Store => h.hive_labels.names().collect(),
        What::Colony => h.colony_labels.names().chain(h.hive_labels.names()).collect(),
        What::Tag => h.tags.names().collect(),
        What::Container => h.house.vessel_labels.names().collect(),
        What::Lot => h.stock.lot_labels.names().collect(),
        What::Recipe => h.house.recipes.iter().map(Name::as_str).collect(),
        What::Ingredient => h.house.vessel_labels.names().chain(by_amount(h)).collect(),
        What::Person | What::Device | What::Product => Vec::new(),
    }
}

/// Goods that a batch can take some of: pieces are not mixed in.
fn by_amount(h: &Holding) -> impl Iterator<Item = &str> {
    let goods = h.stock.goods.iter();
    goods
        .filter(|(_, good)| good.measure != Measure::Pieces)
        .map(|(name, _)| name.as_str())
}

fn unknown(h: &Holding, fact: &Fact, name: &Name, what: What) -> Misgiving {
    let near = nearest(name, ever_known(h, what));
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
    misgiving.hint(way_out(near, what))
}

fn way_out(near: Option<&str>, what: What) -> String {
    near.map_or_else(
        || made_known_by(what).to_owned(),
        |near| format!("did you mean {near}?"),
    )
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

fn check_bars(h: &Holding, bars: &Bars) -> Option<Misgiving> {
    let (says, hint) = match bars {
        Bars::Places { hive, places } => match h.hive_labels.get(hive) {
            None => {
                let near = nearest(hive, h.hive_labels.names());
                (
                    format!("no hive is called {hive}"),
                    Some(way_out(near, What::Hive)),
                )
            }
            Some(id) => (places_beyond(hive, h.hives[id].places(), places)?, None),
        },
        Bars::Tagged(tag) => match h.tags.get(tag) {
            None => {
                let near = nearest(tag, h.tags.names());
                (
                    format!("no bar has the tag {tag}"),
                    Some(way_out(near, What::Tag)),
                )
            }
            Some(bar) if h.bars[bar].hive.is_none() => {
                (format!("the bar {tag} is no longer in any hive or store"), None)
            }
            Some(_) => return None,
        },
    };
    let misgiving = Misgiving::new(Weight::Impossible, says);
    Some(match hint {
        Some(hint) => misgiving.hint(hint),
        None => misgiving,
    })
}

fn places_beyond(hive: &Name, has: u16, places: &Places) -> Option<String> {
    let (_, highest) = places.span();
    match has {
        _ if highest <= has => None,
        0 => Some(format!("nothing hangs in {hive}")),
        _ => Some(format!("{hive} has places 1 to {has}, and no bar {highest}")),
    }
}
