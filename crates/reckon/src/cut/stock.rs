//! The job in whole steps, the same for both orders of cutting and for both numbers of directions.
//!
//! A strip *runs* the way its pieces follow each other, and strips are *stacked* the other way. Ripped first,
//! strips run along the board; crosscut first, across it. Where only lengths are cut a board has one strip.

use quantity::Length;

use super::job::{Board, CutError, Job, Order, Part};
use super::master::PARTS;
use super::pattern::Pattern;

/// Pieces of one size, whatever parts they are for.
#[derive(Debug, Clone)]
pub(super) struct Item {
    /// Along the strip.
    pub(super) run: i64,
    /// Across the strip.
    pub(super) stack: i64,
    pub(super) demand: u32,
    /// The job's parts of this size.
    pub(super) parts: Vec<usize>,
}

/// Sound wood between bad places, edges trimmed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Stretch {
    pub(super) from: i64,
    pub(super) length: i64,
}

/// Boards of one kind that some part can be made of.
#[derive(Debug, Clone)]
pub(super) struct Stock {
    /// Which of the job's boards.
    pub(super) board: usize,
    /// Where pieces may lie along a strip.
    pub(super) runs: Vec<Stretch>,
    /// Where strips may lie.
    pub(super) stacks: Vec<Stretch>,
    /// The price as a multiple of the greatest common divisor of all, or the area where nothing has a price.
    pub(super) weight: u64,
    /// The area, as a multiple of the greatest common divisor of all.
    pub(super) area: u64,
    /// How many there are, where fewer than there are pieces.
    pub(super) limit: Option<u32>,
}

/// The job in whole steps.
#[derive(Debug, Clone)]
pub(super) struct Problem {
    /// By their size across the strip, then along it.
    pub(super) items: Vec<Item>,
    pub(super) stocks: Vec<Stock>,
    pub(super) kerf: i64,
    /// The sizes that items have across a strip, each once, the smallest first.
    pub(super) classes: Vec<i64>,
    /// What a weight of one costs in the smallest coin; `None` where nothing has a price.
    pub(super) coin: Option<u64>,
    /// Whether the cheapest plan is the least wasteful one too.
    pub(super) price_follows_area: bool,
    /// The area of all parts, in the unit of the stocks' areas, for telling the waste.
    pub(super) parts_area: f64,
}

impl Problem {
    pub(super) fn of(job: &Job) -> Result<Self, CutError> {
        let mut items = items(job);
        let mut stocks: Vec<Stock> = job
            .boards
            .iter()
            .enumerate()
            .map(|(board, kind)| stock(job, board, kind))
            .collect();
        let pieces: u32 = items.iter().map(|item| item.demand).sum();
        for stock in &mut stocks {
            stock.limit = stock.limit.filter(|limit| *limit < pieces);
        }
        stocks.retain(|stock| stock.limit != Some(0) && items.iter().any(|item| stock.gives(item)));
        let too_large = items
            .iter()
            .filter(|item| !stocks.iter().any(|stock| stock.gives(item)));
        let names: Vec<String> = too_large
            .flat_map(|item| item.parts.iter().map(|&part| job.parts[part].name.clone()))
            .collect();
        if !names.is_empty() {
            return Err(CutError::TooLarge { parts: names });
        }
        items.sort_by_key(|item| (item.stack, item.run));
        let mut classes: Vec<i64> = items.iter().map(|item| item.stack).collect();
        classes.dedup();
        let areas_step = gcd_of(stocks.iter().map(|stock| stock.area));
        let coin = gcd_of(stocks.iter().map(|stock| stock.weight));
        let parts_area: i128 = items
            .iter()
            .map(|item| i128::from(item.run) * i128::from(item.stack) * i128::from(item.demand))
            .sum();
        for stock in &mut stocks {
            stock.area /= areas_step;
            stock.weight = stock.weight.checked_div(coin).unwrap_or(stock.area);
        }
        let first = (u128::from(stocks[0].weight), u128::from(stocks[0].area));
        let price_follows_area = stocks
            .iter()
            .all(|stock| u128::from(stock.weight) * first.1 == u128::from(stock.area) * first.0);
        Ok(Self {
            items,
            stocks,
            kerf: job.kerf.steps(),
            classes,
            coin: (coin > 0).then_some(coin),
            price_follows_area,
            parts_area: parts_area as f64 / areas_step as f64,
        })
    }

    pub(super) fn demands(&self) -> Vec<u32> {
        self.items.iter().map(|item| item.demand).collect()
    }

    pub(super) fn limits(&self) -> Vec<Option<u32>> {
        self.stocks.iter().map(|stock| stock.limit).collect()
    }

    /// What is sawn, by weight and area.
    pub(super) fn weigh(&self, sawn: &[(Pattern, u32)]) -> (u128, u128) {
        let each = sawn.iter().map(|(pattern, times)| {
            let stock = &self.stocks[pattern.stock];
            let times = u128::from(*times);
            (times * u128::from(stock.weight), times * u128::from(stock.area))
        });
        each.fold((0, 0), |sum, one| (sum.0 + one.0, sum.1 + one.1))
    }

