//! Combs drawn at true scale from the section of their hive.
//!
//! A comb is drawn with the area that the last look told: bands of the full outline from the bar down, each
//! with the area of its share. Where on the comb things lay is not known; the bands stand in the order usual
//! for a comb, honey above and brood below.

use apiary::Holding;
use apiary::arena::HiveId;
use apiary::colony::answers::{BarRow, Contents};
use apiary::ground::pattern::{BEE_SPACE, Pattern};
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

/// What may hang on a comb, from the bar down, each with its hatching.
const KINDS: [(&str, Fill); 10] = [
    ("capped honey", Fill::Hatch(Hatch::LevelClose)),
    ("open honey", Fill::Hatch(Hatch::LevelWide)),
    ("nectar", Fill::Hatch(Hatch::LevelBroken)),
    ("pollen", Fill::Hatch(Hatch::Slant)),
    ("sealed brood", Fill::Hatch(Hatch::Crossed)),
    ("open brood", Fill::Hatch(Hatch::DotsClose)),
    ("brood", Fill::Hatch(Hatch::Strokes)),
    ("eggs", Fill::Hatch(Hatch::DotsWide)),
    ("drone brood", Fill::Hatch(Hatch::Rings)),
    ("empty", Fill::Paper),
];

/// What hangs on a comb, from the bar down, with its hatching.
fn bands(contents: &Contents) -> Vec<(&'static str, f64, Fill)> {
    let share = |name: &str| {
        let said = contents.shares.iter().find(|(of, _)| *of == name);
        said.map_or(0.0, |(_, share)| *share)
    };
    let capped = share("capped");
    let (sealed, open) = (share("sealed"), share("open"));
    let shares = [
        capped,
        (share("honey") - capped).max(0.0),
        share("nectar"),
        share("pollen"),
        sealed,
        open,
        (share("brood") - sealed - open).max(0.0),
        share("eggs_share"),
        share("drones"),
        share("empty_share"),
    ];
    let all = KINDS.into_iter().zip(shares);
    all.filter(|(_, share)| *share > 0.0)
        .map(|((name, fill), share)| (name, share, fill))
        .collect()
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
    let known = pattern_of(h, hive).and_then(|pattern| {
        let section = pattern.section.as_ref()?;
        Some(section.outline(pattern.bee_space()))
    });
    let corners = known.unwrap_or_else(|| UNKNOWN_SECTION.to_vec());
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
    if let Some(fault) = bar.fault.filter(|fault| !says.contains(fault)) {
        says.push_str(&format!("; {fault}"));
    }
    says
}

/// How many places are drawn in one row: more of them are too narrow on a small screen to tell one hatching from another.
const PLACES_IN_A_ROW: usize = 16;

/// The least number of places that a row is as wide as, so that a short hive is not drawn larger than a long one.
const LEAST_IN_A_ROW: usize = 12;

/// A hive from the side, the entrance end at the left: bars, combs as deep as they are drawn, followers. A long one
/// comes in several rows of one scale, which stand beside each other where there is room.
///
/// Each bar leads to what `to` gives for its place.
pub(super) fn side(h: &Holding, hive: HiveId, rows: &[BarRow], to: &dyn Fn(u16) -> String) -> Vec<Drawing> {
    let pieces = rows.len().div_ceil(PLACES_IN_A_ROW).max(1);
    let in_a_row = rows.len().div_ceil(pieces).max(LEAST_IN_A_ROW);
    let side = Side {
        pitch: bar_width_mm(h, hive),
        outline: comb_outline(h, hive),
        in_a_row,
        followers: &h.hives[hive].followers,
        label: h.hives[hive].label.as_str(),
        to,
    };
    rows.chunks(in_a_row)
        .map(|row| side.row(row, rows.len()))
        .collect()
}

struct Side<'a> {
    pitch: f64,
    outline: Option<Outline>,
    in_a_row: usize,
    followers: &'a [u16],
    label: &'a str,
    to: &'a dyn Fn(u16) -> String,
}

