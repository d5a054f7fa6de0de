//! A small linear programme, solved by the revised simplex method with a dense inverse.
//!
//! Holds true: a column may be added at any time and the next solution starts from the last one; the same
//! columns in the same order give the same solution on every machine.
//!
//! Does not: prove anything. Rounding errors are the caller's affair, who checks the duals in whole numbers.

/// Below this a reduced cost, or a pivot, is taken for nothing.
const NOTHING: f64 = 1e-9;
/// After so many changes of the basis its inverse is worked out anew.
const CHANGES_UNTIL_ANEW: u32 = 64;
/// Least cost first; after so many changes without gain the lowest number first, which cannot go round in a circle.
const PATIENCE: u32 = 200;

#[derive(Debug, Clone)]
struct Column {
    entries: Vec<(usize, f64)>,
    cost: f64,
}

/// The least cost of amounts of nothing or more whose columns sum to the right-hand side.
#[derive(Debug, Clone)]
pub(super) struct Simplex {
    rhs: Vec<f64>,
    columns: Vec<Column>,
    basis: Vec<usize>,
    is_basic: Vec<bool>,
    inverse: Vec<f64>,
    amounts: Vec<f64>,
    changes: u32,
}

impl Simplex {
    /// Rows with right-hand sides of nothing or more, each started by a unit column of this cost.
    pub(super) fn new(rhs: Vec<f64>, start_costs: &[f64]) -> Self {
        let n_rows = rhs.len();
        let columns = (0..n_rows).map(|row| Column {
            entries: vec![(row, 1.0)],
            cost: start_costs[row],
        });
        let mut inverse = vec![0.0; n_rows * n_rows];
        for row in 0..n_rows {
            inverse[row * n_rows + row] = 1.0;
        }
        Self {
            columns: columns.collect(),
            basis: (0..n_rows).collect(),
            is_basic: vec![true; n_rows],
            inverse,
            amounts: rhs.clone(),
            rhs,
            changes: 0,
        }
    }

    /// One more column; gives its number.
    pub(super) fn add(&mut self, entries: Vec<(usize, f64)>, cost: f64) -> usize {
        self.columns.push(Column { entries, cost });
        self.is_basic.push(false);
        self.columns.len() - 1
    }

    /// Goes on to the least cost.
    pub(super) fn solve(&mut self) {
        let mut without_gain = 0;
        loop {
            let duals = self.duals();
            let Some(entering) = self.entering(&duals, without_gain > PATIENCE) else {
                return;
            };
            let direction = self.direction(entering);
            let Some(leaving) = self.leaving(&direction) else {
                // Every cost is nothing or more, so the least cost is bounded; only rounding leads here.
                return;
            };
            let step = (self.amounts[leaving] / direction[leaving]).max(0.0);
            without_gain = if step > NOTHING { 0 } else { without_gain + 1 };
            if without_gain > 10 * PATIENCE {
                return;
            }
            self.pivot(entering, leaving, &direction, step);
        }
    }

    fn entering(&self, duals: &[f64], lowest_first: bool) -> Option<usize> {
        let mut found = None;
        let mut least = -NOTHING;
        for (number, column) in self.columns.iter().enumerate() {
            if self.is_basic[number] {
                continue;
            }
            let reduced = column.cost - dot(duals, &column.entries);
            if reduced < least {
                found = Some(number);
                if lowest_first {
                    return found;
                }
                least = reduced;
            }
        }
        found
    }

    /// How the basic amounts fall as a column comes in.
    fn direction(&self, entering: usize) -> Vec<f64> {
        let n_rows = self.rhs.len();
        let entries = &self.columns[entering].entries;
        (0..n_rows)
            .map(|row| dot(&self.inverse[row * n_rows..(row + 1) * n_rows], entries))
            .collect()
    }

    /// The row that is emptied first; among equals the one with the largest pivot.
    fn leaving(&self, direction: &[f64]) -> Option<usize> {
        let mut found: Option<(usize, f64)> = None;
        for (row, &falls) in direction.iter().enumerate() {
            if falls <= NOTHING {
                continue;
            }
            let ratio = self.amounts[row] / falls;
            found = match found {
                Some((best, least))
                    if ratio > least + NOTHING || (ratio > least - NOTHING && falls <= direction[best]) =>
                {
                    Some((best, least))
                }
                _ => Some((row, ratio)),
            };
        }
        found.map(|(row, _)| row)
    }

    fn pivot(&mut self, entering: usize, leaving: usize, direction: &[f64], step: f64) {
        for (amount, falls) in self.amounts.iter_mut().zip(direction) {
            *amount = (*amount - step * falls).max(0.0);
        }
        self.amounts[leaving] = step;
        self.is_basic[self.basis[leaving]] = false;
        self.is_basic[entering] = true;
        self.basis[leaving] = entering;
        self.eliminate(leaving, direction);
        self.changes += 1;
        if self.changes >= CHANGES_UNTIL_ANEW {
            self.invert_anew();
        }
    }

