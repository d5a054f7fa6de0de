//! What follows from a pattern: room, combs, parts, weight and warmth of a hive that is built after it.
//!
//! Holds true: what is assumed because the pattern does not say it is told with the answer; where something
//! is lacking the answer says what.
//!
//! Does not: draw; plan cuts; promise that combs hold or that bees keep off a wall.
//!
//! Start at [`follows`], then [`parts`], [`weight`], [`warmth`].

use quantity::{Area, Estimate, Length, Mass, Volume};
use reckon::carpentry::{self, Design, Part, Role, SWELLING_ALLOWANCE, Thickness, WIDEST_FOLLOWER_GAP};
use reckon::comb::{self, cells_per_dm2, load_g_per_cm};
use reckon::fit::{self, CombFit, FollowerFit};
use reckon::heat;
use reckon::section::{Section, Shape, bars_that_fit};
use reckon::strength::figures::{CELL_USUAL_MM, WAX_G_PER_DM2};
use reckon::wall::{self, Flow, Layer};

use super::pattern::{BEE_SPACE, Pattern, Sheet};

/// What follows from the inside of a hive.
#[derive(Clone, Debug)]
pub struct Follows {
    /// Below the bars, where the length is known.
    pub volume: Option<Volume>,
    /// How many bars lie on it, those that follower boards hang from included.
    pub bars: Option<u32>,
    /// The length that bars, strips and allowance leave over.
    pub left: Option<Length>,
    /// The width of the comb at the bar.
    pub width_at_bar: Length,
    /// How far the walls lean from upright; unknown on curves.
    pub lean_deg: Option<f64>,
    /// The same as the angle between floor and wall.
    pub floor_to_wall_deg: Option<f64>,
    /// One face of the whole section.
    pub face: Area,
    /// One face of a full comb.
    pub comb: Area,
    /// Cells on both faces of a full comb.
    pub cells: f64,
    /// Grams of honey in a full comb.
    pub honey_g: Option<Estimate>,
    /// Grams of wax in a full new comb, by two rules.
    pub wax_g: [f64; 2],
    /// Grams on each cm of the comb's width at the bar.
    pub load_g_per_cm: Option<f64>,
    /// All entrances together; unknown where none was said.
    pub entrance_cm2: Option<f64>,
}

impl Pattern {
    /// What bees leave between comb and wall: as it was said, or as is usual.
    pub fn bee_space(&self) -> Length {
        self.built.bee_space.unwrap_or(BEE_SPACE)
    }

    /// What is left for swelling and propolis: as it was said, or as is usual.
    pub fn allowance(&self) -> Length {
        self.built.allowance.unwrap_or(SWELLING_ALLOWANCE.value)
    }

    /// How thick a full comb is: as it was said, or as is usual.
    pub fn comb_thickness(&self) -> Length {
        self.built.comb_thickness.unwrap_or(comb::USUAL_THICKNESS)
    }

    /// How many bars lie on a hive, strips between them left room.
    pub fn bars(&self) -> Option<u32> {
        let strips = self.strips();
        let room = self.length?.checked_sub(strips)?;
        bars_that_fit(room, self.bar?, self.allowance())
    }

    /// What the strips between the bars take of the length.
    fn strips(&self) -> Length {
        let strips = self.built.spacers;
        strips
            .and_then(|(count, width)| width.checked_mul(i64::from(count)))
            .unwrap_or(Length::ZERO)
    }
}

