//! What holds for every page, whatever it says.

mod document;
mod ics;
mod light;
mod look;

use crate::html::{Days, Frame, NavItem};
use crate::*;

/// A name that would be markup, a handler, an entity or the end of a script if it were let.
pub(super) const NAME: &str = r#"</title></script><script>alert(1)</script><b onclick='x()'>"&lt;'"#;

pub(super) fn frame<'a>(nav: &'a [NavItem], line_box: Option<Form>) -> Frame<'a> {
    Frame {
        here: "/hives/alder?on=2026-07-19",
        nav,
        token: "of-this-day",
        days: Some(Days {
            day: "2026-07-19".into(),
            is_now: false,
            before: "/hives/alder?on=2026-07-18".into(),
            after: Some("/hives/alder?on=2026-07-20".into()),
            now: Some("/hives/alder".into()),
            action: "/hives/alder?part=combs+%26%20bars&on=2026-07-19".into(),
        }),
        line_box,
        books: "Sallowford",
        foot: Words::new("From 61 entries, digest ").note("9f3c").plain("."),
        notices: vec![Notice {
            tone: Tone::Written,
            says: "1 note was written.".into(),
            more: Vec::new(),
        }],
    }
}

pub(super) fn document(page: &Page) -> String {
    html::page(page, &frame(&[], None))
}

/// Bars and masses with unlike decimals, one unknown.
pub(super) fn masses() -> Table {
    let columns = vec![
        Column::words("Hive"),
        Column::amounts("Bar"),
        Column::amounts("Comb kg"),
        Column {
            minor: true,
            ..Column::words("Since")
        },
    ];
    let row =
        |hive: &str, bar: &str, mass: Words| vec![hive.into(), Words::amount(bar), mass, "2026-04-12".into()];
    Table::new("Combs", columns, "No comb was cut.").with([
        row("alder", "7", Words::because("2.25", "/why/1")),
        row("rowan", "12", Words::amount("12")),
        row("wren", "3", Words::amount("-0.5")),
        row("heron", "1", "unknown".into()),
    ])
}

pub(super) fn square(fill: Fill) -> Shape {
    Shape::Area {
        corners: vec![(0.0, 0.0), (10.04, 0.0), (10.0, -0.04), (0.0, 10.25)],
        fill,
        edge: 1,
        broken: false,
    }
}

pub(super) const HATCHES: [Hatch; 9] = [
    Hatch::LevelClose,
    Hatch::LevelWide,
    Hatch::LevelBroken,
    Hatch::Slant,
    Hatch::Crossed,
    Hatch::DotsClose,
    Hatch::DotsWide,
    Hatch::Rings,
    Hatch::Strokes,
];

pub(super) fn drawing() -> Drawing {
    Drawing {
        title: "Alder from the side".into(),
        says: "Nine combs.".into(),
        caption: "Alder on 2026-07-19.".into(),
        frame: (0.0, 0.0, 900.0, 300.0),
        shapes: HATCHES.map(|hatch| square(Fill::Hatch(hatch))).into(),
        wide: true,
        code: false,
    }
}

/// One field of each sort.
pub(super) fn every_field() -> Vec<Field> {
    let choice = |value: &str| Choice {
        value: value.into(),
        text: value.into(),
    };
    let mut mass = Field::line("mass", "Mass")
        .input(Input::Figures)
        .hint("Such as 4.5 kg")
        .required();
    mass.wrong = Some("a bar holds about 3.4 kg.".into());
    vec![
        Field::line("bars.hive", "Hive").input(Input::Line {
            offered: vec!["alder".into(), "rowan".into()],
        }),
        mass,
        Field::line("more", "More")
            .input(Input::Heading)
            .hint("Leave out what does not matter."),
        Field::line("into", "Into").input(Input::Choice(vec![choice("pail-1"), choice("pail-2")])),
        Field::line("anyway", "Anyway").input(Input::Tick),
        Field::line("remark", "Remark")
            .input(Input::Lines { rows: 3 })
            .value("\nwet"),
        Field::line("sheet", "Sheet").input(Input::File),
    ]
}

pub(super) fn every_form() -> Form {
    let mut form = Form::post("Cut combs", "/write/cut").button("show", "Show the note");
    form.fields = every_field();
    form
}

/// A template opens at its true size, and says what it is.
#[test]
fn a_template_as_svg_has_its_true_size_in_millimetres() {
    use crate::{Figure, Meaning, Template};
    let template = Template {
        title: "End board <of> a hive".into(),
        says: vec!["Saw it.".into()],
        figures: vec![
            Figure::Outline {
                corners: vec![(0.0, 0.0), (420.0, 0.0), (320.25, 270.125), (100.0, 270.0)],
                meaning: Meaning::Cut,
            },
            Figure::Circle {
                middle: (200.0, 200.0),
                radius: 8.0,
                meaning: Meaning::Drill,
            },
            Figure::Line {
                from: (210.0, 0.0),
                to: (210.0, 270.0),
                meaning: Meaning::Mark,
            },
        ],
    };
    let svg = crate::template::svg(&template);
    assert!(
        svg.contains("width=\"430mm\" height=\"280.125mm\" viewBox=\"-5 -5 430 280.125\""),
        "{svg}"
    );
    assert!(svg.contains("d=\"M0 0L420 0L320.25 270.125L100 270Z\""), "{svg}");
    assert!(svg.contains("cx=\"200\" cy=\"200\" r=\"8\""), "{svg}");
    assert!(
        svg.contains("stroke-dasharray=\"4 2\" d=\"M210 0L210 270\""),
        "{svg}"
    );
    assert!(svg.contains("End board &lt;of&gt; a hive"), "{svg}");
}
