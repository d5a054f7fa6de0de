//! A file of daily weather brought in: the file and its yard, what was read from it, and then the note.
//!
//! Holds true: nothing is written before what was read of the file was shown; the file lies in memory alone and only
//! for a while; a form that is sent twice ends on one receipt.

use app::Reader;
use app::weather::{self, Brought, File, MOST_BYTES, NotBroughtIn};
use axum::http::StatusCode;
use page::{Block, Choice, Column, Field, Form, Input, Method, Notice, Page, Table, Tone, Words};

use crate::asked::{Asked, Sent, with_done};
use crate::desk::{Desk, Upload};
use crate::look::{Refusal, refused, shown};
use crate::place::{WeatherAt, note_path};
use crate::reply::Reply;
use crate::router::Received;
use crate::writing::{is_proved, once, remark};

/// Where it begins.
const BEGIN: &str = "/books/weather";

/// Where it is written.
const WRITE: &str = "/books/weather/write";

const STALE: &str =
    "This page was opened before the program was started anew. Nothing was written; send it again.";

/// Takes one step.
pub(crate) fn step(desk: &Desk, asked: &Asked, at: &WeatherAt, received: Option<Received>) -> Reply {
    match (at, received) {
        (WeatherAt::Begin, None) => begin(desk, asked, StatusCode::OK, &asked.query, None, Vec::new()),
        (WeatherAt::Begin, Some(received)) => read(desk, asked, received),
        (WeatherAt::Write, received) => write(desk, asked, &received.unwrap_or_default().sent),
    }
}

fn said<'a>(sent: &'a Sent, key: &str) -> &'a str {
    sent.get(key).map_or("", |said| said.trim())
}

/// The form, with what was read of a file before it.
fn begin(
    desk: &Desk,
    asked: &Asked,
    status: StatusCode,
    sent: &Sent,
    wrong: Option<String>,
    before: Vec<Block>,
) -> Reply {
    let today = desk.today();
    let answered = desk.read(|office| {
        let reader = office.reader(None, today);
        let mut page = Page::new("Daily weather").with(before);
        page.blocks.push(Block::text(
            "The lowest and highest of each day tell how hard a winter is, how hot it was for new comb, whether queens could fly, and how far a season is beside earlier ones. Bring in a table (.csv) with the columns date, tmin_c, tmax_c (or tmin_f, tmax_f) and perhaps rain_mm, or a station's file of GHCN-Daily. Nothing is written until you have seen what was read, and bringing the same file in twice changes nothing.",
        ));
        page.blocks.push(Block::Form(Box::new(form(&reader, sent, wrong))));
        page.blocks.push(known(&reader));
        shown(desk, asked, &reader, status, &page)
    });
    answered.unwrap_or_else(|trouble| refused(desk, asked, &trouble.into()))
}

fn form(reader: &Reader<'_>, sent: &Sent, wrong: Option<String>) -> Form {
    let yards = reader.holding().ground.yard_labels.names();
    let yards = yards.map(|name| Choice {
        value: name.to_owned(),
        text: name.to_owned(),
    });
    let mut file = Field::line("file", "The file").input(Input::File).required();
    file.hint = format!("Up to {} MiB", MOST_BYTES >> 20);
    file.wrong = wrong;
    Form {
        method: Method::Upload,
        ..Form::post("A file of daily weather", BEGIN)
    }
    .field(
        Field::line("yard", "The yard")
            .input(Input::Choice(yards.collect()))
            .value(said(sent, "yard"))
            .required(),
    )
    .field(
        Field::line("station", "The station, where the file has several")
            .value(said(sent, "station"))
            .hint("As the file calls it, such as XX000012345"),
    )
    .field(file)
    .button("read", "Read it")
}

/// Which weather is in the books.
fn known(reader: &Reader<'_>) -> Block {
    let yards = reader.holding().ground.yards.iter();
    let rows = yards.filter_map(|(id, yard)| {
        let told = reader.weather_told(id);
        let (first, last) = told.series.first().zip(told.series.last())?;
        let notes = told
            .parts
            .iter()
            .enumerate()
            .fold(Words::default(), |words, (n, part)| {
                let handle = reader.entry(part.entry).handle();
                let words = words
                    .plain(if n > 0 { ", " } else { "" })
                    .link(handle.to_string(), note_path(&handle));
                match &part.series {
                    Some(Err(why)) => words.plain(format!(" ({why})")),
                    _ => words,
                }
            });
        Some(vec![
            Words::new(yard.label.to_string()),
            Words::new(format!("{first} to {last}")),
            Words::amount(told.series.len().to_string()),
            notes,
        ])
    });
    let columns = vec![
        Column::words("Yard"),
        Column::words("From and to"),
        Column::amounts("Days"),
        Column::words("Notes"),
    ];
    let none = "No weather is in the books yet.";
    Block::Table(Table::new("Weather in the books", columns, none).with(rows))
}

