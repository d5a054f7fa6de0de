//! The calendar as a file that calendar programs subscribe to, and the secret addresses of phones.
//!
//! Holds true: without a key of the books a secret address shows the calendar alone; a wrong one tells nothing.

use app::pairing::{self, Paired};
use app::{feeds, sheets};
use axum::http::{StatusCode, header};
use page::{Block, Choice, Field, Form, Input, Page, Tone, Words};

use crate::asked::{Asked, Sent};
use crate::desk::{Desk, Trouble};
use crate::look::{Refusal, refused, shown};
use crate::place::FeedAt;
use crate::reply::Reply;
use crate::router::Received;
use crate::writing::is_proved;

const KIND: &str = "text/calendar; charset=utf-8";

/// What lies at one of these addresses, for whoever may see the books.
pub(crate) fn show(desk: &Desk, asked: &Asked, at: &FeedAt, received: Option<&Received>) -> Reply {
    match (at, received) {
        (FeedAt::Own, _) => own(desk, asked),
        (FeedAt::Secret(word), _) => secret(desk, asked, word),
        (FeedAt::Phones, None) => phones(desk, asked, StatusCode::OK, None),
        (FeedAt::Phones, Some(received)) if is_proved(desk, asked, &received.sent) => {
            press(desk, asked, &received.sent)
        }
        (FeedAt::Phones, Some(_)) => phones(
            desk,
            asked,
            StatusCode::FORBIDDEN,
            Some(
                "This page was opened before the program was started anew. Nothing was changed; press again.",
            ),
        ),
    }
}

fn own(desk: &Desk, asked: &Asked) -> Reply {
    let on = match asked.on() {
        Ok(on) => on,
        Err(said) => return refused(desk, asked, &Refusal::NoDay(said.to_owned())),
    };
    let hive = asked.query.get("hive").filter(|hive| !hive.is_empty());
    let today = desk.today();
    let made = desk.read(|office| {
        let reader = office.reader(on, today);
        let id = match hive {
            Some(hive) => Some(reader.holding().hive_labels.get(hive)?),
            None => None,
        };
        Some(sheets::feed(&reader, id, asked_alone(asked)))
    });
    match made {
        Ok(Some(text)) => calendar(asked, text),
        Ok(None) => {
            let words = Words::new("No hive of that name has a calendar in these books.");
            refused(desk, asked, &Refusal::Nowhere(words))
        }
        Err(trouble) => refused(desk, asked, &trouble.into()),
    }
}

/// The calendar at a secret address. Whoever asks may be anybody, so nothing else is told.
pub(crate) fn secret(desk: &Desk, asked: &Asked, word: &str) -> Reply {
    let today = desk.today();
    let made = desk.read(|office| -> Result<Option<String>, ledger::Fault> {
        let whose = feeds::whose(office, word)?;
        Ok(whose.map(|_| sheets::feed(&office.reader(None, today), None, asked_alone(asked))))
    });
    match made {
        Ok(Ok(Some(text))) => calendar(asked, text),
        Ok(Ok(None)) => Reply::plain(StatusCode::NOT_FOUND, "There is no calendar at this address."),
        Ok(Err(_)) | Err(_) => Reply::plain(
            StatusCode::SERVICE_UNAVAILABLE,
            "The books cannot be read at the moment.",
        ),
    }
}

fn asked_alone(asked: &Asked) -> bool {
    asked.query.get("asked").is_some_and(|asked| asked == "1")
}

fn calendar(asked: &Asked, text: String) -> Reply {
    let tag = format!("\"{}\"", &blake3::hash(text.as_bytes()).to_hex()[..32]);
    let known = asked.known.as_deref().unwrap_or_default();
    let is_known = known
        .split(',')
        .map(|known| known.trim().trim_start_matches("W/"))
        .any(|known| known == tag || known == "*");
    let reply = if is_known {
        Reply::new(StatusCode::NOT_MODIFIED, KIND, Vec::new())
    } else {
        Reply::new(StatusCode::OK, KIND, text)
            .with(header::CONTENT_DISPOSITION, "inline; filename=\"combwright.ics\"")
    };
    reply
        .with(header::ETAG, &tag)
        .with(header::CACHE_CONTROL, "private, no-cache")
}

fn press(desk: &Desk, asked: &Asked, sent: &Sent) -> Reply {
    let word = |key: &str| sent.get(key).map_or("", String::as_str);
    // A phone changes its own address alone.
    let id = match &asked.guest {
        Some(guest) => guest.id.as_str(),
        None => word("device"),
    };
    let done: Result<String, Trouble> = match (word("press"), &desk.lan) {
        ("make", Some(lan)) => {
            let (now_ms, random) = (desk.now_ms(), desk.random());
            let made = desk.read(|office| feeds::make(office, id, now_ms, &random));
            made.and_then(|made| Ok(made?)).map(|made| match made {
                Some(word) => {
                    let once = desk.fresh();
                    desk.feeds
                        .put(once.clone(), lan.address(&format!("/calendar/feed/{word}.ics")));
                    format!("/calendar/phones?made={once}")
                }
                None => "/calendar/phones?closed=0".to_owned(),
            })
        }
        ("close", _) => {
            let closed = desk.read(|office| feeds::close(office, id));
            closed
                .and_then(|closed| Ok(closed?))
                .map(|closed| format!("/calendar/phones?closed={}", u8::from(closed)))
        }
        _ => return refused(desk, asked, &Refusal::NoForm),
    };
    match done {
        Ok(to) => Reply::see_other(&to),
        Err(trouble) => refused(desk, asked, &trouble.into()),
    }
}

