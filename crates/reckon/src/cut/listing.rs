//! All ways to saw a board that are worth so much, where they are few enough.

use std::collections::BTreeSet;

use super::knapsack::Knapsack;
use super::master::Proof;
use super::pattern::{Pattern, Pricing, Strip};
use super::stock::Problem;

/// More strips or patterns than this are not written down.
const MOST_PATTERNS: usize = 4_000;
/// More looked-at fillings than this neither.
const MOST_LOOKS: u32 = 60_000;

/// The patterns of one stock, as they are written down.
pub(super) struct Listing<'a> {
    problem: &'a Problem,
    values: &'a [i64],
    demands: Vec<u32>,
    stock: usize,
    strips: Vec<Listed>,
    outer: Vec<Knapsack>,
    least: Option<i128>,
    made: BTreeSet<Vec<u32>>,
    patterns: Vec<Pattern>,
    looks: u32,
}

/// A strip that nothing more fits into.
struct Listed {
    stack: i64,
    runs: Vec<Vec<(usize, u32)>>,
}

impl<'a> Listing<'a> {
    /// All patterns worth at least so much that no other makes superfluous; `None` where they are too many.
    pub(super) fn of(
        problem: &'a Problem,
        stock: usize,
        proof: &'a Proof,
        least: Option<i128>,
    ) -> Option<Vec<Pattern>> {
        let demands = problem.demands();
        let pricing = Pricing::new(problem, &proof.values, &demands);
        let stacks = &problem.stocks[stock].stacks;
        let outer = stacks
            .iter()
            .map(|stack| pricing.outer(stock, stack.length))
            .collect();
        let mut listing = Self {
            problem,
            values: &proof.values,
            demands,
            stock,
            strips: Vec::new(),
            outer,
            least,
            made: BTreeSet::new(),
            patterns: Vec::new(),
            looks: 0,
        };
        listing.list_strips()?;
        listing.list_boards(&mut Vec::new(), 0, stacks[0].length, 0)?;
        Some(listing.without_superfluous())
    }

    fn looks_on(&mut self) -> Option<()> {
        self.looks += 1;
        (self.looks <= MOST_LOOKS).then_some(())
    }

    /// The widest first, each class with at least one piece of its own size.
    fn list_strips(&mut self) -> Option<()> {
        for &class in self.problem.classes.iter().rev() {
            let items: Vec<usize> = (0..self.problem.items.len())
                .rev()
                .filter(|&item| self.problem.items[item].stack <= class)
                .collect();
            let mut strips = vec![(Vec::new(), self.demands.clone())];
            for run in &self.problem.stocks[self.stock].runs {
                let mut longer = Vec::new();
                for (runs, left) in strips {
                    let mut fillings = Vec::new();
                    self.list_run(&items, run.length, &left, &mut Vec::new(), &mut fillings)?;
                    for filling in fillings {
                        let mut left = left.clone();
                        for &(item, count) in &filling {
                            left[item] -= count;
                        }
                        longer.push(([&runs[..], &[filling]].concat(), left));
                    }
                    (longer.len() <= MOST_PATTERNS).then_some(())?;
                }
                strips = longer;
            }
            let has_own = |runs: &[Vec<(usize, u32)>]| {
                let mut pieces = runs.iter().flatten();
                pieces.any(|&(item, _)| self.problem.items[item].stack == class)
            };
            strips.retain(|(runs, _)| has_own(runs));
            self.strips
                .extend(strips.into_iter().map(|(runs, _)| Listed { stack: class, runs }));
            (self.strips.len() <= MOST_PATTERNS).then_some(())?;
        }
        Some(())
    }

