//! What a plan has to hold to, looked at afresh: from the job and the places of the pieces alone.

use std::fmt;

use quantity::Length;

use super::job::{Board, Job, Order};
use super::plan::{CutBoard, Piece, Plan};

/// What is wrong with a plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Broken {
    /// Which of the plan's boards, by its place; `None` where it is the plan as a whole.
    pub board: Option<usize>,
    /// What is wrong with it.
    pub says: String,
}

impl fmt::Display for Broken {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.board {
            Some(board) => write!(f, "board {}: {}", board + 1, self.says),
            None => f.write_str(&self.says),
        }
    }
}

impl std::error::Error for Broken {}

/// Whether a plan can be sawn, makes what the job asks for, and tells its cost and waste rightly.
///
/// # Errors
/// The first thing that is wrong.
pub fn check(job: &Job, plan: &Plan) -> Result<(), Broken> {
    for (place, cut) in plan.boards.iter().enumerate() {
        board(job, cut).map_err(|says| Broken {
            board: Some(place),
            says,
        })?;
    }
    whole(job, plan).map_err(|says| Broken { board: None, says })
}

fn whole(job: &Job, plan: &Plan) -> Result<(), String> {
    for (number, part) in job.parts.iter().enumerate() {
        let pieces = plan.boards.iter().flat_map(|cut| &cut.pieces);
        let made = pieces.filter(|piece| piece.part == number).count();
        ensure(made as u64 == u64::from(part.count), || {
            format!("{made} of {} are made, {} are needed", part.name, part.count)
        })?;
    }
    for (number, board) in job.boards.iter().enumerate() {
        let used = plan.boards.iter().filter(|cut| cut.board == number).count();
        ensure(
            board.count.is_none_or(|count| used as u64 <= u64::from(count)),
            || format!("{used} of {} are used, there are fewer", board.name),
        )?;
    }
    let kinds = || plan.boards.iter().map(|cut| &job.boards[cut.board]);
    let cost: u64 = kinds().map(|board| board.price.unwrap_or(0)).sum();
    ensure(cost == plan.cost, || {
        format!("the boards cost {cost}, not {}", plan.cost)
    })?;
    ensure(plan.bound <= plan.cost, || {
        "the bound is above the cost".to_owned()
    })?;
    let boards_area: f64 = kinds().map(|board| area(board.length, board.width)).sum();
    let pieces = plan.boards.iter().flat_map(|cut| &cut.pieces);
    let pieces_area: f64 = pieces.map(|piece| area(piece.length, piece.width)).sum();
    let waste = 1.0 - pieces_area / boards_area;
    ensure((waste - plan.waste_fraction).abs() < 1e-9, || {
        format!("the waste is {waste}, not {}", plan.waste_fraction)
    })
}

fn area(length: Length, width: Option<Length>) -> f64 {
    length.to_mm() * width.map_or(1.0, Length::to_mm)
}

fn ensure(holds: bool, says: impl FnOnce() -> String) -> Result<(), String> {
    if holds { Ok(()) } else { Err(says()) }
}

fn board(job: &Job, cut: &CutBoard) -> Result<(), String> {
    let kind = job.boards.get(cut.board).ok_or("there is no such board")?;
    ensure(!cut.pieces.is_empty(), || "nothing is sawn from it".to_owned())?;
    for piece in &cut.pieces {
        is_its_part(job, piece)?;
        lies_on_sound_wood(job, kind, piece)?;
    }
    two_stages(job, &cut.pieces)
}

fn is_its_part(job: &Job, piece: &Piece) -> Result<(), String> {
    let part = job.parts.get(piece.part).ok_or("there is no such part")?;
    ensure((piece.length, piece.width) == (part.length, part.width), || {
        format!("a piece for {} has another size", part.name)
    })
}

fn lies_on_sound_wood(job: &Job, kind: &Board, piece: &Piece) -> Result<(), String> {
    let name = || &job.parts[piece.part].name;
    let lies_within =
        |from: Length, size: Length, side: Length| from >= job.edge && from + size + job.edge <= side;
    ensure(lies_within(piece.x, piece.length, kind.length), || {
        format!("{} lies beyond an end", name())
    })?;
    let across = match (piece.width, kind.width) {
        (Some(size), Some(side)) => lies_within(piece.y, size, side),
        (None, None) => piece.y.is_zero(),
        _ => false,
    };
    ensure(across, || format!("{} lies beyond a side", name()))?;
    let is_on = |&(from, to): &(Length, Length)| piece.x < to && from < piece.x + piece.length;
    ensure(!kind.bad.iter().any(is_on), || {
        format!("{} lies on a bad place", name())
    })
}

/// Pieces that begin at the same height are one strip; strips lie apart by the kerf, and so do pieces within one.
fn two_stages(job: &Job, pieces: &[Piece]) -> Result<(), String> {
    let one = Length::mm(1);
    let spans = |piece: &Piece| {
        let (along, across) = ((piece.x, piece.length), (piece.y, piece.width.unwrap_or(one)));
        match job.order {
            Order::CrosscutFirst if piece.width.is_some() => (across, along),
            Order::RipFirst | Order::CrosscutFirst => (along, across),
        }
    };
    let mut sorted: Vec<((Length, Length), (Length, Length))> = pieces.iter().map(spans).collect();
    sorted.sort_by_key(|&((run, _), (stack, _))| (stack, run));
    let mut strip_end: Option<Length> = None;
    for strip in sorted.chunk_by(|a, b| a.1.0 == b.1.0) {
        let begins = strip[0].1.0;
        ensure(strip_end.is_none_or(|end| end + job.kerf <= begins), || {
            "two strips leave no room for the saw".to_owned()
        })?;
        strip_end = strip.iter().map(|&(_, (from, size))| from + size).max();
        let mut neighbours = strip.windows(2);
        ensure(
            neighbours.all(|pair| pair[0].0.0 + pair[0].0.1 + job.kerf <= pair[1].0.0),
            || "two pieces leave no room for the saw".to_owned(),
        )?;
    }
    Ok(())
}
