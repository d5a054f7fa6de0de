//! The field page: a page that works where no signal reaches, and what it asks and sends.
//!
//! The page itself is a shell of static parts that a browser keeps; what it knows of the hives it fetches as a
//! *pack*, and what was written on it comes back as *drafts* ([`app::field`]). What is sent is sent as JSON with
//! the token of the session in a header, and judged like any other form.
//!
//! Holds true: nothing is written twice, however often it is sent; each draft is answered by itself.

use app::field::{self, Became, Taken};
use axum::http::{StatusCode, header};
use jiff::civil::DateTime;
use page::{Block, Column, Field, Form, Input, Method, Notice, Page, Table, Tone, Words};
use serde_json::{Value, json};

use crate::asked::{Asked, Sent};
use crate::desk::{Desk, Trouble};
use crate::look::{Refusal, refused, shown};
use crate::place::{FieldAt, note_path};
use crate::reply::Reply;
use crate::router::Received;
use crate::writing::is_proved;

/// The largest batch of drafts.
pub(crate) const MOST_DRAFTS: usize = 64 << 10;

/// The largest photograph or remark.
pub(crate) const MOST_BLOB: usize = 12 << 20;

/// A part of the page that a browser keeps.
struct Part {
    name: &'static str,
    kind: &'static str,
    text: &'static str,
}

const SCRIPT: &str = "text/javascript; charset=utf-8";

macro_rules! script {
    ($name:literal) => {
        Part {
            name: $name,
            kind: SCRIPT,
            text: include_str!(concat!("../assets/field/", $name)),
        }
    };
}

const STYLE: &str = include_str!("../assets/field/field.css");

/// The scripts, each before those that lean on it.
const SCRIPTS: &[Part] = &[
    script!("blake3.js"),
    script!("words.js"),
    script!("look.js"),
    script!("photo.js"),
    script!("keep.js"),
    script!("send.js"),
    script!("parts.js"),
    script!("measure.js"),
    script!("screens.js"),
    script!("bar.js"),
    script!("main.js"),
];

const WORKER: &str = include_str!("../assets/field/worker.js");

const SHELL: &str = include_str!("../assets/field/field.html");

/// What the field page may do beyond the other pages: show and play what the phone itself has taken, and run
/// the worker that keeps it when there is no signal.
const POLICY: &str = "default-src 'none'; style-src 'self'; script-src 'self'; worker-src 'self'; \
                      img-src 'self' data: blob:; media-src 'self' blob:; connect-src 'self'; \
                      form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

/// What one file without a server may do: run what stands in it, and ask nobody.
const FILE_POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; \
                           img-src data: blob:; media-src blob:; base-uri 'none'; form-action 'none'";

/// Changes whenever one of the parts does, so that a browser fetches them anew.
fn version() -> String {
    let mut digest = blake3::Hasher::new();
    digest
        .update(SHELL.as_bytes())
        .update(STYLE.as_bytes())
        .update(WORKER.as_bytes());
    for part in SCRIPTS {
        digest.update(part.text.as_bytes());
    }
    digest.finalize().to_hex()[..16].to_owned()
}

/// What is looked at.
pub(crate) fn show(desk: &Desk, asked: &Asked, at: &FieldAt) -> Reply {
    match at {
        FieldAt::Page => kept(Reply::html(StatusCode::OK, shell())),
        FieldAt::Part(name) => part(desk, asked, name),
        FieldAt::Pack => pack_reply(desk, asked),
        FieldAt::File => single_reply(desk, asked),
        FieldAt::Bring => bring_page(desk, asked, StatusCode::OK, bring_form(&Sent::new(), None)),
        FieldAt::Send | FieldAt::Attach => refused(desk, asked, &Refusal::Method("POST")),
    }
}

/// A reply that a browser asks about each time, and that stays in its worker's own store.
fn kept(reply: Reply) -> Reply {
    reply
        .with(header::CONTENT_SECURITY_POLICY, POLICY)
        .with(header::CACHE_CONTROL, "no-cache")
}

fn shell() -> String {
    const ICON: &str = r#"<link rel="icon" href="/asset/mark.svg" type="image/svg+xml">"#;
    const LINK: &str = r#"<link rel="stylesheet" href="/field/field.css">"#;
    const MAIN: &str = r#"<script type="module" src="/field/main.js"></script>"#;
    let shell = SHELL
        .replace("<!-- policy -->\n", "")
        .replace("<!-- icon -->", ICON);
    shell
        .replace("<!-- style -->", LINK)
        .replace("<!-- script -->", MAIN)
}

