//! What warmth a hive loses through walls, floor, roof and ends.
//!
//! Holds true: what leaves the air inside comes out outside; the shares of the parts add to the whole; a layer that
//! conducts less never loses more.
//!
//! Does not: know warmth that leaves with air through entrances and gaps, rain, wind or sun, the bees' own way of
//! keeping it (see [`crate::winter`]), or the corners where three boards meet; promise that a colony lives.
//!
//! Science: conduction through the true section by finite elements, surfaces as in ISO 6946, the end boards by
//! layers in series. Start at [`Built::loss`]; [`conduction`] solves any plate.

mod bees;
pub mod conduction;
mod contour;
mod dissection;
mod mesh;

use std::fmt;

use quantity::{Estimate, Length};

use crate::section::Section;
use crate::wall::{self, Flow, Layer};

pub use bees::{CLUSTER_FREE_KG_K_PER_W, TREE_KG_K_PER_W, WOODEN_KG_K_PER_W};
use conduction::Plate;
use mesh::{Layers, Ring, Shell};

/// A hive as it is built: its section, its length inside, and what surrounds it, each from the inside outwards.
///
/// The roof is all that lies above the bar line, the bars first. A floor is a straight piece of the outline within
/// 10 degrees of level; on curves and where walls meet in an edge there is none.
#[derive(Debug, Clone, PartialEq)]
pub struct Built {
    /// The section inside.
    pub section: Section,
    /// The length inside.
    pub length: Length,
    /// The layers of the walls.
    pub walls: Vec<Layer>,
    /// The layers of the roof, bars first.
    pub roof: Vec<Layer>,
    /// The layers of the floor.
    pub floor: Vec<Layer>,
    /// The layers of each of the two ends.
    pub ends: Vec<Layer>,
}

/// What a hive loses.
#[derive(Debug, Clone, PartialEq)]
pub struct Loss {
    /// Of the whole hive, in W/K.
    pub ua_w_per_k: Estimate,
    /// Of a metre of its section, without ends, in W/(m·K).
    pub ua_section_w_per_mk: Estimate,
    /// How it is shared among the parts; together 1.
    pub shares: Shares,
    /// How warm the walls are.
    pub field: Field,
}

/// The part of all that is lost which leaves the inside through each part of the hive.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shares {
    /// The walls.
    pub walls: f64,
    /// Bars and what lies on them.
    pub roof: f64,
    /// The floor.
    pub floor: f64,
    /// Both ends.
    pub ends: f64,
}

/// A part of the section's outline.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Part {
    Walls,
    Roof,
    Floor,
}

/// How warm the walls are, as a part of the way from the air outside (0) to the air inside (1).
#[derive(Debug, Clone, PartialEq)]
pub struct Field {
    plate: Plate,
    warmth: Vec<f64>,
}

/// Why a loss cannot be told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HeatError {
    /// A part without layers.
    NoLayers,
    /// A length of nothing or less.
    NoLength,
    /// A corner so flat, or layers so unlike in thickness, that their outsides do not meet.
    LayersDoNotMeet,
    /// Walls so near level at the bars that a roof cannot lie on them.
    WallsLieLevel,
    /// Conductivities or thicknesses too unlike for the solver.
    DoesNotSettle,
}

impl fmt::Display for HeatError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::NoLayers => "walls, roof, floor and ends need a layer each",
            Self::NoLength => "the length must be more than nothing",
            Self::LayersDoNotMeet => {
                "the layers are too thick, or too unlike in thickness, to meet at a corner of this section"
            }
            Self::WallsLieLevel => "the walls lie too near level at the bars for a roof to lie on them",
            Self::DoesNotSettle => "the layers are too unlike in thickness or conductivity to be solved",
        })
    }
}

impl std::error::Error for HeatError {}

/// How finely a hive is meshed where nothing else is asked: halving the cells of common hives changes the loss by
/// less than half a per cent.
const FINENESS: u32 = 2;

