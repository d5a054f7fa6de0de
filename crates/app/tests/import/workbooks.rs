//! Workbooks: days, hours, numbers and calculations as spreadsheet programs keep them.

use app::import::{Mapping, Sheet, SheetError, read};
use rust_xlsxwriter::{ExcelDateTime, Format, Formula, Workbook};

use crate::{mapping, planned};

fn saved(mut workbook: Workbook) -> Vec<u8> {
    workbook.save_to_buffer().expect("a workbook")
}

fn workbook_of(headings: &[&str], fill: impl FnOnce(&mut rust_xlsxwriter::Worksheet)) -> Sheet {
    let mut workbook = Workbook::new();
    let page = workbook.add_worksheet();
    for (column, heading) in (0..).zip(headings) {
        page.write(0, column, *heading).expect("a cell");
    }
    fill(page);
    read("sheet.xlsx", &saved(workbook), None).expect("a sheet")
}

fn harvest() -> Mapping {
    mapping(
        "cut",
        &[
            ("day", "Date"),
            ("bars.hive", "Hive"),
            ("bars.places", "Bar"),
            ("comb", "{Weight} kg"),
            ("into", "Pail"),
        ],
    )
}

const HEADINGS: &[&str] = &["Date", "Hive", "Bar", "Weight", "Pail"];

#[test]
fn numbers_days_and_hours_are_what_was_typed() {
    let day = Format::new().set_num_format("dd/mm/yyyy");
    let minute = Format::new().set_num_format("yyyy-mm-dd hh:mm");
    let sheet = workbook_of(HEADINGS, |page| {
        let when = |text: &str| ExcelDateTime::parse_from_str(text).expect("a day");
        page.write_with_format(1, 0, when("2026-07-19"), &day)
            .expect("a cell");
        page.write(1, 1, "alder").expect("a cell");
        page.write(1, 2, 9).expect("a cell");
        page.write(1, 3, 2.5).expect("a cell");
        page.write(1, 4, "pail-12").expect("a cell");
        // Row 3 stays empty. A calculated sum is shown with the digits that a keeper sees.
        page.write_with_format(3, 0, when("2026-07-20T14:20:00"), &minute)
            .expect("a cell");
        page.write(3, 1, "birch").expect("a cell");
        page.write(3, 2, "3 and 4").expect("a cell");
        page.write_formula(3, 3, Formula::new("=0.1+0.2").set_result("0.30000000000000004"))
            .expect("a cell");
        page.write(3, 4, "pail-12").expect("a cell");
        page.write(4, 0, "2026-07-21").expect("a cell");
        page.write(4, 1, "birch").expect("a cell");
        page.write(4, 2, 5.0).expect("a cell");
        page.write(4, 4, "pail-12").expect("a cell");
    });
    assert_eq!(
        planned(&sheet, &harvest()),
        "2 2026-07-19 cut alder bar 9 comb 2.5 kg into pail-12\n\
         4 2026-07-20 14:20 cut birch bars 3 and 4 comb 0.3 kg into pail-12\n\
         5 2026-07-21 cut birch bar 5 into pail-12\n"
    );
}

#[test]
fn percent_lengths_of_time_yes_and_errors_are_told_as_shown() {
    let sheet = workbook_of(&["Day", "Pail", "Water", "Time", "Yes", "Sum"], |page| {
        let percent = Format::new().set_num_format("0.0%");
        let span = Format::new().set_num_format("[h]:mm");
        page.write(1, 0, "2026-07-21").expect("a cell");
        page.write(1, 1, "tank-3").expect("a cell");
        page.write_with_format(1, 2, 0.174, &percent).expect("a cell");
        page.write_with_format(1, 3, 26.5 / 24.0, &span).expect("a cell");
        page.write(1, 4, true).expect("a cell");
        page.write_formula(1, 5, Formula::new("=1/0").set_result("#DIV/0!"))
            .expect("a cell");
    });
    assert_eq!(
        sheet.rows[0][..5],
        ["2026-07-21", "tank-3", "17.4 %", "26h30", "yes"]
    );
    let water = mapping(
        "read",
        &[
            ("day", "Day"),
            ("container", "Pail"),
            ("water", "Water"),
            ("compensated", "Yes"),
        ],
    );
    assert_eq!(
        planned(&sheet, &water),
        "2 2026-07-21 read tank-3 water 17.4 % compensated\n"
    );
    let mut wrong = water;
    wrong.fills[2].1 = "Sum".to_owned();
    let told = planned(&sheet, &wrong);
    assert!(told.starts_with("2 ! water: "), "{told}");
}

