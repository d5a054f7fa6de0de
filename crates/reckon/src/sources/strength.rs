//! What the strength of colonies, the size of cells and the wax of combs are reckoned by.

use quantity::{Seen, Source};

/// How eggs, open and sealed brood stand to each other while a queen lays evenly.
pub static BROOD_STAGES_ACT: Source = Source {
    id: "brood-stages-act",
    author: "ACT Beekeepers Association",
    year: Some(2022),
    title: "Bee Buzz Box September 2022: Honey bee colony dynamics, part I, brood nest signatures",
    publisher: "https://actbeekeepers.asn.au/bee-buzz-box-september-2022-honey-bee-colony-dynamics-part-i-brood-nest-signatures/",
    seen: Seen::NotYet,
};

/// Adult bees on a comb, with older figures quoted.
pub static BURGETT_BURIKAM_1985: Source = Source {
    id: "burgett-burikam-1985",
    author: "Burgett, M. and Burikam, I.",
    year: Some(1985),
    title: "(title not known)",
    publisher: "Journal of Economic Entomology 78, p. 1154 (from memory); Kauffeld quoted there, https://studylib.net/doc/11559678/",
    seen: Seen::NotYet,
};

/// Bees and cells to a dm² of comb, by the Liebefeld method.
pub static FELSER_STRENGTH: Source = Source {
    id: "felser-strength",
    author: "imker.felser.ch",
    year: None,
    title: "Volksstärke beurteilen",
    publisher: "https://imker.felser.ch/imkerwiki/doku.php?do=export_xhtml&id=volksstaerke_beurteilen, citing Agroscope ALP forum 68, 2008, table 5",
    seen: Seen::NotYet,
};

/// The width of worker and drone cells of natural comb.
pub static NATURAL_CELLS_ISEF: Source = Source {
    id: "natural-cells-isef",
    author: "Hirasaka",
    year: None,
    title: "(title not known)",
    publisher: "abstract for a students' science fair (ISEF): workers 5.2 to 5.4 mm, drones 6.2 to 6.4 mm",
    seen: Seen::NotYet,
};

/// What tree nests are like: the width of their cells among other things.
pub static SEELEY_MORSE_1976: Source = Source {
    id: "seeley-morse-1976",
    author: "Seeley, T. D. and Morse, R. A.",
    year: Some(1976),
    title: "The nest of the honey bee (Apis mellifera L.)",
    publisher: "Insectes Sociaux 23; abstract, and the widths second-hand",
    seen: Seen::NotYet,
};

/// The mean number of bees on combs that have bees.
pub static SIMPSON_1969: Source = Source {
    id: "simpson-1969",
    author: "Simpson",
    year: Some(1969),
    title: "(title not known)",
    publisher: "abstract at https://scilit.net/publications/0a9980205563b96097e4a78ede635519",
    seen: Seen::NotYet,
};

/// What combs of food and beebread weigh.
pub static STORES_BIENENJOURNAL: Source = Source {
    id: "stores-bienenjournal",
    author: "bienenjournal.de",
    year: None,
    title: "Liebefelder Schätzmethode für ausreichend Winterfutter",
    publisher: "https://www.bienenjournal.de/imkerpraxis/fachberichte/liebefelder-schaetzmethode-fuer-ausreichend-winterfutter/",
    seen: Seen::NotYet,
};

/// How the strength of a colony is estimated by eye.
pub static STRENGTH_BEEBOOK: Source = Source {
    id: "strength-beebook",
    author: "Delaplane, K. S., van der Steen, J. and Guzman-Novoa, E.",
    year: Some(2013),
    title: "Standard methods for estimating strength parameters of Apis mellifera colonies (title from memory)",
    publisher: "Journal of Apicultural Research 52(1), section 4.2, http://coloss.org/beebook/I/colony-strength/4/2",
    seen: Seen::NotYet,
};

/// The wax in a comb, from two rules of keepers.
pub static WAX_OF_COMB: Source = Source {
    id: "wax-of-comb",
    author: "htfbw.com; prbka.co.uk",
    year: None,
    title: "(first title not known); Making beeswax",
    publisher: "https://prbka.co.uk/articles-2/making-beeswax/ and a page of htfbw.com: 9 and 11 g for a dm² of comb, computed from theirs",
    seen: Seen::NotYet,
};
