//! The steps of `cargo xtask test`, one after the other, in one target folder and one profile.

use std::process::Command;
use std::time::Duration;

use anyhow::{Context as _, Result, bail};

use crate::{docs, licences, needs, root};

/// A step: how the keeper of the code would type it, and what it does.
struct Step {
    name: &'static str,
    run: fn(&str) -> Result<()>,
}

/// Quick ones first, so that a slip is told before the tests are built.
const STEPS: &[Step] = &[
    Step {
        name: "cargo fmt --all --check",
        run: typed,
    },
    Step {
        name: "cargo xtask licences",
        run: |_| licences::check(),
    },
    Step {
        name: "cargo xtask docs --check",
        run: |_| docs::check(),
    },
    Step {
        name: "cargo clippy --workspace --all-targets -- -D warnings",
        run: typed,
    },
    Step {
        name: "cargo nextest run --workspace --profile ci",
        run: typed,
    },
    Step {
        name: "cargo test --workspace --doc",
        run: typed,
    },
];

/// Runs every step; stops at the first that fails.
pub(crate) fn test() -> Result<()> {
    needs::provide()?;
    let mut took = Vec::new();
    for step in STEPS {
        println!("== {}", step.name);
        let (outcome, time) = timed(|| (step.run)(step.name));
        outcome.with_context(|| format!("this step failed: {}", step.name))?;
        println!("== {} took {:.1} s\n", step.name, time.as_secs_f64());
        took.push((step.name, time));
    }
    println!("Everything holds.");
    for (name, time) in &took {
        println!("{:>8.1} s  {name}", time.as_secs_f64());
    }
    Ok(())
}

/// Runs a line as it would be typed at the root of the workspace.
pub(crate) fn typed(line: &str) -> Result<()> {
    let words: Vec<&str> = line.split(' ').collect();
    run(&words)
}

/// Runs a command, given word by word, at the root of the workspace.
pub(crate) fn run(words: &[&str]) -> Result<()> {
    run_with(words, &[])
}

/// The same, with these variables set.
pub(crate) fn run_with(words: &[&str], variables: &[(&str, &str)]) -> Result<()> {
    let (program, arguments) = words.split_first().expect("BUG: a command has a program");
    let mut command = Command::new(program);
    command.args(arguments).current_dir(root());
    command.envs(variables.iter().copied());
    // Read by the tests in a browser alone, wherever builds go.
    command.env("COMBWRIGHT_AXE", needs::axe_file());
    let status = command.status();
    let status = status.with_context(|| format!("{program} could not be started"))?;
    if !status.success() {
        bail!("{program} ended with {status}");
    }
    Ok(())
}

#[expect(
    clippy::disallowed_methods,
    reason = "nothing but the printed time depends on the clock"
)]
fn timed<T>(work: impl FnOnce() -> T) -> (T, Duration) {
    let begun = std::time::Instant::now();
    let done = work();
    (done, begun.elapsed())
}
