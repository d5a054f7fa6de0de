//! Looks: what they keep, what contradicts the map, how a comb's life is followed.

use apiary::Weight;
use apiary::colony::state::Comb;
use apiary::note::read;

use crate::{Farm, farm, note, on, two_hives_and};

impl Farm {
    fn comb(&self, hive: &str, place: u16) -> &Comb {
        let h = &self.holding;
        let hive = h.hive_labels.get(hive).expect("a hive");
        let bar = h.hives[hive].bar_at(place).expect("a place");
        &h.combs[h.bars[bar].comb.expect("a comb")]
    }

    fn share(&self, hive: &str, place: u16, field: &str) -> Option<f64> {
        let shares = &self.comb(hive, place).shares;
        shares
            .iter()
            .find(|(of, _)| *of == field)
            .map(|(_, share)| *share)
    }

    fn complaints(&self) -> Vec<&str> {
        self.holding
            .complaints
            .iter()
            .map(|complaint| complaint.says.as_str())
            .collect()
    }

    /// What refuses a line at the desk.
    fn refusals(&self, line: &str) -> Vec<String> {
        let doubts = self.doubts(line).into_iter();
        doubts
            .filter(|doubt| doubt.weight == Weight::Impossible)
            .map(|doubt| doubt.says)
            .collect()
    }
}

const SPRING: &str = "2026-04-12 install alder swarm
2026-04-26 look alder bars 1 to 3 drawn 8/8 brood 5/8 honey 2/8
2026-04-26 look alder bar 4 drawn 4/8 nectar 2/8
2026-04-26 look alder bars 5 to 9 drawn 0/8";

#[test]
fn as_before_keeps_what_was_said_and_renews_the_day() {
    let farm = two_hives_and(&format!("{SPRING}\n2026-05-03 look alder bars 1 to 9 as before"));
    assert_eq!(farm.complaints(), [""; 0]);
    let comb = farm.comb("alder", 1);
    assert_eq!(comb.looks, [5, 8]);
    assert_eq!(comb.last_look, Some(8));
    assert_eq!(
        comb.said_by,
        [5],
        "the words that stand are those of the look that said them"
    );
    assert_eq!(farm.share("alder", 1, "brood"), Some(5.0 / 8.0));
    assert_eq!(farm.comb("alder", 4).drawn, Some(0.5));
}

#[test]
fn as_before_with_a_detail_changes_that_detail_alone() {
    let farm = two_hives_and(&format!(
        "{SPRING}\n2026-05-03 look alder bar 1 as before honey 3/8 cells cups 2"
    ));
    assert_eq!(farm.share("alder", 1, "honey"), Some(3.0 / 8.0));
    assert_eq!(farm.share("alder", 1, "brood"), Some(5.0 / 8.0));
    assert_eq!(farm.comb("alder", 1).said_by, [5, 8]);
}

#[test]
fn both_faces_of_a_day_make_one_comb() {
    let farm = two_hives_and(
        "2026-04-26 look alder bar 1 face near drawn 8/8 brood 6/8 pollen 1/8
         2026-04-26 look alder bar 1 face far drawn 6/8 brood 4/8 honey 2/8",
    );
    assert_eq!(farm.share("alder", 1, "brood"), Some(5.0 / 8.0));
    assert_eq!(farm.comb("alder", 1).drawn, Some(7.0 / 8.0));
    // What one face alone says is on half of the comb.
    assert_eq!(farm.share("alder", 1, "pollen"), Some(1.0 / 16.0));
    assert_eq!(farm.share("alder", 1, "honey"), Some(1.0 / 8.0));
    assert!(!farm.comb("alder", 1).one_face);
}

#[test]
fn a_look_of_another_day_is_not_the_other_face() {
    let farm = two_hives_and(
        "2026-04-26 look alder bar 1 face near drawn 8/8 brood 6/8
         2026-05-03 look alder bar 1 face far drawn 8/8 brood 4/8",
    );
    assert_eq!(farm.share("alder", 1, "brood"), Some(0.5));
}

