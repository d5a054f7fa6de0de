//! `print`: cards, the round and pages on paper, as PDF files.
//!
//! Holds true: a file is there whole or not at all, and what was there before is kept unless its place is asked for.

use std::io::{ErrorKind, Write as _};
use std::path::{Path, PathBuf};

use app::{Reader, Surroundings as _, sheets};
use page::Card;
use press::{Around, BoxOnPaper, Holds, Printed};
use serde_json::{Value, json};

use super::opening::{office_for_answers, surroundings};
use super::show::unknown;
use crate::args::{Args, Paper, Print, PrintArgs};
use crate::exit::Failure;
use crate::output::Said;

pub(crate) fn run(args: &Args, asked: &PrintArgs) -> Result<Said, Failure> {
    let paper = paper(asked);
    let today = surroundings(args).today();
    let made = match &asked.what {
        // A blank card needs no books.
        Print::Blank { bars, cards } => {
            let cards = vec![sheets::blank_card(*bars); usize::from(*cards)];
            let around = Around {
                paper,
                day: asked.on.unwrap_or(today),
                farm: "",
            };
            of_cards(&cards, &around, format!("card-blank-{bars}.pdf"))?
        }
        Print::Card { .. } | Print::Round { .. } | Print::Hive { .. } => {
            let office = office_for_answers(&args.books_path())?;
            from_books(&office.reader(asked.on, today), &asked.what, paper)?
        }
    };
    let file = asked.out.clone().unwrap_or_else(|| PathBuf::from(&made.name));
    put(&file, &made.printed.pdf, asked.replace)?;
    Ok(told(&file, paper, &made))
}

/// The paper that is said or remembered, or A4.
fn paper(asked: &PrintArgs) -> press::Paper {
    match asked.paper {
        Some(Paper::A4) | None => press::Paper::A4,
        Some(Paper::Letter) => press::Paper::Letter,
    }
}

struct Made {
    name: String,
    printed: Printed,
    boxes: Vec<BoxOnPaper>,
}

fn from_books(reader: &Reader<'_>, what: &Print, paper: press::Paper) -> Result<Made, Failure> {
    let farm = reader.holding().ground.farm.clone().unwrap_or_default();
    let around = Around {
        paper,
        day: reader.day(),
        farm: &farm,
    };
    match what {
        Print::Card { hives, yard } => {
            let cards = match hives.as_slice() {
                [] => sheets::look_cards(reader, yard.as_deref())
                    .ok_or_else(|| unknown_yard(reader, yard.as_deref().unwrap_or_default()))?,
                hives => hives
                    .iter()
                    .map(|name| sheets::look_card(reader, name).ok_or_else(|| unknown_hive(reader, name)))
                    .collect::<Result<_, _>>()?,
            };
            if cards.is_empty() {
                let place = yard
                    .as_ref()
                    .map_or_else(String::new, |yard| format!(" in {yard}"));
                return Err(Failure::Refused(format!(
                    "No bees live in a hive{place} on {}, so there is no card to fill. For cards without a map: combwright print blank.",
                    reader.day()
                )));
            }
            let name = match (cards.as_slice(), yard) {
                ([one], None) => file_name(&["card", &one.title]),
                (_, Some(yard)) => file_name(&["cards", yard]),
                _ => "cards.pdf".to_owned(),
            };
            of_cards(&cards, &around, name)
        }
        Print::Hive { name } => {
            let page = sheets::hive(reader, name).ok_or_else(|| unknown_hive(reader, name))?;
            of_page(&page, &around, file_name(&["hive", name]))
        }
        Print::Round { yard: Some(yard) } => {
            let page = sheets::yard_round(reader, yard).ok_or_else(|| unknown_yard(reader, yard))?;
            let name = file_name(&["round", yard, &reader.day().to_string()]);
            of_page(&page, &around, name)
        }
        Print::Round { yard: None } => of_page(
            &sheets::round(reader),
            &around,
            file_name(&["round", &reader.day().to_string()]),
        ),
        Print::Blank { .. } => unreachable!("BUG: a blank card was made without books"),
    }
}

fn of_cards(cards: &[Card], around: &Around<'_>, name: String) -> Result<Made, Failure> {
    let (printed, boxes) = press::cards(cards, around).map_err(unset)?;
    Ok(Made { name, printed, boxes })
}

fn of_page(page: &page::Page, around: &Around<'_>, name: String) -> Result<Made, Failure> {
    let below = format!("As known on {}", around.day);
    let printed = press::page(page, &below, around).map_err(unset)?;
    Ok(Made {
        name,
        printed,
        boxes: Vec::new(),
    })
}

fn unset(error: press::Unset) -> Failure {
    Failure::Refused(format!(
        "A mistake in the program: {error}. Nothing was printed; the books are as they were."
    ))
}

