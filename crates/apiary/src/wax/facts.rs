//! What can be said about wax.

use crate::note::table::{Form, Verb};

/// The verbs of this topic.
pub(crate) const VERBS: &[Verb] = &[
    Verb {
        word: "melt",
        says: "Residue or comb is melted and its wax run off.",
        forms: &[
            Form {
                subject: "{container:container} residue {residue:mass}",
                details: &["!wax {wax:mass}", "!into {into:container?}", "loss {loss:mass}"],
            },
            Form {
                subject: "{container:container} comb {comb:mass}",
                details: &["!wax {wax:mass}", "!into {into:container?}", "loss {loss:mass}"],
            },
        ],
        examples: &["2026-07-25 melt pail-12 residue 0.9 kg wax 0.34 kg into wax-2 loss 0.56 kg"],
    },
    Verb {
        word: "cast",
        says: "Wax is cast into blocks or candles as a lot.",
        forms: &[Form {
            subject: "{container:container} {goods:goods}",
            details: &["!lot {lot:lot?}", "emptied"],
        }],
        examples: &["2026-07-26 cast wax-2 4 blocks of 50 g lot W26"],
    },
];