/// Every contradiction: refused at the desk with the bar named, kept with `anyway`, and a complaint where it stands.
#[test]
fn a_look_that_contradicts_the_map_is_refused_and_is_a_complaint_where_it_stands() {
    let contradictions = [
        (
            "look alder bar 31 drawn 8/8",
            "alder has places 1 to 27, and no bar 31",
        ),
        (
            "look alder bar 9 honey 5/8 brood 4/8",
            "alder bar 9: honey and brood make 9/8, more than a whole comb (8/8)",
        ),
        (
            "look alder bar 9 drawn 4/8 honey 3/8 brood 2/8",
            "alder bar 9: honey and brood make 5/8, more than the 4/8 that is drawn",
        ),
        (
            "look alder bar 9 drawn 2/8 brood 5/8",
            "alder bar 9: more brood is said than comb is drawn",
        ),
        (
            "look alder bars 4, 12 and 13 as before",
            "alder bars 12 and 13 cannot be as before: no look has told yet what is there",
        ),
        (
            "look alder bar 1 as before nectar 2/8",
            "alder bar 1: honey, brood and nectar make 9/8, more than a whole comb (8/8)",
        ),
        (
            "look alder bars 2 and 3 drawn 4/8",
            "alder bar 2: 4/8 is drawn now and 8/8 was before; nothing says that it was cut or has fallen",
        ),
        (
            "look alder bar 9 drawn 8/8 honey 2/8 empty",
            "alder bar 9: empty is said, and honey too",
        ),
        ("look alder stopped 40", "alder has places 1 to 27, and no bar 40"),
    ];
    let spring = two_hives_and(SPRING);
    for (line, says) in contradictions {
        let line = format!("2026-05-03 {line}");
        assert_eq!(spring.refusals(&line), [says], "{line}");
        let stands = two_hives_and(&format!("{SPRING}\n{line} anyway"));
        assert_eq!(stands.complaints(), [says], "{line}");
        assert_eq!(stands.books.entries().len(), 9, "nothing is lost");
    }
}

#[test]
fn what_bees_and_keepers_do_is_no_contradiction() {
    let spring = two_hives_and(SPRING);
    for line in [
        "look alder bar 1 drawn 6/8 brood 5/8 honey 1/8",
        "look alder bar 4 drawn 8/8 capped 3/8 honey 5/8 sealed 2/8 open 1/8 brood 3/8",
        "look alder bar 2 drawn 2/8 fault fallen",
        "look alder bars 5 to 9 as before",
        "look alder bar 12 honey 2/8 brood 6/8",
        "look alder bar 12 drawn 33.3 % honey 33.3 %",
    ] {
        assert_eq!(spring.refusals(&format!("2026-05-03 {line}")), [""; 0], "{line}");
    }
    let cut = two_hives_and(&format!("{SPRING}\n2026-05-02 cut alder bar 1 half into pail-1"));
    assert_eq!(cut.refusals("2026-05-03 look alder bar 1 drawn 4/8"), [""; 0]);
    let gone = two_hives_and(&format!("{SPRING}\n2026-05-02 cut alder bar 1 into pail-1"));
    assert_eq!(gone.refusals("2026-05-03 look alder bar 1 as before").len(), 1);
    assert_eq!(gone.refusals("2026-05-03 look alder bar 1 drawn 1/8"), [""; 0]);
}

#[test]
fn a_comb_keeps_its_life_wherever_its_bar_goes() {
    let farm = two_hives_and(&format!(
        "{SPRING}
         2026-05-03 add alder 2 bars at 2
         2026-05-10 shift alder bar 4 to 1
         2026-05-11 split alder bar 1 into birch
         2026-05-20 look birch bar 1 as before
         2026-06-02 store birch bar 1 in freezer"
    ));
    let comb = farm.comb("freezer", 1);
    let life: Vec<(String, u16)> = comb
        .moved
        .iter()
        .map(|at| (farm.holding.hives[at.hive].label.to_string(), at.place))
        .collect();
    let told = life.iter().map(|(hive, place)| (hive.as_str(), *place));
    assert_eq!(
        told.collect::<Vec<_>>(),
        [
            ("alder", 2),
            ("alder", 4),
            ("alder", 1),
            ("birch", 1),
            ("freezer", 1)
        ]
    );
    assert_eq!(comb.since, Some(on("2026-04-26")));
    assert_eq!(comb.looks, [5, 11]);
    assert_eq!(comb.ended, None);
}

