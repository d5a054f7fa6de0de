//! Any page, on paper.

use page::{Block, Drawing, Holds, Page, Span, Table, Words, svg};
use serde_json::{Value, json};

use crate::letters::clean;
use crate::{Around, Printed, Unset, setter};

const TEMPLATE: &str = include_str!("templates/page.typ");

/// How wide a drawing is: the whole width, or one of four beside each other, in millimetres.
const WIDE_MM: f64 = 180.0;
const SMALL_MM: f64 = 43.0;

/// A drawing is at most so high, so that it and its words fit on a sheet.
const HIGHEST_MM: f64 = 215.0;

/// A column whose words are all shorter takes the width that they need; the others share what is left.
const SHORT: usize = 13;

/// Sets a page. What can only be done in a browser has no place on paper: forms, and lists of links alone.
///
/// # Errors
/// The page could not be set: a mistake of the program, whatever the page says.
pub fn page(page: &Page, below: &str, around: &Around<'_>) -> Result<Printed, Unset> {
    let data = json!({
        "title": clean(&page.title),
        "below": clean(below),
        "blocks": blocks(&page.blocks),
    });
    setter::set(TEMPLATE, data, around).map(|laid| laid.printed)
}

fn blocks(all: &[Block]) -> Vec<Value> {
    all.iter().filter_map(block).collect()
}

fn block(block: &Block) -> Option<Value> {
    Some(match block {
        Block::Section(section) => {
            let mut told = under(&section.heading, &section.blocks)?;
            told["chore"] = section.is_chore.into();
            told
        }
        Block::Folded { summary, blocks } => under(summary, blocks)?,
        Block::Text(words) => json!({ "k": "text", "w": spans(words) }),
        Block::List(items) if items.iter().all(leads_away_alone) => return None,
        Block::List(items) => json!({ "k": "list", "items": items.iter().map(spans).collect::<Vec<_>>() }),
        Block::Facts(facts) => {
            let facts = facts
                .iter()
                .map(|(name, words)| json!({ "name": clean(name), "w": spans(words) }));
            json!({ "k": "facts", "facts": facts.collect::<Vec<_>>() })
        }
        Block::Table(table) => self::table(table),
        Block::Notice(notice) => json!({
            "k": "notice", "tone": notice.tone.word(), "w": spans(&notice.says),
            "more": notice.more.iter().map(spans).collect::<Vec<_>>(),
        }),
        Block::Drawing(drawing) => json!({ "k": "drawing", "drawing": self::drawing(drawing, WIDE_MM) }),
        Block::Gallery(drawings) => {
            // Parts of one wide drawing stand close beside each other.
            let is_wide = drawings.iter().any(|drawing| drawing.wide);
            let across = if is_wide { WIDE_MM / 2.0 } else { SMALL_MM };
            let drawings = drawings.iter().map(|drawing| self::drawing(drawing, across));
            json!({ "k": "gallery", "wide": is_wide, "drawings": drawings.collect::<Vec<_>>() })
        }
        Block::Form(_) => return None,
    })
}

/// A heading with nothing below it is left out.
fn under(heading: &str, parts: &[Block]) -> Option<Value> {
    let parts = blocks(parts);
    (!parts.is_empty()).then(|| json!({ "k": "section", "heading": clean(heading), "blocks": parts }))
}

fn leads_away_alone(words: &Words) -> bool {
    words.0.iter().all(|span| matches!(span, Span::Link { .. }))
}

fn spans(words: &Words) -> Vec<Value> {
    words
        .0
        .iter()
        .map(|span| {
            let (kind, text) = match span {
                Span::Plain(text) | Span::Link { text, .. } => ("plain", text.clone()),
                Span::Note(text) => ("note", text.clone()),
                Span::Strong(text) => ("strong", text.clone()),
                Span::Amount(amount) => {
                    let unit = amount.unit.as_ref().map(|unit| format!("\u{a0}{unit}"));
                    ("plain", format!("{}{}", amount.digits, unit.unwrap_or_default()))
                }
            };
            json!({ "k": kind, "t": clean(&text) })
        })
        .collect()
}

fn table(table: &Table) -> Value {
    let longest = |place: usize| {
        let heading = table.columns[place].heading.chars().count();
        let cells = table.rows.iter().filter_map(|row| row.cells.get(place));
        let widths = cells.map(|said| said.to_string().chars().count());
        widths.max().unwrap_or(0).max(heading)
    };
    let columns = table.columns.iter().enumerate().map(|(place, column)| {
        let longest = longest(place);
        let is_amounts = column.holds == Holds::Amounts;
        let share = match longest <= SHORT || (is_amounts && longest <= SHORT * 2) {
            true => 0.0,
            // A column of long sentences takes more, but not in full measure.
            false => (longest.min(400) as f64).sqrt(),
        };
        json!({ "heading": clean(&column.heading), "amounts": is_amounts, "share": share })
    });
    let rows = table.rows.iter().map(|row| {
        let cells = row.cells.iter().enumerate();
        cells.map(|(place, said)| cell(table, place, said)).collect()
    });
    let more = table
        .pager
        .as_ref()
        .map(|pager| format!("Rows {} to {} of {}.", pager.first, pager.last, pager.of));
    json!({
        "k": "table",
        "columns": columns.collect::<Vec<_>>(),
        "rows": rows.collect::<Vec<Value>>(),
        "nothing": clean(&table.nothing),
        "more": more.unwrap_or_default(),
    })
}

/// A cell; amounts are filled up so that their points stand below each other.
fn cell(table: &Table, place: usize, said: &Words) -> Value {
    let digits = match table.columns[place].holds {
        Holds::Words => None,
        Holds::Amounts => table.filled_up(place, said),
    };
    match digits {
        Some(filled) => json!({
            "digits": clean(filled.digits), "pad": filled.pad,
            "unit": filled.unit.map_or_else(String::new, |unit| format!("\u{a0}{}", clean(unit))),
        }),
        None => json!({ "w": spans(said) }),
    }
}

fn drawing(drawing: &Drawing, across_mm: f64) -> Value {
    let (_, _, width, height) = drawing.frame;
    let ratio = if width > 0.0 && height > 0.0 {
        height / width
    } else {
        1.0
    };
    let across = across_mm.min(HIGHEST_MM / ratio);
    json!({
        "svg": svg::on_paper(drawing, across),
        "width": across / across_mm,
        "height": across * ratio,
        "says": clean(&drawing.says),
        "caption": spans(&drawing.caption),
    })
}
