//! What the looks at a hive mean, told in sentences with their days: room, signs of swarming, where a bar may be put,
//! honey in the nest, combs to mend, ripe combs after winter's share, winter, follower, heat and robbing.
//!
//! Holds true: nothing here is a score or an order; each sentence leads to its notes or to its source.
//!
//! Start at [`meaning_blocks`]; winter, harvest and cautions are told in `meaning/stores.rs` and `meaning/care.rs`.

mod care;
mod stores;

use apiary::arena::HiveId;
use apiary::colony::meaning::{self, Advice, Bound, Due, Fault, Part, Room, Sign, SignKind};
use jiff::ToSpan as _;
use jiff::civil::Date;
use page::{Block, Words};
use quantity::{Estimate, Source};

use super::figures::percent;
use super::handle;
use crate::reader::Reader;

pub(super) use stores::asides_said;

/// What the looks at a hive mean, a section for each colony in it. Nothing for a store.
pub fn meaning_blocks(reader: &Reader<'_>, hive: HiveId) -> Vec<Block> {
    let h = reader.holding();
    if h.hives[hive].is_store() {
        return Vec::new();
    }
    let notes = |entry| reader.note(entry);
    let parts = meaning::parts(h, hive, reader.day(), &notes);
    if parts.is_empty() {
        let mut blocks = vec![Block::text(
            "No bees live here, so nothing can be said of room, swarming or winter.",
        )];
        blocks.extend(stores::ripe_without_bees(reader, hive));
        return vec![Block::section("What it means", blocks)];
    }
    let several = parts.len() > 1;
    let told = parts.iter().map(|part| {
        let label = &h.colonies[part.colony].label;
        let heading = if several {
            format!("What it means for {label}, places {} to {}", part.from, part.to)
        } else {
            "What it means".to_owned()
        };
        Block::section(heading, part_blocks(reader, part))
    });
    told.collect()
}

fn part_blocks(reader: &Reader<'_>, part: &Part<'_>) -> Vec<Block> {
    let room = meaning::room(part);
    let bound = meaning::bound(part);
    let yard = reader.holding().hives[part.hive].yard;
    let weather = yard.and_then(|yard| reader.weather(yard));
    let winter = meaning::winter_check(part, weather.as_deref());
    let signs = meaning::signs(part, &room, &bound);
    let mending = meaning::mending(part, &room);
    vec![
        Block::section(
            "Room",
            [Block::List(room_said(reader, &room, part.building_ends()))],
        ),
        Block::section("Signs of swarming", signs_said(reader, &signs)),
        Block::section("Where a bar may be put", places_said(reader, part, &room)),
        Block::section("Honey in the brood nest", bound_said(reader, &bound)),
        Block::section("To mend", mending_said(reader, &mending)),
        Block::section(
            "Ripe, after winter's share",
            stores::harvest_said(reader, &meaning::harvest(part, &winter)),
        ),
        Block::section("Winter", stores::winter_said(reader, part, &winter)),
        Block::section("Follower", care::follower_said(reader, &meaning::follower(part))),
        Block::section(
            "Heat and robbing",
            care::care_said(
                reader,
                &meaning::heat(part, weather.as_deref()),
                &meaning::robbing(part),
            ),
        ),
    ]
}

/// A source by its id, leading to the page of sources.
pub(super) fn by(reader: &Reader<'_>, source: &Source) -> Words {
    Words::linked(source.id, reader.link(&format!("/sources#{}", source.id)))
}

/// Notes by their handles, in brackets; nothing for none. Of many, the newest are named.
pub(super) fn noted(reader: &Reader<'_>, entries: &[usize]) -> Words {
    const MOST: usize = 4;
    let mut words = Words::default();
    let skipped = entries.len().saturating_sub(MOST);
    for (n, entry) in entries[skipped..].iter().enumerate() {
        words = words
            .plain(if n == 0 { " (" } else { ", " })
            .and(handle(reader, *entry));
    }
    match (entries.is_empty(), skipped) {
        (true, _) => words,
        (false, 0) => words.plain(")"),
        (false, more) => words.plain(format!(", and {more} more)")),
    }
}

