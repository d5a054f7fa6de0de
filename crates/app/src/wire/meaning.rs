//! What the looks at a hive mean, as JSON.

use apiary::colony::meaning::{self, Advice, Aside, Due, Part, Reach, Side, SignKind, Stop};
use ledger::Books;
use quantity::Estimate;
use reckon::weather::DailySeries;
use serde_json::{Map, Value, json};

use super::{day, handle, handles, maybe, tidy};
use crate::reader::Reader;

/// All that is told of a hive or store ([`super::hive_told`]) with what its looks mean, a part for each colony. `None` if there is no such hive.
pub fn hive_and_meaning(reader: &Reader<'_>, label: &str) -> Option<Value> {
    let h = reader.holding();
    let mut told = super::hive_told(reader, label)?;
    let id = h.hive_labels.get(label)?;
    let notes = |entry| reader.note(entry);
    let parts = meaning::parts(h, id, reader.day(), &notes);
    told["meaning"] = parts.iter().map(|part| part_told(reader, part)).collect();
    Some(told)
}

/// The value and its bounds, under a key with its unit: `key`, `key` with `_lo` and `_hi` before the unit.
pub(super) fn bounds(into: &mut Map<String, Value>, key: &str, unit: &str, of: Option<Estimate>) {
    into.insert(format!("{key}_{unit}"), maybe(of.map(Estimate::value)));
    into.insert(format!("{key}_lo_{unit}"), maybe(of.map(Estimate::lo)));
    into.insert(format!("{key}_hi_{unit}"), maybe(of.map(Estimate::hi)));
}

fn part_told(reader: &Reader<'_>, part: &Part<'_>) -> Value {
    let (h, books) = (reader.holding(), reader.books());
    let room = meaning::room(part);
    let bound = meaning::bound(part);
    let yard = h.hives[part.hive].yard;
    let weather = yard.and_then(|yard| reader.weather(yard));
    let winter = meaning::winter_check(part, weather.as_deref());
    let mending = meaning::mending(part, &room);
    let signs: Vec<Value> = meaning::signs(part, &room, &bound)
        .iter()
        .map(|sign| {
            json!({
                "sign": sign_word(sign.kind), "count": sign.count, "on": sign.bars, "amount": maybe(sign.amount),
                "day": sign.day.to_string(), "notes": handles(books, &sign.entries),
                "waits": sign.waits.iter().map(|wait| json!({
                    "what": wait.what, "from": wait.from.to_string(), "to": day(wait.to), "source": wait.source.id,
                })).collect::<Vec<_>>(),
            })
        })
        .collect();
    let follower = meaning::follower(part);
    json!({
        "colony": h.colonies[part.colony].label.as_str(), "from_place": part.from, "to_place": part.to,
        "room": room_told(&room, books), "swarm_signs": signs, "where_a_bar": places_told(part, books),
        "honey_bound": bound_told(&bound, books), "mend": mend_told(&mending, books),
        "harvest": harvest_told(&meaning::harvest(part, &winter), books), "winter": winter_told(&winter, books),
        "follower": {
            "at": follower.at, "bare_behind": follower.bare_behind, "closes_at": follower.closes_at,
            "gaps": follower.gaps, "notes": handles(books, &follower.entries),
        },
        "heat": heat_told(part, weather.as_deref(), books), "robbing": robbing_told(part, books),
    })
}

fn room_told(room: &meaning::Room, books: &Books) -> Value {
    let mut out = Map::new();
    bounds(&mut out, "to_draw", "combs", Some(room.to_draw));
    out.insert("bare".into(), json!(room.bare));
    let partly = room.partly.iter();
    let partly = partly.map(|(place, drawn)| json!({ "bar": place, "drawn_pct": tidy(drawn * 100.0) }));
    out.insert("partly".into(), partly.collect());
    out.insert("unknown".into(), json!(room.unknown));
    out.insert("beyond_follower".into(), json!(room.beyond));
    bounds(
        &mut out,
        "drawing",
        "combs_per_week",
        room.drawing.map(|drawing| drawing.per_week),
    );
    out.insert(
        "drawing_from".into(),
        day(room.drawing.map(|drawing| drawing.from)),
    );
    out.insert("drawing_to".into(), day(room.drawing.map(|drawing| drawing.to)));
    out.insert("full_in_days".into(), maybe(room.full.map(|full| full.days)));
    out.insert("full_in_lo_days".into(), maybe(room.full.map(|full| full.lo)));
    out.insert(
        "full_in_hi_days".into(),
        maybe(room.full.and_then(|full| full.hi)),
    );
    out.insert("notes".into(), json!(handles(books, &room.entries)));
    out.insert(
        "sources".into(),
        room.sources.iter().map(|source| source.id).collect(),
    );
    Value::Object(out)
}

