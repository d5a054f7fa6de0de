//! Sizes of boards against the printed table, and bars ripped from them.

use quantity::Length;
use reckon::lumber::{
    DRESSED_THICKNESSES, DRESSED_WIDTHS, Ripped, Seasoning, Strips, dressed_thickness, dressed_width, ripped,
    strips,
};

use crate::rows;

/// Inches as they are printed, such as `7 1/4`.
fn inches(printed: &str) -> Length {
    let whole = |digits: &str| {
        let number: i64 = digits.parse().expect("the table prints inches");
        number
    };
    let part = |piece: &str| match piece.split_once('/') {
        Some((above, below)) => 64 * whole(above) / whole(below),
        None => 64 * whole(piece),
    };
    Length::inch_64ths(printed.split(' ').map(part).sum())
}

#[test]
fn boards_measure_what_the_table_prints() {
    type Dressed = fn(Length, Seasoning) -> Option<Length>;
    let tables: [(&str, Dressed, usize); 2] = [
        (
            include_str!("lumber/thickness.csv"),
            dressed_thickness,
            DRESSED_THICKNESSES.value.len(),
        ),
        (
            include_str!("lumber/width.csv"),
            dressed_width,
            DRESSED_WIDTHS.value.len(),
        ),
    ];
    for (table, dressed, n_rows) in tables {
        let mut seen = 0;
        for row in table.lines().skip(1) {
            let [nominal, dry, green] = row.split(',').map(inches).collect::<Vec<_>>()[..] else {
                panic!("{row}");
            };
            assert_eq!(dressed(nominal, Seasoning::Dry), Some(dry), "{row}");
            assert_eq!(dressed(nominal, Seasoning::Green), Some(green), "{row}");
            seen += 1;
        }
        assert_eq!(seen, n_rows, "a row that is not printed");
    }
    assert_eq!(dressed_width(inches("13"), Seasoning::Dry), None);
    assert_eq!(dressed_thickness(Length::mm(20), Seasoning::Dry), None);
}

#[test]
fn bars_from_a_board_are_those_worked_by_hand() {
    let cuts = [
        ("1 1/4", "1/8"),
        ("1 3/8", "1/8"),
        ("1 3/8", "3/32"),
        ("1 1/2", "1/8"),
    ];
    let mut cells = 0;
    for row in rows(include_str!("lumber/ripped.csv")) {
        let board = dressed_width(inches(row[0]), Seasoning::Dry).unwrap();
        for ((bar, kerf), printed) in cuts.iter().zip(&row[1..]) {
            let ours = ripped(board, inches(bar), inches(kerf)).unwrap();
            assert_eq!(
                ours.pieces.to_string(),
                *printed,
                "{bar} with {kerf} from {board:?}"
            );
            cells += 1;
        }
    }
    assert_eq!(cells, 20);
}

#[test]
fn what_is_left_of_a_board_is_exact() {
    let left = |board, bar, kerf| ripped(inches(board), inches(bar), inches(kerf)).map(|ripped| ripped.left);
    assert_eq!(left("7 1/4", "1 3/8", "3/32"), Some(Length::ZERO));
    assert_eq!(left("11 1/4", "1 1/2", "1/8"), Some(Length::ZERO));
    assert_eq!(left("7 1/4", "1 3/8", "1/8"), Some(inches("1 3/8")));
    assert_eq!(left("3 1/2", "1 1/4", "1/8"), Some(inches("7/8")));
    // A sixteenth too narrow for the fifth bar.
    assert_eq!(left("7 3/16", "1 3/8", "3/32"), Some(inches("1 13/32")));
}

#[test]
fn a_board_too_narrow_is_left_whole() {
    let whole = Ripped {
        pieces: 0,
        left: Length::mm(30),
    };
    assert_eq!(ripped(Length::mm(30), Length::mm(35), Length::mm(3)), Some(whole));
    assert_eq!(ripped(Length::mm(30), Length::ZERO, Length::mm(3)), None);
    assert_eq!(ripped(Length::mm(30), Length::mm(10), Length::mm(-1)), None);
    assert_eq!(ripped(Length::mm(-1), Length::mm(10), Length::ZERO), None);
    assert_eq!(
        ripped(Length::mm(30), Length::mm(10), Length::ZERO),
        Some(Ripped {
            pieces: 3,
            left: Length::ZERO
        })
    );
}

#[test]
fn a_wide_part_is_made_of_the_fewest_equal_strips() {
    let of = |width, board, joint| strips(Length::mm(width), Length::mm(board), Length::mm(joint));
    let strips = |count, width| {
        Some(Strips {
            count,
            width: Length::mm(width),
        })
    };
    assert_eq!(of(240, 100, 0), strips(3, 80));
    assert_eq!(of(240, 100, 6), strips(3, 84));
    assert_eq!(of(100, 100, 6), strips(1, 100));
    assert_eq!(of(101, 100, 0).map(|strips| strips.count), Some(2));
    assert_eq!(of(300, 100, 0), strips(3, 100));
    // Three boards of 100 mm lose two joints of 5 mm: 290 mm and no more.
    assert_eq!(of(290, 100, 5), strips(3, 100));
    assert_eq!(of(291, 100, 5).map(|strips| strips.count), Some(4));
    assert_eq!(of(10, 100, 100), None);
    assert_eq!(of(0, 100, 0), None);
    assert_eq!(of(10, 100, -1), None);
}
