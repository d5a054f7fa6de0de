//! From a request to its answer: who may ask, what lies there, what is sent to it.

use std::future::poll_fn;
use std::pin::Pin;
use std::sync::Arc;
use std::time::Duration;

use app::pairing::Known;
use axum::Router;
use axum::body::{Body, Bytes, HttpBody as _};
use axum::extract::{DefaultBodyLimit, FromRequest as _, Multipart, Request, State};
use axum::http::{HeaderMap, HeaderValue, Method, Response, StatusCode, header, request};
use page::html::{ASSETS, Asset};
use tokio::sync::OwnedSemaphorePermit;

use crate::asked::{Asked, Sent, sent};
use crate::desk::{Desk, Upload};
use crate::door::Door;
use crate::guard::{is_from_this_host, protect};
use crate::look::{Refusal, refused};
use crate::place::{Answer, FeedAt, FieldAt, Place, Step, WeatherAt};
use crate::reply::Reply;
use crate::{answers, feed, field, import, pairing, print, weather, writing};

/// The largest form that is taken in.
const MOST_FORM: usize = 64 << 10;

/// The largest sheet that is taken in.
const MOST_UPLOAD: usize = app::import::MOST_BYTES;

/// What stands around a file when it is sent.
const WRAPPING: usize = 64 << 10;

/// How long a browser may take to send a form.
const BODY_WITHIN: Duration = Duration::from_secs(60);

/// All pages, for whatever brings requests to them from this machine.
pub fn router(desk: Arc<Desk>) -> Router {
    let door = Door::here(desk.setup.port);
    through(desk, door)
}

/// The same pages for paired machines beyond this one; whatever brings requests to them has to be encrypted. `None`
/// where the desk is served to this machine alone.
pub fn router_beyond(desk: Arc<Desk>) -> Option<Router> {
    let door = Door::beyond(desk.lan.as_ref()?);
    Some(through(desk, door))
}

fn through(desk: Arc<Desk>, door: Door) -> Router {
    Router::new().fallback(respond).with_state((desk, Arc::new(door)))
}

async fn respond(State((desk, door)): State<(Arc<Desk>, Arc<Door>)>, request: Request) -> Response<Body> {
    let head_alone = request.method() == Method::HEAD;
    let mut response = answer(&desk, &door, request).await.into_response(head_alone);
    protect(response.headers_mut());
    response
}

async fn answer(desk: &Arc<Desk>, door: &Door, request: Request) -> Reply {
    let (parts, body) = request.into_parts();
    if !door.is_asked(&parts.uri, &parts.headers) {
        return Reply::plain(
            StatusCode::MISDIRECTED_REQUEST,
            format!("These pages answer to {} alone.", door.address()),
        );
    }
    if let Some(asset) = asset(parts.uri.path()) {
        return match parts.method {
            Method::GET | Method::HEAD => file(asset, &parts),
            _ => {
                Reply::plain(StatusCode::METHOD_NOT_ALLOWED, "It takes GET.").with(header::ALLOW, "GET, HEAD")
            }
        };
    }
    let mut asked = Asked::read(&parts.uri, &parts.headers, desk, door);
    if let Some(Place::Feed(FeedAt::Secret(word))) = &asked.place {
        let word = word.clone();
        return at_secret_address(desk, asked, word, &parts.method).await;
    }
    let cookie = asked.session.cookie();
    let mut key = None;
    if door.beyond {
        match admitted(desk, &parts.headers).await {
            Ok((Known::Paired(paired), again)) => {
                asked.guest = Some(paired);
                key = again.and_then(|again| HeaderValue::from_str(&again).ok());
            }
            Ok((known, _)) => {
                let mut reply = outside(desk, door, asked, known, parts, body).await;
                reply
                    .headers
                    .extend(cookie.map(|cookie| (header::SET_COOKIE, cookie)));
                return reply;
            }
            Err(reply) => return reply,
        }
    }
    let request = match what_to_do(&asked, door, &parts) {
        Ok(Wanted::Shown) => Ok(None),
        Ok(Wanted::Sent(kind)) => receive(desk, parts, body, kind).await.map(Some),
        Err(refusal) => Err(refusal),
    };
    let own = Arc::clone(desk);
    // The semaphore is never closed, so there is always a turn to be had.
    let turn = desk.turns.acquire().await;
    let done = tokio::task::spawn_blocking(move || match request {
        Ok(received) => match received
            .is_some()
            .then(|| stopped_meanwhile(&own, &asked))
            .flatten()
        {
            Some(closed) => closed,
            None => reply(&own, &asked, received),
        },
        Err(refusal) => refused(&own, &asked, &refusal),
    });
    let done = done.await;
    drop(turn);
    let mut reply = match done {
        Ok(reply) => reply,
        // It panicked, which the program's window tells.
        Err(_) => broken(),
    };
    reply.headers.extend(
        cookie
            .into_iter()
            .chain(key)
            .map(|cookie| (header::SET_COOKIE, cookie)),
    );
    reply
}

