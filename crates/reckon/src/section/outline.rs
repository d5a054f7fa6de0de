//! Outlines of straight walls and of circles, in centimetres; the bar line is the first edge, or the chord.

pub(super) use crate::planar::Point;
use crate::planar::{distance, doubled_area};

/// A convex outline whose first edge lies on the bar line, with the inside on the left of every edge.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Polygon {
    corners: Vec<Point>,
    /// The bar line, kept where nothing of the outline touches it any more.
    bars: (Point, Point),
}

/// Straight pieces that stand for a curve: a whole circle loses 0.3 % of its area by them, a flat arc far less.
pub(super) const STEPS: u32 = 48;

/// As many where a hundredth of a millimetre counts.
pub(super) const FINE_STEPS: u32 = 480;

/// Corners are measured to tenths of a millimetre; what is straight within far less than that counts as
/// straight.
const STRAIGHT: f64 = 1e-9;

impl Polygon {
    /// Walls that lean alike, or stand upright.
    pub(super) fn trapezium(half_top: f64, half_floor: f64, depth: f64) -> Self {
        let bars = ((-half_top, 0.0), (half_top, 0.0));
        let floor = [(half_floor, depth), (-half_floor, depth)];
        Self {
            corners: vec![bars.0, bars.1, floor[0], floor[1]],
            bars,
        }
    }

    /// The outline of checked corners as [`from_left_to_right`] gives them; `None` where one is inward.
    pub(super) fn convex(corners: &[Point]) -> Option<Self> {
        let outline = Self {
            corners: corners.to_vec(),
            bars: (corners[0], corners[1]),
        };
        let is_convex = outline
            .edges()
            .all(|edge| outline.corners.iter().all(|&at| is_inside(edge, at)));
        is_convex.then_some(outline)
    }

    /// The outline left when every wall but the bar line moves inwards, square to itself.
    pub(super) fn inset(&self, inwards: f64) -> Self {
        let mut corners = self.corners.clone();
        for (from, to) in self.walls() {
            let length = distance(from, to);
            let step = (
                -(to.1 - from.1) * inwards / length,
                (to.0 - from.0) * inwards / length,
            );
            corners = clipped(&corners, (moved(from, step), moved(to, step)));
        }
        Self {
            corners,
            bars: self.bars,
        }
    }

    pub(super) fn area(&self) -> f64 {
        doubled_area(&self.corners).max(0.0) / 2.0
    }

    /// The length of what of the outline lies on the bar line.
    pub(super) fn width_at_bars(&self) -> f64 {
        let along = distance(self.bars.0, self.bars.1);
        let (dx, dy) = (
            (self.bars.1.0 - self.bars.0.0) / along,
            (self.bars.1.1 - self.bars.0.1) / along,
        );
        let on_line = self.corners.iter().filter(|&&at| self.is_at_bars(at));
        let places = on_line.map(|at| (at.0 - self.bars.0.0) * dx + (at.1 - self.bars.0.1) * dy);
        let (first, last) = places.fold((f64::MAX, f64::MIN), |(first, last), at| {
            (first.min(at), last.max(at))
        });
        (last - first).max(0.0)
    }

    /// The corners as seen from the middle of the bar line, along it and square to it; none where no area is left.
    pub(super) fn below_bars(&self) -> Vec<Point> {
        if self.area() <= STRAIGHT {
            return Vec::new();
        }
        let mut corners: Vec<Point> = self.corners.iter().map(seen_from(self.bars)).collect();
        let is_same = |a: Point, b: Point| distance(a, b) <= STRAIGHT;
        corners.dedup_by(|after, before| is_same(*after, *before));
        if corners.len() > 1 && is_same(corners[0], corners[corners.len() - 1]) {
            corners.pop();
        }
        corners
    }

    pub(super) fn wall(&self) -> f64 {
        self.walls().map(|(from, to)| distance(from, to)).sum()
    }

    /// The lean of the two walls at the bars, if they lean alike within a twentieth of a degree.
    pub(super) fn lean_deg(&self) -> Option<f64> {
        let (after, before) = (self.walls().next()?, self.walls().last()?);
        let right = 90.0 - angle_deg(self.bars, after);
        let left = 90.0 - angle_deg(before, self.bars);
        ((right - left).abs() < 0.05).then_some((right + left) / 2.0)
    }

    /// The edges that are wall or floor: all of some length but those along the bar line.
    fn walls(&self) -> impl Iterator<Item = (Point, Point)> {
        self.edges()
            .filter(|&(from, to)| distance(from, to) > 0.0 && !(self.is_at_bars(from) && self.is_at_bars(to)))
    }

    fn is_at_bars(&self, at: Point) -> bool {
        cross(self.bars, at).abs() <= STRAIGHT * distance(self.bars.0, self.bars.1)
    }

    fn edges(&self) -> impl Iterator<Item = (Point, Point)> {
        let next = self.corners.iter().cycle().skip(1);
        self.corners.iter().zip(next).map(|(&from, &to)| (from, to))
    }
}

