//! Books that take each row once, all rows or none, and each at its day.

use app::import::{Report, refused_csv};
use proptest::prelude::*;

use crate::{Desk, fed, mapping, sheet};

const FEEDING: &str = "Day,Hive,Food,Amount\n\
     2026-06-01,alder,syrup,1 kg\n\
     2026-06-02,birch,syrup,2 kg\n\
     2026-06-02,birch,syrup,2 kg\n";

/// Rows: written, planned, known, refused.
fn counts(report: &Report) -> [usize; 4] {
    [
        report.written.len(),
        report.planned.len(),
        report.known,
        report.refused.len(),
    ]
}

#[test]
fn a_dry_run_writes_nothing_and_the_run_after_it_does_what_it_said() {
    let mut desk = Desk::with_two_hives();
    let before = desk.notes();
    let dry = desk.bring_in(&sheet(FEEDING), &fed(), false, true);
    assert_eq!(counts(&dry), [0, 3, 0, 0]);
    assert_eq!(desk.notes(), before);
    let report = desk.bring_in(&sheet(FEEDING), &fed(), false, false);
    assert_eq!(counts(&report), [3, 0, 0, 0]);
    let shown: Vec<&str> = dry.planned.iter().map(|row| row.line.as_str()).collect();
    let written: Vec<&str> = report.written.iter().map(|row| row.text.as_str()).collect();
    assert_eq!(shown, written);
    assert_eq!(report.written[0].row, 2);
    assert_eq!(report.written[0].handle.to_string(), "laptop/7");
}

#[test]
fn the_same_file_twice_changes_nothing() {
    let mut desk = Desk::with_two_hives();
    let sheet = sheet(FEEDING);
    desk.bring_in(&sheet, &fed(), false, false);
    let notes = desk.notes();
    assert_eq!(counts(&desk.bring_in(&sheet, &fed(), false, false)), [0, 0, 3, 0]);
    desk.office.reload().expect("memory never fails");
    assert_eq!(counts(&desk.bring_in(&sheet, &fed(), false, true)), [0, 0, 3, 0]);
    assert_eq!(desk.notes(), notes);
}

#[test]
fn hives_that_a_sheet_makes_are_known_to_its_later_rows_and_stay_made_once() {
    let mut desk = Desk::with_two_hives();
    // The newest row stands first, as some programs have it.
    let hives = sheet("Day,Hive\n2026-04-02,elm\n2026-04-01,maple\n");
    let made = mapping(
        "hive",
        &[
            ("day", "Day"),
            ("hive", "Hive"),
            ("yard", "'orchard'"),
            ("bars", "'20'"),
        ],
    );
    assert_eq!(counts(&desk.bring_in(&hives, &made, false, false)), [2, 0, 0, 0]);
    assert_eq!(counts(&desk.bring_in(&hives, &made, false, false)), [0, 0, 2, 0]);
    let placed = sheet("Day,Hive,To\n2026-04-03,elm,9\n2026-04-02,elm,5\n2026-04-02,linden,5\n");
    let follower = mapping("follower", &[("day", "Day"), ("hive", "Hive"), ("at", "To")]);
    let report = desk.bring_in(&placed, &follower, true, false);
    assert_eq!(counts(&report), [2, 0, 0, 1]);
    assert_eq!(report.refused[0].row, 4);
}

#[test]
fn later_rows_lean_on_earlier_ones() {
    let mut desk = Desk::with_two_hives();
    let report = desk.bring_in(
        &sheet("Day,From,Honey,To\n2026-08-02,tank-1,1,tank-2\n2026-08-01,pail-1,2,tank-1\n"),
        &mapping(
            "blend",
            &[
                ("day", "Day"),
                ("container", "From"),
                ("mass", "{Honey} kg"),
                ("into", "To"),
            ],
        ),
        false,
        true,
    );
    assert_eq!(counts(&report), [0, 2, 0, 0], "{:?}", report.refused);
}

