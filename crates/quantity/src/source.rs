//! Publications that numbers are taken from.

use jiff::civil::Date;

/// A publication that a number was taken from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Source {
    /// The short id printed beside an answer, such as `wedmore-1955`; it never changes.
    pub id: &'static str,
    /// Who wrote it, or the body that issued it.
    pub author: &'static str,
    /// The year of publication, or `None` where it is not known.
    pub year: Option<i16>,
    /// The title, with "(title from memory)" after it where nobody has seen it.
    pub title: &'static str,
    /// The journal with volume and pages, the publisher, or the number of the standard.
    pub publisher: &'static str,
    /// Whether the text itself was read.
    pub seen: Seen,
}

/// Whether the text of a publication was read, and where.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Seen {
    /// It was read at this address on this day.
    At {
        /// The address of the page that was read.
        address: &'static str,
        /// The day it was read.
        on: Date,
    },
    /// Nobody has read it: what is cited from it is remembered or second-hand, and may not leave the farm as
    /// published.
    NotYet,
}
