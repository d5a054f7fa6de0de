//! Beyond this machine: the encrypted door for paired phones, and the open one that only explains.
//!
//! Both are one port. A connection that begins as TLS does is encrypted with a certificate of the farm's own
//! authority; one that does not is answered with the authority's certificate and what to do with it, which is
//! nothing secret, and with nothing else.
//!
//! Holds true: nothing of the books goes out unencrypted; who comes without a key of a paired machine learns
//! nothing of them on either road.

use std::fmt;
use std::io;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

use axum::Router;
use axum::body::Body;
use axum::extract::{Request, State};
use axum::http::{Method, Response, StatusCode, header};
use jiff::{SignedDuration, Timestamp};
use page::html::{self, Frame};
use page::{Block, Page, Tone, Words};
use tokio::net::TcpStream;
use tokio_rustls::TlsAcceptor;
use tokio_rustls::rustls::crypto::ring;
use tokio_rustls::rustls::pki_types::{CertificateDer, PrivateKeyDer};
use tokio_rustls::rustls::server::{ClientHello, ResolvesServerCert};
use tokio_rustls::rustls::sign::CertifiedKey;
use tokio_rustls::rustls::{self, ServerConfig};
use trust::{Authority, Host, NotMade};

use crate::Desk;
use crate::guard::protect;
use crate::reply::Reply;

/// The first byte of a TLS connection: a handshake record (RFC 8446, 5.1).
const HANDSHAKE: u8 = 22;

/// How long a phone may take for its first word and for the handshake.
const GREETED_WITHIN: Duration = Duration::from_secs(15);

/// What is served beyond this machine.
#[derive(Debug)]
pub struct Lan {
    /// What phones call this machine; the first is what they are told.
    pub hosts: Vec<Host>,
    /// The port.
    pub port: u16,
    /// What vouches for the hosts.
    pub authority: Authority,
}

impl Lan {
    /// The encrypted address, with a path that begins with a slash.
    pub(crate) fn address(&self, path: &str) -> String {
        format!("https://{}:{}{path}", self.hosts[0], self.port)
    }

    /// The address of the instructions, which need no certificate.
    pub(crate) fn instructions(&self) -> String {
        format!("http://{}:{}/", self.hosts[0], self.port)
    }
}

/// A certificate of this machine, with the moments between which it is shown.
struct Kept {
    key: Arc<CertifiedKey>,
    from: Timestamp,
    renew: Timestamp,
}

/// How far the clock may go back before a certificate is made anew: it holds from somewhat before it was made.
const BACK: SignedDuration = SignedDuration::from_hours(24);

/// This machine's certificate, made anew before it ends, and where the clock turns out to have been wrong.
struct Certificates {
    desk: Arc<Desk>,
    held: Mutex<Option<Kept>>,
}

impl fmt::Debug for Certificates {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        to.write_str("Certificates")
    }
}

impl Certificates {
    fn current(&self) -> Result<Arc<CertifiedKey>, NotMade> {
        let lan = self
            .desk
            .lan
            .as_ref()
            .expect("BUG: certificates are asked for a door beyond");
        let now = Timestamp::from_millisecond(self.desk.now_ms());
        let now = now.map_err(|error| NotMade::Failed(error.to_string()))?;
        let mut held = self.held.lock().unwrap_or_else(PoisonError::into_inner);
        match &*held {
            Some(kept) if kept.from <= now && now < kept.renew => Ok(Arc::clone(&kept.key)),
            _ => {
                let made = lan.authority.certificate(&lan.hosts, now)?;
                let chain = made.chain.into_iter().map(CertificateDer::from).collect();
                let key = PrivateKeyDer::Pkcs8(made.key.into());
                let key = ring::sign::any_supported_type(&key);
                let key = key.map_err(|error| NotMade::Failed(error.to_string()))?;
                let key = Arc::new(CertifiedKey::new(chain, key));
                *held = Some(Kept {
                    key: Arc::clone(&key),
                    from: now.checked_sub(BACK).unwrap_or(Timestamp::MIN),
                    renew: made.renew,
                });
                Ok(key)
            }
        }
    }
}

