//! What can be said about salves, balms and other goods made.

use crate::note::table::{Form, Verb};

/// The verbs of this topic.
pub(crate) const VERBS: &[Verb] = &[
    Verb {
        word: "recipe",
        says: "A recipe is written down as shares by mass.",
        forms: &[Form {
            subject: "{recipe:recipe?}",
            details: &["!*{ingredient:ingredient} {share:percent}"],
        }],
        examples: &["2026-08-01 recipe balm wax 25 % sunflower 55 % shea 20 %"],
    },
    Verb {
        word: "make",
        says: "A batch is made from named amounts of what is in stock.",
        forms: &[Form {
            subject: "{recipe:recipe} batch {batch:container+}",
            details: &["!*{ingredient:ingredient} {amount:amount}"],
        }],
        examples: &["2026-08-02 make balm batch mix-7 wax-2 0.1 kg sunflower 0.22 kg shea 0.08 kg"],
    },
    Verb {
        word: "pack",
        says: "A batch is packed as a lot; empty tins leave the stock.",
        forms: &[Form {
            subject: "{container:container} {goods:goods}",
            details: &["!lot {lot:lot?}", "emptied", "best before {best_before:day}"],
        }],
        examples: &["2026-08-02 pack mix-7 12 tins of 30 g lot S26"],
    },
];
