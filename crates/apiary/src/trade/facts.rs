//! What can be said about selling, lending, giving and counting.

use crate::note::table::{Form, Verb};

/// The verbs of this topic.
pub(crate) const VERBS: &[Verb] = &[
    Verb {
        word: "price",
        says: "What a product is to fetch at a place.",
        forms: &[Form {
            subject: "{product:product} {size:amount} {price:money}",
            details: &["at {at:text}"],
        }],
        examples: &["2026-08-03 price honey 340 g 6.50 GBP at stall"],
    },
    Verb {
        word: "order",
        says: "Somebody orders goods.",
        forms: &[Form {
            subject: "from {person:person} {goods:goods}",
            details: &["by {by:day}", "for {for:money}", "number {number:text}"],
        }],
        examples: &["2026-08-04 order from p-14 12 jars of 340 g by 2026-08-20"],
    },
    Verb {
        word: "invoice",
        says: "An invoice is sent.",
        forms: &[Form {
            subject: "{number:text} to {person:person} {amount:money}",
            details: &["due {due:day}"],
        }],
        examples: &["2026-08-05 invoice \"26-014\" to p-14 78.00 GBP due 2026-09-04"],
    },
    Verb {
        word: "paid",
        says: "Money owed comes in.",
        forms: &[Form {
            subject: "{amount:money}",
            details: &["by {person:person}", "invoice {invoice:text}", "at {at:text}"],
        }],
        examples: &["2026-08-30 paid 78.00 GBP by p-14 invoice \"26-014\""],
    },
    Verb {
        word: "sell",
        says: "Goods, a nucleus with its bars, a colony, a queen or a hive is sold.",
        forms: &[
            Form {
                subject: "nucleus {bars:bars}",
                details: SALE,
            },
            Form {
                subject: "colony {colony:colony}",
                details: SALE,
            },
            Form {
                subject: "queen of {colony:colony}",
                details: SALE,
            },
            Form {
                subject: "hive {hive:hive}",
                details: SALE,
            },
            Form {
                subject: "{count:count} of {lot:lot}",
                details: SALE,
            },
            Form {
                subject: "{goods:goods}",
                details: SALE,
            },
        ],
        examples: &[
            "2026-08-08 sell 6 of A26 at stall for 39.00 GBP",
            "2026-08-08 sell 2 of A26 to p-14 for 13.00 GBP",
            "2026-05-30 sell nucleus alder bars 3 to 6 to p-14 for 140.00 GBP",
        ],
    },
    Verb {
        word: "consign",
        says: "Goods are left at a shop, sale or return, or come back from there.",
        forms: &[
            Form {
                subject: "back {count:count} of {lot:lot} from {person:person}",
                details: &[],
            },
            Form {
                subject: "{count:count} of {lot:lot} to {person:person}",
                details: &[],
            },
        ],
        examples: &[
            "2026-08-09 consign 2 of A26 to p-15",
            "2026-09-09 consign back 1 of A26 from p-15",
        ],
    },
    Verb {
        word: "give",
        says: "Goods are given away.",
        forms: &[Form {
            subject: "{count:count} of {lot:lot}",
            details: &["to {person:person}", "for {for:text}"],
        }],
        examples: &["2026-08-09 give 1 of A26"],
    },
    Verb {
        word: "take",
        says: "Goods are taken for the keeper's own table.",
        forms: &[Form {
            subject: "{count:count} of {lot:lot}",
            details: &["for {for:text}"],
        }],
        examples: &["2026-08-10 take 1 of A26"],
    },
    Verb {
        word: "refund",
        says: "Money goes back to a buyer; a piece that is not spoilt goes back to stock.",
        forms: &[Form {
            subject: "{count:count} of {lot:lot} {amount:money}",
            details: &["spoilt", "to {person:person}"],
        }],
        examples: &["2026-08-11 refund 1 of A26 6.50 GBP spoilt"],
    },
    Verb {
        word: "spoil",
        says: "Goods, full or empty, are broken or spoilt.",
        forms: &[
            Form {
                subject: "{count:count} of {lot:lot}",
                details: &["because {because:text}"],
            },
            Form {
                subject: "{goods:goods}",
                details: &["because {because:text}"],
            },
        ],
        examples: &["2026-08-09 spoil 1 of B26", "2026-08-09 spoil 1 jar of 340 g"],
    },
    Verb {
        word: "discard",
        says: "Some of what a container holds is thrown away.",
        forms: &[Form {
            subject: "{container:container} {mass:mass}",
            details: &["emptied", "because {because:text}"],
        }],
        examples: &["2026-08-12 discard wax-2 0.02 kg"],
    },
    Verb {
        word: "tally",
        says: "What is on the shelf is counted.",
        forms: &[
            Form {
                subject: "{goods:goods}",
                details: &[],
            },
            Form {
                subject: "{lot:lot} {count:count}",
                details: &[],
            },
        ],
        examples: &["2026-08-15 tally A26 1", "2026-08-15 tally 40 jars of 340 g"],
    },
];

const SALE: &[&str] = &[
    "at {at:text}",
    "to {person:person}",
    "from {shop:person}",
    "for {for:money}",
    "invoice {invoice:text}",
];
