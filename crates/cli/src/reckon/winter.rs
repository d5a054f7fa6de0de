//! What a colony eats in winter, and when it runs out.

use jiff::civil::Date;
use quantity::{Estimate, Mass};
use reckon::winter::{Outside, RESERVE_KG, SOURCES, Winter, WinterError, WinterUse, winter};
use serde_json::Value;

use super::Refused;
use super::answer::{Answer, rounded, table};
use super::daily::{day, remarks, span, weather};
use super::quantities::{mass, refused, temperature};

#[derive(Debug, clap::Args)]
#[command(
    after_help = "Example:\n  combwright reckon winter --bees 1.2kg --outside \"2 C\" --from 2026-11-01 --to 2027-03-31 --stores 12kg --reachable 9kg --brood-from 2027-02-15"
)]
pub(super) struct Flags {
    /// The bees of the cluster
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    bees: Option<String>,
    /// The mean temperature outside
    #[arg(
        long,
        value_name = "TEMPERATURE",
        allow_hyphen_values = true,
        conflicts_with = "weather"
    )]
    outside: Option<String>,
    /// Daily weather instead: date,tmin_c,tmax_c, or GHCN-Daily
    #[arg(long, value_name = "FILE")]
    weather: Option<String>,
    /// The station, where the file has several
    #[arg(long, value_name = "ID", requires = "weather")]
    station: Option<String>,
    /// The first day that counts
    #[arg(long, value_name = "DAY")]
    from: Option<String>,
    /// The day that ends the count, not counted itself
    #[arg(long, value_name = "DAY")]
    to: Option<String>,
    /// The food in the hive
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    stores: Option<String>,
    /// What of it the cluster can reach
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    reachable: Option<String>,
    /// The day from which brood is raised in earnest
    #[arg(long, value_name = "DAY")]
    brood_from: Option<String>,
    /// What should be left at the end [default: 5kg]
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    reserve: Option<String>,
}

pub(super) fn reckon(flags: &Flags) -> Result<Answer, Refused> {
    let bees = mass("--bees", flags.bees.as_ref())?;
    let mut notes = Vec::new();
    let file = match &flags.weather {
        Some(path) => Some(weather("--weather", path, flags.station.as_ref())?),
        None => None,
    };
    let outside = match &file {
        Some(file) => {
            notes.extend(remarks(file));
            Outside::Daily(&file.series)
        }
        None => Outside::Steady(temperature("--outside", flags.outside.as_ref())?),
    };
    let (reachable, about_reach) = reachable(flags)?;
    notes.extend(about_reach);
    let (from, to) = span(
        day("--from", flags.from.as_ref())?,
        day("--to", flags.to.as_ref())?,
    )?;
    let reserve = match &flags.reserve {
        Some(_) => mass("--reserve", flags.reserve.as_ref())?,
        None => {
            notes.push(format!(
                "no --reserve is given: {} kg are to be left",
                RESERVE_KG.value
            ));
            Mass::from_g_f64(RESERVE_KG.value * 1_000.0).expect("BUG: the reserve is a mass")
        }
    };
    let (from, to, is_span) = match (from, to) {
        (Some(from), Some(to)) => (from, to, true),
        (None, None) if file.is_none() => {
            notes.push(
                "no --from and --to are given: only what the cluster uses in 30 days is told".to_owned(),
            );
            (Date::constant(2000, 1, 1), Date::constant(2000, 1, 31), false)
        }
        (from, to) => {
            let series = file.as_ref().map(|file| &file.series);
            let end = |flag: &str, given: Option<Date>, of_file: Option<Date>| {
                given.or(of_file).ok_or_else(|| {
                    refused(
                        flag,
                        "this flag is missing beside the other",
                        "a day such as 2027-03-31",
                    )
                })
            };
            let last = series
                .and_then(|series| series.last())
                .and_then(|last| last.tomorrow().ok());
            notes.push("without --from or --to the days of the file are taken".to_owned());
            (
                end("--from", from, series.and_then(|series| series.first()))?,
                end("--to", to, last)?,
                true,
            )
        }
    };
    let asked = Winter {
        bees,
        outside,
        from,
        to,
        reachable: reachable.filter(|_| is_span),
        brood_from: day("--brood-from", flags.brood_from.as_ref())?,
        reserve,
    };
    let used = winter(&asked).map_err(|error| cannot(error, &asked))?;
    Ok(told(&asked, &used, is_span).noting(notes))
}

