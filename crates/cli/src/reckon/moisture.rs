//! The water in honey, from whatever scale a refractometer has.

use quantity::{Celsius, UnitKind};
use reckon::refractometry::{
    BRIX_AND_WATER, HUNDRED_MINUS_BRIX_OVERSTATES, INDEX_PER_CELSIUS, Instrument, Moisture, MoistureError,
    Scale, Shown, moisture_shown,
};
use reckon::sources::WEDMORE_1955;
use rust_decimal::Decimal;

use super::Refused;
use super::answer::{Answer, rounded};
use super::quantities::{bare, note_of_20, number, reading, refused, temperature, temperature_or_20};

#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  combwright reckon moisture --index 1.4915 --temp \"25 C\"")]
pub(super) struct Flags {
    /// The refractive index that is shown
    #[arg(long, value_name = "INDEX", allow_hyphen_values = true)]
    index: Option<String>,
    /// The degrees Brix that are shown
    #[arg(long, value_name = "BRIX", allow_hyphen_values = true)]
    brix: Option<String>,
    /// The water that an instrument with a honey scale shows, such as 17.8%
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    water: Option<String>,
    /// The temperature of prism and honey [default: 20 C]
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    temp: Option<String>,
    /// The instrument corrects for temperature itself
    #[arg(long)]
    compensated: bool,
    /// The finest step that can be read [default: one unit of the last digit typed]
    #[arg(long, value_name = "STEP", allow_hyphen_values = true)]
    resolution: Option<String>,
}

/// What may stand behind degrees Brix.
const BRIX_WORDS: [&str; 5] = ["Bx", "°Bx", "Brix", "°Brix", "%"];

/// What is read, in the digits it was typed with.
struct Read {
    flag: &'static str,
    digits: Decimal,
    scale: Scale,
}

pub(super) fn reckon(flags: &Flags) -> Result<Answer, Refused> {
    let read = read(flags)?;
    let step = resolution(flags, &read)?;
    let instrument = instrument(flags)?;
    let shown = Shown {
        scale: read.scale,
        resolution: number(step),
        instrument,
    };
    let found = moisture_shown(shown).map_err(|error| refusal(error, &read, shown))?;
    // The ends of a coarse reading may pass what any honey can be.
    let (lo, hi) = (found.lo.max(0.0), found.hi.min(100.0));
    let answer = Answer::saying(sentence(found.percent, (lo, hi), found.index_at_20))
        .with("moisture_pct", rounded(found.percent, 3))
        .with("moisture_lo_pct", rounded(lo, 3))
        .with("moisture_hi_pct", rounded(hi, 3))
        .with("index_at_20c", rounded(found.index_at_20, 6))
        .noting(notes_of_temperature(flags, instrument))
        .noting(note_of_resolution(flags, step))
        .noting(note_of_brix(&read))
        .noting(note_of_interval(&found))
        .resting_on(&WEDMORE_1955);
    let answer = match read.scale {
        Scale::Brix(_) => answer.resting_on(BRIX_AND_WATER.source),
        Scale::Index(_) | Scale::Water(_) => answer,
    };
    Ok(if correction(instrument).is_some() {
        answer.resting_on(INDEX_PER_CELSIUS.source)
    } else {
        answer
    })
}

fn read(flags: &Flags) -> Result<Read, Refused> {
    match (&flags.index, &flags.brix, &flags.water) {
        (Some(index), None, None) => {
            let digits = bare("--index", index, &[], "a refractive index such as 1.4915")?;
            Ok(Read {
                flag: "--index",
                digits,
                scale: Scale::Index(number(digits)),
            })
        }
        (None, Some(brix), None) => {
            let digits = bare("--brix", brix, &BRIX_WORDS, "degrees Brix such as 81")?;
            Ok(Read {
                flag: "--brix",
                digits,
                scale: Scale::Brix(number(digits)),
            })
        }
        (None, None, Some(_)) => {
            let digits = reading("--water", flags.water.as_ref(), UnitKind::Percent)?.digits();
            Ok(Read {
                flag: "--water",
                digits,
                scale: Scale::Water(number(digits)),
            })
        }
        (None, None, None) => Err(refused(
            "--index, --brix or --water",
            "nothing that was read is given",
            "one of them, such as --index 1.4915, --brix 81 or --water 17.8%,",
        )),
        _ => Err(refused(
            "--index, --brix and --water",
            "an instrument shows one of them at a time",
            "one of them",
        )),
    }
}

