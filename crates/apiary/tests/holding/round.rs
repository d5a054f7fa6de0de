//! The round of a yard, bait boxes and swarm calls.

use apiary::colony::round::{self, Reason, Round, Thing};
use apiary::colony::{baits, meaning};
use jiff::civil::{Date, date};

use crate::{Farm, two_hives_and};

impl Farm {
    fn round(&self, yard: &str, day: Date) -> Round {
        let yard = self.holding.ground.yard_labels.get(yard).expect("a yard");
        round::round(&self.holding, yard, day, &|entry| self.notes.get(entry), None)
    }
}

const BEES: &str = "2026-04-01 start alder 8 bars drawn
2026-04-01 start birch 8 bars drawn";

fn bees_and(text: &str) -> Farm {
    two_hives_and(&format!("{BEES}\n{text}"))
}

fn reasons(round: &Round, hive: &str) -> Vec<Reason> {
    let visit = round.visits.iter().find(|visit| visit.hive == hive);
    visit.map_or_else(Vec::new, |visit| {
        visit.why.iter().map(|(reason, _)| *reason).collect()
    })
}

#[test]
fn each_hive_stands_in_one_part_of_the_round() {
    let farm = bees_and(
        "2026-03-02 hive rowan in orchard pattern sloping bars 27
         2026-05-10 look alder queen seen eggs seen
         2026-05-10 look birch queen seen eggs seen
         2026-05-12 split alder bars 3 to 5 into rowan queen stayed",
    );
    let round = farm.round("orchard", date(2026, 5, 23));
    assert!(round.visits.is_empty(), "{:?}", round.visits);
    let quiet: Vec<&str> = round.nothing_due.iter().map(|hive| hive.hive.as_str()).collect();
    assert_eq!(quiet, ["alder", "birch"]);
    assert_eq!(round.left_alone.len(), 1);
    assert_eq!(
        (round.left_alone[0].hive.as_str(), round.left_alone[0].until),
        ("rowan", date(2026, 6, 5))
    );
    assert_eq!(round.left_alone[0].because.entries, [9]);
    let later = farm.round("orchard", date(2026, 5, 25));
    assert_eq!(reasons(&later, "birch"), [Reason::LookDue]);
}

/// More than winter's share is taken from alder, none from birch with its one full comb.
#[test]
fn what_is_carried_is_counted_and_said_for_which_hive() {
    let farm = bees_and(
        "2026-06-14 look alder bars 1 to 20 drawn 8/8 capped 8/8
         2026-06-14 look birch bar 8 drawn 8/8 capped 8/8
         2026-06-14 fault birch bar 3 crossed
         2026-06-14 queen-cells birch sealed 2",
    );
    let day = date(2026, 6, 15);
    let round = farm.round("orchard", day);
    let notes = |entry: usize| farm.notes.get(entry);
    let alder = farm.holding.hive_labels.get("alder").expect("a hive");
    let parts = meaning::parts(&farm.holding, alder, day, &notes);
    let harvest = meaning::harvest(&parts[0], &meaning::winter_check(&parts[0], None));
    // Twenty combs of about 2.3 kg and a need of about 15 kg leave some, and not all.
    let count = u32::try_from(harvest.likely).expect("few");
    assert!((8..20).contains(&count), "{count}");
    let carried: Vec<_> = round
        .carry
        .iter()
        .map(|carried| (carried.what, carried.count))
        .collect();
    assert_eq!(
        carried,
        [
            (Thing::Bars, count),
            (Thing::Pails, count.div_ceil(4)),
            (Thing::Cages, 1),
            (Thing::Boxes, 1),
            (Thing::Ties, 1)
        ]
    );
    assert_eq!(round.carry[0].for_hives, [("alder".to_owned(), count)]);
    assert_eq!(reasons(&round, "birch"), [Reason::Window, Reason::Mend]);
    let birch = round
        .visits
        .iter()
        .find(|visit| visit.hive == "birch")
        .expect("a visit");
    assert!(
        birch
            .look_for
            .iter()
            .any(|told| told.says.contains("winter's share leaves none")),
        "{:?}",
        birch.look_for
    );
}

