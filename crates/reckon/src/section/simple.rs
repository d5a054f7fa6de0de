//! Whether corners make an outline that neither crosses nor touches itself, in whole steps of length.

use quantity::Length;

use super::refusal::{Corner, Edge, SectionError};

/// A corner in steps of length.
type Steps = (i64, i64);

/// Within it no product here runs out of digits, and no hive reaches it.
const FARTHEST: Length = Length::mm(1_000_000);

/// How two edges lie to each other.
enum Meeting {
    Apart,
    Crossing(Steps),
    Touching(Steps),
    Overlapping,
}

/// Whether the outline of the corners has three or more of them, no edge without length, and no two edges that
/// meet but where one follows the other.
pub(super) fn check(corners: &[Corner]) -> Result<(), SectionError> {
    if corners.len() < 3 {
        return Err(SectionError::FewCorners(corners.len()));
    }
    if let Some(far) = corners
        .iter()
        .position(|&(x, y)| [x, y].iter().any(|way| !(-FARTHEST..=FARTHEST).contains(way)))
    {
        return Err(SectionError::TooFar(far + 1));
    }
    let edges: Vec<Edge> = edges(corners).collect();
    if let Some(&edge) = edges.iter().find(|edge| edge.from == edge.to) {
        return Err(SectionError::NoLength(edge));
    }
    for (idx, &one) in edges.iter().enumerate() {
        for &other in &edges[idx + 1..] {
            meet_only_in_order(one, other, edges.len())?;
        }
    }
    Ok(())
}

/// Whether every corner but the bars' ends lies below the bars, which are the first edge of a checked outline.
pub(super) fn check_below_bars(corners: &[Corner]) -> Result<(), SectionError> {
    let steps: Vec<Steps> = corners.iter().copied().map(steps).collect();
    let inside = doubled_area(&steps).signum();
    let is_below = |&at: &Steps| turn(steps[0], steps[1], at).signum() == inside;
    match steps[2..].iter().position(|at| !is_below(at)) {
        None => Ok(()),
        Some(idx) => Err(SectionError::NotBelowBars {
            corner: idx + 3,
            at: corners[idx + 2],
        }),
    }
}

fn edges(corners: &[Corner]) -> impl Iterator<Item = Edge> {
    let next = corners.iter().cycle().skip(1);
    corners
        .iter()
        .zip(next)
        .zip(1..)
        .map(|((&from, &to), number)| Edge { number, from, to })
}

fn meet_only_in_order(one: Edge, other: Edge, n_edges: usize) -> Result<(), SectionError> {
    let follows = other.number == one.number + 1;
    let closes = one.number == 1 && other.number == n_edges;
    let edges = [one, other];
    match meeting(one, other) {
        Meeting::Apart => Ok(()),
        Meeting::Touching(_) if follows || closes => Ok(()),
        Meeting::Overlapping => Err(SectionError::EdgesOverlap { edges }),
        Meeting::Touching(at) => Err(SectionError::EdgesTouch {
            edges,
            at: corner(at),
        }),
        Meeting::Crossing(at) => Err(SectionError::EdgesCross {
            edges,
            at: corner(at),
        }),
    }
}

fn meeting(one: Edge, other: Edge) -> Meeting {
    let (a, b, c, d) = (steps(one.from), steps(one.to), steps(other.from), steps(other.to));
    let (to_c, to_d) = (turn(a, b, c), turn(a, b, d));
    let (to_a, to_b) = (turn(c, d, a), turn(c, d, b));
    if to_c == 0 && to_d == 0 {
        return along_one_line([a, b], [c, d]);
    }
    let on_end = [
        (to_c, c, [a, b]),
        (to_d, d, [a, b]),
        (to_a, a, [c, d]),
        (to_b, b, [c, d]),
    ]
    .into_iter()
    .find(|&(turn, at, edge)| turn == 0 && is_within(at, edge));
    if let Some((_, at, _)) = on_end {
        return Meeting::Touching(at);
    }
    if to_c.signum() * to_d.signum() < 0 && to_a.signum() * to_b.signum() < 0 {
        let at = |from: i64, to: i64| from + part(i128::from(to - from), to_a, to_a - to_b);
        return Meeting::Crossing((at(a.0, b.0), at(a.1, b.1)));
    }
    Meeting::Apart
}

/// So many of so many parts of a way, rounded to the step.
fn part(way: i128, of: i128, parts: i128) -> i64 {
    let (of, parts) = (of * parts.signum(), parts.abs());
    let rounded = (2 * way * of + parts).div_euclid(2 * parts);
    i64::try_from(rounded).expect("BUG: a part of the way is no longer than the way")
}

/// How two edges on one line lie to each other: by the order of their ends along it.
fn along_one_line(mut one: [Steps; 2], mut other: [Steps; 2]) -> Meeting {
    // Along a line, corners are in order by x, or by y where it is upright.
    one.sort_unstable();
    other.sort_unstable();
    let (from, to) = (one[0].max(other[0]), one[1].min(other[1]));
    match from.cmp(&to) {
        std::cmp::Ordering::Less => Meeting::Overlapping,
        std::cmp::Ordering::Equal => Meeting::Touching(from),
        std::cmp::Ordering::Greater => Meeting::Apart,
    }
}

/// Whether a place on the line of an edge lies within the edge.
fn is_within(at: Steps, [from, to]: [Steps; 2]) -> bool {
    let between = |at: i64, from: i64, to: i64| from.min(to) <= at && at <= from.max(to);
    between(at.0, from.0, to.0) && between(at.1, from.1, to.1)
}

/// Twice the area of a triangle: above zero where the third corner lies on the left of the way from the first
/// to the second.
fn turn(from: Steps, to: Steps, at: Steps) -> i128 {
    let way = |from: i64, to: i64| i128::from(to - from);
    way(from.0, to.0) * way(from.1, at.1) - way(from.1, to.1) * way(from.0, at.0)
}

fn doubled_area(corners: &[Steps]) -> i128 {
    let next = corners.iter().cycle().skip(1);
    let turns = corners
        .iter()
        .zip(next)
        .map(|(&from, &to)| turn((0, 0), from, to));
    turns.sum()
}

fn steps((x, y): Corner) -> Steps {
    (x.steps(), y.steps())
}

fn corner((x, y): Steps) -> Corner {
    (Length::from_steps(x), Length::from_steps(y))
}
