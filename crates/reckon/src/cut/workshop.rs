//! At the saw: in which order to cut so that fence and stop are moved seldom, and what to put back on the shelf.

use std::collections::BTreeMap;

use quantity::Length;

use super::job::{Job, Order};
use super::plan::{CutBoard, Piece, Plan};
use super::stock::{order, sound_stretches};

/// What kind of cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Saw {
    /// So much is taken off every side.
    TrimEdges,
    /// The board is cut across where sound wood begins after a bad place, measured from its left end.
    CutOutBad,
    /// Along the board, the fence so far from the blade.
    Rip,
    /// Across it, the stop so far from the blade.
    Crosscut,
}

/// One setting of fence or stop, and all that is cut at it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SawCut {
    /// What kind of cut.
    pub saw: Saw,
    /// The measure.
    pub measure: Length,
    /// Which of the plan's boards, by place, and how many strips or pieces of each.
    pub boards: Vec<(usize, u32)>,
}

/// The cuts in an order that moves fence and stop seldom.
///
/// # Meaning
/// Edges first, then bad places where lengths are cut first; then every board at one setting before the next, the
/// largest measure first; then the second stage in the same way; last, pieces narrower (crosscut first: shorter)
/// than what they were cut from are trimmed.
pub fn saw_list(job: &Job, plan: &Plan) -> Vec<SawCut> {
    let (first, second) = match order(job) {
        Order::RipFirst => (Saw::Rip, Saw::Crosscut),
        Order::CrosscutFirst => (Saw::Crosscut, Saw::Rip),
    };
    let mut stages = [
        Stage::default(),
        Stage::default(),
        Stage::default(),
        Stage::default(),
        Stage::default(),
    ];
    for (place, cut) in plan.boards.iter().enumerate() {
        if !job.edge.is_zero() {
            stages[0].count(Saw::TrimEdges, job.edge, place);
        }
        let bad_stage = if first == Saw::Rip { 2 } else { 0 };
        for begins in after_bad_places(job, cut) {
            stages[bad_stage].count(Saw::CutOutBad, begins, place);
        }
        for strip in strips(job, cut) {
            if job.has_widths() {
                stages[1].count(first, strip.across, place);
            }
            for piece in &strip.pieces {
                stages[3].count(second, along_strip(job, piece).1, place);
                let across = across_strip(job, piece).1;
                if job.has_widths() && across < strip.across {
                    stages[4].count(first, across, place);
                }
            }
        }
    }
    stages.into_iter().flat_map(Stage::cuts).collect()
}

/// Settings with what is cut at each, by board.
#[derive(Debug, Default)]
struct Stage {
    settings: BTreeMap<(Saw, std::cmp::Reverse<Length>), BTreeMap<usize, u32>>,
}

impl Stage {
    fn count(&mut self, saw: Saw, measure: Length, board: usize) {
        let boards = self
            .settings
            .entry((saw, std::cmp::Reverse(measure)))
            .or_default();
        *boards.entry(board).or_default() += 1;
    }

    fn cuts(self) -> impl Iterator<Item = SawCut> {
        self.settings.into_iter().map(|((saw, measure), boards)| SawCut {
            saw,
            measure: measure.0,
            boards: boards.into_iter().collect(),
        })
    }
}

/// Where sound wood begins again on a board and a piece lies behind it.
fn after_bad_places(job: &Job, cut: &CutBoard) -> Vec<Length> {
    let stretches = sound_stretches(job, &job.boards[cut.board]);
    let begins = stretches.iter().map(|stretch| Length::from_steps(stretch.from));
    begins
        .filter(|&begins| begins > job.edge && cut.pieces.iter().any(|piece| piece.x >= begins))
        .collect()
}

/// A strip with its pieces in their order.
struct Strip<'a> {
    from: Length,
    across: Length,
    pieces: Vec<&'a Piece>,
}

fn strips<'a>(job: &Job, cut: &'a CutBoard) -> Vec<Strip<'a>> {
    let mut by_place: BTreeMap<Length, Vec<&Piece>> = BTreeMap::new();
    for piece in &cut.pieces {
        by_place
            .entry(across_strip(job, piece).0)
            .or_default()
            .push(piece);
    }
    by_place
        .into_iter()
        .map(|(from, mut pieces)| {
            pieces.sort_by_key(|piece| along_strip(job, piece).0);
            let widths = pieces.iter().map(|piece| across_strip(job, piece).1);
            Strip {
                from,
                across: widths.max().unwrap_or(Length::ZERO),
                pieces,
            }
        })
        .collect()
}

/// Where a piece begins along its strip, and its size that way.
fn along_strip(job: &Job, piece: &Piece) -> (Length, Length) {
    match (order(job), piece.width) {
        (Order::CrosscutFirst, Some(width)) => (piece.y, width),
        _ => (piece.x, piece.length),
    }
}

