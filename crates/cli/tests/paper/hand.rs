//! A hand that writes with a pen into the boxes of a printed card, and an eye that reads the strokes back.

use lopdf::content::Content;
use lopdf::{Document, Object};
use press::{BoxOnPaper, Paper};

type Point = (f64, f64);
type Stroke = Vec<Point>;

/// The pen's colour, by which its strokes are known from what is printed.
const INK: [f32; 3] = [0.1, 0.15, 0.55];

const POINTS_A_MM: f64 = 72.0 / 25.4;

/// How letters are drawn: strokes from point to point, in a square of one, the first coordinate rightwards, the second
/// upwards.
const GLYPHS: &[(char, &[&[Point]])] = &[
    (
        '0',
        &[&[
            (0.5, 1.0),
            (0.2, 0.8),
            (0.15, 0.4),
            (0.4, 0.0),
            (0.7, 0.1),
            (0.85, 0.6),
            (0.7, 0.95),
            (0.5, 1.0),
        ]],
    ),
    ('1', &[&[(0.3, 0.75), (0.55, 1.0), (0.55, 0.0)]]),
    (
        '2',
        &[&[
            (0.15, 0.8),
            (0.45, 1.0),
            (0.8, 0.75),
            (0.6, 0.4),
            (0.15, 0.0),
            (0.85, 0.0),
        ]],
    ),
    (
        '3',
        &[&[
            (0.2, 0.95),
            (0.7, 0.95),
            (0.75, 0.65),
            (0.4, 0.52),
            (0.8, 0.4),
            (0.75, 0.05),
            (0.2, 0.02),
        ]],
    ),
    ('4', &[&[(0.6, 0.0), (0.6, 1.0), (0.1, 0.35), (0.9, 0.35)]]),
    (
        '5',
        &[&[
            (0.8, 1.0),
            (0.25, 1.0),
            (0.2, 0.55),
            (0.65, 0.6),
            (0.85, 0.3),
            (0.6, 0.02),
            (0.15, 0.05),
        ]],
    ),
    (
        '6',
        &[&[
            (0.7, 1.0),
            (0.3, 0.7),
            (0.2, 0.25),
            (0.5, 0.0),
            (0.8, 0.25),
            (0.5, 0.5),
            (0.22, 0.35),
        ]],
    ),
    ('7', &[&[(0.15, 1.0), (0.85, 1.0), (0.4, 0.0)]]),
    (
        '8',
        &[&[
            (0.5, 0.52),
            (0.2, 0.75),
            (0.5, 1.0),
            (0.8, 0.75),
            (0.2, 0.25),
            (0.5, 0.0),
            (0.8, 0.25),
            (0.5, 0.52),
        ]],
    ),
    (
        '9',
        &[&[
            (0.78, 0.7),
            (0.5, 0.5),
            (0.2, 0.75),
            (0.5, 1.0),
            (0.78, 0.75),
            (0.7, 0.0),
        ]],
    ),
    (
        's',
        &[&[
            (0.75, 0.55),
            (0.4, 0.62),
            (0.3, 0.42),
            (0.65, 0.25),
            (0.6, 0.02),
            (0.25, 0.05),
        ]],
    ),
    (
        'u',
        &[&[
            (0.2, 0.6),
            (0.22, 0.1),
            (0.5, 0.0),
            (0.75, 0.2),
            (0.78, 0.6),
            (0.8, 0.0),
        ]],
    ),
    (
        'c',
        &[&[(0.75, 0.55), (0.4, 0.6), (0.2, 0.3), (0.4, 0.0), (0.75, 0.08)]],
    ),
    (
        'r',
        &[&[(0.3, 0.6), (0.32, 0.0), (0.34, 0.4), (0.55, 0.6), (0.75, 0.55)]],
    ),
    (
        'b',
        &[&[
            (0.25, 1.0),
            (0.25, 0.0),
            (0.65, 0.02),
            (0.75, 0.3),
            (0.55, 0.52),
            (0.25, 0.4),
        ]],
    ),
    ('/', &[&[(0.0, 0.4), (0.35, 0.0), (1.0, 1.0)]]),
];

