//! Who may ask, who may send, and what a browser may do with an answer.
//!
//! At this machine the pages have no password: what keeps others out is that they answer on this machine only, to
//! its own names only, and take in only what their own forms send. Beyond it they answer to paired machines only
//! (`pairing`), encrypted, to the names that its certificate is for.
//!
//! Holds true: a name of another host that was made to point at this machine gets no page; a page of another
//! host can neither read an answer nor have anything written.

use axum::http::{HeaderMap, HeaderName, HeaderValue, header};

use crate::desk::Desk;
use crate::door::Door;

/// The session of a browser, as its cookie names it.
#[derive(Clone, Debug)]
pub(crate) struct Session {
    /// Sixty-four hexadecimal digits.
    pub(crate) name: String,
    /// The browser does not know it yet.
    pub(crate) is_new: bool,
    /// What the cookie is called.
    cookie: String,
    /// It goes over encrypted connections alone.
    secure: bool,
}

impl Session {
    /// The session that a request names, or else a new one.
    pub(crate) fn of(headers: &HeaderMap, desk: &Desk, door: &Door) -> Self {
        let (cookie, secure) = (cookie(door), door.beyond);
        let named = value_of_cookie(headers, &cookie);
        let (name, is_new) = match named {
            Some(name) => (name.to_owned(), false),
            None => (hex(&desk.random()), true),
        };
        Self {
            name,
            is_new,
            cookie,
            secure,
        }
    }

    /// What this browser's forms carry.
    pub(crate) fn token(&self, desk: &Desk) -> String {
        self.proof(desk).to_string()
    }

    /// It is of one door: whoever may ask at the one for phones gets no token that is good at this machine.
    fn proof(&self, desk: &Desk) -> blake3::Hash {
        let of = format!("{}={}", self.cookie, self.name);
        blake3::keyed_hash(&desk.key, of.as_bytes())
    }

    /// Whether a form carries what this browser's forms carry; it takes as long to say no as yes.
    pub(crate) fn gave(&self, desk: &Desk, token: &str) -> bool {
        let own = self.proof(desk);
        blake3::Hash::from_hex(token).is_ok_and(|token| token == own)
    }

    pub(crate) fn cookie(&self) -> Option<HeaderValue> {
        let secure = if self.secure { " Secure;" } else { "" };
        let set = format!(
            "{}={};{secure} HttpOnly; SameSite=Strict; Path=/",
            self.cookie, self.name
        );
        self.is_new
            .then(|| HeaderValue::from_str(&set).expect("BUG: a session has digits alone"))
    }
}

/// Cookies are not told apart by port, so the port is part of the name: books open side by side each have one.
fn cookie(door: &Door) -> String {
    // Browsers take this beginning only with an encrypted connection, and then let no other host set it.
    let host = if door.beyond { "__Host-" } else { "" };
    format!("{host}combwright-{}", door.port)
}

/// What a cookie of ours holds: sixty-four hexadecimal digits, else it is not ours.
pub(crate) fn value_of_cookie<'a>(headers: &'a HeaderMap, cookie: &str) -> Option<&'a str> {
    let pairs = headers
        .get_all(header::COOKIE)
        .iter()
        .filter_map(|value| value.to_str().ok())
        .flat_map(|value| value.split(';'))
        .filter_map(|pair| pair.trim().split_once('='));
    let mut named = pairs.filter(|(name, value)| *name == cookie && is_session(value));
    named.next().map(|(_, value)| value)
}

fn is_session(value: &str) -> bool {
    value.len() == 64
        && value
            .bytes()
            .all(|byte| matches!(byte, b'0'..=b'9' | b'a'..=b'f'))
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// Whether what is sent comes from a page of this host. A program that is no browser says nothing about it and
/// is judged by its token alone.
pub(crate) fn is_from_this_host(headers: &HeaderMap, door: &Door) -> bool {
    let host = headers.get(header::HOST).and_then(|host| host.to_str().ok());
    let own = |origin: &HeaderValue| {
        let origin = origin
            .to_str()
            .ok()
            .and_then(|origin| origin.strip_prefix(door.scheme)?.strip_prefix("://"));
        matches!((origin, host), (Some(origin), Some(host)) if origin.eq_ignore_ascii_case(host))
    };
    let site = headers.get("sec-fetch-site");
    let near = site.is_none_or(|site| site == "same-origin" || site == "none");
    near && headers.get_all(header::ORIGIN).iter().all(own)
}

/// What every answer carries, so that no browser does more with it than show it.
pub(crate) fn protect(headers: &mut HeaderMap) {
    const ALWAYS: [(HeaderName, &str); 5] = [
        (
            header::CONTENT_SECURITY_POLICY,
            "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' data:; connect-src 'self'; \
             form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
        ),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::REFERRER_POLICY, "same-origin"),
        (
            HeaderName::from_static("cross-origin-opener-policy"),
            "same-origin",
        ),
        (
            HeaderName::from_static("cross-origin-resource-policy"),
            "same-origin",
        ),
    ];
    for (name, value) in ALWAYS {
        // The field page says itself what it may do beyond that.
        headers.entry(name).or_insert(HeaderValue::from_static(value));
    }
    headers
        .entry(header::CACHE_CONTROL)
        .or_insert(HeaderValue::from_static("no-cache, private"));
}

#[cfg(test)]
mod tests {
    use super::*;

    fn headers(pairs: &[(&'static str, &'static str)]) -> HeaderMap {
        let mut headers = HeaderMap::new();
        for (name, value) in pairs {
            headers.append(*name, HeaderValue::from_static(value));
        }
        headers
    }

    #[test]
    fn only_forms_of_this_host_are_taken_in() {
        let host = ("host", "localhost:8436");
        for sent in [
            &[host][..],
            &[host, ("origin", "http://localhost:8436")],
            &[
                host,
                ("origin", "http://localhost:8436"),
                ("sec-fetch-site", "same-origin"),
            ],
        ] {
            assert!(is_from_this_host(&headers(sent), &Door::here(8436)), "{sent:?}");
        }
        for sent in [
            &[host, ("origin", "null")][..],
            &[host, ("origin", "")],
            &[host, ("origin", "http://example.com")],
            &[host, ("origin", "https://localhost:8436")],
            &[host, ("origin", "http://localhost:3000")],
            &[host, ("origin", "http://127.0.0.1:8436")],
            &[
                host,
                ("origin", "http://localhost:8436"),
                ("origin", "http://example.com"),
            ],
            &[host, ("sec-fetch-site", "cross-site")],
            &[host, ("sec-fetch-site", "same-site")],
            &[
                host,
                ("origin", "http://localhost:8436"),
                ("sec-fetch-site", "cross-site"),
            ],
        ] {
            assert!(!is_from_this_host(&headers(sent), &Door::here(8436)), "{sent:?}");
        }
    }
}