impl ResolvesServerCert for Certificates {
    fn resolve(&self, _: ClientHello<'_>) -> Option<Arc<CertifiedKey>> {
        // Without a certificate the connection ends; what is the matter is told at the machine, on `/pair`.
        self.current().ok()
    }
}

/// What encrypts connections.
pub(crate) fn acceptor(desk: &Arc<Desk>) -> io::Result<TlsAcceptor> {
    let certificates = Certificates {
        desk: Arc::clone(desk),
        held: Mutex::default(),
    };
    // Said at the start rather than to the first phone.
    certificates.current().map_err(io::Error::other)?;
    let provider = Arc::new(ring::default_provider());
    let versions = ServerConfig::builder_with_provider(provider)
        .with_protocol_versions(&[&rustls::version::TLS13, &rustls::version::TLS12]);
    let mut config = versions
        .map_err(io::Error::other)?
        .with_no_client_auth()
        .with_cert_resolver(Arc::new(certificates));
    config.alpn_protocols = vec![b"http/1.1".to_vec()];
    Ok(TlsAcceptor::from(Arc::new(config)))
}

/// Whether a connection begins as TLS does. It is only looked at; nothing is taken off.
pub(crate) async fn is_encrypted(stream: &TcpStream) -> io::Result<bool> {
    let mut first = [0];
    let read = tokio::time::timeout(GREETED_WITHIN, stream.peek(&mut first)).await??;
    Ok(read == 1 && first[0] == HANDSHAKE)
}

/// Shakes hands, within a time.
pub(crate) async fn greet(
    acceptor: &TlsAcceptor,
    stream: TcpStream,
) -> io::Result<tokio_rustls::server::TlsStream<TcpStream>> {
    tokio::time::timeout(GREETED_WITHIN, acceptor.accept(stream)).await?
}

/// What is answered to those who come unencrypted.
pub(crate) fn instructions(desk: Arc<Desk>) -> Router {
    Router::new().fallback(explain).with_state(desk)
}

async fn explain(State(desk): State<Arc<Desk>>, request: Request) -> Response<Body> {
    let head_alone = request.method() == Method::HEAD;
    let mut response = explanation(&desk, &request).into_response(head_alone);
    protect(response.headers_mut());
    // Browsers heed it on encrypted roads alone, and complain of it elsewhere.
    response.headers_mut().remove("cross-origin-opener-policy");
    response
}

fn explanation(desk: &Desk, request: &Request) -> Reply {
    if !matches!(*request.method(), Method::GET | Method::HEAD) {
        return Reply::plain(
            StatusCode::METHOD_NOT_ALLOWED,
            "Nothing is taken in here: this road is not encrypted.",
        )
        .with(header::ALLOW, "GET, HEAD");
    }
    let Some(lan) = &desk.lan else {
        return Reply::plain(StatusCode::NOT_FOUND, "Nothing is served here.");
    };
    match request.uri().path() {
        "/ca.crt" => Reply::new(
            StatusCode::OK,
            "application/x-x509-ca-cert",
            lan.authority.root().to_vec(),
        )
        .with(
            header::CONTENT_DISPOSITION,
            "attachment; filename=\"combwright-farm.crt\"",
        ),
        path => match crate::router::asset(path) {
            Some(asset) => Reply::new(StatusCode::OK, asset.kind, asset.bytes),
            None => Reply::html(StatusCode::OK, unencrypted_page(lan)),
        },
    }
}

/// A page that says nothing of the books.
pub(crate) fn bare(page: &Page, here: &str, token: &str) -> String {
    let frame = Frame {
        here,
        nav: &[],
        token,
        days: None,
        line_box: None,
        books: "Combwright",
        foot: Words::default(),
        notices: Vec::new(),
    };
    html::page(page, &frame)
}

