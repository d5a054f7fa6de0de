//! The document: nothing in it runs, it has an outline, everything in it can be told by a screen reader.

use scraper::{ElementRef, Html, Selector};

use super::*;

fn read(document: &str) -> Html {
    Html::parse_document(document)
}

fn all<'a>(html: &'a Html, selector: &str) -> Vec<ElementRef<'a>> {
    let selector = Selector::parse(selector).expect("a selector");
    html.select(&selector).collect()
}

#[track_caller]
fn one<'a>(html: &'a Html, selector: &str) -> ElementRef<'a> {
    let found = all(html, selector);
    assert_eq!(found.len(), 1, "{selector}");
    found[0]
}

fn text(element: ElementRef<'_>) -> String {
    element.text().collect()
}

/// A page on which the name stands in every place where words can stand.
fn named_everywhere() -> Page {
    let words = || {
        let amount = Words::default().number(NAME, Some(NAME), Some(format!("/why/{NAME}")));
        Words::new(NAME)
            .link(NAME, "/to")
            .note(NAME)
            .strong(NAME)
            .and(amount)
    };
    let columns = vec![Column::words(NAME), Column::amounts(NAME)];
    let mut table = Table::new(NAME, columns, NAME)
        .with([vec![words(), words()]])
        .csv(NAME);
    table.pager = Some(Pager {
        first: 1,
        last: 1,
        of: 2,
        before: Some(NAME.into()),
        after: Some(format!("?{NAME}")),
    });
    let drawing = Drawing {
        title: NAME.into(),
        says: NAME.into(),
        caption: words(),
        frame: (0.0, 0.0, f64::NAN, 1.0),
        shapes: vec![
            Shape::Label {
                at: (0.0, 0.0),
                text: NAME.into(),
                height: 5.0,
            },
            Shape::Link {
                to: format!("/{}", NAME.replace(' ', "")),
                says: NAME.into(),
                shapes: vec![square(Fill::Hatch(Hatch::Rings))],
            },
        ],
        wide: false,
        code: false,
    };
    Page::new(NAME).with([
        Block::section(NAME, [Block::Text(words()), Block::List(vec![words()])]),
        Block::Facts(vec![(NAME.into(), words())]),
        Block::Table(table),
        Block::Table(Table::new(NAME, Vec::new(), NAME)),
        Block::Form(Box::new(named_form())),
        Block::Gallery(vec![drawing.clone()]),
        Block::Drawing(drawing),
        Block::Notice(Notice {
            tone: Tone::Care,
            says: words(),
            more: vec![words()],
        }),
        Block::Folded {
            summary: NAME.into(),
            blocks: vec![Block::text(NAME)],
        },
    ])
}

fn named_form() -> Form {
    let mut form = Form::post(NAME, NAME).hidden(NAME, NAME).button(NAME, NAME);
    form.preview = Some(NAME.into());
    form.wrong = vec![NAME.into()];
    form.shown = Some(Shown {
        lines: vec![NAME.into()],
        remarks: vec![NAME.into()],
    });
    form.fields = every_field();
    for field in &mut form.fields {
        field.name = NAME.into();
        field.label = NAME.into();
        field.value = NAME.into();
        field.hint = NAME.into();
        field.wrong = Some(NAME.into());
    }
    form.fields[0].input = Input::Line {
        offered: vec![NAME.into()],
    };
    form.fields[3].input = Input::Choice(vec![Choice {
        value: NAME.into(),
        text: NAME.into(),
    }]);
    form
}

#[test]
fn a_name_that_looks_like_markup_stays_a_name_wherever_it_stands() {
    let nav = [NavItem {
        text: "Round",
        to: NAME.into(),
        current: true,
    }];
    let mut frame = frame(&nav, Some(named_form()));
    frame.here = NAME;
    frame.token = NAME;
    frame.books = NAME;
    frame.foot = NAME.into();
    frame.days = Some(Days {
        day: NAME.into(),
        is_now: false,
        before: NAME.into(),
        after: Some(NAME.into()),
        now: Some(NAME.into()),
        action: format!("/?{NAME}={NAME}"),
    });
    let html = read(&html::page(&named_everywhere(), &frame));

    assert_eq!(one(&html, "script").attr("src"), Some("/asset/page.js"));
    assert_eq!(text(one(&html, "script")), "");
    assert!(all(&html, "main b:not(.tone)").is_empty());
    for element in all(&html, "*") {
        for (attribute, _) in element.value().attrs() {
            let known = attribute.chars().all(|c| c.is_ascii_alphabetic() || c == '-');
            assert!(known && !attribute.starts_with("on"), "{attribute}");
            assert_ne!(attribute, "style");
        }
    }
    assert_eq!(text(one(&html, "h1")), NAME);
    assert_eq!(text(one(&html, "title[id='drawing.title']")), NAME);
    assert_eq!(text(all(&html, "text.label")[0]), NAME);
    assert_eq!(
        all(&html, "textarea")[0].text().collect::<String>().trim_start(),
        NAME
    );
    assert_eq!(all(&html, "main a.spot")[0].attr("aria-label"), Some(NAME));
}

