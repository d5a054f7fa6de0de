//! The windows of each event, in days from it.

use super::{Event, Row};
use crate::sources::{
    BROOD_BREAK_CVB, COMMON_PRACTICE, CORNELL_AFB_2018, DRONES_39_DAYS, EMERGENCY_CELLS, FROM_MEMORY,
    GRAFTING_TIMES, HARDEN_CALENDAR, LARVA_AGE, LAYING_WORKERS, QUEEN_DEVELOPMENT, QUEEN_LATE, RIPE_CELLS,
    SPLIT_DIARY, SWARM_HALF, SWARM_VIRGINS, VIRGIN_RIPENING, WORKER_DEVELOPMENT,
};

/// The rows of an event.
pub(super) const fn of(event: Event) -> &'static [Row] {
    match event {
        Event::Split => SPLIT,
        Event::Graft => GRAFT,
        Event::CellCapped => CELL_CAPPED,
        Event::CellSeenSealed => CELL_SEEN_SEALED,
        Event::SwarmGone => SWARM_GONE,
        Event::QueenLost => QUEEN_LOST,
        Event::Egg => EGG,
    }
}

const fn row(
    what: &'static str,
    (from, to): (i32, i32),
    usual: Option<(i32, i32)>,
    (source, basis): (&'static quantity::Source, &'static str),
) -> Row {
    Row {
        what,
        from,
        usual,
        to,
        source,
        basis,
    }
}

// What an emergency queen of a split and of a lost queen have in common.
const CELLS_BEGUN: Row = row(
    "the bees begin queen cells",
    (0, 1),
    None,
    (
        &EMERGENCY_CELLS,
        "by the next day, where eggs or young larvae are there",
    ),
);
const CELLS_SEALED: Row = row(
    "the queen cells are sealed",
    (5, 6),
    None,
    (
        &LARVA_AGE,
        "worked out: sealed 7.5 to 9 days after the egg, begun on larvae of up to 36 hours",
    ),
);
const QUEEN_EMERGES: Row = row(
    "the new queen emerges",
    (11, 16),
    Some((12, 13)),
    (
        &QUEEN_DEVELOPMENT,
        "worked out: 16 days from the egg less 3 to 4; the 16th day if there were only eggs",
    ),
);
const QUEEN_MATES: Row = row(
    "the new queen flies to mate",
    (17, 23),
    None,
    (
        &VIRGIN_RIPENING,
        "worked out: 5 to 10 days after emerging; about 70 % of virgins return",
    ),
);
const QUEEN_LAYS: Row = row(
    "the new queen begins to lay",
    (20, 28),
    None,
    (
        &QUEEN_DEVELOPMENT,
        "worked out from mating; a kept diary has laying by about day 28 from the egg",
    ),
);
const OLD_BROOD_SEALED: Row = row(
    "the old queen's last worker brood is sealed",
    (9, 9),
    None,
    (&WORKER_DEVELOPMENT, "sealed 9 days after the egg"),
);
const OLD_BROOD_OUT: Row = row(
    "the old queen's last worker brood emerges",
    (21, 21),
    None,
    (&CORNELL_AFB_2018, "21 days after the egg"),
);
const OLD_DRONES_OUT: Row = row(
    "the old queen's last drone brood emerges",
    (24, 24),
    None,
    (&CORNELL_AFB_2018, "24 days after the egg"),
);
const NO_SEALED_BROOD: Row = row(
    "no sealed worker brood",
    (21, 37),
    Some((21, 29)),
    (
        &WORKER_DEVELOPMENT,
        "worked out: from the last old worker brood to the first sealed brood of the new queen, on day 29 to 37",
    ),
);
const LEAVE_ALONE: Row = row(
    "leave the colony alone",
    (10, 24),
    None,
    (
        &COMMON_PRACTICE,
        "a rule of keepers: a virgin may lose her way or be balled",
    ),
);
const LOOK_FOR_EGGS: Row = row(
    "look for eggs",
    (28, 28),
    None,
    (
        &COMMON_PRACTICE,
        "a rule of keepers; a kept diary saw brood on day 33 from the egg",
    ),
);
const FAILED: Row = row(
    "without eggs by now it is taken to have failed",
    (35, 35),
    None,
    (&COMMON_PRACTICE, "a rule of keepers: after about 35 days"),
);
const NEW_WORKERS: Row = row(
    "the new queen's first workers emerge",
    (41, 49),
    None,
    (&CORNELL_AFB_2018, "worked out: 21 days after her first eggs"),
);

