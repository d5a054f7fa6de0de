//! Honey: what is ripe after winter's share, and whether winter's share is within reach.

use apiary::arena::HiveId;
use apiary::colony::meaning::{
    self, Aside, End, Harvest, Part, Reach, RipeComb, Side, Stop, WeatherUsed, WinterCheck,
};
use jiff::civil::Date;
use page::{Block, Words};
use quantity::Estimate;

use super::super::figures::percent;
use super::{bars, by, combs, combs_between, full_combs, noted};
use crate::reader::Reader;

fn kg(of: Estimate) -> String {
    format!("{:.1} kg ({:.1} to {:.1})", of.value(), of.lo(), of.hi())
}

fn reach(of: Reach) -> String {
    if of.untold > 0 && of.bars.value() <= 0.0 {
        return format!("not told; at most {}", full_combs(combs(of.bars.hi())));
    }
    let bars = full_combs(combs_between(of.bars));
    match of.kg {
        Some(mass) => format!("{bars}, about {}", kg(mass)),
        None => format!("{bars}; kilos cannot be told, the hive's section is not known"),
    }
}

/// Why a comb is set aside.
fn aside_said(reader: &Reader<'_>, aside: &Aside) -> Words {
    match aside {
        Aside::Fed { day, food, entry } => Words::new(format!("{food} was fed on {day} while it hung"))
            .and(noted(reader, &[*entry]))
            .plain(": bees store and cap it like honey (")
            .and(by(reader, &reckon::sources::HAPPYHOUR_2013))
            .plain(")"),
        Aside::Treated { day, with, entry } => {
            Words::new(format!("{with} was put in on {day} while it hung")).and(noted(reader, &[*entry]))
        }
        Aside::KeptApart => Words::new("the hive is kept apart: nothing is moved out of it"),
        Aside::Sign { day, what, entry } => {
            Words::new(format!("a sign was noted on {day}, \u{201c}{what}\u{201d}"))
                .and(noted(reader, &[*entry]))
                .plain(": close up, move nothing, and ask the bee inspector")
        }
        Aside::Lost { day, cause } => Words::new(match cause {
            Some(cause) => format!("its colony was lost on {day} ({cause})"),
            None => format!("its colony was lost on {day}, of what was not said"),
        }),
    }
}

pub(super) fn harvest_said(reader: &Reader<'_>, harvest: &Harvest) -> Vec<Block> {
    if harvest.ripe.is_empty() {
        return vec![Block::text(
            "No comb was last seen ripe (capped for three quarters of what is drawn, and no brood).",
        )];
    }
    let mut said: Vec<Words> = harvest.ripe.iter().map(|comb| ripe_said(reader, comb)).collect();
    let free: Vec<u16> = harvest
        .ripe
        .iter()
        .filter(|comb| comb.aside.is_empty())
        .map(|comb| comb.place)
        .collect();
    let unit = if harvest.in_kg { "kg" } else { "full combs" };
    let need = harvest.need;
    said.push(Words::new(format!(
        "The colony has {:.1} {unit} of honey by the last looks ({:.1} to {:.1}); winter needs {:.1} ({:.1} to {:.1}), {}.",
        harvest.all.value(),
        harvest.all.lo(),
        harvest.all.hi(),
        need.value(),
        need.lo(),
        need.hi(),
        if harvest.in_kg { "as told under Winter" } else { "by a published rule, as told under Winter" }
    )));
    let old = harvest
        .ripe
        .iter()
        .filter_map(|comb| long_ago(reader, comb.seen))
        .max();
    if let Some(days) = old.filter(|_| !free.is_empty()) {
        said.push(Words::new(format!(
            "How many may be taken cannot be said by looks that are up to {days} days old: bees have eaten since, or brought more. Look again first."
        )));
    } else if !free.is_empty() {
        said.push(Words::new(format!(
            "From the far end, {} of {} ripe combs not set aside may be taken by the likely figures: {}. With the least honey and the greatest need {}; with the most honey and the least need {}.",
            harvest.likely,
            free.len(),
            if harvest.likely == 0 { "none".to_owned() } else { in_order(&free[..harvest.likely]) },
            count(harvest.surely),
            count(harvest.at_most),
        )));
    }
    vec![
        Block::List(said),
        Block::text(
            "What the flow still brings before winter is not counted. A comb of honey weighs several kilos and hangs by soft wax: it is held upright, and lifted with care for the back.",
        ),
    ]
}

fn count(combs: usize) -> String {
    match combs {
        0 => "none".to_owned(),
        combs => combs.to_string(),
    }
}

/// Places in the order given, which is the order of taking.
fn in_order(places: &[u16]) -> String {
    let word = if places.len() == 1 { "bar" } else { "bars" };
    let said: Vec<String> = places.iter().map(ToString::to_string).collect();
    format!("{word} {}", super::listed(&said))
}