fn unencrypted_page(lan: &Lan) -> String {
    let page = Page::new("Bring these pages to your phone").with([
        Block::notice(
            Tone::Plain,
            "This address is not encrypted. Nothing of the books is shown here, and a browser lets no page from \
             here work without a signal. The address that does both begins with https, and a phone trusts it once \
             it has taken in the farm's own certificate.",
        ),
        Block::section("1. Take in the certificate", take_in(lan)),
        Block::section(
            "2. Open the encrypted address",
            [Block::text(
                Words::new("Then open ")
                    .link(lan.address("/pair"), lan.address("/pair"))
                    .plain(
                        " and type the code that is made at the machine. If the browser warns of the address, the \
                         certificate has not been taken in or is not trusted yet: go back to the first step, and do \
                         not press on past the warning. A page opened past a warning does not work without a signal.",
                    ),
            )],
        ),
        Block::section("If it does not work", troubles()),
    ]);
    bare(&page, "/", "")
}

/// How each kind of phone takes in a certificate. The names of settings are as phones of 2024 to 2026 word them,
/// from memory: makers change them.
fn take_in(lan: &Lan) -> Vec<Block> {
    vec![
        Block::text(Words::linked("The farm's certificate", "/ca.crt").plain(
            " is a small file. It lets this phone recognise the one machine that keeps the farm's books, under its \
             own name and no other.",
        )),
        Block::Facts(vec![
            ("For".into(), hosts(lan)),
            ("Holds until".into(), lan.authority.until().to_string().into()),
            (
                "Fingerprint (SHA-256)".into(),
                Words::default().note(lan.authority.fingerprint().to_string()),
            ),
        ]),
        Block::care(
            "Compare the fingerprint that the phone shows with the one on the screen of the machine itself, not with \
             this page: on the way here this page could have been changed by somebody in the same network. If they \
             differ, do not take the certificate in.",
        ),
        Block::section(
            "Android",
            [Block::List(
                [
                    "Download the certificate with the link above.",
                    "In Settings search for “CA certificate” (often under Security, More security, Encryption and \
                     credentials, Install a certificate). Choose CA certificate; Android warns that the holder could \
                     read encrypted connections. For this one that holds for the farm's own name only.",
                    "Choose the downloaded file combwright-farm.crt.",
                    "Android asks for a screen lock if there is none.",
                ]
                .map(Words::from)
                .to_vec(),
            )],
        ),
        Block::section(
            "iPhone and iPad",
            [Block::List(
                [
                    "Open this page in Safari and load the certificate; allow the profile to be downloaded.",
                    "Settings, General, VPN and Device Management: choose the downloaded profile and install it.",
                    "Settings, General, About, Certificate Trust Settings: switch the farm's certificate on. Without \
                     this step it is there and not trusted.",
                ]
                .map(Words::from)
                .to_vec(),
            )],
        ),
        Block::section(
            "Firefox",
            [Block::List(
                [
                    "On Android, Firefox uses certificates of the phone only after a hidden switch: Settings, About \
                     Firefox, press the logo five times, back, Secret Settings, Use third party CA certificates.",
                    "On a computer: Settings, Privacy and Security, Certificates, View Certificates, Authorities, \
                     Import; tick “identify websites”.",
                ]
                .map(Words::from)
                .to_vec(),
            )],
        ),
    ]
}

fn hosts(lan: &Lan) -> Words {
    let hosts: Vec<String> = lan.authority.hosts().iter().map(Host::to_string).collect();
    Words::new(hosts.join(", "))
}

fn troubles() -> Vec<Block> {
    vec![Block::List(
        [
            "The phone does not find the name: names that end in .local are found by the phone and the machine \
             asking each other (multicast DNS). Both have to be in the same network, and not in one for guests. \
             Where that fails, start the program with the machine's address, such as --called 192.168.1.20.",
            "The browser says that the certificate is not valid yet or has ended: look at the date of the phone and \
             of the machine.",
            "The browser says that the name does not fit: the address that was opened is not one that the \
             certificate is for. Open the one that is named above.",
        ]
        .map(Words::from)
        .to_vec(),
    )]
}
