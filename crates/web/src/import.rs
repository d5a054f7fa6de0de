//! A spreadsheet brought in step by step: the file, what its rows are about, what its columns mean, the notes
//! that would come of it, and at last the notes.
//!
//! Holds true: nothing is written before it was shown; the file lies in memory alone and only for a while, and
//! is asked for again when it is gone; a refused row can be had back with the reason.

use std::sync::Arc;

use apiary::note::compose::{COMMON_KEYS, blanks};
use apiary::note::{Topic, table};
use app::import::{self, DayOrder, Mapping, NotBroughtIn, Report, Sheet, SheetError};
use axum::http::StatusCode;
use page::{Block, Choice, Column, Field, Form, Input, Method, Notice, Page, Table, Tone, Words};

use crate::asked::{Asked, Sent, address, with_done};
use crate::desk::{Desk, Upload};
use crate::look::{Refusal, refused, shown};
use crate::place::{Step, path};
use crate::reply::Reply;
use crate::router::Received;
use crate::writing::{is_proved, once, remark};

/// Where it begins.
const BEGIN: &str = "/books/import";

/// How many rows of each kind are shown.
const MOST_SHOWN: usize = 50;

/// How many rows show what a sheet looks like.
const SAMPLE: usize = 5;

/// What stands before the key of a form in the name of the field that says what fills it.
const FILLS: &str = "fill.";

/// Takes one step.
pub(crate) fn step(desk: &Desk, asked: &Asked, step: &Step, received: Option<Received>) -> Reply {
    match (step, received) {
        (Step::Begin, Some(received)) => upload(desk, asked, received),
        (Step::Begin, None) => begin(desk, asked, &asked.query),
        (Step::Map, received) => map(desk, asked, &received.unwrap_or_default().sent, true),
        (Step::Write, received) => map(desk, asked, &received.unwrap_or_default().sent, false),
        (Step::Refused(name), _) => match desk.refusals.get(name) {
            Some(rows) => Reply::csv("refused-rows", rows.to_string()),
            None => refused(
                desk,
                asked,
                &Refusal::Nowhere("These rows are no longer at hand; bring the sheet in again.".into()),
            ),
        },
    }
}

fn show(desk: &Desk, asked: &Asked, status: StatusCode, blocks: Vec<Block>) -> Reply {
    let page = Page::new("Bring in a spreadsheet").with(blocks);
    let today = desk.today();
    let answered = desk.read(|office| shown(desk, asked, &office.reader(None, today), status, &page));
    answered.unwrap_or_else(|trouble| refused(desk, asked, &trouble.into()))
}

fn choose_file(wrong: Option<&str>) -> Vec<Block> {
    let mut form = Form {
        method: Method::Upload,
        ..Form::post("A sheet to bring in", BEGIN)
    };
    let mut field = Field::line("file", "The file").input(Input::File).required();
    field.hint =
        "A workbook (.xlsx) or a table as text (.csv), up to 10 MiB, with headings in its first row".into();
    field.wrong = wrong.map(str::to_owned);
    form = form.field(field).button("read", "Read it");
    vec![
        Block::text(
            "Each row becomes a note. Nothing is written until you have seen the notes, and bringing the same file in twice changes nothing.",
        ),
        Block::Form(Box::new(form)),
    ]
}

fn upload(desk: &Desk, asked: &Asked, received: Received) -> Reply {
    let refuse = |status, why| show(desk, asked, status, choose_file(Some(why)));
    if !is_proved(desk, asked, &received.sent) {
        return refuse(
            StatusCode::FORBIDDEN,
            "this page was opened before the program was started anew; nothing was read. Choose the file again",
        );
    }
    let Some(file) = received.file else {
        return refuse(StatusCode::UNPROCESSABLE_ENTITY, "no file was chosen");
    };
    let digest = blake3::hash(&file.bytes).to_hex()[..16].to_owned();
    desk.sheets.put(digest.clone(), file);
    Reply::see_other(&address(BEGIN, [("sheet", digest.as_str())]))
}

