//! The bibliography, by id in alphabetical order.
//!
//! A title that nobody has seen says so. Two entries are no publications: [`COMMON_PRACTICE`], for what
//! keepers do without a source to name, and [`FROM_MEMORY`], for a remembered value.

mod carpentry;
mod cutting;
mod heat;
mod keepers;
mod natural_comb;
mod strength;

use quantity::{Seen, Source};

pub use carpentry::*;
pub use cutting::*;
pub use heat::*;
pub use keepers::*;
pub use natural_comb::*;
pub use strength::*;

/// The single sine method of degree-days.
pub static BASKERVILLE_EMIN_1969: Source = Source {
    id: "baskerville-emin-1969",
    author: "Baskerville, G. L. and Emin, P.",
    year: Some(1969),
    title: "Rapid estimation of heat accumulation from maximum and minimum temperatures (title from memory)",
    publisher: "Ecology 50 (volume from memory); the equation read in a public library of functions",
    seen: Seen::NotYet,
};

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

/// How long a queen is caged until a colony has no brood.
pub static BROOD_BREAK_CVB: Source = Source {
    id: "brood-break-cvb",
    author: "cvbclub.com",
    year: None,
    title: "Artificial brood break",
    publisher: "https://cvbclub.com/pest-control/artificial-brood-break",
    seen: Seen::NotYet,
};

