//! Money: its decimals, its currencies and its shares.

use proptest::prelude::*;
use quantity::{Currency, Money, share};

use crate::{cases, decimal};

fn currency(letters: &str) -> Currency {
    Currency::new(letters).expect("the test names a currency")
}

#[test]
fn a_currency_is_three_capital_letters() {
    for letters in ["", "GB", "GBPS", "gbp", "GB1", "£££", "G P"] {
        assert_eq!(Currency::new(letters), None, "{letters:?}");
    }
    assert_eq!(currency("GBP").as_str(), "GBP");
    assert_eq!(currency("GBP").to_string(), "GBP");
}

#[test]
fn a_currency_has_its_own_decimals() {
    for (letters, digits) in [
        ("GBP", 2),
        ("EUR", 2),
        ("JPY", 0),
        ("ISK", 0),
        ("KWD", 3),
        ("TND", 3),
    ] {
        assert_eq!(currency(letters).minor_digits(), digits, "{letters}");
    }
}

#[test]
fn money_prints_with_all_the_decimals_of_its_currency() {
    for (minor, letters, printed) in [
        (3_900, "GBP", "39.00 GBP"),
        (-5, "GBP", "-0.05 GBP"),
        (0, "EUR", "0.00 EUR"),
        (1_250, "JPY", "1250 JPY"),
        (1_250, "KWD", "1.250 KWD"),
        (i64::MIN, "USD", "-92233720368547758.08 USD"),
    ] {
        assert_eq!(Money::new(minor, currency(letters)).to_string(), printed);
    }
}

#[test]
fn an_amount_with_more_decimals_than_the_currency_is_refused() {
    let pounds = currency("GBP");
    assert_eq!(
        Money::from_decimal(decimal("6.5"), pounds),
        Some(Money::new(650, pounds))
    );
    assert_eq!(
        Money::from_decimal(decimal("-6.50"), pounds),
        Some(Money::new(-650, pounds))
    );
    assert_eq!(Money::from_decimal(decimal("6.500"), pounds), None);
    assert_eq!(Money::from_decimal(decimal("0.5"), currency("JPY")), None);
    assert_eq!(Money::from_decimal(decimal("92233720368547758.08"), pounds), None);
    assert_eq!(
        Money::from_decimal(decimal("92233720368547758.07"), pounds),
        Some(Money::new(i64::MAX, pounds))
    );
}

#[test]
fn pounds_and_euros_are_not_added() {
    let (pounds, euros) = (Money::new(100, currency("GBP")), Money::new(100, currency("EUR")));
    assert_eq!(pounds.checked_add(euros), None);
    assert_eq!(pounds.checked_sub(euros), None);
    assert_eq!(pounds.checked_add(pounds), Some(Money::new(200, currency("GBP"))));
    assert_eq!(pounds.checked_sub(pounds), Some(Money::new(0, currency("GBP"))));
    assert_eq!(pounds.checked_mul(-3), Some(Money::new(-300, currency("GBP"))));
    assert_eq!(Money::new(i64::MAX, currency("GBP")).checked_add(pounds), None);
    assert_eq!(Money::new(i64::MIN, currency("GBP")).checked_sub(pounds), None);
    assert_eq!(Money::new(i64::MAX, currency("GBP")).checked_mul(2), None);
}

#[test]
fn three_thirds_of_ten_pounds_are_ten_pounds() {
    assert_eq!(share(1_000, &[1, 1, 1]), Some(vec![334, 333, 333]));
    assert_eq!(share(-1_000, &[1, 1, 1]), Some(vec![-334, -333, -333]));
}

#[test]
fn the_largest_remainder_gets_the_odd_penny() {
    // 10 · 15/26, 10 · 6/26 and 10 · 5/26 are 5.77, 2.31 and 1.92: the third and the first are rounded up.
    assert_eq!(share(10, &[15, 6, 5]), Some(vec![6, 2, 2]));
    assert_eq!(share(7, &[0, 2, 0]), Some(vec![0, 7, 0]));
}

#[test]
fn nothing_is_shared_without_weights() {
    assert_eq!(share(100, &[]), None);
    assert_eq!(share(100, &[0, 0]), None);
    assert_eq!(share(0, &[3, 4]), Some(vec![0, 0]));
}

#[test]
fn the_largest_amounts_and_weights_fit() {
    assert_eq!(share(i64::MIN, &[u64::MAX]), Some(vec![i64::MIN]));
    let halves = share(i64::MAX, &[u64::MAX, u64::MAX]).unwrap();
    assert_eq!(halves, [4_611_686_018_427_387_904, 4_611_686_018_427_387_903]);
}

#[test]
fn money_is_shared_in_its_currency() {
    let shares = Money::new(500, currency("EUR")).share(&[2, 1]).unwrap();
    assert_eq!(
        shares,
        [Money::new(333, currency("EUR")), Money::new(167, currency("EUR"))]
    );
}

#[test]
fn every_small_share_is_within_a_penny_of_its_due() {
    for (cents, first, second) in
        (0..500).flat_map(|cents| (0..12).map(move |first| (cents, first, 11 - first)))
    {
        let weights = [first, second, 5];
        let parts = share(cents, &weights).unwrap();
        assert_eq!(parts.iter().sum::<i64>(), cents);
        for (part, weight) in parts.iter().zip(weights) {
            let due = cents as f64 * weight as f64 / 16.0;
            assert!(
                (*part as f64 - due).abs() < 1.0,
                "{cents} by {weights:?}: {parts:?}"
            );
        }
    }
}

proptest! {
    #![proptest_config(cases(512))]

    #[test]
    fn shares_sum_to_the_whole(amount in any::<i64>(), weights in prop::collection::vec(any::<u64>(), 1..40)) {
        prop_assume!(weights.iter().any(|&weight| weight > 0));
        let parts = share(amount, &weights).unwrap();
        prop_assert_eq!(parts.len(), weights.len());
        prop_assert_eq!(parts.iter().map(|&part| i128::from(part)).sum::<i128>(), i128::from(amount));
        prop_assert!(parts.iter().all(|part| part.signum() * amount.signum() >= 0));
    }

    #[test]
    fn money_comes_back_from_its_decimal(minor in any::<i64>(), letters in "(GBP|JPY|KWD)") {
        let money = Money::new(minor, currency(&letters));
        prop_assert_eq!(Money::from_decimal(money.to_decimal(), money.currency()), Some(money));
    }
}
