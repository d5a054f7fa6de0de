//! The boards round a section, or the sheet that is bent for a curve.

use quantity::Length;

use super::{Design, Part, Role, Work, length_of, outside_length};

type Place = (f64, f64);

/// Within it two heights are one, in millimetres; far below a step of length.
const LEVEL: f64 = 1e-6;

/// A board that lies on a floor leans by no more than this, in degrees; a flatter one would reach too far under it.
const FLATTEST_ON_FLOOR_DEG: f64 = 60.0;

/// One edge of the section that a board stands for.
#[derive(Clone, Copy)]
struct Edge {
    /// The corner it begins at, counted from 1.
    number: usize,
    from: Place,
    to: Place,
}

/// How a board ends at a corner.
#[derive(Clone, Copy)]
struct Joint {
    /// Degrees from square, above zero where the outer face is the wider.
    bevel_deg: f64,
    /// How far the inner face reaches beyond the corner.
    beyond: f64,
}

const SQUARE: Joint = Joint {
    bevel_deg: 0.0,
    beyond: 0.0,
};

/// The walls and floors, or the sheet.
pub(super) fn parts(design: &Design) -> Vec<Part> {
    if design.section.is_curved() {
        return vec![sheet(design)];
    }
    let outline = design.section.outline(Length::ZERO);
    let edges = edges(&outline);
    let mut parts: Vec<Part> = (0..edges.len()).map(|idx| board(design, &edges, idx)).collect();
    parts.sort_by_key(|part| part.role);
    parts
}

/// The width of the hive at the bars with both walls, whose upper edges are level.
pub(super) fn width_outside(design: &Design) -> Length {
    let outline = design.section.outline(Length::ZERO);
    let edges = edges(&outline);
    let level_edge = |edge: Edge| design.thickness.walls.to_mm() / sine(lean_deg(edge) - 90.0).abs();
    let walls = [edges[0], edges[edges.len() - 1]].map(level_edge);
    design.section.width_at_bars(Length::ZERO) + length_of(walls[0] + walls[1])
}

fn sheet(design: &Design) -> Part {
    let measures = [
        outside_length(design),
        design.section.wall(),
        design.thickness.walls,
    ];
    Part {
        work: vec![Work::Bent],
        ..Part::rectangle(Role::Sheet, 1, measures)
    }
}

fn board(design: &Design, edges: &[Edge], idx: usize) -> Part {
    let edge = edges[idx];
    let is_floor = edge.is_floor();
    let thickness = if is_floor {
        design.thickness.floor
    } else {
        design.thickness.walls
    };
    let beside = design.thickness.walls.to_mm();
    let first = match idx.checked_sub(1) {
        None => at_bars(lean_deg(edge)),
        Some(before) => joint(edges[before], edge, is_floor, beside),
    };
    let last = match edges.get(idx + 1) {
        None => at_bars(lean_deg(edge)),
        Some(&after) => joint(edge, after, is_floor, beside),
    };
    let width = edge.length() + first.beyond + last.beyond;
    let bevels: f64 = [first, last]
        .map(|joint| thickness.to_mm() * libm::tan(joint.bevel_deg.to_radians()).max(0.0))
        .iter()
        .sum();
    let corner_after = if idx + 1 == edges.len() {
        1
    } else {
        edges[idx + 1].number
    };
    let bevelled = [(edge.number, first), (corner_after, last)]
        .into_iter()
        .filter(|(_, joint)| joint.bevel_deg.abs() > LEVEL)
        .map(|(corner, joint)| Work::Bevelled {
            corner,
            from_square_deg: joint.bevel_deg,
        });
    let role = if is_floor {
        Role::Floor { edge: edge.number }
    } else {
        Role::Wall { edge: edge.number }
    };
    let mut part = Part::rectangle(role, 1, [outside_length(design), length_of(width), thickness]);
    part.blank_width = length_of(width + bevels);
    part.work.extend(bevelled);
    part
}

/// The joint of one of two boards at the corner between them; both of a mitre are alike.
fn joint(before: Edge, after: Edge, is_floor: bool, beside: f64) -> Joint {
    let turn = turn_deg(before, after);
    let inside = 180.0 - turn;
    let lies_on_floor =
        before.is_floor() != after.is_floor() && (inside - 90.0).abs() <= FLATTEST_ON_FLOOR_DEG;
    match (lies_on_floor, is_floor) {
        (true, true) => Joint {
            beyond: beside / sine(inside),
            ..SQUARE
        },
        (true, false) => Joint {
            bevel_deg: 90.0 - inside,
            ..SQUARE
        },
        (false, _) => Joint {
            bevel_deg: turn / 2.0,
            ..SQUARE
        },
    }
}

/// A level edge under the bars, on a wall that leans by so much.
fn at_bars(lean_deg: f64) -> Joint {
    Joint {
        bevel_deg: lean_deg,
        ..SQUARE
    }
}

/// The edges that are not along the bars, from the right end of the bars on.
fn edges(outline: &[Place]) -> Vec<Edge> {
    let next = outline.iter().cycle().skip(1);
    let all = outline
        .iter()
        .zip(next)
        .zip(1..)
        .map(|((&from, &to), number)| Edge { number, from, to });
    all.filter(|edge| edge.from.1 > LEVEL || edge.to.1 > LEVEL)
        .collect()
}

/// The lean from upright of a wall that ends at the bars, in degrees: above zero where it leans in towards the
/// floor.
fn lean_deg(edge: Edge) -> f64 {
    let (top, bottom, inwards) = if edge.from.1 < edge.to.1 {
        (edge.from, edge.to, -1.0)
    } else {
        (edge.to, edge.from, 1.0)
    };
    libm::atan2(inwards * (bottom.0 - top.0), bottom.1 - top.1).to_degrees()
}

/// By how much the wall turns from one edge to the next, in degrees: below zero at an inward corner.
fn turn_deg(before: Edge, after: Edge) -> f64 {
    let (ax, ay) = before.way();
    let (bx, by) = after.way();
    libm::atan2(ax * by - ay * bx, ax * bx + ay * by).to_degrees()
}

fn sine(degrees: f64) -> f64 {
    libm::sin(degrees.to_radians())
}

impl Edge {
    fn way(self) -> Place {
        (self.to.0 - self.from.0, self.to.1 - self.from.1)
    }

    fn length(self) -> f64 {
        let (x, y) = self.way();
        libm::hypot(x, y)
    }

    /// Whether it is level with the inside above it.
    fn is_floor(self) -> bool {
        (self.from.1 - self.to.1).abs() <= LEVEL && self.to.0 < self.from.0
    }
}
