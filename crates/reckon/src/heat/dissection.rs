//! The equations of a plate whose nodes stand in lines, and their solution by nested dissection.
//!
//! Each node is coupled to its eight neighbours. A block of nodes is cut in two by a line or a row between the
//! halves, those are eliminated first, then the cut (George 1973, from memory). Nothing is iterated: thin sheets
//! beside thick boards and steel beside wool cost no more than anything else, and the same plate always takes
//! the same steps.

use std::ops::Range;

/// A symmetric set of equations: line by line, each line with the same number of rows.
#[derive(Debug, Clone)]
pub(super) struct Operator {
    lines: usize,
    rows: usize,
    /// Each node with itself.
    pub(super) own: Vec<f64>,
    /// With the next node of the same line.
    along: Vec<f64>,
    /// With the node of the next line in the same row; the last line's next is the first.
    over: Vec<f64>,
    /// With the node of the next line one row further.
    over_up: Vec<f64>,
    /// With the node of the next line one row back.
    over_down: Vec<f64>,
}

impl Operator {
    pub(super) fn new(lines: usize, rows: usize) -> Self {
        let none = vec![0.0; lines * rows];
        Self {
            lines,
            rows,
            own: none.clone(),
            along: none.clone(),
            over: none.clone(),
            over_up: none.clone(),
            over_down: none,
        }
    }

    /// Couples a node with the next one of its line.
    pub(super) fn couple_along(&mut self, from: usize, to: usize, conductance: f64) {
        self.along[from] -= conductance;
        self.share(from, to, conductance);
    }

    /// Couples a node with the one of the next line in the same row.
    pub(super) fn couple_over(&mut self, from: usize, to: usize, conductance: f64) {
        self.over[from] -= conductance;
        self.share(from, to, conductance);
    }

    /// Couples a node with the one of the next line and row.
    pub(super) fn couple_over_up(&mut self, from: usize, to: usize, conductance: f64) {
        self.over_up[from] -= conductance;
        self.share(from, to, conductance);
    }

    /// Couples a node with the one of the next line and the row before.
    pub(super) fn couple_over_down(&mut self, from: usize, to: usize, conductance: f64) {
        self.over_down[from] -= conductance;
        self.share(from, to, conductance);
    }

    fn share(&mut self, from: usize, to: usize, conductance: f64) {
        self.own[from] += conductance;
        self.own[to] += conductance;
    }

    /// The solution; `None` where the equations have none that numbers of this width can tell.
    pub(super) fn solve(&self, right: &[f64]) -> Option<Vec<f64>> {
        let mut factors = Factors::new(right.len());
        // The first line closes the ring: without it the rest is a plain block.
        let rest = Block {
            lines: 1..self.lines,
            rows: 0..self.rows,
        };
        let rest = factors.eliminate(self, &rest)?;
        let first = (0..self.rows).collect();
        factors.finish(self, (first, Vec::new()), vec![rest])?;
        Some(factors.solve(right))
    }

    /// The neighbours of a node among those after it in the order of lines and rows, with their couplings.
    fn couplings_ahead(&self, node: usize) -> [(usize, f64); 4] {
        let next = (node + self.rows) % self.own.len();
        let row = node % self.rows;
        let (down, up) = (usize::from(row > 0), usize::from(row + 1 < self.rows));
        [
            (node + up, self.along[node]),
            (next, self.over[node]),
            (next + up, self.over_up[node]),
            (next - down, self.over_down[node]),
        ]
    }

    /// The neighbours of a node among those before it.
    fn couplings_behind(&self, node: usize) -> [(usize, f64); 4] {
        let nodes = self.own.len();
        let before = (node + nodes - self.rows) % nodes;
        let row = node % self.rows;
        let (down, up) = (usize::from(row > 0), usize::from(row + 1 < self.rows));
        // Where there is no such neighbour, its coupling is that of a node at the edge, which is nothing.
        [
            (node - down, if down == 1 { self.along[node - 1] } else { 0.0 }),
            (before, self.over[before]),
            (
                before - down,
                if down == 1 { self.over_up[before - 1] } else { 0.0 },
            ),
            (
                before + up,
                if up == 1 { self.over_down[before + 1] } else { 0.0 },
            ),
        ]
    }
}