/// What follows from the inside of a hive; nothing where its measures make no section.
pub fn follows(pattern: &Pattern) -> Option<Follows> {
    let section = pattern.section.as_ref()?;
    let comb = pattern.comb?;
    let width_at_bar = section.width_at_bars(pattern.bee_space());
    let lean_deg = section.wall_from_vertical_deg();
    let cell = Length::from_mm_f64(CELL_USUAL_MM.value)?;
    let per_dm2 = cells_per_dm2(cell)?;
    let bars = pattern.bars();
    let honey = pattern.full_g.and_then(|grams| Mass::from_g_f64(grams.value()));
    let left = bars
        .zip(pattern.bar)
        .zip(pattern.length)
        .and_then(|((bars, bar), length)| {
            let taken = bar.checked_mul(i64::from(bars))?.checked_add(pattern.strips())?;
            length.checked_sub(taken)
        });
    let entrances = &pattern.built.entrances;
    Some(Follows {
        volume: pattern.length.map(|length| section.volume(length)),
        bars,
        left,
        width_at_bar,
        lean_deg,
        floor_to_wall_deg: lean_deg.map(carpentry::floor_to_wall_deg),
        face: section.face(),
        comb,
        cells: comb.to_dm2() * per_dm2.both_faces,
        honey_g: pattern.full_g,
        wax_g: WAX_G_PER_DM2.map(|figure| figure.value * comb.to_dm2()),
        load_g_per_cm: honey.and_then(|honey| load_g_per_cm(honey, width_at_bar)),
        entrance_cm2: (!entrances.is_empty())
            .then(|| entrances.iter().map(super::pattern::Entrance::area_cm2).sum()),
    })
}

/// How deep a lying drum is to be cut, from the bars to its lowest point, for so much room below the bars; nothing
/// where the whole drum has less.
pub fn drum_depth(diameter: Length, length: Length, room: Volume) -> Option<Length> {
    let volume = |depth: f64| -> Option<f64> {
        let depth = Length::from_mm_f64(depth)?;
        let section = Section::new(Shape::Drum { diameter, depth }).ok()?;
        Some(section.volume(length).to_ml())
    };
    let (mut less, mut more) = (0.0, diameter.to_mm() * 0.99);
    if room.to_ml() <= 0.0 || volume(more)? < room.to_ml() {
        return None;
    }
    // Half a tenth of a millimetre after so many halvings of at most ten metres.
    for _ in 0..20 {
        let middle = f64::midpoint(less, more);
        match volume(middle) {
            Some(found) if found >= room.to_ml() => more = middle,
            _ => less = middle,
        }
    }
    Length::from_mm_f64(more)
}

/// The parts of a hive, and what was assumed for them.
#[derive(Clone, Debug)]
pub struct Parts {
    /// The parts.
    pub parts: Vec<Part>,
    /// The design that they come from.
    pub design: Design,
    /// What was assumed because the pattern does not say it, a clause each.
    pub assumed: Vec<String>,
}

/// What a bar is thick where nothing is said: the trade's 18 to 25 mm; *common practice, no source*.
const USUAL_BAR_THICKNESS: Length = Length::mm(20);
/// The gap round a follower board; *common practice, no source*, within what keepers tolerate.
const USUAL_CLEARANCE: Length = Length::mm(3);
/// The overhang of a roof; *common practice, no source*.
const USUAL_OVERHANG: Length = Length::mm(30);
/// A leg; *common practice, no source*.
const USUAL_LEG: (Length, Length) = (Length::mm(70), Length::mm(22));
/// How far legs are splayed, in degrees; *common practice, no source*.
const USUAL_SPLAY_DEG: f64 = 10.0;

