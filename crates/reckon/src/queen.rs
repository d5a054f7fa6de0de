//! The calendar of queens: what follows from an event, and within which days.
//!
//! Holds true: every window has `from ≤ usual ≤ to`; they come in the order of their first day; each names
//! the publication it rests on and how it was worked out from it.
//!
//! Does not: know today, weather or a colony; promise anything: bees are early in warmth and late in cold.
//!
//! Science: times of development from the egg, which sources give within a day or two of each other; what
//! was worked out from them says so. Start at [`windows`]; the rows are in `queen/rows.rs`.

mod rows;

use jiff::ToSpan;
use jiff::civil::Date;
use quantity::Source;

/// What happened, and on its day everything else hangs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Event {
    /// A colony was divided and one part raises a queen of its own from eggs and young larvae.
    Split,
    /// Larvae of 12 to 24 hours were grafted.
    Graft,
    /// A queen cell was sealed, on a day that is known.
    CellCapped,
    /// A queen cell was seen sealed, and nobody knows since when.
    CellSeenSealed,
    /// A swarm with the old queen left.
    SwarmGone,
    /// The queen was lost, with open brood of hers left.
    QueenLost,
    /// An egg was laid.
    Egg,
}

impl Event {
    /// All events.
    pub const ALL: [Self; 7] = [
        Self::Split,
        Self::Graft,
        Self::CellCapped,
        Self::CellSeenSealed,
        Self::SwarmGone,
        Self::QueenLost,
        Self::Egg,
    ];

    /// What the event is called.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Split => "split",
            Self::Graft => "graft",
            Self::CellCapped => "queen cell capped",
            Self::CellSeenSealed => "queen cell seen sealed",
            Self::SwarmGone => "swarm gone",
            Self::QueenLost => "queen lost",
            Self::Egg => "egg laid",
        }
    }
}

/// What may be expected, or done, within which days.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    /// What happens, or what is done.
    pub what: &'static str,
    /// The first day told of.
    pub from: Date,
    /// The usual days, where a source tells them apart from the outermost.
    pub usual: Option<(Date, Date)>,
    /// The last day told of.
    pub to: Date,
    /// The publication.
    pub source: &'static Source,
    /// How the days were taken from it.
    pub basis: &'static str,
}

/// One window in days from its event.
struct Row {
    what: &'static str,
    from: i32,
    usual: Option<(i32, i32)>,
    to: i32,
    source: &'static Source,
    basis: &'static str,
}

/// What follows from an event on a day, in the order of the first days.
///
/// # What it gives
/// Days from the first to the last told of, the usual ones within, and the publication. Halves of a day are
/// taken outwards. A window whose days no calendar has (before the year −9999 or after 9999) is left out.
///
/// # Holds for
/// The western honey bee in the warm half of the year; a day or so more or less by warmth and race.
///
/// # Source
/// Each window's own.
///
/// # Checked against
/// The published rows: 3 days as egg and 16, 21 and 24 to emerging for queen, worker and drone; sealed on the
/// 9th; the calendar of grafting (sealed by the 6th day, emerging on the 11th to 12th); a kept diary of a
/// walk-away split.
pub fn windows(event: Event, day: Date) -> Vec<Window> {
    let mut windows: Vec<Window> = rows::of(event).iter().filter_map(|row| row.on(day)).collect();
    windows.sort_by_key(|window| (window.from, window.to));
    windows
}

impl Row {
    fn on(&self, day: Date) -> Option<Window> {
        let after = |days: i32| day.checked_add(days.days()).ok();
        let usual = match self.usual {
            Some((from, to)) => Some((after(from)?, after(to)?)),
            None => None,
        };
        Some(Window {
            what: self.what,
            from: after(self.from)?,
            usual,
            to: after(self.to)?,
            source: self.source,
            basis: self.basis,
        })
    }
}
