//! The cutting list of a pattern: which boards to buy, how to saw them, and what is left.

use std::collections::BTreeMap;

use apiary::ground::cutting::{Cutting, From, Group, Saw, Step, Wanted, cutting};
use apiary::ground::design::{Parts, letter, parts};
use apiary::ground::pattern::Pattern;
use page::{
    Block, Choice, Column, Drawing, Field, Fill, Form, Hatch, Input, Page, Shape, Table, Tone, Words,
};
use quantity::{Length, Money};
use reckon::cut::{self, CutBoard, Order, Plan};

use super::super::path;
use super::pattern::part_name;
use super::rule::Rule;
use crate::forms::cautions;
use crate::reader::Reader;

/// What a cutting list is asked for, as it was typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CutAsked {
    /// How many hives.
    pub hives: String,
    /// What the saw takes.
    pub kerf: String,
    /// What is trimmed off the boards.
    pub edge: String,
    /// `crosscut` where crosscuts come first.
    pub order: String,
    /// `hand` where nothing is bought.
    pub from: String,
}

impl CutAsked {
    /// What was sent under its keys.
    pub fn of(sent: &BTreeMap<String, String>) -> Self {
        let get = |key: &str| {
            sent.get(key)
                .map(|said| said.trim().to_owned())
                .unwrap_or_default()
        };
        Self {
            hives: get("hives"),
            kerf: get("kerf"),
            edge: get("edge"),
            order: get("order"),
            from: get("from"),
        }
    }

    /// How it is sawn, or which field cannot be read and what would be accepted.
    pub fn saw(&self) -> Result<Saw, (&'static str, String)> {
        let hives = match self.hives.as_str() {
            "" => 1,
            said => said
                .parse()
                .ok()
                .filter(|hives| (1..=MOST_HIVES).contains(hives))
                .ok_or(("hives", format!("a count from 1 to {MOST_HIVES}")))?,
        };
        let length = |field: &'static str, said: &str, usual: Length| match said {
            "" => Ok(usual),
            said => super::rule::read(said)
                .filter(|length| (Length::ZERO..=Length::mm(50)).contains(length))
                .ok_or((field, "a length up to 50 mm, such as 3.2 mm or 1/8 in".to_owned())),
        };
        let order = match self.order.as_str() {
            "" | "rip" => Order::RipFirst,
            "crosscut" => Order::CrosscutFirst,
            _ => return Err(("order", "rip or crosscut".to_owned())),
        };
        let buy = match self.from.as_str() {
            "" | "all" => true,
            "hand" => false,
            _ => return Err(("from", "all or hand".to_owned())),
        };
        Ok(Saw {
            hives,
            kerf: length("kerf", &self.kerf, USUAL_KERF)?,
            edge: length("edge", &self.edge, Length::ZERO)?,
            order,
            buy,
        })
    }

    /// The question as a query.
    fn query(&self) -> String {
        let all = [
            ("hives", &self.hives),
            ("kerf", &self.kerf),
            ("edge", &self.edge),
            ("order", &self.order),
            ("from", &self.from),
        ];
        let said = all.into_iter().filter(|(_, value)| !value.is_empty());
        let pairs: Vec<String> = said
            .map(|(key, value)| format!("{key}={}", &path(&[value.as_str()])[1..]))
            .collect();
        pairs.join("&")
    }
}

/// A list is for so many hives at most.
const MOST_HIVES: u32 = 100;

/// A saw blade of the trade: 1/8 in.
const USUAL_KERF: Length = Length::inch_64ths(8);

/// A page is asked to be ready soon, and to be the same each time: the search is stopped after so many steps, whatever
/// the machine. The terminal gives it seconds instead.
pub const CUT_STEPS: u32 = 60;

/// A list worked out.
pub struct Worked<'a> {
    pub(crate) pattern: &'a Pattern,
    pub(crate) parts: Parts,
    pub(crate) saw: Saw,
    pub(crate) cutting: Cutting,
    rule: Rule,
}

