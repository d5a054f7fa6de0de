//! Drawings, for a browser: inline SVG, measured in millimetres of the thing drawn.
//!
//! Holds true: a drawing says in words what it shows; every class of it is explained by the stylesheet, and it
//! has no style of its own; coordinates are printed to a tenth of a millimetre; lines keep their width on the
//! screen however small the drawing gets. A drawing without links is one picture to a screen reader, a drawing
//! with links is a group of them.
//!
//! Start at [`drawing()`].

use std::collections::BTreeSet;

use maud::{Markup, html};

use crate::drawing::{Drawing, Fill, Hatch, Shape};
use crate::reach::safe;

/// The drawing. The id is its own within the document; what it needs inside is named after it.
pub fn drawing(drawing: &Drawing, id: &str) -> Markup {
    let (left, top, width, height) = drawing.frame;
    let frame = format!("{} {} {} {}", n(left), n(top), n(width), n(height));
    let role = if leads_somewhere(&drawing.shapes) {
        "group"
    } else {
        "img"
    };
    let mut hatches = BTreeSet::new();
    hatches_of(&drawing.shapes, &mut hatches);
    html! {
        svg.drawing.wide[drawing.wide].code[drawing.code] id=(id) viewBox=(frame) role=(role)
            aria-labelledby={ (id) ".title" } aria-describedby={ (id) ".says" }
        {
            title id={ (id) ".title" } { (drawing.title) }
            desc id={ (id) ".says" } { (drawing.says) }
            @if !hatches.is_empty() {
                defs { @for hatch in hatches { (pattern(hatch, drawing, id)) } }
            }
            @for shape in &drawing.shapes { (self::shape(shape, id)) }
        }
    }
}

/// The drawing as a file of its own, to be printed so many millimetres wide: black on white, its style in it.
pub fn on_paper(drawing: &Drawing, across_mm: f64) -> String {
    let (left, top, width, height) = drawing.frame;
    // What a millimetre of the paper is of the thing drawn.
    let mm = if across_mm > 0.0 { width / across_mm } else { 1.0 };
    let line = |pen: f64| fine(pen * mm);
    let (thin, thick) = (line(0.2), line(0.45));
    let dashes = format!("{} {}", line(1.2), line(0.8));
    let style = format!(
        ".area{{stroke:none;stroke-linejoin:round}}.bare{{fill:none}}.paper{{fill:#fff}}.tint{{fill:#e6e6e6}}.ink{{fill:#000}}\
         .edge-1{{stroke:#000;stroke-width:{thin}}}.edge-2{{stroke:#000;stroke-width:{thick}}}\
         .line{{fill:none;stroke:#000;stroke-width:{thin}}}.broken{{stroke-dasharray:{dashes}}}\
         .ground{{fill:#fff}}.hatch{{fill:none;stroke:#000}}.dot{{fill:#000}}\
         .coarse{{display:none}}.fine{{display:inline}}\
         .label{{fill:#000;font-family:'DejaVu Sans'}}"
    );
    let frame = format!("{} {} {} {}", n(left), n(top), n(width), n(height));
    let mut hatches = BTreeSet::new();
    hatches_of(&drawing.shapes, &mut hatches);
    let svg = html! {
        svg xmlns="http://www.w3.org/2000/svg" viewBox=(frame) width=(n(width)) height=(n(height)) {
            style { (maud::PreEscaped(style)) }
            defs { @for hatch in hatches { (pattern(hatch, drawing, "d")) } }
            @for shape in &drawing.shapes { (self::shape(shape, "d")) }
        }
    };
    svg.into_string()
}

fn leads_somewhere(shapes: &[Shape]) -> bool {
    shapes.iter().any(|shape| match shape {
        Shape::Link { to, shapes, .. } => safe(to).is_some() || leads_somewhere(shapes),
        Shape::Area { .. } | Shape::Line { .. } | Shape::Label { .. } => false,
    })
}

fn hatches_of(shapes: &[Shape], into: &mut BTreeSet<Hatch>) {
    for shape in shapes {
        match shape {
            Shape::Area {
                fill: Fill::Hatch(hatch),
                ..
            } => {
                into.insert(*hatch);
            }
            Shape::Link { shapes, .. } => hatches_of(shapes, into),
            Shape::Area { .. } | Shape::Line { .. } | Shape::Label { .. } => {}
        }
    }
}

