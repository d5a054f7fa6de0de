//! `read(compose(fill(note))) = note`; every form can be filled in; what is missing or wrong is told by key.

use std::collections::{BTreeMap, BTreeSet};

use proptest::prelude::*;

use super::fixed_notes;
use super::round_trip::{note, runner};
use crate::note::compose::{Blank, COMMON_KEYS, Composed, Fills, blanks, compose, fill, key_at, spoken};
use crate::note::table::{Entry, Kind, table};
use crate::note::*;

fn composed(entry: &'static Entry, form: usize, filled: &BTreeMap<String, String>) -> Composed {
    compose(entry, form, &|key| filled.get(key).cloned())
}

fn filled(pairs: &[(&str, &str)]) -> BTreeMap<String, String> {
    pairs
        .iter()
        .map(|(key, value)| ((*key).to_owned(), (*value).to_owned()))
        .collect()
}

#[track_caller]
fn of(word: &str, form: usize, pairs: &[(&str, &str)]) -> Composed {
    composed(table().verb(word).expect("a verb"), form, &filled(pairs))
}

fn again(note: &Note) -> Composed {
    composed(note.fact.verb, usize::from(note.fact.form), &fill(note))
}

/// Something that fits a blank.
fn sample(blank: &Blank) -> String {
    let Fills::Value(kind) = blank.fills else {
        return match blank.fills {
            Fills::BarsPlaces => "9 and 10",
            Fills::BarsHive => "alder",
            _ => "yes",
        }
        .to_owned();
    };
    match kind {
        Kind::Name(..) => format!("thing-{}", blank.round),
        Kind::Text => "hedge by the lane".to_owned(),
        Kind::Word(words) => words[0].to_owned(),
        Kind::Goods => "12 jars of 340 g".to_owned(),
        _ => {
            let expects = kind.expects();
            let (_, example) = expects.rsplit_once("such as ").expect("an example");
            example.split(" or ").next().expect("one").to_owned()
        }
    }
}

#[test]
fn a_note_taken_apart_and_composed_again_is_the_same_note() {
    let examples = table().entries().iter().flat_map(|entry| entry.verb.examples);
    for line in fixed_notes().chain(examples.copied()) {
        let note = read(line).expect("a fixed line is read");
        let composed = again(&note);
        assert_eq!(composed.missing, Vec::<String>::new(), "{line}");
        assert_eq!(read(&composed.line), Ok(note), "{line}\n{}", composed.line);
    }
}

#[test]
fn any_note_taken_apart_and_composed_again_is_the_same_note() {
    for entry in table().entries() {
        for form in 0..entry.shapes.len() {
            runner()
                .run(&(note(entry, form), "[a-z #\"]{0,9}"), |(note, remark)| {
                    let remark = Some(remark.trim())
                        .filter(|words| !words.is_empty())
                        .map(Box::from);
                    let note = Note { remark, ..note };
                    let composed = again(&note);
                    prop_assert!(composed.missing.is_empty(), "{:?}", composed);
                    prop_assert_eq!(read(&composed.line), Ok(note), "{}", composed.line);
                    Ok(())
                })
                .unwrap_or_else(|error| panic!("{} form {form}: {error}", entry.verb.word));
        }
    }
}

#[test]
fn every_form_of_every_verb_can_be_filled_in() {
    for entry in table().entries() {
        for (form, shape) in entry.shapes.iter().enumerate() {
            let blanks = blanks(shape, 3);
            let mut said = filled(&[("day", "2026-07-19"), ("hour", "14:20"), ("remark", "why not")]);
            said.extend(blanks.iter().map(|blank| (blank.key.clone(), sample(blank))));
            let composed = composed(entry, form, &said);
            assert!(composed.missing.is_empty(), "{composed:?}");
            let note = read(&composed.line).unwrap_or_else(|error| panic!("{}\n{error:?}", composed.line));
            assert_eq!(usize::from(note.fact.form), form, "{}", composed.line);
            assert!(
                fill(&note).keys().eq(said.keys()),
                "{}\n{:?}",
                composed.line,
                fill(&note)
            );
        }
    }
}