fn part(desk: &Desk, asked: &Asked, name: &str) -> Reply {
    let (kind, text) = match name {
        "field.css" => ("text/css; charset=utf-8", STYLE.to_owned()),
        "worker.js" => {
            let list: Vec<String> = SCRIPTS
                .iter()
                .map(|part| format!("\"/field/{}\"", part.name))
                .collect();
            let text = WORKER
                .replace("{version}", &version())
                .replace("\"{parts}\"", &list.join(", "));
            let reply = kept(Reply::new(StatusCode::OK, SCRIPT, text));
            // It keeps the page itself, which lies beside its folder and not in it.
            return reply.with(
                header::HeaderName::from_static("service-worker-allowed"),
                "/field",
            );
        }
        name => match SCRIPTS.iter().find(|part| part.name == name) {
            Some(part) => (part.kind, part.text.to_owned()),
            None => return refused(desk, asked, &Refusal::no_address()),
        },
    };
    kept(Reply::new(StatusCode::OK, kind, text))
}

fn yards(asked: &Asked) -> Vec<String> {
    let yards = asked.query.get("yards").map_or("", String::as_str);
    let yards = yards.split(',').filter(|yard| !yard.is_empty());
    yards.map(str::to_owned).collect()
}

/// What the phone needs to know, with what proves that it is the one that asked.
fn pack_reply(desk: &Desk, asked: &Asked) -> Reply {
    match pack(desk, &yards(asked)) {
        Ok(mut pack) => {
            pack["token"] = json!(asked.session.token(desk));
            pack["version"] = json!(version());
            Reply::json(StatusCode::OK, &pack).with(header::CACHE_CONTROL, "no-store")
        }
        Err(trouble) => refused(desk, asked, &trouble.into()),
    }
}

fn pack(desk: &Desk, yards: &[String]) -> Result<Value, Trouble> {
    let now = desk.now();
    desk.read(|office| field::pack(&office.reader(None, now.date()), now, yards))
}

/// What was sent.
pub(crate) fn take(desk: &Desk, asked: &Asked, at: &FieldAt, received: &Received) -> Reply {
    if *at == FieldAt::Bring {
        return bring(desk, asked, received);
    }
    let token = received.token.as_deref();
    if !token.is_some_and(|token| asked.session.gave(desk, token)) {
        let says =
            "the program was started anew, or this is another browser; ask for the pack and send again";
        return Reply::json(StatusCode::FORBIDDEN, &json!({ "says": says, "stale": true }));
    }
    match at {
        FieldAt::Send => send(desk, asked, &received.raw),
        FieldAt::Attach => attach(desk, asked, &received.raw),
        _ => refused(desk, asked, &Refusal::no_address()),
    }
}

fn send(desk: &Desk, asked: &Asked, bytes: &[u8]) -> Reply {
    let drafts = match field::drafts(bytes) {
        Ok(drafts) => drafts,
        Err(bad) => {
            let says = json!({ "says": bad.to_string() });
            return Reply::json(StatusCode::UNPROCESSABLE_ENTITY, &says);
        }
    };
    match desk.change_by(asked.by(), |office, surroundings| {
        field::take_in(office, &drafts, surroundings)
    }) {
        Ok(taken) => Reply::json(StatusCode::OK, &answers(&taken)),
        Err(trouble) => fault(trouble),
    }
}

/// A trouble, told to the phone, which keeps all it has sent.
fn fault(trouble: Trouble) -> Reply {
    let says = match trouble {
        Trouble::Fault(fault) => fault.to_string(),
        Trouble::Broken => "a mistake in the program stopped it halfway".to_owned(),
    };
    Reply::json(StatusCode::INTERNAL_SERVER_ERROR, &json!({ "says": says }))
}

fn answers(taken: &[Taken]) -> Value {
    let one = |taken: &Taken| {
        let id = taken.id.to_string();
        match &taken.became {
            Became::Written {
                handle,
                text,
                remarks,
            } => json!({
                "id": id, "became": "written", "handle": handle.to_string(), "text": text, "remarks": remarks,
            }),
            Became::There { handle, text } => {
                json!({ "id": id, "became": "there", "handle": handle.to_string(), "text": text })
            }
            Became::Kept { handle, text, why } => json!({
                "id": id, "became": "jotting", "handle": handle.to_string(), "text": text, "why": why,
            }),
            Became::Stays { why } => json!({ "id": id, "became": "stays", "why": why }),
        }
    };
    json!({ "drafts": taken.iter().map(one).collect::<Vec<_>>() })
}

