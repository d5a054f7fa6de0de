//! Books served on a port of this machine, for as long as the test runs.

use std::sync::{Arc, Mutex, PoisonError};

use app::pairing::{self, Code};
use app::{Fixed, Machine, Office, Surroundings, demo};
use jiff::Timestamp;
use jiff::civil::DateTime;
use store::SqliteStore;
use tempfile::TempDir;
use trust::Authority;
use web::{Desk, Doors, Lan, Setup};

/// What phones call the machine of the tests.
pub(crate) const HOST: &str = "maple.local";

/// Books that are being served.
pub(crate) struct Served {
    /// The port that they are served on.
    pub(crate) port: u16,
    /// The port for paired phones; 0 where there is none.
    pub(crate) port_beyond: u16,
    clock: Option<Clock>,
    folder: TempDir,
}

impl Served {
    /// The demo books, on the day on which they are opened.
    pub(crate) fn demo() -> Self {
        let (folder, store) = file();
        let office = demo::write(store).expect("the demo books are written");
        Self::start(office, folder, "demo.books", demo::TODAY.at(8, 0, 0, 0), None)
    }

    /// The demo books, with pages that speak of paired phones as if they were served at the usual port.
    pub(crate) fn demo_beyond() -> Self {
        let (folder, store) = file();
        let office = demo::write(store).expect("the demo books are written");
        let clock = Clock(Arc::new(Mutex::new(Fixed::new(demo::TODAY.at(8, 0, 0, 0), 2))));
        Self::start_beyond(office, folder, Box::new(clock), Some(web::LAN_PORT))
    }

    /// Books with these notes in them, served to paired phones too, under another name than this machine's own. The
    /// clock is the machine's: a browser holds the days of a certificate against its own.
    pub(crate) fn beyond(lines: &str) -> Self {
        let (folder, store) = file();
        let office = written(store, lines, &mut Machine::default());
        Self::start_beyond(office, folder, Box::new(Machine::default()), None)
    }

    /// Books with these notes in them, opened at this time, that are asked for at another port than they are served
    /// on: something stands between.
    pub(crate) fn behind(port: u16, lines: &str, now: DateTime) -> Self {
        let (folder, store) = file();
        let office = written(store, lines, &mut Fixed::new(now, 1));
        Self::start(office, folder, "field.books", now, Some(port))
    }

    /// Books without a note, opened at this time.
    pub(crate) fn empty(now: DateTime) -> Self {
        let (folder, store) = file();
        let mut surroundings = Fixed::new(now, 1);
        let device = ledger::Device::new("kitchen").expect("a name");
        let office = Office::open(store, Some(device), &mut surroundings).expect("the books open");
        Self::start(office, folder, "season.books", now, None)
    }

    fn start(office: Office, folder: TempDir, name: &str, now: DateTime, asked_at: Option<u16>) -> Self {
        let doors = Doors::open(Some(0)).expect("a free port");
        let port = doors.port;
        let clock = Clock(Arc::new(Mutex::new(Fixed::new(now, 2))));
        let setup = Setup {
            port: asked_at.unwrap_or(port),
            name: name.to_owned(),
        };
        let desk = Desk::new(office, Box::new(clock.clone()), setup);
        // It ends with the process.
        std::thread::spawn(move || web::serve(doors, desk).expect("the pages are served"));
        let (port_beyond, clock) = (0, Some(clock));
        Self {
            port,
            port_beyond,
            clock,
            folder,
        }
    }

    fn start_beyond(
        office: Office,
        folder: TempDir,
        surroundings: Box<dyn Surroundings + Send>,
        told: Option<u16>,
    ) -> Self {
        let mut doors = Doors::open(Some(0)).expect("a free port");
        let port = doors.port;
        let here = std::net::Ipv4Addr::LOCALHOST.into();
        let port_beyond = doors.open_beyond(Some(here), 0).expect("a free port");
        let hosts = vec![HOST.parse().expect("a name")];
        let now = Timestamp::from_millisecond(surroundings.now_ms()).expect("a time");
        let lan = Lan {
            port: told.unwrap_or(port_beyond),
            authority: Authority::make("Linnowdale", &hosts, now).expect("an authority"),
            hosts,
        };
        let name = "some.books".to_owned();
        let desk = Desk::new(office, surroundings, Setup { port, name }).beyond(lan);
        // It ends with the process.
        std::thread::spawn(move || web::serve(doors, desk).expect("the pages are served"));
        Self {
            port,
            port_beyond,
            clock: None,
            folder,
        }
    }

