//! The workshop: what pages and programs are told of patterns, wood and boards.

use app::{sheets, wire};
use jiff::civil::date;
use page::{Figure, Meaning, text};
use serde_json::Value;

use crate::fixture::Desk;

const KEG: &str = "2026-03-01 pattern keg drum diameter 57 cm depth 25 cm length 84 cm bar 35 mm bar-length 62 cm holes 3 of 16 mm in end wall \"hdpe 5 mm\" cover \"pine 20 mm\" cover \"wool 40 mm\" cover \"pine 22 mm\" height 85 cm held \"apple juice\"";
const SNUG: &str = "2026-03-01 pattern snug upright width 40 cm depth 28 cm length 95.5 cm bar 35 mm bar-length 46 cm followers 2 slots 2 of 80 mm x 8 mm in end wall \"pine 22 mm\" cover \"pine 20 mm\" cover \"pine 22 mm\" pane 60 cm x 15 cm of \"glass 4 mm\"";
const INCHES: &str = "2026-03-01 pattern yankee slope top 17-1/2 in floor 7-1/2 in depth 11 in length 37-1/2 in bar 1-3/8 in followers 1 wall \"pine 3/4 in\" cover \"pine 3/4 in\"";

fn desk() -> Desk {
    let mut desk = Desk::with_two_hives();
    desk.write(KEG);
    desk.write(SNUG);
    desk.write(INCHES);
    desk.write(
        "2026-03-02 timber pine 2400 mm x 145 mm x 22 mm at 9.80 GBP
         2026-03-02 offcut pallet 1180 mm x 95 mm x 20 mm count 12 bad 570 mm to 620 mm
         2026-03-09 build 2 hives pattern snug hours 9h material 41.00 GBP",
    );
    desk
}

impl Desk {
    fn pattern_page(&self, name: &str) -> String {
        let reader = self.office.reader(None, date(2026, 11, 25));
        text::page(&sheets::pattern(&reader, name).expect("a pattern"))
    }

    fn pattern_told(&self, name: &str) -> Value {
        let reader = self.office.reader(None, date(2026, 11, 25));
        wire::pattern(&reader, name).expect("a pattern")
    }

    fn template(&self, name: &str, shaped: sheets::Shaped) -> Result<page::Template, String> {
        let reader = self.office.reader(None, date(2026, 11, 25));
        sheets::template(&reader, name, shaped).expect("a pattern")
    }
}

#[track_caller]
fn says(page: &str, words: &str) {
    assert!(page.contains(words), "{words:?} is not said:\n{page}");
}

#[test]
fn a_drum_is_cautioned_about_whatever_it_held() {
    let desk = desk();
    let page = desk.pattern_page("keg");
    says(&page, "Never cut or heat a drum that has held anything flammable");
    says(&page, "the drum held apple juice");
    says(&page, "Two people lift some 33 kg");
    says(&page, "drum itself");
    let mut bare = Desk::new();
    bare.write("2026-03-01 pattern cask drum diameter 57 cm depth 25 cm");
    says(&bare.pattern_page("cask"), "What the drum held is not said");
    assert!(!desk.pattern_page("snug").contains("flammable"));
}

#[test]
fn a_page_says_what_is_lacking_rather_than_guess() {
    let page = desk().pattern_page("sloping");
    says(&page, "the pattern does not say what its walls are");
    says(&page, "How warm it is follows once more is said");
    // What follows from the inside alone is told all the same.
    says(&page, "84.9 l below the bars");
    says(
        &page,
        "24.5 ° from upright, which plans also give as 114.5 ° between floor and wall",
    );
    let mut desk = Desk::new();
    desk.write("2026-03-01 pattern odd slope top 44 cm depth 28 cm");
    says(&desk.pattern_page("odd"), "make no section");
}

#[test]
fn doubt_stands_beside_every_loss_and_sources_that_disagree_are_told() {
    let page = desk().pattern_page("snug");
    says(&page, "good to ±20 % at best");
    says(&page, "Sources disagree");
    says(&page, "The pane costs");
    let told = desk().pattern_told("snug");
    let heat = &told["heat"];
    let of = |key: &str| heat[key].as_f64().expect("a number");
    assert!(of("ua_lo_w_per_k") < of("ua_w_per_k") && of("ua_w_per_k") < of("ua_hi_w_per_k"));
    let shares = of("walls") + of("cover") + of("floor") + of("ends");
    assert!((shares - 1.0).abs() < 1e-5, "{shares}");
    assert_eq!(told["hives_built"], 2);
    assert_eq!(told["hours_each"], 4.5);
    assert_eq!(told["material_each"], 20.5);
}

