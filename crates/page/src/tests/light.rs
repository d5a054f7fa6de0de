//! The outputs for a terminal, a spreadsheet, and the drawings.

use super::*;

#[test]
fn a_page_in_a_terminal() {
    let odd = Notice {
        tone: Tone::Odd,
        says: "Bar 9 was cut twice.".into(),
        more: vec![Words::default().note("kitchen-4").plain(": cut alder bar 9")],
    };
    let mut empty = masses();
    empty.rows.clear();
    let mut paged = masses();
    paged.pager = Some(Pager {
        first: 1,
        last: 4,
        of: 9,
        before: None,
        after: None,
    });
    let page = Page::new("Alder").with([
        Block::text("In toft."),
        Block::text(
            Words::new("Honey ")
                .number("14.2", Some("kg"), Some("/why".into()))
                .plain("."),
        ),
        Block::Drawing(drawing()),
        Block::section("Cut", [Block::Table(paged), Block::text("All in kg.")]),
        Block::section("Sold", [Block::Table(empty)]),
        Block::section("Write", [Block::Form(Box::new(every_form()))]),
        Block::section(
            "Known",
            [
                Block::Facts(vec![
                    ("Pattern".into(), "vale".into()),
                    ("Bars".into(), "20".into()),
                ]),
                Block::Notice(odd),
                Block::care("Hot wax burns."),
                Block::section(
                    "To do",
                    [Block::List(vec!["Mend bar 3.".into(), "Look at bar 4.".into()])],
                ),
            ],
        ),
    ]);
    assert_eq!(
        text::page(&page),
        "\
Alder

In toft.
Honey 14.2 kg.

Cut
  Hive   Bar  Comb kg
  alder    7     2.25
  rowan   12    12
  wren     3    -0.5
  heron    1  unknown
  Rows 1 to 4 of 9.
  All in kg.

Sold
  No comb was cut.

Known
  Pattern: vale
  Bars: 20

  ! Bar 9 was cut twice.
      kitchen-4: cut alder bar 9
  Care: Hot wax burns.

  To do
    Mend bar 3.
    Look at bar 4.
"
    );
}

#[test]
fn a_terminal_is_given_no_orders() {
    let page = Page::new("a\u{1b}[2J").with([Block::text("b\u{7}\nc")]);
    assert_eq!(text::page(&page), "a\u{fffd}[2J\n\nb\u{fffd}\u{fffd}c\n");
}

#[test]
fn a_table_for_a_spreadsheet_has_every_column_and_bare_digits() {
    assert_eq!(
        csv::table(&masses()),
        "Hive,Bar,Comb kg,Since\r\n\
         alder,7,2.25,2026-04-12\r\n\
         rowan,12,12,2026-04-12\r\n\
         wren,3,-0.5,2026-04-12\r\n\
         heron,1,unknown,2026-04-12\r\n"
    );
}

#[test]
fn a_spreadsheet_calculates_nothing_that_was_a_name() {
    let cell = |words: Words| {
        let table = Table::new("x", vec![Column::words("h")], "").with([vec![words]]);
        let text = csv::table(&table);
        let cell = text
            .strip_prefix("h\r\n")
            .and_then(|rest| rest.strip_suffix("\r\n"));
        cell.expect("a heading and a row").to_owned()
    };
    assert_eq!(cell("=1+2".into()), "'=1+2");
    assert_eq!(cell("+44 1".into()), "'+44 1");
    assert_eq!(cell("-".into()), "'-");
    assert_eq!(cell("@sum".into()), "'@sum");
    assert_eq!(cell("\t=1".into()), "'\t=1");
    assert_eq!(cell("-12.50".into()), "-12.50");
    assert_eq!(cell("+3".into()), "+3");
    assert_eq!(cell("a, \"b\"\nc".into()), "\"a, \"\"b\"\"\nc\"");
    assert_eq!(cell(Words::default().number("4.5", Some("kg"), None)), "4.5");
    assert_eq!(cell(Words::default().number("=x", None, None)), "'=x");
    let table = Table::new("x", vec![Column::words("=h")], "");
    assert_eq!(csv::table(&table), "'=h\r\n");
}

#[test]
fn a_drawing_says_what_it_shows_and_has_no_style_of_its_own() {
    let svg = svg::drawing(&drawing(), "d").into_string();
    assert!(svg.contains(r#"viewBox="0 0 900 300" role="img""#), "{svg}");
    assert!(
        svg.contains(
            r#"<title id="d.title">Alder from the side</title><desc id="d.says">Nine combs.</desc>"#
        )
    );
    assert!(!svg.contains("style"));
    assert!(!svg.contains("#000"), "colours belong to the stylesheet");
    assert!(
        svg.contains(r##"fill="url(#d.rings)" d="M0 0L10 0L10 0L0 10.2Z""##),
        "{svg}"
    );
    for shape in ["path", "circle"] {
        assert!(svg.contains(&format!("<{shape} ")));
    }
}

#[test]
fn a_drawing_that_leads_somewhere_is_a_group_of_links() {
    let link = |to: &str| Shape::Link {
        to: to.into(),
        says: "Bar 7: sealed brood".into(),
        shapes: vec![square(Fill::Paper)],
    };
    let drawn = |to: &str| {
        let drawing = Drawing {
            shapes: vec![link(to)],
            ..drawing()
        };
        svg::drawing(&drawing, "d").into_string()
    };
    let svg = drawn("#bar-7");
    assert!(svg.contains(r#"role="group""#));
    assert!(
        svg.contains(r##"<a class="spot" href="#bar-7" aria-label="Bar 7: sealed brood">"##),
        "{svg}"
    );
    let svg = drawn("javascript:alert(1)");
    assert!(svg.contains(r#"role="img""#) && !svg.contains("<a") && !svg.contains("javascript"));
}

/// Hatchings are told apart by what is drawn, so no two may draw the same.
#[test]
fn every_hatching_is_drawn_in_its_own_way() {
    let svg = svg::drawing(&drawing(), "d").into_string();
    let mut patterns: Vec<&str> = svg
        .split("</pattern>")
        .filter_map(|pattern| pattern.split_once("patternUnits").map(|(_, drawn)| drawn))
        .collect();
    assert_eq!(patterns.len(), HATCHES.len());
    patterns.sort_unstable();
    patterns.dedup();
    assert_eq!(patterns.len(), HATCHES.len());
}

/// On a screen of 320 points a wide drawing is 288 points wide; what is thinner than this cannot be seen there.
#[test]
fn hatching_grows_with_the_thing_drawn() {
    let stroke_in_points = |width: f64| {
        let drawing = Drawing {
            frame: (0.0, 0.0, width, 300.0),
            ..drawing()
        };
        let svg = svg::drawing(&drawing, "d").into_string();
        let (_, behind) = svg.split_once("stroke-width=\"").expect("a line");
        let stroke: f64 = behind
            .split('"')
            .next()
            .and_then(|mm| mm.parse().ok())
            .expect("millimetres");
        stroke * 288.0 / width
    };
    for width in [200.0, 900.0, 2400.0] {
        assert!((stroke_in_points(width) - 0.9).abs() < 0.01, "{width}");
    }
}
