//! The parts that a hive of a design is built from.
//!
//! ```text
//!   =======bar=======        The bars lie on the upper edges of the side boards. The end boards have
//!   \\             //        the outline of the section and stand between the side boards, which run
//!    \\    end    //         past them; all are fixed on their edges. A floor lies under the lower
//!     \\_________//          edges of the boards beside it; elsewhere boards meet in a mitre.
//!     ====floor====
//! ```
//!
//! Holds true: the inside of the parts put together is the section along the inside length; a blank is never
//! smaller than the part that comes out of it.
//!
//! Does not: lay parts out on boards; know screws, glue, paint or how a hive is lifted; promise that a stand bears
//! a full hive on soft ground. A bevel beyond what a saw's blade tilts to is told as geometry has it. A drum that
//! held anything is to be known clean and without vapour before it is cut; who saws minds eyes, ears and fingers
//! first.
//!
//! Start at [`parts`].

mod stand;
mod walls;

use std::fmt;

use quantity::{Doubt, Length, Sourced};

use crate::lumber::{self, Strips};
use crate::section::Section;
use crate::sources::{BFDJ_2009, COMMON_PRACTICE, FOLLOWER_GAPS};

/// What a bar needs to rest on at each end.
pub static LEAST_REST: Sourced<Length> = Sourced {
    value: Length::mm(10),
    doubt: Doubt::Unstated,
    locator: "common practice, no source",
    holds_for: "a bar on the upper edges of two walls",
    source: &COMMON_PRACTICE,
};

/// The widest gap between a follower board and the walls that keepers tolerate: 3/8 inch.
pub static WIDEST_FOLLOWER_GAP: Sourced<Length> = Sourced {
    value: Length::inch_64ths(24),
    doubt: Doubt::Unstated,
    locator: "up to about 3/8 inch at its edges",
    holds_for: "a follower board that bees may pass round",
    source: &FOLLOWER_GAPS,
};

/// What of the inside length is left beside the bars for swelling and propolis.
pub static SWELLING_ALLOWANCE: Sourced<Length> = Sourced {
    value: Length::mm(10),
    doubt: Doubt::Unstated,
    locator: "picture 1 and the text beside it",
    holds_for: "27 bars of 32 or 35 mm",
    source: &BFDJ_2009,
};

/// A hive to be built.
#[derive(Debug, Clone, PartialEq)]
pub struct Design {
    /// The section inside, below the bars.
    pub section: Section,
    /// Inside, from one end board to the other.
    pub inside_length: Length,
    /// How thick everything is.
    pub thickness: Thickness,
    /// The bars.
    pub bars: Bars,
    /// The strips between bars.
    pub spacers: Spacers,
    /// The boards that close off a part of the hive.
    pub followers: Followers,
    /// The legs.
    pub legs: Legs,
    /// How far the roof reaches beyond the hive or the bars on every side.
    pub roof_overhang: Length,
}

/// How thick boards are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Thickness {
    /// The walls, or the sheet that is bent for them.
    pub walls: Length,
    /// The floor.
    pub floor: Length,
    /// The end boards.
    pub ends: Length,
    /// The follower boards.
    pub followers: Length,
    /// The roof.
    pub roof: Length,
}

/// Bars of one kind.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Bars {
    /// How many, those that follower boards hang from included.
    pub count: u32,
    /// Along the hive.
    pub width: Length,
    /// Across the hive.
    pub length: Length,
    /// From top to underside.
    pub thickness: Length,
}

/// Strips laid between bars, as long and as thick as these.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Spacers {
    /// How many.
    pub count: u32,
    /// Along the hive.
    pub width: Length,
}

/// Follower boards of one kind.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Followers {
    /// How many.
    pub count: u32,
    /// What is left between them and the walls.
    pub clearance: Length,
}

/// Four legs, splayed across the hive: fixed flat on the end boards, or on the cradles of a drum.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Legs {
    /// From the ground to the bars' underside.
    pub working_height: Length,
    /// How wide a leg is.
    pub width: Length,
    /// How thick a leg is.
    pub thickness: Length,
    /// How far a leg leans from upright, 0 to 45 degrees.
    pub splay_deg: f64,
}