const SPLIT: &[Row] = &[
    CELLS_BEGUN,
    CELLS_SEALED,
    OLD_BROOD_SEALED,
    LEAVE_ALONE,
    QUEEN_EMERGES,
    QUEEN_MATES,
    QUEEN_LAYS,
    OLD_BROOD_OUT,
    NO_SEALED_BROOD,
    OLD_DRONES_OUT,
    row(
        "all old brood is gone, drones included",
        (24, 25),
        None,
        (
            &BROOD_BREAK_CVB,
            "a queen caged for at most 25 days leaves the colony quite free of brood",
        ),
    ),
    LOOK_FOR_EGGS,
    row(
        "brood was seen in a kept diary",
        (29, 30),
        None,
        (&SPLIT_DIARY, "day 33 from the egg, less 3 to 4 days"),
    ),
    FAILED,
    NEW_WORKERS,
];

const QUEEN_LOST: &[Row] = &[
    CELLS_BEGUN,
    CELLS_SEALED,
    OLD_BROOD_SEALED,
    LEAVE_ALONE,
    QUEEN_EMERGES,
    QUEEN_MATES,
    QUEEN_LAYS,
    OLD_BROOD_OUT,
    row(
        "workers may begin to lay, where no queen is raised",
        (21, 37),
        Some((30, 37)),
        (
            &LAYING_WORKERS,
            "after more than 21 days without a queen; commonly told (from memory): 3 to 4 weeks after queen and open brood are gone, the open brood 9 days later than the queen",
        ),
    ),
    OLD_DRONES_OUT,
    LOOK_FOR_EGGS,
    row(
        "a queen not mated by now is likely to lay drones alone",
        (32, 44),
        None,
        (&QUEEN_LATE, "worked out: unmated 3 to 4 weeks after emerging"),
    ),
    FAILED,
];

const GRAFT: &[Row] = &[
    row(
        "the eggs of the drones that will mate are laid",
        (-24, -18),
        None,
        (
            &DRONES_39_DAYS,
            "worked out: 38 to 40 days before mating, which is 16 to 20 days after the graft",
        ),
    ),
    row(
        "make ready the bar of cell cups",
        (-6, -6),
        None,
        (&GRAFTING_TIMES, "6 days before"),
    ),
    row(
        "confine the mother to an empty comb",
        (-5, -5),
        None,
        (&GRAFTING_TIMES, "5 days before"),
    ),
    row(
        "give the cups to be cleaned",
        (-1, -1),
        None,
        (&GRAFTING_TIMES, "the day before"),
    ),
    row(
        "graft",
        (0, 0),
        None,
        (&GRAFTING_TIMES, "larvae of 12 to 24 hours"),
    ),
    row(
        "move the started cells to where they are finished",
        (1, 1),
        None,
        (&GRAFTING_TIMES, "the day after"),
    ),
    row(
        "feed the colony that finishes them",
        (2, 5),
        None,
        (&GRAFTING_TIMES, "days 2 to 5"),
    ),
    row(
        "the queen cells are sealed",
        (5, 6),
        None,
        (
            &HARDEN_CALENDAR,
            "sealed on day 9 from the egg, grafted on day 4: day 5; another calendar has day 6",
        ),
    ),
    row(
        "make up the mating colonies",
        (8, 8),
        None,
        (&GRAFTING_TIMES, "day 8"),
    ),
    row(
        "the cells are ripe: give them to the mating colonies",
        (10, 10),
        None,
        (
            &RIPE_CELLS,
            "ripe on day 10, emerging within a day or two; both calendars agree",
        ),
    ),
    row(
        "the queens emerge",
        (11, 13),
        Some((12, 12)),
        (
            &GRAFTING_TIMES,
            "day 12, day 11 if it is warm or the larvae were old; 16 days from the egg, a day more or less",
        ),
    ),
    row(
        "the new queens fly to mate",
        (16, 20),
        None,
        (&QUEEN_DEVELOPMENT, "days 20 to 24 from the egg, grafted on day 4"),
    ),
    row(
        "the new queens begin to lay",
        (19, 33),
        None,
        (
            &QUEEN_DEVELOPMENT,
            "from day 23 from the egg on; commonly 2 to 3 weeks after emerging (from memory)",
        ),
    ),
];

const CELL_CAPPED: &[Row] = &[
    row(
        "a swarm with the old queen may leave",
        (0, 8),
        None,
        (
            &SWARM_HALF,
            "as soon as the first cell is sealed, weather allowing; most between 11 and 16 o'clock on warm days; some leave on open cells",
        ),
    ),
    row(
        "the new queen emerges",
        (6, 9),
        Some((7, 8)),
        (
            &HARDEN_CALENDAR,
            "sealed on day 9 from the egg, emerging 7 days later; sealed for 7.5 to 8 days by others; a day more or less by warmth and race",
        ),
    ),
    row(
        "the new queen flies to mate",
        (11, 17),
        None,
        (
            &QUEEN_DEVELOPMENT,
            "worked out: days 20 to 24 from the egg, sealed after 7.5 to 9",
        ),
    ),
    row(
        "the new queen begins to lay",
        (14, 30),
        None,
        (
            &QUEEN_DEVELOPMENT,
            "worked out: from day 23 from the egg on; commonly 2 to 3 weeks after emerging (from memory)",
        ),
    ),
];

