//! Drawings at true scale, in millimetres of the thing drawn.

/// A drawing. It says in words what it shows.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drawing {
    /// What is drawn, in a few words.
    pub title: String,
    /// What it shows, for those who cannot see it.
    pub says: String,
    /// The words that stand below it.
    pub caption: crate::Words,
    /// From where to where it reaches, in millimetres: left, top, width, height.
    pub frame: (f64, f64, f64, f64),
    /// What is drawn, the first at the back.
    pub shapes: Vec<Shape>,
    /// It takes the whole width of the page; otherwise, and in a gallery, it stays small.
    pub wide: bool,
    /// It is a code for a camera: dark on light, whatever colours the reader prefers.
    pub code: bool,
}

impl Eq for Drawing {}

/// A part of a drawing.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// A closed outline.
    Area {
        /// Its corners.
        corners: Vec<(f64, f64)>,
        /// What fills it.
        fill: Fill,
        /// Whether its edge is drawn: 0 is none, 1 thin, 2 thick.
        edge: u8,
        /// Its edge is broken: nothing solid is there.
        broken: bool,
    },
    /// A line through points.
    Line {
        /// The points.
        points: Vec<(f64, f64)>,
        /// It is broken.
        broken: bool,
    },
    /// Words, their middle at a point.
    Label {
        /// The point: the middle of the base line.
        at: (f64, f64),
        /// The words.
        text: String,
        /// The height of the letters, in millimetres of the thing drawn.
        height: f64,
    },
    /// A field that leads somewhere.
    Link {
        /// Where.
        to: String,
        /// What is read to those who cannot see it.
        says: String,
        /// What is drawn in it.
        shapes: Vec<Shape>,
    },
}

impl Shape {
    /// An upright rectangle from its upper left corner, with its width and height.
    pub fn rectangle(at: (f64, f64), size: (f64, f64), fill: Fill, edge: u8, broken: bool) -> Self {
        let ((left, top), (right, bottom)) = (at, (at.0 + size.0, at.1 + size.1));
        Self::Area {
            corners: vec![(left, top), (right, top), (right, bottom), (left, bottom)],
            fill,
            edge,
            broken,
        }
    }
}

/// What fills an outline.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fill {
    /// Nothing: what lies behind shows.
    None,
    /// Paper.
    Paper,
    /// A light tint of the ink.
    Tint,
    /// Ink.
    Ink,
    /// Hatching.
    Hatch(Hatch),
}

/// Hatchings that can be told apart without colour, on a small screen and on paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Hatch {
    /// Level lines, close together.
    LevelClose,
    /// Level lines, far apart.
    LevelWide,
    /// Broken level lines.
    LevelBroken,
    /// Slanting lines.
    Slant,
    /// Crossed slanting lines.
    Crossed,
    /// Dots, close together.
    DotsClose,
    /// Dots, far apart.
    DotsWide,
    /// Rings.
    Rings,
    /// Upright strokes, short and staggered.
    Strokes,
}