/// A pen, and what it has written so far.
pub(crate) struct Hand {
    paper: Paper,
    /// For each sheet, the orders that draw.
    sheets: Vec<String>,
    shake: u64,
}

impl Hand {
    pub(crate) fn new(paper: Paper) -> Self {
        Self {
            paper,
            sheets: Vec::new(),
            shake: 7,
        }
    }

    /// From -1 to 1, another each time and the same in each run.
    fn shake(&mut self) -> f64 {
        self.shake = self
            .shake
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        ((self.shake >> 33) as f64 / f64::from(1u32 << 30)) - 1.0
    }

    /// Writes into a box, somewhat slanted, not quite in the middle and never twice the same.
    pub(crate) fn write(&mut self, into: &BoxOnPaper, text: &str) {
        let count = text.chars().count() as f64;
        let high = (into.height * 0.62).min(into.width / count * 1.05) * (1.0 + 0.1 * self.shake());
        let wide = high * 0.72;
        let left = into.left + (into.width - wide * count) / 2.0 + 0.25 * self.shake();
        let foot = into.top + into.height / 2.0 + high / 2.0 + 0.3 * self.shake();
        let slant = 0.12 + 0.06 * self.shake();
        for (letter, at) in text.chars().zip(0u8..) {
            let strokes = GLYPHS.iter().find(|(of, _)| *of == letter);
            let (_, strokes) = strokes.unwrap_or_else(|| panic!("this hand cannot write {letter}"));
            let mut orders = String::new();
            for stroke in *strokes {
                for (n, (x, y)) in stroke.iter().enumerate() {
                    let x = x + slant * y + 0.02 * self.shake();
                    let y = y + 0.02 * self.shake();
                    let across = (left + (f64::from(at) + 0.9 * x) * wide) * POINTS_A_MM;
                    let up = (self.paper.mm().1 - (foot - y * high)) * POINTS_A_MM;
                    orders.push_str(&format!(
                        "{across:.3} {up:.3} {} ",
                        if n == 0 { "m" } else { "l" }
                    ));
                }
            }
            orders.push_str("S\n");
            if self.sheets.len() < into.sheet {
                self.sheets.resize(into.sheet, String::new());
            }
            self.sheets[into.sheet - 1].push_str(&orders);
        }
    }

    /// The printed file with what was written on top of it.
    pub(crate) fn into(self, pdf: &[u8]) -> Vec<u8> {
        let mut file = Document::load_mem(pdf).expect("a file that can be read");
        let pages = file.get_pages();
        for (orders, sheet) in self.sheets.iter().zip(1u32..) {
            let page = pages[&sheet];
            let mut content = b"q\n".to_vec();
            content.extend(file.get_page_content(page));
            let [red, green, blue] = INK;
            content.extend(format!("\nQ\nq {red} {green} {blue} RG 1.1 w 1 J 1 j\n{orders}Q\n").into_bytes());
            file.change_page_content(page, content).expect("a sheet");
        }
        let mut out = Vec::new();
        file.save_to(&mut out).expect("memory");
        out
    }
}

/// The strokes of a pen on a file.
pub(crate) struct Read {
    /// The sheet, and the strokes of a letter, in millimetres from the upper left corner.
    letters: Vec<(usize, Vec<Stroke>)>,
}

impl Read {
    pub(crate) fn of(pdf: &[u8], paper: Paper) -> Self {
        let file = Document::load_mem(pdf).expect("a file that can be read");
        let mut letters = Vec::new();
        for (sheet, page) in file.get_pages() {
            let content = Content::decode(&file.get_page_content(page)).expect("orders");
            let (mut inked, mut strokes): (bool, Vec<Stroke>) = (false, Vec::new());
            for order in content.operations {
                let number = |at: usize| {
                    order
                        .operands
                        .get(at)
                        .and_then(|one: &Object| one.as_float().ok())
                        .unwrap_or(f32::NAN)
                };
                let point = || {
                    let (across, up) = (f64::from(number(0)), f64::from(number(1)));
                    (across / POINTS_A_MM, paper.mm().1 - up / POINTS_A_MM)
                };
                match order.operator.as_str() {
                    "RG" => inked = (0..3).all(|at| (number(at) - INK[at]).abs() < 1e-4),
                    "m" if inked => strokes.push(vec![point()]),
                    "l" if inked => strokes.last_mut().expect("it began").push(point()),
                    "S" if inked => letters.push((sheet as usize, std::mem::take(&mut strokes))),
                    "Q" => inked = false,
                    _ => {}
                }
            }
        }
        Self { letters }
    }