fn unknown_hive(reader: &Reader<'_>, name: &str) -> Failure {
    unknown("hive", name, reader.holding().hive_labels.names())
}

fn unknown_yard(reader: &Reader<'_>, name: &str) -> Failure {
    unknown("yard", name, reader.holding().ground.yard_labels.names())
}

/// A name for the file; what does not belong into one becomes a dash.
fn file_name(parts: &[&str]) -> String {
    let name: String = parts
        .join("-")
        .chars()
        .map(|letter| {
            if letter.is_alphanumeric() || letter == '-' {
                letter
            } else {
                '-'
            }
        })
        .take(80)
        .collect();
    format!("{name}.pdf")
}

/// Writes the file whole, beside its place first.
pub(super) fn put(file: &Path, bytes: &[u8], replace: bool) -> Result<(), Failure> {
    let name = file.display();
    if file.is_dir() {
        return Err(Failure::Place(format!(
            "{name}: this is a folder. Name a file in it with --out. Nothing was written."
        )));
    }
    let failed = |error: std::io::Error| match error.kind() {
        ErrorKind::AlreadyExists => Failure::Place(format!(
            "{name}: there is a file of this name, and it was kept. Name another with --out, or say --replace."
        )),
        ErrorKind::NotFound => Failure::Place(format!(
            "{name}: its folder is not there. Make it, or check the name. Nothing was written."
        )),
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => Failure::Place(format!(
            "{name}: the disk is full. Make room and print again. Nothing was written, and nothing was lost."
        )),
        _ => Failure::Place(format!(
            "{name}: it cannot be written: {error}. Nothing was written, and nothing was lost."
        )),
    };
    if !replace && file.exists() {
        return Err(failed(ErrorKind::AlreadyExists.into()));
    }
    let folder = file
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    let mut beside = tempfile::Builder::new()
        .prefix(".print-")
        .permissions(permissions())
        .tempfile_in(folder)
        .map_err(failed)?;
    beside
        .write_all(bytes)
        .and_then(|()| beside.as_file().sync_all())
        .map_err(failed)?;
    let put = match replace {
        true => beside.persist(file),
        false => beside.persist_noclobber(file),
    };
    put.map(drop).map_err(|error| failed(error.error))
}

/// A print is no secret; who may read it is left to the system's own mask.
#[cfg(unix)]
fn permissions() -> std::fs::Permissions {
    use std::os::unix::fs::PermissionsExt as _;
    std::fs::Permissions::from_mode(0o666)
}

fn told(file: &Path, paper: press::Paper, made: &Made) -> Said {
    let name = file.display().to_string();
    let sheets = match made.printed.sheets {
        1 => "1 sheet".to_owned(),
        many => format!("{many} sheets"),
    };
    let called = match paper {
        press::Paper::A4 => "A4",
        press::Paper::Letter => "Letter",
    };
    let mut text =
        format!("{name}: {sheets} of {called}. Print it at its own size, not fitted to the page.\n");
    if !made.printed.lacking.is_empty() {
        let lacking: Vec<String> = made.printed.lacking.iter().map(char::to_string).collect();
        text.push_str(&format!(
            "The built-in letters lack {}; an empty frame stands in its place.\n",
            lacking.join(" ")
        ));
    }
    let lacking: String = made.printed.lacking.iter().collect();
    Said::new(
        text,
        json!({
            "file": name, "paper": paper.word(), "sheets": made.printed.sheets, "lacking": lacking,
            "boxes": made.boxes.iter().map(box_told).collect::<Vec<_>>(),
        }),
    )
}

/// Where a box lies, in millimetres from the upper left corner of its sheet.
fn box_told(one: &BoxOnPaper) -> Value {
    let tidy = |mm: f64| (mm * 100.0).round() / 100.0;
    let mut told = json!({
        "card": one.card, "sheet": one.sheet,
        "left_mm": tidy(one.left), "top_mm": tidy(one.top),
        "width_mm": tidy(one.width), "height_mm": tidy(one.height),
    });
    let holds = match &one.holds {
        Holds::Once(heading) => json!({ "once": heading }),
        Holds::Tick { place } => json!({ "bar": place, "key": "as before" }),
        Holds::Column { place, column } => json!({
            "bar": place,
            "key": apiary::colony::card::COLUMNS.get(*column).map(|column| column.key),
        }),
        Holds::Words { place } => json!({ "bar": place, "key": "note" }),
        Holds::Asked { group, field, word } => json!({
            "colony": group,
            "key": apiary::colony::card::COLONY.get(*field).map_or("note", |column| column.key),
            "word": word,
        }),
    };
    told["holds"] = holds;
    told
}
