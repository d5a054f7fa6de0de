//! A page and what it is made of.

use crate::drawing::Drawing;
use crate::form::Form;
use crate::table::Table;
use crate::words::Words;

/// What a reader is told at one address.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Page {
    /// Its heading.
    pub title: String,
    /// What it is made of.
    pub blocks: Vec<Block>,
}

/// A part of a page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Block {
    /// A part with a heading of its own; the level of the heading follows from how deep it lies.
    Section(Section),
    /// A paragraph.
    Text(Words),
    /// Things one below the other.
    List(Vec<Words>),
    /// Names and what belongs to each.
    Facts(Vec<(String, Words)>),
    /// A table.
    Table(Table),
    /// Something to fill in.
    Form(Box<Form>),
    /// A drawing.
    Drawing(Drawing),
    /// Drawings side by side, as many in a row as there is room for.
    Gallery(Vec<Drawing>),
    /// Something that stands out.
    Notice(Notice),
    /// What is shown only when asked for.
    Folded {
        /// What lies below, in a few words.
        summary: String,
        /// What lies below.
        blocks: Vec<Block>,
    },
}

/// A part of a page with a heading.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Section {
    /// The heading.
    pub heading: String,
    /// What it is made of.
    pub blocks: Vec<Block>,
    /// Whether it is to be done: on paper it has a box to tick and a line to write on.
    pub is_chore: bool,
}

/// Something that stands out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Notice {
    /// What sort of thing it is.
    pub tone: Tone,
    /// What it says.
    pub says: Words,
    /// More about it, a line each.
    pub more: Vec<Words>,
}

/// What sort of notice.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tone {
    /// Something odd in the books.
    Odd,
    /// Something was refused; nothing was written.
    Refused,
    /// Something was written.
    Written,
    /// A danger to people or bees.
    Care,
    /// Neither good nor bad.
    Plain,
}

impl Tone {
    /// The word that a notice begins with, so that its sort is never told by colour alone.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Odd => "Odd",
            Self::Refused => "Refused",
            Self::Written => "Written",
            Self::Care => "Care",
            Self::Plain => "Note",
        }
    }
}

impl Page {
    /// A page with a heading and nothing else.
    pub fn new(title: impl Into<String>) -> Self {
        Self {
            title: title.into(),
            blocks: Vec::new(),
        }
    }

    /// With these parts behind.
    #[must_use]
    pub fn with(mut self, blocks: impl IntoIterator<Item = Block>) -> Self {
        self.blocks.extend(blocks);
        self
    }
}

impl Block {
    /// A part with a heading.
    pub fn section(heading: impl Into<String>, blocks: impl IntoIterator<Item = Self>) -> Self {
        Self::Section(Section {
            heading: heading.into(),
            blocks: blocks.into_iter().collect(),
            is_chore: false,
        })
    }

    /// A part that is to be done.
    pub fn chore(heading: impl Into<String>, blocks: impl IntoIterator<Item = Self>) -> Self {
        Self::Section(Section {
            heading: heading.into(),
            blocks: blocks.into_iter().collect(),
            is_chore: true,
        })
    }

    /// A paragraph.
    pub fn text(words: impl Into<Words>) -> Self {
        Self::Text(words.into())
    }

    /// A notice of one sentence.
    pub fn notice(tone: Tone, says: impl Into<Words>) -> Self {
        Self::Notice(Notice {
            tone,
            says: says.into(),
            more: Vec::new(),
        })
    }

    /// A danger to people or bees.
    pub fn care(says: impl Into<Words>) -> Self {
        Self::notice(Tone::Care, says)
    }
}