/// The calendar for whoever has its secret address: no key is asked for, no cookie is given, and no page of the books
/// is shown whatever goes wrong.
async fn at_secret_address(desk: &Arc<Desk>, asked: Asked, word: String, method: &Method) -> Reply {
    if !matches!(*method, Method::GET | Method::HEAD) {
        return Reply::plain(StatusCode::METHOD_NOT_ALLOWED, "It takes GET.")
            .with(header::ALLOW, "GET, HEAD");
    }
    let own = Arc::clone(desk);
    // The semaphore is never closed, so there is always a turn to be had.
    let turn = desk.turns.acquire().await;
    let done = tokio::task::spawn_blocking(move || feed::secret(&own, &asked, &word)).await;
    drop(turn);
    done.unwrap_or_else(|_| broken())
}

/// Who comes, by the key that was brought.
async fn admitted(desk: &Arc<Desk>, headers: &HeaderMap) -> Result<(Known, Option<String>), Reply> {
    let (own, headers) = (Arc::clone(desk), headers.clone());
    let done = tokio::task::spawn_blocking(move || pairing::admit(&own, &headers)).await;
    match done {
        Ok(Ok(admitted)) => Ok(admitted),
        // Nothing is told of the fault to somebody who may be anybody; the machine's own pages tell it.
        Ok(Err(_)) => Err(Reply::plain(
            StatusCode::SERVICE_UNAVAILABLE,
            "The books cannot be read at the moment. What waits on this phone stays there.",
        )),
        Err(_) => Err(broken()),
    }
}

/// What is answered where the machine that sends was stopped while it sent, which may take it a minute.
fn stopped_meanwhile(desk: &Desk, asked: &Asked) -> Option<Reply> {
    let guest = asked.guest.as_ref()?;
    let now = desk.read(|office| app::pairing::now(office, &guest.id));
    match now.and_then(|now| Ok(now?)) {
        Ok(Known::Paired(_)) => None,
        Ok(known) => Some(pairing::closed(desk, asked, &known)),
        Err(trouble) => Some(refused(desk, asked, &trouble.into())),
    }
}

/// What is answered to somebody without a key: the page where one is got, and nothing else.
async fn outside(
    desk: &Arc<Desk>,
    door: &Door,
    asked: Asked,
    known: Known,
    parts: request::Parts,
    body: Body,
) -> Reply {
    let brings = asked.place == Some(Place::Pair)
        && parts.method == Method::POST
        && matches!(what_to_do(&asked, door, &parts), Ok(Wanted::Sent(Kind::Form)));
    let sent = match brings {
        true => receive(desk, parts, body, Kind::Form)
            .await
            .ok()
            .map(|received| received.sent),
        false => None,
    };
    let own = Arc::clone(desk);
    let done = tokio::task::spawn_blocking(move || match sent {
        Some(sent) => pairing::bring(&own, &asked, &sent),
        None => pairing::closed(&own, &asked, &known),
    });
    done.await.unwrap_or_else(|_| broken())
}

/// What is to be done with a request.
enum Wanted {
    Shown,
    Sent(Kind),
}

/// How something is sent.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    Form,
    Upload,
    /// Drafts from the field.
    Drafts,
    /// A photograph or a spoken remark from the field.
    Blob,
}

