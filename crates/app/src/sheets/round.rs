//! The round: what needs doing and seeing to on a day.

use apiary::Holding;
use jiff::civil::Date;
use page::{Block, Page, Words};

use super::{complaint_blocks, hive_link, honey, money, reason, stall, to_write};
use crate::reader::Reader;

/// How long a living colony may go without a look before the round names it, in days, in the season and in
/// winter (common practice, no source).
const LOOK_WITHIN_SEASON: i32 = 14;
const LOOK_WITHIN_WINTER: i32 = 42;

/// The round of the day.
pub fn round(reader: &Reader<'_>) -> Page {
    let title = format!("The round of {}", reader.day());
    let mut page = Page::new(title);
    if reader.books().entries().is_empty() {
        page.blocks.extend(beginning());
    }
    page.blocks.extend(yards(reader));
    page.with(round_blocks(reader))
        .with([to_write(&[
            ("What was seen on a bar", "/write/look".to_owned()),
            ("Comb cut", "/write/cut".to_owned()),
            ("Bars added", "/write/add".to_owned()),
            ("Jars sold", "/write/sell?form=4".to_owned()),
            ("Hours worked", "/write/hours".to_owned()),
            ("Anything else", "/write".to_owned()),
        ])])
        .with([super::on_paper(
            reader,
            &[
                ("Look cards of all hives", "/print/cards.pdf".to_owned()),
                ("Blank look card", "/print/blank.pdf".to_owned()),
                ("This round", "/print/round.pdf".to_owned()),
            ],
        )])
}

/// What a new book is told first.
fn beginning() -> Vec<Block> {
    vec![
        Block::text("These books are empty. They begin with the first note; there is nothing to set up."),
        Block::List(vec![
            Words::new("Say what the farm is called: ").link("farm", "/write/farm"),
            Words::new("where hives stand: ").link("yard", "/write/yard"),
            Words::new("what the hives are like inside: ").link("pattern", "/write/pattern"),
            Words::new("and each hive: ").link("hive", "/write/hive"),
            Words::new("What is there already is told by ").link("start", "/write/start?form=1"),
            Words::new("Or bring in what stands in a spreadsheet: ").link("import", "/books/import"),
        ]),
    ]
}

/// The ways to the rounds of the yards; nothing where no hive stands in one.
fn yards(reader: &Reader<'_>) -> Option<Block> {
    let h = reader.holding();
    let mut words = Words::new("Round by round: ");
    let mut some = false;
    for (id, yard) in h.ground.yards.iter().filter(|(_, yard)| !yard.closed) {
        let stands = h
            .hives
            .iter()
            .any(|(_, hive)| hive.yard == Some(id) && !hive.gone && !hive.is_store());
        if stands {
            if some {
                words = words.plain(" · ");
            }
            words = words.link(
                yard.label.to_string(),
                reader.link(&super::path(&["round", yard.label.as_str()])),
            );
            some = true;
        }
    }
    some.then_some(Block::Text(words))
}

/// The parts of the round.
pub fn round_blocks(reader: &Reader<'_>) -> Vec<Block> {
    let h = reader.holding();
    let complaints = reader.complaints();
    vec![
        Block::section(
            "To see",
            listed(to_see(reader), "No colony is overdue for a look."),
        ),
        Block::section("Calendar", super::calendar::soon(reader)),
        Block::section(
            "To mend",
            listed(
                faults(reader),
                "No comb is known to be crossed, fallen or broken.",
            ),
        ),
        Block::section("Due", listed(owing(reader), "No order or invoice is open.")),
        Block::section("Ripe", honey::ripe_blocks(reader)),
        Block::section("Stock", stall::in_short(reader)),
        Block::section(
            "Cost",
            money::cost_blocks(reader, &apiary::money::answers::cost(h, None)),
        ),
        Block::section("Odd", first_complaints(reader, &complaints)),
    ]
}

/// How many complaints the round tells before it leads to the others.
const MOST_ODD: usize = 20;

fn first_complaints(reader: &Reader<'_>, complaints: &[apiary::Complaint]) -> Vec<Block> {
    let told = &complaints[..complaints.len().min(MOST_ODD)];
    let mut blocks = complaint_blocks(reader, told);
    if told.len() < complaints.len() {
        blocks.push(Block::Text(Words::linked(
            format!("All {} things that are odd", complaints.len()),
            reader.link("/books/complaints"),
        )));
    }
    blocks
}

