//! How long it takes to read, index and judge so many entries: `ledger_speed [COUNT]`.
#![expect(clippy::print_stdout, reason = "this program is there to print")]
#![expect(clippy::disallowed_methods, reason = "measuring needs a clock")]

use ledger::{Act, Books, Device, Digest, Draft, Entry, FarmId, Heads, Hour, Row, Stamp};
use std::time::Instant;

const FARM: FarmId = FarmId::from_bytes([7; 16]);

fn main() {
    let count = std::env::args()
        .nth(1)
        .and_then(|count| count.parse().ok())
        .unwrap_or(100_000);
    println!("an entry takes {} bytes beside its texts", size_of::<Entry>());
    let rows: Vec<Row> = written(count).iter().map(Entry::to_row).collect();
    let at_start = resident_mib();
    let again = rows.clone();
    timed("read and verify, one thread", || {
        again
            .into_iter()
            .for_each(|row| drop(std::hint::black_box(Entry::from_row(row).expect("a whole entry"))));
    });
    let books = timed("read, verify and index", || {
        let mut books = Books::new();
        books.reserve(count);
        for row in rows {
            books.add(Entry::from_row(row).expect("a whole entry"));
        }
        books
    });
    println!(
        "{:>9} MiB resident, {at_start} MiB before reading",
        resident_mib()
    );
    let (stands, rivals) = timed("what stands", || ledger::standing(&books));
    let hours = timed("hours", || ledger::effective_hours(&books));
    let mut ordered = stands.clone();
    timed("into order", || ledger::in_order(&books, &hours, &mut ordered));
    let problems = timed("problems", || books.problems());
    println!(
        "{} stand, {} rivals, {} problems",
        stands.len(),
        rivals.len(),
        problems.len()
    );
}

/// Two devices in turns, sixty notes a day; one entry in fifty corrects, one in two hundred withdraws.
fn written(count: usize) -> Vec<Entry> {
    let mut heads = Heads::default();
    let devices = ["phone", "laptop"].map(|name| Device::new(name).expect("a name"));
    let mut digests: Vec<Digest> = Vec::new();
    let mut entries = Vec::new();
    for at in 0..count {
        let of = digests.get(at.saturating_sub(40)).copied();
        let act = match (at % 200, of) {
            (199, Some(of)) => Act::Withdraw { of },
            (n, Some(of)) if n % 50 == 49 => Act::Correct { of },
            _ => Act::Note,
        };
        let entry = heads.seal(FARM, &devices[at / 30 % 2], draft(at, act), stamp(at));
        digests.push(entry.digest);
        entries.push(entry);
    }
    entries
}

fn draft(at: usize, act: Act) -> Draft {
    let days = i32::try_from(at / 60).unwrap_or(0);
    let first = jiff::civil::date(2016, 4, 1);
    let hour = u16::try_from(at % 60 * 10)
        .ok()
        .filter(|minutes| minutes % 30 == 0)
        .and_then(Hour::from_minutes);
    Draft {
        day: first.saturating_add(jiff::Span::new().days(days)),
        hour,
        by: "hr".into(),
        origin: "typed".into(),
        grammar: 1,
        act,
        note: format!(
            "look alder bar {} brood 5/8 honey 2/8 capped number {at}",
            at % 24 + 1
        ),
    }
}

fn stamp(at: usize) -> Stamp {
    let random = Digest::of(&at.to_be_bytes());
    let (id, salt) = random.as_bytes().split_at(16);
    Stamp::new(
        id.try_into().expect("a half"),
        salt.try_into().expect("a half"),
        0,
    )
}

fn timed<T>(what: &str, work: impl FnOnce() -> T) -> T {
    let start = Instant::now();
    let done = work();
    println!("{:>9.1} ms {what}", start.elapsed().as_secs_f64() * 1e3);
    done
}

fn resident_mib() -> usize {
    let statm = std::fs::read_to_string("/proc/self/statm").unwrap_or_default();
    let pages = statm
        .split(' ')
        .nth(1)
        .and_then(|pages| pages.parse::<usize>().ok());
    pages.unwrap_or(0) * 4096 / (1 << 20)
}