fn sign_word(kind: SignKind) -> &'static str {
    match kind {
        SignKind::Cups => "cups",
        SignKind::Charged => "charged_cells",
        SignKind::Sealed => "sealed_cells",
        SignKind::Emerged => "emerged_cells",
        SignKind::Torn => "torn_cells",
        SignKind::Cells => "cells",
        SignKind::NoCells => "no_cells",
        SignKind::CutOut => "cells_cut_out",
        SignKind::Gone => "swarm_gone",
        SignKind::NoRoom => "no_room",
        SignKind::BroodAtTheEnd => "brood_on_last_comb",
        SignKind::Backfilled => "backfilled",
    }
}

fn places_told(part: &Part<'_>, books: &Books) -> Value {
    let told = meaning::places(part);
    told.iter()
        .map(|advised| {
            let advice = match advised.advice {
                Advice::BetweenBroodAndHoney => "between_brood_and_honey",
                Advice::BetweenDrawn => "between_drawn_combs",
                Advice::IntoTheNest => "into_the_brood_nest",
                Advice::HoneyToTheEntrance => "last_years_honey_to_the_entrance",
            };
            json!({
                "advice": advice, "places": advised.places, "in_season": advised.in_season,
                "source": advised.source.id, "notes": handles(books, &advised.entries),
            })
        })
        .collect()
}

fn bound_told(bound: &meaning::Bound, books: &Books) -> Value {
    let looks = bound.filled.iter().map(|filled| {
        json!({
            "day": filled.day.to_string(), "combs": filled.combs, "honey_pct": maybe(filled.share().map(|share| share * 100.0)),
            "brood_combs": tidy(filled.brood), "unknown": filled.unknown, "notes": handles(books, &filled.entries),
        })
    });
    looks.collect()
}

fn mend_told(mending: &meaning::Mending, books: &Books) -> Value {
    let faults = mending.faults.iter().map(|fault| {
        json!({
            "bar": fault.place, "fault": fault.fault, "found": day(Some(fault.found.0)),
            "note": handle(books, fault.found.1),
        })
    });
    let by = mending.by.iter().map(|(day, due, source)| {
        let why = match due {
            Due::FewDays => "new_combs_every_few_days",
            Due::NextComb => "next_comb_drawn_beside",
            Due::LateAugust => "late_august_drift",
        };
        json!({ "day": day.to_string(), "why": why, "source": source.id })
    });
    json!({
        "faults": faults.collect::<Vec<_>>(), "by": by.collect::<Vec<_>>(),
        "new": mending.new.iter().map(|(place, _)| place).collect::<Vec<_>>(), "straying_season": mending.straying,
    })
}

/// Why a comb is set aside.
pub(super) fn asides(asides: &[Aside], books: &Books) -> Value {
    let told = asides.iter().map(|aside| match aside {
        Aside::Fed { day, food, entry } => {
            json!({ "why": "fed", "what": food, "day": day.to_string(), "note": handle(books, *entry) })
        }
        Aside::Treated { day, with, entry } => {
            json!({ "why": "treated", "what": with, "day": day.to_string(), "note": handle(books, *entry) })
        }
        Aside::KeptApart => json!({ "why": "kept_apart" }),
        Aside::Sign { day, what, entry } => {
            json!({ "why": "sign", "what": what, "day": day.to_string(), "note": handle(books, *entry) })
        }
        Aside::Lost { day, cause } => json!({ "why": "colony_lost", "what": cause, "day": day.to_string() }),
    });
    told.collect()
}

