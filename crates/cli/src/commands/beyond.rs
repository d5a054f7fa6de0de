//! Beyond this machine: the keys of the farm's authority, pairing a phone from the terminal, and the list of
//! machines that were paired.
//!
//! Holds true: the keys lie in a file of their own that nobody else may read, never in the books; what is said of
//! a port or a name that cannot be used says what to do about it.

use std::fs::{self, OpenOptions};
use std::io::{ErrorKind, Write as _};
use std::net::{IpAddr, Ipv4Addr, SocketAddr, TcpStream, UdpSocket};
use std::path::{Path, PathBuf};
use std::time::Duration;

use app::pairing::{self, Paired, Place};
use app::{Office, Surroundings as _};
use jiff::{SignedDuration, Timestamp};
use serde_json::json;
use trust::{Authority, Host, NotMade};
use web::{Doors, Lan};

use super::opening::{office_for_changes, surroundings};
use crate::args::{Args, Devices, LanArgs};
use crate::exit::{Failure, capital};
use crate::output::Said;

/// What stands behind the name of the books in the name of the file of keys.
pub(super) const KEYS: &str = ".keys";

/// How long it is waited whether somebody answers at a port.
const ANSWERS_WITHIN: Duration = Duration::from_secs(2);

/// Opens the doors beyond this machine, with what vouches for it.
pub(crate) fn open(args: &Args, asked: &LanArgs, office: &Office, doors: &mut Doors) -> Result<Lan, Failure> {
    let keys = keys_path(&args.books_path());
    let kept = read_keys(&keys)?;
    let hosts = match (&kept, asked.called.as_slice()) {
        // Phones keep what they know under the address: without a word it stays what it was.
        (Some(authority), []) => authority.hosts().to_vec(),
        (None, []) => vec![own_name()?],
        (_, called) => called.to_vec(),
    };
    let now = now(args)?;
    let authority = match kept {
        Some(authority) => authority,
        None => make(&keys, &farm(args, office), &hosts, now)?,
    };
    // Tried once, so that what is wrong is said before anything is served.
    authority
        .certificate(&hosts, now)
        .map_err(|error| not_made(&error, &authority, &hosts))?;
    let wanted = asked.lan_port.unwrap_or(web::LAN_PORT);
    let port = doors
        .open_beyond(asked.on, wanted)
        .map_err(|error| no_port(asked, wanted, &error))?;
    let lan = Lan {
        hosts,
        port,
        authority,
    };
    let place = Place {
        at: format!("{}:{port}", lan.hosts[0]),
        port,
        fingerprint: lan.authority.fingerprint().to_string(),
    };
    pairing::remember_place(office, &place)?;
    Ok(lan)
}

/// What is said of the doors beyond this machine when they are opened.
pub(crate) fn announced(lan: &Lan, args: &Args) -> String {
    let at = format!("{}:{}", lan.hosts[0], lan.port);
    let mut says = format!(
        "For paired phones they are at https://{at}/ as well. To pair one, open /pair at this machine or type \
         “combwright pair”.\n"
    );
    if lan.authority.ends_soon(now(args).unwrap_or(Timestamp::MAX)) {
        says.push_str(&format!(
            "The farm's certificate ends on {}. Make a new one before with “combwright devices new-authority”.\n",
            lan.authority.until()
        ));
    }
    let addresses = own_addresses();
    let lost = lan.hosts.iter().find(|host| match host {
        Host::Name(_) => false,
        Host::Address(address) => !addresses.is_empty() && !addresses.contains(address),
    });
    if let Some(host) = lost {
        let now: Vec<String> = addresses.iter().map(ToString::to_string).collect();
        says.push_str(&format!(
            "The address of this machine seems to be {} now, not {host}: phones do not find it. Let the router give \
             it {host} again, since phones keep their page and what waits to be sent under that address.\n",
            now.join(" or ")
        ));
    }
    if addresses.is_empty() {
        says.push_str("This machine seems to be in no network: phones find it once it is.\n");
    }
    says
}