/// One kind of part.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// What it is and what it is for.
    pub role: Role,
    /// How many there are.
    pub count: u32,
    /// Along the grain; of a sheet along the hive.
    pub length: Length,
    /// Across the grain, on the face that is turned to the inside of the hive.
    pub width: Length,
    /// How thick it is.
    pub thickness: Length,
    /// The length along the grain of the rectangle that it is cut from.
    pub blank_length: Length,
    /// The width across the grain of the rectangle that it is cut from, bevels included.
    pub blank_width: Length,
    /// Its corners in order where it is no rectangle, in millimetres: x along the grain from the middle, y downwards
    /// from the upper edge. The last joins the first.
    pub outline: Option<Vec<(f64, f64)>>,
    /// How it is made, in order.
    pub work: Vec<Work>,
}

/// What a part is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Role {
    /// A board along the hive, inside of which is one edge of the section.
    Wall {
        /// The edge, numbered as the corners of [`Section::outline`]: from this corner to the next.
        edge: usize,
    },
    /// A level board under the boards beside it.
    Floor {
        /// The edge, numbered as that of a wall.
        edge: usize,
    },
    /// The sheet that is bent into walls and floor.
    Sheet,
    /// A board that closes the hive at an end.
    End,
    /// A board that hangs from a bar and closes off a part of the hive.
    Follower,
    /// A bar that comb hangs from.
    Bar,
    /// A strip between bars.
    Spacer,
    /// A leg.
    Leg,
    /// A board with a hollow that a drum lies in.
    Cradle,
    /// The flat roof above the bars.
    Roof,
}

/// A step in the making of a part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Work {
    /// Sawn to its width along the grain.
    Ripped,
    /// Both ends sawn across the grain, each so far from square, the two alike.
    Crosscut {
        /// Degrees from square.
        from_square_deg: f64,
    },
    /// A long edge sawn aslant.
    Bevelled {
        /// The corner of the section where the edge lies, as [`Section::outline`] numbers them from 1.
        corner: usize,
        /// Degrees from square: above zero where the outer face is the wider, below where it is the narrower.
        from_square_deg: f64,
    },
    /// Sawn round its outline.
    SawnToOutline,
    /// Bent round the end boards.
    Bent,
}

/// Why a design cannot be built.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CarpentryError {
    /// A measure of nothing or less.
    NoSize(
        /// Which one.
        Measure,
    ),
    /// Bars and spacers that are longer together than the hive inside.
    TooManyBars {
        /// What they need.
        needed: Length,
    },
    /// Bars that do not rest on both walls.
    BarsTooShort {
        /// How long they need to be.
        needed: Length,
    },
    /// A gap round the follower boards that is wider than keepers tolerate.
    FollowerGap,
    /// Follower boards of which the gap leaves nothing, or several pieces.
    NoFollower,
    /// Legs that lean by less than nothing, or by more than 45 degrees.
    Splay,
    /// A working height at which the hive lies on the ground.
    OnTheGround {
        /// What the height must exceed.
        least: Length,
    },
}

/// A measure of a design.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Measure {
    /// The inside length.
    InsideLength,
    /// One of the thicknesses.
    Thickness,
    /// The width, length or thickness of the bars.
    Bar,
    /// The width of the spacers.
    Spacer,
    /// The gap round the follower boards.
    Clearance,
    /// The width or thickness of the legs.
    Leg,
    /// The overhang of the roof.
    Overhang,
}

impl fmt::Display for CarpentryError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::NoSize(Measure::Clearance) => {
                f.write_str("the gap round a follower board cannot be less than nothing")
            }
            Self::NoSize(Measure::Overhang) => {
                f.write_str("the overhang of the roof cannot be less than nothing")
            }
            Self::NoSize(measure) => write!(f, "{measure} must be more than nothing"),
            Self::TooManyBars { needed } => write!(
                f,
                "the bars and the strips between them need {:.1} mm of inside length",
                needed.to_mm()
            ),
            Self::BarsTooShort { needed } => write!(
                f,
                "the bars need {:.1} mm to rest on both walls (10 mm on each: common practice, no source)",
                needed.to_mm()
            ),
            Self::FollowerGap => {
                f.write_str("a gap round a follower board of more than 3/8 inch (9.5 mm) is not tolerated")
            }
            Self::NoFollower => f.write_str("the gap leaves no follower board of one piece"),
            Self::Splay => f.write_str("legs lean by 0 to 45 degrees from upright"),
            Self::OnTheGround { least } => write!(
                f,
                "the hive lies on the ground unless the working height is more than {:.1} mm",
                least.to_mm()
            ),
        }
    }
}

impl std::error::Error for CarpentryError {}

impl fmt::Display for Measure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::InsideLength => "the inside length",
            Self::Thickness => "the thickness of every board",
            Self::Bar => "the width, length and thickness of the bars",
            Self::Spacer => "the width of the strips between bars",
            Self::Clearance => "the gap round a follower board",
            Self::Leg => "the width and thickness of the legs",
            Self::Overhang => "the overhang of the roof",
        })
    }
}