fn ripe_said(reader: &Reader<'_>, comb: &RipeComb) -> Words {
    let mass = comb
        .kg
        .map_or_else(String::new, |mass| format!(", about {}", kg(mass)));
    let look: Vec<usize> = comb.look.into_iter().collect();
    let words = Words::new(format!(
        "Bar {}: capped {} % of what is drawn{mass}",
        comb.place,
        percent(comb.capped)
    ))
    .and(noted(reader, &look));
    let words = words.plain(match comb.brood_told {
        true => ". ",
        false => "; of brood nothing was said: look before you cut. ",
    });
    let words = match long_ago(reader, comb.seen) {
        Some(days) => words.plain(format!("That was {days} days ago: look again first. ")),
        None => words,
    };
    if comb.aside.is_empty() {
        return words;
    }
    words
        .plain("Set aside: ")
        .and(asides_said(reader, &comb.aside))
        .plain(".")
}

/// So long after a look a comb may have been emptied, in days (common practice, no source: six weeks).
const LOOK_AGAIN: i32 = 42;

/// How many days ago a look was that is too old to cut by.
fn long_ago(reader: &Reader<'_>, seen: Option<Date>) -> Option<i32> {
    let days = (reader.day() - seen?).get_days();
    (days > LOOK_AGAIN).then_some(days)
}

/// Why a comb is set aside, all of it; nothing where it is not.
pub(in crate::sheets) fn asides_said(reader: &Reader<'_>, asides: &[Aside]) -> Words {
    let mut words = Words::default();
    for (n, aside) in asides.iter().enumerate() {
        words = words
            .plain(if n == 0 { "" } else { "; " })
            .and(aside_said(reader, aside));
    }
    words
}

/// Ripe combs in a hive without bees, and why they are set aside.
pub(super) fn ripe_without_bees(reader: &Reader<'_>, hive: HiveId) -> Option<Block> {
    let h = reader.holding();
    let notes = |entry| reader.note(entry);
    let said: Vec<Words> = apiary::colony::answers::ripe(h)
        .into_iter()
        .filter(|ripe| ripe.id == hive)
        .map(|ripe| {
            ripe_said(
                reader,
                &RipeComb {
                    place: ripe.place,
                    capped: ripe.capped,
                    bars: 0.0,
                    kg: None,
                    look: Some(ripe.look),
                    seen: h.combs[ripe.comb].looked_on,
                    brood_told: ripe.brood_told,
                    aside: ripe.asides(h, reader.day(), &notes),
                },
            )
        })
        .collect();
    (!said.is_empty()).then_some(Block::List(said))
}

pub(super) fn winter_said(reader: &Reader<'_>, part: &Part<'_>, winter: &WinterCheck) -> Vec<Block> {
    let mut said = vec![
        Words::new(format!(
            "Honey on all its combs by the last looks: {}",
            reach(winter.all)
        ))
        .and(noted(reader, &winter.entries))
        .plain("."),
    ];
    match (winter.cluster, winter.before, winter.behind, winter.reach) {
        (Some(cluster), Some(before), Some(behind), Some(within)) => {
            let end = match cluster.end {
                End::Entrance => "at the entrance end of the combs",
                End::Far => "at the far end of the combs",
                End::Middle => "in the middle, with combs on either side",
                End::Whole => "on all combs from the first to the last",
            };
            said.push(Words::new(format!(
                "Bees or brood were last seen on places {} to {} ({}), {end}. Place 1 is at the entrance.",
                cluster.from, cluster.to, cluster.day
            )));
            said.push(Words::new(format!("Within reach without a gap: {}.", reach(within))));
            said.push(Words::new(format!("On those combs themselves: {}.", reach(winter.on_cluster))));
            said.extend(side_said("Towards the entrance", before));
            said.extend(side_said("Towards the far end", behind));
            if before.within.bars.value() > 0.0 && behind.within.bars.value() > 0.0 {
                said.push(
                    Words::new("Honey lies on both sides. A cluster follows it one way and seldom comes back: with honey left at the other end colonies starved (")
                        .and(by(reader, &reckon::sources::VENDOR_ADVICE))
                        .plain(", a weak source)."),
                );
            }
        }
        _ => said.push(Words::new(
            "Where the bees sit is not known: no look told brood or bees on a comb, so what they reach cannot be said.",
        )),
    }
    if !winter.unknown.is_empty() {
        said.push(Words::new(format!(
            "No look told the honey of {}: it counts from nothing to all that is drawn.",
            bars(&winter.unknown)
        )));
    }
    said.extend(need_said(reader, winter));
    let beside = meaning::YARDSTICKS.iter().map(|rule| {
        let amount = if rule.in_bars {
            format!("{} to {} full capped bars", combs(rule.lo), combs(rule.hi))
        } else {
            format!("{:.0} to {:.0} kg", rule.lo, rule.hi)
        };
        Words::new(format!("{amount}, {} (", rule.whom))
            .and(by(reader, rule.source))
            .plain(")")
    });
    let mut blocks = vec![
        Block::List(said),
        Block::Folded {
            summary: "What others leave, which differs by climate and hive".to_owned(),
            blocks: vec![Block::List(beside.collect())],
        },
    ];
    if let Some(need) = &winter.need {
        let trust = need
            .used
            .notes
            .iter()
            .map(|note| Words::new(super::sentence(note)));
        blocks.push(Block::Folded {
            summary: "How far the need may be trusted".to_owned(),
            blocks: vec![Block::List(trust.collect())],
        });
    }
    if matches!(part.today.month(), 11 | 12 | 1 | 2) && winter.cluster.is_some() {
        blocks.push(Block::text(
            Words::new("One remedy of January is told: on a mild day full combs are slid up behind the cluster and empty ones go to the rear (")
                .and(by(reader, &reckon::sources::COLORADO_WINTER))
                .plain("). It suits a colony with food beyond a gap, on a day on which bees fly."),
        ));
    }
    blocks
}

