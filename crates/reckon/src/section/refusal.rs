//! Why measures make no section.

use std::fmt;

use quantity::Length;

/// A corner as it was given: along, and square to that.
pub type Corner = (Length, Length);

/// The straight line from one corner of an outline to the next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Edge {
    /// Which it is: the first goes from the first corner to the second, the last back to the first.
    pub number: usize,
    /// Where it begins.
    pub from: Corner,
    /// Where it ends.
    pub to: Corner,
}

/// Why a section cannot be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SectionError {
    /// A width, a depth or a diameter of nothing or less.
    NoSize,
    /// A drum filled deeper than it is wide.
    DeeperThanDrum,
    /// A catenary so narrow and deep, or so flat, that it cannot be told from a line.
    NoCatenary,
    /// An outline of fewer than three corners.
    FewCorners(
        /// How many there are.
        usize,
    ),
    /// A corner farther away than any hive is long.
    TooFar(
        /// Which it is, counted from 1.
        usize,
    ),
    /// Two corners in the same place, one after the other.
    NoLength(
        /// The edge between them.
        Edge,
    ),
    /// Two edges that cross.
    EdgesCross {
        /// The edges.
        edges: [Edge; 2],
        /// Where they cross.
        at: Corner,
    },
    /// Two edges that touch, though neither follows the other.
    EdgesTouch {
        /// The edges.
        edges: [Edge; 2],
        /// Where they touch.
        at: Corner,
    },
    /// Two edges that lie on each other for some length.
    EdgesOverlap {
        /// The edges.
        edges: [Edge; 2],
    },
    /// A corner that lies above the line of the bars, or on it beside their ends.
    NotBelowBars {
        /// Which it is, counted from 1.
        corner: usize,
        /// Where it is.
        at: Corner,
    },
}

impl fmt::Display for SectionError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::NoSize => f.write_str("every width, depth and diameter must be more than nothing"),
            Self::DeeperThanDrum => f.write_str("a drum cannot be filled deeper than its diameter"),
            Self::NoCatenary => {
                f.write_str("this width and depth are too narrow or too flat for a hanging curve")
            }
            Self::FewCorners(corners) => {
                write!(f, "an outline needs three corners or more; there are {corners}")
            }
            Self::TooFar(corner) => write!(f, "corner {corner} lies more than a kilometre away"),
            Self::NoLength(edge) => write!(
                f,
                "{edge} has no length: no corner is given twice, and the last joins the first by itself"
            ),
            Self::EdgesCross {
                edges: [one, other],
                at,
            } => {
                write!(f, "{one} and {other} cross at {}", Place(at))
            }
            Self::EdgesTouch {
                edges: [one, other],
                at,
            } => {
                write!(f, "{one} and {other} touch at {}", Place(at))
            }
            Self::EdgesOverlap { edges: [one, other] } => write!(f, "{one} and {other} lie on each other"),
            Self::NotBelowBars { corner, at } => write!(
                f,
                "corner {corner} at {} does not lie below the bars, which lie from corner 1 to corner 2",
                Place(at)
            ),
        }
    }
}

impl std::error::Error for SectionError {}

impl fmt::Display for Edge {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "edge {} (from {} to {})",
            self.number,
            Place(self.from),
            Place(self.to)
        )
    }
}

/// A corner in millimetres, to a tenth where that is needed.
struct Place(Corner);

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let tenths = |length: Length| {
            let mm = libm::round(10.0 * length.to_mm()) / 10.0;
            // Adding nothing turns a rounded "-0" into "0".
            mm + 0.0
        };
        let (x, y) = self.0;
        write!(f, "{},{} mm", tenths(x), tenths(y))
    }
}
