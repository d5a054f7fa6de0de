//! Bars and combs as they move: nothing renumbers but by adding and shifting.

use jiff::civil::date;

use crate::fixture::Desk;

fn tagged() -> Desk {
    let mut desk = Desk::with_two_hives();
    desk.write(
        "2026-04-01 start alder 6 bars drawn
         2026-04-02 tag alder bar 1 as a
         2026-04-02 tag alder bar 2 as b
         2026-04-02 tag alder bar 3 as c
         2026-04-02 tag alder bar 4 as d
         2026-04-02 tag alder bar 5 as e
         2026-04-02 tag alder bar 6 as f",
    );
    desk
}

#[test]
fn added_bars_push_back_what_stood_there_and_behind() {
    let mut desk = tagged();
    desk.write("2026-05-03 add alder 2 bars at 5");
    assert_eq!(
        desk.map("alder", None),
        "1:a:alder 2:b:alder 3:c:alder 4:d:alder 7:e:alder 8:f:alder"
    );
    assert_eq!(
        desk.map("alder", Some(date(2026, 5, 2))),
        "1:a:alder 2:b:alder 3:c:alder 4:d:alder 5:e:alder 6:f:alder"
    );
}

#[test]
fn a_shift_moves_one_comb_and_those_between() {
    let mut desk = tagged();
    desk.write("2026-05-10 shift alder bar 6 to 2");
    assert_eq!(
        desk.map("alder", None),
        "1:a:alder 2:f:alder 3:b:alder 4:c:alder 5:d:alder 6:e:alder"
    );
    desk.write("2026-05-11 shift alder bar 1 to 3");
    assert_eq!(
        desk.map("alder", None),
        "1:f:alder 2:b:alder 3:a:alder 4:c:alder 5:d:alder 6:e:alder"
    );
    desk.write("2026-05-12 shift alder bars 1 and 2 to 5");
    assert_eq!(
        desk.map("alder", None),
        "1:a:alder 2:c:alder 3:d:alder 4:e:alder 5:f:alder 6:b:alder"
    );
}

#[test]
fn a_shift_into_another_hive_leaves_a_bare_bar() {
    let mut desk = tagged();
    desk.write("2026-04-03 start birch 4 bars drawn\n2026-05-10 shift alder bar 2 to birch 2");
    assert_eq!(
        desk.map("alder", None),
        "1:a:alder 3:c:alder 4:d:alder 5:e:alder 6:f:alder"
    );
    assert_eq!(
        desk.map("birch", None),
        "1:-:birch 2:b:birch 3:-:birch 4:-:birch 5:-:birch"
    );
}

#[test]
fn a_split_begins_a_colony_behind_the_last_comb() {
    let mut desk = tagged();
    desk.write("2026-05-10 split alder bars 3 to 5 into birch");
    assert_eq!(desk.map("alder", None), "1:a:alder 2:b:alder 6:f:alder");
    assert_eq!(desk.map("birch", None), "1:c:birch 2:d:birch 3:e:birch");
}

#[test]
fn combs_keep_their_identity_in_the_freezer_and_back() {
    let mut desk = tagged();
    desk.write("2026-09-02 store alder bars 5 and 6 in freezer");
    assert_eq!(desk.map("freezer", None), "1:e:nobody 2:f:nobody");
    desk.write("2027-04-02 shift freezer bar 2 to birch 1");
    assert_eq!(desk.map("freezer", None), "1:e:nobody");
    assert_eq!(desk.map("birch", None), "1:f:nobody");
    desk.write("2027-04-03 shift bar e to alder 2");
    assert_eq!(
        desk.map("alder", None),
        "1:a:alder 2:e:alder 3:b:alder 4:c:alder 5:d:alder"
    );
}

#[test]
fn two_colonies_share_a_box_with_a_follower_between() {
    let mut desk = tagged();
    desk.write(
        "2026-05-01 follower alder at 15
         2026-05-02 install alder swarm as heron at 15
         2026-05-20 look alder bar 16 drawn 8/8",
    );
    assert!(desk.map("alder", None).ends_with("6:f:alder 16:-:heron"));
    desk.write("2026-05-21 add alder 1 bars at 3");
    assert!(
        desk.map("alder", None).ends_with("17:-:heron"),
        "{}",
        desk.map("alder", None)
    );
    assert!(
        desk.refused("2026-05-22 add alder 11 bars at 3")
            .contains("would push the comb")
    );
}

#[test]
fn a_hive_outlives_its_colony() {
    let mut desk = tagged();
    desk.write("2026-06-01 lost alder cause \"queen failure\"");
    assert_eq!(
        desk.map("alder", None),
        "1:a:nobody 2:b:nobody 3:c:nobody 4:d:nobody 5:e:nobody 6:f:nobody"
    );
    desk.write("2026-06-10 install alder swarm as wren");
    assert!(desk.map("alder", None).starts_with("1:a:wren"));
    assert_eq!(desk.complaints(), Vec::<String>::new());
}

#[test]
fn uniting_moves_bees_and_leaves_the_combs() {
    let mut desk = tagged();
    desk.write("2026-05-10 split alder bars 3 to 5 into birch\n2026-09-20 unite birch into alder");
    assert_eq!(desk.map("birch", None), "1:c:nobody 2:d:nobody 3:e:nobody");
}

