//! The page of a pattern: drawn, counted, weighed, kept warm, built.

use apiary::arena::PatternId;
use apiary::ground::design::{self, Follows, Parts, follows, letter, moves, pane_w_per_k, parts, weight};
use apiary::ground::pattern::{Opening, Pattern};
use apiary::ground::workshop::took;
use page::{Block, Column, Notice, Page, Table, Tone, Words};
use quantity::{Celsius, Length, Mass, Money, Source, Volume};
use reckon::carpentry::{Role, Work};
use reckon::heat::{CLUSTER_FREE_KG_K_PER_W, Loss, TREE_KG_K_PER_W, WOODEN_KG_K_PER_W};
use reckon::sources::{
    BEEBUILT_HEAT, BFDJ_2009, FROM_MEMORY, ISO_6946_2017, SLOPE_OPINIONS, SOUTHWICK_1985, WAX_OF_COMB,
};
use reckon::volumes::{Lies, PUBLISHED};

use super::super::meaning::{by, noted};
use super::super::{handle, note_path, on_paper, to_write};
use super::drawings;
use super::rule::Rule;
use super::{bar_said, comb_said, follower_said, moves_of, path, pattern_link, starts, templates, warm};
use crate::forms::cautions;
use crate::reader::Reader;

/// A pattern. `None` if there is no such pattern.
pub fn pattern(reader: &Reader<'_>, name: &str) -> Option<Page> {
    let h = reader.holding();
    let id = h.ground.pattern_labels.get(name)?;
    let pattern = &h.ground.patterns[id];
    let mut page = Page::new(pattern.label.to_string()).with(pattern_blocks(reader, name)?);
    let label = &path(&[name])[1..];
    let alike = reader
        .note(pattern.made_by)
        .map(|note| starts::form(&note.to_string()));
    let mut links = vec![
        (
            "Hives built after it",
            format!("/write/build?form=0&pattern={label}"),
        ),
        (
            "A hive of it put up in a yard",
            format!("/write/hive?pattern={label}"),
        ),
    ];
    links.extend(alike.map(|alike| ("Another pattern like it", alike)));
    page.blocks.push(to_write(&links));
    page.blocks.push(on_paper(
        reader,
        &[("This page", format!("/print/workshop{}.pdf", path(&[name])))],
    ));
    Some(page)
}

/// The parts of the page of a pattern. `None` if there is no such pattern.
pub fn pattern_blocks(reader: &Reader<'_>, name: &str) -> Option<Vec<Block>> {
    let h = reader.holding();
    let id = h.ground.pattern_labels.get(name)?;
    let pattern = &h.ground.patterns[id];
    let told = Told {
        reader,
        pattern,
        id,
        rule: Rule::of(reader, pattern),
    };
    let mut blocks = told.cautions();
    blocks.extend(told.inside());
    blocks.extend(told.warmth());
    blocks.extend(told.made_of());
    blocks.extend(told.fits());
    blocks.extend(told.history());
    Some(blocks)
}

/// What is told of a pattern.
struct Told<'a> {
    reader: &'a Reader<'a>,
    pattern: &'a Pattern,
    id: PatternId,
    rule: Rule,
}

/// Bars wider than this are the wide ones: the trade's 35 mm, with a millimetre for the saw.
const WIDE_BAR: Length = Length::mm(36);
/// Bars narrower than this are narrow ones even for small bees.
const NARROW_BAR: Length = Length::mm(31);