/// `pair`: a code, and the addresses, for the terminal.
pub(crate) fn pair(args: &Args) -> Result<Said, Failure> {
    let office = office_for_changes(args)?;
    let Some(place) = pairing::place(&office)? else {
        return Err(Failure::Refused(
            "These books were never served beyond this machine. Start “combwright open --lan”, leave it running, and \
             pair from another window or at its page /pair."
                .to_owned(),
        ));
    };
    let mut surroundings = surroundings(args);
    let (now_ms, random) = (surroundings.now_ms(), surroundings.random());
    let code = pairing::make_code(&office, now_ms, &random)?;
    let (first, second) = (
        format!("http://{}/", place.at),
        format!("https://{}/pair#{}", place.at, code.text),
    );
    let mut text = format!(
        "1. Once on each phone: open {first} and take the farm's certificate in, as that page explains. Go on only \
         where the phone shows this fingerprint:\n\n{}\n\n{}\n",
        lines(&place.fingerprint),
        page::code::half_blocks(&first)
    );
    text.push_str(&format!(
        "2. Within ten minutes open {second} on the phone, or type the code there:\n\n    {}\n\n{}",
        code.text,
        page::code::half_blocks(&second)
    ));
    if !answers(&place) {
        text.push_str(&format!(
            "\nNothing answers at port {} of this machine now: start “combwright open --lan” in another window.\n",
            place.port
        ));
    }
    let json = json!({
        "instructions": first, "pair": second, "code": code.text, "until_ms": code.until_ms,
        "fingerprint_sha256": place.fingerprint,
    });
    Ok(Said::new(text, json))
}

/// `devices`: who was paired, and stopping them.
pub(crate) fn devices(args: &Args, what: Option<&Devices>) -> Result<Said, Failure> {
    let office = office_for_changes(args)?;
    let now_ms = surroundings(args).now_ms();
    match what {
        None => list(args, &office),
        Some(Devices::Stop { id }) => match pairing::stop(&office, id, now_ms)? {
            true => Ok(Said::new(
                format!(
                    "{id} was stopped. It gets no answer from now on; what waits on it to be sent stays on it.\n"
                ),
                json!({ "stopped": [id] }),
            )),
            false => Err(Failure::Refused(format!(
                "No machine called {id} can be stopped: there is none, or it was stopped already. “combwright devices” \
                 lists them."
            ))),
        },
        Some(Devices::StopAll) => {
            let stopped = pairing::stop_all(&office, now_ms)?;
            let machines = if stopped == 1 {
                "machine was"
            } else {
                "machines were"
            };
            Ok(Said::new(
                format!("{stopped} {machines} stopped, and no code is open.\n"),
                json!({ "stopped": stopped }),
            ))
        }
        Some(Devices::NewAuthority { called }) => renew(args, &office, called),
    }
}

fn renew(args: &Args, office: &Office, called: &[Host]) -> Result<Said, Failure> {
    let keys = keys_path(&args.books_path());
    // A file that cannot be read is a reason to make a new one, not to refuse.
    let old = read_keys(&keys).ok().flatten();
    let hosts = match (called, &old) {
        ([], Some(old)) => old.hosts().to_vec(),
        ([], None) => vec![own_name()?],
        (called, _) => called.to_vec(),
    };
    let authority = make(&keys, &farm(args, office), &hosts, now(args)?)?;
    let stopped = pairing::stop_all(office, surroundings(args).now_ms())?;
    let fingerprint = authority.fingerprint().to_string();
    let text = format!(
        "A new authority for {} was made, and the key of the old one is gone. Its fingerprint:\n\n{}\n\nStart \
         “combwright open --lan” anew. Every phone has to take the new certificate in and to be paired again \
         ({stopped} stopped); take the old certificate out of its settings.\n",
        names(&hosts),
        lines(&fingerprint)
    );
    let json = json!({ "fingerprint_sha256": fingerprint, "until": authority.until().to_string(), "stopped": stopped });
    Ok(Said::new(text, json))
}

fn list(args: &Args, office: &Office) -> Result<Said, Failure> {
    let list = pairing::list(office)?;
    let told = |paired: &Paired| {
        let by = if paired.by.is_empty() {
            "nobody in particular"
        } else {
            &paired.by
        };
        let seen = paired.seen_ms.map_or_else(
            || "never seen".to_owned(),
            |ms| format!("last seen {}", local(args, ms)),
        );
        let stopped = paired
            .stopped_ms
            .map_or_else(String::new, |ms| format!(", stopped {}", local(args, ms)));
        format!(
            "{}  {}, writes as {by}, paired {}, {seen}{stopped}\n",
            paired.id,
            paired.name,
            local(args, paired.since_ms)
        )
    };
    let text: String = match list.as_slice() {
        [] => "No machine was paired yet. “combwright open --lan” and “combwright pair” do it.\n".to_owned(),
        list => list.iter().map(told).collect(),
    };
    let json = |paired: &Paired| {
        json!({
            "id": paired.id, "name": paired.name, "by": paired.by, "since_ms": paired.since_ms,
            "seen_ms": paired.seen_ms, "stopped_ms": paired.stopped_ms,
        })
    };
    Ok(Said::new(
        text,
        json!({ "devices": list.iter().map(json).collect::<Vec<_>>() }),
    ))
}

