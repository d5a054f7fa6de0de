//! What keepers wrote on their own pages and forums: advice and what happened to them. None was read at its own
//! text; a publication among them is marked as the others are.

use quantity::{Seen, Source};

/// What a keeper leaves for a winter in Illinois.
pub static BASICBEEKEEPING_2012: Source = Source {
    id: "basicbeekeeping-2012",
    author: "basicbeekeeping (a keeper's pages)",
    year: Some(2012),
    title: "(title not known)",
    publisher: "June 2012: 60 to 80 lb of stores for northern Illinois",
    seen: Seen::NotYet,
};

/// Combs that fell in the heat.
pub static BEEBUILT_HEAT: Source = Source {
    id: "beebuilt-heat",
    author: "forum.beebuilt.com",
    year: None,
    title: "Heat damage to top bar",
    publisher: "forum.beebuilt.com/t/heat-damage-to-top-bar/102",
    seen: Seen::NotYet,
};

/// Combs of last year's honey moved in spring.
pub static BEEMASTER_SPRING: Source = Source {
    id: "beemaster-spring",
    author: "beemaster.com, topic 55144",
    year: None,
    title: "(title not known)",
    publisher: "a forum of keepers",
    seen: Seen::NotYet,
};

/// Bars put into the brood nest against swarming, and a nest that was opened too far.
pub static BEESOURCE_SWARM_PREVENTION: Source = Source {
    id: "beesource-swarm-prevention",
    author: "beesource.com",
    year: None,
    title: "Swarm Prevention in a TBH",
    publisher: "a forum of keepers",
    seen: Seen::NotYet,
};

/// How a keeper keeps out of the heat.
pub static BUDDHA_2016: Source = Source {
    id: "buddha-2016",
    author: "buddhaandthebees.net",
    year: Some(2016),
    title: "(title not known)",
    publisher: "July 2016: waits for about 30 °C to pass, works before 11 in the morning",
    seen: Seen::NotYet,
};

/// Combs moved to the cluster in winter.
pub static COLORADO_WINTER: Source = Source {
    id: "colorado-winter",
    author: "coloradobeekeepers.org",
    year: None,
    title: "(title not known)",
    publisher: "a keepers' association: full combs slid up behind the cluster in January",
    seen: Seen::NotYet,
};

/// Stores for winter by climate.
pub static EXTENSION_STORES: Source = Source {
    id: "extension-stores",
    author: "honestbeeltd.com",
    year: None,
    title: "(titles not known)",
    publisher: "a dealer's pages that repeat American extension services",
    seen: Seen::NotYet,
};

/// When new comb strays.
pub static FLOTTUM: Source = Source {
    id: "flottum",
    author: "Flottum",
    year: None,
    title: "(title not known)",
    publisher: "on top-bar hives; quoted second-hand",
    seen: Seen::NotYet,
};

/// The exact interval of a Poisson rate.
pub static GARWOOD_1936: Source = Source {
    id: "garwood-1936",
    author: "Garwood, F.",
    year: Some(1936),
    title: "Fiducial limits for the Poisson distribution (title from memory)",
    publisher: "Biometrika 28 (volume from memory)",
    seen: Seen::NotYet,
};

/// A hive that was robbed out.
pub static GRANDMAB_2012: Source = Source {
    id: "grandmab-2012",
    author: "grandmab.blogspot.com",
    year: Some(2012),
    title: "(title not known)",
    publisher: "October 2012: a hive robbed out in about an hour",
    seen: Seen::NotYet,
};

/// Syrup that bees store and cap.
pub static HAPPYHOUR_2013: Source = Source {
    id: "happyhour-2013",
    author: "happyhourtopbar.blogspot.com",
    year: Some(2013),
    title: "(title not known)",
    publisher: "September 2013: capped syrup in the bars",
    seen: Seen::NotYet,
};

/// Where bars are put in, as a keeper quotes it.
pub static HAPPYHOUR_2016: Source = Source {
    id: "happyhour-2016",
    author: "happyhourtopbar.blogspot.com",
    year: Some(2016),
    title: "(title not known)",
    publisher: "July 2016",
    seen: Seen::NotYet,
};

/// Bars of honey for a winter in Maine.
pub static HEMENWAY_2017: Source = Source {
    id: "hemenway-2017",
    author: "Hemenway, C.",
    year: Some(2017),
    title: "(title not known)",
    publisher: "newsociety.com: six to eight full capped bars, Maine",
    seen: Seen::NotYet,
};

/// What is done in which month.
pub static KEEPERS_CALENDARS: Source = Source {
    id: "keepers-calendars",
    author: "bgesva.org, syracusebeekeepers, happyhourtopbar, coloradobeekeepers",
    year: None,
    title: "calendars of keepers and their associations",
    publisher: "read together; to be shifted by bloom, not by date",
    seen: Seen::NotYet,
};

/// A comb that fell.
pub static SUSTAINABLE_2013: Source = Source {
    id: "sustainable-2013",
    author: "sustainablescientist.net",
    year: Some(2013),
    title: "(title not known)",
    publisher: "a queen found on the comb on the floor",
    seen: Seen::NotYet,
};

/// What dealers advise on top-bar hives.
pub static VENDOR_ADVICE: Source = Source {
    id: "vendor-advice",
    author: "honestbeeltd.com and other dealers",
    year: None,
    title: "(titles not known)",
    publisher: "dealers' pages, a weak source",
    seen: Seen::NotYet,
};

/// What keepers leave in the mountains of Virginia.
pub static WALDENEFFECT: Source = Source {
    id: "waldeneffect",
    author: "waldeneffect.org",
    year: None,
    title: "(title not known)",
    publisher: "50 to 60 lb in the mountains of Virginia",
    seen: Seen::NotYet,
};

/// Stores for winter in Germany.
pub static WINTER_BOXES_GERMANY: Source = Source {
    id: "winter-boxes-germany",
    author: "derbienenblog.de, rheinhessen-summt, steinbergimkerei.jimdo.com",
    year: None,
    title: "(titles not known)",
    publisher: "12 kg in one box, 15 kg and more, 18 to 22 kg in two",
    seen: Seen::NotYet,
};