const CELL_SEEN_SEALED: &[Row] = &[
    row(
        "a swarm with the old queen may leave, if none has left",
        (0, 8),
        None,
        (
            &SWARM_HALF,
            "as soon as the first cell is sealed, weather allowing",
        ),
    ),
    row(
        "the new queen emerges",
        (0, 9),
        None,
        (
            &HARDEN_CALENDAR,
            "worked out: sealed up to 8 days before it was seen, or on that very day, and a day more by cold and race",
        ),
    ),
    row(
        "the new queen flies to mate",
        (3, 17),
        None,
        (
            &QUEEN_DEVELOPMENT,
            "worked out: as from a cell sealed up to 8 days before",
        ),
    ),
    row(
        "the new queen begins to lay",
        (6, 30),
        None,
        (
            &QUEEN_DEVELOPMENT,
            "worked out: as from a cell sealed up to 8 days before",
        ),
    ),
];

const SWARM_GONE: &[Row] = &[
    row(
        "leave the colony alone",
        (5, 20),
        None,
        (
            &COMMON_PRACTICE,
            "worked out: the rule for splits, counted from the day the queen emerges",
        ),
    ),
    row(
        "the first virgin emerges and may lead a cast",
        (6, 9),
        Some((7, 7)),
        (
            &SWARM_VIRGINS,
            "about 7 days after the swarm; a day or two more or less",
        ),
    ),
    row(
        "more casts may leave, 2 to 3 in all and ever smaller",
        (8, 16),
        None,
        (
            &FROM_MEMORY,
            "that there are 2 to 3 is published; by when is from memory; nobody can tell casts from the killing of rivals beforehand",
        ),
    ),
    row(
        "the new queen flies to mate",
        (11, 17),
        None,
        (
            &QUEEN_DEVELOPMENT,
            "worked out: days 20 to 24 from the egg, the swarm gone as the first cell was sealed",
        ),
    ),
    row(
        "the new queen begins to lay",
        (14, 30),
        None,
        (
            &QUEEN_DEVELOPMENT,
            "worked out: from day 23 from the egg on; later where casts left",
        ),
    ),
    OLD_BROOD_OUT,
    OLD_DRONES_OUT,
];

const EGG: &[Row] = &[
    row(
        "the egg hatches",
        (3, 3),
        None,
        (&WORKER_DEVELOPMENT, "3 days as an egg, in every caste"),
    ),
    row(
        "it can still be made a queen until",
        (3, 5),
        None,
        (&LARVA_AGE, "worked out: up to about 36 hours after hatching"),
    ),
    row(
        "a queen cell is sealed",
        (7, 9),
        None,
        (&QUEEN_DEVELOPMENT, "7.5 to 9 days; another source has day 9"),
    ),
    row(
        "a worker cell is sealed",
        (9, 9),
        None,
        (&WORKER_DEVELOPMENT, "3 days as an egg and 6 as a larva"),
    ),
    row(
        "a drone cell is sealed",
        (9, 10),
        None,
        (
            &WORKER_DEVELOPMENT,
            "3 days as an egg and 6.5 as a larva; others have 15 days sealed of 24",
        ),
    ),
    row(
        "a queen emerges",
        (15, 17),
        Some((16, 16)),
        (
            &QUEEN_DEVELOPMENT,
            "15.5 to 17 days, 16 by name; also in an official leaflet",
        ),
    ),
    row(
        "she flies to mate",
        (20, 24),
        None,
        (&QUEEN_DEVELOPMENT, "days 20 to 24"),
    ),
    row(
        "a worker emerges",
        (20, 22),
        Some((21, 21)),
        (
            &CORNELL_AFB_2018,
            "21 days; a day more or less by warmth and race",
        ),
    ),
    row(
        "she begins to lay",
        (23, 38),
        None,
        (
            &QUEEN_DEVELOPMENT,
            "from day 23 on; commonly 2 to 3 weeks after emerging (from memory)",
        ),
    ),
    row(
        "a drone emerges",
        (23, 25),
        Some((24, 24)),
        (
            &CORNELL_AFB_2018,
            "24 days; a day more or less by warmth and race",
        ),
    ),
    row(
        "a drone is ripe to mate",
        (36, 40),
        Some((38, 40)),
        (
            &DRONES_39_DAYS,
            "about 39 days from the egg; 12 to 16 days after emerging",
        ),
    ),
];
