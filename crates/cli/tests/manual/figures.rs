//! The season of the manual once more, asked by a script, against the sums worked out by hand.

use std::path::Path;
use std::process::{Command, Output};

use serde_json::Value;
use tempfile::TempDir;

use crate::script;

/// The books of the season, and how many notes were written into them.
struct Season {
    folder: TempDir,
    notes: usize,
}

/// Writes every note of the manual into new books, as a script would.
fn season() -> Season {
    let folder = tempfile::tempdir().expect("a folder can be made");
    let manual = script::text();
    script::put_files(&manual, folder.path());
    let mut notes = 0;
    for words in script::commands(&manual) {
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        if words.first() == Some(&"note") {
            let outcome = answer(folder.path(), &words);
            notes += outcome["written"].as_array().expect("a list of notes").len();
        }
    }
    Season { folder, notes }
}

impl Season {
    fn show(&self, words: &[&str]) -> Value {
        answer(self.folder.path(), &[&["show"], words].concat())
    }
}

fn run(folder: &Path, words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_combwright"))
        .args(words)
        .current_dir(folder)
        .env_clear()
        .env("TZ", "UTC")
        .output()
        .expect("the program runs")
}

/// What a command answers with `--json`; a refusal is an answer too.
#[track_caller]
fn answer(folder: &Path, words: &[&str]) -> Value {
    let put_out = run(folder, &[words, &["--json"]].concat());
    let said = String::from_utf8_lossy(&put_out.stderr).into_owned();
    assert!(
        matches!(put_out.status.code(), Some(0 | 2)),
        "{words:?}: {:?} {said}",
        put_out.status
    );
    serde_json::from_slice(&put_out.stdout).unwrap_or_else(|error| panic!("{words:?}: {error} {said}"))
}

/// The one of a list of objects that has this under that key.
#[track_caller]
fn one<'a>(list: &'a Value, key: &str, is: &str) -> &'a Value {
    let found = list
        .as_array()
        .and_then(|list| list.iter().find(|object| object[key] == is));
    found.unwrap_or_else(|| panic!("{key} {is} is in {list}"))
}

/// Checks numbers to a millionth: to the milligram, and far below the penny.
#[track_caller]
fn check(object: &Value, expected: &[(&str, f64)]) {
    check_within(1.5e-6, object, expected);
}

#[track_caller]
fn check_within(tolerance: f64, object: &Value, expected: &[(&str, f64)]) {
    for (key, expected) in expected {
        let found = object[key]
            .as_f64()
            .unwrap_or_else(|| panic!("{key} is a number in {object}"));
        assert!(
            (found - expected).abs() < tolerance,
            "{key} is {found}, by hand {expected}, in {object}"
        );
    }
}

#[test]
fn the_manual_holds_at_least_eighty_notes() {
    let season = season();
    assert!(season.notes >= 80, "{} notes", season.notes);
    let standing = season.show(&["notes"])["notes"]
        .as_array()
        .expect("a list of notes")
        .len();
    // A correction, a withdrawal and three settlings stand for no note; one note was corrected, one withdrawn.
    let (settlings, withdrawals, corrections) = (3, 1, 1);
    assert_eq!(standing, season.notes - settlings - 2 * withdrawals - corrections);
}

