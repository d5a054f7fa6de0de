//! Text on its way to paper.

use serde_json::Value;

use crate::setter;

/// A word that is longer may be broken after so many letters.
const BREAK_AFTER: usize = 24;

/// Text without what would steer the printer or turn the letters behind it around; a word too long for a line may
/// be broken.
pub(crate) fn clean(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut unbroken = 0;
    for letter in text.chars() {
        if turns(letter) {
            continue;
        }
        let letter = if letter.is_control() { '\u{fffd}' } else { letter };
        unbroken = if letter.is_whitespace() { 0 } else { unbroken + 1 };
        out.push(letter);
        // Behind a letter and before its accent there is no place to break.
        if unbroken >= BREAK_AFTER && letter.is_ascii_alphanumeric() {
            out.push('\u{200b}');
            unbroken = 0;
        }
    }
    out
}

/// Marks that turn the direction of all letters behind them.
fn turns(letter: char) -> bool {
    matches!(letter, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// The letters of the data that no font has, each once.
pub(crate) fn lacking(data: &Value) -> Vec<char> {
    let mut lacking = Vec::new();
    look_through(data, &mut lacking);
    lacking.sort_unstable();
    lacking.dedup();
    lacking
}

fn look_through(data: &Value, lacking: &mut Vec<char>) {
    match data {
        Value::String(text) => lacking.extend(text.chars().filter(|letter| !is_printed(*letter))),
        Value::Array(parts) => parts.iter().for_each(|part| look_through(part, lacking)),
        Value::Object(parts) => parts.values().for_each(|part| look_through(part, lacking)),
        Value::Null | Value::Bool(_) | Value::Number(_) => {}
    }
}

fn is_printed(letter: char) -> bool {
    let unseen = letter.is_whitespace()
        || matches!(letter, '\u{200b}'..='\u{200f}' | '\u{fe00}'..='\u{fe0f}' | '\u{00ad}');
    unseen || setter::has(letter)
}
