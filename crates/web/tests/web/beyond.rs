//! The door beyond this machine, as those meet it who are not paired, who were stopped, and who mean harm.

use std::cell::RefCell;
use std::sync::Arc;

use axum::Router;
use axum::body::Body;
use axum::http::request::Builder;
use axum::http::{Request, StatusCode, header};
use serde_json::{Value, json};
use tower::ServiceExt as _;
use trust::Authority;
use web::{Desk, Lan, Setup, router, router_beyond};

use crate::{Answer, Browser, FIRST, Fields, books, clock, encoded, selector, with};

const AT: &str = "maple.local:8496";

/// The machine, and the door for phones.
struct Farm {
    desk: Arc<Desk>,
    machine: Browser,
}

/// A phone, with its cookies.
struct Phone {
    router: Router,
    cookies: RefCell<Vec<String>>,
    runtime: tokio::runtime::Runtime,
}

impl Farm {
    fn of(notes: &[&str]) -> Self {
        let hosts = ["maple.local".parse().expect("a host")];
        let now = "2026-11-25T09:00:00Z".parse().expect("a time");
        let lan = Lan {
            authority: Authority::make("maple farm", &hosts, now).expect("an authority"),
            hosts: hosts.to_vec(),
            port: 8496,
        };
        let setup = Setup {
            port: 8436,
            name: "combwright".into(),
        };
        let desk = Arc::new(Desk::new(books(notes), Box::new(clock(5)), setup).beyond(lan));
        let machine = Browser::before(Arc::clone(&desk));
        Self { desk, machine }
    }

    fn phone(&self) -> Phone {
        Phone {
            router: router_beyond(Arc::clone(&self.desk)).expect("it is served beyond"),
            cookies: RefCell::default(),
            runtime: tokio::runtime::Builder::new_current_thread()
                .enable_all()
                .build()
                .expect("a runtime"),
        }
    }

    /// A code, made by pressing the button at the machine.
    fn code(&self) -> String {
        let pressed = with(&self.machine.page("/pair").form("/pair"), &[("press", "code")]);
        let made = self.machine.post("/pair", &pressed);
        assert_eq!(made.status, StatusCode::SEE_OTHER, "{}", made.body);
        let html = self.machine.page(&made.location()).html();
        let strong = html
            .select(&selector("dd strong"))
            .next()
            .expect("a code is shown");
        strong.text().collect()
    }

    fn paired(&self) -> Phone {
        let phone = self.phone();
        let brought = phone.bring(&self.code(), "green phone");
        assert_eq!(brought.status, StatusCode::SEE_OTHER, "{}", brought.body);
        phone
    }

    fn stop(&self, id: &str) {
        let form = self.machine.page("/pair").form("/pair");
        let stopped = self
            .machine
            .post("/pair", &with(&form, &[("press", "stop"), ("device", id)]));
        assert_eq!(stopped.location(), "/pair?stopped=1");
    }
}

impl Phone {
    fn request(&self, method: &str, path: &str) -> Builder {
        let request = Request::builder()
            .method(method)
            .uri(path)
            .header(header::HOST, AT);
        request.header(header::COOKIE, self.cookies.borrow().join("; "))
    }

    fn ask(&self, request: Request<Body>) -> Answer {
        let answer = self.runtime.block_on(async {
            let response = self.router.clone().oneshot(request).await.expect("an answer");
            let (parts, body) = response.into_parts();
            let bytes = axum::body::to_bytes(body, usize::MAX).await.expect("a body");
            Answer {
                status: parts.status,
                headers: parts.headers,
                body: String::from_utf8_lossy(&bytes).into_owned(),
                bytes: bytes.into(),
            }
        });
        for set in answer.headers.get_all(header::SET_COOKIE) {
            let set = set.to_str().expect("text").split(';').next().expect("a cookie");
            let (name, _) = set.split_once('=').expect("a cookie");
            self.cookies
                .borrow_mut()
                .retain(|kept| !kept.starts_with(&format!("{name}=")));
            self.cookies.borrow_mut().push(set.to_owned());
        }
        answer
    }