/// Places with the word for them: `bar 4`, `bars 4, 6 and 7`, `bars 5 to 9 and 11`.
pub(super) fn bars(places: &[u16]) -> String {
    let mut runs: Vec<(u16, u16)> = Vec::new();
    for place in places {
        match runs.last_mut() {
            Some((_, to)) if *to + 1 == *place => *to = *place,
            _ => runs.push((*place, *place)),
        }
    }
    let said: Vec<String> = runs
        .iter()
        .flat_map(|(from, to)| match to - from {
            0 => vec![from.to_string()],
            1 => vec![from.to_string(), to.to_string()],
            _ => vec![format!("{from} to {to}")],
        })
        .collect();
    let word = if places.len() == 1 { "bar" } else { "bars" };
    format!("{word} {}", listed(&said))
}

/// Words with commas and a last `and`.
pub(super) fn listed(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [all @ .., last] => format!("{} and {last}", all.join(", ")),
    }
}

/// A count of combs: one decimal, none where it is whole.
fn combs(value: f64) -> String {
    let text = format!("{value:.1}");
    text.strip_suffix(".0").unwrap_or(&text).to_owned()
}

/// `1 full comb`, `2.5 full combs`.
fn full_combs(count: String) -> String {
    let word = if count == "1" { "full comb" } else { "full combs" };
    format!("{count} {word}")
}

/// An estimate of combs, with its bounds where there are any.
fn combs_between(of: Estimate) -> String {
    let (lo, value, hi) = (combs(of.lo()), combs(of.value()), combs(of.hi()));
    if lo == hi {
        value
    } else {
        format!("{value} ({lo} to {hi})")
    }
}

/// A day so many days on.
fn on(from: Date, days: f64) -> Option<Date> {
    let days = days.round();
    (days < 3_660.0).then(|| from.saturating_add((days as i64).days()))
}

fn room_said(reader: &Reader<'_>, room: &Room, season_ends: Date) -> Vec<Words> {
    let mut said = Vec::new();
    let left = if room.to_draw.hi() <= 0.0 {
        Words::new("Every bar of its places is drawn to the end")
    } else {
        Words::new(format!("Left to draw: {} combs", combs_between(room.to_draw)))
    };
    said.push(left.and(noted(reader, &room.entries)).plain("."));
    if !room.bare.is_empty() {
        let verb = if room.bare.len() == 1 { "is" } else { "are" };
        said.push(Words::new(sentence(&format!("{} {verb} bare", bars(&room.bare)))));
    }
    if !room.partly.is_empty() {
        let each: Vec<String> = room
            .partly
            .iter()
            .map(|(place, drawn)| format!("bar {place} is drawn to {} %", percent(*drawn)))
            .collect();
        said.push(Words::new(sentence(&listed(&each))));
    }
    if !room.unknown.is_empty() {
        said.push(Words::new(format!(
            "No look said how far {} {} drawn: each counts from nothing to one.",
            bars(&room.unknown),
            if room.unknown.len() == 1 { "is" } else { "are" }
        )));
    }
    if room.beyond > 0 {
        said.push(Words::new(format!(
            "{} more places lie beyond the follower.",
            room.beyond
        )));
    }
    match &room.drawing {
        None => said.push(Words::new(
            "How fast combs are drawn, and when all will be, cannot be said: it takes looks at the combs on two days within six weeks.",
        )),
        Some(drawing) => {
            let rate = drawing.per_week;
            said.push(
                Words::new(format!(
                    "From {} to {} ({} days of looking) about {} combs were drawn: {:.1} a week, {:.1} to {:.1} with 90 % confidence ",
                    drawing.from, drawing.to, drawing.rounds, combs(drawing.drawn), rate.value(), rate.lo(), rate.hi()
                ))
                .plain("(")
                .and(by(reader, &reckon::sources::GARWOOD_1936))
                .plain("; wider still where combs are drawn in bursts). A comb first told of counts as drawn since the look before."),
            );
            said.push(full_said(room, rate.value(), season_ends));
        }
    }
    said
}

