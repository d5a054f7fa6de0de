//! Forms: shown, sent, written.

use apiary::Misgiving;
use apiary::note::{Bars, Value, What};
use app::Reader;
use app::forms::{self, About, PersonPressed, Pressed};
use axum::http::StatusCode;
use ledger::Handle;
use page::{Block, Form, Notice, Page, Tone, Words};
use serde_json::json;

use crate::asked::{Asked, Sent, page_of, way_back, with_done};
use crate::desk::Desk;
use crate::look::{Refusal, refused, shown};
use crate::place::{FormAt, note_path};
use crate::reply::Reply;

/// The list of everything that can be written.
pub(crate) fn index(desk: &Desk, asked: &Asked) -> Reply {
    let today = desk.today();
    let answered = desk.read(|office| {
        let reader = office.reader(None, today);
        shown(desk, asked, &reader, StatusCode::OK, &forms::index())
    });
    answered.unwrap_or_else(|trouble| refused(desk, asked, &trouble.into()))
}

/// A form to be filled in; what its address says is filled in already.
pub(crate) fn form(desk: &Desk, asked: &Asked, at: &FormAt) -> Reply {
    let back = asked.query.get("back").and_then(|back| way_back(back));
    let back = back.or_else(|| asked.from.clone());
    form_with(desk, asked, at, &asked.query, back, |form| (StatusCode::OK, form))
}

/// A form whose sender could not be told from another: it comes back with all that was typed, and nothing is
/// written until it is sent again.
fn unproved(desk: &Desk, asked: &Asked, at: &FormAt, sent: &Sent) -> Reply {
    let back = sent.get("back").and_then(|back| way_back(back));
    form_with(desk, asked, at, sent, back, |mut form| {
        form.wrong.insert(0, STALE.into());
        (StatusCode::FORBIDDEN, form)
    })
}

/// Why a form is not taken at once.
const STALE: &str = "This form was opened before the program was started anew, or in another browser. Nothing \
                     was written; look through it and send it again.";

fn form_with(
    desk: &Desk,
    asked: &Asked,
    at: &FormAt,
    sent: &Sent,
    back: Option<String>,
    then: impl FnOnce(Form) -> (StatusCode, Form),
) -> Reply {
    let on = match asked.on() {
        Ok(on) => on,
        Err(said) => return refused(desk, asked, &Refusal::NoDay(said.to_owned())),
    };
    let (today, fresh) = (desk.today(), desk.fresh());
    let answered = desk.read(|office| {
        let reader = office.reader(on, today);
        let about = about(at, sent)?;
        let (status, form) = then(forms::form(&reader, &about, sent, &fresh)?);
        let page = forms::page(&reader, &about, returning(form, back));
        Some(shown(desk, asked, &reader, status, &page))
    });
    match answered {
        Ok(Some(reply)) => reply,
        Ok(None) => refused(desk, asked, &nothing_to_fill_in(at)),
        Err(trouble) => refused(desk, asked, &trouble.into()),
    }
}

/// A form that remembers where it was opened from.
fn returning(form: Form, back: Option<String>) -> Form {
    match back {
        Some(back) => form.hidden("back", back),
        None => form,
    }
}

fn about(at: &FormAt, sent: &Sent) -> Option<About> {
    Some(match at {
        FormAt::Verb(word) => {
            let form = match sent.get("form") {
                Some(form) => Some(form.parse().ok()?),
                None => None,
            };
            About::verb(word, form)?
        }
        FormAt::Line => About::Line,
        FormAt::Correct(handle) => About::Correct(handle.clone()),
        FormAt::Withdraw(handle) => About::Withdraw(handle.clone()),
        FormAt::Settle => About::Settle(forms::handles(sent.get("of").map_or("", String::as_str))),
    })
}

