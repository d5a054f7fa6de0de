//! Where every number that is not the keeper's own comes from.

use page::{Block, Page, Words};
use quantity::Seen;
use reckon::sources;

use crate::reader::Reader;

/// The publications, each under its id.
pub fn sources(_reader: &Reader<'_>) -> Page {
    let intro = [
        Block::text(
            "Numbers in these pages come from the notes, and lead to them. Where an equation or a published figure was used, it is one of these.",
        ),
        Block::text(
            "A source that nobody has read at its own text is marked so: what is taken from it is remembered or second-hand, and may not leave the farm as published.",
        ),
    ];
    let all = sources::ALL.iter().map(|source| {
        let year = source
            .year
            .map_or_else(|| "year not known".to_owned(), |year| year.to_string());
        let mut facts = Vec::new();
        if !source.author.is_empty() {
            facts.push(("By".to_owned(), Words::new(format!("{}, {year}", source.author))));
        }
        facts.push(("Title".to_owned(), Words::new(source.title)));
        if !source.publisher.is_empty() {
            facts.push(("Published".to_owned(), Words::new(source.publisher)));
        }
        facts.push((
            "Read".to_owned(),
            Words::new(match source.seen {
                Seen::At { address, on } => format!("at {address} on {on}"),
                Seen::NotYet => "not at its own text".to_owned(),
            }),
        ));
        facts.push(("Used for".to_owned(), Words::new(used_for(source.id))));
        Block::section(source.id, [Block::Facts(facts)])
    });
    Page::new("Sources").with(intro).with(all)
}

/// What a source is used for in these pages and in the calculators.
fn used_for(id: &str) -> &'static str {
    match id {
        "betts-1938" => "counting cells",
        "bogdanov-physical" => "the table that water from refraction is checked against",
        "common-practice" => "when a comb counts as ripe; how long a colony may go without a look",
        "eighths-2020" => "the least honey in a full comb",
        "from-memory" => "the honey in a full comb; how well the area of one comb is estimated",
        "gs1-general" => "the check digit of article numbers",
        "hive-and-honey-bee" => "how Brix and the water of honey differ",
        "wedmore-1955" => "water in honey from its refraction",
        "white-1975" => "the density of honey",
        _ => "calculators",
    }
}
