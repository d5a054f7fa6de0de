//! The drawings of the workshop, at true scale.

use apiary::ground::design::{Parts, letter};
use apiary::ground::pattern::{Opening, Pattern};
use page::{Drawing, Fill, Hatch, Shape, Words};
use quantity::Length;
use reckon::carpentry::{Part, Role};
use reckon::heat::Loss;

use super::rule::Rule;

type Point = (f64, f64);

/// How wide a drawing is on the smallest screen, in points, and how high letters are then.
const SCREEN: f64 = 288.0;
const LETTERS: f64 = 11.0;

/// The height of letters in a wide drawing that is so wide, in millimetres of the thing drawn.
fn letters(width: f64) -> f64 {
    width / SCREEN * LETTERS
}

/// From where to where corners reach: left, top, right, bottom.
pub(super) fn extent(corners: &[Point]) -> (f64, f64, f64, f64) {
    let start = (f64::MAX, f64::MAX, f64::MIN, f64::MIN);
    corners.iter().fold(start, |(left, top, right, bottom), at| {
        (left.min(at.0), top.min(at.1), right.max(at.0), bottom.max(at.1))
    })
}

fn area(corners: Vec<Point>, fill: Fill, edge: u8) -> Shape {
    Shape::Area {
        corners,
        fill,
        edge,
        broken: false,
    }
}

fn line(points: Vec<Point>, broken: bool) -> Shape {
    Shape::Line { points, broken }
}

fn label(at: Point, text: impl Into<String>, height: f64) -> Shape {
    Shape::Label {
        at,
        text: text.into(),
        height,
    }
}

/// A measure between two places, on a level or upright line beside what is measured.
fn measure(from: Point, to: Point, text: String, height: f64) -> Vec<Shape> {
    let is_level = (from.1 - to.1).abs() < 1e-9;
    let tick = height / 2.5;
    let end = |at: Point| {
        if is_level {
            line(vec![(at.0, at.1 - tick), (at.0, at.1 + tick)], false)
        } else {
            line(vec![(at.0 - tick, at.1), (at.0 + tick, at.1)], false)
        }
    };
    let middle = ((from.0 + to.0) / 2.0, (from.1 + to.1) / 2.0);
    let at = if is_level {
        (middle.0, middle.1 - height * 0.4)
    } else {
        // Half of the words, and a gap: letters are about half as wide as high.
        (
            middle.0 + height * (0.35 + 0.27 * text.chars().count() as f64),
            middle.1 + height * 0.35,
        )
    };
    vec![
        line(vec![from, to], false),
        end(from),
        end(to),
        label(at, text, height),
    ]
}

/// The section with its measures and the comb that fits into it.
pub(super) fn section(pattern: &Pattern, rule: Rule) -> Option<Drawing> {
    let section = pattern.section.as_ref()?;
    let walls = section.outline(Length::ZERO);
    let (left, top, right, bottom) = extent(&walls);
    let (wide, deep) = (right - left, bottom - top);
    let letters = letters(wide * 1.35);
    let bar_half = pattern
        .built
        .bar_length
        .map_or(wide / 2.0 + 12.0, |length| length.to_mm() / 2.0);
    let thick = pattern.built.bar_thickness.map_or(18.0, Length::to_mm);
    let told = |mm: f64| rule.told(Length::from_mm_f64(mm).unwrap_or(Length::ZERO));
    let combs = section.combs(pattern.bee_space());
    let mut shapes = vec![area(walls.clone(), Fill::Paper, 2)];
    shapes.extend(combs.into_iter().map(|comb| area(comb, Fill::Tint, 1)));
    shapes.push(Shape::rectangle(
        (-bar_half, top - thick),
        (2.0 * bar_half, thick),
        Fill::Ink,
        0,
        false,
    ));
    let above = top - thick - letters * 0.9;
    let beside = right.max(bar_half) + letters * 0.8;
    shapes.extend(measure((left, above), (right, above), told(wide), letters));
    shapes.extend(measure((beside, top), (beside, bottom), told(deep), letters));
    if let Some((from, to)) = floor(&walls) {
        let below = bottom + letters * 1.6;
        shapes.extend(measure((from, below), (to, below), told(to - from), letters));
    }
    let frame_left = left.min(-bar_half) - letters;
    let frame_right = beside + letters * 0.6 * (told(deep).chars().count() as f64 + 1.0);
    let frame_top = above - letters * 1.8;
    Some(Drawing {
        title: format!("The section of {}", pattern.label),
        says: format!(
            "{}: {} wide at the bars and {} deep inside; the comb keeps {} off the walls",
            pattern.shape,
            told(section.width_at_bars(Length::ZERO).to_mm()),
            told(deep),
            rule.told(pattern.bee_space())
        ),
        caption: Words::new(format!(
            "Seen from the end, inside measures; the comb keeps {} off the walls and hangs from the bar.",
            rule.told(pattern.bee_space())
        )),
        frame: (
            frame_left,
            frame_top,
            frame_right - frame_left,
            bottom + letters * 2.2 - frame_top,
        ),
        shapes,
        wide: true,
        code: false,
    })
}