/// A moment in the local time of this machine.
fn local(args: &Args, ms: i64) -> String {
    let surroundings = surroundings(args);
    let since = SignedDuration::from_millis(ms - surroundings.now_ms());
    surroundings
        .now()
        .saturating_add(since)
        .strftime("%Y-%m-%d %H:%M")
        .to_string()
}

fn now(args: &Args) -> Result<Timestamp, Failure> {
    // Phones judge by the true time, so `--now` has no say in it.
    Timestamp::from_millisecond(surroundings(args).now_ms())
        .map_err(|error| Failure::Place(format!("The clock of this machine cannot be read: {error}.")))
}

fn farm(args: &Args, office: &Office) -> String {
    let reader = office.reader(None, surroundings(args).today());
    reader
        .holding()
        .ground
        .farm
        .clone()
        .unwrap_or_else(|| "Combwright".to_owned())
}

fn names(hosts: &[Host]) -> String {
    hosts
        .iter()
        .map(Host::to_string)
        .collect::<Vec<_>>()
        .join(" and ")
}

/// A fingerprint in two lines, as phones show it.
fn lines(fingerprint: &str) -> String {
    let pairs: Vec<&str> = fingerprint.split(' ').collect();
    let lines: Vec<String> = pairs
        .chunks(16)
        .map(|pairs| format!("    {}", pairs.join(" ")))
        .collect();
    lines.join("\n")
}

fn keys_path(books: &Path) -> PathBuf {
    let mut name = books.as_os_str().to_owned();
    name.push(KEYS);
    PathBuf::from(name)
}

fn read_keys(path: &Path) -> Result<Option<Authority>, Failure> {
    let text = match fs::read_to_string(path) {
        Ok(text) => text,
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(None),
        Err(error) => return Err(Failure::File(path.display().to_string(), error)),
    };
    narrow(path).map_err(|error| Failure::File(path.display().to_string(), error))?;
    let read = Authority::from_text(&text);
    read.map(Some).map_err(|error| {
        Failure::Place(format!(
            "{}: {error}. Put the right file back, or make a new authority with “combwright devices new-authority”; \
             then every phone has to be paired again.",
            path.display()
        ))
    })
}

/// A file of keys that was copied or put back may be open to others; from now on only this user reads it.
#[cfg(unix)]
fn narrow(path: &Path) -> std::io::Result<()> {
    use std::os::unix::fs::PermissionsExt as _;
    let rights = fs::metadata(path)?.permissions();
    if rights.mode() & 0o077 == 0 {
        return Ok(());
    }
    fs::set_permissions(path, fs::Permissions::from_mode(0o600))
}

/// Here the folder decides who reads the keys.
#[cfg(not(unix))]
fn narrow(_: &Path) -> std::io::Result<()> {
    Ok(())
}

fn make(path: &Path, farm: &str, hosts: &[Host], now: Timestamp) -> Result<Authority, Failure> {
    let authority = Authority::make(farm, hosts, now)
        .map_err(|error| Failure::Place(format!("{}.", capital(&error.to_string()))))?;
    write_keys(path, &authority.to_text())
        .map_err(|error| Failure::File(path.display().to_string(), error))?;
    Ok(authority)
}

/// Writes the keys where only this user reads them, whole or not at all. On systems without such rights the folder
/// decides who reads them.
fn write_keys(path: &Path, text: &str) -> std::io::Result<()> {
    let mut name = path.as_os_str().to_owned();
    name.push("-new");
    let new = PathBuf::from(name);
    match fs::remove_file(&new) {
        Err(error) if error.kind() != ErrorKind::NotFound => return Err(error),
        _ => {}
    }
    let mut options = OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    {
        use std::os::unix::fs::OpenOptionsExt as _;
        options.mode(0o600);
    }
    let mut file = options.open(&new)?;
    file.write_all(text.as_bytes())?;
    file.sync_all()?;
    drop(file);
    fs::rename(&new, path)
}