fn nothing_to_fill_in(at: &FormAt) -> Refusal {
    let no_note = |handle: &Handle| {
        Words::new("There is no note ")
            .note(handle.to_string())
            .plain(" that it could be done to.")
    };
    Refusal::Nowhere(match at {
        FormAt::Verb(word) => Words::new("No note begins with ")
            .strong(word.clone())
            .plain(" in that way. ")
            .link("All verbs", "/write"),
        FormAt::Correct(handle) | FormAt::Withdraw(handle) => no_note(handle),
        FormAt::Settle => {
            Words::new("It does not say which notes are to be settled, or they are not in the books.")
        }
        FormAt::Line => return Refusal::no_address(),
    })
}

/// A form that was sent.
pub(crate) fn press(desk: &Desk, asked: &Asked, at: &FormAt, sent: &Sent) -> Reply {
    if !is_proved(desk, asked, sent) {
        return unproved(desk, asked, at, sent);
    }
    let fresh = desk.fresh();
    let Some(about) = about(at, sent) else {
        return refused(desk, asked, &nothing_to_fill_in(at));
    };
    let pressed = desk.change_by(asked.by(), |office, surroundings| {
        forms::press(office, &about, sent, &fresh, surroundings)
    });
    let back = sent.get("back").and_then(|back| way_back(back));
    match pressed {
        Err(trouble) => refused(desk, asked, &trouble.into()),
        Ok(None) => refused(desk, asked, &nothing_to_fill_in(at)),
        Ok(Some(Pressed::Shown(form))) => again(desk, asked, &about, StatusCode::OK, returning(form, back)),
        Ok(Some(Pressed::Refused(form))) => again(
            desk,
            asked,
            &about,
            StatusCode::UNPROCESSABLE_ENTITY,
            returning(form, back),
        ),
        Ok(Some(Pressed::Written(written))) => {
            let notices = written
                .iter()
                .map(|written| notice(&written.handle, &written.text, &written.remarks))
                .collect();
            let handles: Vec<&Handle> = written.iter().map(|written| &written.handle).collect();
            go_on(desk, asked, once(sent, &fresh), notices, back, &handles)
        }
        Ok(Some(Pressed::Before(before))) => {
            let once = once(sent, &fresh);
            // Sent twice by one press: what was said about the first is said again.
            let notices = match desk.written.get(&once) {
                Some(notices) => notices.to_vec(),
                None => before
                    .iter()
                    .map(|(handle, text)| notice(handle, text, &[]))
                    .collect(),
            };
            let handles: Vec<&Handle> = before.iter().map(|(handle, _)| handle).collect();
            go_on(desk, asked, once, notices, back, &handles)
        }
    }
}

pub(crate) fn is_proved(desk: &Desk, asked: &Asked, sent: &Sent) -> bool {
    sent.get("token")
        .is_some_and(|token| asked.session.gave(desk, token))
}

/// The id under which it is told what a form wrote.
pub(crate) fn once(sent: &Sent, fresh: &str) -> String {
    sent.get("once").map_or(fresh, String::as_str).to_owned()
}

fn again(desk: &Desk, asked: &Asked, about: &About, status: StatusCode, form: Form) -> Reply {
    let today = desk.today();
    let answered = desk.read(|office| {
        let reader = office.reader(None, today);
        shown(desk, asked, &reader, status, &forms::page(&reader, about, form))
    });
    answered.unwrap_or_else(|trouble| refused(desk, asked, &trouble.into()))
}

fn notice(handle: &Handle, text: &str, remarks: &[Misgiving]) -> Notice {
    Notice {
        tone: Tone::Written,
        says: Words::linked(handle.to_string(), note_path(handle))
            .plain(": ")
            .note(text),
        more: remarks.iter().map(remark).collect(),
    }
}

pub(crate) fn remark(remark: &Misgiving) -> Words {
    Words::new(match &remark.hint {
        Some(hint) => format!("{} ({hint})", remark.says),
        None => remark.says.clone(),
    })
}