    fn get(&self, path: &str) -> Answer {
        self.ask(self.request("GET", path).body(Body::empty()).expect("a request"))
    }

    fn post(&self, path: &str, fields: &Fields) -> Answer {
        let request = self
            .request("POST", path)
            .header(header::ORIGIN, format!("https://{AT}"))
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded");
        self.ask(request.body(Body::from(encoded(fields))).expect("a request"))
    }

    fn bring(&self, code: &str, name: &str) -> Answer {
        let form = self.get("/pair").form("/pair");
        let filled = with(&form, &[("code", code), ("name", name), ("by", "p-14")]);
        self.post("/pair", &filled)
    }

    fn token(&self) -> String {
        let pack = self.get("/field/pack.json");
        assert_eq!(pack.status, StatusCode::OK, "{}", pack.body);
        let pack: Value = serde_json::from_str(&pack.body).expect("JSON");
        pack["token"].as_str().expect("a token").to_owned()
    }

    fn send(&self, path: &str, kind: &str, token: &str, body: impl Into<Body>) -> Answer {
        let request = self
            .request("POST", path)
            .header(header::ORIGIN, format!("https://{AT}"))
            .header(header::CONTENT_TYPE, kind)
            .header("x-token", token);
        self.ask(request.body(body.into()).expect("a request"))
    }

    fn drafts(&self, token: &str, drafts: &Value) -> Answer {
        let body = json!({ "drafts": drafts }).to_string();
        self.send("/field/send", "application/json", token, body)
    }
}

fn draft(number: u64, line: &str) -> Value {
    json!({
        "id": format!("01981b2e-5f00-7000-8000-{number:012}"), "seq": number, "day": "2026-07-19",
        "by": "p-14", "line": line,
    })
}

const PATHS: [&str; 18] = [
    "/",
    "/yard",
    "/hive/alder",
    "/books",
    "/books/people",
    "/books/note/laptop/1",
    "/money",
    "/write",
    "/write/look",
    "/note",
    "/field",
    "/field/pack.json",
    "/field/file",
    "/field/main.js",
    "/field/send",
    "/field/attach",
    "/books/import",
    "/nowhere",
];

#[track_caller]
fn tells_nothing(answer: &Answer, what: &str) {
    for word in ["alder", "orchard", "laptop", "52.1", "maple farm"] {
        assert!(
            !answer.body.contains(word),
            "{what} tells of {word}: {}",
            answer.body
        );
    }
}

#[test]
fn who_is_not_paired_learns_nothing_of_the_books_and_writes_nothing() {
    let farm = Farm::of(&FIRST);
    let phone = farm.phone();
    let forged = format!("__Host-combwright-phone-8496={}", "0".repeat(64));
    for path in PATHS {
        for method in ["GET", "POST", "PUT", "OPTIONS"] {
            for (accept, cookie) in [
                ("text/html", ""),
                ("application/json", ""),
                ("text/html", &forged),
            ] {
                let request = phone
                    .request(method, path)
                    .header(header::ACCEPT, accept)
                    .header(header::COOKIE, cookie)
                    .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded");
                let answer = phone.ask(request.body(Body::from("line=x")).expect("a request"));
                assert_eq!(answer.status, StatusCode::UNAUTHORIZED, "{method} {path}");
                tells_nothing(&answer, path);
            }
        }
    }
    assert_eq!(farm.machine.count(), 3);
}

