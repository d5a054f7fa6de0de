//! What other programs answer to the same questions, written down for the tests.

use anyhow::{Context as _, Result};

use crate::needs;
use crate::steps::run;

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