fn full_said(room: &Room, rate: f64, season_ends: Date) -> Words {
    let Some(full) = room.full else {
        return Words::new(if room.is_long_ago {
            "That was more than six weeks ago, and the flow is another: when all will be drawn cannot be said before the next look."
        } else if rate > 0.0 {
            "When all is drawn cannot be said."
        } else {
            "Nothing was drawn between these looks, so when all will be drawn cannot be said."
        });
    };
    if room.to_draw.hi() <= 0.0 {
        return Words::new("Nothing is left to draw.");
    }
    let day = |days: f64| on(full.from, days).map_or_else(|| "years away".to_owned(), |day| day.to_string());
    let latest = full.hi.map_or_else(|| "never".to_owned(), day);
    let soonest = on(full.from, full.lo);
    if soonest.is_none_or(|soonest| soonest > season_ends) {
        return Words::new(format!(
            "At that rate not all is drawn this season, and no rate keeps when the flow ends: building is over about {season_ends}."
        ));
    }
    let likely = on(full.from, full.days).filter(|likely| *likely <= season_ends);
    if likely.is_none() {
        return Words::new(format!(
            "At that rate not all is likely to be drawn this season; the doubt allows {} at the soonest. Building is over about {season_ends}.",
            day(full.lo)
        ));
    }
    Words::new(format!(
        "At that rate all is drawn about {}, {:.0} days after the last look; the doubt allows from {} to {latest}. No rate keeps when the flow ends.",
        day(full.days),
        full.days,
        day(full.lo)
    ))
}

fn sentence(words: &str) -> String {
    super::sentence(words)
}

/// What a sign says, without its day.
fn sign_words(sign: &Sign) -> String {
    let count = |what: &str, many: &str| match sign.count {
        Some(1) => format!("1 {what}"),
        Some(count) => format!("{count} {many}"),
        None => many.to_owned(),
    };
    let mut words = match sign.kind {
        SignKind::Cups => count("cup without an egg told", "cups without eggs told"),
        SignKind::Charged => count(
            "queen cell with an egg or larva",
            "queen cells with eggs or larvae",
        ),
        SignKind::Sealed => count("sealed queen cell", "sealed queen cells"),
        SignKind::Emerged => count(
            "queen cell that its queen has left",
            "queen cells that their queens have left",
        ),
        SignKind::Torn => count("queen cell torn open", "queen cells torn open"),
        SignKind::Cells => count(
            "queen cell, not said in what state",
            "queen cells, not said in what state",
        ),
        SignKind::NoCells => "no queen cells".to_owned(),
        SignKind::CutOut => count("queen cell cut out", "queen cells cut out"),
        SignKind::Gone => "a swarm gone".to_owned(),
        SignKind::NoRoom => format!("{} combs left to draw", combs(sign.amount.unwrap_or(0.0))),
        SignKind::BroodAtTheEnd => "brood on the last comb".to_owned(),
        SignKind::Backfilled => format!(
            "honey and nectar over {} % of the combs that held brood",
            percent(sign.amount.unwrap_or(0.0))
        ),
    };
    if let Some(bars) = &sign.bars {
        words.push_str(&format!(" on {bars}"));
    }
    words
}

fn signs_said(reader: &Reader<'_>, signs: &[Sign]) -> Vec<Block> {
    if signs.is_empty() {
        return vec![Block::text(
            "No note of the last five weeks tells of queen cells, a swarm, a full hive or brood on the last comb. What nobody looked for is not known to be absent.",
        )];
    }
    let mut said: Vec<Words> = Vec::new();
    for sign in signs {
        let mut words = Words::new(format!("{}: {}", sign.day, sign_words(sign)))
            .and(noted(reader, &sign.entries))
            .plain(".");
        for wait in &sign.waits {
            let when = match wait.to {
                Some(to) if to == wait.from => format!("on {to}"),
                Some(to) => format!("from {} to {to}", wait.from),
                None => format!("on {}", wait.from),
            };
            words = words
                .plain(" By ")
                .and(by(reader, wait.source))
                .plain(format!(", {} {when}.", wait.what));
        }
        said.push(words);
    }
    vec![
        Block::List(said),
        Block::text(
            "Weather holds swarms back and lets them go. Bees have left on open cells, and cutting cells out may make them leave earlier; whether a second swarm follows or the young queens fight cannot be told beforehand.",
        ),
    ]
}