#[test]
fn the_pails_and_tanks_balance_to_the_gram() {
    let balance = season().show(&["balance"]);
    let batch = |name| one(&balance["batches"], "name", name);

    let (net, honey, residue, loss) = (7.04 - 1.16, 4.58, 1.02, 0.08);
    let first = [("in_kg", net), ("honey_kg", honey), ("residue_kg", residue)];
    check(batch("pail-1"), &first);
    check(batch("pail-1"), &[("loss_kg", loss), ("left_kg", 0.0)]);
    let unaccounted = net - honey - residue - loss;
    check(batch("pail-1"), &[("unaccounted_kg", unaccounted)]);
    check(
        batch("pail-1"),
        &[("wax_kg", 0.34), ("melt_unaccounted_kg", 1.02 - 0.34 - 0.63)],
    );

    let second = 6.10 - 4.84 - 1.03 - 0.06;
    check(batch("pail-2"), &[("in_kg", 6.10), ("unaccounted_kg", second)]);
    check(batch("pail-2"), &[("melt_unaccounted_kg", 1.03 - 0.36 - 0.64)]);

    let jars = 14.0 * 0.340 + 18.0 * 0.227;
    let tank = [
        ("in_kg", 4.58 + 4.84),
        ("honey_kg", jars),
        ("left_kg", 4.58 + 4.84 - jars),
    ];
    check(batch("tank-1"), &tank);
    check(batch("tank-1"), &[("unaccounted_kg", 0.0)]);

    let wax_out = 6.0 * 0.050 + 0.11;
    let wax = [
        ("in_kg", 0.34 + 0.36),
        ("other_kg", wax_out),
        ("left_kg", 0.34 + 0.36 - wax_out),
    ];
    check(batch("wax-2"), &wax);
    let balm = 0.11 + 0.29 + 0.10;
    check(
        batch("bowl-1"),
        &[("in_kg", balm), ("left_kg", balm - 24.0 * 0.020)],
    );
}

#[test]
fn each_hive_gave_its_share_of_the_pail() {
    let yields = season().show(&["yields"]);
    let hive = |name| one(&yields["hives"], "hive", name);
    let whole = (7.04 - 1.16) / 2.5;
    let hawthorn = [
        ("comb_kg", 2.0 * whole + 6.10),
        ("honey_kg", 4.0 / 5.0 * 4.58 + 4.84),
        ("wax_kg", 4.0 / 5.0 * 0.34 + 0.36),
    ];
    let bullfinch = [
        ("comb_kg", 0.5 * whole + 3.0 * 0.300),
        ("honey_kg", 4.58 / 5.0),
        ("wax_kg", 0.34 / 5.0),
    ];
    // Kilos are shared by whole mm² of comb: half of one, of some 400 cm² of half a comb, of 5.88 kg at the most.
    let half_a_mm2 = 0.5 / 40_000.0 * 5.88;
    check_within(half_a_mm2, hive("hawthorn"), &hawthorn);
    check_within(half_a_mm2, hive("bullfinch"), &bullfinch);
    check(hive("maple"), &[("comb_kg", 0.0), ("honey_kg", 0.0)]);
}

#[test]
fn a_jar_leads_back_to_its_bars() {
    let lot = season().show(&["lot", "S24"]);
    let mut bars: Vec<String> = lot["from"]
        .as_array()
        .expect("a list of combs")
        .iter()
        .map(|comb| {
            let text = |key: &str| comb[key].as_str().expect("text").to_owned();
            format!(
                "{} {} {} {}",
                text("hive"),
                comb["bar"],
                text("cut_on"),
                text("pail")
            )
        })
        .collect();
    bars.sort();
    assert_eq!(
        bars,
        [
            "bullfinch 7 2024-07-21 pail-1",
            "hawthorn 10 2024-07-21 pail-1",
            "hawthorn 11 2024-07-20 pail-2",
            "hawthorn 9 2024-07-21 pail-1",
        ]
    );
    assert_eq!(lot["tanks"], serde_json::json!(["tank-1"]));

    // Wedmore 1955, as Bogdanov's table has it; 0.00023 for each degree above 20 °C.
    let index = 1.4918 + 6.0 * 0.00023;
    let water = (1.73190 - libm::log10(100.0 * (index - 1.0))) / 0.002_243;
    check(&lot, &[("moisture_pct", (water * 1e6).round() / 1e6)]);

    let pieces = season().show(&["lot", "C24"]);
    assert_eq!(pieces["from"].as_array().map(Vec::len), Some(1));
    check(&pieces["from"][0], &[("bar", 8.0), ("comb_kg", 3.0 * 0.300)]);
}

