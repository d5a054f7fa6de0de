//! Combs drawn at true scale from the section of their hive.
//!
//! A comb is drawn with the area that the last look told: bands of the full outline from the bar down, each
//! with the area of its share. Where on the comb things lay is not known; the bands stand in the order usual
//! for a comb, honey above and brood below.

use apiary::Holding;
use apiary::arena::HiveId;
use apiary::colony::answers::{BarRow, Contents};
use apiary::ground::state::{BEE_SPACE, Pattern};
use page::{Block, Drawing, Fill, Hatch, Shape, Words};
use quantity::Length;

use super::figures::percent;

type Point = (f64, f64);

/// The measures that stand for a hive without a pattern: a section of 44.5, 19 and 28 cm published in Bees
/// for Development Journal 68 (2003), bars of 35 mm.
const UNKNOWN_BAR_MM: f64 = 35.0;
const UNKNOWN_SECTION: [Point; 4] = [(-222.5, 0.0), (222.5, 0.0), (95.0, 280.0), (-95.0, 280.0)];

/// The thickness at which a comb is drawn from the side, in millimetres (common practice, no source).
const COMB_MM: f64 = 25.0;

/// What hangs on a comb, from the bar down, with its hatching.
fn bands(contents: &Contents) -> Vec<(&'static str, f64, Fill)> {
    let share = |name: &str| {
        let said = contents.shares.iter().find(|(of, _)| *of == name);
        said.map_or(0.0, |(_, share)| *share)
    };
    let capped = share("capped");
    let (sealed, open, drones) = (share("sealed"), share("open"), share("drones"));
    let eggs = share("eggs_share");
    let hatched = |hatch| Fill::Hatch(hatch);
    let all = [
        ("capped honey", capped, hatched(Hatch::LevelClose)),
        (
            "open honey",
            (share("honey") - capped).max(0.0),
            hatched(Hatch::LevelWide),
        ),
        ("nectar", share("nectar"), hatched(Hatch::LevelBroken)),
        ("pollen", share("pollen"), hatched(Hatch::Slant)),
        ("sealed brood", sealed, hatched(Hatch::Crossed)),
        ("open brood", open, hatched(Hatch::DotsClose)),
        (
            "brood",
            (share("brood") - sealed - open).max(0.0),
            hatched(Hatch::Strokes),
        ),
        ("eggs", eggs, hatched(Hatch::DotsWide)),
        ("drone brood", drones, hatched(Hatch::Rings)),
        ("empty", share("empty_share"), Fill::Paper),
    ];
    all.into_iter().filter(|(_, share, _)| *share > 0.0).collect()
}

/// How much of the full outline is drawn comb: what was said, or at least what was said to be on it.
fn drawn(contents: &Contents) -> Option<f64> {
    let on_it: f64 = bands(contents).iter().map(|(_, share, _)| share).sum();
    let said = contents.drawn.or((on_it > 0.0).then_some(on_it))?;
    Some((said.max(on_it) * contents.left).min(1.0))
}

/// An outline with the depth to which each part of its area reaches.
struct Outline {
    corners: Vec<Point>,
    /// For each of so many equal parts of its area from the top, how deep it reaches.
    depths: Vec<f64>,
}

/// Into how many slices an outline is cut to find the depth of a share.
const SLICES: usize = 64;

impl Outline {
    fn new(corners: Vec<Point>) -> Option<Self> {
        let top = corners.iter().map(|at| at.1).fold(f64::INFINITY, f64::min);
        let bottom = corners.iter().map(|at| at.1).fold(f64::NEG_INFINITY, f64::max);
        let whole = area(&corners);
        if !(whole > 0.0 && bottom > top) {
            return None;
        }
        let step = (bottom - top) / SLICES as f64;
        let reached: Vec<(f64, f64)> = (0..=SLICES)
            .map(|slice| {
                let depth = top + step * slice as f64;
                (area(&above(&corners, depth)) / whole, depth)
            })
            .collect();
        let depths = (0..=SLICES)
            .map(|part| depth_of(part as f64 / SLICES as f64, &reached))
            .collect();
        Some(Self { corners, depths })
    }

    /// How deep a share of the area reaches from the top.
    fn depth(&self, share: f64) -> f64 {
        let place = share.clamp(0.0, 1.0) * SLICES as f64;
        let below = place as usize;
        let next = (below + 1).min(SLICES);
        let rest = place - below as f64;
        self.depths[below] + (self.depths[next] - self.depths[below]) * rest
    }

