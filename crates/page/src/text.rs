//! Pages for a terminal.
//!
//! A heading, its parts two spaces further in, sentences as lines, a blank line between what does not belong
//! together. Sentences are left to the terminal to break. Drawings and forms have no place here, and neither
//! have columns that are for a wide page only: what they say stands elsewhere.
//!
//! Start at [`page()`].

use comfy_table::{CellAlignment, ContentArrangement, presets};

use crate::align::{digits_of, most_decimals, padding};
use crate::block::{Block, Notice, Page, Tone};
use crate::table::{Column, Holds, Pager, Table};
use crate::words::{Span, Words};

/// The whole page: its title, then its parts.
pub fn page(page: &Page) -> String {
    let title = clean(&page.title);
    match blocks(&page.blocks) {
        parts if parts.is_empty() => format!("{title}\n"),
        parts => format!("{title}\n\n{parts}"),
    }
}

/// The parts alone.
pub fn blocks(blocks: &[Block]) -> String {
    let mut out = String::new();
    let mut above: Option<&Block> = None;
    for block in blocks {
        let text = self::block(block);
        if text.is_empty() {
            continue;
        }
        if above.is_some_and(|above| !belong_together(above, block)) {
            out.push('\n');
        }
        out.push_str(&text);
        above = Some(block);
    }
    out
}

/// Sentences follow each other line by line, and so do a table and what is said about it.
fn belong_together(above: &Block, below: &Block) -> bool {
    let sentence = |block: &Block| matches!(block, Block::Text(_) | Block::Notice(_));
    let introduces = matches!((above, below), (Block::Text(_), Block::List(_)));
    let explains = matches!((above, below), (Block::Table(_), Block::Text(_)));
    sentence(above) && sentence(below) || introduces || explains
}

fn block(block: &Block) -> String {
    match block {
        Block::Section(section) => under(&section.heading, &section.blocks),
        Block::Folded { summary, blocks } => under(summary, blocks),
        Block::Text(words) => line(words),
        Block::List(items) => items.iter().map(line).collect(),
        Block::Facts(facts) => facts
            .iter()
            .map(|(name, words)| format!("{}: {}", clean(name), line(words)))
            .collect(),
        Block::Table(table) => self::table(table),
        Block::Notice(notice) => self::notice(notice),
        Block::Form(_) | Block::Drawing(_) | Block::Gallery(_) => String::new(),
    }
}

fn under(heading: &str, blocks: &[Block]) -> String {
    match self::blocks(blocks) {
        parts if parts.is_empty() => String::new(),
        parts => format!("{}\n{}", clean(heading), indented(&parts, "  ")),
    }
}

fn indented(text: &str, by: &str) -> String {
    text.lines()
        .map(|line| {
            if line.is_empty() {
                "\n".to_owned()
            } else {
                format!("{by}{line}\n")
            }
        })
        .collect()
}

fn line(words: &Words) -> String {
    format!("{}\n", clean(&words.to_string()))
}

/// Without what a terminal takes for an order.
fn clean(text: &str) -> String {
    text.replace(|c: char| c.is_control(), "\u{fffd}")
}

fn notice(notice: &Notice) -> String {
    let before = match notice.tone {
        Tone::Odd => "!".to_owned(),
        Tone::Refused | Tone::Written | Tone::Care | Tone::Plain => format!("{}:", notice.tone.word()),
    };
    let more: String = notice.more.iter().map(line).collect();
    format!("{before} {}{}", line(&notice.says), indented(&more, "    "))
}

fn table(table: &Table) -> String {
    if table.rows.is_empty() {
        return match table.nothing.as_str() {
            "" => String::new(),
            nothing => format!("{}\n", clean(nothing)),
        };
    }
    let columns: Vec<(usize, &Column)> = table
        .columns
        .iter()
        .enumerate()
        .filter(|(_, column)| !column.minor)
        .collect();
    let decimals: Vec<usize> = columns
        .iter()
        .map(|(place, _)| most_decimals(table, *place))
        .collect();
    let mut grid = comfy_table::Table::new();
    grid.load_style(presets::NOTHING)
        .set_content_arrangement(ContentArrangement::Disabled)
        .set_header(columns.iter().map(|(_, column)| clean(&column.heading)));
    for row in &table.rows {
        let cells = columns.iter().zip(&decimals);
        grid.add_row(cells.map(|((place, column), decimals)| {
            row.cells
                .get(*place)
                .map_or_else(String::new, |said| cell(said, column.holds, *decimals))
        }));
    }
    for (place, (_, column)) in columns.iter().enumerate() {
        if let (Holds::Amounts, Some(column)) = (column.holds, grid.column_mut(place)) {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    let lines = grid.lines().map(|line| line.trim_end().to_owned());
    let lines: String = lines
        .map(|line| format!("{}\n", line.strip_prefix(' ').unwrap_or(&line)))
        .collect();
    lines + &table.pager.as_ref().map_or_else(String::new, pager)
}

/// A cell, filled up with spaces so that the points of a column of amounts stand below each other.
fn cell(said: &Words, holds: Holds, decimals: usize) -> String {
    let text = clean(&said.to_string());
    let digits = match holds {
        Holds::Words => None,
        Holds::Amounts => digits_of(said),
    };
    let Some(digits) = digits else { return text };
    let pad = padding(digits, decimals, ' ', ' ');
    match said.0.as_slice() {
        [Span::Amount(amount)] => {
            let unit = amount
                .unit
                .as_ref()
                .map_or_else(String::new, |unit| format!(" {unit}"));
            clean(&format!("{digits}{pad}{unit}"))
        }
        _ => format!("{digits}{pad}"),
    }
}

fn pager(pager: &Pager) -> String {
    format!("Rows {} to {} of {}.\n", pager.first, pager.last, pager.of)
}
