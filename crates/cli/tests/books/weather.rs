//! Daily weather handed to the program.

use crate::{Bench, file};

const SPRING: &[u8] =
    b"date,tmin_c,tmax_c,rain_mm\n2026-04-01,2.5,11,0\n2026-04-02,3,12.5,4.2\n2026-04-04,1,9,\n";

fn bench() -> Bench {
    let bench = Bench::new();
    bench.good(&["note", "2026-03-01 yard orchard at 52.1 -2.4"]);
    file(&bench.path("spring.csv"), SPRING);
    bench
}

#[test]
fn weather_comes_in_once_and_is_used() {
    let bench = bench();
    let import = ["books", "weather", "spring.csv", "--yard", "orchard"];
    let dry = bench.good(&[&import[..], &["--dry-run"]].concat());
    assert!(dry.contains("One note would be written"), "{dry}");
    assert_eq!(bench.count(), 1);
    let says = bench.good(&import);
    assert!(
        says.starts_with("3 days from 2026-04-01 to 2026-04-04, read as daily CSV.\n"),
        "{says}"
    );
    assert!(
        says.contains("1 day between the first and the last lacks"),
        "{says}"
    );
    assert_eq!(bench.count(), 2);
    let again = bench.json(&import);
    assert_eq!(again["written"], false, "{again}");
    assert_eq!(again["known"], "laptop/2", "{again}");
    assert_eq!(bench.count(), 2);
    let warmth = bench.json(&["show", "calendar", "--on", "2026-04-05"]);
    assert_eq!(warmth["warmth"][0]["yard"], "orchard", "{warmth}");
    assert_eq!(warmth["warmth"][0]["until"], "2026-04-04", "{warmth}");
}

#[test]
fn what_cannot_be_brought_in_is_refused_and_leaves_nothing() {
    let bench = bench();
    file(&bench.path("bad.csv"), b"date,tmin_c,tmax_c\n2026-04-01,12,x\n");
    for (args, code, says) in [
        (&["spring.csv", "--yard", "orchid"][..], 2, "did you mean orchard"),
        (&["bad.csv", "--yard", "orchard"], 2, "line 2"),
        (
            &["spring.csv", "--yard", "orchard", "--station", "X1"],
            2,
            "no stations",
        ),
        (&["none.csv", "--yard", "orchard"], 74, "none.csv"),
    ] {
        let told = bench.refused(&[&["books", "weather"][..], args].concat(), code);
        assert!(told.contains(says), "{args:?}: {told}");
    }
    assert_eq!(bench.count(), 1);
    // Weather makes no books of its own.
    let bare = Bench::new();
    file(&bare.path("spring.csv"), SPRING);
    bare.refused(&["books", "weather", "spring.csv", "--yard", "orchard"], 74);
    assert_eq!(bare.files(), ["spring.csv"]);
}
