//! Pages, cards and templates on paper: the neutral model of `page` set as PDF, templates as DXF too.
//!
//! [`page()`] sets any [`page::Page`]: headings, sentences, tables, notices, drawings. [`cards`] sets cards that are
//! filled in by hand, and tells where on the paper each box lies.
//!
//! Holds true: the same input gives the same bytes, on any machine: fonts are built in, nothing is fetched, and the
//! date of the file is the day that it is told. What a page says is handed over as data and never read as markup, so
//! that a name is printed as it is spelt. Ink is black, paper white; whatever is read is set in 9 points or more.
//!
//! Does not: know of hives, books or the clock.
//!
//! Start at [`page()`], then [`cards`]; [`full_size`] and [`dxf()`] for what is sawn.

mod card;
mod document;
mod dxf;
mod full_size;
mod letters;
mod setter;
#[cfg(test)]
mod tests;

use jiff::civil::Date;

pub use card::{BoxOnPaper, Holds, cards};
pub use document::page;
pub use dxf::dxf;
pub use full_size::full_size;

/// A size of paper.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Paper {
    /// 210 mm by 297 mm.
    #[default]
    A4,
    /// 8.5 in by 11 in.
    Letter,
}

impl Paper {
    /// The size that is called so.
    pub fn of(word: &str) -> Option<Self> {
        [Self::A4, Self::Letter]
            .into_iter()
            .find(|paper| paper.word().eq_ignore_ascii_case(word))
    }

    /// What it is called.
    pub const fn word(self) -> &'static str {
        match self {
            Self::A4 => "a4",
            Self::Letter => "letter",
        }
    }

    /// Its width and height in millimetres.
    pub const fn mm(self) -> (f64, f64) {
        match self {
            Self::A4 => (210.0, 297.0),
            Self::Letter => (215.9, 279.4),
        }
    }

    const fn name_of_setter(self) -> &'static str {
        match self {
            Self::A4 => "a4",
            Self::Letter => "us-letter",
        }
    }
}

/// What stands around what is printed.
#[derive(Clone, Copy, Debug)]
pub struct Around<'a> {
    /// The paper.
    pub paper: Paper,
    /// The day that the file is dated with.
    pub day: Date,
    /// Whose it is, on each sheet; may be empty.
    pub farm: &'a str,
}

/// What is ready to be printed.
#[derive(Clone, Debug)]
pub struct Printed {
    /// The file.
    pub pdf: Vec<u8>,
    /// How many sheets it has.
    pub sheets: usize,
    /// Letters that the built-in fonts lack; each is printed as an empty frame.
    pub lacking: Vec<char>,
}

/// Why nothing could be printed. What a page says cannot bring it about, so it is a mistake of the program.
#[derive(Debug, thiserror::Error)]
#[error("the page could not be set: {0}")]
pub struct Unset(String);
