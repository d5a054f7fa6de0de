//! The workshop: a hive of any shape drawn, counted, weighed, kept warm, and cut from the wood at hand.
//!
//! Holds true: what a number stands on is a link away; what was assumed is said; what is not known is not told.
//!
//! Start at [`workshop`], then [`pattern`].

mod compare;
mod cut;
mod drawings;
mod pattern;
mod rule;
mod starts;
mod templates;
pub(crate) mod warm;

use apiary::arena::PatternId;
use apiary::ground::design::{Moves, follows, moves};
use apiary::ground::pattern::Pattern;
use page::{Block, Column, Page, Table, Words};
use quantity::Length;
use reckon::fit::Rest;

use super::{Part, handle, path, to_write};
use crate::reader::Reader;

pub use compare::{compare, compare_blocks};
pub use cut::{CUT_STEPS, CutAsked, Worked, cut, cut_blocks, for_steps, worked};
pub(crate) use pattern::part_name;
pub use pattern::{pattern, pattern_blocks};
pub use rule::Rule;
pub use templates::{Shaped, template};

/// The workshop: patterns side by side, wood, boards on offer, what was built.
pub fn workshop(reader: &Reader<'_>, part: Part) -> Page {
    let mut page = Page::new("Workshop").with(workshop_blocks(reader, part));
    page.blocks.push(to_write(&[
        ("A pattern of your own", "/write/pattern".to_owned()),
        ("Wood that is kept", "/write/offcut".to_owned()),
        ("A board that can be bought", "/write/timber".to_owned()),
        ("Hives or bars built", "/write/build".to_owned()),
    ]));
    page
}

/// The parts of the page of the workshop.
pub fn workshop_blocks(reader: &Reader<'_>, part: Part) -> Vec<Block> {
    let h = reader.holding();
    let patterns: Vec<&Pattern> = h.ground.patterns.iter().map(|(_, pattern)| pattern).collect();
    let mut blocks = vec![Block::Table(patterns_table(reader, &patterns, part))];
    if patterns.len() > 1 {
        blocks.push(Block::text(
            Words::linked("All patterns side by side", reader.link("/workshop/compare"))
                .plain(": money, litres, honey, warmth, hours."),
        ));
    }
    blocks.push(Block::section(
        "Begin with a design",
        [
            Block::text("Each opens a form that is filled in; give it a name of your own and change what your material asks for. They are ours, made for this program, and none is a published plan."),
            starts::starts(reader),
        ],
    ));
    blocks.push(Block::section(
        "Wood on hand",
        [Block::Table(wood_table(reader, part))],
    ));
    blocks.push(Block::section(
        "Boards that can be bought",
        [Block::Table(offers_table(reader, part))],
    ));
    if patterns.len() > 1 {
        blocks.push(Block::section(
            "Which combs hang where",
            [Block::Table(moves_table(reader, &patterns, part))],
        ));
    }
    blocks
}

/// The name of a pattern that leads to it.
fn pattern_link(reader: &Reader<'_>, name: &str) -> Words {
    Words::linked(name, reader.link(&path(&["workshop", name])))
}

fn patterns_table(reader: &Reader<'_>, patterns: &[&Pattern], part: Part) -> Table {
    let columns = vec![
        Column::words("Pattern"),
        Column::words("Shape"),
        Column::amounts("Litres"),
        Column::amounts("Bars"),
        Column::amounts("Honey on a full comb kg"),
        Column::amounts("Load g/cm"),
    ];
    let table =
        Table::new("Patterns", columns, "No pattern is described yet.").csv(reader.link("/workshop?table=1"));
    let to = |number| reader.link(&format!("/workshop?part={number}"));
    super::part_of(table, patterns, part, to, |pattern| {
        let told = follows(pattern);
        let amount = |value: Option<String>| value.map_or_else(Words::default, Words::amount);
        vec![
            pattern_link(reader, pattern.label.as_str()),
            Words::new(pattern.shape),
            amount(
                told.as_ref()
                    .and_then(|told| Some(format!("{:.1}", told.volume?.to_l()))),
            ),
            amount(told.as_ref().and_then(|told| Some(told.bars?.to_string()))),
            amount(
                told.as_ref()
                    .and_then(|told| Some(format!("{:.1}", told.honey_g?.value() / 1_000.0))),
            ),
            amount(
                told.as_ref()
                    .and_then(|told| Some(format!("{:.0}", told.load_g_per_cm?))),
            ),
        ]
    })
}

/// How combs of each pattern hang in hives of each other.
fn moves_table(reader: &Reader<'_>, patterns: &[&Pattern], part: Part) -> Table {
    let pairs: Vec<(&Pattern, &Pattern)> = patterns
        .iter()
        .flat_map(|from| patterns.iter().map(move |into| (*from, *into)))
        .filter(|(from, into)| from.made_by != into.made_by)
        .collect();
    let columns = vec![
        Column::words("Bars of"),
        Column::words("in hives of"),
        Column::words("The bar"),
        Column::words("Its full comb"),
        Column::words("A follower board"),
    ];
    let table = Table::new("Which combs hang where", columns, "There is one pattern only.")
        .csv(reader.link("/workshop?table=2"));
    let to = |number| reader.link(&format!("/workshop?part={number}"));
    super::part_of(table, &pairs, part, to, |(from, into)| {
        let moves = moves(from, into);
        let rule = Rule::of(reader, into);
        vec![
            pattern_link(reader, from.label.as_str()),
            pattern_link(reader, into.label.as_str()),
            Words::new(bar_said(&moves, rule)),
            Words::new(comb_said(&moves, rule)),
            Words::new(follower_said(&moves, rule)),
        ]
    })
}

