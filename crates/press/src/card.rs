//! Cards that are filled in by hand.

use std::cmp::Ordering;

use page::{BoxWidth, Card, CardRow};
use serde_json::{Value, json};
use typst::foundations::{Label, Selector, Value as Set};
use typst::introspection::{Introspector as _, MetadataElem};
use typst::utils::PicoStr;

use crate::letters::clean;
use crate::setter::{self, Laid};
use crate::{Around, Printed, Unset};

const TEMPLATE: &str = include_str!("templates/card.typ");

/// What is written into a box.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Holds {
    /// The day of the look, who looks, or anything else that is asked for once, by its heading.
    Once(String),
    /// A tick: this row is as it was.
    Tick {
        /// The number of the row.
        place: u16,
    },
    /// What its column asks for.
    Column {
        /// The number of the row.
        place: u16,
        /// Which column, from 0.
        column: usize,
    },
    /// Words about a row.
    Words {
        /// The number of the row.
        place: u16,
    },
    /// What is asked of the whole: which group, from 0, and which field by its number.
    Asked {
        /// Which group.
        group: usize,
        /// Which field.
        field: usize,
        /// Which of the words to tick, from 0; none where there is room to write.
        word: Option<usize>,
    },
}

/// Where a box lies on paper.
#[derive(Clone, Debug, PartialEq)]
pub struct BoxOnPaper {
    /// Which card, from 0.
    pub card: usize,
    /// What is written into it.
    pub holds: Holds,
    /// Which sheet of the file, from 1.
    pub sheet: usize,
    /// From the left edge of the paper, in millimetres.
    pub left: f64,
    /// From the upper edge of the paper, in millimetres.
    pub top: f64,
    /// How wide it is, in millimetres.
    pub width: f64,
    /// How high it is, in millimetres.
    pub height: f64,
}

/// Sets cards, each beginning on a sheet of its own, and tells where their boxes lie: sheet by sheet, from the top
/// down and from left to right, which is the order in which they are read.
///
/// # Errors
/// The cards could not be set: a mistake of the program, whatever stands on them.
pub fn cards(cards: &[Card], around: &Around<'_>) -> Result<(Printed, Vec<BoxOnPaper>), Unset> {
    let title = match cards {
        [] => "No card".to_owned(),
        [one] if one.title.is_empty() => "Look card".to_owned(),
        [one] => format!("Look card of {}", one.title),
        many => format!("{} look cards", many.len()),
    };
    let data = json!({ "title": clean(&title), "cards": cards.iter().map(card).collect::<Vec<_>>() });
    let laid = setter::set(TEMPLATE, data, around)?;
    let boxes = boxes(&laid);
    Ok((laid.printed, boxes))
}

fn card(card: &Card) -> Value {
    let cleaned = |texts: &[String]| -> Vec<String> { texts.iter().map(|text| clean(text)).collect() };
    let asked = card.asked.iter().map(|asked| {
        let fields = asked.fields.iter().map(|field| {
            json!({
                "number": field.number, "heading": clean(&field.heading), "words": cleaned(&field.words), "line": field.line,
            })
        });
        json!({ "of": clean(&asked.of), "fields": fields.collect::<Vec<_>>() })
    });
    let columns = card.columns.iter().map(|column| {
        json!({
            "heading": clean(&column.heading),
            "letters": column.width == BoxWidth::Letters,
            "last": column.last,
        })
    });
    json!({
        "title": clean(&card.title),
        "day": clean(&card.day),
        "code": clean(&card.code),
        "known": cleaned(&card.known),
        "asked": asked.collect::<Vec<_>>(),
        "columns": columns.collect::<Vec<_>>(),
        "groups": groups(card),
        "tick": clean(&card.tick),
        "words": clean(&card.words),
        "rows": card.rows.iter().map(|row| self::row(card, row)).collect::<Vec<_>>(),
        "foot": cleaned(&card.foot),
        "cautions": cleaned(&card.cautions),
    })
}

