//! A layer as it is written: `pine 22mm`, `pine 18% 22mm`, `clay 1200kg/m3 40mm`, `air 20mm`, `0.12 W/mK 22mm`.

use std::fmt;

use quantity::{Estimate, Fraction, Length};

use super::Layer;
use super::materials::{Figure, Grade, MATERIALS, Material, give_or_take};

/// Why a layer cannot be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum LayerError {
    /// No thickness, or none above nothing.
    NoThickness,
    /// A number of W/mK that is none, or not between 0.001 and 1000.
    NoConductivity,
    /// No material of this name; the nearest that there is.
    Unknown {
        /// What was written.
        written: String,
        /// The nearest name.
        nearest: &'static str,
    },
    /// A material that needs its density, and between which, in kg/m³.
    NeedsDensity {
        /// The material.
        name: &'static str,
        /// The least density that is told.
        least: u32,
        /// The greatest density that is told.
        most: u32,
    },
    /// A material of one density was given another.
    TakesNoDensity {
        /// The material.
        name: &'static str,
    },
    /// A material that is no wood was given a moisture.
    TakesNoMoisture {
        /// The material.
        name: &'static str,
    },
    /// Wood so wet that its equation does not hold.
    TooWet,
    /// A gap of air thicker than 300 mm.
    TooWideGap,
}

impl fmt::Display for LayerError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoThickness => f.write_str(
                "a layer ends with its thickness in mm, cm, m or in, such as `pine 22mm` or `0.12 W/mK 22mm`",
            ),
            Self::NoConductivity => f.write_str("a conductivity lies between 0.001 and 1000 W/mK"),
            Self::Unknown { written, nearest } => write!(
                f,
                "no material is called `{written}`; the nearest is `{nearest}`, or give it as `0.12 W/mK`"
            ),
            Self::NeedsDensity { name, least, most } => write!(
                f,
                "`{name}` needs its density, {least} to {most} kg/m3, such as `{name} {least}kg/m3 40mm`"
            ),
            Self::TakesNoDensity { name } => write!(f, "`{name}` takes no density"),
            Self::TakesNoMoisture { name } => write!(f, "`{name}` takes no moisture, only wood does"),
            Self::TooWet => f.write_str("the moisture of wood is less than 25 %, such as `pine 18% 22mm`"),
            Self::TooWideGap => f.write_str("a gap of air is no wider than 300 mm"),
        }
    }
}

impl std::error::Error for LayerError {}

impl Layer {
    /// Reads a layer: a material, its density where it needs one and its moisture where it is wood, or a number of
    /// W/mK; then a thickness.
    ///
    /// A number of W/mK is taken to be as good as the tables are, to 20 per cent.
    pub fn read(written: &str) -> Result<Self, LayerError> {
        let (what, thickness) = split_amount(written, thickness).ok_or(LayerError::NoThickness)?;
        let conducts = match split_amount(what, conductivity) {
            Some(("", number)) if (0.001..=1_000.0).contains(&number) => {
                give_or_take(number).ok_or(LayerError::NoConductivity)?
            }
            Some(_) => return Err(LayerError::NoConductivity),
            None => {
                let (material, grade) = named(what)?;
                if material.figure == Figure::AirGap {
                    return Self::air(thickness).ok_or(LayerError::TooWideGap);
                }
                conducts(material, grade)?
            }
        };
        Self::new(conducts, thickness).ok_or(LayerError::NoThickness)
    }
}

/// How heavy a square metre of a layer is, in kg, from the words that [`Layer::read`] reads.
///
/// `None` where the layer cannot be read, and where it is told by what it conducts alone.
pub fn kg_per_m2(written: &str) -> Option<f64> {
    let (what, thickness) = split_amount(written, thickness)?;
    let (material, grade) = named(what).ok()?;
    let density = material.density_kg_per_m3(grade)?;
    Some(density * thickness.to_mm() / 1_000.0)
}

/// Whether a layer is sawn from a board: wood and plywood, and what is told by what it conducts alone.
pub fn is_board(written: &str) -> bool {
    let Some((what, _)) = split_amount(written, thickness) else {
        return false;
    };
    match split_amount(what, conductivity) {
        Some(("", _)) => true,
        Some(_) => false,
        None => named(what).is_ok_and(|(material, _)| {
            material.is_wood() || matches!(material.name, "hardwood" | "softwood" | "plywood")
        }),
    }
}

