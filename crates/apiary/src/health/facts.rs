//! What can be said about mites and symptoms. Nothing here is a diagnosis.

use crate::note::table::{Form, Verb};

/// The verbs of this topic.
pub(crate) const VERBS: &[Verb] = &[
    Verb {
        word: "wash",
        says: "Bees are washed in alcohol or soap, and the mites counted.",
        forms: &[Form {
            subject: "{colony:colony}",
            details: &[
                "!bees {bees:count}",
                "!mites {mites:count}",
                "in {in:alcohol|soap}",
            ],
        }],
        examples: &["2026-06-15 wash alder bees 300 mites 6"],
    },
    Verb {
        word: "roll",
        says: "Bees are rolled in sugar, and the mites counted.",
        forms: &[
            Form {
                subject: "{colony:colony}",
                details: &["!cup {cup:volume}", "!mites {mites:count}"],
            },
            Form {
                subject: "{colony:colony}",
                details: &["!bees {bees:count}", "!mites {mites:count}"],
            },
        ],
        examples: &["2026-06-15 roll birch cup 118 ml mites 4"],
    },
    Verb {
        word: "drop",
        says: "Mites that fell by themselves are counted.",
        forms: &[Form {
            subject: "{colony:colony}",
            details: &["!days {days:count}", "!mites {mites:count}"],
        }],
        examples: &["2026-06-18 drop alder days 3 mites 12"],
    },
    Verb {
        word: "sign",
        says: "A symptom is seen. What it means is for the bee inspector to say.",
        forms: &[
            Form {
                subject: "{bars:bars} {what:text}",
                details: &["in {in:count}"],
            },
            Form {
                subject: "{colony:colony} {what:text}",
                details: &["in {in:count}"],
            },
        ],
        examples: &["2026-08-20 sign birch bar 3 \"sunken, perforated cappings\""],
    },
    Verb {
        word: "brood-test",
        says: "Brood killed for a test is counted again after some hours.",
        forms: &[Form {
            subject: "{colony:colony}",
            details: &[
                "!cells {cells:count}",
                "!removed {removed:count}",
                "after {after:duration}",
                "by {by:pin|freezing}",
            ],
        }],
        examples: &["2026-07-02 brood-test alder cells 100 removed 92 after 24h by pin"],
    },
];
