//! `show`: answers from the books, for people and for programs.

use std::time::Duration;

use apiary::ground::cutting::{Saw, Step};
use apiary::money::answers as money;
use apiary::note::nearest;
use app::{Office, Reader, sheets, wire};
use jiff::civil::Date;
use page::{Block, text};
use serde_json::{Value, json};

use super::opening::{office_for_answers, surroundings};
use crate::args::{Args, SawFlags, Topic};
use crate::exit::Failure;
use crate::output::Said;
use crate::patience::Patience;

pub(crate) fn run(args: &Args, topic: &Topic, on: Option<Date>) -> Result<Said, Failure> {
    use app::Surroundings as _;
    let office = office_for_answers(&args.books_path())?;
    let reader = office.reader(on, surroundings(args).today());
    answer(&reader, topic)
}

fn answer(reader: &Reader<'_>, topic: &Topic) -> Result<Said, Failure> {
    let (h, books) = (reader.holding(), reader.books());
    Ok(match topic {
        Topic::Round { yard: None } => told(&round_page(reader), wire::round(reader)),
        Topic::Round { yard: Some(yard) } => {
            let page = sheets::yard_round_of(reader, yard);
            named(
                "yard",
                yard,
                page.map(|page| vec![page]),
                wire::yard_round(reader, yard),
                h.ground.yard_labels.names(),
            )?
        }
        Topic::Calendar { hive, ics } => calendar(reader, hive.as_deref(), *ics)?,
        Topic::Swarms => told(&sheets::swarms_blocks(reader), wire::swarms(reader)),
        Topic::Yard => told(&sheets::yard_blocks(reader), wire::yard(h)),
        Topic::Hive { name } => {
            let blocks = sheets::hive_blocks(reader, name);
            named(
                "hive",
                name,
                blocks,
                wire::hive_told(reader, name),
                h.hive_labels.names(),
            )?
        }
        Topic::Meaning { name } => {
            let hive = h.hive_labels.get(name);
            named(
                "hive",
                name,
                hive.map(|hive| sheets::meaning_blocks(reader, hive)),
                wire::hive_and_meaning(reader, name),
                h.hive_labels.names(),
            )?
        }
        Topic::Workshop => told(
            &sheets::workshop_blocks(reader, sheets::Part::ALL),
            wire::workshop(reader),
        ),
        Topic::Pattern { name } => {
            let blocks = sheets::pattern_blocks(reader, name);
            named(
                "pattern",
                name,
                blocks,
                wire::pattern(reader, name),
                h.ground.pattern_labels.names(),
            )?
        }
        Topic::Cut { name, saw, seconds } => cut(reader, name, saw, *seconds)?,
        Topic::Compare => told(&sheets::compare_blocks(reader), wire::workshop(reader)),
        Topic::Ripe => told(
            &sheets::ripe_blocks(reader),
            wire::ripe(h, books, &|entry| reader.note(entry), reader.day()),
        ),
        Topic::Stock => told(&sheets::stock_blocks(reader), wire::stock(h)),
        Topic::Lot { name } => {
            let blocks = sheets::lot_blocks(reader, name, sheets::Part::ALL);
            named(
                "lot",
                name,
                blocks,
                wire::lot(h, books, name),
                h.stock.lot_labels.names(),
            )?
        }
        Topic::Balance => told(&sheets::balance_blocks(reader), wire::balance(h, books)),
        Topic::Yields => told(&sheets::yields_blocks(reader), wire::yields(h)),
        Topic::Cost { wage } => {
            let cost = money::cost(h, *wage);
            told(&sheets::cost_blocks(reader, &cost), wire::cost(&cost))
        }
        Topic::Cash => told(&sheets::cash_blocks(reader), wire::cash(h)),
        Topic::Complaints => {
            let complaints = reader.complaints();
            told(
                &sheets::complaint_blocks(reader, &complaints),
                wire::complaints(&complaints, books),
            )
        }
        Topic::Notes => notes(reader),
    })
}

