//! What one bar bears: honey, wax and cells of its comb.

use quantity::{Area, Estimate, Fraction, Length, UnitKind};
use reckon::comb::{EIGHTHS_G_PER_DM2, FILL, USUAL_THICKNESS, cells_per_dm2, part_full_comb_g};
use reckon::sources::{BETTS_1938, COMMON_PRACTICE, WAX_OF_COMB};
use reckon::strength::figures::{CELL_USUAL_MM, WAX_G_PER_DM2};
use serde_json::Value;

use super::Refused;
use super::answer::{Answer, rounded, table};
use super::cells::cell_width;
use super::quantities::{bare, fraction, number, reading, refused};
use super::section::bee_space;
use super::shape::{SOMETHING, ShapeFlags, hive_length};

#[derive(Debug, clap::Args)]
#[command(
    after_help = "Example:\n  combwright reckon bar --area 8.9dm2 --drawn 80% --thickness 25mm --capped 80%"
)]
pub(super) struct Flags {
    /// One face of the comb, or of the full outline if --drawn is given
    #[arg(long, value_name = "AREA", allow_hyphen_values = true)]
    area: Option<String>,
    #[command(flatten)]
    shape: ShapeFlags,
    /// The bee space between comb and walls of a section [default: 8mm]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    bee_space: Option<String>,
    /// How far the comb is drawn, in per cent or as 6/8 [default: 100%]
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    drawn: Option<String>,
    /// The thickness of the sealed comb [default: 25mm]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    thickness: Option<String>,
    /// How much of the drawn comb is capped honey, in per cent or as 6/8
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    capped: Option<String>,
    /// The width of a cell from wall to wall [default: 5.3mm]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    cell: Option<String>,
}

/// No comb is larger; beyond it a slip of the unit is more likely.
const LARGEST_CM2: f64 = 10_000.0;

pub(super) fn reckon(flags: &Flags) -> Result<Answer, Refused> {
    let face = face(flags)?;
    let drawn = share("--drawn", flags.drawn.as_ref())?;
    let capped = share("--capped", flags.capped.as_ref())?;
    let thickness = match &flags.thickness {
        Some(_) => hive_length("--thickness", flags.thickness.as_ref(), SOMETHING)?,
        None => USUAL_THICKNESS,
    };
    let comb = drawn.map_or(face, |drawn| face.part(drawn));
    let honey_g = capped
        .map(|capped| {
            part_full_comb_g(comb, thickness, capped)
                .ok_or_else(|| refused("--thickness", "a comb has a thickness", "a length such as 25mm"))
        })
        .transpose()?;
    let both_faces = cells_per_dm2(cell(flags)?)
        .ok_or_else(|| {
            refused(
                "--cell",
                "a cell of no width is no cell",
                "a length such as 5.3mm",
            )
        })?
        .both_faces;
    let cells = comb.to_dm2() * both_faces;
    let wax_g = WAX_G_PER_DM2.map(|per_dm2| per_dm2.value * comb.to_dm2());
    let kg = |of: fn(Estimate) -> f64| honey_g.map_or(Value::Null, |honey| rounded(of(honey) / 1_000.0, 6));
    Ok(Answer::saying(for_people(comb, honey_g, wax_g, cells))
        .with("honey_kg", kg(Estimate::value))
        .with("honey_lo_kg", kg(Estimate::lo))
        .with("honey_hi_kg", kg(Estimate::hi))
        .with("wax_g_lo", rounded(wax_g[0], 2))
        .with("wax_g_hi", rounded(wax_g[1], 2))
        .with("cells", rounded(cells, 0))
        .with("comb_cm2", rounded(comb.to_cm2(), 2))
        .noting(notes(flags))
        .resting_on(FILL.source)
        .resting_on(EIGHTHS_G_PER_DM2.source)
        .resting_on(&WAX_OF_COMB)
        .resting_on(CELL_USUAL_MM.source)
        .resting_on(&BETTS_1938)
        .resting_on(&COMMON_PRACTICE))
}

