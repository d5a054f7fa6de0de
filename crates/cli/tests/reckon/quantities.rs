//! Quantities as they are typed: what is read alike, and what is refused of every kind.

use crate::{answer, refused};

#[test]
fn units_are_read_with_and_without_a_space_and_by_their_names() {
    let plain = answer(&["density", "--moisture", "17.4%", "--temp", "25 C"]);
    for (moisture, temp) in [
        ("17.4 %", "25C"),
        ("17.4 percent", "25 °C"),
        (" 17.4% ", "25 celsius"),
        ("+17.40%", "77 F"),
        ("17.4%", "77 Fahrenheit"),
    ] {
        assert_eq!(
            answer(&["density", "--moisture", moisture, "--temp", temp]),
            plain
        );
    }
    let grams = answer(&[
        "jars",
        "--honey",
        "20000 g",
        "--net",
        "0.34kg",
        "--moisture",
        "17%",
    ]);
    assert_eq!(grams["jars"], 58);
}

#[test]
fn values_that_begin_with_a_minus_reach_their_flag() {
    let beside = ["share", "--weights", "1,1", "--amount", "-0.10 GBP"];
    let after = ["share", "--weights", "1,1", "--amount=-0.10 GBP"];
    assert_eq!(answer(&beside), answer(&after));
    assert_eq!(answer(&beside)["shares"], serde_json::json!([-5, -5]));
}

#[test]
fn what_is_no_quantity_is_refused() {
    for temp in [
        "25", "C", "", " ", "25 K", "25 kg", "25,0 C", "NaN C", "inf", "-inf C", "1e999 C", "2e1 C",
        "0x19 C", "25 C C", "2 5 C", "--25 C", "25. C", "2.5.0 C", "1/2 C", "25 c",
    ] {
        refused("--temp", &["density", "--moisture", "17.4%", "--temp", temp]);
    }
    for honey in [
        "1-1/4 kg",
        "1-1/3 lb",
        "1-5/4 lb",
        "1/0 lb",
        "-1/2 lb",
        "1/2/2 lb",
        "1 ton",
        "1_000 g",
        "1 000 g",
        "0.00000000000000000000000000001 kg",
        "9999999999999999999999999999 t",
    ] {
        refused(
            "--honey",
            &["jars", "--honey", honey, "--net", "340g", "--moisture", "17.5%"],
        );
    }
}

#[test]
fn a_comma_is_refused_with_the_hint_that_the_point_is_the_decimal_sign() {
    let put_out = crate::reckon(&["moisture", "--index", "1,4915"]);
    let said = String::from_utf8_lossy(&put_out.stderr).into_owned();
    assert!(said.contains("the decimal sign is the point"), "{said}");
}

#[test]
fn json_has_no_float_noise() {
    for line in [
        &["moisture", "--index", "1.4915", "--temp", "23.3 C"][..],
        &["density", "--moisture", "17.77%", "--temp", "71 F"],
        &[
            "jars",
            "--honey",
            "7.77 lb",
            "--net",
            "11.9 oz",
            "--moisture",
            "17.3%",
        ],
        &["cells", "--width", "5.37mm"],
        &[
            "section",
            "--drum",
            "diameter=57.3cm,depth=28.1cm",
            "--length",
            "33.7in",
        ],
    ] {
        let found = answer(line);
        for (key, value) in found.as_object().unwrap() {
            if value.is_f64() {
                let decimals = value
                    .to_string()
                    .split_once('.')
                    .map_or(0, |(_, digits)| digits.len());
                assert!(decimals <= 6, "{key} is {value}");
            }
        }
    }
}
