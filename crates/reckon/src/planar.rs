//! Outlines laid over one another, and how far a place is from their edges; every length in one unit.

use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;

pub(crate) type Point = (f64, f64);

/// Corners in order; the last joins the first.
pub(crate) type Outline = Vec<Point>;

pub(crate) type Edge = (Point, Point);

/// One piece: its outline, and those of its holes the other way round.
pub(crate) type Piece = Vec<Outline>;

/// What is within so much of the bar line lies on it: far less than a step of length.
pub(crate) const AT_BARS: f64 = 1e-6;

/// What is left of some outlines without all that lies in others.
pub(crate) fn without(whole: &[Outline], less: &[Outline]) -> Vec<Piece> {
    laid_over(whole, less, OverlayRule::Difference)
}

/// What lies in some outlines and in others too.
pub(crate) fn in_both(some: &[Outline], others: &[Outline]) -> Vec<Piece> {
    laid_over(some, others, OverlayRule::Intersect)
}

/// All outlines go the same way round.
fn laid_over(some: &[Outline], others: &[Outline], rule: OverlayRule) -> Vec<Piece> {
    let given = |outlines: &[Outline]| -> Vec<Vec<[f64; 2]>> {
        let each = outlines.iter();
        each.map(|outline| outline.iter().map(|&(x, y)| [x, y]).collect())
            .collect()
    };
    let pieces = given(some).overlay_as::<i64>(&given(others), rule, FillRule::NonZero);
    let back = |outline: Vec<[f64; 2]>| outline.into_iter().map(|[x, y]| (x, y)).collect();
    pieces
        .into_iter()
        .map(|piece| piece.into_iter().map(back).collect())
        .collect()
}

/// The corners of an outline below the bar line, from its left end at the bars on; `None` for one that does not
/// hang from them.
pub(crate) fn hanging(outline: &[Point]) -> Option<Outline> {
    let is_at_bars = |at: &Point| at.1 <= AT_BARS;
    let next_of = |idx: usize| &outline[(idx + 1) % outline.len()];
    let left = (0..outline.len()).find(|&idx| is_at_bars(&outline[idx]) && is_at_bars(next_of(idx)))?;
    let round = outline[left..].iter().chain(&outline[..left]);
    Some(
        round
            .map(|at| (at.0, if is_at_bars(at) { 0.0 } else { at.1 }))
            .collect(),
    )
}

/// The area of pieces, their holes taken off.
pub(crate) fn area(pieces: &[Piece]) -> f64 {
    pieces
        .iter()
        .flatten()
        .map(|outline| doubled_area(outline) / 2.0)
        .sum()
}

/// Twice the area within corners in order, below zero the other way round.
pub(crate) fn doubled_area(corners: &[Point]) -> f64 {
    edges(corners)
        .map(|(from, to)| from.0 * to.1 - to.0 * from.1)
        .sum()
}

pub(crate) fn edges(corners: &[Point]) -> impl Iterator<Item = Edge> {
    let next = corners.iter().cycle().skip(1);
    corners.iter().zip(next).map(|(&from, &to)| (from, to))
}

/// The edges that do not lie along the bars.
pub(crate) fn walls(corners: &[Point]) -> impl Iterator<Item = Edge> {
    edges(corners).filter(|(from, to)| from.1 > AT_BARS || to.1 > AT_BARS)
}

pub(crate) fn distance(from: Point, to: Point) -> f64 {
    libm::hypot(to.0 - from.0, to.1 - from.1)
}

/// The place on an edge that is nearest to another place.
pub(crate) fn nearest((from, to): Edge, at: Point) -> Point {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let length = dx * dx + dy * dy;
    let part = if length > 0.0 {
        (((at.0 - from.0) * dx + (at.1 - from.1) * dy) / length).clamp(0.0, 1.0)
    } else {
        0.0
    };
    (from.0 + part * dx, from.1 + part * dy)
}

/// How far a place is from the nearest of some edges.
pub(crate) fn distance_to(edges: &[Edge], at: Point) -> f64 {
    let distances = edges.iter().map(|&edge| distance(nearest(edge, at), at));
    distances.fold(f64::MAX, f64::min)
}

/// Whether a place lies within some outlines and not in their holes.
pub(crate) fn is_inside(outlines: &[Outline], at: Point) -> bool {
    let lies_right = |&(from, to): &Edge| {
        (from.1 <= at.1) != (to.1 <= at.1)
            && from.0 + (to.0 - from.0) * (at.1 - from.1) / (to.1 - from.1) > at.0
    };
    let crossed = outlines
        .iter()
        .flat_map(|outline| edges(outline))
        .filter(lies_right);
    crossed.count() % 2 == 1
}