#[test]
fn nothing_is_inline_that_a_strict_policy_forbids() {
    let page = Page::new("Alder").with([
        Block::Drawing(drawing()),
        Block::Table(masses()),
        Block::Form(Box::new(every_form())),
    ]);
    let html = read(&document(&page));
    assert!(all(&html, "style, [style], iframe, object, embed, base").is_empty());
    let addresses = ["href", "src", "action"].map(|name| (name, format!("[{name}]")));
    for (name, selector) in addresses {
        for element in all(&html, &selector) {
            let to = element.attr(name).expect("it was selected by it");
            assert!(
                to.starts_with('/') || to.starts_with('#') || to.starts_with('?'),
                "{to}"
            );
        }
    }
}

#[test]
fn a_link_leads_to_these_pages_or_to_an_encrypted_page_elsewhere() {
    let leads = |to: &str| {
        let page = Page::new("Alder").with([Block::text(Words::linked("the words", to))]);
        let html = read(&document(&page));
        assert_eq!(text(one(&html, "main > p")), "the words");
        !all(&html, "main > p > a").is_empty()
    };
    for to in [
        "/yards/toft?on=2026-07-19",
        "#bars",
        "?page=2",
        "https://example.org/a",
        "/",
        "/a//b",
    ] {
        assert!(leads(to), "{to}");
    }
    let refused = [
        "javascript:alert(1)",
        "JavaScript:alert(1)",
        " javascript:alert(1)",
        "data:text/html,x",
        "http://example.org/",
        "//example.org/",
        "/\\example.org/",
        "/\t/example.org/",
        "\n//example.org",
        "yards",
        "",
    ];
    for to in refused {
        assert!(!leads(to), "{to}");
    }
}

#[test]
fn a_page_elsewhere_is_not_told_where_its_reader_came_from() {
    let page = Page::new("Sources").with([Block::text(Words::linked("a paper", "https://example.org/a"))]);
    let html = read(&document(&page));
    assert_eq!(one(&html, "main > p > a").attr("rel"), Some("noreferrer"));
}

#[test]
fn headings_begin_with_one_and_skip_no_level() {
    let deep = Block::section(
        "a",
        [Block::section(
            "b",
            [Block::section(
                "c",
                [Block::section(
                    "d",
                    [Block::section("e", [Block::section("f", [])])],
                )],
            )],
        )],
    );
    let page = Page::new("Alder").with([
        Block::section("A", []),
        deep,
        Block::Folded {
            summary: "more".into(),
            blocks: vec![Block::section("B", [Block::Form(Box::new(every_form()))])],
        },
    ]);
    let html = read(&document(&page));
    let levels: Vec<u8> = all(&html, "h1, h2, h3, h4, h5, h6")
        .iter()
        .map(|heading| heading.value().name().as_bytes()[1] - b'0')
        .collect();
    assert_eq!(levels, [1, 2, 2, 3, 4, 5, 6, 6, 2]);
}

#[test]
fn ids_are_given_once_and_headings_can_be_linked_to() {
    let page = Page::new("Alder").with([
        Block::section("To do", []),
        Block::section("To do!", []),
        Block::section("Main", []),
        Block::section("…", []),
        Block::Form(Box::new(every_form())),
        Block::Form(Box::new(every_form())),
        Block::Gallery(vec![drawing(), drawing()]),
    ]);
    let html = read(&document(&page));
    let ids: Vec<&str> = all(&html, "[id]").iter().filter_map(|e| e.attr("id")).collect();
    let once: std::collections::BTreeSet<&str> = ids.iter().copied().collect();
    assert_eq!(ids.len(), once.len(), "{ids:?}");
    let headings: Vec<_> = all(&html, "h2").iter().filter_map(|e| e.attr("id")).collect();
    assert_eq!(headings, ["to-do", "to-do-2", "main-2", "part"]);
    assert_eq!(html::slug("Combs & bars, 2026"), "combs-bars-2026");
}