/// Why there is no sheet to go on with.
enum Closed {
    /// None was chosen yet.
    NotChosen,
    /// It was chosen too long ago.
    Gone,
    Unread(SheetError),
}

fn opened(desk: &Desk, sent: &Sent) -> Result<(Arc<Upload>, Sheet), Closed> {
    let digest = sent.get("sheet").ok_or(Closed::NotChosen)?;
    let file = desk.sheets.get(digest).ok_or(Closed::Gone)?;
    let named = sent
        .get("named")
        .map(String::as_str)
        .filter(|name| !name.is_empty());
    let sheet = import::read(&file.name, &file.bytes, named).map_err(Closed::Unread)?;
    Ok((file, sheet))
}

fn closed(desk: &Desk, asked: &Asked, sent: &Sent, closed: &Closed) -> Reply {
    let refuse = |why: &str| {
        show(
            desk,
            asked,
            StatusCode::UNPROCESSABLE_ENTITY,
            choose_file(Some(why)),
        )
    };
    match closed {
        Closed::NotChosen => show(desk, asked, StatusCode::OK, choose_file(None)),
        Closed::Gone => refuse("the file is no longer at hand; choose it again"),
        Closed::Unread(SheetError::WhichSheet { sheets, .. }) if !sheets.is_empty() => {
            let sheets = sheets.iter().map(|name| choice(name, name)).collect();
            let form = Form::get("Which sheet", BEGIN)
                .hidden("sheet", said(sent, "sheet"))
                .field(
                    Field::line("named", "The workbook has several sheets; which one?")
                        .input(Input::Choice(sheets)),
                )
                .button("", "Go on");
            show(desk, asked, StatusCode::OK, vec![Block::Form(Box::new(form))])
        }
        Closed::Unread(error) => refuse(&error.to_string()),
    }
}

fn said<'a>(sent: &'a Sent, key: &str) -> &'a str {
    sent.get(key).map_or("", |said| said.trim())
}

fn choice(value: &str, text: &str) -> Choice {
    Choice {
        value: value.to_owned(),
        text: text.to_owned(),
    }
}

/// The first step, or the second where a file is at hand.
fn begin(desk: &Desk, asked: &Asked, sent: &Sent) -> Reply {
    let (file, sheet) = match opened(desk, sent) {
        Ok(opened) => opened,
        Err(why) => return closed(desk, asked, sent, &why),
    };
    let mut blocks = looks_like(&file, &sheet);
    blocks.push(Block::Form(Box::new(which_verb(sent))));
    if table().verb(said(sent, "verb")).is_some() {
        blocks.push(Block::section(
            "What its columns mean",
            [Block::Form(Box::new(mapping_form(&sheet, sent)))],
        ));
    }
    show(desk, asked, StatusCode::OK, blocks)
}

fn looks_like(file: &Upload, sheet: &Sheet) -> Vec<Block> {
    let columns = sheet.columns.iter().map(Column::words).collect();
    let rows = sheet.rows.iter().take(SAMPLE).map(|row| {
        let cells = row.iter().map(|cell| Words::new(cell.as_str()));
        cells
            .chain(std::iter::repeat(Words::default()))
            .take(sheet.columns.len())
            .collect()
    });
    vec![
        Block::Text(
            Words::default()
                .strong(file.name.as_str())
                .plain(format!(" has {} rows. It begins with these.", sheet.rows.len())),
        ),
        Block::Table(Table::new("The first rows", columns, "There is no row below the headings.").with(rows)),
    ]
}

