//! What can be said about honey, from the cut comb to the sealed jar.

use crate::note::table::{Form, Verb};

/// The verbs of this topic.
pub(crate) const VERBS: &[Verb] = &[
    Verb {
        word: "cut",
        says: "A comb, or part of one, is cut off its bar.",
        forms: &[
            Form {
                subject: "{bars:bars}",
                details: &[
                    "half",
                    "part",
                    "comb {comb:mass}",
                    "!into {pieces:count} piece|pieces of {size:mass}",
                    "!lot {lot:lot?}",
                ],
            },
            Form {
                subject: "{bars:bars}",
                details: &["half", "part", "comb {comb:mass}", "!into {into:container?}"],
            },
        ],
        examples: &[
            "2026-07-19 14:20 cut alder bars 9 and 10 into pail-12",
            "2026-07-19 14:40 cut birch bar 6 half into pail-12",
            "2026-07-22 cut birch bar 7 part comb 1.2 kg into 4 pieces of 300 g lot K26",
        ],
    },
    Verb {
        word: "crush",
        says: "The comb in a container is crushed.",
        forms: &[Form {
            subject: "{container:container}",
            details: &[],
        }],
        examples: &["2026-07-20 crush pail-12"],
    },
    Verb {
        word: "strain",
        says: "Crushed comb is strained: honey into another container, residue left, loss stated.",
        forms: &[Form {
            subject: "{container:container} into {into:container?}",
            details: &[
                "!honey {honey:mass}",
                "residue {residue:mass}",
                "loss {loss:mass}",
            ],
        }],
        examples: &["2026-07-20 strain pail-12 into tank-3 honey 4.9 kg residue 0.9 kg loss 0.1 kg"],
    },
    Verb {
        word: "read",
        says: "The water in honey is read with a refractometer.",
        forms: &[
            Form {
                subject: "{container:container} index {index:number}",
                details: &["at {at:temperature}", "compensated"],
            },
            Form {
                subject: "{container:container} water {water:percent}",
                details: &["at {at:temperature}", "compensated"],
            },
            Form {
                subject: "{container:container} brix {brix:number}",
                details: &["at {at:temperature}", "compensated"],
            },
        ],
        examples: &[
            "2026-07-21 read tank-3 index 1.4925 at 24 C",
            "2026-07-21 read tank-3 water 17.6 % compensated",
        ],
    },
    Verb {
        word: "warm",
        says: "Honey is kept warm for a time.",
        forms: &[Form {
            subject: "{container:container} to {to:temperature} for {for:duration}",
            details: &[],
        }],
        examples: &["2026-07-22 warm tank-3 to 38 C for 12h"],
    },
    Verb {
        word: "blend",
        says: "Honey, wax or a batch goes from one container into another.",
        forms: &[Form {
            subject: "{container:container?} {mass:mass} into {into:container?}",
            details: &["emptied"],
        }],
        examples: &["2026-07-21 blend tank-1 0.27 kg into tank-3"],
    },
    Verb {
        word: "fill",
        says: "Jars are filled and sealed as a lot; empty jars leave the stock.",
        forms: &[Form {
            subject: "{container:container} {goods:goods}",
            details: &["!lot {lot:lot?}", "emptied", "best before {best_before:day}"],
        }],
        examples: &[
            "2026-07-22 fill tank-3 12 jars of 340 g lot A26",
            "2026-07-22 fill tank-3 1 jar of 454 g lot B26",
        ],
    },
];
