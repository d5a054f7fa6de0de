//! What materials conduct, and where the figures come from.

use std::fmt;

use quantity::{Estimate, Fraction, Source};

use crate::sources::{
    AIR_LAYERS, AWC_CONDUCTIVITY, CIBSE_A, CORK_DIRACDELTA, ECOCOCON, FROM_MEMORY, ISO_10456, MINKE_CLAY,
    PIPING_DESIGNER, WILLIAMS_INSULATION, WOOD_HANDBOOK,
};

/// A material by name.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Material {
    /// What keepers call it.
    pub name: &'static str,
    /// What it conducts, or what that follows from.
    pub figure: Figure,
    /// Where the figure comes from.
    pub source: &'static Source,
}

/// What a conductivity follows from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Figure {
    /// W/(m·K), and the least and greatest that the source tells of.
    Plain(f64, f64, f64),
    /// Wood of this specific gravity, by [`wood_conductivity`] at 12 % of moisture; the gravities are from memory.
    Wood(f64),
    /// Wood of a density that is asked for, in kg/m³ as it stands at 12 % of moisture.
    WoodByDensity,
    /// Clay, with straw or without, of a dry density that is asked for, by [`clay_conductivity`].
    ClayByDensity,
    /// A gap of still air: what it resists follows from its thickness, see [`super::air_gap_m2k_per_w`].
    AirGap,
}

/// What a figure may follow from beside the material's name.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Grade {
    /// How dense it is, in kg/m³: wood as it stands, clay dry.
    pub density_kg_per_m3: Option<f64>,
    /// The moisture of wood, as a part of its dry mass; 12 % where it is not told.
    pub moisture: Option<Fraction>,
}

/// How sure the figure of a material is. Whatever the source, data of materials are good to 20 per cent.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HowSure {
    /// A standard or a publication, quoted elsewhere.
    Published,
    /// A handbook, quoted elsewhere.
    Handbook,
    /// A handbook's equation with a specific gravity from memory.
    HandbookAndMemory,
    /// From memory: no publication was found.
    FromMemory,
}

impl fmt::Display for HowSure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Published => "published",
            Self::Handbook => "handbook",
            Self::HandbookAndMemory => "handbook, its specific gravity from memory",
            Self::FromMemory => "from memory",
        })
    }
}

const fn plain(name: &'static str, figures: (f64, f64, f64), source: &'static Source) -> Material {
    let (value, least, most) = figures;
    Material {
        name,
        figure: Figure::Plain(value, least, most),
        source,
    }
}

const fn wood(name: &'static str, specific_gravity: f64) -> Material {
    Material {
        name,
        figure: Figure::Wood(specific_gravity),
        source: &WOOD_HANDBOOK,
    }
}

