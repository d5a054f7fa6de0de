//! The area of a comb from a photograph: the four corners of its bar and the comb's outline, as tapped.
//!
//! Holds true: the comb's area comes with an interval of 90 % that carries how exactly one taps, how little a
//! thin bar tells of a comb far below it, and how little is known of the camera.
//!
//! Does not: find anything in a picture by itself; undo the bulging of lines by a wide-angle lens; know
//! honey (see [`crate::comb::part_full_comb_g`]). The limit of tilt is [`TILT_LIMIT_DEG`]; a photograph is
//! refused from [`TILT_REFUSED_DEG`].
//!
//! Science: a pinhole camera whose axis goes through the middle of the picture. Eight numbers from the four
//! corners would give the plane of the bar exactly (a homography), but 25 mm of bar say too little of a comb
//! 250 mm deep: a pixel at the bar becomes ten at the comb's foot. A pinhole has seven unknowns: where the
//! bar is (three), how it is turned (three), and the focal length, of which something is known beforehand.
//! They are fitted by least squares (Levenberg 1944, Marquardt 1963: the usual method, from memory), and the
//! outline is carried back onto the comb's plane. Start at [`comb_area`].

use std::fmt;

use quantity::{Doubt, Estimate, Sourced};

use crate::sources::FROM_MEMORY;

/// Up to this tilt of the comb against the picture's plane, in degrees, the method was tried.
pub const TILT_LIMIT_DEG: f64 = 30.0;

/// From this tilt on, in degrees, no area is told.
pub const TILT_REFUSED_DEG: f64 = 45.0;

/// The standard deviation of a tap in each direction, in pixels of the picture, where none is said.
pub const TAP_PX: f64 = 2.0;

/// The focal length of a camera of which nothing is known, as a share of the picture's longer side, with the
/// standard deviation of its logarithm.
pub static FOCAL_SHARE: Sourced<f64> = Sourced {
    value: 0.75,
    doubt: Doubt::StdDev(0.35),
    locator: "from memory: 26 to 28 mm on a picture 36 mm wide; the doubt is that of the logarithm",
    holds_for: "the main camera of a telephone, the picture not cut",
    source: &FROM_MEMORY,
};

/// How well a focal length is known that the camera wrote into the picture: the logarithm's deviation.
const FOCAL_KNOWN: f64 = 0.03;

/// What a comb's face and its edge differ from a plane with straight edges between the taps, as a standard
/// deviation of the area; *from memory*.
const NOT_FLAT: f64 = 0.01;

/// The corners may miss the bar that was fitted to them by so much, in squares of the tap's deviation.
const MISFIT: f64 = 30.0;

/// The factor from a standard deviation to the half-width of an interval of 90 %.
const NINETY: f64 = 1.645;

/// The rectangle that the bar shows to the camera: its long face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BarFace {
    /// Along the bar, in mm.
    pub length_mm: f64,
    /// From the top edge to the bottom edge, in mm.
    pub height_mm: f64,
    /// How far the comb's face lies behind the bar's, in mm: half of what the bar is wider than the comb is
    /// thick. Nothing if they are flush.
    pub comb_behind_mm: f64,
}

/// Two more points in the comb's plane whose distance is known, such as the ends of a rule held against it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rule {
    /// Its ends, in pixels of the picture.
    pub ends: [(f64, f64); 2],
    /// Their distance, in mm.
    pub length_mm: f64,
}

/// What was tapped on a photograph, in pixels of the whole picture: x to the right, y downwards.
#[derive(Debug, Clone, PartialEq)]
pub struct Tapped {
    /// The bar's left top, right top, right bottom and left bottom corner.
    pub corners: [(f64, f64); 4],
    /// The comb's outline in order, three points or more.
    pub outline: Vec<(f64, f64)>,
    /// Width and height of the picture, which must not have been cut.
    pub image: (f64, f64),
    /// The focal length in pixels, if the camera wrote it into the picture.
    pub focal_px: Option<f64>,
    /// A rule in the comb's plane, if there was one.
    pub rule: Option<Rule>,
    /// The standard deviation of a tap in each direction; [`TAP_PX`] if in doubt.
    pub tap_px: f64,
}

