//! The card, the form and the field page ask in one order.

use apiary::colony::card::{COLONY, COLUMNS, Column, position};
use app::{forms, sheets};

const FIELD_PAGE: &str = include_str!("../../../web/assets/field/look.js");

/// The keys and labels of a list of the field page.
fn of_field_page(list: &str) -> Vec<(String, String)> {
    let from = FIELD_PAGE
        .find(&format!("export const {list} = ["))
        .expect("the list");
    let text = &FIELD_PAGE[from..];
    let text = &text[..text.find("];").expect("its end")];
    let between = |line: &str, name: &str| {
        let rest = &line[line.find(&format!("{name}: \""))? + name.len() + 3..];
        Some(rest[..rest.find('"')?].to_owned())
    };
    text.lines()
        .filter_map(|line| Some((between(line, "key")?, between(line, "label")?)))
        .collect()
}

fn of_card(columns: &[Column]) -> Vec<(String, String)> {
    columns
        .iter()
        .map(|column| (column.key.to_owned(), column.heading.to_owned()))
        .collect()
}

#[test]
fn the_field_page_asks_of_a_bar_as_the_card_does() {
    let asked = of_field_page("COLUMNS");
    let (first, rest) = asked.split_at(COLUMNS.len());
    assert_eq!(first, of_card(COLUMNS));
    // For these the card has no room; they go into its line for words.
    let rest: Vec<&str> = rest.iter().map(|(key, _)| key.as_str()).collect();
    assert_eq!(rest, ["cells emerged", "cells torn"]);
}

#[test]
fn the_field_page_asks_of_a_colony_in_the_order_of_the_card() {
    // The weight of the stores and where a look is stopped are not tapped in among these.
    let wanted: Vec<_> = of_card(COLONY)
        .into_iter()
        .filter(|(key, _)| key != "stores" && key != "stopped")
        .collect();
    assert_eq!(of_field_page("COLONY_COLUMNS"), wanted);
}

#[test]
fn the_form_asks_in_the_order_of_the_card() {
    let office = super::demo();
    let reader = office.reader(None, app::demo::TODAY);
    for (form, columns) in [(0, COLUMNS), (1, COLONY)] {
        let about = forms::About::Verb {
            word: "look".to_owned(),
            form,
        };
        let form_of = forms::form(&reader, &about, &Default::default(), "x").expect("a form");
        let mut asked: Vec<usize> = form_of
            .fields
            .iter()
            .filter_map(|field| position(form == 0, &field.name))
            .collect();
        assert!(asked.is_sorted(), "{asked:?}");
        asked.dedup();
        assert_eq!(asked, (0..columns.len()).collect::<Vec<_>>(), "form {form}");
    }
}

#[test]
fn the_card_has_the_columns_of_the_look_and_nothing_else() {
    let office = super::demo();
    let reader = office.reader(None, app::demo::TODAY);
    let card = sheets::look_card(&reader, "alder").expect("a hive");
    let headings: Vec<&str> = card
        .columns
        .iter()
        .map(|column| column.heading.as_str())
        .collect();
    let wanted: Vec<&str> = COLUMNS.iter().map(|column| column.heading).collect();
    assert_eq!(headings, wanted);
    assert!(card.rows.iter().all(|row| row.last.len() == COLUMNS.len()));
    for asked in &card.asked {
        let starts = asked.fields.iter().zip(COLONY);
        assert!(
            starts
                .into_iter()
                .all(|((heading, _), column)| heading.starts_with(column.heading))
        );
        assert_eq!(asked.fields.len(), COLONY.len());
    }
}
