//! The cross-section of a hive below its bars, and the comb that fits into it.
//!
//! ```text
//!      ______top______     <- the bar line: the comb hangs from it, no bee space
//!      \ \         / /
//!       \ \ comb  / /      <- the outline moved inwards square to the wall
//!        \ \_____/ /
//!         \_floor_/
//! ```
//!
//! Holds true: a comb is never larger than the section; with no bee space it is the section.
//!
//! Does not: know what a comb weighs (see [`crate::comb`]); promise that bees keep off a sloping wall.
//!
//! Start at [`Section::new`], then [`Section::comb`].

mod bent;
mod catenary;
mod outline;
mod refusal;
mod simple;

use quantity::{Area, Length, Volume};

use bent::Bent;
use catenary::Catenary;
use outline::{Arc, Polygon};
pub use refusal::{Corner, Edge, SectionError};

/// A section as it is measured inside the hive.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Shape {
    /// Straight walls that lean in towards a level floor.
    Slope {
        /// The width at the bars.
        top: Length,
        /// The width of the floor; nothing where the walls meet.
        floor: Length,
        /// From the bars down to the floor, upright.
        depth: Length,
    },
    /// Upright walls.
    Upright {
        /// The width.
        width: Length,
        /// From the bars down to the floor.
        depth: Length,
    },
    /// A drum on its side.
    Drum {
        /// The inside diameter of the drum.
        diameter: Length,
        /// From the bars down to the lowest point.
        depth: Length,
    },
    /// A piece of a circle, as of a bent sheet.
    Arc {
        /// The width at the bars.
        width: Length,
        /// From the bars down to the lowest point.
        depth: Length,
    },
    /// The curve of a hanging chain.
    Catenary {
        /// The width at the bars.
        top: Length,
        /// From the bars down to the lowest point.
        depth: Length,
    },
    /// Any corners in order round the outline, which neither crosses nor touches itself; the bars lie from the
    /// first to the second, and all others below them.
    Polygon(Vec<(Length, Length)>),
}

/// A section whose measures were checked.
#[derive(Debug, Clone, PartialEq)]
pub struct Section {
    outline: Outline,
}

#[derive(Debug, Clone, PartialEq)]
enum Outline {
    Polygon(Polygon),
    Bent(Bent),
    Drum(Arc),
    Arc(Arc),
    Catenary(Catenary),
}

impl Section {
    /// The section of a shape, if its measures make one.
    pub fn new(shape: Shape) -> Result<Self, SectionError> {
        let outline = match shape {
            Shape::Slope { top, floor, depth } => Outline::Polygon(trapezium(top, floor, depth)?),
            Shape::Upright { width, depth } => Outline::Polygon(trapezium(width, width, depth)?),
            Shape::Drum { diameter, depth } => Outline::Drum(drum(diameter, depth)?),
            Shape::Arc { width, depth } => Outline::Arc(Arc::from_chord(positive(width)?, positive(depth)?)),
            Shape::Catenary { top, depth } => Outline::Catenary(
                Catenary::new(positive(top)? / 2.0, positive(depth)?).ok_or(SectionError::NoCatenary)?,
            ),
            Shape::Polygon(corners) => polygon(&corners)?,
        };
        Ok(Self { outline })
    }

    /// The area of the whole section below the bars.
    ///
    /// # What it gives
    /// The area of one face of the space between the walls.
    ///
    /// # Equation
    /// Slope and upright: (top + floor) / 2 · depth. Drum and arc: r² · acos((r − h) / r) − (r − h) · √(2rh −
    /// h²). Catenary: w · (h + a) − 2a² · sinh(w / 2a), a from h = a · (cosh(w / 2a) − 1). Polygon: half the
    /// sum of the cross products of neighbouring corners.
    ///
    /// # Holds for
    /// Every section that could be made.
    ///
    /// # Source
    /// Geometry.
    ///
    /// # Checked against
    /// 889 cm² for the Cameroon hive of 2003 (44.5, 19 and 28 cm); 1 283 cm² for half a drum of 57.15 cm;
    /// both computed.
    pub fn face(&self) -> Area {
        self.comb(Length::ZERO)
    }

