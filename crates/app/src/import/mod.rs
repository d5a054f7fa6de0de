//! Rows of a spreadsheet into notes.
//!
//! A [`Sheet`] is read from a file; a [`Mapping`] says which column fills what; [`plan`] makes a line of each
//! row, and [`bring_in`] hands the lines to the office, which doubts them as if they had been typed.
//!
//! Holds true: a row becomes the note that its columns say and no more, or it is refused with the reason;
//! nothing is guessed. A row that came in before is passed over: known by its file, or by its words where it
//! came in with another file. A refused row keeps all its cells, so that it can be mended and handed in again.
//!
//! What the files look like is told in `docs/import.md`.

mod bring_in;
mod cell;
mod mapping;
mod plan;
mod refusals;
mod separated;
mod sheet;
mod workbook;

pub use bring_in::{Before, NotBroughtIn, Report, Row, WrittenRow, bring_in};
pub use mapping::{DayOrder, Mapping, MappingError};
pub use plan::{Planned, RefusedRow, plan};
pub use refusals::{is_refusals, refused_csv};
pub use sheet::{MOST_BYTES, MOST_ROWS, Sheet, SheetError, read};
