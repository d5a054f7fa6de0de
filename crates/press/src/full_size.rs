//! A template at full size, tiled over sheets that are glued together.
//!
//! ```text
//!   A1 | A2 | A3      Each sheet shows a window of the template; neighbours overlap by 10 mm.
//!   ---+----+---      Crosses lie in the overlap and are printed on both sheets: laid on each
//!   B1 | B2 | B3      other, they join the sheets exactly. The first sheet is a map.
//! ```
//!
//! Holds true: a millimetre of the template is a millimetre on paper; a sheet on which nothing would be drawn is left
//! out; every sheet bears a bar of 100 mm and one of 4 inches to be measured before anything is sawn.

use page::{Figure, Meaning, Template};
use serde_json::{Value, json};

use crate::letters::clean;
use crate::{Around, Printed, Unset, setter};

const TEMPLATE: &str = include_str!("templates/full-size.typ");

/// What printers leave white at each edge, and a little more.
const MARGIN: f64 = 12.0;
/// The strip below the window, with the bars and what the sheet is called.
const FOOT: f64 = 24.0;
/// How far neighbours overlap.
const OVERLAP: f64 = 10.0;
/// Where in the overlap the crosses lie, along it, as parts of the window.
const CROSSES: [f64; 2] = [0.2, 0.8];

/// The windows of the sheets.
struct Grid {
    left: f64,
    top: f64,
    /// Width and height of a window.
    window: (f64, f64),
    columns: usize,
    rows: usize,
}

impl Grid {
    fn over(extent: (f64, f64, f64, f64), around: &Around<'_>) -> Self {
        let (wide, high) = around.paper.mm();
        let window = (wide - 2.0 * MARGIN, high - 2.0 * MARGIN - FOOT);
        let (left, top, right, bottom) = extent;
        // A little white round the outline, so that no line runs along the edge of a sheet.
        let (left, top, right, bottom) = (left - 2.0, top - 2.0, right + 2.0, bottom + 2.0);
        let count = |size: f64, window: f64| -> usize {
            let steps = (size - window).max(0.0) / (window - OVERLAP);
            steps.ceil() as usize + 1
        };
        let (columns, rows) = (count(right - left, window.0), count(bottom - top, window.1));
        // What the sheets have to spare lies on all sides alike.
        let spare = |count: usize, window: f64, size: f64| {
            let covered = window + (count - 1) as f64 * (window - OVERLAP);
            (covered - size) / 2.0
        };
        Self {
            left: left - spare(columns, window.0, right - left),
            top: top - spare(rows, window.1, bottom - top),
            window,
            columns,
            rows,
        }
    }

    /// The upper left corner of a window in the template.
    fn corner(&self, (row, column): (usize, usize)) -> (f64, f64) {
        (
            self.left + column as f64 * (self.window.0 - OVERLAP),
            self.top + row as f64 * (self.window.1 - OVERLAP),
        )
    }

    fn all(&self) -> impl Iterator<Item = (usize, usize)> {
        let columns = self.columns;
        (0..self.rows).flat_map(move |row| (0..columns).map(move |column| (row, column)))
    }

    /// Crosses that a sheet shares with its neighbours, in the template, and the names of both.
    fn crosses(&self, (row, column): (usize, usize)) -> Vec<(f64, f64)> {
        let (x, y) = self.corner((row, column));
        let (wide, high) = self.window;
        let half = OVERLAP / 2.0;
        let mut crosses = Vec::new();
        for part in CROSSES {
            if column > 0 {
                crosses.push((x + half, y + high * part));
            }
            if column + 1 < self.columns {
                crosses.push((x + wide - half, y + high * part));
            }
            if row > 0 {
                crosses.push((x + wide * part, y + half));
            }
            if row + 1 < self.rows {
                crosses.push((x + wide * part, y + high - half));
            }
        }
        crosses
    }
}

/// What a sheet is called: its row by a letter, its column by a number.
fn sheet_name((row, column): (usize, usize)) -> String {
    let letter = char::from(b'A' + u8::try_from(row % 26).unwrap_or(0));
    let again = "'".repeat(row / 26);
    format!("{letter}{again}{}", column + 1)
}

