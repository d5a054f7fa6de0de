//! Pairing: at this machine, where codes are made and machines are stopped, and at the phone that brings a code.
//!
//! Holds true: a phone that is not paired is shown one page, which tells nothing of the books; codes are made and
//! machines are stopped at this machine alone.

use app::pairing::{self, Code, Known, NotPaired, Paired, Said};
use axum::http::{HeaderMap, StatusCode, header};
use jiff::SignedDuration;
use page::{Block, Choice, Column, Field, Form, Input, Notice, Page, Table, Tone, Words};
use serde_json::json;

use crate::asked::{Asked, Sent};
use crate::desk::{Desk, Trouble};
use crate::guard::value_of_cookie;
use crate::lan::{Lan, bare};
use crate::look::{Refusal, refused, shown};
use crate::reply::Reply;
use crate::router::Received;
use crate::writing::is_proved;

/// How long a phone keeps its key, in seconds: 400 days, which is the longest that browsers allow.
const KEPT_SECONDS: u32 = 400 * 24 * 60 * 60;

/// How often a phone is told to keep its key for as long again, in milliseconds.
const TOLD_EVERY_MS: i64 = 24 * 60 * 60 * 1000;

/// Cookies are not told apart by port, so the port is part of the name.
fn cookie(lan: &Lan) -> String {
    format!("__Host-combwright-phone-{}", lan.port)
}

fn cookie_with(lan: &Lan, key: &str) -> String {
    let name = cookie(lan);
    format!("{name}={key}; Secure; HttpOnly; SameSite=Strict; Path=/; Max-Age={KEPT_SECONDS}")
}

/// Who comes in through the door beyond, and the cookie that has to be told again.
pub(crate) fn admit(desk: &Desk, headers: &HeaderMap) -> Result<(Known, Option<String>), Trouble> {
    let Some(lan) = &desk.lan else {
        return Ok((Known::Nobody, None));
    };
    let name = cookie(lan);
    let Some(key) = value_of_cookie(headers, &name) else {
        return Ok((Known::Nobody, None));
    };
    let now_ms = desk.now_ms();
    let known = desk.read(|office| pairing::known(office, key, now_ms))??;
    let again = match &known {
        Known::Paired(paired) => {
            let is_old = paired
                .seen_ms
                .is_none_or(|seen_ms| now_ms - seen_ms >= TOLD_EVERY_MS);
            is_old.then(|| cookie_with(lan, key))
        }
        Known::Stopped(_) | Known::Nobody => None,
    };
    Ok((known, again))
}

/// What somebody without a key is answered, whatever was asked for.
pub(crate) fn closed(desk: &Desk, asked: &Asked, known: &Known) -> Reply {
    let (says, more) = match known {
        Known::Stopped(paired) => (
            format!(
                "“{}” was stopped at the machine that keeps the books. It sees nothing of them any more.",
                paired.name
            ),
            "What waits to be sent stays on this phone and is not lost. Pair it again with a new code, and it is \
             sent then; or give the notes out as a text file on the field page and bring that home.",
        ),
        Known::Nobody | Known::Paired(_) => (
            "This phone is not paired with the machine that keeps the books.".to_owned(),
            "Make a code at the machine, on its page /pair or with “combwright pair”, and type it here. What waits \
             on this phone to be sent stays there.",
        ),
    };
    // A script that sends or fetches shows the sentence and keeps what it has.
    if asked.json || asked.path.starts_with("/field/") {
        let told = json!({ "says": format!("{says} {more}"), "paired": false });
        return Reply::json(StatusCode::UNAUTHORIZED, &told);
    }
    let notice = Notice {
        tone: Tone::Refused,
        says: says.into(),
        more: vec![Words::new(more)],
    };
    let status = if asked.path == "/pair" {
        StatusCode::OK
    } else {
        StatusCode::UNAUTHORIZED
    };
    phone_page(desk, asked, status, notice, &Sent::new())
}