#[test]
fn the_books_need_the_encrypted_doors_own_name() {
    let farm = Farm::of(&FIRST);
    let phone = farm.paired();
    assert_eq!(phone.get("/hive/alder").status, StatusCode::OK);
    for host in [
        "127.0.0.1:8436",
        "localhost:8496",
        "rebound.example:8496",
        "maple.local",
        "",
    ] {
        let mut request = phone
            .request("GET", "/hive/alder")
            .body(Body::empty())
            .expect("a request");
        request
            .headers_mut()
            .insert(header::HOST, host.parse().expect("a host"));
        let answer = phone.ask(request);
        assert_eq!(answer.status, StatusCode::MISDIRECTED_REQUEST, "{host}");
        tells_nothing(&answer, host);
    }
    let form = phone.get("/note").form("/note");
    for origin in [
        "http://maple.local:8496",
        "https://oak.local:8496",
        "https://maple.local",
        "null",
    ] {
        let request = phone
            .request("POST", "/note")
            .header(header::ORIGIN, origin)
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded");
        let answer = phone.ask(request.body(Body::from(encoded(&form))).expect("a request"));
        assert_eq!(answer.status, StatusCode::FORBIDDEN, "{origin}");
    }
}

#[test]
fn a_code_pairs_one_phone_and_its_key_stays_with_it() {
    let farm = Farm::of(&FIRST);
    let (code, phone, other) = (farm.code(), farm.phone(), farm.phone());
    let brought = phone.bring(&code, "green phone");
    assert_eq!(brought.status, StatusCode::SEE_OTHER, "{}", brought.body);
    let set: Vec<&str> = brought
        .headers
        .get_all(header::SET_COOKIE)
        .iter()
        .filter_map(|set| set.to_str().ok())
        .filter(|set| set.starts_with("__Host-combwright-phone-8496="))
        .collect();
    let [set] = set.as_slice() else {
        panic!("one key: {set:?}")
    };
    for part in [
        "; Secure",
        "; HttpOnly",
        "; SameSite=Strict",
        "; Path=/",
        "; Max-Age=",
    ] {
        assert!(set.contains(part), "{set}");
    }
    assert!(!set.contains("Domain"), "{set}");
    let again = other.bring(&code, "other phone");
    assert_eq!(again.status, StatusCode::FORBIDDEN, "{}", again.body);
    assert_eq!(other.get("/").status, StatusCode::UNAUTHORIZED);
    // What a phone that is paired sees names no key and no code.
    assert!(!phone.get("/pair").body.contains("Make a code"));
}

#[test]
fn a_paired_phone_makes_no_codes_and_stops_nobody() {
    let farm = Farm::of(&FIRST);
    let (phone, other) = (farm.paired(), farm.paired());
    let token = phone.get("/note").form("/note")["token"].clone();
    for press in ["code", "stop", "stop-all"] {
        let fields = [("token", &*token), ("press", press), ("device", "d-2")];
        let fields = fields.map(|(key, value)| (key.to_owned(), value.to_owned()));
        let answer = phone.post("/pair", &fields.into());
        assert!(
            !answer.headers.contains_key(header::LOCATION),
            "{press}: {}",
            answer.body
        );
    }
    assert_eq!(other.get("/hive/alder").status, StatusCode::OK);
}

#[test]
fn who_was_stopped_gets_no_answer_from_then_on() {
    let farm = Farm::of(&FIRST);
    let phone = farm.paired();
    let token = phone.token();
    farm.stop("d-1");
    for path in PATHS {
        let answer = phone.get(path);
        assert_eq!(answer.status, StatusCode::UNAUTHORIZED, "{path}");
        tells_nothing(&answer, path);
    }
    let sent = phone.drafts(&token, &json!([draft(1, "flow ends")]));
    assert_eq!(sent.status, StatusCode::UNAUTHORIZED);
    assert!(sent.body.contains("\"paired\": false"), "{}", sent.body);
    assert_eq!(farm.machine.count(), 3);
}

/// A body that stops its sender's machine just before it comes to its end.
struct SlowBody(Option<Box<dyn FnOnce() + Send>>, Vec<u8>);

impl axum::body::HttpBody for SlowBody {
    type Data = axum::body::Bytes;
    type Error = std::convert::Infallible;

    fn poll_frame(
        mut self: std::pin::Pin<&mut Self>,
        _: &mut std::task::Context<'_>,
    ) -> std::task::Poll<Option<Result<hyper::body::Frame<Self::Data>, Self::Error>>> {
        let Some(meanwhile) = self.0.take() else {
            return std::task::Poll::Ready(None);
        };
        meanwhile();
        let bytes = std::mem::take(&mut self.1);
        std::task::Poll::Ready(Some(Ok(hyper::body::Frame::data(bytes.into()))))
    }
}

