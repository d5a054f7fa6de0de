//! A spreadsheet brought in step by step: the file, what its rows are about, what its columns mean, the notes
//! that would come of it, and at last the notes.
//!
//! Holds true: nothing is written before it was shown or offered as a whole; the file lies in memory alone and
//! only for a while, and is asked for again when it is gone, with all that was said of its columns kept; a
//! refused row can be had back with the reason; a form that is sent twice ends on one receipt.

use std::sync::Arc;

use apiary::Misgiving;
use apiary::note::compose::{COMMON_KEYS, blanks};
use apiary::note::{Topic, table};
use app::import::{self, DayOrder, Mapping, NotBroughtIn, Report, Sheet, SheetError};
use axum::http::StatusCode;
use page::{Block, Choice, Column, Field, Form, Input, Method, Notice, Page, Table, Tone, Words};

use crate::asked::{Asked, Sent, address, with_done};
use crate::desk::{Desk, Upload};
use crate::look::{Refusal, refused, shown};
use crate::place::{Step, note_path, path};
use crate::reply::Reply;
use crate::router::Received;
use crate::writing::{is_proved, once, remark};

/// Where it begins.
const BEGIN: &str = "/books/import";

/// How many notes are shown before they are written; where there are more, all of them are offered as a file.
const MOST_NOTES: usize = 1_000;

/// Where there are more notes than these, those with remarks are told once more by themselves: nobody finds
/// them among the others.
const FEW_NOTES: usize = 50;

/// How many of the rows that need a look are shown: refused, remarked upon, or different from before.
const MOST_TOLD: usize = 200;

/// How many rows with remarks are told once they are written.
const MOST_REMARKED: usize = 50;

/// What is pressed for the whole list of notes.
const ALL: &str = "all";

/// How many rows show what a sheet looks like.
const SAMPLE: usize = 5;

/// What stands before the key of a form in the name of the field that says what fills it.
const FILLS: &str = "fill.";

/// What is said about a sheet beside what fills its keys.
const SAID: [&str; 5] = ["named", "verb", "way", "days", "comma"];

/// No address is made longer than this: browsers and this server take no address of any length.
const LONGEST_ADDRESS: usize = 8_000;

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

/// All that was said about a sheet and its columns, so that it outlives the sheet.
fn carried(sent: &Sent) -> impl Iterator<Item = (&str, &str)> {
    sent.iter()
        .map(|(key, said)| (key.as_str(), said.as_str()))
        .filter(|(key, said)| (key.starts_with(FILLS) || SAID.contains(key)) && !said.trim().is_empty())
}

fn carrying(form: Form, sent: &Sent) -> Form {
    carried(sent).fold(form, |form, (key, said)| form.hidden(key, said))
}

fn choose_file(wrong: Option<&str>, sent: &Sent) -> Vec<Block> {
    let form = Form {
        method: Method::Upload,
        ..Form::post("A sheet to bring in", BEGIN)
    };
    let mut field = Field::line("file", "The file").input(Input::File).required();
    field.hint = format!(
        "A workbook (.xlsx) or a table as text (.csv), up to {} MiB, with headings in its first row",
        import::MOST_BYTES >> 20
    );
    field.wrong = wrong.map(str::to_owned);
    let form = carrying(form, sent).field(field).button("read", "Read it");
    vec![
        Block::text(
            "Each row becomes a note. Nothing is written until you have seen the notes, and bringing the same file in twice changes nothing.",
        ),
        Block::Form(Box::new(form)),
    ]
}

