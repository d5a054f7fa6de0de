//! How an answer is dressed: what stands around each page, and how a refusal or a fault is told.

use std::error::Error as _;

use app::{Reader, forms};
use axum::http::{StatusCode, header};
use jiff::ToSpan as _;
use ledger::Digest;
use page::html::{self, Days, Frame, NavItem};
use page::{Block, Form, Notice, Page, Tone, Words};
use serde_json::json;

use crate::asked::{Asked, Sent};
use crate::desk::{Desk, Trouble};
use crate::place::{Answer, FormAt, Place};
use crate::reply::Reply;

/// Why a request gets no answer.
#[derive(Debug)]
pub(crate) enum Refusal {
    /// Nothing of that name or address.
    Nowhere(Words),
    /// What was given as a day is none.
    NoDay(String),
    /// What was given as a wage is none.
    NoWage(String),
    /// What was given about the saw cannot be read.
    NoSaw(String),
    /// There is an answer, but not in that form.
    NoSuchForm,
    /// It can only be done in one of these ways.
    Method(&'static str),
    /// It was sent from a page of somebody else.
    Foreign,
    /// It is done at the machine that keeps the books alone.
    AtMachine,
    /// It is no form of ours.
    NoForm,
    /// It is larger than so many bytes.
    TooLarge(usize),
    /// It did not come to an end in time.
    TooSlow,
    /// No such paper.
    NoPaper(String),
    /// It could not be put on paper.
    Unset(press::Unset),
    /// There is no answer at all.
    Trouble(Trouble),
}

impl Refusal {
    /// Nothing lies at that address.
    pub(crate) fn no_address() -> Self {
        Self::Nowhere(Words::new("There is no page at this address."))
    }

    fn status(&self) -> StatusCode {
        match self {
            Self::Nowhere(_) => StatusCode::NOT_FOUND,
            Self::NoDay(_) | Self::NoWage(_) | Self::NoSaw(_) | Self::NoPaper(_) => {
                StatusCode::UNPROCESSABLE_ENTITY
            }
            Self::NoSuchForm => StatusCode::NOT_ACCEPTABLE,
            Self::Method(_) => StatusCode::METHOD_NOT_ALLOWED,
            Self::Foreign | Self::AtMachine => StatusCode::FORBIDDEN,
            Self::NoForm => StatusCode::UNSUPPORTED_MEDIA_TYPE,
            Self::TooLarge(_) => StatusCode::PAYLOAD_TOO_LARGE,
            Self::TooSlow => StatusCode::REQUEST_TIMEOUT,
            Self::Trouble(_) | Self::Unset(_) => StatusCode::INTERNAL_SERVER_ERROR,
        }
    }

    fn title(&self) -> &'static str {
        match self {
            Self::Nowhere(_) => "Nothing is here",
            Self::NoDay(_) => "That is no day",
            Self::NoWage(_) => "That is no wage",
            Self::NoSaw(_) => "It cannot be sawn so",
            Self::NoSuchForm => "Not in this form",
            Self::Method(_) => "Not in this way",
            Self::Foreign | Self::NoForm => "Nothing was written",
            Self::AtMachine => "Not from here",
            Self::TooLarge(_) => "Too large",
            Self::TooSlow => "It took too long",
            Self::NoPaper(_) => "That is no paper",
            Self::Trouble(_) | Self::Unset(_) => "There is no answer",
        }
    }

    /// What happened, and what can be done about it.
    fn says(&self) -> (Words, String) {
        match self {
            Self::Nowhere(says) => (says.clone(), "Go on from one of the pages named above.".into()),
            Self::NoDay(said) => (
                Words::new("“").plain(said).plain("” is no day."),
                "A day is written 2026-07-19.".into(),
            ),
            Self::NoWage(says) => (
                Words::new(capital(says)).plain("."),
                "Ask again with the wage so written, or without one.".into(),
            ),
            Self::NoSaw(says) => (Words::new(capital(says)).plain("."), "Ask again so.".into()),
            Self::NoSuchForm => (
                Words::new("This page is made for reading; a program can ask for it as HTML alone."),
                "Ask without “Accept: application/json”.".into(),
            ),
            Self::Method(ways) => (
                Words::new("This address cannot be asked in that way."),
                format!("It takes {ways}."),
            ),
            Self::Foreign => (
                Words::new("This was sent from a page of somebody else. Nothing was written."),
                "Open the form in these pages and fill it in there.".into(),
            ),
            Self::AtMachine => (
                Words::new(
                    "What stands in the address book is changed and torn out at the machine that keeps the books, \
                     not from a paired one: there is no way back from it. Nothing was written.",
                ),
                "Do it there; a new id can be entered from here.".into(),
            ),
            Self::NoForm => (
                Words::new("What was sent is no form of these pages. Nothing was written."),
                "Open the form in these pages and fill it in there.".into(),
            ),
            Self::TooLarge(most) => (
                Words::new(format!("No more than {} is taken in at once. Nothing was written.", size(*most))),
                "Send it in parts.".into(),
            ),
            Self::TooSlow => (
                Words::new("What was sent did not come to an end. Nothing was written."),
                "Send it again.".into(),
            ),
            Self::NoPaper(said) => (
                Words::new("“").plain(said).plain("” is no paper."),
                "Say a4 or letter.".into(),
            ),
            Self::Unset(error) => (
                Words::new(format!("A mistake in the program: {error}.")),
                "The page itself can be printed from the browser.".into(),
            ),
            Self::Trouble(Trouble::Broken) => (
                Words::new("A mistake in the program stopped it halfway. What was said to be written is on the disk."),
                "Load this page again; if that does not help, stop the program and start it again. The message in its window helps to mend the mistake.".into(),
            ),
            Self::Trouble(Trouble::Fault(fault)) => {
                let cause = fault.source().map_or_else(String::new, |cause| format!(" ({cause})"));
                (Words::new(capital(&format!("{fault}{cause}."))), fault.action().into())
            }
        }
    }
}

