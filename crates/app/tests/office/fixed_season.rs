//! The lines that are read for ever, written as one file into empty books.

use crate::fixture::{Desk, close};

const FIXED: &str = include_str!("../../../apiary/src/note/fixed.notes");

fn season() -> (Desk, usize) {
    let mut desk = Desk::new();
    let lines: Vec<&str> = FIXED.lines().filter(|line| line.starts_with("20")).collect();
    let weighing = lines
        .iter()
        .position(|line| line.contains("weigh pail-12 gross"))
        .expect("the weighing")
        + 1;
    let text = lines.join("\n");
    desk.write(&text);
    (desk, weighing)
}

#[test]
fn every_fixed_line_is_written_and_numbered_in_its_order() {
    let (mut desk, _) = season();
    let entries = desk.office.library().books().entries().len();
    assert_eq!(
        entries,
        FIXED.lines().filter(|line| line.starts_with("20")).count()
    );
}

#[test]
fn the_pail_closes_and_its_lot_reaches_back_to_three_bars() {
    let (mut desk, _) = season();
    let pail = desk.batch("pail-12");
    close(&pail["in_kg"], 5.9);
    close(&pail["honey_kg"], 4.9);
    close(&pail["residue_kg"], 0.9);
    close(&pail["loss_kg"], 0.1);
    close(&pail["unaccounted_kg"], 0.0);
    close(&pail["left_kg"], 0.0);
    let lot = desk.lot("A26");
    let from: Vec<String> = lot["from"]
        .as_array()
        .expect("from")
        .iter()
        .map(|row| format!("{} {}", row["hive"], row["bar"]))
        .collect();
    assert_eq!(from, ["\"alder\" 9", "\"alder\" 10", "\"birch\" 6"]);
    let total: f64 = lot["from"]
        .as_array()
        .expect("from")
        .iter()
        .filter_map(|row| row["comb_kg"].as_f64())
        .sum();
    assert!(
        (total - 5.9).abs() < 1e-6,
        "the pail's kilos are shared without a rest: {total}"
    );
    assert_eq!(lot["tanks"].to_string(), r#"["tank-3","tank-1"]"#);
    // 1.4925 at 24 °C is 1.49342 at 20 °C; the relation of Wedmore 1955 gives 17.27 % (computed by hand).
    let water = lot["moisture_pct"].as_f64().expect("water");
    assert!((water - 17.26).abs() < 0.03, "{water}");
}

#[test]
fn a_corrected_weighing_moves_the_balance_and_keeps_what_was_written() {
    let (mut desk, weighing) = season();
    desk.write(&format!(
        "correct laptop/{weighing}: 2026-07-19 18:05 weigh pail-12 gross 7.3 kg tare 1.3 kg"
    ));
    let pail = desk.batch("pail-12");
    close(&pail["in_kg"], 6.0);
    close(&pail["unaccounted_kg"], 0.1);
    let first = desk.office.library().books().entries()[weighing - 1].note.clone();
    assert_eq!(
        first.as_deref(),
        Some("2026-07-19 18:05 weigh pail-12 gross 7.2 kg tare 1.3 kg")
    );
}

#[test]
fn stock_follows_every_way_a_jar_can_go_and_the_tally() {
    let (mut desk, _) = season();
    let lot = desk.stock_of("A26");
    let counts = [
        "made",
        "sold",
        "given",
        "taken",
        "spoiled",
        "held_elsewhere",
        "on_hand",
    ]
    .map(|key| lot[key].as_i64().expect("a count"));
    // 12 − 8 sold − 1 given − 1 taken − 2 at the shop = 0; one was counted, so one it is.
    assert_eq!(counts, [12, 8, 1, 1, 0, 2, 1]);
    assert!(
        desk.complaints()
            .iter()
            .any(|says| says == "A26: 1 counted, 0 by the books")
    );
    let jars = desk.good("jars of 340 g");
    let counts = ["bought", "used", "on_hand"].map(|key| jars[key].as_i64().expect("a count"));
    assert_eq!(counts, [60, 13, 47]);
    assert_eq!(desk.good("jars of 454 g")["on_hand"], 23);
}

#[test]
fn cash_and_cost_add_up() {
    let (mut desk, _) = season();
    let holding = desk.office.library().holding().clone();
    // 300 + 25 + 39 + 13 − 49.80 − 12.35 − 180 − 6.50
    close(&app::wire::cash(&holding)["cash"], 128.35);
    let wage = quantity::Money::new(1500, quantity::Currency::new("GBP").expect("a currency"));
    let cost = app::wire::cost(&apiary::money::answers::cost(&holding, Some(wage)));
    // 12 × 340 g + 454 g = 4.534 kg; 62.15 GBP spent; 2.5 hours at 15 GBP.
    close(&cost["honey_kg"], 4.534);
    close(&cost["spend"], 62.15);
    close(&cost["hours"], 2.5);
    close(&cost["cost_per_kg"], 13.707_543);
    close(&cost["cost_per_kg_with_time"], 21.978_386);
}

#[test]
fn yields_share_the_pail_by_area_and_close() {
    let (mut desk, _) = season();
    let yields = app::wire::yields(desk.office.library().holding());
    let row = |hive: &str| {
        yields["hives"]
            .as_array()
            .expect("hives")
            .iter()
            .find(|row| row["hive"] == hive)
            .expect("a hive")
            .clone()
    };
    let sum = |key: &str| {
        ["alder", "birch"]
            .iter()
            .map(|hive| row(hive)[key].as_f64().expect("a mass"))
            .sum::<f64>()
    };
    // The comb honey of birch bar 7 weighed 1.2 kg beside the 5.9 kg of the pail.
    assert!((sum("comb_kg") - 7.1).abs() < 1e-5);
    assert!((sum("honey_kg") - 4.9).abs() < 1e-5);
    assert!((sum("wax_kg") - 0.34).abs() < 1e-5);
    // Two full combs against half of one: four fifths of the pail.
    assert!(
        (row("alder")["comb_kg"].as_f64().expect("a mass") - 4.72).abs() < 1e-4,
        "areas are whole mm²"
    );
    assert!(
        row("alder")["comb_lo_kg"].as_f64() < Some(4.72) && row("alder")["comb_hi_kg"].as_f64() > Some(4.72)
    );
}
