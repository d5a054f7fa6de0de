//! What can be said about flow, bloom, weather and visits.

use crate::note::table::{Form, Verb};

/// The verbs of this topic.
pub(crate) const VERBS: &[Verb] = &[
    Verb {
        word: "flow",
        says: "The honey flow begins or ends.",
        forms: &[Form {
            subject: "{what:begins|ends}",
            details: &["in {yard:yard}", "from {from:text}"],
        }],
        examples: &["2026-06-01 flow begins"],
    },
    Verb {
        word: "bloom",
        says: "A plant begins to flower, is in full flower, or has done.",
        forms: &[Form {
            subject: "{plant:text} {what:begins|full|ends}",
            details: &["in {yard:yard}"],
        }],
        examples: &["2026-06-01 bloom bramble begins"],
    },
    Verb {
        word: "weather",
        says: "The weather of a day, or a series of readings kept as an attachment.",
        forms: &[Form {
            subject: "{yard:yard}",
            details: &[
                "low {low:temperature}",
                "high {high:temperature}",
                "rain {rain:length}",
                "series {series:text}",
                "digest {digest:text}",
                "station {station:text}",
                "from {from:day}",
                "to {to:day}",
                "note {note:text}",
            ],
        }],
        examples: &["2026-07-01 weather orchard low 11 C high 24 C rain 3 mm"],
    },
    Verb {
        word: "land",
        says: "What a neighbour states about the land around a yard.",
        forms: &[Form {
            subject: "{yard:yard} {statement:text}",
            details: &["by {by:text}", "until {until:day}"],
        }],
        examples: &[
            "2026-03-20 land orchard \"no spraying in the hedge field this year\" by \"the neighbour\"",
        ],
    },
    Verb {
        word: "hazard",
        says: "Something near a yard that can harm bees or people.",
        forms: &[Form {
            subject: "{yard:yard} {what:text}",
            details: &["until {until:day}"],
        }],
        examples: &["2026-04-02 hazard orchard \"live wire along the ditch\""],
    },
    Verb {
        word: "visit",
        says: "Somebody visits a yard.",
        forms: &[Form {
            subject: "{yard:yard} {who:inspector|class|guests|buyer|helper}",
            details: &["count {count:count}", "note {note:text}"],
        }],
        examples: &["2026-10-04 visit orchard inspector"],
    },
];