/// The parts of a design.
///
/// # What it gives
/// Every kind of part once, with its count, in the order of [`Role`]: with straight walls a board for each edge of
/// the section but the bars, on a curve the sheet that is bent; then ends, followers, bars, spacers, legs, with a
/// drum its two cradles, and the roof.
///
/// # Equation
/// A wall is as wide as its edge and as long as the inside and both end boards. Its edge at the bars and above a
/// floor is level: so far from square as the wall is from upright. A floor reaches under the boards beside it:
/// t / sin β beyond its corner, t their thickness and β the angle inside. Elsewhere each of two boards is bevelled
/// by half of what the wall turns there. A blank is wider by t · tan of each bevel that widens the outer face. A
/// leg of height h and width w that leans by φ is h / cos φ long, its blank w · tan φ more. A cradle holds a drum
/// as far as 45 degrees up from its lowest point (*common practice, no source*), less where the drum is cut lower.
///
/// # Holds for
/// Every section that could be made; boards beside a floor that lean by up to 60 degrees lie on it, flatter ones
/// meet it in a mitre.
///
/// # Source
/// Geometry.
///
/// # Checked against
/// The 2003 hive of Cameroon: its side board computes to 307.7 mm where 305 is printed. Random outlines: the
/// boards are together what lies between the outline and the one moved out by their thickness.
pub fn parts(design: &Design) -> Result<Vec<Part>, CarpentryError> {
    check_sizes(design)?;
    check_bars(design)?;
    let mut parts = walls::parts(design);
    parts.push(end(design));
    parts.extend(follower(design)?);
    parts.push(bar(design.bars));
    parts.extend(spacer(design));
    parts.extend(stand::parts(design)?);
    parts.push(roof(design));
    Ok(parts)
}

impl Part {
    /// The fewest strips, none wider than a board, that the blank is glued or butted together from, each joint
    /// taking so much; see [`lumber::strips`].
    pub fn strips(&self, board: Length, joint: Length) -> Option<Strips> {
        lumber::strips(self.blank_width, board, joint)
    }

    /// A part that is as long and wide as its blank.
    fn rectangle(role: Role, count: u32, [length, width, thickness]: [Length; 3]) -> Self {
        Self {
            role,
            count,
            length,
            width,
            thickness,
            blank_length: length,
            blank_width: width,
            outline: None,
            work: vec![Work::Ripped, Work::Crosscut { from_square_deg: 0.0 }],
        }
    }

    /// A part sawn round its outline, the grain across the hive.
    fn sawn(role: Role, count: u32, thickness: Length, outline: Vec<(f64, f64)>) -> Self {
        let (wide, deep) = extent(&outline);
        Self {
            outline: Some(outline),
            work: vec![Work::SawnToOutline],
            ..Self::rectangle(role, count, [length_of(wide), length_of(deep), thickness])
        }
    }
}

/// The inside length that bars side by side need, so much left for swelling and propolis; `None` out of range.
///
/// # What it gives
/// The length that [`crate::section::bars_that_fit`] turns round.
///
/// # Equation
/// n · w + a, n the number of bars, w the width of one, a the allowance.
///
/// # Holds for
/// Bars of one width without strips between them.
///
/// # Source
/// Lowore, Barlow and Loveday 2009.
///
/// # Checked against
/// 955 mm for 27 bars of 35 mm and 874 mm for 27 of 32 mm, 10 mm left.
pub fn inside_length(n_bars: u32, bar: Length, allowance: Length) -> Option<Length> {
    bar.checked_mul(i64::from(n_bars))?.checked_add(allowance)
}

/// The angle between a level floor and a wall, from the wall's lean from upright, both in degrees.
///
/// Plans give the one or the other without saying which: a wall of 120 degrees leans by 30.
pub fn floor_to_wall_deg(from_vertical_deg: f64) -> f64 {
    90.0 + from_vertical_deg
}

/// How far a leaning wall runs inwards over a depth.
///
/// # What it gives
/// By how much the floor is narrower than the bars on each side.
///
/// # Equation
/// h · tan θ, h the depth, θ the lean from upright.
///
/// # Holds for
/// A lean of less than 90 degrees to either side, else `None`.
///
/// # Source
/// Geometry.
///
/// # Checked against
/// 4.2, 5.3, 12.4, 13.7 and 17.3 cm over 30 cm at 8, 10, 22.5, 24.5 and 30 degrees, computed.
pub fn inward_run(depth: Length, from_vertical_deg: f64) -> Option<Length> {
    if from_vertical_deg.is_nan() || from_vertical_deg.abs() >= 90.0 {
        return None;
    }
    Length::from_mm_f64(depth.to_mm() * libm::tan(from_vertical_deg.to_radians()))
}

