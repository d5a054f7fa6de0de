//! The calendar that follows from a split, a graft, a sealed cell.

use jiff::civil::Date;
use reckon::queen::{Event, Window, windows};
use serde_json::{Value, json};

use super::Refused;
use super::answer::{Answer, table};
use super::daily::day;
use super::quantities::refused;

#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  combwright reckon queen --split 2026-05-10")]
pub(super) struct Flags {
    /// The day of a split that raises a queen of its own
    #[arg(long, value_name = "DAY")]
    split: Option<String>,
    /// The day on which larvae of 12 to 24 hours were grafted
    #[arg(long, value_name = "DAY")]
    graft: Option<String>,
    /// The day on which a queen cell was capped
    #[arg(long, value_name = "DAY")]
    cell_capped: Option<String>,
    /// The day on which a queen cell was seen sealed, since when nobody knows
    #[arg(long, value_name = "DAY")]
    cell_seen_sealed: Option<String>,
    /// The day on which a swarm with the old queen left
    #[arg(long, value_name = "DAY")]
    swarm_gone: Option<String>,
    /// The day on which the queen was lost
    #[arg(long, value_name = "DAY")]
    queen_lost: Option<String>,
    /// The day on which an egg was laid
    #[arg(long, value_name = "DAY")]
    egg: Option<String>,
}

pub(super) fn reckon(flags: &Flags) -> Result<Answer, Refused> {
    let given = [
        (Event::Split, "--split", &flags.split),
        (Event::Graft, "--graft", &flags.graft),
        (Event::CellCapped, "--cell-capped", &flags.cell_capped),
        (
            Event::CellSeenSealed,
            "--cell-seen-sealed",
            &flags.cell_seen_sealed,
        ),
        (Event::SwarmGone, "--swarm-gone", &flags.swarm_gone),
        (Event::QueenLost, "--queen-lost", &flags.queen_lost),
        (Event::Egg, "--egg", &flags.egg),
    ];
    let mut dated = Vec::new();
    for (event, flag, said) in given {
        dated.extend(day(flag, said.as_ref())?.map(|day| (event, flag, day)));
    }
    match dated.as_slice() {
        [] => Err(refused(
            "--split",
            "no event is given",
            "one of --split, --graft, --cell-capped, --cell-seen-sealed, --swarm-gone, --queen-lost or --egg with a day such as 2026-05-10",
        )),
        [(event, flag, day)] => told(*event, flag, *day),
        [_, (_, flag, _), ..] => Err(refused(
            flag,
            "there is another event beside it",
            "one event at a time",
        )),
    }
}

fn told(event: Event, flag: &str, day: Date) -> Result<Answer, Refused> {
    let windows = windows(event, day);
    if windows.is_empty() {
        return Err(refused(
            flag,
            "no calendar goes as far as what follows",
            "a day such as 2026-05-10",
        ));
    }
    let rows: Vec<(&str, String)> = windows.iter().map(|window| (window.what, days(window))).collect();
    let dates: Vec<Value> = windows.iter().map(date).collect();
    let answer = Answer::saying(table(&rows))
        .with("event", event.name())
        .with("dates", dates)
        .noting([
            "warmth, cold and race move all of it by a day or more; what the sources say and what was worked out from them stands beside each date under \"basis\"".to_owned(),
        ]);
    Ok(windows
        .iter()
        .fold(answer, |answer, window| answer.resting_on(window.source)))
}

fn days(window: &Window) -> String {
    let span = |from: Date, to: Date| {
        if from == to {
            from.to_string()
        } else {
            format!("{from} to {to}")
        }
    };
    match window.usual {
        Some((from, to)) => format!("{}, usually {}", span(window.from, window.to), span(from, to)),
        None => span(window.from, window.to),
    }
}

fn date(window: &Window) -> Value {
    json!({
        "what": window.what,
        "from": window.from.to_string(),
        "to": window.to.to_string(),
        "usual_from": window.usual.map(|usual| usual.0.to_string()),
        "usual_to": window.usual.map(|usual| usual.1.to_string()),
        "source": window.source.id,
        "basis": window.basis,
    })
}
