//! The density of liquid honey.

use quantity::Celsius;
use reckon::density::{DensityError, KG_PER_L_PER_CELSIUS, SPECIFIC_GRAVITY, WATER_KG_PER_L, density};

use super::Refused;
use super::answer::{Answer, rounded};
use super::quantities::{fraction, note_of_20, refused, temperature_or_20};

#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  combwright reckon density --moisture 17.4% --temp \"25 C\"")]
pub(super) struct Flags {
    /// The water in the honey
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    moisture: Option<String>,
    /// The temperature of the honey [default: 20 C]
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    temp: Option<String>,
}

pub(super) fn reckon(flags: &Flags) -> Result<Answer, Refused> {
    let moisture = fraction("--moisture", flags.moisture.as_ref())?;
    let at = temperature_or_20("--temp", flags.temp.as_ref())?;
    let kg_per_l = density(moisture, at).map_err(refusal)?.to_kg_per_l();
    let percent = moisture.to_percent();
    let degrees = at.get();
    Ok(Answer::saying(format!(
        "Honey of {percent:.1} % water weighs {kg_per_l:.3} kg a litre at {degrees:.1} °C."
    ))
    .with("density_kg_per_l", rounded(kg_per_l, 5))
    .noting(note_of_20("--temp", flags.temp.as_ref()))
    .noting([note_of_table()])
    .noting(note_of_warming(at))
    .resting_on(SPECIFIC_GRAVITY.source)
    .resting_on(WATER_KG_PER_L.source))
}

/// The refusal of a density, at the flag that is to blame.
pub(super) fn refusal(error: DensityError) -> Refused {
    match error {
        DensityError::OutsideTable { .. } => refused("--moisture", error, "water from 13 to 21 %"),
        DensityError::OutsideTemperature { degrees } => refused(
            "--temp",
            format!("the density of honey is not known at {degrees:.1} °C"),
            "a temperature from 0 to 60 °C",
        ),
    }
}

/// What is to be said wherever the table of density is used.
pub(super) fn note_of_table() -> String {
    "the rows of the density table from 14 to 20 % water are from memory; its two ends are confirmed"
        .to_owned()
}

fn note_of_warming(at: Celsius) -> Option<String> {
    ((at.get() - 20.0).abs() > 0.0).then(|| {
        let coefficient = KG_PER_L_PER_CELSIUS.value;
        format!("the change with temperature, {coefficient} kg/L for each °C from 20 °C, is from memory")
    })
}