/// The same across the strip.
fn across_strip(job: &Job, piece: &Piece) -> (Length, Length) {
    match (order(job), piece.width) {
        (Order::RipFirst, Some(width)) => (piece.y, width),
        (Order::CrosscutFirst, _) => (piece.x, piece.length),
        (Order::RipFirst, None) => (Length::ZERO, Length::ZERO),
    }
}

/// What is left of a board and large enough to keep.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Offcut {
    /// Which of the plan's boards, by place.
    pub board: usize,
    /// From the board's left end.
    pub x: Length,
    /// From its lower edge.
    pub y: Length,
    /// Along the board.
    pub length: Length,
    /// Across it, where widths count.
    pub width: Option<Length>,
}

/// A rectangle: from, to along the strips; from, to across them.
#[derive(Debug, Clone, Copy)]
struct Rest {
    along: (Length, Length),
    across: (Length, Length),
}

/// The offcuts worth keeping: at least so long and, where widths count, so wide.
///
/// # Meaning
/// The ends of strips, what no strip was cut from, and what narrower pieces leave of their strip, each sound, with
/// edges and kerfs taken off. Offcuts do not overlap.
pub fn offcuts(job: &Job, plan: &Plan, least: (Length, Length)) -> Vec<Offcut> {
    let mut kept = Vec::new();
    for (place, cut) in plan.boards.iter().enumerate() {
        for rest in rests(job, cut) {
            let offcut = offcut(job, place, rest);
            let is_wide = offcut.width.is_none_or(|width| width >= least.1);
            if offcut.length >= least.0 && is_wide {
                kept.push(offcut);
            }
        }
    }
    kept
}

fn offcut(job: &Job, board: usize, rest: Rest) -> Offcut {
    let sizes = |span: (Length, Length)| (span.0, span.1 - span.0);
    let (along, across) = (sizes(rest.along), sizes(rest.across));
    let ((x, length), (y, width)) = match order(job) {
        Order::RipFirst => (along, across),
        Order::CrosscutFirst => (across, along),
    };
    let has_widths = job.has_widths();
    Offcut {
        board,
        x,
        y: if has_widths { y } else { Length::ZERO },
        length,
        width: has_widths.then_some(width),
    }
}

fn rests(job: &Job, cut: &CutBoard) -> Vec<Rest> {
    let (along, across) = sound(job, cut);
    let strips = strips(job, cut);
    let mut rests = Vec::new();
    for strip in &strips {
        let height = (strip.from, strip.from + strip.across);
        for &stretch in &along {
            let within = |piece: &&&Piece| {
                let (from, _) = along_strip(job, piece);
                stretch.0 <= from && from < stretch.1
            };
            let ends = strip.pieces.iter().filter(within).map(|piece| {
                let (from, size) = along_strip(job, piece);
                from + size + job.kerf
            });
            let begins = ends.max().unwrap_or(stretch.0);
            push(&mut rests, (begins, stretch.1), height);
        }
        for piece in &strip.pieces {
            let ((from, size), (bottom, height)) = (along_strip(job, piece), across_strip(job, piece));
            push(
                &mut rests,
                (from, from + size),
                (bottom + height + job.kerf, strip.from + strip.across),
            );
        }
    }
    if job.has_widths() {
        for &stretch in &across {
            let within = |strip: &&Strip<'_>| stretch.0 <= strip.from && strip.from < stretch.1;
            let ends = strips
                .iter()
                .filter(within)
                .map(|strip| strip.from + strip.across + job.kerf);
            let begins = ends.max().unwrap_or(stretch.0);
            for &along in &along {
                push(&mut rests, along, (begins, stretch.1));
            }
        }
    }
    rests
}

fn push(rests: &mut Vec<Rest>, along: (Length, Length), across: (Length, Length)) {
    let is_something = along.0 < along.1 && (across.0 < across.1 || across == (Length::ZERO, Length::ZERO));
    if is_something {
        rests.push(Rest { along, across });
    }
}

/// Sound stretches of a board along its strips and across them.
#[expect(clippy::type_complexity, reason = "two lists of from and to")]
fn sound(job: &Job, cut: &CutBoard) -> (Vec<(Length, Length)>, Vec<(Length, Length)>) {
    let board = &job.boards[cut.board];
    let lengthwise: Vec<(Length, Length)> = sound_stretches(job, board)
        .iter()
        .map(|stretch| {
            (
                Length::from_steps(stretch.from),
                Length::from_steps(stretch.from + stretch.length),
            )
        })
        .collect();
    let crosswise = board
        .width
        .map_or(Vec::new(), |width| vec![(job.edge, width - job.edge)]);
    match order(job) {
        Order::RipFirst => (lengthwise, crosswise),
        Order::CrosscutFirst => (crosswise, lengthwise),
    }
}