fn which_verb(sent: &Sent) -> Form {
    let verbs = Topic::ALL.into_iter().flat_map(|topic| table().of(topic));
    let verbs = verbs
        .map(|entry| {
            choice(
                entry.verb.word,
                &format!("{}: {}", entry.verb.word, entry.verb.says),
            )
        })
        .collect();
    let field = Field::line("verb", "What is each row about?")
        .input(Input::Choice(verbs))
        .value(said(sent, "verb"));
    Form::get("What the rows are about", BEGIN)
        .hidden("sheet", said(sent, "sheet"))
        .hidden("named", said(sent, "named"))
        .field(field)
        .button("", "Go on")
}

/// A field for each key of the verb. Where nothing was said yet, a column fills the key that it is headed with.
fn mapping_form(sheet: &Sheet, sent: &Sent) -> Form {
    let verb = said(sent, "verb");
    let ways = app::forms::ways(verb);
    let ways = std::iter::once(choice("", "the first that has all that is filled in"))
        .chain(
            ways.into_iter()
                .map(|(form, says)| choice(&form.to_string(), &says)),
        )
        .collect();
    let days = [
        ("", "2026-07-19, the year first"),
        ("dmy", "19.7.2026, the day first"),
        ("mdy", "7/19/2026, the month first"),
    ];
    let mut form = Form::post("What the columns mean", "/books/import/map")
        .hidden("sheet", said(sent, "sheet"))
        .hidden("named", said(sent, "named"))
        .hidden("verb", verb)
        .field(
            Field::line("way", "Said as")
                .input(Input::Choice(ways))
                .value(said(sent, "way")),
        )
        .field(
            Field::line("days", "Days are written")
                .input(Input::Choice(days.map(|(value, text)| choice(value, text)).into()))
                .value(said(sent, "days")),
        )
        .field(
            Field::line("comma", "A comma stands before decimals")
                .input(Input::Tick)
                .value(said(sent, "comma")),
        )
        .field(Field::line("", "What fills what").input(Input::Heading).hint(
            "The heading of a column; or words with headings in braces, such as {Weight} kg; or words between quotes, such as \"alder\"",
        ));
    let columns: Vec<String> = sheet
        .columns
        .iter()
        .filter(|column| !column.is_empty())
        .cloned()
        .collect();
    let nothing_said = !sent.keys().any(|key| key.starts_with(FILLS));
    for (key, label) in keys(verb) {
        let name = format!("{FILLS}{key}");
        let same = || {
            columns
                .iter()
                .find(|column| column.to_lowercase() == key)
                .cloned()
        };
        let value = match sent.get(&name) {
            Some(said) => said.clone(),
            None if nothing_said => same().unwrap_or_default(),
            None => String::new(),
        };
        let input = Input::Line {
            offered: columns.clone(),
        };
        form = form.field(Field::line(name, label).input(input).value(value));
    }
    form.button("look", "Show the notes")
}

/// The keys of a verb in all its forms, each once, with what they are called.
fn keys(verb: &str) -> Vec<(String, String)> {
    let shapes = table()
        .verb(verb)
        .map(|entry| entry.shapes.iter())
        .into_iter()
        .flatten();
    let own = shapes
        .flat_map(|shape| blanks(shape, 1))
        .map(|blank| (blank.key, blank.label));
    let (first, last) = COMMON_KEYS.split_at(2);
    let common =
        |keys: &'static [&'static str]| keys.iter().map(|key| ((*key).to_owned(), (*key).to_owned()));
    let mut keys: Vec<(String, String)> = Vec::new();
    for (key, label) in common(first).chain(own).chain(common(last)) {
        if keys.iter().all(|(known, _)| *known != key) {
            keys.push((key, label));
        }
    }
    keys
}

fn mapping(sent: &Sent) -> Mapping {
    let fills = sent.iter().filter_map(|(name, said)| {
        let key = name.strip_prefix(FILLS)?;
        (!said.trim().is_empty()).then(|| (key.to_owned(), said.clone()))
    });
    Mapping {
        verb: said(sent, "verb").to_owned(),
        form: said(sent, "way").parse().ok(),
        fills: fills.collect(),
        days: match said(sent, "days") {
            "dmy" => DayOrder::Dmy,
            "mdy" => DayOrder::Mdy,
            _ => DayOrder::Ymd,
        },
        decimal_comma: !said(sent, "comma").is_empty(),
    }
}

