//! What can be said about bees, bars and combs.

use crate::note::table::{Form, Verb};

/// The verbs of this topic.
pub(crate) const VERBS: &[Verb] = &[
    Verb {
        word: "install",
        says: "Bees are put into a hive; a colony begins there.",
        forms: &[Form {
            subject: "{hive:hive} {origin:swarm|package|split|nucleus|colony}",
            details: &[
                "weight {weight:mass}",
                "drawn {drawn:count}",
                "from {from:text}",
                "as {colony:colony+}",
                "at {at:count}",
            ],
        }],
        examples: &["2026-04-12 install alder swarm weight 1.6 kg from \"hedge by the lane\""],
    },
    Verb {
        word: "look",
        says: "What was seen on a bar, on several alike bars, or in a colony. What is not said is unknown; as before is what the last look said, seen again on this day.",
        forms: &[
            Form {
                subject: "{bars:bars}",
                details: &[
                    "as before",
                    "face {face:near|far}",
                    "drawn {drawn:share}",
                    "sealed {sealed:share}",
                    "brood {brood:share}",
                    "open {open:share}",
                    "drones {drones:share}",
                    "capped {capped:share}",
                    "honey {honey:share}",
                    "nectar {nectar:share}",
                    "pollen {pollen:share}",
                    "eggs {eggs:seen|unseen}",
                    "eggs {eggs_share:share}",
                    "empty {empty_share:share}",
                    "empty",
                    "bees {bees:share}",
                    "queen {queen:seen|unseen}",
                    "cells {cells:count}",
                    "cells cups {cups:count}",
                    "cells charged {charged_cells:count}",
                    "cells sealed {sealed_cells:count}",
                    "cells emerged {emerged_cells:count}",
                    "cells torn {torn_cells:count}",
                    "fault {fault:none|crossed|bulging|attached|broken|fallen}",
                    "note {note:text}",
                ],
            },
            Form {
                subject: "{colony:colony}",
                details: &[
                    "queen {queen:seen|unseen}",
                    "eggs {eggs:seen|unseen}",
                    "temper {temper:calm|restless|sharp}",
                    "bees {bees:share}",
                    "heft {heft:light|fair|heavy}",
                    "stores {stores:mass}",
                    "crushed {crushed:count}",
                    "smoke {smoke:none|little|much}",
                    "handled {handled:gently|roughly}",
                    "flight {flight:none|little|good|heavy}",
                    "stopped {stopped:count}",
                    "note {note:text}",
                ],
            },
        ],
        examples: &[
            "2026-04-26 look alder bars 1 to 3 drawn 8/8 brood 5/8 honey 2/8",
            "2026-04-26 look alder bar 4 drawn 4/8 nectar 2/8 eggs seen",
            "2026-04-26 look alder bar 5 drawn 20 % empty",
            "2026-04-26 look alder queen unseen temper calm bees 5/8",
            "2026-05-03 look alder bars 1 to 3 as before",
            "2026-05-24 look alder bar 4 drawn 8/8 sealed 4/8 cells cups 2 cells sealed 1 fault bulging",
            "2026-05-24 look alder crushed 2 smoke little handled gently flight good stopped 4",
        ],
    },
    Verb {
        word: "queen",
        says: "What was seen of a queen or done with her.",
        forms: &[Form {
            subject: "{colony:colony}",
            details: &[
                "seen",
                "unseen",
                "laying",
                "marked {colour:white|yellow|red|green|blue}",
                "clipped",
                "mated",
                "introduced",
                "replaced",
                "gone",
                "from {from:text}",
            ],
        }],
        examples: &["2026-05-30 queen birch seen marked blue"],
    },
    Verb {
        word: "queen-cells",
        says: "Queen cells are counted, or cut out.",
        forms: &[
            Form {
                subject: "{bars:bars}",
                details: QUEEN_CELLS,
            },
            Form {
                subject: "{colony:colony}",
                details: QUEEN_CELLS,
            },
        ],
        examples: &[
            "2026-05-24 queen-cells alder sealed 4 cups 2",
            "2026-05-24 queen-cells alder bar 6 charged 3",
        ],
    },
    Verb {
        word: "shift",
        says: "Combs are moved within a hive, or into another one.",
        forms: &[
            Form {
                subject: "{bars:bars} to {at:count}",
                details: &[],
            },
            Form {
                subject: "{bars:bars} to {hive:hive} {at:count}",
                details: &[],
            },
        ],
        examples: &[
            "2026-05-10 shift alder bar 9 to 7",
            "2026-05-10 shift alder bar 8 to birch 4",
        ],
    },
    Verb {
        word: "add",
        says: "Empty bars are put in; what stood there and behind moves back.",
        forms: &[Form {
            subject: "{hive:hive} {count:count} bar|bars at {at:count}",
            details: &[],
        }],
        examples: &["2026-05-03 add alder 2 bars at 5"],
    },
    Verb {
        word: "follower",
        says: "A follower board is put before a place, moved or taken out.",
        forms: &[
            Form {
                subject: "{hive:hive} at {at:count}",
                details: &["second"],
            },
            Form {
                subject: "{hive:hive} from {from:count} to {at:count}",
                details: &[],
            },
            Form {
                subject: "{hive:hive} out",
                details: &["from {from:count}"],
            },
        ],
        examples: &[
            "2026-05-11 follower birch at 9",
            "2026-06-11 follower birch from 9 to 12",
            "2026-08-11 follower birch out",
        ],
    },
    Verb {
        word: "split",
        says: "Combs with their bees go into another hive, where a colony begins.",
        forms: &[Form {
            subject: "{bars:bars} into {hive:hive}",
            details: &[
                "at {at:count}",
                "as {colony:colony+}",
                "queen {queen:moved|stayed|unknown}",
            ],
        }],
        examples: &["2026-05-10 split alder bars 3 to 5 into birch"],
    },
    Verb {
        word: "unite",
        says: "The bees of one colony are joined to another; the combs stay where they are.",
        forms: &[Form {
            subject: "{from:colony} into {into:colony}",
            details: &["by {by:text}"],
        }],
        examples: &["2026-09-20 unite birch into alder"],
    },
    Verb {
        word: "swarm",
        says: "A swarm has gone, was taken, or was called for.",
        forms: &[
            Form {
                subject: "taken",
                details: &["at {where:text}", "weight {weight:mass}", "from {from:text}"],
            },
            Form {
                subject: "called",
                details: &["at {where:text}", "by {by:text}"],
            },
            Form {
                subject: "{colony:colony} gone",
                details: &["weight {weight:mass}"],
            },
        ],
        examples: &[
            "2026-05-24 swarm alder gone",
            "2026-05-26 swarm taken at \"church wall\" weight 1.4 kg",
        ],
    },
    Verb {
        word: "bait",
        says: "A bait box is set out, looked at or brought in.",
        forms: &[Form {
            subject: "{where:text} {what:set|checked|taken|removed}",
            details: &["scouts {scouts:count}", "hive {hive:hive}"],
        }],
        examples: &[
            "2026-04-20 bait \"old oak\" set",
            "2026-05-04 bait \"old oak\" checked scouts 12",
        ],
    },
    Verb {
        word: "feed",
        says: "A colony is fed, wet combs given back included.",
        forms: &[Form {
            subject: "{colony:colony} {food:syrup|fondant|sugar|honey|pollen|combs}",
            details: &["{amount:amount}", "pieces {pieces:count}", "from {from:text}"],
        }],
        examples: &[
            "2026-06-07 feed birch syrup 1 kg",
            "2026-08-01 feed birch combs pieces 3 from pail-12",
        ],
    },
    Verb {
        word: "treat",
        says: "Something was put into the hive against a disease or pest, whatever it was. The books record it; they never advise it.",
        forms: &[Form {
            subject: "{colony:colony} with {what:text}",
            details: &[
                "amount {amount:amount}",
                "until {until:day}",
                "because {because:text}",
                "by {by:text}",
                "batch {batch:text}",
            ],
        }],
        examples: &[
            "2026-09-01 treat birch with \"powdered sugar\" amount 0.1 kg by \"order of the bee inspector\"",
        ],
    },
    Verb {
        word: "fault",
        says: "A comb is found crossed, fallen, broken, bulging or attached.",
        forms: &[Form {
            subject: "{bars:bars} {fault:crossed|fallen|broken|bulging|attached}",
            details: &["note {note:text}"],
        }],
        examples: &["2026-06-21 fault alder bar 11 crossed"],
    },
    Verb {
        word: "mend",
        says: "A comb is put right again.",
        forms: &[Form {
            subject: "{bars:bars}",
            details: &["tied", "straightened", "freed"],
        }],
        examples: &["2026-06-28 mend alder bar 11"],
    },
    Verb {
        word: "measure",
        says: "Cells, the thickness or one face of a comb are measured.",
        forms: &[Form {
            subject: "{bars:bars}",
            details: &[
                "ten cells {ten_cells:lengths}",
                "thickness {thickness:length}",
                "drones {drones:share}",
                "face {face_area:area}",
            ],
        }],
        examples: &[
            "2026-06-14 measure alder bar 6 ten cells 53 mm 54 mm 53 mm",
            "2026-06-14 measure alder bar 5 face 812 cm2 thickness 26 mm   # from a photograph",
        ],
    },
    Verb {
        word: "weigh",
        says: "A container is weighed, gross and tare or net; or a hive is.",
        forms: &[
            Form {
                subject: "{container:container}",
                details: &["!gross {gross:mass}", "!tare {tare:mass}"],
            },
            Form {
                subject: "{container:container} net {net:mass}",
                details: &[],
            },
            Form {
                subject: "{hive:hive} {mass:mass}",
                details: &[],
            },
        ],
        examples: &[
            "2026-07-19 18:05 weigh pail-12 gross 7.2 kg tare 1.3 kg",
            "2026-07-20 weigh tank-3 net 4.85 kg",
            "2026-06-20 weigh alder 41 kg",
        ],
    },
    Verb {
        word: "jot",
        says: "Words as they came, in the yard or by voice, to be written out as notes later.",
        forms: &[
            Form {
                subject: "{words:text}",
                details: &[],
            },
            Form {
                subject: "{hive:hive} {words:text}",
                details: &[],
            },
            Form {
                subject: "{bars:bars} {words:text}",
                details: &[],
            },
        ],
        examples: &[
            "2026-05-24 jot \"ask about the wall by the church\"",
            "2026-05-24 jot alder \"much flight, they hang out\"",
            "2026-05-24 jot alder bar 3 \"sealed cell low on the far side\"",
        ],
    },
    Verb {
        word: "lost",
        says: "A colony is dead or gone; its combs stay in the hive.",
        forms: &[Form {
            subject: "{colony:colony}",
            details: &["cause {cause:text}", "note {note:text}"],
        }],
        examples: &["2026-11-02 lost alder cause \"queen failure\""],
    },
    Verb {
        word: "quarantine",
        says: "Combs or a whole hive are kept apart, or set free again.",
        forms: &[
            Form {
                subject: "{bars:bars} in {store:store?}",
                details: &["because {because:text}", "until {until:day}"],
            },
            Form {
                subject: "{hive:hive} lifted",
                details: &[],
            },
            Form {
                subject: "{hive:hive}",
                details: &["because {because:text}", "until {until:day}"],
            },
        ],
        examples: &[
            "2026-08-21 quarantine birch because \"odd cappings\"",
            "2026-09-21 quarantine birch lifted",
        ],
    },
    Verb {
        word: "store",
        says: "Combs are taken out and kept without bees; bare bars take their places.",
        forms: &[Form {
            subject: "{bars:bars} in {store:store?}",
            details: &[],
        }],
        examples: &["2026-09-02 store alder bars 12 and 13 in freezer"],
    },
];

const QUEEN_CELLS: &[&str] = &[
    "sealed {sealed:count}",
    "charged {charged:count}",
    "cups {cups:count}",
    "emerged {emerged:count}",
    "torn {torn:count}",
    "cut {cut:count}",
    "none",
];
