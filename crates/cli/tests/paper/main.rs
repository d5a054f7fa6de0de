//! A card is printed, filled in by hand and copied in by order alone.

mod hand;
mod order;

use apiary::colony::card::{self, COLUMNS};
use app::{Office, sheets};
use jiff::civil::date;
use press::{Around, BoxOnPaper, Holds, Paper};
use store::MemoryStore;

/// What is written into a row: its number, the tick, what stands in the boxes by their columns.
type Row = (u16, bool, &'static [(&'static str, &'static str)]);

/// A look at six bars and more, as a keeper fills the card in; rows left out stay blank.
const FILLED: &[Row] = &[
    (1, true, &[]),
    (
        2,
        false,
        &[
            ("drawn", "8"),
            ("sealed", "3"),
            ("eggs", "s"),
            ("honey", "2"),
            ("pollen", "1"),
            ("bees", "6"),
        ],
    ),
    (
        3,
        false,
        &[
            ("drawn", "8"),
            ("sealed", "5"),
            ("open", "1"),
            ("drones", "1"),
            ("queen", "s"),
        ],
    ),
    (4, true, &[("cells cups", "2")]),
    (
        5,
        false,
        &[
            ("drawn", "7"),
            ("cells charged", "1"),
            ("cells sealed", "10"),
            ("fault", "cr"),
        ],
    ),
    (
        6,
        false,
        &[
            ("drawn", "8"),
            ("capped", "0"),
            ("honey", "3"),
            ("fault", "bu"),
            ("queen", "u"),
        ],
    ),
    (8, true, &[]),
];

fn demo() -> Office {
    app::demo::write(Box::new(MemoryStore::new())).expect("the demo's own notes")
}

/// The card of a hive of the demo, and its file with the boxes filled in by hand.
fn filled() -> (Vec<BoxOnPaper>, Vec<u8>) {
    let office = demo();
    let reader = office.reader(Some(date(2026, 5, 24)), app::demo::TODAY);
    let card = sheets::look_card(&reader, "alder").expect("a hive of the demo");
    let around = Around {
        paper: Paper::A4,
        day: reader.day(),
        farm: "",
    };
    let (printed, boxes) = press::cards(&[card], &around).expect("it is set");
    let mut hand = hand::Hand::new(Paper::A4);
    for one in &boxes {
        if let Some(text) = written(one) {
            hand.write(one, text);
        }
    }
    (boxes, hand.into(&printed.pdf))
}

fn written(one: &BoxOnPaper) -> Option<&'static str> {
    let row = |place: u16| FILLED.iter().find(|(of, ..)| *of == place);
    match &one.holds {
        Holds::Tick { place } => row(*place).filter(|(_, tick, _)| *tick).map(|_| "/"),
        Holds::Column { place, column } => {
            let (_, _, boxes) = row(*place)?;
            let key = COLUMNS[*column].key;
            boxes.iter().find(|(of, _)| *of == key).map(|(_, text)| *text)
        }
        _ => None,
    }
}

/// The notes that were meant.
fn meant() -> Vec<String> {
    FILLED
        .iter()
        .map(|(place, tick, boxes)| {
            let texts: Vec<&str> = COLUMNS
                .iter()
                .map(|column| {
                    boxes
                        .iter()
                        .find(|(key, _)| *key == column.key)
                        .map_or("", |(_, text)| *text)
                })
                .collect();
            card::row("alder", *place, *tick, &texts, "")
                .expect("it fits")
                .expect("it says something")
        })
        .collect()
}

/// What somebody does who knows nothing of the card but its order: every box of a row from left to right goes into the
/// next field.
fn copied(boxes: &[BoxOnPaper], pdf: &[u8]) -> Vec<String> {
    let read = hand::Read::of(pdf, Paper::A4);
    let mut notes = Vec::new();
    let mut rows: Vec<(bool, Vec<String>)> = Vec::new();
    for one in boxes {
        let text = read.within(one);
        match &one.holds {
            Holds::Tick { .. } => rows.push((!text.is_empty(), Vec::new())),
            Holds::Column { column, .. } => {
                if *column == 0 && rows.last().is_none_or(|(_, texts)| !texts.is_empty()) {
                    rows.push((false, Vec::new()));
                }
                rows.last_mut().expect("a row has begun").1.push(text);
            }
            _ => {}
        }
    }
    for ((tick, texts), place) in rows.iter().zip(1u16..) {
        let texts: Vec<&str> = texts.iter().map(String::as_str).collect();
        assert_eq!(texts.len(), COLUMNS.len(), "bar {place}");
        notes.extend(card::row("alder", place, *tick, &texts, "").expect("what is read fits"));
    }
    notes
}

#[test]
fn a_card_filled_by_hand_is_copied_in_by_order_alone() {
    let (boxes, pdf) = filled();
    let notes = copied(&boxes, &pdf);
    assert_eq!(notes, meant());
    // And the books take them.
    let mut office = demo();
    let lines: Vec<String> = notes.iter().map(|note| format!("2026-11-22 {note}")).collect();
    let lines: Vec<&str> = lines.iter().map(String::as_str).collect();
    let mut surroundings = app::Fixed::new(app::demo::TODAY.at(12, 0, 0, 0), 2);
    let outcome = office
        .write(&lines, &app::Writing::default(), &mut surroundings)
        .expect("the store holds");
    assert!(outcome.refused.is_empty(), "{:?}", outcome.refused);
    assert_eq!(outcome.written.len(), FILLED.len());
}

/// Kept among what the build makes, to be looked at and to be drawn for the documents.
#[test]
fn the_filled_card_is_kept_as_a_file() {
    let (_, pdf) = filled();
    assert!(pdf.starts_with(b"%PDF"));
    let file = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("card-filled.pdf");
    std::fs::write(&file, pdf).unwrap_or_else(|error| panic!("{}: {error}", file.display()));
}

#[test]
fn boxes_that_are_swapped_are_noticed() {
    let (mut boxes, pdf) = filled();
    let of = |column: usize| move |one: &BoxOnPaper| one.holds == Holds::Column { place: 2, column };
    let (one, other) = (
        boxes.iter().position(of(2)).expect("a box"),
        boxes.iter().position(of(7)).expect("a box"),
    );
    boxes.swap(one, other);
    assert_ne!(copied(&boxes, &pdf), meant());
}
