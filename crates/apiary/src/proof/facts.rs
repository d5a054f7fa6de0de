//! What can be said about samples, papers and consent.

use crate::note::table::{Form, Verb};

/// The verbs of this topic.
pub(crate) const VERBS: &[Verb] = &[
    Verb {
        word: "sample",
        says: "A sample is taken and sent off.",
        forms: &[
            Form {
                subject: "of {lot:lot}",
                details: SAMPLE,
            },
            Form {
                subject: "from {container:container}",
                details: SAMPLE,
            },
            Form {
                subject: "in {colony:colony}",
                details: SAMPLE,
            },
        ],
        examples: &["2026-08-14 sample of A26 number \"S-1\" to \"county laboratory\""],
    },
    Verb {
        word: "result",
        says: "What a laboratory found in a sample.",
        forms: &[Form {
            subject: "{number:text} {found:text}",
            details: &["by {by:text}"],
        }],
        examples: &["2026-09-14 result \"S-1\" \"no residues found\" by \"county laboratory\""],
    },
    Verb {
        word: "attach",
        says: "A picture, a spoken remark, a paper or a series of readings is kept with the books.",
        forms: &[Form {
            subject: "{what:photo|voice|paper|series} {file:text}",
            details: &["of {of:text}", "digest {digest:text}"],
        }],
        examples: &["2026-08-20 attach photo \"birch-3.jpg\" of \"birch bar 3\""],
    },
    Verb {
        word: "issue",
        says: "An evidence pack is handed out.",
        forms: &[Form {
            subject: "{pack:text} to {to:text}",
            details: &["digest {digest:text}"],
        }],
        examples: &["2026-10-01 issue \"evidence 2026\" to \"the inspector\""],
    },
    Verb {
        word: "consent",
        says: "Somebody agrees to something, or no longer does.",
        forms: &[
            Form {
                subject: "{person:person} withdrawn {to:text}",
                details: &[],
            },
            Form {
                subject: "{person:person} {to:text}",
                details: &["until {until:day}"],
            },
        ],
        examples: &["2026-03-03 consent p-14 \"name on the stall's list\""],
    },
];

const SAMPLE: &[&str] = &["number {number:text}", "to {to:text}", "for {for:text}"];