/// A photograph or a spoken remark, kept by its digest; the same bytes twice are kept once.
fn attach(desk: &Desk, asked: &Asked, bytes: &[u8]) -> Reply {
    if bytes.is_empty() {
        let says = json!({ "says": "the picture or remark is empty" });
        return Reply::json(StatusCode::UNPROCESSABLE_ENTITY, &says);
    }
    let told = asked.query.get("digest").map(String::as_str);
    let digest = ledger::Digest::of(bytes);
    if told.is_some_and(|told| told != digest.to_string()) {
        let says = json!({ "says": "what arrived is not what was sent; send it again", "again": true });
        return Reply::json(StatusCode::BAD_REQUEST, &says);
    }
    let put = desk.change_by(asked.by(), |office, _| {
        let farm = office.farm();
        office.store().put_attachment(farm, bytes)
    });
    match put {
        Ok(digest) => Reply::json(StatusCode::OK, &json!({ "digest": digest.to_string() })),
        Err(trouble) => fault(trouble),
    }
}

/// The page in one file, with a pack in it: it needs no server, and its notes come back as text.
///
/// The scripts are small modules, each import one line; joined in their order they are one script.
pub fn single_file(pack: &Value) -> String {
    let mut script = String::from("globalThis.combwrightSingle = true;\n");
    for part in SCRIPTS {
        for line in part.text.lines() {
            if line.starts_with("import ") {
                continue;
            }
            script.push_str(line.strip_prefix("export ").unwrap_or(line));
            script.push('\n');
        }
    }
    // Nothing within the data may end the element that holds it.
    let data = pack.to_string().replace('<', "\\u003c");
    SHELL
        .replace(
            "<!-- policy -->",
            &format!("<meta http-equiv=\"Content-Security-Policy\" content=\"{FILE_POLICY}\">"),
        )
        .replace("<!-- icon -->\n", "")
        .replace("<!-- style -->", &format!("<style>\n{STYLE}</style>"))
        .replace(
            "<!-- script -->",
            &format!(
                "<script type=\"application/json\" id=\"pack\">{data}</script>\n<script type=\"module\">\n{}</script>",
                script.replace("</script", "<\\/script")
            ),
        )
}

/// The page in one file, from open books.
pub fn single_file_of(office: &app::Office, now: DateTime) -> String {
    single_file(&field::pack(&office.reader(None, now.date()), now, &[]))
}

fn single_reply(desk: &Desk, asked: &Asked) -> Reply {
    match pack(desk, &yards(asked)) {
        Ok(pack) => Reply::html(StatusCode::OK, single_file(&pack)).with(
            header::CONTENT_DISPOSITION,
            "attachment; filename=\"combwright-field.html\"",
        ),
        Err(trouble) => refused(desk, asked, &trouble.into()),
    }
}

fn bring_form(sent: &Sent, wrong: Option<&str>) -> Form {
    let mut form = Form {
        method: Method::Upload,
        ..Form::post("Notes from the field", "/field/bring")
    };
    form.wrong.extend(wrong.map(Words::new));
    form.field(
        Field::line("file", "The file that the phone gave out")
            .input(Input::File)
            .hint("Text, such as field-notes.txt"),
    )
    .field(
        Field::line("lines", "Or its lines")
            .input(Input::Lines { rows: 8 })
            .value(sent.get("lines").map_or("", String::as_str))
            .hint("Pasted as they are, the lines that begin with #= included"),
    )
    .button("bring", "Bring them in")
}

fn bring_page(desk: &Desk, asked: &Asked, status: StatusCode, form: Form) -> Reply {
    let page = Page::new("Bring notes home").with([
        Block::text(
            "Notes from a phone that could not send them come in here as a text file. The same file twice changes \
             nothing: each note carries an id. What contradicts the map is written and told as odd; what cannot be \
             read is kept as a jotting, word for word.",
        ),
        Block::Form(Box::new(form)),
    ]);
    show_page(desk, asked, status, &page)
}

fn show_page(desk: &Desk, asked: &Asked, status: StatusCode, page: &Page) -> Reply {
    let today = desk.today();
    let answered = desk.read(|office| shown(desk, asked, &office.reader(None, today), status, page));
    answered.unwrap_or_else(|trouble| refused(desk, asked, &trouble.into()))
}

