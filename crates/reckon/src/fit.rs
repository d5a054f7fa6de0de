//! Whether the combs, bars and follower boards of one hive hang in another.
//!
//! Holds true: a hive's own combs hang in it, with nothing to cut away; what is left of a comb when it was cut
//! hangs in one piece from its bar.
//!
//! Does not: turn a bar end for end, which matters where a section is not the same on both sides; know how a comb
//! was built that its bees left short of the walls.
//!
//! Bars lie with their middle over the middle of the hive and combs hang from the height of their undersides.
//! Start at [`comb_in`].

mod farthest;

use quantity::{Fraction, Length};

use crate::carpentry::LEAST_REST;
use crate::planar::{self, Outline};
use crate::section::Section;

use farthest::Walls;

/// A hive that bars come from or go to.
#[derive(Debug, Clone, Copy)]
pub struct Hive<'a> {
    /// The section inside, below the bars.
    pub section: &'a Section,
    /// How long its bars are, across the hive.
    pub bar_length: Length,
    /// How wide its bars are, along the hive.
    pub bar_width: Length,
    /// What its bees leave between comb and wall.
    pub bee_space: Length,
    /// The longest bar that goes under its roof or between its rims; `None` where nothing is in the way.
    pub longest_bar: Option<Length>,
}

/// How a bar lies on the walls.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rest {
    /// On both walls.
    OnBoth {
        /// What lies beyond the inside of each wall.
        at_each: Length,
    },
    /// It does not rest on both walls.
    TooShort {
        /// How much longer it would have to be.
        by: Length,
    },
    /// It is longer than there is room for.
    TooLong {
        /// How much shorter it would have to be.
        by: Length,
    },
}

/// How a bar with its full comb hangs in another hive.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CombFit {
    /// How the bar lies on the walls.
    pub rest: Rest,
    /// By how much the bar is wider than those it comes to, along the hive; below nothing where it is narrower.
    pub bar_wider_by: Length,
    /// How the comb below it hangs.
    pub comb: Overlap,
}

/// How something that hangs from a bar lies to the walls.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Overlap {
    /// The share of its area that has to be cut away.
    pub cut_away: Fraction,
    /// By how much it comes nearer to a wall than it may, where that is worst; what reaches into a wall counts on.
    pub too_near: Length,
}

/// How a follower board hangs in another hive.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FollowerFit {
    /// How the board lies to the walls.
    pub board: Overlap,
    /// The widest gap between its edge and the walls.
    pub widest_gap: Length,
}

/// How a bar with its full comb from one hive hangs in another; `None` where the first has no room for comb.
///
/// # What it gives
/// Whether the bar rests, what of the comb has to be cut away to leave the other hive's bee space, and by how much
/// it comes too near to a wall.
///
/// # Equation
/// On each wall rests (L − w) / 2, L the length of the bar, w the width at the bars. Cut away is
/// 1 − |A ∩ B| / |A|, A the full comb of the one hive, B that of the other, and of A ∩ B only what hangs from the
/// bar; too near is the most of b − d over the comb, b the bee space, d the distance from the nearest wall, below
/// nothing beyond it.
///
/// # Holds for
/// Every two sections that could be made, to half a per cent or a hundredth of a millimetre.
///
/// # Source
/// Geometry; a rest of 10 mm on each wall is *common practice, no source*.
///
/// # Checked against
/// Closed forms of boxes and drums; random pairs against level strips and places all over the comb.
pub fn comb_in(from: Hive<'_>, into: Hive<'_>) -> Option<CombFit> {
    let comb = from.section.fine_combs(from.bee_space);
    Some(CombFit {
        rest: rest(from.bar_length, into),
        bar_wider_by: from.bar_width - into.bar_width,
        comb: overlap(&comb, into.section, into.bee_space)?,
    })
}

/// How a follower board made for one section, so much smaller than it at walls and floor, hangs in another, where it
/// is to be left the same gap; `None` where the gap leaves no board.
///
/// # What it gives
/// As [`comb_in`] for a comb, and the widest gap, for bees pass round a board through more than
/// [`crate::carpentry::WIDEST_FOLLOWER_GAP`].
///
/// # Equation
/// That of [`comb_in`]; the widest gap is the most of d along the edge of the board but for the bar.
///
/// # Holds for
/// As [`comb_in`].
///
/// # Source
/// Geometry.
///
/// # Checked against
/// Closed forms of boxes.
pub fn follower_in(from: &Section, clearance: Length, into: &Section) -> Option<FollowerFit> {
    let board = from.fine_combs(clearance);
    let overlap = overlap(&board, into, clearance)?;
    let walls = Walls::of(&into.fine_combs(Length::ZERO));
    let edges: Vec<_> = board.iter().flat_map(|piece| planar::walls(piece)).collect();
    Some(FollowerFit {
        board: overlap,
        widest_gap: length(walls.farthest_inside(&edges)),
    })
}

/// How a bar of a length lies on the walls of a hive.
pub fn rest(bar: Length, into: Hive<'_>) -> Rest {
    let inside = into.section.width_at_bars(Length::ZERO);
    let needed = inside + LEAST_REST.value + LEAST_REST.value;
    if bar < needed {
        return Rest::TooShort { by: needed - bar };
    }
    match into.longest_bar {
        Some(longest) if bar > longest => Rest::TooLong { by: bar - longest },
        _ => Rest::OnBoth {
            at_each: Length::from_steps((bar - inside).steps() / 2),
        },
    }
}

fn overlap(hung: &[Outline], into: &Section, apart: Length) -> Option<Overlap> {
    let whole: f64 = hung.iter().map(|piece| planar::doubled_area(piece) / 2.0).sum();
    if whole <= 0.0 {
        return None;
    }
    let fits = planar::in_both(hung, &into.room(apart));
    let kept: f64 = fits
        .iter()
        .filter(|piece| planar::hanging(&piece[0]).is_some())
        .map(|piece| planar::area(std::slice::from_ref(piece)))
        .sum();
    let walls = Walls::of(&into.fine_combs(Length::ZERO));
    let too_near = apart.max(Length::ZERO).to_mm() - walls.least_distance(hung);
    Some(Overlap {
        cut_away: Fraction::new(told((1.0 - kept / whole).clamp(0.0, 1.0), 1e-6))?,
        too_near: length(told(too_near.max(0.0), 0.005)),
    })
}

/// A number, or nothing where it is no more than the straight pieces of a curve leave.
fn told(number: f64, least: f64) -> f64 {
    if number < least { 0.0 } else { number }
}

fn length(mm: f64) -> Length {
    Length::from_mm_f64(mm).expect("BUG: no farther than the sections are large")
}
