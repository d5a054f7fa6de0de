//! An article number with its check digit.

use reckon::gtin::{gtin, is_gtin};
use reckon::sources::GS1_GENERAL;

use super::Refused;
use super::answer::Answer;
use super::quantities::{refused, required};

#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  combwright reckon gtin --body 400638133393")]
pub(super) struct Flags {
    /// The number without its check digit: 7, 11, 12 or 13 digits
    #[arg(long, value_name = "DIGITS", allow_hyphen_values = true)]
    body: Option<String>,
}

const ACCEPTED: &str = "7, 11, 12 or 13 digits such as 400638133393";

pub(super) fn reckon(flags: &Flags) -> Result<Answer, Refused> {
    let body = required("--body", flags.body.as_ref(), ACCEPTED)?.trim();
    let full = gtin(body).map_err(|error| refused("--body", error, ACCEPTED))?;
    Ok(Answer::saying(format!("GTIN-{}: {full}", full.len()))
        .with("gtin", full)
        .noting(note_of_whole(body))
        .noting(["the check digit finds a digit typed wrong; it does not show whose number it is".to_owned()])
        .resting_on(&GS1_GENERAL))
}

/// A body that is itself a whole number may have been typed by mistake.
fn note_of_whole(body: &str) -> Option<String> {
    is_gtin(body).then(|| {
        format!(
            "caution: {body} already ends in a check digit that is right; the number made here is one digit longer"
        )
    })
}
