//! Tables, a page of rows at a time.

use crate::words::Words;

/// A table.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Table {
    /// What the table tells, in a few words.
    pub caption: String,
    /// Its columns.
    pub columns: Vec<Column>,
    /// Its rows; a row has a cell for each column.
    pub rows: Vec<Row>,
    /// What is said where there are no rows.
    pub nothing: String,
    /// Which part of all rows these are, where there are too many for one page.
    pub pager: Option<Pager>,
    /// Where all of its rows can be had for a spreadsheet.
    pub csv: Option<String>,
}

/// A column.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Column {
    /// Its heading, the unit included.
    pub heading: String,
    /// What its cells hold.
    pub holds: Holds,
    /// It has a place on paper and on a wide screen only; what it says stands elsewhere too.
    pub minor: bool,
}

/// What the cells of a column hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Holds {
    /// Words.
    Words,
    /// Amounts, set so that their points stand below each other.
    Amounts,
}

/// A row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// A cell for each column.
    pub cells: Vec<Words>,
}

/// Which part of all rows is shown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pager {
    /// The first row shown, from 1.
    pub first: usize,
    /// The last row shown.
    pub last: usize,
    /// How many rows there are.
    pub of: usize,
    /// Where the rows before these are.
    pub before: Option<String>,
    /// Where the rows after these are.
    pub after: Option<String>,
}

impl Table {
    /// A table without rows.
    pub fn new(caption: impl Into<String>, columns: Vec<Column>, nothing: impl Into<String>) -> Self {
        Self {
            caption: caption.into(),
            columns,
            nothing: nothing.into(),
            ..Self::default()
        }
    }

    /// With these rows.
    #[must_use]
    pub fn with(mut self, rows: impl IntoIterator<Item = Vec<Words>>) -> Self {
        self.rows = rows.into_iter().map(|cells| Row { cells }).collect();
        debug_assert!(
            self.rows.iter().all(|row| row.cells.len() == self.columns.len()),
            "BUG: a row of {} has another number of cells than there are columns",
            self.caption
        );
        self
    }

    /// With a link to all rows as CSV.
    #[must_use]
    pub fn csv(mut self, to: impl Into<String>) -> Self {
        self.csv = Some(to.into());
        self
    }
}

impl Column {
    /// A column of words.
    pub fn words(heading: impl Into<String>) -> Self {
        Self {
            heading: heading.into(),
            holds: Holds::Words,
            minor: false,
        }
    }

    /// A column of amounts; the heading says their unit.
    pub fn amounts(heading: impl Into<String>) -> Self {
        Self {
            holds: Holds::Amounts,
            ..Self::words(heading)
        }
    }
}
