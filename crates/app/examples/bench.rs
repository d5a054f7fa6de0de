//! Measures what a keeper waits for, on books made from a seed. Run it through `cargo xtask bench`.
//!
//! `bench [--quick] [--out FILE]` makes books of 100 000 entries (and of 1 000 000 without `--quick`) and prints
//! medians; the last lines are one figure each with its budget. `bench child FILE WHAT` is what it starts as a
//! fresh process, so that nothing is warm but the disk's cache.

#![expect(clippy::print_stdout, reason = "a benchmark prints what it measured")]
#![expect(clippy::disallowed_methods, reason = "a benchmark reads the clock")]

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Instant;

use app::{Fixed, Office, Writing, wire};
use jiff::ToSpan as _;
use jiff::civil::{Date, date};
use ledger::{Act, Device, Draft, FarmId, Heads, Stamp, Store};
use store::SqliteStore;

type Failure = Box<dyn std::error::Error>;

const SEED: u64 = 20_260_301;

/// Notes are many small pieces; an allocator made for such halves the time of opening large books.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> Result<(), Failure> {
    let args: Vec<String> = std::env::args().skip(1).collect();
    match args.iter().map(String::as_str).collect::<Vec<_>>().as_slice() {
        ["make", file, count] => make_books(Path::new(file), count.parse()?),
        ["child", file, what] => child(Path::new(file), what),
        rest => bench(rest.contains(&"--quick"), out_file(rest)),
    }
}

fn out_file(args: &[&str]) -> Option<PathBuf> {
    let at = args.iter().position(|arg| *arg == "--out")?;
    args.get(at + 1).map(PathBuf::from)
}

/// One figure with its budget.
struct Row {
    what: String,
    took: f64,
    unit: &'static str,
    budget: Option<f64>,
}

fn bench(quick: bool, out: Option<PathBuf>) -> Result<(), Failure> {
    let folder = std::env::temp_dir().join(format!("combwright-bench-{}", std::process::id()));
    std::fs::create_dir_all(&folder)?;
    let result = measure(quick, &folder);
    std::fs::remove_dir_all(&folder)?;
    let rows = result?;
    let report = report(&rows)?;
    if let Some(out) = out {
        std::fs::write(out, &report)?;
    }
    println!("{report}");
    for row in &rows {
        let budget = row.budget.map_or_else(
            || "no budget".to_owned(),
            |budget| format!("budget {budget} {}", row.unit),
        );
        println!("{}: {:.4} {} ({budget})", row.what, row.took, row.unit);
    }
    Ok(())
}

fn measure(quick: bool, folder: &Path) -> Result<Vec<Row>, Failure> {
    let mut rows = vec![start_up()?];
    let books = folder.join("hundred-thousand.books");
    make_books(&books, 100_000)?;
    rows.extend(cold("100 000 entries", &books, 0.25, 7)?);
    rows.push(note_from_cold(&books)?);
    rows.extend(running(&books)?);
    rows.extend(ledger_peer(folder, 100_000)?);
    if !quick {
        let books = folder.join("million.books");
        make_books(&books, 1_000_000)?;
        rows.extend(cold("1 000 000 entries", &books, 2.5, 3)?);
        rows.extend(ledger_peer(folder, 1_000_000)?);
    }
    Ok(rows)
}

/// The program beside this example, in the same folder of the build.
fn program() -> Result<PathBuf, Failure> {
    let here = std::env::current_exe()?;
    let folder = here
        .parent()
        .and_then(Path::parent)
        .ok_or("no folder of the build")?;
    let program = folder.join("combwright");
    if program.exists() {
        Ok(program)
    } else {
        Err("build the program first: cargo build --release --package cli".into())
    }
}

fn median(mut times: Vec<f64>) -> f64 {
    times.sort_by(f64::total_cmp);
    times.get(times.len() / 2).copied().unwrap_or(f64::NAN)
}

fn timed<T>(work: impl FnOnce() -> Result<T, Failure>) -> Result<(T, f64), Failure> {
    let start = Instant::now();
    let made = work()?;
    Ok((made, start.elapsed().as_secs_f64()))
}

fn run(command: &mut Command) -> Result<String, Failure> {
    let output = command.output()?;
    if !output.status.success() {
        return Err(format!("{command:?}: {}", String::from_utf8_lossy(&output.stderr)).into());
    }
    Ok(String::from_utf8_lossy(&output.stdout).into_owned())
}

