//! Wood, boards on offer, what was built, and what follows from a pattern.

use apiary::Weight;
use apiary::ground::design::{self, follows, parts, warmth, weight};
use apiary::ground::pattern::Pattern;
use apiary::ground::workshop::took;
use quantity::Length;
use reckon::carpentry::Role;
use reckon::fit::Rest;

use crate::{Farm, farm};

const KEG: &str = "2026-03-01 pattern keg drum diameter 57 cm depth 25 cm length 84 cm bar 35 mm bar-length 62 cm holes 3 of 16 mm in end wall \"hdpe 5 mm\" cover \"pine 20 mm\" cover \"wool 40 mm\" height 85 cm held \"apple juice\"";
const SLOPING: &str = "2026-03-01 pattern sloping slope top 44.5 cm floor 19 cm depth 28 cm length 95.5 cm bar 35 mm bar-length 48 cm wall \"pine 22 mm\" cover \"pine 20 mm\" cover \"pine 22 mm\" slots 2 of 80 mm x 8 mm in side holes 1 of 20 mm in end followers 2";

fn pattern<'a>(farm: &'a Farm, name: &str) -> &'a Pattern {
    let ground = &farm.holding.ground;
    &ground.patterns[ground.pattern_labels.get(name).expect("a pattern")]
}

#[track_caller]
fn near(value: f64, expected: f64, within: f64) {
    assert!((value - expected).abs() <= within, "{value} is not {expected}");
}

#[test]
fn wood_is_kept_sawn_and_gone() {
    let farm = farm(
        "2026-03-01 offcut pine 610 mm x 140 mm x 20 mm
         2026-03-01 offcut pallet 1180 mm x 95 mm x 20 mm count 12 bad 0 mm to 40 mm bad 570 mm to 620 mm
         2026-03-02 sawn pallet 1180 mm x 95 mm x 20 mm count 5
         2026-03-03 sawn pine 610 mm x 140 mm x 20 mm",
    );
    let kept: Vec<(&str, u32, usize)> = farm
        .holding
        .workshop
        .wood
        .iter()
        .map(|wood| (wood.wood.as_str(), wood.count, wood.bad.len()))
        .collect();
    assert_eq!(kept, [("pallet", 7, 2)]);
    let doubts = farm.doubts("2026-03-04 sawn pallet 1180 mm x 95 mm x 20 mm count 8");
    assert_eq!(doubts[0].weight, Weight::Impossible);
    assert_eq!(doubts[0].says, "only 7 such pieces of wood are kept");
    let beyond = farm.doubts("2026-03-04 offcut oak 500 mm x 90 mm x 20 mm bad 400 mm to 510 mm");
    assert_eq!(beyond[0].field, Some("bad_from"));
}

#[test]
fn a_later_offer_takes_the_place_of_the_earlier_and_nominal_boards_are_dressed() {
    let farm = farm(
        "2026-02-01 timber pine 2400 mm x 145 mm x 22 mm at 9.80 GBP
         2026-02-02 timber pine 8 ft x 6 in x 1 in at 11.40 GBP nominal
         2026-02-03 timber oak 2400 mm x 145 mm x 22 mm at 31.00 GBP
         2026-02-20 timber pine 2400 mm x 145 mm x 22 mm at 10.20 GBP count 30
         2026-02-21 timber oak 2400 mm x 145 mm x 22 mm count 0",
    );
    let offers = &farm.holding.workshop.offers;
    let told: Vec<(i64, Option<u32>)> = offers
        .iter()
        .map(|offer| (offer.price.expect("a price").minor(), offer.count))
        .collect();
    assert_eq!(told, [(1140, None), (1020, Some(30))]);
    // PS 20: a dry 1 by 6 is 3/4 by 5 1/2 inches.
    assert_eq!(offers[0].size.width, Length::inch_64ths(5 * 64 + 32));
    assert_eq!(offers[0].size.thickness, Length::inch_64ths(48));
    assert_eq!(offers[0].sold_as.as_deref(), Some("6 in x 1 in nominal"));
    let odd = farm.doubts("2026-02-22 timber pine 8 ft x 6.3 in x 1 in nominal");
    assert_eq!(odd[0].field, Some("width"));
}