/// From where to where the lowest level piece of an outline reaches.
fn floor(outline: &[Point]) -> Option<(f64, f64)> {
    let lowest = outline.iter().map(|at| at.1).fold(f64::MIN, f64::max);
    let next = outline.iter().cycle().skip(1);
    let level = |(a, b): (&Point, &Point)| {
        let is_floor = (lowest - a.1).abs() < 1e-6 && (lowest - b.1).abs() < 1e-6 && (a.0 - b.0).abs() > 20.0;
        is_floor.then(|| (a.0.min(b.0), a.0.max(b.0)))
    };
    outline.iter().zip(next).find_map(level)
}

/// How warm the walls are: lines of equal warmth in the section, a tenth of the way from outside to inside apart.
pub(super) fn isotherms(pattern: &Pattern, loss: &Loss) -> Drawing {
    let field = &loss.field;
    let ring = |row: usize| -> Vec<Point> { (0..field.lines()).map(|at| field.node_mm(at, row)).collect() };
    let (inside, outside) = (ring(0), ring(field.rows() - 1));
    let (left, top, right, bottom) = extent(&outside);
    let letters = letters((right - left) * 1.1);
    let mut shapes = vec![area(outside, Fill::Tint, 2), area(inside, Fill::Paper, 1)];
    for tenth in 1..=9 {
        for way in field.isotherms(f64::from(tenth) / 10.0) {
            shapes.push(line(way, tenth != 5));
        }
    }
    let middle = ((left + right) / 2.0, (top + bottom) / 2.0);
    shapes.push(label((middle.0, middle.1), "as warm as the air inside", letters));
    shapes.push(label(
        (middle.0, top - letters * 0.6),
        "as cold as the air outside",
        letters,
    ));
    let margin = (right - left) * 0.05;
    Drawing {
        title: format!("How warm the walls of {} are", pattern.label),
        says: format!(
            "lines of equal warmth in walls, floor and cover of {}, nine of them, from the air inside to the air outside",
            pattern.label
        ),
        caption: Words::new(
            "Each line is a tenth of the way from the air outside to the air inside, the unbroken one half. Where they crowd, warmth is held; where one comes near the inside, it is lost.",
        ),
        frame: (
            left - margin,
            top - letters * 2.2,
            right - left + 2.0 * margin,
            bottom - top + letters * 2.8,
        ),
        shapes,
        wide: true,
        code: false,
    }
}

