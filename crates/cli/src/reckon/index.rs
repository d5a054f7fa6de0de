//! The refractive index of a honey whose water is known: the inverse of `moisture`.

use reckon::refractometry;
use reckon::sources::WEDMORE_1955;

use super::Refused;
use super::answer::{Answer, rounded};
use super::quantities::{fraction, refused};

#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  combwright reckon index --moisture 17.4%")]
pub(super) struct Flags {
    /// The water in the honey
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    moisture: Option<String>,
}

pub(super) fn reckon(flags: &Flags) -> Result<Answer, Refused> {
    let moisture = fraction("--moisture", flags.moisture.as_ref())?;
    let percent = moisture.to_percent();
    let index = refractometry::index(moisture).map_err(|_| {
        let wrong = format!("the relation does not hold at {percent:.1} % water");
        refused("--moisture", wrong, "water from 12.9 to 25.1 %")
    })?;
    Ok(Answer::saying(format!(
        "Honey of {percent:.1} % water has a refractive index of {index:.4} at 20 °C."
    ))
    .with("index_at_20c", rounded(index, 6))
    .resting_on(&WEDMORE_1955))
}
