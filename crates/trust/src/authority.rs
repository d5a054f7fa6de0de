//! Certificates: the root that phones take in, the one that issues below it, and this machine's own.

use std::fmt;

use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{Timestamp, ToSpan as _};
use rcgen::{
    BasicConstraints, CertificateParams, CidrSubnet, DistinguishedName, DnType, ExtendedKeyUsagePurpose,
    GeneralSubtree, IsCa, Issuer, KeyPair, KeyUsagePurpose, NameConstraints, SanType, SerialNumber,
};
use ring::digest::{SHA256, digest};
use ring::rand::{SecureRandom as _, SystemRandom};
use serde_json::{Value, json};

use crate::Host;

/// How long the authority lasts, in years. Making it anew means going to every phone again.
const YEARS: i16 = 5;

/// How long a certificate of this machine lasts, in days. Phones take no more than 397 of a public one; this one
/// is made anew at each start of the program, so there is no reason to come near that.
const DAYS: i16 = 90;

/// From how many days before its end a certificate is made anew while the program runs on.
const RENEW_DAYS: i16 = 30;

/// From how many days before its end the authority's own end is told.
const TELL_DAYS: i16 = 90;

/// How many days before it was made a certificate holds already, for phones whose clock is behind.
const BEFORE_DAYS: i16 = 2;

/// The form in which an authority is kept.
const FORM: u64 = 1;

/// The farm's own certificate authority. Whoever has it can vouch for [`Authority::hosts`] before the farm's
/// phones, and for nothing else.
pub struct Authority {
    farm: String,
    hosts: Vec<Host>,
    made: Date,
    root: Vec<u8>,
    issuing: Vec<u8>,
    key: KeyPair,
}

/// What this machine shows to a phone, made for a while.
pub struct Certificate {
    /// Its own certificate and the issuing one, in DER.
    pub chain: Vec<Vec<u8>>,
    /// The key to it, in PKCS #8. It is in memory alone.
    pub key: Vec<u8>,
    /// The last day on which it holds.
    pub until: Date,
    /// From this moment on a new one should be made.
    pub renew: Timestamp,
}

/// The SHA-256 digest of the root, by which a person compares what a phone has got with what the machine made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Fingerprint(pub [u8; 32]);

/// Why there is no authority, or no certificate.
#[derive(Debug, thiserror::Error)]
pub enum NotMade {
    /// Nothing is to be vouched for.
    #[error("an authority needs a name or an address to vouch for")]
    NoHost,
    /// It may not vouch for that.
    #[error("the farm's authority does not vouch for {0}")]
    NotAllowed(Host),
    /// The authority has come to its end.
    #[error("the farm's authority held until {0}")]
    Ended(Date),
    /// The clock shows a day before the authority was made.
    #[error("the clock shows {today}, but the farm's authority was made on {made}")]
    TooEarly {
        /// What the clock shows.
        today: Date,
        /// When it was made.
        made: Date,
    },
    /// The system gives no randomness, or a day is out of reach.
    #[error("no certificate could be made: {0}")]
    Failed(String),
}

/// What was kept is no authority.
#[derive(Debug, thiserror::Error)]
#[error("no keys of a farm's authority are in it ({0})")]
pub struct Unreadable(String);

impl From<rcgen::Error> for NotMade {
    fn from(error: rcgen::Error) -> Self {
        Self::Failed(error.to_string())
    }
}