/// The hive put together, from the end, each part with its letter.
pub(super) fn from_the_end(pattern: &Pattern, parts: &Parts, rule: Rule) -> Drawing {
    let design = &parts.design;
    let inside = design.section.outline(Length::ZERO);
    let walls = design.thickness.walls.to_mm();
    let (left, top, right, bottom) = extent(&inside);
    let bar = (design.bars.length.to_mm(), design.bars.thickness.to_mm());
    let half_bar = bar.0 / 2.0;
    let roof = part_of(parts, Role::Roof);
    let half_roof = roof.map_or(half_bar, |(_, part)| part.width.to_mm() / 2.0);
    let ground = pattern.built.height.map(|height| height.to_mm());
    let lowest = ground.unwrap_or(bottom + walls);
    let letters = letters(2.0 * half_roof * 1.3);
    let mut shapes = Vec::new();
    let mut named: Vec<(Point, usize)> = Vec::new();
    if let Some((index, leg)) = part_of(parts, Role::Leg) {
        let (leg_shapes, at) = legs(parts, leg, (left, right), lowest);
        shapes.extend(leg_shapes);
        named.push((at, index));
    }
    if let Some((index, part)) = part_of(parts, Role::Cradle)
        && let Some(outline) = &part.outline
    {
        let corners = cradle(outline, bottom + walls);
        let (.., low) = extent(&corners);
        named.push((((left + right) / 2.0, low - letters * 0.4), index));
        shapes.push(area(corners, Fill::Hatch(Hatch::Slant), 1));
    }
    shapes.push(area(outwards(&inside, walls), Fill::Hatch(Hatch::LevelWide), 1));
    shapes.push(area(inside.clone(), Fill::Paper, 2));
    for (index, part) in parts.parts.iter().enumerate() {
        let at = match part.role {
            Role::Wall { edge } | Role::Floor { edge } => middle_of_edge(&inside, edge, walls / 2.0),
            Role::Sheet => Some(lowest_of(&inside, walls / 2.0)),
            Role::End => Some(((left + right) / 2.0, top + (bottom - top) * 0.3)),
            Role::Follower => Some(((left + right) / 2.0, top + (bottom - top) * 0.6)),
            _ => None,
        };
        named.extend(at.map(|at| (at, index)));
    }
    shapes.push(Shape::rectangle(
        (-half_bar, top - bar.1),
        (bar.0, bar.1),
        Fill::Tint,
        1,
        false,
    ));
    named.extend(part_of(parts, Role::Bar).map(|(index, _)| ((0.0, top - bar.1 / 2.0), index)));
    if let Some((index, part)) = roof {
        let thick = part.thickness.to_mm();
        let at = top - bar.1 - thick - bar.1;
        shapes.push(Shape::rectangle(
            (-half_roof, at),
            (2.0 * half_roof, thick),
            Fill::Tint,
            1,
            false,
        ));
        named.push(((0.0, at + thick / 2.0), index));
    }
    shapes.extend(openings(pattern, "end", &inside));
    for (at, index) in named {
        shapes.push(Shape::rectangle(
            (at.0 - letters * 0.55, at.1 - letters * 0.65),
            (letters * 1.1, letters * 1.3),
            Fill::Paper,
            1,
            false,
        ));
        shapes.push(label((at.0, at.1 + letters * 0.37), letter(index), letters));
    }
    if let Some(ground) = ground {
        shapes.push(line(
            vec![(-half_roof * 1.15, ground), (half_roof * 1.15, ground)],
            false,
        ));
        let beside = half_roof + letters * 0.6;
        shapes.extend(measure(
            (beside, top),
            (beside, ground),
            rule.told(Length::from_mm_f64(ground).unwrap_or(Length::ZERO)),
            letters,
        ));
    }
    let frame_top = top - 2.0 * bar.1 - letters * 2.5;
    let margin = letters * 5.0;
    Drawing {
        title: format!("{} put together, from the end", pattern.label),
        says: format!(
            "the parts of {} where they belong, from the end, each with its letter of the list of parts",
            pattern.label
        ),
        caption: Words::new("From the end. Letters are those of the list of parts."),
        frame: (
            -half_roof - letters,
            frame_top,
            2.0 * half_roof + letters + margin,
            lowest - frame_top + letters,
        ),
        shapes,
        wide: true,
        code: false,
    }
}

fn part_of(parts: &Parts, role: Role) -> Option<(usize, &Part)> {
    let mut all = parts.parts.iter().enumerate();
    all.find(|(_, part)| part.role == role)
}

/// Both legs that are seen, and where the letter of one stands.
fn legs(parts: &Parts, leg: &Part, (left, right): (f64, f64), ground: f64) -> (Vec<Shape>, Point) {
    let splay = parts.design.legs.splay_deg.to_radians();
    let (length, width) = (leg.length.to_mm(), leg.width.to_mm());
    let (run, rise) = (length * libm::sin(splay), length * libm::cos(splay));
    let top = ground - rise;
    let across = width / libm::cos(splay);
    let one = |side: f64, at: f64| {
        vec![
            (at, top),
            (at - side * across, top),
            (at + side * (run - across), ground),
            (at + side * run, ground),
        ]
    };
    let (inner_left, inner_right) = (left * 0.55, right * 0.55);
    let shapes = vec![
        area(one(-1.0, inner_left), Fill::Tint, 1),
        area(one(1.0, inner_right), Fill::Tint, 1),
    ];
    let part = 0.75;
    let at = (inner_right + run * part - across / 2.0, top + rise * part);
    (shapes, at)
}

/// A cradle under the lowest point of what lies in it.
fn cradle(outline: &[Point], lowest: f64) -> Vec<Point> {
    let hollow = outline
        .iter()
        .filter(|at| at.0.abs() < 1e-6)
        .map(|at| at.1)
        .fold(f64::MAX, f64::min);
    let hollow = if hollow < f64::MAX { hollow } else { 0.0 };
    outline.iter().map(|at| (at.0, at.1 + lowest - hollow)).collect()
}

