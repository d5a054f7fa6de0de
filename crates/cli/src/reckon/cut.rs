//! A cutting list: parts and boards from two files, the cheapest way to saw them, and the order at the saw.

use std::time::Duration;

use quantity::Length;
use reckon::cut::{CutError, Job, Order, Plan, Progress, cut, offcuts, saw_list};
use reckon::sources::{FARLEY_1990, GILMORE_GOMORY_1961, GILMORE_GOMORY_1965};
use serde_json::{Value, json};

use super::Refused;
use super::answer::{Answer, rounded};
use super::cut_files::{Prices, read_boards, read_parts};
use super::cut_told::{for_people, saw_name};
use super::quantities::{length, refused, required};
use crate::patience::Patience;

#[derive(Debug, clap::Args)]
#[command(
    after_help = "Example:\n  combwright reckon cut --parts parts.csv --boards boards.csv --kerf 3.2mm --edge 5mm"
)]
pub(super) struct Flags {
    /// The file of parts: part,length_mm,width_mm,count; without widths for bars and battens
    #[arg(long, value_name = "FILE")]
    parts: Option<String>,
    /// The file of boards: board,length_mm,width_mm,price,count[,bad_from_mm,bad_to_mm]; an empty count is as many as needed
    #[arg(long, value_name = "FILE")]
    boards: Option<String>,
    /// What the saw takes between two pieces [default: 3.2mm]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    kerf: Option<String>,
    /// What is trimmed off all four sides of every board [default: 0mm]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    edge: Option<String>,
    /// Which cuts come first: rip-first or crosscut-first
    #[arg(long, value_name = "ORDER", default_value = "rip-first")]
    order: String,
    /// For how long to search at most; Ctrl-C ends it sooner, with the best so far
    #[arg(
        long,
        value_name = "SECONDS",
        default_value = "10",
        allow_hyphen_values = true
    )]
    seconds: String,
    /// The least length of an offcut worth keeping [default: 300mm]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    keep_length: Option<String>,
    /// The least width of an offcut worth keeping [default: 50mm]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    keep_width: Option<String>,
}

/// What a circular saw takes; *common practice, no source*.
const USUAL_KERF: Length = Length::mm(3)
    .checked_add(Length::from_steps(64))
    .expect("in range");
/// What is worth a place on the shelf; *common practice, no source*.
const LEAST_OFFCUT: (Length, Length) = (Length::mm(300), Length::mm(50));
/// Nobody waits longer.
const MOST_SECONDS: f64 = 86_400.0;

pub(super) fn reckon(flags: &Flags) -> Result<Answer, Refused> {
    let (job, prices) = job(flags)?;
    let seconds = seconds(&flags.seconds)?;
    let least = (
        length_or("--keep-length", flags.keep_length.as_ref(), LEAST_OFFCUT.0)?,
        length_or("--keep-width", flags.keep_width.as_ref(), LEAST_OFFCUT.1)?,
    );
    let mut notes = Vec::new();
    if flags.kerf.is_none() {
        notes.push("no --kerf is given: 3.2 mm is assumed".to_owned());
    }
    let plan = searched(&job, &prices, seconds, &mut notes).map_err(|error| not_made(&error))?;
    if !plan.is_optimal() {
        notes.push(
            "the cost is not proven to be the least; more --seconds may lower it or prove it".to_owned(),
        );
    }
    if job.boards.iter().all(|board| board.price.is_none()) {
        notes
            .push("no board has a price: the plan is the one with the least waste that was found".to_owned());
    }
    let kept = offcuts(&job, &plan, least);
    Ok(Answer::saying(for_people(&job, &plan, &kept, &prices))
        .with("cost", prices.value(plan.cost))
        .with("waste_pct", rounded(100.0 * plan.waste_fraction, 6))
        .with("boards_used", boards_used(&job, &plan))
        .with("bound", prices.value(plan.bound))
        .with("gap_pct", rounded(100.0 * plan.gap(), 6))
        .with("optimal", plan.is_optimal())
        .with("saw_list", saw_steps(&job, &plan))
        .with(
            "offcuts",
            kept.iter()
                .map(|offcut| {
                    json!({
                        "from": offcut.board + 1,
                        "x_mm": in_mm(offcut.x),
                        "y_mm": in_mm(offcut.y),
                        "length_mm": in_mm(offcut.length),
                        "width_mm": offcut.width.map(in_mm),
                    })
                })
                .collect::<Vec<Value>>(),
        )
        .resting_on(&GILMORE_GOMORY_1961)
        .resting_on(&GILMORE_GOMORY_1965)
        .resting_on(&FARLEY_1990)
        .noting(notes))
}