#[test]
fn what_hives_took_is_known_afterwards_and_their_hours_are_worked() {
    let farm = farm(&format!(
        "{SLOPING}
         2026-03-02 build 2 hives pattern sloping from pine hours 9h material 41.00 GBP
         2026-03-09 build 1 hive pattern sloping hours 3h
         2026-03-10 build 54 bars hours 1h30"
    ));
    let h = &farm.holding;
    let took = took(h, h.ground.pattern_labels.get("sloping").expect("a pattern"));
    assert_eq!((took.hives, took.minutes_each), (3, Some(240.0)));
    let (minor, currency) = took.material_each.expect("a cost");
    near(minor, 2_050.0, 1e-9);
    assert_eq!(currency.as_str(), "GBP");
    assert_eq!(took.entries, [1, 2]);
    assert_eq!(h.purse.all_minutes(), 9 * 60 + 3 * 60 + 90);
    assert!(
        h.purse.cash.is_empty(),
        "what was spent on boards was noted when they were bought"
    );
}

#[test]
fn what_follows_from_the_sloping_hive_of_a_published_plan() {
    let farm = farm(SLOPING);
    let told = follows(pattern(&farm, "sloping")).expect("a section");
    // Bees for Development Journal 68 (2003): 44.5, 19 and 28 cm; 88.9 litres at 100 cm, computed.
    near(told.volume.expect("a length").to_l(), 0.955 * 88.9, 0.05);
    assert_eq!(told.bars, Some(27));
    near(told.lean_deg.expect("straight walls"), 24.5, 0.05);
    near(told.floor_to_wall_deg.expect("straight walls"), 114.5, 0.05);
    // Two slots of 8 by 0.8 cm, and a round hole of 2 cm.
    near(
        told.entrance_cm2.expect("entrances"),
        12.8 + std::f64::consts::PI,
        1e-9,
    );
    let honey = told.honey_g.expect("a comb").value();
    near(
        told.load_g_per_cm.expect("a width"),
        honey / told.width_at_bar.to_cm(),
        1e-6,
    );
    // Cells of 5.3 mm, both faces: 2 / (√3/2 · 5.3²) · 10⁴ = 822 to the dm².
    near(told.cells / told.comb.to_dm2(), 822.2, 0.1);
}

#[test]
fn a_comb_is_reckoned_with_the_bee_space_and_thickness_that_the_pattern_says() {
    let farm = farm(
        "2026-03-01 pattern wide slope top 44.5 cm floor 19 cm depth 28 cm space 0 mm comb 32 mm
         2026-03-01 pattern usual slope top 44.5 cm floor 19 cm depth 28 cm",
    );
    let (wide, usual) = (pattern(&farm, "wide"), pattern(&farm, "usual"));
    near(wide.comb.expect("a comb").to_cm2(), 889.0, 0.01);
    assert!(usual.comb < wide.comb);
    // 4.2 g/cm² at 32 mm, computed from the same model.
    near(wide.full_g.expect("a comb").value() / 889.0, 4.18, 0.005);
}

#[test]
fn strips_between_bars_leave_fewer_bars() {
    let farm = farm(
        "2026-03-01 pattern close upright width 40 cm depth 26 cm length 95.5 cm bar 35 mm
         2026-03-01 pattern strips upright width 40 cm depth 26 cm length 95.5 cm bar 32 mm spacers 12 of 6 mm
         2026-03-01 pattern tight upright width 40 cm depth 26 cm length 94.5 cm bar 35 mm allowance 0 mm",
    );
    let bars = |name| follows(pattern(&farm, name)).expect("a section").bars;
    assert_eq!(bars("close"), Some(27));
    // 955 − 10 − 72 = 873 mm hold 27 bars of 32 mm.
    assert_eq!(bars("strips"), Some(27));
    assert_eq!(bars("tight"), Some(27));
    let left = follows(pattern(&farm, "strips")).expect("a section").left;
    assert_eq!(left, Some(Length::mm(955 - 27 * 32 - 72)));
}

