//! The card of a hive: what it tells beside its boxes, and of which bars it asks whether they are as before.

use apiary::colony::card::COLUMNS;
use app::sheets;
use jiff::civil::{Date, date};
use page::{Card, CardRow};

use crate::fixture::Desk;

const TWO_COLONIES: &str = "2026-04-12 install alder swarm
    2026-04-26 look alder bar 1 drawn 8/8 brood 35 % honey 2/8 eggs seen queen seen cells sealed 2
    2026-04-26 look alder bar 2 drawn 8/8 honey 1 % nectar 2/8
    2026-05-10 lost alder
    2026-05-20 install alder swarm as wren";

fn card(desk: &Desk, on: Date) -> Card {
    let reader = desk.office.reader(Some(on), date(2026, 11, 25));
    sheets::look_card(&reader, "alder").expect("a hive")
}

/// What stands beside the boxes of a row, by column; blank ones left out.
fn beside(row: &CardRow) -> String {
    let told = COLUMNS.iter().zip(&row.last);
    let told = told.filter(|(_, last)| !last.is_empty());
    told.map(|(column, last)| format!("{} {last}", column.key))
        .collect::<Vec<_>>()
        .join(" ")
}

fn two_colonies() -> Desk {
    let mut desk = Desk::with_two_hives();
    desk.write(TWO_COLONIES);
    desk
}

#[test]
fn beside_a_box_stands_one_figure_and_what_is_rare_is_told_in_words() {
    let card = card(&two_colonies(), date(2026, 5, 1));
    assert_eq!(beside(&card.rows[0]), "drawn 8 brood 3 eggs s honey 2");
    assert_eq!(card.rows[0].words, "queen seen, cells sealed 2");
    // A little is not nothing.
    assert_eq!(beside(&card.rows[1]), "drawn 8 honey 1 nectar 2");
    assert_eq!(card.rows[1].words, "");
    assert!(
        card.rows.iter().all(|row| row.known),
        "a bare bar may be as before too"
    );
}

#[test]
fn nothing_of_the_bees_before_is_as_before() {
    let card = card(&two_colonies(), date(2026, 5, 24));
    assert_eq!(beside(&card.rows[0]), "drawn 8 honey 2");
    assert_eq!(card.rows[0].words, "");
    let known: Vec<bool> = card.rows.iter().take(3).map(|row| row.known).collect();
    assert_eq!(known, [false, false, true], "the third is bare");
}

#[test]
fn a_blank_card_has_nothing_to_be_as_before() {
    let card = sheets::blank_card(30);
    assert!(card.rows.iter().all(|row| !row.known) && card.tick.is_empty());
    assert!(card.columns.iter().all(|column| !column.last));
}
