//! `books weather`: a file of daily weather into the books.

use std::path::Path;

use app::weather::{self, Brought, File, NotBroughtIn};
use serde_json::json;

use super::lines::{STANDARD_INPUT, read_bytes};
use super::note::{refused_text, remark_text};
use super::opening::{office_for_changes, surroundings};
use crate::args::Args;
use crate::exit::Failure;
use crate::output::Said;

pub(crate) fn bring_in(
    args: &Args,
    file: &Path,
    yard: &str,
    station: Option<&str>,
    dry: bool,
) -> Result<Said, Failure> {
    let bytes = read_bytes(file)?;
    let name = match file == Path::new(STANDARD_INPUT) {
        true => "weather".to_owned(),
        false => file.display().to_string(),
    };
    let mut own = surroundings(args);
    let mut office = office_for_changes(args)?;
    let handed = File {
        name: &name,
        bytes: &bytes,
        yard,
        station,
    };
    let brought =
        weather::bring_in(&mut office, &handed, dry, "", &mut own).map_err(|error| match error {
            NotBroughtIn::Fault(fault) => Failure::from(fault),
            NotBroughtIn::Note(refused) => Failure::Refused(refused_text(&refused, false)),
            error => Failure::Refused(format!(
                "Nothing was brought in: {}.",
                error.to_string().trim_end_matches('.')
            )),
        })?;
    Ok(told(&brought, dry))
}

fn told(brought: &Brought, dry: bool) -> Said {
    let series = &brought.file.series;
    let mut text = match (series.first(), series.last()) {
        (Some(first), Some(last)) => format!(
            "{} days from {first} to {last}, read as {}.\n",
            series.len(),
            brought.file.form.name()
        ),
        _ => String::new(),
    };
    if let Some(((cold, low), (hot, high))) = series.extremes() {
        text.push_str(&format!(
            "  Coldest {:.1} °C on {cold}, hottest {:.1} °C on {hot}: look whether that is °C and the right place.\n",
            low.get(),
            high.get()
        ));
    }
    for remark in brought.file.remarks() {
        text.push_str(&format!("  {remark}\n"));
    }
    match (&brought.note, &brought.before) {
        (_, Some(before)) => text.push_str(&format!("It is in the books already: {}.\n", before.handle)),
        (Some(note), None) => {
            let how = if dry { "would be written" } else { "is written" };
            text.push_str(&format!("{}\n", note.text));
            for remark in &note.remarks {
                text.push_str(&format!("  {}\n", remark_text(remark)));
            }
            text.push_str(&format!("One note {how}, and the file is kept with it.\n"));
        }
        (None, None) => {}
    }
    let json = json!({
        "form": brought.file.form.name(), "station": brought.file.station, "days": series.len(),
        "from": series.first().map(|day| day.to_string()), "to": series.last().map(|day| day.to_string()),
        "remarks": brought.file.remarks(), "written": !dry && brought.before.is_none(),
        "note": brought.note.as_ref().map(|note| note.text.as_str()),
        "known": brought.before.as_ref().map(|before| before.handle.to_string()),
    });
    Said::new(text, json)
}
