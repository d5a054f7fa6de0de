//! Money shared, and article numbers.

use serde_json::json;

use crate::{answer, has_source, refused};

#[test]
fn ten_pounds_in_three_lose_no_penny() {
    let found = answer(&["share", "--amount", "10.00 GBP", "--weights", "1,1,1"]);
    assert_eq!(found["shares"], json!([334, 333, 333]));
    assert_eq!(found["currency"], "GBP");
}

#[test]
fn the_shares_of_any_amount_sum_to_it() {
    for (amount, minor) in [
        ("0.01 GBP", 1),
        ("-10.00 GBP", -1_000),
        ("99.99EUR", 9_999),
        ("100 JPY", 100),
        ("1.001 KWD", 1_001),
        ("92233720368547758.07 USD", i64::MAX),
    ] {
        for weights in ["1", "1,1,1", "3,0,2,7", "0.5, 1.25, 2", "1,999999999999"] {
            let found = answer(&["share", "--amount", amount, "--weights", weights]);
            let shares = found["shares"].as_array().unwrap();
            let sum: i64 = shares.iter().map(|share| share.as_i64().unwrap()).sum();
            assert_eq!(sum, minor, "{amount} by {weights}");
            assert_eq!(shares.len(), weights.split(',').count());
        }
    }
}

#[test]
fn weights_may_have_decimals() {
    let found = answer(&["share", "--amount", "7.00 GBP", "--weights", "0.5,1,2"]);
    assert_eq!(found["shares"], json!([100, 200, 400]));
}

#[test]
fn money_that_cannot_be_counted_is_refused() {
    let amounts = [
        "10.00",
        "10.005 GBP",
        "10,00 GBP",
        "10.00 gbp",
        "10.00 pounds",
        "GBP",
        "NaN GBP",
        "1e999 GBP",
        "92233720368547758.08 USD",
        "1/2 GBP",
        "",
    ];
    for amount in amounts {
        refused("--amount", &["share", "--amount", amount, "--weights", "1,1"]);
    }
    refused("--amount", &["share", "--weights", "1,1"]);
}

#[test]
fn weights_that_share_nothing_are_refused() {
    for weights in [
        "",
        "0",
        "0,0",
        "1,-1",
        "1,,1",
        "1,x",
        "1,2kg",
        "inf,1",
        "99999999999999999999",
    ] {
        refused(
            "--weights",
            &["share", "--amount", "10.00 GBP", "--weights", weights],
        );
    }
    refused("--weights", &["share", "--amount", "10.00 GBP"]);
}

#[test]
fn article_numbers_get_their_printed_check_digit() {
    for (body, full) in [
        ("400638133393", "4006381333931"),
        ("730001100001", "7300011000017"),
        ("501001708843", "5010017088439"),
    ] {
        let found = answer(&["gtin", "--body", body]);
        assert_eq!(found["gtin"], full);
        assert!(has_source(&found, "gs1-general"));
    }
    let leading_zeros = answer(&["gtin", "--body", "0000000"]);
    assert_eq!(leading_zeros["gtin"], "00000000");
}

#[test]
fn a_body_that_is_a_whole_number_already_is_remarked() {
    assert!(crate::has_note(
        &answer(&["gtin", "--body", "4006381333931"]),
        "already ends in a check digit"
    ));
    assert!(!crate::has_note(
        &answer(&["gtin", "--body", "400638133393"]),
        "already ends in a check digit"
    ));
}

#[test]
fn what_is_no_article_number_is_refused() {
    for body in [
        "",
        "123",
        "40063813339311",
        "40063813339x",
        "4006 3813 3393",
        "-1234567",
        "١٢٣٤٥٦٧",
    ] {
        refused("--body", &["gtin", "--body", body]);
    }
    refused("--body", &["gtin"]);
}
