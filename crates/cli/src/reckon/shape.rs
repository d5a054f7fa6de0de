//! The section of a hive as it is typed: one flag for each shape, with its measures by name.
//!
//! Holds true: exactly one shape is given, each of its measures once, none above ten metres.

use quantity::{Length, Reading, Unit};
use reckon::section::{Section, Shape};

use super::Refused;
use super::quantities::{bare, length, refused};

/// The flags of a section; one of them is to be given.
#[derive(Debug, clap::Args)]
pub(super) struct ShapeFlags {
    /// Straight walls leaning in towards a level floor, such as top=44.5cm,floor=19cm,depth=28cm
    #[arg(long, value_name = "MEASURES", allow_hyphen_values = true)]
    slope: Option<String>,
    /// Upright walls, such as width=38cm,depth=25cm
    #[arg(long, value_name = "MEASURES", allow_hyphen_values = true)]
    upright: Option<String>,
    /// A drum on its side, such as diameter=57cm,depth=28cm; the depth from the bars to the lowest point
    #[arg(long, value_name = "MEASURES", allow_hyphen_values = true)]
    drum: Option<String>,
    /// The curve of a hanging chain, such as top=45cm,depth=30cm
    #[arg(long, value_name = "MEASURES", allow_hyphen_values = true)]
    catenary: Option<String>,
    /// Corners in cm in order round the outline, the bars from the first to the second, such as "0,0 44.5,0 30,28 14.5,28"
    #[arg(long, value_name = "CORNERS", allow_hyphen_values = true)]
    polygon: Option<String>,
    /// A piece of a circle, such as width=45cm,depth=20cm
    #[arg(long, value_name = "MEASURES", allow_hyphen_values = true)]
    arc: Option<String>,
}

/// No hive is wider; beyond it a slip of the unit is more likely.
pub(super) const LARGEST: Length = Length::mm(10_000);

const ONE_SHAPE: &str = "one of --slope, --upright, --drum, --catenary, --polygon and --arc, such as --slope top=44.5cm,floor=19cm,depth=28cm,";

impl ShapeFlags {
    /// Whether any shape is given.
    pub(super) fn is_given(&self) -> bool {
        !self.given().is_empty()
    }

    fn given(&self) -> Vec<(&'static str, &str)> {
        let all = [
            ("--slope", &self.slope),
            ("--upright", &self.upright),
            ("--drum", &self.drum),
            ("--catenary", &self.catenary),
            ("--polygon", &self.polygon),
            ("--arc", &self.arc),
        ];
        all.into_iter()
            .filter_map(|(flag, typed)| Some((flag, typed.as_deref()?)))
            .collect()
    }

    /// The section that the one shape given makes.
    pub(super) fn section(&self) -> Result<Section, Refused> {
        match self.given()[..] {
            [(flag, typed)] => section_of(flag, typed),
            [] => Err(refused("--slope", "no shape of the section is given", ONE_SHAPE)),
            [(first, _), (second, _), ..] => Err(refused(
                &format!("{first} and {second}"),
                "a section has one shape",
                ONE_SHAPE,
            )),
        }
    }
}

/// A length that a hive may have, of more than nothing or, where `least` says so, of nothing.
pub(super) fn hive_length(flag: &str, given: Option<&String>, least: Length) -> Result<Length, Refused> {
    let length = length(flag, given)?;
    if length > LARGEST {
        return Err(refused(flag, "no hive is so large", "a length up to 10 m"));
    }
    (length >= least).then_some(length).ok_or_else(|| {
        let accepted = "a length of more than nothing, such as 35mm,";
        refused(flag, "this is no length", accepted)
    })
}

/// The least length that is more than nothing.
pub(super) const SOMETHING: Length = Length::from_steps(1);

