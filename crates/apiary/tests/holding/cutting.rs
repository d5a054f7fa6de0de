//! Cutting lists from the wood at hand and from boards that can be bought.

use apiary::ground::cutting::{Cutting, From, Saw, Step, cutting};
use apiary::ground::design::{Parts, parts};
use quantity::Length;
use reckon::carpentry::Role;
use reckon::cut::{Order, check};

use crate::{Farm, farm};

const SLOPING: &str = "2026-03-01 pattern sloping slope top 42 cm floor 22 cm depth 27 cm length 95.5 cm bar 35 mm bar-length 47 cm bar-thickness 20 mm followers 1 wall \"pine 22 mm\" cover \"pine 20 mm\" cover \"pine 22 mm\"";

const SAW: Saw = Saw {
    hives: 1,
    kerf: Length::mm(3),
    edge: Length::ZERO,
    order: Order::RipFirst,
    buy: true,
};

fn parts_of(farm: &Farm, name: &str) -> Parts {
    let ground = &farm.holding.ground;
    parts(&ground.patterns[ground.pattern_labels.get(name).expect("a pattern")]).expect("parts")
}

fn list(farm: &Farm, name: &str, saw: &Saw) -> Cutting {
    let ground = &farm.holding.ground;
    let pattern = &ground.patterns[ground.pattern_labels.get(name).expect("a pattern")];
    let mut steps = 40;
    let mut keep_on = |_: Step<'_>| {
        steps -= 1;
        steps > 0
    };
    let cutting = cutting(
        (&farm.holding.workshop, pattern, &parts_of(farm, name)),
        saw,
        &mut keep_on,
    );
    for group in &cutting.groups {
        if let Ok(plan) = &group.plan {
            assert_eq!(check(&group.job, plan), Ok(()));
        }
    }
    cutting
}

#[test]
fn a_sloping_hive_comes_out_of_twelve_odd_boards() {
    let farm = farm(&format!(
        "{SLOPING}
         2026-03-02 offcut shelf 1210 mm x 295 mm x 22 mm count 4
         2026-03-02 offcut door 1990 mm x 182 mm x 23 mm count 4 bad 930 mm to 1010 mm
         2026-03-02 offcut floorboard 2400 mm x 137 mm x 22 mm count 4 bad 0 mm to 60 mm"
    ));
    let cutting = list(&farm, "sloping", &Saw { buy: false, ..SAW });
    assert!(
        cutting.is_whole(),
        "{:#?}",
        cutting.groups.iter().map(|group| &group.plan).collect::<Vec<_>>()
    );
    assert!(cutting.bought().is_empty());
    let used: u32 = cutting.sawn().iter().map(|(_, count)| count).sum();
    assert!(used <= 12, "{used} boards");
    // Every part is there, strips counted together.
    let parts = parts_of(&farm, "sloping");
    for (index, part) in parts.parts.iter().enumerate() {
        let strips: u32 = cutting
            .groups
            .iter()
            .flat_map(|group| &group.wanted)
            .filter(|wanted| wanted.part == index)
            .map(|wanted| wanted.count / wanted.strips)
            .sum();
        assert_eq!(strips, part.count, "{:?}", part.role);
    }
}

#[test]
fn boards_are_bought_for_as_many_hives_as_are_asked_for() {
    let farm = farm(&format!(
        "{SLOPING}
         2026-03-02 timber pine 2400 mm x 195 mm x 22 mm at 14.20 GBP
         2026-03-02 timber batten 2400 mm x 38 mm x 20 mm at 2.60 GBP"
    ));
    let one = list(&farm, "sloping", &SAW);
    let cost = one.cost().expect("prices").minor();
    let summed: i64 = one
        .bought()
        .iter()
        .map(|(offer, count)| {
            farm.holding.workshop.offers[*offer]
                .price
                .expect("a price")
                .minor()
                * i64::from(*count)
        })
        .sum();
    assert_eq!(cost, summed);
    let wood_m3: f64 = parts_of(&farm, "sloping")
        .parts
        .iter()
        .map(|part| f64::from(part.count) * part.blank_length.to_mm() * part.blank_width.to_mm())
        .sum();
    assert!(wood_m3 > 0.0);
    let three = list(&farm, "sloping", &Saw { hives: 3, ..SAW });
    let cost_of_three = three.cost().expect("prices").minor();
    assert!(
        cost_of_three <= 3 * cost,
        "three together cost no more than three times one"
    );
    assert!(cost_of_three > 2 * cost);
}