/// Nodes that are eliminated together: neither the first line nor any that is cut already is among them.
#[derive(Debug, Clone)]
struct Block {
    lines: Range<usize>,
    rows: Range<usize>,
}

impl Block {
    fn nodes(&self, rows: usize) -> Vec<usize> {
        let line = |line: usize| self.rows.clone().map(move |row| line * rows + row);
        self.lines.clone().flat_map(line).collect()
    }

    /// The cut across the longer side and the two halves; `None` where the block is small enough.
    fn cut(&self) -> Option<(Self, [Self; 2])> {
        let with_lines = |lines| Self {
            lines,
            rows: self.rows.clone(),
        };
        let with_rows = |rows| Self {
            lines: self.lines.clone(),
            rows,
        };
        let (lines, rows) = (self.lines.len(), self.rows.len());
        if lines * rows <= SMALL {
            return None;
        }
        Some(if lines >= rows {
            let middle = self.lines.start + lines / 2;
            let halves = [self.lines.start..middle, middle + 1..self.lines.end];
            (with_lines(middle..middle + 1), halves.map(with_lines))
        } else {
            let middle = self.rows.start + rows / 2;
            let halves = [self.rows.start..middle, middle + 1..self.rows.end];
            (with_rows(middle..middle + 1), halves.map(with_rows))
        })
    }

    /// The nodes round the block.
    fn around(&self, operator: &Operator) -> Vec<usize> {
        let rows = operator.rows;
        let (below, above) = (self.rows.start, self.rows.end);
        let wide = below.saturating_sub(1)..(above + 1).min(rows);
        let (before, after) = (self.lines.start - 1, self.lines.end % operator.lines);
        let mut around: Vec<usize> = wide.clone().map(|row| before * rows + row).collect();
        if after != before {
            around.extend(wide.map(|row| after * rows + row));
        }
        let row_at = |row: usize| self.lines.clone().map(move |line| line * rows + row);
        if below > 0 {
            around.extend(row_at(below - 1));
        }
        if above < rows {
            around.extend(row_at(above));
        }
        around
    }
}

/// Blocks of so many nodes are eliminated without a further cut.
const SMALL: usize = 16;

/// The equations among some nodes: those that are eliminated now, then those round them.
struct Front {
    nodes: Vec<usize>,
    eliminated: usize,
    /// Column by column; only what lies on and below the diagonal counts.
    values: Vec<f64>,
}

impl Front {
    /// A front without equations yet, in memory that another one left.
    fn new(eliminated: Vec<usize>, around: Vec<usize>, mut memory: Vec<f64>) -> Self {
        let (count, mut nodes) = (eliminated.len(), eliminated);
        nodes.extend(around);
        memory.clear();
        memory.resize(nodes.len() * nodes.len(), 0.0);
        Self {
            values: memory,
            eliminated: count,
            nodes,
        }
    }

    fn add(&mut self, a: usize, b: usize, value: f64) {
        let size = self.nodes.len();
        self.values[a.min(b) * size + a.max(b)] += value;
    }

    /// Adds the couplings of the nodes that are eliminated now; `places` tells where in the front a node is.
    fn take(&mut self, operator: &Operator, places: &[u32]) {
        for place in 0..self.eliminated {
            let node = self.nodes[place];
            self.add(place, place, operator.own[node]);
            for (other, coupling) in operator.couplings_ahead(node) {
                if places[other] != NOWHERE && other != node {
                    self.add(place, places[other] as usize, coupling);
                }
            }
            for (other, coupling) in operator.couplings_behind(node) {
                // Between two that are eliminated now the coupling was taken ahead.
                if places[other] != NOWHERE && places[other] as usize >= self.eliminated {
                    self.add(place, places[other] as usize, coupling);
                }
            }
        }
    }