/// Works out the cutting list of a pattern; `keep_on` stops the search. `None` if there is no such pattern, and what is
/// lacking where it cannot be built.
pub fn worked<'a>(
    reader: &'a Reader<'_>,
    name: &str,
    saw: &Saw,
    keep_on: &mut dyn FnMut(Step<'_>) -> bool,
) -> Option<Result<Worked<'a>, String>> {
    let h = reader.holding();
    let id = h.ground.pattern_labels.get(name)?;
    let pattern = &h.ground.patterns[id];
    Some(parts(pattern).map(|parts| {
        let cutting = cutting((&h.workshop, pattern, &parts), saw, keep_on);
        Worked {
            pattern,
            rule: Rule::of(reader, pattern),
            parts,
            saw: *saw,
            cutting,
        }
    }))
}

/// A search that ends after so many steps for each thickness.
pub fn for_steps(steps: u32) -> impl FnMut(Step<'_>) -> bool {
    let (mut at, mut left) = (0, steps);
    move |step| {
        if step.group != at {
            (at, left) = (step.group, steps);
        }
        left = left.saturating_sub(1);
        left > 0
    }
}

/// The cutting list of a pattern. `None` if there is no such pattern.
pub fn cut(reader: &Reader<'_>, name: &str, asked: &CutAsked) -> Option<Page> {
    let h = reader.holding();
    h.ground.pattern_labels.get(name)?;
    let mut page = Page::new(format!("Sawing {name}"));
    let wrong = asked.saw().err();
    page.blocks
        .push(Block::Form(Box::new(form(reader, name, asked, wrong.as_ref()))));
    let Ok(saw) = asked.saw() else {
        return Some(page);
    };
    match worked(reader, name, &saw, &mut for_steps(CUT_STEPS))? {
        Err(lacking) => page.blocks.push(Block::text(format!(
            "The parts follow once the pattern can be built: {lacking}."
        ))),
        Ok(worked) => {
            page.blocks.extend(cut_blocks(reader, &worked));
            let query = asked.query();
            let sign = if query.is_empty() {
                String::new()
            } else {
                format!("{query}&")
            };
            let pdf = format!("/print/cut{}.pdf", path(&[name]));
            let links = ["A4", "Letter"].map(|paper| {
                let to = format!("{pdf}?{sign}paper={}", paper.to_lowercase());
                Words::linked(format!("This list, {paper}"), reader.link(&to))
            });
            page.blocks
                .push(Block::section("On paper", [Block::List(links.into())]));
        }
    }
    Some(page)
}

fn form(reader: &Reader<'_>, name: &str, asked: &CutAsked, wrong: Option<&(&'static str, String)>) -> Form {
    let told = |field: &str| {
        wrong
            .filter(|(of, _)| *of == field)
            .map(|(_, says)| format!("here fits {says}"))
    };
    let line = |key: &'static str, label: &str, value: &str, hint: &str| {
        let mut field = Field::line(key, label).value(value).hint(hint);
        field.wrong = told(key);
        field
    };
    let mut form = Form::get("How it is sawn", path(&["workshop", name, "cut"]))
        .field(line("hives", "Hives", &asked.hives, "1 where nothing is said"))
        .field(line(
            "kerf",
            "What the saw takes",
            &asked.kerf,
            "3.2 mm (1/8 in) where nothing is said",
        ))
        .field(line(
            "edge",
            "Trimmed off all sides",
            &asked.edge,
            "nothing where nothing is said",
        ))
        .field(choice(
            ("order", "First cuts"),
            &asked.order,
            &[
                ("rip", "along the boards, then across"),
                ("crosscut", "across the boards, then along"),
            ],
        ))
        .field(choice(
            ("from", "Boards"),
            &asked.from,
            &[
                ("all", "wood on hand, and boards to be bought"),
                ("hand", "wood on hand alone"),
            ],
        ))
        .button("", "Work it out");
    if let Some(on) = reader.on {
        form = form.hidden("on", on.to_string());
    }
    form
}

