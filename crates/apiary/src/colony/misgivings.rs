//! What is odd or impossible about notes of bees, bars and combs.

use super::state::{first_place_for_bees, last_comb};
use crate::arena::HiveId;
use crate::complaint::{Misgiving, Weight};
use crate::ground::state::Hive;
use crate::holding::Holding;
use crate::note::Fact;

pub(crate) fn misgivings(h: &Holding, fact: &Fact, out: &mut Vec<Misgiving>) {
    match fact.word() {
        "add" => add_misgivings(h, fact, out),
        "shift" => shift_misgivings(h, fact, out),
        "split" | "store" => never_seen(h, fact, out),
        "install" => occupied(h, fact, out),
        "look" if fact.form == 0 => super::look_misgivings::of_bars(h, fact, out),
        "look" | "queen" | "feed" | "swarm" | "unite" | "lost" => colony_is_gone(h, fact, out),
        "measure" => super::look_misgivings::measured(h, fact, out),
        "follower" => follower_misgivings(h, fact, out),
        "weigh" => crate::honey::misgivings::misgivings(h, fact, out),
        _ => {}
    }
    if fact.word() == "look" && fact.form == 1 {
        super::look_misgivings::of_the_colony(h, fact, out);
    }
    if fact.word() == "unite" {
        unite_misgivings(h, fact, out);
    }
    if fact.word() == "split" {
        occupied(h, fact, out);
        split_misgivings(h, fact, out);
    }
}

/// A colony that a note is about has to be there.
pub(crate) fn colony_is_gone(h: &Holding, fact: &Fact, out: &mut Vec<Misgiving>) {
    let field = ["colony", "from", "into"]
        .into_iter()
        .find(|field| fact.shape().has(field));
    let Some((field, name)) = field.and_then(|field| Some((field, fact.name(field)?))) else {
        return;
    };
    let Some(id) = h.colony_named(name) else {
        if h.hive_labels.get(name).is_some() {
            let says = format!("no colony lives in {name}");
            out.push(
                Misgiving::new(Weight::Odd, says)
                    .hint("install one first, or say which hive is meant")
                    .on(field),
            );
        }
        return;
    };
    let colony = &h.colonies[id];
    if let Some((day, _)) = &colony.ended {
        let says = format!("the colony {name} ended on {day}");
        out.push(
            Misgiving::new(Weight::Odd, says)
                .hint("a new colony begins with install or split")
                .on(field),
        );
    }
    let several = h.colony_labels.get(name).is_none()
        && h.hive_labels
            .get(name)
            .is_some_and(|hive| h.living_in(hive).count() > 1);
    if several {
        let hive = h.colonies[id].hive;
        let names: Vec<_> = h
            .living_in(hive)
            .map(|colony| h.colonies[colony].label.to_string())
            .collect();
        out.push(
            Misgiving::new(
                Weight::Impossible,
                format!("more than one colony lives in {name}: {}", names.join(" and ")),
            )
            .hint("say which colony")
            .on(field),
        );
    }
}

fn occupied(h: &Holding, fact: &Fact, out: &mut Vec<Misgiving>) {
    let Some(hive) = fact.name("hive").and_then(|name| h.hive_labels.get(name)) else {
        return;
    };
    let from = first_place_for_bees(h, hive, fact.count("at"));
    if let Some(colony) = h.colony_at(hive, from) {
        let says = format!("a colony, {}, lives there already", h.colonies[colony].label);
        out.push(
            Misgiving::new(Weight::Odd, says)
                .hint("the bees are taken to join it; a follower would keep them apart")
                .on("hive"),
        );
        return;
    }
    // A colony without a name of its own takes its hive's, which may be in use behind another follower.
    let label = &h.hives[hive].label;
    let unnamed = fact.name("colony").is_none();
    let taken = h
        .colony_labels
        .get(label)
        .is_some_and(|colony| h.colonies[colony].lives());
    if unnamed && taken {
        let says = format!("there is a colony called {label} already");
        out.push(
            Misgiving::new(Weight::Impossible, says)
                .hint("name the new one with as, such as as hazel")
                .on("colony"),
        );
    }
}

/// Combs that nobody has seen are moved all the same.
fn never_seen(h: &Holding, fact: &Fact, out: &mut Vec<Misgiving>) {
    let hung = fact.bars("bars").map(|bars| h.bars_of(bars)).unwrap_or_default();
    let bare: Vec<String> = hung
        .iter()
        .filter(|bar| h.bars[bar.bar].comb.is_none())
        .map(|bar| bar.place.to_string())
        .collect();
    if !bare.is_empty() {
        let says = format!(
            "no comb was ever seen at {}; one is taken to hang there",
            bare.join(", ")
        );
        out.push(Misgiving::new(Weight::Remark, says).on("bars"));
    }
}

