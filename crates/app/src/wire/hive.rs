//! A hive as its page tells it, as JSON: the map, the looks, what changed, how strong, each comb's life.

use apiary::arena::HiveId;
use apiary::colony::answers::{self, BarStrength, LookChanges, PartStrength};
use quantity::Length;
use reckon::strength::{FLIGHT_CAUTION, SOURCES, Strength};
use serde_json::{Map, Value, json};

use super::meaning::bounds;
use super::{day, handle, handles, maybe, tidy};
use crate::reader::Reader;
use crate::sheets::hive::{KINDS, looked_between, steps};

/// The bar map of a hive or store with its looks, what changed, estimates and combs. `None` if there is no such hive.
pub fn hive_told(reader: &Reader<'_>, label: &str) -> Option<Value> {
    let (h, books) = (reader.holding(), reader.books());
    let mut told = super::hive(h, books, label)?;
    let id = h.hive_labels.get(label)?;
    let notes = |entry| reader.note(entry);
    let steps = steps(reader, label);
    told["day"] = json!(reader.day().to_string());
    told["looks"] = json!({
        "days": steps.days.iter().map(ToString::to_string).collect::<Vec<_>>(),
        "shown": day(steps.shown), "before": day(steps.before), "after": day(steps.after),
    });
    told["unfinished"] = answers::unfinished(h, id).map_or(Value::Null, |left| {
        json!({
            "after_bar": left.after, "day": left.day.to_string(), "not_seen": left.unseen,
            "note": handle(books, left.entry),
        })
    });
    told["changes"] =
        answers::changes(h, &notes, id).map_or(Value::Null, |changes| changes_told(reader, &changes));
    told["strength"] = answers::strengths(h, &notes, id).map_or(Value::Null, |parts| {
        parts.iter().map(|part| part_told(reader, part)).collect()
    });
    told["combs"] = combs_told(reader, id);
    told["jottings"] = h
        .jots
        .iter()
        .filter(|jot| jot.hive == Some(id))
        .map(|jot| json!({ "note": handle(books, jot.entry), "words": reader.entry(jot.entry).note.as_deref() }))
        .collect();
    Some(told)
}

fn changes_told(reader: &Reader<'_>, changes: &LookChanges) -> Value {
    let books = reader.books();
    let percent = |share: Option<f64>| maybe(share.map(|share| share * 100.0));
    let bars: Vec<Value> = changes
        .bars
        .iter()
        .map(|bar| {
            json!({
                "place": bar.place, "look": handle(books, bar.entry),
                "before": bar.before.map(|(day, entry)| json!({ "day": day.to_string(), "look": handle(books, entry) })),
                "changes": bar.changes.iter().map(|change| json!({
                    "what": change.field, "before_pct": percent(change.before), "now_pct": percent(change.now),
                })).collect::<Vec<_>>(),
                "found": bar.found,
            })
        })
        .collect();
    json!({
        "since": changes.since.to_string(), "last": changes.last.to_string(), "bars": bars, "not_seen": changes.not_seen,
        "gone": changes.gone.iter().map(|(place, day, entry)| json!({
            "place": place, "day": day.to_string(), "note": handle(books, *entry),
        })).collect::<Vec<_>>(),
    })
}

/// Each kind with its bounds; null is not known.
fn strength_told(strength: &Strength) -> Map<String, Value> {
    let mut told = Map::new();
    for kind in &KINDS {
        bounds(&mut told, kind.key, kind.key_unit, (kind.of)(strength));
    }
    told
}

fn part_told(reader: &Reader<'_>, part: &PartStrength) -> Value {
    let (h, books) = (reader.holding(), reader.books());
    let bar = |bar: &BarStrength| {
        let mut told = strength_told(&bar.strength);
        told.insert("place".to_owned(), json!(bar.place));
        let seen = bar.look.map(|look| reader.entry(look).envelope.day);
        told.insert("seen".to_owned(), day(seen));
        told.insert("notes".to_owned(), json!(handles(books, &bar.entries)));
        Value::Object(told)
    };
    let mut told = strength_told(&part.whole);
    let between = looked_between(reader, part);
    let told_by: Map<String, Value> = KINDS
        .iter()
        .map(|kind| {
            let combs = part.told(|strength| (kind.of)(strength).is_some());
            (kind.key.to_owned(), json!(combs))
        })
        .collect();
    let more = json!({
        "colony": part.colony.map(|colony| h.colonies[colony].label.as_str()), "from_place": part.from,
        "to_place": part.to, "combs": part.bars.len(), "combs_that_tell": told_by,
        "looked_from": day(between.map(|(first, _)| first)), "looked_to": day(between.map(|(_, last)| last)),
        "oldest_look_days": between.map(|(first, _)| (reader.day() - first).get_days()),
        "bars": part.bars.iter().map(bar).collect::<Vec<_>>(), "cautions": [FLIGHT_CAUTION],
        "sources": SOURCES.iter().map(|source| source.id).collect::<Vec<_>>(),
    });
    told.extend(more.as_object().cloned().unwrap_or_default());
    Value::Object(told)
}

fn combs_told(reader: &Reader<'_>, id: HiveId) -> Value {
    let (h, books) = (reader.holding(), reader.books());
    let notes = |entry| reader.note(entry);
    let mm = |length: Option<Length>| maybe(length.map(Length::to_mm));
    let mut ages = answers::ages(h, id, reader.day());
    ages.sort_by_key(|age| age.place);
    ages.iter()
        .map(|age| {
            let comb = &h.combs[age.comb];
            json!({
                "place": age.place, "first_seen_drawn": day(age.since), "known_since": age.known.to_string(),
                "years_at_least": age.years, "brood_turns_at_least": age.turns, "brood_last": day(age.brood_last),
                "cell_width_mm": mm(comb.worker_cell), "thickness_mm": mm(comb.thickness),
                "drone_cells_pct": maybe(comb.drone_share.map(|share| share * 100.0)), "left_pct": tidy(comb.left * 100.0),
                "hung": comb.moved.iter().map(|hung| json!({
                    "day": hung.day.to_string(), "hive": h.hives[hung.hive].label.as_str(), "place": hung.place,
                    "note": handle(books, hung.entry),
                })).collect::<Vec<_>>(),
                "life": answers::life(h, &notes, age.comb).iter().map(|row| json!({
                    "day": row.day.to_string(), "says": row.says, "note": handle(books, row.entry),
                })).collect::<Vec<_>>(),
            })
        })
        .collect()
}
