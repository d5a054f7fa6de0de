//! The ring of walls, floor and roof round a section, cut into cells that follow its layers.
//!
//! ```text
//!      Q_______________________Q      <- the roof lies on the walls
//!      |\  |               |  /|
//!      P'_\P_______________P/_P'      <- the bar line
//!       \   \             /   /
//!        \   \           /   /        <- each wall its layers outwards, square to it
//!         \___\_________/___/
//!          \__|_________|__/          <- walls and floor meet in a mitre
//! ```
//!
//! Lines of nodes lead from the inside to the outside; all have the same rows, among them every boundary of
//! layers. Halving the cells keeps every node that there was.

use super::conduction::{Cell, Face, Plate, Split};
use super::{HeatError, Part};

type Point = (f64, f64);

/// Layers of one part as they are meshed.
#[derive(Debug, Clone)]
pub(super) struct Layers {
    /// Of each, from the inside outwards: its thickness in metres and what it conducts.
    pub(super) layers: Vec<(f64, f64)>,
}

impl Layers {
    fn thickness(&self) -> f64 {
        self.layers.iter().map(|(thickness, _)| thickness).sum()
    }

    /// Where the layers meet, as parts of the whole thickness.
    fn boundaries(&self) -> impl Iterator<Item = f64> {
        let whole = self.thickness();
        self.layers.iter().scan(0.0, move |sum, (thickness, _)| {
            *sum += thickness;
            Some(*sum / whole)
        })
    }

    /// What conducts at a part of the thickness.
    fn at(&self, part: f64) -> f64 {
        let idx = self.boundaries().position(|end| part < end);
        self.layers[idx.unwrap_or(self.layers.len() - 1)].1
    }
}

/// A piece of the outline with what lies outside it.
#[derive(Debug, Clone, Copy)]
struct Piece {
    part: Part,
    from: Point,
    to: Point,
}

/// A strip of cells between two lines from inside to outside.
#[derive(Debug, Clone, Copy)]
enum Strip {
    /// Along a piece of wall, floor or roof.
    Along {
        part: Part,
        inner: [Point; 2],
        outer: [Point; 2],
        /// Whether its beginning and its end are corners, near which warmth bends.
        bends: [bool; 2],
    },
    /// Where the roof lies on the top of a wall: from the roof to the wall if `is_right`, else from wall to roof.
    Corner {
        is_right: bool,
        below: Point,
        inner: Point,
        outer: Point,
        top: Point,
    },
}

/// A meshed ring.
#[derive(Debug)]
pub(super) struct Ring {
    pub(super) plate: Plate,
    /// The faces inside, each with its part, and the faces outside.
    pub(super) inside: Vec<(Part, Face)>,
    pub(super) outside: Vec<Face>,
}

/// What surrounds a section.
pub(super) struct Shell<'a> {
    pub(super) outline_m: &'a [Point],
    /// Whether a level piece at the bottom is a floor, or a piece of a curved wall.
    pub(super) is_curved: bool,
    /// Of the walls, the roof and the floor.
    pub(super) layers: [Layers; 3],
    pub(super) inside_resistance: &'a dyn Fn(f64) -> f64,
    pub(super) outside_resistance: f64,
}

/// Two points nearer than this, in metres, are one.
const SAME: f64 = 1e-9;

/// How near to level a straight piece is a floor, and how little a curve turns from piece to piece, as a cosine: 10
/// degrees.
const LEVEL: f64 = 0.984_807_753;

/// How steep the wall must be where the roof lies on it, as the sine of its rise over the level: 3 degrees.
const LEVEL_WALL: f64 = 0.052;

/// Each cell along the outline is so much longer than its neighbour nearer to a corner.
const GROWTH: f64 = 1.3;

/// Rows through the whole thickness, at least, before cells are halved.
const ROWS: f64 = 8.0;

