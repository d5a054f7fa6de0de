//! A cutting list as people read it: boards with their pieces, then the order at the saw.

use std::collections::BTreeMap;

use quantity::Length;
use reckon::cut::{CutBoard, Job, Offcut, Order, Piece, Plan, Saw, saw_list};

use super::cut_files::Prices;

/// Boards, pieces, saw order and offcuts, one below the other.
pub(super) fn for_people(job: &Job, plan: &Plan, kept: &[Offcut], prices: &Prices) -> String {
    let mut lines = vec![summary(plan, prices), String::new()];
    let mut number = 0;
    for alike in plan.boards.chunk_by(|a, b| a == b) {
        lines.push(format!(
            "{}: {}",
            numbers(number, alike.len()),
            job.boards[alike[0].board].name
        ));
        lines.extend(
            strips(job, &alike[0])
                .into_iter()
                .map(|strip| format!("  {strip}")),
        );
        number += alike.len();
    }
    lines.push(String::new());
    lines.push("At the saw:".to_owned());
    for (step, cut) in saw_list(job, plan).iter().enumerate() {
        let measure = match cut.saw {
            Saw::TrimEdges => format!("trim {} mm off every side", mm(cut.measure)),
            Saw::CutOutBad => format!(
                "cut across {} mm from the left end, behind the bad place",
                mm(cut.measure)
            ),
            Saw::Rip => format!("rip, fence at {} mm", mm(cut.measure)),
            Saw::Crosscut => format!("crosscut, stop at {} mm", mm(cut.measure)),
        };
        lines.push(format!("  {}. {measure}: {}", step + 1, from_boards(&cut.boards)));
    }
    if !kept.is_empty() {
        lines.push(String::new());
        lines.push("Offcuts worth keeping:".to_owned());
        lines.extend(offcut_lines(kept));
    }
    lines.join("\n")
}

fn summary(plan: &Plan, prices: &Prices) -> String {
    let boards = match plan.boards.len() {
        1 => "1 board".to_owned(),
        many => format!("{many} boards"),
    };
    let proof = if plan.is_optimal() {
        "which is the least possible".to_owned()
    } else {
        let gap = 100.0 * plan.gap();
        format!("at least {} is needed (gap {gap:.2} %)", prices.said(plan.bound))
    };
    format!(
        "{boards} for {}, {proof}; {:.2} % of them is no part",
        prices.said(plan.cost),
        100.0 * plan.waste_fraction
    )
}

fn numbers(before: usize, count: usize) -> String {
    match count {
        1 => format!("Board {}", before + 1),
        many => format!("Boards {}–{}", before + 1, before + many),
    }
}

/// A line for each strip, or one for all where only lengths are cut.
fn strips(job: &Job, cut: &CutBoard) -> Vec<String> {
    let place = |piece: &Piece| match job.order {
        Order::CrosscutFirst if job.has_widths() => piece.x,
        Order::RipFirst | Order::CrosscutFirst => piece.y,
    };
    let mut by_place: BTreeMap<Length, Vec<&Piece>> = BTreeMap::new();
    for piece in &cut.pieces {
        by_place.entry(place(piece)).or_default().push(piece);
    }
    let axis = if job.order == Order::CrosscutFirst {
        "x"
    } else {
        "y"
    };
    let line = |(place, pieces): (Length, Vec<&Piece>)| {
        let said = pieces_said(job, &pieces);
        if job.has_widths() {
            format!("from {axis} = {} mm: {said}", mm(place))
        } else {
            said
        }
    };
    by_place.into_iter().map(line).collect()
}

fn pieces_said(job: &Job, pieces: &[&Piece]) -> String {
    let said: Vec<String> = pieces
        .chunk_by(|a, b| a.part == b.part)
        .map(|same| {
            let piece = same[0];
            let size = match piece.width {
                Some(width) => format!("{} × {}", mm(piece.length), mm(width)),
                None => mm(piece.length),
            };
            format!("{} of {} ({size} mm)", same.len(), job.parts[piece.part].name)
        })
        .collect();
    said.join(", ")
}

/// Which boards, and how often each where more than once: `1–12, 13 (2 times)`.
fn from_boards(boards: &[(usize, u32)]) -> String {
    let is_next = |a: &(usize, u32), b: &(usize, u32)| b.0 == a.0 + 1 && b.1 == a.1;
    let said: Vec<String> = boards
        .chunk_by(is_next)
        .map(|run| {
            let (first, last) = (run[0].0 + 1, run[run.len() - 1].0 + 1);
            let which = if first == last {
                format!("{first}")
            } else {
                format!("{first}–{last}")
            };
            match run[0].1 {
                1 => which,
                times => format!("{which} ({times} times)"),
            }
        })
        .collect();
    format!("from {}", said.join(", "))
}

/// Length and width.
type Size = (Length, Option<Length>);

fn offcut_lines(kept: &[Offcut]) -> Vec<String> {
    let mut by_size: BTreeMap<Size, BTreeMap<usize, u32>> = BTreeMap::new();
    for offcut in kept {
        let boards = by_size.entry((offcut.length, offcut.width)).or_default();
        *boards.entry(offcut.board).or_default() += 1;
    }
    let mut lines = Vec::new();
    for ((length, width), boards) in by_size.into_iter().rev() {
        let width = width.map_or(String::new(), |width| format!(" × {}", mm(width)));
        let boards: Vec<(usize, u32)> = boards.into_iter().collect();
        lines.push(format!("  {}{width} mm: {}", mm(length), from_boards(&boards)));
    }
    lines
}

/// What kind of cut, for scripts.
pub(super) const fn saw_name(saw: Saw) -> &'static str {
    match saw {
        Saw::TrimEdges => "trim-edges",
        Saw::CutOutBad => "cut-out-bad",
        Saw::Rip => "rip",
        Saw::Crosscut => "crosscut",
    }
}

/// Millimetres with the decimals that they need.
pub(super) fn mm(length: Length) -> String {
    let digits = format!("{:.2}", length.to_mm());
    digits.trim_end_matches('0').trim_end_matches('.').to_owned()
}
