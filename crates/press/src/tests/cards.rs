use page::{Asked, AskedField, BoxWidth, Card, CardColumn, CardRow};

use super::*;
use crate::{BoxOnPaper, Holds, cards};

const HEADINGS: [&str; 16] = [
    "Drawn", "Brood", "Sealed", "Open", "Eggs", "Drones", "Capped", "Honey", "Nectar", "Pollen", "Bees",
    "Cups", "Charged", "Sealed", "Fault", "Queen",
];

fn card(title: &str, bars: u16) -> Card {
    let column = |(place, heading): (usize, &&str)| CardColumn {
        heading: (*heading).into(),
        group: match place {
            1..=5 => "Brood".into(),
            6..=9 => "Stores".into(),
            11..=13 => "Queen cells".into(),
            _ => String::new(),
        },
        width: if place == 14 {
            BoxWidth::Letters
        } else {
            BoxWidth::Figure
        },
        last: place < 11 || place == 14,
    };
    let row = |place: u16| CardRow {
        place,
        tag: if place == 2 { "K7".into() } else { String::new() },
        last: HEADINGS.iter().map(|_| (place % 9).to_string()).collect(),
        words: if place == 3 {
            "wax white".into()
        } else {
            String::new()
        },
        board: place == 6,
        begins: String::new(),
        known: true,
    };
    let choice = |words: &[&str]| words.iter().map(|word| (*word).to_owned()).collect::<Vec<_>>();
    let fields = [
        ("Queen", choice(&["seen", "unseen"])),
        ("Temper", choice(&["calm", "restless", "sharp"])),
        ("Bees cover (eighths)", Vec::new()),
        ("Heft", choice(&["light", "fair", "heavy"])),
        ("Stores (with unit)", Vec::new()),
        ("Bees crushed", Vec::new()),
        ("Smoke", choice(&["none", "little", "much"])),
        ("Handled", choice(&["gently", "roughly"])),
        ("Flight", choice(&["none", "little", "good", "heavy"])),
        ("Looked up to bar", Vec::new()),
        ("Words", Vec::new()),
    ];
    let fields = fields
        .into_iter()
        .enumerate()
        .map(|(number, (heading, words))| AskedField {
            number,
            heading: heading.into(),
            words,
            line: heading == "Words",
        });
    Card {
        title: title.into(),
        day: "2026-05-24".into(),
        code: "K7QD".into(),
        known: vec!["in orchard".into()],
        asked: vec![Asked {
            of: String::new(),
            fields: fields.collect(),
        }],
        columns: HEADINGS.iter().enumerate().map(column).collect(),
        tick: "As before".into(),
        words: "Words".into(),
        rows: (1..=bars).map(row).collect(),
        foot: vec!["Eighths of both faces: 0 none, blank not seen.".into()],
        cautions: vec!["Stings can kill.".into()],
    }
}

/// A card of which nothing is known.
fn blank(bars: u16) -> Card {
    let mut card = card("", bars);
    for column in &mut card.columns {
        column.last = false;
    }
    for row in &mut card.rows {
        *row = CardRow {
            place: row.place,
            ..CardRow::default()
        };
    }
    Card {
        day: String::new(),
        code: String::new(),
        known: Vec::new(),
        tick: String::new(),
        ..card
    }
}

fn boxes_of(card: &Card, paper: Paper) -> (usize, Vec<BoxOnPaper>) {
    let (printed, boxes) = cards(std::slice::from_ref(card), &around(paper)).expect("it is set");
    (printed.sheets, boxes)
}