    /// The part between two shares of the area, from the top.
    fn band(&self, from: f64, to: f64) -> Vec<Point> {
        below(&above(&self.corners, self.depth(to)), self.depth(from))
    }

    fn lowest(&self) -> f64 {
        self.depths[SLICES]
    }
}

fn depth_of(share: f64, reached: &[(f64, f64)]) -> f64 {
    let at = reached
        .partition_point(|(area, _)| *area < share)
        .clamp(1, reached.len() - 1);
    let ((less, upper), (more, lower)) = (reached[at - 1], reached[at]);
    if more > less {
        upper + (lower - upper) * ((share - less) / (more - less)).clamp(0.0, 1.0)
    } else {
        lower
    }
}

fn area(corners: &[Point]) -> f64 {
    let next = corners.iter().cycle().skip(1);
    let twice: f64 = corners.iter().zip(next).map(|(a, b)| a.0 * b.1 - b.0 * a.1).sum();
    twice.abs() / 2.0
}

fn above(corners: &[Point], depth: f64) -> Vec<Point> {
    clipped(corners, |at| depth - at.1)
}

fn below(corners: &[Point], depth: f64) -> Vec<Point> {
    clipped(corners, |at| at.1 - depth)
}

/// The part of an outline where a height is not less than nothing.
fn clipped(corners: &[Point], height: impl Fn(Point) -> f64) -> Vec<Point> {
    let mut kept = Vec::with_capacity(corners.len() + 2);
    let next = corners.iter().cycle().skip(1);
    for (&a, &b) in corners.iter().zip(next) {
        let (here, there) = (height(a), height(b));
        if here >= 0.0 {
            kept.push(a);
        }
        if (here > 0.0 && there < 0.0) || (here < 0.0 && there > 0.0) {
            let part = here / (here - there);
            kept.push((a.0 + (b.0 - a.0) * part, a.1 + (b.1 - a.1) * part));
        }
    }
    kept
}

fn pattern_of(h: &Holding, hive: HiveId) -> Option<&Pattern> {
    h.hives[hive].pattern.map(|pattern| &h.ground.patterns[pattern])
}

fn comb_outline(h: &Holding, hive: HiveId) -> Option<Outline> {
    let section = pattern_of(h, hive).and_then(|pattern| pattern.section.as_ref());
    let corners = section.map_or_else(|| UNKNOWN_SECTION.to_vec(), |section| section.outline(BEE_SPACE));
    Outline::new(corners)
}

fn bar_width_mm(h: &Holding, hive: HiveId) -> f64 {
    let said = pattern_of(h, hive).and_then(|pattern| pattern.bar);
    said.map_or(UNKNOWN_BAR_MM, Length::to_mm)
}

/// What a comb is said to be like, in words.
fn says(bar: &BarRow) -> String {
    let mut says = match (&bar.contents, bar.has_comb) {
        (Some(contents), _) => contents.clone(),
        (None, true) => "comb, contents unknown".to_owned(),
        (None, false) => "bare bar".to_owned(),
    };
    if let Some(fault) = bar.fault {
        says.push_str(&format!("; {fault}"));
    }
    says
}

