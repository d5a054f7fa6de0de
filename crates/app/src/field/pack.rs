//! What a phone is given: every hive with its last map.

use apiary::arena::{BarId, HiveId};
use apiary::colony::answers::is_of_another;
use apiary::ground::pattern::Pattern;
use apiary::note::Value as Said;
use jiff::civil::DateTime;
use quantity::Length;
use serde_json::{Map, Value, json};

use crate::reader::Reader;

/// What a phone is given of the yards that are named, or of all: hives with their last maps, the people who may
/// write, and the hour of the desk. Amounts on a comb are eighths of its full outline, measures are millimetres;
/// what nobody has said is left out or null.
pub fn pack(reader: &Reader<'_>, now: DateTime, yards: &[String]) -> Value {
    let h = reader.holding();
    let wanted =
        |yard: Option<&str>| yards.is_empty() || yard.is_some_and(|yard| yards.iter().any(|one| one == yard));
    let mut hives = Vec::new();
    for (id, hive) in h.hives.iter() {
        let yard = hive.yard.map(|yard| h.ground.yards[yard].label.as_str());
        if hive.gone || hive.is_store() || !wanted(yard) {
            continue;
        }
        hives.push(hive_of(reader, id, yard));
    }
    hives.sort_by(|one, next| {
        let key = |hive: &Value| {
            [&hive["yard"], &hive["hive"]].map(|name| name.as_str().unwrap_or_default().to_owned())
        };
        key(one).cmp(&key(next))
    });
    let yards: Vec<&str> = h
        .ground
        .yards
        .iter()
        .filter(|(_, yard)| !yard.closed)
        .map(|(_, yard)| yard.label.as_str())
        .collect();
    json!({
        "farm": h.ground.farm,
        "day": now.date().to_string(),
        "hour": format!("{:02}:{:02}", now.hour(), now.minute()),
        "entries": reader.books().entries().len(),
        "people": reader.people().keys().collect::<Vec<_>>(),
        "yards": yards,
        "hives": hives,
    })
}

fn hive_of(reader: &Reader<'_>, id: HiveId, yard: Option<&str>) -> Value {
    let h = reader.holding();
    let hive = &h.hives[id];
    let pattern = hive.pattern.map(|pattern| &h.ground.patterns[pattern]);
    let colonies: Vec<Value> = h
        .living_in(id)
        .map(|colony| {
            let (from, to) = h.range(colony);
            let colony = &h.colonies[colony];
            json!({
                "colony": colony.label.as_str(), "from": from, "to": to,
                "last_look": colony.last_look.map(|day| day.to_string()),
            })
        })
        .collect();
    // The entrance may be told by the note that made the hive known.
    let entrance = reader
        .note(hive.made_by)
        .and_then(|note| note.fact.text("entrance"));
    json!({
        "hive": hive.label.as_str(),
        "yard": yard,
        "pattern": pattern.map(|pattern| pattern.label.as_str()),
        "capacity": hive.capacity,
        "places": hive.places(),
        "followers": hive.followers,
        "quarantined": hive.quarantined,
        "entrance": entrance,
        "colonies": colonies,
        "comb": pattern.map(|pattern| shape(reader, pattern)),
        "bars": hive.bars.iter().zip(1u16..).map(|(bar, place)| bar_of(reader, id, *bar, place)).collect::<Vec<_>>(),
    })
}

/// What a photograph of a comb is measured against.
fn shape(reader: &Reader<'_>, pattern: &Pattern) -> Value {
    let note = reader.note(pattern.made_by);
    let mm = |length: Length| tidy(length.to_mm());
    let tidy_points = |points: Vec<(f64, f64)>| -> Vec<[f64; 2]> {
        points.into_iter().map(|(x, y)| [tidy(x), tidy(y)]).collect()
    };
    json!({
        "bar_width_mm": pattern.bar.map(mm),
        "inside_top_mm": pattern.section.as_ref().map(|section| mm(section.width_at_bars(Length::ZERO))),
        "face_cm2": pattern.comb.map(|area| tidy(area.to_cm2())),
        "outline_mm": pattern.section.as_ref().map(|section| tidy_points(section.outline(pattern.bee_space()))),
        "says": note.map(|note| note.fact.to_string()),
    })
}

fn bar_of(reader: &Reader<'_>, hive: HiveId, bar: BarId, place: u16) -> Value {
    let h = reader.holding();
    let bar = &h.bars[bar];
    let mut told = Map::new();
    told.insert("place".into(), json!(place));
    if let Some(tag) = &bar.tag {
        told.insert("tag".into(), json!(tag.as_str()));
    }
    let Some(comb) = bar.comb.map(|comb| &h.combs[comb]) else {
        told.insert("has_comb".into(), json!(false));
        return told.into();
    };
    told.insert("has_comb".into(), json!(true));
    let mut shares = Map::new();
    if let Some(drawn) = comb.drawn {
        shares.insert("drawn".into(), eighths(drawn));
    }
    // What was seen of another colony cannot be as before for the one that has come since.
    let of_another = is_of_another(h, hive, place, comb);
    for (word, share) in comb.shares.iter().filter(|_| !of_another) {
        let word = word.strip_suffix("_share").unwrap_or(word);
        shares.insert(word.into(), eighths(*share));
    }
    told.insert("shares".into(), shares.into());
    if comb.left < 1.0 {
        told.insert("left".into(), json!(tidy(comb.left)));
    }
    if let Some(fault) = &comb.fault {
        told.insert("fault".into(), json!(fault.what));
    }
    if let Some(look) = comb.last_look.filter(|_| !of_another) {
        told.insert(
            "looked_on".into(),
            json!(reader.entry(look).envelope.day.to_string()),
        );
        if let Some(note) = reader.note(look) {
            // What was said in words or numbers rather than in shares.
            for (field, value) in note.fact.values() {
                match (*field, value) {
                    ("eggs", Said::Word(eggs)) => drop(told.insert("eggs".into(), json!(eggs))),
                    ("note", Said::Text(text)) => drop(told.insert("words".into(), json!(text.to_string()))),
                    _ => {}
                }
            }
        }
    }
    told.into()
}

/// A share in eighths, to the hundredth of one.
fn eighths(share: f64) -> Value {
    json!((share * 800.0).round() / 100.0)
}

fn tidy(number: f64) -> f64 {
    (number * 10.0).round() / 10.0
}
