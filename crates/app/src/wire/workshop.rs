//! The workshop as JSON.

use apiary::ground::cutting::{From, Group};
use apiary::ground::design::{Moves, follows, letter, moves, parts, weight};
use apiary::ground::pattern::Pattern;
use apiary::ground::workshop::took;
use quantity::Length;
use reckon::fit::Rest;
use reckon::sources::{BEEBUILT_HEAT, FROM_MEMORY, ISO_6946_2017, SLOPE_OPINIONS, WAX_OF_COMB};
use serde_json::{Value, json};

use super::{handle, handles, maybe, tidy, units};
use crate::reader::Reader;
use crate::sheets::Worked;
use crate::sheets::workshop::{part_name, warm};

/// All patterns, wood on hand and boards on offer.
pub fn workshop(reader: &Reader<'_>) -> Value {
    let (h, books) = (reader.holding(), reader.books());
    let patterns: Vec<Value> = h
        .ground
        .patterns
        .iter()
        .map(|(_, pattern)| summary(pattern))
        .collect();
    let fits: Vec<Value> = h
        .ground
        .patterns
        .iter()
        .flat_map(|(from_id, from)| {
            let all = h.ground.patterns.iter();
            all.filter(move |(into_id, _)| *into_id != from_id)
                .map(move |(_, into)| fit(from, into))
        })
        .collect();
    let wood: Vec<Value> = h
        .workshop
        .wood
        .iter()
        .map(|wood| {
            json!({
                "wood": wood.wood, "count": wood.count, "length_mm": mm(wood.size.length), "width_mm": mm(wood.size.width),
                "thickness_mm": mm(wood.size.thickness),
                "bad_mm": wood.bad.iter().map(|(from, to)| json!([mm(*from), mm(*to)])).collect::<Vec<_>>(),
                "note": handle(books, wood.entry),
            })
        })
        .collect();
    let offers: Vec<Value> = h
        .workshop
        .offers
        .iter()
        .map(|offer| {
            json!({
                "wood": offer.wood, "length_mm": mm(offer.size.length), "width_mm": mm(offer.size.width),
                "thickness_mm": mm(offer.size.thickness), "sold_as": offer.sold_as,
                "price": offer.price.map(|price| units(price.minor(), price.currency())),
                "currency": offer.price.map(|price| price.currency().as_str().to_owned()),
                "count": offer.count, "note": handle(books, offer.entry),
            })
        })
        .collect();
    json!({ "patterns": patterns, "fits": fits, "wood": wood, "boards": offers })
}

/// A pattern and what follows from it. `None` if there is no such pattern.
pub fn pattern(reader: &Reader<'_>, name: &str) -> Option<Value> {
    let (h, books) = (reader.holding(), reader.books());
    let id = h.ground.pattern_labels.get(name)?;
    let pattern = &h.ground.patterns[id];
    let mut told = summary(pattern);
    let loss = warm::loss(pattern);
    if let Ok(loss) = &loss {
        told["heat"] = json!({
            "ua_w_per_k": tidy(loss.ua_w_per_k.value()), "ua_lo_w_per_k": tidy(loss.ua_w_per_k.lo()),
            "ua_hi_w_per_k": tidy(loss.ua_w_per_k.hi()), "ua_section_w_per_mk": tidy(loss.ua_section_w_per_mk.value()),
            "walls": tidy(loss.shares.walls), "cover": tidy(loss.shares.roof), "floor": tidy(loss.shares.floor),
            "ends": tidy(loss.shares.ends),
        });
    }
    let built = parts(pattern);
    if let Ok(built) = &built {
        let weight = weight(pattern, built);
        told["parts"] = built
            .parts
            .iter()
            .map(|part| {
                json!({
                    "part": part_name(part.role), "count": part.count, "length_mm": mm(part.length),
                    "width_mm": mm(part.width), "thickness_mm": mm(part.thickness),
                    "blank_length_mm": mm(part.blank_length), "blank_width_mm": mm(part.blank_width),
                })
            })
            .collect();
        told["assumed"] = json!(built.assumed);
        told["empty_kg"] = tidy(weight.empty_kg);
        told["full_kg"] = tidy(weight.full_kg);
        told["combs_for_two"] = json!(weight.combs_for_two);
    }
    let took = took(h, id);
    told["hives_built"] = json!(took.hives);
    told["hours_each"] = maybe(took.minutes_each.map(|minutes| minutes / 60.0));
    told["material_each"] = maybe(
        took.material_each
            .map(|(minor, currency)| units(minor.round() as i64, currency)),
    );
    let mut from = vec![pattern.made_by];
    from.extend(&took.entries);
    told["from_notes"] = json!(handles(books, &from));
    let lacking: Vec<String> = [loss.err(), built.err()].into_iter().flatten().collect();
    let mut notes = vec![
        "whether walls that slope keep comb off them is not settled: sources disagree".to_owned(),
        "W/K and weights are good to 20 per cent at best, as data of materials are".to_owned(),
    ];
    notes.extend(lacking);
    told["notes"] = json!(notes);
    told["sources"] = json!([
        BEEBUILT_HEAT.id,
        FROM_MEMORY.id,
        ISO_6946_2017.id,
        SLOPE_OPINIONS.id,
        WAX_OF_COMB.id,
    ]);
    Some(told)
}

fn mm(length: Length) -> Value {
    tidy(length.to_mm())
}