/// A hive from the side, the entrance end at the left: bars, combs as deep as they are drawn, followers.
pub(super) fn side(h: &Holding, hive: HiveId, rows: &[BarRow]) -> Drawing {
    let pitch = bar_width_mm(h, hive);
    let outline = comb_outline(h, hive);
    let depth = outline.as_ref().map_or(280.0, Outline::lowest);
    let letters = (pitch * rows.len() as f64 / 32.0).clamp(14.0, 40.0);
    let mut shapes = Vec::new();
    let length = pitch * rows.len() as f64;
    let floor = depth + BEE_SPACE.to_mm();
    shapes.push(rectangle(0.0, 0.0, length, floor, Fill::Paper, 1, false));
    for (n, bar) in rows.iter().enumerate() {
        let left = pitch * n as f64;
        if let (Some(contents), Some(outline)) = (&bar.comb, &outline) {
            shapes.extend(from_the_side(left + (pitch - COMB_MM) / 2.0, contents, outline));
        } else if bar.has_comb {
            shapes.push(rectangle(
                left + (pitch - COMB_MM) / 2.0,
                0.0,
                COMB_MM,
                depth,
                Fill::None,
                1,
                true,
            ));
        }
        shapes.push(rectangle(
            left + 0.8,
            -14.0,
            pitch - 1.6,
            14.0,
            Fill::Ink,
            0,
            false,
        ));
        let place = n + 1;
        if place == 1 || place.is_multiple_of(5) {
            shapes.push(Shape::Label {
                at: (left + pitch / 2.0, floor + letters * 1.3),
                text: place.to_string(),
                height: letters,
            });
        }
    }
    for follower in &h.hives[hive].followers {
        let at = pitch * f64::from(follower.saturating_sub(1));
        shapes.push(rectangle(
            at - 4.0,
            -24.0,
            8.0,
            floor + 24.0,
            Fill::Tint,
            2,
            false,
        ));
    }
    let combs = rows.iter().filter(|bar| bar.has_comb).count();
    let label = &h.hives[hive].label;
    Drawing {
        title: format!("{label} from the side"),
        says: format!(
            "{} places from the entrance end at the left, {combs} with comb. {}The table below tells each bar.",
            rows.len(),
            seen_when(rows)
        ),
        caption: Words::new(format!(
            "{}Place 1 is at the entrance end, at the left. Drawn at true scale: {:.0} cm long, combs up to {:.0} cm deep.",
            seen_when(rows),
            length / 10.0,
            depth / 10.0
        )),
        frame: (-6.0, -30.0, length + 12.0, floor + 30.0 + letters * 1.8),
        shapes,
        wide: true,
        code: false,
    }
}

/// Between which days the combs were last seen.
fn seen_when(rows: &[BarRow]) -> String {
    let days = || rows.iter().filter_map(|bar| bar.looked_on);
    match days().min().zip(days().max()) {
        Some((first, last)) if first == last => format!("Each comb as it was seen on {last}. "),
        Some((first, last)) => format!("Each comb as it was last seen, between {first} and {last}. "),
        None => String::new(),
    }
}

fn from_the_side(left: f64, contents: &Contents, outline: &Outline) -> Vec<Shape> {
    let Some(drawn) = drawn(contents) else {
        return vec![rectangle(
            left,
            0.0,
            COMB_MM,
            outline.lowest(),
            Fill::None,
            1,
            true,
        )];
    };
    let mut shapes = Vec::new();
    let bottom = outline.depth(drawn);
    shapes.push(rectangle(left, 0.0, COMB_MM, bottom, Fill::Tint, 1, false));
    let mut from = 0.0;
    for (_, share, fill) in bands(contents) {
        let to = (from + share * contents.left).min(drawn);
        let (upper, lower) = (outline.depth(from), outline.depth(to));
        shapes.push(rectangle(left, upper, COMB_MM, lower - upper, fill, 1, false));
        from = to;
    }
    shapes
}

/// Each comb from the front, from the entrance end on.
pub(super) fn faces(h: &Holding, hive: HiveId, rows: &[BarRow]) -> Vec<Drawing> {
    let Some(outline) = comb_outline(h, hive) else {
        return Vec::new();
    };
    rows.iter()
        .filter(|bar| bar.has_comb)
        .map(|bar| face(bar, &outline))
        .collect()
}

fn face(bar: &BarRow, outline: &Outline) -> Drawing {
    let (left, right) = outline
        .corners
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(left, right), at| {
            (left.min(at.0), right.max(at.0))
        });
    let mut shapes = Vec::new();
    if bar.comb.as_ref().and_then(drawn).is_none_or(|drawn| drawn < 1.0) {
        shapes.push(Shape::Area {
            corners: outline.corners.clone(),
            fill: Fill::None,
            edge: 1,
            broken: true,
        });
    }
    if let Some(contents) = &bar.comb
        && let Some(drawn) = drawn(contents)
    {
        let piece = |from: f64, to: f64, fill: Fill| Shape::Area {
            corners: outline.band(from, to),
            fill,
            edge: 1,
            broken: false,
        };
        shapes.push(piece(0.0, drawn, Fill::Tint));
        let mut from = 0.0;
        for (_, share, fill) in bands(contents) {
            let to = (from + share * contents.left).min(drawn);
            shapes.push(piece(from, to, fill));
            from = to;
        }
    }
    shapes.push(rectangle(
        left - 20.0,
        -16.0,
        right - left + 40.0,
        16.0,
        Fill::Ink,
        0,
        false,
    ));
    let tag = bar
        .tag
        .as_ref()
        .map_or_else(String::new, |tag| format!(" ({tag})"));
    let seen = bar
        .looked_on
        .map_or_else(String::new, |day| format!(", seen {day}"));
    Drawing {
        title: format!("Bar {}{tag}", bar.place),
        says: format!("{}{seen}", says(bar)),
        caption: Words::default()
            .strong(format!("Bar {}{tag}", bar.place))
            .plain(format!(" {}{seen}", says(bar))),
        frame: (left - 24.0, -20.0, right - left + 48.0, outline.lowest() + 26.0),
        shapes,
        wide: false,
        code: false,
    }
}

