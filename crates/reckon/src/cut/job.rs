//! What is to be made, of what, and with which saw.

use std::fmt;

use quantity::Length;

/// More pieces than this are refused: no yard saws them in one go, and a slip of the pen does.
const MOST_PIECES: u64 = 100_000;
/// No board is longer or wider.
const LONGEST: Length = Length::mm(100_000);
/// No board costs more, in the smallest coin.
const DEAREST: u64 = 1 << 36;

/// Parts of one size.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part {
    /// What they are called.
    pub name: String,
    /// Along the grain.
    pub length: Length,
    /// Across the grain; `None` where only lengths are cut (bars, battens).
    pub width: Option<Length>,
    /// How many are needed.
    pub count: u32,
}

/// Boards of one kind, as they are bought or lie in the shed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Board {
    /// What they are called.
    pub name: String,
    /// Along the grain.
    pub length: Length,
    /// Across the grain; `None` where only lengths are cut.
    pub width: Option<Length>,
    /// What one costs, in the smallest coin; `None` costs nothing.
    pub price: Option<u64>,
    /// How many there are; `None` for as many as needed.
    pub count: Option<u32>,
    /// Stretches along the length, from and to, that no part may lie on. What follows one begins no nearer than
    /// the kerf to where the wood before it ends.
    pub bad: Vec<(Length, Length)>,
}

/// Which cuts come first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Order {
    /// Strips over the full length, then crosscut.
    RipFirst,
    /// Lengths over the full width, then ripped.
    CrosscutFirst,
}

/// A cutting list: parts, boards and the saw. All parts and boards have widths, or none has.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Job {
    /// What is to be made.
    pub parts: Vec<Part>,
    /// What it may be made of.
    pub boards: Vec<Board>,
    /// What the saw takes between two pieces.
    pub kerf: Length,
    /// What is trimmed off all four sides of every board; off both ends where there are no widths.
    pub edge: Length,
    /// Which cuts come first.
    pub order: Order,
}

/// Why there is no plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum CutError {
    /// There is nothing to make, or nothing to make it of.
    Empty {
        /// Whether it is the parts that are missing.
        parts: bool,
    },
    /// Some parts and boards have widths and some have none.
    MixedDirections {
        /// The first part or board that differs from the first part.
        name: String,
    },
    /// A measure, count or price that no part or board has.
    Measure {
        /// The part or board; `None` for the kerf and the edge.
        name: Option<String>,
        /// What is wrong.
        says: &'static str,
    },
    /// More pieces than are planned in one go.
    TooManyPieces,
    /// Parts that are larger than every board, bad places and edges taken off.
    TooLarge {
        /// Their names.
        parts: Vec<String>,
    },
    /// More parts than the boards can give.
    TooFewBoards {
        /// The parts that the best attempt lacks, and how many of each.
        lacking: Vec<(String, u32)>,
        /// Whether it is proven that no plan makes them all; otherwise none was found.
        proven: bool,
    },
}

impl Job {
    /// Whether widths count.
    pub fn has_widths(&self) -> bool {
        self.parts.iter().any(|part| part.width.is_some())
    }

    /// Fails on what no search need begin with.
    pub(super) fn sound(&self) -> Result<(), CutError> {
        if self.parts.iter().all(|part| part.count == 0) {
            return Err(CutError::Empty { parts: true });
        }
        if self.boards.iter().all(|board| board.count == Some(0)) {
            return Err(CutError::Empty { parts: false });
        }
        if self.kerf < Length::ZERO || self.edge < Length::ZERO {
            let says = "the kerf and the edge are nothing or more";
            return Err(CutError::Measure { name: None, says });
        }
        if self.kerf > LONGEST || self.edge > LONGEST {
            let says = "the kerf and the edge are at most 100 m";
            return Err(CutError::Measure { name: None, says });
        }
        self.same_directions()?;
        let parts = self
            .parts
            .iter()
            .map(|part| (&part.name, part.length, part.width));
        let boards = self
            .boards
            .iter()
            .map(|board| (&board.name, board.length, board.width));
        for (name, length, width) in parts.chain(boards) {
            let mut sides = [Some(length), width].into_iter().flatten();
            if sides.any(|side| side <= Length::ZERO || side > LONGEST) {
                let says = "a length or width is more than nothing and at most 100 m";
                return Err(measure(name, says));
            }
        }
        for board in &self.boards {
            board.sound()?;
        }
        let pieces: u64 = self.parts.iter().map(|part| u64::from(part.count)).sum();
        if pieces > MOST_PIECES {
            return Err(CutError::TooManyPieces);
        }
        Ok(())
    }

    fn same_directions(&self) -> Result<(), CutError> {
        let parts = self.parts.iter().map(|part| (&part.name, part.width));
        let boards = self.boards.iter().map(|board| (&board.name, board.width));
        let has_widths = self.parts[0].width.is_some();
        match parts
            .chain(boards)
            .find(|(_, width)| width.is_some() != has_widths)
        {
            Some((name, _)) => Err(CutError::MixedDirections { name: name.clone() }),
            None => Ok(()),
        }
    }
}

impl Board {
    fn sound(&self) -> Result<(), CutError> {
        if self.price.is_some_and(|price| price > DEAREST) {
            return Err(measure(&self.name, "the price is too large"));
        }
        let is_within =
            |&(from, to): &(Length, Length)| Length::ZERO <= from && from < to && to <= self.length;
        if !self.bad.iter().all(is_within) {
            let says = "a bad place begins before it ends, within the board's length";
            return Err(measure(&self.name, says));
        }
        Ok(())
    }
}

fn measure(name: &str, says: &'static str) -> CutError {
    CutError::Measure {
        name: Some(name.to_owned()),
        says,
    }
}

impl fmt::Display for CutError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty { parts: true } => f.write_str("there are no parts to make"),
            Self::Empty { parts: false } => f.write_str("there are no boards to saw"),
            Self::MixedDirections { name } => {
                write!(
                    f,
                    "either all parts and boards have a width or none has: see {name}"
                )
            }
            Self::Measure {
                name: Some(name),
                says,
            } => write!(f, "{name}: {says}"),
            Self::Measure { name: None, says } => f.write_str(says),
            Self::TooManyPieces => write!(f, "more than {MOST_PIECES} pieces are not planned in one go"),
            Self::TooLarge { parts } => {
                write!(
                    f,
                    "larger than every board, edges and bad places taken off: {}",
                    parts.join(", ")
                )
            }
            Self::TooFewBoards { lacking, proven } => {
                let lacking: Vec<String> = lacking
                    .iter()
                    .map(|(name, count)| format!("{count} of {name}"))
                    .collect();
                let says = if *proven {
                    "there are too few boards for all parts"
                } else {
                    "no plan was found that makes all parts of so few boards"
                };
                write!(f, "{says}; at best these are lacking: {}", lacking.join(", "))
            }
        }
    }
}

impl std::error::Error for CutError {}
