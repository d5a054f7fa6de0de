//! What can be said about yards, patterns, hives and devices.

use crate::note::table::{Form, Verb};

/// The verbs of this topic.
pub(crate) const VERBS: &[Verb] = &[
    Verb {
        word: "farm",
        says: "The farm gets its name and address, or changes them.",
        forms: &[Form {
            subject: "{name:text}",
            details: &[
                "keeper {keeper:text}",
                "address {address:text}",
                "market {market:text}",
            ],
        }],
        examples: &["2026-01-01 farm \"Holm End\" market uk"],
    },
    Verb {
        word: "device",
        says: "A phone or computer that notes are written on is named, or put out of use.",
        forms: &[
            Form {
                subject: "{device:device?} named {name:text}",
                details: &["by {by:text}"],
            },
            Form {
                subject: "{device:device?} retired",
                details: &["because {because:text}"],
            },
        ],
        examples: &[
            "2026-01-01 device phone named \"field phone\"",
            "2026-11-01 device phone retired",
        ],
    },
    Verb {
        word: "rename",
        says: "A thing gets another label; what it is stays the same.",
        forms: &[
            Form {
                subject: "hive {hive:hive} to {hive_to:hive+}",
                details: &[],
            },
            Form {
                subject: "colony {colony:colony} to {colony_to:colony+}",
                details: &[],
            },
            Form {
                subject: "yard {yard:yard} to {yard_to:yard+}",
                details: &[],
            },
            Form {
                subject: "pattern {pattern:pattern} to {pattern_to:pattern+}",
                details: &[],
            },
            Form {
                subject: "container {container:container} to {container_to:container+}",
                details: &[],
            },
            Form {
                subject: "tag {tag:tag} to {tag_to:tag+}",
                details: &[],
            },
            Form {
                subject: "lot {lot:lot} to {lot_to:lot+}",
                details: &[],
            },
        ],
        examples: &["2026-03-05 rename hive alder to rowan"],
    },
    Verb {
        word: "yard",
        says: "A place where hives stand is made known, or given up.",
        forms: &[
            Form {
                subject: "{yard:yard} closed",
                details: &["because {because:text}"],
            },
            Form {
                subject: "{yard:yard+}",
                details: &[
                    "at {latitude:number} {longitude:number}",
                    "near {near:text}",
                    "owner {owner:text}",
                ],
            },
        ],
        examples: &[
            "2026-03-01 yard orchard at 52.1 -2.4",
            "2026-10-30 yard orchard closed",
        ],
    },
    Verb {
        word: "pattern",
        says: "A design of hives or bars is described by its inside measures.",
        forms: &[Form {
            subject: "{pattern:pattern+} {shape:slope|upright|drum|arc|catenary|polygon}",
            details: &[
                "top {top:length}",
                "floor {floor:length}",
                "width {width:length}",
                "diameter {diameter:length}",
                "depth {depth:length}",
                "corners {corners:text}",
                "length {length:length}",
                "bar {bar:length}",
                "bar-length {bar_length:length}",
                "bar-thickness {bar_thickness:length}",
                "guide {guide:text}",
                "space {space:length}",
                "allowance {allowance:length}",
                "comb {comb:length}",
                "spacers {spacers:count} of {spacer:length}",
                "followers {followers:count}",
                "*slots {slots:count} of {slot_width:length} x {slot_height:length} in {slot_in:side|end|floor}",
                "*holes {holes:count} of {hole:length} in {hole_in:side|end|floor}",
                "*wall {wall:text}",
                "*ends {ends:text}",
                "*cover {cover:text}",
                "*base {base:text}",
                "pane {pane_length:length} x {pane_depth:length} of {pane:text}",
                "height {height:length}",
                "leg {leg_width:length} x {leg_thickness:length}",
                "overhang {overhang:length}",
                "held {held:text}",
                "of {material:text}",
            ],
        }],
        examples: &[
            "2026-03-01 pattern sloping slope top 44.5 cm floor 19 cm depth 28 cm length 95.5 cm bar 35 mm",
            "2026-03-01 pattern straw arc width 40 cm depth 30 cm length 70 cm bar 35 mm of straw",
            "2026-03-01 pattern keg drum diameter 57 cm depth 25 cm length 84 cm bar 35 mm bar-length 62 cm holes 3 of 16 mm in end wall \"hdpe 5 mm\" ends \"hdpe 5 mm\" cover \"pine 20 mm\" cover \"wool 40 mm\" height 85 cm held \"apple juice\"",
            "2026-03-01 pattern tent polygon corners \"0,0 40,0 34,30 6,30\" length 90 cm bar 35 mm wall \"pine 22 mm\"",
        ],
    },
    Verb {
        word: "build",
        says: "Hives or bars are made from stock.",
        forms: &[
            Form {
                subject: "{count:count} hive|hives pattern {pattern:pattern}",
                details: &[
                    "from {from:text}",
                    "hours {hours:duration}",
                    "material {material:money}",
                ],
            },
            Form {
                subject: "{count:count} bar|bars",
                details: &[
                    "pattern {pattern:pattern}",
                    "from {from:text}",
                    "hours {hours:duration}",
                    "material {material:money}",
                ],
            },
        ],
        examples: &[
            "2026-02-10 build 2 hives pattern sloping from pine hours 9h material 41.00 GBP",
            "2026-02-12 build 54 bars",
        ],
    },
    Verb {
        word: "timber",
        says: "Boards that can be bought, and what one of them costs; without a count as many as are wanted.",
        forms: &[Form {
            subject: "{wood:text} {length:length} x {width:length} x {thickness:length}",
            details: &["at {price:money}", "count {count:count}", "nominal", "green"],
        }],
        examples: &[
            "2026-02-01 timber pine 2400 mm x 145 mm x 22 mm at 9.80 GBP",
            "2026-02-01 timber pine 8 ft x 6 in x 1 in at 11.40 USD nominal",
        ],
    },
    Verb {
        word: "sawn",
        says: "Pieces of wood that were kept are sawn up, or otherwise gone.",
        forms: &[Form {
            subject: "{wood:text} {length:length} x {width:length} x {thickness:length}",
            details: &["count {count:count}", "for {pattern:pattern}"],
        }],
        examples: &["2026-02-10 sawn pine 610 mm x 140 mm x 20 mm for sloping"],
    },
    Verb {
        word: "hive",
        says: "A box is put up in a yard; its places are numbered from the entrance end.",
        forms: &[Form {
            subject: "{hive:hive+}",
            details: &[
                "!in {yard:yard}",
                "pattern {pattern:pattern}",
                "!bars {bars:count}",
                "entrance {entrance:text}",
                "facing {facing:text}",
            ],
        }],
        examples: &["2026-03-01 hive alder in orchard pattern sloping bars 27"],
    },
    Verb {
        word: "tag",
        says: "A bar gets a tag of its own, which it keeps wherever it goes.",
        forms: &[Form {
            subject: "{bars:bars} as {tag:tag+}",
            details: &[],
        }],
        examples: &["2026-04-02 tag alder bar 9 as K7"],
    },
    Verb {
        word: "carry",
        says: "A hive is moved to another yard.",
        forms: &[Form {
            subject: "{hive:hive} to {yard:yard}",
            details: &["by {by:text}", "because {because:text}"],
        }],
        examples: &["2026-06-02 carry alder to lane"],
    },
    Verb {
        word: "register",
        says: "A yard or the keeping of bees is registered with an authority.",
        forms: &[Form {
            subject: "{yard:yard} with {with:text}",
            details: &["number {number:text}", "until {until:day}"],
        }],
        examples: &["2026-03-02 register orchard with \"county office\" number \"H-118\" until 2027-03-01"],
    },
];
