//! Templates at full size of the parts that are sawn round an outline.

use apiary::ground::design::{Parts, parts};
use apiary::ground::pattern::{Opening, Pattern};
use page::{Block, Figure, Meaning, Template, Words};
use reckon::carpentry::Role;

use super::super::path;
use super::drawings::extent;
use super::rule::Rule;
use crate::reader::Reader;

/// A part that has a template.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shaped {
    /// The boards that close the hive.
    End,
    /// The boards that close off a part of it.
    Follower,
    /// The boards that a drum lies in.
    Cradle,
}

impl Shaped {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::End, Self::Follower, Self::Cradle];

    /// The word for it in addresses and commands.
    pub const fn word(self) -> &'static str {
        match self {
            Self::End => "end",
            Self::Follower => "follower",
            Self::Cradle => "cradle",
        }
    }

    /// The part of that word.
    pub fn of(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|part| part.word() == word)
    }

    const fn name(self) -> &'static str {
        match self {
            Self::End => "End board",
            Self::Follower => "Follower board",
            Self::Cradle => "Cradle",
        }
    }

    const fn role(self) -> Role {
        match self {
            Self::End => Role::End,
            Self::Follower => Role::Follower,
            Self::Cradle => Role::Cradle,
        }
    }
}

/// The template of a part of a pattern. `None` if there is no such pattern; what is lacking where it has no such part.
pub fn template(reader: &Reader<'_>, name: &str, shaped: Shaped) -> Option<Result<Template, String>> {
    let h = reader.holding();
    let id = h.ground.pattern_labels.get(name)?;
    let pattern = &h.ground.patterns[id];
    let rule = Rule::of(reader, pattern);
    Some(parts(pattern).and_then(|parts| drawn(pattern, &parts, shaped, rule)))
}

/// The height of letters on a template, in millimetres.
const LETTERS: f64 = 6.0;

fn drawn(pattern: &Pattern, parts: &Parts, shaped: Shaped, rule: Rule) -> Result<Template, String> {
    let part = parts.parts.iter().find(|part| part.role == shaped.role());
    let lacking = || match shaped {
        Shaped::Follower => "the pattern has no follower board; say how many, such as followers 2".to_owned(),
        Shaped::End | Shaped::Cradle => format!("a {} has no {}", pattern.shape, shaped.word()),
    };
    let (part, outline) = part
        .and_then(|part| Some((part, part.outline.as_ref()?)))
        .ok_or_else(lacking)?;
    let (left, top, right, bottom) = extent(outline);
    let middle = (left + right) / 2.0;
    let mut figures = vec![
        Figure::Outline {
            corners: outline.clone(),
            meaning: Meaning::Cut,
        },
        Figure::Line {
            from: (middle, top),
            to: (middle, bottom),
            meaning: Meaning::Mark,
        },
    ];
    let mut words = |at: f64, text: &str| {
        figures.push(Figure::Words {
            at: (middle, top + (bottom - top) * at),
            text: text.to_owned(),
            height: LETTERS,
        });
    };
    words(0.3, &format!("{} of {}", shaped.name(), pattern.label));
    words(0.42, "this side up");
    let (wide, deep) = (rule.told(part.length), rule.told(part.width));
    words(0.54, &format!("{wide} wide, {deep} deep"));
    if shaped == Shaped::End {
        figures.extend(entrances(pattern, (left, top, right, bottom)));
    }
    let mut says = vec![format!(
        "{} of {}, {} wide and {} deep, {} thick; {} of them.",
        shaped.name(),
        pattern.label,
        wide,
        deep,
        rule.told(part.thickness),
        part.count
    )];
    says.push(match shaped {
        Shaped::End if parts.parts.iter().any(|part| part.role == Role::Sheet) => {
            "The outline is the inside of the hive: the sheet, or the drum, lies round it.".to_owned()
        }
        Shaped::End => "The outline is the inside of the hive: side boards and floor lie on its edges. The bars lie on the upper edge of the side boards.".to_owned(),
        Shaped::Follower => format!(
            "It hangs from its bar and keeps {} off the walls.",
            rule.told(parts.design.followers.clearance)
        ),
        Shaped::Cradle => "The drum lies in its hollow; a second one goes under the other end.".to_owned(),
    });
    says.push(
        "Build one first, and use it as the template that the sides are put together against.".to_owned(),
    );
    Ok(Template {
        title: format!("{} of {}", shaped.name(), pattern.label),
        says,
        figures,
    })
}

/// Entrances in an end board, side by side where the bees would reach the floor.
fn entrances(pattern: &Pattern, (left, top, right, bottom): (f64, f64, f64, f64)) -> Vec<Figure> {
    let y = top + (bottom - top) * 0.85;
    let in_end = pattern
        .built
        .entrances
        .iter()
        .filter(|entrance| entrance.place == "end");
    let openings: Vec<Opening> = in_end
        .flat_map(|entrance| std::iter::repeat_n(entrance.opening, entrance.count.min(40) as usize))
        .collect();
    // Within the middle half, where every section still has wood at that depth.
    let (from, width) = (left + (right - left) * 0.3, (right - left) * 0.4);
    let count = openings.len() as f64;
    let place = |number: usize| from + width * (number as f64 + 0.5) / count;
    openings
        .into_iter()
        .enumerate()
        .map(|(number, opening)| match opening {
            Opening::Hole { diameter } => Figure::Circle {
                middle: (place(number), y),
                radius: diameter.to_mm() / 2.0,
                meaning: Meaning::Drill,
            },
            Opening::Slot { width, height } => {
                let (half, high) = (width.to_mm() / 2.0, height.to_mm() / 2.0);
                let x = place(number);
                Figure::Outline {
                    corners: vec![
                        (x - half, y - high),
                        (x + half, y - high),
                        (x + half, y + high),
                        (x - half, y + high),
                    ],
                    meaning: Meaning::Cut,
                }
            }
        })
        .collect()
}

/// Where the templates of a pattern are: on paper at full size, and for programs that draw or cut.
pub(super) fn links(reader: &Reader<'_>, name: &str, parts: &Parts) -> Block {
    let has = |shaped: &Shaped| parts.parts.iter().any(|part| part.role == shaped.role());
    let lines = Shaped::ALL.into_iter().filter(has).map(|shaped| {
        let file = |form: &str| {
            let step = format!("{}.{form}", shaped.word());
            format!("/print/template{}", path(&[name, &step]))
        };
        let pdf = |paper: &str| reader.link(&format!("{}?paper={paper}", file("pdf")));
        Words::new(format!("{}: ", shaped.name()))
            .link("A4", pdf("a4"))
            .plain(", ")
            .link("Letter", pdf("letter"))
            .plain(", ")
            .link("SVG", reader.link(&file("svg")))
            .plain(", ")
            .link("DXF", reader.link(&file("dxf")))
    });
    Block::section(
        "Templates at full size",
        [
            Block::text(
                "Printed over sheets that are glued together, with a map, crosses to join them by and two bars to measure before anything is sawn.",
            ),
            Block::List(lines.collect()),
        ],
    )
}
