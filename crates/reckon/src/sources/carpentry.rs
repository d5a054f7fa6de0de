//! What the making of hives is taken from.

use quantity::{Seen, Source};

/// How long a hive is for its bars, and the follower board as the template of its sides.
pub static BFDJ_2009: Source = Source {
    id: "bfdj-2009",
    author: "Lowore, Barlow and Loveday",
    year: Some(2009),
    title: "Making a top-bar hive",
    publisher: "Bees for Development Journal 93, December 2009",
    seen: Seen::NotYet,
};

/// How wide a gap round a follower board keepers tolerate.
pub static FOLLOWER_GAPS: Source = Source {
    id: "follower-gaps",
    author: "keepers",
    year: None,
    title: "Follower board dimensions",
    publisher: "a thread at beesource.com",
    seen: Seen::NotYet,
};

/// The least sizes of softwood boards by their names in the trade.
pub static SOFTWOOD_SIZES: Source = Source {
    id: "softwood-sizes",
    author: "National Institute of Standards and Technology",
    year: None,
    title: "American Softwood Lumber Standard, minimum sizes",
    publisher: "Voluntary Product Standard PS 20, as reprinted at engineeringtoolbox.com",
    seen: Seen::NotYet,
};

/// The volumes that authors advise for top-bar hives.
pub static HIVE_VOLUMES: Source = Source {
    id: "hive-volumes",
    author: "manacet",
    year: None,
    title: "(not known: a page that compares the volumes authors advise)",
    publisher: "web page, second-hand",
    seen: Seen::NotYet,
};

/// The room of nests that swarms prefer.
pub static NEST_VOLUMES: Source = Source {
    id: "nest-volumes-act",
    author: "Beekeepers Association of the ACT",
    year: Some(2020),
    title: "(not known: newsletter of March 2020, after Seeley and Morse)",
    publisher: "actbeekeepers.asn.au",
    seen: Seen::NotYet,
};

/// The room of nests that swarms use at all.
pub static NABORS_2015: Source = Source {
    id: "nabors-2015",
    author: "Nabors, R.",
    year: Some(2015),
    title: "(not known: an article of January 2015)",
    publisher: "American Bee Journal, January 2015",
    seen: Seen::NotYet,
};

/// Hives of half a drum.
pub static BFDJ_1985: Source = Source {
    id: "bfdj-1985",
    author: "Bees for Development",
    year: Some(1985),
    title: "(not known: hives of half a drum, an idea of G. W. Hayes)",
    publisher: "Bees for Development Journal 6",
    seen: Seen::NotYet,
};

/// That bees brace honey combs to any wall, straight or sloping.
pub static SLOPE_OPINIONS: Source = Source {
    id: "slope-opinions",
    author: "contributors to an open handbook",
    year: None,
    title: "Beekeeping: Tanzania top-bar hives",
    publisher: "en.wikibooks.org",
    seen: Seen::NotYet,
};