    /// The ways to fill a stretch so that no more of the items fits.
    fn list_run(
        &mut self,
        items: &[usize],
        room: i64,
        left: &[u32],
        chosen: &mut Vec<(usize, u32)>,
        fillings: &mut Vec<Vec<(usize, u32)>>,
    ) -> Option<()> {
        self.looks_on()?;
        let Some((&item, rest)) = items.split_first() else {
            fillings.push(chosen.clone());
            return (fillings.len() <= MOST_PATTERNS).then_some(());
        };
        let weight = self.problem.items[item].run + self.problem.kerf;
        let most = ((room + self.problem.kerf).max(0) / weight).min(i64::from(left[item])) as u32;
        for count in (0..=most).rev() {
            let room = room - i64::from(count) * weight;
            // Where one more of it would still fit after all others are in, this is not full.
            if count > 0 {
                chosen.push((item, count));
            }
            let before = fillings.len();
            self.list_run(rest, room, left, chosen, fillings)?;
            if count > 0 {
                chosen.pop();
            }
            if count < most {
                self.drop_with_room(fillings, before, room, rest, weight);
            }
        }
        Some(())
    }

    /// Drops the fillings that leave room for one more piece of this weight.
    fn drop_with_room(
        &self,
        fillings: &mut Vec<Vec<(usize, u32)>>,
        before: usize,
        room: i64,
        rest: &[usize],
        weight: i64,
    ) {
        let weigh = |&(item, count): &(usize, u32)| {
            i64::from(count) * (self.problem.items[item].run + self.problem.kerf)
        };
        let mut place = 0;
        fillings.retain(|filling| {
            place += 1;
            let taken = filling.iter().filter(|(item, _)| rest.contains(item)).map(weigh);
            place <= before || room + self.problem.kerf - taken.sum::<i64>() < weight
        });
    }

    /// Stacks strips, wide ones below, until no more fits.
    fn list_boards(
        &mut self,
        chosen: &mut Vec<(usize, usize)>,
        place: usize,
        room: i64,
        from: usize,
    ) -> Option<()> {
        self.looks_on()?;
        if self
            .least
            .is_some_and(|least| self.most(chosen, place, room) < least)
        {
            return Some(());
        }
        let mut is_full = true;
        for strip in from..self.strips.len() {
            let stack = self.strips[strip].stack;
            if stack <= room {
                is_full = false;
                chosen.push((place, strip));
                self.list_boards(chosen, place, room - stack - self.problem.kerf, strip)?;
                chosen.pop();
            }
        }
        let stacks = &self.problem.stocks[self.stock].stacks;
        match stacks.get(place + 1) {
            // A stretch may be left with room for what comes earlier in the list; that is listed elsewhere.
            Some(next) if is_full => self.list_boards(chosen, place + 1, next.length, 0),
            None if is_full => self.write_down(chosen),
            _ => Some(()),
        }
    }

    /// The most that strips with this beginning are worth.
    fn most(&self, chosen: &[(usize, usize)], place: usize, room: i64) -> i128 {
        let made = self.pattern(chosen).made;
        let so_far: i128 = (made.iter().zip(self.values))
            .map(|(&made, &value)| i128::from(made) * i128::from(value))
            .sum();
        let kerf = self.problem.kerf;
        let stacks = &self.problem.stocks[self.stock].stacks;
        let later =
            (place + 1..stacks.len()).map(|place| self.outer[place].filled(stacks[place].length + kerf));
        let here = self.outer[place].filled((room + kerf).max(0));
        so_far + i128::from(here.value) + later.map(|filled| i128::from(filled.value)).sum::<i128>()
    }

    fn pattern(&self, chosen: &[(usize, usize)]) -> Pattern {
        let strips = chosen.iter().map(|&(place, strip)| Strip {
            place,
            runs: self.strips[strip].runs.clone(),
        });
        Pattern::new(self.problem, self.stock, strips.collect()).within(self.problem, &self.demands)
    }

    fn write_down(&mut self, chosen: &[(usize, usize)]) -> Option<()> {
        let pattern = self.pattern(chosen);
        if self.made.insert(pattern.made.clone()) {
            self.patterns.push(pattern);
        }
        (self.patterns.len() <= MOST_PATTERNS).then_some(())
    }

    /// Without patterns of which another makes as many of everything.
    fn without_superfluous(self) -> Vec<Pattern> {
        let is_less = |a: &Pattern, b: &Pattern| a.made != b.made && a.is_within(&b.made);
        let is_kept = |pattern: &&Pattern| !self.patterns.iter().any(|other| is_less(pattern, other));
        self.patterns.iter().filter(is_kept).cloned().collect()
    }
}
