//! The setter: typst with fonts built in, two files of ours, and nothing else within its reach.

use std::sync::LazyLock;

use jiff::civil::Date;
use serde_json::Value;
use typst::diag::{FileError, FileResult, SourceDiagnostic};
use typst::foundations::{Bytes, Datetime, Duration, Smart};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt as _, World, comemo};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, Timestamp};

use crate::{Around, Printed, Unset, letters};

const COMMON: &str = include_str!("templates/common.typ");

static FONTS: LazyLock<Vec<Font>> = LazyLock::new(|| {
    [
        dejavu::sans_condensed::regular(),
        dejavu::sans_condensed::bold(),
        dejavu::sans_mono::regular(),
    ]
    .into_iter()
    .flat_map(|font| Font::iter(Bytes::new(font)))
    .collect()
});
static BOOK: LazyLock<LazyHash<FontBook>> =
    LazyLock::new(|| LazyHash::new(FontBook::from_fonts(FONTS.iter())));
static LIBRARY: LazyLock<LazyHash<Library>> = LazyLock::new(|| LazyHash::new(Library::default()));

static MAIN: LazyLock<FileId> = LazyLock::new(|| id("main.typ"));
static SHARED: LazyLock<FileId> = LazyLock::new(|| id("common.typ"));
static DATA: LazyLock<FileId> = LazyLock::new(|| id("data.json"));

fn id(name: &str) -> FileId {
    let path = VirtualPath::new(name).expect("BUG: a name of our own");
    RootedPath::new(VirtualRoot::Project, path).intern()
}

/// Whether one of the fonts has a letter.
pub(crate) fn has(letter: char) -> bool {
    FONTS
        .iter()
        .any(|font| font.info().coverage.contains(u32::from(letter)))
}

struct Desk {
    main: Source,
    common: Source,
    data: Bytes,
}

impl World for Desk {
    fn library(&self) -> &LazyHash<Library> {
        &LIBRARY
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &BOOK
    }

    fn main(&self) -> FileId {
        *MAIN
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        [&self.main, &self.common]
            .into_iter()
            .find(|source| source.id() == id)
            .cloned()
            .ok_or_else(|| no_file(id))
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        if id == *DATA {
            Ok(self.data.clone())
        } else {
            Err(no_file(id))
        }
    }

    fn font(&self, index: usize) -> Option<Font> {
        FONTS.get(index).cloned()
    }

    fn today(&self, _offset: Option<Duration>) -> Option<Datetime> {
        None
    }
}

fn no_file(id: FileId) -> FileError {
    FileError::NotFound(id.get().vpath().get_with_slash().into())
}

/// What was set, and its pages as they lie on paper.
pub(crate) struct Laid {
    pub(crate) printed: Printed,
    pub(crate) document: PagedDocument,
}

/// Sets data by a template. All text in the data has to be clean.
pub(crate) fn set(template: &str, mut data: Value, around: &Around<'_>) -> Result<Laid, Unset> {
    data["paper"] = around.paper.name_of_setter().into();
    data["width"] = around.paper.mm().0.into();
    data["farm"] = letters::clean(around.farm).into();
    let lacking = letters::lacking(&data);
    let bytes = serde_json::to_vec(&data).map_err(|error| Unset(error.to_string()))?;
    let desk = Desk {
        main: Source::new(*MAIN, template.to_owned()),
        common: Source::new(*SHARED, COMMON.to_owned()),
        data: Bytes::new(bytes),
    };
    let document = typst::compile::<PagedDocument>(&desk)
        .output
        .map_err(|errors| unset(&errors));
    let pdf = document.and_then(|document| {
        let options = PdfOptions {
            creator: Smart::Custom(Some("Combwright".into())),
            timestamp: date(around.day).map(Timestamp::new_utc),
            ..PdfOptions::default()
        };
        let pdf = typst_pdf::pdf(&document, &options).map_err(|errors| unset(&errors))?;
        Ok((document, pdf))
    });
    // What was remembered of other pages is let go, so that a server that prints often does not grow.
    comemo::evict(0);
    let (document, pdf) = pdf?;
    Ok(Laid {
        printed: Printed {
            pdf,
            sheets: document.pages().len(),
            lacking,
        },
        document,
    })
}

fn date(day: Date) -> Option<Datetime> {
    let (month, day_of_month) = (day.month().unsigned_abs(), day.day().unsigned_abs());
    Datetime::from_ymd_hms(i32::from(day.year()), month, day_of_month, 0, 0, 0)
}

fn unset(errors: &[SourceDiagnostic]) -> Unset {
    let says: Vec<String> = errors.iter().map(|error| error.message.to_string()).collect();
    Unset(says.join("; "))
}