#[test]
fn who_is_stopped_while_sending_writes_nothing_more() {
    let farm = Farm::of(&FIRST);
    let phone = farm.paired();
    let token = phone.token();
    let machine = router(Arc::clone(&farm.desk));
    let form = with(
        &farm.machine.page("/pair").form("/pair"),
        &[("press", "stop"), ("device", "d-1")],
    );
    let stop = farm
        .machine
        .request("POST", "/pair")
        .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded")
        .body(Body::from(encoded(&form)))
        .expect("a request");
    let meanwhile = move || {
        let stopped = std::thread::spawn(|| {
            let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build();
            runtime
                .expect("a runtime")
                .block_on(machine.oneshot(stop))
                .expect("an answer")
        });
        let stopped = stopped.join().expect("it was stopped");
        assert_eq!(stopped.headers()[header::LOCATION], "/pair?stopped=1");
    };
    let drafts = json!({ "drafts": [draft(1, "flow ends")] }).to_string();
    let body = Body::new(SlowBody(Some(Box::new(meanwhile)), drafts.into_bytes()));
    let answer = phone.send("/field/send", "application/json", &token, body);
    assert_eq!(answer.status, StatusCode::UNAUTHORIZED, "{}", answer.body);
    assert_eq!(farm.machine.count(), 3);
}

#[test]
fn a_token_of_one_door_is_of_no_use_at_the_other() {
    let farm = Farm::of(&FIRST);
    // Somebody in the network, who chooses the session, gets a token for it from the page that pairs…
    let session = "5".repeat(64);
    let stranger = farm.phone();
    stranger
        .cookies
        .borrow_mut()
        .push(format!("__Host-combwright-8496={session}"));
    let token = stranger.get("/pair").form("/pair")["token"].clone();
    // …and has a page in the keeper's browser that makes it this machine's session.
    farm.machine
        .cookie
        .replace(Some(format!("combwright-8436={session}")));
    let form = farm.machine.page("/note").form("/note");
    assert_ne!(form["token"], token);
    let filled = with(
        &form,
        &[
            ("token", &token),
            ("line", "2026-03-03 flow ends"),
            ("press", "look"),
        ],
    );
    assert_eq!(farm.machine.post("/note", &filled).status, StatusCode::FORBIDDEN);
}

#[test]
fn what_cannot_be_taken_back_is_done_at_the_machine_alone() {
    let farm = Farm::of(&FIRST);
    let phone = farm.paired();
    let enter = |id: &str, name: &str| {
        let form = phone.get("/books/people").form("/books/people");
        phone.post("/books/people", &with(&form, &[("id", id), ("name", name)]))
    };
    assert_eq!(enter("p-20", "Somebody new").status, StatusCode::SEE_OTHER);
    let there = phone.get("/books/people?id=p-20").form("/books/people");
    let changed = with(&there, &[("name", "Nobody at all")]);
    assert_eq!(
        phone.post("/books/people", &changed).status,
        StatusCode::FORBIDDEN
    );
    let token = there["token"].clone();
    let erase: Fields = [
        ("id", "p-20"),
        ("token", &token),
        ("press", "erase"),
        ("sure", "p-20"),
    ]
    .map(|(key, value)| (key.to_owned(), value.to_owned()))
    .into();
    for answer in [
        phone.get("/books/people/erase?id=p-20"),
        phone.post("/books/people/erase", &erase),
    ] {
        assert_eq!(answer.status, StatusCode::FORBIDDEN, "{}", answer.body);
    }
    assert!(farm.machine.page("/books/people").text().contains("Somebody new"));
    assert_eq!(
        farm.machine.page("/books/people/erase?id=p-20").status,
        StatusCode::OK
    );
}