#[test]
fn wood_on_hand_is_used_before_boards_are_bought() {
    let offers = "2026-03-02 timber pine 2400 mm x 295 mm x 22 mm at 21.00 GBP
                  2026-03-02 timber batten 2400 mm x 38 mm x 20 mm at 2.60 GBP";
    let bare = farm(&format!("{SLOPING}\n{offers}"));
    let kept = farm(&format!(
        "{SLOPING}\n{offers}\n2026-03-03 offcut shelf 2400 mm x 295 mm x 22 mm"
    ));
    let (without, with) = (list(&bare, "sloping", &SAW), list(&kept, "sloping", &SAW));
    assert!(with.cost().expect("prices").minor() < without.cost().expect("prices").minor());
    assert_eq!(with.sawn(), [(0, 1)]);
}

#[test]
fn wide_parts_are_made_of_strips_where_no_board_is_wide_enough() {
    let farm = farm(&format!(
        "{SLOPING}\n2026-03-02 timber slat 2400 mm x 120 mm x 22 mm at 6.00 GBP"
    ));
    let cutting = list(&farm, "sloping", &SAW);
    assert!(cutting.is_whole());
    let end = parts_of(&farm, "sloping")
        .parts
        .iter()
        .position(|part| part.role == Role::End)
        .expect("ends");
    let wanted = cutting
        .groups
        .iter()
        .flat_map(|group| &group.wanted)
        .find(|wanted| wanted.part == end)
        .expect("ends are wanted");
    // 270 mm of boards 120 mm wide: three strips of 90 mm, for two ends.
    assert_eq!(
        (wanted.strips, wanted.count, wanted.width),
        (3, 6, Length::mm(90))
    );
}

#[test]
fn what_is_sawn_for_thick_parts_is_not_there_for_thin_ones() {
    // Bars of 20 mm may come from boards of 22 mm, but these go into walls.
    let farm = farm(
        "2026-03-01 pattern box upright width 30 cm depth 20 cm length 36 cm bar 35 mm bar-length 34.4 cm bar-thickness 20 mm wall \"pine 22 mm\" cover \"pine 20 mm\" cover \"pine 22 mm\"
         2026-03-02 offcut shelf 2400 mm x 520 mm x 22 mm
         2026-03-02 offcut batten 2000 mm x 40 mm x 20 mm count 3",
    );
    let cutting = list(&farm, "box", &Saw { buy: false, ..SAW });
    assert!(cutting.is_whole());
    let bars = cutting
        .groups
        .iter()
        .find(|group| group.thickness == Length::mm(20))
        .expect("bars");
    let from: Vec<From> = bars
        .plan
        .as_ref()
        .expect("a plan")
        .boards
        .iter()
        .map(|board| bars.from[board.board])
        .collect();
    assert!(from.iter().all(|from| *from == From::Wood(1)), "{from:?}");
    let total: u32 = cutting.sawn().iter().map(|(_, count)| count).sum();
    assert!(total <= 4);
}

#[test]
fn parts_without_a_board_and_parts_that_are_no_boards_are_named() {
    let farm = farm(
        "2026-03-01 pattern cask drum diameter 57 cm depth 18 cm length 84 cm bar 35 mm bar-length 62 cm bar-thickness 20 mm wall \"steel 1.2 mm\" cover \"pine 20 mm\" cover \"wool 50 mm\" cover \"pine 12 mm\"
         2026-03-02 timber batten 2400 mm x 38 mm x 20 mm at 2.60 GBP",
    );
    let cutting = list(&farm, "cask", &SAW);
    assert!(!cutting.is_whole());
    let parts = parts_of(&farm, "cask");
    let role = |index: usize| parts.parts[index].role;
    let others: Vec<(Role, &str)> = cutting
        .not_of_boards
        .iter()
        .map(|(part, of)| (role(*part), of.as_str()))
        .collect();
    assert!(others.contains(&(Role::End, "steel 1.2 mm")), "{others:?}");
    assert!(others.contains(&(Role::Roof, "wool 50 mm")), "{others:?}");
    assert!(others.iter().any(|(role, _)| *role == Role::Sheet));
    let lacking: Vec<Role> = cutting.no_board.iter().map(|wanted| role(wanted.part)).collect();
    assert!(lacking.contains(&Role::Roof), "no board of 12 mm: {lacking:?}");
}

#[test]
fn boards_in_another_currency_are_left_out_and_told() {
    let farm = farm(&format!(
        "{SLOPING}
         2026-03-02 timber pine 2400 mm x 295 mm x 22 mm at 14.20 GBP
         2026-03-02 timber batten 2400 mm x 38 mm x 20 mm at 2.60 GBP
         2026-03-02 timber abete 2400 mm x 300 mm x 22 mm at 1.00 EUR"
    ));
    let cutting = list(&farm, "sloping", &SAW);
    assert_eq!(cutting.other_currency, [2]);
    assert!(cutting.bought().iter().all(|(offer, _)| *offer != 2));
}
