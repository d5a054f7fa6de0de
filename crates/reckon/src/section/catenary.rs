//! The outline of a hanging chain, in centimetres.
//!
//! From its lowest point the chain rises as y = a · (cosh(x / a) − 1). Moved inwards by b, square to itself,
//! a point of it comes to X = x − b · tanh(x / a), Y = y + b / cosh(x / a). Where the bend is tighter than b
//! the two sides of the moved chain cross at the middle; only what is right of the middle counts for the
//! right half.

use super::outline::Point;

/// A hanging chain below a level bar line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Catenary {
    half_width: f64,
    depth: f64,
    /// The a of the equation, in cm: the radius of the bend at the lowest point.
    bend: f64,
}

/// The half width in units of the bend, at the flattest and at the steepest that is told from a line.
const FLATTEST: f64 = 1e-4;
const STEEPEST: f64 = 20.0;

/// Halvings that bring any interval here below the last digit.
const HALVINGS: u32 = 100;

/// Steps of Simpson's rule: the error is far below a square millimetre.
const STEPS: u32 = 2_000;

impl Catenary {
    /// The chain that is so wide at the bars and hangs so deep; `None` too flat or too steep to be told.
    pub(super) fn new(half_width: f64, depth: f64) -> Option<Self> {
        let lacks = |reach: f64| sag(reach) / reach < depth / half_width;
        if lacks(STEEPEST) || !lacks(FLATTEST) {
            return None;
        }
        let reach = first_false(FLATTEST, STEEPEST, lacks);
        Some(Self {
            half_width,
            depth,
            bend: half_width / reach,
        })
    }

    /// The area between the bar line and the chain moved inwards.
    pub(super) fn area_inside(self, inwards: f64) -> f64 {
        let (from, to) = self.ends_inside(inwards);
        let height = |x: f64| self.depth - self.moved_y(x, inwards);
        let speed = |x: f64| 1.0 - inwards / (self.bend * squared(libm::cosh(x / self.bend)));
        2.0 * simpson(from, to, |x| height(x) * speed(x)).max(0.0)
    }

    /// The width at the bar line of the chain moved inwards.
    pub(super) fn width_inside(self, inwards: f64) -> f64 {
        let (from, to) = self.ends_inside(inwards);
        if from < to {
            2.0 * self.moved_x(to, inwards)
        } else {
            0.0
        }
    }

    /// Points round the chain moved inwards, from the left end of the bar line over its right end and the lowest
    /// point; none where no room is left.
    pub(super) fn points_inside(self, inwards: f64, steps: u32) -> Vec<Point> {
        let (middle, bars) = self.ends_inside(inwards);
        if middle >= bars {
            return Vec::new();
        }
        let half = steps / 2;
        let at = |step: u32| {
            let x = middle + (bars - middle) * f64::from(step) / f64::from(half);
            (self.moved_x(x, inwards), self.depth - self.moved_y(x, inwards))
        };
        let to_left = |(x, y): Point| (-x, y);
        let end = (self.moved_x(bars, inwards), 0.0);
        let lowest = (0.0, at(0).1);
        let right = (1..half).rev().map(at);
        let left = (1..half).map(at).map(to_left);
        let ends = [to_left(end), end];
        ends.into_iter()
            .chain(right)
            .chain([lowest])
            .chain(left)
            .collect()
    }

    pub(super) fn wall(self) -> f64 {
        2.0 * self.bend * libm::sinh(self.half_width / self.bend)
    }

    /// The places on the chain that come to the middle and to the bar line; alike where no room is left.
    fn ends_inside(self, inwards: f64) -> (f64, f64) {
        let is_below_bars = |x: f64| self.moved_y(x, inwards) < self.depth;
        let is_left = |x: f64| self.moved_x(x, inwards) < 0.0;
        let tightest = first_false(0.0, self.half_width, |x| self.speed_is_backward(x, inwards));
        let middle = first_false(tightest, self.half_width, is_left);
        let bars = first_false(middle, self.half_width, is_below_bars);
        (middle, bars)
    }

    fn speed_is_backward(self, x: f64, inwards: f64) -> bool {
        self.bend * squared(libm::cosh(x / self.bend)) < inwards
    }

    fn moved_x(self, x: f64, inwards: f64) -> f64 {
        x - inwards * libm::tanh(x / self.bend)
    }

    fn moved_y(self, x: f64, inwards: f64) -> f64 {
        self.bend * sag(x / self.bend) + inwards / libm::cosh(x / self.bend)
    }
}

/// cosh − 1, without the loss of digits near nothing.
fn sag(reach: f64) -> f64 {
    2.0 * squared(libm::sinh(reach / 2.0))
}

fn squared(number: f64) -> f64 {
    number * number
}

/// Where a condition that holds first and then no more ceases to hold; an end where it never changes.
fn first_false(from: f64, to: f64, holds: impl Fn(f64) -> bool) -> f64 {
    let (mut held, mut ceased) = (from, to);
    for _ in 0..HALVINGS {
        let middle = (held + ceased) / 2.0;
        if holds(middle) {
            held = middle;
        } else {
            ceased = middle;
        }
    }
    if holds(to) { to } else { held }
}

/// The integral by Simpson's rule.
fn simpson(from: f64, to: f64, height: impl Fn(f64) -> f64) -> f64 {
    let step = (to - from) / f64::from(STEPS);
    let inner: f64 = (1..STEPS)
        .map(|idx| if idx % 2 == 1 { 4.0 } else { 2.0 } * height(from + step * f64::from(idx)))
        .sum();
    (height(from) + inner + height(to)) * step / 3.0
}
