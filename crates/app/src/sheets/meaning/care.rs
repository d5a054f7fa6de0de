//! The follower, heavy new comb in the heat, and robbing.

use apiary::colony::meaning::{Followers, HOT_C, Heat, Robbing};
use page::{Block, Notice, Tone, Words};

use super::{bars, by, combs, full_combs, noted};
use crate::reader::Reader;

pub(super) fn follower_said(reader: &Reader<'_>, follower: &Followers) -> Vec<Block> {
    let mut said = Vec::new();
    let at: Vec<String> = follower.at.iter().map(ToString::to_string).collect();
    said.push(match at.as_slice() {
        [] => Words::new("No follower stands beside it."),
        [one] => Words::new(format!("A follower stands before place {one}.")),
        several => Words::new(format!(
            "Followers stand before places {}.",
            super::listed(several)
        )),
    });
    match follower.closes_at {
        Some(place) => said.push(
            Words::new(format!(
                "Closed to its combs, it would stand before place {place}"
            ))
            .and(noted(reader, &follower.entries))
            .plain(match follower.bare_behind {
                0 => ".".to_owned(),
                1 => "; 1 bare place lies between now.".to_owned(),
                bare => format!("; {bare} bare places lie between now."),
            }),
        ),
        None => said.push(Words::new(
            "No comb is known, or combs reach the last place: there is nothing to close.",
        )),
    }
    if !follower.gaps.is_empty() {
        said.push(Words::new(format!(
            "Between its combs, {} would stay within, bare.",
            bars(&follower.gaps)
        )));
    }
    if follower.autumn {
        said.push(
            Words::new("In autumn keepers close the follower on six to eight bars, make entrances small and put up mouse guards (")
                .and(by(reader, &reckon::sources::KEEPERS_CALENDARS))
                .plain(")."),
        );
    }
    vec![
        Block::List(said),
        Block::Folded {
            summary: "What is advised while a colony grows".to_owned(),
            blocks: vec![Block::text(
                Words::new("The follower is moved when only one or two empty bars are left, and about two are given (")
                    .and(by(reader, &reckon::sources::VENDOR_ADVICE))
                    .plain(", a weak source). Gaps round its edge let robbers and honey-hunters through; how wide they are is worth a look."),
            )],
        },
    ]
}

pub(super) fn care_said(reader: &Reader<'_>, heat: &Heat, robbing: &Robbing) -> Vec<Block> {
    let mut blocks = Vec::new();
    if heat.combs.is_empty() {
        blocks.push(Block::text(
            "No comb that is younger than six weeks is known to hold honey.",
        ));
    } else {
        let said = heat.combs.iter().map(|comb| {
            let load = comb.load_g_per_cm.map_or_else(String::new, |load| {
                format!(
                    ", {:.0} g on each cm of its bar ({:.0} to {:.0})",
                    load.value(),
                    load.lo(),
                    load.hi()
                )
            });
            Words::new(format!(
                "Bar {}: new since {}, {} of honey and nectar{load}.",
                comb.place,
                comb.since,
                full_combs(combs(comb.bars))
            ))
        });
        blocks.push(Block::List(said.collect()));
        blocks.extend(heat_caution(reader, heat));
    }
    if robbing.any() {
        blocks.push(robbing_caution(reader, robbing));
    } else {
        blocks.push(Block::text(
            "No note tells of a flow that ended, feeding, cutting or open comb lately.",
        ));
    }
    blocks
}

fn heat_caution(reader: &Reader<'_>, heat: &Heat) -> Option<Block> {
    let mut more: Vec<Words> = heat
        .hot
        .iter()
        .map(|(day, high, entry)| {
            Words::new(format!("{day}: {high:.0} °C"))
                .and(noted(reader, entry.as_slice()))
                .plain(".")
        })
        .collect();
    if !heat.summer && heat.hot.is_empty() {
        return None;
    }
    if !heat.weather_known {
        more.push(Words::new(
            "No weather of the last week was noted, so how hot it was is not known.",
        ));
    }
    more.push(
        Words::new("Keepers wait until the day is below about 30 °C, or work before eleven (")
            .and(by(reader, &reckon::sources::BUDDHA_2016))
            .plain("). In the heat it is dangerous to people in veils too: water, shade, and somebody who knows where you are."),
    );
    Some(Block::Notice(Notice {
        tone: Tone::Care,
        says: Words::new(format!(
            "New comb full of honey has fallen when hives were opened at 33 to 35 °C or stood in the sun, worst where braces were cut; from {HOT_C:.0} °C on keepers leave it alone ("
        ))
        .and(by(reader, &reckon::sources::BEEBUILT_HEAT))
        .plain(")."),
        more,
    }))
}

fn robbing_caution(reader: &Reader<'_>, robbing: &Robbing) -> Block {
    let mut more = Vec::new();
    if let Some((day, entry)) = robbing.flow_ended {
        more.push(
            Words::new(format!("The flow ended on {day}"))
                .and(noted(reader, &[entry]))
                .plain("."),
        );
    }
    for (day, food, entry) in &robbing.fed {
        more.push(
            Words::new(format!("On {day} {food} was fed"))
                .and(noted(reader, &[*entry]))
                .plain("."),
        );
    }
    for (day, entry) in &robbing.cut {
        more.push(
            Words::new(format!("On {day} comb was cut"))
                .and(noted(reader, &[*entry]))
                .plain("."),
        );
    }
    for (place, fault) in &robbing.open {
        more.push(Words::new(format!(
            "Bar {place} is {fault}: its honey may lie open."
        )));
    }
    more.push(Words::new("Keepers narrow the entrance, keep the hive shut, leave no comb or syrup standing about, and work late in the day (common practice, no source)."));
    Block::Notice(Notice {
        tone: Tone::Care,
        says: Words::new("Robbing begins where little comes in and honey smells; one top-bar hive was emptied in about an hour before its entrances could be narrowed (")
            .and(by(reader, &reckon::sources::GRANDMAB_2012))
            .plain(")."),
        more,
    })
}
