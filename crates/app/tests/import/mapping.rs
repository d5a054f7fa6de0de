//! Columns to keys: headings, templates, fixed words, forms, days and decimals.

use app::import::{DayOrder, Mapping, plan};

use crate::{by_day_first, mapping, planned, sheet};

#[track_caller]
fn check(text: &str, mapping: &Mapping, expected: &str) {
    assert_eq!(planned(&sheet(text), mapping), expected);
}

#[track_caller]
fn refused(text: &str, mapping: &Mapping, expected: &str) {
    let error = plan(&sheet(text), mapping).expect_err("a mapping that does not fit");
    assert_eq!(error.to_string(), expected);
}

const HARVEST: &str = "Date,Hive,Bar,Weight,Pail,Half\n\
     2026-07-19,alder,9,2.5,pail-12,\n\
     2026-07-19,alder,\"10, 11\",,pail-12,no\n\
     2026-07-20 14:20,birch,3-4,,pail-13,x\n";

fn harvest(extra: &[(&str, &str)]) -> Mapping {
    let own = [
        ("day", "Date"),
        ("bars.hive", "Hive"),
        ("bars.places", "Bar"),
        ("into", "Pail"),
    ];
    mapping("cut", &[&own, extra].concat())
}

#[test]
fn a_template_is_empty_where_its_columns_are() {
    check(
        HARVEST,
        &harvest(&[("comb", "{Weight} kg"), ("half", "Half")]),
        "2 2026-07-19 cut alder bar 9 comb 2.5 kg into pail-12\n\
         3 2026-07-19 cut alder bars 10, 11 into pail-12\n\
         4 2026-07-20 14:20 cut birch bars 3-4 half into pail-13\n",
    );
}

#[test]
fn columns_and_words_make_one_value_and_doubled_braces_are_braces() {
    let text = "Day,No,{odd},Kilo\n2026-06-01,3,quiet,1\n";
    let hives = mapping(
        "feed",
        &[
            ("day", "Day"),
            ("colony", "hive-{No}"),
            ("food", "'syrup'"),
            ("amount", "{kilo}kg"),
            ("remark", "{{{No}}} was {Day}"),
        ],
    );
    check(
        text,
        &hives,
        "2 2026-06-01 feed hive-3 syrup 1kg # {3} was 2026-06-01\n",
    );
    let by_name = mapping(
        "feed",
        &[
            ("day", "Day"),
            ("colony", "\"alder\""),
            ("food", "\"syrup\""),
            ("remark", "{odd}"),
        ],
    );
    check(text, &by_name, "2 2026-06-01 feed alder syrup # quiet\n");
}

#[test]
fn without_a_map_the_headings_are_the_keys() {
    check(
        "DAY,Bars.Hive,bars.places,Into,Beekeeper's mood\n2026-07-19,alder,9,pail-12,fine\n2026-07-19,,K7,pail-12,fine\n",
        &mapping("cut", &[]),
        "2 2026-07-19 cut alder bar 9 into pail-12\n3 2026-07-19 cut bar K7 into pail-12\n",
    );
    refused(
        "Date,Hive\n2026-06-01,alder\n",
        &mapping("drop", &[]),
        "no column is headed as a key of drop, so say which fills what. The keys are: day, colony, days, mites, hour, remark, anyway. The columns are: Date, Hive",
    );
    refused(
        "day,Day\n1,2\n",
        &mapping("drop", &[]),
        "two columns are headed Day; give one of them another heading",
    );
}

#[test]
fn what_is_repeated_has_a_number() {
    let text = "day,container,ingredient.1,share.1,ingredient.2,share.2\n";
    let form = plan(&sheet(text), &mapping("recipe", &[]));
    // Whatever the recipe's own keys are, the numbered ones are keys.
    let says = form.map_or_else(|error| error.to_string(), |_| String::new());
    assert!(!says.contains("no column is headed"), "{says}");
}