/// What a photograph says of a comb.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CombShown {
    /// The area of the face that was outlined, in cm², with an interval of 90 %.
    pub area_cm2: Estimate,
    /// The angle between the comb's plane and the picture's, in degrees; `None` where the corners do not tell
    /// it to 10° (one standard deviation).
    pub tilt_deg: Option<f64>,
    /// Whether the tilt is beyond [`TILT_LIMIT_DEG`], where the method was not tried.
    pub beyond_limit: bool,
}

/// Why a photograph says nothing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PhotoError {
    /// A measure is nothing, negative or no number, or a point lies outside the picture.
    Measure(&'static str),
    /// The corners are not in order, in one line, or too near to each other.
    Corners,
    /// The corners make no bar of these measures, in whatever way it is turned.
    NotThisBar,
    /// Less than three points, or all in one line.
    NoOutline,
    /// The outline crosses itself.
    Crossing,
    /// The outline does not lie below the bar.
    NotBelow,
    /// The comb is tilted by so many degrees.
    Tilted(f64),
    /// The bar is so small in the picture that the area could be anything.
    Unknowable,
}

impl fmt::Display for PhotoError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Measure(what) => write!(f, "{what} is no measure that a photograph can have"),
            Self::Corners => f.write_str(
                "the four corners of the bar are not in order: left top, right top, right bottom, left bottom",
            ),
            Self::NotThisBar => f.write_str("the four corners do not make a bar of this length and height"),
            Self::NoOutline => f.write_str("the outline of a comb has three points or more, not in one line"),
            Self::Crossing => f.write_str("the outline of the comb crosses itself"),
            Self::NotBelow => f.write_str("the outline of the comb does not hang below the bar"),
            Self::Tilted(degrees) => write!(
                f,
                "the comb is tilted by {degrees:.0} degrees against the picture; up to {TILT_LIMIT_DEG:.0} is good, from {TILT_REFUSED_DEG:.0} nothing is told"
            ),
            Self::Unknowable => {
                f.write_str("the bar is too small in the picture to tell the area; go nearer or hold a rule to the comb")
            }
        }
    }
}

impl std::error::Error for PhotoError {}

/// The seven unknowns: the turn as a vector along its axis, the place of the bar's middle (sideways and down
/// as shares of the distance, the distance as a logarithm of mm), and the logarithm of the focal length in px.
type Pose = [f64; 7];

/// The area of a comb's face from the corners of its bar and its outline.
///
/// # What it gives
/// cm² of the face towards the camera, with an interval of 90 %, and the tilt.
///
/// # Equation
/// A point (X, Y, Z) mm before the camera is seen at f·X/Z, f·Y/Z px from the picture's middle. The pose and
/// f are those whose squared misses at the corners are least, with f held near what is known of it; the area
/// is the sum of cross products round the outline on the comb's plane. The interval is
/// exp(±1.645·s), s² being the variance from all taps carried through (linear) and [1 % for what is not
/// flat](NOT_FLAT).
///
/// # Holds for
/// A whole picture with square pixels, a tilt up to 30°, a comb hanging below its bar; with an unknown focal
/// length, those of 22 to 34 mm on a picture 36 mm wide.
///
/// # Source
/// The geometry of the pinhole camera; the focal length of telephones and the 1 % are *from memory*.
///
/// # Checked against
/// Combs of known area put before cameras of known place by another projection (tests).
pub fn comb_area(tapped: &Tapped, bar: &BarFace) -> Result<CombShown, PhotoError> {
    let tapped = &Tapped {
        outline: without_repeats(&tapped.outline),
        ..tapped.clone()
    };
    check(tapped, bar)?;
    let fit = Fit { tapped, bar };
    let (pose, cost) = fit.best();
    if cost > MISFIT {
        return Err(PhotoError::NotThisBar);
    }
    let tilt = tilt_deg(&pose);
    if tilt >= TILT_REFUSED_DEG {
        return Err(PhotoError::Tilted(tilt));
    }
    let area_mm2 = fit.below(&pose)?;
    let (normal, _) = fit.normal(&pose);
    let log_area = |pose: &Pose, outline: &[(f64, f64)]| {
        fit.area_mm2(pose, outline)
            .map_or(f64::NAN, |area| libm::log(area.abs()))
    };
    let by_pose = gradient(&pose, |pose| log_area(pose, &tapped.outline));
    let mut variance = NOT_FLAT * NOT_FLAT + spread(normal, by_pose).ok_or(PhotoError::Unknowable)?;
    for place in 0..tapped.outline.len() {
        for (dx, dy) in [(0.5, 0.0), (0.0, 0.5)] {
            let mut moved = tapped.outline.clone();
            moved[place] = (tapped.outline[place].0 + dx, tapped.outline[place].1 + dy);
            let change = (log_area(&pose, &moved) - libm::log(area_mm2)) / 0.5;
            variance += change * change * tapped.tap_px * tapped.tap_px;
        }
    }
    let tilt_spread = spread(normal, gradient(&pose, tilt_deg)).unwrap_or(f64::INFINITY);
    let factor = libm::exp(NINETY * libm::sqrt(variance));
    let cm2 = area_mm2 / 100.0;
    let area_cm2 = Estimate::new(cm2, cm2 / factor, cm2 * factor).filter(|_| factor < 1.5);
    Ok(CombShown {
        area_cm2: area_cm2.ok_or(PhotoError::Unknowable)?,
        tilt_deg: (tilt_spread <= 100.0).then_some(tilt),
        beyond_limit: tilt > TILT_LIMIT_DEG,
    })
}

