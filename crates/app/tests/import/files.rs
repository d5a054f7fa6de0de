//! Files of text: separators, marks, quotes, blank lines, rows of the wrong length.

use app::import::{SheetError, read};

use crate::{fed, planned, sheet};

const GOOD: &str = "2 2026-06-01 feed alder syrup 1 kg\n3 2026-06-02 feed birch syrup 2 kg\n";

#[track_caller]
fn check(text: &str, expected: &str) {
    assert_eq!(planned(&sheet(text), &fed()), expected, "{text}");
}

#[test]
fn commas_semicolons_and_tabs_part_the_cells() {
    for separator in [",", ";", "\t"] {
        let text = "Day,Hive,Food,Amount\n2026-06-01,alder,syrup,1 kg\n2026-06-02,birch,syrup,2 kg\n";
        check(&text.replace(',', separator), GOOD);
    }
    // The sign that comes most often counts, and none between quotes.
    check(
        "\"Day, or so\";\"Hive, if known\";Day;Hive;Food;Amount\n;;2026-06-01;alder;syrup;1 kg\n;;2026-06-02;birch;syrup;2 kg\n",
        GOOD,
    );
    check(
        "sep=;\r\nDay;Hive;Food;Amount\r\n2026-06-01;alder;syrup;1 kg\r\n",
        "3 2026-06-01 feed alder syrup 1 kg\n",
    );
}

#[test]
fn the_mark_of_utf_8_and_every_end_of_line_are_taken_off() {
    let lines = [
        "Day,Hive,Food,Amount",
        "2026-06-01,alder,syrup,1 kg",
        "2026-06-02,birch,syrup,2 kg",
    ];
    for end in ["\n", "\r\n", "\r"] {
        check(&format!("\u{feff}{}", lines.join(end)), GOOD);
        check(&format!("{}{end}{end}{end}", lines.join(end)), GOOD);
    }
}

#[test]
fn blank_rows_are_left_out_and_counted() {
    check(
        "\n\nDay,Hive,Food,Amount\n\n2026-06-01,alder,syrup,1 kg\r\n\r\n , ,,\n2026-06-02,birch,syrup,2 kg\n\n\n",
        "5 2026-06-01 feed alder syrup 1 kg\n8 2026-06-02 feed birch syrup 2 kg\n",
    );
}

#[test]
fn a_cell_may_hold_line_breaks_and_quotes() {
    let mut mapping = fed();
    mapping.fills.push(("remark".to_owned(), "Remark".to_owned()));
    let sheet = sheet(
        "Day,Hive,Food,Amount,Remark\n2026-06-01,alder,syrup,1 kg,\"warm,\n  \"\"still\"\"\u{a0}day\"\n2026-06-02,birch,syrup,2 kg,\n",
    );
    assert_eq!(
        planned(&sheet, &mapping),
        "2 2026-06-01 feed alder syrup 1 kg # warm, \"still\" day\n3 2026-06-02 feed birch syrup 2 kg\n"
    );
}

#[test]
fn rows_of_the_wrong_length_are_told() {
    check(
        "Day,Hive,Food,Amount,,\n2026-06-01,alder,syrup,1 kg,,\n2026-06-01,alder,syrup,1,5 kg\n2026-06-01,alder,syrup\n",
        "2 2026-06-01 feed alder syrup 1 kg\n\
         3 ! the row has 5 cells, and there are only 4 headings\n\
         4 ! the row has 3 cells, and there are 4 headings\n",
    );
}

#[track_caller]
fn refused(name: &str, bytes: &[u8], says: &str) {
    let error = read(name, bytes, None).expect_err("a file that is refused");
    assert!(error.to_string().contains(says), "{error}");
}

#[test]
fn other_files_are_refused_with_what_to_do() {
    refused(
        "a.ods",
        b"PK\x03\x04",
        "Save the sheet as .xlsx, or as .csv in UTF-8",
    );
    refused(
        "a.XLS",
        b"\xd0\xcf\x11\xe0",
        "files that end in .xls are not read",
    );
    refused("a.csv", b"PK\x03\x04", "it is packed, as workbooks are");
    refused("a.xlsx", b"Day,Hive", "it is no workbook");
    refused("a.xlsx", b"PK\x03\x04 and no more", "this is no file of its kind");
    refused("a.csv", b"", "the sheet is empty");
    refused("a.csv", b"\n,,\n", "the sheet is empty");
    refused(
        "a.csv",
        b"Day,Hive\n2026-06-01,erle\n2026-06-02,b\xe4r\n",
        "line 3 is no text in UTF-8",
    );
    refused("a.csv", b"\xff\xfeD\0a\0y\0", "line 1 is no text in UTF-8");
    refused(
        "a.csv",
        b"Day,Hive\n2026-06-01,\"alder\n2026-06-02,birch\n",
        "in row 2 a cell begins with a double quote",
    );
    refused("a.csv", &vec![b'x'; (10 << 20) + 1], "at most 10 MiB are read");
    refused("a.csv", &b"Day\nx\n".repeat(60_000), "more than 100000 rows");
    refused("a.csv", ",x".repeat(2_000).as_bytes(), "more than 1000 columns");
    assert_eq!(
        read("a.csv", b"Day", Some("Feeding"))
            .expect_err("no sheets")
            .to_string(),
        "a .csv file has no sheets, so none is called Feeding"
    );
    assert!(matches!(read("-", b"Day\n1\n", None), Ok(sheet) if sheet.columns == ["Day"]));
    assert!(matches!(read("a.txt", b"\n", None), Err(SheetError::Empty)));
}

#[test]
fn a_file_is_known_by_what_it_holds() {
    let digest = |name, text: &str| read(name, text.as_bytes(), None).expect("a sheet").digest;
    assert_eq!(digest("a.csv", "Day\n1"), digest("b.csv", "Day\n1"));
    assert_ne!(digest("a.csv", "Day\n1"), digest("a.csv", "Day\n2"));
    assert_eq!(digest("a.csv", "Day\n1").len(), 16);
}