/// The materials, by name.
pub static MATERIALS: [Material; 40] = [
    plain("acrylic", (0.19, 0.18, 0.20), &ISO_10456),
    Material {
        name: "air",
        figure: Figure::AirGap,
        source: &AIR_LAYERS,
    },
    plain("aluminium", (160.0, 160.0, 160.0), &ISO_10456),
    plain("bark", (0.074, 0.074, 0.074), &PIPING_DESIGNER),
    plain("brick", (0.45, 0.38, 0.52), &PIPING_DESIGNER),
    wood("cedar", 0.32),
    plain("cellulose", (0.039, 0.038, 0.040), &WILLIAMS_INSULATION),
    Material {
        name: "clay",
        figure: Figure::ClayByDensity,
        source: &MINKE_CLAY,
    },
    plain("concrete", (0.87, 0.87, 0.87), &AWC_CONDUCTIVITY),
    plain("cork", (0.05, 0.05, 0.05), &CORK_DIRACDELTA),
    wood("douglas fir", 0.48),
    plain("expanded polystyrene", (0.036, 0.033, 0.040), &FROM_MEMORY),
    plain("flax", (0.037, 0.037, 0.037), &WILLIAMS_INSULATION),
    plain("glass", (1.0, 1.0, 1.05), &ISO_10456),
    plain("hardwood", (0.18, 0.18, 0.18), &ISO_10456),
    plain("hdpe", (0.50, 0.50, 0.50), &ISO_10456),
    wood("larch", 0.48),
    plain("ldpe", (0.33, 0.33, 0.33), &ISO_10456),
    plain("mineral wool", (0.036, 0.036, 0.036), &AWC_CONDUCTIVITY),
    wood("oak", 0.62),
    plain("phenolic foam", (0.037, 0.035, 0.040), &CIBSE_A),
    // A pine of no known kind: white pine to southern pine.
    wood("pine", 0.42),
    plain("plywood", (0.13, 0.12, 0.17), &FROM_MEMORY),
    plain("polycarbonate", (0.20, 0.20, 0.20), &ISO_10456),
    plain("polypropylene", (0.22, 0.22, 0.22), &ISO_10456),
    wood("ponderosa pine", 0.40),
    wood("poplar", 0.40),
    plain("pur foam", (0.028, 0.028, 0.028), &CIBSE_A),
    plain("pvc", (0.17, 0.17, 0.17), &ISO_10456),
    plain("softwood", (0.13, 0.13, 0.13), &ISO_10456),
    wood("southern pine", 0.51),
    wood("spruce", 0.38),
    plain("stainless steel", (17.0, 17.0, 17.0), &ISO_10456),
    plain("steel", (50.0, 44.7, 50.0), &ISO_10456),
    plain("straw", (0.060, 0.045, 0.072), &ECOCOCON),
    plain("strawboard", (0.037, 0.037, 0.037), &WILLIAMS_INSULATION),
    wood("white pine", 0.35),
    Material {
        name: "wood",
        figure: Figure::WoodByDensity,
        source: &WOOD_HANDBOOK,
    },
    plain("wood shavings", (0.06, 0.05, 0.08), &FROM_MEMORY),
    plain("wool", (0.040, 0.040, 0.040), &WILLIAMS_INSULATION),
];

/// How far data of materials may be off: a fifth, as the Wood Handbook says of its equation.
const OFF: f64 = 0.20;

/// The moisture at which wood is taken where none is told.
pub(super) const MOISTURE_PCT: f64 = 12.0;

/// What light clay and clay conduct, in W/(m·K), by dry density in kg/m³.
static CLAY: [(f64, f64); 16] = [
    (300.0, 0.10),
    (400.0, 0.12),
    (500.0, 0.14),
    (600.0, 0.17),
    (700.0, 0.21),
    (800.0, 0.25),
    (900.0, 0.30),
    (1_000.0, 0.35),
    (1_200.0, 0.47),
    (1_400.0, 0.59),
    (1_500.0, 0.65),
    (1_600.0, 0.73),
    (1_700.0, 0.81),
    (1_800.0, 0.91),
    (1_900.0, 1.01),
    (2_000.0, 1.25),
];

impl Material {
    /// What the material conducts, in W/(m·K); the grade counts only where the figure follows from it.
    ///
    /// `None` where a density is needed and none is given, or one outside [`Material::densities`], for wood of 25 %
    /// of moisture or more, and for air, whose gaps conduct by their thickness.
    pub fn conductivity_w_per_mk(&self, grade: Grade) -> Option<Estimate> {
        let moisture = grade.moisture.or_else(|| Fraction::percent(MOISTURE_PCT))?;
        match self.figure {
            Figure::Plain(value, least, most) => Estimate::new(
                value,
                least.min((1.0 - OFF) * value),
                most.max((1.0 + OFF) * value),
            ),
            Figure::Wood(gravity) => wood_conductivity(gravity, moisture),
            Figure::WoodByDensity => {
                let density = self.within(grade.density_kg_per_m3?)?;
                let dry = density / (1.0 + moisture.to_percent() / 100.0);
                wood_conductivity(dry / 1_000.0, moisture)
            }
            Figure::ClayByDensity => clay_conductivity(self.within(grade.density_kg_per_m3?)?),
            Figure::AirGap => None,
        }
    }

