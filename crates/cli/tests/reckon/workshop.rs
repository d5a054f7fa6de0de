//! Cutting lists.

use std::path::PathBuf;

use serde_json::Value;

use crate::{answer, check, has_note, has_source, reckon, refused};

/// A folder with a file of parts and one of boards.
struct Files {
    _folder: tempfile::TempDir,
    parts: String,
    boards: String,
}

fn files(parts: &str, boards: &str) -> Files {
    let folder = tempfile::tempdir().expect("a folder");
    let write = |name: &str, text: &str| {
        let path: PathBuf = folder.path().join(name);
        std::fs::write(&path, text).expect("a file");
        path.to_str().expect("a path").to_owned()
    };
    let (parts, boards) = (write("parts.csv", parts), write("boards.csv", boards));
    Files {
        _folder: folder,
        parts,
        boards,
    }
}

impl Files {
    fn line<'a>(&'a self, more: &[&'a str]) -> Vec<&'a str> {
        [&["cut", "--parts", &self.parts, "--boards", &self.boards], more].concat()
    }
}

/// Worked by hand: four bars of 483 mm and three kerfs of 3.2 mm are 1941.6 mm, and a fifth does not fit 2400 mm.
/// Across, five of 35 mm and four kerfs are 187.8 mm. So 20 bars are one board of 2400 × 190 mm, 21 two.
#[test]
fn bars_are_sawn_from_the_fewest_boards() {
    let boards = "board,length_mm,width_mm,price,count\npine,2400,190,8.45,\n";
    for (count, cost, used) in [("20", 8.45, 1), ("21", 16.9, 2)] {
        let files = files(
            &format!("part,length_mm,width_mm,count\nbar,483,35,{count}\n"),
            boards,
        );
        let found = answer(&files.line(&["--kerf", "3.2mm"]));
        check(&found, "cost", cost, 1e-9);
        check(&found, "bound", cost, 1e-9);
        check(&found, "gap_pct", 0.0, 1e-9);
        assert_eq!(found["optimal"], true);
        assert_eq!(found["boards_used"].as_array().expect("a list").len(), used);
    }
    let files = files("part,length_mm,width_mm,count\nbar,483,35,20\n", boards);
    let found = answer(&files.line(&["--kerf", "3.2mm"]));
    // 20 · 483 · 35 of 2400 · 190 is part.
    check(
        &found,
        "waste_pct",
        100.0 * (1.0 - 20.0 * 483.0 * 35.0 / (2400.0 * 190.0)),
        1e-6,
    );
    let pieces = found["boards_used"][0]["pieces"].as_array().expect("pieces");
    assert_eq!(found["boards_used"][0]["board"], "pine");
    assert_eq!(pieces.len(), 20);
    check(&pieces[1], "x_mm", 486.2, 1e-9);
    check(&pieces[4], "y_mm", 38.2, 1e-9);
    assert_eq!(
        (&pieces[0]["part"], &pieces[0]["length_mm"]),
        (&Value::from("bar"), &Value::from(483.0))
    );
    check(&pieces[0], "width_mm", 35.0, 1e-9);
    let rips: Vec<&Value> = found["saw_list"].as_array().expect("cuts").iter().collect();
    assert_eq!(
        (&rips[0]["cut"], &rips[0]["boards"][0]["times"]),
        (&Value::from("rip"), &Value::from(5))
    );
    assert_eq!(
        (&rips[1]["cut"], &rips[1]["boards"][0]["times"]),
        (&Value::from("crosscut"), &Value::from(20))
    );
    // What is left behind the bars: 2400 − 4 · 486.2 mm, five strips of it, each too narrow to keep.
    assert_eq!(found["offcuts"].as_array().expect("a list").len(), 0);
    let found = answer(&files.line(&["--kerf", "3.2mm", "--keep-width", "35mm"]));
    assert_eq!(found["offcuts"].as_array().expect("a list").len(), 5);
    check(&found["offcuts"][0], "length_mm", 455.2, 1e-9);
    assert!(has_source(&found, "gilmore-gomory-1961"));
}

#[test]
fn lengths_alone_have_no_widths_and_bad_places_are_left_out() {
    let parts = "part,length_mm,count\nbar,480,4\n";
    let boards = "board,length_mm,price,count,bad_from_mm,bad_to_mm\nshed,2000,,1,500;1500,520;1510\nbought,2000,3,,,\n";
    let files = files(parts, boards);
    let found = answer(&files.line(&["--kerf", "3mm"]));
    // Of the board from the shed 500, 980 and 490 mm are sound: one bar, two, and one.
    check(&found, "cost", 0.0, 1e-9);
    let pieces = found["boards_used"][0]["pieces"].as_array().expect("pieces");
    let places: Vec<f64> = pieces.iter().filter_map(|piece| piece["x_mm"].as_f64()).collect();
    assert_eq!(places, [0.0, 520.0, 1003.0, 1510.0]);
    assert!(pieces.iter().all(|piece| piece["width_mm"].is_null()));
    assert!(has_note(
        &answer(&files.line(&[])),
        "no --kerf is given: 3.2 mm is assumed"
    ));
    // A trim of 20 mm takes the first 480 mm to 500 mm, and leaves 470 mm of the last 490.
    let found = answer(&files.line(&["--kerf", "3mm", "--edge", "20mm"]));
    check(&found, "cost", 3.0, 1e-9);
}

#[test]
fn crosscut_first_gives_other_cuts() {
    let parts = "part,length_mm,width_mm,count\nshort,500,90,1\nlong,900,90,1\n";
    let files = files(parts, "board,length_mm,width_mm,price,count\npine,1500,190,1,\n");
    for (order, first) in [("rip-first", "rip"), ("crosscut-first", "crosscut")] {
        let found = answer(&files.line(&["--kerf", "3mm", "--order", order]));
        assert_eq!(found["saw_list"][0]["cut"], first, "{order}");
        check(&found, "cost", 1.0, 1e-9);
    }
}

#[test]
fn people_get_boards_and_the_order_at_the_saw() {
    let files = files(
        "part,length_mm,width_mm,count\nbar,483,35,40\n",
        "board,length_mm,width_mm,price,count\npine,2400,190,8.45,\n",
    );
    let put_out = reckon(&files.line(&["--kerf", "3.2mm"]));
    let text = String::from_utf8(put_out.stdout).expect("text");
    let expected = "\
2 boards for 16.90, which is the least possible; 25.86 % of them is no part

Boards 1–2: pine
  from y = 0 mm: 4 of bar (483 × 35 mm)
  from y = 38.2 mm: 4 of bar (483 × 35 mm)
  from y = 76.4 mm: 4 of bar (483 × 35 mm)
  from y = 114.6 mm: 4 of bar (483 × 35 mm)
  from y = 152.8 mm: 4 of bar (483 × 35 mm)

At the saw:
  1. rip, fence at 35 mm: from 1–2 (5 times)
  2. crosscut, stop at 483 mm: from 1–2 (20 times)
";
    assert!(text.starts_with(expected), "{text}");
    assert!(
        put_out.stderr.is_empty(),
        "no bar is drawn where there is no terminal"
    );
}

#[test]
fn what_cannot_be_sawn_is_refused_and_named() {
    let boards = "board,length_mm,width_mm,price,count\npine,2400,190,8.45,2\n";
    let says = |parts: &str, boards: &str, words: &[&str]| {
        let files = files(parts, boards);
        let put_out = reckon(&files.line(&["--kerf", "3mm"]));
        let said = String::from_utf8_lossy(&put_out.stderr).into_owned();
        assert_eq!(put_out.status.code(), Some(2), "{said}");
        assert!(put_out.stdout.is_empty());
        for word in words {
            assert!(said.contains(word), "{said}");
        }
    };
    let header = "part,length_mm,width_mm,count\n";
    says(
        &format!("{header}door,2500,100,1\nbar,483,35,3\n"),
        boards,
        &["--parts", "door"],
    );
    says(
        &format!("{header}lid,2000,150,3\n"),
        boards,
        &["--boards", "1 of lid"],
    );
    says(
        &format!("{header}bar,483,35,3\nbar,a,35,3\n"),
        boards,
        &["line 3, column length_mm", "\"a\""],
    );
    says(
        &format!("{header}bar,483,35,-3\n"),
        boards,
        &["line 2, column count"],
    );
    says(&format!("{header},483,35,3\n"), boards, &["line 2, column part"]);
    says(
        &format!("{header}bar,0,35,3\n"),
        boards,
        &["line 2, column length_mm"],
    );
    says(&format!("{header}bar,483,35\n"), boards, &["--parts", "line: 2"]);
    says(
        "part,length_mm,width_mm\nbar,483,35\n",
        boards,
        &["no column count"],
    );
    says(
        &format!("{header}bar,483,,3\n"),
        boards,
        &["either all parts and boards have a width"],
    );
    let bad = "board,length_mm,width_mm,price,count,bad_from_mm,bad_to_mm\n";
    let bar = format!("{header}bar,483,35,3\n");
    says(
        &bar,
        &format!("{bad}pine,2400,190,,,900,800\n"),
        &["line 2, column bad_to_mm"],
    );
    says(
        &bar,
        &format!("{bad}pine,2400,190,,,900,\n"),
        &["line 2, column bad_to_mm"],
    );
    says(
        &bar,
        &format!("{bad}pine,2400,190,1.23456,,,\n"),
        &["line 2, column price"],
    );
    says(
        &bar,
        &format!("{bad}pine,2400,190,x,,,\n"),
        &["line 2, column price"],
    );
    let files = files(&bar, boards);
    refused("--parts", &["cut", "--boards", &files.boards]);
    refused("--boards", &["cut", "--parts", &files.parts]);
    refused(
        "--parts",
        &["cut", "--parts", "nowhere.csv", "--boards", &files.boards],
    );
    refused("--order", &files.line(&["--order", "turned"]));
    refused("--kerf", &files.line(&["--kerf", "-1mm"]));
    refused("--seconds", &files.line(&["--seconds", "0"]));
    refused("--keep-length", &files.line(&["--keep-length", "300"]));
}