    /// One face of the comb that fills the section, bee space left at walls and floor.
    ///
    /// # What it gives
    /// The area of one face of a comb built out to the bee space; nothing where there is no room.
    ///
    /// # Equation
    /// The area left when the outline, but for the bar line, moves inwards by the bee space, square to the
    /// wall; round an inward corner, all that is nearer to it than the bee space goes too. Where inward corners
    /// part the comb only the pieces that hang from the bar line count.
    ///
    /// # Holds for
    /// Every section that could be made; a bee space of less than nothing counts as none.
    ///
    /// # Source
    /// Geometry.
    ///
    /// # Checked against
    /// Closed forms: (width − 2b) · (depth − b) with upright walls, a smaller circle's segment in a drum, a
    /// quarter of a circle round an inward corner. Random outlines against a grid of points whose distance from
    /// every wall is measured.
    pub fn comb(&self, bee_space: Length) -> Area {
        let inwards = bee_space.max(Length::ZERO).to_cm();
        let cm2 = match &self.outline {
            Outline::Polygon(polygon) => polygon.inset(inwards).area(),
            Outline::Bent(bent) => bent.area(inwards),
            Outline::Drum(arc) | Outline::Arc(arc) => arc.inset(inwards).map_or(0.0, |inner| inner.area()),
            Outline::Catenary(catenary) => catenary.area_inside(inwards),
        };
        Area::from_cm2(cm2).expect("BUG: an outline of finite lengths has an area")
    }

    /// The width at the bars of the comb that fills the section, of all its pieces together; with no bee space
    /// that of the section.
    pub fn width_at_bars(&self, bee_space: Length) -> Length {
        let inwards = bee_space.max(Length::ZERO).to_cm();
        let cm = match &self.outline {
            Outline::Polygon(polygon) => polygon.inset(inwards).width_at_bars(),
            Outline::Bent(bent) => bent.width_at_bars(inwards),
            Outline::Drum(arc) | Outline::Arc(arc) => arc.inset(inwards).map_or(0.0, |inner| inner.chord()),
            Outline::Catenary(catenary) => catenary.width_inside(inwards),
        };
        Length::from_mm_f64(10.0 * cm).expect("BUG: no wider than the section")
    }

    /// The corners, in order round, of the comb that fills the section; with no bee space of the section itself.
    ///
    /// In millimetres: x from the middle of the bar line, y downwards from it. The last corner joins the first; a
    /// curve is given by so many points that its area is told to half a per cent. Pieces that hang side by side are
    /// joined along the bar line; [`Section::combs`] has them apart. Empty where there is no room for comb; a bee
    /// space of less than nothing counts as none.
    pub fn outline(&self, bee_space: Length) -> Vec<(f64, f64)> {
        self.drawn(bee_space, outline::STEPS)
    }

    /// The corners of each piece of comb that hangs from the bars, from left to right, as [`Section::outline`] gives
    /// them; only a section with inward corners can part the comb.
    pub fn combs(&self, bee_space: Length) -> Vec<Vec<(f64, f64)>> {
        self.pieces(bee_space, outline::STEPS)
    }

    /// The volume of so much length of the section.
    pub fn volume(&self, length: Length) -> Volume {
        self.face() * length
    }

    /// The way along walls and floor from one end of the bars to the other.
    pub fn wall(&self) -> Length {
        let cm = match &self.outline {
            Outline::Polygon(polygon) => polygon.wall(),
            Outline::Bent(bent) => bent.wall(),
            Outline::Drum(arc) | Outline::Arc(arc) => arc.wall(),
            Outline::Catenary(catenary) => catenary.wall(),
        };
        Length::from_mm_f64(10.0 * cm).expect("a section is out of range")
    }

    /// The lean of the walls at the bars, in degrees from upright; `None` on curves and where the two walls
    /// differ.
    ///
    /// The angle between a level floor and the wall, in which many plans give it, is 90 degrees more.
    pub fn wall_from_vertical_deg(&self) -> Option<f64> {
        match &self.outline {
            Outline::Polygon(polygon) => polygon.lean_deg(),
            Outline::Bent(bent) => bent.lean_deg(),
            Outline::Drum(_) | Outline::Arc(_) | Outline::Catenary(_) => None,
        }
    }

    /// The corners of [`Section::combs`], a curve to a hundredth of a millimetre.
    pub(crate) fn fine_combs(&self, bee_space: Length) -> Vec<Vec<(f64, f64)>> {
        self.pieces(bee_space, outline::FINE_STEPS)
    }

