//! The search: plans at once, the relaxation with its bound, then rounding it down again and again.
//!
//! A dive solves the relaxation, saws the whole boards of its answer, and solves it again for what is left, until
//! nothing is. The first dive goes straight; later ones turn off at random, from a fixed seed.

use super::exact;
use super::greedy::{Left, Sawn, fill, first_fit, leanings};
use super::master::{Costs, Master, Pool, Proof, Relaxed};
use super::plan::Progress;
use super::stock::Problem;

/// The caller is asked after so many rounds of pricing or solved branches.
const STEPS_UNTIL_ASKED: u32 = 4;
/// Dives before the search has tried what it knows.
const DIVES: u32 = 400;
/// Dives for less waste, once the cost is proven.
const DIVES_FOR_WASTE: u32 = 40;
/// Dives before it is tried to go through all plans.
const DIVES_BEFORE_EXACT: u32 = 2;
/// Branches when that is tried first, and when nothing else is left to try.
const FIRST_BRANCHES: u32 = 3_000;
const LAST_BRANCHES: u32 = 100_000;

/// A complete plan.
#[derive(Debug, Clone)]
pub(super) struct Found {
    pub(super) sawn: Sawn,
    pub(super) weight: u128,
    pub(super) area: u128,
}

/// What a search ends with.
#[derive(Debug)]
pub(super) struct Outcome {
    pub(super) found: Option<Found>,
    /// A weight that no plan undercuts.
    pub(super) bound: u128,
    /// What the best incomplete attempt lacks, where no plan was found.
    pub(super) lacking: Vec<u32>,
    /// Whether it is proven that there is no plan.
    pub(super) impossible: bool,
}

/// A search under way.
pub(super) struct Search<'a> {
    pub(super) problem: &'a Problem,
    keep_on: &'a mut dyn FnMut(&Progress) -> bool,
    pub(super) pool: Pool,
    pub(super) found: Option<Found>,
    pub(super) bound: u128,
    lacking: Option<Vec<u32>>,
    pub(super) impossible: bool,
    steps: u32,
    stopped: bool,
    chance: u64,
    dives: u32,
    /// The cost that was proven before the search turned to waste.
    proven_cost: Option<u64>,
}

impl<'a> Search<'a> {
    pub(super) fn new(problem: &'a Problem, keep_on: &'a mut dyn FnMut(&Progress) -> bool) -> Self {
        Self {
            problem,
            keep_on,
            pool: Pool::default(),
            found: None,
            bound: 0,
            lacking: None,
            impossible: false,
            steps: 0,
            stopped: false,
            chance: 20_260_719,
            dives: DIVES,
            proven_cost: None,
        }
    }

    pub(super) fn run(mut self) -> Outcome {
        self.first_plans();
        self.improve();
        let (bound, is_proven) = (self.bound, self.is_proven());
        let (lacking, impossible) = (self.lacking.take().unwrap_or_default(), self.impossible);
        let found = match self.found.take() {
            Some(found) if is_proven && !self.problem.price_follows_area && !self.stopped => {
                Some(self.less_waste(found))
            }
            found => found,
        };
        Outcome {
            found,
            bound,
            lacking,
            impossible,
        }
    }

    /// The least wasteful among the plans of proven least cost, as far as it is found.
    fn less_waste(self, found: Found) -> Found {
        let problem = self.problem.with_area(found.area);
        let mut search = Search::new(&problem, self.keep_on);
        search.steps = self.steps;
        search.dives = DIVES_FOR_WASTE;
        search.proven_cost = Some(self.problem.money(found.weight));
        search.pool = self.pool;
        search.offer(found.sawn.clone());
        search.improve();
        let sawn = search.found.map_or(found.sawn, |better| better.sawn);
        let (weight, area) = self.problem.weigh(&sawn);
        debug_assert_eq!(weight, found.weight, "BUG: less waste at a higher cost");
        Found { sawn, weight, area }
    }