/// One of two, the first where nothing is said.
fn choice((key, label): (&str, &str), said: &str, ways: &[(&str, &str)]) -> Field {
    let usual = ways.first().map_or("", |(value, _)| *value);
    let ways = ways.iter().map(|(value, text)| Choice {
        value: (*value).to_owned(),
        text: (*text).to_owned(),
    });
    let mut field = Field::line(key, label).value(if said.is_empty() { usual } else { said });
    field.input = Input::Choice(ways.collect());
    field
}

/// The parts of a cutting list.
pub fn cut_blocks(reader: &Reader<'_>, worked: &Worked<'_>) -> Vec<Block> {
    let mut blocks = vec![Block::care(cautions::SAWS), Block::care(cautions::TIMBER)];
    blocks.push(Block::Text(worked.verdict(reader)));
    blocks.extend(worked.lacking());
    blocks.push(Block::Table(worked.shopping(reader)));
    for group in &worked.cutting.groups {
        blocks.extend(worked.group(group));
    }
    blocks.push(Block::Table(worked.letters()));
    blocks.extend(worked.notes_after(reader));
    blocks
}

impl Worked<'_> {
    fn hives(&self) -> String {
        match self.saw.hives {
            1 => "one hive".to_owned(),
            many => format!("{many} hives"),
        }
    }

    /// What it costs, and how good the list is.
    fn verdict(&self, reader: &Reader<'_>) -> Words {
        let words = Words::new(format!("For {} of ", self.hives())).link(
            self.pattern.label.as_str(),
            path(&["workshop", self.pattern.label.as_str()]),
        );
        if !self.cutting.is_whole() {
            return words.plain(": not all of it can be sawn, see below.");
        }
        let words = match self.cutting.cost() {
            None => words.plain(": no board has a price, so the list that wastes least was looked for."),
            Some(cost) => {
                let each = Money::new(cost.minor() / i64::from(self.saw.hives.max(1)), cost.currency());
                let words = words
                    .plain(": boards to buy for ")
                    .number(cost.to_string(), None, None);
                let words = match self.cutting.is_priced(&reader.holding().workshop) {
                    true => words,
                    false => words.plain(" and what boards cost whose price is not said"),
                };
                match self.saw.hives {
                    1 => words.plain("."),
                    _ => words.plain(format!(", {each} for each hive.")),
                }
            }
        };
        let gap = self
            .cutting
            .groups
            .iter()
            .filter_map(|group| group.plan.as_ref().ok())
            .map(|plan| plan.cost - plan.bound)
            .sum::<u64>();
        match (gap, self.cutting.currency) {
            (0, _) => words.plain(" No other list of these boards costs less, thickness by thickness and with wide parts parted into strips as they are here: that is proven."),
            (gap, Some(currency)) => words.plain(format!(
                " A cheaper list may exist: at the very most {} are to be saved. The terminal searches longer: combwright show cut {} --seconds 60.",
                Money::new(i64::try_from(gap).unwrap_or(i64::MAX), currency),
                self.pattern.label
            )),
            (_, None) => words,
        }
    }

    fn lacking(&self) -> Vec<Block> {
        let mut blocks = Vec::new();
        for group in &self.cutting.groups {
            if let Err(error) = &group.plan {
                blocks.push(Block::notice(
                    Tone::Refused,
                    format!("Parts {} thick: {error}.", self.rule.told(group.thickness)),
                ));
            }
        }
        for wanted in &self.cutting.no_board {
            blocks.push(Block::notice(
                Tone::Refused,
                format!(
                    "{} {} of part {} ({}), {} thick: there is no board of that thickness. Write one that is kept (offcut) or can be bought (timber).",
                    wanted.count,
                    if wanted.count == 1 { "piece" } else { "pieces" },
                    letter(wanted.part),
                    self.part(wanted.part),
                    self.rule.told(wanted.thickness)
                ),
            ));
        }
        let mut others: Vec<String> = Vec::new();
        for (part, of) in &self.cutting.not_of_boards {
            others.push(format!("{} ({}): {of}", letter(*part), self.part(*part)));
        }
        if !others.is_empty() {
            blocks.push(Block::text(format!(
                "Not sawn from boards: {}.",
                others.join("; ")
            )));
        }
        if !self.cutting.other_currency.is_empty() {
            blocks.push(Block::text("Boards on offer in another currency are left out."));
        }
        blocks
    }

    fn part(&self, index: usize) -> String {
        self.parts
            .parts
            .get(index)
            .map(|part| part_name(part.role))
            .unwrap_or_default()
    }

    fn shopping(&self, reader: &Reader<'_>) -> Table {
        let offers = &reader.holding().workshop.offers;
        let columns = vec![
            Column::words("Board"),
            Column::words("Size"),
            Column::amounts("How many"),
            Column::words("Each"),
            Column::words("Together"),
        ];
        let rows = self.cutting.bought().into_iter().map(|(place, count)| {
            let offer = &offers[place];
            let size = format!(
                "{} × {} × {}",
                self.rule.short(offer.size.length),
                self.rule.short(offer.size.width),
                self.rule.told(offer.size.thickness)
            );
            let sold = offer
                .sold_as
                .as_ref()
                .map_or_else(String::new, |sold| format!(" (sold as {sold})"));
            let together = offer.price.and_then(|price| price.checked_mul(i64::from(count)));
            let money =
                |money: Option<Money>| money.map_or_else(|| "no price".to_owned(), |money| money.to_string());
            vec![
                Words::new(offer.wood.clone()),
                Words::new(size + &sold),
                Words::amount(count.to_string()),
                Words::new(money(offer.price)),
                Words::new(money(together)),
            ]
        });
        Table::new("Boards to buy", columns, "Nothing is to be bought.").with(rows)
    }

    /// The boards of one thickness, drawn, and the order of cuts.
    fn group(&self, group: &Group) -> Option<Block> {
        let plan = group.plan.as_ref().ok()?;
        let mut blocks = vec![Block::text(format!(
            "{} {}, {:.0} % of their wood is no part.",
            plan.boards.len(),
            if plan.boards.len() == 1 { "board" } else { "boards" },
            100.0 * plan.waste_fraction
        ))];
        for (first, alike) in alike(plan) {
            blocks.push(Block::Drawing(self.board(
                group,
                &plan.boards[first],
                (first, alike),
            )));
        }
        blocks.push(Block::Table(self.cuts(group, plan)));
        Some(Block::section(
            format!("Boards {} thick", self.rule.told(group.thickness)),
            blocks,
        ))
    }

    /// One board with its pieces.
    fn board(&self, group: &Group, board: &CutBoard, (first, alike): (usize, usize)) -> Drawing {
        let kind = &group.job.boards[board.board];
        let (length, width) = (kind.length.to_mm(), kind.width.map_or(0.0, Length::to_mm));
        let letters = length / 288.0 * 10.0;
        let mut shapes = vec![Shape::rectangle(
            (0.0, 0.0),
            (length, width),
            Fill::Tint,
            2,
            false,
        )];
        for (from, to) in &kind.bad {
            shapes.push(Shape::rectangle(
                (from.to_mm(), 0.0),
                (to.to_mm() - from.to_mm(), width),
                Fill::Hatch(Hatch::Crossed),
                1,
                false,
            ));
        }
        let mut told: Vec<String> = Vec::new();
        for piece in &board.pieces {
            let (wide, high) = (piece.length.to_mm(), piece.width.map_or(width, Length::to_mm));
            // Drawings measure downwards, plans upwards.
            let at = (piece.x.to_mm(), width - piece.y.to_mm() - high);
            shapes.push(Shape::rectangle(at, (wide, high), Fill::Paper, 1, false));
            let name = &group.job.parts[piece.part].name;
            let full = format!("{name} {}", self.rule.short(piece.length));
            let room =
                |text: &str| wide > letters * 0.62 * text.chars().count() as f64 && high > letters * 0.95;
            let text = if room(&full) {
                Some(full.clone())
            } else {
                room(name).then(|| name.clone())
            };
            shapes.extend(text.map(|text| Shape::Label {
                at: (at.0 + wide / 2.0, at.1 + high / 2.0 + letters * 0.35),
                text,
                height: letters,
            }));
            told.push(full);
        }
        let from = match group.from[board.board] {
            From::Offer(_) => "bought",
            From::Wood(_) => "on hand",
        };
        let numbers = match alike {
            1 => format!("Board {}", first + 1),
            many => format!("Boards {} to {}, {many} sawn alike", first + 1, first + many),
        };
        let size = format!(
            "{} × {}",
            self.rule.short(kind.length),
            kind.width.map_or_else(String::new, |width| self.rule.told(width))
        );
        Drawing {
            title: format!("{numbers} of {}", kind.name),
            says: format!("{} of {size}, {from}: {}", kind.name, told.join(", ")),
            caption: Words::default().strong(numbers).plain(format!(
                ": {} {size}, {from}. {}",
                kind.name,
                pieces_said(self, group, board)
            )),
            frame: (-length * 0.01, -width * 0.04, length * 1.02, width * 1.08),
            shapes,
            wide: true,
            code: false,
        }
    }

    /// The order of cuts, with as few settings of fence and stop as the plan needs.
    fn cuts(&self, group: &Group, plan: &Plan) -> Table {
        let columns = vec![
            Column::amounts("Step"),
            Column::words("Cut"),
            Column::words("Set to"),
            Column::words("Boards"),
            Column::amounts("Pieces"),
        ];
        let rows = cut::saw_list(&group.job, plan)
            .into_iter()
            .enumerate()
            .map(|(step, cut)| {
                vec![
                    Words::amount((step + 1).to_string()),
                    Words::new(saw_said(cut.saw)),
                    Words::new(self.rule.told(cut.measure)),
                    Words::new(numbers(&cut.boards)),
                    Words::amount(
                        cut.boards
                            .iter()
                            .map(|(_, pieces)| pieces)
                            .sum::<u32>()
                            .to_string(),
                    ),
                ]
            });
        Table::new("Order of cuts", columns, "").with(rows)
    }

    fn letters(&self) -> Table {
        let columns = vec![
            Column::words("Letter"),
            Column::words("Part"),
            Column::words("Pieces"),
            Column::words("Sawn to"),
            Column::words("Then"),
        ];
        let all = self.cutting.groups.iter().flat_map(|group| &group.wanted);
        let mut all: Vec<&Wanted> = all.chain(&self.cutting.no_board).collect();
        all.sort_by_key(|wanted| (wanted.part, wanted.thickness));
        let rows = all.into_iter().map(|wanted| {
            let then = match wanted.strips {
                1 => String::new(),
                strips => format!("{strips} strips glued or butted to one board"),
            };
            vec![
                Words::default().strong(letter(wanted.part)),
                Words::new(self.part(wanted.part)),
                Words::new(wanted.count.to_string()),
                Words::new(format!(
                    "{} × {} × {}",
                    self.rule.short(wanted.length),
                    self.rule.short(wanted.width),
                    self.rule.told(wanted.thickness)
                )),
                Words::new(then),
            ]
        });
        Table::new("What the letters are", columns, "").with(rows)
    }

    /// The notes that follow when it is sawn, without their day: wood that is gone, and what is left.
    pub(crate) fn lines_after(&self, reader: &Reader<'_>) -> Vec<String> {
        let workshop = &reader.holding().workshop;
        let noted = |length: Length| self.rule.noted(length);
        let mut lines = Vec::new();
        for (place, count) in self.cutting.sawn() {
            let wood = &workshop.wood[place];
            let size = format!(
                "{} x {} x {}",
                noted(wood.size.length),
                noted(wood.size.width),
                noted(wood.size.thickness)
            );
            lines.push(format!(
                "sawn {} {size} count {count} for {}",
                named(&wood.wood),
                self.pattern.label
            ));
        }
        for group in &self.cutting.groups {
            let Ok(plan) = &group.plan else { continue };
            let mut left: BTreeMap<(String, i64, i64, i64), u32> = BTreeMap::new();
            for offcut in cut::offcuts(&group.job, plan, LEAST) {
                let (wood, thickness) = match group.from[plan.boards[offcut.board].board] {
                    From::Offer(place) => (
                        &workshop.offers[place].wood,
                        workshop.offers[place].size.thickness,
                    ),
                    From::Wood(place) => (&workshop.wood[place].wood, workshop.wood[place].size.thickness),
                };
                let width = offcut.width.unwrap_or(Length::ZERO);
                let key = (
                    wood.clone(),
                    offcut.length.steps(),
                    width.steps(),
                    thickness.steps(),
                );
                *left.entry(key).or_insert(0) += 1;
            }
            for ((wood, length, width, thickness), count) in left.into_iter().rev() {
                let [length, width, thickness] =
                    [length, width, thickness].map(|steps| noted(Length::from_steps(steps)));
                lines.push(format!(
                    "offcut {} {length} x {width} x {thickness} count {count}",
                    named(&wood)
                ));
            }
        }
        lines
    }

    fn notes_after(&self, reader: &Reader<'_>) -> Vec<Block> {
        let lines = self.lines_after(reader);
        if lines.is_empty() {
            return Vec::new();
        }
        let day = reader.day();
        let lines = lines
            .into_iter()
            .map(|line| Words::default().note(format!("{day} {line}")))
            .collect();
        vec![Block::section(
            "Once it is sawn, note",
            [
                Block::List(lines),
                Block::Text(
                    Words::new("so that the wood is there for the next hive. ")
                        .link("Write notes", "/note")
                        .plain("."),
                ),
            ],
        )]
    }
}