/// What can be reached, and what has to be said about it.
fn reachable(flags: &Flags) -> Result<(Option<Mass>, Option<String>), Refused> {
    let stores = match &flags.stores {
        Some(_) => Some(mass("--stores", flags.stores.as_ref())?),
        None => None,
    };
    let reachable = match &flags.reachable {
        Some(_) => Some(mass("--reachable", flags.reachable.as_ref())?),
        None => None,
    };
    match (stores, reachable) {
        (Some(stores), Some(reachable)) if reachable > stores => Err(refused(
            "--reachable",
            "more can be reached than there is",
            format!("a mass up to the {:.1} kg of --stores", stores.to_kg()),
        )),
        (_, Some(reachable)) => Ok((Some(reachable), None)),
        (Some(stores), None) => Ok((
            Some(stores),
            Some("no --reachable is given: all stores are taken as within the cluster's reach, which in cold weather they need not be".to_owned()),
        )),
        (None, None) => Ok((
            None,
            Some("no --stores are given: when they run out is not known".to_owned()),
        )),
    }
}

fn cannot(error: WinterError, asked: &Winter<'_>) -> Refused {
    match error {
        WinterError::Bees => refused("--bees", error, "a mass such as 1.2kg"),
        WinterError::Span => refused("--to", error, format!("a day after {}", asked.from)),
        WinterError::NoWeather => refused("--weather", error, "a file with days of this span"),
    }
}

fn told(asked: &Winter<'_>, used: &WinterUse, is_span: bool) -> Answer {
    let kg = |estimate: Estimate| {
        format!(
            "{:.2} kg, between {:.2} and {:.2} kg",
            estimate.value(),
            estimate.lo(),
            estimate.hi()
        )
    };
    let date = |day: Option<Date>| day.map_or(Value::Null, |day| Value::from(day.to_string()));
    let cluster = used.cluster_kg_per_30_days;
    let mut rows = vec![("the cluster in 30 days", kg(cluster))];
    let mut answer_keys: Vec<(&str, Value)> = vec![
        ("cluster_use_kg_per_30_days", rounded(cluster.value(), 3)),
        ("cluster_use_lo_kg_per_30_days", rounded(cluster.lo(), 3)),
        ("cluster_use_hi_kg_per_30_days", rounded(cluster.hi(), 3)),
    ];
    for (key, value) in [
        ("use_kg", used.use_kg.value()),
        ("use_lo_kg", used.use_kg.lo()),
        ("use_hi_kg", used.use_kg.hi()),
        ("need_kg", used.need_kg.value()),
        ("need_hi_kg", used.need_kg.hi()),
    ] {
        answer_keys.push((key, if is_span { rounded(value, 3) } else { Value::Null }));
    }
    answer_keys.push(("runs_out", date(used.runs_out)));
    answer_keys.push(("runs_out_earliest", date(used.runs_out_earliest)));
    answer_keys.push(("into_reserve", date(used.into_reserve)));
    answer_keys.push(("into_reserve_earliest", date(used.into_reserve_earliest)));
    answer_keys.push(("mean_outside_c", rounded(used.mean_outside_c, 2)));
    if is_span {
        rows.push(("the whole span", kg(used.use_kg)));
        rows.push(("with the reserve", kg(used.need_kg)));
    }
    if asked.reachable.is_some() {
        let end = format!("not before {}", asked.to);
        let on = |day: Option<Date>| day.map_or_else(|| end.clone(), |day| day.to_string());
        rows.push(("what is reached is eaten", on(used.runs_out)));
        rows.push(("  at the highest use", on(used.runs_out_earliest)));
        rows.push(("the reserve is touched", on(used.into_reserve)));
        rows.push(("  at the highest use", on(used.into_reserve_earliest)));
    }
    let answer = answer_keys
        .into_iter()
        .fold(Answer::saying(table(&rows)), |answer, (key, value)| {
            answer.with(key, value)
        });
    SOURCES
        .into_iter()
        .fold(answer, Answer::resting_on)
        .noting(used.notes.clone())
}