fn places_said(reader: &Reader<'_>, part: &Part<'_>, room: &Room) -> Vec<Block> {
    let advised = meaning::places(part);
    let mut said = Vec::new();
    for advice in &advised {
        let (what, suits) = advice_words(advice.advice);
        let mut words = Words::default()
            .strong(what)
            .plain(" (")
            .and(by(reader, advice.source))
            .plain("). ");
        words = match (advice.advice, advice.places.is_empty()) {
            (_, true) => words.plain("By the last looks no place here fits it. "),
            (Advice::HoneyToTheEntrance, false) => words
                .plain(format!("Here that would be {}", bars(&advice.places)))
                .and(noted(reader, &advice.entries))
                .plain(". "),
            (_, false) => words
                .plain(format!("Here that would be at {}", at_places(&advice.places)))
                .and(noted(reader, &advice.entries))
                .plain(". "),
        };
        words = words.plain(suits);
        match advice.in_season {
            Some(true) => words = words.plain(" Its season is about now."),
            Some(false) => words = words.plain(" It is not its season by the calendar; the bloom decides."),
            None => {}
        }
        said.push(words);
    }
    let mut blocks = vec![Block::Folded {
        summary: "What keepers advise, which differs, and the places here that it would mean".to_owned(),
        blocks: vec![
            Block::List(said),
            Block::text(
                Words::new("One keeper opened the nest too far: the colony built more than it could hold and had to be divided by the end of June (")
                    .and(by(reader, &reckon::sources::BEESOURCE_SWARM_PREVENTION))
                    .plain("). A test at the hive: where the gap fills with hanging chains of bees within a minute or two, the colony can take a bar, a strong one several (")
                    .and(by(reader, &reckon::sources::HAPPYHOUR_2016))
                    .plain("). Places are counted as they stand now: what stands there and behind moves back."),
            ),
        ],
    }];
    let last = part.h.hives[part.hive].places();
    let is_full = part.to == last && !room.bare.contains(&last);
    if is_full {
        blocks.push(Block::text(
            "The last place holds a comb, so a bar can be put in only where another, or a bare one, goes out.",
        ));
    }
    blocks
}

/// Places a bar is put in at, without a word before them.
fn at_places(places: &[u16]) -> String {
    let said = bars(places);
    said.split_once(' ')
        .map_or(said.clone(), |(_, places)| places.to_owned())
}

fn advice_words(advice: Advice) -> (&'static str, &'static str) {
    match advice {
        Advice::BetweenBroodAndHoney => (
            "Between the brood and the honey",
            "It suits whoever wants the nest left whole: no brood is parted.",
        ),
        Advice::BetweenDrawn => (
            "One bar between two drawn combs",
            "It suits whoever wants straight comb: the neighbours guide it. Between honey combs it may be built thick.",
        ),
        Advice::IntoTheNest => (
            "Into the brood nest, in the swarm season",
            "It suits a strong colony in warm weather, with a keeper who comes again within days; brood that is parted in a cold spell chills.",
        ),
        Advice::HoneyToTheEntrance => (
            "Last year's honey moved to the entrance end, in spring",
            "It suits a nest that has reached the entrance end and is to grow backwards, away from it.",
        ),
    }
}

