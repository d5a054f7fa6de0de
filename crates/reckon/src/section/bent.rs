//! Outlines of straight walls with inward corners, in centimetres.
//!
//! What comb is left is the outline less all that is nearer to a wall than the bee space: less a strip round
//! every wall, with round ends. The bar line is no wall. Pieces that do not hang from it are no comb.

use crate::planar::{Edge, Outline, Point, distance, doubled_area, hanging, walls, without};

/// Straight pieces round each half of a strip's end. They lie outside the circle, at most 0.03 % of the bee
/// space away, so that the comb is never too near to a corner.
const END_STEPS: u32 = 64;

/// An outline that neither crosses nor touches itself, seen from the middle of the bars, which are its first
/// edge, from left to right; everything else lies below them.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Bent {
    corners: Outline,
}

impl Bent {
    /// The outline of checked corners as [`super::outline::from_left_to_right`] gives them.
    pub(super) fn new(corners: Outline) -> Self {
        Self { corners }
    }

    /// The area of all combs that hang from the bars.
    pub(super) fn area(&self, inwards: f64) -> f64 {
        self.combs(inwards)
            .iter()
            .map(|comb| doubled_area(comb) / 2.0)
            .sum()
    }

    /// How much of the bars the combs hang from.
    pub(super) fn width_at_bars(&self, inwards: f64) -> f64 {
        self.combs(inwards).iter().map(|comb| comb[1].0 - comb[0].0).sum()
    }

    /// The corners of each comb that hangs from the bars, from left to right: its left end at the bars, its right
    /// end, and on round.
    pub(super) fn combs(&self, inwards: f64) -> Vec<Outline> {
        if inwards <= 0.0 {
            return vec![self.corners.clone()];
        }
        if inwards >= self.wall() {
            return Vec::new();
        }
        let strips: Vec<Outline> = self.walls().map(|wall| strip(wall, inwards)).collect();
        let left = without(std::slice::from_ref(&self.corners), &strips);
        // A piece has no holes: every wall is joined to the outside.
        let mut combs: Vec<Outline> = left.iter().filter_map(|piece| hanging(&piece[0])).collect();
        combs.sort_by(|before, after| before[0].0.total_cmp(&after[0].0));
        combs
    }

    /// The combs as one outline, joined along the bars.
    pub(super) fn joined(&self, inwards: f64) -> Vec<Point> {
        let combs = self.combs(inwards);
        let (Some(leftmost), Some(rightmost)) = (combs.first(), combs.last()) else {
            return Vec::new();
        };
        let mut joined = vec![leftmost[0], rightmost[1]];
        for (idx, comb) in combs.iter().enumerate().rev() {
            let below = if idx + 1 == combs.len() { 2 } else { 1 };
            joined.extend_from_slice(&comb[below..]);
            if idx > 0 {
                joined.push(comb[0]);
            }
        }
        joined
    }

    pub(super) fn wall(&self) -> f64 {
        self.walls().map(|(from, to)| distance(from, to)).sum()
    }

    /// The lean of the two walls at the bars, if they lean alike within a twentieth of a degree.
    pub(super) fn lean_deg(&self) -> Option<f64> {
        let (right, left) = (self.walls().next()?, self.walls().last()?);
        let of_right = libm::atan2(right.0.0 - right.1.0, right.1.1).to_degrees();
        let of_left = libm::atan2(left.0.0 - left.1.0, left.0.1).to_degrees();
        ((of_right - of_left).abs() < 0.05).then_some(f64::midpoint(of_right, of_left))
    }

    /// The edges but the bars, in order from their right end.
    fn walls(&self) -> impl Iterator<Item = Edge> {
        walls(&self.corners)
    }
}

/// All that is no farther from a wall than so much, and a little more round its ends.
fn strip((from, to): Edge, reach: f64) -> Outline {
    let along = libm::atan2(to.1 - from.1, to.0 - from.0);
    let step = std::f64::consts::PI / f64::from(END_STEPS);
    let outside = reach / libm::cos(step / 2.0);
    let end = |middle: Point, start: f64| {
        (0..END_STEPS).map(move |idx| {
            let (sine, cosine) = libm::sincos(start + step * (f64::from(idx) + 0.5));
            (middle.0 + outside * cosine, middle.1 + outside * sine)
        })
    };
    let quarter = std::f64::consts::FRAC_PI_2;
    end(to, along - quarter)
        .chain(end(from, along + quarter))
        .collect()
}
