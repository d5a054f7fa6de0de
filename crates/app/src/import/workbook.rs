//! Sheets of workbooks: cells as a keeper typed them, whatever the file made of them.

use std::io::{Cursor, Read as _};

use calamine::{CellErrorType, DataRef, ExcelDateTime, Reader as _, SheetType, Xlsx, XlsxError};
use zip::ZipArchive;

use super::sheet::{MOST_COLUMNS, MOST_ROWS, Origin, Sheet, SheetError, with_headings};

/// No workbook that a keeper makes is larger than this when it is unpacked.
const MOST_UNPACKED: u64 = 300_000_000;

/// Reads one sheet of a workbook.
pub(super) fn read(bytes: &[u8], sheet: Option<&str>, digest: String) -> Result<Sheet, SheetError> {
    refuse_bloated(bytes)?;
    let mut workbook = Xlsx::new(Cursor::new(bytes)).map_err(unreadable)?;
    let sheets: Vec<String> = workbook
        .sheets_metadata()
        .iter()
        .filter(|sheet| sheet.typ == SheetType::WorkSheet)
        .map(|sheet| sheet.name.clone())
        .collect();
    let name = match (sheet, sheets.as_slice()) {
        (Some(asked), _) => sheets.iter().find(|name| *name == asked),
        (None, [only]) => Some(only),
        (None, _) => None,
    };
    let Some(name) = name else {
        return Err(SheetError::WhichSheet {
            asked: sheet.map(str::to_owned),
            sheets,
        });
    };
    let cells = cells(&mut workbook, name)?;
    let mut rows: Vec<Vec<String>> = Vec::new();
    let mut numbers: Vec<Vec<bool>> = Vec::new();
    for (row, column, text, is_number) in cells {
        let count = rows.len().max(row + 1);
        rows.resize(count, Vec::new());
        numbers.resize(count, Vec::new());
        if rows[row].len() <= column {
            rows[row].resize(column + 1, String::new());
            numbers[row].resize(column + 1, false);
        }
        rows[row][column] = text;
        numbers[row][column] = is_number;
    }
    let origin = Origin {
        first_row: 1,
        separator: b',',
        numbers,
    };
    let mut sheet = with_headings(rows, origin, digest)?;
    // A workbook keeps no empty cells at the end of a row, so a short row is no ragged one.
    let width = sheet.columns.len();
    let short = |row: &&mut Vec<String>| !row.is_empty() && row.len() < width;
    sheet
        .rows
        .iter_mut()
        .filter(short)
        .for_each(|row| row.resize(width, String::new()));
    Ok(sheet)
}

/// A packed file may hold very much more than its size shows, so it is unpacked once without being kept.
fn refuse_bloated(bytes: &[u8]) -> Result<(), SheetError> {
    let broken = |error: zip::result::ZipError| SheetError::Unreadable(error.to_string());
    let mut archive = ZipArchive::new(Cursor::new(bytes)).map_err(broken)?;
    let mut left = MOST_UNPACKED;
    for at in 0..archive.len() {
        let file = archive.by_index(at).map_err(broken)?;
        let copied = std::io::copy(&mut file.take(left), &mut std::io::sink());
        let size = copied.map_err(|error| SheetError::Unreadable(error.to_string()))?;
        left -= size;
        if left == 0 {
            return Err(SheetError::Bloated);
        }
    }
    Ok(())
}

fn unreadable(error: XlsxError) -> SheetError {
    SheetError::Unreadable(error.to_string())
}

type Cell = (usize, usize, String, bool);

/// The cells that hold something, with their places. They are read one by one: a sheet whose only cell stands
/// in the last corner must not become a table of that size.
fn cells(workbook: &mut Xlsx<Cursor<&[u8]>>, name: &str) -> Result<Vec<Cell>, SheetError> {
    let mut reader = workbook.worksheet_cells_reader(name).map_err(unreadable)?;
    let percent: Vec<bool> = reader
        .styles()
        .iter()
        .map(|style| {
            let format = style.number_format.as_ref();
            format.is_some_and(|format| format.format_code.contains('%'))
        })
        .collect();
    let mut cells = Vec::new();
    while let Some((cell, style)) = reader.next_cell_with_style_id().map_err(unreadable)? {
        let is_percent = percent.get(style).copied().unwrap_or(false);
        let (text, is_number) = shown(cell.get_value(), is_percent);
        if text.trim().is_empty() {
            continue;
        }
        let (row, column) = cell.get_position();
        let (row, column) = (row as usize, column as usize);
        if column >= MOST_COLUMNS {
            return Err(SheetError::TooManyColumns);
        }
        if row > MOST_ROWS {
            return Err(SheetError::TooManyRows);
        }
        cells.push((row, column, text, is_number));
    }
    Ok(cells)
}

/// A cell as it would be typed, and whether it is a number.
fn shown(value: &DataRef<'_>, is_percent: bool) -> (String, bool) {
    match value {
        DataRef::Int(number) => (number.to_string(), true),
        DataRef::Float(number) if is_percent => (format!("{} %", digits(number * 100.0)), true),
        DataRef::Float(number) => (digits(*number), true),
        DataRef::String(text) | DataRef::DateTimeIso(text) | DataRef::DurationIso(text) => {
            (text.clone(), false)
        }
        DataRef::SharedString(text) => ((*text).to_owned(), false),
        DataRef::Bool(yes) => (if *yes { "yes" } else { "no" }.to_owned(), false),
        DataRef::DateTime(time) => (when(*time), false),
        DataRef::Error(CellErrorType::GettingData) => ("#N/A".to_owned(), false),
        DataRef::Error(error) => (error.to_string(), false),
        DataRef::Empty => (String::new(), false),
    }
}

/// A number with the fifteen digits that spreadsheet programs show at most: 0.1 + 0.2 was never typed as
/// 0.30000000000000004.
fn digits(number: f64) -> String {
    let rounded = format!("{number:.14e}").parse::<f64>().unwrap_or(number);
    // There is no minus zero in a sheet.
    let rounded = if rounded.to_bits() == (-0.0_f64).to_bits() {
        0.0
    } else {
        rounded
    };
    rounded.to_string()
}

/// A day as 2026-07-19, with its hour where it has one; an hour alone as 14:20; a length of time as 2h30.
fn when(time: ExcelDateTime) -> String {
    let value = time.as_f64();
    if time.is_duration() {
        let minutes = (value * 1_440.0).round().clamp(0.0, 1e9) as u64;
        return format!("{}h{:02}", minutes / 60, minutes % 60);
    }
    // Thirty seconds more, so that cutting off the seconds rounds to the minute.
    let rounded = ExcelDateTime::new(
        value + 0.5 / 1_440.0,
        calamine::ExcelDateTimeType::DateTime,
        false,
    );
    let (_, _, _, hour, minute, ..) = rounded.to_ymd_hms_milli();
    let (year, month, day, ..) = time.to_ymd_hms_milli();
    match (value < 1.0, hour, minute) {
        (true, _, _) => format!("{hour:02}:{minute:02}"),
        (false, 0, 0) => format!("{year:04}-{month:02}-{day:02}"),
        (false, _, _) => format!("{year:04}-{month:02}-{day:02} {hour:02}:{minute:02}"),
    }
}