fn check_sizes(design: &Design) -> Result<(), CarpentryError> {
    let thickness = design.thickness;
    let bars = design.bars;
    let some: [(Measure, &[Length]); 5] = [
        (Measure::InsideLength, &[design.inside_length]),
        (
            Measure::Thickness,
            &[
                thickness.walls,
                thickness.floor,
                thickness.ends,
                thickness.followers,
                thickness.roof,
            ],
        ),
        (Measure::Bar, &[bars.width, bars.length, bars.thickness]),
        (Measure::Leg, &[design.legs.width, design.legs.thickness]),
        (
            Measure::Spacer,
            if design.spacers.count > 0 {
                &[design.spacers.width]
            } else {
                &[]
            },
        ),
    ];
    let missing = some
        .into_iter()
        .find(|(_, lengths)| lengths.iter().any(|&length| length <= Length::ZERO))
        .map(|(measure, _)| measure)
        .or_else(|| (design.followers.clearance < Length::ZERO).then_some(Measure::Clearance))
        .or_else(|| (design.roof_overhang < Length::ZERO).then_some(Measure::Overhang));
    missing.map_or(Ok(()), |measure| Err(CarpentryError::NoSize(measure)))
}

fn check_bars(design: &Design) -> Result<(), CarpentryError> {
    let times = |width: Length, count: u32| width.checked_mul(i64::from(count));
    let needed = times(design.bars.width, design.bars.count)
        .zip(times(design.spacers.width, design.spacers.count))
        .and_then(|(bars, spacers)| bars.checked_add(spacers))
        .unwrap_or(Length::from_steps(i64::MAX));
    if needed > design.inside_length {
        return Err(CarpentryError::TooManyBars { needed });
    }
    let needed = design.section.width_at_bars(Length::ZERO) + LEAST_REST.value + LEAST_REST.value;
    if design.bars.length < needed {
        return Err(CarpentryError::BarsTooShort { needed });
    }
    Ok(())
}

fn end(design: &Design) -> Part {
    let outline = design.section.outline(Length::ZERO);
    Part::sawn(Role::End, 2, design.thickness.ends, outline)
}

fn follower(design: &Design) -> Result<Option<Part>, CarpentryError> {
    let Followers { count, clearance } = design.followers;
    if count == 0 {
        return Ok(None);
    }
    if clearance > WIDEST_FOLLOWER_GAP.value {
        return Err(CarpentryError::FollowerGap);
    }
    let [outline] =
        <[_; 1]>::try_from(design.section.combs(clearance)).map_err(|_| CarpentryError::NoFollower)?;
    Ok(Some(Part::sawn(
        Role::Follower,
        count,
        design.thickness.followers,
        outline,
    )))
}

fn bar(bars: Bars) -> Part {
    Part::rectangle(Role::Bar, bars.count, [bars.length, bars.width, bars.thickness])
}

fn spacer(design: &Design) -> Option<Part> {
    let Spacers { count, width } = design.spacers;
    let bars = design.bars;
    (count > 0).then(|| Part::rectangle(Role::Spacer, count, [bars.length, width, bars.thickness]))
}

fn roof(design: &Design) -> Part {
    let overhang = design.roof_overhang + design.roof_overhang;
    let length = outside_length(design) + overhang;
    let width = walls::width_outside(design).max(design.bars.length) + overhang;
    Part::rectangle(Role::Roof, 1, [length, width, design.thickness.roof])
}

/// The length of the hive with both end boards.
fn outside_length(design: &Design) -> Length {
    design.inside_length + design.thickness.ends + design.thickness.ends
}

/// How wide and how deep an outline is, in millimetres.
fn extent(outline: &[(f64, f64)]) -> (f64, f64) {
    let span = |of: fn(&(f64, f64)) -> f64| {
        let (least, most) = outline
            .iter()
            .map(of)
            .fold((f64::MAX, f64::MIN), |(least, most), at| {
                (least.min(at), most.max(at))
            });
        most - least
    };
    (span(|at| at.0), span(|at| at.1))
}

/// A length from a calculation with lengths that were checked.
fn length_of(mm: f64) -> Length {
    Length::from_mm_f64(mm).expect("a part of a hive is out of range")
}