#[test]
fn a_number_cell_has_a_point_even_where_text_has_commas() {
    let sheet = workbook_of(HEADINGS, |page| {
        for (row, bar) in [(1, 9), (2, 10)] {
            page.write(row, 0, "2026-07-19").expect("a cell");
            page.write(row, 1, "alder").expect("a cell");
            page.write(row, 2, bar).expect("a cell");
            page.write(row, 4, "pail-1").expect("a cell");
        }
        page.write(1, 3, 1.125).expect("a cell");
        page.write(2, 3, "1,125").expect("a cell");
    });
    let mapping = Mapping {
        decimal_comma: true,
        ..harvest()
    };
    let told = planned(&sheet, &mapping);
    assert_eq!(told.matches("comb 1.125 kg").count(), 2, "{told}");
}

#[test]
fn of_several_sheets_one_is_asked_for() {
    let mut workbook = Workbook::new();
    workbook
        .add_worksheet()
        .set_name("Feeding")
        .expect("a name")
        .write(0, 0, "Day")
        .expect("a cell");
    workbook
        .add_worksheet()
        .set_name("Harvest")
        .expect("a name")
        .write(4, 3, "Date")
        .expect("a cell");
    let bytes = saved(workbook);
    let which = read("a.xlsx", &bytes, None).expect_err("one of two");
    assert_eq!(
        which.to_string(),
        "the workbook has several sheets; say which one: Feeding, Harvest"
    );
    let other = read("a.xlsx", &bytes, Some("Hravest")).expect_err("no such sheet");
    assert_eq!(
        other.to_string(),
        "no sheet is called Hravest; there are: Feeding, Harvest"
    );
    let harvest = read("a.xlsx", &bytes, Some("Harvest")).expect("a sheet");
    assert_eq!(harvest.columns, ["", "", "", "Date"]);
}

#[test]
fn a_cell_in_the_last_corner_does_not_fill_the_memory() {
    let corner = |row, column| {
        let mut workbook = Workbook::new();
        workbook.add_worksheet().write(row, column, "x").expect("a cell");
        read("a.xlsx", &saved(workbook), None)
    };
    assert_eq!(
        corner(1_048_575, 0).expect_err("too far down"),
        SheetError::TooManyRows
    );
    assert_eq!(
        corner(0, 16_383).expect_err("too far out"),
        SheetError::TooManyColumns
    );
}

#[test]
fn damaged_workbooks_are_refused_and_never_stop_the_program() {
    let mut workbook = Workbook::new();
    workbook.add_worksheet().write(0, 0, "Day").expect("a cell");
    let bytes = saved(workbook);
    for cut in (4..bytes.len()).step_by(97) {
        assert!(read("a.xlsx", &bytes[..cut], None).is_err());
        let mut changed = bytes.clone();
        changed[cut] ^= 0x55;
        let _ = read("a.xlsx", &changed, None);
    }
}

#[test]
fn a_file_that_swells_when_it_is_unpacked_is_refused() {
    use std::io::Write as _;
    let mut archive = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    archive
        .start_file(
            "xl/worksheets/sheet1.xml",
            zip::write::SimpleFileOptions::default(),
        )
        .expect("a part");
    let zeros = vec![b' '; 1_000_000];
    for _ in 0..301 {
        archive.write_all(&zeros).expect("memory");
    }
    let bytes = archive.finish().expect("memory").into_inner();
    assert!(bytes.len() < 1_000_000);
    assert_eq!(
        read("a.xlsx", &bytes, None).expect_err("too large"),
        SheetError::Bloated
    );
}