#[test]
fn the_parts_of_a_hive_say_what_was_assumed() {
    let farm = farm(&format!("{SLOPING}\n{KEG}"));
    let sloping = parts(pattern(&farm, "sloping")).expect("parts");
    let count = |role: Role| {
        let of_role = sloping.parts.iter().filter(|part| part.role == role);
        of_role.map(|part| part.count).sum::<u32>()
    };
    assert_eq!(
        (count(Role::Bar), count(Role::End), count(Role::Follower)),
        (27, 2, 2)
    );
    assert_eq!(count(Role::Leg), 0, "no height was said");
    assert!(
        sloping.assumed.iter().any(|said| said.contains("floor as thick")),
        "{:?}",
        sloping.assumed
    );
    let keg = parts(pattern(&farm, "keg")).expect("parts");
    assert!(keg.parts.iter().any(|part| part.role == Role::Cradle));
    assert_eq!(
        keg.parts
            .iter()
            .filter(|part| part.role == Role::Leg)
            .map(|part| part.count)
            .sum::<u32>(),
        4
    );
    let none = crate::farm(
        "2026-03-01 pattern bare slope top 44.5 cm floor 19 cm depth 28 cm length 95 cm bar 35 mm",
    );
    let lacking = parts(pattern(&none, "bare")).expect_err("no walls");
    assert!(lacking.contains("walls"), "{lacking}");
}

#[test]
fn a_hive_weighs_what_its_boards_weigh() {
    // A box of 22 mm softwood, 500 kg/m³: upright, so that every area is a product.
    let farm = farm(
        "2026-03-01 pattern square upright width 40 cm depth 30 cm length 91 cm bar 35 mm bar-length 44.4 cm overhang 0.1 cm wall \"softwood 22 mm\" cover \"softwood 20 mm\" cover \"softwood 22 mm\"",
    );
    let square = pattern(&farm, "square");
    let parts = parts(square).expect("parts");
    let outside = 0.91 + 0.044;
    let sides = 2.0 * 0.3 * outside;
    let floor = (0.4 + 0.044) * outside;
    let ends = 2.0 * 0.4 * 0.3;
    let roof = (outside + 0.002) * (0.444 + 0.002);
    let bars = 25.0 * 0.035 * 0.444;
    let kg = 500.0 * (0.022 * (sides + floor + ends + roof) + 0.020 * bars);
    let told = weight(square, &parts);
    assert_eq!(parts.design.bars.count, 25);
    near(told.empty_kg, kg, 1e-6);
    near(told.full_kg, kg + 25.0 * told.comb_kg, 1e-6);
    // Two people lift two thirds of twice 25 kg.
    let combs = (2.0 * 25.0 * 2.0 / 3.0 - kg) / told.comb_kg;
    assert_eq!(told.combs_for_two, Some(combs as u32));
    let own = crate::farm(
        "2026-03-01 pattern plain upright width 40 cm depth 30 cm length 91 cm bar 35 mm wall \"0.12 W/mK 22 mm\"",
    );
    let told = weight(
        pattern(&own, "plain"),
        &design::parts(pattern(&own, "plain")).expect("parts"),
    );
    assert_eq!(told.unweighed, ["0.12 W/mK 22 mm"]);
}

#[test]
fn a_hive_is_as_warm_as_its_layers_and_a_pane_costs_warmth() {
    let farm = farm(
        "2026-03-01 pattern bare upright width 40 cm depth 30 cm length 91 cm bar 35 mm wall \"pine 22 mm\" cover \"pine 20 mm\"
         2026-03-01 pattern snug upright width 40 cm depth 30 cm length 91 cm bar 35 mm wall \"pine 22 mm\" cover \"pine 20 mm\" cover \"wool 60 mm\" pane 60 cm x 15 cm of \"glass 3 mm\"",
    );
    let ua = |name| {
        let built = warmth(pattern(&farm, name)).expect("layers");
        built.loss().expect("a loss").ua_w_per_k.value()
    };
    assert!(ua("snug") < ua("bare") - 0.8, "wool above the bars keeps warmth");
    // 0.09 m²: glass by 1/(0.13 + 0.003 + 0.04), pine of 0.122 W/mK by 1/(0.13 + 0.022/0.1208 + 0.04).
    let pine = 0.42 * (0.194_1 + 0.004_064 * 12.0) + 0.018_64;
    let expected = 0.09 * (1.0 / (0.13 + 0.003 + 0.04) - 1.0 / (0.13 + 0.022 / pine + 0.04));
    near(
        design::pane_w_per_k(pattern(&farm, "snug")).expect("a pane"),
        expected,
        1e-9,
    );
    assert_eq!(design::pane_w_per_k(pattern(&farm, "bare")), None);
    let lacking = crate::farm(
        "2026-03-01 pattern odd upright width 40 cm depth 30 cm length 91 cm wall \"pine 22 mm\"",
    );
    assert!(
        warmth(pattern(&lacking, "odd"))
            .expect_err("no cover")
            .contains("above the combs")
    );
}