impl Built {
    /// What the hive loses.
    ///
    /// # What it gives
    /// W/K of the whole hive and of a metre of its section. The bounds are those of the layers' conductivities, all
    /// at their least and all at their greatest.
    ///
    /// # Equation
    /// ∇·(λ∇T) = 0 in the section between the air inside and outside; UA = L · flow per metre and kelvin + 2 · A · U
    /// of the ends, A the face of the section.
    ///
    /// # Holds for
    /// Still air inside and a sheltered hive outside, in steady cold. Walls and floor meet in a mitre, the roof lies
    /// on the walls; a wall that leans more than 30 degrees has the surface of a floor or a ceiling. A gap of air in a
    /// wall counts as level, however the wall leans.
    ///
    /// # Source
    /// Fourier's law; surfaces of ISO 6946.
    ///
    /// # Checked against
    /// Layers by hand, the shell of a cylinder, the same box on a grid of squares, a heated box of larch that lost 0.78
    /// to 0.86 W/K; halving the cells changes it by less than half a per cent.
    ///
    /// ```
    /// use quantity::{Length, Mass};
    /// use reckon::heat::Built;
    /// use reckon::section::{Section, Shape};
    /// use reckon::wall::Layer;
    ///
    /// let shape = Shape::Slope { top: Length::mm(445), floor: Length::mm(190), depth: Length::mm(280) };
    /// let board = vec![Layer::read("pine 22mm")?];
    /// let loss = Built {
    ///     section: Section::new(shape)?,
    ///     length: Length::mm(864),
    ///     walls: board.clone(),
    ///     roof: vec![Layer::read("pine 19mm")?, Layer::read("wool 50mm")?],
    ///     floor: board.clone(),
    ///     ends: board,
    /// }
    /// .loss()?;
    /// assert!(loss.ua_w_per_k.value() < 3.2);
    /// assert!(loss.mass_conductance_kg_k_per_w(Mass::kg(2)).value() > 0.6);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn loss(&self) -> Result<Loss, HeatError> {
        self.loss_meshed(FINENESS)
    }

    /// The same by a mesh with so many cells, each way, for one of the coarsest; 0 counts as 1.
    pub fn loss_meshed(&self, fineness: u32) -> Result<Loss, HeatError> {
        let parts = [&self.walls, &self.roof, &self.floor, &self.ends];
        if parts.iter().any(|layers| layers.is_empty()) {
            return Err(HeatError::NoLayers);
        }
        if self.length <= Length::ZERO {
            return Err(HeatError::NoLength);
        }
        let fineness = fineness.max(1);
        let middle = self.solved(fineness, Estimate::value)?;
        let (lo, hi) = (
            self.solved(fineness, Estimate::lo)?,
            self.solved(fineness, Estimate::hi)?,
        );
        Ok(self.told(&middle, &lo, &hi))
    }

    fn told(&self, middle: &Solved, lo: &Solved, hi: &Solved) -> Loss {
        let per_metre = middle.per_metre();
        let ends = self.ends_w_per_k();
        let length_m = self.length.to_mm() / 1_000.0;
        let whole = |section: f64, ends: f64| length_m * section + ends;
        let ua = whole(per_metre, ends.value());
        let share = |flow: f64| length_m * flow / ua;
        Loss {
            ua_w_per_k: estimate(
                ua,
                whole(lo.per_metre(), ends.lo()),
                whole(hi.per_metre(), ends.hi()),
            ),
            ua_section_w_per_mk: estimate(per_metre, lo.per_metre(), hi.per_metre()),
            shares: Shares {
                walls: share(middle.through(Part::Walls)),
                roof: share(middle.through(Part::Roof)),
                floor: share(middle.through(Part::Floor)),
                ends: ends.value() / ua,
            },
            field: Field {
                plate: middle.ring.plate.clone(),
                warmth: middle.warmth.clone(),
            },
        }
    }

    /// What both ends lose, in W/K.
    fn ends_w_per_k(&self) -> Estimate {
        let u = wall::through(&self.ends, Flow::Level).u_w_per_m2k;
        let both_m2 = 2.0 * self.section.face().to_cm2() / 10_000.0;
        estimate(both_m2 * u.value(), both_m2 * u.lo(), both_m2 * u.hi())
    }

    fn solved(&self, fineness: u32, chosen: fn(Estimate) -> f64) -> Result<Solved, HeatError> {
        let outline_m: Vec<(f64, f64)> = self
            .section
            .outline(Length::ZERO)
            .into_iter()
            .map(|(x, y)| (x / 1_000.0, y / 1_000.0))
            .collect();
        let layers = |layers: &[Layer], flow| {
            let meshed = |layer: &Layer| (layer.metres(), chosen(layer.conductivity_w_per_mk(flow)));
            Layers {
                layers: layers.iter().map(meshed).collect(),
            }
        };
        let shell = Shell {
            outline_m: &outline_m,
            is_curved: self.section.is_curved(),
            layers: [
                layers(&self.walls, Flow::Level),
                layers(&self.roof, Flow::Up),
                layers(&self.floor, Flow::Down),
            ],
            inside_resistance: &|down| Flow::leaning(down).inside_m2k_per_w(),
            outside_resistance: wall::OUTSIDE_M2K_PER_W.value,
        };
        let ring = shell.ring(fineness)?;
        let inside = ring.inside.iter().map(|(_, face)| *face);
        let faces: Vec<_> = inside.chain(ring.outside.iter().copied()).collect();
        let warmed = ring.plate.warmed(&faces).ok_or(HeatError::DoesNotSettle)?;
        let inflow = |part: Part| {
            let of_part = ring.inside.iter().filter(|(of, _)| *of == part);
            of_part.map(|(_, face)| ring.plate.inflow(&warmed, face)).sum()
        };
        let flows = [inflow(Part::Walls), inflow(Part::Roof), inflow(Part::Floor)];
        Ok(Solved {
            flows,
            warmth: warmed.temperatures,
            ring,
        })
    }
}