/// What is set aside, was seen long ago or hangs in a hive that stays closed sends nobody with a pail.
#[test]
fn combs_that_must_not_be_taken_are_not_carried_for() {
    const RIPE: &str = "2026-06-14 look alder bars 1 to 20 drawn 8/8 capped 8/8";
    let pails = |more: &str, day: Date| {
        let round = bees_and(&format!("{RIPE}\n{more}")).round("orchard", day);
        let alder = round.visits.iter().find(|visit| visit.hive == "alder");
        alder.is_some_and(|visit| visit.carry.iter().any(|(thing, _)| *thing == Thing::Pails))
    };
    let (soon, later, winter) = (date(2026, 6, 15), date(2026, 7, 27), date(2026, 11, 22));
    assert!(pails("2026-06-14 flow begins", soon));
    assert!(!pails("2026-06-14 feed alder syrup 1 kg", soon));
    assert!(!pails("2026-06-14 treat alder with \"thymol\"", soon));
    assert!(!pails(
        "2026-06-14 quarantine alder because \"odd cappings\"",
        soon
    ));
    assert!(!pails("2026-06-14 sign alder bar 3 \"sunken cappings\"", soon));
    assert!(!pails("2026-06-14 flow begins", later), "seen 43 days before");
    assert!(
        !pails("2026-11-20 look alder bars 1 to 20 as before", winter),
        "hives stay closed"
    );
}

#[test]
fn a_hive_kept_apart_or_with_a_symptom_comes_last() {
    let text = "2026-05-10 sign alder bar 3 \"sunken, perforated cappings\"";
    let farm = bees_and(text);
    let order = |farm: &Farm, day| -> Vec<String> {
        farm.round("orchard", day)
            .visits
            .iter()
            .map(|visit| visit.hive.clone())
            .collect()
    };
    assert_eq!(order(&farm, date(2026, 5, 20)), ["birch", "alder"]);
    assert_eq!(
        order(&farm, date(2026, 8, 20)),
        ["alder", "birch"],
        "after 90 days"
    );
    let lifted = bees_and(&format!(
        "{text}\n2026-05-11 quarantine alder\n2026-05-19 quarantine alder lifted"
    ));
    assert_eq!(order(&lifted, date(2026, 5, 20)), ["alder", "birch"]);
    let apart = bees_and("2026-05-11 quarantine alder because \"odd cappings\"");
    assert_eq!(order(&apart, date(2026, 5, 20)), ["birch", "alder"]);
    assert!(reasons(&apart.round("orchard", date(2026, 5, 20)), "alder").contains(&Reason::Apart));
}

#[test]
fn a_stopped_look_light_stores_and_jottings_bring_the_keeper_back() {
    let farm = bees_and(
        "2026-05-10 look alder bars 1 to 4 drawn 8/8
         2026-05-10 look alder heft light stopped 4
         2026-05-10 look birch eggs seen
         2026-05-11 jot birch \"much flight\"",
    );
    let round = farm.round("orchard", date(2026, 5, 12));
    assert_eq!(reasons(&round, "alder"), [Reason::Light, Reason::Stopped]);
    assert_eq!(reasons(&round, "birch"), [], "words alone send nobody");
    let gone_on = bees_and(
        "2026-05-10 look alder bars 1 to 4 drawn 8/8
         2026-05-10 look alder stopped 4
         2026-05-11 look alder bars 5 to 8 drawn 8/8
         2026-05-11 look alder heft fair",
    );
    let later = gone_on.round("orchard", date(2026, 5, 12));
    assert!(reasons(&later, "alder").is_empty(), "{:?}", later.visits);
}

#[test]
fn a_check_that_passed_is_asked_for_until_a_note_settles_it() {
    let split = "2026-05-10 look alder queen seen\n2026-05-10 split alder bars 3 to 5 into birch queen moved";
    let farm = two_hives_and(&format!("2026-04-01 start alder 8 bars drawn\n{split}"));
    let round = farm.round("orchard", date(2026, 6, 16));
    assert!(reasons(&round, "alder").contains(&Reason::Window));
    let eggs = two_hives_and(&format!(
        "2026-04-01 start alder 8 bars drawn\n{split}\n2026-06-14 look alder eggs seen"
    ));
    assert!(!reasons(&eggs.round("orchard", date(2026, 6, 16)), "alder").contains(&Reason::Window));
}