/// Refuses what no photograph can have, before anything is fitted.
fn check(tapped: &Tapped, bar: &BarFace) -> Result<(), PhotoError> {
    let positive = |value: f64| value.is_finite() && value > 0.0;
    let measures = [
        (positive(bar.length_mm), "the bar's length"),
        (positive(bar.height_mm), "the bar's height"),
        (
            bar.comb_behind_mm.abs() < 100.0,
            "how far the comb is behind the bar",
        ),
        (
            positive(tapped.image.0) && positive(tapped.image.1),
            "the picture's size",
        ),
        (tapped.focal_px.is_none_or(positive), "the focal length"),
        (positive(tapped.tap_px), "the doubt of a tap"),
        (
            tapped.rule.is_none_or(|rule| positive(rule.length_mm)),
            "the rule's length",
        ),
    ];
    if let Some((_, what)) = measures.iter().find(|(good, _)| !good) {
        return Err(PhotoError::Measure(what));
    }
    let inside =
        |&(x, y): &(f64, f64)| (0.0..=tapped.image.0).contains(&x) && (0.0..=tapped.image.1).contains(&y);
    let ends = tapped.rule.iter().flat_map(|rule| &rule.ends);
    if !tapped
        .corners
        .iter()
        .chain(&tapped.outline)
        .chain(ends)
        .all(inside)
    {
        return Err(PhotoError::Measure("a point outside the picture"));
    }
    // In a picture whose y grows downwards the corners run clockwise, and turn the same way at each.
    let turns = |at: usize| {
        cross(
            tapped.corners[at],
            tapped.corners[(at + 1) % 4],
            tapped.corners[(at + 2) % 4],
        )
    };
    let long = distance(tapped.corners[0], tapped.corners[1]);
    if !(0..4).all(|at| turns(at) > long * tapped.tap_px) {
        return Err(PhotoError::Corners);
    }
    outline_is_simple(&tapped.outline)
}

fn outline_is_simple(outline: &[(f64, f64)]) -> Result<(), PhotoError> {
    let spans = |&one, &other| {
        outline
            .first()
            .is_some_and(|&first| cross(first, one, other).abs() >= 2.0)
    };
    if !outline
        .iter()
        .any(|one| outline.iter().any(|other| spans(one, other)))
    {
        return Err(PhotoError::NoOutline);
    }
    if crosses(outline) {
        return Err(PhotoError::Crossing);
    }
    Ok(())
}

/// The outline without points tapped twice in a row, the last and the first included.
fn without_repeats(outline: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let mut kept = outline.to_vec();
    kept.dedup_by(|a, b| distance(*a, *b) < 0.5);
    while kept.len() > 1 && distance(kept[0], kept[kept.len() - 1]) < 0.5 {
        kept.pop();
    }
    kept
}

