//! How many digits are printed of what.

use apiary::honey::answers::PartMass;
use page::Words;

/// Kilograms, to the gram.
pub(super) fn kg(value: f64) -> String {
    // A zero that rounding made of a little less than nothing has no sign.
    let text = format!("{value:.3}");
    if text.trim_start_matches('-').trim_matches(['0', '.']).is_empty() {
        "0.000".to_owned()
    } else {
        text
    }
}

/// Kilograms, where they are known.
pub(super) fn maybe_kg(value: Option<f64>, why: &str) -> Words {
    value.map_or_else(|| Words::new("unknown"), |value| Words::because(kg(value), why))
}

/// The least and the most, where they are not the same.
pub(super) fn between(mass: PartMass) -> String {
    if mass.hi_kg - mass.lo_kg < 5e-4 {
        String::new()
    } else {
        format!("{} to {}", kg(mass.lo_kg), kg(mass.hi_kg))
    }
}

/// What counting the shelf has added or taken off; nothing where it agreed.
pub(super) fn signed(count: i64) -> String {
    if count == 0 {
        String::new()
    } else {
        format!("{count:+}")
    }
}

/// A share as per cent.
pub(super) fn percent(share: f64) -> String {
    format!("{:.0}", share * 100.0)
}