/// The material and its grade, each kind of amount at most once and in any order.
fn named(what: &str) -> Result<(&'static Material, Grade), LayerError> {
    let mut grade = Grade::default();
    let mut name = what;
    loop {
        if let (None, Some((before, told))) = (grade.density_kg_per_m3, split_amount(name, density)) {
            (name, grade.density_kg_per_m3) = (before, Some(told));
        } else if let (None, Some((before, told))) = (grade.moisture, split_amount(name, moisture)) {
            (name, grade.moisture) = (before, Some(told));
        } else {
            break;
        }
    }
    let material = find(name)?;
    let name = material.name;
    if grade.density_kg_per_m3.is_some() && material.densities().is_none() {
        return Err(LayerError::TakesNoDensity { name });
    }
    if grade.moisture.is_some() && !material.is_wood() {
        return Err(LayerError::TakesNoMoisture { name });
    }
    Ok((material, grade))
}

fn conducts(material: &'static Material, grade: Grade) -> Result<Estimate, LayerError> {
    let conducts = material.conductivity_w_per_mk(grade);
    let dry = Grade {
        moisture: None,
        ..grade
    };
    conducts.ok_or_else(
        || match (material.densities(), material.conductivity_w_per_mk(dry)) {
            (Some((least, most)), None) => LayerError::NeedsDensity {
                name: material.name,
                least,
                most,
            },
            _ => LayerError::TooWet,
        },
    )
}

fn find(written: &str) -> Result<&'static Material, LayerError> {
    let words: Vec<String> = written.split_whitespace().map(str::to_lowercase).collect();
    let name = words.join(" ");
    let by_likeness = |material: &&Material| {
        let likeness = strsim::jaro_winkler(&name, material.name);
        (likeness * 1e6) as u32
    };
    if let Some(material) = MATERIALS.iter().find(|material| material.name == name) {
        return Ok(material);
    }
    let nearest = MATERIALS.iter().max_by_key(by_likeness);
    Err(LayerError::Unknown {
        written: written.trim().to_owned(),
        nearest: nearest.expect("BUG: there are materials").name,
    })
}

/// What stands before the amount at the end of a text, and the amount: a number with its unit beside it or as the
/// next word.
fn split_amount<T>(text: &str, read: fn(&str, &str) -> Option<T>) -> Option<(&str, T)> {
    let text = text.trim();
    let amount = |start: usize| {
        let (number, unit) = split_unit(&text[start..]);
        Some((text[..start].trim(), read(number, unit)?))
    };
    let starts = text.char_indices().rev().filter(|(at, _)| {
        let before = text[..*at].chars().next_back();
        before.is_none_or(char::is_whitespace)
    });
    starts.take(2).find_map(|(start, _)| {
        text[start..]
            .starts_with(|c: char| c.is_ascii_digit())
            .then(|| amount(start))?
    })
}

/// A number and the unit after it.
fn split_unit(amount: &str) -> (&str, &str) {
    let is_number = |c: char| c.is_ascii_digit() || matches!(c, '.' | '/' | '-');
    let end = amount.find(|c| !is_number(c)).unwrap_or(amount.len());
    (&amount[..end], amount[end..].trim())
}

fn thickness(number: &str, unit: &str) -> Option<Length> {
    let mm_each = match unit.to_lowercase().as_str() {
        "mm" => 1.0,
        "cm" => 10.0,
        "m" => 1_000.0,
        "in" => 25.4,
        _ => return None,
    };
    Length::from_mm_f64(mm_each * plain_or_fraction(number)?).filter(|length| *length > Length::ZERO)
}

fn conductivity(number: &str, unit: &str) -> Option<f64> {
    let unit = unit.to_lowercase();
    matches!(
        unit.as_str(),
        "w/mk" | "w/m/k" | "w/(mk)" | "w/(m·k)" | "w/(m.k)" | "w/m·k"
    )
    .then(|| number.parse().ok())?
}

fn density(number: &str, unit: &str) -> Option<f64> {
    matches!(unit.to_lowercase().as_str(), "kg/m3" | "kg/m³").then(|| number.parse().ok())?
}

fn moisture(number: &str, unit: &str) -> Option<Fraction> {
    (unit == "%").then(|| Fraction::percent(number.parse().ok()?))?
}

/// `22`, `3/4` or `1-1/4`.
fn plain_or_fraction(number: &str) -> Option<f64> {
    let (whole, fraction) = match number.split_once('-') {
        Some((whole, fraction)) => (whole.parse().ok()?, fraction),
        None => (0.0, number),
    };
    match fraction.split_once('/') {
        Some((above, below)) => {
            let (above, below): (f64, f64) = (above.parse().ok()?, below.parse().ok()?);
            (below > 0.0).then_some(whole + above / below)
        }
        None => (!number.contains('-')).then(|| fraction.parse().ok())?,
    }
}
