//! The words for units.

use quantity::{Unit, UnitKind};

#[test]
fn every_unit_is_read_back_from_its_own_spelling() {
    for unit in Unit::ALL {
        assert_eq!(Unit::from_word(unit.as_str()), Some(unit), "{unit}");
        assert_eq!(unit.to_string(), unit.as_str());
    }
}

#[test]
fn every_unit_stands_once_in_the_list_of_all() {
    for (place, unit) in Unit::ALL.into_iter().enumerate() {
        assert_eq!(unit as usize, place);
    }
}

#[test]
fn spoken_british_and_american_words_are_units() {
    for (words, unit) in [
        ("kilo kilos Kilograms kilogrammes KG Kg", Unit::Kg),
        ("gram grams grammes", Unit::G),
        ("milligrams", Unit::Mg),
        ("tonne tonnes", Unit::T),
        ("pound pounds lbs LBS LB", Unit::Lb),
        ("ounce Ounces OZ Oz", Unit::Oz),
        ("millimetre millimeters", Unit::Mm),
        ("centimetres centimeter", Unit::Cm),
        ("metres meters", Unit::M),
        ("kilometre kilometers", Unit::Km),
        ("inch inches", Unit::In),
        ("foot feet", Unit::Ft),
        ("mile miles", Unit::Mi),
        ("mL ML millilitres milliliter", Unit::Ml),
        ("cL centilitres", Unit::Cl),
        ("L litre litres liter Liters", Unit::L),
        ("fluid-ounce fluid-ounces fl-oz", Unit::Floz),
        ("gallon gallons", Unit::Gal),
        ("quart quarts", Unit::Qt),
        ("pint pints", Unit::Pt),
        ("°C celsius", Unit::C),
        ("°F Fahrenheit", Unit::F),
        ("percent per-cent", Unit::Percent),
        ("cm²", Unit::Cm2),
        ("dm²", Unit::Dm2),
        ("m²", Unit::M2),
        ("in²", Unit::In2),
    ] {
        for word in words.split(' ') {
            assert_eq!(Unit::from_word(word), Some(unit), "{word}");
        }
    }
    assert_eq!(Unit::from_word("fl oz"), Some(Unit::Floz));
}

#[test]
fn a_word_that_could_be_two_units_or_none_is_refused() {
    for word in [
        "", "ton", "tons", "M", "Mg", "Mm", "c", "f", "stone", "bars", "%%", "k g",
    ] {
        assert_eq!(Unit::from_word(word), None, "{word:?}");
    }
}

#[test]
fn every_unit_measures_one_thing() {
    let kinds = |kind| Unit::ALL.into_iter().filter(|unit| unit.kind() == kind).count();
    assert_eq!(kinds(UnitKind::Mass), 6);
    assert_eq!(kinds(UnitKind::Length), 7);
    assert_eq!(kinds(UnitKind::Volume), 7);
    assert_eq!(kinds(UnitKind::Temperature), 2);
    assert_eq!(kinds(UnitKind::Percent), 1);
    assert_eq!(kinds(UnitKind::Area), 4);
}
