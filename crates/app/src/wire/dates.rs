//! Calendars, rounds and swarms as JSON.

use apiary::colony::round::{self, Reason, Told};
use ledger::Books;
use quantity::Source;
use serde_json::{Value, json};

use super::{day, handles};
use crate::reader::Reader;

fn told(told: &Told, books: &Books) -> Value {
    json!({
        "says": told.says, "until": day(told.until), "notes": handles(books, &told.entries),
        "source": told.source.map(|source: &Source| source.id),
    })
}

fn why(why: &[(Reason, Told)], books: &Books) -> Vec<Value> {
    let why = why.iter().map(|(reason, because)| {
        let mut said = told(because, books);
        said["reason"] = json!(reason.word());
        said
    });
    why.collect()
}

/// The round of a yard on the day that is looked at. `None` if there is no such yard.
pub fn yard_round(reader: &Reader<'_>, yard: &str) -> Option<Value> {
    let (h, books) = (reader.holding(), reader.books());
    let round = round::round(h, h.ground.yard_labels.get(yard)?, reader.day());
    let all = |of: &[Told]| of.iter().map(|of| told(of, books)).collect::<Vec<_>>();
    let visits: Vec<Value> = round
        .visits
        .iter()
        .map(|visit| {
            json!({
                "hive": visit.hive, "colonies": visit.colonies, "last_look": day(visit.last_look),
                "heft": visit.heft.map(|(heft, _)| heft), "heft_on": day(visit.heft.map(|(_, on)| on)),
                "apart": visit.apart, "why": why(&visit.why, books), "look_for": all(&visit.look_for),
                "carry": visit.carry.iter()
                    .map(|(what, count)| json!({ "what": what.name(*count), "count": count }))
                    .collect::<Vec<_>>(),
            })
        })
        .collect();
    let carry: Vec<Value> = round
        .carry
        .iter()
        .map(|carried| {
            json!({
                "what": carried.what.name(carried.count), "count": carried.count,
                "for_hives": carried.for_hives.iter()
                    .map(|(hive, count)| json!({ "hive": hive, "count": count }))
                    .collect::<Vec<_>>(),
            })
        })
        .collect();
    let left_alone: Vec<Value> = round
        .left_alone
        .iter()
        .map(|hive| {
            json!({
                "hive": hive.hive, "colony": hive.colony, "until": hive.until.to_string(),
                "because": told(&hive.because, books), "waits": why(&hive.waits, books),
            })
        })
        .collect();
    let nothing_due: Vec<Value> = round
        .nothing_due
        .iter()
        .map(|hive| {
            json!({
                "hive": hive.hive, "last_look": day(hive.last_look),
                "next": hive.next.map(|(what, _)| what), "next_from": day(hive.next.map(|(_, from)| from)),
            })
        })
        .collect();
    Some(json!({
        "yard": round.yard, "day": round.day.to_string(),
        "look_due_after_days": round.spacing.days, "hives_are_opened": round.spacing.opens,
        "time_of_swarms": round.spacing.swarms, "hazards": all(&round.hazards), "carry": carry, "order": round::ORDER,
        "visits": visits, "left_alone": left_alone, "nothing_due": nothing_due, "without_bees": round.without_bees,
    }))
}
