//! A template at full size: what is sawn, drilled and marked, in true millimetres.
//!
//! Holds true: every measure is that of the thing itself; nothing is scaled.
//!
//! Does not: know paper (see the crate `press`).

use maud::{Markup, PreEscaped, html};

/// A template.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Template {
    /// What it is for.
    pub title: String,
    /// What to know before it is used, a sentence each.
    pub says: Vec<String>,
    /// What is drawn: x to the right and y downwards, in millimetres.
    pub figures: Vec<Figure>,
}

/// What a figure stands for at the bench.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Meaning {
    /// It is sawn.
    Cut,
    /// It is drilled.
    Drill,
    /// It is marked, and nothing is taken away.
    Mark,
}

/// A figure of a template.
#[derive(Clone, Debug, PartialEq)]
pub enum Figure {
    /// A closed outline.
    Outline {
        /// Its corners.
        corners: Vec<(f64, f64)>,
        /// What it stands for.
        meaning: Meaning,
    },
    /// A straight line.
    Line {
        /// From.
        from: (f64, f64),
        /// To.
        to: (f64, f64),
        /// What it stands for.
        meaning: Meaning,
    },
    /// A circle.
    Circle {
        /// Its middle.
        middle: (f64, f64),
        /// Its radius.
        radius: f64,
        /// What it stands for.
        meaning: Meaning,
    },
    /// Words, their middle at a point; to be read, not made.
    Words {
        /// The middle of the base line.
        at: (f64, f64),
        /// The words.
        text: String,
        /// The height of the letters.
        height: f64,
    },
}

impl Meaning {
    /// The word for it, also the name of its layer.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Cut => "cut",
            Self::Drill => "drill",
            Self::Mark => "mark",
        }
    }
}

impl Template {
    /// From where to where the figures reach: left, top, right, bottom. Nothing where there are none.
    pub fn extent(&self) -> Option<(f64, f64, f64, f64)> {
        let reach = |figure: &Figure| -> Vec<(f64, f64)> {
            match figure {
                Figure::Outline { corners, .. } => corners.clone(),
                Figure::Line { from, to, .. } => vec![*from, *to],
                Figure::Circle { middle, radius, .. } => vec![
                    (middle.0 - radius, middle.1 - radius),
                    (middle.0 + radius, middle.1 + radius),
                ],
                Figure::Words { at, .. } => vec![*at],
            }
        };
        let points = self.figures.iter().flat_map(reach);
        points.fold(None, |extent, (x, y)| match extent {
            None => Some((x, y, x, y)),
            Some((left, top, right, bottom)) => Some((left.min(x), top.min(y), right.max(x), bottom.max(y))),
        })
    }
}

/// Around a stand-alone drawing, in millimetres.
const MARGIN: f64 = 5.0;

/// The template as an SVG file that opens at its true size.
pub fn svg(template: &Template) -> String {
    let (left, top, right, bottom) = template.extent().unwrap_or((0.0, 0.0, 1.0, 1.0));
    let (left, top) = (left - MARGIN, top - MARGIN);
    let (width, height) = (right + MARGIN - left, bottom + MARGIN - top);
    let frame = format!("{} {} {} {}", n(left), n(top), n(width), n(height));
    let body = html! {
        (PreEscaped("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"))
        svg xmlns="http://www.w3.org/2000/svg" width={ (n(width)) "mm" } height={ (n(height)) "mm" } viewBox=(frame) {
            title { (template.title) }
            desc { (template.says.join(" ")) }
            g fill="none" stroke="#000" stroke-width="0.3" font-family="sans-serif" {
                @for figure in &template.figures { (drawn(figure)) }
            }
        }
    };
    body.into_string()
}

fn drawn(figure: &Figure) -> Markup {
    match figure {
        Figure::Outline { corners, meaning } => html! {
            path class=(meaning.word()) stroke-dasharray=[dashes(*meaning)] d={ (way(corners)) "Z" } {}
        },
        Figure::Line { from, to, meaning } => html! {
            path class=(meaning.word()) stroke-dasharray=[dashes(*meaning)] d=(way(&[*from, *to])) {}
        },
        Figure::Circle {
            middle,
            radius,
            meaning,
        } => html! {
            circle class=(meaning.word()) cx=(n(middle.0)) cy=(n(middle.1)) r=(n(*radius)) {}
        },
        Figure::Words { at, text, height } => html! {
            text x=(n(at.0)) y=(n(at.1)) font-size=(n(*height)) text-anchor="middle" fill="#000" stroke="none" { (text) }
        },
    }
}

/// What is marked alone is dashed.
const fn dashes(meaning: Meaning) -> Option<&'static str> {
    match meaning {
        Meaning::Mark => Some("4 2"),
        Meaning::Cut | Meaning::Drill => None,
    }
}

fn way(points: &[(f64, f64)]) -> String {
    let steps = points
        .iter()
        .zip(std::iter::once("M").chain(std::iter::repeat("L")));
    steps
        .map(|((x, y), step)| format!("{step}{} {}", n(*x), n(*y)))
        .collect()
}

/// A measure to a thousandth of a millimetre.
fn n(mm: f64) -> String {
    let mm = if mm.is_finite() { mm } else { 0.0 };
    let text = format!("{mm:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" {
        "0".to_owned()
    } else {
        text.to_owned()
    }
}