fn bar_said(moves: &Moves, rule: Rule) -> String {
    let Some(fit) = moves.comb else {
        return "not known: a measure is lacking".to_owned();
    };
    let lies = match fit.rest {
        Rest::OnBoth { at_each } => format!("lies on both walls, {} on each", rule.told(at_each)),
        Rest::TooShort { by } => format!("is too short by {}", rule.told(by)),
        Rest::TooLong { by } => format!("is too long by {}", rule.told(by)),
    };
    let wider = fit.bar_wider_by;
    match wider {
        same if same.is_zero() => lies,
        more if more > Length::ZERO => format!("{lies}; wider than theirs by {}", rule.told(more)),
        less => format!("{lies}; narrower than theirs by {}", rule.told(less.abs())),
    }
}

fn comb_said(moves: &Moves, rule: Rule) -> String {
    let Some(fit) = moves.comb else {
        return String::new();
    };
    let cut = 100.0 * fit.comb.cut_away.get();
    match cut {
        none if none < 0.05 => "hangs as it is".to_owned(),
        cut => format!(
            "{cut:.0} % to be cut away; comes {} too near",
            rule.told(fit.comb.too_near)
        ),
    }
}

fn follower_said(moves: &Moves, rule: Rule) -> String {
    let Some(fit) = moves.follower else {
        return String::new();
    };
    if fit.board.cut_away.get() > 0.0005 {
        format!("has {:.0} % too much", 100.0 * fit.board.cut_away.get())
    } else {
        format!("fits, a gap of up to {}", rule.told(fit.widest_gap))
    }
}

/// What moves in and out of hives of one pattern.
fn moves_of<'a>(reader: &'a Reader<'_>, one: PatternId) -> Vec<&'a Pattern> {
    let patterns = reader.holding().ground.patterns.iter();
    let others = patterns.filter(|(id, pattern)| *id != one && pattern.section.is_some());
    others.map(|(_, pattern)| pattern).collect()
}

fn wood_table(reader: &Reader<'_>, part: Part) -> Table {
    let h = reader.holding();
    let rule = Rule::of_most(reader, h);
    let columns = vec![
        Column::words("Wood"),
        Column::amounts("Pieces"),
        Column::amounts(format!("Length {}", rule.unit())),
        Column::amounts(format!("Width {}", rule.unit())),
        Column::amounts(format!("Thickness {}", rule.unit())),
        Column::words("Bad places"),
        Column::words("Note"),
    ];
    let table = Table::new("Wood on hand", columns, "No wood is kept.").csv(reader.link("/workshop?table=3"));
    let to = |number| reader.link(&format!("/workshop?part={number}"));
    super::part_of(table, &h.workshop.wood, part, to, |wood| {
        let bad: Vec<String> = wood
            .bad
            .iter()
            .map(|(from, to)| format!("{} to {}", rule.short(*from), rule.short(*to)))
            .collect();
        vec![
            Words::new(wood.wood.clone()),
            Words::amount(wood.count.to_string()),
            Words::amount(rule.short(wood.size.length)),
            Words::amount(rule.short(wood.size.width)),
            Words::amount(rule.short(wood.size.thickness)),
            Words::new(bad.join(", ")),
            handle(reader, wood.entry),
        ]
    })
}

fn offers_table(reader: &Reader<'_>, part: Part) -> Table {
    let h = reader.holding();
    let rule = Rule::of_most(reader, h);
    let columns = vec![
        Column::words("Wood"),
        Column::amounts(format!("Length {}", rule.unit())),
        Column::amounts(format!("Width {}", rule.unit())),
        Column::amounts(format!("Thickness {}", rule.unit())),
        Column::words("Sold as"),
        Column::words("Price"),
        Column::words("How many"),
        Column::words("Note"),
    ];
    let table = Table::new("Boards that can be bought", columns, "No board is on offer.")
        .csv(reader.link("/workshop?table=4"));
    let to = |number| reader.link(&format!("/workshop?part={number}"));
    super::part_of(table, &h.workshop.offers, part, to, |offer| {
        vec![
            Words::new(offer.wood.clone()),
            Words::amount(rule.short(offer.size.length)),
            Words::amount(rule.short(offer.size.width)),
            Words::amount(rule.short(offer.size.thickness)),
            Words::new(offer.sold_as.clone().unwrap_or_default()),
            Words::new(
                offer
                    .price
                    .map_or_else(|| "not said".to_owned(), |price| price.to_string()),
            ),
            Words::new(
                offer
                    .count
                    .map_or_else(|| "as many as wanted".to_owned(), |count| count.to_string()),
            ),
            handle(reader, offer.entry),
        ]
    })
}
