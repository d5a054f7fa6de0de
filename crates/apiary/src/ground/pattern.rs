//! Patterns: what a hive of a design is like, as far as its note says.
//!
//! Holds true: what was not said is unknown; a layer of wall, cover or base that cannot be read is no layer, and a
//! misgiving says so when the note is written.
//!
//! Does not: assume what was not said (see [`super::design`]).

use quantity::{Area, Estimate, Length};
use reckon::wall::Layer;
use reckon::{comb, section};

use crate::complaint::{Misgiving, Weight};
use crate::holding::Holding;
use crate::note::{Fact, Name, Value};
use crate::told::Told;

/// A design of hives.
#[derive(Clone, Debug)]
pub struct Pattern {
    /// Its label.
    pub label: Name,
    /// The shape, in the word of the note.
    pub shape: &'static str,
    /// The entry that described it.
    pub made_by: usize,
    /// The inside measures across; unknown where those said do not make a section.
    pub section: Option<section::Section>,
    /// The width of a bar, where it was said.
    pub bar: Option<Length>,
    /// The inside length of a hive, where it was said.
    pub length: Option<Length>,
    /// One face of a full comb inside the bee space; unknown where the measures do not make a section.
    pub comb: Option<Area>,
    /// Grams of honey in a full comb.
    pub full_g: Option<Estimate>,
    /// What else was said of how it is built.
    pub built: Built,
}

/// How a hive of a pattern is built, as far as it was said.
#[derive(Clone, Debug, Default)]
pub struct Built {
    /// Across the hive.
    pub bar_length: Option<Length>,
    /// From top to underside.
    pub bar_thickness: Option<Length>,
    /// What the bees begin their comb at.
    pub guide: Option<String>,
    /// What the bees leave between comb and walls.
    pub bee_space: Option<Length>,
    /// What of the length is left for swelling and propolis.
    pub allowance: Option<Length>,
    /// How thick a full comb is.
    pub comb_thickness: Option<Length>,
    /// Strips between bars: how many, and how wide.
    pub spacers: Option<(u32, Length)>,
    /// Boards that close off a part of the hive.
    pub followers: Option<u32>,
    /// Where bees go in and out.
    pub entrances: Vec<Entrance>,
    /// The walls from the inside outwards.
    pub walls: Vec<Sheet>,
    /// The end boards from the inside outwards.
    pub ends: Vec<Sheet>,
    /// What lies above the comb, the bars first.
    pub cover: Vec<Sheet>,
    /// The floor from the inside outwards.
    pub base: Vec<Sheet>,
    /// A pane to look in by: its length along the hive, its depth, and what it is of.
    pub pane: Option<(Length, Length, Sheet)>,
    /// From the ground to the bars.
    pub height: Option<Length>,
    /// The width and thickness of a leg.
    pub leg: Option<(Length, Length)>,
    /// How far the roof reaches beyond the hive.
    pub overhang: Option<Length>,
    /// What a drum held before.
    pub held: Option<String>,
    /// What it is made of, in the keeper's own words.
    pub material: Option<String>,
}

/// Entrances of one kind.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Entrance {
    /// How many.
    pub count: u32,
    /// What one is like.
    pub opening: Opening,
    /// Where they are: `side`, `end` or `floor`.
    pub place: &'static str,
}

/// The shape of an entrance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Opening {
    /// A slot.
    Slot {
        /// Level.
        width: Length,
        /// Upright.
        height: Length,
    },
    /// A round hole.
    Hole {
        /// Its diameter.
        diameter: Length,
    },
}

impl Entrance {
    /// The area of all of them.
    pub fn area_cm2(&self) -> f64 {
        let one = match self.opening {
            Opening::Slot { width, height } => width.to_cm() * height.to_cm(),
            Opening::Hole { diameter } => std::f64::consts::FRAC_PI_4 * diameter.to_cm() * diameter.to_cm(),
        };
        f64::from(self.count) * one
    }
}

/// A layer of a wall, as it was written and as it is understood.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// As it was written: `pine 22 mm`.
    pub written: String,
    /// What it resists.
    pub layer: Layer,
}

impl Sheet {
    fn read(written: &str) -> Option<Self> {
        let layer = Layer::read(written).ok()?;
        Some(Self {
            written: written.to_owned(),
            layer,
        })
    }
}

/// The room that bees leave between comb and wall; northern races leave 7 to 9 mm (Bees for Development
/// Journal 118, 2016).
pub const BEE_SPACE: Length = Length::mm(8);

/// The measures that a section and its length are made of.
const MEASURES: [&str; 7] = ["top", "floor", "width", "diameter", "depth", "length", "bar"];