impl Side<'_> {
    fn depth(&self) -> f64 {
        self.outline.as_ref().map_or(280.0, Outline::lowest)
    }

    fn row(&self, row: &[BarRow], of: usize) -> Drawing {
        let (pitch, depth) = (self.pitch, self.depth());
        let width = pitch * self.in_a_row as f64;
        let length = pitch * row.len() as f64;
        let floor = depth + BEE_SPACE.to_mm();
        // On the smallest screen, 288 points wide, these are 11 points high.
        let letters = width / 288.0 * 11.0;
        let mut shapes = vec![Shape::rectangle(
            (0.0, 0.0),
            (length, floor),
            Fill::Paper,
            1,
            false,
        )];
        for (n, bar) in row.iter().enumerate() {
            let left = pitch * n as f64;
            shapes.push(Shape::Link {
                to: (self.to)(bar.place),
                says: format!("Bar {}: {}", bar.place, says(bar)),
                shapes: self.bar(bar, left),
            });
            shapes.push(Shape::Label {
                at: (left + pitch / 2.0, floor + letters * 1.2),
                text: bar.place.to_string(),
                height: letters,
            });
        }
        let first = row.first().map_or(1, |bar| bar.place);
        let last = row.last().map_or(first, |bar| bar.place);
        for follower in self.followers {
            let behind_the_last = usize::from(last) == of && *follower == last + 1;
            if !(first..=last).contains(follower) && !behind_the_last {
                continue;
            }
            let at = pitch * f64::from(follower.saturating_sub(first));
            shapes.push(Shape::rectangle(
                (at - 4.0, -24.0),
                (8.0, floor + 24.0),
                Fill::Tint,
                2,
                false,
            ));
        }
        let combs = row.iter().filter(|bar| bar.has_comb).count();
        let places = if first == last {
            format!("Place {first}")
        } else {
            format!("Places {first} to {last}")
        };
        Drawing {
            title: format!("{} from the side, {}", self.label, places.to_lowercase()),
            says: format!(
                "{places} from the left, {combs} with comb. {}Each bar says what was last seen on it.",
                seen_when(row)
            ),
            caption: Words::new(caption(row, (of > row.len()).then_some(places))),
            frame: (-6.0, -30.0, width + 12.0, floor + 30.0 + letters * 1.6),
            shapes,
            wide: true,
            code: false,
        }
    }

    /// One bar and its comb: a field over its whole depth that can be touched, the comb, the bar.
    fn bar(&self, bar: &BarRow, left: f64) -> Vec<Shape> {
        let pitch = self.pitch;
        let comb_left = left + (pitch - COMB_MM) / 2.0;
        let mut shapes = vec![Shape::rectangle(
            (left, -14.0),
            (pitch, self.depth() + 14.0),
            Fill::None,
            0,
            false,
        )];
        if let (Some(contents), Some(outline)) = (&bar.comb, &self.outline) {
            shapes.extend(from_the_side(comb_left, contents, outline));
        } else if bar.has_comb {
            shapes.push(Shape::rectangle(
                (comb_left, 0.0),
                (COMB_MM, self.depth()),
                Fill::None,
                1,
                true,
            ));
        }
        if bar.fault.is_some() {
            shapes.push(Shape::rectangle(
                (comb_left - 3.0, 0.0),
                (COMB_MM + 6.0, self.depth()),
                Fill::None,
                2,
                false,
            ));
        }
        shapes.push(Shape::rectangle(
            (left + 0.8, -14.0),
            (pitch - 1.6, 14.0),
            Fill::Ink,
            0,
            false,
        ));
        shapes
    }
}

/// What stands below a row of bars: its places where there are several rows, and the combs at fault.
fn caption(row: &[BarRow], places: Option<String>) -> String {
    let faults = row
        .iter()
        .filter_map(|bar| Some(format!("bar {} {}", bar.place, bar.fault?)));
    let faults: Vec<String> = faults.collect();
    let faults = (!faults.is_empty()).then(|| format!("thick outline: {}", faults.join(", ")));
    places.into_iter().chain(faults).collect::<Vec<_>>().join("; ")
}

/// What is said below the hive from the side: when the combs were seen, the scale.
pub(super) fn side_said(h: &Holding, hive: HiveId, rows: &[BarRow]) -> String {
    let depth = comb_outline(h, hive).map_or(280.0, |outline| outline.lowest());
    format!(
        "{}Place 1 is at the entrance end, at the left. Drawn at true scale: {:.0} cm long, combs up to {:.0} cm deep.{}",
        seen_when(rows),
        bar_width_mm(h, hive) * rows.len() as f64 / 10.0,
        depth / 10.0,
        if pattern_of(h, hive).is_none_or(|pattern| pattern.section.is_none()) {
            " No pattern gives its section: one of 44.5 by 28 cm is drawn in its stead."
        } else {
            ""
        }
    )
}

/// What hangs where, in words: runs of bars that hold the same, from the entrance end.
pub(super) fn in_words(rows: &[BarRow]) -> String {
    let mut runs: Vec<(u16, u16, String)> = Vec::new();
    for bar in rows {
        let holds = holds(bar);
        match runs.last_mut() {
            Some((_, to, same)) if *same == holds => *to = bar.place,
            _ => runs.push((bar.place, bar.place, holds)),
        }
    }
    let said: Vec<String> = runs
        .iter()
        .map(|(from, to, holds)| match to - from {
            0 => format!("{from} {holds}"),
            1 => format!("{from} and {to} {holds}"),
            _ => format!("{from} to {to} {holds}"),
        })
        .collect();
    format!("From the entrance: {}.", said.join("; "))
}