#[test]
fn what_is_needed_alone_makes_a_note_and_without_it_each_key_is_told() {
    for entry in table().entries() {
        for (form, shape) in entry.shapes.iter().enumerate() {
            let needed: Vec<Blank> = blanks(shape, 1)
                .into_iter()
                .filter(|blank| blank.required || blank.fills == Fills::BarsHive)
                .collect();
            let mut said = filled(&[("day", "2026-07-19")]);
            said.extend(needed.iter().map(|blank| (blank.key.clone(), sample(blank))));
            let full = composed(entry, form, &said);
            assert!(full.missing.is_empty(), "{full:?}");
            assert!(read(&full.line).is_ok(), "{}", full.line);

            let empty = composed(entry, form, &BTreeMap::new());
            let wanted: BTreeSet<&str> = needed
                .iter()
                .filter(|blank| blank.required)
                .map(|blank| blank.key.as_str())
                .chain(["day"])
                .collect();
            assert_eq!(
                empty.missing.iter().map(String::as_str).collect::<BTreeSet<_>>(),
                wanted,
                "{}",
                empty.line
            );
        }
    }
}

#[test]
fn the_keys_of_a_form_differ_from_each_other_and_from_what_every_form_has() {
    for entry in table().entries() {
        for shape in &entry.shapes {
            let mut keys: BTreeSet<String> = COMMON_KEYS.iter().map(|key| (*key).to_owned()).collect();
            for blank in blanks(shape, 3) {
                assert!(
                    keys.insert(blank.key.clone()),
                    "{} has {} twice",
                    entry.verb.word,
                    blank.key
                );
                assert!(!blank.label.is_empty());
            }
        }
    }
}

#[test]
fn one_bar_several_bars_and_a_tag_are_each_said_in_their_own_way() {
    let cut = |hive, places| {
        let pairs = [
            ("day", "2026-07-19"),
            ("bars.hive", hive),
            ("bars.places", places),
            ("into", "pail-1"),
        ];
        of("cut", 1, &pairs)
    };
    assert_eq!(cut("alder", "9").line, "2026-07-19 cut alder bar 9 into pail-1");
    assert_eq!(
        cut("alder", "9, 10").line,
        "2026-07-19 cut alder bars 9, 10 into pail-1"
    );
    assert_eq!(
        cut("alder", "1 to 4").line,
        "2026-07-19 cut alder bars 1 to 4 into pail-1"
    );
    assert_eq!(cut("", "K7").line, "2026-07-19 cut bar K7 into pail-1");
    assert_eq!(cut("alder", "").missing, ["bars.places"]);
    assert_eq!(cut("", "").missing, ["bars.places"]);
    assert_eq!(
        cut("", "9").missing,
        ["bars.hive"],
        "a bare place is in some hive"
    );
}

#[test]
fn a_detail_that_is_half_filled_in_misses_the_rest() {
    let pairs = [
        ("day", "2026-08-01"),
        ("recipe", "balm"),
        ("ingredient.1", "wax"),
        ("share.1", "25 %"),
        ("share.3", "75 %"),
    ];
    let recipe = of("recipe", 0, &pairs);
    assert_eq!(recipe.missing, ["ingredient.3"]);
    let yard = of(
        "yard",
        1,
        &[("day", "2026-08-01"), ("yard", "lane"), ("latitude", "52")],
    );
    assert_eq!(yard.missing, ["longitude"]);
}