/// A piece left over is worth keeping from this length and width on; *common practice, no source*.
const LEAST: (Length, Length) = (Length::mm(200), Length::mm(30));

fn saw_said(saw: cut::Saw) -> &'static str {
    match saw {
        cut::Saw::TrimEdges => "trim all sides by",
        cut::Saw::CutOutBad => "cut across behind a bad place, from the left end",
        cut::Saw::Rip => "rip, fence to blade",
        cut::Saw::Crosscut => "crosscut, stop to blade",
    }
}

fn named(wood: &str) -> String {
    let plain = wood.chars().all(|c| c.is_ascii_alphanumeric() || c == '-');
    if plain {
        wood.to_owned()
    } else {
        format!("\"{wood}\"")
    }
}

/// Boards that are sawn alike follow each other: the first of them, and how many.
fn alike(plan: &Plan) -> Vec<(usize, usize)> {
    let mut out: Vec<(usize, usize)> = Vec::new();
    for (place, board) in plan.boards.iter().enumerate() {
        match out.last_mut() {
            Some((first, count)) if plan.boards[*first] == *board => *count += 1,
            _ => out.push((place, 1)),
        }
    }
    out
}

/// The pieces of a board, alike ones together: `2 × A 955 × 268 mm`.
fn pieces_said(worked: &Worked<'_>, group: &Group, board: &CutBoard) -> String {
    let mut counted: Vec<(String, u32)> = Vec::new();
    for piece in &board.pieces {
        let part = &group.job.parts[piece.part];
        let said = format!(
            "{} {} × {}",
            part.name,
            worked.rule.short(piece.length),
            piece
                .width
                .map_or_else(String::new, |width| worked.rule.told(width))
        );
        match counted.iter_mut().find(|(other, _)| *other == said) {
            Some((_, count)) => *count += 1,
            None => counted.push((said, 1)),
        }
    }
    let all: Vec<String> = counted
        .into_iter()
        .map(|(said, count)| {
            if count == 1 {
                said
            } else {
                format!("{count} times {said}")
            }
        })
        .collect();
    all.join(", ")
}

/// Numbers in runs: `1 to 4, 7`.
fn numbers(boards: &[(usize, u32)]) -> String {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for board in boards.iter().map(|(board, _)| board + 1) {
        match runs.last_mut() {
            Some((_, to)) if *to + 1 == board => *to = board,
            _ => runs.push((board, board)),
        }
    }
    let said: Vec<String> = runs
        .into_iter()
        .map(|(from, to)| {
            if from == to {
                from.to_string()
            } else {
                format!("{from} to {to}")
            }
        })
        .collect();
    said.join(", ")
}
