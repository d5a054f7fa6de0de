//! `read(print(fact)) = fact`, for every verb, over facts made from the table itself.

use proptest::prelude::*;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use quantity::{Currency, Reading, Unit};
use rust_decimal::Decimal;

use crate::note::table::{Detail, Element, Entry, Kind, table};
use crate::note::*;

const NAMES: &[&str] = &[
    "alder", "birch", "pail-12", "A26", "K7", "p-14", "wax-2", "Äpfel", "o'er", "before", "flight", "jot",
];
const TEXTS: &[&str] = &[
    "hedge",
    "hedge by the lane",
    "a # b",
    "into",
    "nine",
    "'); drop table entry; --",
    "<b>x</b>",
    "",
];

fn value(kind: &Kind) -> BoxedStrategy<Value> {
    let reading = |units: &'static [&'static str]| {
        let unit = prop::sample::select(units).prop_map(|unit| Unit::from_word(unit).expect("a unit"));
        (0i64..9_999, 0u32..3, unit).prop_map(|(n, scale, unit)| Reading::new(Decimal::new(n, scale), unit))
    };
    const MASSES: &[&str] = &["kg", "g", "lb", "oz"];
    const LENGTHS: &[&str] = &["mm", "cm", "m"];
    const VOLUMES: &[&str] = &["ml", "l"];
    match kind {
        Kind::Name(..) => prop::sample::select(NAMES)
            .prop_map(|name| Value::Name(name.into()))
            .boxed(),
        Kind::Text => prop::sample::select(TEXTS)
            .prop_map(|text| Value::Text(text.into()))
            .boxed(),
        Kind::Word(words) => prop::sample::select(words.clone()).prop_map(Value::Word).boxed(),
        Kind::Count => (0u32..100_000).prop_map(Value::Count).boxed(),
        Kind::Number => (-99_999i64..99_999, 0u32..5)
            .prop_map(|(n, s)| Value::Number(Decimal::new(n, s)))
            .boxed(),
        Kind::Mass => reading(MASSES).prop_map(boxed).boxed(),
        Kind::Length => inches()
            .prop_union(reading(LENGTHS).boxed())
            .prop_map(boxed)
            .boxed(),
        Kind::Area => reading(&["cm2", "in2"]).prop_map(boxed).boxed(),
        Kind::Volume => reading(VOLUMES).prop_map(boxed).boxed(),
        Kind::Amount => reading(MASSES)
            .boxed()
            .prop_union(reading(VOLUMES).boxed())
            .prop_map(boxed)
            .boxed(),
        Kind::Temperature => reading(&["C", "F"]).prop_map(boxed).boxed(),
        Kind::Percent => (0i64..1000)
            .prop_map(|n| {
                boxed(Reading::new(
                    Decimal::new(n, 1),
                    Unit::from_word("%").expect("a unit"),
                ))
            })
            .boxed(),
        Kind::Share => (0u8..=8)
            .prop_map(Share::Eighths)
            .boxed()
            .prop_union(
                (0i64..=1000)
                    .prop_map(|n| Share::Percent(Decimal::new(n, 1)))
                    .boxed(),
            )
            .prop_map(Value::Share)
            .boxed(),
        Kind::Money => (0i64..999_999)
            .prop_map(|n| {
                Value::Money(Price {
                    digits: Decimal::new(n, 2),
                    currency: Currency::new("GBP").expect("a currency"),
                })
            })
            .boxed(),
        Kind::Duration => (1u32..10_000).prop_map(Value::Duration).boxed(),
        Kind::Day => day().prop_map(Value::Day).boxed(),
        Kind::Lengths => prop::collection::vec(reading(LENGTHS), 1..=3)
            .prop_map(|all| Value::Readings(all.into_boxed_slice()))
            .boxed(),
        Kind::Bars => bars().prop_map(|bars| Value::Bars(Box::new(bars))).boxed(),
        Kind::Goods => pieces(reading(MASSES).boxed())
            .prop_union(
                reading(MASSES)
                    .prop_map(|amount| Goods::Bulk {
                        amount,
                        of: "shea".into(),
                    })
                    .boxed(),
            )
            .prop_map(|goods| Value::Goods(Box::new(goods)))
            .boxed(),
    }
}

fn boxed(reading: Reading) -> Value {
    Value::Reading(Box::new(reading))
}

fn inches() -> BoxedStrategy<Reading> {
    let inch = Unit::from_word("in").expect("a unit");
    (0u32..99, 0u16..4)
        .prop_map(move |(whole, quarter)| {
            Reading::with_fraction(whole, 2 * quarter + 1, 8, inch).expect("an eighth")
        })
        .boxed()
}

fn day() -> impl Strategy<Value = jiff::civil::Date> {
    (2020i16..2040, 1i8..=12, 1i8..=28).prop_map(|(y, m, d)| jiff::civil::date(y, m, d))
}