fn side_said(whither: &str, side: Side) -> Option<Words> {
    let nothing = side.within.bars.hi() <= 0.0 && side.beyond.bars.hi() <= 0.0;
    if nothing && side.stop == Stop::End {
        return None;
    }
    let to = side
        .to
        .map_or_else(String::new, |to| format!(", as far as bar {to}"));
    let stop = match side.stop {
        Stop::Bare(place) => format!(" Bar {place} is bare: a gap."),
        Stop::Empty(place) => format!(" Bar {place} was told to hold no honey: a gap."),
        Stop::End => String::new(),
    };
    let beyond = if side.beyond.bars.hi() > 0.0 {
        format!(" Out of reach beyond it: {}.", reach(side.beyond))
    } else {
        String::new()
    };
    Some(Words::new(format!(
        "{whither}: {}{to}.{stop}{beyond}",
        reach(side.within)
    )))
}

fn need_said(reader: &Reader<'_>, winter: &WinterCheck) -> Vec<Words> {
    let Some(need) = &winter.need else {
        return vec![Words::new("What winter takes cannot be worked out.")];
    };
    let bees = if need.bees_known {
        format!("{:.1} kg of bees by the last looks", need.bees_kg)
    } else {
        let because = match need.bees_told {
            Some(day) => format!("because they were last told on {day}, and not how many go into winter"),
            None => "because nobody told how many there are".to_owned(),
        };
        format!("{:.1} kg of bees, taken {because}", need.bees_kg)
    };
    let weather = match need.weather {
        WeatherUsed::OfTheYard { earlier: 0, .. } => "the weather of the yard".to_owned(),
        WeatherUsed::OfTheYard { own: 0, .. } => {
            "the weather of the yard in the winters before, since this one is still to come".to_owned()
        }
        WeatherUsed::OfTheYard { earlier, .. } => {
            format!("the weather of the yard, for {earlier} days without readings that of the winters before")
        }
        WeatherUsed::Assumed { known: 0, .. } => format!(
            "{:.1} °C on average, taken because no weather of such a winter is known",
            need.used.mean_outside_c
        ),
        WeatherUsed::Assumed { known, days } => format!(
            "{:.1} °C on average, taken because of {known} of its {days} days alone the weather is known",
            need.used.mean_outside_c
        ),
    };
    let mut words = Words::new(format!(
        "Needed from {} to {}, with brood from {} and a reserve of 5 to 10 kg: {} (",
        need.from,
        need.to,
        need.brood_from,
        kg(need.need_kg)
    ));
    words = words
        .and(by(reader, &reckon::sources::SOUTHWICK_1985))
        .plain(", ")
        .and(by(reader, &reckon::sources::NORRSTROM_2021))
        .plain(format!(
            "; {bees}; {weather}). Winter's dates are common practice and shift with the bloom."
        ));
    let mut said = vec![words];
    let told = winter
        .reach
        .filter(|reach| reach.untold == 0 || reach.bars.value() > 0.0);
    if let (Some(reach), None) = (winter.reach, told) {
        said.push(Words::new(format!(
            "Whether that is within reach no look tells: the combs hold at most {}.",
            full_combs(combs(reach.bars.hi()))
        )));
    }
    if let Some(within) = told.and_then(|reach| reach.kg) {
        let left = Estimate::new(
            within.value() - need.need_kg.value(),
            within.lo() - need.need_kg.hi(),
            within.hi() - need.need_kg.lo(),
        );
        if let Some(left) = left {
            let of = |kg: f64| match kg >= 0.0 {
                true => format!("{kg:.1} kg to spare"),
                false => format!("{:.1} kg short", -kg),
            };
            said.push(Words::new(format!(
                "Within reach it is {}; the doubts of both allow from {} to {}.",
                of(left.value()),
                of(left.lo()),
                of(left.hi())
            )));
        }
    }
    said
}
