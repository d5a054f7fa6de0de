//! Which notes name a hive, a colony or a yard.

use crate::{farm, two_hives_and};

#[test]
fn a_hive_is_named_by_its_own_name_its_bars_and_the_tags_that_hang_in_it() {
    let farm = two_hives_and(
        "2026-04-01 start alder 6 bars drawn
         2026-04-02 tag alder bar 2 as K7
         2026-04-26 look alder bars 1 to 3 drawn 8/8
         2026-04-27 look bar K7 brood 4/8
         2026-05-10 shift bar K7 to birch 4
         2026-05-11 fault bar K7 crossed
         2026-05-12 look alder queen seen",
    );
    assert_eq!(farm.hive("alder"), [2, 4, 5, 6, 7, 8]);
    assert_eq!(farm.hive("birch"), [3, 8, 9]);
}

#[test]
fn a_colony_is_named_by_its_own_name_or_its_hives() {
    let farm = two_hives_and(
        "2026-04-12 install alder swarm weight 1.6 kg
         2026-04-13 install birch swarm as hazel
         2026-04-26 look alder queen seen
         2026-04-26 look birch queen seen
         2026-04-27 feed hazel syrup 1 kg
         2026-06-15 wash hazel bees 300 mites 6
         2026-09-20 unite hazel into alder",
    );
    assert_eq!(farm.colony("alder"), [4, 6, 10]);
    assert_eq!(farm.colony("hazel"), [5, 7, 8, 9, 10]);
    assert_eq!(farm.hive("birch"), [3, 5], "its colony is not the box");
}

#[test]
fn whoever_shares_a_hive_is_not_named_by_the_end_of_a_neighbour() {
    let farm = two_hives_and(
        "2026-04-12 install alder swarm
         2026-05-11 follower alder at 9
         2026-05-12 install alder swarm as hazel at 9
         2026-11-02 lost alder",
    );
    assert_eq!(farm.colony("alder"), [4, 7]);
    assert_eq!(farm.colony("hazel"), [6]);
}

#[test]
fn bees_that_join_a_colony_are_part_of_its_history() {
    let farm = two_hives_and("2026-04-12 install alder swarm\n2026-05-12 install alder swarm");
    assert_eq!(farm.colony("alder"), [4, 5]);
}

#[test]
fn a_renaming_is_part_of_the_history_under_the_new_name() {
    let farm = two_hives_and(
        "2026-04-12 install alder swarm
         2026-04-13 rename hive alder to rowan
         2026-04-14 rename yard orchard to meadow
         2026-04-15 rename colony rowan to hazel
         2026-04-16 look rowan bars 1 to 2 drawn 8/8
         2026-04-17 weather meadow low 11 C",
    );
    assert_eq!(farm.hive("rowan"), [2, 4, 5, 8]);
    assert_eq!(farm.colony("hazel"), [4, 5, 7]);
    assert_eq!(farm.yard("meadow"), [0, 2, 3, 6, 9]);
}

#[test]
fn a_store_begins_with_the_combs_put_into_it() {
    let farm = two_hives_and(
        "2026-04-01 start alder 6 bars drawn
         2026-09-02 store alder bars 5 and 6 in freezer
         2026-09-03 store alder bar 4 in freezer
         2027-04-02 shift freezer bar 2 to birch 1",
    );
    assert_eq!(farm.hive("freezer"), [5, 6, 7]);
    assert_eq!(farm.hive("alder"), [2, 4, 5, 6]);
}

#[test]
fn a_new_hive_under_an_old_name_has_a_history_of_its_own() {
    let farm = two_hives_and(
        "2026-05-01 sell hive birch to p-14 for 90.00 GBP
         2026-05-02 hive birch in orchard bars 20",
    );
    assert_eq!(farm.hive("birch"), [5]);
    let all: Vec<&[usize]> = farm
        .holding
        .hives
        .iter()
        .map(|(_, hive)| hive.entries.as_slice())
        .collect();
    assert_eq!(all, [&[2][..], &[3, 4], &[5]]);
}

#[test]
fn what_no_note_has_made_known_has_no_history() {
    let farm = farm("2026-04-26 look alder bars 1 to 3 drawn 8/8\n2026-04-27 travel orchard 14 km");
    assert!(farm.holding.hives.iter().next().is_none());
    assert!(farm.holding.ground.yards.iter().next().is_none());
}

#[test]
fn yards_and_patterns_tell_their_entry_and_their_measures() {
    let farm = two_hives_and("2026-03-02 pattern odd drum diameter 40 cm depth 60 cm bar 0 mm");
    let ground = &farm.holding.ground;
    let pattern = |name| &ground.patterns[ground.pattern_labels.get(name).expect("a pattern")];
    let sloping = pattern("sloping");
    let section = sloping.section.as_ref().expect("a section");
    assert_eq!(
        section.width_at_bars(quantity::Length::ZERO),
        quantity::Length::mm(445)
    );
    assert_eq!(
        Some(section.comb(apiary::ground::pattern::BEE_SPACE)),
        sloping.comb
    );
    assert_eq!(
        (sloping.bar, sloping.length, sloping.made_by),
        (Some(quantity::Length::mm(35)), Some(quantity::Length::mm(955)), 1)
    );
    let odd = pattern("odd");
    assert_eq!(
        (&odd.section, odd.bar, odd.length, odd.made_by),
        (&None, None, None, 4)
    );
    assert_eq!(ground.yards.iter().next().map(|(_, yard)| yard.made_by), Some(0));
}

#[test]
fn a_bar_tells_its_comb_in_numbers() {
    let farm = two_hives_and(
        "2026-04-26 look alder bar 1 drawn 8/8 brood 5/8
         2026-07-19 cut alder bar 1 half into pail-12
         2026-07-20 look alder bar 2 drawn 50 %
         2026-07-20 start alder 3 bars drawn",
    );
    let alder = farm.holding.hive_labels.get("alder").expect("a hive");
    let bars = apiary::colony::answers::bars(&farm.holding, &farm.books, alder);
    let seen: Vec<_> = bars[..4]
        .iter()
        .map(|bar| {
            let comb = bar.comb.as_ref();
            let numbers = comb.map(|comb| (comb.drawn, comb.left, comb.shares.clone()));
            (numbers, bar.looked_on.map(|day| day.to_string()))
        })
        .collect();
    let on = |day: &str| Some(day.to_owned());
    // The brood of April was of whoever lived there before the colony that is begun with in July.
    assert_eq!(
        seen,
        [
            (Some((Some(1.0), 0.5, vec![("drawn", 1.0)])), on("2026-04-26")),
            (Some((Some(1.0), 1.0, vec![("drawn", 0.5)])), on("2026-07-20")),
            (Some((Some(1.0), 1.0, vec![])), None),
            (None, None),
        ]
    );
}