impl Authority {
    /// Makes an authority that vouches for these hosts from today on, for five years.
    ///
    /// # Errors
    /// There is no host, or the system gives no randomness.
    pub fn make(farm: &str, hosts: &[Host], now: Timestamp) -> Result<Self, NotMade> {
        if hosts.is_empty() {
            return Err(NotMade::NoHost);
        }
        let mut hosts = hosts.to_vec();
        hosts.sort();
        hosts.dedup();
        let made = day(now);
        let mut authority = Self {
            farm: farm.to_owned(),
            hosts,
            made,
            root: Vec::new(),
            issuing: Vec::new(),
            key: KeyPair::generate()?,
        };
        // This key signs twice and is dropped at the end of this function; no copy of it was ever made.
        let root_key = KeyPair::generate()?;
        let root = authority.root_params()?;
        authority.root = root.self_signed(&root_key)?.der().to_vec();
        let root = Issuer::new(root, root_key);
        let issuing = authority.issuing_params()?;
        authority.issuing = issuing.signed_by(&authority.key, &root)?.der().to_vec();
        Ok(authority)
    }

    /// The farm's name, as it stands in the certificates.
    pub fn farm(&self) -> &str {
        &self.farm
    }

    /// What it may vouch for.
    pub fn hosts(&self) -> &[Host] {
        &self.hosts
    }

    /// The day on which it was made.
    pub fn made(&self) -> Date {
        self.made
    }

    /// The last day on which it holds.
    pub fn until(&self) -> Date {
        // A date within reach of `made`, which was checked when it was made or read.
        self.made.checked_add(YEARS.years()).unwrap_or(Date::MAX)
    }

    /// Whether its end is near enough to be told.
    pub fn ends_soon(&self, now: Timestamp) -> bool {
        let from = self.until().checked_sub(TELL_DAYS.days());
        from.is_ok_and(|from| day(now) >= from)
    }

    /// The root certificate in DER, which a phone takes in.
    pub fn root(&self) -> &[u8] {
        &self.root
    }

    /// What a person compares.
    pub fn fingerprint(&self) -> Fingerprint {
        let mut bytes = [0; 32];
        bytes.copy_from_slice(digest(&SHA256, &self.root).as_ref());
        Fingerprint(bytes)
    }

    /// Makes a certificate for this machine under these of its hosts.
    ///
    /// # Errors
    /// It may not vouch for one of them, or not now.
    pub fn certificate(&self, hosts: &[Host], now: Timestamp) -> Result<Certificate, NotMade> {
        if hosts.is_empty() {
            return Err(NotMade::NoHost);
        }
        if let Some(host) = hosts.iter().find(|host| !self.hosts.contains(host)) {
            return Err(NotMade::NotAllowed(host.clone()));
        }
        let today = day(now);
        // A day's grace: a laptop that has crossed a border may show the day before.
        if today < self.made.checked_sub(1.day()).unwrap_or(self.made) {
            return Err(NotMade::TooEarly {
                today,
                made: self.made,
            });
        }
        if today > self.until() {
            return Err(NotMade::Ended(self.until()));
        }
        let wanted = today.checked_add(DAYS.days()).map_err(out_of_reach)?;
        let until = wanted.min(self.until());
        let key = KeyPair::generate()?;
        let mut params = params(
            &hosts[0].to_string(),
            today
                .checked_sub(BEFORE_DAYS.days())
                .map_err(out_of_reach)?
                .max(self.from()?),
            until,
        )?;
        params.is_ca = IsCa::ExplicitNoCa;
        params.key_usages = vec![KeyUsagePurpose::DigitalSignature];
        params.extended_key_usages = vec![ExtendedKeyUsagePurpose::ServerAuth];
        params.use_authority_key_identifier_extension = true;
        params.subject_alt_names = hosts.iter().map(other_name).collect::<Result<_, _>>()?;
        let own = params.signed_by(&key, &Issuer::new(self.issuing_params()?, &self.key))?;
        let renew = until
            .checked_sub(RENEW_DAYS.days())
            .map_err(out_of_reach)?
            .max(today);
        Ok(Certificate {
            chain: vec![own.der().to_vec(), self.issuing.clone()],
            key: key.serialize_der(),
            until,
            // Near the authority's own end each day has to do with what is left.
            renew: moment(if until < wanted {
                today.checked_add(1.day()).map_err(out_of_reach)?
            } else {
                renew
            })?,
        })
    }

