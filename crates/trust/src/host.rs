//! What a phone calls this machine.

use std::fmt;
use std::net::IpAddr;
use std::str::FromStr;

/// What a phone calls this machine: a name or an address of the local network.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Host {
    /// A name, in small letters, such as `maple.local`.
    Name(String),
    /// An address, such as `192.168.1.20`.
    Address(IpAddr),
}

/// Why something is not what a phone can call this machine.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NoHost {
    /// It is neither a name nor an address.
    #[error(
        "“{0}” is no name of a machine: letters, digits and hyphens, parted by points, such as maple.local"
    )]
    NoName(String),
    /// It means the machine itself, whichever machine says it.
    #[error("“{0}” means the phone itself when a phone says it")]
    Itself(String),
    /// A name of one part, below which other names stand.
    #[error(
        "“{0}” has one part only; say the whole name, such as {0}.local: phones are to trust nothing else below it"
    )]
    OnePart(String),
    /// It is no single machine.
    #[error("“{0}” is not the address of one machine")]
    NotOne(String),
}

/// The longest name, and the longest part between two points (RFC 1035, 2.3.4).
const LONGEST: (usize, usize) = (253, 63);

impl FromStr for Host {
    type Err = NoHost;

    fn from_str(said: &str) -> Result<Self, NoHost> {
        let said = said.trim();
        let bare = said.strip_prefix('[').and_then(|said| said.strip_suffix(']'));
        if let Ok(address) = bare.unwrap_or(said).parse::<IpAddr>() {
            return match address {
                _ if address.is_loopback() => Err(NoHost::Itself(said.to_owned())),
                _ if address.is_unspecified() || address.is_multicast() => {
                    Err(NoHost::NotOne(said.to_owned()))
                }
                _ => Ok(Self::Address(address)),
            };
        }
        let name = said.strip_suffix('.').unwrap_or(said).to_ascii_lowercase();
        let parts: Vec<&str> = name.split('.').collect();
        let letters = |part: &&str| {
            let inner = part
                .bytes()
                .all(|byte| byte.is_ascii_alphanumeric() || byte == b'-');
            inner
                && !part.is_empty()
                && part.len() <= LONGEST.1
                && !part.starts_with('-')
                && !part.ends_with('-')
        };
        // A last part of figures alone would be read as an address by browsers.
        let figures = parts
            .last()
            .is_some_and(|last| last.bytes().all(|byte| byte.is_ascii_digit()));
        if name.len() > LONGEST.0 || figures || !parts.iter().all(letters) {
            return Err(NoHost::NoName(said.to_owned()));
        }
        if parts.last() == Some(&"localhost") {
            return Err(NoHost::Itself(said.to_owned()));
        }
        // A constraint reaches all names below: one to `com` or `local` would be none.
        if parts.len() == 1 {
            return Err(NoHost::OnePart(name));
        }
        Ok(Self::Name(name))
    }
}

impl fmt::Display for Host {
    /// As it stands in an address: the newer kind of address in brackets.
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Name(name) => to.write_str(name),
            Self::Address(IpAddr::V4(address)) => write!(to, "{address}"),
            Self::Address(IpAddr::V6(address)) => write!(to, "[{address}]"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_and_addresses_of_one_machine_are_hosts() {
        for (said, written) in [
            ("maple.local", "maple.local"),
            (" Maple.Local. ", "maple.local"),
            ("bee-yard-2.lan", "bee-yard-2.lan"),
            ("192.168.1.20", "192.168.1.20"),
            ("[fd00::1]", "[fd00::1]"),
            ("fd00::1", "[fd00::1]"),
        ] {
            assert_eq!(said.parse::<Host>().expect(said).to_string(), written);
        }
    }

    #[test]
    fn what_names_no_machine_is_refused_with_the_reason() {
        for said in [
            "",
            ".",
            "a b",
            "maple..local",
            "-maple.local",
            "maple-.local",
            "*.local",
            "mäple.local",
            "maple.local:8496",
            "http://maple.local",
            "10.1",
            "maple.7",
            &"a".repeat(64),
            &"a.".repeat(128),
        ] {
            assert!(matches!(said.parse::<Host>(), Err(NoHost::NoName(_))), "{said}");
        }
        for said in ["localhost", "a.localhost", "127.0.0.1", "::1"] {
            assert!(matches!(said.parse::<Host>(), Err(NoHost::Itself(_))), "{said}");
        }
        for said in ["maple", "local", "com", "Lan."] {
            assert!(matches!(said.parse::<Host>(), Err(NoHost::OnePart(_))), "{said}");
        }
        for said in ["0.0.0.0", "::", "224.0.0.251", "ff02::fb"] {
            assert!(matches!(said.parse::<Host>(), Err(NoHost::NotOne(_))), "{said}");
        }
    }
}
