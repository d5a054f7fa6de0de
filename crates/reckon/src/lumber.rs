//! Sawn boards as they are sold, and what is ripped from them.
//!
//! Holds true: every length is exact, in whole steps of [`Length`]; nothing here is rounded but the width of
//! [`strips`], which is rounded up to the step.
//!
//! Does not: lay out whole cutting lists; know prices, knots, or how much a board shrinks.
//!
//! Science: the American softwood standard's table of minimum sizes, and division. Start at [`ripped`].

use quantity::{Doubt, Length, Sourced};

use crate::sources::SOFTWOOD_SIZES;

/// How wet a board was when it was dressed to its size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Seasoning {
    /// With at most 19 % of moisture.
    Dry,
    /// With more.
    Green,
}

/// A size by its name in the trade, and the least that it may measure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Dressed {
    /// What it is called.
    pub nominal: Length,
    /// The least it may measure dressed when dry.
    pub dry: Length,
    /// The least it may measure dressed when green.
    pub green: Length,
}

/// A size in 64ths of an inch.
const fn size(nominal: i64, dry: i64, green: i64) -> Dressed {
    Dressed {
        nominal: Length::inch_64ths(nominal),
        dry: Length::inch_64ths(dry),
        green: Length::inch_64ths(green),
    }
}

const THICKNESSES: &[Dressed] = &[
    size(24, 20, 22),
    size(32, 28, 30),
    size(40, 36, 38),
    size(48, 40, 44),
    size(64, 48, 50),
    size(80, 64, 66),
    size(96, 80, 82),
    size(128, 96, 100),
    size(160, 128, 132),
    size(192, 160, 164),
    size(224, 192, 196),
    size(256, 224, 228),
    size(288, 256, 260),
];

const WIDTHS: &[Dressed] = &[
    size(128, 96, 100),
    size(160, 128, 132),
    size(192, 160, 164),
    size(224, 192, 196),
    size(256, 224, 228),
    size(288, 256, 260),
    size(320, 288, 296),
    size(384, 352, 360),
    size(448, 416, 424),
    size(512, 464, 480),
    size(576, 528, 544),
    size(640, 592, 608),
    size(704, 656, 672),
    size(768, 720, 736),
    size(896, 848, 864),
    size(1_024, 976, 992),
];

/// The thicknesses of boards and of dimension lumber, from 3/8 to 4 1/2 inches.
pub static DRESSED_THICKNESSES: Sourced<&[Dressed]> = Sourced {
    value: THICKNESSES,
    doubt: Doubt::Exact,
    locator: "boards and dimension, thickness",
    holds_for: "softwood of the American standard, the least it may measure",
    source: &SOFTWOOD_SIZES,
};

/// The widths of boards and of dimension lumber, from 2 to 16 inches; the widths of 2 1/2, 3 1/2 and 4 1/2 inches
/// are those of dimension lumber alone, those of 7, 9 and 11 inches of boards.
pub static DRESSED_WIDTHS: Sourced<&[Dressed]> = Sourced {
    value: WIDTHS,
    doubt: Doubt::Exact,
    locator: "boards and dimension, face widths",
    holds_for: "softwood of the American standard, the least it may measure",
    source: &SOFTWOOD_SIZES,
};

/// The least thickness of a board of a nominal thickness; `None` for one that the standard does not name.
///
/// # What it gives
/// What a board called 1 inch measures when it is sold: 3/4 inch.
///
/// # Equation
/// The table [`DRESSED_THICKNESSES`].
///
/// # Holds for
/// Softwood of the American standard, 3/8 to 4 1/2 inches.
///
/// # Source
/// The table of PS 20, read in a reprint.
///
/// # Checked against
/// Every printed row.
pub fn dressed_thickness(nominal: Length, seasoning: Seasoning) -> Option<Length> {
    dressed(THICKNESSES, nominal, seasoning)
}

/// The least width of a board of a nominal width, as [`dressed_thickness`] gives its thickness: 7 1/4 inches for a
/// board called 8 inches wide.
pub fn dressed_width(nominal: Length, seasoning: Seasoning) -> Option<Length> {
    dressed(WIDTHS, nominal, seasoning)
}

fn dressed(sizes: &[Dressed], nominal: Length, seasoning: Seasoning) -> Option<Length> {
    let found = sizes.iter().find(|size| size.nominal == nominal)?;
    Some(match seasoning {
        Seasoning::Dry => found.dry,
        Seasoning::Green => found.green,
    })
}

/// Pieces side by side from one board.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ripped {
    /// How many there are.
    pub pieces: u32,
    /// What of the board's width is left beyond the last piece; the saw takes its kerf from it.
    pub left: Length,
}

/// The pieces of one width that are ripped from a board.
///
/// # What it gives
/// How many, and what is left of the board.
///
/// # Equation
/// n = ⌊(W + k) / (w + k)⌋, W the board's width, w that of a piece, k the kerf, which lies between pieces and not
/// at the board's edges; left is W − n · w − (n − 1) · k.
///
/// # Holds for
/// Pieces of some width and a kerf of nothing or more, else `None`; a board whose edges need no trimming.
///
/// # Source
/// Division.
///
/// # Checked against
/// Twenty boards, bars and kerfs worked by hand: five bars of 1 3/8 inches with a kerf of 3/32 are exactly a board
/// of 7 1/4 inches.
pub fn ripped(board: Length, piece: Length, kerf: Length) -> Option<Ripped> {
    if piece <= Length::ZERO || kerf < Length::ZERO || board < Length::ZERO {
        return None;
    }
    let pitch = piece.checked_add(kerf)?;
    let n_pieces = board.checked_add(kerf)?.steps() / pitch.steps();
    let used = pitch.checked_mul(n_pieces)?.checked_sub(kerf)?.max(Length::ZERO);
    Some(Ripped {
        pieces: u32::try_from(n_pieces).ok()?,
        left: board - used,
    })
}

/// Strips of one width that stand for a part wider than any board.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Strips {
    /// How many there are.
    pub count: u32,
    /// The width of each, what its joints take included.
    pub width: Length,
}

/// The fewest strips of equal width, none wider than a board, that are glued or butted into a part.
///
/// # What it gives
/// How many, and how wide each is ripped.
///
/// # Equation
/// n = ⌈(W − j) / (B − j)⌉, W the part's width, B the board's, j what each joint takes; the strips are
/// (W + (n − 1) · j) / n wide, rounded up to the step.
///
/// # Holds for
/// A part and a board of some width, and joints that take less than a board, else `None`.
///
/// # Source
/// Division.
///
/// # Checked against
/// A floor of 240 mm of boards of 100 mm: three strips of 80 mm, or of 84 mm where each joint takes 6 mm.
pub fn strips(width: Length, board: Length, joint: Length) -> Option<Strips> {
    if width <= Length::ZERO || joint < Length::ZERO || board <= joint {
        return None;
    }
    let beyond_first = width.checked_sub(board)?.max(Length::ZERO).steps();
    let more = rounded_up(beyond_first, board.checked_sub(joint)?.steps());
    let count = more.checked_add(1)?;
    let with_joints = joint.checked_mul(more)?.checked_add(width)?;
    Some(Strips {
        count: u32::try_from(count).ok()?,
        width: Length::from_steps(rounded_up(with_joints.steps(), count)),
    })
}

/// A quotient of numbers above or at nothing, rounded up.
fn rounded_up(steps: i64, by: i64) -> i64 {
    steps / by + i64::from(steps % by > 0)
}
