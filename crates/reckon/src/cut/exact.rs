//! Going through all plans, where the patterns that a cheaper one could use are few enough.
//!
//! A cheaper plan uses no pattern that gives up more of the bound than there is between bound and best plan. When
//! all others are written down, branching on how many boards of a kind are used, and on how often a pattern is
//! sawn, settles the matter. The lowest bound among the open branches holds for all.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::greedy::Sawn;
use super::listing::Listing;
use super::master::{Costs, PARTS, Proof};
use super::pattern::Pattern;
use super::search::Search;
use super::simplex::Simplex;
use super::stock::Problem;

/// A part that is not made costs as much as so many of the dearest boards.
const MISSING: f64 = 16_384.0;
/// Amounts this near to a whole number are whole.
const NEAR: f64 = 1e-6;

/// Settles what the least cost is, if it is not too much work: either the best plan becomes the cheapest, or it is
/// proven so. After so many branches what is proven by then is kept.
pub(super) fn settle(search: &mut Search<'_>, costs: &Costs, proof: &Proof, most_branches: u32) {
    let problem = search.problem;
    let slack = search.found.as_ref().map(|best| {
        let next = (best.weight - 1) * PARTS.unsigned_abs() as u128 / u128::from(problem.heaviest());
        i128::try_from(next).unwrap_or(i128::MAX / 2) + 1 - proof.bound
    });
    let mut patterns = Vec::new();
    for stock in 0..problem.stocks.len() {
        let least =
            slack.map(|slack| i128::from(costs.whole[stock]) + i128::from(proof.tolls[stock]) - slack);
        let Some(found) = Listing::of(problem, stock, proof, least) else {
            return;
        };
        patterns.extend(found);
    }
    Tree::new(problem, costs, patterns).search(search, most_branches);
}

/// What is laid down in a branch.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Branch {
    /// For each stock the fewest and the most boards.
    boards: Vec<(u32, u32)>,
    /// For each pattern the fewest and the most times it is sawn.
    times: Vec<(u32, u32)>,
}

/// The lowest bound first, among equals the deepest, among these the newest.
type Open = Reverse<(u128, Reverse<u32>, Reverse<u32>, Branch)>;

/// The answer of a branch's relaxation.
struct Solved {
    bound: u128,
    /// How often each pattern is sawn.
    amounts: Vec<f64>,
    lacks: bool,
}

struct Tree<'a> {
    problem: &'a Problem,
    costs: &'a Costs,
    patterns: Vec<Pattern>,
    demands: Vec<u32>,
}

impl<'a> Tree<'a> {
    fn new(problem: &'a Problem, costs: &'a Costs, patterns: Vec<Pattern>) -> Self {
        Self {
            problem,
            costs,
            patterns,
            demands: problem.demands(),
        }
    }

    fn root(&self) -> Branch {
        let pieces: u32 = self.demands.iter().sum();
        let limits = self
            .problem
            .stocks
            .iter()
            .map(|stock| (0, stock.limit.unwrap_or(pieces)));
        let most = |pattern: &Pattern| {
            let made = pattern
                .made
                .iter()
                .zip(&self.demands)
                .filter(|(made, _)| **made > 0);
            made.map(|(&made, demand)| demand.div_ceil(made))
                .max()
                .unwrap_or(0)
        };
        Branch {
            boards: limits.collect(),
            times: self.patterns.iter().map(|pattern| (0, most(pattern))).collect(),
        }
    }

    /// What no sensible plan weighs: a board of the heaviest for each piece, and one more.
    fn beyond_all(&self) -> u128 {
        let pieces: u32 = self.demands.iter().sum();
        u128::from(self.problem.heaviest()) * (u128::from(pieces) + 1)
    }

    fn search(&self, search: &mut Search<'_>, most_branches: u32) {
        let mut open: BinaryHeap<Open> = BinaryHeap::new();
        let (mut branches, mut unsettled) = (0, None);
        open.push(Reverse((0, Reverse(0), Reverse(0), self.root())));
        while let Some(Reverse((bound, depth, _, branch))) = open.pop() {
            let best = search
                .found
                .as_ref()
                .map_or(self.beyond_all(), |best| best.weight);
            if bound >= best {
                break;
            }
            branches += 1;
            if branches > most_branches || !search.goes_on() {
                let lowest = unsettled.map_or(bound, |other: u128| other.min(bound));
                search.bound = search.bound.max(lowest);
                return;
            }
            let Some(solved) = self.solve(&branch) else {
                continue;
            };
            let bound = solved.bound.max(bound);
            if bound >= best {
                continue;
            }
            if let Some([lower, upper]) = self.parted(&branch, &solved) {
                for (nearer, branch) in [lower, upper].into_iter().enumerate() {
                    let age = Reverse(2 * branches + nearer as u32);
                    open.push(Reverse((bound, Reverse(depth.0 + 1), age, branch)));
                }
            } else if solved.lacks {
                unsettled = Some(unsettled.map_or(bound, |other| other.min(bound)));
            } else {
                search.offer(self.trimmed(&solved));
                let is_settled = search.found.as_ref().is_some_and(|best| bound >= best.weight);
                if !is_settled {
                    unsettled = Some(unsettled.map_or(bound, |other| other.min(bound)));
                }
            }
        }
        match (&search.found, unsettled) {
            (Some(best), None) => search.bound = best.weight,
            (Some(best), Some(bound)) => search.bound = search.bound.max(bound.min(best.weight)),
            (None, None) => search.impossible = true,
            (None, Some(_)) => {}
        }
    }