#[test]
fn measures_are_told_by_the_rule_that_the_pattern_was_written_with() {
    let desk = desk();
    says(&desk.pattern_page("yankee"), "37 1/2 in long inside");
    says(&desk.pattern_page("yankee"), "26 of 1 3/8 in");
    says(&desk.pattern_page("snug"), "955 mm long inside");
}

#[test]
fn wide_and_narrow_bars_are_cautioned_about() {
    let mut desk = Desk::new();
    desk.write(
        "2026-03-01 pattern broad upright width 40 cm depth 28 cm length 95 cm bar 40 mm
         2026-03-01 pattern usual upright width 40 cm depth 28 cm length 95 cm bar 35 mm
         2026-03-01 pattern small upright width 40 cm depth 28 cm length 95 cm bar 28 mm",
    );
    says(&desk.pattern_page("broad"), "wider than bees of any race space");
    says(
        &desk.pattern_page("small"),
        "narrower than bees of any race space",
    );
    assert!(!desk.pattern_page("usual").contains("of any race"));
}

#[test]
fn the_workshop_tells_patterns_wood_boards_and_what_hangs_where() {
    let desk = desk();
    let reader = desk.office.reader(None, date(2026, 11, 25));
    let told = wire::workshop(&reader);
    assert_eq!(told["patterns"].as_array().map(Vec::len), Some(4));
    assert_eq!(told["fits"].as_array().map(Vec::len), Some(12));
    assert_eq!(told["wood"][0]["count"], 12);
    assert_eq!(told["wood"][0]["bad_mm"][0][0], 570.0);
    assert_eq!(told["boards"][0]["price"], 9.8);
    let page = text::page(&sheets::workshop(&reader, sheets::Part::FIRST));
    says(&page, "570 to 620");
    says(&page, "9.80 GBP");
    let compared = text::page(&sheets::compare(&reader));
    says(&compared, "20.50 GBP");
    says(&compared, "±20 %");
}

#[test]
fn a_template_has_the_outline_of_its_part_and_the_holes_of_its_entrances() {
    let desk = desk();
    let end = desk.template("keg", sheets::Shaped::End).expect("a template");
    let (left, top, right, bottom) = end.extent().expect("an outline");
    // A drum of 57 cm filled 25 cm deep is 2 · √(25 · (57 − 25)) = 56.57 cm wide at the bars.
    assert!((right - left - 565.7).abs() < 0.05 && (bottom - top - 250.0).abs() < 0.05);
    let holes: Vec<f64> = end
        .figures
        .iter()
        .filter_map(|figure| match figure {
            Figure::Circle {
                radius,
                meaning: Meaning::Drill,
                ..
            } => Some(*radius),
            _ => None,
        })
        .collect();
    assert_eq!(holes, [8.0, 8.0, 8.0]);
    let slots = desk.template("snug", sheets::Shaped::End).expect("a template");
    let cut = slots.figures.iter().filter(|figure| {
        matches!(
            figure,
            Figure::Outline {
                meaning: Meaning::Cut,
                ..
            }
        )
    });
    assert_eq!(cut.count(), 3, "the board and two slots");
    let follower = desk
        .template("snug", sheets::Shaped::Follower)
        .expect("a template");
    let (left, _, right, bottom) = follower.extent().expect("an outline");
    // 3 mm off both walls and the floor.
    assert!((right - left - 394.0).abs() < 1e-6 && (bottom - 277.0).abs() < 1e-6);
    assert!(
        desk.template("snug", sheets::Shaped::Cradle)
            .expect_err("no drum")
            .contains("no cradle")
    );
    assert!(
        desk.template("sloping", sheets::Shaped::End)
            .expect_err("no walls")
            .contains("walls")
    );
    assert!(
        desk.template("keg", sheets::Shaped::Follower)
            .expect_err("none")
            .contains("followers 2")
    );
}