fn start_up() -> Result<Row, Failure> {
    let program = program()?;
    let mut times = Vec::new();
    for _ in 0..21 {
        times.push(timed(|| run(Command::new(&program).arg("--version")))?.1 * 1000.0);
    }
    Ok(Row {
        what: "start of the program".to_owned(),
        took: median(times),
        unit: "ms",
        budget: Some(50.0),
    })
}

/// Open, verify every chain, replay and answer, each time in a fresh process; and the memory it took.
fn cold(name: &str, books: &Path, budget_s: f64, times: usize) -> Result<Vec<Row>, Failure> {
    let mut took = Vec::new();
    let mut memory = Vec::new();
    for _ in 0..times {
        let said = run(Command::new(std::env::current_exe()?)
            .arg("child")
            .arg(books)
            .arg("open"))?;
        let mut words = said.split_whitespace().map(str::parse::<f64>);
        took.push(words.next().ok_or("no time")??);
        memory.push(words.next().ok_or("no memory")??);
    }
    let million = name.starts_with("1 000 000");
    Ok(vec![
        Row {
            what: format!("open {name} cold, verify, replay, answer"),
            took: median(took),
            unit: "s",
            budget: Some(budget_s),
        },
        Row {
            what: format!("memory at {name}"),
            took: median(memory),
            unit: "GiB",
            budget: million.then_some(1.0),
        },
    ])
}

fn child(file: &Path, what: &str) -> Result<(), Failure> {
    match what {
        "open" => {
            let start = Instant::now();
            let store = SqliteStore::open_read_only(file)?;
            let mut office = Office::open_for_answers(Box::new(store))?;
            let complaints = office.library().complaints(None).len();
            let holding = office.library().holding();
            let answer =
                wire::stock(holding).to_string().len() + wire::yard(holding).to_string().len() + complaints;
            let took = start.elapsed().as_secs_f64();
            if answer == 0 {
                return Err("no answer".into());
            }
            println!("{took} {}", peak_memory_gib()?);
            Ok(())
        }
        _ => Err(format!("unknown: {what}").into()),
    }
}

/// The most memory this process has held, as the kernel counts it.
fn peak_memory_gib() -> Result<f64, Failure> {
    let status = std::fs::read_to_string("/proc/self/status")?;
    let line = status
        .lines()
        .find_map(|line| line.strip_prefix("VmHWM:"))
        .ok_or("no peak memory")?;
    let kib: f64 = line.trim().trim_end_matches(" kB").trim().parse()?;
    Ok(kib / 1024.0 / 1024.0)
}

fn note_from_cold(books: &Path) -> Result<Row, Failure> {
    let program = program()?;
    let mut times = Vec::new();
    for n in 0..7 {
        let note = format!("{} spend {n}.50 GBP on string", last_day(books)?);
        times.push(
            timed(|| {
                run(Command::new(&program)
                    .arg("note")
                    .arg(note)
                    .arg("--books")
                    .arg(books))
            })?
            .1,
        );
    }
    Ok(Row {
        what: "note from cold at 100 000".to_owned(),
        took: median(times),
        unit: "s",
        budget: Some(0.3),
    })
}

fn last_day(books: &Path) -> Result<Date, Failure> {
    let mut office = Office::open_for_answers(Box::new(SqliteStore::open_read_only(books)?))?;
    office.newest_day().ok_or_else(|| "empty books".into())
}

/// In a running program: today's note and an answer, a back-dated one, and a past day.
fn running(books: &Path) -> Result<Vec<Row>, Failure> {
    let mut surroundings = Fixed::new(date(2036, 1, 1).at(9, 0, 0, 0), SEED);
    let mut on_disk = Office::open(Box::new(SqliteStore::open(books)?), None, &mut surroundings)?;
    let today = on_disk.newest_day().ok_or("empty books")?;
    let note = |n: u32| format!("{today} spend {n}.25 GBP on string");
    let back = today.checked_sub(400.days())?;
    let back_dated = |n: u32| format!("{back} spend {n}.75 GBP on string");
    let appended = append_alone(&mut on_disk)?;
    let mut rows = vec![
        Row {
            what: "today's note and an answer, on the disk with its fsync".to_owned(),
            took: write_and_answer(&mut on_disk, note, 51)?,
            unit: "ms",
            budget: Some(5.0),
        },
        Row {
            what: "of which the append with its fsync".to_owned(),
            took: appended,
            unit: "ms",
            budget: None,
        },
        Row {
            what: "a back-dated note and an answer".to_owned(),
            took: write_and_answer(&mut on_disk, back_dated, 11)?,
            unit: "ms",
            budget: Some(150.0),
        },
    ];
    let mut times = Vec::new();
    for _ in 0..7 {
        let (_, took) = timed(|| Ok(wire::stock(&on_disk.library().holding_on(back)).to_string().len()))?;
        times.push(took * 1000.0);
    }
    rows.push(Row {
        what: "an answer for a past day".to_owned(),
        took: median(times),
        unit: "ms",
        budget: Some(150.0),
    });
    Ok(rows)
}