fn size(bytes: usize) -> String {
    if bytes >= 1 << 20 {
        format!("{} MiB", bytes >> 20)
    } else {
        format!("{} KiB", bytes >> 10)
    }
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().map(char::to_uppercase);
    first.into_iter().flatten().chain(letters).collect()
}

impl From<Trouble> for Refusal {
    fn from(trouble: Trouble) -> Self {
        Self::Trouble(trouble)
    }
}

/// Tells why there is no answer, in the look of all pages where the books can be read, else without them.
pub(crate) fn refused(desk: &Desk, asked: &Asked, refusal: &Refusal) -> Reply {
    let (status, (says, hint)) = (refusal.status(), refusal.says());
    let reply = if asked.json {
        Reply::json(status, &json!({ "says": says.to_string(), "hint": hint }))
    } else {
        let notice = Notice {
            tone: Tone::Refused,
            says,
            more: vec![Words::new(hint)],
        };
        let page = Page::new(refusal.title()).with([Block::Notice(notice)]);
        let today = desk.today();
        let usual = |office: &app::Office| {
            let reader = office.reader(None, today);
            dressed(desk, asked, Some(&reader), &page, None)
        };
        // A desk in trouble is not asked again.
        let body = match refusal {
            Refusal::Trouble(_) => None,
            _ => desk.read(usual).ok(),
        };
        let body = body.unwrap_or_else(|| dressed(desk, asked, None, &page, None));
        Reply::html(status, body)
    };
    match refusal {
        Refusal::Method(ways) => reply.with(header::ALLOW, ways),
        _ => reply,
    }
}

/// A page about the books.
pub(crate) fn shown(
    desk: &Desk,
    asked: &Asked,
    reader: &Reader<'_>,
    status: StatusCode,
    page: &Page,
) -> Reply {
    let line_box = match &asked.place {
        Some(Place::Answer(_)) if status == StatusCode::OK => line_box(desk, asked, reader),
        _ => None,
    };
    Reply::html(status, dressed(desk, asked, Some(reader), page, line_box))
}

/// The box for a typed note; it returns to the page that it stands on.
fn line_box(desk: &Desk, asked: &Asked, reader: &Reader<'_>) -> Option<Form> {
    let form = forms::form(reader, &forms::About::Line, &Sent::new(), &desk.fresh())?;
    Some(form.hidden("back", asked.here()))
}

fn dressed(
    desk: &Desk,
    asked: &Asked,
    reader: Option<&Reader<'_>>,
    page: &Page,
    line_box: Option<Form>,
) -> String {
    let farm = reader.and_then(|reader| reader.holding().ground.farm.clone());
    let done = asked.query.get("done").and_then(|once| desk.written.get(once));
    let frame = Frame {
        here: &asked.here(),
        nav: &nav(asked, reader),
        token: &asked.session.token(desk),
        days: reader.and_then(|reader| days(asked, reader)),
        line_box,
        books: farm.as_deref().unwrap_or(&desk.setup.name),
        foot: reader.map(foot).unwrap_or_default(),
        notices: done.map(|done| done.to_vec()).unwrap_or_default(),
    };
    html::page(page, &frame)
}