/// The parts of a hive of a pattern, or what is lacking.
pub fn parts(pattern: &Pattern) -> Result<Parts, String> {
    let (section, length, bar) = measures(pattern)?;
    let built = &pattern.built;
    if built.walls.is_empty() {
        return Err("the pattern does not say what its walls are, such as wall \"pine 22 mm\"".to_owned());
    }
    let mut assumed = Vec::new();
    let walls = thick(&built.walls).unwrap_or(Length::ZERO);
    let mut assume = |said: Option<Length>, usual: Length, what: &str| {
        said.unwrap_or_else(|| {
            assumed.push(format!("{what} {}", in_mm(usual)));
            usual
        })
    };
    let ends = assume(thick(&built.ends), walls, "end boards as thick as the walls,");
    let floor = match section_has_floor(section) {
        true => assume(thick(&built.base), walls, "a floor as thick as the walls,"),
        false => thick(&built.base).unwrap_or(walls),
    };
    let bar_thickness = assume(
        built
            .bar_thickness
            .or_else(|| thick(&built.cover[..built.cover.len().min(1)])),
        USUAL_BAR_THICKNESS,
        "bars of",
    );
    let roof = built
        .cover
        .get(1..)
        .and_then(outer_board)
        .or_else(|| outer_board(&built.walls));
    let roof = assume(roof, USUAL_BAR_THICKNESS, "a roof of");
    let least_bar = section.width_at_bars(Length::ZERO) + walls + walls;
    let bar_length = assume(built.bar_length, least_bar, "bars over both walls,");
    let overhang = assume(
        built.overhang,
        USUAL_OVERHANG,
        "a roof that reaches beyond the hive by",
    );
    let followers = built.followers.unwrap_or(0);
    let (leg_width, leg_thickness) = built.leg.unwrap_or(USUAL_LEG);
    let no_legs = Length::mm(10_000);
    let design = Design {
        section: section.clone(),
        inside_length: length,
        thickness: Thickness {
            walls,
            floor,
            ends,
            followers: outer_board(&built.ends)
                .or_else(|| outer_board(&built.walls))
                .unwrap_or(bar_thickness),
            roof,
        },
        bars: carpentry::Bars {
            count: bars_that_fit(length - pattern.strips(), bar, pattern.allowance())
                .ok_or("the hive is shorter than a bar")?,
            width: bar,
            length: bar_length,
            thickness: bar_thickness,
        },
        spacers: carpentry::Spacers {
            count: built.spacers.map_or(0, |(count, _)| count),
            width: built.spacers.map_or(Length::ZERO, |(_, width)| width),
        },
        followers: carpentry::Followers {
            count: followers,
            clearance: USUAL_CLEARANCE.min(WIDEST_FOLLOWER_GAP.value),
        },
        legs: carpentry::Legs {
            working_height: built.height.unwrap_or(no_legs),
            width: leg_width,
            thickness: leg_thickness,
            splay_deg: USUAL_SPLAY_DEG,
        },
        roof_overhang: overhang,
    };
    let mut parts = carpentry::parts(&design).map_err(|error| error.to_string())?;
    match built.height {
        None => parts.retain(|part| part.role != Role::Leg),
        Some(_) if built.leg.is_none() => assumed.push(format!(
            "legs {} wide and {} thick",
            in_mm(leg_width),
            in_mm(leg_thickness)
        )),
        Some(_) => {}
    }
    if followers > 0 {
        assumed.push(format!("{} round a follower board", in_mm(USUAL_CLEARANCE)));
    }
    Ok(Parts {
        parts,
        design,
        assumed,
    })
}

fn in_mm(length: Length) -> String {
    let mm = format!("{:.1}", length.to_mm());
    format!("{} mm", mm.strip_suffix(".0").unwrap_or(&mm))
}

fn measures(pattern: &Pattern) -> Result<(&Section, Length, Length), String> {
    let section = pattern
        .section
        .as_ref()
        .ok_or("the measures of the pattern make no section")?;
    let length = pattern.length.ok_or("the pattern does not say its length")?;
    let bar = pattern.bar.ok_or("the pattern does not say how wide a bar is")?;
    Ok((section, length, bar))
}

/// How thick layers are together; nothing where there are none.
fn thick(sheets: &[Sheet]) -> Option<Length> {
    let mut sheets = sheets.iter().map(|sheet| sheet.layer.thickness());
    let first = sheets.next()?;
    Some(sheets.fold(first, |sum, more| sum + more))
}

/// How thick the outermost board among layers is.
fn outer_board(sheets: &[Sheet]) -> Option<Length> {
    let boards = sheets.iter().rev();
    boards
        .filter(|sheet| wall::is_board(&sheet.written))
        .map(|sheet| sheet.layer.thickness())
        .next()
}

/// The letter by which a part is called in drawings and lists, by its place in the list of parts: A to Z, then AA.
pub fn letter(part: usize) -> String {
    let last = char::from(b'A' + u8::try_from(part % 26).unwrap_or(0));
    match part / 26 {
        0 => last.to_string(),
        rounds => format!("{}{last}", letter(rounds - 1)),
    }
}

