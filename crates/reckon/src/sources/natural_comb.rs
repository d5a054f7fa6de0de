//! What natural comb measures, and how long keepers leave it. None was read at its own text.

use quantity::{Seen, Source};

/// The thickness of comb by the width of its cells.
pub static BAUDOUX_THICKNESS: Source = Source {
    id: "baudoux-thickness",
    author: "Baudoux",
    year: None,
    title: "(title not known)",
    publisher: "quoted from The ABC and XYZ of Bee Culture, 1945, p. 126, at beemaster.com, topic 57219",
    seen: Seen::NotYet,
};

/// The cells of the top rows of two top-bar combs.
pub static BEE_L_2005: Source = Source {
    id: "bee-l-2005",
    author: "a keeper on the list BEE-L",
    year: Some(2005),
    title: "(title not known)",
    publisher: "BEE-L, 7 October 2005",
    seen: Seen::NotYet,
};

/// Cells of natural comb beside those on foundation, over three years.
pub static CELL_SIZE_3_YEARS: Source = Source {
    id: "cell-size-3-years",
    author: "dheaf.plus.com",
    year: None,
    title: "Cell size measurements",
    publisher: "http://www.dheaf.plus.com/warrebeekeeping/cell_size_measurements.htm",
    seen: Seen::NotYet,
};

/// What became of colonies on old comb, and of moving it to the back.
pub static HAPPYHOUR_2017: Source = Source {
    id: "happyhour-2017",
    author: "happyhourtopbar.blogspot.com",
    year: Some(2017),
    title: "(title not known)",
    publisher: "January 2017: old comb moved to the back, and culled",
    seen: Seen::NotYet,
};

/// The thickness of worker comb and of drone comb.
pub static MINER_THICKNESS: Source = Source {
    id: "miner-thickness",
    author: "Miner",
    year: None,
    title: "(title not known)",
    publisher: "worker comb 4/5 in, drone comb 1 1/8 in; quoted at beemaster.com, topic 57219",
    seen: Seen::NotYet,
};

/// The natural amount of drone comb, and what it costs in honey.
pub static SEELEY_2002: Source = Source {
    id: "seeley-2002",
    author: "Seeley, T. D.",
    year: Some(2002),
    title: "The effect of drone comb on a honey bee colony's production of honey (title from memory)",
    publisher: "Apidologie; abstract at https://www.apidologie.org/articles/apido/abs/2002/01/Seeley/Seeley.html",
    seen: Seen::NotYet,
};