/// Whether an outline crosses itself; edges that share a corner do not.
fn crosses(outline: &[(f64, f64)]) -> bool {
    let count = outline.len();
    let edge = |at: usize| (outline[at], outline[(at + 1) % count]);
    (0..count).any(|first| {
        (first + 2..count).any(|second| (second + 1) % count != first && meet(edge(first), edge(second)))
    })
}

type Line = ((f64, f64), (f64, f64));

fn meet(one: Line, other: Line) -> bool {
    let sides = |line: Line, of: Line| cross(line.0, line.1, of.0) * cross(line.0, line.1, of.1);
    sides(one, other) <= 0.0 && sides(other, one) <= 0.0
}

/// Twice the area of the triangle, positive where it turns clockwise in a picture.
fn cross(a: (f64, f64), b: (f64, f64), c: (f64, f64)) -> f64 {
    (b.0 - a.0) * (c.1 - b.1) - (b.1 - a.1) * (c.0 - b.0)
}

fn distance(a: (f64, f64), b: (f64, f64)) -> f64 {
    libm::hypot(a.0 - b.0, a.1 - b.1)
}

/// The area within an outline, its sign that of its turning.
fn shoelace(outline: &[(f64, f64)]) -> f64 {
    let next = outline.iter().cycle().skip(1);
    let doubled: f64 = outline.iter().zip(next).map(|(a, b)| a.0 * b.1 - b.0 * a.1).sum();
    doubled / 2.0
}

/// The turn of a vector along its axis as a matrix, by rows (the formula of Rodrigues).
fn turned(by: [f64; 3]) -> [[f64; 3]; 3] {
    let angle = libm::sqrt(by.iter().map(|part| part * part).sum::<f64>()).max(1e-12);
    let [x, y, z] = by.map(|part| part / angle);
    let (sine, cosine) = (libm::sin(angle), libm::cos(angle));
    let rest = 1.0 - cosine;
    [
        [
            cosine + x * x * rest,
            x * y * rest - z * sine,
            x * z * rest + y * sine,
        ],
        [
            y * x * rest + z * sine,
            cosine + y * y * rest,
            y * z * rest - x * sine,
        ],
        [
            z * x * rest - y * sine,
            z * y * rest + x * sine,
            cosine + z * z * rest,
        ],
    ]
}

/// The angle between the comb's plane and the picture's.
fn tilt_deg(pose: &Pose) -> f64 {
    let along = turned([pose[0], pose[1], pose[2]])[2][2];
    libm::acos(along.clamp(-1.0, 1.0)).to_degrees()
}

/// The bar's middle before the camera, in mm.
fn place(pose: &Pose) -> [f64; 3] {
    let away = libm::exp(pose[5]);
    [pose[3] * away, pose[4] * away, away]
}

struct Fit<'a> {
    tapped: &'a Tapped,
    bar: &'a BarFace,
}

