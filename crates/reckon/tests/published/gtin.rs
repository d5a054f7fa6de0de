//! Check digits of printed article numbers.

use reckon::gtin::{GtinError, gtin, is_gtin};

use crate::rows;

#[test]
fn every_printed_number_has_our_check_digit() {
    for row in rows(include_str!("gtin/table.csv")) {
        assert_eq!(gtin(row[0]).as_deref(), Ok(row[2]), "{row:?}");
        assert_eq!(row[2], format!("{}{}", row[0], row[1]), "{row:?}");
        assert!(is_gtin(row[2]), "{row:?}");
    }
}

#[test]
fn every_length_is_weighted_from_the_right() {
    for (body, full) in [
        ("0000001", "00000017"),
        ("0000010", "00000109"),
        ("00000000001", "000000000017"),
        ("000000000010", "0000000000109"),
        ("0000000000010", "00000000000109"),
        ("0000000", "00000000"),
    ] {
        assert_eq!(gtin(body).as_deref(), Ok(full));
    }
}

#[test]
fn other_lengths_and_letters_are_refused() {
    for digits in [0, 1, 6, 8, 9, 10, 14, 16, 17] {
        assert_eq!(gtin(&"1".repeat(digits)), Err(GtinError::Length { digits }));
    }
    for body in ["40063813339x", " 730001100001", "73000110000-", "４００６３８１"] {
        assert_eq!(gtin(body), Err(GtinError::NotDigits), "{body}");
    }
    assert_eq!(
        GtinError::Length { digits: 6 }.to_string(),
        "an article number without its check digit has 7, 11, 12 or 13 digits, not 6"
    );
    assert_eq!(
        GtinError::NotDigits.to_string(),
        "an article number is made of the digits 0 to 9 only"
    );
}

#[test]
fn a_wrong_digit_is_seen() {
    for wrong in [
        "7300011000016",
        "7300011000107",
        "730001100001",
        "",
        "7",
        "730001100001é",
    ] {
        assert!(!is_gtin(wrong), "{wrong}");
    }
}
