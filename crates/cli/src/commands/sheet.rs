//! `books import` of a sheet: its rows as notes, and what is refused in a file of its own.
//!
//! Holds true: nothing is overwritten but refused rows of an earlier run.

use std::path::{Path, PathBuf};

use apiary::Misgiving;
use app::Office;
use app::import::{self, DayOrder, Mapping, NotBroughtIn, RefusedRow, Report, Sheet};
use serde_json::{Value, json};
use store::MemoryStore;

use super::lines::{STANDARD_INPUT, read_bytes};
use super::note::{remark_text, with_stop};
use super::opening::{office_for_answers, office_for_writing, surroundings};
use super::writing::announced;
use crate::args::{Args, Days, DecimalSign, ImportArgs};
use crate::exit::{Failure, capital};
use crate::output::Said;

/// Refused rows beyond these are only counted.
const MOST_SHOWN: usize = 50;

pub(crate) fn import(args: &Args, asked: &ImportArgs, verb: &str, bytes: &[u8]) -> Result<Said, Failure> {
    let name = asked.file.display().to_string();
    let sheet = import::read(&name, bytes, asked.sheet.as_deref())
        .map_err(|error| refused(&format!("{name}: {error}")))?;
    let mapping = Mapping {
        verb: verb.to_owned(),
        form: asked.form.map(|form| usize::from(form) - 1),
        fills: asked.maps.clone(),
        days: match asked.days {
            Days::Ymd => DayOrder::Ymd,
            Days::Dmy => DayOrder::Dmy,
            Days::Mdy => DayOrder::Mdy,
        },
        decimal_comma: matches!(asked.decimal, DecimalSign::Comma),
    };
    let place = place_of_refused(asked);
    if !asked.dry_run
        && let Some(place) = &place
    {
        refuse_to_overwrite(place, &asked.file)?;
    }
    let brought = bring_in(args, asked, &sheet, &mapping)?;
    let report = &brought.report;
    let mut said = report_said(report, asked.dry_run);
    if !asked.dry_run && !report.refused.is_empty() {
        put_refused(place.as_deref(), &sheet, report, &mut said);
    }
    Ok(announced(args, brought.is_new, said))
}

/// Refuses a sheet that nobody said the verb of.
pub(crate) fn refuse_without_verb(file: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let ending = file.extension().unwrap_or_default().to_ascii_lowercase();
    let is_sheet = ["csv", "tsv", "xlsx", "xlsm", "xls", "xlsb", "ods"].map(|sheet| ending == sheet);
    if !is_sheet.contains(&true) && !bytes.starts_with(b"PK\x03\x04") {
        return Ok(());
    }
    Err(refused(&format!(
        "{}: this is a sheet, so say which verb its rows are notes of, and which column fills what, such as --as feed --map day=Date --map colony=Hive",
        file.display()
    )))
}

fn refused(says: &str) -> Failure {
    Failure::Refused(with_stop(says))
}

struct Brought {
    report: Report,
    is_new: bool,
}

/// Where there is no file of books yet, it is decided in memory first whether there is anything to write.
fn bring_in(args: &Args, asked: &ImportArgs, sheet: &Sheet, mapping: &Mapping) -> Result<Brought, Failure> {
    let mut surroundings = surroundings(args);
    let mut into = |office: &mut Office, dry: bool| {
        import::bring_in(
            office,
            sheet,
            mapping,
            asked.keep_good,
            dry,
            "",
            &mut surroundings,
        )
        .map_err(|why| match why {
            NotBroughtIn::Mapping(error) => refused(&capital(&error.to_string())),
            NotBroughtIn::Fault(fault) => fault.into(),
        })
    };
    let was_missing = !args.books_path().exists();
    if was_missing {
        let mut office = Office::open(
            Box::new(MemoryStore::new()),
            None,
            &mut super::opening::surroundings(args),
        )?;
        let report = into(&mut office, asked.dry_run)?;
        if asked.dry_run || report.written.is_empty() {
            return Ok(Brought {
                report,
                is_new: false,
            });
        }
    }
    let mut office = match asked.dry_run {
        true => office_for_answers(&args.books_path())?,
        false => office_for_writing(args, None)?,
    };
    let report = into(&mut office, asked.dry_run)?;
    let written = report.written.len();
    let is_new = was_missing && written > 0 && office.library().books().entries().len() == written;
    Ok(Brought { report, is_new })
}

/// Refused rows of standard input have no place of their own.
fn place_of_refused(asked: &ImportArgs) -> Option<PathBuf> {
    let beside =
        || (asked.file != Path::new(STANDARD_INPUT)).then(|| asked.file.with_extension("refused.csv"));
    asked.refused.clone().or_else(beside)
}

fn refuse_to_overwrite(place: &Path, from: &Path) -> Result<(), Failure> {
    let is_other = match place.exists() {
        false => false,
        true if is_same_file(place, from) => true,
        true => {
            let bytes = read_bytes(place)?;
            let sheet = import::read(&place.display().to_string(), &bytes, None);
            !sheet.is_ok_and(|sheet| import::is_refusals(&sheet))
        }
    };
    match is_other {
        true => Err(Failure::Place(format!(
            "{}: there is a file of this name, and it does not hold refused rows of an earlier import. Name another place for them with --refused, or move the file away. Nothing was written.",
            place.display()
        ))),
        false => Ok(()),
    }
}