fn read(desk: &Desk, asked: &Asked, received: Received) -> Reply {
    let sent = received.sent;
    let refuse = |status, why: &str| begin(desk, asked, status, &sent, Some(why.to_owned()), Vec::new());
    if !is_proved(desk, asked, &sent) {
        return refuse(
            StatusCode::FORBIDDEN,
            "this page was opened before the program was started anew; nothing was read. Choose the file again",
        );
    }
    let Some(file) = received.file else {
        return refuse(StatusCode::UNPROCESSABLE_ENTITY, "no file was chosen");
    };
    let outcome = bring_in(desk, asked, &sent, &file, true);
    match outcome {
        Err(refusal) => refused(desk, asked, &refusal),
        Ok(Err(error)) => refuse(StatusCode::UNPROCESSABLE_ENTITY, &error.to_string()),
        Ok(Ok(brought)) => {
            let digest = blake3::hash(&file.bytes).to_hex()[..16].to_owned();
            let blocks = told(desk, &sent, &file, &digest, &brought);
            desk.sheets.put(digest, file);
            begin(desk, asked, StatusCode::OK, &sent, None, blocks)
        }
    }
}

fn bring_in(
    desk: &Desk,
    asked: &Asked,
    sent: &Sent,
    file: &Upload,
    dry: bool,
) -> Result<Result<Brought, NotBroughtIn>, Refusal> {
    let handed = File {
        name: &file.name,
        bytes: &file.bytes,
        yard: said(sent, "yard"),
        station: Some(said(sent, "station")),
    };
    let done = desk.change_by(asked.by(), |office, surroundings| {
        match weather::bring_in(office, &handed, dry, "", surroundings) {
            Err(NotBroughtIn::Fault(fault)) => Err(fault),
            outcome => Ok(outcome),
        }
    });
    done.map_err(Refusal::from)
}

/// What was read of a file, and the form that writes it.
fn told(desk: &Desk, sent: &Sent, file: &Upload, digest: &str, brought: &Brought) -> Vec<Block> {
    let series = &brought.file.series;
    let mut lines = Vec::new();
    if let (Some(first), Some(last)) = (series.first(), series.last()) {
        lines.push(Words::new(format!(
            "{} days from {first} to {last}, read as {}{}.",
            series.len(),
            brought.file.form.name(),
            brought
                .file
                .station
                .as_ref()
                .map_or_else(String::new, |station| format!(", station {station}"))
        )));
    }
    if let Some(((cold, low), (hot, high))) = series.extremes() {
        lines.push(Words::new(format!(
            "Coldest {:.1} °C on {cold}, hottest {:.1} °C on {hot}: look whether that is °C and the right place.",
            low.get(),
            high.get()
        )));
    }
    lines.extend(
        brought
            .file
            .remarks()
            .into_iter()
            .map(|remark| Words::new(format!("{remark}."))),
    );
    let mut blocks = vec![Block::Notice(Notice {
        tone: Tone::Plain,
        says: Words::default()
            .strong(file.name.as_str())
            .plain(" was read. Nothing is written yet."),
        more: lines,
    })];
    match (&brought.before, &brought.note) {
        (Some(before), _) => blocks.push(Block::notice(
            Tone::Plain,
            Words::new("It is in the books already: ")
                .link(before.handle.to_string(), note_path(&before.handle))
                .plain(" ")
                .note(before.text.as_str()),
        )),
        (None, Some(note)) => {
            blocks.push(Block::Text(Words::default().note(note.text.as_str())));
            blocks.extend(
                note.remarks
                    .iter()
                    .map(|odd| Block::notice(Tone::Plain, remark(odd))),
            );
            let form = Form::post("Write it", WRITE)
                .hidden("once", desk.fresh())
                .hidden("sheet", digest)
                .hidden("yard", said(sent, "yard"))
                .hidden("station", said(sent, "station"))
                .button("write", "Write it, and keep the file with it");
            blocks.push(Block::Form(Box::new(form)));
        }
        (None, None) => {}
    }
    blocks
}

fn write(desk: &Desk, asked: &Asked, sent: &Sent) -> Reply {
    let once = once(sent, &desk.fresh());
    let refuse = |status, why: &str| begin(desk, asked, status, sent, Some(why.to_owned()), Vec::new());
    if !is_proved(desk, asked, sent) {
        return refuse(StatusCode::FORBIDDEN, STALE);
    }
    if desk.written.get(&once).is_some() {
        return Reply::see_other(&with_done(BEGIN, &once));
    }
    let Some(file) = desk.sheets.get(said(sent, "sheet")) else {
        return refuse(
            StatusCode::UNPROCESSABLE_ENTITY,
            "the file is no longer at hand, and nothing was written; choose it again",
        );
    };
    match bring_in(desk, asked, sent, &file, false) {
        Err(refusal) => refused(desk, asked, &refusal),
        Ok(Err(error)) => refuse(StatusCode::UNPROCESSABLE_ENTITY, &error.to_string()),
        Ok(Ok(brought)) => {
            let handle = brought
                .note
                .as_ref()
                .map(|note| &note.handle)
                .or(brought.before.as_ref().map(|before| &before.handle));
            let says = match handle {
                Some(handle) => Words::linked(handle.to_string(), note_path(handle)).plain(format!(
                    ": {} days of weather from {}.",
                    brought.file.series.len(),
                    file.name
                )),
                None => Words::new("Nothing was new."),
            };
            let notice = Notice {
                tone: Tone::Written,
                says,
                more: Vec::new(),
            };
            desk.written.put(once.clone(), vec![notice]);
            Reply::see_other(&with_done(BEGIN, &once))
        }
    }
}
