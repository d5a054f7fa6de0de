//! Daily weather as it is published, and as a keeper writes it down.

use jiff::civil::date;
use reckon::weather::{DailySeries, DayWeather, Form, MOST_FAULTS, WeatherFile, read};

use crate::{celsius, check};

const STATION: &str = "ZZX00000017";

/// A row of a `.dly` file: all days missing but these.
fn dly(element: &str, days: &[(usize, i32, &str)]) -> String {
    let mut row = format!("{STATION}202604{element}");
    for day in 1..=31 {
        match days.iter().find(|(of, _, _)| *of == day) {
            Some((_, value, flags)) => row.push_str(&format!("{value:>5}{flags:<3}")),
            None => row.push_str("-9999   "),
        }
    }
    assert_eq!(row.len(), 269, "the published length");
    row
}

#[track_caller]
fn good(text: &str) -> WeatherFile {
    read(text.as_bytes(), None).unwrap_or_else(|faults| panic!("{faults}"))
}

#[track_caller]
fn bad(text: &str, says: &str) {
    let faults = read(text.as_bytes(), None).expect_err("a bad file");
    assert!(faults.to_string().contains(says), "{faults}\nis not: {says}");
}

fn degrees(file: &WeatherFile, day: i8) -> (Option<f64>, Option<f64>) {
    let day = file.series.get(date(2026, 4, day)).copied().unwrap_or_default();
    (day.low.map(|at| at.get()), day.high.map(|at| at.get()))
}

/// TMAX 256 is 25.6 °C, PRCP 254 is 25.4 mm.
#[test]
fn a_station_file_is_read_in_tenths_and_flagged_values_are_left_out() {
    let rows = [
        dly("TMAX", &[(1, 256, "  S"), (2, 190, " IS"), (3, -12, "H S")]),
        dly("TMIN", &[(1, 101, "  S"), (3, -85, "  S")]),
        dly("PRCP", &[(1, 254, "  S")]),
        dly("SNWD", &[(1, 30, "  S")]),
    ];
    let file = good(&rows.join("\n"));
    assert_eq!((file.form, file.station.as_deref()), (Form::Dly, Some(STATION)));
    assert_eq!(degrees(&file, 1), (Some(10.1), Some(25.6)));
    check(
        "rain",
        file.series
            .get(date(2026, 4, 1))
            .and_then(|day| day.rain_mm)
            .unwrap(),
        25.4,
        1e-12,
    );
    assert_eq!(
        degrees(&file, 2),
        (None, None),
        "its highest has failed a check of the archive's"
    );
    assert_eq!(degrees(&file, 3), (Some(-8.5), Some(-1.2)));
    assert_eq!(file.flagged, 1);
    assert_eq!(file.unused, ["SNWD"]);
    let remarks = file.remarks().join("\n");
    assert!(
        remarks.contains("1 value is marked as doubtful") && remarks.contains("SNWD"),
        "{remarks}"
    );
    // Lines may end as on other systems, and blanks at their end may be gone.
    let cut: Vec<String> = rows.iter().map(|row| format!("{}\r\n", row.trim_end())).collect();
    assert_eq!(good(&cut.concat()).series, file.series);
}

#[test]
fn a_station_file_with_a_bad_row_is_refused_by_line_and_column() {
    let row = dly("TMAX", &[(1, 256, "  S")]);
    bad(
        &format!("{row}\n{}", &row[..200]),
        "line 2: has 200 characters; a row of 269",
    );
    bad(
        &row.replace("  256", "  2x6"),
        "line 1, column TMAX: \"2x6\" is no value",
    );
    bad(&row.replace("202604", "202613"), "column YEAR");
    bad(
        &format!("{row}\n{row}"),
        "line 2, column TMAX: 2026-04-01 has this already, in line 1",
    );
    bad(&dly("TMAX", &[(31, 100, "  S")]), "the month has no such day");
    bad(&dly("TMAX", &[(1, 700, "  S")]), "70 cannot be");
    let other = row.replace(STATION, "ZZX00000018");
    bad(
        &format!("{row}\n{other}"),
        "several stations, and one has to be named: ZZX00000017, ZZX00000018",
    );
    let both = format!("{row}\n{other}");
    let one = read(both.as_bytes(), Some("ZZX00000018")).expect("one station");
    assert_eq!(one.station.as_deref(), Some("ZZX00000018"));
    assert!(read(both.as_bytes(), Some("ZZX00000019")).is_err());
}

/// The layout is from memory.
#[test]
fn the_csv_of_a_year_is_read() {
    let file = good(&format!(
        "{STATION},20260401,TMAX,256,,,S,0700\n{STATION},20260401,TMIN,101,,,S,\n{STATION},20260401,PRCP,254,,,S,\n\
         {STATION},20260402,TMAX,300,,X,S,\n{STATION},20260402,TMIN,-9999,,,S,\n{STATION},20260403,AWND,12,,,S,\n"
    ));
    assert_eq!(file.form, Form::ByYear);
    assert_eq!(degrees(&file, 1), (Some(10.1), Some(25.6)));
    assert_eq!((file.flagged, file.without_value), (1, 1));
    assert_eq!(file.unused, ["AWND"]);
    bad(
        &format!("{STATION},20260401,TMAX,256,,,S,\n{STATION},20260431,TMAX,1,,,S,\n"),
        "line 2, column DATE",
    );
    bad(
        &format!("{STATION},20260401,TMAX,256,,,S,\n{STATION},20260401,TMAX\n"),
        "line 2: has 3 cells",
    );
}