/// A piece of a circle below a level chord.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Arc {
    pub(super) radius: f64,
    /// From the chord down to the lowest point.
    pub(super) depth: f64,
}

impl Arc {
    /// The circle through the ends of a chord and a point so far below its middle.
    pub(super) fn from_chord(chord: f64, depth: f64) -> Self {
        Self {
            radius: (chord * chord / 4.0 + depth * depth) / (2.0 * depth),
            depth,
        }
    }

    /// The piece left when the wall moves inwards; `None` where nothing is left.
    pub(super) fn inset(self, inwards: f64) -> Option<Self> {
        let inner = Self {
            radius: self.radius - inwards,
            depth: self.depth - inwards,
        };
        (inner.radius > 0.0 && inner.depth > 0.0).then_some(inner)
    }

    pub(super) fn area(self) -> f64 {
        let (rise, half_chord) = (self.radius - self.depth, self.chord() / 2.0);
        self.radius * self.radius * self.half_angle() - rise * half_chord
    }

    pub(super) fn chord(self) -> f64 {
        2.0 * libm::sqrt((self.depth * (2.0 * self.radius - self.depth)).max(0.0))
    }

    /// Points round the piece, from the left end of the chord over its right end and the lowest point; round the
    /// whole circle where the bars lie above it.
    pub(super) fn points(self, steps: u32) -> Vec<Point> {
        let (half_angle, middle) = (self.half_angle(), self.depth - self.radius);
        let at = |step: u32| {
            let angle = half_angle * (1.0 - 2.0 * f64::from(step) / f64::from(steps));
            let (sine, cosine) = libm::sincos(angle);
            (self.radius * sine, middle + self.radius * cosine)
        };
        let half_chord = self.chord() / 2.0;
        if half_chord <= 0.0 {
            return (0..steps).map(at).collect();
        }
        let ends = [(-half_chord, 0.0), (half_chord, 0.0)];
        ends.into_iter().chain((1..steps).map(at)).collect()
    }

    pub(super) fn wall(self) -> f64 {
        2.0 * self.radius * self.half_angle()
    }

    /// Half the angle of the piece seen from the middle of its circle; a whole circle where the bars lie
    /// above it.
    fn half_angle(self) -> f64 {
        libm::acos(((self.radius - self.depth) / self.radius).clamp(-1.0, 1.0))
    }
}

/// Checked corners in order, either way round, as seen from the middle of the bars, which lie from the first on
/// the left to the second on the right; what is inside lies below them.
pub(super) fn from_left_to_right(corners: &[Point]) -> Vec<Point> {
    let mut seen: Vec<Point> = corners.iter().map(seen_from((corners[0], corners[1]))).collect();
    if doubled_area(&seen) < 0.0 {
        seen.iter_mut().for_each(|at| at.1 = -at.1);
    }
    seen
}

/// Places as seen from the middle of the bars: along them, and square to them.
fn seen_from((from, to): (Point, Point)) -> impl Fn(&Point) -> Point {
    let along = distance(from, to);
    let (dx, dy) = ((to.0 - from.0) / along, (to.1 - from.1) / along);
    let middle = ((from.0 + to.0) / 2.0, (from.1 + to.1) / 2.0);
    move |&(x, y)| {
        let (x, y) = (x - middle.0, y - middle.1);
        (x * dx + y * dy, y * dx - x * dy)
    }
}

fn moved(at: Point, step: Point) -> Point {
    (at.0 + step.0, at.1 + step.1)
}

/// Twice the area of the triangle of an edge and a point: above zero on the left of the edge.
fn cross((from, to): (Point, Point), at: Point) -> f64 {
    (to.0 - from.0) * (at.1 - from.1) - (to.1 - from.1) * (at.0 - from.0)
}

fn is_inside(edge: (Point, Point), at: Point) -> bool {
    cross(edge, at) >= -STRAIGHT * distance(edge.0, edge.1).max(1.0)
}

/// The part of a convex outline on the left of a line.
fn clipped(corners: &[Point], line: (Point, Point)) -> Vec<Point> {
    let mut kept = Vec::with_capacity(corners.len() + 1);
    let next = corners.iter().cycle().skip(1);
    for (&from, &to) in corners.iter().zip(next) {
        let (here, there) = (cross(line, from), cross(line, to));
        if here >= 0.0 {
            kept.push(from);
        }
        if (here > 0.0 && there < 0.0) || (here < 0.0 && there > 0.0) {
            let part = here / (here - there);
            kept.push((from.0 + (to.0 - from.0) * part, from.1 + (to.1 - from.1) * part));
        }
    }
    kept
}

/// The angle inside the corner where one edge ends and the next begins, in degrees.
fn angle_deg(before: (Point, Point), after: (Point, Point)) -> f64 {
    let (ax, ay) = (before.0.0 - before.1.0, before.0.1 - before.1.1);
    let (bx, by) = (after.1.0 - after.0.0, after.1.1 - after.0.1);
    libm::atan2((ax * by - ay * bx).abs(), ax * bx + ay * by).to_degrees()
}