#[test]
fn texts_stay_texts_whatever_is_in_them() {
    for text in [
        "into",
        "nine",
        "a # b",
        "anyway",
        "x\" note \"y",
        "\"",
        "\"\"\"",
        "<b>bold</b>",
        "'); drop table entry; --",
    ] {
        let pairs = [
            ("day", "2026-05-01"),
            ("where", text),
            ("what", "set"),
            ("remark", text),
        ];
        let bait = of("bait", 0, &pairs);
        let note = read(&bait.line).unwrap_or_else(|error| panic!("{}\n{error:?}", bait.line));
        let keys: Vec<String> = fill(&note).into_keys().collect();
        assert_eq!(keys, ["day", "remark", "what", "where"], "{}", bait.line);
    }
    let bait = of(
        "bait",
        0,
        &[("day", "2026-05-01"), ("where", "\"old oak\""), ("what", "set")],
    );
    assert_eq!(bait.line, "2026-05-01 bait \"old oak\" set");
}

#[test]
fn the_field_to_blame_is_found_for_whatever_cannot_be_read() {
    let right = [
        ("day", "2026-07-19"),
        ("hour", "14:20"),
        ("bars.hive", "alder"),
        ("bars.places", "9"),
        ("comb", "4.6 kg"),
        ("into", "pail-12"),
    ];
    for (key, wrong) in [
        ("day", "19.7.2026"),
        ("day", "2026-02-30"),
        ("hour", "25:00"),
        ("bars.hive", "bars"),
        ("bars.hive", "<script>"),
        ("bars.places", "0"),
        ("bars.places", "9 10"),
        ("comb", "4.6"),
        ("comb", "4,6 kg"),
        ("comb", "some"),
        ("into", "pail 12"),
        ("into", "9"),
    ] {
        let mut said = filled(&right);
        said.insert(key.to_owned(), wrong.to_owned());
        let cut = composed(table().verb("cut").expect("a verb"), 1, &said);
        let error = read(&cut.line).expect_err("it is wrong");
        assert_eq!(
            key_at(&cut, error.at.clone()),
            Some(key),
            "{}\n{error:?}",
            cut.line
        );
    }
    let cut = of("cut", 1, &right);
    assert_eq!(key_at(&cut, 18..20), None, "the verb is nobody's field");
}

#[test]
fn what_a_blank_is_called_follows_from_the_pattern() {
    let labels = |word: &str, form: usize| {
        let shape = &table().verb(word).expect("a verb").shapes[form];
        blanks(shape, 1)
            .into_iter()
            .map(|blank| blank.label)
            .collect::<Vec<_>>()
            .join(", ")
    };
    assert_eq!(labels("cut", 1), "hive, bars, half, part, comb, into container");
    assert_eq!(
        labels("cut", 0),
        "hive, bars, half, part, comb, pieces, size, lot"
    );
    assert_eq!(labels("shift", 1), "hive, bars, to hive, place");
    assert_eq!(labels("add", 0), "hive, bars, at place");
    assert_eq!(
        labels("measure", 0),
        "hive, bars, ten cells, thickness, drones, face"
    );
    assert_eq!(
        labels("sell", 4),
        "count, lot, at, to person, from person, for, invoice"
    );
    assert_eq!(labels("rename", 0), "hive, to hive");
    assert_eq!(labels("recipe", 0), "recipe, ingredient, share");
    for entry in table().entries() {
        for (form, shape) in entry.shapes.iter().enumerate() {
            let blanks = blanks(shape, 1);
            let labels: BTreeSet<&str> = blanks.iter().map(|blank| blank.label.as_str()).collect();
            assert_eq!(
                labels.len(),
                blanks.len(),
                "{} form {form}: {labels:?}",
                entry.verb.word
            );
        }
    }
}

#[test]
fn no_two_forms_of_a_verb_sound_alike() {
    let of = |word: &str| {
        let shapes = &table().verb(word).expect("a verb").shapes;
        shapes.iter().map(spoken).collect::<Vec<_>>().join(" / ")
    };
    assert_eq!(of("cut"), "bars into pieces of size lot / bars into container");
    assert_eq!(of("weigh"), "container gross tare / container net / hive mass");
    for entry in table().entries() {
        let spoken: BTreeSet<String> = entry.shapes.iter().map(spoken).collect();
        assert_eq!(
            spoken.len(),
            entry.shapes.len(),
            "{}: {spoken:?}",
            entry.verb.word
        );
    }
}
