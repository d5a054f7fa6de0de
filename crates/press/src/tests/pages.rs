use page::{Amount, Block, Column, Drawing, Fill, Hatch, Page, Shape, Span, Table, Tone, Words};

use super::*;
use crate::page as set;

fn table(rows: usize) -> Table {
    let columns = vec![Column::words("Hive"), Column::amounts("Honey, kg")];
    let row = |number: usize| {
        vec![
            Words::new(format!("hive-{number}")),
            Words::amount(format!("{number}.50")),
        ]
    };
    Table::new("Hives", columns, "No hive.").with((1..=rows).map(row))
}

#[test]
fn every_part_of_a_page_is_on_paper_in_its_order() {
    let shape = Shape::Area {
        corners: vec![(0.0, 0.0), (100.0, 0.0), (80.0, 60.0)],
        fill: Fill::Hatch(Hatch::Crossed),
        edge: 1,
        broken: false,
    };
    let drawing = Drawing {
        title: "Comb".into(),
        says: "A comb".into(),
        caption: Words::new("Below the drawing"),
        frame: (0.0, 0.0, 100.0, 60.0),
        shapes: vec![shape],
        wide: true,
        code: false,
    };
    let amount = Span::Amount(Amount {
        digits: "12.5".into(),
        unit: Some("kg".into()),
        why: Some("/why".into()),
    });
    let page = Page::new("The round").with([
        Block::text(
            Words::new("First words ")
                .strong("weighty")
                .and(Words(vec![amount])),
        ),
        Block::care("Stings hurt."),
        Block::section(
            "To see",
            [Block::List(vec![Words::new("one thing"), Words::new("another")])],
        ),
        Block::section("Write", [Block::List(vec![Words::linked("A form", "/write")])]),
        Block::Facts(vec![("Stands in".into(), Words::new("orchard"))]),
        Block::Drawing(drawing.clone()),
        Block::Gallery(vec![drawing.clone(), drawing]),
        Block::Table(table(3)),
        Block::Folded {
            summary: "More".into(),
            blocks: vec![Block::notice(Tone::Odd, "Something odd")],
        },
    ]);
    let printed = set(&page, "As known on 2026-05-24", &around(Paper::A4)).expect("it is set");
    let text = words(&printed.pdf);
    in_order(
        &text,
        &[
            "The round",
            "First words",
            "weighty",
            "12.5",
            "kg",
            "Care:",
            "Stings hurt.",
            "To see",
            "one thing",
            "another",
            "Stands in",
            "orchard",
            "Below the drawing",
            "Hive",
            "Honey, kg",
            "hive-1",
            "1.50",
            "hive-3",
            "More",
            "Odd:",
            "Something odd",
        ],
    );
    // A list of links alone leads nowhere on paper, and neither does its heading.
    assert!(!text.contains("A form") && !text.contains("Write"), "{text}");
}

#[test]
fn a_long_table_goes_on_with_its_heading_and_the_sheets_are_counted() {
    let page = Page::new("All hives").with([Block::Table(table(200))]);
    let printed = set(&page, "Below", &around(Paper::Letter)).expect("it is set");
    assert!(printed.sheets > 2);
    assert_eq!(sizes(&printed.pdf).len(), printed.sheets);
    let text = words(&printed.pdf);
    assert_eq!(text.matches("Honey, kg").count(), printed.sheets);
    // The name of the page stands on each of them, and once as its heading.
    assert_eq!(text.matches("All hives").count(), printed.sheets + 1);
    assert!(text.contains(&format!("Page 1 of {}", printed.sheets)), "{text}");
}

#[test]
fn the_same_page_gives_the_same_bytes_and_another_day_does_not() {
    let page = Page::new("The round").with([Block::Table(table(20))]);
    let first = set(&page, "", &around(Paper::A4)).expect("it is set");
    let again = set(&page, "", &around(Paper::A4)).expect("it is set");
    assert!(first.pdf == again.pdf);
    let tomorrow = Around {
        day: date(2026, 5, 25),
        ..around(Paper::A4)
    };
    assert!(set(&page, "", &tomorrow).expect("it is set").pdf != first.pdf);
}

#[test]
fn names_stay_names_whatever_they_look_like() {
    let long = "x".repeat(200);
    for name in HOSTILE.iter().copied().chain([long.as_str(), ""]) {
        let page = Page::new(name).with([
            Block::text(Words::new(name).strong(name).note(name)),
            Block::section(name, [Block::text(name)]),
            Block::Facts(vec![(name.into(), Words::new(name))]),
            Block::Table(Table::new(name, vec![Column::words(name)], name).with([vec![Words::new(name)]])),
        ]);
        let printed = set(&page, name, &around(Paper::A4)).unwrap_or_else(|error| panic!("{name}: {error}"));
        assert_eq!(printed.sheets, 1, "{name}");
        if name.is_ascii() && name.len() < 60 {
            let text = words(&printed.pdf);
            let wanted: Vec<&str> = name.split_whitespace().collect();
            in_order(&text, &wanted);
        }
    }
}

#[test]
fn letters_that_the_fonts_lack_are_told() {
    let printed = set(&Page::new("🐝 bee 蜂"), "", &around(Paper::A4)).expect("it is set");
    assert_eq!(printed.lacking, ['蜂', '🐝']);
    let printed = set(
        &Page::new("Ärger, łąka, пчела, כוורת, النحل"),
        "",
        &around(Paper::A4),
    )
    .expect("it is set");
    assert!(printed.lacking.is_empty(), "{:?}", printed.lacking);
}
