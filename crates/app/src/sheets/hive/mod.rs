//! The page of a hive: from the side, what changed, bar by bar, how strong, what it means, its combs, its notes.

mod combs;
mod looks;
pub(super) mod strong;

use apiary::arena::HiveId;
use apiary::colony::answers as colony;
use page::{Block, Column, Page, Table, Words};

use super::{Part, comb, day, notes_table, path, reason, to_write};
use crate::reader::Reader;

pub(super) use combs::comb_page;
pub(crate) use looks::steps;
pub(crate) use strong::{KINDS, looked_between};

/// One hive, bar by bar. `None` if there is no such hive.
pub fn hive(reader: &Reader<'_>, name: &str) -> Option<Page> {
    let h = reader.holding();
    let id = h.hive_labels.get(name)?;
    let rows = colony::bars(h, reader.books(), id);
    let mut page = Page::new(h.hives[id].label.to_string());
    page.blocks.push(Block::Facts(facts(reader, id)));
    page.blocks.extend(looks::unfinished_block(reader, id));
    page.blocks.extend(looks::steps_blocks(reader, name));
    if !rows.is_empty() {
        page.blocks.push(side_section(reader, id, &rows));
    }
    page.blocks.extend(looks::changes_section(reader, id));
    page.blocks
        .push(Block::section("Bar by bar", [bars_table(reader, name, &rows)]));
    page.blocks.extend(strong::strength_section(reader, id));
    let faces = comb::faces(h, id, &rows, &to_comb(reader, id));
    if !faces.is_empty() {
        page.blocks
            .push(Block::section("Comb by comb", [Block::Gallery(faces)]));
    }
    page.blocks.extend(super::meaning_blocks(reader, id));
    page.blocks.extend(super::calendar_blocks(reader, Some(id)));
    page.blocks.extend(combs::ages_section(reader, id));
    page.blocks.extend(combs::measures_section(reader, id));
    page.blocks.extend(looks::jottings_block(reader, id));
    page.blocks.push(actions(reader, id));
    let pdf = |what: &str| format!("/print{}.pdf", path(&[what, name]));
    page.blocks.push(super::on_paper(
        reader,
        &[("Look card", pdf("card")), ("This page", pdf("hive"))],
    ));
    page.blocks.push(notes_section(reader, id, name));
    Some(page)
}

/// Where the comb at a place is told of; a bare bar leads to the notes about its hive.
fn to_comb<'a>(reader: &'a Reader<'_>, id: HiveId) -> impl Fn(u16) -> String + 'a {
    let h = reader.holding();
    let name = h.hives[id].label.as_str();
    move |place: u16| {
        let hive = &h.hives[id];
        let has_comb = hive.bar_at(place).is_some_and(|bar| h.bars[bar].comb.is_some());
        if has_comb {
            reason(reader, &["comb", name, &place.to_string()])
        } else {
            reason(reader, &["hive", name])
        }
    }
}

fn side_section(reader: &Reader<'_>, id: HiveId, rows: &[colony::BarRow]) -> Block {
    let h = reader.holding();
    let mut blocks = vec![
        Block::Gallery(comb::side(h, id, rows, &to_comb(reader, id))),
        Block::text(comb::in_words(rows)),
        Block::text(comb::side_said(h, id, rows)),
    ];
    blocks.extend(comb::key(rows));
    Block::section("From the side", blocks)
}

fn notes_section(reader: &Reader<'_>, id: HiveId, name: &str) -> Block {
    let newest: Vec<usize> = super::notes_about_hive(reader, id, NEWEST)
        .into_iter()
        .rev()
        .take(NEWEST)
        .collect();
    let table = notes_table(reader, "The newest notes about it", &newest, Part::ALL, |_| {
        String::new()
    });
    Block::section(
        "Notes",
        [
            Block::Table(table),
            Block::text(
                Words::linked(format!("All notes about {name}"), reason(reader, &["hive", name])).plain("."),
            ),
        ],
    )
}

/// How many notes the page of a hive tells.
const NEWEST: usize = 10;