/// The other measures of a hive.
const OTHER_MEASURES: [&str; 14] = [
    "bar_length",
    "bar_thickness",
    "space",
    "comb",
    "spacer",
    "slot_width",
    "slot_height",
    "hole",
    "pane_length",
    "pane_depth",
    "height",
    "leg_width",
    "leg_thickness",
    "allowance",
];

/// The fields that hold layers.
const LAYERS: [&str; 5] = ["wall", "ends", "cover", "base", "pane"];

pub(super) fn misgivings(fact: &Fact, out: &mut Vec<Misgiving>) {
    let mut doubt = |field, says: String| {
        out.push(Misgiving::new(Weight::Impossible, says).on(field));
    };
    for field in MEASURES.into_iter().chain(OTHER_MEASURES) {
        let may_be_nothing = matches!(field, "floor" | "space" | "allowance");
        for length in lengths(fact, field) {
            let is_nothing = may_be_nothing && length.is_zero();
            if !(is_nothing || is_measure_of_a_hive(length)) {
                doubt(field, "a measure of a hive lies between 1 mm and 10 m".to_owned());
            }
        }
    }
    for field in LAYERS {
        for written in texts(fact, field) {
            if let Err(error) = Layer::read(written) {
                doubt(field, error.to_string());
            }
        }
    }
    let shape = fact.choice("shape").unwrap_or_default();
    match (shape, fact.text("corners")) {
        ("polygon", Some(corners)) => {
            if let Err(says) = polygon(corners) {
                doubt("corners", says);
            }
        }
        ("polygon", None) => doubt(
            "shape",
            "a polygon has its corners in cm, such as corners \"0,0 40,0 34,30 6,30\"".to_owned(),
        ),
        (_, Some(_)) => doubt("corners", "corners belong to the shape polygon".to_owned()),
        _ => {}
    }
    if fact.text("held").is_some() && shape != "drum" {
        doubt("held", "what was held before is said of a drum".to_owned());
    }
    if out.is_empty()
        && let Err(says) = section_told(fact)
    {
        out.push(Misgiving::new(Weight::Remark, says).on("shape"));
    }
}

fn is_measure_of_a_hive(length: Length) -> bool {
    (Length::mm(1)..=Length::mm(10_000)).contains(&length)
}

fn lengths<'a>(fact: &'a Fact, field: &'a str) -> impl Iterator<Item = Length> + 'a {
    let of_field = fact.values().iter().filter(move |(of, _)| *of == field);
    of_field.filter_map(|(_, value)| match value {
        Value::Reading(reading) => reading.length(),
        _ => None,
    })
}

fn texts<'a>(fact: &'a Fact, field: &'a str) -> impl Iterator<Item = &'a str> + 'a {
    let of_field = fact.values().iter().filter(move |(of, _)| *of == field);
    of_field.filter_map(|(_, value)| match value {
        Value::Text(text) => Some(text.as_str()),
        _ => None,
    })
}

pub(super) fn fold(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    let Some(label) = fact.name("pattern") else { return };
    let built = built(fact);
    let section = section_told(fact).ok();
    let bee_space = built.bee_space.unwrap_or(BEE_SPACE);
    let comb = section.as_ref().map(|section| section.comb(bee_space));
    let thickness = built.comb_thickness.unwrap_or(comb::USUAL_THICKNESS);
    let full_g = comb.and_then(|area| comb::full_comb_g(area, thickness));
    let pattern = Pattern {
        label: label.clone(),
        shape: fact.choice("shape").unwrap_or_default(),
        made_by: told.entry,
        section,
        bar: measure(fact, "bar"),
        length: measure(fact, "length"),
        comb,
        full_g,
        built,
    };
    let id = h.ground.patterns.add(pattern);
    h.ground.pattern_labels.give(label, id, told.entry);
}

fn measure(fact: &Fact, field: &str) -> Option<Length> {
    fact.length(field).filter(|length| is_measure_of_a_hive(*length))
}

/// A measure that may be nothing.
fn gap(fact: &Fact, field: &str) -> Option<Length> {
    let none = fact.length(field).filter(|length| length.is_zero());
    none.or_else(|| measure(fact, field))
}

fn built(fact: &Fact) -> Built {
    let sheets = |field: &'static str| texts(fact, field).filter_map(Sheet::read).collect();
    let pair = |one, other| measure(fact, one).zip(measure(fact, other));
    let pane = pair("pane_length", "pane_depth").zip(fact.text("pane").and_then(Sheet::read));
    Built {
        bar_length: measure(fact, "bar_length"),
        bar_thickness: measure(fact, "bar_thickness"),
        guide: fact.text("guide").map(str::to_owned),
        bee_space: gap(fact, "space"),
        allowance: gap(fact, "allowance"),
        comb_thickness: measure(fact, "comb"),
        spacers: fact.count("spacers").zip(measure(fact, "spacer")),
        followers: fact.count("followers"),
        entrances: entrances(fact),
        walls: sheets("wall"),
        ends: sheets("ends"),
        cover: sheets("cover"),
        base: sheets("base"),
        pane: pane.map(|((length, depth), sheet)| (length, depth, sheet)),
        height: measure(fact, "height"),
        leg: pair("leg_width", "leg_thickness"),
        overhang: measure(fact, "overhang"),
        held: fact.text("held").map(str::to_owned),
        material: fact.text("material").map(str::to_owned),
    }
}

