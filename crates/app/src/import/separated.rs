//! Sheets as text: cells parted by commas, semicolons or tabs, quoted where they hold one of those.

use csv::{ReaderBuilder, StringRecord};

use super::sheet::{MOST_ROWS, Origin, Sheet, SheetError, with_headings};

/// Reads a sheet of text.
pub(super) fn read(bytes: &[u8], sheet: Option<&str>, digest: String) -> Result<Sheet, SheetError> {
    if let Some(asked) = sheet {
        return Err(SheetError::WhichSheet {
            asked: Some(asked.to_owned()),
            sheets: Vec::new(),
        });
    }
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let text = std::str::from_utf8(bytes).map_err(|error| {
        let before = &bytes[..error.valid_up_to()];
        SheetError::OtherCode {
            line: 1 + before.iter().filter(|byte| **byte == b'\n').count(),
        }
    })?;
    let (said, text, first_row) = match said_separator(text) {
        Some((separator, rest)) => (Some(separator), rest, 2),
        None => (None, text, 1),
    };
    let separator = said.unwrap_or_else(|| found_separator(text));
    let rows = rows(text, separator, first_row)?;
    let origin = Origin {
        first_row,
        separator,
        numbers: Vec::new(),
    };
    with_headings(rows, origin, digest)
}

/// Some programs put a line `sep=;` before the headings.
fn said_separator(text: &str) -> Option<(u8, &str)> {
    let (line, rest) = text.split_once('\n')?;
    let separator = match line.trim_end() {
        "sep=," => b',',
        "sep=;" => b';',
        "sep=\t" => b'\t',
        _ => return None,
    };
    Some((separator, rest))
}

/// The sign that parts the headings most often; a comma where none does.
fn found_separator(text: &str) -> u8 {
    let headings = text.trim_start_matches(['\r', '\n']);
    let mut counts = [(b',', 0), (b';', 0), (b'\t', 0)];
    let mut is_quoted = false;
    for byte in headings.bytes() {
        match byte {
            b'"' => is_quoted = !is_quoted,
            b'\n' | b'\r' if !is_quoted => break,
            _ if is_quoted => {}
            _ => counts
                .iter_mut()
                .filter(|(separator, _)| *separator == byte)
                .for_each(|(_, count)| *count += 1),
        }
    }
    // Of those that come equally often the first is meant.
    let most = counts.iter().map(|(_, count)| *count).max().unwrap_or(0);
    counts
        .iter()
        .find(|(_, count)| *count == most)
        .map_or(b',', |(separator, _)| *separator)
}

fn rows(text: &str, separator: u8, first_row: usize) -> Result<Vec<Vec<String>>, SheetError> {
    let bytes = text.as_bytes();
    let mut reader = ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(separator)
        .from_reader(bytes);
    let mut rows: Vec<Vec<String>> = Vec::new();
    let mut record = StringRecord::new();
    let mut from = 0;
    loop {
        // The library leaves out lines without any cell, which a spreadsheet program counts.
        let (blank, start) = blank_lines(bytes, from);
        rows.resize(rows.len() + blank, Vec::new());
        let is_row = reader
            .read_record(&mut record)
            .map_err(|error| SheetError::Unreadable(error.to_string()))?;
        if !is_row {
            break;
        }
        from = usize::try_from(reader.position().byte())
            .unwrap_or(bytes.len())
            .min(bytes.len());
        if from == bytes.len() && has_open_quote(&bytes[start..], separator) {
            return Err(SheetError::OpenQuote {
                row: first_row + rows.len(),
            });
        }
        rows.push(record.iter().map(whole).collect());
        if rows.len() > MOST_ROWS + 1 {
            return Err(SheetError::TooManyRows);
        }
    }
    while rows.last().is_some_and(Vec::is_empty) {
        rows.pop();
    }
    Ok(rows)
}

/// A cell as it was before the apostrophe that keeps a spreadsheet program from calculating it.
fn whole(cell: &str) -> String {
    let armed = cell
        .strip_prefix('\'')
        .filter(|rest| super::refusals::is_armed(rest));
    armed.unwrap_or(cell).to_owned()
}

/// How many blank lines stand at a place, and where the next record begins.
fn blank_lines(bytes: &[u8], mut at: usize) -> (usize, usize) {
    // The second half of a line's end that was read already.
    if at > 0 && bytes[at - 1] == b'\r' && bytes.get(at) == Some(&b'\n') {
        at += 1;
    }
    let mut count = 0;
    loop {
        at += match &bytes[at.min(bytes.len())..] {
            [b'\r', b'\n', ..] => 2,
            [b'\r' | b'\n', ..] => 1,
            _ => return (count, at),
        };
        count += 1;
    }
}

/// Whether a record, the last one, ends between quotes.
fn has_open_quote(record: &[u8], separator: u8) -> bool {
    let mut is_quoted = false;
    let mut at_start = true;
    let mut bytes = record.iter().copied().peekable();
    while let Some(byte) = bytes.next() {
        match byte {
            b'"' if is_quoted && bytes.peek() == Some(&b'"') => {
                bytes.next();
            }
            b'"' if is_quoted => is_quoted = false,
            b'"' if at_start => is_quoted = true,
            _ => {}
        }
        at_start = !is_quoted && byte == separator;
    }
    is_quoted
}