impl Shell<'_> {
    const fn layers(&self, part: Part) -> &Layers {
        &self.layers[part as usize]
    }

    /// Meshes the ring, each cell cut into `fineness` both ways.
    pub(super) fn ring(&self, fineness: u32) -> Result<Ring, HeatError> {
        let pieces = self.pieces();
        let strips = self.strips(&pieces)?;
        let rows = self.rows(&pieces, fineness);
        let finest = self.thinnest(&pieces) / ROWS;
        let mut ring = Ring {
            plate: Plate {
                rows: rows.len(),
                is_ring: true,
                nodes_m: Vec::new(),
                cells: Vec::new(),
            },
            inside: Vec::new(),
            outside: Vec::new(),
        };
        for strip in &strips {
            let places = match strip {
                Strip::Along { inner, bends, .. } => {
                    graded(distance(inner[0], inner[1]), finest, *bends, fineness)
                }
                Strip::Corner { is_right: true, .. } => rows.clone(),
                Strip::Corner { is_right: false, .. } => rows.iter().rev().map(|row| 1.0 - row).collect(),
            };
            self.lay(&mut ring, strip, &places, &rows);
        }
        self.close(&mut ring);
        Ok(ring)
    }

    /// The outline in pieces, the bars first if there are any.
    fn pieces(&self) -> Vec<Piece> {
        let is_at_bars = |&(_, y): &Point| y.abs() < SAME;
        let at_bars = || self.outline_m.iter().copied().filter(is_at_bars);
        let left = at_bars().min_by(|a, b| a.0.total_cmp(&b.0));
        let right = at_bars().max_by(|a, b| a.0.total_cmp(&b.0));
        let ends: Vec<Point> = match (left, right) {
            (Some(left), Some(right)) if right.0 - left.0 > SAME => vec![left, right],
            _ => Vec::new(),
        };
        let has_bars = !ends.is_empty();
        let below = self
            .outline_m
            .iter()
            .copied()
            .filter(|at| !has_bars || !is_at_bars(at));
        let corners: Vec<Point> = ends.into_iter().chain(below).collect();
        let next = corners.iter().cycle().skip(1);
        let sides = corners.iter().zip(next).enumerate();
        sides
            .map(|(idx, (&from, &to))| Piece {
                part: self.part(has_bars && idx == 0, from, to),
                from,
                to,
            })
            .collect()
    }

    fn part(&self, is_at_bars: bool, from: Point, to: Point) -> Part {
        let (_, down) = outwards(from, to);
        match (is_at_bars, self.is_curved) {
            (true, _) => Part::Roof,
            (false, false) if down >= LEVEL => Part::Floor,
            (false, _) => Part::Walls,
        }
    }

    fn strips(&self, pieces: &[Piece]) -> Result<Vec<Strip>, HeatError> {
        let count = pieces.len();
        let has_roof = pieces[0].part == Part::Roof;
        let thickness = |piece: &Piece| self.layers(piece.part).thickness();
        // The inner and outer ends of the lines between a piece and the one before it, from either side.
        let mut strips = Vec::new();
        let mut starts = Vec::new();
        for idx in 0..count {
            let (before, here) = (&pieces[(idx + count - 1) % count], &pieces[idx]);
            starts.push(if has_roof && idx < 2 {
                (here.from, here.from)
            } else {
                let outer = mitre(before, thickness(before), here, thickness(here));
                (here.from, outer.ok_or(HeatError::LayersDoNotMeet)?)
            });
        }
        let mut ends: Vec<(Point, Point)> = (0..count).map(|idx| starts[(idx + 1) % count]).collect();
        let mut corners = None;
        if has_roof {
            let roof = thickness(&pieces[0]);
            let right = Joint::new(&pieces[1], thickness(&pieces[1]), roof)?;
            let left = Joint::new(&pieces[count - 1], thickness(&pieces[count - 1]), roof)?;
            starts[0] = (left.inner, left.top);
            ends[0] = (right.inner, right.top);
            starts[1] = (right.below, right.outer);
            ends[count - 1] = (left.below, left.outer);
            corners = Some((right, left));
        }
        for (idx, piece) in pieces.iter().enumerate() {
            let (inner, outer) = ([starts[idx].0, ends[idx].0], [starts[idx].1, ends[idx].1]);
            if !is_same_way(inner, outer) {
                return Err(HeatError::LayersDoNotMeet);
            }
            let (before, after) = (&pieces[(idx + count - 1) % count], &pieces[(idx + 1) % count]);
            strips.push(Strip::Along {
                part: piece.part,
                inner,
                outer,
                bends: [is_corner(before, piece), is_corner(piece, after)],
            });
        }
        if let Some((right, left)) = corners {
            strips.insert(1, right.strip(true));
            strips.push(left.strip(false));
        }
        Ok(strips)
    }

    /// Where rows of nodes stand between inside and outside: at every boundary of layers, and between.
    fn rows(&self, pieces: &[Piece], fineness: u32) -> Vec<f64> {
        let mut ends: Vec<f64> = vec![0.0, 1.0];
        for piece in pieces {
            ends.extend(self.layers(piece.part).boundaries());
        }
        ends.sort_by(f64::total_cmp);
        ends.dedup_by(|after, before| *after - *before < 1e-6);
        let mut rows = vec![0.0];
        for pair in ends.windows(2) {
            let cells = (ROWS * (pair[1] - pair[0])).ceil().max(2.0) * f64::from(fineness);
            let step = |cell: f64| pair[0] + (pair[1] - pair[0]) * cell / cells;
            rows.extend((1..).map(f64::from).take_while(|cell| *cell <= cells).map(step));
        }
        rows
    }

    fn thinnest(&self, pieces: &[Piece]) -> f64 {
        let thicknesses = pieces.iter().map(|piece| self.layers(piece.part).thickness());
        thicknesses.fold(f64::MAX, f64::min)
    }

    /// Lays the nodes and cells of a strip, all but its last line, which the next strip begins with.
    fn lay(&self, ring: &mut Ring, strip: &Strip, places: &[f64], rows: &[f64]) {
        for (line, pair) in places.windows(2).enumerate() {
            ring.plate
                .nodes_m
                .extend(rows.iter().map(|&row| strip.node(pair[0], row)));
            for (row, between) in rows.windows(2).enumerate() {
                let middle = (
                    f64::midpoint(pair[0], pair[1]),
                    f64::midpoint(between[0], between[1]),
                );
                ring.plate.cells.push(match strip {
                    Strip::Along { part, .. } => whole(self.layers(*part).at(middle.1)),
                    Strip::Corner { is_right, .. } => {
                        self.corner_cell(*is_right, (line, row), middle, rows.len() - 1)
                    }
                });
            }
            let from = ring.plate.nodes_m.len() - rows.len();
            let (a, b) = (strip.node(pair[0], 0.0), strip.node(pair[1], 0.0));
            let face = Face {
                ends: [from, from + rows.len()],
                resistance_m2k_per_w: (self.inside_resistance)(outwards(a, b).1),
                air: 1.0,
            };
            ring.inside.push((strip.inside_part(), face));
        }
    }

    /// A cell where the roof lies on the wall: wall, roof, or one triangle of each.
    fn corner_cell(
        &self,
        is_right: bool,
        (line, row): (usize, usize),
        (place, height): (f64, f64),
        cells: usize,
    ) -> Cell {
        let (towards, lines_to) = if is_right {
            (1.0 - place, cells - 1 - line)
        } else {
            (place, line)
        };
        let wall = || self.layers(Part::Walls).at(height);
        let roof = || self.layers(Part::Roof).at((towards + height - 1.0).max(0.0));
        match (lines_to + row + 1).cmp(&cells) {
            std::cmp::Ordering::Less => whole(wall()),
            std::cmp::Ordering::Greater => whole(roof()),
            std::cmp::Ordering::Equal => Cell {
                split: if is_right { Split::Rising } else { Split::Falling },
                conducts_w_per_mk: [wall(), roof()],
            },
        }
    }

    /// Closes the ring and gives its outside its faces.
    fn close(&self, ring: &mut Ring) {
        let (rows, nodes) = (ring.plate.rows, ring.plate.nodes_m.len());
        for (_, face) in &mut ring.inside {
            face.ends[1] %= nodes;
        }
        ring.outside = (0..nodes / rows)
            .map(|line| Face {
                ends: [line * rows + rows - 1, ((line + 1) * rows + rows - 1) % nodes],
                resistance_m2k_per_w: self.outside_resistance,
                air: 0.0,
            })
            .collect();
    }
}

