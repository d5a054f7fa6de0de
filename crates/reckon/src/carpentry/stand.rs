//! What a hive stands on.

use quantity::Length;

use super::{CarpentryError, Design, Part, Role, Work, extent, length_of};

/// How far up from its lowest point a drum lies in its cradle, in degrees; *common practice, no source*.
const CRADLE_DEG: f64 = 45.0;

/// Straight pieces of the hollow of a cradle.
const STEPS: u32 = 24;

/// The legs, and the cradles of a drum.
pub(super) fn parts(design: &Design) -> Result<Vec<Part>, CarpentryError> {
    let legs = design.legs;
    if !(0.0..=45.0).contains(&legs.splay_deg) {
        return Err(CarpentryError::Splay);
    }
    let (_, depth) = extent(&design.section.outline(Length::ZERO));
    let Some(radius) = design.section.drum_radius() else {
        let least = length_of(depth) + below_inside(design);
        above_ground(design, least)?;
        return Ok(vec![leg(design, legs.working_height)]);
    };
    let hollow = Hollow::of(
        radius.to_mm() + design.thickness.walls.to_mm(),
        radius.to_mm(),
        depth,
    );
    let least = length_of(depth) + design.thickness.walls + legs.width;
    above_ground(design, least)?;
    let below_bars = length_of(depth - hollow.rise) + design.thickness.walls;
    Ok(vec![
        leg(design, legs.working_height - below_bars),
        cradle(design, hollow),
    ])
}

fn above_ground(design: &Design, least: Length) -> Result<(), CarpentryError> {
    (design.legs.working_height > least)
        .then_some(())
        .ok_or(CarpentryError::OnTheGround { least })
}

/// The thickness of what lies under the inside.
fn below_inside(design: &Design) -> Length {
    if design.section.is_curved() {
        design.thickness.walls
    } else {
        design.thickness.floor.max(design.thickness.walls)
    }
}

fn leg(design: &Design, height: Length) -> Part {
    let legs = design.legs;
    let splay = legs.splay_deg.to_radians();
    let length = height.to_mm() / libm::cos(splay);
    let cut = Work::Crosscut {
        from_square_deg: legs.splay_deg,
    };
    Part {
        blank_length: length_of(length + legs.width.to_mm() * libm::tan(splay)),
        work: vec![Work::Ripped, cut],
        ..Part::rectangle(Role::Leg, 4, [length_of(length), legs.width, legs.thickness])
    }
}

/// The part of a drum's outside that lies in a cradle.
#[derive(Clone, Copy)]
struct Hollow {
    radius: f64,
    /// Half the angle that it lies in, in radians.
    half_angle: f64,
    /// From the lowest point up to the cradle's upper edge.
    rise: f64,
}

impl Hollow {
    fn of(radius: f64, inside: f64, depth: f64) -> Self {
        let whole = libm::acos(((inside - depth) / inside).clamp(-1.0, 1.0));
        let half_angle = CRADLE_DEG.to_radians().min(whole);
        Self {
            radius,
            half_angle,
            rise: radius * (1.0 - libm::cos(half_angle)),
        }
    }

    /// From its left end over the lowest point to its right end, as seen from the middle of the upper edge.
    fn points(self) -> impl Iterator<Item = (f64, f64)> {
        let middle = self.rise - self.radius;
        (0..=STEPS).map(move |step| {
            let part = 2.0 * f64::from(step) / f64::from(STEPS) - 1.0;
            let (sine, cosine) = libm::sincos(self.half_angle * part);
            (self.radius * sine, middle + self.radius * cosine)
        })
    }
}

/// A board with the hollow of the drum, as much wood beside and under it as a leg is wide.
fn cradle(design: &Design, hollow: Hollow) -> Part {
    let wood = design.legs.width.to_mm();
    let half = hollow.radius * libm::sin(hollow.half_angle) + wood;
    let deep = hollow.rise + wood;
    let outline = [(-half, 0.0)]
        .into_iter()
        .chain(hollow.points())
        .chain([(half, 0.0), (half, deep), (-half, deep)])
        .collect();
    Part::sawn(Role::Cradle, 2, design.legs.thickness, outline)
}