#[test]
fn a_cut_comb_ends_and_the_next_on_its_bar_is_another() {
    let farm = two_hives_and(&format!(
        "{SPRING}
         2026-07-19 cut alder bar 3 into pail-1
         2026-08-02 look alder bar 3 drawn 2/8"
    ));
    assert_eq!(farm.comb("alder", 3).since, Some(on("2026-08-02")));
    let ended = farm.holding.combs.iter().filter_map(|(_, comb)| comb.ended);
    assert_eq!(ended.collect::<Vec<_>>(), [(on("2026-07-19"), 8)]);
}

#[test]
fn brood_turns_are_counted_only_where_no_brood_can_be_the_same() {
    let brood = |days: &[&str]| {
        let lines = days
            .iter()
            .map(|day| format!("{day} look alder bar 1 drawn 8/8 brood 4/8"));
        let farm = two_hives_and(&lines.collect::<Vec<_>>().join("\n"));
        farm.comb("alder", 1).brood_turns
    };
    assert_eq!(brood(&["2026-04-01"]), 1);
    assert_eq!(
        brood(&["2026-04-01", "2026-04-21"]),
        1,
        "20 days: it may be the same brood"
    );
    assert_eq!(
        brood(&["2026-04-01", "2026-04-22"]),
        2,
        "21 days: a worker of the first has left its cell"
    );
    assert_eq!(
        brood(&["2026-04-01", "2026-04-14", "2026-04-27", "2026-05-10"]),
        2
    );
    let drones = two_hives_and("2026-04-01 look alder bar 1 drawn 8/8 drones 4/8");
    assert_eq!(drones.comb("alder", 1).brood_turns, 0);
    let eggs = two_hives_and("2026-04-01 look alder bar 1 drawn 8/8 eggs seen");
    assert_eq!(eggs.comb("alder", 1).brood_turns, 1);
}

#[test]
fn measures_are_kept_with_the_comb() {
    let farm = two_hives_and(
        "2026-04-01 look alder bar 1 drawn 8/8
         2026-06-14 measure alder bar 1 ten cells 53 mm 54 mm 52 mm
         2026-06-15 measure alder bar 1 thickness 24 mm drones 1/8",
    );
    let comb = farm.comb("alder", 1);
    let cell = comb.worker_cell.expect("measured").to_mm();
    assert!((cell - 5.3).abs() < 1e-3, "{cell}");
    assert_eq!(comb.thickness.map(|thickness| thickness.to_mm()), Some(24.0));
    assert_eq!(comb.drone_share, Some(0.125));
    assert_eq!(comb.measures, [5, 6]);
}

#[test]
fn a_fault_of_a_look_stands_until_a_look_sees_none() {
    let farm = two_hives_and("2026-05-24 look alder bar 4 drawn 8/8 fault bulging");
    assert_eq!(
        farm.comb("alder", 4)
            .fault
            .as_ref()
            .map(|fault| (fault.what, fault.entry)),
        Some(("bulging", 4))
    );
    let farm = two_hives_and(
        "2026-05-24 look alder bar 4 drawn 8/8 fault bulging
         2026-05-30 look alder bar 4 as before fault none",
    );
    assert_eq!(farm.comb("alder", 4).fault, None);
}

/// Words that came into the language later stay free as names.
#[test]
fn later_words_of_the_language_are_still_names() {
    for word in ["before", "smoke", "handled", "flight", "jot"] {
        let line = format!("2026-03-01 hive {word} in orchard bars 27");
        assert_eq!(note(&line).to_string(), line);
        let line = format!("2026-05-24 look {word} smoke little handled gently flight good stopped 4");
        assert_eq!(note(&line).to_string(), line);
        let line = format!("2026-05-24 jot {word} flight");
        assert_eq!(note(&line).to_string(), line);
        let line = format!("2026-05-24 look {word} bars 1 to 3 as before");
        assert_eq!(note(&line).to_string(), line);
    }
    assert!(read("2026-05-24 look alder bar 3 flight good").is_err());
}