    fn first_plans(&mut self) {
        for values in leanings(self.problem) {
            let mut left = Left::all(self.problem);
            let sawn = fill(self.problem, &mut left, &values);
            self.offer_if_done(sawn, &left);
        }
        for stock in 0..self.problem.stocks.len() {
            let mut left = Left::all(self.problem);
            let sawn = first_fit(self.problem, &mut left, stock);
            self.offer_if_done(sawn, &left);
        }
    }

    fn offer_if_done(&mut self, sawn: Sawn, left: &Left) {
        for (pattern, _) in &sawn {
            self.pool.add(pattern.clone());
        }
        if left.is_done() {
            self.offer(sawn);
            return;
        }
        let count = |demands: &[u32]| demands.iter().map(|&demand| u64::from(demand)).sum::<u64>();
        if self
            .lacking
            .as_ref()
            .is_none_or(|lacking| count(&left.demands) < count(lacking))
        {
            self.lacking = Some(left.demands.clone());
        }
    }

    /// Keeps a complete plan if it is the best.
    pub(super) fn offer(&mut self, sawn: Sawn) {
        let (weight, area) = self.problem.weigh(&sawn);
        if self
            .found
            .as_ref()
            .is_none_or(|best| (weight, area) < (best.weight, best.area))
        {
            self.found = Some(Found { sawn, weight, area });
        }
    }

    /// Counts a step, and asks the caller from time to time; whether to go on.
    pub(super) fn goes_on(&mut self) -> bool {
        self.steps += 1;
        if !self.stopped && self.steps.is_multiple_of(STEPS_UNTIL_ASKED) {
            let progress = self.progress();
            self.stopped = !(self.keep_on)(&progress);
        }
        !self.stopped
    }

    fn progress(&self) -> Progress {
        let money = |weight: u128| self.proven_cost.unwrap_or_else(|| self.problem.money(weight));
        let best = self.found.as_ref();
        Progress {
            cost: best.map(|best| money(best.weight)),
            bound: money(best.map_or(self.bound, |best| self.bound.min(best.weight))),
            waste_fraction: best.map(|best| 1.0 - self.problem.parts_area / best.area as f64),
        }
    }

    /// Whether the best plan is as cheap as any.
    pub(super) fn is_proven(&self) -> bool {
        self.found.as_ref().is_some_and(|best| best.weight <= self.bound)
    }

    fn improve(&mut self) {
        if self.is_impossible() {
            return;
        }
        let by_price = self.by_price();
        let Some(root) = self.relax(&Left::all(self.problem), &by_price, true) else {
            return;
        };
        for dive in 0..self.dives {
            if self.is_proven() || self.impossible {
                return;
            }
            self.dive(&by_price, dive > 0);
            if dive + 1 == DIVES_BEFORE_EXACT && !self.is_proven() {
                exact::settle(self, &by_price, &root.proof, FIRST_BRANCHES);
            }
            if self.stopped {
                return;
            }
        }
        if !self.is_proven() {
            exact::settle(self, &by_price, &root.proof, LAST_BRANCHES);
        }
    }

    /// Whether fractions of all boards together do not make the parts: then nothing does.
    fn is_impossible(&mut self) -> bool {
        if self.found.is_some() {
            return false;
        }
        let free = Costs::new(&vec![0.0; self.problem.stocks.len()]);
        if let Some(relaxed) = self.relax(&Left::all(self.problem), &free, false) {
            self.impossible = relaxed.proof.bound > 0;
        }
        self.impossible
    }

    fn by_price(&self) -> Costs {
        let weights: Vec<f64> = self
            .problem
            .stocks
            .iter()
            .map(|stock| stock.weight as f64)
            .collect();
        Costs::new(&weights)
    }

