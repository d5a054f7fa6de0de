//! The bibliography, by id in alphabetical order.
//!
//! A title that nobody has seen says so. Two entries are no publications: [`COMMON_PRACTICE`], for what
//! keepers do without a source to name, and [`FROM_MEMORY`], for a remembered value.

use quantity::{Seen, Source};

/// E. P. Betts's rule for counting cells.
pub static BETTS_1938: Source = Source {
    id: "betts-1938",
    author: "Betts",
    year: Some(1938),
    title: "(title not known)",
    publisher: "Bee World, September 1938, pp. 106-107",
    seen: Seen::NotYet,
};

/// S. Bogdanov's account of the physics of honey, which reprints the table of water against refraction.
pub static BOGDANOV_PHYSICAL: Source = Source {
    id: "bogdanov-physical",
    author: "Bogdanov, S.",
    year: None,
    title: "Physical Properties of Honey (title from memory)",
    publisher: "The Book of Honey, chapter 4",
    seen: Seen::NotYet,
};

/// What keepers do, without a source to name.
pub static COMMON_PRACTICE: Source = Source {
    id: "common-practice",
    author: "",
    year: None,
    title: "common practice, no source",
    publisher: "",
    seen: Seen::NotYet,
};

/// The rule of an eighth of a comb face, as a guide for keepers gives it.
pub static EIGHTHS_2020: Source = Source {
    id: "eighths-2020",
    author: "bees-online.at",
    year: Some(2020),
    title: "Das Schätzrähmchen",
    publisher: "https://bees-online.at/2020/08/20/das-schaetzraehmchen/",
    seen: Seen::NotYet,
};

/// A remembered value, for which no publication was found.
pub static FROM_MEMORY: Source = Source {
    id: "from-memory",
    author: "",
    year: None,
    title: "from memory, no publication found",
    publisher: "",
    seen: Seen::NotYet,
};

/// The rules for article numbers.
pub static GS1_GENERAL: Source = Source {
    id: "gs1-general",
    author: "GS1",
    year: None,
    title: "GS1 General Specifications (title from memory)",
    publisher: "GS1",
    seen: Seen::NotYet,
};

/// The guide that tells how Brix and the water of honey differ.
pub static HIVE_AND_HONEY_BEE: Source = Source {
    id: "hive-and-honey-bee",
    author: "(editor and edition not known)",
    year: None,
    title: "The Hive and the Honey Bee",
    publisher: "conversion table on p. 892, quoted by a keeper and not seen",
    seen: Seen::NotYet,
};

/// E. B. Wedmore's relation of the water in honey to its refraction.
pub static WEDMORE_1955: Source = Source {
    id: "wedmore-1955",
    author: "Wedmore, E. B.",
    year: Some(1955),
    title: "The accurate determination of the water content of honeys (title from memory)",
    publisher: "Bee World 36 (volume from memory)",
    seen: Seen::NotYet,
};

/// J. W. White's table of specific gravity.
pub static WHITE_1975: Source = Source {
    id: "white-1975",
    author: "White, J. W.",
    year: Some(1975),
    title: "Physical characteristics of honey (title from memory)",
    publisher: "in: Honey, a Comprehensive Survey (from memory); reprinted in FAO Agricultural Services Bulletin 124",
    seen: Seen::NotYet,
};

/// Every entry of the bibliography, by id in alphabetical order.
pub static ALL: [&Source; 9] = [
    &BETTS_1938,
    &BOGDANOV_PHYSICAL,
    &COMMON_PRACTICE,
    &EIGHTHS_2020,
    &FROM_MEMORY,
    &GS1_GENERAL,
    &HIVE_AND_HONEY_BEE,
    &WEDMORE_1955,
    &WHITE_1975,
];