#[test]
fn unknown_verbs_keys_and_columns_are_refused_with_the_nearest() {
    let text = "Date,Hive,Weight\n2026-06-01,alder,1\n";
    refused(
        text,
        &mapping("fed", &[]),
        "“fed” is no verb of the note language (did you mean feed?)",
    );
    refused(
        text,
        &mapping("drop", &[("mite", "Weight")]),
        "no key of drop is called mite (did you mean mites?). Its keys are: day, colony, days, mites, hour, remark, anyway",
    );
    refused(
        text,
        &mapping("drop", &[("mites", "Wieght")]),
        "the sheet has no column Wieght (did you mean Weight?). It has: Date, Hive, Weight. Words that are the same in every row stand between quotes: mites=\"Wieght\"",
    );
    refused(
        text,
        &mapping("drop", &[("mites", "{Wieght} or so")]),
        "the sheet has no column Wieght (did you mean Weight?). It has: Date, Hive, Weight. Words that are the same in every row stand between quotes: mites=\"Wieght\"",
    );
    refused(
        text,
        &mapping("drop", &[("mites", "{Weight")]),
        "in “{Weight” a brace has lost its other half; a column stands between braces, and {{ is a brace",
    );
    refused(
        text,
        &mapping("drop", &[("mites", "")]),
        "nothing was said that fills mites",
    );
    refused(
        text,
        &mapping("drop", &[("mites", "' '")]),
        "nothing was said that fills mites",
    );
    refused(
        text,
        &mapping("drop", &[("mites", "Weight"), ("Mites", "Weight")]),
        "two things would fill mites",
    );
    refused(
        text,
        &mapping("drop", &[("mites", "Weight")]),
        "nothing fills day, colony, days, and no such note can do without",
    );
    let second = Mapping {
        form: Some(1),
        ..mapping("drop", &[("mites", "Weight")])
    };
    refused(text, &second, "the ways of saying drop are numbered from 1 to 1");
    refused(
        text,
        &mapping("read", &[("water", "Weight"), ("brix", "Weight")]),
        "no way of saying read has all of these at once: water, brix",
    );
}

#[test]
fn the_form_is_the_one_that_has_the_keys_or_the_one_asked_for() {
    let yards = "day,yard\n2026-03-01,orchard\n";
    refused(
        yards,
        &mapping("yard", &[]),
        "these keys fit several ways of saying yard; say which form: 1 (yard {yard} closed), 2 (yard {yard})",
    );
    let made = Mapping {
        form: Some(1),
        ..mapping("yard", &[])
    };
    check(yards, &made, "2 2026-03-01 yard orchard\n");
    let text = "Day,From,What\n2026-06-01,Sallow stores,60 jars of 340 g\n";
    let spend = |what| {
        mapping(
            "spend",
            &[("day", "Day"), ("amount", "'9.50 GBP'"), (what, "What")],
        )
    };
    check(
        text,
        &spend("goods"),
        "2 2026-06-01 spend 9.50 GBP on 60 jars of 340 g\n",
    );
    check(
        text,
        &spend("what"),
        "2 2026-06-01 spend 9.50 GBP on \"60 jars of 340 g\"\n",
    );
    let second = Mapping {
        form: Some(1),
        ..spend("goods")
    };
    let error = plan(&sheet(text), &second).expect_err("the second form has no goods");
    assert!(
        error.to_string().starts_with("no key of spend is called goods"),
        "{error}"
    );
}

#[test]
fn days_are_read_in_the_order_of_their_parts() {
    let told = |days, cell: &str| {
        let text = format!("Day,Hive\n{cell},alder\n");
        let mapping = Mapping {
            days,
            ..mapping("queen", &[("day", "Day"), ("colony", "Hive"), ("seen", "'yes'")])
        };
        planned(&sheet(&text), &mapping)
    };
    let good = "2 2026-07-09 queen alder seen\n";
    for cell in [
        "2026-07-09",
        "2026/7/9",
        "2026.07.09",
        "2026-07-09 00:00:00",
        "2026-07-09T00:00",
    ] {
        for days in [DayOrder::Ymd, DayOrder::Dmy, DayOrder::Mdy] {
            assert_eq!(told(days, cell), good, "{cell}");
        }
    }
    for cell in ["9.7.2026", "09/07/2026", "9-7-2026", "09.07.2026."] {
        assert_eq!(told(DayOrder::Dmy, cell), good, "{cell}");
    }
    assert_eq!(told(DayOrder::Mdy, "7/9/2026"), good);
    assert_eq!(
        told(DayOrder::Dmy, "9.7.2026 9:05"),
        "2 2026-07-09 09:05 queen alder seen\n"
    );
    for (days, cell, says) in [
        (
            DayOrder::Ymd,
            "09/07/2026",
            "“09/07/2026” is no day with the year first, such as 2026-07-19",
        ),
        (
            DayOrder::Dmy,
            "31/02/2026",
            "“31/02/2026” is no day with the day first, such as 19/07/2026",
        ),
        (
            DayOrder::Mdy,
            "19/07/2026",
            "“19/07/2026” is no day with the month first, such as 07/19/2026",
        ),
        (
            DayOrder::Dmy,
            "9.7.26",
            "“9.7.26” is no day: write the year with four digits",
        ),
        (
            DayOrder::Dmy,
            "early July",
            "“early July” is no day with the day first, such as 19/07/2026",
        ),
        (DayOrder::Dmy, "9.7.2026 25:00", "“25:00” is no hour of the day"),
        (
            DayOrder::Ymd,
            "46212",
            "“46212” is no day with the year first, such as 2026-07-19",
        ),
    ] {
        assert_eq!(told(days, cell), format!("2 ! day: {says}\n"));
    }
    assert_eq!(told(DayOrder::Ymd, ""), "2 ! day: the cell is empty\n");
}