    /// What stands in a box, from left to right.
    pub(crate) fn within(&self, one: &BoxOnPaper) -> String {
        let mut found: Vec<(f64, char)> = self
            .letters
            .iter()
            .filter(|(sheet, _)| *sheet == one.sheet)
            .filter_map(|(_, strokes)| {
                let (left, top, right, bottom) = frame(strokes);
                let (x, y) = (f64::midpoint(left, right), f64::midpoint(top, bottom));
                let inside = (one.left..one.left + one.width).contains(&x)
                    && (one.top..one.top + one.height).contains(&y);
                inside.then(|| (x, letter(strokes)))
            })
            .collect();
        found.sort_by(|one, next| one.0.total_cmp(&next.0));
        found.into_iter().map(|(_, letter)| letter).collect()
    }
}

fn frame(strokes: &[Stroke]) -> (f64, f64, f64, f64) {
    let all = || strokes.iter().flatten();
    let least = |of: fn(&Point) -> f64| all().map(of).fold(f64::INFINITY, f64::min);
    let most = |of: fn(&Point) -> f64| all().map(of).fold(f64::NEG_INFINITY, f64::max);
    (least(|p| p.0), least(|p| p.1), most(|p| p.0), most(|p| p.1))
}

/// The letter whose strokes these are most like.
fn letter(strokes: &[Stroke]) -> char {
    let seen = evenly(&framed(
        strokes.iter().flatten().map(|(x, y)| (*x, -*y)).collect(),
    ));
    let far = |glyph: &[&[Point]]| -> f64 {
        let known = evenly(&framed(
            glyph.iter().flat_map(|stroke| stroke.iter().copied()).collect(),
        ));
        let pairs = seen.iter().zip(&known);
        pairs
            .map(|(a, b)| (a.0 - b.0).powi(2) + (a.1 - b.1).powi(2))
            .sum()
    };
    let nearest = GLYPHS
        .iter()
        .min_by(|one, next| far(one.1).total_cmp(&far(next.1)));
    nearest.expect("letters").0
}

/// Moved and scaled to a height of one, its middle at zero.
fn framed(points: Vec<Point>) -> Vec<Point> {
    let (left, top, right, bottom) = frame(std::slice::from_ref(&points));
    let high = (bottom - top).max(1e-9);
    let middle = (f64::midpoint(left, right), f64::midpoint(top, bottom));
    points
        .iter()
        .map(|(x, y)| ((x - middle.0) / high, (y - middle.1) / high))
        .collect()
}

/// Points at equal steps along a line.
fn evenly(points: &[Point]) -> Vec<Point> {
    const STEPS: u8 = 32;
    let length = |pair: &[Point]| (pair[1].0 - pair[0].0).hypot(pair[1].1 - pair[0].1);
    let whole: f64 = points.windows(2).map(length).sum();
    let at = |wanted: f64| {
        let mut gone = 0.0;
        for pair in points.windows(2) {
            let step = length(pair);
            if gone + step >= wanted && step > 0.0 {
                let part = (wanted - gone) / step;
                return (
                    pair[0].0 + part * (pair[1].0 - pair[0].0),
                    pair[0].1 + part * (pair[1].1 - pair[0].1),
                );
            }
            gone += step;
        }
        points[points.len() - 1]
    };
    (0..=STEPS)
        .map(|step| at(whole * f64::from(step) / f64::from(STEPS)))
        .collect()
}