fn upload(desk: &Desk, asked: &Asked, received: Received) -> Reply {
    let mut sent = received.sent;
    let refuse = |sent: &Sent, status, why| show(desk, asked, status, choose_file(Some(why), sent));
    if !is_proved(desk, asked, &sent) {
        return refuse(
            &sent,
            StatusCode::FORBIDDEN,
            "this page was opened before the program was started anew; nothing was read. Choose the file again",
        );
    }
    let Some(file) = received.file else {
        return refuse(&sent, StatusCode::UNPROCESSABLE_ENTITY, "no file was chosen");
    };
    let digest = blake3::hash(&file.bytes).to_hex()[..16].to_owned();
    desk.sheets.put(digest.clone(), file);
    let to = address(
        BEGIN,
        std::iter::once(("sheet", digest.as_str())).chain(carried(&sent)),
    );
    if to.len() <= LONGEST_ADDRESS {
        return Reply::see_other(&to);
    }
    sent.insert("sheet".to_owned(), digest);
    begin(desk, asked, &sent)
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
    let refuse = |why: &str, sent: &Sent| {
        show(
            desk,
            asked,
            StatusCode::UNPROCESSABLE_ENTITY,
            choose_file(Some(why), sent),
        )
    };
    match closed {
        Closed::NotChosen => show(desk, asked, StatusCode::OK, choose_file(None, sent)),
        Closed::Gone if carried(sent).next().is_some() => refuse(
            "the file is no longer at hand; choose it again. What you said about it is kept",
            sent,
        ),
        Closed::Gone => refuse("the file is no longer at hand; choose it again", sent),
        Closed::Unread(SheetError::WhichSheet { sheets, .. }) if !sheets.is_empty() => {
            let sheets = sheets.iter().map(|name| choice(name, name)).collect();
            let form = Form::get("Which sheet", BEGIN).hidden("sheet", said(sent, "sheet"));
            let form = carrying(form, &without_name(sent))
                .field(
                    Field::line("named", "The workbook has several sheets; which one?")
                        .input(Input::Choice(sheets)),
                )
                .button("", "Go on");
            show(desk, asked, StatusCode::OK, vec![Block::Form(Box::new(form))])
        }
        Closed::Unread(error) => refuse(&error.to_string(), &without_name(sent)),
    }
}

