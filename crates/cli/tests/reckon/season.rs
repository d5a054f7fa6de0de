//! Winter, the calendar of queens, degree-days.

use std::path::PathBuf;

use serde_json::Value;

use crate::{answer, check, has_note, has_source, refused};

fn file(name: &str, text: &str) -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join(name);
    std::fs::write(&path, text).expect("a file");
    (folder, path)
}

const DAILY: &str = "date,tmin_c,tmax_c\n2025-12-31,5,20\n2026-01-01,0,18\n2026-01-02,12,28\n";

/// Southwick 1985 with 21.1 J a mL of oxygen and 12.7 MJ a kg of honey: 0.99 kg in 30 days for 1 kg of bees.
#[test]
fn winter_tells_the_use_and_when_it_runs_out() {
    let found = answer(&[
        "winter",
        "--bees",
        "1kg",
        "--outside",
        "2 C",
        "--from",
        "2026-11-01",
        "--to",
        "2027-01-30",
        "--stores",
        "12kg",
        "--reachable",
        "2kg",
    ]);
    check(&found, "cluster_use_kg_per_30_days", 0.99, 0.005);
    check(&found, "use_kg", 2.98, 0.005);
    // 33.08 g a day: two kilograms are eaten on the 61st day.
    assert_eq!(found["runs_out"], "2026-12-31");
    assert!(found["runs_out_earliest"].as_str() < found["runs_out"].as_str());
    assert!(has_source(&found, "southwick-1985") && has_source(&found, "norrstrom-2021"));
    assert!(!has_note(&found, "extrapolated"));
    let large = answer(&["winter", "--bees", "2kg", "--outside", "28 F", "--stores", "12kg"]);
    assert!(has_note(
        &large,
        "extrapolated: the fit was made on clusters of up to 1.2 kg"
    ));
    assert!(has_note(&large, "extrapolated: the fit was made at 2 °C"));
    assert!(has_note(&large, "no --reachable is given"));
    assert_eq!(
        (&large["use_kg"], &large["runs_out"]),
        (&Value::Null, &Value::Null)
    );
    let spring = answer(&[
        "winter",
        "--bees",
        "1kg",
        "--outside",
        "2 C",
        "--from",
        "2027-02-15",
        "--to",
        "2027-03-17",
        "--stores",
        "12kg",
        "--brood-from",
        "2027-02-15",
    ]);
    check(&spring, "use_kg", 3.5, 1e-9);
    check(&spring, "use_hi_kg", 30.0 / 7.0, 0.000_6);
}

#[test]
fn winter_follows_daily_weather() {
    let (_folder, path) = file(
        "daily.csv",
        "date,tmin_c,tmax_c\n2026-11-01,0,4\n2026-11-02,0,4\n",
    );
    let path = path.to_str().expect("a path");
    let found = answer(&["winter", "--bees", "1.2kg", "--weather", path]);
    check(&found, "use_kg", 2.0 * 0.036_36, 0.000_6);
    refused(
        "--weather",
        &["winter", "--bees", "1.2kg", "--weather", "nowhere.csv"],
    );
    refused(
        "--weather",
        &[
            "winter",
            "--bees",
            "1.2kg",
            "--weather",
            path,
            "--from",
            "2027-01-01",
            "--to",
            "2027-02-01",
        ],
    );
}