#[test]
fn a_jot_is_kept_as_it_came() {
    let farm = farm(
        "2026-03-01 yard orchard at 52.1 -2.4
2026-03-01 hive alder in orchard bars 27
2026-05-24 jot \"ask about the wall; bars, 3 & 4 <odd>\"
2026-05-24 jot alder \"they hang out\"
2026-05-24 jot alder bar 3 \"low on the far side\"",
    );
    let jots: Vec<(usize, bool)> = farm
        .holding
        .jots
        .iter()
        .map(|jot| (jot.entry, jot.hive.is_some()))
        .collect();
    assert_eq!(jots, [(2, false), (3, true), (4, true)]);
    let line = "2026-05-24 jot \"ask about the wall; bars, 3 & 4 <odd>\"";
    assert_eq!(
        note(line).fact.text("words"),
        Some("ask about the wall; bars, 3 & 4 <odd>")
    );
}

mod answers {
    use apiary::colony::answers::{Change, changes, life, look_days, unfinished};
    use apiary::note::Note;

    use super::*;

    impl Farm {
        fn notes(&self) -> Vec<Note> {
            let entries = self.books.entries().iter();
            entries
                .map(|entry| note(entry.note.as_deref().expect("words")))
                .collect()
        }

        /// The places that a stopped look has left out.
        fn unseen(&self, hive: &str) -> Vec<u16> {
            let hive = self.holding.hive_labels.get(hive).expect("a hive");
            unfinished(&self.holding, hive).map_or_else(Vec::new, |left| left.unseen)
        }
    }

    const STOPPED: &str = "2026-03-01 start alder 12 bars drawn
2026-05-02 look alder bars 1 to 5 drawn 8/8 brood 4/8
2026-05-02 look alder stopped 5";

    #[test]
    fn a_stopped_look_knows_what_it_left_out() {
        assert_eq!(two_hives_and(STOPPED).unseen("alder"), [6, 7, 8, 9, 10, 11, 12]);
    }

    #[test]
    fn a_stopped_look_is_finished_on_a_later_day() {
        let half = two_hives_and(&format!("{STOPPED}\n2026-05-04 look alder bars 6 to 9 drawn 8/8"));
        assert_eq!(half.unseen("alder"), [10, 11, 12]);
        let whole = two_hives_and(&format!(
            "{STOPPED}\n2026-05-04 look alder bars 6 to 9 drawn 8/8\n2026-05-05 look alder bars 10 to 12 drawn 8/8"
        ));
        assert_eq!(whole.unseen("alder"), [0; 0]);
    }

    #[test]
    fn a_look_begun_anew_at_the_entrance_is_another() {
        let anew = two_hives_and(&format!("{STOPPED}\n2026-05-09 look alder bar 1 drawn 8/8"));
        assert_eq!(
            anew.unseen("alder"),
            [0; 0],
            "the keeper began again from the first bar"
        );
        let twice = two_hives_and(&format!(
            "{STOPPED}\n2026-05-09 look alder bars 1 to 3 drawn 8/8\n2026-05-09 look alder stopped 3"
        ));
        assert_eq!(twice.unseen("alder"), [4, 5, 6, 7, 8, 9, 10, 11, 12]);
    }

    #[test]
    fn a_stopped_look_stays_with_the_bars_when_they_move() {
        let moved = two_hives_and(&format!("{STOPPED}\n2026-05-03 add alder 2 bars at 1"));
        // The five that were seen now stand at 3 to 7; those behind 5 that were seen are not asked for again.
        assert_eq!(moved.unseen("alder"), [8, 9, 10, 11, 12, 13, 14]);
    }