/// Entrances; the values of one kind stand behind each other, its place last.
fn entrances(fact: &Fact) -> Vec<Entrance> {
    let mut out = Vec::new();
    let (mut count, mut measures) = (0, Vec::new());
    for (field, value) in fact.values() {
        match (*field, value) {
            ("slots" | "holes", Value::Count(said)) => (count, measures) = (*said, Vec::new()),
            ("slot_width" | "slot_height" | "hole", Value::Reading(reading)) => {
                measures.extend(reading.length().filter(|length| is_measure_of_a_hive(*length)));
            }
            ("slot_in" | "hole_in", Value::Word(place)) => {
                let opening = match measures.as_slice() {
                    [width, height] => Opening::Slot {
                        width: *width,
                        height: *height,
                    },
                    [diameter] => Opening::Hole { diameter: *diameter },
                    _ => continue,
                };
                out.push(Entrance {
                    count,
                    opening,
                    place,
                });
            }
            _ => {}
        }
    }
    out
}

/// The section that the measures make, or why they make none.
fn section_told(fact: &Fact) -> Result<section::Section, String> {
    if let Some(corners) = fact.text("corners") {
        return polygon(corners);
    }
    let outside = MEASURES
        .into_iter()
        .flat_map(|field| lengths(fact, field).map(move |length| (field, length)))
        .any(|(field, length)| !(is_measure_of_a_hive(length) || field == "floor" && length.is_zero()));
    if outside || is_nearly_flat(fact) {
        return Err("a section less deep than a hundredth of its width holds no comb".to_owned());
    }
    let said = |field: &'static str| fact.length(field).ok_or(field);
    let width = || said("width").or_else(|_| said("top"));
    let shape = match fact.choice("shape").unwrap_or_default() {
        "slope" => slope(said("top"), said("floor"), said("depth")),
        "upright" => width().and_then(|width| {
            let depth = said("depth")?;
            Ok(section::Shape::Upright { width, depth })
        }),
        "drum" => said("diameter").and_then(|diameter| {
            let depth = said("depth")?;
            Ok(section::Shape::Drum { diameter, depth })
        }),
        "arc" => width().and_then(|width| {
            let depth = said("depth")?;
            Ok(section::Shape::Arc { width, depth })
        }),
        _ => width().and_then(|top| {
            let depth = said("depth")?;
            Ok(section::Shape::Catenary { top, depth })
        }),
    };
    let shape =
        shape.map_err(|lacking| format!("nothing follows from this pattern until it says its {lacking}"))?;
    section::Section::new(shape).map_err(|error| format!("these measures make no section: {error}"))
}

fn slope(
    top: Result<Length, &'static str>,
    floor: Result<Length, &'static str>,
    depth: Result<Length, &'static str>,
) -> Result<section::Shape, &'static str> {
    Ok(section::Shape::Slope {
        top: top?,
        floor: floor?,
        depth: depth?,
    })
}

/// A section from its corners, `0,0 40,0 34,30 6,30` in cm.
fn polygon(corners: &str) -> Result<section::Section, String> {
    let says = || {
        "corners are pairs of cm in order round the outline, the bars from the first to the second, such as \"0,0 40,0 34,30 6,30\"".to_owned()
    };
    let cm = |text: &str| -> Option<Length> {
        let cm: f64 = text.parse().ok()?;
        Length::from_mm_f64(10.0 * cm).filter(|length| length.abs() <= Length::mm(10_000))
    };
    let corners: Option<Vec<_>> = corners
        .split_whitespace()
        .map(|pair| {
            let (x, y) = pair.split_once(',')?;
            cm(x).zip(cm(y))
        })
        .collect();
    let corners = corners.ok_or_else(says)?;
    section::Section::new(section::Shape::Polygon(corners)).map_err(|error| error.to_string())
}

/// A section less deep than a hundredth of its width holds no comb.
fn is_nearly_flat(fact: &Fact) -> bool {
    let widest = ["top", "width", "diameter"]
        .into_iter()
        .filter_map(|field| fact.length(field))
        .max();
    let depth = fact.length("depth");
    widest
        .zip(depth)
        .is_some_and(|(widest, depth)| depth.to_mm() < widest.to_mm() / 100.0)
}