#[test]
fn whatever_is_named_by_an_id_is_there() {
    let page = Page::new("Alder").with([
        Block::section("Form", [Block::Form(Box::new(every_form()))]),
        Block::Table(masses()),
        Block::Drawing(drawing()),
    ]);
    let html = read(&html::page(&page, &frame(&[], Some(every_form()))));
    for name in ["for", "aria-labelledby", "aria-describedby", "list"] {
        for element in all(&html, &format!("[{name}]")) {
            for id in element.attr(name).expect("it was selected by it").split(' ') {
                one(&html, &format!("[id='{id}']"));
            }
        }
    }
}

#[test]
fn every_field_has_a_label_and_what_is_needed_or_wrong_is_said_in_words() {
    let html = read(&html::page(
        &Page::new("Cut").with([Block::Form(Box::new(every_form()))]),
        &frame(&[], Some(every_form())),
    ));
    let fields = all(&html, "input:not([type=hidden]), select, textarea");
    assert_eq!(fields.len(), 13);
    for field in fields {
        let id = field.attr("id").expect("a field has an id");
        assert!(!text(one(&html, &format!("label[for='{id}']"))).is_empty());
    }
    let mass = one(&html, "main [name=mass]");
    assert_eq!(mass.attr("aria-invalid"), Some("true"));
    assert_eq!(mass.attr("aria-required"), Some("true"));
    assert_eq!(mass.attr("inputmode"), Some("decimal"));
    assert_eq!(
        mass.attr("aria-describedby"),
        Some("field-mass.wrong field-mass.hint")
    );
    assert_eq!(
        text(one(&html, "[id='field-mass.wrong']")),
        "Wrong: a bar holds about 3.4 kg."
    );
    assert_eq!(text(one(&html, "label[for=field-mass]")), "Mass (needed)");
    let alert = one(&html, "main [role=alert]");
    assert_eq!(
        text(alert),
        "Wrong: not written yet.Mass: a bar holds about 3.4 kg."
    );
    assert_eq!(text(one(&html, "main fieldset > legend")), "More");
    assert_eq!(all(&html, "main fieldset .field").len(), 4);
}

#[test]
fn what_was_filled_in_comes_back() {
    let mut form = every_form();
    form.fields[0].value = "alder".into();
    form.fields[3].value = "pail-9".into();
    form.fields[4].value = "on".into();
    let html = read(&document(&Page::new("Cut").with([Block::Form(Box::new(form))])));
    assert_eq!(one(&html, "[name='bars.hive']").attr("value"), Some("alder"));
    // What is chosen stays, though it is offered no longer.
    assert_eq!(one(&html, "option[selected]").attr("value"), Some("pail-9"));
    assert_eq!(one(&html, "[type=checkbox][checked]").attr("value"), Some("on"));
    // The parser takes away the first line end, as browsers do; the second is the keeper's.
    assert!(text(one(&html, "textarea")).ends_with("\nwet"));
    assert!(html.html().contains("wet</textarea>"));
}

#[test]
fn nothing_is_chosen_for_the_reader() {
    let html = read(&document(
        &Page::new("Cut").with([Block::Form(Box::new(every_form()))]),
    ));
    assert_eq!(one(&html, "option[selected]").attr("value"), Some(""));
}

#[test]
fn only_a_form_that_may_write_carries_the_token() {
    let token = |form: Form| {
        let html = read(&document(&Page::new("x").with([Block::Form(Box::new(form))])));
        let form = one(&html, "main form");
        let kind = form.attr("enctype").map(str::to_owned);
        let token = Selector::parse("input[type=hidden][name=token][value=of-this-day]").expect("a selector");
        (form.select(&token).count(), kind)
    };
    assert_eq!(token(Form::post("x", "/x")), (1, None));
    assert_eq!(token(Form::get("x", "/x")), (0, None));
    let mut upload = Form::post("x", "/x");
    upload.method = Method::Upload;
    assert_eq!(token(upload), (1, Some("multipart/form-data".to_owned())));
}

#[test]
fn a_form_that_asks_keeps_what_its_address_asks_already() {
    let html = read(&document(&Page::new("x")));
    let hidden: Vec<_> = all(&html, "nav form input[type=hidden]")
        .iter()
        .map(|e| (e.attr("name"), e.attr("value")))
        .collect();
    assert_eq!(hidden, [(Some("part"), Some("combs & bars"))]);
    assert_eq!(one(&html, "input[name=on]").attr("value"), Some("2026-07-19"));
}

