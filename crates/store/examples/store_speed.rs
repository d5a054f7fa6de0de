//! How long it takes to write, load and verify so many entries: `store_speed [COUNT]`.
#![expect(clippy::print_stdout, reason = "this program is there to print")]
#![expect(clippy::disallowed_methods, reason = "measuring needs a clock")]

use ledger::{Appended, Entry, Store};
use std::time::Instant;
use store::conformance::{FARM, Pen};
use store::{SqliteStore, check, rescue};

fn main() {
    let count: usize = std::env::args()
        .nth(1)
        .and_then(|count| count.parse().ok())
        .unwrap_or(100_000);
    let folder = std::env::temp_dir().join(format!("combwright-speed-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder for the books");
    let (file, saved) = (folder.join("farm.books"), folder.join("saved.books"));
    let mut pen = Pen::new(FARM, "laptop");
    let note = |at: usize| {
        format!(
            "look alder bar {} brood 5/8 honey 2/8 capped number {at}",
            at % 24 + 1
        )
    };
    let entries: Vec<Entry> = (0..count).map(|at| pen.note(&note(at))).collect();
    timed("write all at once", || {
        let mut store = SqliteStore::create(&file).expect("books");
        store.create_farm(FARM).expect("a farm");
        store.add(FARM, &entries).expect("an answer");
    });
    println!(
        "{:>9} KiB",
        std::fs::metadata(&file).map_or(0, |file| file.len() / 1024)
    );
    let mut store = timed("open", || SqliteStore::open(&file).expect("books"));
    timed("load, unread", || {
        store
            .load(FARM, &mut |row| drop(std::hint::black_box(row)))
            .expect("books");
    });
    timed("load, verify and index, two threads", || {
        ledger::load(&store, FARM).expect("books")
    });
    let mut times: Vec<f64> = (0..200)
        .map(|at| {
            let before = pen.heads.clone();
            let entry = pen.note(&note(at));
            let start = Instant::now();
            let answer = store.append(FARM, &before, &[entry]).expect("an answer");
            assert_eq!(answer, Appended::Written);
            start.elapsed().as_secs_f64() * 1e3
        })
        .collect();
    times.sort_by(f64::total_cmp);
    println!(
        "{:>9.2} ms one append at the median, {:.2} ms at p99",
        times[100], times[198]
    );
    timed("check", || check(&file).expect("a report"));
    timed("rescue", || rescue(&file, &saved).expect("a report"));
    std::fs::remove_dir_all(&folder).expect("the folder goes");
}

fn timed<T>(what: &str, work: impl FnOnce() -> T) -> T {
    let start = Instant::now();
    let done = work();
    println!("{:>9.1} ms {what}", start.elapsed().as_secs_f64() * 1e3);
    done
}
