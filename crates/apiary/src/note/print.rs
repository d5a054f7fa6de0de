//! A fact back into a line; reading that line gives the same fact.

use std::fmt::Write as _;

use super::table::{Detail, Element};
use super::value::{Value, write_duration, write_text};
use super::{Fact, Note};

pub(super) fn note(note: &Note) -> String {
    let mut out = note.day.to_string();
    if let Some(hour) = note.hour {
        let _ = write!(out, " {hour}");
    }
    let _ = write!(out, " {}", fact(&note.fact));
    if note.anyway {
        out.push_str(" anyway");
    }
    if let Some(remark) = &note.remark {
        let _ = write!(out, " # {remark}");
    }
    out
}

pub(super) fn fact(fact: &Fact) -> String {
    let mut out = fact.word().to_owned();
    let mut rest = fact.values();
    write_elements(&fact.shape().subject, &mut rest, &mut out);
    for detail in &fact.shape().details {
        while said(detail, rest) {
            write_elements(&detail.elements, &mut rest, &mut out);
            if detail.flag.is_some() {
                rest = &rest[1..];
            }
            if !detail.repeats {
                break;
            }
        }
    }
    out
}

/// Whether the next value belongs to this detail. Values stand in the order of the table.
pub(super) fn said(detail: &Detail, rest: &[(&'static str, Value)]) -> bool {
    let Some((next, _)) = rest.first() else {
        return false;
    };
    detail.flag == Some(*next)
        || detail
            .elements
            .iter()
            .any(|element| matches!(element, Element::Value { field, .. } if field == next))
}

fn write_elements(elements: &[Element], rest: &mut &[(&'static str, Value)], out: &mut String) {
    for element in elements {
        match element {
            Element::Word(words) => {
                let _ = write!(out, " {}", words.last().copied().unwrap_or_default());
            }
            Element::Value { .. } => {
                let Some(((_, value), others)) = rest.split_first() else {
                    return;
                };
                out.push(' ');
                write_value(value, out);
                *rest = others;
            }
        }
    }
}

pub(super) fn write_value(value: &Value, out: &mut String) {
    let _ = match value {
        Value::Said => Ok(()),
        Value::Name(name) => write!(out, "{name}"),
        Value::Text(text) => {
            write_text(text, out);
            Ok(())
        }
        Value::Word(word) => write!(out, "{word}"),
        Value::Count(count) => write!(out, "{count}"),
        Value::Number(number) => write!(out, "{number}"),
        Value::Reading(reading) => write!(out, "{reading}"),
        Value::Readings(readings) => {
            let all = readings
                .iter()
                .map(ToString::to_string)
                .collect::<Vec<_>>()
                .join(" ");
            write!(out, "{all}")
        }
        Value::Money(price) => write!(out, "{price}"),
        Value::Share(share) => write!(out, "{share}"),
        Value::Duration(minutes) => {
            write_duration(*minutes, out);
            Ok(())
        }
        Value::Day(day) => write!(out, "{day}"),
        Value::Hour(hour) => write!(out, "{hour}"),
        Value::Bars(bars) => write!(out, "{bars}"),
        Value::Goods(goods) => write!(out, "{goods}"),
    };
}