#[test]
fn the_note_that_would_be_written_is_shown() {
    let mut form = every_form();
    form.preview = Some("/preview/cut".into());
    let html = read(&document(
        &Page::new("x").with([Block::Form(Box::new(form.clone()))]),
    ));
    assert_eq!(
        one(&html, "form[data-preview]").attr("data-preview"),
        Some("/preview/cut")
    );
    assert_eq!(
        one(&html, "output.shown[aria-live=polite]")
            .html()
            .matches("span")
            .count(),
        0
    );

    form.shown = Some(Shown {
        lines: vec!["2026-07-19 cut alder bar 7".into()],
        remarks: vec!["The bar had brood.".into()],
    });
    let html = read(&document(&Page::new("x").with([Block::Form(Box::new(form))])));
    assert_eq!(
        text(one(&html, "output.shown")),
        "This note will be written: 2026-07-19 cut alder bar 7 The bar had brood."
    );
    assert_eq!(one(&html, "main button").attr("value"), Some("show"));
}

#[test]
fn a_table_keeps_its_meaning_when_its_rows_are_stacked() {
    let html = read(&document(
        &Page::new("x").with([Block::Table(masses().csv("/combs.csv"))]),
    ));
    assert_eq!(
        one(&html, "table[role=table]").attr("aria-labelledby"),
        Some("table")
    );
    assert_eq!(text(one(&html, "caption#table")), "Combs");
    assert_eq!(
        all(&html, "thead[role=rowgroup] th[scope=col][role=columnheader]").len(),
        4
    );
    assert_eq!(
        all(
            &html,
            "tbody[role=rowgroup] > tr[role=row] > th[scope=row][role=rowheader]"
        )
        .len(),
        4
    );
    let labels: Vec<_> = all(&html, "tbody td[role=cell]")
        .iter()
        .filter_map(|e| e.attr("data-label"))
        .collect();
    assert_eq!(labels[..3], ["Bar", "Comb kg", "Since"]);
    assert_eq!(text(one(&html, "a[href='/combs.csv']")), "All rows as CSV: Combs");
}

#[test]
fn points_stand_below_each_other() {
    let html = read(&document(&Page::new("x").with([Block::Table(masses())])));
    let masses: Vec<String> = all(&html, "td[data-label='Comb kg']")
        .into_iter()
        .map(text)
        .collect();
    assert_eq!(
        masses,
        [
            "2.25",
            "12\u{2008}\u{2007}\u{2007}",
            "\u{2212}0.5\u{2007}",
            "unknown"
        ]
    );
    assert_eq!(text(one(&html, "td a.why[href='/why/1']")), "2.25");
}

#[test]
fn an_empty_table_says_so() {
    let mut empty = masses();
    empty.rows.clear();
    let html = read(&document(&Page::new("x").with([Block::Table(empty)])));
    assert!(all(&html, "table").is_empty());
    assert_eq!(text(one(&html, "p.nothing")), "No comb was cut.");
}

#[test]
fn notices_begin_with_their_word_and_only_new_ones_are_announced() {
    let page = Page::new("x").with([Block::notice(Tone::Odd, "Bar 9 was cut twice.")]);
    let html = read(&document(&page));
    assert_eq!(text(one(&html, "[role=status]")), "Written: 1 note was written.");
    assert_eq!(text(one(&html, "[role=note]")), "Odd: Bar 9 was cut twice.");
    assert!(all(&html, "main [role=alert]").is_empty());
}

#[test]
fn the_head_of_a_page_names_it_and_the_way_around() {
    let nav = [
        NavItem {
            text: "Round",
            to: "/".into(),
            current: false,
        },
        NavItem {
            text: "Yard",
            to: "/yard".into(),
            current: true,
        },
    ];
    let html = read(&html::page(&Page::new("Toft"), &frame(&nav, None)));
    assert_eq!(text(one(&html, "head > title")), "Toft · Sallowford");
    assert_eq!(one(&html, "html").attr("lang"), Some("en"));
    assert_eq!(
        text(one(&html, "nav[aria-label=Pages] [aria-current=page]")),
        "Yard"
    );
    assert_eq!(one(&html, "body > a:first-child").attr("href"), Some("#main"));
    assert_eq!(text(one(&html, "footer .foot")), "From 61 entries, digest 9f3c.");
    assert_eq!(text(one(&html, "nav .shown-day")), "As of 2026-07-19");
    for asset in ["style.css", "page.js", "mark.svg"] {
        assert!(
            html::ASSETS
                .iter()
                .any(|known| known.name == asset && !known.bytes.is_empty())
        );
    }
}

#[test]
fn a_long_word_can_be_broken_and_still_be_read_whole() {
    let word = "a-very-long-word-that-a-keeper-gave-to-a-hive";
    let html = read(&document(&Page::new("x").with([Block::text(word)])));
    assert_eq!(text(one(&html, "main > p")), word);
    assert_eq!(all(&html, "main > p > wbr").len(), 3);
}