#[test]
fn combs_of_one_pattern_hang_in_another_or_not() {
    let farm = farm(
        "2026-03-01 pattern deep upright width 40 cm depth 34 cm length 91 cm bar 35 mm bar-length 46 cm wall \"pine 22 mm\"
         2026-03-01 pattern flat upright width 40 cm depth 24 cm length 91 cm bar 35 mm bar-length 46 cm wall \"pine 22 mm\"
         2026-03-01 pattern broad upright width 50 cm depth 34 cm length 91 cm bar 35 mm bar-length 54 cm wall \"pine 22 mm\"",
    );
    let [deep, flat, broad] = ["deep", "flat", "broad"].map(|name| pattern(&farm, name));
    let into_deep = design::moves(flat, deep).comb.expect("both known");
    assert!(into_deep.comb.cut_away.get() <= 0.0 && matches!(into_deep.rest, Rest::OnBoth { .. }));
    // 340 mm less 8 into 240 less 8: 100 of 332 mm are cut away.
    let into_flat = design::moves(deep, flat).comb.expect("both known");
    near(into_flat.comb.cut_away.get(), 100.0 / 332.0, 1e-6);
    let too_short = design::moves(deep, broad).comb.expect("both known");
    assert!(matches!(too_short.rest, Rest::TooShort { .. }));
}

#[test]
fn a_pattern_that_cannot_be_is_refused_with_its_field() {
    let farm = farm(SLOPING);
    for (line, field, word) in [
        (
            "pattern a slope top 44 cm floor 19 cm depth 28 cm wall \"pin 22 mm\"",
            "wall",
            "pine",
        ),
        (
            "pattern a slope top 44 cm floor 19 cm depth 28 cm cover \"pine\"",
            "cover",
            "thickness",
        ),
        (
            "pattern a polygon corners \"0,0 40,0 6,30 34,30\"",
            "corners",
            "cross",
        ),
        ("pattern a polygon corners \"0,0 40\"", "corners", "pairs of cm"),
        ("pattern a polygon length 90 cm", "shape", "corners"),
        (
            "pattern a slope top 44 cm floor 19 cm depth 28 cm held oil",
            "held",
            "drum",
        ),
        (
            "pattern a slope top 44 cm floor 19 cm depth 28 cm corners \"0,0 4,0 4,4\"",
            "corners",
            "polygon",
        ),
        (
            "pattern a drum diameter 57 cm depth 25 cm leg 0 mm x 20 mm",
            "leg_width",
            "1 mm",
        ),
    ] {
        let doubts = farm.doubts(&format!("2026-03-02 {line}"));
        let doubt = doubts.first().unwrap_or_else(|| panic!("{line}: no doubt"));
        assert_eq!(
            (doubt.field, doubt.weight),
            (Some(field), Weight::Impossible),
            "{line}"
        );
        assert!(doubt.says.contains(word), "{line}: {}", doubt.says);
    }
    let remark = &farm.doubts("2026-03-02 pattern a slope top 44 cm depth 28 cm")[0];
    assert_eq!(remark.weight, Weight::Remark);
    assert!(remark.says.contains("floor"), "{}", remark.says);
}

#[test]
fn a_drum_is_cut_as_deep_as_the_room_that_is_wanted() {
    let (diameter, length) = (Length::from_mm_f64(571.5).expect("a length"), Length::mm(851));
    let depth = |litres: f64| {
        let room = quantity::Volume::from_ml(1_000.0 * litres).expect("a volume");
        design::drum_depth(diameter, length, room)
    };
    // Half of a 200-litre drum: r² · π/2 · L, 109.2 litres by its published measures, 285.75 mm deep.
    let half_l = std::f64::consts::PI / 2.0 * 2.8575 * 2.8575 * 8.51;
    near(depth(half_l).expect("half").to_mm(), 285.75, 0.01);
    let told = farm("2026-03-01 pattern cask drum diameter 571.5 mm depth 183 mm length 851 mm bar 35 mm");
    let volume = follows(pattern(&told, "cask"))
        .expect("a section")
        .volume
        .expect("a length")
        .to_l();
    near(depth(volume).expect("as it is").to_mm(), 183.0, 0.01);
    assert_eq!(depth(230.0), None, "the whole drum holds less");
    assert_eq!(depth(0.0), None);
}