/// A cutting list, searched for as long as was said.
fn cut(reader: &Reader<'_>, name: &str, flags: &SawFlags, seconds: u16) -> Result<Said, Failure> {
    let saw = saw(flags)?;
    let patience = Patience::of(Duration::from_secs(u64::from(seconds)));
    let mut keep_on = |step: Step<'_>| {
        let part = (step.group + 1) as f64 / step.of as f64;
        let gap = step.progress.gap().map_or_else(
            || "no list yet".to_owned(),
            |gap| format!("at most {:.2} % to be saved", 100.0 * gap),
        );
        let says = format!("thickness {} of {}: {gap}", step.group + 1, step.of);
        patience.keeps_on(part, says)
    };
    let names = || reader.holding().ground.pattern_labels.names();
    let worked =
        sheets::worked(reader, name, &saw, &mut keep_on).ok_or_else(|| unknown("pattern", name, names()))?;
    let json = wire::cut(reader, worked.as_ref().map_err(String::as_str));
    let worked = worked.map_err(|lacking| {
        Failure::Refused(format!(
            "The parts follow once the pattern can be built: {lacking}."
        ))
    })?;
    let mut blocks = sheets::cut_blocks(reader, &worked);
    blocks.extend(
        patience
            .notes()
            .into_iter()
            .map(|note| Block::text(format!("Note: {note}."))),
    );
    Ok(told(&blocks, json))
}

/// How it is sawn, as flags say it.
pub(crate) fn saw(flags: &SawFlags) -> Result<Saw, Failure> {
    let asked = sheets::CutAsked {
        hives: flags.hives.to_string(),
        kerf: flags.kerf.clone(),
        edge: flags.edge.clone(),
        order: flags.order.clone(),
        from: if flags.from_hand { "hand" } else { "all" }.to_owned(),
    };
    asked
        .saw()
        .map_err(|(field, fits)| Failure::Refused(format!("--{field}: here fits {fits}.")))
}

fn calendar(reader: &Reader<'_>, hive: Option<&str>, ics: bool) -> Result<Said, Failure> {
    let h = reader.holding();
    let id = hive.and_then(|hive| h.hive_labels.get(hive));
    if let (Some(hive), None) = (hive, id) {
        return named("hive", hive, None, None, h.hive_labels.names());
    }
    let json = wire::calendar(reader, id);
    if ics {
        return Ok(Said::new(sheets::feed(reader, id, false), json));
    }
    let mut blocks = sheets::calendar_blocks(reader, id);
    if blocks.is_empty() {
        blocks.push(Block::text("No bees live there, so no dates follow."));
    }
    Ok(told(&blocks, json))
}

fn told(blocks: &[Block], json: Value) -> Said {
    Said::new(text::blocks(blocks), json)
}

fn named<'a>(
    what: &str,
    name: &str,
    blocks: Option<Vec<Block>>,
    json: Option<Value>,
    known: impl Iterator<Item = &'a str>,
) -> Result<Said, Failure> {
    match blocks.zip(json) {
        Some((blocks, json)) => Ok(told(&blocks, json)),
        None => Err(unknown(what, name, known)),
    }
}

/// Nothing of that name, with the one that may be meant.
pub(crate) fn unknown<'a>(what: &str, name: &str, known: impl Iterator<Item = &'a str>) -> Failure {
    let near = nearest(name, known).map_or_else(String::new, |near| format!(" Did you mean {near}?"));
    Failure::Refused(format!("No {what} is called {name} in these books.{near}"))
}

/// The round of the day.
pub(crate) fn round(office: &Office, on: Option<Date>, today: Date) -> Said {
    let reader = office.reader(on, today);
    told(&round_page(&reader), wire::round(&reader))
}

fn round_page(reader: &Reader<'_>) -> Vec<Block> {
    vec![Block::section(
        format!("The round of {}", reader.day()),
        sheets::round_blocks(reader),
    )]
}

/// What is odd, for the terminal.
pub(crate) fn complaints_text(reader: &Reader<'_>) -> String {
    text::blocks(&sheets::complaint_blocks(reader, &reader.complaints()))
}

fn notes(reader: &Reader<'_>) -> Said {
    let standing: Vec<(String, String)> = reader
        .standing()
        .map(|entry| reader.entry(entry))
        .map(|entry| {
            (
                entry.handle().to_string(),
                entry.note.as_deref().unwrap_or_default().to_owned(),
            )
        })
        .collect();
    let text = standing
        .iter()
        .map(|(handle, note)| format!("{handle:<14} {note}\n"))
        .collect::<String>();
    let json = json!({ "notes": standing.iter().map(|(handle, note)| json!({"handle": handle, "note": note})).collect::<Vec<_>>() });
    Said::new(text, json)
}