    fn from(&self) -> Result<Date, NotMade> {
        self.made.checked_sub(BEFORE_DAYS.days()).map_err(out_of_reach)
    }

    /// Both keep to the same hosts. Some programs ask only the root, others pass over what a root says of itself
    /// (RFC 5280, 6.1.1 d leaves it to them) and ask only what stands below it.
    fn root_params(&self) -> Result<CertificateParams, NotMade> {
        self.above(&format!("{} farm authority", self.farm), 1)
    }

    fn issuing_params(&self) -> Result<CertificateParams, NotMade> {
        let mut params = self.above(&format!("{} farm authority, issuing", self.farm), 0)?;
        params.extended_key_usages = vec![ExtendedKeyUsagePurpose::ServerAuth];
        params.use_authority_key_identifier_extension = true;
        Ok(params)
    }

    fn above(&self, name: &str, below: u8) -> Result<CertificateParams, NotMade> {
        let until = self.made.checked_add(YEARS.years()).map_err(out_of_reach)?;
        let mut params = params(name, self.from()?, until)?;
        params.is_ca = IsCa::Ca(BasicConstraints::Constrained(below));
        params.key_usages = vec![KeyUsagePurpose::KeyCertSign, KeyUsagePurpose::CrlSign];
        params.name_constraints = Some(constraints(&self.hosts));
        Ok(params)
    }

    /// The authority with its key, to be kept where nobody else reads it.
    pub fn to_text(&self) -> String {
        let hosts: Vec<String> = self.hosts.iter().map(Host::to_string).collect();
        let value = json!({
            "what": "Combwright: the keys of this farm's certificate authority. Secret. Whoever has this file can \
                     pass for this machine before the farm's phones.",
            "form": FORM,
            "farm": self.farm,
            "hosts": hosts,
            "made": self.made.to_string(),
            "root": hex(&self.root),
            "issuing": hex(&self.issuing),
            "key": self.key.serialize_pem(),
        });
        format!("{value:#}\n")
    }

    /// Reads what [`Authority::to_text`] wrote.
    ///
    /// # Errors
    /// It is something else, or of a later form.
    pub fn from_text(text: &str) -> Result<Self, Unreadable> {
        let value: Value = serde_json::from_str(text).map_err(|error| Unreadable(error.to_string()))?;
        if value["form"] != FORM {
            return Err(Unreadable(format!("its form is {}, not {FORM}", value["form"])));
        }
        let word = |key: &str| {
            let word = value[key].as_str();
            word.ok_or_else(|| Unreadable(format!("it says nothing of “{key}”")))
        };
        let odd = |key: &str| Unreadable(format!("“{key}” cannot be read"));
        let hosts = value["hosts"].as_array().ok_or_else(|| odd("hosts"))?;
        let hosts = hosts
            .iter()
            .map(|host| host.as_str()?.parse().ok())
            .collect::<Option<Vec<Host>>>();
        Ok(Self {
            farm: word("farm")?.to_owned(),
            hosts: hosts
                .filter(|hosts| !hosts.is_empty())
                .ok_or_else(|| odd("hosts"))?,
            made: word("made")?.parse().map_err(|_| odd("made"))?,
            root: unhex(word("root")?).ok_or_else(|| odd("root"))?,
            issuing: unhex(word("issuing")?).ok_or_else(|| odd("issuing"))?,
            key: KeyPair::from_pem(word("key")?).map_err(|_| odd("key"))?,
        })
    }
}

impl fmt::Debug for Authority {
    /// Without its key.
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut told = to.debug_struct("Authority");
        told.field("farm", &self.farm)
            .field("hosts", &self.hosts)
            .field("made", &self.made);
        told.finish_non_exhaustive()
    }
}

impl fmt::Debug for Certificate {
    /// Without its key.
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        to.debug_struct("Certificate")
            .field("until", &self.until)
            .finish_non_exhaustive()
    }
}