#[test]
fn a_comma_may_stand_before_the_decimals() {
    let told = |cell: &str| {
        let text = format!("Day;Hive;Bar;Weight\n2026-07-19;alder;9, 10;{cell}\n");
        let mapping = Mapping {
            decimal_comma: true,
            ..mapping(
                "cut",
                &[
                    ("day", "Day"),
                    ("bars.hive", "Hive"),
                    ("bars.places", "Bar"),
                    ("comb", "{Weight} g"),
                    ("into", "'pail-1'"),
                ],
            )
        };
        planned(&sheet(&text), &mapping)
    };
    let good = |mass| format!("2 2026-07-19 cut alder bars 9, 10 comb {mass} g into pail-1\n");
    assert_eq!(told("1,5"), good("1.5"));
    assert_eq!(told("1.234,5"), good("1234.5"));
    assert_eq!(told("1.234.567"), good("1234567"));
    assert_eq!(told("1.5"), good("1.5"));
    assert_eq!(
        told("1.500"),
        "2 ! comb: “1.500” may be 1500 or 1,500; write it without the point, or with a comma for the decimals\n"
    );
    let plain = planned(
        &sheet("Day;Hive;Kilo\n2026-07-19;alder;1,5\n"),
        &mapping(
            "feed",
            &[
                ("day", "Day"),
                ("colony", "Hive"),
                ("food", "'syrup'"),
                ("amount", "{Kilo} kg"),
            ],
        ),
    );
    assert!(plain.contains("did you mean 1.5?"), "{plain}");
}

#[test]
fn yes_and_no_say_whether_a_word_is_there() {
    let text =
        "Day,Hive,Seen,Gone\n2026-07-19,alder,YES,0\n2026-07-19,alder,seen,-\n2026-07-19,alder,no,maybe\n";
    check(
        text,
        &mapping(
            "queen",
            &[
                ("day", "Day"),
                ("colony", "Hive"),
                ("seen", "Seen"),
                ("gone", "Gone"),
            ],
        ),
        "2 2026-07-19 queen alder seen\n3 2026-07-19 queen alder seen\n4 ! gone: “maybe” is neither yes nor no\n",
    );
}

#[test]
fn hours_and_lengths_of_time_are_read_as_sheets_write_them() {
    let text = "Day,At,Time,Hours\n2026-07-19,9:05,2:30,\n2026-07-19,09:05:00,,2.25\n2026-07-19,,0:45,\n2026-07-19,,,2.01\n";
    let told = |from| {
        planned(
            &sheet(text),
            &mapping(
                "hours",
                &[
                    ("day", "Day"),
                    ("hour", "At"),
                    ("time", from),
                    ("task", "\"straining and bottling\""),
                ],
            ),
        )
    };
    let by_clock = told("Time");
    assert!(
        by_clock.starts_with("2 2026-07-19 09:05 hours 2h30 \"straining and bottling\"\n3 ! time: "),
        "{by_clock}"
    );
    assert!(by_clock.contains("4 2026-07-19 hours 0h45 "), "{by_clock}");
    let by_hours = told("{Hours} h");
    assert!(by_hours.contains("3 2026-07-19 09:05 hours 2h15 "), "{by_hours}");
    assert!(
        by_hours.contains("5 ! time: "),
        "a hundredth of an hour is no whole number of minutes: {by_hours}"
    );
}

#[test]
fn all_that_is_wrong_with_a_row_is_told_at_once() {
    check(
        "Day,Hive,Food,Amount\n1.6.26,alder,#REF!,1 kg\n,,,1 kg\n1.6.2026,alder,tea,1 kg\n",
        &by_day_first(crate::fed()),
        "2 ! day: “1.6.26” is no day: write the year with four digits | food: the cell says #REF!: a calculation went wrong there\n\
         3 ! day: the cell is empty | colony: the cell is empty | food: the cell is empty\n\
         4 ! food: “tea” does not fit here; here fits: syrup or fondant or sugar or honey or pollen or combs\n",
    );
}