/// Neighbours with the same words above their headings, as one; a column with what was known last is two on paper.
fn groups(card: &Card) -> Vec<Value> {
    let mut groups: Vec<(&str, usize)> = Vec::new();
    for column in &card.columns {
        let on_paper = 1 + usize::from(column.last);
        match groups.last_mut() {
            Some((words, count)) if *words == column.group => *count += on_paper,
            _ => groups.push((&column.group, on_paper)),
        }
    }
    let told = |(words, count): (&str, usize)| json!({ "words": clean(words), "columns": count });
    groups.into_iter().map(told).collect()
}

fn row(card: &Card, row: &CardRow) -> Value {
    let last = (0..card.columns.len()).map(|column| row.last.get(column).map_or("", String::as_str));
    json!({
        "place": row.place,
        "tag": clean(&row.tag),
        "last": last.map(clean).collect::<Vec<_>>(),
        "words": clean(&row.words),
        "board": row.board,
        "known": row.known,
        "begins": clean(&row.begins),
    })
}

/// The boxes, as the template marked them.
fn boxes(laid: &Laid) -> Vec<BoxOnPaper> {
    let label = Label::new(PicoStr::intern("box")).expect("BUG: a label of our own");
    let introspector = laid.document.introspector();
    let marks = introspector.query(&Selector::Label(label));
    let mut boxes: Vec<BoxOnPaper> = marks
        .iter()
        .filter_map(|mark| {
            let location = mark.location()?;
            let at = introspector.position(location)?;
            let told = mark.to_packed::<MetadataElem>()?;
            let (card, holds, [width, height]) = read(&told.value)?;
            Some(BoxOnPaper {
                card,
                holds,
                sheet: at.page.get(),
                left: at.point.x.to_mm(),
                top: at.point.y.to_mm(),
                width,
                height,
            })
        })
        .collect();
    in_reading_order(&mut boxes);
    boxes
}

/// Boxes whose middles lie nearer to each other than this, from the top down, are of one line, in millimetres.
const LINE: f64 = 2.5;

fn in_reading_order(boxes: &mut [BoxOnPaper]) {
    let middle = |one: &BoxOnPaper| one.top + one.height / 2.0;
    boxes.sort_by(|one, next| {
        (one.sheet, middle(one))
            .partial_cmp(&(next.sheet, middle(next)))
            .unwrap_or(Ordering::Equal)
    });
    let mut rest = boxes;
    while let Some(first) = rest.first() {
        let (sheet, from) = (first.sheet, middle(first));
        let end = rest.partition_point(|one| one.sheet == sheet && middle(one) < from + LINE);
        let (line, below) = rest.split_at_mut(end);
        line.sort_by(|one, next| one.left.total_cmp(&next.left));
        rest = below;
    }
}

/// What a mark of the template tells.
fn read(told: &Set) -> Option<(usize, Holds, [f64; 2])> {
    let Set::Dict(told) = told else { return None };
    let number = |key: &str| match told.get(key) {
        Ok(Set::Int(number)) => usize::try_from(*number).ok(),
        _ => None,
    };
    let length = |key: &str| match told.get(key) {
        Ok(Set::Length(length)) => Some(length.abs.to_mm()),
        _ => None,
    };
    let text = |key: &str| match told.get(key) {
        Ok(Set::Str(text)) => Some(text.to_string()),
        _ => None,
    };
    let place = || number("place").and_then(|place| u16::try_from(place).ok());
    let holds = match text("holds")?.as_str() {
        "once" => Holds::Once(text("heading")?),
        "tick" => Holds::Tick { place: place()? },
        "column" => Holds::Column {
            place: place()?,
            column: number("column")?,
        },
        "words" => Holds::Words { place: place()? },
        "asked" => Holds::Asked {
            group: number("group")?,
            field: number("field")?,
            word: number("word"),
        },
        _ => return None,
    };
    Some((number("card")?, holds, [length("width")?, length("height")?]))
}
