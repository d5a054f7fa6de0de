//! A sheet: headings, and rows of cells as text.

use thiserror::Error;

use super::cell::shortened;
use super::{separated, workbook};

/// The largest file that is read, in a terminal as in a browser: a sheet that one takes, the other must take.
pub const MOST_BYTES: usize = 10 << 20;

/// The most rows that are read.
pub const MOST_ROWS: usize = 100_000;

/// The most columns that are read.
pub(super) const MOST_COLUMNS: usize = 1_000;

/// A sheet as it was read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sheet {
    /// The headings, without the empty ones behind the last.
    pub columns: Vec<String>,
    /// The rows under them; one without any words keeps its place. A row may have more or fewer cells than
    /// there are headings.
    pub rows: Vec<Vec<String>>,
    /// What the file is known by: sixteen hexadecimal digits of its digest.
    pub digest: String,
    pub(super) origin: Origin,
}

/// How a sheet stood in its file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Origin {
    /// The number of the first row under the headings, as a spreadsheet program counts.
    pub(super) first_row: usize,
    /// What parts the cells.
    pub(super) separator: u8,
    /// Which cells are numbers whose point is a point, whatever the sheet's own decimal sign; empty for text.
    pub(super) numbers: Vec<Vec<bool>>,
}

impl Sheet {
    /// A row's number in the file, as a spreadsheet program counts.
    pub(super) fn number(&self, at: usize) -> usize {
        self.origin.first_row + at
    }

    pub(super) fn is_number(&self, row: usize, column: usize) -> bool {
        let cells = self.origin.numbers.get(row);
        cells
            .and_then(|cells| cells.get(column))
            .copied()
            .unwrap_or(false)
    }
}

/// Why a file is no sheet that can be read.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum SheetError {
    /// It is too large.
    #[error(
        "the file has {bytes} bytes, and at most {} MiB are read. Part it into several sheets",
        MOST_BYTES >> 20
    )]
    TooLarge {
        /// How many bytes it has.
        bytes: usize,
    },
    /// It would grow too large when unpacked.
    #[error("the file grows too large when it is unpacked. Save the one sheet as .csv, and bring that in")]
    Bloated,
    /// It has too many rows.
    #[error("the sheet has more than {MOST_ROWS} rows. Part it into several")]
    TooManyRows,
    /// It has too many columns.
    #[error("the sheet has more than {MOST_COLUMNS} columns. Keep those that are to be brought in")]
    TooManyColumns,
    /// It is of a kind that is not read.
    #[error(
        "files that end in .{0} are not read. Save the sheet as .xlsx, or as .csv in UTF-8, and bring that in"
    )]
    OtherKind(String),
    /// It says one kind and is another.
    #[error("this is no file of its kind: {0}. Save the sheet again as .xlsx, or as .csv in UTF-8")]
    Unreadable(String),
    /// Its letters are in another code.
    #[error("line {line} is no text in UTF-8. Save the sheet again as .csv in UTF-8, or as .xlsx")]
    OtherCode {
        /// The line of the file.
        line: usize,
    },
    /// A quoted cell goes on to the end of the file.
    #[error("in row {row} a cell begins with a double quote that never ends. Close the quote")]
    OpenQuote {
        /// The row, as a spreadsheet program counts.
        row: usize,
    },
    /// There is no sheet of that name.
    #[error("{}", no_such_sheet(.asked.as_deref(), .sheets))]
    WhichSheet {
        /// The name asked for, if any.
        asked: Option<String>,
        /// The sheets that there are.
        sheets: Vec<String>,
    },
    /// It has no headings.
    #[error("the sheet is empty. The first row that is not empty holds the headings")]
    Empty,
}

fn no_such_sheet(asked: Option<&str>, sheets: &[String]) -> String {
    let list: Vec<String> = sheets.iter().map(|name| shortened(name)).collect();
    let list = list.join(", ");
    match (asked.map(shortened), sheets) {
        (Some(asked), []) => format!("a .csv file has no sheets, so none is called {asked}"),
        (Some(asked), _) => format!("no sheet is called {asked}; there are: {list}"),
        (None, []) => "the workbook has no sheet".to_owned(),
        (None, _) => format!("the workbook has several sheets; say which one: {list}"),
    }
}

/// Reads a sheet: comma, semicolon or tab between the cells, or a workbook.
///
/// # Errors
/// Why the file cannot be read, with what to do.
pub fn read(name: &str, bytes: &[u8], sheet: Option<&str>) -> Result<Sheet, SheetError> {
    if bytes.len() > MOST_BYTES {
        return Err(SheetError::TooLarge { bytes: bytes.len() });
    }
    let digest = blake3::hash(bytes).to_hex()[..16].to_owned();
    let ending = ending(name);
    if matches!(
        ending.as_str(),
        "ods" | "xls" | "xlsb" | "fods" | "numbers" | "gnumeric"
    ) {
        return Err(SheetError::OtherKind(ending));
    }
    // What a file is called may be wrong; what it begins with is not.
    let is_packed = bytes.starts_with(b"PK\x03\x04");
    let is_workbook = matches!(ending.as_str(), "xlsx" | "xlsm");
    match (is_workbook, is_packed) {
        (true, false) => Err(SheetError::Unreadable("it is no workbook".to_owned())),
        (false, true) if ending == "csv" => Err(SheetError::Unreadable(
            "it is packed, as workbooks are".to_owned(),
        )),
        (true, true) | (false, true) => workbook::read(bytes, sheet, digest),
        (false, false) => separated::read(bytes, sheet, digest),
    }
}

/// What stands behind the last point of a file's name, in small letters.
fn ending(name: &str) -> String {
    name.rsplit_once('.')
        .map_or_else(String::new, |(_, ending)| ending.to_lowercase())
}

/// Headings and rows from all the rows of a file; the first that is not empty holds the headings.
pub(super) fn with_headings(
    mut rows: Vec<Vec<String>>,
    mut origin: Origin,
    digest: String,
) -> Result<Sheet, SheetError> {
    let headings = rows
        .iter()
        .position(|row| !is_empty(row))
        .ok_or(SheetError::Empty)?;
    let below = rows.split_off(headings + 1);
    let mut columns: Vec<String> = rows.pop().unwrap_or_default();
    columns
        .iter_mut()
        .for_each(|heading| *heading = one_line(heading));
    while columns.last().is_some_and(String::is_empty) {
        columns.pop();
    }
    if columns.len() > MOST_COLUMNS {
        return Err(SheetError::TooManyColumns);
    }
    if below.len() > MOST_ROWS {
        return Err(SheetError::TooManyRows);
    }
    origin.first_row += headings + 1;
    origin.numbers.drain(..(headings + 1).min(origin.numbers.len()));
    Ok(Sheet {
        columns,
        rows: below,
        digest,
        origin,
    })
}

pub(super) fn is_empty(row: &[String]) -> bool {
    row.iter().all(|cell| cell.trim().is_empty())
}

/// A cell as it can stand in a note: line breaks, tabs and spaces of all widths become one space.
pub(super) fn one_line(cell: &str) -> String {
    let mut out = String::with_capacity(cell.len());
    for word in cell.split(char::is_whitespace).filter(|word| !word.is_empty()) {
        if !out.is_empty() {
            out.push(' ');
        }
        out.push_str(word);
    }
    out
}