/// The name that the local network may know this machine by.
fn own_name() -> Result<Host, Failure> {
    let name = gethostname::gethostname().to_string_lossy().into_owned();
    let first = name.split('.').next().unwrap_or_default();
    format!("{first}.local").parse().map_err(|error| {
        Failure::Place(format!(
            "The name of this machine cannot be used: {error}. Give a name or an address with --called, such as \
             --called maple.local or --called 192.168.1.20."
        ))
    })
}

/// The addresses by which this machine would go out. Nothing is sent: the system is only asked for its way
/// (to addresses that are kept free for documentation, RFC 5737 and RFC 3849).
fn own_addresses() -> Vec<IpAddr> {
    let way = |from: &str, to: &str| {
        let socket = UdpSocket::bind((from, 0)).ok()?;
        socket.connect((to, 9)).ok()?;
        Some(socket.local_addr().ok()?.ip())
    };
    let ways = [way("0.0.0.0", "192.0.2.1"), way("::", "2001:db8::1")];
    ways.into_iter()
        .flatten()
        .filter(|address| !address.is_loopback())
        .collect()
}

fn answers(place: &Place) -> bool {
    let host = place.at.rsplit_once(':').map_or("", |(host, _)| host);
    let own = host.trim_matches(['[', ']']).parse::<IpAddr>();
    let at = [Some(IpAddr::V4(Ipv4Addr::LOCALHOST)), own.ok()];
    at.into_iter()
        .flatten()
        .chain(own_addresses())
        .any(|at| TcpStream::connect_timeout(&SocketAddr::new(at, place.port), ANSWERS_WITHIN).is_ok())
}

fn not_made(error: &NotMade, authority: &Authority, hosts: &[Host]) -> Failure {
    let says = capital(&error.to_string());
    Failure::Place(match error {
        NotMade::NotAllowed(_) => format!(
            "{says}, only for {}. Serve that with --called, or make an authority for {} with “combwright devices \
             new-authority --called …”; then every phone has to be paired again.",
            names(authority.hosts()),
            names(hosts)
        ),
        NotMade::Ended(_) => format!(
            "{says}. Make a new one with “combwright devices new-authority”; then every phone has to be paired again. \
             If the date of this machine is wrong, set its clock instead."
        ),
        NotMade::TooEarly { .. } => {
            format!(
                "{says}. Set the clock of this machine: phones refuse a certificate that is not valid yet."
            )
        }
        NotMade::NoHost | NotMade::Failed(_) => format!("{says}."),
    })
}

fn no_port(asked: &LanArgs, port: u16, error: &std::io::Error) -> Failure {
    let own = "Phones keep their page and what waits to be sent under that port, so no other is taken in its place.";
    Failure::Place(match (error.kind(), asked.on) {
        (ErrorKind::AddrInUse, _) => format!(
            "Port {port} is taken by another program, perhaps these pages in another window. End that one. {own} If no \
             phone is paired yet, choose another with --lan-port."
        ),
        (ErrorKind::AddrNotAvailable, Some(on)) => {
            format!(
                "{on} is not an address of this machine now. Leave --on out, or look the address up again."
            )
        }
        _ => format!("Port {port} cannot be used beyond this machine: {error}. {own}"),
    })
}

#[cfg(all(test, unix))]
mod tests {
    use std::os::unix::fs::PermissionsExt as _;

    use super::*;

    #[test]
    fn only_this_user_reads_the_keys_even_when_they_were_put_back_by_a_copy() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("farm.books-keys");
        let host: Host = "books.home.arpa".parse().expect("a host");
        let now = Timestamp::from_second(1_795_000_000).expect("a moment");
        make(&path, "Sallowford", &[host], now).expect("an authority");
        let rights = || {
            let rights = fs::metadata(&path).expect("the file").permissions();
            rights.mode() & 0o777
        };
        assert_eq!(rights(), 0o600);
        fs::set_permissions(&path, fs::Permissions::from_mode(0o644)).expect("rights");
        assert!(read_keys(&path).expect("it is read").is_some());
        assert_eq!(rights(), 0o600);
    }
}
