//! Patterns side by side, on one page.

use apiary::arena::PatternId;
use apiary::ground::design::{follows, parts, weight};
use apiary::ground::workshop::took;
use page::{Block, Column, Page, Table, Words};
use quantity::Money;
use reckon::sources::{FROM_MEMORY, MITCHELL_2016};

use super::super::meaning::by;
use super::cut::{CUT_STEPS, CutAsked, for_steps, worked};
use super::{pattern_link, warm};
use crate::reader::Reader;

/// Patterns side by side.
pub fn compare(reader: &Reader<'_>) -> Page {
    let mut page = Page::new("Patterns side by side").with(compare_blocks(reader));
    page.blocks.push(super::super::on_paper(
        reader,
        &[("This page", "/print/workshop/compare.pdf".to_owned())],
    ));
    page
}

/// The parts of that page.
pub fn compare_blocks(reader: &Reader<'_>) -> Vec<Block> {
    let h = reader.holding();
    let columns = vec![
        Column::words("Pattern"),
        Column::amounts("Litres"),
        Column::amounts("Bars"),
        Column::amounts("Honey on a bar kg"),
        Column::amounts("Load g/cm"),
        Column::amounts("W/K"),
        Column::amounts("Empty kg"),
        Column::words("Boards to buy"),
        Column::amounts("Hives built"),
        Column::amounts("Hours each"),
        Column::amounts("Material each"),
    ];
    let rows = h.ground.patterns.iter().map(|(id, _)| row(reader, id));
    let table = Table::new("Patterns side by side", columns, "No pattern is described yet.")
        .with(rows)
        .csv(reader.link("/workshop/compare?table=1"));
    vec![
        Block::Table(table),
        Block::text(
            Words::new("W/K is good to ±20 % at best, for data of materials are no better; so are weights (")
                .and(by(reader, &FROM_MEMORY))
                .plain("). For 2 kg of bees a hive of common boards loses more than 2.5 W/K, and bees in trees do with 0.4 (")
                .and(by(reader, &MITCHELL_2016))
                .plain("). Boards to buy are those of one hive beside the wood on hand; hours and material are those of hives that were built."),
        ),
    ]
}

/// What boards for one hive would cost beside the wood on hand.
fn boards(reader: &Reader<'_>, name: &str) -> String {
    let saw = CutAsked::default()
        .saw()
        .expect("BUG: nothing asked is what is usual");
    match worked(reader, name, &saw, &mut for_steps(CUT_STEPS)) {
        Some(Ok(worked)) if !worked.cutting.is_whole() => "boards are lacking".to_owned(),
        Some(Ok(worked)) => match worked.cutting.cost() {
            Some(cost) if worked.cutting.is_priced(&reader.holding().workshop) => cost.to_string(),
            _ => "no price".to_owned(),
        },
        Some(Err(_)) | None => String::new(),
    }
}

fn row(reader: &Reader<'_>, id: PatternId) -> Vec<Words> {
    let h = reader.holding();
    let pattern = &h.ground.patterns[id];
    let told = follows(pattern);
    let told = told.as_ref();
    let took = took(h, id);
    let amount = |value: Option<String>| value.map_or_else(Words::default, Words::amount);
    let material = took.material_each.map(|(minor, currency)| {
        let money = Money::new(libm::round(minor) as i64, currency);
        money.to_string()
    });
    vec![
        pattern_link(reader, pattern.label.as_str()),
        amount(told.and_then(|told| Some(format!("{:.1}", told.volume?.to_l())))),
        amount(told.and_then(|told| Some(told.bars?.to_string()))),
        amount(told.and_then(|told| Some(format!("{:.1}", told.honey_g?.value() / 1_000.0)))),
        amount(told.and_then(|told| Some(format!("{:.0}", told.load_g_per_cm?)))),
        amount(
            warm::loss(pattern)
                .ok()
                .map(|loss| format!("{:.1}", loss.ua_w_per_k.value())),
        ),
        amount(
            parts(pattern)
                .ok()
                .map(|parts| format!("{:.0}", weight(pattern, &parts).empty_kg)),
        ),
        Words::new(boards(reader, pattern.label.as_str())),
        amount((took.hives > 0).then(|| took.hives.to_string())),
        amount(took.minutes_each.map(|minutes| format!("{:.1}", minutes / 60.0))),
        amount(material),
    ]
}