    /// The same with an area below `most` as the tie-break among equal weights.
    pub(super) fn with_area(&self, most: u128) -> Self {
        let step = u64::try_from(most + 1).unwrap_or(u64::MAX);
        let weigh = |stock: &Stock| stock.weight.saturating_mul(step).saturating_add(stock.area);
        let stocks = self.stocks.iter().map(|stock| Stock {
            weight: weigh(stock),
            ..stock.clone()
        });
        Self {
            stocks: stocks.collect(),
            price_follows_area: true,
            ..self.clone()
        }
    }

    /// The greatest weight of a board, which is one at least.
    pub(super) fn heaviest(&self) -> u64 {
        self.stocks
            .iter()
            .map(|stock| stock.weight)
            .max()
            .unwrap_or(1)
            .max(1)
    }

    /// A bound in parts of the heaviest board as a whole weight, rounded up.
    pub(super) fn whole_weight(&self, bound: i128) -> u128 {
        let bound = u128::try_from(bound).unwrap_or(0);
        (bound * u128::from(self.heaviest())).div_ceil(PARTS.unsigned_abs().into())
    }

    /// A weight as money, in the smallest coin.
    pub(super) fn money(&self, weight: u128) -> u64 {
        let money = |coin: u64| u64::try_from(weight * u128::from(coin));
        // The dearest board times the most pieces is far within range.
        self.coin
            .map_or(0, |coin| money(coin).expect("BUG: a plan is dearer than can be"))
    }
}

impl Stock {
    /// Whether a piece of this size can be had from such a board.
    fn gives(&self, item: &Item) -> bool {
        self.runs.iter().any(|run| run.length >= item.run)
            && self.stacks.iter().any(|stack| stack.length >= item.stack)
    }
}

fn items(job: &Job) -> Vec<Item> {
    let mut items: Vec<Item> = Vec::new();
    for (number, part) in job.parts.iter().enumerate().filter(|(_, part)| part.count > 0) {
        let (run, stack) = turned(order(job), part_size(part));
        match items
            .iter_mut()
            .find(|item| (item.run, item.stack) == (run, stack))
        {
            Some(item) => {
                item.demand += part.count;
                item.parts.push(number);
            }
            None => items.push(Item {
                run,
                stack,
                demand: part.count,
                parts: vec![number],
            }),
        }
    }
    items
}

/// The order that counts: where only lengths are cut, a board is one strip that runs along it.
pub(super) fn order(job: &Job) -> Order {
    if job.has_widths() {
        job.order
    } else {
        Order::RipFirst
    }
}

/// Length and width in steps; where there is no width, one step stands for it.
fn part_size(part: &Part) -> (i64, i64) {
    (part.length.steps(), part.width.map_or(1, Length::steps))
}

/// What is along and across the board as what is along and across its strips, and the other way round.
pub(super) fn turned<T>(order: Order, (along, across): (T, T)) -> (T, T) {
    match order {
        Order::RipFirst => (along, across),
        Order::CrosscutFirst => (across, along),
    }
}

fn stock(job: &Job, number: usize, board: &Board) -> Stock {
    let across = match board.width {
        Some(width) => within(job.edge, width),
        None => vec![Stretch { from: 0, length: 1 }],
    };
    let (runs, stacks) = turned(order(job), (sound_stretches(job, board), across));
    Stock {
        board: number,
        runs,
        stacks,
        weight: board.price.unwrap_or(0),
        area: board.length.steps().unsigned_abs() * board.width.map_or(1, Length::steps).unsigned_abs(),
        limit: board.count,
    }
}

fn within(edge: Length, side: Length) -> Vec<Stretch> {
    let length = side.steps() - 2 * edge.steps();
    let from = edge.steps();
    (length > 0)
        .then_some(Stretch { from, length })
        .into_iter()
        .collect()
}

/// What lies between the edges and the bad places. The next stretch begins no nearer to one than the kerf, however
/// narrow the bad place.
pub(super) fn sound_stretches(job: &Job, board: &Board) -> Vec<Stretch> {
    let end = board.length.steps() - job.edge.steps();
    let mut bad: Vec<(i64, i64)> = board
        .bad
        .iter()
        .map(|(from, to)| (from.steps(), to.steps()))
        .collect();
    bad.sort_unstable();
    let mut stretches = Vec::new();
    let mut from = job.edge.steps();
    for (bad_from, bad_to) in bad.into_iter().chain([(end, end)]) {
        let stop = bad_from.min(end);
        if stop > from {
            let length = stop - from;
            stretches.push(Stretch { from, length });
            from = stop + job.kerf.steps();
        }
        from = from.max(bad_to);
    }
    stretches
}

fn gcd_of(numbers: impl Iterator<Item = u64>) -> u64 {
    numbers.fold(0, gcd)
}

fn gcd(mut a: u64, mut b: u64) -> u64 {
    while b > 0 {
        (a, b) = (b, a % b);
    }
    a
}