#[test]
fn a_hostile_phone_breaks_nothing_and_puts_nothing_between_the_lines() {
    let farm = Farm::of(&FIRST);
    let phone = farm.paired();
    let token = phone.token();
    let long = "x".repeat(60_000);
    let lines = [
        "#= oak",
        "#= phone\nflow ends",
        "jot \"one\ntwo\"",
        "feed alder syrup 1 kg # remark\n#= oak\n2020-01-01 flow begins",
        "look alder bar 3 sealed 5/8 # \u{2028}#= oak\u{85}flow ends\u{b}x\u{c}y",
        "<script>alert(1)</script><img src=x onerror=alert(1)>",
        "\u{202e}\u{0}\u{1b}[31m",
        "=HYPERLINK(\"http://example.com\")",
        "withdraw laptop/99999999999999999999",
        "withdraw last",
        "settle oak/1 # x",
        "correct laptop/1: yard orchard at 999 999",
        "../../etc/passwd",
        "hive ../../x in orchard bars 65535",
        "hive elm in orchard bars 99999999999",
        "look alder bar 65536 sealed 1/0",
        "look alder bar 3 sealed 99999999999999999999/8",
        "9999-12-31 flow begins",
        "-9999-01-01 flow begins",
        "yesterday flow ends",
        "day -999999-01-01",
        "move alder bar 3 to alder bar 3",
        "\"",
        "anyway",
        "# anyway",
        "flow ends anyway anyway # \" #",
        "weather x 0000000000000000000000000000000000000000000000000000000000000000",
        &long,
    ];
    let days = [
        "2026-07-19",
        "9999-12-31",
        "-009999-01-01",
        "0000-01-01",
        "1969-12-31",
    ];
    let hours = [Value::Null, json!("23:59")];
    let mut number = 0;
    for line in lines {
        for day in days {
            for hour in &hours {
                for at in [Value::Null, json!("alder"), json!("x\n#= oak")] {
                    number += 1;
                    let mut draft = draft(number, line);
                    (draft["day"], draft["hour"], draft["at"]) = (json!(day), hour.clone(), at);
                    let answer = phone.drafts(&token, &json!([draft]));
                    let fine = [StatusCode::OK, StatusCode::UNPROCESSABLE_ENTITY];
                    assert!(
                        fine.contains(&answer.status),
                        "{draft}: {} {}",
                        answer.status,
                        answer.body
                    );
                }
            }
        }
    }
    assert!(farm.machine.count() > 100, "what could be kept was kept");
    for path in ["/", "/yard", "/hive/alder", "/books", "/books/complaints"] {
        let html = farm.machine.page(path).html();
        assert_eq!(html.select(&selector("img, [onerror]")).count(), 0, "{path}");
        let foreign = html
            .select(&selector("script:not([src='/asset/page.js'])"))
            .count();
        assert_eq!(foreign, 0, "{path}");
    }
    // One note is one line, so that what is given out as lines comes back as the same notes.
    let pages = farm.machine.page("/books").text();
    assert!(!pages.contains("oak/"), "no other device has written");
}

#[test]
fn what_a_phone_names_has_to_be_its_own() {
    let farm = Farm::of(&FIRST);
    let phone = farm.paired();
    let token = phone.token();
    // The id of what is there already changes nothing, whatever is sent with it.
    let first = phone.drafts(&token, &json!([draft(1, "2026-03-05 flow ends")]));
    let second = phone.drafts(&token, &json!([draft(1, "withdraw laptop/1")]));
    let became = |answer: &Answer| -> Value { serde_json::from_str(&answer.body).expect("JSON") };
    assert_eq!(became(&first)["drafts"][0]["became"], "written");
    assert_eq!(became(&second)["drafts"][0]["became"], "there");
    assert_eq!(farm.machine.count(), 4);
    for body in [
        "",
        "[]",
        "{\"drafts\": 1}",
        "{\"drafts\": [1]}",
        &"[".repeat(60_000),
        "\u{0}",
    ] {
        let answer = phone.send("/field/send", "application/json", &token, body.to_owned());
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", answer.body);
    }
    for token in ["", "0", &"0".repeat(64)] {
        let answer = phone.drafts(token, &json!([draft(2, "flow ends")]));
        assert_eq!(answer.status, StatusCode::FORBIDDEN);
    }
}