/// The third step, which shows the notes, or the last, which writes them.
fn map(desk: &Desk, asked: &Asked, sent: &Sent, only_shows: bool) -> Reply {
    let (file, sheet) = match opened(desk, sent) {
        Ok(opened) => opened,
        Err(why) => return closed(desk, asked, sent, &why),
    };
    let proved = is_proved(desk, asked, sent);
    let keep_good = !said(sent, "keep").is_empty();
    let mapping = mapping(sent);
    let done = desk.change(|office, surroundings| {
        let dry = only_shows || !proved;
        match import::bring_in(office, &sheet, &mapping, keep_good, dry, "", surroundings) {
            Ok(report) => Ok(Ok(report)),
            Err(NotBroughtIn::Mapping(error)) => Ok(Err(error)),
            Err(NotBroughtIn::Fault(fault)) => Err(fault),
        }
    });
    let mut form = mapping_form(&sheet, sent);
    let (status, behind) = match done {
        Err(trouble) => return refused(desk, asked, &trouble.into()),
        Ok(Err(error)) => {
            form.wrong.push(format!("{error}.").into());
            (StatusCode::UNPROCESSABLE_ENTITY, Vec::new())
        }
        Ok(Ok(report)) if report.written.is_empty() => {
            let rows = refused_rows(desk, &sheet, &report);
            let status = match (proved, only_shows, report.refused.is_empty()) {
                (false, ..) => StatusCode::FORBIDDEN,
                (true, false, false) => StatusCode::UNPROCESSABLE_ENTITY,
                _ => StatusCode::OK,
            };
            if !proved {
                form.wrong.push("This page was opened before the program was started anew. Nothing was written; send it again.".into());
            }
            (status, told(desk, sent, &report, rows))
        }
        Ok(Ok(report)) => return written(desk, sent, &file, &sheet, &report),
    };
    let mut blocks = behind;
    blocks.extend(looks_like(&file, &sheet));
    blocks.push(Block::section(
        "What its columns mean",
        [Block::Form(Box::new(form))],
    ));
    show(desk, asked, status, blocks)
}

fn rows(count: usize) -> String {
    if count == 1 {
        "1 row".to_owned()
    } else {
        format!("{count} rows")
    }
}

fn notes(count: usize) -> String {
    if count == 1 {
        "1 note".to_owned()
    } else {
        format!("{count} notes")
    }
}

/// Where the refused rows can be had as a sheet of their own.
fn refused_rows(desk: &Desk, sheet: &Sheet, report: &Report) -> Option<String> {
    if report.refused.is_empty() {
        return None;
    }
    let rows = import::refused_csv(sheet, report);
    let name = blake3::hash(rows.as_bytes()).to_hex()[..16].to_owned();
    desk.refusals.put(name.clone(), rows);
    Some(path(&["books", "import", "refused", &name]))
}

