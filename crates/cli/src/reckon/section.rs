//! What a hive of a given section holds: volume, bars, and one comb with its honey.

use quantity::{Area, Estimate, Length, Mass};
use reckon::comb::{EIGHTHS_G_PER_DM2, FILL, USUAL_THICKNESS, full_comb_g, load_g_per_cm};
use reckon::section::{Section, bars_that_fit};
use reckon::sources::COMMON_PRACTICE;
use serde_json::Value;

use super::Refused;
use super::answer::{Answer, rounded, table};
use super::quantities::refused;
use super::shape::{SOMETHING, ShapeFlags, hive_length};

#[derive(Debug, clap::Args)]
#[command(
    after_help = "Example:\n  combwright reckon section --slope top=44.5cm,floor=19cm,depth=28cm --length 955mm --bar 35mm"
)]
pub(super) struct Flags {
    #[command(flatten)]
    shape: ShapeFlags,
    /// The length of the hive inside
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    length: Option<String>,
    /// The width of a bar
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    bar: Option<String>,
    /// What of the length is left for swelling and propolis [default: 10mm]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    allowance: Option<String>,
    /// The bee space between comb and walls; along the bars there is none [default: 8mm]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    bee_space: Option<String>,
    /// The thickness of a full comb [default: 25mm]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    thickness: Option<String>,
}

/// Left for swelling and propolis; *common practice, no source*.
const USUAL_ALLOWANCE: Length = Length::mm(10);

/// Left by the bees between comb and wall; *common practice, no source*.
const USUAL_BEE_SPACE: Length = Length::mm(8);

/// Bees build comb into a wider gap; *common practice, no source*.
const WIDEST_BEE_SPACE: Length = Length::mm(20);

/// The measures beside the shape.
struct Measures {
    length: Option<Length>,
    bar: Option<Length>,
    allowance: Length,
    bee_space: Length,
    thickness: Length,
}

/// Everything that is told of a section.
struct Told {
    volume_l: Option<f64>,
    face: Area,
    comb: Area,
    bars: Option<u32>,
    lean_deg: Option<f64>,
    honey_g: Estimate,
    load_g_per_cm: Option<f64>,
    wetted: Option<Area>,
}

pub(super) fn reckon(flags: &Flags) -> Result<Answer, Refused> {
    let section = flags.shape.section()?;
    let measures = measures(flags)?;
    let told = told(&section, &measures)?;
    Ok(Answer::saying(for_people(&told))
        .with("volume_l", rounded_if_known(told.volume_l, 3))
        .with("face_cm2", rounded(told.face.to_cm2(), 2))
        .with("comb_cm2", rounded(told.comb.to_cm2(), 2))
        .with("bars", told.bars)
        .with("wall_from_vertical_deg", rounded_if_known(told.lean_deg, 2))
        .with("floor_to_wall_deg", rounded_if_known(told.floor_to_wall_deg(), 2))
        .with("honey_kg_full", rounded(told.honey_g.value() / 1_000.0, 6))
        .with("honey_kg_full_lo", rounded(told.honey_g.lo() / 1_000.0, 6))
        .with("honey_kg_full_hi", rounded(told.honey_g.hi() / 1_000.0, 6))
        .with("load_g_per_cm", rounded_if_known(told.load_g_per_cm, 2))
        .with(
            "wetted_wall_cm2",
            rounded_if_known(told.wetted.map(Area::to_cm2), 2),
        )
        .noting(notes_of_defaults(flags))
        .noting(notes(&told, &measures))
        .resting_on(FILL.source)
        .resting_on(EIGHTHS_G_PER_DM2.source)
        .resting_on(&COMMON_PRACTICE))
}

impl Told {
    fn floor_to_wall_deg(&self) -> Option<f64> {
        self.lean_deg.map(|lean| 90.0 + lean)
    }
}

fn measures(flags: &Flags) -> Result<Measures, Refused> {
    let some = |flag, given: &Option<String>| {
        given
            .as_ref()
            .map(|typed| hive_length(flag, Some(typed), SOMETHING))
            .transpose()
    };
    let any = |flag, given: &Option<String>| {
        given
            .as_ref()
            .map(|typed| hive_length(flag, Some(typed), Length::ZERO))
            .transpose()
    };
    Ok(Measures {
        length: some("--length", &flags.length)?,
        bar: some("--bar", &flags.bar)?,
        allowance: any("--allowance", &flags.allowance)?.unwrap_or(USUAL_ALLOWANCE),
        bee_space: bee_space(any("--bee-space", &flags.bee_space)?)?,
        thickness: some("--thickness", &flags.thickness)?.unwrap_or(USUAL_THICKNESS),
    })
}

