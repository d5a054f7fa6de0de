//! Cells that would say more than their column, or more than can be said.

use app::import::{read, refused_csv};

use crate::{Desk, fed, mapping, planned, sheet};

#[track_caller]
fn refused(cells: [&str; 4], says: &str) {
    let quoted = cells.map(|cell| format!("\"{}\"", cell.replace('"', "\"\"")));
    let text = format!("Day,Hive,Food,Amount\n{}\n", quoted.join(","));
    let told = planned(&sheet(&text), &fed());
    assert!(told.starts_with("2 ! ") && told.contains(says), "{told}");
}

#[test]
fn a_cell_cannot_say_what_no_column_says() {
    refused(
        ["2026-06-01", "alder", "syrup", "1 kg anyway"],
        "anyway would come from no column",
    );
    refused(
        ["2026-06-01", "alder", "syrup", "1 kg # and a remark"],
        "remark would come from no column",
    );
    refused(
        ["2026-06-01", "alder", "syrup", "1 kg pieces 3"],
        "pieces would come from no column",
    );
    refused(
        ["2026-06-01", "alder syrup # not", "syrup", "1 kg"],
        "a cell says more than its column",
    );
    refused(
        ["2026-06-01", "alder\nwithdraw last", "syrup", "1 kg"],
        "does not fit here",
    );
    refused(
        ["correct laptop/1: 2026-06-01", "alder", "syrup", "1 kg"],
        "is no day",
    );
}

#[test]
fn signs_that_cannot_stand_in_a_note_are_refused() {
    refused(
        ["2026-06-01", "al\0der", "syrup", "1 kg"],
        "a control character cannot stand in a note",
    );
    refused(
        ["2026-06-01", "al\u{202e}der", "syrup", "1 kg"],
        "turns the direction of writing",
    );
    refused(
        ["2026-06-01", "al\u{fffd}der", "syrup", "1 kg"],
        "this was no text in UTF-8",
    );
    refused(
        ["2026-06-01", &"x".repeat(40_000), "syrup", "1 kg"],
        "a note has at most 4000 characters",
    );
    refused(["2026-06-01", "=1+1", "syrup", "1 kg"], "does not fit here");
}

#[test]
fn what_is_said_of_a_hostile_cell_is_short_and_harmless() {
    let day = format!("\u{202e}\u{1b}[31m{}", "x".repeat(40_000));
    let told = planned(
        &sheet(&format!("Day,Hive,Food,Amount\n\"{day}\",alder,syrup,1 kg\n")),
        &fed(),
    );
    assert!(told.len() < 300, "{}", told.len());
    assert!(!told.contains(['\u{202e}', '\u{1b}']), "{told:?}");
    let heading = format!("\"\u{202e}{}\"\n1\n", "x".repeat(40_000));
    let error = app::import::plan(&sheet(&heading), &fed())
        .expect_err("no such column")
        .to_string();
    assert!(error.len() < 500 && !error.contains('\u{202e}'), "{error}");
}

#[test]
fn words_of_a_text_are_only_words() {
    let text = "Day,Why\n2026-06-01,\"'); drop table entry; -- <script> into 12\"\"\"\n2026-06-02,=cmd|' /C calc'!A0\n";
    let spent = mapping(
        "spend",
        &[("day", "Day"), ("amount", "'1.00 GBP'"), ("what", "Why")],
    );
    assert_eq!(
        planned(&sheet(text), &spent),
        "2 2026-06-01 spend 1.00 GBP on \"'); drop table entry; -- <script> into 12\u{201d}\"\n\
         3 2026-06-02 spend 1.00 GBP on \"=cmd|' /C calc'!A0\"\n"
    );
}

#[test]
fn a_refused_row_keeps_its_cells_and_no_spreadsheet_calculates_them() {
    let mut desk = Desk::with_two_hives();
    let text = "=Day;Hive;Food;Amount\n2026-06-01;-2.5;@syrup;\"=1+\"\"1\"\"; \n2\"\n2026-06-01;ärle;syrup;1 kg;more;\n";
    let sheet = sheet(text);
    let mut feeding = fed();
    feeding.fills[0].1 = "=Day".to_owned();
    let report = desk.bring_in(&sheet, &feeding, true, false);
    let csv = refused_csv(&sheet, &report);
    let rows: Vec<&str> = csv.split("\r\n").collect();
    assert_eq!(rows[0], "\u{feff}'=Day;Hive;Food;Amount;extra 1;extra 2;row;why");
    assert!(
        rows[1].starts_with("2026-06-01;-2.5;'@syrup;\"'=1+\"\"1\"\"; \n2\";;;2;"),
        "{csv}"
    );
    assert!(
        rows[2].starts_with("2026-06-01;ärle;syrup;1 kg;more;;3;the row has 5 cells"),
        "{csv}"
    );
    let again = read("again.csv", csv.as_bytes(), None).expect("a sheet");
    assert_eq!(again.rows[0][..4], sheet.rows[0][..4]);
    let told = planned(&again, &feeding);
    assert!(
        told.contains("3 ! the row had more cells than there are headings"),
        "{told}"
    );
    // Refused rows of refused rows have one row and one reason.
    let report = desk.bring_in(&again, &feeding, true, false);
    let third = refused_csv(&again, &report);
    assert_eq!(third.lines().next(), csv.lines().next());
}
