//! Power cuts by the thousand: `soak RUNS SEED`.
#![expect(clippy::print_stdout, reason = "this program is there to print")]

#[path = "../tests/books/power.rs"]
mod power;

use std::process::ExitCode;
use store::Synchronous;
use torn_vfs::Disk;

fn main() -> ExitCode {
    let mut numbers = std::env::args()
        .skip(1)
        .filter_map(|argument| argument.parse().ok());
    let (runs, base) = (numbers.next().unwrap_or(3_000), numbers.next().unwrap_or(1));
    let broken = soak(runs, base);
    println!("{runs} power cuts, {broken} broken promises");
    if broken == 0 {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    }
}

/// Runs so many power cuts and says how many broke a promise.
fn soak(runs: u64, base: u64) -> usize {
    let disk = Disk::new(base);
    let broken = |run: &u64| {
        let seed = power::seed(base, *run);
        match power::cut(&disk, seed, Synchronous::Full) {
            Ok(()) => false,
            Err(promise) => {
                println!("run {run}, seed {seed}: {promise}");
                true
            }
        }
    };
    (0..runs).filter(broken).count()
}