/// An outline moved outwards but for the level of the bars; corners are mitred.
fn outwards(outline: &[Point], by: f64) -> Vec<Point> {
    let count = outline.len();
    let twice: f64 = (0..count)
        .map(|at| {
            let (a, b) = (outline[at], outline[(at + 1) % count]);
            a.0 * b.1 - b.0 * a.1
        })
        .sum();
    let turn = if twice > 0.0 { 1.0 } else { -1.0 };
    let top = extent(outline).1;
    let shift = |a: Point, b: Point| {
        // What lies on the bar line stays on it.
        let is_bars = (a.1 - top).abs() < 1e-6 && (b.1 - top).abs() < 1e-6;
        let (x, y) = (b.0 - a.0, b.1 - a.1);
        let length = libm::hypot(x, y).max(1e-9);
        let by = if is_bars { 0.0 } else { by };
        (
            (turn * y / length * by, -turn * x / length * by),
            (x / length, y / length),
        )
    };
    (0..count)
        .map(|at| {
            let (before, here, after) = (
                outline[(at + count - 1) % count],
                outline[at],
                outline[(at + 1) % count],
            );
            let ((one, way), (two, next)) = (shift(before, here), shift(here, after));
            let cross = way.0 * next.1 - way.1 * next.0;
            if cross.abs() < 1e-6 {
                return (here.0 + one.0, here.1 + one.1);
            }
            let gap = (two.0 - one.0, two.1 - one.1);
            let along = (gap.0 * next.1 - gap.1 * next.0) / cross;
            (here.0 + one.0 + way.0 * along, here.1 + one.1 + way.1 * along)
        })
        .collect()
}