/// The pages that can be gone to from everywhere, on the day that is looked at.
fn nav(asked: &Asked, reader: Option<&Reader<'_>>) -> Vec<NavItem> {
    use Answer as A;
    let place = asked.place.as_ref();
    let answer = match place {
        Some(Place::Answer(answer)) => Some(answer),
        _ => None,
    };
    let of_day = |to: &str| reader.map_or_else(|| to.to_owned(), |reader| reader.link(to));
    let item = |text, to, current| NavItem { text, to, current };
    vec![
        item(
            "Round",
            of_day("/"),
            matches!(answer, Some(A::Round | A::YardRound(_) | A::Calendar | A::Swarms))
                || matches!(place, Some(Place::Feed(_))),
        ),
        item(
            "Yard",
            of_day("/yard"),
            matches!(answer, Some(A::Yard | A::Hive(_))),
        ),
        item(
            "Honey",
            of_day("/honey"),
            matches!(answer, Some(A::Honey | A::Container(_))),
        ),
        item(
            "Stall",
            of_day("/stall"),
            matches!(answer, Some(A::Stall | A::Lot(_))),
        ),
        item("Money", of_day("/money"), matches!(answer, Some(A::Money))),
        item(
            "Workshop",
            of_day("/workshop"),
            matches!(answer, Some(A::Workshop | A::Pattern(_) | A::Cut(_) | A::Compare)),
        ),
        item(
            "Books",
            "/books".into(),
            matches!(answer, Some(A::Books | A::Complaints | A::People | A::Note(_)))
                || matches!(
                    place,
                    Some(
                        Place::Import(_)
                            | Place::Weather(_)
                            | Place::Field(_)
                            | Place::Pair
                            | Place::Erase
                            | Place::Form(FormAt::Correct(_) | FormAt::Withdraw(_) | FormAt::Settle)
                    )
                ),
        ),
        item(
            "Write",
            "/write".into(),
            matches!(
                place,
                Some(Place::Index | Place::Form(FormAt::Verb(_) | FormAt::Line))
            ),
        ),
        item("Sources", "/sources".into(), matches!(answer, Some(A::Sources))),
    ]
}

/// The day that is looked at and its neighbours, on pages that tell of a day.
fn days(asked: &Asked, reader: &Reader<'_>) -> Option<Days> {
    use Answer as A;
    match &asked.place {
        Some(Place::Answer(A::Books | A::People | A::Note(_) | A::Sources)) => return None,
        Some(Place::Answer(_)) => {}
        _ => return None,
    }
    let day = reader.day();
    // A part of a table or what was written belongs to the page as it was.
    let on = |day: Option<jiff::civil::Date>| {
        let said = day.map(|day| day.to_string());
        asked.with(&[("done", None), ("part", None), ("on", said.as_deref())])
    };
    let after = day.checked_add(1.day()).ok();
    // A round is planned for a day to come.
    let plans = matches!(&asked.place, Some(Place::Answer(A::YardRound(_) | A::Calendar)));
    Some(Days {
        day: day.to_string(),
        is_now: reader.on.is_none(),
        before: on(Some(day.checked_sub(1.day()).unwrap_or(day))),
        after: after
            .filter(|after| plans || (reader.on.is_some() && *after <= reader.today))
            .map(|after| on(Some(after))),
        now: reader.on.map(|_| on(None)),
        action: asked.path.clone(),
    })
}

/// From how many entries the page was made, and a digest of them, by which two people can tell whether they
/// hold the same books.
fn foot(reader: &Reader<'_>) -> Words {
    let books = reader.books();
    let mut ends: Vec<u8> = Vec::new();
    for head in books.heads().iter() {
        ends.extend(head.digest.as_bytes());
    }
    let count = books.entries().len();
    let entries = if count == 1 { "entry" } else { "entries" };
    Words::new(format!("From {count} {entries}, digest ")).note(Digest::of(&ends).short())
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use axum::body::Body;
    use axum::http::Request;
    use ledger::Fault;
    use tower::ServiceExt as _;

    use super::*;
    use crate::desk::Setup;

    fn desk() -> Desk {
        let mut surroundings = app::Fixed::new(jiff::civil::date(2026, 11, 25).at(9, 0, 0, 0), 1);
        let office = app::Office::open(Box::new(store::MemoryStore::new()), None, &mut surroundings);
        let setup = Setup {
            port: 8436,
            ..Setup::default()
        };
        Desk::new(office.expect("books"), Box::new(surroundings), setup)
    }

    #[test]
    fn a_fault_is_told_with_what_to_do_about_it() {
        let fault = Fault::DiskFull("no room".into());
        let (says, hint) = Refusal::Trouble(Trouble::Fault(fault)).says();
        assert_eq!(says.to_string(), "The disk is full (no room).");
        assert!(hint.contains("Make room"), "{hint}");
    }

    #[tokio::test]
    async fn what_broke_is_told_and_the_pages_go_on() {
        let desk = Arc::new(desk());
        let broken = desk.change(|_, _| -> Result<(), Fault> { panic!("BUG: a test") });
        let (_, hint) = Refusal::Trouble(broken.expect_err("it broke")).says();
        assert!(hint.contains("Load this page again"), "{hint}");
        for path in ["/", "/nowhere", "/write/look", "/note"] {
            let request = Request::builder()
                .uri(path)
                .header("host", "127.0.0.1:8436")
                .body(Body::empty());
            let router = crate::router(Arc::clone(&desk));
            let answer = router
                .oneshot(request.expect("a request"))
                .await
                .expect("an answer");
            let expected = if path == "/nowhere" {
                StatusCode::NOT_FOUND
            } else {
                StatusCode::OK
            };
            assert_eq!(answer.status(), expected, "{path}: the others go on");
        }
    }
}