fn summary(pattern: &Pattern) -> Value {
    let told = follows(pattern);
    let told = told.as_ref();
    json!({
        "pattern": pattern.label.as_str(), "shape": pattern.shape,
        "volume_l": maybe(told.and_then(|told| Some(told.volume?.to_l()))),
        "bars": told.and_then(|told| told.bars),
        "comb_cm2": maybe(told.map(|told| told.comb.to_cm2())),
        "cells": maybe(told.map(|told| told.cells.round())),
        "honey_kg_full": maybe(told.and_then(|told| Some(told.honey_g?.value() / 1_000.0))),
        "wax_g_lo": maybe(told.map(|told| told.wax_g[0])), "wax_g_hi": maybe(told.map(|told| told.wax_g[1])),
        "load_g_per_cm": maybe(told.and_then(|told| told.load_g_per_cm)),
        "wall_from_vertical_deg": maybe(told.and_then(|told| told.lean_deg)),
        "floor_to_wall_deg": maybe(told.and_then(|told| told.floor_to_wall_deg)),
        "entrance_cm2": maybe(told.and_then(|told| told.entrance_cm2)),
    })
}

fn fit(from: &Pattern, into: &Pattern) -> Value {
    let Moves { comb, follower } = moves(from, into);
    let rest = comb.map(|fit| match fit.rest {
        Rest::OnBoth { at_each } => json!({ "on_each_wall_mm": mm(at_each) }),
        Rest::TooShort { by } => json!({ "too_short_mm": mm(by) }),
        Rest::TooLong { by } => json!({ "too_long_mm": mm(by) }),
    });
    json!({
        "from": from.label.as_str(), "into": into.label.as_str(), "bar": rest,
        "bar_wider_by_mm": comb.map(|fit| mm(fit.bar_wider_by)),
        "comb_cut_away": maybe(comb.map(|fit| fit.comb.cut_away.get())),
        "follower_cut_away": maybe(follower.map(|fit| fit.board.cut_away.get())),
        "follower_gap_mm": follower.map(|fit| mm(fit.widest_gap)),
    })
}

/// A cutting list, or what is lacking for one.
pub fn cut(reader: &Reader<'_>, worked: Result<&Worked<'_>, &str>) -> Value {
    let worked = match worked {
        Ok(worked) => worked,
        Err(lacking) => return json!({ "lacking": [lacking], "groups": [], "notes": [] }),
    };
    let cutting = &worked.cutting;
    let offers = &reader.holding().workshop.offers;
    let buy: Vec<Value> = cutting
        .bought()
        .into_iter()
        .map(|(place, count)| {
            let offer = &offers[place];
            json!({
                "wood": offer.wood, "length_mm": mm(offer.size.length), "width_mm": mm(offer.size.width),
                "thickness_mm": mm(offer.size.thickness), "count": count,
                "price": offer.price.map(|price| units(price.minor(), price.currency())),
            })
        })
        .collect();
    let mut lacking: Vec<String> = cutting
        .groups
        .iter()
        .filter_map(|group| Some(group.plan.as_ref().err()?.to_string()))
        .collect();
    lacking.extend(cutting.no_board.iter().map(|wanted| {
        format!(
            "no board is {} mm thick, for part {}",
            mm(wanted.thickness),
            letter(wanted.part)
        )
    }));
    json!({
        "pattern": worked.pattern.label.as_str(), "hives": worked.saw.hives, "kerf_mm": mm(worked.saw.kerf),
        "cost": cutting.cost().map(|cost| units(cost.minor(), cost.currency())),
        "currency": cutting.currency.map(|currency| currency.as_str().to_owned()),
        "optimal": cutting.is_whole() && cutting.groups.iter().all(|group| group.plan.as_ref().is_ok_and(reckon::cut::Plan::is_optimal)),
        "parts": worked.parts.parts.iter().enumerate()
            .map(|(index, part)| json!({ "letter": letter(index), "part": part_name(part.role), "count": part.count }))
            .collect::<Vec<_>>(),
        "buy": buy,
        "groups": cutting.groups.iter().filter_map(group).collect::<Vec<_>>(),
        "not_of_boards": cutting.not_of_boards.iter()
            .map(|(part, of)| json!({ "letter": letter(*part), "of": of }))
            .collect::<Vec<_>>(),
        "lacking": lacking,
        "lines_after": worked.lines_after(reader),
        "notes": ["whether a list is the cheapest is proven for each thickness by itself"],
    })
}

fn group(group: &Group) -> Option<Value> {
    let plan = group.plan.as_ref().ok()?;
    let boards: Vec<Value> = plan
        .boards
        .iter()
        .map(|board| {
            let pieces: Vec<Value> = board
                .pieces
                .iter()
                .map(|piece| {
                    json!({
                        "part": group.job.parts[piece.part].name, "x_mm": mm(piece.x), "y_mm": mm(piece.y),
                        "length_mm": mm(piece.length), "width_mm": piece.width.map(mm),
                    })
                })
                .collect();
            let from = match group.from[board.board] {
                From::Offer(_) => "bought",
                From::Wood(_) => "on hand",
            };
            json!({ "board": group.job.boards[board.board].name, "from": from, "pieces": pieces })
        })
        .collect();
    Some(json!({
        "thickness_mm": mm(group.thickness), "cost": plan.cost, "bound": plan.bound, "optimal": plan.is_optimal(),
        "waste_pct": tidy(100.0 * plan.waste_fraction), "boards_used": boards,
    }))
}