    /// Solves the relaxation for what is left; at the root its bound holds for the whole job. `None` when it was
    /// stopped.
    pub(super) fn relax(&mut self, left: &Left, costs: &Costs, is_root: bool) -> Option<Relaxed> {
        let mut master = Master::new(self.problem, costs, left);
        let mut best: Option<Proof> = None;
        loop {
            master.take_new(&self.pool);
            master.solve();
            let (fresh, proof) = master.round();
            if best.as_ref().is_none_or(|best| proof.bound > best.bound) {
                if is_root {
                    self.bound = self.bound.max(self.problem.whole_weight(proof.bound));
                }
                best = Some(proof);
            }
            let n_known = self.pool.patterns.len();
            for pattern in fresh {
                self.pool.add(pattern);
            }
            if !self.goes_on() {
                return None;
            }
            if self.pool.patterns.len() == n_known {
                return best.map(|proof| master.relaxed(proof));
            }
        }
    }

    /// Rounds the relaxation down to a plan, step by step.
    fn dive(&mut self, costs: &Costs, at_random: bool) {
        let mut left = Left::all(self.problem);
        let mut sawn = Sawn::new();
        let mut spent = 0.0;
        while !left.is_done() {
            let Some(relaxed) = self.relax(&left, costs, false) else {
                return;
            };
            if relaxed.lacks || !self.may_improve(spent + relaxed.value, costs) {
                return;
            }
            self.complete(&sawn, &left, &relaxed);
            let n_before = sawn.len();
            for (number, times) in self.rounded(&relaxed, at_random) {
                let pattern = self.pool.patterns[number].clone();
                let times = times.min(left.times(&pattern));
                if times > 0 {
                    left.take(&pattern, times);
                    spent += costs.each[pattern.stock] * f64::from(times);
                    sawn.push((pattern, times));
                }
            }
            if sawn.len() == n_before {
                return;
            }
        }
        self.offer_if_done(sawn, &left);
    }

    /// Fills boards for what is left by the worths of the relaxation.
    fn complete(&mut self, sawn: &Sawn, left: &Left, relaxed: &Relaxed) {
        let mut rest = left.clone();
        let values: Vec<i64> = relaxed.proof.values.iter().map(|&value| value.max(1)).collect();
        let more = fill(self.problem, &mut rest, &values);
        self.offer_if_done([sawn.as_slice(), &more].concat(), &rest);
    }

    /// Whether a plan that costs so much, as parts of the dearest board and in fractions, could be the best.
    fn may_improve(&self, value: f64, costs: &Costs) -> bool {
        let Some(best) = &self.found else { return true };
        let whole = (value * costs.dearest - 1e-6).ceil();
        whole < best.weight as f64 - 0.5
    }

    /// The patterns of a relaxation that are sawn next: all whole ones, or else the one nearest to whole; at
    /// random, now and then another.
    fn rounded(&mut self, relaxed: &Relaxed, at_random: bool) -> Vec<(usize, u32)> {
        let mut whole: Vec<(usize, u32)> = (relaxed.amounts.iter())
            .map(|&(number, amount)| (number, (amount + 1e-6).floor() as u32))
            .filter(|(_, times)| *times > 0)
            .collect();
        if at_random && !whole.is_empty() {
            // Not all of them: what is left has to be able to be put together in another way.
            let start = self.draw(whole.len());
            whole.rotate_left(start);
            whole.truncate(1 + whole.len() / 2);
        }
        if !whole.is_empty() {
            return whole;
        }
        let mut ranked: Vec<(usize, f64)> = relaxed.amounts.clone();
        ranked.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        let pick = if at_random && self.draw(2) == 1 {
            self.draw(ranked.len().clamp(1, 4))
        } else {
            0
        };
        ranked
            .get(pick)
            .map(|&(number, _)| (number, 1))
            .into_iter()
            .collect()
    }

    /// A number below `end`, the next of a fixed row (Steele, Lea and Flood's splitmix).
    fn draw(&mut self, end: usize) -> usize {
        self.chance = self.chance.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.chance;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((mixed ^ (mixed >> 31)) % end.max(1) as u64) as usize
    }
}