impl Fit<'_> {
    /// The fit of least misses, and its misses. Begun from five tilts, for a thin bar seen from afar looks
    /// nearly the same tilted forwards and backwards.
    fn best(&self) -> (Pose, f64) {
        let mut best = (self.begun(0.0, 0.0), f64::INFINITY);
        for (about_x, about_y) in [(0.0, 0.0), (0.35, 0.0), (-0.35, 0.0), (0.0, 0.35), (0.0, -0.35)] {
            let found = self.improved(self.begun(about_x, about_y));
            if found.1 < best.1 {
                best = found;
            }
        }
        best
    }

    /// A first guess: the bar as wide as it looks, at this tilt.
    fn begun(&self, about_x: f64, about_y: f64) -> Pose {
        let corners = &self.tapped.corners;
        let focal = self.focal().0;
        let wide = distance(corners[0], corners[1]);
        let middle = |of: fn(&(f64, f64)) -> f64| corners.iter().map(of).sum::<f64>() / 4.0;
        let slope = libm::atan2(corners[1].1 - corners[0].1, corners[1].0 - corners[0].0);
        [
            about_x,
            about_y,
            slope,
            (middle(|corner| corner.0) - self.tapped.image.0 / 2.0) / focal,
            (middle(|corner| corner.1) - self.tapped.image.1 / 2.0) / focal,
            libm::log(focal * self.bar.length_mm / wide),
            libm::log(focal),
        ]
    }

    /// What is known of the focal length beforehand, and its logarithm's deviation.
    fn focal(&self) -> (f64, f64) {
        let Doubt::StdDev(unknown) = FOCAL_SHARE.doubt else {
            unreachable!("BUG: the doubt of the focal length is a deviation")
        };
        let longer = self.tapped.image.0.max(self.tapped.image.1);
        self.tapped
            .focal_px
            .map_or((FOCAL_SHARE.value * longer, unknown), |known| {
                (known, FOCAL_KNOWN)
            })
    }

    /// Where the camera sees a point of the bar's face, in mm from its middle.
    fn seen(&self, pose: &Pose, (x, y): (f64, f64)) -> (f64, f64) {
        let turn = turned([pose[0], pose[1], pose[2]]);
        let middle = place(pose);
        let [across, down, away] = [0, 1, 2].map(|row| turn[row][0] * x + turn[row][1] * y + middle[row]);
        let focal = libm::exp(pose[6]);
        let away = away.max(1.0);
        (
            self.tapped.image.0 / 2.0 + focal * across / away,
            self.tapped.image.1 / 2.0 + focal * down / away,
        )
    }

    /// The point of the comb's plane that is seen here, in mm from the bar's middle; `None` beyond the horizon.
    fn on_comb(&self, pose: &Pose, (x, y): (f64, f64)) -> Option<(f64, f64)> {
        let turn = turned([pose[0], pose[1], pose[2]]);
        let middle = place(pose);
        let focal = libm::exp(pose[6]);
        let ray = [
            (x - self.tapped.image.0 / 2.0) / focal,
            (y - self.tapped.image.1 / 2.0) / focal,
            1.0,
        ];
        // Along each of the bar's axes: across, down, and away from the camera.
        let along = |of: &[f64; 3], axis: usize| (0..3).map(|row| turn[row][axis] * of[row]).sum::<f64>();
        let reach = (along(&middle, 2) + self.bar.comb_behind_mm) / along(&ray, 2);
        (reach.is_finite() && reach > 0.0).then(|| {
            (
                reach * along(&ray, 0) - along(&middle, 0),
                reach * along(&ray, 1) - along(&middle, 1),
            )
        })
    }

    fn on_plane(&self, pose: &Pose, outline: &[(f64, f64)]) -> Option<Vec<(f64, f64)>> {
        outline.iter().map(|&point| self.on_comb(pose, point)).collect()
    }

    fn area_mm2(&self, pose: &Pose, outline: &[(f64, f64)]) -> Option<f64> {
        self.on_plane(pose, outline).map(|points| shoelace(&points).abs())
    }

    /// The area, if the comb hangs below the bar.
    fn below(&self, pose: &Pose) -> Result<f64, PhotoError> {
        let points = self
            .on_plane(pose, &self.tapped.outline)
            .ok_or(PhotoError::Unknowable)?;
        let mean = points.iter().map(|point| point.1).sum::<f64>() / points.len() as f64;
        if mean <= 0.0 {
            return Err(PhotoError::NotBelow);
        }
        Ok(shoelace(&points).abs())
    }

    /// The misses, each as a share of its deviation: eight of the corners, the focal length's, the rule's.
    fn misses(&self, pose: &Pose) -> [f64; 10] {
        let (half, tall) = (self.bar.length_mm / 2.0, self.bar.height_mm / 2.0);
        let face = [(-half, -tall), (half, -tall), (half, tall), (-half, tall)];
        let mut misses = [0.0; 10];
        for (at, (corner, tapped)) in face.into_iter().zip(self.tapped.corners).enumerate() {
            let seen = self.seen(pose, corner);
            misses[2 * at] = (seen.0 - tapped.0) / self.tapped.tap_px;
            misses[2 * at + 1] = (seen.1 - tapped.1) / self.tapped.tap_px;
        }
        let (focal, spread) = self.focal();
        misses[8] = (pose[6] - libm::log(focal)) / spread;
        misses[9] = self.tapped.rule.map_or(0.0, |rule| self.miss_of(pose, rule));
        misses
    }

    fn miss_of(&self, pose: &Pose, rule: Rule) -> f64 {
        let spread =
            core::f64::consts::SQRT_2 * self.tapped.tap_px / distance(rule.ends[0], rule.ends[1]).max(1.0);
        self.on_plane(pose, &rule.ends).map_or(1e6, |ends| {
            libm::log(distance(ends[0], ends[1]).max(1e-9) / rule.length_mm) / spread
        })
    }

    /// The normal equations at a pose: the matrix, and the misses carried back.
    fn normal(&self, pose: &Pose) -> ([[f64; 7]; 7], [f64; 7]) {
        let misses = self.misses(pose);
        let mut by = [[0.0; 10]; 7];
        for (unknown, slopes) in by.iter_mut().enumerate() {
            let (more, less) = (
                self.misses(&stepped(pose, unknown, STEP)),
                self.misses(&stepped(pose, unknown, -STEP)),
            );
            for (slope, (more, less)) in slopes.iter_mut().zip(more.iter().zip(less)) {
                *slope = (more - less) / (2.0 * STEP);
            }
        }
        let dot = |a: &[f64; 10], b: &[f64; 10]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
        (
            by.map(|row| by.map(|column| dot(&row, &column))),
            by.map(|row| dot(&row, &misses)),
        )
    }

    /// Steps towards less misses, shorter after a step that led astray.
    fn improved(&self, begun: Pose) -> (Pose, f64) {
        let cost = |pose: &Pose| self.misses(pose).iter().map(|miss| miss * miss).sum::<f64>();
        let (mut pose, mut least, mut damping) = (begun, cost(&begun), 1e-3);
        for _ in 0..200 {
            let (mut matrix, back) = self.normal(&pose);
            for (at, row) in matrix.iter_mut().enumerate() {
                row[at] *= 1.0 + damping;
            }
            let Some(step) = solved(matrix, back) else { break };
            let mut tried = pose;
            tried
                .iter_mut()
                .zip(step)
                .for_each(|(unknown, step)| *unknown -= step);
            let found = cost(&tried);
            if found < least {
                let gained = least - found;
                (pose, least, damping) = (tried, found, damping / 10.0);
                if gained < 1e-12 {
                    break;
                }
            } else if damping > 1e9 {
                break;
            } else {
                damping *= 10.0;
            }
        }
        (pose, least)
    }
}