#[test]
fn what_is_attached_is_bounded_and_never_shown_as_a_page() {
    let farm = Farm::of(&FIRST);
    let phone = farm.paired();
    let token = phone.token();
    let bytes = b"<html><script>alert(1)</script>".to_vec();
    let digest = ledger::Digest::of(&bytes).to_string();
    // A kind that a form of another page could send, or that a browser would show, is not taken in.
    for kind in [
        "text/html",
        "image/svg+xml",
        "text/plain",
        "multipart/form-data",
        "",
    ] {
        let answer = phone.send("/field/attach", kind, &token, bytes.clone());
        assert_eq!(answer.status, StatusCode::UNSUPPORTED_MEDIA_TYPE, "{kind}");
    }
    let kept = phone.send("/field/attach", "application/octet-stream", &token, bytes);
    assert_eq!(kept.status, StatusCode::OK, "{}", kept.body);
    for path in [
        "/field/{}",
        "/field/attach/{}",
        "/attachment/{}",
        "/asset/{}",
        "/books/{}",
    ] {
        let answer = phone.get(&path.replace("{}", &digest));
        assert_eq!(answer.status, StatusCode::NOT_FOUND, "{path}");
    }
    for length in [(12 << 20) + 1, 50 << 20] {
        let answer = phone.send(
            "/field/attach",
            "application/octet-stream",
            &token,
            vec![7; length],
        );
        assert_eq!(answer.status, StatusCode::PAYLOAD_TOO_LARGE, "{length}");
    }
}

#[test]
fn a_name_that_looks_like_markup_stays_a_name_in_the_list() {
    let farm = Farm::of(&FIRST);
    let phone = farm.phone();
    let brought = phone.bring(&farm.code(), "<img src=x onerror=alert(1)>");
    assert_eq!(brought.status, StatusCode::SEE_OTHER);
    for html in [farm.machine.page("/pair").html(), phone.get("/pair").html()] {
        assert_eq!(html.select(&selector("img, [onerror]")).count(), 0);
    }
    assert!(
        farm.machine
            .page("/pair")
            .text()
            .contains("<img src=x onerror=alert(1)> (d-1)")
    );
}

#[test]
fn books_of_this_machine_alone_have_no_door_beyond() {
    assert!(router_beyond(crate::desk(books(&FIRST), 2)).is_none());
}

#[test]
fn a_calendar_program_needs_the_secret_address_alone_until_the_phone_is_stopped() {
    let farm = Farm::of(&FIRST);
    let phone = farm.paired();
    let form = phone.get("/calendar/phones").form("/calendar/phones");
    let made = phone.post("/calendar/phones", &with(&form, &[("press", "make")]));
    assert_eq!(made.status, StatusCode::SEE_OTHER, "{}", made.body);
    let page = phone.get(&made.location());
    let from = page.body.find("/calendar/feed/").expect("the address is shown");
    let secret: String = page.body[from..]
        .chars()
        .take("/calendar/feed/".len() + 64 + ".ics".len())
        .collect();
    let stranger = farm.phone();
    let calendar = stranger.get(&secret);
    assert_eq!(calendar.status, StatusCode::OK);
    assert!(calendar.body.starts_with("BEGIN:VCALENDAR\r\n"));
    assert!(calendar.headers.get(header::SET_COOKIE).is_none());
    for path in ["/calendar.ics", "/calendar", "/calendar/phones", "/swarms"] {
        let closed = stranger.get(path);
        assert!(
            !closed.body.contains("BEGIN:VCALENDAR") && closed.status != StatusCode::OK,
            "{path}"
        );
    }
    farm.stop("d-1");
    let after = stranger.get(&secret);
    assert_eq!(after.status, StatusCode::NOT_FOUND);
    assert!(!after.body.contains("orchard"));
}