fn bound_said(reader: &Reader<'_>, bound: &Bound) -> Vec<Block> {
    let Some(newest) = bound.filled.last() else {
        return vec![Block::text(
            "No look told of brood, so there is no nest to speak of.",
        )];
    };
    let mut said: Vec<Words> = bound
        .filled
        .iter()
        .map(|filled| {
            let share = filled.share().map_or_else(
                || "how much honey they hold was not told".to_owned(),
                |share| {
                    format!(
                        "{} % of their drawn comb under honey and nectar, {} combs of brood",
                        percent(share),
                        combs(filled.brood)
                    )
                },
            );
            let unknown = if filled.unknown > 0 && filled.share().is_some() {
                format!(
                    "; {} of them told nothing of honey and count none",
                    filled.unknown
                )
            } else {
                String::new()
            };
            let combs = if filled.combs == 1 {
                "1 comb".to_owned()
            } else {
                format!("{} combs", filled.combs)
            };
            Words::new(format!("{}: {combs} of the nest, {share}{unknown}", filled.day))
                .and(noted(reader, &filled.entries))
                .plain(".")
        })
        .collect();
    if let Some(change) = bound.change() {
        let first = bound.filled[0].day;
        let way = if change >= 0.0 { "more" } else { "less" };
        said.push(Words::new(format!(
            "That is {} % of a comb {way} than on {first}.",
            percent(change.abs())
        )));
    }
    vec![
        Block::List(said),
        Block::text(
            Words::new(format!(
                "The nest is every comb that held brood in the six weeks before {} (",
                newest.day
            ))
            .and(by(reader, &reckon::sources::COMMON_PRACTICE))
            .plain(")."),
        ),
    ]
}

fn mending_said(reader: &Reader<'_>, mending: &meaning::Mending) -> Vec<Block> {
    let mut said: Vec<Words> = mending
        .faults
        .iter()
        .map(|fault| fault_said(reader, fault))
        .collect();
    if said.is_empty() {
        said.push(Words::new(
            "No comb is known to be crossed, bulging, attached, fallen or broken.",
        ));
    }
    if let Some((from, to)) = mending.held {
        said.push(Words::new(format!(
            "Bars {from} to {to} hang together from fault to fault: straight combs are what every exchange needs."
        )));
    }
    let new: Vec<u16> = mending.new.iter().map(|(place, _)| *place).collect();
    if !new.is_empty() {
        let word = if new.len() == 1 {
            "is a new comb"
        } else {
            "are new combs"
        };
        said.push(Words::new(sentence(&format!("{} {word}", bars(&new)))));
    }
    for (day, due, source) in &mending.by {
        let why = match due {
            Due::FewDays => format!(
                "By {day}: new combs are looked at every few days at first, while they are soft and small"
            ),
            Due::NextComb => format!(
                "By {day}, at the fastest rate that the looks allow, the next comb is drawn beside, and follows the fault"
            ),
            Due::LateAugust => {
                format!("Before {day}: from then on new comb strays over two or three bars")
            }
        };
        said.push(Words::new(why).plain(" (").and(by(reader, source)).plain(")."));
    }
    if mending.straying {
        said.push(
            Words::new("At this time of the year new comb strays over two or three bars (")
                .and(by(reader, &reckon::sources::FLOTTUM))
                .plain("): what is straightened now may not stay so."),
        );
    }
    let mut blocks = vec![Block::List(said)];
    if mending
        .faults
        .iter()
        .any(|fault| matches!(fault.fault, "fallen" | "broken"))
    {
        blocks.push(Block::care(
            Words::new("A queen has been found on a comb on the floor (")
                .and(by(reader, &reckon::sources::SUSTAINABLE_2013))
                .plain(
                    "). Honey that lies open draws robbers; full comb is heavy and may give way in the hand.",
                ),
        ));
    }
    blocks
}

fn fault_said(reader: &Reader<'_>, fault: &Fault) -> Words {
    let drawn = fault
        .drawn
        .map_or_else(String::new, |drawn| format!(", drawn to {} %", percent(drawn)));
    let (day, entry) = fault.found;
    Words::new(format!(
        "Bar {}: {}{drawn}, found on {day}",
        fault.place, fault.fault
    ))
    .and(noted(reader, &[entry]))
    .plain(".")
}