    /// Two branches that leave out a solution in fractions; none where it is whole.
    fn parted(&self, branch: &Branch, solved: &Solved) -> Option<[Branch; 2]> {
        let mut boards = vec![0.0; branch.boards.len()];
        for (pattern, amount) in self.patterns.iter().zip(&solved.amounts) {
            boards[pattern.stock] += amount;
        }
        let (mut lower, mut upper) = (branch.clone(), branch.clone());
        if let Some((stock, amount)) = most_fractional(&boards) {
            lower.boards[stock].1 = amount.floor() as u32;
            upper.boards[stock].0 = amount.ceil() as u32;
        } else {
            let (number, amount) = most_fractional(&solved.amounts)?;
            lower.times[number].1 = amount.floor() as u32;
            upper.times[number].0 = amount.ceil() as u32;
        }
        Some([lower, upper])
    }

    /// The relaxation of a branch; `None` where it contradicts itself.
    fn solve(&self, branch: &Branch) -> Option<Solved> {
        let mut demands = self.demands.clone();
        let mut used = vec![0; branch.boards.len()];
        for (pattern, &(fewest, most)) in self.patterns.iter().zip(&branch.times) {
            used[pattern.stock] += fewest;
            for (demand, made) in demands.iter_mut().zip(&pattern.made) {
                *demand = demand.saturating_sub(made * fewest);
            }
            if fewest > most {
                return None;
            }
        }
        let mut rooms = Vec::new();
        for (&(fewest, most), used) in branch.boards.iter().zip(&used) {
            rooms.push((fewest.saturating_sub(*used), most.checked_sub(*used)?));
        }
        let relaxation = Relaxation::new(self, branch, &demands, &rooms);
        let weights = self.problem.stocks.iter().zip(&used);
        let spent: u128 = weights
            .map(|(stock, &used)| u128::from(stock.weight) * u128::from(used))
            .sum();
        let mut solved = relaxation.solve(branch);
        solved.bound += spent;
        Some(solved)
    }

    /// The plan of a whole solution, without pieces that nobody needs.
    fn trimmed(&self, solved: &Solved) -> Sawn {
        let mut left = self.demands.clone();
        let mut trimmed = Sawn::new();
        for (pattern, amount) in self.patterns.iter().zip(&solved.amounts) {
            for _ in 0..amount.round() as u32 {
                let pattern = pattern.within(self.problem, &left);
                for (demand, made) in left.iter_mut().zip(&pattern.made) {
                    *demand -= made;
                }
                if pattern.made.iter().any(|&made| made > 0) {
                    trimmed.push((pattern, 1));
                }
            }
        }
        trimmed
    }
}

/// The amount farthest from a whole number; `None` where all are whole.
fn most_fractional(amounts: &[f64]) -> Option<(usize, f64)> {
    let distance = |amount: f64| (amount - amount.round()).abs();
    let fractional = amounts
        .iter()
        .copied()
        .enumerate()
        .filter(|(_, amount)| distance(*amount) > NEAR);
    fractional.max_by(|a, b| distance(a.1).total_cmp(&distance(b.1)).then(b.0.cmp(&a.0)))
}

/// The linear programme of a branch.
struct Relaxation<'t> {
    tree: &'t Tree<'t>,
    simplex: Simplex,
    demands: &'t [u32],
    rooms: &'t [(u32, u32)],
    /// The items that are still to be made, in the order of their rows.
    items: Vec<usize>,
    /// The stocks with a fewest, whose rows follow; then those with a most.
    fewest: Vec<usize>,
    most: Vec<usize>,
    /// For each column of a pattern its number, and how often it can be sawn.
    columns: Vec<(usize, u32)>,
    first_column: usize,
}

