//! A small generator of numbers: the same seed gives the same ruins on every machine.

/// SplitMix64.
#[derive(Debug, Clone)]
pub(crate) struct Rng(u64);

impl Rng {
    pub(crate) const fn new(seed: u64) -> Self {
        Self(seed)
    }

    pub(crate) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// A number below `limit`, which is above 0.
    pub(crate) fn below(&mut self, limit: usize) -> usize {
        let limit = u64::try_from(limit).unwrap_or(u64::MAX);
        usize::try_from(self.next() % limit).unwrap_or(0)
    }

    /// True so many times in a hundred.
    pub(crate) fn percent(&mut self, chance: usize) -> bool {
        self.below(100) < chance
    }
}