fn resolution(flags: &Flags, read: &Read) -> Result<Decimal, Refused> {
    let Some(typed) = &flags.resolution else {
        return Ok(Decimal::new(1, read.digits.scale()));
    };
    let accepted = "the step of the scale, above nothing, such as 0.0005 for an index,";
    let words: &[&str] = match read.scale {
        Scale::Index(_) => &[],
        Scale::Brix(_) => &BRIX_WORDS,
        Scale::Water(_) => &["%"],
    };
    let step = bare("--resolution", typed, words, accepted)?;
    (step > Decimal::ZERO)
        .then_some(step)
        .ok_or_else(|| refused("--resolution", format!("{step} is no step"), accepted))
}

fn instrument(flags: &Flags) -> Result<Instrument, Refused> {
    let temp = flags.temp.as_ref();
    if flags.compensated {
        // What changes nothing must still be a temperature.
        temp.map(|_| temperature("--temp", temp)).transpose()?;
        return Ok(Instrument::Compensating);
    }
    Ok(Instrument::Plain {
        at: temperature_or_20("--temp", temp)?,
    })
}

/// The temperature that the index is moved to 20 °C from, if it is moved at all.
fn correction(instrument: Instrument) -> Option<Celsius> {
    match instrument {
        Instrument::Plain { at } => ((at.get() - 20.0).abs() > 0.0).then_some(at),
        Instrument::Compensating => None,
    }
}

fn refusal(error: MoistureError, read: &Read, shown: Shown) -> Refused {
    let alone = Shown {
        resolution: 0.0,
        ..shown
    };
    match error {
        MoistureError::OutsideTemperature { degrees } => refused(
            "--temp",
            format!("honey cannot be read at {degrees:.1} °C"),
            "a temperature from 0 to 60 °C",
        ),
        MoistureError::NotAReading if moisture_shown(alone).is_ok() => refused(
            "--resolution",
            format!("a step of {} leaves everything open", shown.resolution),
            "the step of the scale, such as 0.0005 for an index,",
        ),
        MoistureError::NotAReading | MoistureError::OutsideFit { .. } => {
            let accepted = match read.scale {
                Scale::Index(_) => "an index of liquid honey, such as 1.4915,",
                Scale::Brix(_) => "degrees Brix of liquid honey, such as 81,",
                Scale::Water(_) => "water from 12.9 to 25.1 %, such as 17.8%,",
            };
            refused(read.flag, error, accepted)
        }
    }
}

fn sentence(percent: f64, (lo, hi): (f64, f64), index_at_20: f64) -> String {
    let places = if hi - lo < 0.1 { 2 } else { 1 };
    format!(
        "{percent:.places$} % water, between {lo:.places$} and {hi:.places$} %; the refractive index at 20 °C is {index_at_20:.5}."
    )
}

fn notes_of_temperature(flags: &Flags, instrument: Instrument) -> Option<String> {
    match (instrument, &flags.temp) {
        (Instrument::Compensating, Some(temp)) => Some(format!(
            "the instrument corrects for temperature itself: --temp {temp} is ignored, for correcting twice would be wrong"
        )),
        (Instrument::Compensating, None) => {
            Some("the instrument corrects for temperature itself: nothing is corrected here".to_owned())
        }
        (Instrument::Plain { .. }, None) => note_of_20("--temp", None),
        (Instrument::Plain { .. }, Some(_)) => correction(instrument).map(|at| {
            let moved = INDEX_PER_CELSIUS.value * (at.get() - 20.0);
            format!("the index is moved by {moved:+.5} to 20 °C; this correction is known near 20 °C only")
        }),
    }
}

fn note_of_resolution(flags: &Flags, step: Decimal) -> Option<String> {
    flags.resolution.is_none().then(|| {
        format!("no --resolution is given: a step of {step}, one unit of the last digit typed, is assumed")
    })
}

fn note_of_brix(read: &Read) -> Option<String> {
    let Scale::Brix(brix) = read.scale else {
        return None;
    };
    let (by_line, by_habit) = (BRIX_AND_WATER.value - brix, 100.0 - brix);
    Some(format!(
        "caution: {} °Bx is {by_line:.1} % water by {} − Brix, used here, but {by_habit:.1} % by 100 − Brix, which is often taught and overstates the water in honey by about {} points (both before any correction for temperature; the line is second-hand, ±0.2 points)",
        read.digits, BRIX_AND_WATER.value, HUNDRED_MINUS_BRIX_OVERSTATES.value,
    ))
}

fn note_of_interval(found: &Moisture) -> Option<String> {
    (found.lo < 12.9 || found.hi > 25.1).then(|| {
        "the interval reaches beyond the 12.9 to 25.1 % water that the relation holds for: its outer end is a rough one".to_owned()
    })
}
