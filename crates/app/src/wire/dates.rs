//! Calendars, rounds and swarms as JSON.

use apiary::arena::HiveId;
use apiary::colony::baits;
use apiary::colony::calendar::{self, Dated};
use apiary::colony::diary::Seen;
use apiary::colony::round::{self, Reason, Told};
use ledger::Books;
use quantity::Source;
use reckon::degree_days::Sum;
use serde_json::{Value, json};

use super::{day, handle, handles};
use crate::reader::Reader;
use crate::warmth::{BASE_C, Came, METHOD, Warmth, warmth};

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
    let notes = |entry| reader.note(entry);
    let id = h.ground.yard_labels.get(yard)?;
    let weather = reader.weather(id);
    let round = round::round(h, id, reader.day(), &notes, weather.as_deref());
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

/// What follows from the notes within which days, of all hives or of one.
pub fn calendar(reader: &Reader<'_>, hive: Option<HiveId>) -> Value {
    let (h, books) = (reader.holding(), reader.books());
    let windows = match hive {
        Some(hive) => calendar::windows_in(h, hive, reader.day()),
        None => calendar::windows(h, reader.day()),
    };
    let window = |window: &Dated| {
        json!({
            "hive": window.hive, "colony": window.name, "what": window.what, "asks": window.asks.word(),
            "from": window.from.to_string(), "usual_from": day(window.usual.map(|(from, _)| from)),
            "usual_to": day(window.usual.map(|(_, to)| to)), "to": window.to.to_string(),
            "after": window.after.says(), "since": window.since.to_string(), "note": handle(books, window.because),
            "only_if": window.only_if, "source": window.source.id, "basis": window.basis,
        })
    };
    let mut told =
        json!({ "day": reader.day().to_string(), "windows": windows.iter().map(window).collect::<Vec<_>>() });
    if hive.is_none() {
        told["warmth"] = h
            .ground
            .yards
            .iter()
            .filter_map(|(id, _)| warmth(reader, id))
            .map(|warmth| of_the_year(reader, &warmth))
            .collect();
    }
    told
}

/// The warmth of the year at a yard.
fn of_the_year(reader: &Reader<'_>, warmth: &Warmth) -> Value {
    let books = reader.books();
    let came = |came: &Came| json!({ "day": came.day.to_string(), "degree_days": came.degree_days, "note": handle(books, came.entry) });
    let sum = |sum: &Sum| json!({ "degree_days": sum.degree_days, "days": sum.days, "missing": sum.missing });
    let before = warmth.before.iter().map(|before| {
        json!({
            "since": before.since.to_string(), "until": before.until.to_string(), "sum": sum(&before.sum),
            "as_warm_on": day(before.as_warm.map(|(day, _)| day)), "days_ahead": before.as_warm.map(|(_, ahead)| ahead),
        })
    });
    let marks = warmth.marks.iter().map(|mark| {
        json!({
            "what": mark.what, "earlier": mark.earlier.iter().map(came).collect::<Vec<_>>(),
            "now": mark.now.as_ref().map(came), "warm_from": day(mark.warm_enough.map(|reached| reached.from)),
            "warm_to": day(mark.warm_enough.map(|reached| reached.to)),
            "ahead": mark.warm_enough.map(|reached| reached.ahead),
        })
    });
    json!({
        "yard": reader.holding().ground.yards[warmth.yard].label.as_str(), "base_c": BASE_C, "method": METHOD.name(),
        "since": warmth.since.to_string(), "until": warmth.until.to_string(), "sum": sum(&warmth.sum),
        "before": before.collect::<Vec<_>>(), "marks": marks.collect::<Vec<_>>(),
    })
}

/// Bait boxes, and swarms called about or taken.
pub fn swarms(reader: &Reader<'_>) -> Value {
    let (h, books) = (reader.holding(), reader.books());
    let swarms = baits::time_of_swarms(h, reader.day());
    let on = |seen: &Option<Seen<()>>| day(seen.as_ref().map(|seen| seen.day));
    let boxes: Vec<Value> = h
        .diary
        .baits
        .iter()
        .map(|bait| {
            let checked = baits::since_set(bait, &bait.checked);
            json!({
                "where": bait.place, "hive": bait.hive.as_ref().map(|hive| hive.as_str()), "set": on(&bait.set),
                "checked": day(checked.map(|seen| seen.day)), "scouts": checked.and_then(|seen| seen.what),
                "taken": day(baits::since_set(bait, &bait.taken).map(|seen| seen.day)), "removed": on(&bait.removed),
                "look_by": day(baits::look_by(bait).filter(|_| swarms)), "notes": handles(books, &bait.entries),
            })
        })
        .collect();
    let calls: Vec<Value> = h
        .diary
        .calls
        .iter()
        .map(|call| {
            let notes: Vec<usize> = [
                call.called.as_ref().map(|seen| seen.entry),
                call.taken.as_ref().map(|seen| seen.entry),
                call.installed.as_ref().map(|seen| seen.entry),
            ]
            .into_iter()
            .flatten()
            .collect();
            json!({
                "where": call.place, "called": on(&call.called), "by": call.by,
                "taken": day(call.taken.as_ref().map(|seen| seen.day)),
                "weight": call.taken.as_ref().and_then(|seen| seen.what.clone()),
                "hive": call.installed.as_ref().map(|seen| seen.what.as_str()), "notes": handles(books, &notes),
            })
        })
        .collect();
    json!({ "time_of_swarms": swarms, "bait_boxes": boxes, "swarms": calls })
}
