//! What a wall of layers resists: materials, surfaces and the sum of them.
//!
//! Holds true: a layer has some thickness and conducts; layers in another order resist as much.
//!
//! Does not: know moisture that gathers in a wall, air that blows through a gap, or corners (see
//! [`crate::heat`]).
//!
//! Science: ISO 6946 for surfaces, layers and gaps of still air; for wood the equation of the Wood Handbook; for the
//! rest tables. Data of materials are good to 20 per cent, so that every answer is an estimate. Start at
//! [`Layer::read`], then [`through`]; [`MATERIALS`] lists what has a name.

mod air;
mod density;
mod layer;
mod materials;

use quantity::{Doubt, Estimate, Length, Sourced};

use crate::sources::ISO_6946_2017;

pub use air::air_gap_m2k_per_w;
pub use layer::{LayerError, is_board, kg_per_m2};
pub use materials::{Figure, Grade, HowSure, MATERIALS, Material, clay_conductivity, wood_conductivity};

/// The resistance of an outside surface, in m²·K/W.
pub static OUTSIDE_M2K_PER_W: Sourced<f64> = Sourced {
    value: 0.04,
    doubt: Doubt::Unstated,
    locator: "surface resistances",
    holds_for: "a plain surface in 4 m/s of wind",
    source: &ISO_6946_2017,
};

/// The resistance of an inside surface that warmth leaves upwards, in m²·K/W.
pub static INSIDE_UP_M2K_PER_W: Sourced<f64> = Sourced {
    value: 0.10,
    doubt: Doubt::Unstated,
    locator: "surface resistances, flow upwards",
    holds_for: "still air in a room",
    source: &ISO_6946_2017,
};

/// The resistance of an inside surface that warmth leaves within 30 degrees of level, in m²·K/W.
pub static INSIDE_LEVEL_M2K_PER_W: Sourced<f64> = Sourced {
    value: 0.13,
    doubt: Doubt::Unstated,
    locator: "surface resistances, level flow",
    holds_for: "still air in a room",
    source: &ISO_6946_2017,
};

/// The resistance of an inside surface that warmth leaves downwards, in m²·K/W.
pub static INSIDE_DOWN_M2K_PER_W: Sourced<f64> = Sourced {
    value: 0.17,
    doubt: Doubt::Unstated,
    locator: "surface resistances, flow downwards",
    holds_for: "still air in a room",
    source: &ISO_6946_2017,
};

/// A layer of a wall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layer {
    filling: Filling,
    thickness: Length,
}

/// What a layer is filled with.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Filling {
    /// A material that conducts so much, in W/(m·K).
    Solid(Estimate),
    /// Still air.
    Air,
}

/// Which way warmth leaves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Flow {
    /// Through a wall.
    Level,
    /// Through a roof.
    Up,
    /// Through a floor.
    Down,
}

/// What layers resist, with the surfaces on both sides.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Through {
    /// The resistance, in m²·K/W.
    pub r_m2k_per_w: Estimate,
    /// What passes through a square metre, in W/(m²·K).
    pub u_w_per_m2k: Estimate,
}

impl Layer {
    /// A layer; `None` unless it has some thickness and conducts.
    pub fn new(conductivity_w_per_mk: Estimate, thickness: Length) -> Option<Self> {
        (conductivity_w_per_mk.lo() > 0.0 && thickness > Length::ZERO).then_some(Self {
            filling: Filling::Solid(conductivity_w_per_mk),
            thickness,
        })
    }

    /// A gap of still air, closed at its ends; `None` unless it has some thickness, and no more than 300 mm.
    pub fn air(thickness: Length) -> Option<Self> {
        air_gap_m2k_per_w(thickness, Flow::Level).map(|_| Self {
            filling: Filling::Air,
            thickness,
        })
    }

    /// How thick it is.
    pub const fn thickness(&self) -> Length {
        self.thickness
    }

    /// What it conducts, in W/(m·K); a gap of air as much as a solid that resists alike.
    pub fn conductivity_w_per_mk(&self, flow: Flow) -> Estimate {
        match self.filling {
            Filling::Solid(conducts) => conducts,
            Filling::Air => air_gap_m2k_per_w(self.thickness, flow)
                .and_then(|resists| materials::give_or_take(self.metres() / resists))
                .expect("BUG: a gap of air has a thickness that is told"),
        }
    }

    /// What the layer alone resists, in m²·K/W, at one of the bounds of what it conducts.
    fn resistance(&self, flow: Flow, chosen: fn(Estimate) -> f64) -> f64 {
        self.metres() / chosen(self.conductivity_w_per_mk(flow))
    }

    pub(crate) fn metres(&self) -> f64 {
        self.thickness.to_mm() / 1_000.0
    }
}

impl Flow {
    /// The way that warmth goes through a surface, by how far its outward direction points down (−1 to 1): level
    /// within 30 degrees.
    pub fn leaning(down: f64) -> Self {
        // The sine of 30 degrees, with room for the last digit.
        match down {
            down if down > 0.5 + 1e-9 => Self::Down,
            down if down < -0.5 - 1e-9 => Self::Up,
            _ => Self::Level,
        }
    }

    /// The resistance of the inside surface, in m²·K/W.
    pub fn inside_m2k_per_w(self) -> f64 {
        match self {
            Self::Level => INSIDE_LEVEL_M2K_PER_W.value,
            Self::Up => INSIDE_UP_M2K_PER_W.value,
            Self::Down => INSIDE_DOWN_M2K_PER_W.value,
        }
    }
}

/// What layers resist, from the air on one side to the air on the other.
///
/// # What it gives
/// Resistance and conductance of a square metre; no layers leave the two surfaces.
///
/// # Equation
/// R = Rsi + Σ d / λ + Rse; U = 1 / R.
///
/// # Holds for
/// Layers that lie close on each other, far from corners. A gap that air blows through does not insulate: leave it
/// and all outside of it away.
///
/// # Source
/// ISO 6946.
///
/// # Checked against
/// Sums by hand, with gaps and without.
pub fn through(layers: &[Layer], flow: Flow) -> Through {
    let surfaces = flow.inside_m2k_per_w() + OUTSIDE_M2K_PER_W.value;
    let sum = |chosen: fn(Estimate) -> f64| -> f64 {
        let layers = layers.iter().map(|layer| layer.resistance(flow, chosen));
        surfaces + layers.sum::<f64>()
    };
    let (r, lo, hi) = (sum(Estimate::value), sum(Estimate::hi), sum(Estimate::lo));
    let estimate = |value, lo, hi| Estimate::new(value, lo, hi).expect("BUG: a layer conducts");
    Through {
        r_m2k_per_w: estimate(r, lo, hi),
        u_w_per_m2k: estimate(1.0 / r, 1.0 / hi, 1.0 / lo),
    }
}
