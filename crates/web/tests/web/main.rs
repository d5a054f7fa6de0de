//! The pages as a browser meets them, without a socket: what is asked, what is answered, what is written.

mod answers;
mod beyond;
mod calendar;
mod guard;
mod hostile;
mod import;
mod print;
mod spring;
mod weather;
mod workshop;
mod writing;

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;

use app::{Fixed, Office, Writing, demo};
use axum::Router;
use axum::body::Body;
use axum::http::{HeaderMap, Request, StatusCode, header};
use jiff::civil::date;
use scraper::{ElementRef, Html, Selector};
use store::{MemoryStore, SqliteStore};
use tower::ServiceExt as _;
use web::{Desk, Setup, router};

const HOST: &str = "127.0.0.1:8436";

/// A browser with a jar for one cookie, before pages that no socket leads to.
struct Browser {
    router: Router,
    cookie: RefCell<Option<String>>,
    runtime: tokio::runtime::Runtime,
}

/// What a page answered.
#[derive(Debug)]
struct Answer {
    status: StatusCode,
    headers: HeaderMap,
    bytes: Vec<u8>,
    /// The same as text; what is no text is told as such.
    body: String,
}

type Fields = BTreeMap<String, String>;

fn clock(seed: u64) -> Fixed {
    Fixed::new(date(2026, 11, 25).at(9, 0, 0, 0), seed)
}

/// Books in memory that begin with these notes.
fn books(notes: &[&str]) -> Office {
    let mut office = Office::open(Box::new(MemoryStore::new()), None, &mut clock(1)).expect("books");
    write(&mut office, notes);
    office
}

/// Books in a file.
fn books_at(path: &Path, seed: u64) -> Office {
    let store = SqliteStore::open_or_create(path).expect("a file");
    Office::open(Box::new(store), None, &mut clock(seed)).expect("books")
}

fn write(office: &mut Office, notes: &[&str]) {
    let outcome = office
        .write(notes, &Writing::default(), &mut clock(7))
        .expect("no fault");
    assert!(outcome.refused.is_empty(), "{:?}", outcome.refused);
}

const FIRST: [&str; 3] = [
    "2026-03-01 yard orchard at 52.1 -2.4",
    "2026-03-01 hive alder in orchard bars 27",
    "2026-03-02 flow begins",
];

fn desk(office: Office, seed: u64) -> Arc<Desk> {
    let setup = Setup {
        port: 8436,
        name: "combwright".into(),
    };
    Arc::new(Desk::new(office, Box::new(clock(seed)), setup))
}

fn demo_books() -> Browser {
    Browser::before(desk(
        demo::write(Box::new(MemoryStore::new())).expect("the demo"),
        2,
    ))
}

impl Browser {
    fn of(notes: &[&str]) -> Self {
        Self::before(desk(books(notes), 2))
    }

    fn before(desk: Arc<Desk>) -> Self {
        Self {
            router: router(desk),
            cookie: RefCell::default(),
            runtime: tokio::runtime::Builder::new_current_thread()
                .enable_all()
                .build()
                .expect("a runtime"),
        }
    }

    /// Asks for what is not what a browser asks for by itself.
    fn ask(&self, request: Request<Body>) -> Answer {
        self.runtime.block_on(async {
            let response = self.router.clone().oneshot(request).await.expect("an answer");
            let (parts, body) = response.into_parts();
            let bytes = axum::body::to_bytes(body, usize::MAX).await.expect("a body");
            Answer {
                status: parts.status,
                headers: parts.headers,
                body: String::from_utf8_lossy(&bytes).into_owned(),
                bytes: bytes.into(),
            }
        })
    }

    fn request(&self, method: &str, path: &str) -> axum::http::request::Builder {
        let request = Request::builder()
            .method(method)
            .uri(path)
            .header(header::HOST, HOST);
        match &*self.cookie.borrow() {
            Some(cookie) => request.header(header::COOKIE, cookie),
            None => request,
        }
    }

