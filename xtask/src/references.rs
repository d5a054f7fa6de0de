//! What other programs answer to the same questions, written down for the tests.

use anyhow::{Context as _, Result};

use crate::needs;
use crate::steps::{run, typed};

const CUT: &str = "crates/reckon/tests/published/cut";

/// Solves the cutting lists of the tests anew.
pub(crate) fn write() -> Result<()> {
    let python = needs::python()?;
    let python = python.to_str().context("the folder for builds has an odd name")?;
    run(&[
        python,
        &format!("{CUT}/references.py"),
        &format!("{CUT}/references.json"),
    ])
}

/// How long cutting lists take, and HiGHS beside them.
pub(crate) fn cut_speed() -> Result<()> {
    typed("cargo run --release -p reckon --example cut_speed")?;
    let python = needs::python()?;
    let python = python.to_str().context("the folder for builds has an odd name")?;
    let (script, rolls) = (format!("{CUT}/references.py"), format!("{CUT}/rolls.csv"));
    run(&[python, &script, "--time", &rolls])
}

/// Times conduction, ours and SciPy's on the same plate.
pub(crate) fn heat_speed() -> Result<()> {
    let python = needs::python()?;
    let python = python.to_str().context("the folder for builds has an odd name")?;
    run(&[
        "cargo",
        "run",
        "--release",
        "-p",
        "reckon",
        "--example",
        "heat_speed",
    ])?;
    run(&[python, "crates/reckon/examples/heat_peer.py"])
}