impl Told<'_> {
    fn note(&self) -> String {
        note_path(self.reader.books(), self.pattern.made_by)
    }

    fn care(says: impl Into<String>, source: Option<Words>) -> Block {
        Block::Notice(Notice {
            tone: Tone::Care,
            says: Words::new(says),
            more: source.into_iter().collect(),
        })
    }

    fn cautions(&self) -> Vec<Block> {
        let mut blocks = Vec::new();
        if self.pattern.shape == "drum" {
            blocks.push(Self::care(cautions::DRUM, None));
            let held = match &self.pattern.built.held {
                Some(held) => format!(
                    "The note says that the drum held {held}. Ask for its data sheet if there is any doubt, wash it out, and smell it in the sun before anybody saws."
                ),
                None => "What the drum held is not said in its note. Until you know, it is no hive and no saw touches it.".to_owned(),
            };
            blocks.push(Self::care(held, None));
        }
        if !self.pattern.built.walls.is_empty() || self.pattern.built.material.is_some() {
            blocks.push(Self::care(cautions::TIMBER, None));
        }
        if let Some(bar) = self.pattern.bar
            && (bar > WIDE_BAR || bar < NARROW_BAR)
        {
            let by_source = Words::new("Plans: 35 mm for bees of temperate lands, 32 mm for tropical Africa; some keepers give honey combs 38 mm (")
                .and(by(self.reader, &BFDJ_2009))
                .plain(").");
            let says = if bar > WIDE_BAR {
                format!(
                    "Bars of {} are wider than bees of any race space their brood combs: expect comb across the bars.",
                    self.rule.told(bar)
                )
            } else {
                format!(
                    "Bars of {} are narrower than bees of any race space their combs: expect combs that join.",
                    self.rule.told(bar)
                )
            };
            blocks.push(Self::care(says, Some(by_source)));
        }
        blocks
    }

    fn inside(&self) -> Vec<Block> {
        let Some(follows) = follows(self.pattern) else {
            let note = Words::new("The measures of its note make no section, so nothing follows yet: ")
                .and(handle(self.reader, self.pattern.made_by))
                .plain(".");
            return vec![Block::Text(note)];
        };
        let mut blocks = Vec::new();
        blocks.extend(drawings::section(self.pattern, self.rule).map(Block::Drawing));
        blocks.push(Block::Facts(self.facts(&follows)));
        blocks.push(Block::Text(
            Words::new("Do walls that slope keep comb off them? Sources disagree: makers say less is attached, keepers of both shapes say that bees brace honey comb to any wall (")
                .and(by(self.reader, &SLOPE_OPINIONS))
                .plain("). Take the slope for fit and room, not as a promise."),
        ));
        if let Some(volume) = follows.volume {
            blocks.push(Block::section(
                "Where its room lies",
                [Block::List(self.room(volume))],
            ));
        }
        blocks
    }

    fn facts(&self, follows: &Follows) -> Vec<(String, Words)> {
        let (rule, pattern) = (self.rule, self.pattern);
        let note = || Some(self.note());
        let sources = |source: &Source| Some(self.reader.link(&format!("/sources#{}", source.id)));
        let mut facts: Vec<(&str, Words)> = Vec::new();
        if let (Some(volume), Some(length)) = (follows.volume, pattern.length) {
            let words = Words::default()
                .number(format!("{:.1}", volume.to_l()), Some("l"), note())
                .plain(format!(" below the bars, {} long inside", rule.told(length)));
            facts.push(("Room", words));
        }
        facts.extend(self.cut_deeper(follows).map(|words| ("Cut otherwise", words)));
        if let (Some(bars), Some(bar)) = (follows.bars, pattern.bar) {
            let mut words = Words::default()
                .number(bars.to_string(), None, note())
                .plain(format!(" of {}", rule.told(bar)));
            if let Some((count, width)) = pattern.built.spacers {
                words = words.plain(format!(", {count} strips of {} between them", rule.told(width)));
            }
            words = words.plain(format!(
                ", {} left for swelling and propolis",
                follows.left.map_or_else(String::new, |left| rule.told(left))
            ));
            if let Some(guide) = &pattern.built.guide {
                words = words.plain(format!("; comb guide: {guide}"));
            }
            facts.push(("Bars", words));
        }
        if let (Some(lean), Some(floor)) = (follows.lean_deg, follows.floor_to_wall_deg) {
            let words = Words::default()
                .number(format!("{lean:.1}"), Some("°"), note())
                .plain(" from upright, which plans also give as ")
                .number(format!("{floor:.1}"), Some("°"), note())
                .plain(" between floor and wall");
            facts.push(("Walls lean", words));
        }
        let comb = Words::default()
            .number(format!("{:.0}", follows.comb.to_cm2()), Some("cm²"), note())
            .plain(format!(
                " a face, {} wide at the bar; {} cells on both faces",
                rule.told(follows.width_at_bar),
                thousands(follows.cells)
            ));
        facts.push(("A full comb", comb));
        if let Some(honey) = follows.honey_g {
            let kg = |g: f64| format!("{:.1}", g / 1_000.0);
            let words = Words::default()
                .number(kg(honey.value()), Some("kg"), sources(&FROM_MEMORY))
                .plain(format!(
                    " ({} to {}) when sealed and {} thick; wax ",
                    kg(honey.lo()),
                    kg(honey.hi()),
                    rule.told(pattern.comb_thickness())
                ))
                .number(
                    format!("{:.0} to {:.0}", follows.wax_g[0], follows.wax_g[1]),
                    Some("g"),
                    sources(&WAX_OF_COMB),
                )
                .plain(" of new comb");
            facts.push(("Holds of honey", words));
        }
        if let Some(load) = follows.load_g_per_cm {
            let words = Words::default()
                .number(format!("{load:.0}"), Some("g"), note())
                .plain(" on each cm of the bar. A published hive of 44.5 cm has 65, half a drum of 200 litres 74; combs fell at 33 to 35 °C, new ones full of honey first (")
                .and(by(self.reader, &BEEBUILT_HEAT))
                .plain("): shade, and something that holds heat off above the bars")
            ;
            facts.push(("Hangs with", words));
        }
        facts.push(("Entrances", self.entrances(follows)));
        facts
            .into_iter()
            .map(|(name, words)| (name.to_owned(), words))
            .collect()
    }

    /// How deep the drum is cut for other whole tens of litres near by.
    fn cut_deeper(&self, follows: &Follows) -> Option<Words> {
        let fact = &self.reader.note(self.pattern.made_by)?.fact;
        if self.pattern.shape != "drum" {
            return None;
        }
        let (diameter, length) = (fact.length("diameter")?, self.pattern.length?);
        let here = libm::round(follows.volume?.to_l() / 10.0) as i32;
        let others: Vec<String> = (here - 3..=here + 3)
            .filter(|tens| *tens > 0)
            .filter_map(|tens| {
                let litres = f64::from(10 * tens);
                let depth = design::drum_depth(diameter, length, Volume::from_ml(1_000.0 * litres)?)?;
                Some(format!("{} for {litres:.0} l", self.rule.told(depth)))
            })
            .collect();
        (!others.is_empty()).then(|| {
            Words::new(format!(
                "depth from the bars to the lowest point: {}",
                others.join(", ")
            ))
        })
    }

    fn entrances(&self, follows: &Follows) -> Words {
        let Some(cm2) = follows.entrance_cm2 else {
            return Words::new("not said");
        };
        let each: Vec<String> = self
            .pattern
            .built
            .entrances
            .iter()
            .map(|entrance| {
                let what = match (entrance.opening, entrance.count) {
                    (Opening::Slot { width, height }, count) => format!(
                        "{count} {} of {} by {}",
                        if count == 1 { "slot" } else { "slots" },
                        self.rule.told(width),
                        self.rule.told(height)
                    ),
                    (Opening::Hole { diameter }, count) => format!(
                        "{count} {} of {}",
                        if count == 1 { "hole" } else { "holes" },
                        self.rule.told(diameter)
                    ),
                };
                format!("{what} in the {}", entrance.place)
            })
            .collect();
        Words::default()
            .number(format!("{cm2:.1}"), Some("cm²"), Some(self.note()))
            .plain(format!(": {}", each.join(", ")))
    }

    fn room(&self, volume: Volume) -> Vec<Words> {
        PUBLISHED
            .iter()
            .map(|range| {
                let lies = match range.value.place(volume) {
                    Lies::Below => "less than",
                    Lies::Within => "within",
                    Lies::Above => "more than",
                };
                Words::new(format!(
                    "{lies} the {:.0} to {:.0} litres of {} (",
                    range.value.from_l, range.value.to_l, range.value.what
                ))
                .and(by(self.reader, range.source))
                .plain(")")
            })
            .collect()
    }

    fn warmth(&self) -> Vec<Block> {
        let loss = match warm::loss(self.pattern) {
            Ok(loss) => loss,
            Err(lacking) => {
                let says = format!("How warm it is follows once more is said: {lacking}.");
                return vec![Block::section("How warm it is", [Block::text(says)])];
            }
        };
        let blocks = vec![
            Block::Facts(self.warm_facts(&loss)),
            Block::Drawing(drawings::isotherms(self.pattern, &loss)),
            Block::Text(
                Words::new("Steady conduction through the true section by finite elements, surfaces of ")
                    .and(by(self.reader, &ISO_6946_2017))
                    .plain(", end boards by their layers. Entrances, wind, rain and sun are left out. Data of materials are good to ±20 % at best, and every W/K here with them."),
            ),
        ];
        vec![Block::section("How warm it is", blocks)]
    }

    fn warm_facts(&self, loss: &Loss) -> Vec<(String, Words)> {
        let note = || Some(self.note());
        let ua = loss.ua_w_per_k;
        let mut facts = vec![(
            "Loses".to_owned(),
            Words::default()
                .number(format!("{:.1}", ua.value()), Some("W/K"), note())
                .plain(format!(
                    " ({:.1} to {:.1} as materials vary; ±20 % at best), ",
                    ua.lo(),
                    ua.hi()
                ))
                .number(
                    format!("{:.2}", loss.ua_section_w_per_mk.value()),
                    Some("W/K"),
                    note(),
                )
                .plain(" for a metre of its section"),
        )];
        let share = |part: f64| format!("{:.0} %", 100.0 * part);
        let through: Vec<String> = [
            ("walls", loss.shares.walls),
            ("bars and cover", loss.shares.roof),
            ("floor", loss.shares.floor),
            ("ends", loss.shares.ends),
        ]
        .into_iter()
        .filter(|(_, part)| *part >= 0.005)
        .map(|(name, part)| format!("{name} {}", share(part)))
        .collect();
        facts.push(("Through".to_owned(), Words::new(through.join(", "))));
        if let Some(pane) = pane_w_per_k(self.pattern) {
            let words = Words::default()
                .number(format!("{pane:.2}"), Some("W/K"), note())
                .plain(" more, not counted above: cover it when nobody looks");
            facts.push(("The pane costs".to_owned(), words));
        }
        let bees = Mass::kg(2);
        let ratio = loss.mass_conductance_kg_k_per_w(bees);
        facts.push((
            "With 2 kg of bees".to_owned(),
            Words::default()
                .number(format!("{:.2}", ratio.value()), Some("kg·K/W"), note())
                .plain(format!(
                    ": wooden hives stay below {}, above {} bees may not need to cluster, trees have more than {} (",
                    WOODEN_KG_K_PER_W.value, CLUSTER_FREE_KG_K_PER_W.value, TREE_KG_K_PER_W.value
                ))
                .and(by(self.reader, TREE_KG_K_PER_W.source))
                .plain(")"),
        ));
        facts.extend(self.winter(loss));
        facts
    }

    /// A month of winter, for a kilo of bees.
    fn winter(&self, loss: &Loss) -> Option<(String, Words)> {
        let one_kg = Mass::kg(1);
        let watts = reckon::winter::fitted_watts(one_kg);
        let kg_a_month = watts * 30.0 * 86_400.0 / (reckon::winter::HONEY_MJ_PER_KG.value * 1e6);
        let warmer = loss.warmed_by_cluster_k(one_kg);
        let brood = loss.honey_kg(Celsius::new(20.0)?, Celsius::new(2.0)?, 30.0)?;
        Some((
            "A month at 2 °C".to_owned(),
            Words::new("a cluster of 1 kg eats ")
                .number(
                    format!("{kg_a_month:.1}"),
                    Some("kg"),
                    Some(self.reader.link(&format!("/sources#{}", SOUTHWICK_1985.id))),
                )
                .plain(format!(
                    " of honey by what was measured, and warms the hive by {:.1} K with it. To hold all its air at 20 °C instead would take ",
                    warmer.value()
                ))
                .number(format!("{:.1}", brood.value()), Some("kg"), Some(self.note()))
                .plain(format!(" ({:.1} to {:.1}): no cluster does that, and it only compares hives", brood.lo(), brood.hi())),
        ))
    }

    fn made_of(&self) -> Vec<Block> {
        let parts = match parts(self.pattern) {
            Ok(parts) => parts,
            Err(lacking) => {
                let says = format!("Its parts follow once the pattern can be built: {lacking}.");
                return vec![Block::section("Parts", [Block::text(says)])];
            }
        };
        let mut blocks = vec![
            Block::Drawing(drawings::from_the_end(self.pattern, &parts, self.rule)),
            Block::Drawing(drawings::from_the_side(self.pattern, &parts, self.rule)),
            Block::Table(parts_table(self.reader, self.pattern, &parts, self.rule)),
        ];
        if !parts.assumed.is_empty() {
            let says = format!(
                "Not said, and assumed (common practice, no source): {}.",
                parts.assumed.join("; ")
            );
            blocks.push(Block::text(says));
        }
        let saw = self
            .reader
            .link(&path(&["workshop", self.pattern.label.as_str(), "cut"]));
        blocks.push(Block::Text(
            Words::linked("How to saw them", saw)
                .plain(" from the wood on hand and boards that can be bought: what to buy, what it costs, board by board."),
        ));
        blocks.push(templates::links(self.reader, self.pattern.label.as_str(), &parts));
        blocks.push(self.sizes(&parts));
        vec![Block::section("Parts", blocks)]
    }

    fn sizes(&self, parts: &Parts) -> Block {
        let weight = weight(self.pattern, parts);
        let memory = || Some(self.reader.link(&format!("/sources#{}", FROM_MEMORY.id)));
        let mut words = Words::new("Empty it weighs about ")
            .number(format!("{:.0}", weight.empty_kg), Some("kg"), memory())
            .plain(", with a full comb on every bar ")
            .number(format!("{:.0}", weight.full_kg), Some("kg"), memory())
            .plain(" besides bees. Two people lift some ")
            .number(
                format!("{:.0}", 2.0 * design::ONE_LIFTS_KG * design::TWO_TOGETHER),
                Some("kg"),
                memory(),
            )
            .plain(" between them, held close and level: ");
        words = match weight.combs_for_two {
            Some(0) => words.plain("the empty hive alone."),
            Some(combs) => words.plain(format!(
                "the hive with up to {combs} full combs; take the others out first."
            )),
            None => words.plain("less than the empty hive. Take it apart, use a barrow, or ask more people."),
        };
        if !weight.unweighed.is_empty() {
            words = words.plain(format!(
                " Left out, since nothing tells how heavy it is: {}.",
                weight.unweighed.join(", ")
            ));
        }
        Block::section(
            "Weight",
            [Block::Text(words), Self::care(cautions::LIFTING, None)],
        )
    }

    fn fits(&self) -> Vec<Block> {
        let others = moves_of(self.reader, self.id);
        if others.is_empty() || self.pattern.section.is_none() {
            return Vec::new();
        }
        let columns = vec![
            Column::words("Pattern"),
            Column::words("Way"),
            Column::words("The bar"),
            Column::words("Its full comb"),
            Column::words("A follower board"),
        ];
        let rows = others.into_iter().flat_map(|other| {
            let ways = [
                ("from it to here", other, self.pattern),
                ("from here to it", self.pattern, other),
            ];
            ways.map(|(way, from, into)| {
                let moves = moves(from, into);
                vec![
                    pattern_link(self.reader, other.label.as_str()),
                    Words::new(way),
                    Words::new(bar_said(&moves, self.rule)),
                    Words::new(comb_said(&moves, self.rule)),
                    Words::new(follower_said(&moves, self.rule)),
                ]
            })
        });
        let table = Table::new("Which bars and combs fit", columns, "").with(rows);
        vec![Block::section("Which bars and combs fit", [Block::Table(table)])]
    }

    fn history(&self) -> Vec<Block> {
        let h = self.reader.holding();
        let took = took(h, self.id);
        let hives: Vec<Words> = h
            .hives
            .iter()
            .filter(|(_, hive)| hive.pattern == Some(self.id) && !hive.gone)
            .map(|(_, hive)| super::super::hive_link(self.reader, hive.label.as_str()))
            .collect();
        let mut blocks = Vec::new();
        if took.hives > 0 {
            let mut words = Words::new(format!(
                "{} built",
                if took.hives == 1 {
                    "1 hive".to_owned()
                } else {
                    format!("{} hives", took.hives)
                }
            ))
            .and(noted(self.reader, &took.entries));
            if let Some(minutes) = took.minutes_each {
                words = words.plain(format!(", {:.1} hours each", minutes / 60.0));
            }
            if let Some((minor, currency)) = took.material_each {
                words = words.plain(format!(
                    ", material {} each",
                    Money::new(libm::round(minor) as i64, currency)
                ));
            }
            blocks.push(Block::Text(words.plain(".")));
        }
        if !hives.is_empty() {
            blocks.push(Block::section("Hives of this pattern", [Block::List(hives)]));
        }
        let written = Words::new("Described in ")
            .and(handle(self.reader, self.pattern.made_by))
            .plain(".");
        blocks.push(Block::Text(written));
        vec![Block::section("Built", blocks)]
    }
}