/// Whether a level piece of the outline lies at its lowest.
fn section_has_floor(section: &Section) -> bool {
    let outline = section.outline(Length::ZERO);
    let lowest = outline.iter().map(|at| at.1).fold(f64::MIN, f64::max);
    let next = outline.iter().cycle().skip(1);
    let level = |(a, b): (&(f64, f64), &(f64, f64))| {
        (lowest - a.1).abs() < 1e-6 && (lowest - b.1).abs() < 1e-6 && (a.0 - b.0).abs() > 20.0
    };
    outline.iter().zip(next).any(level)
}

/// What a hive weighs.
#[derive(Clone, Debug)]
pub struct Weight {
    /// Without bees and combs, in kg; data of materials are good to a fifth.
    pub empty_kg: f64,
    /// A full comb of honey with its wax, in kg.
    pub comb_kg: f64,
    /// With a full comb on every bar, in kg.
    pub full_kg: f64,
    /// How many full combs two people lift with the hive at the most; nothing where the empty hive is too heavy.
    pub combs_for_two: Option<u32>,
    /// Layers whose weight is not known, and which are left out.
    pub unweighed: Vec<String>,
}

/// What one person lifts in good conditions, held close at waist height: 25 kg. *From memory*, the guide of a health
/// and safety office; a person who is not used to it, or who twists or stoops, lifts less.
pub const ONE_LIFTS_KG: f64 = 25.0;

/// The part of what both could lift alone that two people lift together: two thirds, *from memory* of the same guide.
pub const TWO_TOGETHER: f64 = 2.0 / 3.0;

/// Of wood whose kind was not said, in kg/m³: softwood at 12 % moisture.
const PLAIN_WOOD_KG_PER_M3: f64 = 500.0;

/// What a hive of so many parts weighs.
pub fn weight(pattern: &Pattern, parts: &Parts) -> Weight {
    let built = &pattern.built;
    let mut unweighed = Vec::new();
    let mut of = |sheets: &[Sheet]| -> f64 {
        let weighed = sheets.iter().map(|sheet| {
            wall::kg_per_m2(&sheet.written).unwrap_or_else(|| {
                if !unweighed.contains(&sheet.written) {
                    unweighed.push(sheet.written.clone());
                }
                0.0
            })
        });
        weighed.sum()
    };
    let walls = of(&built.walls);
    let plain = |thickness: Length| PLAIN_WOOD_KG_PER_M3 * thickness.to_mm() / 1_000.0;
    let or_walls = |sheets: &[Sheet], weighed: f64| if sheets.is_empty() { walls } else { weighed };
    let ends = or_walls(&built.ends, of(&built.ends));
    let base = or_walls(&built.base, of(&built.base));
    let above = built.cover.get(1..).unwrap_or_default();
    let roof = or_walls(above, of(above));
    let bars = match built.cover.first() {
        Some(first) => of(std::slice::from_ref(first)),
        None => plain(parts.design.bars.thickness),
    };
    let empty_kg: f64 = parts
        .parts
        .iter()
        .map(|part| {
            let kg_per_m2 = match part.role {
                Role::Wall { .. } | Role::Sheet => walls,
                Role::Floor { .. } => base,
                Role::End => ends,
                Role::Follower => plain(part.thickness),
                Role::Bar | Role::Spacer => bars,
                Role::Roof => roof,
                Role::Leg | Role::Cradle => plain(part.thickness),
            };
            f64::from(part.count) * area_m2(part) * kg_per_m2
        })
        .sum();
    let comb_g = pattern.full_g.map_or(0.0, |grams| grams.value())
        + follows(pattern).map_or(0.0, |follows| (follows.wax_g[0] + follows.wax_g[1]) / 2.0);
    let comb_kg = comb_g / 1_000.0;
    let bars = f64::from(parts.design.bars.count - parts.design.followers.count.min(parts.design.bars.count));
    let for_combs = 2.0 * ONE_LIFTS_KG * TWO_TOGETHER - empty_kg;
    Weight {
        empty_kg,
        comb_kg,
        full_kg: empty_kg + bars * comb_kg,
        combs_for_two: (for_combs >= 0.0 && comb_kg > 0.0).then(|| (for_combs / comb_kg) as u32),
        unweighed,
    }
}