fn shape(shape: &Shape, id: &str) -> Markup {
    html! {
        @match shape {
            Shape::Area { corners, fill, edge, broken } => {
                path class=(area_class(*fill, *edge, *broken)) fill=[hatch_of(*fill, id)]
                    d={ (way(corners)) "Z" } vector-effect="non-scaling-stroke" {}
            }
            Shape::Line { points, broken } => {
                path class=(if *broken { "line broken" } else { "line" }) d=(way(points))
                    vector-effect="non-scaling-stroke" {}
            }
            // Words in a drawing are for the eye: the drawing and its links say in full what they mean.
            Shape::Label { at: (x, y), text, height } => {
                text.label x=(n(*x)) y=(n(*y)) font-size=(n(*height)) text-anchor="middle" aria-hidden="true" {
                    (text)
                }
            }
            Shape::Link { to, says, shapes } => {
                @let inner = html! { @for shape in shapes { (self::shape(shape, id)) } };
                @match safe(to) {
                    Some(to) => a.spot href=(to) aria-label=(says) { (inner) }
                    None => g { (inner) }
                }
            }
        }
    }
}

fn area_class(fill: Fill, edge: u8, broken: bool) -> String {
    let fill = match fill {
        Fill::None => "bare",
        Fill::Paper => "paper",
        Fill::Tint => "tint",
        Fill::Ink => "ink",
        Fill::Hatch(_) => "hatched",
    };
    let broken = if broken { " broken" } else { "" };
    format!("area {fill} edge-{}{broken}", edge.min(2))
}

fn hatch_of(fill: Fill, id: &str) -> Option<String> {
    match fill {
        Fill::Hatch(hatch) => Some(format!("url(#{id}.{})", name(hatch))),
        Fill::None | Fill::Paper | Fill::Tint | Fill::Ink => None,
    }
}

/// From point to point in straight lines.
fn way(points: &[(f64, f64)]) -> String {
    let steps = points
        .iter()
        .zip(std::iter::once("M").chain(std::iter::repeat("L")));
    steps
        .map(|((x, y), step)| format!("{step}{} {}", n(*x), n(*y)))
        .collect()
}

/// A length to a tenth of a millimetre; a thing that is nowhere is put at the corner.
fn n(mm: f64) -> String {
    if !mm.is_finite() {
        return "0".to_owned();
    }
    let text = format!("{mm:.1}");
    let text = text.strip_suffix(".0").unwrap_or(&text);
    if text == "-0" {
        "0".to_owned()
    } else {
        text.to_owned()
    }
}

const fn name(hatch: Hatch) -> &'static str {
    match hatch {
        Hatch::LevelClose => "level-close",
        Hatch::LevelWide => "level-wide",
        Hatch::LevelBroken => "level-broken",
        Hatch::Slant => "slant",
        Hatch::Crossed => "crossed",
        Hatch::DotsClose => "dots-close",
        Hatch::DotsWide => "dots-wide",
        Hatch::Rings => "rings",
        Hatch::Strokes => "strokes",
    }
}

/// How wide a drawing is on the smallest screen, in points of the screen: the full width of the narrowest
/// page, or one of two drawings beside each other.
const WIDE_AT_LEAST: f64 = 288.0;
const SMALL_AT_LEAST: f64 = 160.0;

/// A tile of hatching: its width and height, and what is drawn in it, all in points of the smallest screen.
struct Tile {
    width: f64,
    height: f64,
    lines: &'static [[(f64, f64); 2]],
    /// Middle and radius.
    dots: &'static [(f64, f64, f64)],
    rings: &'static [(f64, f64, f64)],
}

const BLANK: Tile = Tile {
    width: 6.0,
    height: 6.0,
    lines: &[],
    dots: &[],
    rings: &[],
};

/// How thick the lines of hatching are, in points of the smallest screen.
const STROKE: f64 = 0.9;