fn harvest_told(harvest: &meaning::Harvest, books: &Books) -> Value {
    let mut out = Map::new();
    let ripe = harvest.ripe.iter().map(|comb| {
        let mut told = Map::new();
        told.insert("bar".into(), json!(comb.place));
        told.insert("capped_pct".into(), tidy(comb.capped * 100.0));
        bounds(&mut told, "honey", "kg", comb.kg);
        told.insert("look".into(), json!(comb.look.map(|look| handle(books, look))));
        told.insert("set_aside".into(), asides(&comb.aside, books));
        Value::Object(told)
    });
    out.insert("ripe".into(), ripe.collect());
    let unit = if harvest.in_kg { "kg" } else { "combs" };
    bounds(&mut out, "need", unit, Some(harvest.need));
    bounds(&mut out, "honey", unit, Some(harvest.all));
    out.insert("may_be_taken".into(), json!(harvest.likely));
    out.insert("may_be_taken_lo".into(), json!(harvest.surely));
    out.insert("may_be_taken_hi".into(), json!(harvest.at_most));
    Value::Object(out)
}

fn reach_told(into: &mut Map<String, Value>, key: &str, reach: Option<Reach>) {
    bounds(into, key, "combs", reach.map(|reach| reach.bars));
    bounds(into, key, "kg", reach.and_then(|reach| reach.kg));
}

fn side_told(side: Option<Side>) -> Value {
    let Some(side) = side else { return Value::Null };
    let mut out = Map::new();
    reach_told(&mut out, "within_reach", Some(side.within));
    reach_told(&mut out, "beyond_the_gap", Some(side.beyond));
    let gap = match side.stop {
        Stop::Bare(place) | Stop::Empty(place) => Some(place),
        Stop::End => None,
    };
    out.insert("gap_at".into(), json!(gap));
    Value::Object(out)
}

fn winter_told(winter: &meaning::WinterCheck, books: &Books) -> Value {
    let mut out = Map::new();
    let cluster = winter.cluster.map(|cluster| {
        json!({
            "from_place": cluster.from, "to_place": cluster.to, "seen": cluster.day.to_string(),
            "end": match cluster.end {
                meaning::End::Entrance => "entrance",
                meaning::End::Middle => "middle",
                meaning::End::Far => "far",
                meaning::End::Whole => "all_combs",
            },
        })
    });
    out.insert("cluster".into(), json!(cluster));
    reach_told(&mut out, "all", Some(winter.all));
    reach_told(&mut out, "within_reach", winter.reach);
    out.insert("towards_entrance".into(), side_told(winter.before));
    out.insert("towards_far_end".into(), side_told(winter.behind));
    out.insert("unknown".into(), json!(winter.unknown));
    let need = winter.need.as_ref();
    bounds(&mut out, "need", "kg", need.map(|need| need.need_kg));
    out.insert("need_from".into(), day(need.map(|need| need.from)));
    out.insert("need_to".into(), day(need.map(|need| need.to)));
    out.insert("need_notes".into(), json!(need.map(|need| &need.used.notes)));
    out.insert("notes".into(), json!(handles(books, &winter.entries)));
    out.insert(
        "sources".into(),
        winter.sources.iter().map(|source| source.id).collect(),
    );
    Value::Object(out)
}

fn heat_told(part: &Part<'_>, weather: Option<&DailySeries>, books: &Books) -> Value {
    let heat = meaning::heat(part, weather);
    let combs = heat.combs.iter().map(|comb| {
        let mut told = Map::new();
        told.insert("bar".into(), json!(comb.place));
        told.insert("since".into(), json!(comb.since.to_string()));
        bounds(&mut told, "load", "g_per_cm", comb.load_g_per_cm);
        Value::Object(told)
    });
    let hot = heat.hot.iter().map(|(day, high, entry)| {
        json!({ "day": day.to_string(), "high_c": tidy(*high), "note": entry.map(|entry| handle(books, entry)) })
    });
    json!({
        "new_combs": combs.collect::<Vec<_>>(), "hot_days": hot.collect::<Vec<_>>(), "weather_known": heat.weather_known,
    })
}

fn robbing_told(part: &Part<'_>, books: &Books) -> Value {
    let robbing = meaning::robbing(part);
    json!({
        "flow_ended": day(robbing.flow_ended.map(|(day, _)| day)),
        "fed": robbing.fed.iter().map(|(day, food, entry)| json!({
            "day": day.to_string(), "food": food, "note": handle(books, *entry),
        })).collect::<Vec<_>>(),
        "cut": robbing.cut.iter().map(|(day, entry)| json!({ "day": day.to_string(), "note": handle(books, *entry) })).collect::<Vec<_>>(),
        "open_combs": robbing.open.iter().map(|(place, fault)| json!({ "bar": place, "fault": fault })).collect::<Vec<_>>(),
    })
}