fn phone_page(desk: &Desk, asked: &Asked, status: StatusCode, notice: Notice, sent: &Sent) -> Reply {
    let filled = |key: &str| sent.get(key).cloned().unwrap_or_default();
    let form = Form::post("Pair this phone", "/pair")
        .field(
            Field::line("code", "Code")
                .value(filled("code"))
                .hint("Ten letters and figures, such as K7QF2-MNPXR")
                .required(),
        )
        .field(
            Field::line("name", "What this phone is called")
                .value(filled("name"))
                .hint("Such as green phone")
                .required(),
        )
        .field(
            Field::line("by", "Who writes on it")
                .value(filled("by"))
                .hint("An id of the address book, such as p-14; it may be left out"),
        )
        .button("pair", "Pair");
    let page = Page::new("Pair this phone").with([
        Block::Notice(notice),
        Block::Form(Box::new(form)),
        Block::text(
            Words::new("Paired already, and came here by a link from elsewhere? ")
                .link("Load the pages again", "/")
                .plain("."),
        ),
    ]);
    Reply::html(status, bare(&page, "/pair", &asked.session.token(desk)))
}

/// A phone that brings a code.
pub(crate) fn bring(desk: &Desk, asked: &Asked, sent: &Sent) -> Reply {
    let again = |status, says: &str, more: &str| {
        let notice = Notice {
            tone: Tone::Refused,
            says: says.into(),
            more: vec![more.into()],
        };
        phone_page(desk, asked, status, notice, sent)
    };
    let Some(lan) = &desk.lan else {
        return refused(desk, asked, &Refusal::no_address());
    };
    if !is_proved(desk, asked, sent) {
        let more = "Send it again. If that does not help, allow cookies for this address.";
        return again(
            StatusCode::FORBIDDEN,
            "This page was opened before the program was started anew.",
            more,
        );
    }
    let word = |key: &str| sent.get(key).map_or("", String::as_str);
    let said = Said {
        code: word("code"),
        name: word("name"),
        by: word("by"),
    };
    let (now_ms, random) = (desk.now_ms(), desk.random());
    let paired = desk.read(|office| pairing::pair(office, &said, now_ms, &random));
    let new = "Make a new code at the machine, on its page /pair or with “combwright pair”.";
    match paired.and_then(|paired| Ok(paired?)) {
        Ok(Ok(key)) => Reply::see_other("/pair").with(header::SET_COOKIE, &cookie_with(lan, &key)),
        Ok(Err(NotPaired::NoCode)) => again(
            StatusCode::FORBIDDEN,
            "No code is open: it was used, mistyped too often, or is older than ten minutes.",
            new,
        ),
        Ok(Err(NotPaired::Wrong { left })) => {
            let times = if left == 1 { "once more".to_owned() } else { format!("{left} times more") };
            again(
                StatusCode::FORBIDDEN,
                "That is not the code that is open.",
                &format!("Look at it again: it can be tried {times}."),
            )
        }
        Ok(Err(NotPaired::TooSoon)) => again(
            StatusCode::TOO_MANY_REQUESTS,
            "The last code was wrong a moment ago.",
            "Wait a second and send it again.",
        ),
        Ok(Err(NotPaired::NoName)) => again(
            StatusCode::UNPROCESSABLE_ENTITY,
            "The phone needs a name of at most sixty letters.",
            "It stands in the list by which it can be stopped when it is lost. The code has not been used.",
        ),
        Ok(Err(NotPaired::NoPerson)) => again(
            StatusCode::UNPROCESSABLE_ENTITY,
            "That is no id of the address book.",
            "An id has letters, figures and hyphens, such as p-14; names of people stay out of the notes. The code \
             has not been used.",
        ),
        Err(_) => Reply::html(
            StatusCode::INTERNAL_SERVER_ERROR,
            bare(
                &Page::new("There is no answer").with([Block::notice(
                    Tone::Refused,
                    "The phone could not be written down. The machine says why; mend it there, make a new code and \
                     try again.",
                )]),
                "/pair",
                "",
            ),
        ),
    }
}

/// The page at the machine, or at a phone that is paired.
pub(crate) fn page(desk: &Desk, asked: &Asked, received: Option<&Received>) -> Reply {
    if let Some(guest) = &asked.guest {
        return show(desk, asked, StatusCode::OK, &welcome(guest));
    }
    match received {
        Some(received) if is_proved(desk, asked, &received.sent) => press(desk, asked, &received.sent),
        Some(_) => {
            let says =
                "This page was opened before the program was started anew. Nothing was changed; press again.";
            at_machine(
                desk,
                asked,
                StatusCode::FORBIDDEN,
                Some(Block::notice(Tone::Refused, says)),
            )
        }
        None => at_machine(desk, asked, StatusCode::OK, None),
    }
}

