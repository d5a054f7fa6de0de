//! The page for the field in one file, and its notes brought home.

use crate::{Bench, file};

const VISIT: &str = "\
# notes from the field
#= field 01981b2e-5f00-7000-8000-000000000001 1 2026-05-24 10:01 alder -
look alder bar 1 drawn 8/8 honey 4/8
#= field 01981b2e-5f00-7000-8000-000000000002 2 2026-05-24 10:02 alder -
look alder bar 31 drawn 8/8
#= field 01981b2e-5f00-7000-8000-000000000003 3 2026-05-24 10:03 alder -
they hum and hang out
";

fn bench() -> Bench {
    let bench = Bench::new();
    bench.good(&[
        "note",
        "2026-03-01 yard orchard",
        "2026-03-01 hive alder in orchard bars 27",
        "2026-03-02 start alder 12 bars drawn",
    ]);
    bench
}

#[test]
fn the_page_is_written_whole_with_what_the_books_know() {
    let bench = bench();
    let says = bench.good(&["field", "field.html"]);
    assert!(says.contains("books bring FILE"), "{says}");
    let page = std::fs::read_to_string(bench.path("field.html")).expect("the file that was told");
    assert!(page.contains("alder") && page.trim_end().ends_with("</html>"));
    // A newer page takes the place of an older one where that is asked for.
    bench.good(&["note", "2026-03-03 hive birch in orchard bars 20"]);
    let refused = bench.refused(&["field", "field.html"], 74);
    assert_eq!(
        refused.trim_end(),
        "field.html: there is a file of this name, and it was kept. Name another, or say --replace."
    );
    let kept = std::fs::read_to_string(bench.path("field.html")).expect("the file that was told");
    assert_eq!(kept, page);
    bench.good(&["field", "field.html", "--replace"]);
    let newer = std::fs::read_to_string(bench.path("field.html")).expect("the file that was told");
    assert!(newer.contains("birch") && !page.contains("birch"));
    let refused = bench.refused(&["field", "nowhere/field.html"], 74);
    assert!(refused.contains("its folder is not there"), "{refused}");
}

#[test]
fn the_page_never_takes_the_place_of_books_or_keys() {
    let bench = bench();
    let books = std::fs::read(bench.path("combwright.books")).expect("the books");
    for args in [
        &["field", "combwright.books"][..],
        &["field", "./combwright.books", "--replace"],
    ] {
        let refused = bench.refused(args, 74);
        assert!(
            refused.contains("never written over. Name another file. Nothing"),
            "{refused}"
        );
    }
    assert_eq!(
        std::fs::read(bench.path("combwright.books")).expect("the books"),
        books
    );
    assert_eq!(bench.count(), 3);
}

/// What contradicts the map is not lost: it is written with its complaint; words that are no note become a jotting.
#[test]
fn notes_come_home_once() {
    let bench = bench();
    file(&bench.path("visit.txt"), VISIT.as_bytes());
    let first = bench.good(&["books", "bring", "visit.txt"]);
    assert!(first.contains("look alder bar 31 drawn 8/8 anyway"), "{first}");
    assert!(first.contains("jot alder \"they hum and hang out\""), "{first}");
    assert_eq!(bench.count(), 6);
    // Also as somebody sends it on in a letter.
    file(
        &bench.path("visit.txt"),
        VISIT.replace('\n', "\n> ").replacen('#', "> #", 1).as_bytes(),
    );
    let again = bench.good(&["books", "bring", "visit.txt"]);
    assert_eq!(again.matches("(there already)").count(), 3, "{again}");
    assert_eq!(bench.count(), 6);
    let odd = bench.json(&["show", "complaints"]);
    let odd = odd["complaints"].to_string();
    assert!(odd.contains("alder has places 1 to 27, and no bar 31"), "{odd}");
}

#[test]
fn a_damaged_file_brings_nothing() {
    let bench = bench();
    for (text, says) in [
        (
            VISIT.replace(" 2 2026-05-24", " two 2026-05-24"),
            "Nothing was brought in",
        ),
        (
            VISIT.trim_end().rsplit_once('\n').expect("lines").0.to_owned(),
            "Nothing was brought in",
        ),
        (VISIT.replace('\n', " "), "the line breaks of the file were lost"),
        ("%PDF-1.7 of something".to_owned(), "it is a PDF file"),
        (
            "Dear all, they hum.\n".to_owned(),
            "can be read as a note; the first is “Dear all",
        ),
    ] {
        file(&bench.path("visit.txt"), text.as_bytes());
        let refused = bench.refused(&["books", "bring", "visit.txt"], 2);
        assert!(refused.contains(says), "{refused}");
        assert_eq!(bench.count(), 3);
    }
}