fn middle_of_edge(outline: &[Point], edge: usize, out: f64) -> Option<Point> {
    let (a, b) = (*outline.get(edge.checked_sub(1)?)?, outline[edge % outline.len()]);
    let middle = ((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0);
    let length = libm::hypot(b.0 - a.0, b.1 - a.1).max(1e-9);
    let (x, y) = ((b.1 - a.1) / length, -(b.0 - a.0) / length);
    let (left, top, right, bottom) = extent(outline);
    let centre = ((left + right) / 2.0, (top + bottom) / 2.0);
    // Outwards is away from the middle.
    let away = (middle.0 - centre.0) * x + (middle.1 - centre.1) * y;
    let out = if away < 0.0 { -out } else { out };
    Some((middle.0 + x * out, middle.1 + y * out))
}

fn lowest_of(outline: &[Point], out: f64) -> Point {
    let (left, _, right, bottom) = extent(outline);
    ((left + right) / 2.0, bottom + out)
}

/// Entrances at one place, drawn where their area shows; where along a board they are is the keeper's choice.
fn openings(pattern: &Pattern, place: &str, outline: &[Point]) -> Vec<Shape> {
    let (left, top, right, bottom) = extent(outline);
    let at = top + (bottom - top) * 0.85;
    let mut shapes = Vec::new();
    for entrance in pattern
        .built
        .entrances
        .iter()
        .filter(|entrance| entrance.place == place)
    {
        let count = entrance.count.min(40);
        for one in 0..count {
            let part = (f64::from(one) + 0.5) / f64::from(count);
            let x = match place {
                // Where the section is narrow below, only its middle has wood at that depth.
                "end" => left + (right - left) * (0.3 + 0.4 * part),
                _ => left + (right - left) * part,
            };
            shapes.push(match entrance.opening {
                Opening::Slot { width, height } => Shape::rectangle(
                    (x - width.to_mm() / 2.0, at - height.to_mm() / 2.0),
                    (width.to_mm(), height.to_mm()),
                    Fill::Ink,
                    0,
                    false,
                ),
                Opening::Hole { diameter } => area(circle((x, at), diameter.to_mm() / 2.0), Fill::Ink, 0),
            });
        }
    }
    shapes
}

fn circle((x, y): Point, radius: f64) -> Vec<Point> {
    (0..24)
        .map(|step| {
            let (sine, cosine) = libm::sincos(std::f64::consts::TAU * f64::from(step) / 24.0);
            (x + radius * cosine, y + radius * sine)
        })
        .collect()
}

/// The hive from the side: bars on their edge, strips, follower boards, entrances, roof and legs.
pub(super) fn from_the_side(pattern: &Pattern, parts: &Parts, rule: Rule) -> Drawing {
    let design = &parts.design;
    let (_, top, _, bottom) = extent(&design.section.outline(Length::ZERO));
    let ends = design.thickness.ends.to_mm();
    let inside = design.inside_length.to_mm();
    let bar = (design.bars.width.to_mm(), design.bars.thickness.to_mm());
    let floor = bottom + design.thickness.floor.to_mm().max(design.thickness.walls.to_mm());
    let ground = pattern.built.height.map_or(floor, Length::to_mm);
    let roof = part_of(parts, Role::Roof).map(|(_, part)| (part.length.to_mm(), part.thickness.to_mm()));
    let beyond = roof.map_or(0.0, |(length, _)| (length - inside) / 2.0);
    let letters = letters(inside * 1.3);
    let mut shapes = Vec::new();
    if let Some((_, leg)) = part_of(parts, Role::Leg) {
        let wide = leg.thickness.to_mm();
        for at in [-ends, inside + ends - wide] {
            shapes.push(Shape::rectangle(
                (at, top),
                (wide, ground - top),
                Fill::Tint,
                1,
                false,
            ));
        }
    }
    shapes.push(Shape::rectangle(
        (-ends, top),
        (inside + 2.0 * ends, floor - top),
        Fill::Paper,
        2,
        false,
    ));
    for at in [0.0, inside] {
        shapes.push(line(vec![(at, top), (at, floor)], true));
    }
    let strip = design.spacers.width.to_mm();
    let every = match design.spacers.count {
        0 => u32::MAX,
        count => (design.bars.count / count).max(1),
    };
    let (mut at, mut strips) = (0.0, design.spacers.count);
    for number in 1..=design.bars.count {
        shapes.push(Shape::rectangle(
            (at, top - bar.1),
            (bar.0, bar.1),
            Fill::Tint,
            1,
            false,
        ));
        at += bar.0;
        if number % every == 0 && strips > 0 {
            shapes.push(Shape::rectangle(
                (at, top - bar.1),
                (strip, bar.1),
                Fill::Ink,
                0,
                false,
            ));
            at += strip;
            strips -= 1;
        }
    }
    let followers = design.followers.count.min(8);
    for number in 0..followers {
        // Beside the last bars, where the nest ends.
        let x = at - bar.0 * (f64::from(number) * 4.0 + 1.5);
        shapes.push(Shape::rectangle(
            (x, top),
            (ends.max(6.0), bottom - top - 3.0),
            Fill::Hatch(Hatch::Slant),
            1,
            false,
        ));
    }
    let side = [(0.0, top), (inside, bottom)];
    shapes.extend(openings(pattern, "side", &side));
    if let Some((length, depth, _)) = &pattern.built.pane {
        let (length, depth) = (length.to_mm(), depth.to_mm());
        let at = ((inside - length) / 2.0, top + (bottom - top - depth) / 2.0);
        shapes.push(Shape::rectangle(at, (length, depth), Fill::None, 1, true));
    }
    let roof_top = top - bar.1 * 2.0 - roof.map_or(0.0, |(_, thick)| thick);
    if let Some((length, thick)) = roof {
        shapes.push(Shape::rectangle(
            (-beyond, roof_top),
            (length, thick),
            Fill::Tint,
            1,
            false,
        ));
    }
    let above = roof_top - letters * 0.8;
    shapes.extend(measure(
        (0.0, above),
        (inside, above),
        rule.told(design.inside_length),
        letters,
    ));
    if pattern.built.height.is_some() {
        shapes.push(line(
            vec![(-beyond - letters, ground), (inside + beyond + letters, ground)],
            false,
        ));
    }
    let says = format!(
        "{} bars of {} over {} inside{}",
        design.bars.count,
        rule.told(design.bars.width),
        rule.told(design.inside_length),
        match followers {
            0 => String::new(),
            1 => ", and a follower board".to_owned(),
            many => format!(", and {many} follower boards"),
        }
    );
    let left = -beyond - letters;
    Drawing {
        title: format!("{} from the side", pattern.label),
        says,
        caption: Words::new(
            "From the side. Where entrances, strips and follower boards stand along the hive is yours to choose; they are drawn to be seen.",
        ),
        frame: (
            left,
            above - letters * 1.6,
            inside + 2.0 * (beyond + letters),
            ground - above + letters * 2.2,
        ),
        shapes,
        wide: true,
        code: false,
    }
}