fn welcome(guest: &Paired) -> Page {
    let by = match guest.by.as_str() {
        "" => "as nobody in particular".to_owned(),
        by => format!("as {by}"),
    };
    Page::new("This phone is paired").with([
        Block::text(format!("It is “{}” in the list of the machine, and writes {by}.", guest.name)),
        Block::text(
            Words::new("Open the ")
                .link("field page", "/field")
                .plain(
                    " once while there is a signal: from then on it opens without one. Put it on the home screen with \
                     the browser's menu, so that it is found with gloves on.",
                ),
        ),
        Block::care(
            "Whoever holds this phone unlocked sees the books and can write in them. If it is lost or sold, stop it at \
             the machine, on its page /pair or with “combwright devices stop”, and take the farm's certificate out of \
             the phone's settings before it is given away.",
        ),
    ])
}

fn press(desk: &Desk, asked: &Asked, sent: &Sent) -> Reply {
    let now_ms = desk.now_ms();
    let word = |key: &str| sent.get(key).map_or("", String::as_str);
    let done = match word("press") {
        "code" => {
            let random = desk.random();
            let code = desk.read(|office| pairing::make_code(office, now_ms, &random));
            code.and_then(|code| Ok(code?)).map(|code| {
                let once = desk.fresh();
                desk.codes.put(once.clone(), code);
                format!("/pair?made={once}")
            })
        }
        "stop" => {
            let stopped = desk.read(|office| pairing::stop(office, word("device"), now_ms));
            stopped.and_then(|stopped| Ok(stopped?)).map(|stopped| {
                if stopped {
                    "/pair?stopped=1".to_owned()
                } else {
                    "/pair?stopped=0".to_owned()
                }
            })
        }
        "stop-all" => {
            let stopped = desk.read(|office| pairing::stop_all(office, now_ms));
            stopped
                .and_then(|stopped| Ok(stopped?))
                .map(|stopped| format!("/pair?stopped={stopped}"))
        }
        _ => return refused(desk, asked, &Refusal::NoForm),
    };
    match done {
        Ok(to) => Reply::see_other(&to),
        Err(trouble) => refused(desk, asked, &trouble.into()),
    }
}

fn at_machine(desk: &Desk, asked: &Asked, status: StatusCode, first: Option<Block>) -> Reply {
    let now_ms = desk.now_ms();
    let list = match desk.read(pairing::list).and_then(|list| Ok(list?)) {
        Ok(list) => list,
        Err(trouble) => return refused(desk, asked, &trouble.into()),
    };
    let made = asked.query.get("made").and_then(|made| desk.codes.get(made));
    let made = made.filter(|code| code.until_ms > now_ms);
    let mut blocks: Vec<Block> = first.into_iter().collect();
    blocks.extend(stopped(asked));
    blocks.extend(match &desk.lan {
        Some(lan) => steps(desk, lan, made.as_deref()),
        None => vec![Block::notice(
            Tone::Plain,
            "The books are served to this machine alone. To reach them from a phone, end the program and start it with \
             “combwright open --lan”; only paired phones see them then.",
        )],
    });
    blocks.push(Block::section("Paired machines", devices(desk, &list)));
    show(desk, asked, status, &Page::new("Pair a phone").with(blocks))
}

fn stopped(asked: &Asked) -> Option<Block> {
    let count: usize = asked.query.get("stopped")?.parse().ok()?;
    let says = match count {
        0 => "Nothing was stopped: it was stopped already, or there was none.".to_owned(),
        1 => "One machine was stopped. It gets no answer from now on.".to_owned(),
        count => format!("{count} machines were stopped. They get no answer from now on."),
    };
    Some(Block::notice(Tone::Plain, says))
}