impl<'t> Relaxation<'t> {
    fn new(tree: &'t Tree<'t>, branch: &Branch, demands: &'t [u32], rooms: &'t [(u32, u32)]) -> Self {
        let items: Vec<usize> = (0..demands.len()).filter(|&item| demands[item] > 0).collect();
        let pieces: u32 = tree.demands.iter().sum();
        let fewest: Vec<usize> = (0..rooms.len()).filter(|&stock| rooms[stock].0 > 0).collect();
        let most: Vec<usize> = (0..rooms.len())
            .filter(|&stock| branch.boards[stock].1 < pieces)
            .collect();
        let root = tree.root();
        let columns: Vec<(usize, u32)> = (0..tree.patterns.len())
            .map(|number| {
                let room = branch.times[number].1 - branch.times[number].0;
                (number, room.min(rooms[tree.patterns[number].stock].1))
            })
            .filter(|(_, room)| *room > 0)
            .collect();
        let bounded: Vec<usize> = columns
            .iter()
            .map(|(number, _)| *number)
            .filter(|&number| branch.times[number].1 < root.times[number].1)
            .collect();
        let mut rhs: Vec<f64> = items.iter().map(|&item| f64::from(demands[item])).collect();
        rhs.extend(fewest.iter().map(|&stock| f64::from(rooms[stock].0)));
        let n_least = rhs.len();
        rhs.extend(most.iter().map(|&stock| f64::from(rooms[stock].1)));
        rhs.extend(
            bounded
                .iter()
                .map(|&number| f64::from(branch.times[number].1 - branch.times[number].0)),
        );
        let mut start_costs = vec![MISSING; n_least];
        start_costs.resize(rhs.len(), 0.0);
        let mut simplex = Simplex::new(rhs, &start_costs);
        for row in 0..n_least {
            simplex.add(vec![(row, -1.0)], 0.0);
        }
        let first_column = start_costs.len() + n_least;
        for &(number, _) in &columns {
            let pattern = &tree.patterns[number];
            let mut entries: Vec<(usize, f64)> = Vec::new();
            for (row, &item) in items.iter().enumerate() {
                let made = pattern.made[item].min(demands[item]);
                if made > 0 {
                    entries.push((row, f64::from(made)));
                }
            }
            let stocks = fewest.iter().chain(&most).enumerate();
            entries.extend(
                stocks
                    .filter(|(_, stock)| **stock == pattern.stock)
                    .map(|(at, _)| (items.len() + at, 1.0)),
            );
            let bounds = bounded.iter().enumerate().filter(|(_, other)| **other == number);
            entries.extend(bounds.map(|(at, _)| (n_least + most.len() + at, 1.0)));
            simplex.add(entries, tree.costs.each[pattern.stock]);
        }
        Self {
            tree,
            simplex,
            demands,
            rooms,
            items,
            fewest,
            most,
            columns,
            first_column,
        }
    }

    fn solve(mut self, branch: &Branch) -> Solved {
        self.simplex.solve();
        let mut amounts: Vec<f64> = branch
            .times
            .iter()
            .map(|(fewest, _)| f64::from(*fewest))
            .collect();
        let mut lacks = false;
        let n_least = self.items.len() + self.fewest.len();
        for (column, amount) in self.simplex.solution() {
            if column >= self.first_column {
                amounts[self.columns[column - self.first_column].0] += amount;
            } else if column < n_least {
                lacks |= amount > NEAR;
            }
        }
        Solved {
            bound: self.bound(),
            amounts,
            lacks,
        }
    }

    /// What the duals prove, in whole numbers: whatever a pattern is worth beyond its cost is given away as often
    /// as it can be sawn.
    fn bound(&self) -> u128 {
        let duals: Vec<i128> = (self.simplex.duals().iter())
            .map(|dual| (dual * PARTS as f64) as i128)
            .collect();
        let (n_items, n_fewest) = (self.items.len(), self.fewest.len());
        let mut values = vec![0; self.demands.len()];
        let mut stock_values = vec![0; self.rooms.len()];
        let mut bound = 0;
        for (&item, &dual) in self.items.iter().zip(&duals) {
            values[item] = dual.max(0);
            bound += values[item] * i128::from(self.demands[item]);
        }
        for (&stock, &dual) in self.fewest.iter().zip(&duals[n_items..]) {
            stock_values[stock] += dual.max(0);
            bound += dual.max(0) * i128::from(self.rooms[stock].0);
        }
        for (&stock, &dual) in self.most.iter().zip(&duals[n_items + n_fewest..]) {
            stock_values[stock] += dual.min(0);
            bound += dual.min(0) * i128::from(self.rooms[stock].1);
        }
        for &(number, times) in &self.columns {
            let pattern = &self.tree.patterns[number];
            let made = |item: usize| i128::from(pattern.made[item].min(self.demands[item]));
            let worth: i128 = self.items.iter().map(|&item| made(item) * values[item]).sum();
            let beyond =
                worth + stock_values[pattern.stock] - i128::from(self.tree.costs.whole[pattern.stock]);
            bound -= beyond.max(0) * i128::from(times);
        }
        self.tree.problem.whole_weight(bound)
    }
}