fn what_to_do(asked: &Asked, door: &Door, parts: &request::Parts) -> Result<Wanted, Refusal> {
    let place = asked.place.as_ref().ok_or_else(Refusal::no_address)?;
    if asked.guest.is_some() && *place == Place::Erase {
        // Notes are never lost, but this could not be taken back.
        return Err(Refusal::AtMachine);
    }
    let is_shown = matches!(parts.method, Method::GET | Method::HEAD);
    if is_shown && place.is_shown() {
        return Ok(Wanted::Shown);
    }
    if parts.method != Method::POST || !place.is_sent_to() {
        return Err(Refusal::Method(match (place.is_shown(), place.is_sent_to()) {
            (true, true) => "GET, HEAD, POST",
            (false, true) => "POST",
            _ => "GET, HEAD",
        }));
    }
    if !is_from_this_host(&parts.headers, door) {
        return Err(Refusal::Foreign);
    }
    let kind = parts.headers.get(header::CONTENT_TYPE).map(HeaderValue::as_bytes);
    let is = |wanted: &str| {
        let bare = kind.and_then(|kind| kind.split(|byte| *byte == b';').next());
        bare.is_some_and(|kind| kind.trim_ascii().eq_ignore_ascii_case(wanted.as_bytes()))
    };
    match place {
        Place::Import(Step::Begin) | Place::Weather(WeatherAt::Begin) | Place::Field(FieldAt::Bring)
            if is("multipart/form-data") =>
        {
            Ok(Wanted::Sent(Kind::Upload))
        }
        Place::Field(FieldAt::Send) if is("application/json") => Ok(Wanted::Sent(Kind::Drafts)),
        // A form of another page cannot send this kind, and what the bytes are the note beside them says.
        Place::Field(FieldAt::Attach) if is("application/octet-stream") => Ok(Wanted::Sent(Kind::Blob)),
        Place::Import(Step::Begin) | Place::Weather(WeatherAt::Begin) | Place::Field(_) => {
            Err(Refusal::NoForm)
        }
        _ if is("application/x-www-form-urlencoded") => Ok(Wanted::Sent(Kind::Form)),
        _ => Err(Refusal::NoForm),
    }
}

/// What was sent: the fields, and a file where there is one.
#[derive(Default)]
pub(crate) struct Received {
    pub(crate) sent: Sent,
    pub(crate) file: Option<Upload>,
    /// What came as it is, without being a form.
    pub(crate) raw: Vec<u8>,
    /// What proves the sender of what is no form.
    pub(crate) token: Option<String>,
    /// The turn that something large takes up while it lies in memory.
    _load: Option<OwnedSemaphorePermit>,
}

async fn receive(desk: &Desk, parts: request::Parts, body: Body, kind: Kind) -> Result<Received, Refusal> {
    let (most, told) = match kind {
        Kind::Form => (MOST_FORM, MOST_FORM),
        Kind::Upload => (MOST_UPLOAD + WRAPPING, MOST_UPLOAD),
        Kind::Drafts => (field::MOST_DRAFTS, field::MOST_DRAFTS),
        Kind::Blob => (field::MOST_BLOB, field::MOST_BLOB),
    };
    // The semaphore is never closed. Waiting for a turn is not held against the sender.
    let load = match kind {
        Kind::Upload | Kind::Blob => Arc::clone(&desk.loads).acquire_owned().await.ok(),
        Kind::Form | Kind::Drafts => None,
    };
    let bytes = tokio::time::timeout(BODY_WITHIN, read_up_to(body, most)).await;
    let bytes = bytes.map_err(|_| Refusal::TooSlow)?;
    let bytes = bytes.ok_or(Refusal::TooLarge(told))?;
    match kind {
        Kind::Form => Ok(Received {
            sent: sent(&bytes),
            _load: load,
            ..Received::default()
        }),
        Kind::Drafts | Kind::Blob => {
            let token = parts.headers.get("x-token").and_then(|token| token.to_str().ok());
            Ok(Received {
                token: token.map(str::to_owned),
                raw: bytes,
                _load: load,
                ..Received::default()
            })
        }
        Kind::Upload => {
            let received = fields(parts, bytes.into()).await.ok_or(Refusal::NoForm)?;
            Ok(Received {
                _load: load,
                ..received
            })
        }
    }
}

/// Reads what is sent; `None` if it is more than so many bytes. What is only somewhat too large is read to its end
/// all the same, but not kept: most browsers show no answer to what they could not send.
async fn read_up_to(mut body: Body, most: usize) -> Option<Vec<u8>> {
    let (mut bytes, mut count) = (Vec::new(), 0);
    while let Some(frame) = poll_fn(|context| Pin::new(&mut body).poll_frame(context)).await {
        let Ok(data) = frame.ok()?.into_data() else {
            continue;
        };
        count += data.len();
        if count > most * 4 {
            return None;
        }
        if count > most {
            bytes = Vec::new();
        } else {
            bytes.extend_from_slice(&data);
        }
    }
    (count <= most).then_some(bytes)
}

