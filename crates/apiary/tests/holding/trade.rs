//! Prices asked, orders and invoices.

use crate::{farm, on};

#[test]
fn the_newest_price_of_a_product_a_size_and_a_place_is_asked() {
    let farm = farm(
        "2025-07-18 price honey 340 g 6.50 GBP at stall
         2025-07-18 price honey 454 g 8.20 GBP at stall
         2025-07-18 price honey 340 g 6.00 GBP
         2025-07-19 price comb 340 g 7.50 GBP at stall
         2026-07-17 price honey 0.34 kg 6.80 GBP at stall",
    );
    let asked: Vec<String> = farm
        .holding
        .stock
        .prices
        .iter()
        .map(|asked| {
            let at = asked.at.as_deref().unwrap_or("-");
            format!(
                "{} {} {} {at} {} {}",
                asked.product, asked.size, asked.price, asked.since, asked.entry
            )
        })
        .collect();
    assert_eq!(
        asked,
        [
            "honey 0.34 kg 6.80 GBP stall 2026-07-17 4",
            "honey 454 g 8.20 GBP stall 2025-07-18 1",
            "honey 340 g 6.00 GBP - 2025-07-18 2",
            "comb 340 g 7.50 GBP stall 2025-07-19 3",
        ]
    );
}

#[test]
fn an_order_keeps_who_wants_what_by_when() {
    let farm = farm(
        "2026-08-04 order from p-14 12 jars of 340 g by 2026-08-20 for 75.00 GBP number \"O-2\"
         2026-08-05 order from p-15 2 kg of wax",
    );
    let orders: Vec<_> = farm
        .holding
        .stock
        .orders
        .iter()
        .map(|order| (order.entry, order.person.as_str(), order.goods.as_str(), order.by))
        .collect();
    assert_eq!(
        orders,
        [
            (0, "p-14", "12 jars of 340 g", Some(on("2026-08-20"))),
            (1, "p-15", "2 kg of wax", None)
        ]
    );
    let first = &farm.holding.stock.orders[0];
    assert_eq!(first.for_money.map(|sum| sum.minor()), Some(7_500));
    assert_eq!(
        (first.day, first.number.as_deref()),
        (on("2026-08-04"), Some("O-2"))
    );
}

#[test]
fn an_invoice_is_paid_by_the_payments_that_say_its_number() {
    let farm = farm(
        "2026-08-05 invoice \"26-014\" to p-14 78.00 GBP due 2026-09-04
         2026-08-06 invoice \"26-015\" to p-14 20.00 GBP
         2026-08-30 paid 50.00 GBP by p-14 invoice \"26-014\"
         2026-08-31 paid 20.00 GBP by p-14
         2026-09-01 paid 20.00 GBP by p-14 invoice \"26-014\"
         2026-09-02 paid 8.00 EUR by p-14 invoice \"26-014\"
         2026-09-03 paid 5.00 GBP invoice \"25-001\"",
    );
    let invoices = &farm.holding.stock.invoices;
    let first = &invoices["26-014"];
    assert_eq!((first.paid, first.owed(), first.entry), (7_000, 800, 0));
    assert_eq!(first.paid_entries, [2, 4]);
    assert_eq!(
        (first.due, first.person.as_str()),
        (Some(on("2026-09-04")), "p-14")
    );
    assert_eq!((invoices["26-015"].paid, invoices["26-015"].due), (0, None));
    assert_eq!(invoices.len(), 2);
}

#[test]
fn an_invoice_sent_twice_is_odd_and_keeps_what_was_paid() {
    let farm = farm(
        "2026-08-05 invoice \"26-014\" to p-14 78.00 GBP
         2026-08-30 paid 50.00 GBP invoice \"26-014\"
         2026-08-31 invoice \"26-014\" to p-14 80.00 GBP due 2026-09-30",
    );
    let invoice = &farm.holding.stock.invoices["26-014"];
    assert_eq!((invoice.entry, invoice.owed()), (2, 3_000));
    let odd: Vec<_> = farm
        .holding
        .complaints
        .iter()
        .map(|complaint| (complaint.says.as_str(), complaint.about.as_slice()))
        .collect();
    assert_eq!(
        odd,
        [("invoice 26-014 was sent on 2026-08-05 already", &[2, 0][..])]
    );
}