fn pieces(size: BoxedStrategy<Reading>) -> BoxedStrategy<Goods> {
    let kind = prop::sample::select(&["jars", "tins", "lids", "strips"][..]);
    (0u32..999, kind, prop::option::of(size))
        .prop_map(|(count, kind, size)| Goods::Pieces {
            count,
            kind: kind.into(),
            size,
        })
        .boxed()
}

fn bars() -> BoxedStrategy<Bars> {
    let places = prop::collection::vec((1u16..20, 0u16..4), 1..4).prop_map(|steps| {
        let mut from = 0;
        let runs = steps.into_iter().map(|(gap, length)| {
            let start = from + gap;
            from = start + length;
            (start, from)
        });
        Bars::Places {
            hive: "alder".into(),
            places: Places::new(runs.collect()).expect("rising runs"),
        }
    });
    places
        .boxed()
        .prop_union(Just(Bars::Tagged("K7".into())).boxed())
        .boxed()
}

fn elements(elements: &'static [Element]) -> BoxedStrategy<Vec<(&'static str, Value)>> {
    let values: Vec<_> = elements
        .iter()
        .filter_map(|element| match element {
            Element::Value { field, kind } => Some(value(kind).prop_map(move |value| (*field, value))),
            Element::Word(_) => None,
        })
        .collect();
    values.boxed()
}

fn detail(detail: &'static Detail) -> BoxedStrategy<Vec<(&'static str, Value)>> {
    let once = match detail.flag {
        Some(flag) => Just(vec![(flag, Value::Said)]).boxed(),
        None => elements(&detail.elements),
    };
    let least = usize::from(detail.required);
    let most = if detail.repeats { 3 } else { 1 };
    prop::collection::vec(once, least..=most)
        .prop_map(|times| times.concat())
        .boxed()
}

pub(super) fn note(entry: &'static Entry, form: usize) -> BoxedStrategy<Note> {
    let shape = &entry.shapes[form];
    let details: Vec<_> = shape.details.iter().map(detail).collect();
    let hour = prop::option::of((0i8..24, 0i8..60));
    (day(), hour, elements(&shape.subject), details, any::<bool>())
        .prop_map(move |(day, hour, subject, details, anyway)| Note {
            day,
            hour: hour.map(|(h, m)| format!("{h:02}:{m:02}").parse().expect("an hour")),
            fact: Fact {
                verb: entry,
                form: form as u8,
                values: subject.into_iter().chain(details.concat()).collect(),
            },
            anyway,
            remark: None,
        })
        .boxed()
}

/// Fixed seed: ChaCha, thirty-two bytes of 7.
pub(super) fn runner() -> TestRunner {
    TestRunner::new_with_rng(
        Config {
            cases: 200,
            failure_persistence: None,
            ..Config::default()
        },
        TestRng::from_seed(RngAlgorithm::ChaCha, &[7; 32]),
    )
}

#[test]
fn reading_a_printed_note_gives_the_same_note() {
    for entry in table().entries() {
        for form in 0..entry.shapes.len() {
            runner()
                .run(&note(entry, form), |note| {
                    let line = note.to_string();
                    let again =
                        read(&line).map_err(|error| TestCaseError::fail(format!("{line}\n{error:?}")))?;
                    prop_assert_eq!(&again.fact.to_string(), &note.fact.to_string());
                    prop_assert_eq!(again, note, "{}", line);
                    Ok(())
                })
                .unwrap_or_else(|error| panic!("{} form {form}: {error}", entry.verb.word));
        }
    }
}

#[test]
fn no_line_whatever_stops_the_reader() {
    let words: Vec<String> = table()
        .entries()
        .iter()
        .flat_map(|entry| entry.verb.examples)
        .flat_map(|example| example.split_whitespace())
        .map(str::to_owned)
        .chain(
            [
                "\"",
                "\0",
                "4,6",
                "-1",
                "/8",
                "9999999999999999999999",
                "\u{202e}",
                "é",
                "{",
                "%",
                "#",
            ]
            .map(str::to_owned),
        )
        .collect();
    let lines = prop::collection::vec(prop::sample::select(words), 0..14).prop_map(|words| words.join(" "));
    let any_line = lines.boxed().prop_union(any::<String>().boxed());
    let mut runner = TestRunner::new_with_rng(
        Config {
            cases: 20_000,
            failure_persistence: None,
            ..Config::default()
        },
        TestRng::from_seed(RngAlgorithm::ChaCha, &[8; 32]),
    );
    runner
        .run(&any_line, |line| {
            match read(&line) {
                Ok(note) => prop_assert_eq!(read(&note.to_string()), Ok(note)),
                Err(error) => prop_assert!(line.get(error.at).is_some(), "the place lies in the line"),
            }
            Ok(())
        })
        .expect("read or refused");
}