/// A solved section.
struct Solved {
    /// Through walls, roof and floor, in W/(m·K).
    flows: [f64; 3],
    warmth: Vec<f64>,
    ring: Ring,
}

impl Solved {
    fn per_metre(&self) -> f64 {
        self.flows.iter().sum()
    }

    const fn through(&self, part: Part) -> f64 {
        self.flows[part as usize]
    }
}

impl Field {
    /// The nodes of a line from the inside to the outside; lines follow each other round the hive.
    pub const fn rows(&self) -> usize {
        self.plate.rows
    }

    /// The lines of nodes; the last is followed by the first.
    pub fn lines(&self) -> usize {
        self.plate.lines()
    }

    /// Where a node is, in millimetres: x from the middle of the bar line, y downwards from it.
    ///
    /// # Panics
    /// Where there is no such line or row.
    pub fn node_mm(&self, line: usize, row: usize) -> (f64, f64) {
        in_mm(self.plate.nodes_m[line * self.rows() + row])
    }

    /// How warm a node is.
    ///
    /// # Panics
    /// Where there is no such line or row.
    pub fn warmth(&self, line: usize, row: usize) -> f64 {
        self.warmth[line * self.rows() + row]
    }

    /// The lines in the walls that are so warm, as points in millimetres; a closed line ends where it began.
    pub fn isotherms(&self, warmth: f64) -> Vec<Vec<(f64, f64)>> {
        let lines = contour::lines(&self.plate, &self.warmth, warmth);
        lines
            .into_iter()
            .map(|line| line.into_iter().map(in_mm).collect())
            .collect()
    }
}

fn in_mm((x, y): (f64, f64)) -> (f64, f64) {
    (1_000.0 * x, 1_000.0 * y)
}

/// An estimate whose bounds may miss the value by the last digits of the solver.
fn estimate(value: f64, lo: f64, hi: f64) -> Estimate {
    Estimate::new(value, lo.min(value), hi.max(value)).expect("BUG: a loss is a number")
}
