//! A neutral model of pages, and its light outputs.
//!
//! A [`Page`] says what a reader is told: headings, sentences, tables, forms, drawings, notices. It knows
//! nothing of hives or stores. [`html`] writes it for a browser, [`text`] for a terminal, [`csv`] gives a
//! table to a spreadsheet, [`svg`] draws.
//!
//! Holds true: the same page gives the same bytes. Whatever a page says is text until an output writes it,
//! so a name that looks like markup stays a name.
//!
//! Start at [`Page`], then [`Block`].

mod align;
mod block;
mod card;
pub mod code;
pub mod csv;
mod drawing;
mod form;
pub mod html;
pub mod ics;
mod reach;
pub mod svg;
mod table;
pub mod template;
#[cfg(test)]
mod tests;
pub mod text;
mod words;

pub use align::FilledUp;
pub use block::{Block, Notice, Page, Section, Tone};
pub use card::{Asked, AskedField, BoxWidth, Card, CardColumn, CardRow};
pub use drawing::{Drawing, Fill, Hatch, Shape};
pub use form::{Button, Choice, Field, Form, Input, Method, Shown};
pub use table::{Column, Holds, Pager, Row, Table};
pub use template::{Figure, Meaning, Template};
pub use words::{Amount, Span, Words};