    /// Turns the inverse so that the direction becomes the unit column of the row.
    fn eliminate(&mut self, pivot_row: usize, direction: &[f64]) {
        let n_rows = self.rhs.len();
        let scale = 1.0 / direction[pivot_row];
        let pivoted: Vec<f64> = self.inverse[pivot_row * n_rows..(pivot_row + 1) * n_rows]
            .iter()
            .map(|entry| entry * scale)
            .collect();
        for (row, &factor) in direction.iter().enumerate() {
            let line = &mut self.inverse[row * n_rows..(row + 1) * n_rows];
            if row == pivot_row {
                line.copy_from_slice(&pivoted);
            } else if factor.abs() > 0.0 {
                for (entry, pivot) in line.iter_mut().zip(&pivoted) {
                    *entry -= factor * pivot;
                }
            }
        }
    }

    /// Works the inverse out of the basis again, so that rounding does not pile up.
    fn invert_anew(&mut self) {
        self.changes = 0;
        let n_rows = self.rhs.len();
        let Some(inverse) = inverse(
            n_rows,
            self.basis.iter().map(|&col| &self.columns[col].entries[..]),
        ) else {
            return;
        };
        self.inverse = inverse;
        for row in 0..n_rows {
            let line = &self.inverse[row * n_rows..(row + 1) * n_rows];
            let amount: f64 = line.iter().zip(&self.rhs).map(|(entry, side)| entry * side).sum();
            self.amounts[row] = amount.max(0.0);
        }
    }

    /// What one more of each row's right-hand side would cost.
    pub(super) fn duals(&self) -> Vec<f64> {
        let n_rows = self.rhs.len();
        let mut duals = vec![0.0; n_rows];
        for (row, &column) in self.basis.iter().enumerate() {
            let cost = self.columns[column].cost;
            if cost.abs() > 0.0 {
                for (dual, entry) in duals.iter_mut().zip(&self.inverse[row * n_rows..]) {
                    *dual += cost * entry;
                }
            }
        }
        duals
    }

    /// The cost of the solution.
    pub(super) fn value(&self) -> f64 {
        let costs = self.basis.iter().map(|&column| self.columns[column].cost);
        costs.zip(&self.amounts).map(|(cost, amount)| cost * amount).sum()
    }

    /// The columns in the solution with their amounts, by number.
    pub(super) fn solution(&self) -> Vec<(usize, f64)> {
        let mut pairs: Vec<(usize, f64)> = self
            .basis
            .iter()
            .copied()
            .zip(self.amounts.iter().copied())
            .collect();
        pairs.retain(|(_, amount)| *amount > NOTHING);
        pairs.sort_unstable_by_key(|(column, _)| *column);
        pairs
    }
}

fn dot(line: &[f64], entries: &[(usize, f64)]) -> f64 {
    entries.iter().map(|(row, entry)| line[*row] * entry).sum()
}

/// The inverse of a square matrix given by its columns; `None` where it has none.
fn inverse<'a>(size: usize, columns: impl Iterator<Item = &'a [(usize, f64)]>) -> Option<Vec<f64>> {
    let mut matrix = vec![0.0; size * size];
    for (col, entries) in columns.enumerate() {
        for &(row, entry) in entries {
            matrix[row * size + col] += entry;
        }
    }
    let mut inverse = vec![0.0; size * size];
    for row in 0..size {
        inverse[row * size + row] = 1.0;
    }
    for col in 0..size {
        let pivot = (col..size).max_by(|&a, &b| {
            let at = |row: usize| matrix[row * size + col].abs();
            at(a).total_cmp(&at(b))
        })?;
        if matrix[pivot * size + col].abs() < NOTHING {
            return None;
        }
        for both in [&mut matrix, &mut inverse] {
            for at in 0..size {
                both.swap(col * size + at, pivot * size + at);
            }
        }
        let scale = 1.0 / matrix[col * size + col];
        for both in [&mut matrix, &mut inverse] {
            for entry in &mut both[col * size..(col + 1) * size] {
                *entry *= scale;
            }
        }
        let (pivot_line, pivot_inverse) = (
            matrix[col * size..(col + 1) * size].to_vec(),
            inverse[col * size..(col + 1) * size].to_vec(),
        );
        for row in (0..size).filter(|&row| row != col) {
            let factor = matrix[row * size + col];
            if factor.abs() > 0.0 {
                for at in 0..size {
                    matrix[row * size + at] -= factor * pivot_line[at];
                    inverse[row * size + at] -= factor * pivot_inverse[at];
                }
            }
        }
    }
    Some(inverse)
}