    #[test]
    fn changes_are_told_bar_by_bar_against_the_look_before() {
        let farm = two_hives_and(
            "2026-03-01 start alder 4 bars drawn
             2026-04-26 look alder bars 1 and 2 drawn 8/8 brood 5/8 honey 2/8
             2026-05-03 look alder bar 1 as before
             2026-05-03 look alder bar 2 drawn 8/8 brood 3/8 pollen 1/8 cells sealed 2 fault bulging
             2026-05-03 look alder bar 5 drawn 2/8
             2026-05-04 cut alder bar 3 into pail-1",
        );
        let notes = farm.notes();
        let said = |entry: usize| notes.get(entry);
        let hive = farm.holding.hive_labels.get("alder").expect("a hive");
        let told = changes(&farm.holding, &said, hive).expect("a look");
        assert_eq!((told.since, told.last), (on("2026-05-03"), on("2026-05-03")));
        let places: Vec<u16> = told.bars.iter().map(|bar| bar.place).collect();
        assert_eq!(places, [1, 2, 5]);
        assert_eq!(told.not_seen, [4]);
        assert_eq!(told.gone, [(3, on("2026-05-04"), 9)]);
        assert!(told.bars[0].changes.is_empty());
        assert_eq!(told.bars[0].before, Some((on("2026-04-26"), 5)));
        let change = |field, before, now| Change { field, before, now };
        assert_eq!(
            told.bars[1].changes,
            [
                change("brood", Some(0.625), Some(0.375)),
                change("honey", Some(0.25), None),
                change("pollen", None, Some(0.125)),
            ]
        );
        assert_eq!(told.bars[1].found, ["sealed queen cells: 2", "bulging"]);
        assert_eq!(told.bars[2].before, None);
        assert_eq!(
            look_days(&farm.holding, &said, hive),
            [on("2026-04-26"), on("2026-05-03")]
        );
    }

    #[test]
    fn a_life_is_told_in_the_order_of_its_days() {
        let farm = two_hives_and(
            "2026-04-26 look alder bar 1 drawn 4/8
             2026-05-10 shift alder bar 1 to 3
             2026-05-11 shift alder bar 3 to birch 1
             2026-05-20 measure birch bar 1 thickness 24 mm
             2026-06-20 cut birch bar 1 into pail-1",
        );
        let notes = farm.notes();
        let said = |entry: usize| notes.get(entry);
        let (comb, _) = farm.holding.combs.iter().next().expect("a comb");
        let told: Vec<String> = life(&farm.holding, &said, comb)
            .into_iter()
            .map(|row| row.says)
            .collect();
        assert_eq!(
            told,
            [
                "known to hang in alder at place 1",
                "seen: drawn 4/8",
                "stands at place 3 of alder instead of 1",
                "goes from alder to birch, place 1",
                "measured: thickness 24 mm",
                "cut off, or gone with its bar",
            ]
        );
    }
}

/// Looks of one day add up, and a look that speaks of something else leaves what is known of the comb.
#[test]
fn a_look_takes_away_only_what_it_says_anew() {
    let farm = two_hives_and(
        "2026-04-26 look alder bar 2 drawn 8/8 capped 2/8 sealed 2/8
         2026-04-26 look alder bar 2 pollen 1/8
         2026-04-30 look alder bar 2 queen seen",
    );
    assert_eq!(farm.share("alder", 2, "sealed"), Some(2.0 / 8.0));
    assert_eq!(farm.share("alder", 2, "pollen"), Some(1.0 / 8.0));
    assert_eq!(farm.comb("alder", 2).said_by, [4, 5, 6]);
    let anew = two_hives_and(
        "2026-04-26 look alder bar 2 drawn 8/8 capped 2/8 sealed 2/8
         2026-04-30 look alder bar 2 drawn 8/8 capped 3/8",
    );
    assert_eq!(
        anew.share("alder", 2, "sealed"),
        None,
        "another day's look tells all it saw"
    );
}