#[test]
fn a_renamed_hive_is_the_same_hive() {
    let mut desk = tagged();
    desk.write("2026-05-01 rename hive alder to rowan\n2026-05-02 look rowan bar 1 drawn 8/8 honey 3/8");
    assert!(desk.map("rowan", None).starts_with("1:a:rowan"));
    assert!(
        desk.refused("2026-05-03 look alder bar 1 drawn 8/8")
            .contains("no hive is called alder")
    );
    // The old label is free again.
    desk.write("2027-03-01 hive alder in orchard bars 10");
}

#[test]
fn half_a_comb_leaves_the_rest_with_its_identity() {
    let mut desk = tagged();
    desk.write("2026-07-19 cut alder bar 6 half into pail-1\n2026-07-20 cut alder bar 5 into pail-1\n2026-07-20 weigh pail-1 net 3 kg");
    assert_eq!(
        desk.map("alder", None),
        "1:a:alder 2:b:alder 3:c:alder 4:d:alder 5:e:alder 6:f:alder"
    );
    let holding = desk.office.library().holding().clone();
    let e = apiary::colony::answers::bars(
        &holding,
        desk.office.library().books(),
        holding.hive_labels.get("alder").expect("alder"),
    );
    assert!(!e[4].has_comb, "the whole comb is gone, its bar stays");
    assert!(e[5].has_comb, "half a comb is left");
    let yields = app::wire::balance(&holding, desk.office.library().books());
    assert_eq!(yields["batches"][0]["in_kg"], 3.0);
}

#[test]
fn a_pail_filled_again_is_another_batch() {
    let mut desk = tagged();
    desk.write(
        "2026-07-19 cut alder bar 6 into pail-1
         2026-07-19 weigh pail-1 net 2 kg
         2026-07-20 strain pail-1 into tank-1 honey 1.6 kg residue 0.4 kg
         2026-07-21 fill tank-1 4 jars of 400 g lot A26
         2027-07-19 cut alder bar 5 into pail-1
         2027-07-19 weigh pail-1 net 2.1 kg
         2027-07-20 strain pail-1 into tank-1 honey 1.7 kg residue 0.4 kg
         2027-07-21 fill tank-1 4 jars of 400 g lot A27",
    );
    let bars = |lot: &serde_json::Value| {
        lot["from"]
            .as_array()
            .expect("from")
            .iter()
            .map(|row| row["bar"].as_u64())
            .collect::<Vec<_>>()
    };
    let (first, second) = (desk.lot("A26"), desk.lot("A27"));
    assert_eq!(bars(&first), [Some(6)]);
    assert_eq!(bars(&second), [Some(5)], "the emptied pail and tank began anew");
}

#[test]
fn bars_that_do_not_fit_are_refused_and_bare_ones_go_to_the_spares() {
    let mut desk = tagged();
    for (line, reason) in [
        ("2026-05-03 add alder 3 bars at 26", "reach beyond"),
        ("2026-05-03 add alder 1 bar at 28", "no place 28"),
        ("2026-05-03 add alder 22 bars at 2", "push the comb at place 6"),
        ("2026-05-03 shift alder bars 1 to 3 to birch 26", "reach beyond"),
        (
            "2026-05-03 split alder bars 1 to 3 into birch at 26",
            "reach beyond",
        ),
        ("2026-05-03 follower alder at 29", "none that a follower"),
        ("2026-05-03 follower alder at 0", "none that a follower"),
        ("2026-05-03 tag alder bars 1 to 3 as z", "a tag is for one bar"),
        ("2026-05-03 start birch 28 bars drawn", "cannot hold 28 combs"),
        ("2026-05-03 hive cedar in orchard bars 1000", "1 to 999 bars"),
        ("2026-05-03 hive cedar in orchard bars 0", "1 to 999 bars"),
        ("2026-05-03 unite alder into alder", "the same colony"),
    ] {
        let why = desk.refused(line);
        assert!(why.contains(reason), "{line}\n{why}");
    }
    desk.write("2026-05-04 tag alder bar 27 as far\n2026-05-05 add alder 2 bars at 7");
    assert!(
        desk.map("spares", None).contains("far"),
        "{}",
        desk.map("spares", None)
    );
    assert_eq!(desk.complaints(), Vec::<String>::new());
}

#[test]
fn a_pail_weighed_twice_shares_each_weighing_among_its_own_combs() {
    let mut desk = tagged();
    desk.write(
        "2026-07-19 cut alder bar 1 into pail-1
         2026-07-19 weigh pail-1 net 2 kg
         2026-07-19 cut alder bar 2 into pail-1
         2026-07-19 weigh pail-1 net 5 kg
         2026-07-20 strain pail-1 into tank-1 honey 4 kg residue 0.9 kg loss 0.1 kg
         2026-07-21 fill tank-1 2 jars of 340 g lot A26",
    );
    let lot = desk.lot("A26");
    let masses: Vec<f64> = lot["from"]
        .as_array()
        .expect("from")
        .iter()
        .filter_map(|row| row["comb_kg"].as_f64())
        .collect();
    assert_eq!(masses, [2.0, 3.0]);
}