/// Lines reach beyond their tile, so that no gap is seen where tiles meet.
const fn tile(hatch: Hatch) -> Tile {
    const RISING: [[(f64, f64); 2]; 3] = [
        [(-1.0, 1.0), (1.0, -1.0)],
        [(-1.0, 7.0), (7.0, -1.0)],
        [(5.0, 7.0), (7.0, 5.0)],
    ];
    const BOTH: [[(f64, f64); 2]; 6] = [
        RISING[0],
        RISING[1],
        RISING[2],
        [(-1.0, 5.0), (1.0, 7.0)],
        [(-1.0, -1.0), (7.0, 7.0)],
        [(5.0, -1.0), (7.0, 1.0)],
    ];
    match hatch {
        Hatch::LevelClose => Tile {
            width: 8.0,
            height: 3.5,
            lines: &[[(-1.0, 1.75), (9.0, 1.75)]],
            ..BLANK
        },
        Hatch::LevelWide => Tile {
            width: 8.0,
            height: 8.0,
            lines: &[[(-1.0, 4.0), (9.0, 4.0)]],
            ..BLANK
        },
        Hatch::LevelBroken => Tile {
            width: 9.0,
            height: 9.0,
            lines: &[
                [(0.0, 2.25), (5.0, 2.25)],
                [(4.5, 6.75), (9.0, 6.75)],
                [(0.0, 6.75), (0.5, 6.75)],
            ],
            ..BLANK
        },
        Hatch::Slant => Tile {
            lines: &RISING,
            ..BLANK
        },
        Hatch::Crossed => Tile {
            lines: &BOTH,
            ..BLANK
        },
        Hatch::DotsClose => Tile {
            width: 4.5,
            height: 4.5,
            dots: &[(1.125, 1.125, 0.8), (3.375, 3.375, 0.8)],
            ..BLANK
        },
        Hatch::DotsWide => Tile {
            width: 8.0,
            height: 8.0,
            dots: &[(2.0, 2.0, 0.9), (6.0, 6.0, 0.9)],
            ..BLANK
        },
        Hatch::Rings => Tile {
            width: 6.5,
            height: 6.5,
            rings: &[(3.25, 3.25, 2.1)],
            ..BLANK
        },
        Hatch::Strokes => Tile {
            width: 6.0,
            height: 9.0,
            lines: &[[(1.5, 0.75), (1.5, 3.75)], [(4.5, 5.25), (4.5, 8.25)]],
            ..BLANK
        },
    }
}

/// The hatching, scaled so that it can be read on the smallest screen. A wide drawing gets a finer one as well,
/// half the size, and the stylesheet shows that where there is room for it.
fn pattern(hatch: Hatch, drawing: &Drawing, id: &str) -> Markup {
    let (_, _, width, _) = drawing.frame;
    let at_least = if drawing.wide {
        WIDE_AT_LEAST
    } else {
        SMALL_AT_LEAST
    };
    let unit = width / at_least;
    let tile = tile(hatch);
    let (across, down) = (tile.width * unit, tile.height * unit);
    let halves = [(0.0, 0.0), (0.5, 0.0), (0.0, 0.5), (0.5, 0.5)];
    html! {
        pattern id={ (id) "." (name(hatch)) } patternUnits="userSpaceOnUse" width=(fine(across)) height=(fine(down)) {
            rect.ground width=(fine(across)) height=(fine(down)) {}
            g.coarse[drawing.wide] { (drawn(&tile, unit, (0.0, 0.0))) }
            @if drawing.wide {
                g.fine display="none" {
                    @for (right, below) in halves {
                        (drawn(&tile, unit / 2.0, (right * across, below * down)))
                    }
                }
            }
        }
    }
}

fn drawn(tile: &Tile, unit: f64, (left, top): (f64, f64)) -> Markup {
    let x = |x: f64| fine(left + x * unit);
    let y = |y: f64| fine(top + y * unit);
    let ways: String = tile
        .lines
        .iter()
        .map(|[from, to]| format!("M{} {}L{} {}", x(from.0), y(from.1), x(to.0), y(to.1)))
        .collect();
    html! {
        @if !ways.is_empty() { path.hatch d=(ways) stroke-width=(fine(STROKE * unit)) {} }
        @for dot in tile.dots { circle.dot cx=(x(dot.0)) cy=(y(dot.1)) r=(fine(dot.2 * unit)) {} }
        @for ring in tile.rings {
            circle.hatch cx=(x(ring.0)) cy=(y(ring.1)) r=(fine(ring.2 * unit)) stroke-width=(fine(STROKE * unit)) {}
        }
    }
}

/// Hatching repeats, so that a tenth of a millimetre too much would be seen; it is printed to a thousandth.
fn fine(mm: f64) -> String {
    if mm.is_finite() {
        format!("{mm:.3}")
    } else {
        "0".to_owned()
    }
}