fn thousands(number: f64) -> String {
    let digits = format!("{:.0}", libm::round(number / 10.0) * 10.0);
    let (head, tail) = digits.split_at(digits.len().saturating_sub(3));
    if head.is_empty() {
        tail.to_owned()
    } else {
        format!("{head} {tail}")
    }
}

/// What a part is called.
pub(crate) fn part_name(role: Role) -> String {
    match role {
        Role::Wall { edge } => format!("wall, edge {edge}"),
        Role::Floor { .. } => "floor".to_owned(),
        Role::Sheet => "bent wall, or the drum itself".to_owned(),
        Role::End => "end board".to_owned(),
        Role::Follower => "follower board".to_owned(),
        Role::Bar => "bar".to_owned(),
        Role::Spacer => "strip between bars".to_owned(),
        Role::Leg => "leg".to_owned(),
        Role::Cradle => "cradle".to_owned(),
        Role::Roof => "roof".to_owned(),
    }
}

fn work_said(work: &Work) -> String {
    let degrees = |deg: f64| format!("{:.1}°", deg.abs());
    match *work {
        Work::Ripped => "rip to width".to_owned(),
        Work::Crosscut { from_square_deg } if from_square_deg.abs() < 0.05 => {
            "cut to length, square".to_owned()
        }
        Work::Crosscut { from_square_deg } => format!(
            "cut to length, both ends {} off square alike",
            degrees(from_square_deg)
        ),
        Work::Bevelled {
            corner,
            from_square_deg,
        } => format!(
            "bevel the edge at corner {corner} by {}, {} face wider",
            degrees(from_square_deg),
            if from_square_deg > 0.0 { "outer" } else { "inner" }
        ),
        Work::SawnToOutline => "saw round the template".to_owned(),
        Work::Bent => "bend round the end boards".to_owned(),
    }
}

fn parts_table(reader: &Reader<'_>, pattern: &Pattern, parts: &Parts, rule: Rule) -> Table {
    let columns = vec![
        Column::words("Letter"),
        Column::words("Part"),
        Column::amounts("How many"),
        Column::words("Length"),
        Column::words("Width"),
        Column::words("Thickness"),
        Column::words("Work"),
    ];
    let rows = parts.parts.iter().enumerate().map(|(index, part)| {
        let work: Vec<String> = part.work.iter().map(work_said).collect();
        vec![
            Words::default().strong(letter(index)),
            Words::new(part_name(part.role)),
            Words::amount(part.count.to_string()),
            Words::new(rule.told(part.length)),
            Words::new(rule.told(part.width)),
            Words::new(rule.told(part.thickness)),
            Words::new(work.join("; ")),
        ]
    });
    let csv = reader.link(&format!(
        "{}?table=1",
        path(&["workshop", pattern.label.as_str()])
    ));
    Table::new("List of parts", columns, "").with(rows).csv(csv)
}
