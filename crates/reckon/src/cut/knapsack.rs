//! The best filling of one length, exactly: dynamic programming over what is not bettered.
//!
//! Holds true: what is kept is strictly heavier *and* strictly more worth from one filling to the next, so the
//! work depends on how many lengths can be reached, not on how finely a length is divided.

/// A filling: the last thing put in, on top of an earlier one.
#[derive(Debug, Clone, Copy)]
struct Filling {
    before: u32,
    thing: u32,
}

/// A filling that none of the same or less weight betters.
#[derive(Debug, Clone, Copy)]
struct Best {
    weight: i64,
    value: i64,
    filling: u32,
}

/// Fillings of every length up to a greatest, growing as kinds of things are added.
#[derive(Debug)]
pub(super) struct Knapsack {
    capacity: i64,
    fillings: Vec<Filling>,
    best: Vec<Best>,
}

/// What fills a length best.
#[derive(Debug, Clone, Copy)]
pub(super) struct Filled {
    pub(super) value: i64,
    filling: u32,
}

impl Knapsack {
    /// Nothing put in yet.
    pub(super) fn new(capacity: i64) -> Self {
        let nothing = Filling { before: 0, thing: 0 };
        let empty = Best {
            weight: 0,
            value: 0,
            filling: 0,
        };
        Self {
            capacity,
            fillings: vec![nothing],
            best: vec![empty],
        }
    }

    /// Lets in up to so many copies of a thing of positive weight; a thing of no worth is left out.
    pub(super) fn add(&mut self, thing: usize, weight: i64, value: i64, copies: u32) {
        if value <= 0 {
            return;
        }
        let mut last = self.best.clone();
        for _ in 0..copies {
            let end = last.partition_point(|best| best.weight + weight <= self.capacity);
            if end == 0 {
                return;
            }
            last = self.merge(&last[..end], thing, weight, value);
        }
    }

    /// Puts one more of a thing on fillings; gives those that are not bettered.
    fn merge(&mut self, last: &[Best], thing: usize, weight: i64, value: i64) -> Vec<Best> {
        let mut merged = Vec::with_capacity(self.best.len() + last.len());
        let mut fresh = Vec::new();
        let mut most = -1;
        let mut old = self.best.iter().copied().peekable();
        for before in last {
            let (new_weight, new_value) = (before.weight + weight, before.value + value);
            while let Some(best) = old.next_if(|best| {
                best.weight < new_weight || (best.weight == new_weight && best.value >= new_value)
            }) {
                if best.value > most {
                    most = best.value;
                    merged.push(best);
                }
            }
            if new_value > most {
                most = new_value;
                let best = Best {
                    weight: new_weight,
                    value: new_value,
                    filling: self.fillings.len() as u32,
                };
                self.fillings.push(Filling {
                    before: before.filling,
                    thing: thing as u32,
                });
                merged.push(best);
                fresh.push(best);
            }
        }
        for best in old {
            if best.value > most {
                most = best.value;
                merged.push(best);
            }
        }
        self.best = merged;
        fresh
    }

    /// The best filling of a length of nothing or more.
    pub(super) fn filled(&self, length: i64) -> Filled {
        let end = self.best.partition_point(|best| best.weight <= length);
        let best = self.best[end.max(1) - 1];
        Filled {
            value: best.value,
            filling: best.filling,
        }
    }

    /// The things in a filling with how many of each, by number.
    pub(super) fn things(&self, filled: Filled) -> Vec<(usize, u32)> {
        let mut all = Vec::new();
        let mut at = filled.filling;
        while at != 0 {
            let filling = self.fillings[at as usize];
            all.push(filling.thing as usize);
            at = filling.before;
        }
        all.sort_unstable();
        let mut counted: Vec<(usize, u32)> = Vec::new();
        for thing in all {
            match counted.last_mut() {
                Some((same, count)) if *same == thing => *count += 1,
                _ => counted.push((thing, 1)),
            }
        }
        counted
    }
}