fn section_of(flag: &str, typed: &str) -> Result<Section, Refused> {
    let shape = match flag {
        "--slope" => {
            let [top, floor, depth] = measures(flag, typed, ["top", "floor", "depth"])?;
            Shape::Slope { top, floor, depth }
        }
        "--upright" => {
            let [width, depth] = measures(flag, typed, ["width", "depth"])?;
            Shape::Upright { width, depth }
        }
        "--drum" => {
            let [diameter, depth] = measures(flag, typed, ["diameter", "depth"])?;
            Shape::Drum { diameter, depth }
        }
        "--catenary" => {
            let [top, depth] = measures(flag, typed, ["top", "depth"])?;
            Shape::Catenary { top, depth }
        }
        "--arc" => arc(flag, measures(flag, typed, ["width", "depth"])?)?,
        _ => Shape::Polygon(corners(flag, typed)?),
    };
    Section::new(shape).map_err(|error| refused(flag, error, example(flag)))
}

/// A piece of a circle that is not so flat that its area drowns in rounding.
fn arc(flag: &str, [width, depth]: [Length; 2]) -> Result<Shape, Refused> {
    let is_flat = depth
        .checked_mul(100)
        .is_some_and(|hundredfold| hundredfold < width);
    if is_flat && !depth.is_zero() {
        return Err(refused(
            flag,
            "this arc is too flat",
            "a depth of a hundredth of the width or more",
        ));
    }
    Ok(Shape::Arc { width, depth })
}

/// Measures typed as `name=length` with commas between, in the order of the names.
fn measures<const N: usize>(flag: &str, typed: &str, names: [&str; N]) -> Result<[Length; N], Refused> {
    let mut found = [None; N];
    for piece in typed.split(',') {
        let (name, value) = piece.split_once('=').ok_or_else(|| {
            let wrong =
                format!("\"{piece}\" has no name (a comma parts measures; the decimal sign is the point)");
            refused(flag, wrong, example(flag))
        })?;
        let name = name.trim();
        let place = names.iter().position(|&known| known == name).ok_or_else(|| {
            refused(
                flag,
                format!("\"{name}\" is no measure of this shape"),
                example(flag),
            )
        })?;
        if found[place].is_some() {
            return Err(refused(flag, format!("\"{name}\" is given twice"), example(flag)));
        }
        let measured = hive_length(&format!("{flag} {name}"), Some(&value.to_owned()), Length::ZERO)?;
        found[place] = Some(measured);
    }
    let mut lengths = [Length::ZERO; N];
    for ((length, measured), name) in lengths.iter_mut().zip(found).zip(names) {
        *length = measured.ok_or_else(|| refused(flag, format!("\"{name}\" is missing"), example(flag)))?;
    }
    Ok(lengths)
}

/// Corners typed as `x,y` in centimetres with spaces between.
fn corners(flag: &str, typed: &str) -> Result<Vec<(Length, Length)>, Refused> {
    typed
        .split_whitespace()
        .map(|corner| {
            let (x, y) = corner.split_once(',').ok_or_else(|| {
                let wrong = format!("\"{corner}\" is no corner");
                refused(flag, wrong, example(flag))
            })?;
            Ok((centimetres(flag, x)?, centimetres(flag, y)?))
        })
        .collect()
}

fn centimetres(flag: &str, typed: &str) -> Result<Length, Refused> {
    let digits = bare(flag, typed, &[], example(flag))?;
    Reading::new(digits, Unit::Cm)
        .length()
        .filter(|length| (-LARGEST..=LARGEST).contains(length))
        .ok_or_else(|| refused(flag, format!("{digits} cm is too far out"), "corners within 10 m"))
}

fn example(flag: &str) -> &'static str {
    match flag {
        "--slope" => "top=44.5cm,floor=19cm,depth=28cm",
        "--upright" => "width=38cm,depth=25cm",
        "--drum" => "diameter=57cm,depth=28cm",
        "--catenary" => "top=45cm,depth=30cm",
        "--arc" => "width=45cm,depth=20cm",
        _ => "an outline in cm that does not cross itself, such as \"0,0 44.5,0 30,28 14.5,28\",",
    }
}