#[test]
fn the_shelf_follows_what_left_it_and_the_tally() {
    let stock = season().show(&["stock"]);
    let lot = |name| one(&stock["lots"], "lot", name);
    let (filled, sold, given, taken, at_shop) = (14, 5 + 2 + 2, 1, 1, 4 - 2 - 1);
    let by_the_books = filled - sold - given - taken - at_shop;
    let counted = 1;
    assert_eq!(lot("S24")["made"], filled);
    assert_eq!(lot("S24")["sold"], sold);
    assert_eq!(lot("S24")["held_elsewhere"], at_shop);
    assert_eq!(lot("S24")["counted_off"], counted - by_the_books);
    assert_eq!(lot("S24")["on_hand"], counted);
    assert_eq!(lot("T24")["on_hand"], 18 - 6 - 1 - 3);
    assert_eq!(lot("C24")["on_hand"], 3 - 2 - 1);
    assert_eq!(lot("W24")["on_hand"], 6 - 2);
    assert_eq!(lot("B24")["on_hand"], 24 - 4 - 6);

    let good = |name| one(&stock["goods"], "good", name);
    assert_eq!(good("jars of 340 g")["on_hand"], 30 - 14 - 1);
    assert_eq!(good("jars of 227 g")["on_hand"], 48 - 18);
    assert_eq!(good("tins of 20 g")["on_hand"], 36 - 24);
    check(good("sunflower"), &[("on_hand", 1.0 - 0.29)]);
    check(good("shea"), &[("on_hand", 0.5 - 0.1)]);
}

#[test]
fn cash_and_costs_are_the_sums_by_hand() {
    let season = season();
    let spend = 33.60 + 8.40 + 14.40 + 2.10 + 11.20 + 6.30 + 9.80;
    let sold = 34.00 + 29.40 + 14.00 + 22.00 + 3.60 + 13.60 + 10.40;
    let (start, walk, refractometer, refund) = (240.00, 30.00, 46.00, 6.80);
    let cash = start + walk + sold - spend - refractometer - refund;
    check(&season.show(&["cash"]), &[("cash", cash)]);

    let honey_kg = 14.0 * 0.340 + 18.0 * 0.227;
    let hours = 3.5 + 1.25 + 2.0 + 4.5 + 3.25 + 2.5;
    let cost = season.show(&["cost", "--wage", "15.00 GBP"]);
    check(
        &cost,
        &[("honey_kg", honey_kg), ("spend", spend), ("hours", hours)],
    );
    let per_kg = [
        ("cost_per_kg", spend / honey_kg),
        ("cost_per_kg_with_time", (spend + 15.00 * hours) / honey_kg),
    ];
    check(&cost, &per_kg);
    assert_eq!(cost["currency"], "GBP");
}

#[test]
fn the_books_are_whole_and_come_out_of_an_export_as_they_went_in() {
    let season = season();
    let folder = season.folder.path();
    assert_eq!(season.show(&["complaints"])["complaints"], serde_json::json!([]));
    let entries = answer(folder, &["books", "check"])["entries"].clone();
    assert_eq!(entries, season.notes);

    let export = run(folder, &["books", "export", "--form", "jsonl"]).stdout;
    std::fs::write(folder.join("all.jsonl"), &export).expect("the folder can be written");
    let import = ["books", "import", "all.jsonl", "--books", "copy.books"];
    assert_eq!(answer(folder, &import)["new"], entries);
    let again = answer(folder, &import);
    assert_eq!(
        (&again["new"], &again["known"]),
        (&serde_json::json!(0), &entries)
    );

    for topic in ["notes", "stock", "balance", "yields", "cash", "yard"] {
        let copy = answer(folder, &["show", topic, "--books", "copy.books"]);
        assert_eq!(copy, season.show(&[topic]), "{topic}");
    }
    let of_copy = ["books", "export", "--form", "jsonl", "--books", "copy.books"];
    assert_eq!(run(folder, &of_copy).stdout, export);
}
