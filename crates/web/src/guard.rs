//! Who may ask, who may send, and what a browser may do with an answer.
//!
//! The pages are for the keeper at this machine alone, and have no password: what keeps others out is that they
//! answer on this machine only, to its own names only, and take in only what their own forms send.
//!
//! Holds true: a name of another host that was made to point at this machine gets no page; a page of another
//! host can neither read an answer nor have anything written.

use axum::http::{HeaderMap, HeaderName, HeaderValue, Uri, header};

use crate::desk::Desk;

/// The session of a browser, as its cookie names it.
#[derive(Clone, Debug)]
pub(crate) struct Session {
    /// Sixty-four hexadecimal digits.
    pub(crate) name: String,
    /// The browser does not know it yet.
    pub(crate) is_new: bool,
}

impl Session {
    /// The session that a request names, or else a new one.
    pub(crate) fn of(headers: &HeaderMap, desk: &Desk) -> Self {
        let cookie = cookie(desk);
        let named = headers
            .get_all(header::COOKIE)
            .iter()
            .filter_map(|value| value.to_str().ok())
            .flat_map(|value| value.split(';'))
            .filter_map(|pair| pair.trim().split_once('='))
            .find(|(name, value)| *name == cookie && is_session(value));
        match named {
            Some((_, name)) => Self {
                name: name.to_owned(),
                is_new: false,
            },
            None => Self {
                name: hex(&desk.random()),
                is_new: true,
            },
        }
    }

    /// What this browser's forms carry.
    pub(crate) fn token(&self, desk: &Desk) -> String {
        blake3::keyed_hash(&desk.key, self.name.as_bytes()).to_string()
    }

    /// Whether a form carries what this browser's forms carry; it takes as long to say no as yes.
    pub(crate) fn gave(&self, desk: &Desk, token: &str) -> bool {
        let own = blake3::keyed_hash(&desk.key, self.name.as_bytes());
        blake3::Hash::from_hex(token).is_ok_and(|token| token == own)
    }

    pub(crate) fn cookie(&self, desk: &Desk) -> Option<HeaderValue> {
        let set = format!(
            "{}={}; HttpOnly; SameSite=Strict; Path=/",
            cookie(desk),
            self.name
        );
        self.is_new
            .then(|| HeaderValue::from_str(&set).expect("BUG: a session has digits alone"))
    }
}

/// Cookies are not told apart by port, so the port is part of the name: books open side by side each have one.
fn cookie(desk: &Desk) -> String {
    format!("combwright-{}", desk.setup.port)
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

/// Whether a request names this machine, and nothing else, as its host.
pub(crate) fn is_for_this_host(uri: &Uri, headers: &HeaderMap, port: u16) -> bool {
    let mut hosts = headers.get_all(header::HOST).iter();
    let (Some(host), None) = (hosts.next(), hosts.next()) else {
        return false;
    };
    let named = uri.authority().map(|authority| authority.as_str());
    host.to_str().is_ok_and(|host| is_own(host, port)) && named.is_none_or(|host| is_own(host, port))
}

fn is_own(host: &str, port: u16) -> bool {
    let own = ["127.0.0.1", "localhost", "[::1]"];
    own.iter().any(|own| {
        let is_usual = port == 80 && host.eq_ignore_ascii_case(own);
        is_usual || host.eq_ignore_ascii_case(&format!("{own}:{port}"))
    })
}

/// Whether what is sent comes from a page of this host. A program that is no browser says nothing about it and
/// is judged by its token alone.
pub(crate) fn is_from_this_host(headers: &HeaderMap) -> bool {
    let host = headers.get(header::HOST).and_then(|host| host.to_str().ok());
    let own = |origin: &HeaderValue| {
        let origin = origin
            .to_str()
            .ok()
            .and_then(|origin| origin.strip_prefix("http://"));
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
    fn only_this_machines_own_names_are_answered() {
        let asks =
            |host: &'static str| is_for_this_host(&Uri::from_static("/"), &headers(&[("host", host)]), 8436);
        for host in ["127.0.0.1:8436", "localhost:8436", "[::1]:8436", "LocalHost:8436"] {
            assert!(asks(host), "{host}");
        }
        for host in [
            "",
            "127.0.0.1",
            "localhost",
            "127.0.0.1:8437",
            "127.0.0.1:08436",
            "127.0.0.1.example.com:8436",
            "localhost.:8436",
            "localhost.example.com:8436",
            "example.com",
            "example.com:8436",
            "0.0.0.0:8436",
            "[::]:8436",
            "127.0.0.1:8436@example.com",
            "user@127.0.0.1:8436",
            "127.0.0.1:8436, example.com",
        ] {
            assert!(!asks(host), "{host}");
        }
        let uri = Uri::from_static("/");
        assert!(!is_for_this_host(&uri, &headers(&[]), 8436));
        let two = [("host", "127.0.0.1:8436"), ("host", "example.com")];
        assert!(!is_for_this_host(&uri, &headers(&two), 8436));
        let other = Uri::from_static("http://example.com/");
        assert!(!is_for_this_host(
            &other,
            &headers(&[("host", "127.0.0.1:8436")]),
            8436
        ));
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
            assert!(is_from_this_host(&headers(sent)), "{sent:?}");
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
            assert!(!is_from_this_host(&headers(sent)), "{sent:?}");
        }
    }
}