#[test]
fn winter_rounds_open_no_hive_and_the_south_has_its_own() {
    let farm = bees_and("2026-12-01 look alder heft fair\n2026-12-01 look birch heft fair");
    let round = farm.round("orchard", date(2026, 12, 20));
    assert!(!round.spacing.opens && round.visits.is_empty());
    let south = two_hives_and(
        "2026-03-02 yard paddock at -41.2 174.9
         2026-03-02 hive rimu in paddock bars 20
         2026-12-01 install rimu swarm",
    );
    let round = south.round("paddock", date(2026, 12, 20));
    assert!(round.spacing.opens && round.spacing.swarms);
    assert_eq!(reasons(&round, "rimu"), [Reason::LookDue]);
}

#[test]
fn hazards_are_told_until_their_day() {
    let farm = bees_and(
        "2026-04-02 hazard orchard \"live wire along the ditch\"
         2026-04-02 hazard orchard \"bull in the field\" until 2026-05-01",
    );
    assert_eq!(farm.round("orchard", date(2026, 5, 1)).hazards.len(), 2);
    let later = farm.round("orchard", date(2026, 5, 2)).hazards;
    assert_eq!(later.len(), 1);
    assert_eq!(later[0].says, "live wire along the ditch");
}

#[test]
fn a_yard_without_hives_has_an_empty_round() {
    let farm = two_hives_and("2026-03-02 yard lane at 52.2 -2.4");
    let round = farm.round("lane", date(2026, 5, 1));
    assert!(round.visits.is_empty() && round.without_bees.is_empty() && round.carry.is_empty());
    assert_eq!(
        farm.round("orchard", date(2026, 5, 1)).without_bees,
        ["alder", "birch"]
    );
}

#[test]
fn a_bait_box_is_followed_from_its_setting_to_its_removal() {
    let farm = two_hives_and(
        "2026-04-20 bait \"old oak\" set
         2026-05-04 bait \"old oak\" checked scouts 12
         2026-05-10 bait \"old oak\" taken
         2026-05-11 bait \"old oak\" removed
         2027-04-20 bait \"old oak\" set",
    );
    let baits = &farm.holding.diary.baits;
    assert_eq!(baits.len(), 2);
    assert_eq!(baits[0].entries, [4, 5, 6, 7]);
    assert_eq!(
        baits[0]
            .checked
            .as_ref()
            .map(|checked| (checked.entry, checked.what)),
        Some((5, Some(12)))
    );
    assert!(baits[0].taken.is_some() && baits[0].removed.is_some());
    assert!(baits[1].removed.is_none() && baits[1].checked.is_none());
}

#[test]
fn a_swarm_call_is_open_until_it_is_taken_and_leads_to_its_hive() {
    let farm = two_hives_and(
        "2026-05-17 swarm called at \"chapel wall\" by p-9
         2026-05-18 swarm called at \"damson hedge\"
         2026-05-18 swarm taken at \"chapel wall\" weight 1.9 kg
         2026-05-18 install alder swarm from \"chapel wall\"
         2026-05-20 swarm taken at \"mill leat\"",
    );
    let calls = &farm.holding.diary.calls;
    assert_eq!(calls.len(), 3);
    assert_eq!(
        calls[0].installed.as_ref().map(|hive| hive.what.as_str()),
        Some("alder")
    );
    assert!(calls[1].taken.is_none() && calls[1].called.is_some());
    assert!(calls[2].called.is_none() && calls[2].installed.is_none());
}

#[test]
fn a_bait_box_waits_a_week_from_the_last_time_while_swarms_fly() {
    // A rule of keepers, no source: looked into within 7 days.
    let set = "2026-05-02 bait \"old oak\" set";
    let by = |text: &str, day| -> Vec<Date> {
        let farm = two_hives_and(text);
        baits::to_look_into(&farm.holding, day)
            .iter()
            .map(|(by, _)| *by)
            .collect()
    };
    assert_eq!(by(set, date(2026, 5, 3)), [date(2026, 5, 9)]);
    assert_eq!(by(set, date(2026, 9, 3)), [], "no swarm flies");
    let checked = format!("{set}\n2026-05-08 bait \"old oak\" checked scouts 4");
    assert_eq!(by(&checked, date(2026, 5, 9)), [date(2026, 5, 15)]);
    for done in ["taken", "removed"] {
        let text = format!("{checked}\n2026-05-10 bait \"old oak\" {done}");
        assert_eq!(by(&text, date(2026, 5, 11)), [], "{done}");
    }
    let again = two_hives_and(&format!(
        "2025-05-25 bait \"old oak\" checked scouts 8\n2025-05-26 bait \"old oak\" taken\n{set}"
    ));
    let bait = &again.holding.diary.baits[0];
    assert!(baits::since_set(bait, &bait.checked).is_none() && baits::since_set(bait, &bait.taken).is_none());
    assert_eq!(baits::look_by(bait), Some(date(2026, 5, 9)));
}

