//! What a search answers with.

use quantity::Length;

/// A part where it is sawn from a board.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Piece {
    /// Which of the job's parts, by its place in the list.
    pub part: usize,
    /// From the board's left end to the piece.
    pub x: Length,
    /// From the board's lower edge to the piece; nothing where only lengths are cut.
    pub y: Length,
    /// Along the board.
    pub length: Length,
    /// Across the board, where widths count.
    pub width: Option<Length>,
}

/// A board with the pieces that it gives.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CutBoard {
    /// Which of the job's boards, by its place in the list.
    pub board: usize,
    /// From the lower left corner, strip by strip (length by length, crosscut first).
    pub pieces: Vec<Piece>,
}

/// Every board to be sawn, one by one; boards that are sawn alike follow each other.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// The boards used.
    pub boards: Vec<CutBoard>,
    /// The price of the boards used, in the smallest coin.
    pub cost: u64,
    /// No plan whatever costs less, in the smallest coin.
    pub bound: u64,
    /// The share of the used boards' area (length, where only lengths are cut) that is no part.
    pub waste_fraction: f64,
}

impl Plan {
    /// Whether no plan is cheaper.
    pub fn is_optimal(&self) -> bool {
        self.cost == self.bound
    }

    /// How much of the cost might still be saved, at the very most, as a fraction of the cost.
    pub fn gap(&self) -> f64 {
        gap(self.cost, self.bound)
    }
}

/// How far a search is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Progress {
    /// The cost of the best plan so far; `None` where boards are few and no plan is known yet.
    pub cost: Option<u64>,
    /// What is proven that no plan undercuts.
    pub bound: u64,
    /// The share of the best plan's boards that is no part.
    pub waste_fraction: Option<f64>,
}

impl Progress {
    /// How much of the cost might still be saved, as a fraction of it; `None` before the first plan.
    pub fn gap(&self) -> Option<f64> {
        self.cost.map(|cost| gap(cost, self.bound))
    }
}

fn gap(cost: u64, bound: u64) -> f64 {
    if cost == 0 {
        return 0.0;
    }
    (cost - bound) as f64 / cost as f64
}