    /// The least and the greatest density it is told for, in kg/m³, where its figure follows from it.
    pub const fn densities(&self) -> Option<(u32, u32)> {
        match self.figure {
            Figure::Plain(..) | Figure::Wood(_) | Figure::AirGap => None,
            Figure::WoodByDensity => Some((380, 900)),
            Figure::ClayByDensity => Some((300, 2_000)),
        }
    }

    /// Whether its moisture may be told.
    pub const fn is_wood(&self) -> bool {
        matches!(self.figure, Figure::Wood(_) | Figure::WoodByDensity)
    }

    /// How sure its figure is.
    pub fn how_sure(&self) -> HowSure {
        match self.figure {
            Figure::Wood(_) => HowSure::HandbookAndMemory,
            _ if self.source == &FROM_MEMORY => HowSure::FromMemory,
            _ if self.source == &CIBSE_A || self.source == &WOOD_HANDBOOK => HowSure::Handbook,
            _ => HowSure::Published,
        }
    }

    fn within(&self, density: f64) -> Option<f64> {
        let (least, most) = self.densities()?;
        (f64::from(least)..=f64::from(most))
            .contains(&density)
            .then_some(density)
    }
}

/// What wood conducts across its grain.
///
/// # What it gives
/// W/(m·K), to 20 per cent.
///
/// # Equation
/// λ = G (0.1941 + 0.004064 M) + 0.01864, G the specific gravity by dry mass and the volume at moisture M, M in per
/// cent of the dry mass.
///
/// # Holds for
/// G above 0.3 and M below 25 %, at about 24 °C, else `None`; 2 to 3 % more for every 10 °C; along the grain 1.5 to
/// 2.8 times as much.
///
/// # Source
/// The Wood Handbook, equation 4-15.
///
/// # Checked against
/// The structural softwoods of the American Wood Council, 0.101 to 0.144 at 12 %.
pub fn wood_conductivity(specific_gravity: f64, moisture: Fraction) -> Option<Estimate> {
    let moisture_pct = moisture.to_percent();
    if specific_gravity <= 0.3 || moisture_pct >= 25.0 {
        return None;
    }
    give_or_take(specific_gravity * (0.1941 + 0.004_064 * moisture_pct) + 0.018_64)
}

/// What clay conducts, with straw or without, by its dry density.
///
/// # What it gives
/// W/(m·K), to 20 per cent; below, down to what was measured of light clay at 642 kg/m³, half of the table.
///
/// # Equation
/// Between the rows of the table in a straight line.
///
/// # Holds for
/// 300 to 2 000 kg/m³, else `None`.
///
/// # Source
/// G. Minke's table. Thornton 2005 measured 0.090 at 642 kg/m³ where the table gives 0.187; where clay is lighter
/// than 1 000 kg/m³ the lower bound allows for that.
///
/// # Checked against
/// Its own rows.
pub fn clay_conductivity(density_kg_per_m3: f64) -> Option<Estimate> {
    let pair = CLAY
        .windows(2)
        .find(|pair| (pair[0].0..=pair[1].0).contains(&density_kg_per_m3))?;
    let ((lighter, less), (heavier, more)) = (pair[0], pair[1]);
    let value = less + (more - less) * (density_kg_per_m3 - lighter) / (heavier - lighter);
    let measured = if density_kg_per_m3 < 1_000.0 {
        0.48
    } else {
        1.0 - OFF
    };
    Estimate::new(value, measured * value, (1.0 + OFF) * value)
}

/// A figure as good as data of materials are; `None` for what is no figure above nothing.
pub(super) fn give_or_take(value: f64) -> Option<Estimate> {
    (value > 0.0)
        .then(|| Estimate::new(value, (1.0 - OFF) * value, (1.0 + OFF) * value))
        .flatten()
}