impl fmt::Display for Fingerprint {
    /// As phones show it: pairs of digits, in two lines' worth of sixteen pairs.
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        let pairs: Vec<String> = self.0.iter().map(|byte| format!("{byte:02X}")).collect();
        to.write_str(&pairs.join(" "))
    }
}

/// What every certificate has: a name, its days and a number that nobody can guess.
fn params(name: &str, from: Date, until: Date) -> Result<CertificateParams, NotMade> {
    let mut params = CertificateParams::default();
    params.distinguished_name = DistinguishedName::new();
    params.distinguished_name.push(DnType::CommonName, name);
    let (year, month, day) = year_month_day(from);
    params.not_before = rcgen::date_time_ymd(year, month, day);
    // A last day is meant whole.
    let (year, month, day) = year_month_day(until.tomorrow().map_err(out_of_reach)?);
    params.not_after = rcgen::date_time_ymd(year, month, day);
    let mut number = [0; 16];
    let drawn = SystemRandom::new().fill(&mut number);
    drawn.map_err(|_| NotMade::Failed("the system gives no randomness".to_owned()))?;
    // It has to be a positive number, and must not begin with a zero byte.
    number[0] = number[0] & 0x7f | 0x40;
    params.serial_number = Some(SerialNumber::from_slice(&number));
    Ok(params)
}

/// These hosts and nothing else. Of a kind of which there is none, everything is excluded: a kind that is not
/// mentioned would be free (RFC 5280, 4.2.1.10).
fn constraints(hosts: &[Host]) -> NameConstraints {
    let subtree = |host: &Host| match host {
        Host::Name(name) => GeneralSubtree::DnsName(name.clone()),
        Host::Address(address) => {
            let all = if address.is_ipv4() { 32 } else { 128 };
            GeneralSubtree::IpAddress(CidrSubnet::from_addr_prefix(*address, all))
        }
    };
    let mut excluded_subtrees = Vec::new();
    if !hosts.iter().any(|host| matches!(host, Host::Name(_))) {
        excluded_subtrees.push(GeneralSubtree::DnsName(String::new()));
    }
    let is_there = |newer: bool| {
        hosts
            .iter()
            .any(|host| matches!(host, Host::Address(address) if address.is_ipv6() == newer))
    };
    if !is_there(false) {
        excluded_subtrees.push(GeneralSubtree::IpAddress(CidrSubnet::V4([0; 4], [0; 4])));
    }
    if !is_there(true) {
        excluded_subtrees.push(GeneralSubtree::IpAddress(CidrSubnet::V6([0; 16], [0; 16])));
    }
    NameConstraints {
        permitted_subtrees: hosts.iter().map(subtree).collect(),
        excluded_subtrees,
    }
}

fn other_name(host: &Host) -> Result<SanType, NotMade> {
    Ok(match host {
        Host::Name(name) => SanType::DnsName(name.as_str().try_into()?),
        Host::Address(address) => SanType::IpAddress(*address),
    })
}

fn day(now: Timestamp) -> Date {
    TimeZone::UTC.to_datetime(now).date()
}

fn moment(day: Date) -> Result<Timestamp, NotMade> {
    TimeZone::UTC
        .to_timestamp(day.at(0, 0, 0, 0))
        .map_err(out_of_reach)
}

fn out_of_reach(error: jiff::Error) -> NotMade {
    NotMade::Failed(error.to_string())
}

fn year_month_day(day: Date) -> (i32, u8, u8) {
    (
        day.year().into(),
        day.month().unsigned_abs(),
        day.day().unsigned_abs(),
    )
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

fn unhex(said: &str) -> Option<Vec<u8>> {
    let digits: Option<Vec<u8>> = said
        .chars()
        .map(|digit| u8::try_from(digit.to_digit(16)?).ok())
        .collect();
    let digits = digits.filter(|digits| digits.len() % 2 == 0)?;
    Some(
        digits
            .chunks_exact(2)
            .map(|pair| pair[0] * 16 + pair[1])
            .collect(),
    )
}