/// The fields of a form that carries a file.
async fn fields(parts: request::Parts, bytes: Bytes) -> Option<Received> {
    let mut request = Request::from_parts(parts, Body::from(bytes));
    // The bytes are here, and were counted.
    DefaultBodyLimit::disable().apply(&mut request);
    let mut fields = Multipart::from_request(request, &()).await.ok()?;
    let mut received = Received::default();
    while let Some(field) = fields.next_field().await.ok()? {
        let key = field.name().unwrap_or_default().to_owned();
        match field.file_name().map(str::to_owned) {
            Some(name) if !name.is_empty() => {
                let bytes = field.bytes().await.ok()?.to_vec();
                received.file = Some(Upload { name, bytes });
            }
            _ => {
                received.sent.insert(key, field.text().await.ok()?);
            }
        }
    }
    Some(received)
}

fn reply(desk: &Desk, asked: &Asked, received: Option<Received>) -> Reply {
    let Some(place) = &asked.place else {
        return refused(desk, asked, &Refusal::no_address());
    };
    match (place, received) {
        (Place::Answer(Answer::People), Some(received)) => writing::press_person(desk, asked, &received.sent),
        (Place::Answer(answer), _) => answers::answer(desk, asked, answer),
        (Place::Index, _) => writing::index(desk, asked),
        (Place::Form(at), Some(received)) => writing::press(desk, asked, at, &merged(asked, received.sent)),
        (Place::Form(at), None) => writing::form(desk, asked, at),
        (Place::Preview(at), received) => {
            let sent = received.map(|received| received.sent).unwrap_or_default();
            writing::preview(desk, asked, at, &merged(asked, sent))
        }
        (Place::Print(at), _) => print::show(desk, asked, at),
        (Place::Pair, received) => pairing::page(desk, asked, received.as_ref()),
        (Place::Feed(at), received) => feed::show(desk, asked, at, received.as_ref()),
        (Place::Erase, Some(received)) => writing::press_erase(desk, asked, &received.sent),
        (Place::Erase, None) => writing::erasing(desk, asked),
        (Place::Field(at), Some(received)) => field::take(desk, asked, at, &received),
        (Place::Field(at), None) => field::show(desk, asked, at),
        (Place::Weather(at), received) => weather::step(desk, asked, at, received),
        (Place::Import(step), received) => import::step(desk, asked, step, received),
        (Place::Asset(_), _) => refused(desk, asked, &Refusal::no_address()),
    }
}

/// What was sent, with what the address of the form says beside it.
fn merged(asked: &Asked, mut sent: Sent) -> Sent {
    for (key, value) in &asked.query {
        sent.entry(key.clone()).or_insert_with(|| value.clone());
    }
    sent
}

/// A page without the books and without their look: whatever makes that look may be what is broken.
fn broken() -> Reply {
    Reply::plain(
        StatusCode::INTERNAL_SERVER_ERROR,
        "A mistake in the program stopped this page. What was said to be written is on the disk. \
         Load the page again; if that does not help, stop the program and start it again.",
    )
}

pub(crate) fn asset(path: &str) -> Option<&'static Asset> {
    let name = path.strip_prefix("/asset/")?;
    ASSETS.iter().find(|asset| asset.name == name)
}

fn file(asset: &'static Asset, parts: &request::Parts) -> Reply {
    let tag = format!("\"{}\"", &blake3::hash(asset.bytes).to_hex()[..16]);
    let known = parts.headers.get_all(header::IF_NONE_MATCH).iter();
    let mut known = known
        .filter_map(|tags| tags.to_str().ok())
        .flat_map(|tags| tags.split(','));
    let is_known = known.any(|known| known.trim().trim_start_matches("W/") == tag);
    let reply = match is_known {
        true => Reply::new(StatusCode::NOT_MODIFIED, asset.kind, Vec::new()),
        false => Reply::new(StatusCode::OK, asset.kind, asset.bytes),
    };
    reply
        .with(header::ETAG, &tag)
        .with(header::CACHE_CONTROL, "no-cache")
}