#[test]
fn the_boxes_of_thirty_bars_lie_on_one_sheet_and_those_of_sixty_go_on() {
    for paper in [Paper::A4, Paper::Letter] {
        for (bars, sheets) in [(0, 1), (1, 1), (12, 1), (30, 1), (60, 2)] {
            let (told, boxes) = boxes_of(&card("alder", bars), paper);
            let sheets = if (paper, bars) == (Paper::Letter, 60) {
                3
            } else {
                sheets
            };
            // Every sheet has the day of the look; what is asked for comes before the back.
            let asked = |one: &&BoxOnPaper| !matches!(one.holds, Holds::Once(_));
            let last = boxes.iter().rfind(asked).expect("boxes").sheet;
            // What was known besides goes over to the back before the boxes get too small.
            let most = sheets + usize::from((paper, bars) == (Paper::Letter, 30));
            assert!(
                last == sheets && (sheets..=most).contains(&told),
                "{bars} bars on {paper:?}: {last}, {told}"
            );
            let columns = boxes
                .iter()
                .filter(|one| matches!(one.holds, Holds::Column { .. }));
            assert_eq!(
                columns.count(),
                usize::from(bars) * HEADINGS.len(),
                "{bars} bars on {paper:?}"
            );
        }
    }
}

#[test]
fn boxes_are_large_enough_within_the_margins_and_apart() {
    for (paper, bars) in [
        (Paper::A4, 30),
        (Paper::Letter, 30),
        (Paper::A4, 12),
        (Paper::Letter, 60),
    ] {
        for card in [card("alder", bars), blank(bars)] {
            let (wide, high) = paper.mm();
            let (_, boxes) = boxes_of(&card, paper);
            for one in &boxes {
                let (right, bottom) = (one.left + one.width, one.top + one.height);
                assert!(
                    one.left >= 8.0 && one.top >= 8.0 && right <= wide - 8.0 && bottom <= high - 8.0,
                    "{one:?}"
                );
                if matches!(one.holds, Holds::Column { .. }) {
                    assert!(one.height >= 6.1 && one.width >= 5.5, "{one:?}");
                }
            }
            for (at, one) in boxes.iter().enumerate() {
                let apart = |other: &BoxOnPaper| {
                    let hair = 0.05;
                    one.sheet != other.sheet
                        || one.left + one.width <= other.left + hair
                        || other.left + other.width <= one.left + hair
                        || one.top + one.height <= other.top + hair
                        || other.top + other.height <= one.top + hair
                };
                let over = boxes[at + 1..].iter().find(|other| !apart(other));
                assert!(over.is_none(), "{one:?} lies over {over:?}");
            }
        }
    }
}

#[test]
fn a_loose_sheet_tells_whose_it_is_and_how_it_is_filled_in() {
    for (card, wanted) in [
        (card("alder", 60), &["Day of this look"][..]),
        (blank(60), &["Hive", "Day of this look"]),
    ] {
        let (printed, boxes) = cards(std::slice::from_ref(&card), &around(Paper::A4)).expect("it is set");
        assert_eq!(printed.sheets, 2);
        let on_second: Vec<&str> = boxes
            .iter()
            .filter(|one| one.sheet == 2)
            .filter_map(|one| match &one.holds {
                Holds::Once(heading) => Some(heading.as_str()),
                _ => None,
            })
            .collect();
        assert_eq!(on_second, wanted);
        let text = words(&printed.pdf);
        assert_eq!(text.matches("Eighths of both faces").count(), 2, "{text}");
    }
}

#[test]
fn a_card_of_which_nothing_is_known_has_wide_boxes_and_no_ticks() {
    let width = |card: &Card| {
        let (_, boxes) = boxes_of(card, Paper::A4);
        let is_drawn = |one: &&BoxOnPaper| matches!(one.holds, Holds::Column { column: 0, .. });
        boxes.iter().find(is_drawn).expect("a box").width
    };
    assert!(width(&blank(30)) > width(&card("alder", 30)) + 3.0);
    let (printed, boxes) = cards(&[blank(30)], &around(Paper::A4)).expect("it is set");
    assert_eq!(printed.sheets, 1);
    assert!(boxes.iter().all(|one| !matches!(one.holds, Holds::Tick { .. })));
    assert!(!words(&printed.pdf).contains("As before"));
}

