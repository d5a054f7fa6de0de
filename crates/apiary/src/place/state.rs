//! What is odd about notes of weather. The readings themselves are looked up in the notes that name a yard.

use ledger::Digest;

use crate::complaint::{Misgiving, Weight};
use crate::note::{Fact, Value};

pub(crate) fn misgivings(fact: &Fact, out: &mut Vec<Misgiving>) {
    if fact.word() != "weather" {
        return;
    }
    let degrees = |field| fact.reading(field).and_then(|read| read.celsius());
    let day = |field| match fact.get(field) {
        Some(Value::Day(day)) => Some(*day),
        _ => None,
    };
    let far_off = |field| {
        let degrees: Option<quantity::Celsius> = degrees(field);
        degrees.is_some_and(|degrees| !(-90.0..=60.0).contains(&degrees.get()))
    };
    let impossible = if let Some(field) = ["low", "high"].into_iter().find(|field| far_off(field)) {
        Some((
            field,
            "no station near the ground has read that; is the unit right?",
        ))
    } else if matches!((degrees("low"), degrees("high")), (Some(low), Some(high)) if low > high) {
        Some(("low", "the lowest temperature of a day is not above its highest"))
    } else if fact
        .text("digest")
        .is_some_and(|digest| Digest::from_hex(digest).is_err())
    {
        Some(("digest", "a digest has 64 hexadecimal digits"))
    } else if matches!((day("from"), day("to")), (Some(from), Some(to)) if from > to) {
        Some(("to", "a series does not end before it begins"))
    } else {
        None
    };
    out.extend(impossible.map(|(field, says)| Misgiving::new(Weight::Impossible, says).on(field)));
}
