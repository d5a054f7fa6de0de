//! Plans at once: board after board, each filled as well as may be with what is still to be made.

use super::pattern::{Pattern, Pricing, Strip};
use super::stock::Problem;

/// What is still to be made, and what there still is to make it of.
#[derive(Debug, Clone)]
pub(super) struct Left {
    pub(super) demands: Vec<u32>,
    pub(super) limits: Vec<Option<u32>>,
}

impl Left {
    pub(super) fn all(problem: &Problem) -> Self {
        Self {
            demands: problem.demands(),
            limits: problem.limits(),
        }
    }

    pub(super) fn is_done(&self) -> bool {
        self.demands.iter().all(|&demand| demand == 0)
    }

    pub(super) fn has(&self, stock: usize) -> bool {
        self.limits[stock] != Some(0)
    }

    /// Takes off what a pattern gives so many times, as far as it is needed, and the boards.
    pub(super) fn take(&mut self, pattern: &Pattern, times: u32) {
        for (demand, made) in self.demands.iter_mut().zip(&pattern.made) {
            *demand = demand.saturating_sub(made * times);
        }
        if let Some(limit) = &mut self.limits[pattern.stock] {
            *limit -= times;
        }
    }

    /// How often a pattern can be sawn.
    pub(super) fn times(&self, pattern: &Pattern) -> u32 {
        let times = pattern.times_within(&self.demands);
        self.limits[pattern.stock].map_or(times, |limit| limit.min(times))
    }
}

/// Patterns, each with how often it is sawn.
pub(super) type Sawn = Vec<(Pattern, u32)>;

/// Fills board after board, the one that gives most for its weight first, by worths of the items.
///
/// Gives what is sawn; what was not to be had of too few boards stays in `left`.
pub(super) fn fill(problem: &Problem, left: &mut Left, values: &[i64]) -> Sawn {
    let mut sawn = Sawn::new();
    while !left.is_done() {
        let patterns = (0..problem.stocks.len())
            .filter(|&stock| left.has(stock))
            .map(|stock| proper(problem, stock, &left.demands, values))
            .filter(|pattern| pattern.made.iter().any(|&made| made > 0));
        let Some(pattern) = patterns
            .max_by(|a, b| merit(problem, left, a, values).total_cmp(&merit(problem, left, b, values)))
        else {
            return sawn;
        };
        let times = left.times(&pattern).max(1);
        left.take(&pattern, times);
        sawn.push((pattern, times));
    }
    sawn
}

/// What a pattern gives for its weight; one that makes all that is left counts as if it were full.
fn merit(problem: &Problem, left: &Left, pattern: &Pattern, values: &[i64]) -> f64 {
    let worth: f64 = (pattern.made.iter().zip(values))
        .map(|(&made, &value)| f64::from(made) * value as f64)
        .sum();
    let stock = &problem.stocks[pattern.stock];
    // Among boards without a price, the smaller is the better.
    let weight = stock.weight as f64 + 1e-9 * stock.area as f64;
    let makes_all = pattern.made == left.demands;
    worth / weight * if makes_all { 2.0 } else { 1.0 }
}

/// The best strip after strip for what is still to be made, so that nothing is made twice.
pub(super) fn proper(problem: &Problem, stock: usize, demands: &[u32], values: &[i64]) -> Pattern {
    let mut left = demands.to_vec();
    let mut strips = Vec::new();
    for (place, stack) in problem.stocks[stock].stacks.iter().enumerate() {
        let mut room = stack.length;
        while room > 0 {
            let pricing = Pricing::new(problem, values, &left);
            let outer = pricing.outer(stock, room);
            let classes = outer.things(outer.filled(room + problem.kerf));
            // The widest first: narrow strips still fit when it was trimmed to what is needed.
            let Some(&(class, most)) = classes.last() else {
                break;
            };
            let strip = Strip {
                place,
                runs: pricing.strip(class, stock, place).runs,
            };
            let one = Pattern::new(problem, stock, vec![strip]).within(problem, &left);
            let times = one.times_within(&left).min(most).max(1);
            let Some(strip) = one.strips.first() else { break };
            room -= i64::from(times) * (strip.stack(problem) + problem.kerf);
            for _ in 0..times {
                strips.push(strip.clone());
            }
            for (demand, made) in left.iter_mut().zip(&one.made) {
                *demand -= made * times;
            }
        }
    }
    Pattern::new(problem, stock, strips)
}

