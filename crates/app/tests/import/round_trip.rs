//! A sheet whose columns are the keys of notes gives those notes again.

use std::collections::{BTreeMap, BTreeSet};

use apiary::note::compose::{Fills, blanks, compose, fill};
use apiary::note::table::{Kind, Known};
use apiary::note::{Note, read as read_note, table};
use app::import::{Mapping, Sheet, plan, read};
use proptest::prelude::*;
use rust_xlsxwriter::Workbook;

/// Something that fits, of its kind.
fn said(fills: Fills) -> BoxedStrategy<String> {
    let one_of = |words: &'static [&'static str]| prop::sample::select(words).prop_map(str::to_owned).boxed();
    let kind = match fills {
        Fills::Flag => return one_of(&["yes", "x"]),
        Fills::BarsHive => return one_of(&["alder", "birch"]),
        Fills::BarsPlaces => return one_of(&["9", "1 to 4", "3, 5 and 7", "1-4"]),
        Fills::Value(kind) => kind,
    };
    match kind {
        Kind::Word(words) => prop::sample::select(words.clone())
            .prop_map(str::to_owned)
            .boxed(),
        Kind::Name(_, Known::Now) => one_of(&["elm", "pail-3"]),
        Kind::Name(..) => one_of(&["alder", "pail-12", "A26", "Äpfel", "o'er"]),
        Kind::Text => one_of(&[
            "hedge",
            "hedge by the lane",
            "a # b",
            "into",
            "nine",
            "=1+1",
            "x; y, z",
            "<b>",
        ]),
        Kind::Count => (0..500_u32).prop_map(|n| n.to_string()).boxed(),
        Kind::Number => one_of(&["1.4925", "-2.40", "52"]),
        Kind::Mass | Kind::Amount => one_of(&["4.60 kg", "12 oz", "300g"]),
        Kind::Length => one_of(&["35 mm", "1-1/4 in"]),
        Kind::Area => one_of(&["812 cm2", "126 in2"]),
        Kind::Volume => one_of(&["118 ml"]),
        Kind::Temperature => one_of(&["-3 C", "24.5 C"]),
        Kind::Percent => one_of(&["17.4 %"]),
        Kind::Share => one_of(&["5/8", "60 %"]),
        Kind::Money => one_of(&["6.50 GBP", "12 GBP"]),
        Kind::Duration => one_of(&["2h30", "45min"]),
        Kind::Day => one_of(&["2026-07-19"]),
        Kind::Lengths => one_of(&["53 mm 54 mm", "35 mm"]),
        Kind::Bars => one_of(&["9"]),
        Kind::Goods => one_of(&["12 jars of 340 g", "2 kg of shea", "60 lids"]),
    }
}

/// Notes of one form, in as many ways as its blanks can be filled.
fn notes() -> impl Strategy<Value = Vec<Note>> {
    let entries = table().entries();
    let forms: Vec<(usize, usize)> = entries
        .iter()
        .enumerate()
        .flat_map(|(verb, entry)| (0..entry.shapes.len()).map(move |form| (verb, form)))
        .collect();
    prop::sample::select(forms).prop_flat_map(move |(verb, form)| {
        let entry = &entries[verb];
        let cells: Vec<_> = blanks(&entry.shapes[form], 2)
            .into_iter()
            .map(|blank| {
                let share = if blank.required || blank.detail.is_none() {
                    0.97
                } else {
                    0.3
                };
                (Just(blank.key), prop::option::weighted(share, said(blank.fills)))
            })
            .collect();
        let common = (
            1..=28_u8,
            prop::option::of("[01][0-9]:[0-5][0-9]"),
            any::<bool>(),
            prop::option::of("[a-zé\"; ]{0,9}"),
        );
        let row = (cells, common).prop_filter_map("a note", move |(cells, (day, hour, anyway, remark))| {
            let mut said: BTreeMap<String, String> = cells
                .into_iter()
                .filter_map(|(key, said)| Some((key, said?)))
                .collect();
            said.insert("day".to_owned(), format!("2026-07-{day:02}"));
            said.extend(hour.map(|hour| ("hour".to_owned(), hour)));
            said.extend(anyway.then(|| ("anyway".to_owned(), "yes".to_owned())));
            let one_space = |remark: String| remark.split_whitespace().collect::<Vec<_>>().join(" ");
            said.extend(remark.map(|remark| ("remark".to_owned(), one_space(remark))));
            let composed = compose(entry, form, &|key| said.get(key).cloned());
            let note = read_note(&composed.line).ok()?;
            (usize::from(note.fact.form) == form && note.fact.word() == entry.verb.word).then_some(note)
        });
        prop::collection::vec(row, 1..5)
    })
}