fn add_misgivings(h: &Holding, fact: &Fact, out: &mut Vec<Misgiving>) {
    let Some(hive) = fact.name("hive").and_then(|name| h.hive_labels.get(name)) else {
        return;
    };
    let (Some(count), Some(at)) = (fact.count("count"), fact.count("at")) else {
        return;
    };
    no_room(h, hive, count as usize, (at, "at"), out);
}

/// Bars put in at a place have to fit behind it, and push no comb over the far end.
fn no_room(
    h: &Holding,
    hive: HiveId,
    count: usize,
    (at, field): (u32, &'static str),
    out: &mut Vec<Misgiving>,
) {
    let hive = &h.hives[hive];
    let places = hive.bars.len();
    check_place(hive, at, field, out);
    if hive.is_store() || at == 0 || at as usize > places {
        return;
    }
    let room = places + 1 - at as usize;
    if count > room {
        let says = format!(
            "{} has places 1 to {places}; {count} bars put in at {at} reach beyond",
            hive.label
        );
        out.push(Misgiving::new(Weight::Impossible, says).on(field));
        return;
    }
    let pushed = &hive.bars[places - count..];
    if let Some(comb) = pushed.iter().position(|bar| h.bars[*bar].comb.is_some()) {
        let place = places - count + comb + 1;
        let says = format!(
            "{} has {places} places; {count} more at {at} would push the comb at place {place} out of the hive",
            hive.label
        );
        out.push(
            Misgiving::new(Weight::Impossible, says)
                .hint("take a comb out first, with shift or store")
                .on(field),
        );
    }
}

fn check_place(hive: &Hive, place: u32, field: &'static str, out: &mut Vec<Misgiving>) {
    if !hive.is_store() && (place == 0 || place > u32::from(hive.places())) {
        let says = format!(
            "{} has places 1 to {}, and no place {place}",
            hive.label,
            hive.places()
        );
        out.push(Misgiving::new(Weight::Impossible, says).on(field));
    }
}

fn shift_misgivings(h: &Holding, fact: &Fact, out: &mut Vec<Misgiving>) {
    let Some(bars) = fact.bars("bars") else { return };
    let hung = h.bars_of(bars);
    let Some(first) = hung.first() else { return };
    let target = fact
        .name("hive")
        .map_or(Some(first.hive), |name| h.hive_labels.get(name));
    let (Some(target), Some(at)) = (target, fact.count("at")) else {
        return;
    };
    if target == first.hive {
        check_place(&h.hives[target], at, "at", out);
    } else {
        no_room(h, target, hung.len(), (at, "at"), out);
    }
}

fn split_misgivings(h: &Holding, fact: &Fact, out: &mut Vec<Misgiving>) {
    let hung = fact.bars("bars").map(|bars| h.bars_of(bars)).unwrap_or_default();
    let Some(target) = fact.name("hive").and_then(|name| h.hive_labels.get(name)) else {
        return;
    };
    if hung.iter().any(|bar| bar.hive == target) {
        out.push(
            Misgiving::new(
                Weight::Impossible,
                "a split goes into another hive than it comes from",
            )
            .hint("combs are moved within a hive with shift")
            .on("hive"),
        );
    }
    let behind_last = || (u32::from(last_comb(h, target)) + 1, "hive");
    let place = fact.count("at").map_or_else(behind_last, |at| (at, "at"));
    no_room(h, target, hung.len(), place, out);
}

/// A follower stands before one of the places, or behind the last.
fn follower_misgivings(h: &Holding, fact: &Fact, out: &mut Vec<Misgiving>) {
    let Some(hive) = fact.name("hive").and_then(|name| h.hive_labels.get(name)) else {
        return;
    };
    let hive = &h.hives[hive];
    let at = fact.shape().has("at").then(|| fact.count("at")).flatten();
    if let Some(at) = at.filter(|at| *at == 0 || *at > u32::from(hive.places()) + 1) {
        let says = format!(
            "{} has places 1 to {}, and none that a follower at {at} could stand before",
            hive.label,
            hive.places()
        );
        out.push(Misgiving::new(Weight::Impossible, says).on("at"));
    }
}

/// Two different colonies, both alive.
fn unite_misgivings(h: &Holding, fact: &Fact, out: &mut Vec<Misgiving>) {
    let named = |field| {
        fact.name(field)
            .and_then(|name| h.colony_named(name).map(|id| (name, id)))
    };
    let (Some((from, one)), Some((into, other))) = (named("from"), named("into")) else {
        return;
    };
    if one == other {
        let says = format!("{from} and {into} are the same colony, {}", h.colonies[one].label);
        out.push(Misgiving::new(Weight::Impossible, says).on("into"));
    } else if let Some((day, _)) = &h.colonies[other].ended {
        let says = format!("the colony {into} ended on {day}");
        out.push(Misgiving::new(Weight::Odd, says).on("into"));
    }
}
