//! Runs that take too long for every change.

use std::time::{SystemTime, UNIX_EPOCH};

use anyhow::{Context as _, Result};

use crate::references;
use crate::steps::{run, typed};

/// How many power cuts a run has.
const CUTS: u32 = 3000;

/// Power cuts while the store writes, with a seed that lets a failure be had again.
pub(crate) fn soak(seed: Option<&str>) -> Result<()> {
    let seed = match seed {
        Some(seed) => seed
            .parse()
            .with_context(|| format!("a seed is a whole number, not {seed}"))?,
        None => fresh_seed(),
    };
    println!("seed {seed}");
    typed(&format!(
        "cargo run --release -p store --example soak -- {CUTS} {seed}"
    ))
    .with_context(|| format!("to see it again: cargo xtask soak {seed}"))
}

/// The measurements of the release build; what stands behind the chore is handed on.
pub(crate) fn bench(arguments: &[&str]) -> Result<()> {
    let bench = [
        "cargo",
        "run",
        "--release",
        "-p",
        "app",
        "--example",
        "bench",
        "--",
    ];
    run(&[bench.as_slice(), arguments].concat())?;
    pages()?;
    references::cut_speed()?;
    references::heat_speed()
}

/// How long pages take with many browsers at once, on books of a hundred thousand entries.
fn pages() -> Result<()> {
    let file = std::env::temp_dir().join(format!("combwright-pages-{}.books", std::process::id()));
    let file = file
        .to_str()
        .context("the folder for temporary files has an odd name")?;
    typed(&format!(
        "cargo run --release -p app --example bench -- make {file} 100000"
    ))?;
    let measured = typed(&format!("cargo run --release -p web --example load -- {file}"));
    for end in ["", "-wal", "-shm"] {
        // What was not made need not be taken away.
        let _ = std::fs::remove_file(format!("{file}{end}"));
    }
    measured
}

#[expect(
    clippy::disallowed_methods,
    reason = "any number will do, as long as it is another one each time"
)]
fn fresh_seed() -> u64 {
    let since = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
    since.as_secs() ^ u64::from(since.subsec_nanos())
}
