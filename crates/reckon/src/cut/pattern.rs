//! How one board is sawn, and the best way to saw it for given worths of the parts.

use super::knapsack::{Filled, Knapsack};
use super::stock::{Problem, Stretch};

/// The pieces of a strip, stretch by stretch: which item, and how many.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Strip {
    /// Which of the stock's stacking stretches it lies in.
    pub(super) place: usize,
    /// For each of the stock's running stretches.
    pub(super) runs: Vec<Vec<(usize, u32)>>,
}

/// How a board is sawn.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Pattern {
    pub(super) stock: usize,
    /// How many of each item it gives.
    pub(super) made: Vec<u32>,
    pub(super) strips: Vec<Strip>,
}

impl Strip {
    /// Its size across.
    pub(super) fn stack(&self, problem: &Problem) -> i64 {
        let pieces = self.runs.iter().flatten();
        pieces
            .map(|&(item, _)| problem.items[item].stack)
            .max()
            .unwrap_or(0)
    }
}

impl Pattern {
    /// A pattern of strips on a stock.
    pub(super) fn new(problem: &Problem, stock: usize, strips: Vec<Strip>) -> Self {
        let mut made = vec![0; problem.items.len()];
        for &(item, count) in strips.iter().flat_map(|strip| strip.runs.iter().flatten()) {
            made[item] += count;
        }
        Self { stock, made, strips }
    }

    /// The same without the pieces that are more than the demands.
    pub(super) fn within(&self, problem: &Problem, demands: &[u32]) -> Self {
        let mut left = demands.to_vec();
        let mut strips = self.strips.clone();
        for strip in &mut strips {
            for run in &mut strip.runs {
                for (item, count) in run.iter_mut() {
                    *count = (*count).min(left[*item]);
                    left[*item] -= *count;
                }
                run.retain(|(_, count)| *count > 0);
            }
        }
        strips.retain(|strip| strip.runs.iter().any(|run| !run.is_empty()));
        Self::new(problem, self.stock, strips)
    }

    /// Whether it makes no more than the demands.
    pub(super) fn is_within(&self, demands: &[u32]) -> bool {
        self.made.iter().zip(demands).all(|(made, demand)| made <= demand)
    }

    /// How often it can be sawn without making more than the demands; never for one that makes nothing.
    pub(super) fn times_within(&self, demands: &[u32]) -> u32 {
        let made = self.made.iter().zip(demands).filter(|(made, _)| **made > 0);
        made.map(|(made, demand)| demand / made).min().unwrap_or(0)
    }
}

/// The best that a stock gives for worths.
#[derive(Debug)]
pub(super) struct Worth {
    pub(super) value: i64,
    pub(super) pattern: Pattern,
}

/// The best fillings of a strip, class by class.
struct Class {
    /// For each distinct length of a running stretch.
    filled: Vec<Filled>,
}

/// Best patterns for worths of the items, on all stocks at once.
pub(super) struct Pricing<'a> {
    problem: &'a Problem,
    lengths: Vec<i64>,
    inner: Knapsack,
    classes: Vec<Class>,
}

impl<'a> Pricing<'a> {
    /// For worths of the items, of each of which a stretch takes at most the demand.
    pub(super) fn new(problem: &'a Problem, values: &[i64], demands: &[u32]) -> Self {
        let runs = problem.stocks.iter().flat_map(|stock| &stock.runs);
        let mut lengths: Vec<i64> = runs.map(|run| run.length).collect();
        lengths.sort_unstable();
        lengths.dedup();
        let longest = lengths.last().copied().unwrap_or(0);
        let mut pricing = Self {
            problem,
            inner: Knapsack::new(longest + problem.kerf),
            classes: Vec::new(),
            lengths,
        };
        let mut items = problem.items.iter().enumerate().peekable();
        for &class in &problem.classes {
            while let Some((number, item)) = items.next_if(|(_, item)| item.stack <= class) {
                let weight = item.run + problem.kerf;
                pricing.inner.add(number, weight, values[number], demands[number]);
            }
            pricing.classes.push(pricing.class());
        }
        pricing
    }

    fn class(&self) -> Class {
        let filled = |length: &i64| self.inner.filled(length + self.problem.kerf);
        Class {
            filled: self.lengths.iter().map(filled).collect(),
        }
    }

    fn filled(&self, class: usize, run: Stretch) -> Filled {
        let place = self.lengths.binary_search(&run.length);
        self.classes[class].filled[place.expect("BUG: every stretch is a length")]
    }

    /// What a strip of a class is worth on a stock.
    pub(super) fn strip_value(&self, class: usize, stock: usize) -> i64 {
        let runs = self.problem.stocks[stock].runs.iter();
        runs.map(|&run| self.filled(class, run).value).sum()
    }

    /// The strips that fill a stretch of each length up to a greatest best.
    pub(super) fn outer(&self, stock: usize, longest: i64) -> Knapsack {
        let mut outer = Knapsack::new(longest + self.problem.kerf);
        let mut narrower = 0;
        for (class, &stack) in self.problem.classes.iter().enumerate() {
            let value = self.strip_value(class, stock);
            if value > narrower {
                outer.add(class, stack + self.problem.kerf, value, u32::MAX);
                narrower = value;
            }
        }
        outer
    }

    /// The most that a stock gives; demands hold within a stretch alone.
    pub(super) fn best(&self, stock: usize) -> Worth {
        let stacks = &self.problem.stocks[stock].stacks;
        let longest = stacks.iter().map(|stack| stack.length).max().unwrap_or(0);
        let outer = self.outer(stock, longest);
        let mut value = 0;
        let mut strips = Vec::new();
        for (place, stack) in stacks.iter().enumerate() {
            let filled = outer.filled(stack.length + self.problem.kerf);
            value += filled.value;
            for (class, count) in outer.things(filled).into_iter().rev() {
                let strip = self.strip(class, stock, place);
                strips.extend(std::iter::repeat_n(strip, count as usize));
            }
        }
        Worth {
            value,
            pattern: Pattern::new(self.problem, stock, strips),
        }
    }

    /// The best strip of a class on a stock.
    pub(super) fn strip(&self, class: usize, stock: usize, place: usize) -> Strip {
        let runs = self.problem.stocks[stock].runs.iter();
        Strip {
            place,
            runs: runs
                .map(|&run| self.inner.things(self.filled(class, run)))
                .collect(),
        }
    }
}
