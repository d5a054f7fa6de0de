//! Degree-days from a file of daily weather.

use quantity::UnitKind;
use reckon::degree_days::{Cutoffs, Method, Sum, sum};
use serde_json::{Map, Value};

use super::Refused;
use super::answer::{Answer, rounded, table};
use super::daily::{day, degrees, remarks, span, weather};
use super::quantities::{reading, refused, required, temperature};

#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLE)]
pub(super) struct Flags {
    /// The file of daily weather: date,tmin_c,tmax_c, or GHCN-Daily
    #[arg(long, value_name = "FILE")]
    daily: Option<String>,
    /// The station, where the file has several
    #[arg(long, value_name = "ID")]
    station: Option<String>,
    /// The base; in F the answer is in Fahrenheit degree-days
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    base: Option<String>,
    /// A cut-off above which more warmth brings no more (horizontal)
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    upper: Option<String>,
    /// How the warmth of a day is taken from its lowest and highest: sine, average, triangle or four-case
    #[arg(long, value_name = "METHOD", default_value = "sine")]
    method: String,
    /// The first day
    #[arg(long, value_name = "DAY")]
    from: Option<String>,
    /// The last day
    #[arg(long, value_name = "DAY")]
    to: Option<String>,
}

const EXAMPLE: &str =
    "Example:\n  combwright reckon degree-days --daily daily.csv --base \"10 C\" --method sine";

pub(super) fn reckon(flags: &Flags) -> Result<Answer, Refused> {
    let path = required("--daily", flags.daily.as_ref(), "a file of daily weather")?;
    let base = temperature("--base", flags.base.as_ref())?;
    let in_fahrenheit =
        reading("--base", flags.base.as_ref(), UnitKind::Temperature)?.unit() == quantity::Unit::F;
    let upper = match &flags.upper {
        Some(_) => Some(temperature("--upper", flags.upper.as_ref())?),
        None => None,
    };
    let cutoffs = Cutoffs::new(base, upper).ok_or_else(|| {
        refused(
            "--upper",
            "the upper cut-off is not above the base",
            format!("a temperature above {}", degrees(base)),
        )
    })?;
    let method = Method::ALL
        .into_iter()
        .find(|method| method.name() == flags.method)
        .ok_or_else(|| {
            let names = Method::ALL.map(Method::name).join(", ");
            refused("--method", format!("\"{}\" is no method", flags.method), names)
        })?;
    let days = span(
        day("--from", flags.from.as_ref())?,
        day("--to", flags.to.as_ref())?,
    )?;
    let file = weather("--daily", path, flags.station.as_ref())?;
    let sums = sum(&file.series, days, cutoffs, method);
    let total = sums.total;
    if total.days == 0 {
        return Err(refused(
            "--daily",
            "no day of the span has both its lowest and its highest temperature",
            "a file with days of the span",
        ));
    }
    let scale = if in_fahrenheit { 9.0 / 5.0 } else { 1.0 };
    let unit = if in_fahrenheit { "°F" } else { "°C" };
    let said = |sum: &Sum| {
        format!(
            "{:.1} {unit}-days from {} days",
            sum.degree_days * scale,
            sum.days
        )
    };
    let years: Vec<(String, String)> = sums
        .by_year
        .iter()
        .map(|(year, sum)| (year.to_string(), said(sum)))
        .collect();
    let mut rows = vec![("all", said(&total))];
    rows.extend(years.iter().map(|(year, said)| (year.as_str(), said.clone())));
    let by_year: Map<String, Value> = sums
        .by_year
        .iter()
        // A year of which no day is known has no sum.
        .map(|(year, sum)| {
            let value = if sum.days == 0 {
                Value::Null
            } else {
                rounded(sum.degree_days * scale, 4)
            };
            (year.to_string(), value)
        })
        .collect();
    let mut notes = remarks(&file);
    if total.missing > 0 {
        let lack = match total.missing {
            1 => "1 day of the span lacks a temperature and adds nothing".to_owned(),
            many => format!("{many} days of the span lack a temperature and add nothing"),
        };
        notes.push(format!("{lack}: the sum is too small by that"));
    }
    notes.push(
        "a base is published with its method; the methods disagree most on days that cross the base"
            .to_owned(),
    );
    Ok(Answer::saying(table(&rows))
        .with("total", rounded(total.degree_days * scale, 4))
        .with("by_year", by_year)
        .with("unit", format!("{unit}-days"))
        .with("method", method.name())
        .with("days", total.days)
        .with("missing_days", total.missing)
        .resting_on(method.source())
        .noting(notes))
}
