//! `field` and `books bring`: the page for the field in one file, and its notes brought home.

use std::path::Path;

use app::Surroundings as _;
use app::field::{self, Became, Taken};
use serde_json::{Value, json};

use super::lines::read_bytes;
use super::opening::{office_for_answers, office_for_writing, surroundings};
use super::put::Place;
use crate::args::Args;
use crate::exit::Failure;
use crate::output::Said;

/// Writes the page in one file.
pub(crate) fn write(args: &Args, file: &Path, replace: bool) -> Result<Said, Failure> {
    let office = office_for_answers(&args.books_path())?;
    let page = web::single_file_of(&office, surroundings(args).now());
    let name = file.display().to_string();
    let place = Place {
        file,
        replace,
        option: None,
        books: &args.books_path(),
    };
    place.put(page.as_bytes())?;
    let text = format!(
        "The page for the field is in {name}. Put it on the phone and open it there; it needs no signal.\n\
         Its notes come home as a text file: combwright books bring FILE.\n"
    );
    Ok(Said::new(text, json!({ "file": name, "bytes": page.len() })))
}

/// Takes a text file of notes in.
pub(crate) fn bring(args: &Args, file: &Path) -> Result<Said, Failure> {
    let bytes = read_bytes(file)?;
    let mut own = surroundings(args);
    let bundle = field::bundle(&bytes, own.today())
        .map_err(|bad| Failure::Refused(format!("Nothing was brought in: {bad}.")))?;
    if bundle.drafts.is_empty() {
        return Ok(Said::new("There was no note in it.\n", json!({ "drafts": [] })));
    }
    let mut office = office_for_writing(args, None)?;
    let taken = field::take_in(&mut office, &bundle.drafts, &mut own)?;
    let text: String = taken.iter().map(line).collect();
    let all: Vec<Value> = taken.iter().map(told).collect();
    let stay = taken
        .iter()
        .any(|taken| matches!(taken.became, Became::Stays { .. }));
    let said = Said::new(text, json!({ "drafts": all }));
    Ok(Said {
        code: u8::from(stay),
        ..said
    })
}

fn line(taken: &Taken) -> String {
    match &taken.became {
        Became::Written {
            handle,
            text,
            remarks,
        } => {
            let remarks: String = remarks.iter().map(|remark| format!("  ! {remark}\n")).collect();
            format!("{handle}: {text}\n{remarks}")
        }
        Became::There { handle, text } => format!("{handle}: {text}\n  (there already)\n"),
        Became::Kept { handle, text, why } => format!("{handle}: {text}\n  (kept as a jotting: {why})\n"),
        Became::Stays { why } => format!("! {} was not kept: {why}\n", taken.id),
    }
}

fn told(taken: &Taken) -> Value {
    let id = taken.id.to_string();
    match &taken.became {
        Became::Written {
            handle,
            text,
            remarks,
        } => {
            json!({ "id": id, "became": "written", "handle": handle.to_string(), "text": text, "remarks": remarks })
        }
        Became::There { handle, text } => {
            json!({ "id": id, "became": "there", "handle": handle.to_string(), "text": text })
        }
        Became::Kept { handle, text, why } => {
            json!({ "id": id, "became": "jotting", "handle": handle.to_string(), "text": text, "why": why })
        }
        Became::Stays { why } => json!({ "id": id, "became": "stays", "why": why }),
    }
}