    /// Where comb may hang from the bars of the section, as [`Section::fine_combs`] gives it.
    ///
    /// Along walls that lean outwards from the bars it reaches nearer to their ends than the comb of the section,
    /// whose outline keeps off the line of the wall even above the bars.
    pub(crate) fn room(&self, bee_space: Length) -> Vec<Vec<(f64, f64)>> {
        match &self.outline {
            Outline::Polygon(polygon) => {
                let bent = Bent::new(polygon.below_bars());
                in_mm(bent.combs(bee_space.max(Length::ZERO).to_cm()))
            }
            Outline::Bent(_) | Outline::Drum(_) | Outline::Arc(_) | Outline::Catenary(_) => {
                self.fine_combs(bee_space)
            }
        }
    }

    fn pieces(&self, bee_space: Length, steps: u32) -> Vec<Vec<(f64, f64)>> {
        if let Outline::Bent(bent) = &self.outline {
            return in_mm(bent.combs(bee_space.max(Length::ZERO).to_cm()));
        }
        let whole = self.drawn(bee_space, steps);
        Some(whole).filter(|comb| !comb.is_empty()).into_iter().collect()
    }

    fn drawn(&self, bee_space: Length, steps: u32) -> Vec<(f64, f64)> {
        let inwards = bee_space.max(Length::ZERO).to_cm();
        let corners_cm = match &self.outline {
            Outline::Polygon(polygon) => polygon.inset(inwards).below_bars(),
            Outline::Bent(bent) => bent.joined(inwards),
            Outline::Drum(arc) | Outline::Arc(arc) => arc
                .inset(inwards)
                .map_or_else(Vec::new, |inner| inner.points(steps)),
            Outline::Catenary(catenary) => catenary.points_inside(inwards, steps),
        };
        corners_cm.into_iter().map(to_mm).collect()
    }

    /// Whether its wall is a curve, which no boards stand for.
    pub(crate) fn is_curved(&self) -> bool {
        match self.outline {
            Outline::Polygon(_) | Outline::Bent(_) => false,
            Outline::Drum(_) | Outline::Arc(_) | Outline::Catenary(_) => true,
        }
    }

    /// The radius inside of a drum; `None` of any other shape.
    pub(crate) fn drum_radius(&self) -> Option<Length> {
        match self.outline {
            Outline::Drum(arc) => Length::from_mm_f64(10.0 * arc.radius),
            Outline::Polygon(_) | Outline::Bent(_) | Outline::Arc(_) | Outline::Catenary(_) => None,
        }
    }
}

/// The bars that fit side by side into a length, an allowance for swelling and propolis left; `None` for bars
/// of no width.
pub fn bars_that_fit(length: Length, bar: Length, allowance: Length) -> Option<u32> {
    let room = length.checked_sub(allowance)?.max(Length::ZERO);
    (bar > Length::ZERO).then(|| u32::try_from(room.steps() / bar.steps()).ok())?
}

fn in_mm(outlines_cm: Vec<Vec<(f64, f64)>>) -> Vec<Vec<(f64, f64)>> {
    let each = outlines_cm.into_iter();
    each.map(|outline| outline.into_iter().map(to_mm).collect())
        .collect()
}

fn to_mm((x, y): (f64, f64)) -> (f64, f64) {
    (10.0 * x, 10.0 * y)
}

fn positive(length: Length) -> Result<f64, SectionError> {
    (length > Length::ZERO)
        .then(|| length.to_cm())
        .ok_or(SectionError::NoSize)
}

fn trapezium(top: Length, floor: Length, depth: Length) -> Result<Polygon, SectionError> {
    let (half_top, depth) = (positive(top)? / 2.0, positive(depth)?);
    let half_floor = floor.to_cm() / 2.0;
    if half_floor < 0.0 {
        return Err(SectionError::NoSize);
    }
    Ok(Polygon::trapezium(half_top, half_floor, depth))
}

fn polygon(corners: &[Corner]) -> Result<Outline, SectionError> {
    simple::check(corners)?;
    let measured: Vec<(f64, f64)> = corners.iter().map(|(x, y)| (x.to_cm(), y.to_cm())).collect();
    let seen = outline::from_left_to_right(&measured);
    if let Some(convex) = Polygon::convex(&seen) {
        return Ok(Outline::Polygon(convex));
    }
    simple::check_below_bars(corners)?;
    Ok(Outline::Bent(Bent::new(seen)))
}

fn drum(diameter: Length, depth: Length) -> Result<Arc, SectionError> {
    let (diameter_cm, depth_cm) = (positive(diameter)?, positive(depth)?);
    (depth <= diameter)
        .then_some(Arc {
            radius: diameter_cm / 2.0,
            depth: depth_cm,
        })
        .ok_or(SectionError::DeeperThanDrum)
}