/// On to where the form was opened from, or else to what was written about.
fn go_on(
    desk: &Desk,
    asked: &Asked,
    once: String,
    notices: Vec<Notice>,
    back: Option<String>,
    written: &[&Handle],
) -> Reply {
    desk.written.put(once.clone(), notices);
    let today = desk.today();
    let to = match back {
        Some(back) => Ok(back),
        None => desk.read(|office| page_about(&office.reader(None, today), written)),
    };
    match to {
        Ok(to) => Reply::see_other(&with_done(&to, &once)),
        Err(trouble) => refused(desk, asked, &trouble.into()),
    }
}

/// The page of what notes are about: a hive, a container, a lot or a pattern that they name, the workshop where they
/// are about wood, else the last of them.
fn page_about(reader: &Reader<'_>, written: &[&Handle]) -> String {
    let Some(last) = written.last() else {
        return "/books".to_owned();
    };
    let place = reader.books().by_handle(last).last().copied();
    let note = place.and_then(|place| reader.note(place));
    let named = note.and_then(|note| {
        let fact = &note.fact;
        let thing = |(field, value): &(&'static str, Value)| match value {
            Value::Bars(bars) => match &**bars {
                Bars::Places { hive, .. } => Some((What::Hive, hive.clone())),
                Bars::Tagged(_) => None,
            },
            Value::Name(name) => Some((fact.shape().label(field)?.0, name.clone())),
            _ => None,
        };
        fact.values()
            .iter()
            .filter_map(thing)
            .find_map(|(what, name)| page_of_thing(reader, what, &name))
    });
    let of_wood = || {
        let word = note.map(|note| note.fact.word())?;
        matches!(word, "offcut" | "timber" | "sawn").then(|| "/workshop".to_owned())
    };
    named.or_else(of_wood).unwrap_or_else(|| note_path(last))
}

fn page_of_thing(reader: &Reader<'_>, what: What, name: &str) -> Option<String> {
    let h = reader.holding();
    let (kind, is_there) = match what {
        What::Hive => ("hive", h.hive_labels.get(name).is_some()),
        What::Container => ("container", h.house.vessel_labels.get(name).is_some()),
        What::Lot => ("lot", h.stock.lot_labels.get(name).is_some()),
        What::Pattern => ("workshop", h.ground.pattern_labels.get(name).is_some()),
        _ => return None,
    };
    is_there.then(|| page_of(kind, name))
}

/// What a form would write, for the script on its page.
pub(crate) fn preview(desk: &Desk, asked: &Asked, at: &FormAt, sent: &Sent) -> Reply {
    if !is_proved(desk, asked, sent) {
        return Reply::json(StatusCode::FORBIDDEN, &json!({ "says": STALE }));
    }
    let Some(about) = about(at, sent) else {
        return Reply::json(StatusCode::NOT_FOUND, &json!({ "says": "there is no such form" }));
    };
    match desk.change_by(asked.by(), |office, surroundings| {
        forms::preview(office, &about, sent, surroundings)
    }) {
        Ok(preview) => {
            let whole: Vec<&String> = preview.wrong.get("").into_iter().collect();
            let json = json!({
                "lines": preview.lines, "remarks": preview.remarks, "wrong": preview.wrong, "says": whole,
            });
            Reply::json(StatusCode::OK, &json)
        }
        Err(trouble) => refused(desk, asked, &trouble.into()),
    }
}

/// The address book, with a form to enter a person or to change what it says of one.
pub(crate) fn people(reader: &Reader<'_>, sent: &Sent, form: Option<Form>) -> Page {
    let mut page = app::sheets::people(reader, crate::answers::part(sent));
    let form = form.unwrap_or_else(|| forms::person(reader, sent));
    page.blocks.push(Block::section(
        "Enter or change a person",
        [Block::Form(Box::new(form))],
    ));
    let id = sent.get("id").filter(|id| reader.people().contains_key(*id));
    page.blocks.extend(id.map(|id| {
        let to = crate::asked::address("/books/people/erase", [("id", id.as_str())]);
        Block::Text(Words::linked(format!("Erase {id} for good"), to))
    }));
    page
}