/// The points where the roof lies on a wall.
#[derive(Debug, Clone, Copy)]
struct Joint {
    /// On the inside of the wall, a little below the bars.
    below: Point,
    /// Where wall and bars meet inside.
    inner: Point,
    /// Where the outside of the wall comes to the bar line.
    outer: Point,
    /// The outer corner of the roof, above it.
    top: Point,
}

impl Joint {
    fn new(wall: &Piece, thickness: f64, roof: f64) -> Result<Self, HeatError> {
        let is_right = wall.from.1.abs() < SAME;
        let (inner, far) = if is_right {
            (wall.from, wall.to)
        } else {
            (wall.to, wall.from)
        };
        let across = outwards(wall.from, wall.to).0;
        if across.abs() < LEVEL_WALL || (across > 0.0) != is_right {
            return Err(HeatError::WallsLieLevel);
        }
        let outer = (inner.0 + thickness / across, 0.0);
        let part = (thickness / across.abs() / distance(inner, far)).min(0.5);
        Ok(Self {
            below: between(inner, far, part),
            inner,
            outer,
            top: (outer.0, -roof),
        })
    }

    fn strip(self, is_right: bool) -> Strip {
        let Self {
            below,
            inner,
            outer,
            top,
        } = self;
        Strip::Corner {
            is_right,
            below,
            inner,
            outer,
            top,
        }
    }
}