/// What the hatchings mean.
pub(super) fn key() -> Block {
    let sample = |name: &str, fill: Fill| Drawing {
        title: name.to_owned(),
        says: format!("the hatching for {name}"),
        caption: Words::new(name),
        frame: (0.0, 0.0, 260.0, 110.0),
        shapes: vec![rectangle(4.0, 4.0, 252.0, 102.0, fill, 1, false)],
        wide: false,
        code: false,
    };
    let hatch = |name: &str, hatch| sample(name, Fill::Hatch(hatch));
    Block::Folded {
        summary: "What the hatchings mean".to_owned(),
        blocks: vec![
            Block::Gallery(vec![
                hatch("capped honey", Hatch::LevelClose),
                hatch("open honey", Hatch::LevelWide),
                hatch("nectar", Hatch::LevelBroken),
                hatch("pollen", Hatch::Slant),
                hatch("sealed brood", Hatch::Crossed),
                hatch("open brood", Hatch::DotsClose),
                hatch("brood of unsaid age", Hatch::Strokes),
                hatch("eggs", Hatch::DotsWide),
                hatch("drone brood", Hatch::Rings),
                sample("drawn and said to be empty", Fill::Paper),
                sample("drawn, and nothing said of it", Fill::Tint),
            ]),
            Block::text(
                "A broken edge is what the bees have not built yet, or a comb of which nothing was said. The bands have the areas that the last look told; where on the comb they lay is not known.",
            ),
        ],
    }
}

/// A pattern's section with the comb that fits into it.
pub(super) fn section_drawing(pattern: &Pattern) -> Option<Drawing> {
    let section = pattern.section.as_ref()?;
    let walls = section.outline(Length::ZERO);
    let comb = section.outline(BEE_SPACE);
    let span = |axis: fn(&Point) -> f64| {
        walls
            .iter()
            .map(axis)
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| {
                (low.min(at), high.max(at))
            })
    };
    let ((left, right), (top, bottom)) = (span(|at| at.0), span(|at| at.1));
    let area = section.comb(BEE_SPACE).to_cm2();
    Some(Drawing {
        title: format!("The section of {}", pattern.label),
        says: format!(
            "{}: {:.0} mm wide at the bars, {:.0} mm deep",
            pattern.shape,
            section.width_at_bars(Length::ZERO).to_mm(),
            bottom - top
        ),
        caption: Words::default().strong(pattern.label.to_string()).plain(format!(
            " {}, {:.1} cm wide at the bars and {:.1} cm deep; a full comb is {area:.0} cm², {} % of the section",
            pattern.shape,
            section.width_at_bars(Length::ZERO).to_mm() / 10.0,
            (bottom - top) / 10.0,
            percent(area / section.face().to_cm2())
        )),
        frame: (left - 20.0, top - 24.0, right - left + 40.0, bottom - top + 36.0),
        shapes: vec![
            Shape::Area {
                corners: walls,
                fill: Fill::Paper,
                edge: 2,
                broken: false,
            },
            Shape::Area {
                corners: comb,
                fill: Fill::Tint,
                edge: 1,
                broken: false,
            },
            rectangle(left - 12.0, top - 16.0, right - left + 24.0, 16.0, Fill::Ink, 0, false),
        ],
        wide: false,
            code: false,
    })
}

fn rectangle(left: f64, top: f64, width: f64, height: f64, fill: Fill, edge: u8, broken: bool) -> Shape {
    Shape::Area {
        corners: vec![
            (left, top),
            (left + width, top),
            (left + width, top + height),
            (left, top + height),
        ],
        fill,
        edge,
        broken,
    }
}
