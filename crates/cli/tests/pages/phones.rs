//! The door for phones, over real sockets: told what to do before it is trusted, and kept out before it is paired.

use std::io::{Read, Write};
use std::net::TcpStream;
use std::sync::Arc;
use std::time::Duration;

use rustls::pki_types::{CertificateDer, ServerName};
use rustls::{ClientConfig, ClientConnection, RootCertStore, StreamOwned};

use super::{Open, command};

/// What phones call the machine in this test; it is led to this machine by the test itself.
const NAME: &str = "toft.test";

fn connect(port: u16) -> TcpStream {
    let stream = TcpStream::connect(("127.0.0.1", port)).expect("an open door");
    stream
        .set_read_timeout(Some(Duration::from_secs(30)))
        .expect("a time limit");
    stream
}

/// Head and body of what is answered to this.
fn ask(stream: &mut (impl Read + Write), port: u16, path: &str) -> (String, Vec<u8>) {
    let request = format!("GET {path} HTTP/1.1\r\nHost: {NAME}:{port}\r\nConnection: close\r\n\r\n");
    stream.write_all(request.as_bytes()).expect("it listens");
    let mut bytes = Vec::new();
    // A door that is shut without a farewell has still said all.
    let _ = stream.read_to_end(&mut bytes);
    let end = bytes
        .windows(4)
        .position(|four| four == b"\r\n\r\n")
        .expect("a head");
    let head = String::from_utf8_lossy(&bytes[..end]).into_owned();
    (head, bytes[end + 4..].to_vec())
}

/// A phone that has taken in the farm's certificate, or another one.
fn encrypted(certificate: Vec<u8>, port: u16) -> StreamOwned<ClientConnection, TcpStream> {
    let mut roots = RootCertStore::empty();
    roots
        .add(CertificateDer::from(certificate))
        .expect("a certificate");
    let config = ClientConfig::builder()
        .with_root_certificates(roots)
        .with_no_client_auth();
    let name = ServerName::try_from(NAME).expect("a name");
    let client = ClientConnection::new(Arc::new(config), name).expect("a client");
    StreamOwned::new(client, connect(port))
}

#[test]
fn a_phone_is_told_what_to_do_and_kept_out_until_it_is_paired() {
    let folder = tempfile::tempdir().expect("a folder");
    let free = std::net::TcpListener::bind("127.0.0.1:0").expect("a port");
    let port = free.local_addr().expect("an address").port();
    drop(free);
    let note = command(folder.path(), &["note", "2026-03-01 yard orchard"]).output();
    assert!(note.expect("it runs").status.success());
    let lan_port = port.to_string();
    let mut open = Open::new(
        folder.path(),
        &[
            "open",
            "--port",
            "0",
            "--lan",
            "--on",
            "127.0.0.1",
            "--lan-port",
            &lan_port,
            "--called",
            NAME,
        ],
    );
    let mut line = String::new();
    std::io::BufRead::read_line(&mut open.out, &mut line).expect("a line");
    assert!(line.contains(&format!("https://{NAME}:{port}/")), "{line}");

    // Before it trusts the farm: what to do, and nothing of the books.
    let (head, body) = ask(&mut connect(port), port, "/");
    assert!(head.starts_with("HTTP/1.1 200"), "{head}");
    let told = String::from_utf8_lossy(&body).into_owned();
    assert!(
        told.contains("href=\"/ca.crt\"") && !told.contains("orchard"),
        "{told}"
    );
    let (_, body) = ask(&mut connect(port), port, "/yard");
    assert!(!String::from_utf8_lossy(&body).contains("orchard"));
    let (head, certificate) = ask(&mut connect(port), port, "/ca.crt");
    assert!(head.starts_with("HTTP/1.1 200"), "{head}");

    // Trusting it, but not paired: nothing of the books on any page.
    for path in [
        "/",
        "/yard",
        "/field/pack.json",
        "/calendar.ics",
        "/print/cards.pdf",
    ] {
        let (head, body) = ask(&mut encrypted(certificate.clone(), port), port, path);
        assert!(head.starts_with("HTTP/1.1 401"), "{path}: {head}");
        assert!(!String::from_utf8_lossy(&body).contains("orchard"), "{path}");
    }
    assert_eq!(open.end("-TERM").code(), Some(0));
}

/// Whoever trusts another authority is not spoken to.
#[test]
fn another_authority_vouches_for_nothing() {
    let folders = [(); 2].map(|()| tempfile::tempdir().expect("a folder"));
    let mut doors = Vec::new();
    for folder in &folders {
        let free = std::net::TcpListener::bind("127.0.0.1:0").expect("a port");
        let port = free.local_addr().expect("an address").port();
        drop(free);
        let lan_port = port.to_string();
        let args = [
            "open",
            "--port",
            "0",
            "--lan",
            "--on",
            "127.0.0.1",
            "--lan-port",
            &lan_port,
            "--called",
            NAME,
        ];
        doors.push((Open::new(folder.path(), &args), port));
    }
    let certificate = |port| ask(&mut connect(port), port, "/ca.crt").1;
    let (own, others) = (certificate(doors[0].1), certificate(doors[1].1));
    assert_ne!(own, others);
    let mut phone = encrypted(others, doors[0].1);
    let wrong = phone
        .write_all(b"GET / HTTP/1.1\r\n\r\n")
        .and_then(|()| phone.flush());
    let wrong = wrong.expect_err("it is not trusted").to_string();
    assert!(wrong.contains("certificate"), "{wrong}");
    for (open, _) in doors {
        assert_eq!(open.end("-TERM").code(), Some(0));
    }
}
