//! `print`: cards, the round and pages on paper, as PDF files.

use std::path::{Path, PathBuf};

use app::{Reader, Surroundings as _, sheets};
use page::Card;
use press::{Around, BoxOnPaper, Holds, Printed};
use serde_json::{Value, json};

use super::opening::{office_for_answers, surroundings};
use super::put::Place;
use super::show::unknown;
use crate::args::{Args, Paper, Print, PrintArgs, Shaped, TemplateForm};
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
        Print::Card { .. }
        | Print::Round { .. }
        | Print::Hive { .. }
        | Print::Workshop { .. }
        | Print::Cut { .. }
        | Print::Template { .. } => {
            let office = office_for_answers(&args.books_path())?;
            from_books(&office.reader(asked.on, today), &asked.what, paper)?
        }
    };
    let file = asked.out.clone().unwrap_or_else(|| PathBuf::from(&made.name));
    let place = Place {
        file: &file,
        replace: asked.replace,
        option: Some("--out"),
        books: &args.books_path(),
    };
    place.put(&made.printed.pdf)?;
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
    /// The boxes of cards, as they are told.
    boxes: Vec<Value>,
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
        Print::Workshop { name: Some(name) } => {
            let page = sheets::pattern(reader, name).ok_or_else(|| unknown_pattern(reader, name))?;
            of_page(&page, &around, file_name(&["pattern", name]))
        }
        Print::Workshop { name: None } => of_page(
            &sheets::compare(reader),
            &around,
            file_name(&["patterns", &reader.day().to_string()]),
        ),
        Print::Cut { name, saw } => {
            let saw = super::show::saw(saw)?;
            let worked = sheets::worked(reader, name, &saw, &mut sheets::for_steps(sheets::CUT_STEPS));
            let worked = worked
                .ok_or_else(|| unknown_pattern(reader, name))?
                .map_err(|lacking| {
                    Failure::Refused(format!(
                        "The parts follow once the pattern can be built: {lacking}. Nothing was printed."
                    ))
                })?;
            let page = page::Page::new(format!("Sawing {name}")).with(sheets::cut_blocks(reader, &worked));
            of_page(&page, &around, file_name(&["cut", name]))
        }
        Print::Template { pattern, part, form } => template(reader, (pattern, *part, *form), &around),
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
    let boxes = boxes.iter().map(|one| box_told(one, cards)).collect();
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

/// A template at full size. Drawings for programs have no sheets.
fn template(
    reader: &Reader<'_>,
    (pattern, part, form): (&str, Shaped, TemplateForm),
    around: &Around<'_>,
) -> Result<Made, Failure> {
    let shaped = match part {
        Shaped::End => sheets::Shaped::End,
        Shaped::Follower => sheets::Shaped::Follower,
        Shaped::Cradle => sheets::Shaped::Cradle,
    };
    let template =
        sheets::template(reader, pattern, shaped).ok_or_else(|| unknown_pattern(reader, pattern))?;
    let template = template.map_err(|lacking| {
        Failure::Refused(format!(
            "There is no template yet: {lacking}. Nothing was printed."
        ))
    })?;
    let drawing = |file: Vec<u8>| Printed {
        pdf: file,
        sheets: 0,
        lacking: Vec::new(),
    };
    let (printed, ending) = match form {
        TemplateForm::Pdf => (press::full_size(&template, around).map_err(unset)?, "pdf"),
        TemplateForm::Svg => (drawing(page::template::svg(&template).into_bytes()), "svg"),
        TemplateForm::Dxf => (drawing(press::dxf(&template).map_err(unset)?), "dxf"),
    };
    let name = file_name(&["template", pattern, shaped.word()]);
    let name = format!("{}.{ending}", name.trim_end_matches(".pdf"));
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

fn unknown_pattern(reader: &Reader<'_>, name: &str) -> Failure {
    unknown("pattern", name, reader.holding().ground.pattern_labels.names())
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

fn told(file: &Path, paper: press::Paper, made: &Made) -> Said {
    let name = file.display().to_string();
    if made.printed.sheets == 0 {
        let text = format!("{name}: a drawing in millimetres, at its true size.\n");
        return Said::new(text, json!({ "file": name, "sheets": 0 }));
    }
    let (sheets, ask) = match made.printed.sheets {
        1 => ("1 sheet".to_owned(), "Print it at its own size"),
        many => (format!("{many} sheets"), "Print them at their own size"),
    };
    let called = match paper {
        press::Paper::A4 => "A4",
        press::Paper::Letter => "Letter",
    };
    let mut text = format!("{name}: {sheets} of {called}. {ask}, not fitted to the page.\n");
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
            "boxes": made.boxes,
        }),
    )
}

/// Where a box lies, in millimetres from the upper left corner of its sheet.
fn box_told(one: &BoxOnPaper, cards: &[Card]) -> Value {
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
            "of": cards.get(one.card).and_then(|card| card.asked.get(*group)).map(|asked| &asked.of),
            "key": apiary::colony::card::COLONY.get(*field).map_or("note", |column| column.key),
            "word": word,
        }),
    };
    told["holds"] = holds;
    told
}
