//! Measures how long a browser waits for each page, with many browsers at once. Run it through
//! `cargo xtask bench`.
//!
//! `load FILE [--clients N] [--rounds N]` serves the books in FILE on a free port and asks for every page from so
//! many clients at once, each with a connection of its own; it prints a line for each page.

#![expect(clippy::print_stdout, reason = "a benchmark prints what it measured")]
#![expect(clippy::disallowed_methods, reason = "a benchmark reads the clock")]

use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::TcpStream;
use std::path::Path;
use std::sync::Mutex;
use std::time::{Duration, Instant};

use app::{Fixed, Office};
use jiff::civil::date;
use store::SqliteStore;
use web::{Desk, Doors, Setup};

type Failure = Box<dyn std::error::Error + Send + Sync>;

#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

/// The longest that one in a hundred answers may take, in milliseconds.
const BUDGET_MS: f64 = 50.0;

fn main() -> Result<(), Failure> {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let file = args
        .first()
        .ok_or("say which books: load FILE [--clients N] [--rounds N]")?;
    let number = |name: &str, usual: usize| {
        let at = args.iter().position(|arg| arg == name);
        at.and_then(|at| args.get(at + 1)?.parse().ok()).unwrap_or(usual)
    };
    measure(Path::new(file), number("--clients", 20), number("--rounds", 30))
}

fn measure(file: &Path, clients: usize, rounds: usize) -> Result<(), Failure> {
    let store = SqliteStore::open(file)?;
    let mut surroundings = Fixed::new(date(2026, 11, 22).at(8, 0, 0, 0), 1);
    let mut office = Office::open(Box::new(store), None, &mut surroundings)?;
    let entries = office.library().books().entries().len();
    let paths = paths(&mut office);
    let doors = Doors::open(Some(0))?;
    let port = doors.port;
    let setup = Setup {
        port,
        ..Setup::default()
    };
    let desk = Desk::new(office, Box::new(surroundings), setup);
    std::thread::spawn(move || web::serve(doors, desk));
    println!("{entries} entries, {clients} clients, {rounds} times each page");
    println!(
        "{:<44} {:>8} {:>8} {:>8} {:>9}",
        "page", "p50 ms", "p99 ms", "worst ms", "KiB"
    );
    let mut worst = 0.0_f64;
    for path in &paths {
        // The first answer after a change works out what the later ones share; it is counted apart.
        let begun = Instant::now();
        let bytes = Client::new(port)?.get(path)?;
        let first = begun.elapsed();
        let mut took = all_at_once(port, path, clients, rounds)?;
        took.sort_unstable();
        let at = |share: f64| ms(took[((took.len() - 1) as f64 * share) as usize]);
        worst = worst.max(at(0.99));
        println!(
            "{path:<44} {:>8.2} {:>8.2} {:>8.2} {:>9.1}   (alone, the first time: {:.2} ms)",
            at(0.5),
            at(0.99),
            at(1.0),
            bytes as f64 / 1024.0,
            ms(first)
        );
    }
    println!("any page, p99, {clients} clients: {worst:.1} ms (budget {BUDGET_MS} ms)");
    Ok(())
}

/// Every kind of page, with names from the books.
fn paths(office: &mut Office) -> Vec<String> {
    let today = date(2026, 11, 22);
    let reader = office.reader(None, today);
    let h = reader.holding();
    let last = |names: &mut dyn Iterator<Item = &str>| names.last().unwrap_or_default().to_owned();
    let hive = last(&mut h.hive_labels.names());
    let lot = last(&mut h.stock.lot_labels.names());
    let pail = last(&mut h.house.vessel_labels.names());
    let yard = last(&mut h.ground.yard_labels.names());
    let note = reader.entry(reader.books().entries().len() / 2).handle();
    let day = h.day.unwrap_or(today);
    vec![
        "/".to_owned(),
        "/yard".to_owned(),
        format!("/round/{yard}"),
        "/calendar".to_owned(),
        "/swarms".to_owned(),
        format!("/hive/{hive}"),
        format!("/hive/{hive}?on={day}"),
        "/honey".to_owned(),
        format!("/container/{pail}"),
        format!("/lot/{lot}"),
        "/stall".to_owned(),
        "/money".to_owned(),
        "/books".to_owned(),
        "/books?part=1000".to_owned(),
        "/books?find=queen".to_owned(),
        "/books/complaints".to_owned(),
        format!("/books/note/{}/{}", note.device, note.number),
        "/books/people".to_owned(),
        "/sources".to_owned(),
        "/why/cash".to_owned(),
        "/why/cost".to_owned(),
        format!("/why/hive/{hive}"),
        "/write".to_owned(),
        "/write/look".to_owned(),
    ]
}

fn all_at_once(port: u16, path: &str, clients: usize, rounds: usize) -> Result<Vec<Duration>, Failure> {
    let took = Mutex::new(Vec::with_capacity(clients * rounds));
    let failed = Mutex::new(None);
    std::thread::scope(|scope| {
        for _ in 0..clients {
            scope.spawn(|| match one_client(port, path, rounds) {
                Ok(own) => took.lock().map(|mut took| took.extend(own)).unwrap_or_default(),
                Err(error) => *failed.lock().expect("BUG: no client stops while it tells") = Some(error),
            });
        }
    });
    match failed.into_inner().ok().flatten() {
        Some(error) => Err(error),
        None => Ok(took.into_inner().unwrap_or_default()),
    }
}

fn one_client(port: u16, path: &str, rounds: usize) -> Result<Vec<Duration>, Failure> {
    let mut client = Client::new(port)?;
    let mut took = Vec::with_capacity(rounds);
    for _ in 0..rounds {
        let begun = Instant::now();
        client.get(path)?;
        took.push(begun.elapsed());
    }
    Ok(took)
}

/// A browser's connection, kept open.
struct Client {
    stream: BufReader<TcpStream>,
    port: u16,
}

impl Client {
    fn new(port: u16) -> Result<Self, Failure> {
        let stream = TcpStream::connect(("127.0.0.1", port))?;
        stream.set_nodelay(true)?;
        Ok(Self {
            stream: BufReader::new(stream),
            port,
        })
    }

    /// Asks for a page and reads it to its end; says how many bytes it has.
    fn get(&mut self, path: &str) -> Result<usize, Failure> {
        let ask = format!("GET {path} HTTP/1.1\r\nHost: 127.0.0.1:{}\r\n\r\n", self.port);
        self.stream.get_mut().write_all(ask.as_bytes())?;
        let mut line = String::new();
        self.stream.read_line(&mut line)?;
        if !line.contains(" 200 ") {
            return Err(format!("{path}: {}", line.trim()).into());
        }
        let mut length = None;
        loop {
            line.clear();
            self.stream.read_line(&mut line)?;
            if line.trim().is_empty() {
                break;
            }
            if let Some(of) = line.to_ascii_lowercase().strip_prefix("content-length:") {
                length = of.trim().parse().ok();
            }
        }
        let length: usize = length.ok_or("an answer without its length")?;
        let mut body = vec![0; length];
        self.stream.read_exact(&mut body)?;
        Ok(length)
    }
}

fn ms(time: Duration) -> f64 {
    time.as_secs_f64() * 1000.0
}
