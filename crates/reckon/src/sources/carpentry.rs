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