    /// Adds what a front eliminated before leaves to the nodes round it.
    fn take_left(&mut self, before: &Self, places: &[u32]) {
        let (size, size_before) = (self.nodes.len(), before.nodes.len());
        let at: Vec<usize> = before.nodes.iter().map(|node| places[*node] as usize).collect();
        for column in before.eliminated..size_before {
            let to = at[column];
            let left = &before.values[column * size_before + column..(column + 1) * size_before];
            for (value, &other) in left.iter().zip(&at[column..]) {
                self.values[to.min(other) * size + to.max(other)] += value;
            }
        }
    }

    /// Cholesky's factors in the columns of the eliminated nodes, and in the others what is left to them.
    fn factor(&mut self) -> Option<()> {
        let size = self.nodes.len();
        for start in (0..self.eliminated).step_by(TOGETHER) {
            let end = (start + TOGETHER).min(self.eliminated);
            for column in start..end {
                let (done, rest) = self.values.split_at_mut(column * size);
                let here = &mut rest[column..size];
                subtract(&done[start * size..], size, here);
                let pivot = here[0];
                if !(pivot > 0.0 && pivot.is_finite()) {
                    return None;
                }
                let scale = 1.0 / libm::sqrt(pivot);
                here.iter_mut().for_each(|value| *value *= scale);
            }
            let (done, rest) = self.values.split_at_mut(end * size);
            subtract_from_all(&done[start * size..], size, rest);
        }
        Some(())
    }
}

/// So many columns are done before the others hear of them: they stay in the processor's cache.
const TOGETHER: usize = 32;

/// Takes from the last columns what columns done before have of them.
fn subtract_from_all(done: &[f64], size: usize, columns: &mut [f64]) {
    let mut first = size - columns.len() / size;
    let mut pairs = columns.chunks_exact_mut(2 * size);
    for pair in &mut pairs {
        let (one, other) = pair.split_at_mut(size);
        // The second column takes along a value above its diagonal, which nobody reads.
        subtract_pair(done, size, &mut one[first..], &mut other[first..]);
        first += 2;
    }
    if let Some(last) = pairs.into_remainder().get_mut(first..) {
        subtract(done, size, last);
    }
}

/// Takes from a column, which ends at the last row, what the columns done before have of it.
fn subtract(done: &[f64], size: usize, column: &mut [f64]) {
    let (first, rows) = (size - column.len(), column.len());
    let mut fours = done.chunks_exact(4 * size);
    for four in &mut fours {
        let [a, b, c, d] = tails(four, size, first);
        let times = [a[0], b[0], c[0], d[0]];
        for row in 0..rows {
            column[row] -= (times[0] * a[row] + times[1] * b[row]) + (times[2] * c[row] + times[3] * d[row]);
        }
    }
    for one in fours.remainder().chunks_exact(size) {
        let tail = &one[first..];
        let times = tail[0];
        for (value, other) in column.iter_mut().zip(tail) {
            *value -= times * other;
        }
    }
}

/// The same for two neighbouring columns from the same row on, at once: it is most of the work.
fn subtract_pair(done: &[f64], size: usize, one: &mut [f64], other: &mut [f64]) {
    let (first, rows) = (size - one.len(), one.len());
    let other = &mut other[..rows];
    let mut fours = done.chunks_exact(4 * size);
    for four in &mut fours {
        let [a, b, c, d] = tails(four, size, first);
        let (now, next) = ([a[0], b[0], c[0], d[0]], [a[1], b[1], c[1], d[1]]);
        for row in 0..rows {
            let (a, b, c, d) = (a[row], b[row], c[row], d[row]);
            one[row] -= (now[0] * a + now[1] * b) + (now[2] * c + now[3] * d);
            other[row] -= (next[0] * a + next[1] * b) + (next[2] * c + next[3] * d);
        }
    }
    for done in fours.remainder().chunks_exact(size) {
        let tail = &done[first..size];
        let (now, next) = (tail[0], tail[1]);
        for row in 0..rows {
            one[row] -= now * tail[row];
            other[row] -= next * tail[row];
        }
    }
}