/// Sets a template at full size over as many sheets as it needs, a map of them first.
///
/// # Errors
/// The sheets could not be set: a mistake of the program, whatever the template says.
pub fn full_size(template: &Template, around: &Around<'_>) -> Result<Printed, Unset> {
    let extent = template.extent().unwrap_or((0.0, 0.0, 1.0, 1.0));
    let grid = Grid::over(extent, around);
    let used: Vec<(usize, usize)> = grid
        .all()
        .filter(|sheet| is_used(template, &grid, *sheet))
        .collect();
    let tiles: Vec<Value> = used.iter().map(|sheet| tile(template, &grid, *sheet)).collect();
    let data = json!({
        "title": clean(&template.title),
        "says": template.says.iter().map(|says| clean(says)).collect::<Vec<_>>(),
        "figures": template.figures.iter().map(|figure| moved(figure, (0.0, 0.0))).collect::<Vec<_>>(),
        "grid": {
            "left": grid.left, "top": grid.top, "width": grid.window.0, "height": grid.window.1,
            "overlap": OVERLAP, "columns": grid.columns, "rows": grid.rows,
        },
        "measures": format!("{:.1} × {:.1} mm", extent.2 - extent.0, extent.3 - extent.1),
        "margin": MARGIN,
        "sheets": used.iter().map(|sheet| {
            let (x, y) = grid.corner(*sheet);
            json!({ "name": sheet_name(*sheet), "x": x, "y": y })
        }).collect::<Vec<_>>(),
        "tiles": tiles,
    });
    setter::set(TEMPLATE, data, around).map(|laid| laid.printed)
}

/// Whether anything of the template lies in a window.
fn is_used(template: &Template, grid: &Grid, sheet: (usize, usize)) -> bool {
    let (left, top) = grid.corner(sheet);
    let (right, bottom) = (left + grid.window.0, top + grid.window.1);
    let touches = |a: (f64, f64), b: (f64, f64)| meets(a, b, (left, top, right, bottom));
    template.figures.iter().any(|figure| match figure {
        Figure::Outline { corners, .. } => {
            let next = corners.iter().cycle().skip(1);
            corners.iter().zip(next).any(|(a, b)| touches(*a, *b))
        }
        Figure::Line { from, to, .. } => touches(*from, *to),
        Figure::Circle { middle, radius, .. } => {
            let near = |at: f64, from: f64, to: f64| at + radius >= from && at - radius <= to;
            near(middle.0, left, right) && near(middle.1, top, bottom)
        }
        Figure::Words { .. } => false,
    })
}

/// Whether a straight line reaches into a rectangle: what of it is left when it is clipped on all four sides.
fn meets(a: (f64, f64), b: (f64, f64), (left, top, right, bottom): (f64, f64, f64, f64)) -> bool {
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for (along, room) in [
        (-dx, a.0 - left),
        (dx, right - a.0),
        (-dy, a.1 - top),
        (dy, bottom - a.1),
    ] {
        if along.abs() < 1e-12 {
            if room < 0.0 {
                return false;
            }
        } else if along < 0.0 {
            from = from.max(room / along);
        } else {
            to = to.min(room / along);
        }
    }
    from <= to
}

/// One sheet: what lies in its window, measured from the window's corner.
fn tile(template: &Template, grid: &Grid, sheet: (usize, usize)) -> Value {
    let corner = grid.corner(sheet);
    let figures: Vec<Value> = template
        .figures
        .iter()
        .map(|figure| moved(figure, corner))
        .collect();
    let crosses: Vec<Value> = grid
        .crosses(sheet)
        .into_iter()
        .map(|(x, y)| json!([x - corner.0, y - corner.1]))
        .collect();
    let (row, column) = sheet;
    let neighbour = |there: bool, sheet: (usize, usize)| {
        if there { sheet_name(sheet) } else { String::new() }
    };
    json!({
        "name": sheet_name(sheet),
        "figures": figures,
        "crosses": crosses,
        "left": neighbour(column > 0, (row, column.wrapping_sub(1))),
        "right": neighbour(column + 1 < grid.columns, (row, column + 1)),
        "above": neighbour(row > 0, (row.wrapping_sub(1), column)),
        "below": neighbour(row + 1 < grid.rows, (row + 1, column)),
    })
}

/// A figure as the setter takes it, its measures from another corner.
fn moved(figure: &Figure, from: (f64, f64)) -> Value {
    let at = |(x, y): (f64, f64)| json!([x - from.0, y - from.1]);
    let dashed = |meaning: Meaning| meaning == Meaning::Mark;
    match figure {
        Figure::Outline { corners, meaning } => json!({
            "k": "outline", "points": corners.iter().map(|corner| at(*corner)).collect::<Vec<_>>(), "dashed": dashed(*meaning),
        }),
        Figure::Line {
            from: a,
            to: b,
            meaning,
        } => {
            json!({ "k": "line", "points": [at(*a), at(*b)], "dashed": dashed(*meaning) })
        }
        Figure::Circle {
            middle,
            radius,
            meaning,
        } => json!({
            "k": "circle", "at": at(*middle), "radius": radius, "dashed": dashed(*meaning),
        }),
        Figure::Words {
            at: place,
            text,
            height,
        } => {
            json!({ "k": "words", "at": at(*place), "text": clean(text), "height": height })
        }
    }
}
