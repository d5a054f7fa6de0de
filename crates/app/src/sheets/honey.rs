//! The honey house: ripe combs, containers and what they balance to, what each hive gave.

use apiary::colony::answers as colony;
use apiary::honey::answers as honey;
use page::{Block, Column, Page, Table, Words};

use super::figures::{between, kg, maybe_kg, percent};
use super::{Part, container_link, hive_link, note_path, notes_table, part_of, path, reason, to_write};
use crate::reader::Reader;

/// The honey house.
pub fn honey_house(reader: &Reader<'_>, part: Part) -> Page {
    Page::new("Honey house").with([
        Block::section("Ripe", ripe_blocks(reader)),
        Block::section("Containers", balance_table(reader, part.halved())),
        Block::section("What each hive gave", yields_blocks(reader)),
        to_write(&[
            ("Comb cut", "/write/cut".to_owned()),
            ("A container weighed", "/write/weigh".to_owned()),
            ("Comb crushed", "/write/crush".to_owned()),
            ("Comb strained", "/write/strain".to_owned()),
            ("Water read", "/write/read".to_owned()),
            ("Jars filled", "/write/fill".to_owned()),
            ("Residue melted", "/write/melt".to_owned()),
            ("Wax cast", "/write/cast".to_owned()),
            ("A batch made", "/write/make".to_owned()),
        ]),
        Block::care("Hot wax burns: melt it in a water bath only, never over an open flame, and never put water on burning wax."),
        Block::care("Honey is not for infants under one year."),
    ])
}

/// Combs last seen ripe.
pub fn ripe_blocks(reader: &Reader<'_>) -> Vec<Block> {
    let notes = |entry| reader.note(entry);
    let ripe = colony::ripe(reader.holding());
    if ripe.is_empty() {
        return vec![Block::text(
            "No comb was last seen ripe (capped for three quarters of what is drawn, and no brood).",
        )];
    }
    let columns = vec![
        Column::words("Hive"),
        Column::amounts("Bar"),
        Column::amounts("Capped %"),
        Column::words("Seen"),
        Column::words("Brood"),
        Column::words("Set aside because"),
    ];
    let rows = ripe.iter().map(|ripe| {
        vec![
            hive_link(reader, &ripe.hive),
            Words::amount(ripe.place.to_string()),
            Words::because(percent(ripe.capped), note_path(reader.books(), ripe.look)),
            super::day(reader.holding().combs[ripe.comb].looked_on),
            Words::new(if ripe.brood_told { "none" } else { "not told" }),
            super::meaning::asides_said(reader, &ripe.asides(reader.holding(), reader.day(), &notes)),
        ]
    });
    vec![
        Block::Table(Table::new("Combs last seen ripe", columns, "").with(rows)),
        Block::text(
            Words::new("Leave the winter's share, and look again first where the look is old or told nothing of brood. Ripe means capped for three quarters and no brood seen (")
                .link(
                    "common practice, no source",
                    reader.link("/sources#common-practice"),
                )
                .plain(")."),
        ),
    ]
}

/// The mass balance of every batch.
pub fn balance_blocks(reader: &Reader<'_>) -> Vec<Block> {
    balance_table(reader, Part::ALL)
}

fn balance_table(reader: &Reader<'_>, part: Part) -> Vec<Block> {
    let h = reader.holding();
    // What is in use comes first, and of the others the newest.
    let mut batches: Vec<_> = h.house.batches.iter().map(|(id, _)| id).collect();
    batches.reverse();
    batches.sort_by_key(|batch| h.house.batches[*batch].ended.is_some());
    let columns = vec![
        Column::words("Container"),
        Column::words("Since"),
        Column::words("Holds"),
        Column::amounts("In"),
        Column::amounts("Honey out"),
        Column::amounts("Other out"),
        Column::amounts("Residue"),
        Column::amounts("Loss"),
        Column::amounts("Unaccounted"),
        Column::amounts("Left"),
    ];
    let table = Table::new("Containers, in kg", columns, "No container was filled yet.")
        .csv(reader.link("/honey.csv?table=2"));
    let to = |number| reader.link(&format!("/honey?part={number}"));
    let table = part_of(table, &batches, part, to, |batch| {
        let balance = honey::balance(h, *batch);
        let why = reason(reader, &["batch", &balance.name, &balance.begun.to_string()]);
        let came_in = match (balance.in_kg, balance.in_estimate_kg) {
            (None, Some(estimate)) => Words::because(format!("about {:.1}", estimate.kg), why.clone()),
            (in_kg, _) => maybe_kg(in_kg, &why),
        };
        vec![
            container_link(reader, &balance.name),
            Words::new(balance.begun.to_string()),
            Words::new(balance.kind),
            came_in,
            Words::because(kg(balance.honey_kg), why.clone()),
            Words::because(kg(balance.other_kg), why.clone()),
            Words::because(kg(balance.residue_kg), why.clone()),
            Words::because(kg(balance.loss_kg), why.clone()),
            maybe_kg(balance.unaccounted_kg, &why),
            maybe_kg(balance.left_kg, &why),
        ]
    });
    vec![
        Block::Table(table),
        Block::text("All in kg. In = honey out + other out + residue + loss + unaccounted + left."),
    ]
}

