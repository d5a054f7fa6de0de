//! The page of a hive: what it says of estimates, changes, dates, combs; where it says that nothing is known.

use app::{sheets, wire};
use jiff::civil::{Date, date};
use page::text;
use serde_json::Value;

use crate::fixture::{Desk, seal};

const SPRING: &str = "2026-04-12 install alder swarm
2026-04-26 look alder bars 1 to 3 drawn 8/8 sealed 3/8 open 1/8 eggs 1/8 capped 1/8 honey 2/8 bees 6/8
2026-04-26 look alder bar 4 drawn 4/8 nectar 2/8
2026-05-10 look alder bar 1 drawn 8/8 sealed 5/8 bees 7/8 cells cups 2
2026-05-10 look alder bars 2 and 3 as before
2026-05-10 look alder bar 5 drawn 2/8 empty";

impl Desk {
    /// The page as words, drawings and forms left out.
    fn hive_page(&self, name: &str, on: Option<Date>) -> String {
        let reader = self.office.reader(on, date(2026, 11, 25));
        text::page(&sheets::hive(&reader, name).expect("a hive"))
    }

    fn hive_told(&self, name: &str, on: Option<Date>) -> Value {
        let reader = self.office.reader(on, date(2026, 11, 25));
        wire::hive_told(&reader, name).expect("a hive")
    }

    fn why(&self, steps: &[&str]) -> Option<String> {
        let reader = self.office.reader(None, date(2026, 11, 25));
        sheets::why(&reader, steps, sheets::Part::FIRST).map(|page| text::page(&page))
    }
}

#[track_caller]
fn says(page: &str, words: &str) {
    assert!(page.contains(words), "{words:?} is not said:\n{page}");
}

fn spring() -> Desk {
    let mut desk = Desk::with_two_hives();
    desk.write(SPRING);
    desk
}

#[test]
fn an_estimate_has_its_bounds_says_how_old_it_is_and_what_is_unknown_is_null() {
    let told = spring().hive_told("alder", None);
    let part = &told["strength"][0];
    let number = |key: &str| part[key].as_f64().unwrap_or(f64::NAN);
    assert!(number("bees_lo_count") < number("bees_count") && number("bees_count") < number("bees_hi_count"));
    assert_eq!(part["combs_that_tell"]["bees"], 3);
    assert_eq!(part["combs"], 5);
    assert!(
        part["pollen_kg"].as_f64().is_some_and(|kg| kg == 0.0),
        "the empty comb alone tells of it"
    );
    assert_eq!(part["combs_that_tell"]["pollen"], 1);
    assert_eq!(
        part["looked_from"], "2026-05-10",
        "nectar alone tells nothing of honey"
    );
    assert_eq!(part["oldest_look_days"], 199);
    let bar = |place: usize| &part["bars"][place - 1];
    assert!(bar(4)["bees_count"].is_null() && bar(4)["honey_kg"].is_null());
    assert_eq!(
        bar(5)["worker_brood_cells"],
        0.0,
        "a comb said to be empty holds no brood"
    );
    let page = spring().hive_page("alder", None);
    says(&page, "By the look of 2026-05-10, 199 days before");
    says(
        &page,
        "All the worker brood that was told has emerged since, and bees and stores are others",
    );
    says(&page, "On a good flying day up to a third of a colony may be out");
}

/// By hand: 826 cm² of outline, two faces, 7/8 of one comb and 6/8 of two covered; the value is the sum over combs.
#[test]
fn the_hive_is_the_sum_of_its_combs_on_its_own_outline() {
    let told = spring().hive_told("alder", None);
    let part = &told["strength"][0];
    let sum: f64 = (0..3)
        .filter_map(|at| part["bars"][at]["bees_count"].as_f64())
        .sum();
    let whole = part["bees_count"].as_f64().expect("bees are told");
    assert!((sum - whole).abs() < 1e-3, "{sum} is not {whole}");
    let dm2 = 2.0 * 8.26 * (7.0 + 6.0 + 6.0) / 8.0;
    let density = reckon::strength::figures::BEES_PER_DM2.value;
    assert!((whole / (dm2 * density) - 1.0).abs() < 0.01, "{whole}");
}

#[test]
fn what_changed_is_told_bar_by_bar() {
    let page = spring().hive_page("alder", None);
    says(&page, "The look of 2026-05-10 saw 4 combs");
    says(
        &page,
        "Bar 1, since 2026-04-26: sealed brood from 3/8 to 5/8; bees from 6/8 to 7/8; cups: 2; not said this time: eggs (1/8 before), open brood (1/8 before), capped honey (1/8 before) and honey (2/8 before).",
    );
    says(&page, "Bars 2 and 3: the same is said as before.");
    says(&page, "Bar 5, the first look at it: drawn 2/8");
    says(
        &page,
        "Bar 4: a comb, and not seen in this look; what is known of it is older.",
    );
}