fn is_same_file(one: &Path, other: &Path) -> bool {
    match (one.canonicalize(), other.canonicalize()) {
        (Ok(one), Ok(other)) => one == other,
        _ => one == other,
    }
}

/// By now the good rows are on the disk, so a fault here must not say that nothing was written.
fn put_refused(place: Option<&Path>, sheet: &Sheet, report: &Report, said: &mut Said) {
    if let Some(place) = place {
        let name = place.display();
        match std::fs::write(place, import::refused_csv(sheet, report)) {
            Ok(()) => {
                let rows = match report.refused.len() {
                    1 => "The refused row is".to_owned(),
                    many => format!("The {many} refused rows are"),
                };
                said.refused
                    .push_str(&format!("{rows} in {name}, with the reason behind each.\n"));
                said.json["refused_file"] = json!(name.to_string());
            }
            Err(error) => {
                said.refused.push_str(&format!(
                    "The refused rows could not be put into {name}: {error}.\n"
                ));
                said.code = Failure::File(String::new(), error).code();
            }
        }
    }
    if report.written.is_empty() {
        let others = match report.planned.is_empty() {
            true => "",
            false => " Mend the sheet, or add --keep-good to write the other rows.",
        };
        said.refused.push_str(&format!("Nothing was written.{others}\n"));
    }
}

fn report_said(report: &Report, is_dry: bool) -> Said {
    let mut text = String::new();
    for row in report.planned.iter().filter(|_| is_dry) {
        text.push_str(&format!(
            "Row {}: {}\n{}",
            row.row,
            row.line,
            remarks_text(&row.remarks)
        ));
    }
    for row in report.written.iter().filter(|row| !row.remarks.is_empty()) {
        let remarks = remarks_text(&row.remarks);
        text.push_str(&format!(
            "Row {} is written as {}: {}\n{remarks}",
            row.row, row.handle, row.text
        ));
    }
    for before in &report.otherwise {
        let then = before.text.as_deref().unwrap_or("(its words were erased)");
        text.push_str(&format!(
            "Row {} came in before as {}, and would read otherwise now; what was written stands.\n  then: {then}\n  now:  {}\n",
            before.row, before.handle, before.now
        ));
    }
    text.push_str(&summary(report, is_dry));
    Said {
        text,
        json: report_json(report),
        refused: refused_text(&report.refused),
        code: if report.refused.is_empty() { 0 } else { 2 },
    }
}

fn remarks_text(remarks: &[Misgiving]) -> String {
    remarks
        .iter()
        .map(|remark| format!("  {}\n", remark_text(remark)))
        .collect()
}

fn summary(report: &Report, is_dry: bool) -> String {
    let known = match report.known {
        0 => None,
        1 => Some("1 row was here already.".to_owned()),
        many => Some(format!("{many} rows were here already.")),
    };
    let count = if is_dry {
        report.planned.len()
    } else {
        report.written.len()
    };
    let notes = match (count, is_dry) {
        (0, _) => None,
        (1, true) => Some("1 note would be written.".to_owned()),
        (many, true) => Some(format!("{many} notes would be written.")),
        (1, false) => Some("1 note is written.".to_owned()),
        (many, false) => Some(format!("{many} notes are written.")),
    };
    let nothing = (notes.is_none() && known.is_none() && report.refused.is_empty())
        .then(|| "There was nothing to bring in.".to_owned());
    let dry = is_dry.then(|| "This was a dry run: nothing was written.".to_owned());
    let sentences: Vec<String> = [notes, known, nothing, dry].into_iter().flatten().collect();
    match sentences.is_empty() {
        true => String::new(),
        false => sentences.join(" ") + "\n",
    }
}

fn refused_text(refused: &[RefusedRow]) -> String {
    let mut text = String::new();
    for row in refused.iter().take(MOST_SHOWN) {
        text.push_str(&format!("Row {} is refused:\n", row.row));
        for why in &row.why {
            text.push_str(&format!("  {}\n", with_stop(why)));
        }
    }
    if let Some(more) = refused.len().checked_sub(MOST_SHOWN).filter(|more| *more > 0) {
        text.push_str(&format!("And {more} more.\n"));
    }
    text
}

fn report_json(report: &Report) -> Value {
    let says =
        |remarks: &[Misgiving]| -> Vec<String> { remarks.iter().map(|remark| remark.says.clone()).collect() };
    json!({
        "planned": report.planned.iter()
            .map(|row| json!({ "row": row.row, "note": row.line, "remarks": says(&row.remarks) }))
            .collect::<Vec<_>>(),
        "written": report.written.iter()
            .map(|row| json!({
                "row": row.row, "handle": row.handle.to_string(), "note": row.text, "remarks": says(&row.remarks),
            }))
            .collect::<Vec<_>>(),
        "refused": report.refused.iter()
            .map(|row| json!({ "row": row.row, "why": row.why, "key": row.key }))
            .collect::<Vec<_>>(),
        "known": report.known,
        "otherwise": report.otherwise.iter()
            .map(|row| json!({
                "row": row.row, "handle": row.handle.to_string(), "then": row.text, "now": row.now,
            }))
            .collect::<Vec<_>>(),
        "refused_file": null,
    })
}