fn job(flags: &Flags) -> Result<(Job, Prices), Refused> {
    let parts_path = required("--parts", flags.parts.as_ref(), "a file of parts")?;
    let boards_path = required("--boards", flags.boards.as_ref(), "a file of boards")?;
    let kerf = length_or("--kerf", flags.kerf.as_ref(), USUAL_KERF)?;
    let edge = length_or("--edge", flags.edge.as_ref(), Length::ZERO)?;
    let order = match flags.order.as_str() {
        "rip-first" => Order::RipFirst,
        "crosscut-first" => Order::CrosscutFirst,
        other => {
            let wrong = format!("\"{other}\" is no order");
            return Err(refused("--order", wrong, "rip-first or crosscut-first"));
        }
    };
    let parts = read_parts("--parts", parts_path)?;
    let (boards, prices) = read_boards("--boards", boards_path)?;
    let job = Job {
        parts,
        boards,
        kerf,
        edge,
        order,
    };
    Ok((job, prices))
}

fn length_or(flag: &str, given: Option<&String>, usual: Length) -> Result<Length, Refused> {
    match given {
        Some(_) => length(flag, given),
        None => Ok(usual),
    }
}

fn seconds(given: &str) -> Result<Duration, Refused> {
    let number = given.trim().trim_end_matches('s').trim().parse::<f64>();
    let seconds = number
        .ok()
        .filter(|seconds| *seconds > 0.0 && *seconds <= MOST_SECONDS);
    let seconds = seconds.ok_or_else(|| {
        let wrong = format!("\"{given}\" is no time to search");
        refused("--seconds", wrong, "a number of seconds above 0 and up to 86400")
    })?;
    Ok(Duration::from_secs_f64(seconds))
}

/// Searches until the plan is proven, the time is over, or Ctrl-C is pressed.
fn searched(job: &Job, prices: &Prices, limit: Duration, notes: &mut Vec<String>) -> Result<Plan, CutError> {
    let patience = Patience::of(limit);
    let plan = cut(job, &mut |progress: &Progress| {
        patience.keeps_on(1.0, progress_said(progress, prices))
    });
    notes.extend(patience.notes());
    plan
}

fn progress_said(progress: &Progress, prices: &Prices) -> String {
    let waste = progress
        .waste_fraction
        .map_or(String::new(), |waste| format!(", waste {:.1} %", 100.0 * waste));
    match (progress.cost, progress.gap()) {
        (Some(cost), Some(gap)) => format!(
            "cost {}, at least {}, gap {:.2} %{waste}",
            prices.said(cost),
            prices.said(progress.bound),
            100.0 * gap
        ),
        _ => "no plan yet".to_owned(),
    }
}

fn not_made(error: &CutError) -> Refused {
    match error {
        CutError::Empty { parts: true } | CutError::TooManyPieces => {
            refused("--parts", error, "a file with 1 to 100000 pieces in all")
        }
        CutError::Empty { parts: false } => refused("--boards", error, "a file with a board at least"),
        CutError::MixedDirections { .. } => refused("--boards", error, "widths everywhere or nowhere"),
        CutError::Measure { name: None, .. } => refused("--kerf and --edge", error, "smaller ones"),
        CutError::Measure { name: Some(_), .. } => {
            refused("--boards and --parts", error, "lengths and widths up to 100 m")
        }
        CutError::TooLarge { .. } => refused("--parts", error, "parts that fit on a board, or larger boards"),
        CutError::TooFewBoards { .. } => refused("--boards", error, "more boards or fewer parts"),
    }
}

fn boards_used(job: &Job, plan: &Plan) -> Vec<Value> {
    let board = |cut: &reckon::cut::CutBoard| {
        let pieces = cut.pieces.iter().map(|piece| {
            json!({
                "part": job.parts[piece.part].name,
                "x_mm": in_mm(piece.x),
                "y_mm": in_mm(piece.y),
                "length_mm": in_mm(piece.length),
                "width_mm": piece.width.map(in_mm),
            })
        });
        json!({ "board": job.boards[cut.board].name, "pieces": pieces.collect::<Vec<Value>>() })
    };
    plan.boards.iter().map(board).collect()
}

fn saw_steps(job: &Job, plan: &Plan) -> Vec<Value> {
    let steps = saw_list(job, plan);
    let step = |cut: &reckon::cut::SawCut| {
        let boards = cut
            .boards
            .iter()
            .map(|(board, times)| json!({ "number": board + 1, "times": times }));
        json!({
            "cut": saw_name(cut.saw),
            "measure_mm": in_mm(cut.measure),
            "boards": boards.collect::<Vec<Value>>(),
        })
    };
    steps.iter().map(step).collect()
}

fn in_mm(length: Length) -> Value {
    rounded(length.to_mm(), 6)
}

#[cfg(test)]
mod tests {
    use super::super::cut_told::mm;
    use super::*;

    #[test]
    fn the_usual_kerf_is_what_the_note_says() {
        assert_eq!(mm(USUAL_KERF), "3.2");
    }
}
