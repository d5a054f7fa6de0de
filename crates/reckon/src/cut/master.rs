//! The relaxation in which boards may be sawn in fractions, over a pool of patterns that grows as needed, and
//! the bound that follows from it.
//!
//! Holds true: a bound is worked out in whole numbers from worths rounded down and from knapsacks solved exactly,
//! so that no rounding of the linear programme can make it too high.

use std::collections::BTreeSet;

use super::greedy::Left;
use super::pattern::{Pattern, Pricing, Worth};
use super::simplex::Simplex;
use super::stock::Problem;

/// Whole numbers stand for costs in this many parts of the dearest board.
pub(super) const PARTS: i64 = 1 << 36;
/// A part that is not made costs as much as so many of the dearest boards.
const MISSING: f64 = 512.0;
/// A pattern has to save more than this of the dearest board to be worth a column.
const LEAST_GAIN: i64 = 128;

/// What the boards cost, seen from one side: the price alone, or with the area as a tie-break.
#[derive(Debug, Clone)]
pub(super) struct Costs {
    /// As parts of the dearest.
    pub(super) each: Vec<f64>,
    /// The same in whole numbers, rounded down.
    pub(super) whole: Vec<i64>,
    /// The cost that `each` counts as one.
    pub(super) dearest: f64,
}

impl Costs {
    pub(super) fn new(costs: &[f64]) -> Self {
        let dearest = costs.iter().copied().fold(f64::MIN_POSITIVE, f64::max);
        let each: Vec<f64> = costs.iter().map(|cost| cost / dearest).collect();
        let whole = each
            .iter()
            .map(|cost| (cost * PARTS as f64 - 0.5).max(0.0) as i64);
        Self {
            whole: whole.collect(),
            each,
            dearest,
        }
    }
}

/// Worths that no board gives more of than it costs, and the bound that they prove.
#[derive(Debug, Clone)]
pub(super) struct Proof {
    /// The worth of each item.
    pub(super) values: Vec<i64>,
    /// What is paid for each board of a limited stock beside its cost.
    pub(super) tolls: Vec<i64>,
    /// Σ worth × demand − Σ toll × limit, in [`PARTS`].
    pub(super) bound: i128,
}

/// The relaxation's answer.
#[derive(Debug, Clone)]
pub(super) struct Relaxed {
    /// The cost as parts of the dearest board.
    pub(super) value: f64,
    /// Patterns of the pool, by number, with how often each is sawn.
    pub(super) amounts: Vec<(usize, f64)>,
    /// Whether some part is not made.
    pub(super) lacks: bool,
    pub(super) proof: Proof,
}

/// The patterns met so far.
#[derive(Debug, Default)]
pub(super) struct Pool {
    pub(super) patterns: Vec<Pattern>,
    known: BTreeSet<(usize, Vec<u32>)>,
}

impl Pool {
    /// Takes in a pattern unless one that makes the same is there.
    pub(super) fn add(&mut self, pattern: Pattern) {
        if self.known.insert((pattern.stock, pattern.made.clone())) {
            self.patterns.push(pattern);
        }
    }
}

/// A relaxation under way.
pub(super) struct Master<'a> {
    problem: &'a Problem,
    costs: &'a Costs,
    left: &'a Left,
    simplex: Simplex,
    /// The items that are still to be made, in the order of their rows.
    items: Vec<usize>,
    /// The limited stocks, whose rows follow.
    limited: Vec<usize>,
    /// The pool's number for each of the simplex's columns behind the first ones.
    numbers: Vec<usize>,
    n_fixed: usize,
    n_seen: usize,
}

impl<'a> Master<'a> {
    pub(super) fn new(problem: &'a Problem, costs: &'a Costs, left: &'a Left) -> Self {
        let items: Vec<usize> = (0..problem.items.len())
            .filter(|&item| left.demands[item] > 0)
            .collect();
        let limited: Vec<usize> = (0..problem.stocks.len())
            .filter(|&stock| left.limits[stock].is_some_and(|limit| limit > 0))
            .collect();
        let demands = items.iter().map(|&item| f64::from(left.demands[item]));
        let limits = limited
            .iter()
            .map(|&stock| f64::from(left.limits[stock].unwrap_or(0)));
        let mut start_costs = vec![MISSING; items.len()];
        start_costs.resize(items.len() + limited.len(), 0.0);
        let mut simplex = Simplex::new(demands.chain(limits).collect(), &start_costs);
        for row in 0..items.len() {
            simplex.add(vec![(row, -1.0)], 0.0);
        }
        Self {
            n_fixed: 2 * items.len() + limited.len(),
            problem,
            costs,
            left,
            simplex,
            items,
            limited,
            numbers: Vec::new(),
            n_seen: 0,
        }
    }

