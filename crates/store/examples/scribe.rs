//! Writes notes until it is killed or has written enough: `scribe FILE DEVICE COUNT`.
//!
//! Prints the digest of each note once the store has answered; what is printed must be there.
#![expect(
    clippy::print_stdout,
    reason = "the printed answer is what the tests listen to"
)]

use ledger::{Appended, Store};
use std::io::Write;
use std::path::Path;
use store::SqliteStore;
use store::conformance::{FARM, Pen};

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [file, device, count] = &arguments[..] else {
        panic!("usage: scribe FILE DEVICE COUNT");
    };
    let mut store = SqliteStore::open(Path::new(file)).expect("books that can be opened");
    let count: u64 = count.parse().expect("a number of notes");
    let mut heads = ledger::load(&store, FARM).expect("books").heads().clone();
    let mut written = 0;
    while written < count {
        let mut pen = Pen::after(FARM, device, &heads);
        let entry = pen.note(&format!(
            "look alder bar {written} {}",
            "x".repeat(usize::from(written % 7 == 0) * 5_000)
        ));
        match store
            .append(FARM, &heads, std::slice::from_ref(&entry))
            .expect("an answer")
        {
            Appended::Written => {
                println!("{}", entry.digest);
                std::io::stdout().flush().expect("somebody who listens");
                heads = pen.heads;
                written += 1;
            }
            Appended::Stale => heads = ledger::load(&store, FARM).expect("books").heads().clone(),
        }
    }
}
