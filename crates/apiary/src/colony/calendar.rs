//! Calendars: what follows from a split, a sealed cell, a swarm or a lost queen, and within which days.
//!
//! Holds true: each window names the note it follows from and the publication its days are from; a window whose
//! happening a later note has closed is not told as if it were still to come.
//!
//! Does not: say what the bees will do. The days are what sources tell, outermost days included.
//!
//! The days come from [`reckon::queen`]; what is open, from [`super::diary`]. Start at [`windows`].

use jiff::ToSpan;
use jiff::civil::Date;
use quantity::Source;
use reckon::queen::{self, Event as Started};
use reckon::sources::{COMMON_PRACTICE, QUEEN_DEVELOPMENT};

use super::diary::{Closed, Event, Happening};
use crate::arena::{ColonyId, HiveId};
use crate::holding::Holding;

/// What a window asks of the keeper.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Asks {
    /// Leave the colony alone.
    LeaveAlone,
    /// Be ready for bees that leave.
    Ready,
    /// Do or look for something.
    Look,
    /// Nothing: it is what happens inside.
    Know,
}

impl Asks {
    /// The word a program reads.
    pub const fn word(self) -> &'static str {
        match self {
            Self::LeaveAlone => "leave alone",
            Self::Ready => "be ready",
            Self::Look => "look",
            Self::Know => "know",
        }
    }

    /// What is asked, by the words of the window.
    fn of(what: &str) -> Self {
        if what.starts_with("leave the") {
            Self::LeaveAlone
        } else if what.contains("swarm") || what.contains("cast") {
            Self::Ready
        } else if what.starts_with("look for")
            || what.starts_with("without eggs")
            || what.starts_with("workers may begin to lay")
            || what.starts_with("a queen not mated")
        {
            Self::Look
        } else {
            Self::Know
        }
    }
}

/// Days within which something is to be expected or done.
#[derive(Clone, Debug, PartialEq)]
pub struct Dated {
    /// What.
    pub what: &'static str,
    /// What it asks of the keeper.
    pub asks: Asks,
    /// The first day that sources tell of.
    pub from: Date,
    /// The usual days.
    pub usual: Option<(Date, Date)>,
    /// The last day that sources tell of.
    pub to: Date,
    /// The colony.
    pub colony: ColonyId,
    /// Its name.
    pub name: String,
    /// The hive it lives in.
    pub hive: String,
    /// What it follows from.
    pub after: Happening,
    /// The day of that.
    pub since: Date,
    /// The note that says so.
    pub because: usize,
    /// The note first written, where that one corrects it.
    pub root: usize,
    /// On what it depends, where it is not sure to come.
    pub only_if: Option<&'static str>,
    /// The publication.
    pub source: &'static Source,
    /// How the days were taken from it.
    pub basis: &'static str,
}

impl Dated {
    /// Whether a day lies within.
    pub fn holds(&self, day: Date) -> bool {
        (self.from..=self.to).contains(&day)
    }
}

/// A happening that a later note has closed.
#[derive(Clone, Debug, PartialEq)]
pub struct Ended {
    /// The colony's name.
    pub name: String,
    /// The hive it lives in.
    pub hive: String,
    /// What had happened.
    pub what: Happening,
    /// When.
    pub day: Date,
    /// The note that said so.
    pub entry: usize,
    /// What closed it.
    pub closed: Closed,
}

/// Days of our own, beside those of [`queen`]: from and to, counted from the note.
struct Own {
    what: &'static str,
    from: i32,
    to: i32,
    source: &'static Source,
    basis: &'static str,
}

const CHARGED: &[Own] = &[Own {
    what: "a queen cell may be sealed and a swarm with the old queen leave, if none has left",
    from: 0,
    to: 6,
    source: &QUEEN_DEVELOPMENT,
    basis: "worked out: an egg hatches on day 3 and a queen cell is sealed by day 9; some swarms leave on open cells",
}];

const GIVEN: &[Own] = &[
    Own {
        what: "leave the new queen alone",
        from: 0,
        to: 7,
        source: &COMMON_PRACTICE,
        basis: "a rule of keepers: bees who are disturbed may ball a new queen",
    },
    Own {
        what: "look for eggs of the new queen",
        from: 7,
        to: 14,
        source: &COMMON_PRACTICE,
        basis: "a rule of keepers, for a queen who has mated",
    },
];