    /// Takes the patterns of the pool that came since the last time, where they make no more than is needed.
    pub(super) fn take_new(&mut self, pool: &Pool) {
        for number in self.n_seen..pool.patterns.len() {
            let pattern = &pool.patterns[number];
            if self.left.has(pattern.stock) && pattern.is_within(&self.left.demands) {
                self.take(number, pattern);
            }
        }
        self.n_seen = pool.patterns.len();
    }

    /// Takes one pattern in as a column.
    fn take(&mut self, number: usize, pattern: &Pattern) {
        let mut entries: Vec<(usize, f64)> = Vec::new();
        for (row, &item) in self.items.iter().enumerate() {
            let made = pattern.made[item];
            if made > 0 {
                entries.push((row, f64::from(made)));
            }
        }
        if let Some(row) = self.limited.iter().position(|&stock| stock == pattern.stock) {
            entries.push((self.items.len() + row, 1.0));
        }
        if !entries.is_empty() {
            self.simplex.add(entries, self.costs.each[pattern.stock]);
            self.numbers.push(number);
        }
    }

    /// Solves over the patterns taken in.
    pub(super) fn solve(&mut self) {
        self.simplex.solve();
    }

    /// What each item is worth now, in [`PARTS`], rounded down.
    fn values(&self) -> Vec<i64> {
        let mut values = vec![0; self.problem.items.len()];
        for (dual, &item) in self.simplex.duals().iter().zip(&self.items) {
            values[item] = (dual * PARTS as f64).max(0.0) as i64;
        }
        values
    }

    /// What the linear programme would pay for one more board of a stock beside its cost.
    fn toll(&self, duals: &[f64], stock: usize) -> i64 {
        let row = self.limited.iter().position(|&limited| limited == stock);
        row.map_or(0, |row| {
            (-duals[self.items.len() + row] * PARTS as f64).max(0.0) as i64
        })
    }

    /// One round of pricing: the patterns that would lower the cost, and what the worths prove.
    pub(super) fn round(&self) -> (Vec<Pattern>, Proof) {
        let values = self.values();
        let duals = self.simplex.duals();
        let pricing = Pricing::new(self.problem, &values, &self.left.demands);
        let mut fresh = Vec::new();
        let mut most = vec![0; self.problem.stocks.len()];
        for stock in (0..self.problem.stocks.len()).filter(|&stock| self.left.has(stock)) {
            let Worth { value, pattern } = pricing.best(stock);
            most[stock] = value;
            if value > self.costs.whole[stock] + self.toll(&duals, stock) + LEAST_GAIN {
                fresh.push(pattern);
            }
        }
        (fresh, proof(self.costs, self.left, &values, &most))
    }

    /// The answer so far.
    pub(super) fn relaxed(&self, proof: Proof) -> Relaxed {
        let solution = self.simplex.solution();
        let lacks = solution
            .iter()
            .any(|&(column, amount)| column < self.items.len() && amount > 1e-6);
        let amounts = solution
            .into_iter()
            .filter(|(column, _)| *column >= self.n_fixed)
            .map(|(column, amount)| (self.numbers[column - self.n_fixed], amount));
        Relaxed {
            value: self.simplex.value(),
            amounts: amounts.collect(),
            lacks,
            proof,
        }
    }
}

/// Makes worths into a proof, given the most that each stock gives of them: they are shrunk until no stock
/// without a limit gives more than it costs, and the others pay a toll for what they give more.
fn proof(costs: &Costs, left: &Left, values: &[i64], most: &[i64]) -> Proof {
    let (mut above, mut below) = (1_i128, 1_i128);
    for (stock, &given) in most.iter().enumerate() {
        let (cost, given) = (i128::from(costs.whole[stock]), i128::from(given));
        if left.limits[stock].is_none() && given > cost && cost * below < above * given {
            (above, below) = (cost, given);
        }
    }
    let values: Vec<i64> = (values.iter())
        .map(|&value| (i128::from(value) * above / below) as i64)
        .collect();
    let tolls: Vec<i64> = (most.iter().zip(&costs.whole).zip(&left.limits))
        .map(|((&given, &cost), limit)| match limit {
            Some(_) => (i128::from(given) * above / below - i128::from(cost)).max(0) as i64,
            None => 0,
        })
        .collect();
    let worth = |(&value, &demand): (&i64, &u32)| i128::from(value) * i128::from(demand);
    let paid = |(&toll, &limit): (&i64, &Option<u32>)| i128::from(toll) * i128::from(limit.unwrap_or(0));
    let bound = values.iter().zip(&left.demands).map(worth).sum::<i128>()
        - tolls.iter().zip(&left.limits).map(paid).sum::<i128>();
    Proof { values, tolls, bound }
}