/// The notes as rows under their keys.
fn exported(notes: &[Note]) -> Vec<Vec<String>> {
    let fills: Vec<BTreeMap<String, String>> = notes.iter().map(fill).collect();
    let keys: BTreeSet<&String> = fills.iter().flat_map(BTreeMap::keys).collect();
    let row = |fill: &BTreeMap<String, String>| {
        keys.iter()
            .map(|key| fill.get(*key).cloned().unwrap_or_default())
            .collect()
    };
    let headings = keys.iter().map(|key| (*key).clone()).collect();
    std::iter::once(headings).chain(fills.iter().map(row)).collect()
}

fn as_csv(rows: &[Vec<String>], separator: char) -> Sheet {
    let cell = |cell: &String| format!("\"{}\"", cell.replace('"', "\"\""));
    let line = |row: &Vec<String>| {
        row.iter()
            .map(cell)
            .collect::<Vec<_>>()
            .join(&separator.to_string())
    };
    let text = rows.iter().map(line).collect::<Vec<_>>().join("\r\n");
    read("a.csv", text.as_bytes(), None).expect("a sheet")
}

fn as_workbook(rows: &[Vec<String>]) -> Sheet {
    let mut workbook = Workbook::new();
    let page = workbook.add_worksheet();
    for (row, cells) in (0..).zip(rows) {
        for (column, cell) in (0..).zip(cells) {
            page.write_string(row, column, cell.as_str()).expect("a cell");
        }
    }
    read("a.xlsx", &workbook.save_to_buffer().expect("a workbook"), None).expect("a sheet")
}

fn check(notes: &[Note], sheet: &Sheet) -> Result<(), TestCaseError> {
    let mapping = Mapping {
        verb: notes[0].fact.word().to_owned(),
        form: Some(usize::from(notes[0].fact.form)),
        ..Mapping::default()
    };
    let planned = plan(sheet, &mapping).map_err(|error| TestCaseError::fail(error.to_string()))?;
    prop_assert_eq!(planned.len(), notes.len());
    for (planned, note) in planned.iter().zip(notes) {
        let line = planned
            .line
            .as_ref()
            .map_err(|refused| TestCaseError::fail(format!("{note}: {}", refused.why.join("; "))))?;
        prop_assert_eq!(
            &read_note(line).map_err(|error| TestCaseError::fail(error.to_string()))?,
            note
        );
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, max_global_rejects: 100_000, ..ProptestConfig::default() })]

    #[test]
    fn a_sheet_of_keys_gives_the_notes_again(notes in notes(), separator in prop::sample::select(vec![',', ';', '\t'])) {
        check(&notes, &as_csv(&exported(&notes), separator))?;
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, max_global_rejects: 100_000, ..ProptestConfig::default() })]

    #[test]
    fn so_does_a_workbook(notes in notes()) {
        check(&notes, &as_workbook(&exported(&notes)))?;
    }
}

#[test]
fn every_example_of_the_manual_gives_itself_again() {
    for entry in table().entries() {
        for example in entry.verb.examples {
            let note = read_note(example).expect("an example is a note");
            let notes = std::slice::from_ref(&note);
            check(notes, &as_csv(&exported(notes), ',')).unwrap_or_else(|error| panic!("{example}: {error}"));
        }
    }
}
