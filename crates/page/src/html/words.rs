//! Words in a row.

use maud::{Markup, html};

use crate::reach::safe;
use crate::words::{Amount, Span, Words};

pub(super) fn words(words: &Words) -> Markup {
    html! { @for span in &words.0 { (span_of(span)) } }
}

fn span_of(span: &Span) -> Markup {
    html! {
        @match span {
            Span::Plain(text) => { (breakable(text)) }
            Span::Link { text, to } => { (link(&breakable(text), to, None)) }
            Span::Amount(amount) => { (self::amount(amount, "")) }
            Span::Note(text) => { code.note { (breakable(text)) } }
            Span::Strong(text) => { strong { (breakable(text)) } }
        }
    }
}

/// A link, or its words alone where it may not lead there.
pub(super) fn link(text: &Markup, to: &str, class: Option<&str>) -> Markup {
    html! {
        @match safe(to) {
            // A page elsewhere need not know which page of which farm its reader came from.
            Some(to) => a class=[class] href=(to) rel=[to.starts_with("https:").then_some("noreferrer")] { (text) }
            None => { (text) }
        }
    }
}

/// An amount; `pad` stands between its digits and its unit, outside of what is underlined.
pub(super) fn amount(amount: &Amount, pad: &str) -> Markup {
    let digits = html! { (amount.digits.replacen('-', MINUS, 1)) };
    html! {
        span.amount {
            @match &amount.why {
                Some(why) => { (link(&digits, why, Some("why"))) }
                None => { (digits) }
            }
            (pad)
            @if let Some(unit) = &amount.unit { (NO_BREAK) (unit) }
        }
    }
}

/// As wide as a digit, which a hyphen is not, and never at the end of a line alone.
const MINUS: &str = "\u{2212}";

/// Keeps a unit on the line of its digits.
const NO_BREAK: &str = "\u{a0}";

/// A word longer than this is given places where it may be broken, so that it widens no table; this many letters
/// lie between them.
const LONG_WORD: usize = 28;
const PIECE: usize = 12;

fn breakable(text: &str) -> Markup {
    let is_long = |word: &str| word.chars().count() > LONG_WORD;
    html! {
        @for word in text.split_inclusive(char::is_whitespace) {
            @if is_long(word) {
                @for (place, letter) in word.chars().enumerate() {
                    @if place > 0 && place.is_multiple_of(PIECE) { wbr; }
                    (letter)
                }
            } @else {
                (word)
            }
        }
    }
}