#[test]
fn a_call_waits_three_days_unless_the_swarm_was_taken() {
    // From memory: a swarm mostly hangs for hours, seldom for more than two or three days.
    let called = "2026-05-17 swarm called at \"chapel wall\" by p-9";
    let count = |text: &str, day| baits::calls_open(&two_hives_and(text).holding, day).len();
    assert_eq!(count(called, date(2026, 5, 20)), 1);
    assert_eq!(count(called, date(2026, 5, 21)), 0);
    let taken = format!("{called}\n2026-05-17 swarm taken at \"chapel wall\"");
    assert_eq!(count(&taken, date(2026, 5, 18)), 0);
}

#[test]
fn few_bare_bars_in_the_time_of_swarms_are_a_reason() {
    let farm = bees_and(
        "2026-05-10 look alder bars 1 to 8 drawn 8/8
         2026-05-10 look alder queen seen eggs seen
         2026-05-10 look birch queen seen eggs seen
         2026-05-10 follower alder at 10",
    );
    let told = farm.round("orchard", date(2026, 5, 15));
    assert_eq!(reasons(&told, "alder"), [Reason::Room]);
    assert_eq!(
        told.visits[0].why[0].1.says,
        "one bar is bare; 18 places lie beyond the follower"
    );
    assert_eq!(reasons(&told, "birch"), []);
    let late = farm.round("orchard", date(2026, 8, 1));
    assert!(!reasons(&late, "alder").contains(&Reason::Room));
}

/// 2.5 combs in 14 days leave 3.5 combs for 19.6 days.
#[test]
fn bars_drawn_before_the_next_look_are_a_reason() {
    let farm = bees_and(
        "2026-04-26 look alder bars 9 to 12 drawn 2/8
         2026-05-10 look alder bars 9 to 12 drawn 7/8
         2026-05-10 look alder queen seen eggs seen
         2026-05-10 look birch queen seen eggs seen
         2026-05-10 follower alder at 16",
    );
    assert_eq!(reasons(&farm.round("orchard", date(2026, 5, 14)), "alder"), []);
    let told = farm.round("orchard", date(2026, 5, 15));
    assert_eq!(reasons(&told, "alder"), [Reason::Room]);
    assert_eq!(
        told.visits[0].why[0].1.says,
        "3 bars are bare; at the rate seen all is drawn about 2026-05-29; 12 places lie beyond the follower"
    );
}

/// A rate is of its weeks: a spring's, or another colony's, fills no bars later.
#[test]
fn an_old_rate_and_anothers_fill_no_bars() {
    let looks = "2026-04-12 look alder bars 9 to 12 drawn 2/8
         2026-04-19 look alder bars 9 to 12 drawn 7/8
         2026-04-20 follower alder at 16";
    let room = |text: &str, day| {
        let told = bees_and(text).round("orchard", day);
        let visit = told.visits.iter().find(|visit| visit.hive == "alder");
        visit.is_some_and(|visit| visit.why.iter().any(|(why, _)| *why == Reason::Room))
    };
    // 42 days after the last look it still counts, a day later it does not.
    assert!(room(looks, date(2026, 5, 31)));
    assert!(!room(looks, date(2026, 6, 1)));
    let others = format!("{looks}\n2026-05-02 lost alder\n2026-05-03 install alder swarm");
    assert!(!room(&others, date(2026, 5, 10)));
}

#[test]
fn a_follower_is_carried_in_autumn_where_none_stands() {
    let count = |text: &str| {
        let told = bees_and(text).round("orchard", date(2026, 10, 10));
        let followers = told.carry.iter().find(|carried| carried.what == Thing::Followers);
        followers.map_or(0, |carried| carried.count)
    };
    assert_eq!(count("2026-08-01 look alder bars 1 to 8 drawn 8/8"), 2);
    assert_eq!(count("2026-08-01 follower alder at 9"), 1);
}