#[test]
fn rows_added_to_a_sheet_come_in_alone() {
    let mut desk = Desk::with_two_hives();
    desk.bring_in(&sheet(FEEDING), &fed(), false, false);
    // A third feed of the same words is a third feed.
    let longer = format!("{FEEDING}2026-06-02,birch,syrup,2 kg\n2026-06-09,alder,syrup,1 kg\n");
    let longer = sheet(&longer);
    let report = desk.bring_in(&longer, &fed(), false, false);
    assert_eq!(counts(&report), [2, 0, 3, 0]);
    assert_eq!(
        report.written.iter().map(|row| row.row).collect::<Vec<_>>(),
        [5, 6]
    );
    assert_eq!(
        counts(&desk.bring_in(&longer, &fed(), false, false)),
        [0, 0, 5, 0]
    );
    assert_eq!(
        counts(&desk.bring_in(&sheet(FEEDING), &fed(), false, false)),
        [0, 0, 3, 0]
    );
    // What was typed by hand is no row of a sheet.
    desk.note("2026-06-10 feed alder syrup 1 kg");
    let typed = sheet("Day,Hive,Food,Amount\n2026-06-10,alder,syrup,1 kg\n");
    assert_eq!(counts(&desk.bring_in(&typed, &fed(), false, false)), [1, 0, 0, 0]);
}

#[test]
fn one_row_may_become_notes_of_several_verbs() {
    let mut desk = Desk::with_two_hives();
    let visits = sheet("Day,Hive,Food,Amount,Seen\n2026-06-01,alder,syrup,1 kg,x\n");
    let seen = mapping("queen", &[("day", "Day"), ("colony", "Hive"), ("seen", "Seen")]);
    assert_eq!(
        counts(&desk.bring_in(&visits, &fed(), false, false)),
        [1, 0, 0, 0]
    );
    assert_eq!(counts(&desk.bring_in(&visits, &seen, false, false)), [1, 0, 0, 0]);
    assert_eq!(counts(&desk.bring_in(&visits, &seen, false, false)), [0, 0, 1, 0]);
}

#[test]
fn a_row_that_would_now_read_otherwise_is_told_and_stays() {
    let mut desk = Desk::with_two_hives();
    let pounds = sheet("Day,Hive,Weight\n2026-06-01,alder,2\n");
    let weighed = |unit| {
        mapping(
            "feed",
            &[
                ("day", "Day"),
                ("colony", "Hive"),
                ("food", "'syrup'"),
                ("amount", unit),
            ],
        )
    };
    desk.bring_in(&pounds, &weighed("{Weight} kg"), false, false);
    let report = desk.bring_in(&pounds, &weighed("{Weight} lb"), false, false);
    assert_eq!(counts(&report), [0, 0, 1, 0]);
    assert_eq!(
        report.otherwise[0].text.as_deref(),
        Some("2026-06-01 feed alder syrup 2 kg")
    );
    assert_eq!(report.otherwise[0].now, "2026-06-01 feed alder syrup 2 lb");
}

#[test]
fn another_device_knows_the_rows_after_it_took_the_entries_in() {
    let mut laptop = Desk::with_two_hives();
    laptop.bring_in(&sheet(FEEDING), &fed(), false, false);
    let entries = laptop.office.library().books().entries().to_vec();
    let mut phone = Desk::new();
    let mut store = store::MemoryStore::new();
    ledger::Store::only_farm(&mut store, laptop.office.farm()).expect("memory");
    phone.office = app::Office::open(
        Box::new(store),
        Some(ledger::Device::new("phone").expect("a name")),
        &mut phone.surroundings,
    )
    .expect("memory");
    phone.office.take_in(&entries).expect("memory");
    let renamed = app::import::read("renamed.csv", FEEDING.as_bytes(), None).expect("a sheet");
    assert_eq!(
        counts(&phone.bring_in(&renamed, &fed(), false, false)),
        [0, 0, 3, 0]
    );
}