fn facts(reader: &Reader<'_>, id: HiveId) -> Vec<(String, Words)> {
    let h = reader.holding();
    let hive = &h.hives[id];
    let mut facts = Vec::new();
    let mut fact = |name: &str, words: Words| facts.push((name.to_owned(), words));
    match hive.yard {
        Some(yard) => fact("Stands in", Words::new(h.ground.yards[yard].label.to_string())),
        None if hive.is_store() => fact("Is", Words::new("a store: combs hang here without bees")),
        None => {}
    }
    if let Some(pattern) = hive.pattern {
        let pattern = &h.ground.patterns[pattern];
        let mut words = Words::new(format!("{} ({})", pattern.label, pattern.shape));
        if let Some(area) = pattern.comb {
            words = words.plain(", a full comb is ").number(
                format!("{:.0}", area.to_cm2()),
                Some("cm²"),
                Some(super::note_path(reader.books(), pattern.made_by)),
            );
        }
        if let Some(full) = pattern.full_g {
            words = words
                .plain(" and holds up to about ")
                .number(
                    format!("{:.1}", full.value() / 1000.0),
                    Some("kg"),
                    Some(reader.link("/sources#from-memory")),
                )
                .plain(format!(
                    " of honey ({:.1} to {:.1})",
                    full.lo() / 1000.0,
                    full.hi() / 1000.0
                ));
        }
        fact("Built after", words);
    }
    let why = reason(reader, &["hive", hive.label.as_str()]);
    fact(
        "Places",
        Words::because(hive.places().to_string(), why).plain(", the first at the entrance end"),
    );
    if !hive.followers.is_empty() {
        let places = hive
            .followers
            .iter()
            .map(ToString::to_string)
            .collect::<Vec<_>>()
            .join(" and ");
        fact("Follower", Words::new(format!("before place {places}")));
    }
    if hive.quarantined {
        fact("Kept apart", Words::new("move nothing out of it"));
    }
    for colony in h.living_in(id) {
        let (from, to) = h.range(colony);
        let colony = &h.colonies[colony];
        let mut words = Words::linked(
            colony.label.to_string(),
            reason(reader, &["colony", colony.label.as_str()]),
        )
        .plain(format!(" in places {from} to {to}, since {}", colony.since));
        if !colony.origin.is_empty() {
            words = words.plain(format!(" ({})", colony.origin));
        }
        if let Some(last) = colony.last_look {
            words = words.plain(format!(", last looked at {last}"));
        }
        fact("Colony", words);
    }
    if !hive.is_store() && h.living_in(id).next().is_none() {
        fact("Colony", Words::new("no bees"));
    }
    facts
}

/// One hive for the terminal. `None` if there is no such hive.
pub fn hive_blocks(reader: &Reader<'_>, name: &str) -> Option<Vec<Block>> {
    let h = reader.holding();
    let id = h.hive_labels.get(name)?;
    let hive = &h.hives[id];
    let yard = hive.yard.map_or_else(
        || "a store".to_owned(),
        |yard| format!("in {}", h.ground.yards[yard].label),
    );
    let followers = match hive.followers.as_slice() {
        [] => String::new(),
        some => format!(
            ", follower before place {}",
            some.iter()
                .map(ToString::to_string)
                .collect::<Vec<_>>()
                .join(" and ")
        ),
    };
    let rows = colony::bars(h, reader.books(), id);
    let mut blocks = vec![
        Block::text(format!("{} ({yard}{followers})", hive.label)),
        bars_table(reader, name, &rows),
    ];
    blocks.extend(looks::unfinished_block(reader, id));
    let strong = strong::strength_in_short(reader, id);
    if !strong.is_empty() {
        blocks.push(Block::List(strong));
    }
    let changes = looks::changes_in_short(reader, id);
    if !changes.is_empty() {
        blocks.push(Block::section("Since the look before", [Block::List(changes)]));
    }
    Some(blocks)
}

