//! What is printed, read back by another library.

mod cards;
mod full_size;
mod pages;

use jiff::civil::date;
use lopdf::Document;

use crate::{Around, Paper};

fn around(paper: Paper) -> Around<'static> {
    Around {
        paper,
        day: date(2026, 5, 24),
        farm: "Hollow Farm",
    }
}

/// Width and height of each sheet, in points.
fn sizes(pdf: &[u8]) -> Vec<(f32, f32)> {
    let read = Document::load_mem(pdf).expect("a file that can be read");
    let media = |id: &lopdf::ObjectId| {
        let page = read.get_dictionary(*id).expect("a sheet");
        let frame = page.get(b"MediaBox").and_then(lopdf::Object::as_array);
        let side = |at: usize| frame.as_ref().expect("a frame")[at].as_float().expect("a number");
        (side(2) - side(0), side(3) - side(1))
    };
    read.get_pages().values().map(media).collect()
}

/// The words of the file, in the order in which they were set.
fn words(pdf: &[u8]) -> String {
    let read = Document::load_mem(pdf).expect("a file that can be read");
    let sheets: Vec<u32> = read.get_pages().keys().copied().collect();
    let text = read.extract_text(&sheets).expect("words");
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Checks that words stand in the text in this order.
fn in_order(text: &str, wanted: &[&str]) {
    let mut rest = text;
    for words in wanted {
        let at = rest.find(words);
        let at = at.unwrap_or_else(|| panic!("\"{words}\" is missing behind what came before it in: {text}"));
        rest = &rest[at + words.len()..];
    }
}

#[test]
fn paper_has_its_size_in_points() {
    // ISO 216: 210 mm by 297 mm; ANSI/ASME Y14.1: 8.5 in by 11 in. A point is 1/72 in.
    for (paper, wide, high) in [(Paper::A4, 595.28, 841.89), (Paper::Letter, 612.0, 792.0)] {
        let printed = crate::page(&page::Page::new("A page"), "", &around(paper)).expect("it is set");
        let (width, height) = sizes(&printed.pdf)[0];
        assert!(
            (width - wide).abs() < 0.02 && (height - high).abs() < 0.02,
            "{width} by {height}"
        );
        assert_eq!(Paper::of(paper.word()), Some(paper));
    }
    assert_eq!(Paper::of("a3"), None);
}

/// Names that would be orders in markup, or worse.
const HOSTILE: [&str; 8] = [
    "#panic(\"x\")",
    "$ x $ *bold* _it_ `raw` <label> @ref",
    "\\ back \\u{41} \"quoted\" 'single'",
    "= Heading // comment /* more",
    "[#read(\"/etc/passwd\")]",
    "כוורת النحل",
    "🐝 bee",
    "\u{202e}turned\u{7}bell",
];