#[test]
fn where_another_colony_begins_a_band_says_so() {
    for begins_at in [2, 16, 30] {
        let mut card = card("alder", 30);
        card.rows[begins_at - 1].begins = "colony fern from here".into();
        let (printed, boxes) = cards(&[card], &around(Paper::A4)).expect("it is set");
        assert_eq!(printed.sheets, 1, "from {begins_at}");
        let top = |wanted: usize| {
            let of = |one: &&BoxOnPaper| matches!(one.holds, Holds::Column { place, .. } if usize::from(place) == wanted);
            boxes.iter().find(of).expect("a box").top
        };
        let between = top(begins_at) - top(begins_at - 1);
        let row = boxes
            .iter()
            .find(|one| matches!(one.holds, Holds::Column { .. }))
            .expect("a box");
        assert!(between > row.height + 4.0, "{between} from {begins_at}");
        assert!(words(&printed.pdf).contains("colony fern from here"));
    }
}

#[test]
fn a_card_is_read_from_left_to_right_and_from_the_top_down() {
    let (_, boxes) = boxes_of(&card("alder", 60), Paper::A4);
    let columns: Vec<(u16, usize)> = boxes
        .iter()
        .filter_map(|one| match one.holds {
            Holds::Column { place, column } => Some((place, column)),
            _ => None,
        })
        .collect();
    let expected: Vec<(u16, usize)> = (1..=60)
        .flat_map(|place| (0..HEADINGS.len()).map(move |column| (place, column)))
        .collect();
    assert_eq!(columns, expected);
    let fields: Vec<(usize, usize)> = boxes
        .iter()
        .filter_map(|one| match one.holds {
            Holds::Asked { group, field, .. } => Some((group, field)),
            _ => None,
        })
        .collect();
    assert!(fields.is_sorted(), "{fields:?}");
    assert_eq!(fields.last(), Some(&(0, 10)));
}

#[test]
fn a_card_tells_whose_it_is_and_what_was_known() {
    let (printed, _) = cards(&[card("alder", 60), card("", 3)], &around(Paper::A4)).expect("it is set");
    let text = words(&printed.pdf);
    in_order(
        &text,
        &[
            "alder",
            "Hollow Farm",
            "as known on 2026-05-24",
            "code K7QD",
            "sheet 1 of",
            "Day of this look",
            "in orchard",
        ],
    );
    assert_eq!(text.matches("alder").count(), printed.sheets - 1);
    in_order(
        &text,
        &["sheet 1 of", "sheet 2 of", "Look card", "sheet 1 of 1", "Hive"],
    );
    in_order(
        &text,
        &[
            "Queen",
            "seen",
            "unseen",
            "Temper",
            "Looked up to bar",
            "Words",
            "Care:",
            "wax white",
            "Eighths of both faces",
        ],
    );
}

#[test]
fn a_row_of_which_nothing_is_known_cannot_be_as_before() {
    let mut card = card("alder", 2);
    card.rows[1].known = false;
    let (_, boxes) = boxes_of(&card, Paper::A4);
    let ticks: Vec<&Holds> = boxes
        .iter()
        .map(|one| &one.holds)
        .filter(|holds| matches!(holds, Holds::Tick { .. }))
        .collect();
    assert_eq!(ticks, [&Holds::Tick { place: 1 }]);
}

#[test]
fn no_card_is_told_as_a_sentence_and_names_stay_names() {
    let (printed, boxes) = cards(&[], &around(Paper::A4)).expect("it is set");
    assert_eq!((printed.sheets, boxes.len()), (1, 0));
    assert!(words(&printed.pdf).contains("No bees live"));
    let long = "x".repeat(200);
    for name in HOSTILE.iter().copied().chain([long.as_str()]) {
        let mut card = card(name, 12);
        card.rows[0].words = name.into();
        card.rows[0].tag = name.into();
        card.known = vec![name.into()];
        card.asked[0].of = name.into();
        let (printed, boxes) =
            cards(&[card], &around(Paper::Letter)).unwrap_or_else(|error| panic!("{name}: {error}"));
        assert!(printed.sheets <= 2, "{name}");
        assert!(boxes.iter().all(|one| one.left + one.width < 210.0), "{name}");
    }
}

#[test]
fn the_same_card_gives_the_same_bytes() {
    let set = || {
        cards(&[card("alder", 30)], &around(Paper::A4))
            .expect("it is set")
            .0
            .pdf
    };
    assert!(set() == set());
}
