//! What can be said about cash, wear, hours and travel.

use crate::note::table::{Form, Verb};

/// The verbs of this topic.
pub(crate) const VERBS: &[Verb] = &[
    Verb {
        word: "start",
        says: "What was there when the books began.",
        forms: &[
            Form {
                subject: "cash {cash:money}",
                details: &[],
            },
            Form {
                subject: "{hive:hive} {drawn:count} bar|bars drawn",
                details: &["as {colony:colony+}", "without bees"],
            },
            Form {
                subject: "{goods:goods}",
                details: &["lot {lot:lot?}"],
            },
            Form {
                subject: "{container:container?} {mass:mass} {of:honey|wax|comb}",
                details: &[],
            },
        ],
        examples: &[
            "2026-03-01 start cash 300.00 GBP",
            "2026-03-01 start birch 12 bars drawn",
            "2026-03-01 start 24 jars of 454 g",
            "2026-03-01 start tank-1 3.2 kg honey",
        ],
    },
    Verb {
        word: "spend",
        says: "Money is spent; goods bought for use become stock.",
        forms: &[
            Form {
                subject: "{amount:money} on {goods:goods}",
                details: &["from {from:text}", "batch {batch:text}"],
            },
            Form {
                subject: "{amount:money} on {what:text}",
                details: &["from {from:text}"],
            },
        ],
        examples: &[
            "2026-03-02 spend 49.80 GBP on 60 jars of 340 g",
            "2026-03-02 spend 12.35 GBP on \"strainer cloth\"",
            "2026-03-02 spend 9.00 GBP on 0.5 kg of shea",
        ],
    },
    Verb {
        word: "receive",
        says: "Money comes in for something that is not in stock.",
        forms: &[Form {
            subject: "{amount:money} for {for:text}",
            details: &["from {from:text}"],
        }],
        examples: &["2026-03-02 receive 25.00 GBP for class"],
    },
    Verb {
        word: "own",
        says: "A thing is bought that lasts; it wears off over its life.",
        forms: &[Form {
            subject: "{what:text} {price:money} life {life:count} year|years",
            details: &["left {left:money}"],
        }],
        examples: &["2026-03-02 own melter 180.00 GBP life 10 years"],
    },
    Verb {
        word: "offcut",
        says: "A piece of wood is left for later.",
        forms: &[Form {
            subject: "{wood:text} {length:length} x {width:length} x {thickness:length}",
            details: &["count {count:count}", "*bad {bad_from:length} to {bad_to:length}"],
        }],
        examples: &[
            "2026-03-02 offcut pine 610 mm x 140 mm x 20 mm",
            "2026-03-02 offcut pallet 1180 mm x 95 mm x 20 mm count 12 bad 0 mm to 40 mm bad 570 mm to 620 mm",
        ],
    },
    Verb {
        word: "hours",
        says: "Time was worked.",
        forms: &[Form {
            subject: "{time:duration} {task:text}",
            details: &["by {by:text}", "in {yard:yard}"],
        }],
        examples: &["2026-07-19 hours 2h30 harvest"],
    },
    Verb {
        word: "travel",
        says: "A way was driven or walked for the bees.",
        forms: &[Form {
            subject: "{yard:yard} {distance:length}",
            details: &["for {for:text}"],
        }],
        examples: &["2026-07-19 travel orchard 14 km"],
    },
    Verb {
        word: "rate",
        says: "What one unit of a currency is worth in another on a day.",
        forms: &[Form {
            subject: "{one:money} is {worth:money}",
            details: &["from {from:text}"],
        }],
        examples: &["2026-08-01 rate 1.00 EUR is 0.86 GBP"],
    },
];
