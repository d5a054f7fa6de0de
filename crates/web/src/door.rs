//! Where a request came in, and under which names this machine answers there.

use axum::http::{HeaderMap, Uri, header};

use crate::lan::Lan;

/// Where a request came in.
#[derive(Clone, Debug)]
pub(crate) struct Door {
    /// How addresses of this door begin: `http` or `https`.
    pub(crate) scheme: &'static str,
    /// Its port.
    pub(crate) port: u16,
    /// It leads out of this machine: only paired machines may see the books through it.
    pub(crate) beyond: bool,
    /// The names under which it answers, as they stand in an address.
    hosts: Vec<String>,
}

impl Door {
    /// The door for browsers on this machine.
    pub(crate) fn here(port: u16) -> Self {
        Self {
            scheme: "http",
            port,
            beyond: false,
            hosts: ["127.0.0.1", "localhost", "[::1]"].map(str::to_owned).to_vec(),
        }
    }

    /// The encrypted door for paired machines.
    pub(crate) fn beyond(lan: &Lan) -> Self {
        Self {
            scheme: "https",
            port: lan.port,
            beyond: true,
            hosts: lan.hosts.iter().map(ToString::to_string).collect(),
        }
    }

    /// The address of this door.
    pub(crate) fn address(&self) -> String {
        format!("{}://{}:{}/", self.scheme, self.hosts[0], self.port)
    }

    /// Whether a request names this machine, as this door knows it and in no other way, as its host.
    pub(crate) fn is_asked(&self, uri: &Uri, headers: &HeaderMap) -> bool {
        let mut hosts = headers.get_all(header::HOST).iter();
        let (Some(host), None) = (hosts.next(), hosts.next()) else {
            return false;
        };
        let named = uri.authority().map(|authority| authority.as_str());
        host.to_str().is_ok_and(|host| self.is_own(host)) && named.is_none_or(|host| self.is_own(host))
    }

    fn is_own(&self, host: &str) -> bool {
        let usual = if self.scheme == "https" { 443 } else { 80 };
        self.hosts.iter().any(|own| {
            let is_usual = self.port == usual && host.eq_ignore_ascii_case(own);
            is_usual || host.eq_ignore_ascii_case(&format!("{own}:{}", self.port))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asks(door: &Door, hosts: &[&'static str], uri: &'static str) -> bool {
        let mut headers = HeaderMap::new();
        for host in hosts {
            headers.append(header::HOST, axum::http::HeaderValue::from_static(host));
        }
        door.is_asked(&Uri::from_static(uri), &headers)
    }

    #[test]
    fn only_this_machines_own_names_are_answered() {
        let here = Door::here(8436);
        for host in ["127.0.0.1:8436", "localhost:8436", "[::1]:8436", "LocalHost:8436"] {
            assert!(asks(&here, &[host], "/"), "{host}");
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
            "maple.local:8436",
            "0.0.0.0:8436",
            "[::]:8436",
            "127.0.0.1:8436@example.com",
            "user@127.0.0.1:8436",
            "127.0.0.1:8436, example.com",
        ] {
            assert!(!asks(&here, &[host], "/"), "{host}");
        }
        assert!(!asks(&here, &[], "/"));
        assert!(!asks(&here, &["127.0.0.1:8436", "example.com"], "/"));
        assert!(!asks(&here, &["127.0.0.1:8436"], "http://example.com/"));
    }

    #[test]
    fn the_door_beyond_answers_to_its_own_names_alone() {
        let door = Door {
            scheme: "https",
            port: 8496,
            beyond: true,
            hosts: vec!["maple.local".into(), "192.168.1.20".into()],
        };
        for host in ["maple.local:8496", "Maple.Local:8496", "192.168.1.20:8496"] {
            assert!(asks(&door, &[host], "/"), "{host}");
        }
        for host in [
            "maple.local",
            "maple.local:443",
            "localhost:8496",
            "127.0.0.1:8496",
            "oak.local:8496",
            "phones.maple.local:8496",
            "maple.local.example.com:8496",
            "192.168.1.21:8496",
        ] {
            assert!(!asks(&door, &[host], "/"), "{host}");
        }
        let usual = Door { port: 443, ..door };
        assert!(asks(&usual, &["maple.local"], "/"));
        assert_eq!(usual.address(), "https://maple.local:443/");
    }
}
