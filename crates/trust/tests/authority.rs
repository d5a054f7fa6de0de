//! The authority's certificates, read by a library that did not write them and judged by one that browsers'
//! rules are built into: `x509-parser`, and `rustls` with its `webpki`.

use std::sync::Arc;
use std::time::Duration;

use jiff::{SignedDuration, Timestamp};
use rustls::RootCertStore;
use rustls::client::WebPkiServerVerifier;
use rustls::client::danger::ServerCertVerifier as _;
use rustls::pki_types::{CertificateDer, ServerName, UnixTime};
use trust::{Authority, Certificate, Host, NotMade};
use x509_parser::prelude::{FromDer as _, GeneralName, X509Certificate};

fn now() -> Timestamp {
    "2026-11-25T20:00:00Z".parse().expect("a time")
}

fn in_days(days: i64) -> Timestamp {
    now() + SignedDuration::from_hours(24 * days)
}

fn hosts(said: &[&str]) -> Vec<Host> {
    said.iter().map(|host| host.parse().expect("a host")).collect()
}

fn authority(said: &[&str]) -> Authority {
    Authority::make("maple farm", &hosts(said), now()).expect("an authority")
}

fn parsed(der: &[u8]) -> X509Certificate<'_> {
    let (rest, certificate) = X509Certificate::from_der(der).expect("a certificate");
    assert!(rest.is_empty(), "nothing stands behind it");
    certificate
}

/// What a program that trusts the root says to a chain that is shown for a name.
fn verdict(root: &[u8], chain: &[Vec<u8>], name: &str, at: Timestamp) -> Result<(), rustls::Error> {
    let mut roots = RootCertStore::empty();
    roots.add(CertificateDer::from(root.to_vec())).expect("a root");
    let provider = Arc::new(rustls::crypto::ring::default_provider());
    let verifier = WebPkiServerVerifier::builder_with_provider(Arc::new(roots), provider).build();
    let chain: Vec<CertificateDer<'_>> = chain
        .iter()
        .map(|der| CertificateDer::from(der.clone()))
        .collect();
    let name = ServerName::try_from(name.to_owned()).expect("a name");
    let seconds = u64::try_from(at.as_second()).expect("after 1970");
    let at = UnixTime::since_unix_epoch(Duration::from_secs(seconds));
    let verifier = verifier.expect("a verifier");
    verifier
        .verify_server_cert(&chain[0], &chain[1..], &name, &[], at)
        .map(drop)
}

/// A certificate that somebody who got hold of the kept file makes for a name that is not the farm's.
fn forged(authority: &Authority, name: &str) -> Certificate {
    let text = authority.to_text();
    let mut kept: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    kept["hosts"] = serde_json::json!([name]);
    let other = Authority::from_text(&kept.to_string()).expect("it can be read");
    other.certificate(&hosts(&[name]), now()).expect("it signs")
}

#[test]
fn the_root_says_what_it_is_for_and_nothing_more() {
    let authority = authority(&["maple.local", "192.168.1.20"]);
    let chain = authority
        .certificate(authority.hosts(), now())
        .expect("one")
        .chain;
    for (der, below) in [(authority.root(), 1), (&chain[1], 0)] {
        let certificate = parsed(der);
        let basic = certificate.basic_constraints().expect("once").expect("there");
        assert!(basic.critical && basic.value.ca);
        assert_eq!(basic.value.path_len_constraint, Some(below));
        let usage = certificate.key_usage().expect("once").expect("there");
        assert!(usage.critical && usage.value.key_cert_sign() && usage.value.crl_sign());
        assert!(!usage.value.digital_signature());
        let names = certificate.name_constraints().expect("once").expect("there");
        assert!(names.critical);
        let permitted = names.value.permitted_subtrees.as_ref().expect("some");
        let permitted: Vec<&GeneralName<'_>> = permitted.iter().map(|subtree| &subtree.base).collect();
        assert_eq!(
            permitted,
            [
                &GeneralName::DNSName("maple.local"),
                &GeneralName::IPAddress(&[192, 168, 1, 20, 255, 255, 255, 255]),
            ]
        );
        // There is no address of the newer kind among the hosts, so all of them are excluded.
        let excluded = names.value.excluded_subtrees.as_ref().expect("some");
        assert!(matches!(excluded[..], [ref one] if one.base == GeneralName::IPAddress(&[0; 32])));
        let years = certificate.validity().not_after.timestamp() - now().as_second();
        assert!((1825 * 86400..=1828 * 86400).contains(&years), "{years}");
    }
    let root = parsed(authority.root());
    assert!(root.verify_signature(None).is_ok(), "the root signs itself");
    assert!(
        parsed(&chain[1])
            .verify_signature(Some(root.public_key()))
            .is_ok()
    );
    assert!(
        parsed(&chain[0])
            .verify_signature(Some(parsed(&chain[1]).public_key()))
            .is_ok()
    );
}

#[test]
fn this_machines_certificate_is_short_lived_and_for_its_hosts_alone() {
    let authority = authority(&["maple.local"]);
    let first = authority.certificate(authority.hosts(), now()).expect("one");
    let own = parsed(&first.chain[0]);
    assert!(!own.is_ca());
    let days = (own.validity().not_after.timestamp() - own.validity().not_before.timestamp()) / 86400;
    assert!((90..=397).contains(&days), "{days} days");
    let names = own.subject_alternative_name().expect("once").expect("there");
    assert!(matches!(
        names.value.general_names[..],
        [GeneralName::DNSName("maple.local")]
    ));
    let usage = own.extended_key_usage().expect("once").expect("there");
    assert!(usage.value.server_auth && !usage.value.client_auth);
    assert!(first.renew > now() && first.renew < in_days(90));
    let second = authority.certificate(authority.hosts(), now()).expect("another");
    assert_ne!(own.raw_serial(), parsed(&second.chain[0]).raw_serial());
    assert!(own.raw_serial().len() == 16 && own.raw_serial()[0] < 0x80);
    assert_ne!(first.key, second.key);
}

