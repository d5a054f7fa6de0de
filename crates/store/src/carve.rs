//! Reading records straight from the bytes of a SQLite file and its log, without SQLite.
//!
//! A record begins with a header that says how long each column is, so it can be recognised wherever
//! it lies: its page may have lost its type, its list of cells or its place in the tree. Every page
//! of the file and every page in the log is searched. Whether what was found is whole is for the
//! caller to say; an entry or an attachment carries its digest.
//!
//! The format: "Database File Format" and "WAL-mode File Format" of the SQLite documentation.

use std::collections::BTreeMap;

/// What the header of a record may say of a column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Column {
    /// Sixteen bytes.
    Id,
    /// Thirty-two bytes.
    Digest,
    /// Sixteen bytes, or nothing.
    MaybeId,
    Blob,
    Text,
    MaybeText,
    Number,
}

/// Rows of the entry table.
pub(crate) const ENTRY: &[Column] = &[
    Column::Id,
    Column::Text,
    Column::Number,
    Column::Digest,
    Column::Blob,
    Column::MaybeId,
    Column::MaybeText,
];
/// Keys of the entry table, as its index holds them: farm, device, number, digest, row.
pub(crate) const ENTRY_KEY: &[Column] = &[
    Column::Id,
    Column::Text,
    Column::Number,
    Column::Digest,
    Column::Number,
];
/// Rows of the attachment table.
pub(crate) const ATTACHMENT: &[Column] = &[Column::Id, Column::Digest, Column::Blob];

/// The columns of a record; `None` where nothing was stored. Numbers are as stored, big-endian and as
/// short as they go.
pub(crate) type Record = Vec<Option<Vec<u8>>>;

/// Every record here begins with a farm: sixteen bytes, which SQLite writes as 44.
const FARM_MARK: u8 = 44;
const LOG_HEAD: usize = 32;
const FRAME_HEAD: usize = 24;
/// The size of the pages of all books, unless their header says otherwise.
const USUAL_PAGE: usize = 4096;

/// A file and its log, in memory.
pub(crate) struct Image<'a> {
    file: &'a [u8],
    log: &'a [u8],
    page_size: usize,
    /// The last version of each page in the log.
    newest: BTreeMap<usize, &'a [u8]>,
}

/// Which version of a page an overflowing record goes on in.
#[derive(Debug, Clone, Copy)]
enum View {
    /// The last one in the log, else the one in the file.
    Newest,
    /// The one in the file.
    File,
}

impl<'a> Image<'a> {
    pub(crate) fn new(file: &'a [u8], log: &'a [u8]) -> Self {
        let in_file = file
            .get(16..18)
            .map(|size| usize::from(u16::from_be_bytes([size[0], size[1]])));
        let in_log = be_u32(log, 8);
        let sizes = [in_file.filter(|_| file.starts_with(b"SQLite format 3\0")), in_log];
        let is_size = |size: &usize| size.is_power_of_two() && (512..=65_536).contains(size);
        let page_size = sizes.into_iter().flatten().find(is_size).unwrap_or(USUAL_PAGE);
        let mut image = Self {
            file,
            log,
            page_size,
            newest: BTreeMap::new(),
        };
        image.newest = image
            .frames()
            .filter(|(head, _)| image.is_of_this_round(head))
            .filter_map(numbered)
            .collect();
        if image.newest.is_empty() {
            image.newest = image.frames().filter_map(numbered).collect();
        }
        image
    }

    /// Hands out everything that looks like a record of these columns, with the number of its page in
    /// the file, from 1; those in the log have none. `each` says whether the record is whole; if not,
    /// it may be handed out once more with other pages for its tail.
    pub(crate) fn records(&self, columns: &[Column], each: &mut dyn FnMut(Option<u64>, Record) -> bool) {
        for (number, page) in (1..).zip(self.file.chunks(self.page_size)) {
            self.records_on(page, columns, &mut |record| each(Some(number), record));
        }
        for (_, page) in self.frames() {
            self.records_on(page, columns, &mut |record| each(None, record));
        }
    }

    fn records_on(&self, page: &[u8], columns: &[Column], each: &mut dyn FnMut(Record) -> bool) {
        let marks = page
            .iter()
            .enumerate()
            .skip(1)
            .filter(|(_, byte)| **byte == FARM_MARK);
        for (mark, _) in marks {
            let Some(header) = Header::read(&page[mark - 1..], columns) else {
                continue;
            };
            for view in [View::Newest, View::File] {
                let payload = self.payload(&page[mark - 1..], header.total(), view);
                if payload.is_some_and(|payload| each(header.cut(&payload))) {
                    break;
                }
            }
        }
    }