/// The append of one sealed entry, alone.
fn append_alone(office: &mut Office) -> Result<f64, Failure> {
    let (farm, device) = (office.farm(), Device::new("tablet")?);
    let mut heads = office.library().books().heads().clone();
    let mut took = Vec::new();
    for n in 0..51u8 {
        let after = heads.clone();
        let draft = Draft {
            day: date(2026, 3, 1),
            hour: None,
            by: "".into(),
            origin: "typed".into(),
            grammar: 1,
            act: Act::Note,
            note: format!("2026-03-01 spend {n}.15 GBP on string"),
        };
        let entry = heads.seal(farm, &device, draft, Stamp::new([n; 16], [n; 16], 0));
        let (_, seconds) = timed(|| Ok(office.store().append(farm, &after, &[entry])?))?;
        took.push(seconds * 1000.0);
    }
    office.reload()?;
    Ok(median(took))
}

fn write_and_answer(office: &mut Office, note: impl Fn(u32) -> String, times: u32) -> Result<f64, Failure> {
    let mut surroundings = Fixed::new(date(2036, 1, 1).at(9, 0, 0, 0), SEED + 1);
    let mut took = Vec::new();
    for n in 0..times {
        let line = note(n);
        let ((), seconds) = timed(|| {
            let outcome = office.write(&[&line], &Writing::default(), &mut surroundings)?;
            if outcome.written.len() != 1 {
                return Err(format!("{:?}", outcome.refused).into());
            }
            let cash = wire::cash(office.library().holding());
            if cash["cash"].is_null() {
                Err("no answer".into())
            } else {
                Ok(())
            }
        })?;
        took.push(seconds * 1000.0);
    }
    Ok(median(took))
}

/// The plain-text accounting program `ledger`, where it is installed, on as many transactions.
fn ledger_peer(folder: &Path, transactions: u32) -> Result<Vec<Row>, Failure> {
    if Command::new("ledger").arg("--version").output().is_err() {
        println!("ledger is not installed (Debian package ledger); it is left out");
        return Ok(Vec::new());
    }
    let file = folder.join("peer.ledger");
    let mut text = String::new();
    for n in 0..transactions {
        let day = date(2026, 3, 1).checked_add(i64::from(n / 55).days())?;
        writeln!(
            text,
            "{day} Note {n}\n    expenses:strings    {}.25 GBP\n    assets:cash\n",
            n % 90
        )?;
    }
    std::fs::write(&file, text)?;
    let mut times = Vec::new();
    for _ in 0..if transactions > 100_000 { 1 } else { 5 } {
        times.push(timed(|| run(Command::new("ledger").arg("-f").arg(&file).arg("balance")))?.1);
    }
    Ok(vec![Row {
        what: format!("beside it, ledger balance of {transactions} transactions"),
        took: median(times),
        unit: "s",
        budget: None,
    }])
}

fn report(rows: &[Row]) -> Result<String, Failure> {
    let machine = std::fs::read_to_string("/proc/cpuinfo").unwrap_or_default();
    let processor = machine
        .lines()
        .find_map(|line| {
            line.strip_prefix("model name")
                .and_then(|rest| rest.split_once(": "))
        })
        .map_or("an unnamed processor", |(_, name)| name);
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    let mut out = format!(
        "# Benchmarks\n\nMade by `cargo xtask bench` on {}, {processor}, {cores} cores. Medians; books made from seed {SEED}.\n\n| what | took | budget |\n|---|---:|---:|\n",
        jiff::ZonedDateTime::now().date()
    );
    for row in rows {
        let budget = row
            .budget
            .map_or_else(|| "–".to_owned(), |budget| format!("{budget} {}", row.unit));
        writeln!(out, "| {} | {:.3} {} | {budget} |", row.what, row.took, row.unit)?;
    }
    out.push_str("\nThe times of fresh processes are taken with the file in the disk's cache. No test asserts a time.\n");
    Ok(out)
}