/// Orders whose day has not passed, and invoices that are not paid in full.
fn owing(reader: &Reader<'_>) -> Vec<Words> {
    let stock = &reader.holding().stock;
    let orders = stock
        .orders
        .iter()
        .filter(|order| order.by.is_none_or(|by| by >= reader.day()));
    let orders = orders.map(|order| {
        let by = order.by.map_or_else(String::new, |by| format!(" by {by}"));
        super::handle(reader, order.entry).plain(format!(": {} ordered {}{by}.", order.person, order.goods))
    });
    let invoices = stock.invoices.values().filter(|invoice| invoice.owed() > 0);
    let invoices = invoices.map(|invoice| {
        let owed = quantity::Money::new(invoice.owed(), invoice.amount.currency());
        let due = invoice.due.map_or_else(String::new, |due| format!(", due {due}"));
        super::handle(reader, invoice.entry)
            .plain(format!(": {} owes ", invoice.person))
            .number(
                owed.to_string(),
                None,
                Some(super::note_path(reader.books(), invoice.entry)),
            )
            .plain(format!(" on invoice {}{due}.", invoice.number))
    });
    orders.chain(invoices).collect()
}

fn listed(items: Vec<Words>, nothing: &str) -> Vec<Block> {
    if items.is_empty() {
        vec![Block::text(nothing)]
    } else {
        vec![Block::List(items)]
    }
}

/// Colonies not seen for long, as words for a program: the longest first.
pub(crate) fn to_see_words(h: &Holding, today: Date) -> Vec<String> {
    due(h, today)
        .into_iter()
        .map(|due| {
            format!(
                "{}{}: last looked at {} days ago",
                due.colony, due.place, due.days
            )
        })
        .chain(quarantined(h).map(|hive| format!("{hive} is kept apart: move nothing out of it")))
        .collect()
}

struct Due {
    days: i32,
    colony: String,
    hive: String,
    place: String,
}

fn due(h: &Holding, today: Date) -> Vec<Due> {
    let within = if (4..=9).contains(&today.month()) {
        LOOK_WITHIN_SEASON
    } else {
        LOOK_WITHIN_WINTER
    };
    let living = h.colonies.iter().map(|(_, colony)| colony);
    let mut due: Vec<Due> = living
        .filter(|colony| colony.lives())
        .filter_map(|colony| {
            let days = (today - colony.last_look.unwrap_or(colony.since)).get_days();
            let hive = h.hives[colony.hive].label.to_string();
            let place = if hive == colony.label.as_str() {
                String::new()
            } else {
                format!(" in {hive}")
            };
            (days > within).then(|| Due {
                days,
                colony: colony.label.to_string(),
                hive,
                place,
            })
        })
        .collect();
    due.sort_by(|a, b| b.days.cmp(&a.days).then_with(|| a.colony.cmp(&b.colony)));
    due
}

fn quarantined(h: &Holding) -> impl Iterator<Item = String> + '_ {
    let hives = h.hives.iter().map(|(_, hive)| hive);
    hives
        .filter(|hive| hive.quarantined && !hive.gone)
        .map(|hive| hive.label.to_string())
}

fn to_see(reader: &Reader<'_>) -> Vec<Words> {
    let h = reader.holding();
    let waiting = due(h, reader.day()).into_iter().map(|due| {
        let why = reason(reader, &["colony", &due.colony]);
        Words::linked(
            format!("{}{}", due.colony, due.place),
            reader.link(&super::path(&["hive", &due.hive])),
        )
        .plain(": last looked at ")
        .number(due.days.to_string(), None, Some(why))
        .plain(" days ago.")
    });
    let apart =
        quarantined(h).map(|hive| hive_link(reader, &hive).plain(" is kept apart: move nothing out of it."));
    waiting.chain(apart).collect()
}

/// Combs found crossed, fallen or broken, as words for a program.
pub(crate) fn faults_words(h: &Holding) -> Vec<String> {
    found(h)
        .map(|(hive, place, fault)| format!("{hive} bar {place}: {fault}"))
        .collect()
}

fn found(h: &Holding) -> impl Iterator<Item = (String, u16, &'static str)> + '_ {
    let hives = h.hives.iter().map(|(_, hive)| hive);
    hives
        .filter(|hive| !hive.gone && !hive.is_store())
        .flat_map(move |hive| {
            hive.bars.iter().zip(1u16..).filter_map(move |(bar, place)| {
                let fault = h.combs[h.bars[*bar].comb?].fault.as_ref()?;
                Some((hive.label.to_string(), place, fault.what))
            })
        })
}

fn faults(reader: &Reader<'_>) -> Vec<Words> {
    found(reader.holding())
        .map(|(hive, place, fault)| hive_link(reader, &hive).plain(format!(" bar {place}: {fault}.")))
        .collect()
}