/// Four columns, each from a row on.
fn tails(four: &[f64], size: usize, first: usize) -> [&[f64]; 4] {
    let (ab, cd) = four.split_at(2 * size);
    let ((a, b), (c, d)) = (ab.split_at(size), cd.split_at(size));
    [&a[first..size], &b[first..size], &c[first..size], &d[first..size]]
}

/// A place of a node that is in no front.
const NOWHERE: u32 = u32::MAX;

/// The factors of all fronts, in the order of their elimination.
struct Factors {
    /// Of each front its nodes and how many of them are eliminated.
    fronts: Vec<(Vec<usize>, usize)>,
    /// The columns of the eliminated nodes, each from its diagonal down.
    values: Vec<f64>,
    /// Where in the front at hand a node is.
    places: Vec<u32>,
    /// Memory of fronts that are done with.
    spare: Vec<Vec<f64>>,
}

impl Factors {
    fn new(nodes: usize) -> Self {
        Self {
            fronts: Vec::new(),
            values: Vec::new(),
            places: vec![NOWHERE; nodes],
            spare: Vec::new(),
        }
    }

    /// Eliminates a block; its last front holds what is left to the nodes round it.
    fn eliminate(&mut self, operator: &Operator, block: &Block) -> Option<Front> {
        let around = block.around(operator);
        let (nodes, before) = match block.cut() {
            Some((cut, [one, other])) => {
                let one = self.eliminate(operator, &one)?;
                (
                    cut.nodes(operator.rows),
                    vec![one, self.eliminate(operator, &other)?],
                )
            }
            None => (block.nodes(operator.rows), Vec::new()),
        };
        self.finish(operator, (nodes, around), before)
    }

    /// Eliminates the first of these nodes; the others lie round them and round the fronts before.
    fn finish(
        &mut self,
        operator: &Operator,
        (nodes, around): (Vec<usize>, Vec<usize>),
        before: Vec<Front>,
    ) -> Option<Front> {
        let mut front = Front::new(nodes, around, self.spare.pop().unwrap_or_default());
        for (place, node) in front.nodes.iter().enumerate() {
            self.places[*node] = place as u32;
        }
        front.take(operator, &self.places);
        for before in before {
            front.take_left(&before, &self.places);
            self.spare.push(before.values);
        }
        for node in &front.nodes {
            self.places[*node] = NOWHERE;
        }
        front.factor()?;
        let size = front.nodes.len();
        for (column, values) in front.values.chunks_exact(size).take(front.eliminated).enumerate() {
            self.values.extend_from_slice(&values[column..]);
        }
        self.fronts.push((front.nodes.clone(), front.eliminated));
        Some(front)
    }

    fn solve(&self, right: &[f64]) -> Vec<f64> {
        let mut values = right.to_vec();
        let mut at = 0;
        for (nodes, eliminated) in &self.fronts {
            for first in 0..*eliminated {
                let column = &self.values[at..at + nodes.len() - first];
                at += column.len();
                let value = values[nodes[first]] / column[0];
                values[nodes[first]] = value;
                for (node, factor) in nodes[first..].iter().zip(column).skip(1) {
                    values[*node] -= factor * value;
                }
            }
        }
        for (nodes, eliminated) in self.fronts.iter().rev() {
            for first in (0..*eliminated).rev() {
                let column = &self.values[at - (nodes.len() - first)..at];
                at -= column.len();
                let others = nodes[first..].iter().zip(column).skip(1);
                let known: f64 = others.map(|(node, factor)| factor * values[*node]).sum();
                values[nodes[first]] = (values[nodes[first]] - known) / column[0];
            }
        }
        values
    }
}
