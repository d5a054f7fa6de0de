//! The places of an outline that are nearest to some walls, deepest in them, or farthest from them.
//!
//! The distance from the walls changes along a way by no more than the way is long. So a part of the outline in
//! which the distance at the middle, and half the part's size on top, does not beat the best place found needs no
//! closer look; the others are halved until they are told well enough.

use crate::planar::{self, Edge, Outline, Piece, Point};

/// How well a distance is told, in millimetres; or as a share of it, whichever is more.
const TOLD_MM: f64 = 0.01;
const TOLD_SHARE: f64 = 0.002;

/// The walls round a section, and what they enclose.
pub(super) struct Walls {
    edges: Vec<Edge>,
    inside: Vec<Outline>,
}

impl Walls {
    /// Those of a section's whole outline.
    pub(super) fn of(section: &[Outline]) -> Self {
        Self {
            edges: section
                .iter()
                .flat_map(|outline| planar::walls(outline))
                .collect(),
            inside: section.to_vec(),
        }
    }

    /// The least distance from the walls of any place of some pieces; below nothing where one lies beyond a wall.
    pub(super) fn least_distance(&self, pieces: &[Outline]) -> f64 {
        let beyond = planar::without(pieces, &self.inside);
        if planar::area(&beyond) > TOLD_MM {
            return -self.deepest(&beyond);
        }
        // Inside, two outlines are nearest at a corner of the one or of the other.
        let all: Vec<Edge> = pieces.iter().flat_map(|piece| planar::edges(piece)).collect();
        let from_piece = all.iter().map(|edge| planar::distance_to(&self.edges, edge.0));
        let ends = self.edges.iter().flat_map(|edge| [edge.0, edge.1]);
        let from_wall = ends.map(|end| planar::distance_to(&all, end));
        from_piece.chain(from_wall).fold(f64::MAX, f64::min)
    }

    /// The farthest from the walls that any place on some edges lies inside them.
    pub(super) fn farthest_inside(&self, edges: &[Edge]) -> f64 {
        let inside = |at: Point| {
            if planar::is_inside(&self.inside, at) {
                planar::distance_to(&self.edges, at)
            } else {
                0.0
            }
        };
        let ends = edges.iter().map(|edge| inside(edge.0).max(inside(edge.1)));
        let mut best = ends.fold(0.0, f64::max);
        let mut open = edges.to_vec();
        while let Some((from, to)) = open.pop() {
            let middle = (f64::midpoint(from.0, to.0), f64::midpoint(from.1, to.1));
            let here = inside(middle);
            best = best.max(here);
            if here + planar::distance(from, to) / 2.0 > good_enough(best) {
                open.extend([(from, middle), (middle, to)]);
            }
        }
        best
    }

    /// How far beyond the walls the deepest place of some pieces lies that are wholly beyond them.
    fn deepest(&self, beyond: &[Piece]) -> f64 {
        let corners = beyond.iter().flatten().flatten();
        let depths = corners.map(|&at| planar::distance_to(&self.edges, at));
        let mut best = depths.fold(0.0, f64::max);
        for piece in beyond {
            let outline: Vec<Edge> = piece.iter().flat_map(|round| planar::edges(round)).collect();
            let mut open = vec![Square::round(&piece[0])];
            while let Some(square) = open.pop() {
                let is_inside = planar::is_inside(piece, square.middle);
                if !is_inside && planar::distance_to(&outline, square.middle) > square.reach() {
                    continue;
                }
                let here = planar::distance_to(&self.edges, square.middle);
                if is_inside {
                    best = best.max(here);
                }
                if here + square.reach() > good_enough(best) {
                    open.extend(square.quarters());
                }
            }
        }
        best
    }
}

/// What a distance must exceed to be worth a closer look.
fn good_enough(best: f64) -> f64 {
    best + TOLD_MM.max(TOLD_SHARE * best)
}

/// A square that is looked at.
#[derive(Clone, Copy)]
struct Square {
    middle: Point,
    half: f64,
}

impl Square {
    fn round(outline: &[Point]) -> Self {
        let span = |of: fn(&Point) -> f64| {
            let places = outline.iter().map(of);
            places.fold((f64::MAX, f64::MIN), |(least, most), at| {
                (least.min(at), most.max(at))
            })
        };
        let (x, y) = (span(|at| at.0), span(|at| at.1));
        Self {
            middle: (f64::midpoint(x.0, x.1), f64::midpoint(y.0, y.1)),
            half: (x.1 - x.0).max(y.1 - y.0) / 2.0,
        }
    }

    /// From its middle to its corners.
    fn reach(self) -> f64 {
        self.half * std::f64::consts::SQRT_2
    }

    fn quarters(self) -> [Self; 4] {
        let half = self.half / 2.0;
        [(-half, -half), (half, -half), (-half, half), (half, half)].map(|(x, y)| Self {
            middle: (self.middle.0 + x, self.middle.1 + y),
            half,
        })
    }
}
