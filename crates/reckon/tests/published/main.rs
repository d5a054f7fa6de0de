//! Our equations against printed tables and worked examples: one folder for each source, one module for each
//! folder.
//!
//! Every row is checked. A tolerance is derived, not chosen: half the printed step of the input pushed
//! through the equation, half the last digit of each coefficient, half the last digit of the printed answer.
//! Not ported: the tables of sucrose against index, whose text was not reached.

mod carpentry;
mod comb;
mod conduction;
mod cut;
mod degree_days;
mod density;
mod fit;
mod gtin;
mod heat;
mod jars;
mod lumber;
mod moisture;
mod outlines;
mod queen;
mod rate;
mod section;
mod strength;
mod wall;
mod weather;
mod winter;

use quantity::{Celsius, Fraction, Length};

/// The rows of a table below its header, each as its fields.
fn rows(table: &'static str) -> impl Iterator<Item = Vec<&'static str>> {
    table.lines().skip(1).map(|line| line.split(',').collect())
}

/// The number in a field.
fn number(field: &str) -> f64 {
    field.parse().unwrap_or_else(|_| panic!("{field:?} is no number"))
}

/// A temperature in °C.
fn celsius(degrees: f64) -> Celsius {
    Celsius::new(degrees).expect("the test gives a temperature")
}

/// A part in per cent.
fn percent(percent: f64) -> Fraction {
    Fraction::percent(percent).expect("the test gives a part of a hundred")
}

/// A length in millimetres.
fn mm(millimetres: f64) -> Length {
    Length::from_mm_f64(millimetres).expect("the test gives a length")
}

/// Fails unless two numbers are within a tolerance.
#[track_caller]
fn check(what: &str, ours: f64, printed: f64, allowed: f64) {
    let off = ours - printed;
    assert!(
        off.abs() <= allowed,
        "{what}: {ours} is off by {off:+.6} from {printed}, allowed {allowed:.6}"
    );
}

#[test]
fn every_folder_tells_its_source() {
    for source in [
        include_str!("honey-moisture-refraction/source.toml"),
        include_str!("honey-density/source.toml"),
        include_str!("gtin/source.toml"),
        include_str!("comb/source.toml"),
        include_str!("section/source.toml"),
        include_str!("carpentry/source.toml"),
        include_str!("cut/source.toml"),
        include_str!("lumber/source.toml"),
        include_str!("strength/source.toml"),
        include_str!("winter/source.toml"),
        include_str!("queen/source.toml"),
        include_str!("degree-days/source.toml"),
        include_str!("weather/source.toml"),
    ] {
        for key in ["citation = ", "seen = ", "notes = "] {
            assert!(source.contains(key), "{key} is missing in\n{source}");
        }
    }
}

#[test]
fn the_bibliography_is_in_order_and_has_each_id_once() {
    let ids: Vec<&str> = reckon::sources::ALL.iter().map(|source| source.id).collect();
    assert!(ids.is_sorted_by(|before, after| before < after), "{ids:?}");
}