#[test]
fn winter_refuses_what_it_cannot_reckon() {
    let line = ["winter", "--bees", "1kg", "--outside", "2 C"];
    let with = |more: &[&'static str]| [&line[..], more].concat();
    refused("--bees", &["winter", "--outside", "2 C"]);
    refused("--bees", &["winter", "--bees", "12kg", "--outside", "2 C"]);
    refused("--bees", &["winter", "--bees", "0kg", "--outside", "2 C"]);
    refused("--outside", &["winter", "--bees", "1kg"]);
    refused("--outside", &["winter", "--bees", "1kg", "--outside", "2 kg"]);
    refused("--to", &with(&["--from", "2026-11-01"]));
    refused("--to", &with(&["--from", "2026-11-01", "--to", "2026-10-01"]));
    refused("--to", &with(&["--from", "2026-11-01", "--to", "2026-11-01"]));
    refused("--from", &with(&["--from", "November", "--to", "2026-10-01"]));
    refused("--reachable", &with(&["--stores", "5kg", "--reachable", "6kg"]));
}

/// Cushman: emerging on day 12 after the graft; keepers: a split is left alone from day 10 to 24.
#[test]
fn queen_tells_dates_with_their_sources() {
    let found = answer(&["queen", "--split", "2026-05-10"]);
    let date = |found: &Value, what: &str| {
        let dates = found["dates"].as_array().expect("dates are a list").clone();
        let date = dates
            .into_iter()
            .find(|date| date["what"].as_str().is_some_and(|it| it.starts_with(what)));
        date.unwrap_or_else(|| panic!("{what} in {found}"))
    };
    let alone = date(&found, "leave the colony alone");
    assert_eq!(
        (&alone["from"], &alone["to"]),
        (&"2026-05-20".into(), &"2026-06-03".into())
    );
    let emerges = date(&found, "the new queen emerges");
    assert_eq!(
        (&emerges["usual_from"], &emerges["source"]),
        (&"2026-05-22".into(), &"queen-development".into())
    );
    let graft = answer(&["queen", "--graft", "2026-05-10"]);
    assert_eq!(date(&graft, "the queens emerge")["usual_from"], "2026-05-22");
    let capped = answer(&["queen", "--cell-capped", "2026-05-10"]);
    assert_eq!(date(&capped, "the new queen emerges")["usual_from"], "2026-05-17");
    refused("--split", &["queen"]);
    refused(
        "--graft",
        &["queen", "--split", "2026-05-10", "--graft", "2026-05-10"],
    );
    refused("--split", &["queen", "--split", "10.5.2026"]);
    refused("--split", &["queen", "--split", "2026-02-30"]);
}

/// 5 and 20 above 10: 3.7712 by sine; 0 and 18: 2.3825; 12 and 28: 10.
#[test]
fn degree_days_are_summed_by_year() {
    let (_folder, path) = file("daily.csv", DAILY);
    let path = path.to_str().expect("a path");
    let line = ["degree-days", "--daily", path, "--base", "10 C"];
    let found = answer(&line);
    check(&found, "total", 16.1537, 0.000_15);
    check(&found["by_year"], "2025", 3.7712, 0.000_05);
    check(&found["by_year"], "2026", 12.3825, 0.000_05);
    assert!(has_source(&found, "baskerville-emin-1969"));
    for (method, total) in [("average", 12.5), ("triangle", 15.1111), ("four-case", 15.75)] {
        check(
            &answer(&[&line[..], &["--method", method]].concat()),
            "total",
            total,
            0.000_1,
        );
    }
    let upper = answer(
        &[
            &line[..],
            &["--upper", "25 C", "--from", "2026-01-02", "--to", "2026-01-02"],
        ]
        .concat(),
    );
    check(&upper, "total", 9.4377, 0.000_05);
    let f = answer(&["degree-days", "--daily", path, "--base", "50 F"]);
    check(&f, "total", 16.1537 * 1.8, 0.000_3);
    let gap = answer(&[&line[..], &["--to", "2026-01-04"]].concat());
    assert!(has_note(&gap, "2 days of the span lack a temperature"));
    refused("--upper", &[&line[..], &["--upper", "9 C"]].concat());
    refused("--method", &[&line[..], &["--method", "guess"]].concat());
    refused("--base", &["degree-days", "--daily", path]);
    refused("--daily", &["degree-days", "--base", "10 C"]);
    refused(
        "--to",
        &[&line[..], &["--from", "2026-01-02", "--to", "2026-01-01"]].concat(),
    );
    refused("--daily", &[&line[..], &["--from", "2027-01-02"]].concat());
    let (_bad, bad) = file("bad.csv", "date,tmin_c,tmax_c\n2026-01-01,9,x\n");
    refused(
        "line 2, column tmax_c",
        &[
            "degree-days",
            "--daily",
            bad.to_str().expect("a path"),
            "--base",
            "10 C",
        ],
    );
}