/// Ripe is capped for three quarters, with no brood that any look of the day told, and of both faces.
#[test]
fn what_may_hold_brood_is_not_ripe() {
    let ripe = |looks: &str| -> Vec<(u16, bool)> {
        let farm = two_hives_and(looks);
        let ripe = apiary::colony::answers::ripe(&farm.holding);
        ripe.iter().map(|comb| (comb.place, comb.brood_told)).collect()
    };
    let on = |says: &str| format!("2026-07-01 look alder bar 6 drawn 8/8 {says}");
    assert_eq!(ripe(&on("capped 6/8 brood 0/8")), [(6, true)]);
    assert_eq!(
        ripe(&on("capped 6/8 pollen 2/8")),
        [(6, true)],
        "nothing is left over"
    );
    assert_eq!(
        ripe(&on("capped 6/8")),
        [(6, false)],
        "of two eighths nothing is known"
    );
    assert_eq!(ripe(&on("capped 5/8 brood 0/8")), []);
    assert_eq!(ripe(&on("capped 6/8 sealed 1/8")), []);
    assert_eq!(ripe(&on("capped 6/8 eggs seen")), []);
    let twice = "2026-07-01 look alder bar 6 drawn 8/8 sealed 2/8\n2026-07-01 look alder bar 6 capped 6/8";
    assert_eq!(ripe(twice), []);
    let near = "2026-07-01 look alder bar 6 face near drawn 8/8 capped 8/8";
    assert_eq!(ripe(near), [], "the far face is not known");
    assert_eq!(
        ripe(&format!(
            "{near}\n2026-07-01 look alder bar 6 face far drawn 8/8 capped 7/8 brood 0/8"
        )),
        [(6, true)]
    );
}

/// A swarm on old combs has none of the brood that was in them before it came.
#[test]
fn what_was_anothers_is_not_the_new_colonys() {
    let farm = two_hives_and(
        "2026-04-01 start alder 4 bars drawn
         2026-05-01 look alder bar 1 drawn 8/8 brood 5/8 honey 2/8 bees 6/8
         2026-05-10 lost alder
         2026-05-20 install alder swarm as wren",
    );
    let alder = farm.holding.hive_labels.get("alder").expect("a hive");
    let bars = apiary::colony::answers::bars(&farm.holding, &farm.books, alder);
    assert!(bars[0].of_another && !bars[4].of_another);
    assert_eq!(
        bars[0].contents.as_deref(),
        Some("before wren came: drawn 8/8 brood 5/8 honey 2/8 bees 6/8")
    );
    let shares = &bars[0].comb.as_ref().expect("a comb").shares;
    assert_eq!(shares, &[("drawn", 1.0), ("honey", 0.25)]);
    let notes = |entry: usize| farm.notes.get(entry);
    let parts = apiary::colony::answers::strengths(&farm.holding, &notes, alder).expect("a section");
    assert!(parts[0].whole.bees.is_none() && parts[0].whole.brood_cells.is_none());
    assert!(parts[0].whole.honey_kg.is_some(), "the honey is there still");
    // As before would be said of another colony's brood.
    let doubts = farm.doubts("2026-05-24 look alder bar 1 as before");
    assert!(
        doubts
            .iter()
            .any(|doubt| doubt.says.contains("wren came on 2026-05-20")),
        "{doubts:?}"
    );
    // Combs that came with the bees are theirs.
    let split = two_hives_and(
        "2026-04-01 start alder 8 bars drawn
         2026-05-01 look alder bars 1 to 4 drawn 8/8 brood 5/8
         2026-05-10 split alder bars 1 to 4 into birch queen moved",
    );
    let birch = split.holding.hive_labels.get("birch").expect("a hive");
    let bars = apiary::colony::answers::bars(&split.holding, &split.books, birch);
    assert!(bars.iter().all(|bar| !bar.of_another));
}

/// The wrong unit of a measure is refused; a usual one is not.
#[test]
fn a_measure_that_no_comb_has_is_refused() {
    let farm = two_hives_and(SPRING);
    for (line, says) in [
        ("ten cells 1 mm", "ten cells are not 1 mm wide"),
        ("ten cells 53 cm 54 mm 53 mm", "ten cells are not 530 mm wide"),
        ("thickness 200 mm", "no comb is 200 mm thick"),
        (
            "face 5000 cm2",
            "a face of 5000 cm² does not fit the section, which has room for 826",
        ),
    ] {
        let refusals = farm.refusals(&format!("2026-06-14 measure alder bar 2 {line}"));
        assert!(
            refusals.iter().any(|refusal| refusal.contains(says)),
            "{line}: {refusals:?}"
        );
    }
    for line in [
        "ten cells 53 mm 54 mm 53 mm",
        "ten cells 66 mm",
        "thickness 38 mm",
        "face 830 cm2",
    ] {
        assert_eq!(
            farm.refusals(&format!("2026-06-14 measure alder bar 2 {line}")),
            [""; 0],
            "{line}"
        );
    }
}
