//! Pages for a browser.
//!
//! A page is one HTML document with a stylesheet and a small script beside it ([`ASSETS`]). It holds nothing
//! inline: no script, no style attribute, no handler, so that a strict content policy can be set. Everything
//! can be read and sent without the script.
//!
//! Holds true: whatever a page says reaches the reader as text; a link leads to these pages or to an encrypted
//! page elsewhere, and anything else that was given as an address is printed as plain words; there is one
//! heading of the first level, and no level is skipped; every field has a label.
//!
//! Does not know what a page is about. Start at [`page()`], then [`Frame`].

mod blocks;
mod form;
mod frame;
mod ids;
mod table;
mod words;

use maud::{DOCTYPE, Markup, html};

use crate::block::{Notice, Page};
use crate::form::Form;
use crate::words::Words;

pub use ids::slug;

/// What stands around a page.
#[derive(Clone, Debug)]
pub struct Frame<'a> {
    /// The path of this page, with its question.
    pub here: &'a str,
    /// The pages that can be gone to from everywhere.
    pub nav: &'a [NavItem],
    /// What proves that a form came from these pages.
    pub token: &'a str,
    /// The day shown, and the days beside it.
    pub days: Option<Days>,
    /// Where a note can be typed, at the foot of the page.
    pub line_box: Option<Form>,
    /// The name of the farm, or of its books.
    pub books: &'a str,
    /// What the page was made from.
    pub foot: Words,
    /// What is told before anything else: what was just written or refused.
    pub notices: Vec<Notice>,
}

/// A page that can be gone to from everywhere.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NavItem {
    /// Its name.
    pub text: &'static str,
    /// Where it is.
    pub to: String,
    /// It is the one shown, or the one shown belongs to it.
    pub current: bool,
}

/// The day that a page is about, and the way to others.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Days {
    /// The day shown, `2026-07-19`.
    pub day: String,
    /// Nothing is left out: the books are shown as they stand now.
    pub is_now: bool,
    /// Where the day before is.
    pub before: String,
    /// Where the day after is.
    pub after: Option<String>,
    /// Where the books are shown as they stand now.
    pub now: Option<String>,
    /// Where the form that asks for a day is sent; its field is `on`.
    pub action: String,
}

/// A file that belongs to every page, to be served at `/asset/` and its name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Asset {
    /// Its name.
    pub name: &'static str,
    /// Its content type.
    pub kind: &'static str,
    /// What is in it.
    pub bytes: &'static [u8],
}

/// The stylesheet, in the order in which its parts rest on each other: paper comes last and has the last word.
const STYLE: &str = concat!(
    include_str!("../../assets/style/text.css"),
    include_str!("../../assets/style/tables.css"),
    include_str!("../../assets/style/forms.css"),
    include_str!("../../assets/style/drawings.css"),
    include_str!("../../assets/style/paper.css"),
);

/// The files that belong to every page.
pub const ASSETS: &[Asset] = &[
    Asset {
        name: "style.css",
        kind: "text/css; charset=utf-8",
        bytes: STYLE.as_bytes(),
    },
    Asset {
        name: "page.js",
        kind: "text/javascript; charset=utf-8",
        bytes: include_bytes!("../../assets/page.js"),
    },
    Asset {
        name: "mark.svg",
        kind: "image/svg+xml",
        bytes: include_bytes!("../../assets/mark.svg"),
    },
];

/// The whole document.
pub fn page(page: &Page, frame: &Frame<'_>) -> String {
    let mut leaf = Leaf {
        ids: ids::Ids::new(&["main"]),
        token: frame.token,
    };
    let header = frame::header(frame, &mut leaf);
    let main = html! {
        main id="main" tabindex="-1" {
            h1 { (page.title) }
            @for notice in &frame.notices { (blocks::announcement(notice)) }
            (blocks::blocks(&page.blocks, 2, &mut leaf))
        }
    };
    let footer = frame::footer(frame, &mut leaf);
    document(&page.title, frame.books, &html! { (header) (main) (footer) }).into_string()
}

fn document(title: &str, books: &str, body: &Markup) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (title) " · " (books) }
                meta name="color-scheme" content="light dark";
                link rel="icon" href="/asset/mark.svg" type="image/svg+xml";
                link rel="stylesheet" href="/asset/style.css";
                script type="module" src="/asset/page.js" {}
            }
            body {
                a.skip href="#main" { "To the page itself" }
                (body)
            }
        }
    }
}

/// What is known while one document is being written.
struct Leaf<'a> {
    /// The ids given so far.
    ids: ids::Ids,
    /// What proves that a form came from these pages.
    token: &'a str,
}