fn phones(desk: &Desk, asked: &Asked, status: StatusCode, first: Option<&str>) -> Reply {
    let list = desk.read(|office| -> Result<Vec<(Paired, bool)>, ledger::Fault> {
        let mut live = pairing::list(office)?;
        live.retain(|paired| paired.stopped_ms.is_none());
        if let Some(guest) = &asked.guest {
            live.retain(|paired| paired.id == guest.id);
        }
        live.into_iter()
            .map(|paired| Ok((feeds::made_ms(office, &paired.id)?.is_some(), paired)))
            .map(|told| told.map(|(has, paired)| (paired, has)))
            .collect()
    });
    let list = match list.and_then(|list| Ok(list?)) {
        Ok(list) => list,
        Err(trouble) => return refused(desk, asked, &trouble.into()),
    };
    let mut page = Page::new("The calendar on a phone");
    page.blocks
        .extend(first.map(|says| Block::notice(Tone::Refused, says)));
    page.blocks.extend(told(desk, asked));
    page.blocks.extend(explained(desk));
    page.blocks.extend(choices(asked, &list, desk.lan.is_some()));
    let today = desk.today();
    let answered = desk.read(|office| shown(desk, asked, &office.reader(None, today), status, &page));
    answered.unwrap_or_else(|trouble| refused(desk, asked, &trouble.into()))
}

/// What was just made or closed.
fn told(desk: &Desk, asked: &Asked) -> Vec<Block> {
    if let Some(address) = asked.query.get("made").and_then(|made| desk.feeds.get(made)) {
        return vec![
            Block::notice(
                Tone::Plain,
                "This is the address. It is shown this once; in its place a new one can be made at any time.",
            ),
            Block::Facts(vec![(
                "Address".to_owned(),
                Words::default().note(address.to_string()),
            )]),
            Block::Drawing(page::code::drawing(&address, "The address of the calendar")),
        ];
    }
    match asked.query.get("closed").map(String::as_str) {
        Some("1") => vec![Block::notice(
            Tone::Plain,
            "The address is closed: it gets no answer from now on. What the phone has taken in already stays on it until it is removed there.",
        )],
        Some(_) => vec![Block::notice(
            Tone::Plain,
            "Nothing was changed: there was no such address, or the phone was stopped.",
        )],
        None => Vec::new(),
    }
}

fn explained(desk: &Desk) -> Vec<Block> {
    let mut blocks = Vec::new();
    if desk.lan.is_none() {
        blocks.push(Block::notice(
            Tone::Plain,
            "The books are served to this machine alone. For a phone, end the program and start it with “combwright open --lan”, or copy the file of “combwright show calendar --ics” to it.",
        ));
    }
    blocks.push(Block::text(
        "A calendar program brings no key of a paired phone, so its address is the key. Enter it in the phone's calendar as a calendar to subscribe to; with it the dates can be read and nothing else, and nothing can be written.",
    ));
    blocks.push(Block::text(
        "The phone has to be in this network when it asks, and its calendar program has to trust the farm's certificate, which was taken in when the phone was paired. Programs that let a server of their maker fetch calendars cannot reach an address in this network: there, bring the file in by hand.",
    ));
    blocks.push(Block::care(
        "Whoever has the address can read the dates and the names of hives. It ends when the phone is stopped, when it is closed here, or when a new one is made.",
    ));
    blocks
}

fn choices(asked: &Asked, list: &[(Paired, bool)], is_served: bool) -> Vec<Block> {
    if list.is_empty() {
        return vec![Block::text(
            Words::new("No phone is paired. That comes first: ")
                .link("pair a phone", "/pair")
                .plain("."),
        )];
    }
    let told = list.iter().map(|(paired, has)| {
        let has = if *has { "has an address" } else { "has none" };
        Words::new(format!("{} ({}) {has}.", paired.name, paired.id))
    });
    let mut form = Form::post("An address for a phone", "/calendar/phones");
    if asked.guest.is_none() {
        let choices = list.iter().map(|(paired, _)| Choice {
            value: paired.id.clone(),
            text: format!("{} ({})", paired.name, paired.id),
        });
        form = form.field(Field::line("device", "Which").input(Input::Choice(choices.collect())));
    }
    if is_served {
        form = form.button("make", "Make an address");
    }
    if list.iter().any(|(_, has)| *has) {
        form = form.button("close", "Close its address");
    }
    let mut blocks = vec![Block::List(told.collect())];
    if is_served || list.iter().any(|(_, has)| *has) {
        blocks.push(Block::Form(Box::new(form)));
    }
    vec![Block::section("Paired phones", blocks)]
}