    fn kept(&self, answer: Answer) -> Answer {
        if let Some(set) = answer.headers.get(header::SET_COOKIE) {
            let set = set.to_str().expect("text");
            *self.cookie.borrow_mut() = Some(set.split(';').next().unwrap_or_default().to_owned());
        }
        answer
    }

    fn get(&self, path: &str) -> Answer {
        let request = self.request("GET", path).body(Body::empty()).expect("a request");
        self.kept(self.ask(request))
    }

    #[track_caller]
    fn page(&self, path: &str) -> Answer {
        let answer = self.get(path);
        assert_eq!(answer.status, StatusCode::OK, "{path}: {}", answer.body);
        answer
    }

    fn post(&self, path: &str, fields: &Fields) -> Answer {
        let request = self
            .request("POST", path)
            .header(header::ORIGIN, format!("http://{HOST}"))
            .header("sec-fetch-site", "same-origin")
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded")
            .body(Body::from(encoded(fields)))
            .expect("a request");
        self.kept(self.ask(request))
    }

    /// Fills a form in, looks at what it would write, and writes that.
    #[track_caller]
    fn write(&self, path: &str, filled: &[(&str, &str)]) -> Answer {
        let form = self.page(path).form(path);
        let shown = self.post(path, &with(&with(&form, filled), &[("press", "look")]));
        assert_eq!(shown.status, StatusCode::OK, "{}", shown.body);
        let written = self.post(path, &with(&shown.form(path), &[("press", "write")]));
        assert_eq!(written.status, StatusCode::SEE_OTHER, "{}", written.body);
        written
    }

    /// How many notes stand in the books.
    fn count(&self) -> usize {
        let request = self
            .request("GET", "/books")
            .header(header::ACCEPT, "application/json")
            .body(Body::empty())
            .expect("a request");
        let answer = self.ask(request);
        let json: serde_json::Value = serde_json::from_str(&answer.body).expect("JSON");
        json["notes"].as_array().map_or(0, Vec::len)
    }
}

fn encoded(fields: &Fields) -> String {
    form_urlencoded::Serializer::new(String::new())
        .extend_pairs(fields)
        .finish()
}

fn with(fields: &Fields, more: &[(&str, &str)]) -> Fields {
    let mut fields = fields.clone();
    for (key, value) in more {
        fields.insert((*key).to_owned(), (*value).to_owned());
    }
    fields
}

fn selector(css: &str) -> Selector {
    Selector::parse(css).expect("a selector")
}

impl Answer {
    fn html(&self) -> Html {
        Html::parse_document(&self.body)
    }

    fn location(&self) -> String {
        self.headers[header::LOCATION].to_str().expect("text").to_owned()
    }

    /// What the form that is sent to this path would send as it stands.
    #[track_caller]
    fn form(&self, path: &str) -> Fields {
        let html = self.html();
        let path = path.split('?').next().unwrap_or_default();
        let form = html
            .select(&selector("main form"))
            .find(|form| form.attr("action").and_then(|action| action.split('?').next()) == Some(path))
            .unwrap_or_else(|| panic!("no form for {path}: {}", self.body));
        form.select(&selector("input, textarea, select"))
            .filter_map(|field| sent(&field))
            .collect()
    }

    fn text(&self) -> String {
        let html = self.html();
        let words: String = html.root_element().text().collect::<Vec<_>>().join(" ");
        words.split_whitespace().collect::<Vec<_>>().join(" ")
    }
}

fn sent(field: &ElementRef<'_>) -> Option<(String, String)> {
    let name = field.attr("name")?.to_owned();
    let value = match field.value().name() {
        "textarea" => field
            .text()
            .collect::<String>()
            .trim_start_matches('\n')
            .to_owned(),
        "select" => field
            .select(&selector("option[selected]"))
            .next()
            .and_then(|option| option.attr("value"))
            .unwrap_or_default()
            .to_owned(),
        _ if field.attr("type") == Some("checkbox") && field.attr("checked").is_none() => return None,
        _ => field.attr("value").unwrap_or_default().to_owned(),
    };
    Some((name, value))
}