/// The day on which an emergency queen usually emerges, counted from the split; for a queen who emerged on a day
/// that is known, the later days of that calendar are counted from then.
const EMERGES_ON: i32 = 12;

/// A queen cell is sealed for eight days at the most, and a day more by cold and race.
const SEALED_AT_MOST: i32 = 9;

/// How long after a swarm the first young queen emerges.
const EMERGES_AFTER_SWARM: i32 = 7;

/// Days that follow from a queen having emerged, among those that follow from a split.
const AFTER_EMERGING: &[&str] = &[
    "leave the colony alone",
    "the new queen flies to mate",
    "the new queen begins to lay",
    "look for eggs",
    "without eggs by now it is taken to have failed",
    "the new queen's first workers emerge",
];

/// What a swarm is followed by, until a cell is seen open.
const FIRST_VIRGIN: &str = "the first virgin emerges and may lead a cast";

const LATE_CHECKS: &[&str] = &["look for eggs", "without eggs by now it is taken to have failed"];

const LAYING_WORKERS: &str = "workers may begin to lay, where no queen is raised";
const UNMATED: &str = "a queen not mated by now is likely to lay drones alone";

const IF_QUEENLESS: &str = "if the queen is in the other part";
const IF_LET_BE: &str = "if the cells are left and a queen comes of them";

fn after(day: Date, days: i32) -> Option<Date> {
    day.checked_add(days.days()).ok()
}

/// The windows of one event, without regard to what came later.
fn of_event(event: &Event) -> Vec<queen::Window> {
    let counted = |started: Started, days: i32, named: &[&str]| -> Vec<queen::Window> {
        let day = after(event.day, days);
        let all = day.map(|day| queen::windows(started, day)).unwrap_or_default();
        all.into_iter()
            .filter(|window| named.contains(&window.what))
            .collect()
    };
    let own = |rows: &'static [Own]| -> Vec<queen::Window> {
        let window = |row: &Own| {
            Some(queen::Window {
                what: row.what,
                from: after(event.day, row.from)?,
                usual: None,
                to: after(event.day, row.to)?,
                source: row.source,
                basis: row.basis,
            })
        };
        rows.iter().filter_map(window).collect()
    };
    match event.what {
        Happening::SplitWithoutQueen | Happening::SplitUnknown => {
            let mut all = queen::windows(Started::Split, event.day);
            all.extend(counted(Started::QueenLost, 0, &[LAYING_WORKERS, UNMATED]));
            all
        }
        Happening::QueenGone => queen::windows(Started::QueenLost, event.day),
        Happening::CellsCharged => own(CHARGED),
        Happening::CellsSealed => queen::windows(Started::CellSeenSealed, event.day),
        Happening::CellsEmerged => counted(Started::Split, -EMERGES_ON, AFTER_EMERGING),
        Happening::SwarmGone => {
            let mut all = queen::windows(Started::SwarmGone, event.day);
            all.extend(counted(
                Started::Split,
                EMERGES_AFTER_SWARM - EMERGES_ON,
                LATE_CHECKS,
            ));
            all.extend(counted(Started::QueenLost, 0, &[LAYING_WORKERS]));
            all
        }
        Happening::QueenGiven => own(GIVEN),
    }
}

/// The longest that anything follows from a note, with the time for which a check that has passed is asked for.
const FOLLOWS_WITHIN: i32 = 150;