#[test]
fn the_page_leads_from_look_to_look_and_each_day_shows_its_own_map() {
    let desk = spring();
    let looks = |on| desk.hive_told("alder", on)["looks"].clone();
    let now = looks(None);
    assert_eq!(now["days"], serde_json::json!(["2026-04-26", "2026-05-10"]));
    assert_eq!(
        (&now["shown"], &now["before"]),
        (&"2026-05-10".into(), &"2026-04-26".into())
    );
    let then = looks(Some(date(2026, 4, 30)));
    assert_eq!(
        (&then["shown"], &then["after"]),
        (&"2026-04-26".into(), &"2026-05-10".into())
    );
    assert!(then["before"].is_null());
    let reader = desk.office.reader(Some(date(2026, 4, 30)), date(2026, 11, 25));
    let page = format!("{:?}", sheets::hive(&reader, "alder").expect("a hive"));
    says(&page, "/hive/alder?on=2026-05-10");
    assert!(!page.contains("drawn 2/8 empty"), "bar 5 was looked at later");
}

#[test]
fn a_comb_is_followed_from_hive_to_hive() {
    let mut desk = spring();
    desk.write("2026-05-20 install birch swarm\n2026-05-24 shift alder bar 2 to birch 1\n2026-06-07 look birch bar 1 drawn 8/8 capped 2/8");
    let life = desk.why(&["comb", "birch", "1"]).expect("a comb");
    says(&life, "known to hang in alder at place 2");
    says(&life, "goes from alder to birch, place 1");
    says(&life, "seen: drawn 8/8 capped 2/8");
    says(&life, "at least 1, brood last seen 2026-05-10");
    assert!(
        desk.why(&["comb", "alder", "2"]).is_none(),
        "a bare bar hangs there now"
    );
    assert!(desk.why(&["comb", "alder", "40"]).is_none() && desk.why(&["comb", "nowhere", "1"]).is_none());
    let combs = desk.hive_told("birch", None)["combs"].clone();
    assert_eq!(combs[0]["hung"][0]["hive"], "alder");
}

#[test]
fn combs_come_up_to_the_rules_by_age_and_none_is_ordered_out() {
    let mut desk = Desk::with_two_hives();
    desk.write("2026-03-02 start alder 2 bars drawn");
    let page = |day| {
        let reader = desk.office.reader(None, day);
        text::page(&sheets::hive(&reader, "alder").expect("a hive"))
    };
    says(
        &page(date(2029, 3, 1)),
        "Bar 1 comes up to 3 years on 2029-03-02.",
    );
    let later = page(date(2029, 3, 2));
    says(&later, "before 2026-03-02");
    says(&later, "3 years");
    says(&later, "common-practice");
    says(&later, "happyhour-2017");
}

#[test]
fn a_stopped_look_jottings_and_measures_stand_on_the_page() {
    let mut desk = spring();
    desk.write(
        "2026-05-24 look alder bars 1 and 2 as before
         2026-05-24 look alder stopped 2
         2026-05-24 jot alder bar 3 \"two cups, I think\"
         2026-05-24 measure alder bar 1 ten cells 53 mm 54 mm 52 mm
         2026-05-24 measure alder bar 1 thickness 24 mm drones 1/8",
    );
    let page = desk.hive_page("alder", None);
    says(
        &page,
        "The look of 2026-05-24 was stopped after bar 2, and not finished yet: bars 3 to 5 were not seen in it",
    );
    says(&page, "two cups, I think");
    says(&page, "5.30");
    says(&page, "Tree nests: worker cells 5.2 mm wide, drone cells 6.2 mm");
    let told = desk.hive_told("alder", None);
    assert_eq!(told["unfinished"]["not_seen"], serde_json::json!([3, 4, 5]));
    assert_eq!(told["combs"][0]["cell_width_mm"], 5.3);
    assert_eq!(told["jottings"].as_array().map(Vec::len), Some(1));
}

#[test]
fn an_empty_hive_a_hive_without_looks_and_one_without_a_pattern_say_so() {
    let mut desk = Desk::with_two_hives();
    desk.write("2026-03-02 hive rowan in orchard bars 12\n2026-03-02 start rowan 3 bars drawn\n2026-03-02 start birch 2 bars drawn");
    let empty = desk.hive_page("alder", None);
    says(&empty, "No bar of it was looked at yet");
    assert!(
        !empty.contains("Estimated") && !empty.contains("Old combs"),
        "{empty}"
    );
    let unlooked = desk.hive_page("birch", None);
    says(&unlooked, "what is not said is unknown, not nothing");
    assert!(desk.hive_told("birch", None)["strength"][0]["honey_kg"].is_null());
    says(&desk.hive_page("rowan", None), "It was built after no pattern");
    assert!(desk.hive_told("rowan", None)["strength"].is_null());
    let reader = desk.office.reader(None, date(2026, 11, 25));
    assert!(sheets::hive(&reader, "nowhere").is_none() && wire::hive_told(&reader, "nowhere").is_none());
}