/// More pieces than this are not laid one by one.
const MOST_LAID: u64 = 5_000;

/// A board being laid by first fit.
struct Laid {
    stock: usize,
    strips: Vec<LaidStrip>,
    /// For each stacking stretch.
    room: Vec<i64>,
}

struct LaidStrip {
    strip: Strip,
    stack: i64,
    /// For each running stretch.
    room: Vec<i64>,
}

/// First fit: the widest and longest pieces first, each into the first strip, or else onto the first board, with
/// room; a new board is of the given stock where it will do.
pub(super) fn first_fit(problem: &Problem, left: &mut Left, favourite: usize) -> Sawn {
    let pieces: u64 = left.demands.iter().map(|&demand| u64::from(demand)).sum();
    let mut boards: Vec<Laid> = Vec::new();
    if pieces <= MOST_LAID {
        for item in (0..problem.items.len()).rev() {
            while left.demands[item] > 0 && lay(problem, &mut boards, left, item, favourite) {
                left.demands[item] -= 1;
            }
        }
    }
    let pattern = |laid: Laid| {
        let strips = laid.strips.into_iter().map(|laid| laid.strip).collect();
        (Pattern::new(problem, laid.stock, strips), 1)
    };
    boards.into_iter().map(pattern).collect()
}

fn lay(problem: &Problem, boards: &mut Vec<Laid>, left: &mut Left, item: usize, favourite: usize) -> bool {
    if boards.iter_mut().any(|board| board.lay(problem, item)) {
        return true;
    }
    let stocks = std::iter::once(favourite).chain(0..problem.stocks.len());
    for stock in stocks.filter(|&stock| left.has(stock)) {
        let kind = &problem.stocks[stock];
        let mut board = Laid {
            stock,
            strips: Vec::new(),
            room: kind.stacks.iter().map(|stack| stack.length).collect(),
        };
        if board.lay(problem, item) {
            if let Some(limit) = &mut left.limits[stock] {
                *limit -= 1;
            }
            boards.push(board);
            return true;
        }
    }
    false
}

impl Laid {
    fn lay(&mut self, problem: &Problem, item: usize) -> bool {
        let (run, stack) = (problem.items[item].run, problem.items[item].stack);
        for strip in self.strips.iter_mut().filter(|strip| strip.stack >= stack) {
            if let Some(at) = strip.room.iter().position(|&room| room >= run) {
                strip.room[at] -= run + problem.kerf;
                put(&mut strip.strip.runs[at], item);
                return true;
            }
        }
        let runs = &problem.stocks[self.stock].runs;
        let (Some(place), Some(at)) = (
            self.room.iter().position(|&room| room >= stack),
            runs.iter().position(|stretch| stretch.length >= run),
        ) else {
            return false;
        };
        self.room[place] -= stack + problem.kerf;
        let mut room: Vec<i64> = runs.iter().map(|stretch| stretch.length).collect();
        room[at] -= run + problem.kerf;
        let mut strip = Strip {
            place,
            runs: vec![Vec::new(); runs.len()],
        };
        put(&mut strip.runs[at], item);
        self.strips.push(LaidStrip { strip, stack, room });
        true
    }
}

fn put(run: &mut Vec<(usize, u32)>, item: usize) {
    match run.iter_mut().find(|(same, _)| *same == item) {
        Some((_, count)) => *count += 1,
        None => run.push((item, 1)),
    }
}

/// Worths by which large, wide or long pieces are sawn first.
pub(super) fn leanings(problem: &Problem) -> Vec<Vec<i64>> {
    let widest = problem.items.iter().map(|item| item.stack).max().unwrap_or(1) as f64;
    let longest = problem.items.iter().map(|item| item.run).max().unwrap_or(1) as f64;
    let leaning = |wide: f64, long: f64| {
        let value = |run: f64, stack: f64| run * stack * (1.0 + wide * stack + long * run);
        let values = problem.items.iter().map(|item| {
            let (run, stack) = (item.run as f64 / longest, item.stack as f64 / widest);
            // Small enough that no sum overflows, large enough that no worth is lost.
            (value(run, stack) * (1_u64 << 40) as f64).max(1.0) as i64
        });
        values.collect()
    };
    vec![
        leaning(0.0, 0.0),
        leaning(0.0, 0.1),
        leaning(0.1, 0.0),
        leaning(0.0, 1.0),
        leaning(1.0, 0.0),
        leaning(1.0, 1.0),
    ]
}