/// What follows on a day from the notes about a colony that lives, in the order of the first days; what is so long ago
/// that all of it has passed is left out.
pub fn windows_of(h: &Holding, colony: ColonyId, day: Date) -> Vec<Dated> {
    let at = &h.colonies[colony];
    let Some(pages) = h.diary.colonies.get(&colony).filter(|_| at.lives()) else {
        return Vec::new();
    };
    let mut out = Vec::new();
    let recent = |event: &&Event| (day - event.day).get_days() <= FOLLOWS_WITHIN;
    for event in pages.still_open().filter(recent) {
        // The cells of a split are emergency cells; sealed ones seen beside them date the queen, not a swarm.
        let split = pages.still_open().any(|other| {
            matches!(
                other.what,
                Happening::SplitWithoutQueen
                    | Happening::SplitUnknown
                    | Happening::QueenGone
                    | Happening::SwarmGone
            ) && other.day <= event.day
                && (event.day - other.day).get_days() <= 24
        });
        let queen_out = pages
            .still_open()
            .find(|other| other.what == Happening::CellsEmerged && other.day >= event.day);
        let swarmed = pages
            .still_open()
            .any(|other| other.what == Happening::SwarmGone && other.day >= event.day);
        for mut window in of_event(event) {
            // What was waited for has been seen: its own days tell the rest.
            if event.what == Happening::SwarmGone
                && queen_out.is_some()
                && (FIRST_VIRGIN == window.what || AFTER_EMERGING.contains(&window.what))
            {
                continue;
            }
            // She has left; cells that follow lead casts.
            if event.what == Happening::CellsCharged && swarmed {
                continue;
            }
            if event.what == Happening::CellsEmerged {
                window.from = since_sealed(pages, event, window.from);
            }
            let cells = matches!(event.what, Happening::CellsSealed | Happening::CellsCharged);
            let asks = Asks::of(window.what);
            if cells && split && asks == Asks::Ready {
                continue;
            }
            let only_if = match event.what {
                Happening::SplitUnknown => Some(IF_QUEENLESS),
                Happening::CellsSealed if asks == Asks::Know => Some(IF_LET_BE),
                _ => None,
            };
            out.push(Dated {
                what: window.what,
                asks,
                from: window.from,
                usual: window.usual,
                to: window.to,
                colony,
                name: at.label.to_string(),
                hive: h.hives[at.hive].label.to_string(),
                after: event.what,
                since: event.day,
                because: event.entry,
                root: event.root,
                only_if,
                source: window.source,
                basis: window.basis,
            });
        }
    }
    sort(&mut out);
    out
}

/// A cell that is found open was left at any time since it was last seen sealed, and what follows begins as early.
fn since_sealed(pages: &super::diary::Pages, event: &Event, from: Date) -> Date {
    let sealed = pages
        .events
        .iter()
        .filter(|other| other.what == Happening::CellsSealed && other.day < event.day)
        .map(|other| (event.day - other.day).get_days())
        .filter(|days| *days <= SEALED_AT_MOST)
        .min();
    sealed.and_then(|days| after(from, -days)).unwrap_or(from)
}

fn sort(windows: &mut [Dated]) {
    windows.sort_by(|a, b| {
        (a.from, a.to, &a.hive, &a.name, a.because).cmp(&(b.from, b.to, &b.hive, &b.name, b.because))
    });
}

/// What follows on a day from the notes about all colonies that live, in the order of the first days.
pub fn windows(h: &Holding, day: Date) -> Vec<Dated> {
    let mut all: Vec<Dated> = h
        .diary
        .colonies
        .keys()
        .flat_map(|colony| windows_of(h, *colony, day))
        .collect();
    sort(&mut all);
    all
}

/// What follows on a day from the notes about the colonies of one hive.
pub fn windows_in(h: &Holding, hive: HiveId, day: Date) -> Vec<Dated> {
    let mut all: Vec<Dated> = h
        .living_in(hive)
        .flat_map(|colony| windows_of(h, colony, day))
        .collect();
    sort(&mut all);
    all
}

/// Happenings that a note has closed since a day, the newest first.
pub fn ended_since(h: &Holding, since: Date) -> Vec<Ended> {
    let mut out = Vec::new();
    for (id, pages) in &h.diary.colonies {
        let colony = &h.colonies[*id];
        let closed = pages
            .events
            .iter()
            .filter_map(|event| Some((event, event.closed.filter(|closed| closed.day >= since)?)));
        out.extend(closed.map(|(event, closed)| Ended {
            name: colony.label.to_string(),
            hive: h.hives[colony.hive].label.to_string(),
            what: event.what,
            day: event.day,
            entry: event.entry,
            closed,
        }));
    }
    out.sort_by(|a, b| {
        b.closed
            .day
            .cmp(&a.closed.day)
            .then_with(|| b.entry.cmp(&a.entry))
    });
    out
}