impl Strip {
    /// The node at a place along the strip and a part of the way outwards.
    fn node(&self, place: f64, row: f64) -> Point {
        match *self {
            Self::Along { inner, outer, .. } => between(
                between(inner[0], inner[1], place),
                between(outer[0], outer[1], place),
                row,
            ),
            Self::Corner {
                is_right,
                below,
                inner,
                outer,
                top,
            } => {
                let towards = if is_right { 1.0 - place } else { place };
                if towards + row <= 1.0 {
                    spanned(below, (inner, towards), (outer, row))
                } else {
                    spanned(top, (outer, 1.0 - towards), (inner, 1.0 - row))
                }
            }
        }
    }

    fn inside_part(&self) -> Part {
        match self {
            Self::Along { part, .. } => *part,
            Self::Corner { .. } => Part::Walls,
        }
    }
}

fn whole(conducts: f64) -> Cell {
    Cell {
        split: Split::Best,
        conducts_w_per_mk: [conducts; 2],
    }
}

/// Where the outsides of two neighbouring pieces meet; `None` where they never do.
fn mitre(before: &Piece, thickness_before: f64, here: &Piece, thickness: f64) -> Option<Point> {
    let (first, second) = (outwards(before.from, before.to), outwards(here.from, here.to));
    let turn = first.0 * second.1 - first.1 * second.0;
    let (x, y) = here.from;
    if turn.abs() < 1e-9 {
        let is_even = (thickness_before - thickness).abs() < SAME;
        return is_even.then_some((x + thickness * second.0, y + thickness * second.1));
    }
    Some((
        x + (thickness_before * second.1 - thickness * first.1) / turn,
        y + (thickness * first.0 - thickness_before * second.0) / turn,
    ))
}

/// Whether the outline turns by more than 10 degrees where a piece follows another, or its layers change.
fn is_corner(before: &Piece, after: &Piece) -> bool {
    let (first, second) = (outwards(before.from, before.to), outwards(after.from, after.to));
    before.part != after.part || first.0 * second.0 + first.1 * second.1 < LEVEL
}

/// Places from 0 to 1 along a length, close together at those of its ends that are corners.
fn graded(length: f64, finest: f64, bends: [bool; 2], fineness: u32) -> Vec<f64> {
    let coarse = match bends {
        [false, false] => vec![0.0, 1.0],
        [true, false] => away_from_corner(length, finest),
        [false, true] => mirrored(&away_from_corner(length, finest)),
        [true, true] => {
            let half = away_from_corner(length / 2.0, finest);
            let other = mirrored(&half);
            let first = half.iter().map(|place| place / 2.0);
            first
                .chain(other.iter().skip(1).map(|place| 0.5 + place / 2.0))
                .collect()
        }
    };
    let mut places = vec![0.0];
    for pair in coarse.windows(2) {
        let step = |cell: u32| pair[0] + (pair[1] - pair[0]) * f64::from(cell) / f64::from(fineness);
        places.extend((1..=fineness).map(step));
    }
    places
}

/// Places from 0 to 1 along a length, close together at 0.
fn away_from_corner(length: f64, finest: f64) -> Vec<f64> {
    let (mut places, mut at, mut step) = (vec![0.0], 0.0, finest);
    while at < length {
        at += step;
        step *= GROWTH;
        places.push(at);
    }
    places.iter().map(|place| place / at).collect()
}

fn mirrored(places: &[f64]) -> Vec<f64> {
    places.iter().rev().map(|place| 1.0 - place).collect()
}

/// The direction out of the hive, square to a piece of its outline.
fn outwards((ax, ay): Point, (bx, by): Point) -> Point {
    let length = libm::hypot(bx - ax, by - ay);
    ((by - ay) / length, (ax - bx) / length)
}

fn distance(from: Point, to: Point) -> f64 {
    libm::hypot(to.0 - from.0, to.1 - from.1)
}

fn between(from: Point, to: Point, part: f64) -> Point {
    (from.0 + part * (to.0 - from.0), from.1 + part * (to.1 - from.1))
}

/// A point with so much of the way to each of two others.
fn spanned(from: Point, (a, part_a): (Point, f64), (b, part_b): (Point, f64)) -> Point {
    (
        from.0 + part_a * (a.0 - from.0) + part_b * (b.0 - from.0),
        from.1 + part_a * (a.1 - from.1) + part_b * (b.1 - from.1),
    )
}

/// Whether a strip's outside goes the same way as its inside, and is not pressed to nothing.
fn is_same_way(inner: [Point; 2], outer: [Point; 2]) -> bool {
    let (ix, iy) = (inner[1].0 - inner[0].0, inner[1].1 - inner[0].1);
    let (ox, oy) = (outer[1].0 - outer[0].0, outer[1].1 - outer[0].1);
    ix * ox + iy * oy > 0.05 * (ix * ix + iy * iy)
}