/// Asks whether a person is to be erased.
pub(crate) fn erasing(desk: &Desk, asked: &Asked) -> Reply {
    erasing_with(desk, asked, StatusCode::OK, forms::erasing(&asked.query))
}

fn erasing_with(desk: &Desk, asked: &Asked, status: StatusCode, form: Form) -> Reply {
    let page = Page::new("Erase a person").with([Block::Form(Box::new(form))]);
    let today = desk.today();
    let answered = desk.read(|office| shown(desk, asked, &office.reader(None, today), status, &page));
    answered.unwrap_or_else(|trouble| refused(desk, asked, &trouble.into()))
}

/// A person was sent to be entered.
pub(crate) fn press_person(desk: &Desk, asked: &Asked, sent: &Sent) -> Reply {
    let proved = is_proved(desk, asked, sent);
    let changes_what_is_there = |office: &app::Office| {
        let id = sent.get("id").map_or("", |id| id.trim());
        office.reader(None, desk.today()).people().contains_key(id)
    };
    if asked.guest.is_some() {
        match desk.read(changes_what_is_there) {
            Ok(false) => {}
            Ok(true) => return refused(desk, asked, &Refusal::AtMachine),
            Err(trouble) => return refused(desk, asked, &trouble.into()),
        }
    }
    let pressed = match proved {
        true => desk
            .change(|office, _| forms::press_person(office, sent))
            .map(Some),
        false => Ok(None),
    };
    let (status, form) = match pressed {
        Err(trouble) => return refused(desk, asked, &trouble.into()),
        Ok(Some(PersonPressed::Refused(form))) => (StatusCode::UNPROCESSABLE_ENTITY, Some(form)),
        Ok(Some(PersonPressed::Entered(id) | PersonPressed::Erased(id))) => {
            return person_done(desk, format!("{id} is in the address book."));
        }
        Ok(None) => (StatusCode::FORBIDDEN, None),
    };
    let today = desk.today();
    let answered = desk.read(|office| {
        let reader = office.reader(None, today);
        let form = form.unwrap_or_else(|| {
            let mut form = forms::person(&reader, sent);
            form.wrong.insert(0, STALE.into());
            form
        });
        shown(desk, asked, &reader, status, &people(&reader, sent, Some(form)))
    });
    answered.unwrap_or_else(|trouble| refused(desk, asked, &trouble.into()))
}

/// A person was sent to be erased.
pub(crate) fn press_erase(desk: &Desk, asked: &Asked, sent: &Sent) -> Reply {
    if !is_proved(desk, asked, sent) {
        let mut form = forms::erasing(sent);
        form.wrong.insert(0, STALE.into());
        return erasing_with(desk, asked, StatusCode::FORBIDDEN, form);
    }
    match desk.change_by(asked.by(), |office, _| forms::erase_person(office, sent)) {
        Err(trouble) => refused(desk, asked, &trouble.into()),
        Ok(PersonPressed::Refused(form)) => erasing_with(desk, asked, StatusCode::UNPROCESSABLE_ENTITY, form),
        Ok(PersonPressed::Erased(id) | PersonPressed::Entered(id)) => person_done(
            desk,
            format!("{id} is torn out of the address book; notes keep the id alone."),
        ),
    }
}

/// The address book is no chain of notes, so nothing but this says that it was changed.
fn person_done(desk: &Desk, says: String) -> Reply {
    let once = desk.fresh();
    let notice = Notice {
        tone: Tone::Written,
        says: says.into(),
        more: Vec::new(),
    };
    desk.written.put(once.clone(), vec![notice]);
    Reply::see_other(&with_done("/books/people", &once))
}