/// What each hive gave.
pub fn yields_blocks(reader: &Reader<'_>) -> Vec<Block> {
    let columns = vec![
        Column::words("Hive"),
        Column::amounts("Combs cut"),
        Column::amounts("Comb kg"),
        Column::words("From – to"),
        Column::amounts("Honey kg"),
        Column::amounts("Wax kg"),
    ];
    let yields = reader.yields();
    let rows = yields.iter().map(|row| {
        let why = reason(reader, &["yield", &row.hive]);
        vec![
            hive_link(reader, &row.hive),
            Words::because(row.combs.to_string(), why.clone()),
            Words::because(kg(row.comb.kg), why.clone()),
            Words::new(between(row.comb)),
            Words::because(kg(row.honey_kg), why.clone()),
            Words::because(kg(row.wax_kg), why),
        ]
    });
    let table = Table::new("What each hive gave", columns, "No hive is in these books yet.")
        .with(rows)
        .csv(reader.link("/honey.csv?table=3"));
    vec![
        Block::Table(table),
        Block::text(
            Words::new("Where combs of several hives lay in one pail, its kilos are shared by estimated comb area; the interval takes single combs to be estimated within a quarter (")
                .link("from memory", reader.link("/sources#from-memory"))
                .plain(")."),
        ),
    ]
}

/// How many combs and how many notes of a filling are told.
const MOST_ROWS: usize = 50;

/// How many fillings of a container are told at once.
const MOST_BATCHES: usize = 4;

/// A container and everything it has held. `None` if there is no such container.
pub fn container(reader: &Reader<'_>, name: &str, part: Part) -> Option<Page> {
    let h = reader.holding();
    let id = h.house.vessel_labels.get(name)?;
    let vessel = &h.house.vessels[id];
    let mut page = Page::new(vessel.label.to_string());
    let part = Part {
        rows: part.rows.min(MOST_BATCHES),
        ..part
    };
    let range = part.range(vessel.batches.len());
    for batch in vessel.batches.iter().rev().skip(range.start).take(range.len()) {
        let balance = honey::balance(h, *batch);
        let why = reason(reader, &["batch", &balance.name, &balance.begun.to_string()]);
        let until = balance
            .ended
            .map_or_else(String::new, |day| format!(", emptied {day}"));
        let mut facts = vec![("Holds".to_owned(), Words::new(balance.kind.clone()))];
        let mut fact = |name: &str, kg: Option<f64>| {
            facts.push((name.to_owned(), maybe_kg(kg, &why).plain(" kg")));
        };
        fact("In", balance.in_kg);
        fact("Honey out", Some(balance.honey_kg));
        fact("Other out", Some(balance.other_kg));
        fact("Residue", Some(balance.residue_kg));
        fact("Loss stated", Some(balance.loss_kg));
        fact("Unaccounted", balance.unaccounted_kg);
        fact("Left", balance.left_kg);
        if balance.wax_kg > 0.0 {
            fact("Wax melted from its residue", Some(balance.wax_kg));
        }
        let mut blocks = vec![Block::Facts(facts)];
        blocks.extend(combs(reader, &h.house.batches[*batch]));
        let told = &balance.entries[..balance.entries.len().min(MOST_ROWS)];
        blocks.push(Block::Table(notes_table(
            reader,
            "Notes",
            told,
            Part::ALL,
            |_| String::new(),
        )));
        if told.len() < balance.entries.len() {
            blocks.push(Block::Text(Words::linked(
                format!("All {} notes", balance.entries.len()),
                why.clone(),
            )));
        }
        page.blocks
            .push(Block::section(format!("Since {}{until}", balance.begun), blocks));
    }
    let to = |number| reader.link(&format!("{}?part={number}", path(&["container", name])));
    let pager = part.pager(vessel.batches.len(), to);
    page.blocks.extend(pager.map(super::other_parts));
    let of = |verb: &str| format!("/write/{verb}?container={}", &path(&[name])[1..]);
    Some(page.with([to_write(&[
        ("Weighed", of("weigh")),
        ("Strained", of("strain")),
        ("Water read", of("read")),
        ("Jars filled", of("fill")),
        ("Residue melted", of("melt")),
        ("Something thrown away", of("discard")),
    ])]))
}

fn combs(reader: &Reader<'_>, batch: &apiary::honey::state::Batch) -> Option<Block> {
    if batch.parts.is_empty() {
        return None;
    }
    let h = reader.holding();
    let columns = vec![
        Column::words("Hive"),
        Column::amounts("Bar"),
        Column::words("Cut on"),
        Column::amounts("Comb kg"),
        Column::words("From – to"),
    ];
    let masses = honey::part_masses(batch);
    let cut = match batch.parts.len().checked_sub(MOST_ROWS) {
        None | Some(0) => "Combs cut into it".to_owned(),
        Some(_) => format!("The first {MOST_ROWS} of {} combs cut into it", batch.parts.len()),
    };
    let rows = batch
        .parts
        .iter()
        .zip(masses)
        .take(MOST_ROWS)
        .map(|(part, mass)| {
            vec![
                hive_link(reader, h.hives[part.hive].label.as_str()),
                Words::amount(part.place.to_string()),
                Words::new(part.cut_on.to_string()),
                Words::because(kg(mass.kg), note_path(reader.books(), part.entry)),
                Words::new(between(mass)),
            ]
        });
    Some(Block::Table(Table::new(cut, columns, "").with(rows)))
}