    /// The whole address of a page, as a phone opens it.
    pub(crate) fn address_beyond(&self, scheme: &str, path: &str) -> String {
        format!("{scheme}://{HOST}:{}{path}", self.port_beyond)
    }

    /// A code for a phone, as `combwright pair` makes one while the pages are served.
    pub(crate) fn code(&self) -> Code {
        let mut machine = Machine::default();
        let random = machine.random();
        pairing::make_code(&self.office(), machine.now_ms(), &random).expect("a code")
    }

    /// The phones that were paired are stopped, as `combwright devices stop-all` does it.
    pub(crate) fn stops_all(&self) -> usize {
        pairing::stop_all(&self.office(), Machine::default().now_ms()).expect("they are stopped")
    }

    /// The books, opened by another program.
    fn office(&self) -> Office {
        let store = SqliteStore::open(&self.folder.path().join("some.books")).expect("the books");
        Office::open(Box::new(store), None, &mut Machine::default()).expect("the books open")
    }

    /// The whole address of a page.
    pub(crate) fn address(&self, path: &str) -> String {
        format!("http://127.0.0.1:{}{path}", self.port)
    }

    /// What is in the books, as another program finds it in their file: a line for each entry, and what it came
    /// from.
    pub(crate) fn entries(&self) -> Vec<(String, String)> {
        let store = SqliteStore::open_read_only(&self.folder.path().join("some.books")).expect("the books");
        let mut office = Office::open_for_answers(Box::new(store)).expect("the books open");
        let lines = office
            .as_lines()
            .into_iter()
            .filter(|line| !line.starts_with('#'));
        let lines: Vec<String> = lines.collect();
        let origins = office.library().books().entries().iter();
        let origins = origins.map(|entry| entry.envelope.origin.to_string());
        lines.into_iter().zip(origins).collect()
    }

    /// The size of each attachment, by its digest.
    pub(crate) fn attachments(&self) -> std::collections::BTreeMap<String, u64> {
        let store = SqliteStore::open_read_only(&self.folder.path().join("some.books")).expect("the books");
        let farm = ledger::Store::farms(&store).expect("farms")[0];
        let all = ledger::Store::attachments(&store, farm).expect("a list");
        all.into_iter()
            .map(|(digest, size)| (digest.to_string(), size))
            .collect()
    }

    /// Sets the clock of the pages.
    pub(crate) fn set_clock(&self, now: DateTime) {
        let clock = self.clock.as_ref().expect("a clock that can be set");
        clock.with(|fixed| fixed.set(now));
    }
}

/// New books with these notes in them.
fn written(store: Box<SqliteStore>, lines: &str, surroundings: &mut dyn Surroundings) -> Office {
    let device = ledger::Device::new("laptop").expect("a name");
    let mut office = Office::open(store, Some(device), surroundings).expect("the books open");
    let lines: Vec<&str> = lines.lines().collect();
    let outcome = office.write(&lines, &app::Writing::default(), surroundings);
    let outcome = outcome.expect("the notes are written");
    assert!(outcome.refused.is_empty(), "refused: {:?}", outcome.refused);
    office
}

fn file() -> (TempDir, Box<SqliteStore>) {
    let folder = TempDir::new().expect("a folder for the books");
    let store = SqliteStore::create(&folder.path().join("some.books")).expect("new books");
    (folder, Box::new(store))
}

/// A clock that stands still until it is set, with randomness that is the same on every run.
#[derive(Clone)]
struct Clock(Arc<Mutex<Fixed>>);

impl Clock {
    fn with<T>(&self, act: impl FnOnce(&mut Fixed) -> T) -> T {
        act(&mut self.0.lock().unwrap_or_else(PoisonError::into_inner))
    }
}

impl Surroundings for Clock {
    fn now(&self) -> DateTime {
        self.with(|fixed| fixed.now())
    }

    fn now_ms(&self) -> i64 {
        self.with(|fixed| fixed.now_ms())
    }

    fn random(&mut self) -> [u8; 32] {
        self.with(|fixed| fixed.random())
    }
}