fn bars_table(reader: &Reader<'_>, name: &str, rows: &[colony::BarRow]) -> Block {
    // In a hive of one colony of its name a column for it would say the same in every row.
    let has_colonies = rows
        .iter()
        .filter_map(|bar| bar.colony.as_ref())
        .any(|colony| colony != name);
    let mut columns = vec![Column::amounts("Place"), Column::words("Tag")];
    if has_colonies {
        columns.push(Column::words("Colony"));
    }
    columns.extend(["Comb since", "Seen", "Last look said"].map(Column::words));
    let csv = reader.link(&format!("{}.csv?table=1", path(&["hive", name])));
    let table = Table::new(format!("The bars of {name}"), columns, "Nothing hangs here.").csv(csv);
    Block::Table(table.with(runs(rows).into_iter().map(|(bar, to)| {
        let mut contents = bar.contents.clone().unwrap_or_else(|| {
            if bar.has_comb {
                "comb, contents unknown".to_owned()
            } else {
                "bare bar".to_owned()
            }
        });
        if let Some(fault) = bar.fault.filter(|fault| !contents.contains(fault)) {
            contents.push_str(&format!("; {fault}"));
        }
        let contents = match bar.look {
            Some(look) => Words::linked(contents, super::note_path(reader.books(), look)),
            None => Words::new(contents),
        };
        let place = if bar.has_comb {
            let place = bar.place.to_string();
            Words::because(place.clone(), reason(reader, &["comb", name, &place]))
        } else if to > bar.place {
            Words::new(format!("{} to {to}", bar.place))
        } else {
            Words::amount(bar.place.to_string())
        };
        let mut cells = vec![place, Words::new(bar.tag.clone().unwrap_or_default())];
        if has_colonies {
            cells.push(Words::new(bar.colony.clone().unwrap_or_default()));
        }
        cells.extend([day(bar.comb_since), day(bar.looked_on), contents]);
        cells
    })))
}

/// Bars with the last place that is told with them: bare ones of which nothing else is known are told together.
fn runs(rows: &[colony::BarRow]) -> Vec<(&colony::BarRow, u16)> {
    let is_plain = |bar: &colony::BarRow| {
        !bar.has_comb && bar.tag.is_none() && bar.look.is_none() && bar.fault.is_none()
    };
    let mut told: Vec<(&colony::BarRow, u16)> = Vec::new();
    for bar in rows {
        match told.last_mut() {
            Some((first, to)) if is_plain(first) && is_plain(bar) && first.colony == bar.colony => {
                *to = bar.place;
            }
            _ => told.push((bar, bar.place)),
        }
    }
    told
}

fn actions(reader: &Reader<'_>, id: HiveId) -> Block {
    let h = reader.holding();
    let hive = h.hives[id].label.as_str();
    let bars = |verb: &str, form: usize| format!("/write/{verb}?form={form}&bars.hive={}", query(hive));
    let of = |verb: &str, form: usize, key: &str, name: &str| {
        format!("/write/{verb}?form={form}&{key}={}", query(name))
    };
    let colony = h
        .living_in(id)
        .next()
        .map(|colony| h.colonies[colony].label.to_string());
    let mut links = vec![("What was seen on a bar", bars("look", 0))];
    match &colony {
        Some(colony) => {
            links.push(("What was seen of the colony", of("look", 1, "colony", colony)));
            links.push(("The queen", of("queen", 0, "colony", colony)));
            links.push(("Queen cells", bars("queen-cells", 0)));
            links.push(("Feeding", of("feed", 0, "colony", colony)));
            links.push(("Combs split off", bars("split", 0)));
        }
        None => links.push(("Bees put in", of("install", 0, "hive", hive))),
    }
    links.push(("Bars added", of("add", 0, "hive", hive)));
    links.push(("Combs moved", bars("shift", 0)));
    links.push(("A follower", of("follower", 0, "hive", hive)));
    links.push(("Comb cut", bars("cut", 0)));
    links.push(("A comb at fault", bars("fault", 0)));
    links.push(("Anything else", "/write".to_owned()));
    to_write(&links)
}

/// A value in the query of an address.
fn query(value: &str) -> String {
    path(&[value]).split_off(1)
}