fn steps(desk: &Desk, lan: &Lan, code: Option<&Code>) -> Vec<Block> {
    let mut blocks = Vec::new();
    let now = jiff::Timestamp::from_millisecond(desk.now_ms());
    if now.is_ok_and(|now| lan.authority.ends_soon(now)) {
        blocks.push(Block::notice(
            Tone::Odd,
            format!(
                "The farm's certificate ends on {}. Make a new one before with “combwright devices new-authority”; \
                 each phone has to take it in and to be paired again.",
                lan.authority.until()
            ),
        ));
    }
    blocks.push(Block::section(
        "1. The certificate, once on each phone",
        [
            Block::text(
                "Let the phone's camera read this, or type the address. It opens a page that explains what to do on \
                 each kind of phone.",
            ),
            Block::Drawing(page::code::drawing(&lan.instructions(), "The address of the instructions")),
            Block::Facts(vec![
                (
                    "Fingerprint (SHA-256)".into(),
                    Words::default().note(lan.authority.fingerprint().to_string()),
                ),
                ("Holds until".into(), lan.authority.until().to_string().into()),
            ]),
            Block::care(
                "Take the certificate in only where the phone shows this very fingerprint. The farm's key lies in a \
                 file beside the books that ends in .keys; whoever has it can pass for this machine before these \
                 phones. Leave it out of what you give away.",
            ),
        ],
    ));
    let mut second = vec![Block::text(
        "A code pairs one phone, within ten minutes, and can be mistyped four times.",
    )];
    if let Some(code) = code {
        let address = lan.address(&format!("/pair#{}", code.text));
        second.push(Block::Facts(vec![
            ("Code".into(), Words::default().strong(code.text.clone())),
            ("Until".into(), local(desk, code.until_ms).into()),
        ]));
        second.push(Block::Drawing(page::code::drawing(
            &address,
            "The address with the code",
        )));
    }
    let text = if code.is_some() {
        "Make another code"
    } else {
        "Make a code"
    };
    second.push(Block::Form(Box::new(
        Form::post("Make a code", "/pair").button("code", text),
    )));
    blocks.push(Block::section("2. A code for the phone", second));
    blocks
}

/// A moment in the local time of this machine.
fn local(desk: &Desk, ms: i64) -> String {
    let since = SignedDuration::from_millis(ms - desk.now_ms());
    let local = desk.now().saturating_add(since);
    local.strftime("%Y-%m-%d %H:%M").to_string()
}

fn devices(desk: &Desk, list: &[Paired]) -> Vec<Block> {
    let columns = ["Machine", "Who writes", "Paired", "Last seen", "Now"].map(Column::words);
    let moment = |ms: Option<i64>| ms.map_or_else(|| "never".to_owned(), |ms| local(desk, ms));
    let rows = list.iter().map(|paired| {
        let now = match paired.stopped_ms {
            Some(ms) => format!("stopped {}", local(desk, ms)),
            None => "may see the books".to_owned(),
        };
        vec![
            Words::new(format!("{} ({})", paired.name, paired.id)),
            Words::new(if paired.by.is_empty() {
                "not said"
            } else {
                &paired.by
            }),
            Words::new(local(desk, paired.since_ms)),
            Words::new(moment(paired.seen_ms)),
            Words::new(now),
        ]
    });
    let table = Table::new(
        "Machines that were paired",
        columns.to_vec(),
        "No machine was paired yet.",
    )
    .with(rows);
    let mut blocks = vec![Block::Table(table)];
    let live: Vec<Choice> = list
        .iter()
        .filter(|paired| paired.stopped_ms.is_none())
        .map(|paired| Choice {
            value: paired.id.clone(),
            text: format!("{} ({})", paired.name, paired.id),
        })
        .collect();
    if !live.is_empty() {
        let form =
            Form::post("Stop a machine", "/pair")
                .field(Field::line("device", "Which").input(Input::Choice(live)).hint(
                    "For a phone that was lost, sold or lent. What waits on it to be sent stays on it.",
                ))
                .button("stop", "Stop this one")
                .button("stop-all", "Stop all of them");
        blocks.push(Block::Form(Box::new(form)));
    }
    blocks
}

fn show(desk: &Desk, asked: &Asked, status: StatusCode, page: &Page) -> Reply {
    let today = desk.today();
    let answered = desk.read(|office| shown(desk, asked, &office.reader(None, today), status, page));
    answered.unwrap_or_else(|trouble| refused(desk, asked, &trouble.into()))
}