/// The bee space given, or the usual one.
pub(super) fn bee_space(given: Option<Length>) -> Result<Length, Refused> {
    match given {
        None => Ok(USUAL_BEE_SPACE),
        Some(given) if given <= WIDEST_BEE_SPACE => Ok(given),
        Some(_) => Err(refused(
            "--bee-space",
            "bees would fill so wide a gap with comb (common practice, no source)",
            "a length up to 20mm",
        )),
    }
}

fn told(section: &Section, measures: &Measures) -> Result<Told, Refused> {
    let comb = section.comb(measures.bee_space);
    let honey_g = full_comb_g(comb, measures.thickness)
        .ok_or_else(|| refused("--thickness", "a comb has a thickness", "a length such as 25mm"))?;
    let load_g_per_cm = Mass::from_g_f64(honey_g.value())
        .and_then(|honey| load_g_per_cm(honey, section.width_at_bars(measures.bee_space)));
    Ok(Told {
        volume_l: measures.length.map(|length| section.volume(length).to_l()),
        face: section.face(),
        comb,
        bars: measures
            .length
            .zip(measures.bar)
            .and_then(|(length, bar)| bars_that_fit(length, bar, measures.allowance)),
        lean_deg: section.wall_from_vertical_deg(),
        honey_g,
        load_g_per_cm,
        wetted: measures.length.map(|length| section.wall() * length),
    })
}

fn rounded_if_known(value: Option<f64>, decimals: i32) -> Value {
    value.map_or(Value::Null, |value| rounded(value, decimals))
}

fn for_people(told: &Told) -> String {
    let known = |value: Option<f64>, decimals: usize, unit: &str| {
        value.map_or_else(
            || "not known".to_owned(),
            |value| format!("{value:.decimals$} {unit}"),
        )
    };
    let honey_kg = |g: f64| g / 1_000.0;
    table(&[
        ("volume below the bars", known(told.volume_l, 1, "l")),
        ("section below the bars", format!("{:.0} cm2", told.face.to_cm2())),
        ("one face of the comb", format!("{:.0} cm2", told.comb.to_cm2())),
        (
            "bars",
            told.bars
                .map_or_else(|| "not known".to_owned(), |bars| bars.to_string()),
        ),
        ("wall from upright", known(told.lean_deg, 1, "degrees")),
        (
            "floor to wall, inside",
            known(told.floor_to_wall_deg(), 1, "degrees"),
        ),
        (
            "honey of a full comb",
            format!(
                "{:.2} kg, between {:.2} and {:.2} kg",
                honey_kg(told.honey_g.value()),
                honey_kg(told.honey_g.lo()),
                honey_kg(told.honey_g.hi()),
            ),
        ),
        ("load at the bar", known(told.load_g_per_cm, 0, "g for each cm")),
        ("walls and floor", known(told.wetted.map(Area::to_cm2), 0, "cm2")),
    ])
}

fn notes_of_defaults(flags: &Flags) -> Vec<String> {
    let mut notes = Vec::new();
    if flags.length.is_none() {
        notes.push("no --length is given: volume, bars, walls and floor are not known".to_owned());
    } else if flags.bar.is_none() {
        notes.push("no --bar is given: the number of bars is not known".to_owned());
    } else if flags.allowance.is_none() {
        notes.push("no --allowance is given: 10 mm are left for swelling and propolis".to_owned());
    }
    if flags.bee_space.is_none() {
        notes.push("no --bee-space is given: 8 mm is assumed (common practice, no source)".to_owned());
    }
    if flags.thickness.is_none() {
        notes.push("no --thickness is given: 25 mm is assumed (common practice, no source)".to_owned());
    }
    notes
}

fn notes(told: &Told, measures: &Measures) -> Vec<String> {
    let mut notes = vec![
        "the honey is what a model says of a comb full on both faces, its constants from memory; the interval spans what is told of full combs, 250 to 486 g for a dm2, and is widened where the thickness leads beyond".to_owned(),
        "the load is that of the honey alone".to_owned(),
    ];
    if told.wetted.is_some() {
        notes.push("walls and floor are counted without the two ends".to_owned());
    }
    if told.lean_deg.is_none() {
        notes.push("the walls are curved or lean unlike: their angle is not one number".to_owned());
    }
    if told.comb.to_cm2() <= 0.0 {
        notes.push("this bee space leaves no room for a comb".to_owned());
    }
    if measures.length.is_some_and(|length| length < measures.allowance) {
        notes.push("the allowance is longer than the hive: no bar fits".to_owned());
    }
    notes
}
