//! From patterns to boards with pieces at their places.

use quantity::Length;

use super::job::{CutError, Job};
use super::pattern::{Pattern, Strip};
use super::plan::{CutBoard, Piece, Plan};
use super::search::Outcome;
use super::stock::{Problem, order, turned};

/// The plan that a search ended with, or what the boards do not give.
pub(super) fn plan(job: &Job, problem: &Problem, outcome: Outcome) -> Result<Plan, CutError> {
    let Some(found) = outcome.found else {
        return Err(CutError::TooFewBoards {
            lacking: lacking(job, problem, &outcome.lacking),
            proven: outcome.impossible,
        });
    };
    let mut sawn = found.sawn;
    sawn.sort_by(|(a, _), (b, _)| a.cmp(b));
    let mut parts = Parts::new(job, problem);
    let mut boards: Vec<CutBoard> = Vec::new();
    for (pattern, times) in &sawn {
        for _ in 0..*times {
            let pieces = parts.pieces(pattern);
            boards.push(CutBoard {
                board: problem.stocks[pattern.stock].board,
                pieces,
            });
        }
    }
    boards.sort_by_key(|board| board.board);
    Ok(Plan {
        cost: problem.money(found.weight),
        bound: problem.money(outcome.bound.min(found.weight)),
        waste_fraction: waste_fraction(job, &boards),
        boards,
    })
}

/// What of the boards is no part.
pub(super) fn waste_fraction(job: &Job, boards: &[CutBoard]) -> f64 {
    let area = |length: Length, width: Option<Length>| {
        i128::from(length.steps()) * i128::from(width.map_or(1, Length::steps))
    };
    let used = boards.iter().map(|cut| &job.boards[cut.board]);
    let used: i128 = used.map(|board| area(board.length, board.width)).sum();
    let pieces = boards.iter().flat_map(|cut| &cut.pieces);
    let parts: i128 = pieces.map(|piece| area(piece.length, piece.width)).sum();
    if used == 0 {
        return 0.0;
    }
    (used - parts) as f64 / used as f64
}

fn lacking(job: &Job, problem: &Problem, demands: &[u32]) -> Vec<(String, u32)> {
    let items = problem
        .items
        .iter()
        .zip(demands)
        .filter(|(_, lacking)| **lacking > 0);
    items
        .map(|(item, &lacking)| {
            let names = item.parts.iter().map(|&part| job.parts[part].name.as_str());
            (names.collect::<Vec<_>>().join(" or "), lacking)
        })
        .collect()
}

/// Which parts the pieces of each item are still to be handed to.
struct Parts<'a> {
    job: &'a Job,
    problem: &'a Problem,
    /// For each item its parts with what they still need, the last in the list first served.
    needed: Vec<Vec<(usize, u32)>>,
}

impl<'a> Parts<'a> {
    fn new(job: &'a Job, problem: &'a Problem) -> Self {
        let needed = problem.items.iter().map(|item| {
            let parts = item.parts.iter().rev();
            parts.map(|&part| (part, job.parts[part].count)).collect()
        });
        Self {
            job,
            problem,
            needed: needed.collect(),
        }
    }

    fn next(&mut self, item: usize) -> usize {
        let parts = &mut self.needed[item];
        let last = parts.last_mut().expect("BUG: no more pieces than parts");
        last.1 -= 1;
        let part = last.0;
        if last.1 == 0 {
            parts.pop();
        }
        part
    }

    /// The pieces of a board: the widest strips first, in each the longest pieces first.
    fn pieces(&mut self, pattern: &Pattern) -> Vec<Piece> {
        let problem = self.problem;
        let stock = &problem.stocks[pattern.stock];
        let mut pieces = Vec::new();
        for (place, stretch) in stock.stacks.iter().enumerate() {
            let mut strips: Vec<&Strip> = pattern
                .strips
                .iter()
                .filter(|strip| strip.place == place)
                .collect();
            strips.sort_by_key(|strip| std::cmp::Reverse(strip.stack(problem)));
            let mut at = stretch.from;
            for strip in strips {
                for (run, filling) in stock.runs.iter().zip(&strip.runs) {
                    self.run(filling, run.from, at, &mut pieces);
                }
                at += strip.stack(problem) + problem.kerf;
            }
        }
        pieces
    }

    fn run(&mut self, filling: &[(usize, u32)], from: i64, across: i64, pieces: &mut Vec<Piece>) {
        let mut filling = filling.to_vec();
        filling.sort_by_key(|&(item, _)| std::cmp::Reverse(self.problem.items[item].run));
        let mut along = from;
        for (item, count) in filling {
            for _ in 0..count {
                let (x, y) = turned(order(self.job), (along, across));
                let part = self.next(item);
                let has_widths = self.job.has_widths();
                pieces.push(Piece {
                    part,
                    x: Length::from_steps(x),
                    y: Length::from_steps(if has_widths { y } else { 0 }),
                    length: self.job.parts[part].length,
                    width: self.job.parts[part].width,
                });
                along += self.problem.items[item].run + self.problem.kerf;
            }
        }
    }
}
