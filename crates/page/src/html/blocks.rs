//! The parts of a page.

use maud::{Markup, html};

use super::words::words;
use super::{Leaf, form, ids, table};
use crate::block::{Block, Notice, Section, Tone};
use crate::drawing::Drawing;
use crate::svg;

/// The parts, their headings from this level on.
pub(super) fn blocks(blocks: &[Block], level: u8, leaf: &mut Leaf<'_>) -> Markup {
    html! { @for one in blocks { (block(one, level, leaf)) } }
}

fn block(block: &Block, level: u8, leaf: &mut Leaf<'_>) -> Markup {
    match block {
        Block::Section(section) => self::section(section, level, leaf),
        Block::Text(text) => html! { p { (words(text)) } },
        Block::List(items) => html! { ul { @for item in items { li { (words(item)) } } } },
        Block::Facts(facts) => html! {
            dl.facts {
                @for (name, what) in facts { div { dt { (name) } dd { (words(what)) } } }
            }
        },
        Block::Table(table) => table::table(table, leaf),
        Block::Form(form) => form::form(form, leaf),
        Block::Drawing(drawing) => figure(drawing, leaf),
        Block::Gallery(drawings) => html! {
            div.gallery { @for drawing in drawings { (figure(drawing, leaf)) } }
        },
        Block::Notice(notice) => self::notice(notice, "note"),
        Block::Folded { summary, blocks } => html! {
            details {
                summary { (summary) }
                div.folded { (self::blocks(blocks, level, leaf)) }
            }
        },
    }
}

fn section(section: &Section, level: u8, leaf: &mut Leaf<'_>) -> Markup {
    let id = leaf.ids.give(&ids::slug(&section.heading));
    let heading = html! {
        @match level {
            2 => h2 id=(id) { (section.heading) }
            3 => h3 id=(id) { (section.heading) }
            4 => h4 id=(id) { (section.heading) }
            5 => h5 id=(id) { (section.heading) }
            _ => h6 id=(id) { (section.heading) }
        }
    };
    html! {
        section aria-labelledby=(id) {
            (heading)
            (blocks(&section.blocks, level + 1, leaf))
        }
    }
}

fn figure(drawing: &Drawing, leaf: &mut Leaf<'_>) -> Markup {
    let id = leaf.ids.give("drawing");
    html! {
        figure.wide[drawing.wide] {
            (svg::drawing(drawing, &id))
            @if !drawing.caption.is_empty() { figcaption { (words(&drawing.caption)) } }
        }
    }
}

/// A notice about what was just done: it is read out as soon as the page is there.
pub(super) fn announcement(notice: &Notice) -> Markup {
    let role = match notice.tone {
        Tone::Refused | Tone::Care => "alert",
        Tone::Written | Tone::Odd | Tone::Plain => "status",
    };
    self::notice(notice, role)
}

fn notice(notice: &Notice, role: &str) -> Markup {
    let class = match notice.tone {
        Tone::Odd => "notice odd",
        Tone::Refused => "notice refused",
        Tone::Written => "notice written",
        Tone::Care => "notice care",
        Tone::Plain => "notice",
    };
    html! {
        div class=(class) role=(role) {
            p { b.tone { (notice.tone.word()) ":" } " " (words(&notice.says)) }
            @if !notice.more.is_empty() {
                ul { @for line in &notice.more { li { (words(line)) } } }
            }
        }
    }
}