#[test]
fn one_bad_row_keeps_all_out_unless_the_good_ones_are_to_be_kept() {
    let mut desk = Desk::with_two_hives();
    for bad in ["2026-06-03,alder,tea,1 kg\n", "2026-06-03,elder,syrup,1 kg\n"] {
        let before = desk.notes();
        let mixed = sheet(&format!("{FEEDING}{bad}2026-06-04,elder,syrup,1 kg\n"));
        let report = desk.bring_in(&mixed, &fed(), false, false);
        assert_eq!(
            counts(&report),
            [0, 3, 0, 2],
            "the good rows are held back and told, whoever refused the others"
        );
        assert_eq!(
            report.refused.iter().map(|row| row.row).collect::<Vec<_>>(),
            [5, 6]
        );
        assert_eq!(desk.notes(), before);
    }
    let mixed = sheet(&format!("{FEEDING}2026-06-03,alder,tea,1 kg\n"));
    let report = desk.bring_in(&mixed, &fed(), true, false);
    assert_eq!(counts(&report), [3, 0, 0, 1]);
    assert_eq!(report.refused[0].key.as_deref(), Some("food"));
    // The refused row, mended, comes in by itself.
    let mended = refused_csv(&mixed, &report).replace("tea", "honey");
    assert_eq!(
        counts(&desk.bring_in(&sheet(&mended), &fed(), false, false)),
        [1, 0, 0, 0]
    );
    assert_eq!(
        desk.notes().last().map(String::as_str),
        Some("2026-06-03 feed alder honey 1 kg")
    );
}

#[test]
fn ten_thousand_rows_come_in_within_seconds() {
    let mut desk = Desk::with_two_hives();
    let mut text = String::from("Day,Hive,Food,Amount\n");
    for n in 0..10_000 {
        let hive = if n % 2 == 0 { "alder" } else { "birch" };
        // By hive and then by day, as sheets are sorted.
        let (month, day) = (4 + n / 28 % 6, 1 + n % 28);
        text.push_str(&format!(
            "2026-{month:02}-{day:02},{hive},syrup,{}.{} kg\n",
            n % 7,
            n % 10
        ));
    }
    let report = desk.bring_in(&sheet(&text), &fed(), false, false);
    assert_eq!(counts(&report), [10_000, 0, 0, 0]);
    assert_eq!(
        counts(&desk.bring_in(&sheet(&text), &fed(), false, false)),
        [0, 0, 10_000, 0]
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn a_bad_row_among_good_ones_changes_nothing_about_them(
        days in prop::collection::vec(1..28u8, 1..12),
        bad in 0..12usize,
        is_unreadable: bool,
    ) {
        let row = |day: &u8| format!("2026-06-{day:02},alder,syrup,1.{day} kg");
        let good: Vec<String> = days.iter().map(row).collect();
        let mut mixed = good.clone();
        let odd = if is_unreadable { "2026-06-03,alder,tea,1 kg" } else { "2026-06-03,elder,syrup,1 kg" };
        mixed.insert(bad.min(mixed.len()), odd.to_owned());
        let sheet_of = |rows: &[String]| sheet(&format!("Day,Hive,Food,Amount\n{}\n", rows.join("\n")));

        let (mut with, mut without) = (Desk::with_two_hives(), Desk::with_two_hives());
        let report = with.bring_in(&sheet_of(&mixed), &fed(), true, false);
        without.bring_in(&sheet_of(&good), &fed(), false, false);
        prop_assert_eq!(report.refused.len(), 1);
        let notes = with.notes();
        prop_assert_eq!(&notes, &without.notes());

        let again = with.bring_in(&sheet_of(&mixed), &fed(), true, false);
        prop_assert_eq!(counts(&again), [0, 0, good.len(), 1]);
        prop_assert_eq!(notes, with.notes());
    }
}