fn area_m2(part: &Part) -> f64 {
    let mm2 = part.outline.as_ref().map_or_else(
        || part.length.to_mm() * part.width.to_mm(),
        |corners| {
            let next = corners.iter().cycle().skip(1);
            let twice: f64 = corners.iter().zip(next).map(|(a, b)| a.0 * b.1 - b.0 * a.1).sum();
            twice.abs() / 2.0
        },
    );
    mm2 / 1e6
}

/// The hive as it holds its warmth, or what is lacking. Ends and floor are as the walls where they were not said.
pub fn warmth(pattern: &Pattern) -> Result<heat::Built, String> {
    let section = pattern
        .section
        .as_ref()
        .ok_or("the measures of the pattern make no section")?;
    let length = pattern.length.ok_or("the pattern does not say its length")?;
    let built = &pattern.built;
    if built.walls.is_empty() {
        return Err("the pattern does not say what its walls are, such as wall \"pine 22 mm\"".to_owned());
    }
    if built.cover.is_empty() {
        return Err("the pattern does not say what lies above the combs, bars first, such as cover \"pine 20 mm\" cover \"wool 40 mm\"".to_owned());
    }
    let layers = |sheets: &[Sheet]| -> Vec<Layer> { sheets.iter().map(|sheet| sheet.layer).collect() };
    let or_walls = |sheets: &[Sheet]| layers(if sheets.is_empty() { &built.walls } else { sheets });
    Ok(heat::Built {
        section: section.clone(),
        length,
        walls: layers(&built.walls),
        roof: layers(&built.cover),
        floor: or_walls(&built.base),
        ends: or_walls(&built.ends),
    })
}

/// What a pane to look in by adds to the loss of a wall of the same area, in W/K; nothing without a pane.
pub fn pane_w_per_k(pattern: &Pattern) -> Option<f64> {
    let (length, depth, sheet) = pattern.built.pane.as_ref()?;
    let walls: Vec<Layer> = pattern.built.walls.iter().map(|sheet| sheet.layer).collect();
    if walls.is_empty() {
        return None;
    }
    let u = |layers: &[Layer]| wall::through(layers, Flow::Level).u_w_per_m2k.value();
    let area_m2 = length.to_mm() * depth.to_mm() / 1e6;
    Some(area_m2 * (u(&[sheet.layer]) - u(&walls)))
}

/// How the combs and follower boards of one pattern hang in hives of another.
#[derive(Clone, Debug)]
pub struct Moves {
    /// A bar with its full comb; unknown where bars or sections are.
    pub comb: Option<CombFit>,
    /// A follower board; unknown where a section is.
    pub follower: Option<FollowerFit>,
}

/// How the combs and follower boards of one pattern hang in hives of another.
pub fn moves(from: &Pattern, into: &Pattern) -> Moves {
    let comb = hive(from)
        .zip(hive(into))
        .and_then(|(from, into)| fit::comb_in(from, into));
    let sections = from.section.as_ref().zip(into.section.as_ref());
    let follower = sections.and_then(|(from, into)| fit::follower_in(from, USUAL_CLEARANCE, into));
    Moves { comb, follower }
}

/// A pattern as bars see it. Bars whose length was not said lie over both walls, or as far as is needed to rest.
fn hive(pattern: &Pattern) -> Option<fit::Hive<'_>> {
    let section = pattern.section.as_ref()?;
    let walls = thick(&pattern.built.walls).unwrap_or(carpentry::LEAST_REST.value);
    let over_walls = section.width_at_bars(Length::ZERO) + walls + walls;
    Some(fit::Hive {
        section,
        bar_length: pattern.built.bar_length.unwrap_or(over_walls),
        bar_width: pattern.bar?,
        bee_space: pattern.bee_space(),
        longest_bar: None,
    })
}
