//! Files of parts and boards.
//!
//! Holds true: a row that cannot be read is named by its line and column.

use std::fs::File;
use std::io::Read as _;

use csv::{ReaderBuilder, StringRecord, Trim};
use quantity::{Length, Reading, Unit};
use reckon::cut::{Board, Part};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive as _;
use serde_json::Value;

use super::Refused;
use super::quantities::{number, refused};

/// No larger file is read: a cutting list is a few kilobytes.
const MOST_BYTES: u64 = 4 << 20;
/// More decimals than this has no price.
const MOST_DECIMALS: u32 = 4;

const PARTS: &str = "a file with the header part,length_mm,width_mm,count";
const BOARDS: &str =
    "a file with the header board,length_mm,width_mm,price,count and perhaps bad_from_mm,bad_to_mm";

/// How prices were written: with so many decimals.
#[derive(Debug, Clone, Copy)]
pub(super) struct Prices {
    decimals: u32,
}

impl Prices {
    /// A price for scripts.
    pub(super) fn value(self, price: u64) -> Value {
        Value::from(number(self.decimal(price)))
    }

    /// A price as people read it.
    pub(super) fn said(self, price: u64) -> String {
        self.decimal(price).to_string()
    }

    fn decimal(self, price: u64) -> Decimal {
        let units = i64::try_from(price).expect("BUG: a cost is within range");
        Decimal::new(units, self.decimals)
    }
}

/// The parts of a file.
pub(super) fn read_parts(flag: &str, path: &str) -> Result<Vec<Part>, Refused> {
    let table = Table::read(flag, path, PARTS, &["part", "length_mm", "count"])?;
    table
        .rows()
        .map(|row| {
            Ok(Part {
                name: row.name("part")?,
                length: row.size("length_mm")?,
                width: row.size_if_any("width_mm")?,
                count: row
                    .count("count")?
                    .ok_or_else(|| row.wrong("count", "is empty"))?,
            })
        })
        .collect()
}

/// The boards of a file, and how their prices are written.
pub(super) fn read_boards(flag: &str, path: &str) -> Result<(Vec<Board>, Prices), Refused> {
    let table = Table::read(flag, path, BOARDS, &["board", "length_mm"])?;
    let mut prices = Vec::new();
    for row in table.rows() {
        prices.push(row.price("price")?);
    }
    let decimals = prices.iter().flatten().map(Decimal::scale).max().unwrap_or(0);
    let boards: Result<Vec<Board>, Refused> = table
        .rows()
        .zip(prices)
        .map(|(row, price)| {
            Ok(Board {
                name: row.name("board")?,
                length: row.size("length_mm")?,
                width: row.size_if_any("width_mm")?,
                price: price.map(|price| row.in_units(price, decimals)).transpose()?,
                count: row.count("count")?,
                bad: row.bad_places()?,
            })
        })
        .collect();
    Ok((boards?, Prices { decimals }))
}

/// A file taken apart.
struct Table<'a> {
    flag: &'a str,
    path: &'a str,
    accepted: &'static str,
    header: StringRecord,
    rows: Vec<StringRecord>,
}

impl<'a> Table<'a> {
    fn read(flag: &'a str, path: &'a str, accepted: &'static str, needed: &[&str]) -> Result<Self, Refused> {
        let unread = |wrong: &dyn std::fmt::Display| refused(flag, format!("{path}: {wrong}"), accepted);
        let file = File::open(path).map_err(|wrong| unread(&wrong))?;
        let mut bytes = Vec::new();
        let limited = file.take(MOST_BYTES + 1).read_to_end(&mut bytes);
        limited.map_err(|wrong| unread(&wrong))?;
        if bytes.len() as u64 > MOST_BYTES {
            return Err(unread(&format!("more than {} MiB", MOST_BYTES >> 20)));
        }
        // A mark that some programs put before UTF-8.
        let text = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(&bytes);
        let mut reader = ReaderBuilder::new().trim(Trim::All).from_reader(text);
        let header = reader.headers().map_err(|wrong| unread(&wrong))?.clone();
        if let Some(missing) = needed
            .iter()
            .find(|&&column| !header.iter().any(|name| name == column))
        {
            return Err(unread(&format!("line 1 has no column {missing}")));
        }
        let rows: Result<Vec<StringRecord>, csv::Error> = reader.records().collect();
        Ok(Self {
            flag,
            path,
            accepted,
            rows: rows.map_err(|wrong| unread(&wrong))?,
            header,
        })
    }

