//! Lines of equal warmth through a plate.
//!
//! Squares are marched as their two triangles, in which a line enters and leaves once: there is no square whose
//! lines could be joined in two ways.

use std::collections::{BTreeMap, BTreeSet};

use super::conduction::Plate;

/// A side of a triangle, its lower node first.
type Side = (usize, usize);

/// The lines where values of the nodes come to a level, in the unit of the nodes; a closed line ends where it began.
pub(super) fn lines(plate: &Plate, values: &[f64], level: f64) -> Vec<Vec<(f64, f64)>> {
    let joined = joined(plate, values, level);
    let ends = joined.iter().filter(|(_, others)| others.len() == 1);
    let starts = ends.chain(&joined).map(|(side, _)| *side);
    let mut seen = BTreeSet::new();
    let mut lines = Vec::new();
    for start in starts {
        if seen.contains(&start) {
            continue;
        }
        let sides = walk(&joined, start, &mut seen);
        lines.push(sides.iter().map(|side| at(plate, values, level, *side)).collect());
    }
    lines
}

/// Of each side that a line crosses, the sides that the line goes on to.
fn joined(plate: &Plate, values: &[f64], level: f64) -> BTreeMap<Side, Vec<Side>> {
    let mut joined: BTreeMap<Side, Vec<Side>> = BTreeMap::new();
    let is_above = |node: usize| values[node] >= level;
    for [a, b, c] in plate.triangles() {
        let crossed: Vec<Side> = [(a, b), (b, c), (c, a)]
            .into_iter()
            .filter(|&(from, to)| is_above(from) != is_above(to))
            .map(|(from, to)| (from.min(to), from.max(to)))
            .collect();
        if let [enters, leaves] = crossed[..] {
            joined.entry(enters).or_default().push(leaves);
            joined.entry(leaves).or_default().push(enters);
        }
    }
    joined
}

/// The sides from one on until the line ends or comes round.
fn walk(joined: &BTreeMap<Side, Vec<Side>>, start: Side, seen: &mut BTreeSet<Side>) -> Vec<Side> {
    let mut sides = vec![start];
    let mut here = start;
    seen.insert(start);
    while let Some(next) = joined[&here].iter().find(|side| !seen.contains(side)) {
        here = *next;
        seen.insert(here);
        sides.push(here);
    }
    if sides.len() > 2 && joined[&here].contains(&start) {
        sides.push(start);
    }
    sides
}

fn at(plate: &Plate, values: &[f64], level: f64, (from, to): Side) -> (f64, f64) {
    let part = (level - values[from]) / (values[to] - values[from]);
    let ((ax, ay), (bx, by)) = (plate.nodes_m[from], plate.nodes_m[to]);
    (ax + part * (bx - ax), ay + part * (by - ay))
}
