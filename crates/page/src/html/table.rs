//! Tables.
//!
//! On a narrow screen the rows are stacked, each cell with the name of its column before it. A browser drops
//! the meaning of a table whose parts are laid out in another way, so every part says what it is.

use maud::{Markup, html};

use super::Leaf;
use super::words::{amount, link, words};
use crate::align::{is_number, most_decimals, padding};
use crate::table::{Column, Holds, Pager, Row, Table};
use crate::words::{Amount, Span, Words};

pub(super) fn table(table: &Table, leaf: &mut Leaf<'_>) -> Markup {
    html! {
        @if table.rows.is_empty() {
            @if !table.nothing.is_empty() { p.nothing { (table.nothing) } }
        } @else {
            (full(table, leaf))
        }
        (behind(table))
    }
}

fn full(table: &Table, leaf: &mut Leaf<'_>) -> Markup {
    let id = (!table.caption.is_empty()).then(|| leaf.ids.give("table"));
    let places: Vec<usize> = (0..table.columns.len())
        .map(|column| most_decimals(table, column))
        .collect();
    html! {
        table.broad[is_broad(table)] role="table" aria-labelledby=[id.as_ref()] {
            @if let Some(id) = &id { caption id=(id) { (table.caption) } }
            thead role="rowgroup" {
                tr role="row" {
                    @for column in &table.columns {
                        th scope="col" role="columnheader" class=[class(column)] { (column.heading) }
                    }
                }
            }
            tbody role="rowgroup" { @for row in &table.rows { (self::row(row, &table.columns, &places)) } }
        }
    }
}

fn row(row: &Row, columns: &[Column], places: &[usize]) -> Markup {
    let cells = row.cells.iter().zip(columns).zip(places).enumerate();
    html! {
        tr role="row" {
            @for (place, ((said, column), decimals)) in cells {
                @let inner = html! {
                    @match column.holds {
                        Holds::Words => { (words(said)) }
                        Holds::Amounts => { (aligned(said, *decimals)) }
                    }
                };
                @if place == 0 {
                    th scope="row" role="rowheader" class=[cell_class(column, said)] data-label=(column.heading) { (inner) }
                } @else {
                    td role="cell" class=[cell_class(column, said)] data-label=(column.heading) { (inner) }
                }
            }
        }
    }
}

fn class(column: &Column) -> Option<&'static str> {
    match (column.holds, column.minor) {
        (Holds::Words, false) => None,
        (Holds::Words, true) => Some("minor"),
        (Holds::Amounts, false) => Some("figures"),
        (Holds::Amounts, true) => Some("figures minor"),
    }
}

/// How many letters a name or a day has at most: they are not broken where there is room.
const SHORT: usize = 14;

/// An empty cell takes no line of its own where rows are stacked.
fn cell_class(column: &Column, said: &Words) -> Option<String> {
    let length = match said.0.as_slice() {
        [] => "empty",
        _ if said.to_string().chars().count() <= SHORT => "short",
        _ => "",
    };
    let classes = [class(column).unwrap_or_default(), length];
    let classes: Vec<&str> = classes.into_iter().filter(|class| !class.is_empty()).collect();
    (!classes.is_empty()).then(|| classes.join(" "))
}

/// More columns than this are set smaller where there is little room.
const BROAD: usize = 7;

fn is_broad(table: &Table) -> bool {
    table.columns.iter().filter(|column| !column.minor).count() > BROAD
}

/// A cell of amounts, filled up behind its digits so that the points of the column stand below each other.
fn aligned(said: &Words, decimals: usize) -> Markup {
    match said.0.as_slice() {
        [Span::Amount(one)] => amount(one, &padding(&one.digits, decimals, POINT, DIGIT)),
        [Span::Plain(digits)] if is_number(digits) => amount(
            &Amount {
                digits: digits.clone(),
                unit: None,
                why: None,
            },
            &padding(digits, decimals, POINT, DIGIT),
        ),
        _ => words(said),
    }
}

/// Spaces as wide as a point, and as a digit.
const POINT: char = '\u{2008}';
const DIGIT: char = '\u{2007}';

fn behind(table: &Table) -> Markup {
    html! {
        @if let Some(pager) = &table.pager { (self::pager(pager, &table.caption)) }
        @if let Some(to) = &table.csv {
            p.csv { (link(&html! { "All rows as CSV" span.unseen { ": " (table.caption) } }, to, None)) }
        }
    }
}

fn pager(pager: &Pager, caption: &str) -> Markup {
    html! {
        nav.pager aria-label={ "Rows: " (caption) } {
            @if let Some(to) = &pager.before { (link(&html! { "rows before" }, to, Some("step"))) }
            span { "Rows " (pager.first) " to " (pager.last) " of " (pager.of) }
            @if let Some(to) = &pager.after { (link(&html! { "rows after" }, to, Some("step"))) }
        }
    }
}
