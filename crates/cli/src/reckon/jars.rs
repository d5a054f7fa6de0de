//! How many jars a mass of honey fills, what is left, and what one fill measures.

use reckon::density::{SPECIFIC_GRAVITY, WATER_KG_PER_L};
use reckon::jars::{JarsError, jars};

use super::Refused;
use super::answer::{Answer, rounded};
use super::density;
use super::quantities::{fraction, mass, refused};

#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  combwright reckon jars --honey 20kg --net 340g --moisture 17.5%")]
pub(super) struct Flags {
    /// The honey there is
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    honey: Option<String>,
    /// The net mass of one jar
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    net: Option<String>,
    /// The water in the honey
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    moisture: Option<String>,
}

pub(super) fn reckon(flags: &Flags) -> Result<Answer, Refused> {
    let honey = mass("--honey", flags.honey.as_ref())?;
    let net = mass("--net", flags.net.as_ref())?;
    let moisture = fraction("--moisture", flags.moisture.as_ref())?;
    let filling = jars(honey, net, moisture).map_err(refusal)?;
    let word = if filling.jars == 1 { "jar" } else { "jars" };
    Ok(Answer::saying(format!(
        "{} {word}, and {:.3} kg left; one fill is {:.1} ml at 20 °C.",
        filling.jars,
        filling.left.to_kg(),
        filling.fill_volume.to_ml(),
    ))
    .with("jars", filling.jars)
    .with("left_kg", rounded(filling.left.to_kg(), 6))
    .with("fill_ml", rounded(filling.fill_volume.to_ml(), 2))
    .noting([
        "the fill is that of honey at 20 °C; warmer honey fills more".to_owned(),
        density::note_of_table(),
    ])
    .resting_on(SPECIFIC_GRAVITY.source)
    .resting_on(WATER_KG_PER_L.source))
}

fn refusal(error: JarsError) -> Refused {
    match error {
        JarsError::NoHoney => refused("--honey", error, "a mass such as 20kg"),
        JarsError::NoNetMass => refused("--net", error, "a mass such as 340g"),
        JarsError::Density(error) => density::refusal(error),
    }
}