/// One face of the full outline.
fn face(flags: &Flags) -> Result<Area, Refused> {
    let accepted = "an area such as 8.9dm2 or \"138 in2\"";
    match &flags.area {
        Some(_) if flags.shape.is_given() => Err(refused(
            "--area",
            "the comb is given by its area and by a section",
            "one of them",
        )),
        Some(_) => {
            if flags.bee_space.is_some() {
                return Err(refused(
                    "--bee-space",
                    "a comb's own --area has no bee space to take off",
                    "a section, or --area alone,",
                ));
            }
            let read = reading("--area", flags.area.as_ref(), UnitKind::Area)?;
            let area = read
                .area()
                .ok_or_else(|| refused("--area", format!("{read} is less than nothing"), accepted))?;
            sized(area, "--area", accepted)
        }
        None if !flags.shape.is_given() => Err(refused(
            "--area",
            "neither an area nor a section is given",
            "an area such as 8.9dm2, or a section such as --slope top=44.5cm,floor=19cm,depth=28cm,",
        )),
        None => {
            let given = flags.bee_space.as_ref();
            let space = given
                .map(|_| hive_length("--bee-space", given, Length::ZERO))
                .transpose()?;
            let comb = flags.shape.section()?.comb(bee_space(space)?);
            sized(comb, "--bee-space", "a smaller bee space or a larger section")
        }
    }
}

fn sized(area: Area, flag: &str, accepted: &str) -> Result<Area, Refused> {
    if area.to_cm2() <= 0.0 {
        Err(refused(flag, "there is no room for a comb", accepted))
    } else if area.to_cm2() > LARGEST_CM2 {
        Err(refused(flag, "no comb is so large", "a face up to 1 m2"))
    } else {
        Ok(area)
    }
}

/// A share in per cent, or in eighths.
fn share(flag: &str, given: Option<&String>) -> Result<Option<Fraction>, Refused> {
    let Some(typed) = given else { return Ok(None) };
    let accepted = "a share from 0/8 to 8/8 or from 0% to 100%";
    match typed.trim().strip_suffix("/8") {
        Some(eighths) => {
            let eighths = number(bare(flag, eighths, &[], accepted)?);
            Fraction::new(eighths / 8.0)
                .map(Some)
                .ok_or_else(|| refused(flag, format!("{typed} is no part of a whole"), accepted))
        }
        None => fraction(flag, given).map(Some),
    }
}

fn cell(flags: &Flags) -> Result<Length, Refused> {
    match &flags.cell {
        Some(_) => cell_width("--cell", flags.cell.as_ref()),
        None => Ok(Length::from_mm_f64(CELL_USUAL_MM.value).expect("BUG: 5.3 mm is a length")),
    }
}

fn for_people(comb: Area, honey_g: Option<Estimate>, [least, most]: [f64; 2], cells: f64) -> String {
    let honey = honey_g.map_or_else(
        || "not known".to_owned(),
        |honey| {
            let kg = |g: f64| g / 1_000.0;
            format!(
                "{:.2} kg, between {:.2} and {:.2} kg",
                kg(honey.value()),
                kg(honey.lo()),
                kg(honey.hi())
            )
        },
    );
    table(&[
        ("one face of the drawn comb", format!("{:.0} cm2", comb.to_cm2())),
        ("capped honey", honey),
        ("wax of new comb", format!("between {least:.0} and {most:.0} g")),
        ("cells, both faces", format!("{cells:.0}")),
    ])
}

fn notes(flags: &Flags) -> Vec<String> {
    let mut notes = Vec::new();
    if flags.area.is_none() && flags.bee_space.is_none() {
        notes.push("no --bee-space is given: 8 mm is assumed (common practice, no source)".to_owned());
    }
    if flags.drawn.is_none() {
        notes.push("no --drawn is given: the whole area is taken as drawn".to_owned());
    }
    if flags.thickness.is_none() {
        notes.push("no --thickness is given: 25 mm is assumed (common practice, no source)".to_owned());
    }
    match &flags.capped {
        None => notes.push("no --capped is given: the honey is not known".to_owned()),
        Some(_) => {
            notes.push("the capped share is that of the drawn comb; open honey is not counted".to_owned());
        }
    }
    if flags.cell.is_none() {
        notes.push("no --cell is given: worker cells of 5.3 mm are assumed; published means go from 4.9 to 5.64 mm, which is 480 to 363 cells on a dm2 of one face".to_owned());
    }
    notes.push("the honey is what a model says of a comb full on both faces, its constants from memory; the interval spans what is told of full combs, 250 to 486 g for a dm2, and is widened where the thickness leads beyond".to_owned());
    notes.push("the wax is that of new comb, 9 to 11 g for a dm2, which two rules of keepers make; brood leaves cocoons, and old comb weighs more".to_owned());
    notes
}
