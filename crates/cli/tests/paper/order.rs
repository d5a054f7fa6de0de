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
    // The group above these says that they are cells.
    let wanted: Vec<&str> = COLUMNS
        .iter()
        .map(|column| match column.heading {
            "Cells charged" => "Charged",
            "Cells sealed" => "Sealed",
            heading => heading,
        })
        .collect();
    assert_eq!(headings, wanted);
    assert!(card.rows.iter().all(|row| row.last.len() == COLUMNS.len()));
    for asked in &card.asked {
        let starts = asked.fields.iter().zip(COLONY);
        assert!(
            starts
                .into_iter()
                .all(|(field, column)| field.heading.starts_with(column.heading))
        );
        // And a line for words behind them.
        assert_eq!(asked.fields.len(), COLONY.len() + 1);
    }
}

/// Two colonies have one hive over their heads: it is smoked and looked through once.
#[test]
fn a_hive_of_two_colonies_is_asked_once_what_is_of_the_hive() {
    let office = super::demo();
    let reader = office.reader(Some(jiff::civil::date(2026, 6, 30)), app::demo::TODAY);
    let card = sheets::look_card(&reader, "heron").expect("a hive");
    let asked: Vec<(&str, Vec<usize>)> = card
        .asked
        .iter()
        .map(|asked| {
            (
                asked.of.as_str(),
                asked.fields.iter().map(|field| field.number).collect(),
            )
        })
        .collect();
    let [(one, of_one), (other, of_other), ("The whole hive", of_hive)] = asked.as_slice() else {
        panic!("{asked:?}");
    };
    assert!(one.starts_with("Colony ") && other.starts_with("Colony ") && one != other);
    assert_eq!(of_one, of_other);
    let mut all = [of_one.as_slice(), of_hive].concat();
    all.sort_unstable();
    assert_eq!(all, (0..=COLONY.len()).collect::<Vec<_>>());
    let begins: Vec<&str> = card
        .rows
        .iter()
        .map(|row| row.begins.as_str())
        .filter(|begins| !begins.is_empty())
        .collect();
    assert_eq!(
        begins,
        [format!(
            "colony {} from here",
            other.trim_start_matches("Colony ")
        )]
    );
}
