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
        "baskerville-emin-1969" => "degree-days by a single sine",
        "baudoux-thickness" | "miner-thickness" => "the thickness of comb, beside what was measured",
        "bee-l-2005" | "cell-size-3-years" => "the width of cells, beside what was measured",
        "happyhour-2017" => "what is said about old comb",
        "seeley-2002" => "the share of drone comb, beside what was measured",
        "betts-1938" => "counting cells",
        "bogdanov-physical" => "the table that water from refraction is checked against",
        "brood-break-cvb" => "how long a colony without a laying queen has brood",
        "brood-stages-act" => "how many cells the stages of brood that were not said may be",
        "burgett-burikam-1985" => "what the bees on a comb are checked against",
        "citrus-scale-uc" => "degree-days by the average",
        "common-practice" => "when a comb counts as ripe; how long a colony may go without a look",
        "cornell-afb-2018" => "the days from egg to emerging",
        "drones-39-days" => "when drones for a mating are laid",
        "eighths-2020" => "the least honey in a full comb",
        "emergency-cells" => "how soon queen cells are begun",
        "felser-strength" => "the bees on a comb",
        "food-use-austria" => "what a colony eats in spring",
        "food-use-czechia" => "what the winter's use is checked against",
        "food-use-denmark" => "the most that a colony without much brood was measured to eat",
        "food-use-minnesota" => "what the winter's use is checked against",
        "from-memory" => {
            "the honey in a full comb; how well the area of one comb is estimated; parts of the winter's use and of the calendars"
        }
        "ghcn-daily" => "the layout of daily weather from an archive",
        "grafting-times" => "the days after a graft",
        "gs1-general" => "the check digit of article numbers",
        "harden-calendar" => "the days of a queen cell",
        "hive-and-honey-bee" => "how Brix and the water of honey differ",
        "larva-age" => "how old a larva may be to be made a queen",
        "laying-workers" => "when workers may lay",
        "met-eireann-degree-days" => "degree-days by four cases",
        "natural-cells-isef" => "the cells of a comb whose width was not measured",
        "norrstrom-2021" => "what whole colonies eat in winter, and its spread",
        "queen-development" => "the days of a queen, from egg to laying",
        "queen-late" => "when an unmated queen lays drones alone",
        "ripe-cells" => "when queen cells are given to mating colonies",
        "seeley-2019" => "what the winter's use is checked against",
        "seeley-morse-1976" => "the width of drone cells; what tree nests are like, beside what was measured",
        "simpson-1969" => "what the bees on a comb are checked against",
        "southwick-1985" => "what a cluster burns at 2 °C",
        "split-diary" => "when brood was seen after a split",
        "steinberg-stores" => "the reserve at the end of winter",
        "stores-bienenjournal" => "the beebread on a comb",
        "strength-beebook" => "how a comb is looked at to estimate a colony",
        "swarm-half" => "when a swarm leaves",
        "swarm-virgins" => "when casts follow a swarm",
        "virgin-ripening" => "when a virgin flies to mate",
        "wax-of-comb" => "the wax in a comb",
        "wedmore-1955" => "water in honey from its refraction",
        "white-1975" => "the density of honey",
        "worker-development" => "the days of worker and drone brood",
        _ => "calculators",
    }
}