fn holds(bar: &BarRow) -> String {
    let Some(contents) = &bar.comb else {
        return if bar.look.is_some() {
            "bare"
        } else {
            "bare, never spoken of"
        }
        .to_owned();
    };
    let has = |fields: &[&str]| {
        let mut said = contents.shares.iter();
        said.any(|(field, share)| *share > 0.0 && fields.contains(field))
    };
    let kinds = [
        ("brood", has(&["brood", "sealed", "open", "eggs_share"])),
        ("drone brood", has(&["drones"])),
        ("honey", has(&["capped", "honey"])),
        ("nectar", has(&["nectar"])),
        ("pollen", has(&["pollen"])),
    ];
    let kinds: Vec<String> = kinds
        .into_iter()
        .filter(|(_, there)| *there)
        .map(|(kind, _)| kind.to_owned())
        .collect();
    match (kinds.is_empty(), bar.contents.is_some()) {
        (false, _) => super::meaning::listed(&kinds),
        (true, true) => "comb".to_owned(),
        (true, false) => "comb, contents unknown".to_owned(),
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
        return vec![Shape::rectangle(
            (left, 0.0),
            (COMB_MM, outline.lowest()),
            Fill::None,
            1,
            true,
        )];
    };
    let mut shapes = Vec::new();
    let bottom = outline.depth(drawn);
    shapes.push(Shape::rectangle(
        (left, 0.0),
        (COMB_MM, bottom),
        Fill::Tint,
        1,
        false,
    ));
    let mut from = 0.0;
    for (_, share, fill) in bands(contents) {
        let to = (from + share * contents.left).min(drawn);
        let (upper, lower) = (outline.depth(from), outline.depth(to));
        shapes.push(Shape::rectangle(
            (left, upper),
            (COMB_MM, lower - upper),
            fill,
            1,
            false,
        ));
        from = to;
    }
    shapes
}

/// Each comb from the front, from the entrance end on.
pub(super) fn faces(h: &Holding, hive: HiveId, rows: &[BarRow], to: &dyn Fn(u16) -> String) -> Vec<Drawing> {
    let Some(outline) = comb_outline(h, hive) else {
        return Vec::new();
    };
    rows.iter()
        .filter(|bar| bar.has_comb)
        .map(|bar| face(bar, &outline, to(bar.place)))
        .collect()
}

fn face(bar: &BarRow, outline: &Outline, to: String) -> Drawing {
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
    shapes.push(Shape::rectangle(
        (left - 20.0, -16.0),
        (right - left + 40.0, 16.0),
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
            .link(format!("Bar {}{tag}", bar.place), to)
            .plain(format!(" {}{seen}", says(bar))),
        frame: (left - 24.0, -20.0, right - left + 48.0, outline.lowest() + 26.0),
        shapes,
        wide: false,
        code: false,
    }
}

/// What the hatchings mean that are used here.
pub(super) fn key(rows: &[BarRow]) -> Vec<Block> {
    let used: Vec<&'static str> = rows
        .iter()
        .filter_map(|bar| bar.comb.as_ref())
        .flat_map(|contents| bands(contents).into_iter().map(|(name, _, _)| name))
        .collect();
    let sample = |name: &str, fill: Fill, broken: bool| Drawing {
        title: name.to_owned(),
        says: format!("the hatching for {name}"),
        caption: Words::new(name),
        frame: (0.0, 0.0, 260.0, 70.0),
        shapes: vec![Shape::rectangle((4.0, 4.0), (252.0, 62.0), fill, 1, broken)],
        wide: false,
        code: false,
    };
    let hatched = KINDS
        .iter()
        .filter(|(name, _)| used.contains(name))
        .map(|(name, fill)| {
            let name = match *name {
                "brood" => "brood of unsaid age",
                "empty" => "drawn, said to be empty",
                other => other,
            };
            sample(name, *fill, false)
        });
    let mut samples: Vec<Drawing> = hatched.collect();
    let combs = || rows.iter().filter_map(|bar| bar.comb.as_ref());
    if combs().any(|contents| {
        let said: f64 = bands(contents).iter().map(|(_, share, _)| share).sum();
        drawn(contents).is_some_and(|drawn| drawn > said * contents.left + 1e-9)
    }) {
        samples.push(sample("drawn, nothing said of it", Fill::Tint, false));
    }
    if combs().any(|contents| drawn(contents).is_none_or(|drawn| drawn < 1.0)) {
        samples.push(sample("not built yet, or not told", Fill::None, true));
    }
    if samples.is_empty() {
        return Vec::new();
    }
    vec![
        Block::Gallery(samples),
        Block::text(
            "The bands have the areas that the last look told; where on the comb they lay is not known, so they stand in the usual order, honey above.",
        ),
    ]
}

/// A pattern's section with the comb that fits into it.
pub(super) fn section_drawing(pattern: &Pattern) -> Option<Drawing> {
    let section = pattern.section.as_ref()?;
    let walls = section.outline(Length::ZERO);
    let comb = section.outline(pattern.bee_space());
    let span = |axis: fn(&Point) -> f64| {
        walls
            .iter()
            .map(axis)
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| {
                (low.min(at), high.max(at))
            })
    };
    let ((left, right), (top, bottom)) = (span(|at| at.0), span(|at| at.1));
    let area = section.comb(pattern.bee_space()).to_cm2();
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
            Shape::rectangle((left - 12.0, top - 16.0), (right - left + 24.0, 16.0), Fill::Ink, 0, false),
        ],
        wide: false,
            code: false,
    })
}