/// Degree-days by the plain average, worked out for citrus red scale.
pub static CITRUS_SCALE_UC: Source = Source {
    id: "citrus-scale-uc",
    author: "University of California",
    year: None,
    title: "California Red Scale, pest management guide (title from memory)",
    publisher: "https://ipm.ucanr.edu/PMG/FIG/cit-t01.html",
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

/// A leaflet that gives the days from egg to emerging: worker 21, drone 24, queen 16.
pub static CORNELL_AFB_2018: Source = Source {
    id: "cornell-afb-2018",
    author: "Cornell University",
    year: Some(2018),
    title: "American Foulbrood (fact sheet)",
    publisher: "https://docslib.org/doc/1102161/american-foulbrood-2018",
    seen: Seen::NotYet,
};

/// How long before a mating the drones' eggs have to be laid.
pub static DRONES_39_DAYS: Source = Source {
    id: "drones-39-days",
    author: "honestbeeltd.com",
    year: None,
    title: "(title not known)",
    publisher: "a trade page: about 39 days from the egg",
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

/// How soon a queenless colony begins queen cells.
pub static EMERGENCY_CELLS: Source = Source {
    id: "emergency-cells",
    author: "(author not known)",
    year: None,
    title: "(title not known)",
    publisher: "a keepers' book, p. 46, quoted on hotlib.net",
    seen: Seen::NotYet,
};

/// What scale hives in Austria used from October to spring.
pub static FOOD_USE_AUSTRIA: Source = Source {
    id: "food-use-austria",
    author: "bees-online.at",
    year: None,
    title: "(title not known)",
    publisher: "https://bees-online.at/page/35",
    seen: Seen::NotYet,
};

/// What scale hives in Czechia used in winter.
pub static FOOD_USE_CZECHIA: Source = Source {
    id: "food-use-czechia",
    author: "quarrylifeaward.cz",
    year: None,
    title: "(title not known)",
    publisher: "quarrylifeaward.cz: 1 to 1.5 kg a month, 33 to 50 g a day",
    seen: Seen::NotYet,
};

/// What a colony in Denmark used in late autumn.
pub static FOOD_USE_DENMARK: Source = Source {
    id: "food-use-denmark",
    author: "meadloflife.blogspot.com",
    year: None,
    title: "(title not known)",
    publisher: "meadloflife.blogspot.com: 56 g a day",
    seen: Seen::NotYet,
};

/// What a cluster in Minnesota used in midwinter, as a keeper tells it.
pub static FOOD_USE_MINNESOTA: Source = Source {
    id: "food-use-minnesota",
    author: "mlarchive.de",
    year: None,
    title: "(title not known)",
    publisher: "a letter in an archive: about 5 lb a month; an anecdote",
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

/// The layout of daily weather of many stations.
pub static GHCN_DAILY: Source = Source {
    id: "ghcn-daily",
    author: "NOAA National Centers for Environmental Information",
    year: None,
    title: "Global Historical Climatology Network Daily, readme (title from memory)",
    publisher: "widths of the .dly file as public readers have them; the CSV layouts from memory",
    seen: Seen::NotYet,
};

/// A calendar of grafting, in days from the graft.
pub static GRAFTING_TIMES: Source = Source {
    id: "grafting-times",
    author: "Cushman, D.",
    year: None,
    title: "Grafting time sheet",
    publisher: "http://dave-cushman.net/bee/graftingtimesheet.html",
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

/// A calendar of queen cells, in days from the egg: grafted 4, sealed 9, emerging 16.
pub static HARDEN_CALENDAR: Source = Source {
    id: "harden-calendar",
    author: "Harden, B., told by theapiarist.org",
    year: None,
    title: "(title not known)",
    publisher: "http://theapiarist.org/tag/swarm/",
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

/// How old a larva may be to be made a queen.
pub static LARVA_AGE: Source = Source {
    id: "larva-age",
    author: "betterbee.com",
    year: None,
    title: "(title not known)",
    publisher: "a trade page on the days of brood: up to about 36 hours after hatching",
    seen: Seen::NotYet,
};

/// After how many days without a queen workers lay.
pub static LAYING_WORKERS: Source = Source {
    id: "laying-workers",
    author: "bmdooney.com",
    year: None,
    title: "(title not known)",
    publisher: "bmdooney.com: after more than 21 days most workers have developed ovaries",
    seen: Seen::NotYet,
};

/// Degree-days by four cases.
pub static MET_EIREANN_DEGREE_DAYS: Source = Source {
    id: "met-eireann-degree-days",
    author: "Met Éireann",
    year: None,
    title: "Degree days (title from memory)",
    publisher: "http://www.met.ie/climate/data03.asp?prn=1",
    seen: Seen::NotYet,
};

/// What 32 colonies in south-west Sweden used in a winter.
pub static NORRSTROM_2021: Source = Source {
    id: "norrstrom-2021",
    author: "Norrström et al.",
    year: Some(2021),
    title: "(title not known)",
    publisher: "abstract at https://ouci.dntb.gov.ua/en/works/7nZXmpj7",
    seen: Seen::NotYet,
};

/// The days of a queen's development.
pub static QUEEN_DEVELOPMENT: Source = Source {
    id: "queen-development",
    author: "liquisearch.com",
    year: None,
    title: "Queen bee: development",
    publisher: "http://www.liquisearch.com/queen_bee/development",
    seen: Seen::NotYet,
};

/// When an unmated queen is likely to lay drones alone.
pub static QUEEN_LATE: Source = Source {
    id: "queen-late",
    author: "breconshirebeekeeping.co.uk",
    year: None,
    title: "(title not known)",
    publisher: "a keepers' association: unmated by 3 to 4 weeks",
    seen: Seen::NotYet,
};

/// When a queen cell is ripe after the graft.
pub static RIPE_CELLS: Source = Source {
    id: "ripe-cells",
    author: "unyfa.fo-library.org",
    year: None,
    title: "(title not known)",
    publisher: "unyfa.fo-library.org: ripe after 10 days, emerging within 1 to 2",
    seen: Seen::NotYet,
};

/// What wild colonies at Ithaca eat in a winter.
pub static SEELEY_2019: Source = Source {
    id: "seeley-2019",
    author: "Seeley, T. D.",
    year: Some(2019),
    title: "The Lives of Bees (title from memory)",
    publisher: "quoted text at https://whosread.com/87384/2174624",
    seen: Seen::NotYet,
};

/// The oxygen that clusters of bees use in the cold.
pub static SOUTHWICK_1985: Source = Source {
    id: "southwick-1985",
    author: "Southwick, E. E.",
    year: Some(1985),
    title: "(title not known)",
    publisher: "Journal of Comparative Physiology B 156, p. 143",
    seen: Seen::NotYet,
};

/// A keeper's diary of a colony that raised a queen.
pub static SPLIT_DIARY: Source = Source {
    id: "split-diary",
    author: "mudsongs.org",
    year: None,
    title: "(title not known)",
    publisher: "mudsongs.org",
    seen: Seen::NotYet,
};

/// What stores and what reserve a keeper advises.
pub static STEINBERG_STORES: Source = Source {
    id: "steinberg-stores",
    author: "steinbergimkerei.jimdo.com",
    year: None,
    title: "(title not known)",
    publisher: "https://steinbergimkerei.jimdo.com/a9/",
    seen: Seen::NotYet,
};

/// When a swarm leaves and how many go.
pub static SWARM_HALF: Source = Source {
    id: "swarm-half",
    author: "somersetbeekeepers.org.uk",
    year: None,
    title: "(title not known)",
    publisher: "a keepers' association",
    seen: Seen::NotYet,
};

/// When casts follow a swarm.
pub static SWARM_VIRGINS: Source = Source {
    id: "swarm-virgins",
    author: "theapiarist.org",
    year: None,
    title: "(title not known)",
    publisher: "http://theapiarist.org/tag/swarm/",
    seen: Seen::NotYet,
};

/// How long a virgin ripens before she mates, and how many return.
pub static VIRGIN_RIPENING: Source = Source {
    id: "virgin-ripening",
    author: "thebeeplace.com",
    year: None,
    title: "Swarm cells",
    publisher: "thebeeplace.com/swarm-cells",
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

/// The days of the worker's and the drone's development.
pub static WORKER_DEVELOPMENT: Source = Source {
    id: "worker-development",
    author: "rawartisanhoney.com",
    year: None,
    title: "(title not known)",
    publisher: "rawartisanhoney.com: egg 3, larva 6, out on 21; drone larva 6.5, pupa 14.5",
    seen: Seen::NotYet,
};

/// Every entry of the bibliography, by id in alphabetical order.
pub static ALL: [&Source; 95] = [
    &AIR_LAYERS,
    &AWC_CONDUCTIVITY,
    &BASICBEEKEEPING_2012,
    &BASKERVILLE_EMIN_1969,
    &BAUDOUX_THICKNESS,
    &BEE_L_2005,
    &BEEBUILT_HEAT,
    &BEEMASTER_SPRING,
    &BEESOURCE_SWARM_PREVENTION,
    &BETTS_1938,
    &BFDJ_1985,
    &BFDJ_2009,
    &BOGDANOV_PHYSICAL,
    &BROOD_BREAK_CVB,
    &BROOD_STAGES_ACT,
    &BUDDHA_2016,
    &BURGETT_BURIKAM_1985,
    &CELL_SIZE_3_YEARS,
    &CIBSE_A,
    &CITRUS_SCALE_UC,
    &COLORADO_WINTER,
    &COMMON_PRACTICE,
    &CORK_DIRACDELTA,
    &CORNELL_AFB_2018,
    &DRONES_39_DAYS,
    &ECOCOCON,
    &EIGHTHS_2020,
    &EMERGENCY_CELLS,
    &EXTENSION_STORES,
    &FARLEY_1990,
    &FELSER_STRENGTH,
    &FLOTTUM,
    &FOLLOWER_GAPS,
    &FOOD_USE_AUSTRIA,
    &FOOD_USE_CZECHIA,
    &FOOD_USE_DENMARK,
    &FOOD_USE_MINNESOTA,
    &FROM_MEMORY,
    &GARWOOD_1936,
    &GHCN_DAILY,
    &GILMORE_GOMORY_1961,
    &GILMORE_GOMORY_1965,
    &GRAFTING_TIMES,
    &GRANDMAB_2012,
    &GS1_GENERAL,
    &HAPPYHOUR_2013,
    &HAPPYHOUR_2016,
    &HAPPYHOUR_2017,
    &HARDEN_CALENDAR,
    &HEAF_WARRE,
    &HEMENWAY_2017,
    &HIVE_AND_HONEY_BEE,
    &HIVE_VOLUMES,
    &ISO_10211,
    &ISO_10456,
    &ISO_6946_2017,
    &KEEPERS_CALENDARS,
    &LARVA_AGE,
    &LAYING_WORKERS,
    &MET_EIREANN_DEGREE_DAYS,
    &MINER_THICKNESS,
    &MINKE_CLAY,
    &MITCHELL_2016,
    &NABORS_2015,
    &NATURAL_CELLS_ISEF,
    &NEST_VOLUMES,
    &NORRSTROM_2021,
    &PIPING_DESIGNER,
    &QUEEN_DEVELOPMENT,
    &QUEEN_LATE,
    &RIPE_CELLS,
    &SEELEY_2002,
    &SEELEY_2019,
    &SEELEY_MORSE_1976,
    &SIMPSON_1969,
    &SLOPE_OPINIONS,
    &SOFTWOOD_SIZES,
    &SOUTHWICK_1985,
    &SPLIT_DIARY,
    &STEINBERG_STORES,
    &STORES_BIENENJOURNAL,
    &STRENGTH_BEEBOOK,
    &SUSTAINABLE_2013,
    &SWARM_HALF,
    &SWARM_VIRGINS,
    &VENDOR_ADVICE,
    &VIRGIN_RIPENING,
    &WALDENEFFECT,
    &WAX_OF_COMB,
    &WEDMORE_1955,
    &WHITE_1975,
    &WILLIAMS_INSULATION,
    &WINTER_BOXES_GERMANY,
    &WOOD_HANDBOOK,
    &WORKER_DEVELOPMENT,
];