/// The layout is from memory.
#[test]
fn the_access_csv_of_a_station_is_read() {
    let header = "\"STATION\",\"DATE\",\"LATITUDE\",\"NAME\",\"PRCP\",\"PRCP_ATTRIBUTES\",\"TMAX\",\"TMAX_ATTRIBUTES\",\"TMIN\",\"TMIN_ATTRIBUTES\"\n";
    let file = good(&format!(
        "{header}\"{STATION}\",\"2026-04-01\",\"52\",\"TOFT, END\",\"  254\",\",,S\",\"  256\",\",,S\",\"  101\",\",,S\"\n\
         \"{STATION}\",\"2026-04-02\",\"52\",\"TOFT, END\",,,\"  300\",\",X,S\",\"   90\",\",,S\"\n"
    ));
    assert_eq!(file.form, Form::Access);
    assert_eq!(degrees(&file, 1), (Some(10.1), Some(25.6)));
    assert_eq!(degrees(&file, 2), (Some(9.0), None));
    assert_eq!(file.flagged, 1);
    bad(
        "STATION,DATE,TMAX\nZ,2026-04-01,256\n",
        "the column TMAX_ATTRIBUTES is not there",
    );
    bad(
        &format!("{header}\"{STATION}\",\"2026-04-01\",\"52\",\"T\",,,\"25.6\",\",,S\",,\n"),
        "\"25.6\" is no value; a whole number of tenths",
    );
}

#[test]
fn an_archive_day_upside_down_loses_both_temperatures_and_is_counted() {
    let rows = [
        dly("TMAX", &[(1, 50, "  S"), (2, 80, "  S")]),
        dly("TMIN", &[(1, 60, "  S"), (2, 10, "  S")]),
    ];
    let file = good(&rows.join("\n"));
    assert_eq!((degrees(&file, 1), file.upside_down), ((None, None), 1));
    assert_eq!(degrees(&file, 2), (Some(1.0), Some(8.0)));
}

#[test]
fn a_keepers_own_file_is_read_in_any_order_of_columns() {
    let file = good(
        "\u{feff}Date,rain_mm,TMAX_C,tmin_c,wind\r\n2026-04-01,0.4,12.5,-1,3\r\n\r\n2026-04-03,,9,,2\r\n",
    );
    assert_eq!(file.form, Form::Daily);
    assert_eq!(degrees(&file, 1), (Some(-1.0), Some(12.5)));
    assert_eq!(degrees(&file, 3), (None, Some(9.0)));
    assert_eq!(file.without_value, 1);
    assert_eq!(file.unused, ["column \"wind\""]);
    assert_eq!(file.series.days_without_temperature(), 2);
    let f = good("date,tmin_f,tmax_f\n2026-04-01,32,50\n");
    assert_eq!(degrees(&f, 1), (Some(0.0), Some(10.0)));
}

#[test]
fn a_bad_row_of_a_keepers_file_is_named_by_line_and_column() {
    let head = "date,tmin_c,tmax_c,rain_mm\n2026-04-01,1,9,0\n";
    for (row, says) in [
        (
            "2026-04-01,1,9,0",
            "line 3, column date: 2026-04-01 is there already, in line 2",
        ),
        (
            "2026-04-31,1,9,0",
            "line 3, column date: \"2026-04-31\" is no day",
        ),
        ("1.4.2026,1,9,0", "column date"),
        (
            "2026-04-02,9,1,0",
            "line 3, column tmin_c: the lowest temperature (9.0 °C) is above the highest (1.0 °C)",
        ),
        (
            "2026-04-02,one,9,0",
            "line 3, column tmin_c: \"one\" is no temperature",
        ),
        ("2026-04-02,nan,9,0", "column tmin_c"),
        ("2026-04-02,1e0,9,0", "column tmin_c"),
        (
            "2026-04-02,1,90,0",
            "column tmax_c: \"90\" is no temperature; a number from -90 to 60",
        ),
        ("2026-04-02,1,9,-1", "column rain_mm"),
        ("2026-04-02,1,9", "line 3: has 3 cells, and the header has 4"),
        ("2026-04-02,\"1", "line 3"),
    ] {
        bad(&format!("{head}{row}\n"), says);
    }
    bad("date,tmin_c\n", "line 1, column tmax_c: the column is not there");
    bad(
        "date,tmin_c,tmin_c,tmax_c\n",
        "column tmin_c: the column is there twice",
    );
    bad("", "the file is empty");
    bad("\n\n", "the file is empty");
    let faults = read(b"date,tmin_c,tmax_c\n2026-04-01,1,\xff9\n", None).expect_err("no text");
    assert!(faults.to_string().starts_with("line 2: is no text"), "{faults}");
    let many = format!("date,tmin_c,tmax_c\n{}", "x,1,2\n".repeat(500));
    let faults = read(many.as_bytes(), None).expect_err("bad rows");
    assert_eq!(faults.0.len(), MOST_FAULTS);
    assert!(faults.to_string().contains("read no further"));
}

#[test]
fn a_later_reading_replaces_an_earlier_one_and_no_day_is_upside_down() {
    let mut series = DailySeries::default();
    let day = date(2026, 4, 1);
    let reading = |low: Option<f64>, high: Option<f64>| DayWeather {
        low: low.map(celsius),
        high: high.map(celsius),
        rain_mm: None,
    };
    series.lay(day, reading(Some(4.0), Some(12.0)));
    series.lay(day, reading(None, Some(13.0)));
    assert_eq!(series.get(day), Some(&reading(Some(4.0), Some(13.0))));
    series.lay(day, reading(None, Some(2.0)));
    assert_eq!(series.get(day), Some(&reading(None, Some(2.0))));
    series.lay(day, reading(Some(5.0), Some(1.0)));
    assert_eq!(
        series.get(day),
        Some(&reading(None, Some(2.0))),
        "what cannot be is not taken in"
    );
}