#[test]
fn thirty_bars_are_drawn_in_rows_of_one_scale_with_every_place_once() {
    let mut desk = Desk::with_two_hives();
    desk.write(
        "2026-03-02 hive siskin in orchard pattern sloping bars 30\n2026-03-02 start siskin 30 bars drawn",
    );
    let reader = desk.office.reader(None, date(2026, 11, 25));
    let page = sheets::hive(&reader, "siskin").expect("a hive");
    let rows = page.blocks.iter().find_map(|block| match block {
        page::Block::Section(section) if section.heading == "From the side" => match &section.blocks[0] {
            page::Block::Gallery(rows) => Some(rows.clone()),
            _ => None,
        },
        _ => None,
    });
    let rows = rows.expect("rows");
    assert_eq!(rows.len(), 2);
    assert_eq!(rows[0].frame, rows[1].frame, "one scale");
    let places: Vec<String> = rows
        .iter()
        .flat_map(|row| &row.shapes)
        .filter_map(|shape| match shape {
            page::Shape::Label { text, .. } => Some(text.clone()),
            _ => None,
        })
        .collect();
    let all: Vec<String> = (1..=30).map(|place: u32| place.to_string()).collect();
    assert_eq!(places, all);
}

/// Refused at the desk with the bar named; a complaint where it comes late from another device; nothing is lost.
#[test]
fn a_look_that_contradicts_the_map_is_refused_here_and_complained_of_when_it_comes_late() {
    let contradictions = [
        (
            "2026-05-11 look alder bar 31 drawn 8/8",
            "alder has places 1 to 27, and no bar 31",
        ),
        (
            "2026-05-11 look alder bar 9 honey 5/8 brood 4/8",
            "alder bar 9: honey and brood make 9/8, more than a whole comb (8/8)",
        ),
    ];
    for (line, doubt) in contradictions {
        let mut desk = spring();
        let why = desk.refused(line);
        assert!(why.contains(doubt), "{why}");
        assert_eq!(desk.complaints(), Vec::<String>::new());
        let farm = desk.office.farm();
        let mut heads = desk.office.library().books().heads().clone();
        let late = seal(&mut heads, farm, "phone", line, 900);
        desk.office.take_in(&[late]).expect("memory never fails");
        let complaints = desk.complaints();
        assert!(
            complaints.iter().any(|says| says.contains(doubt)),
            "{complaints:?}"
        );
        assert!(
            desk.office.as_lines().iter().any(|kept| kept == line),
            "it is kept word for word"
        );
        desk.hive_page("alder", None);
    }
}

/// Two colonies in one box are told apart in every part of the page.
#[test]
fn two_colonies_in_one_hive_are_told_apart() {
    let mut desk = Desk::with_two_hives();
    desk.write(
        "2026-04-12 start alder 8 bars drawn
         2026-04-13 follower alder at 14
         2026-05-09 install alder swarm weight 1.2 kg as wren at 20
         2026-05-20 look alder bars 1 to 4 drawn 8/8 sealed 4/8 bees 5/8
         2026-05-20 look alder bars 5 to 8 drawn 8/8 capped 6/8
         2026-05-20 look alder bar 20 drawn 4/8 eggs seen bees 4/8
         2026-05-20 look wren queen seen temper calm
         2026-05-20 look alder queen unseen temper restless",
    );
    let told = desk.hive_told("alder", Some(date(2026, 5, 21)));
    let parts = told["strength"].as_array().expect("a part for each colony");
    let of: Vec<(&str, u64)> = parts
        .iter()
        .map(|part| {
            (
                part["colony"].as_str().expect("a name"),
                part["combs"].as_u64().expect("a count"),
            )
        })
        .collect();
    assert_eq!(of, [("alder", 8), ("wren", 1)]);
    assert!(
        parts[1]["honey_kg"].is_null(),
        "no honey of alder is wren's: {}",
        parts[1]
    );
    let page = desk.hive_page("alder", Some(date(2026, 5, 21)));
    let (alder, wren) = page
        .split_once("\n  wren\n")
        .unwrap_or_else(|| panic!("wren has a part of her own: {page}"));
    says(alder, "6.5       5.0      8.5  4 of 8 combs");
    says(wren, "the one comb");
    says(wren, "No look told of eggs");
    // Alder's part ends before the follower, wren's begins where she was put in.
    let rows: Vec<&str> = page.lines().map(str::trim).collect();
    let row = |place: &str| {
        let begins = format!("{place} ");
        let found = rows
            .iter()
            .find(|row| row.starts_with(&begins) && row.contains("2026-05-20"));
        *found.unwrap_or_else(|| panic!("no row of {place}: {page}"))
    };
    assert!(row("8").contains("alder"), "{}", row("8"));
    assert!(row("20").contains("wren"), "{}", row("20"));
}