/// Books of so many entries: forty hives, looked at bar by bar, cut, strained, filled and sold, year after year.
fn make_books(path: &Path, count: usize) -> Result<(), Failure> {
    let mut store = SqliteStore::create(path)?;
    let farm = FarmId::from_bytes([7; 16]);
    store.create_farm(farm)?;
    let laptop = Device::new("laptop")?;
    let mut heads = Heads::default();
    let mut batch = Vec::with_capacity(5_000);
    let mut season = Season::new();
    for n in 0..count {
        let line = season.next_line();
        let note = apiary::note::read(&line).map_err(|error| format!("{line}: {error}"))?;
        let mut seed = [0; 16];
        seed[..8].copy_from_slice(&(SEED + n as u64).to_be_bytes());
        let stamp = Stamp::new(seed, seed, 0);
        let draft = Draft {
            day: note.day,
            hour: note.hour,
            by: "".into(),
            origin: "typed".into(),
            grammar: 1,
            act: Act::Note,
            note: line,
        };
        batch.push(heads.seal(farm, &laptop, draft, stamp));
        if batch.len() == 5_000 || n + 1 == count {
            store.add(farm, &batch)?;
            batch.clear();
        }
    }
    Ok(())
}

/// A stream of plausible notes.
struct Season {
    day: Date,
    waiting: std::collections::VecDeque<String>,
    lot: u32,
    random: u64,
}

const HIVES: u32 = 40;

impl Season {
    fn new() -> Self {
        let mut season = Self {
            day: date(2026, 3, 1),
            waiting: std::collections::VecDeque::new(),
            lot: 0,
            random: SEED,
        };
        let day = season.day;
        season
            .waiting
            .push_back(format!("{day} yard orchard at 52.1 -2.4"));
        season.waiting.push_back(format!(
            "{day} pattern sloping slope top 44.5 cm floor 19 cm depth 28 cm length 95.5 cm bar 35 mm"
        ));
        season.waiting.push_back(format!("{day} start cash 300.00 GBP"));
        for hive in 0..HIVES {
            season
                .waiting
                .push_back(format!("{day} hive h{hive} in orchard pattern sloping bars 27"));
            season
                .waiting
                .push_back(format!("{day} start h{hive} 18 bars drawn"));
        }
        season
    }

    fn next_line(&mut self) -> String {
        loop {
            if let Some(line) = self.waiting.pop_front() {
                return line;
            }
            self.work_day();
        }
    }

    /// The next number below a bound; a linear congruential generator with Knuth's constants.
    fn below(&mut self, bound: u32) -> u32 {
        self.random = self
            .random
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        ((self.random >> 33) % u64::from(bound)) as u32
    }

    /// One day in the yard: looks at some hives, a harvest now and then, and sales.
    fn work_day(&mut self) {
        self.day = self.day.checked_add(1.day()).unwrap_or(self.day);
        let day = self.day;
        for _ in 0..3 {
            let hive = self.below(HIVES);
            for bar in 1..=16 {
                let honey = self.below(7);
                self.waiting.push_back(format!(
                    "{day} look h{hive} bar {bar} drawn 8/8 brood {}/8 honey {honey}/8 pollen 1/8",
                    7 - honey
                ));
            }
            self.waiting
                .push_back(format!("{day} look h{hive} queen seen temper calm bees 6/8"));
        }
        // Now and then something begins that the calendar follows.
        if self.below(7) == 0 {
            let hive = self.below(HIVES);
            self.waiting
                .push_back(format!("{day} queen-cells h{hive} bar 3 sealed 2"));
        }
        if self.below(6) == 0 {
            self.harvest();
        }
        if self.lot > 0 {
            let lot = self.lot;
            self.waiting
                .push_back(format!("{day} sell 1 of L{lot} at stall for 6.50 GBP"));
        }
        self.waiting.push_back(format!("{day} hours 1h30 yard"));
        self.waiting
            .push_back(format!("{day} spend {}.40 GBP on string", self.random % 9));
    }

    fn harvest(&mut self) {
        let (day, hive) = (self.day, self.below(HIVES));
        self.lot += 1;
        let lot = self.lot;
        for line in [
            format!("{day} cut h{hive} bars 17 and 18 into pail-1"),
            format!("{day} weigh pail-1 gross 5.3 kg tare 1.3 kg"),
            format!("{day} strain pail-1 into tank-1 honey 3.2 kg residue 0.7 kg loss 0.1 kg"),
            format!("{day} read tank-1 index 1.4925 at 24 C"),
            format!("{day} fill tank-1 9 jars of 340 g lot L{lot}"),
            format!("{day} look h{hive} bars 17 and 18 drawn 2/8 empty"),
        ] {
            self.waiting.push_back(line);
        }
    }
}