#[test]
fn the_farms_names_are_believed_and_no_others() {
    let authority = authority(&["maple.local", "192.168.1.20"]);
    let own = authority.certificate(authority.hosts(), now()).expect("one");
    for name in ["maple.local", "192.168.1.20"] {
        verdict(authority.root(), &own.chain, name, now()).expect(name);
    }
    for name in ["oak.local", "example.com", "192.168.1.21"] {
        assert!(
            verdict(authority.root(), &own.chain, name, now()).is_err(),
            "{name}"
        );
    }
}

#[test]
fn whoever_steals_the_kept_key_can_pass_for_no_other_name() {
    let authority = authority(&["maple.local"]);
    for name in [
        "bank.example",
        "oak.local",
        "maple.local.example",
        "xmaple.local",
        "192.168.1.20",
        "fd00::1",
    ] {
        let forged = forged(&authority, name);
        let believed = verdict(authority.root(), &forged.chain, name, now());
        assert!(believed.is_err(), "{name} was believed");
        // It is the constraint that stands in the way: the authority's own name passes the same road.
        let reason = format!("{believed:?}");
        assert!(reason.contains("NameConstraint"), "{name}: {reason}");
    }
    // A constraint on a name reaches the names below it, by the same standard.
    let below = forged(&authority, "phones.maple.local");
    verdict(authority.root(), &below.chain, "phones.maple.local", now()).expect("a name below");
}

#[test]
fn an_authority_for_an_address_vouches_for_no_name() {
    let authority = authority(&["192.168.1.20"]);
    let own = authority.certificate(authority.hosts(), now()).expect("one");
    verdict(authority.root(), &own.chain, "192.168.1.20", now()).expect("its address");
    for name in ["maple.local", "192.168.1.21", "fd00::1"] {
        let forged = forged(&authority, name);
        assert!(
            verdict(authority.root(), &forged.chain, name, now()).is_err(),
            "{name}"
        );
    }
}

#[test]
fn certificates_hold_from_just_before_they_were_made_until_their_end() {
    let authority = authority(&["maple.local"]);
    let own = authority.certificate(authority.hosts(), now()).expect("one");
    for (days, holds) in [(-4, false), (-1, true), (0, true), (89, true), (92, false)] {
        let judged = verdict(authority.root(), &own.chain, "maple.local", in_days(days));
        assert_eq!(judged.is_ok(), holds, "after {days} days: {judged:?}");
    }
    let later = authority
        .certificate(authority.hosts(), in_days(400))
        .expect("made anew");
    verdict(authority.root(), &later.chain, "maple.local", in_days(440)).expect("it was renewed");
}

#[test]
fn near_its_end_the_authority_says_so_and_after_it_vouches_for_nothing() {
    let authority = authority(&["maple.local"]);
    assert!(!authority.ends_soon(in_days(1700)));
    assert!(authority.ends_soon(in_days(1740)));
    let last = authority
        .certificate(authority.hosts(), in_days(1800))
        .expect("still");
    assert_eq!(last.until, authority.until(), "nothing outlives the authority");
    let after = authority.certificate(authority.hosts(), in_days(1830));
    assert!(matches!(after, Err(NotMade::Ended(_))));
    let before = authority.certificate(authority.hosts(), in_days(-40));
    assert!(matches!(before, Err(NotMade::TooEarly { .. })));
}

#[test]
fn it_is_asked_for_its_own_hosts_alone() {
    let authority = authority(&["maple.local"]);
    let other = authority.certificate(&hosts(&["oak.local"]), now());
    assert!(matches!(other, Err(NotMade::NotAllowed(_))));
    assert!(matches!(Authority::make("x", &[], now()), Err(NotMade::NoHost)));
}

#[test]
fn what_was_kept_is_read_back_as_the_same_authority() {
    let made = authority(&["maple.local", "fd00::1"]);
    let read = Authority::from_text(&made.to_text()).expect("it can be read");
    assert_eq!(
        (read.farm(), read.hosts(), read.made()),
        (made.farm(), made.hosts(), made.made())
    );
    assert_eq!(read.fingerprint(), made.fingerprint());
    let own = read.certificate(read.hosts(), now()).expect("one");
    verdict(made.root(), &own.chain, "maple.local", now()).expect("it is believed");
    verdict(made.root(), &own.chain, "fd00::1", now()).expect("it is believed");
    for text in [
        "",
        "{}",
        "[]",
        "{\"form\": 2}",
        &made.to_text().replace("BEGIN", "BEGUN"),
    ] {
        assert!(Authority::from_text(text).is_err(), "{text}");
    }
    assert!(!format!("{read:?}").contains("PRIVATE"));
}

#[test]
fn a_fingerprint_is_the_digest_that_phones_show() {
    let authority = authority(&["maple.local"]);
    let shown = authority.fingerprint().to_string();
    assert_eq!(shown.split(' ').count(), 32);
    assert!(
        shown
            .split(' ')
            .all(|pair| pair.len() == 2 && pair.bytes().all(|byte| byte.is_ascii_hexdigit()))
    );
    assert_ne!(shown, self::authority(&["maple.local"]).fingerprint().to_string());
}
