//! Where sums come from: cash, spending, hours, goods, what hives gave.

use quantity::Currency;

use crate::{farm, two_hives_and};

fn pounds() -> Currency {
    Currency::new("GBP").expect("a currency")
}

#[test]
fn cash_by_month_tells_what_came_in_and_what_went_out() {
    let farm = farm(
        "2026-03-01 start cash 300.00 GBP
         2026-03-02 spend 49.80 GBP on 60 jars of 340 g
         2026-03-02 receive 25.00 GBP for class
         2026-03-05 own melter 180.00 GBP life 10 years
         2026-04-19 hours 2h30 harvest
         2026-08-01 start 10 jars of 340 g lot A26
         2026-08-08 sell 6 of A26 at stall for 39.00 GBP
         2026-08-11 refund 1 of A26 6.50 GBP spoilt
         2026-08-30 paid 78.00 GBP by p-14
         2026-08-31 sell 1 of A26
         2027-03-01 receive 3.00 EUR for wax",
    );
    let purse = &farm.holding.purse;
    let months: Vec<_> = purse
        .by_month
        .iter()
        .map(|((year, month, currency), (came_in, went_out))| {
            format!("{year}-{month} {currency} +{came_in} -{went_out}")
        })
        .collect();
    assert_eq!(
        months,
        [
            "2026-3 GBP +2500 -22980",
            "2026-8 GBP +11700 -650",
            "2027-3 EUR +300 -0"
        ]
    );
    let moved: i64 = purse
        .by_month
        .iter()
        .filter(|((_, _, currency), _)| *currency == pounds())
        .map(|(_, (came_in, went_out))| came_in - went_out)
        .sum();
    assert_eq!(purse.cash[&pounds()], 30_000 + moved);
    assert_eq!(purse.cash_entries, [0, 1, 2, 3, 6, 7, 8, 10]);
    assert_eq!(purse.spent_entries, [1]);
    assert_eq!(purse.hours_entries, [4]);
    assert_eq!(purse.owned[0].entry, 3);
}

#[test]
fn a_good_tells_whatever_changed_how_much_there_is() {
    let farm = farm(
        "2026-03-01 start 24 jars of 340 g
         2026-03-02 spend 9.00 GBP on 0.5 kg of shea
         2026-03-02 spend 49.80 GBP on 60 jars of 340 g
         2026-03-03 spoil 1 jar of 340 g
         2026-03-04 spoil 1 jar of 454 g
         2026-03-05 tally 80 jars of 340 g
         2026-03-06 spend 3.00 GBP on 100 ml of shea
         2026-07-01 start tank-1 8 kg honey
         2026-07-22 fill tank-1 12 jars of 340 g lot A26
         2026-08-01 recipe balm shea 100 %
         2026-08-02 make balm batch mix-7 shea 0.08 kg",
    );
    let goods = &farm.holding.stock.goods;
    assert_eq!(goods["jars of 340 g"].entries, [0, 2, 3, 5, 8]);
    assert_eq!(
        goods["shea"].entries,
        [1, 10],
        "a purchase by another measure is not added"
    );
}

#[test]
fn a_kilo_of_honey_tells_its_spending_its_hours_and_its_lots() {
    let farm = farm(
        "2026-03-02 spend 12.35 GBP on cloth
         2026-03-03 hours 2h30 harvest
         2026-03-04 own melter 180.00 GBP life 10 years
         2026-07-01 start tank-1 8 kg honey
         2026-07-01 start 4 jars of 340 g lot Z25
         2026-07-01 start wax-1 1 kg wax
         2026-07-22 fill tank-1 12 jars of 340 g lot A26
         2026-07-23 cast wax-1 4 blocks of 50 g lot W26
         2026-07-24 spend 2.00 GBP on labels",
    );
    let cost = apiary::money::answers::cost(&farm.holding, None);
    let lots: Vec<&str> = cost
        .lots
        .iter()
        .map(|lot| farm.holding.stock.lots[*lot].label.as_str())
        .collect();
    assert_eq!(lots, ["A26"]);
    assert_eq!(cost.spent_entries, [0, 8]);
    assert_eq!(cost.hours_entries, [1]);
    assert!((cost.honey_kg - 12.0 * 0.34).abs() < 1e-9);
}

#[test]
fn a_hive_tells_each_note_that_cut_from_it_once() {
    let farm = two_hives_and(
        "2026-04-01 start alder 9 bars drawn
         2026-04-01 start birch 9 bars drawn
         2026-07-18 cut alder bar 1 into 4 pieces of 300 g lot K26
         2026-07-19 cut alder bars 2 and 3 into pail-12
         2026-07-19 cut birch bar 1 into pail-12
         2026-07-20 cut alder bar 4 half into 2 pieces of 300 g lot K26
         2026-07-21 cut alder bar 5 into pail-13
         2026-07-21 look alder bar 6 drawn 8/8
         2026-07-22 rename hive alder to rowan",
    );
    let yields = apiary::honey::answers::yields(&farm.holding);
    let cut: Vec<_> = yields
        .iter()
        .map(|row| (row.hive.as_str(), row.combs, row.entries.as_slice()))
        .collect();
    assert_eq!(cut, [("rowan", 5, &[6, 7, 9, 10][..]), ("birch", 1, &[8])]);
}