    /// The pages in the log with their heads, those left over from earlier rounds included.
    fn frames(&self) -> impl Iterator<Item = (&'a [u8], &'a [u8])> + use<'a> {
        let frames = self
            .log
            .get(LOG_HEAD..)
            .unwrap_or_default()
            .chunks(FRAME_HEAD + self.page_size);
        frames.filter_map(|frame| frame.split_at_checked(FRAME_HEAD))
    }

    /// The log is written from its beginning again and again; each round has marks of its own.
    fn is_of_this_round(&self, head: &[u8]) -> bool {
        self.log.get(16..24) == head.get(8..16)
    }

    fn page(&self, number: usize, view: View) -> Option<&'a [u8]> {
        let logged = || self.newest.get(&number).copied();
        let filed = || {
            self.file
                .get(number.checked_sub(1)? * self.page_size..)?
                .get(..self.page_size)
        };
        match view {
            View::Newest => logged().or_else(filed),
            View::File => filed(),
        }
    }

    /// The bytes of a record, of which the page holds the beginning and other pages the rest.
    fn payload(&self, from: &[u8], total: usize, view: View) -> Option<Vec<u8>> {
        // A header that was never one may ask for more than there is.
        if total > self.file.len() + self.log.len() {
            return None;
        }
        let local = local_length(self.page_size, total);
        let mut payload = from.get(..local)?.to_vec();
        let mut next = be_u32(from, local);
        while payload.len() < total {
            let page = self.page(next?, view)?;
            let rest = (total - payload.len()).min(self.page_size - 4);
            payload.extend_from_slice(page.get(4..4 + rest)?);
            next = be_u32(page, 0);
        }
        Some(payload)
    }
}

fn numbered<'a>((head, page): (&'a [u8], &'a [u8])) -> Option<(usize, &'a [u8])> {
    be_u32(head, 0).map(|number| (number, page))
}

/// How much of a record lies in its leaf page.
fn local_length(usable: usize, total: usize) -> usize {
    let most = usable - 35;
    if total <= most {
        return total;
    }
    let least = (usable - 12) * 32 / 255 - 23;
    let fitting = least + (total - least) % (usable - 4);
    if fitting <= most { fitting } else { least }
}

/// The header of a record: its own length, and that of each column.
struct Header {
    length: usize,
    columns: Vec<Part>,
}

/// What a header says of one column.
#[derive(Debug, Clone, Copy)]
enum Part {
    Nothing,
    /// So many bytes of the body.
    Bytes(usize),
    /// A value that takes no room in the body.
    Implied(u8),
}

impl Header {
    fn read(bytes: &[u8], columns: &[Column]) -> Option<Self> {
        let length = usize::from(bytes[0]);
        let mut rest = bytes.get(1..length)?;
        let mut parts = Vec::with_capacity(columns.len());
        for column in columns {
            let (kind, taken) = varint(rest)?;
            parts.push(column.part(kind)?);
            rest = &rest[taken..];
        }
        rest.is_empty().then_some(Self {
            length,
            columns: parts,
        })
    }

    fn total(&self) -> usize {
        self.length + self.columns.iter().map(|part| part.length()).sum::<usize>()
    }

    fn cut(&self, payload: &[u8]) -> Record {
        let mut at = self.length;
        let cut = self.columns.iter().map(|part| {
            let bytes = &payload[at..at + part.length()];
            at += part.length();
            match part {
                Part::Nothing => None,
                Part::Bytes(_) => Some(bytes.to_vec()),
                Part::Implied(value) => Some(vec![*value]),
            }
        });
        cut.collect()
    }
}

impl Part {
    const fn length(self) -> usize {
        match self {
            Self::Bytes(length) => length,
            Self::Nothing | Self::Implied(_) => 0,
        }
    }
}

impl Column {
    /// What a header's number says of this column, if it can say that.
    fn part(self, kind: usize) -> Option<Part> {
        match (self, kind) {
            (Self::MaybeId | Self::MaybeText, 0) => Some(Part::Nothing),
            (Self::Id | Self::MaybeId, 44) => Some(Part::Bytes(16)),
            (Self::Digest, 76) => Some(Part::Bytes(32)),
            (Self::Number, 1..=4) => Some(Part::Bytes(kind)),
            (Self::Number, 5) => Some(Part::Bytes(6)),
            (Self::Number, 6) => Some(Part::Bytes(8)),
            (Self::Number, 8) => Some(Part::Implied(0)),
            (Self::Number, 9) => Some(Part::Implied(1)),
            (Self::Blob, 12..) if kind.is_multiple_of(2) => Some(Part::Bytes((kind - 12) / 2)),
            (Self::Text | Self::MaybeText, 13..) if !kind.is_multiple_of(2) => {
                Some(Part::Bytes((kind - 13) / 2))
            }
            _ => None,
        }
    }
}

fn varint(bytes: &[u8]) -> Option<(usize, usize)> {
    let mut value = 0;
    // Five bytes reach 32 GiB, more than any column can hold.
    for (at, byte) in bytes.iter().take(5).enumerate() {
        value = value << 7 | usize::from(byte & 0x7F);
        if byte & 0x80 == 0 {
            return Some((value, at + 1));
        }
    }
    None
}

fn be_u32(bytes: &[u8], at: usize) -> Option<usize> {
    let bytes = bytes.get(at..)?.first_chunk()?;
    usize::try_from(u32::from_be_bytes(*bytes)).ok()
}