/// A sheet's name would refuse every file that has no such sheet.
fn without_name(sent: &Sent) -> Sent {
    let mut sent = sent.clone();
    sent.remove("named");
    sent
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
    let begins = match sheet.rows.len() {
        0 => " has no rows.".to_owned(),
        few @ 1..=SAMPLE => format!(" has {}.", rows_of(few)),
        many => format!(" has {}. It begins with these.", rows_of(many)),
    };
    vec![
        Block::Text(Words::default().strong(file.name.as_str()).plain(begins)),
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
    let proved = is_proved(desk, asked, sent);
    let pressed = proved && !only_shows;
    let once = once(sent, &desk.fresh());
    let receipt_before = || {
        let is_known = pressed && desk.written.get(&once).is_some();
        is_known.then(|| Reply::see_other(&with_done("/books", &once)))
    };
    let (file, sheet) = match opened(desk, sent) {
        Ok(opened) => opened,
        Err(why) => return receipt_before().unwrap_or_else(|| closed(desk, asked, sent, &why)),
    };
    let keep_good = !said(sent, "keep").is_empty();
    let mapping = mapping(sent);
    let done = desk.change_by(asked.by(), |office, surroundings| {
        match import::bring_in(office, &sheet, &mapping, keep_good, !pressed, "", surroundings) {
            Ok(report) => {
                // Before anyone else has the office: whoever sends the form again at this very moment must
                // find the receipt.
                if !report.written.is_empty() {
                    desk.written
                        .put(once.clone(), vec![receipt(desk, &file, &sheet, &report)]);
                }
                Ok(Ok(report))
            }
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
        Ok(Ok(report)) if !report.written.is_empty() => {
            return Reply::see_other(&with_done("/books", &once));
        }
        Ok(Ok(report)) if only_shows && proved && said(sent, "press") == ALL => {
            return Reply::csv("notes-to-come", page::csv::table(&notes_table(&report.planned)));
        }
        Ok(Ok(report)) => {
            // Where there is something left to write, the books have changed since, and it is asked anew.
            if report.planned.is_empty()
                && let Some(receipt) = receipt_before()
            {
                return receipt;
            }
            if !proved {
                form.wrong.push("This page was opened before the program was started anew. Nothing was written; send it again.".into());
            }
            let status = match (proved, report.refused.is_empty()) {
                (false, _) => StatusCode::FORBIDDEN,
                (true, false) if pressed => StatusCode::UNPROCESSABLE_ENTITY,
                _ => StatusCode::OK,
            };
            let rows = refused_rows(desk, &sheet, &report);
            (status, told(desk, sent, &report, rows, pressed))
        }
    };
    let mut blocks = behind;
    blocks.extend(looks_like(&file, &sheet));
    blocks.push(Block::section(
        "What its columns mean",
        [Block::Form(Box::new(form))],
    ));
    show(desk, asked, status, blocks)
}

fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

fn rows_of(count: usize) -> String {
    counted(count, "row", "rows")
}

fn notes(count: usize) -> String {
    counted(count, "note", "notes")
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

/// What would come of a sheet, or why nothing came of it where the form to write it was pressed.
fn told(desk: &Desk, sent: &Sent, report: &Report, refused: Option<String>, pressed: bool) -> Vec<Block> {
    let mut blocks = vec![Block::Notice(in_short(report, pressed))];
    if let Some(to) = refused {
        blocks.extend(refusals(report, to));
    }
    if !report.otherwise.is_empty() {
        let cells = report.otherwise.iter().take(MOST_TOLD).map(|before| {
            vec![
                Words::amount(before.row.to_string()),
                Words::linked(before.handle.to_string(), note_path(&before.handle))
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
        blocks.extend(more(MOST_TOLD, report.otherwise.len()));
    }
    if report.planned.is_empty() {
        return blocks;
    }
    if report.planned.len() > FEW_NOTES {
        blocks.extend(remarked(&report.planned));
    }
    let mut table = notes_table(report.planned.iter().take(MOST_NOTES));
    table.caption = "The notes".into();
    let more = more(MOST_NOTES, report.planned.len());
    // What does not fit on the page is offered before the notes, and so before the button that writes them.
    if more.is_some() {
        let all = carrying(Form::post("The whole list of notes", "/books/import/map"), sent)
            .hidden("sheet", said(sent, "sheet"))
            .button(ALL, format!("All {} as CSV", notes(report.planned.len())));
        blocks.push(Block::text(format!(
            "Only the first {MOST_NOTES} of {} stand on this page. Look at the whole list before you write it.",
            notes(report.planned.len())
        )));
        blocks.push(Block::Form(Box::new(all)));
    }
    blocks.push(Block::Table(table));
    blocks.extend(more);
    blocks.push(Block::Form(Box::new(write_form(desk, sent, report))));
    blocks
}

fn in_short(report: &Report, pressed: bool) -> Notice {
    let known = counted(
        report.known,
        "row came in before and is",
        "rows came in before and are",
    );
    let known = (report.known > 0).then(|| format!("{known} passed over"));
    let (good, bad) = (report.planned.len(), report.refused.len());
    let is_refused = counted(bad, "row is refused", "rows are refused");
    let are_held = counted(good, "good row was held back", "good rows were held back");
    let (tone, says, more) = match (pressed, bad, good) {
        (false, ..) => {
            let says = format!("{} would be written", notes(good));
            let says = std::iter::once(says).chain(known).collect::<Vec<_>>().join("; ");
            return Notice {
                tone: Tone::Plain,
                says: format!("{says}.").into(),
                more: Vec::new(),
            };
        }
        (true, 0, _) => (Tone::Plain, "Nothing was written".to_owned(), None),
        (true, _, 0) => (
            Tone::Refused,
            format!("Nothing was written: {is_refused}, and no other is left to write"),
            None,
        ),
        (true, ..) => (
            Tone::Refused,
            format!("Nothing was written: {is_refused}, and {are_held}"),
            Some("Mend the sheet and bring it in again, or tick the box below to write the good rows alone."),
        ),
    };
    Notice {
        tone,
        says: format!("{says}.").into(),
        more: known
            .map(|known| format!("{known}.").into())
            .into_iter()
            .chain(more.map(Words::from))
            .collect(),
    }
}

fn refusals(report: &Report, to: String) -> Vec<Block> {
    let count = report.refused.len();
    let (says, those) = match count {
        1 => ("cannot be written as it stands", "That row"),
        _ => ("cannot be written as they stand", "Those rows"),
    };
    let cells = report.refused.iter().take(MOST_TOLD).map(|refused| {
        let why = refused.why.join("; ");
        vec![Words::amount(refused.row.to_string()), Words::new(why)]
    });
    let columns = vec![Column::amounts("Row"), Column::words("Why not")];
    let mut blocks = vec![
        Block::Notice(Notice {
            tone: Tone::Refused,
            says: format!("{} {says}.", rows_of(count)).into(),
            more: vec![
                Words::linked(format!("{those} as a sheet, with the reasons"), to)
                    .plain(", to be mended and brought in again."),
            ],
        }),
        Block::Table(Table::new("Refused rows", columns, "").with(cells)),
    ];
    blocks.extend(more(MOST_TOLD, count));
    blocks
}

/// The notes with remarks alone.
fn remarked(planned: &[import::Row]) -> Vec<Block> {
    let odd = || planned.iter().filter(|row| !row.remarks.is_empty());
    let count = odd().count();
    if count == 0 {
        return Vec::new();
    }
    let mut table = notes_table(odd().take(MOST_TOLD));
    table.caption = format!("{} with remarks", notes(count));
    std::iter::once(Block::Table(table))
        .chain(more(MOST_TOLD, count))
        .collect()
}

fn notes_table<'a>(planned: impl IntoIterator<Item = &'a import::Row>) -> Table {
    let cells = planned.into_iter().map(|row| {
        vec![
            Words::amount(row.row.to_string()),
            Words::default().note(row.line.as_str()),
            remarks(&row.remarks),
        ]
    });
    let columns = vec![
        Column::amounts("Row"),
        Column::words("Note"),
        Column::words("Remarks"),
    ];
    Table::new("", columns, "").with(cells)
}

fn remarks(misgivings: &[Misgiving]) -> Words {
    let mut words = Words::default();
    for (n, misgiving) in misgivings.iter().enumerate() {
        words = words.plain(if n > 0 { "; " } else { "" }).and(remark(misgiving));
    }
    words
}

fn more(most: usize, of: usize) -> Option<Block> {
    (of > most).then(|| Block::text(format!("These are the first {most} of {of}.")))
}

/// Carries all that was said about the columns on to the last step.
fn write_form(desk: &Desk, sent: &Sent, report: &Report) -> Form {
    let form = Form::post("Write the notes", "/books/import/write")
        .hidden("once", desk.fresh())
        .hidden("sheet", said(sent, "sheet"));
    let mut form = carrying(form, sent);
    if !report.refused.is_empty() {
        form = form.field(
            Field::line("keep", "Write the good rows even though others are refused")
                .input(Input::Tick)
                .value(said(sent, "keep")),
        );
    }
    form.button("write", format!("Write {}", notes(report.planned.len())))
}

/// What is said once it is written.
fn receipt(desk: &Desk, file: &Upload, sheet: &Sheet, report: &Report) -> Notice {
    let mut more = Vec::new();
    if report.known > 0 {
        let known = counted(
            report.known,
            "row came in before and was",
            "rows came in before and were",
        );
        more.push(Words::new(format!("{known} passed over.")));
    }
    if let Some(to) = refused_rows(desk, sheet, report) {
        let (says, those) = match report.refused.len() {
            1 => ("was refused", "that row"),
            _ => ("were refused", "those rows"),
        };
        more.push(
            Words::new(format!("{} {says}: ", rows_of(report.refused.len())))
                .link(format!("{those} as a sheet, with the reasons"), to)
                .plain("."),
        );
    }
    let odd = || report.written.iter().filter(|row| !row.remarks.is_empty());
    let says = counted(odd().count(), "row has remarks", "rows have remarks");
    match odd().count() {
        0 => {}
        count if count > MOST_REMARKED => {
            more.push(format!("{says}; these are the first {MOST_REMARKED}.").into());
        }
        _ => more.push(format!("{says}.").into()),
    }
    more.extend(odd().take(MOST_REMARKED).map(|row| {
        Words::new(format!("Row {}, ", row.row))
            .link(row.handle.to_string(), note_path(&row.handle))
            .plain(": ")
            .and(remarks(&row.remarks))
    }));
    Notice {
        tone: Tone::Written,
        says: Words::new(format!("{} from {}.", notes(report.written.len()), file.name)),
        more,
    }
}