/// A text file or pasted lines, brought in.
fn bring(desk: &Desk, asked: &Asked, received: &Received) -> Reply {
    let sent = &received.sent;
    let again = |status, why: &str| bring_page(desk, asked, status, bring_form(sent, Some(why)));
    if !is_proved(desk, asked, sent) {
        let why =
            "This page was opened before the program was started anew. Nothing was written; send it again.";
        return again(StatusCode::FORBIDDEN, why);
    }
    let pasted = || sent.get("lines").map_or(&b""[..], |lines| lines.as_bytes());
    let bytes = received
        .file
        .as_ref()
        .map_or_else(pasted, |file| file.bytes.as_slice());
    let bundle = match field::bundle(bytes, desk.today()) {
        Ok(bundle) if bundle.drafts.is_empty() => {
            return again(StatusCode::UNPROCESSABLE_ENTITY, "There is no note in it.");
        }
        Ok(bundle) => bundle,
        Err(bad) => {
            return again(
                StatusCode::UNPROCESSABLE_ENTITY,
                &format!("Nothing was written: {bad}."),
            );
        }
    };
    match desk.change_by(asked.by(), |office, surroundings| {
        field::take_in(office, &bundle.drafts, surroundings)
    }) {
        Ok(taken) => show_page(desk, asked, StatusCode::OK, &brought(&taken)),
        Err(trouble) => refused(desk, asked, &trouble.into()),
    }
}

fn brought(taken: &[Taken]) -> Page {
    let columns = ["What became of it", "Handle", "Note", "Remarks"].map(Column::words);
    let mut rows = Vec::new();
    let mut new = 0;
    for taken in taken {
        let (word, handle, text, says) = match &taken.became {
            Became::Written {
                handle,
                text,
                remarks,
            } => {
                new += 1;
                ("written", Some(handle), text.clone(), remarks.join("; "))
            }
            Became::There { handle, text } => ("there already", Some(handle), text.clone(), String::new()),
            Became::Kept { handle, text, why } => {
                new += 1;
                ("kept as a jotting", Some(handle), text.clone(), why.clone())
            }
            Became::Stays { why } => ("not kept", None, String::new(), why.clone()),
        };
        let handle = handle.map_or_else(Words::default, |handle| {
            Words::linked(handle.to_string(), note_path(handle))
        });
        rows.push(vec![
            Words::new(word),
            handle,
            Words::default().note(text),
            Words::new(says),
        ]);
    }
    let says = format!("{new} of {} notes are new in the books.", taken.len());
    Page::new("Notes brought home").with([
        Block::Notice(Notice {
            tone: Tone::Written,
            says: says.into(),
            more: Vec::new(),
        }),
        Block::Table(Table::new("Notes brought in", columns.into(), "").with(rows)),
    ])
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::*;

    /// The name that a line of a script makes known to all lines of it.
    fn made_known(line: &str) -> Option<&str> {
        let line = line.strip_prefix("export ").unwrap_or(line);
        let line = line.strip_prefix("async ").unwrap_or(line);
        let kinds = ["const ", "let ", "class ", "function "];
        let rest = kinds.iter().find_map(|kind| line.strip_prefix(kind))?;
        rest.split(|letter: char| !letter.is_alphanumeric() && letter != '_')
            .next()
    }

    #[test]
    fn the_scripts_can_be_joined_into_one() {
        let mut known: BTreeMap<&str, &str> = BTreeMap::new();
        for part in SCRIPTS {
            for line in part.text.lines() {
                if let Some(name) = made_known(line) {
                    let twice = known.insert(name, part.name);
                    assert_eq!(twice, None, "{name} is known in {} too", part.name);
                }
                if line.starts_with("import ") {
                    let (_, from) = line.split_once(" from \"./").expect("an import is one line");
                    let from = from.trim_end_matches("\";");
                    let before = SCRIPTS.iter().take_while(|other| other.name != part.name);
                    assert!(
                        before.into_iter().any(|other| other.name == from),
                        "{from} comes before {}",
                        part.name
                    );
                }
            }
        }
        assert!(known.contains_key("blake3") && known.contains_key("App"));
    }

    #[test]
    fn nothing_in_the_pack_ends_the_file_early() {
        let page = single_file(&json!({ "farm": "</script><script>alert(1)</script>" }));
        assert_eq!(page.matches("</script>").count(), 2);
        assert!(!page.contains("\nimport ") && !page.contains("\nexport "));
        assert!(!page.contains("<!-- "), "every part has found its place");
        assert!(!page.contains("href=\"/asset"), "it asks nobody for its parts");
    }
}