    fn rows(&self) -> impl Iterator<Item = Row<'_>> {
        self.rows.iter().map(|cells| Row { table: self, cells })
    }
}

/// A row of a file.
struct Row<'a> {
    table: &'a Table<'a>,
    cells: &'a StringRecord,
}

impl Row<'_> {
    /// What stands in a column; nothing where there is no such column.
    fn cell(&self, column: &str) -> &str {
        let place = self.table.header.iter().position(|name| name == column);
        place.and_then(|place| self.cells.get(place)).unwrap_or("")
    }

    fn wrong(&self, column: &str, says: &str) -> Refused {
        let line = self.cells.position().map_or(0, csv::Position::line);
        let wrong = format!("{}, line {line}, column {column}: {says}", self.table.path);
        refused(self.table.flag, wrong, self.table.accepted)
    }

    fn name(&self, column: &str) -> Result<String, Refused> {
        match self.cell(column) {
            "" => Err(self.wrong(column, "is empty")),
            name => Ok(name.to_owned()),
        }
    }

    fn decimal(&self, column: &str, written: &str) -> Result<Decimal, Refused> {
        let is_plain = written.bytes().all(|sign| sign.is_ascii_digit() || sign == b'.');
        let decimal = is_plain.then(|| Decimal::from_str_exact(written).ok()).flatten();
        decimal.ok_or_else(|| self.wrong(column, &format!("\"{written}\" is no number of nothing or more")))
    }

    fn length(&self, column: &str, written: &str) -> Result<Length, Refused> {
        let reading = Reading::new(self.decimal(column, written)?, Unit::Mm);
        reading.length().ok_or_else(|| self.wrong(column, "is too large"))
    }

    fn size(&self, column: &str) -> Result<Length, Refused> {
        let size = self.size_if_any(column)?;
        size.ok_or_else(|| self.wrong(column, "is empty"))
    }

    fn size_if_any(&self, column: &str) -> Result<Option<Length>, Refused> {
        let written = self.cell(column);
        if written.is_empty() {
            return Ok(None);
        }
        let length = self.length(column, written)?;
        if length.is_zero() {
            return Err(self.wrong(column, "is nothing"));
        }
        Ok(Some(length))
    }

    fn count(&self, column: &str) -> Result<Option<u32>, Refused> {
        match self.cell(column) {
            "" => Ok(None),
            written => {
                let count = written.parse().ok();
                let says = format!("\"{written}\" is no count");
                count.map(Some).ok_or_else(|| self.wrong(column, &says))
            }
        }
    }

    fn price(&self, column: &str) -> Result<Option<Decimal>, Refused> {
        match self.cell(column) {
            "" => Ok(None),
            written => {
                let price = self.decimal(column, written)?;
                if price.scale() > MOST_DECIMALS {
                    return Err(self.wrong(column, "has more than four decimals"));
                }
                Ok(Some(price))
            }
        }
    }

    /// A price as a whole number of units with so many decimals.
    fn in_units(&self, price: Decimal, decimals: u32) -> Result<u64, Refused> {
        let units = price.checked_mul(Decimal::from(10_u64.pow(decimals)));
        let units = units.and_then(|units| units.to_u64());
        units.ok_or_else(|| self.wrong("price", "is too large"))
    }

    /// From and to; several on one board are parted by semicolons.
    fn bad_places(&self) -> Result<Vec<(Length, Length)>, Refused> {
        let ends = |column: &str| -> Result<Vec<Length>, Refused> {
            let written = self
                .cell(column)
                .split(';')
                .map(str::trim)
                .filter(|end| !end.is_empty());
            written.map(|end| self.length(column, end)).collect()
        };
        let (from, to) = (ends("bad_from_mm")?, ends("bad_to_mm")?);
        if from.len() != to.len() {
            return Err(self.wrong("bad_to_mm", "does not end each bad place that begins"));
        }
        let places: Vec<(Length, Length)> = from.into_iter().zip(to).collect();
        let length = self.size("length_mm")?;
        if places.iter().any(|(from, to)| from >= to || *to > length) {
            return Err(self.wrong(
                "bad_to_mm",
                "is not behind where the bad place begins, within the board",
            ));
        }
        Ok(places)
    }
}