/// What would come of a sheet.
fn told(desk: &Desk, sent: &Sent, report: &Report, refused: Option<String>) -> Vec<Block> {
    let mut says = format!("{} would be written", notes(report.planned.len()));
    if report.known > 0 {
        says.push_str(&format!(
            "; {} came in before and is passed over",
            rows(report.known)
        ));
    }
    let mut blocks = vec![Block::notice(Tone::Plain, format!("{says}."))];
    if let Some(to) = refused {
        blocks.push(Block::Notice(Notice {
            tone: Tone::Refused,
            says: Words::new(format!(
                "{} cannot be written as they stand.",
                rows(report.refused.len())
            )),
            more: vec![
                Words::linked("Those rows as a sheet, with the reasons", to)
                    .plain(", to be mended and brought in again."),
            ],
        }));
        let cells = report.refused.iter().take(MOST_SHOWN).map(|refused| {
            let why = refused.why.join("; ");
            vec![Words::amount(refused.row.to_string()), Words::new(why)]
        });
        let columns = vec![Column::amounts("Row"), Column::words("Why not")];
        blocks.push(Block::Table(Table::new("Refused rows", columns, "").with(cells)));
        blocks.extend(more(report.refused.len()));
    }
    if !report.otherwise.is_empty() {
        let cells = report.otherwise.iter().take(MOST_SHOWN).map(|before| {
            vec![
                Words::amount(before.row.to_string()),
                Words::linked(before.handle.to_string(), crate::place::note_path(&before.handle))
                    .plain(": ")
                    .note(before.text.as_deref().unwrap_or("(erased)")),
                Words::default().note(before.now.as_str()),
            ]
        });
        let columns = vec![
            Column::amounts("Row"),
            Column::words("Written then, and stands"),
            Column::words("It would say now"),
        ];
        blocks.push(Block::Table(
            Table::new("Rows that came in before with other words", columns, "").with(cells),
        ));
        blocks.extend(more(report.otherwise.len()));
    }
    if !report.planned.is_empty() {
        let cells = report.planned.iter().take(MOST_SHOWN).map(|row| {
            let mut remarks = Words::default();
            for (n, misgiving) in row.remarks.iter().enumerate() {
                remarks = remarks
                    .plain(if n > 0 { "; " } else { "" })
                    .and(remark(misgiving));
            }
            vec![
                Words::amount(row.row.to_string()),
                Words::default().note(row.line.as_str()),
                remarks,
            ]
        });
        let columns = vec![
            Column::amounts("Row"),
            Column::words("Note"),
            Column::words("Remarks"),
        ];
        blocks.push(Block::Table(Table::new("The notes", columns, "").with(cells)));
        blocks.extend(more(report.planned.len()));
        blocks.push(Block::Form(Box::new(write_form(desk, sent, report))));
    }
    blocks
}

fn more(of: usize) -> Option<Block> {
    (of > MOST_SHOWN).then(|| Block::text(format!("These are the first {MOST_SHOWN} of {of}.")))
}

/// Carries all that was said about the columns on to the last step.
fn write_form(desk: &Desk, sent: &Sent, report: &Report) -> Form {
    let mut form = Form::post("Write the notes", "/books/import/write").hidden("once", desk.fresh());
    for (key, value) in sent {
        let goes_on = key.starts_with(FILLS)
            || ["sheet", "named", "verb", "way", "days", "comma"].contains(&key.as_str());
        if goes_on {
            form = form.hidden(key.as_str(), value.as_str());
        }
    }
    if !report.refused.is_empty() {
        form = form.field(
            Field::line("keep", "Write the good rows even though others are refused")
                .input(Input::Tick)
                .value(said(sent, "keep")),
        );
    }
    form.button("write", format!("Write {}", notes(report.planned.len())))
}

fn written(desk: &Desk, sent: &Sent, file: &Upload, sheet: &Sheet, report: &Report) -> Reply {
    let mut more = Vec::new();
    if report.known > 0 {
        more.push(Words::new(format!(
            "{} came in before and were passed over.",
            rows(report.known)
        )));
    }
    if let Some(to) = refused_rows(desk, sheet, report) {
        let says = format!("{} were refused: ", rows(report.refused.len()));
        more.push(
            Words::new(says)
                .link("those rows as a sheet, with the reasons", to)
                .plain("."),
        );
    }
    let notice = Notice {
        tone: Tone::Written,
        says: Words::new(format!("{} from {}.", notes(report.written.len()), file.name)),
        more,
    };
    let once = once(sent, &desk.fresh());
    desk.written.put(once.clone(), vec![notice]);
    Reply::see_other(&with_done("/books", &once))
}
