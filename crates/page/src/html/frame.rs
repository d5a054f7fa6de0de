//! What stands around a page: the name of the books, the ways to other pages and days, the box for a note.

use maud::{Markup, html};

use super::words::{link, words};
use super::{Days, Frame, Leaf, form};
use crate::reach::safe;

pub(super) fn header(frame: &Frame<'_>, leaf: &mut Leaf<'_>) -> Markup {
    html! {
        header {
            p.books { (frame.books) }
            nav.pages aria-label="Pages" {
                ul {
                    @for item in frame.nav {
                        li {
                            a href=[safe(&item.to)] aria-current=[item.current.then_some("page")] { (item.text) }
                        }
                    }
                }
            }
            @if let Some(days) = &frame.days { (self::days(days, leaf)) }
        }
    }
}

fn days(days: &Days, leaf: &mut Leaf<'_>) -> Markup {
    let id = leaf.ids.give("field-on");
    let kept = form::question_of(&days.action);
    html! {
        nav.days.past[!days.is_now] aria-label="Days" {
            p.day {
                (link(&html! { span.arrow aria-hidden="true" { "‹ " } "day before" }, &days.before, Some("step")))
                span.shown-day {
                    @if days.is_now { "Now, " } @else { "As of " }
                    time datetime=(days.day) { (days.day) }
                }
                @if let Some(after) = &days.after {
                    (link(&html! { "day after" span.arrow aria-hidden="true" { " ›" } }, after, Some("step")))
                }
                @if let Some(now) = &days.now { (link(&html! { "back to now" }, now, Some("step"))) }
            }
            form method="get" action=[safe(&days.action)] aria-label="Another day" {
                @for (name, value) in kept.iter().filter(|(name, _)| name != "on") {
                    input type="hidden" name=(name) value=(value);
                }
                label for=(id) { "Day" }
                // A day is written the same everywhere, which a browser's own calendar would not do.
                input id=(id) name="on" value=(days.day) size="10" inputmode="numeric" autocomplete="off";
                button type="submit" { "Show" }
            }
        }
    }
}

pub(super) fn footer(frame: &Frame<'_>, leaf: &mut Leaf<'_>) -> Markup {
    html! {
        footer {
            @if let Some(line_box) = &frame.line_box { div.line-box { (form::form(line_box, leaf)) } }
            @if !frame.foot.is_empty() { p.foot { (words(&frame.foot)) } }
            // Paper does not know where it came from unless it is told.
            p.address { (frame.here) }
        }
    }
}