/// The step of the slopes, small against every unknown (radians, shares, logarithms).
const STEP: f64 = 1e-5;

fn stepped(pose: &Pose, unknown: usize, step: f64) -> Pose {
    let mut moved = *pose;
    moved[unknown] += step;
    moved
}

fn gradient(pose: &Pose, of: impl Fn(&Pose) -> f64) -> [f64; 7] {
    core::array::from_fn(|unknown| {
        (of(&stepped(pose, unknown, STEP)) - of(&stepped(pose, unknown, -STEP))) / (2.0 * STEP)
    })
}

/// The variance of what has these slopes, the unknowns being as doubtful as the normal equations say.
fn spread(normal: [[f64; 7]; 7], slopes: [f64; 7]) -> Option<f64> {
    let by = solved(normal, slopes)?;
    let variance = slopes.iter().zip(by).map(|(slope, by)| slope * by).sum::<f64>();
    (variance.is_finite() && variance >= 0.0).then_some(variance)
}

/// Seven equations solved by elimination with the largest pivot; `None` if they are not independent.
fn solved(mut matrix: [[f64; 7]; 7], mut right: [f64; 7]) -> Option<[f64; 7]> {
    for column in 0..7 {
        let pivot =
            (column..7).max_by(|&a, &b| matrix[a][column].abs().total_cmp(&matrix[b][column].abs()))?;
        matrix.swap(column, pivot);
        right.swap(column, pivot);
        let top = matrix[column];
        if !top[column].is_finite() || top[column].abs() < 1e-30 {
            return None;
        }
        for row in column + 1..7 {
            let share = matrix[row][column] / top[column];
            for at in column..7 {
                matrix[row][at] -= share * top[at];
            }
            right[row] -= share * right[column];
        }
    }
    for row in (0..7).rev() {
        let known: f64 = (row + 1..7).map(|at| matrix[row][at] * right[at]).sum();
        right[row] = (right[row] - known) / matrix[row][row];
    }
    Some(right)
}
