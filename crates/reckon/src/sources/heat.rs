//! What materials conduct and how warmth leaves. None was read at its own text.

use quantity::{Seen, Source};

/// What gaps of still air resist.
pub static AIR_LAYERS: Source = Source {
    id: "air-layers",
    author: "100gon.de",
    year: None,
    title: "(title not known)",
    publisher: "http://www.100gon.de/?p=233: the table of DIN EN ISO 6946 for still layers of air",
    seen: Seen::NotYet,
};

/// What structural softwoods and a few other materials conduct.
pub static AWC_CONDUCTIVITY: Source = Source {
    id: "awc-conductivity",
    author: "American Wood Council",
    year: None,
    title: "(title not known)",
    publisher: "a page of questions at awc.org: softwoods 0.7 to 1.0 Btu in/(h ft2 F), steel, glass, concrete, mineral wool",
    seen: Seen::NotYet,
};

/// What building materials conduct.
pub static CIBSE_A: Source = Source {
    id: "cibse-a",
    author: "Chartered Institution of Building Services Engineers",
    year: None,
    title: "Guide A: Environmental Design (title from memory)",
    publisher: "table 3.36",
    seen: Seen::NotYet,
};

/// What cork conducts.
pub static CORK_DIRACDELTA: Source = Source {
    id: "cork-diracdelta",
    author: "diracdelta.co.uk",
    year: None,
    title: "(title not known)",
    publisher: "a table of conductivities: cork of 240 kg/m3",
    seen: Seen::NotYet,
};

/// What straw bales conduct, dry and in use.
pub static ECOCOCON: Source = Source {
    id: "ecococon",
    author: "Gurskis and Juodis",
    year: None,
    title: "(title not known)",
    publisher: "quoted at ecococon.lt: straw bales of 70 to 150 kg/m3",
    seen: Seen::NotYet,
};

/// What a heated hive of two boxes of larch lost.
pub static HEAF_WARRE: Source = Source {
    id: "heaf-warre",
    author: "Heaf, D.",
    year: None,
    title: "Lumped thermal conductance (title from the address)",
    publisher: "https://dheaf.plus.com/warrebeekeeping/thermology_lumped_thermal_conductance.htm",
    seen: Seen::NotYet,
};

/// Cases that a program for conduction has to solve.
pub static ISO_10211: Source = Source {
    id: "iso-10211",
    author: "International Organization for Standardization",
    year: Some(2017),
    title: "Thermal bridges in building construction: heat flows and surface temperatures (title from memory)",
    publisher: "ISO 10211; the points of its cases of validation from memory",
    seen: Seen::NotYet,
};

/// What building materials conduct by design.
pub static ISO_10456: Source = Source {
    id: "iso-10456",
    author: "International Organization for Standardization",
    year: None,
    title: "Building materials and products: hygrothermal properties (title from memory)",
    publisher: "EN ISO 10456 and EN ISO 10077-2, their tables read at scribd, document 522475495",
    seen: Seen::NotYet,
};

/// Layers and surfaces of walls.
pub static ISO_6946_2017: Source = Source {
    id: "iso-6946-2017",
    author: "International Organization for Standardization",
    year: Some(2017),
    title: "Building components and building elements: thermal resistance and thermal transmittance (title from memory)",
    publisher: "ISO 6946; surface resistances quoted at docs.betterbuilding.io, by direction in github.com/SimoneAragno/becalib",
    seen: Seen::NotYet,
};

/// What clay conducts by its density.
pub static MINKE_CLAY: Source = Source {
    id: "minke-clay",
    author: "Minke, G.",
    year: None,
    title: "(title not known)",
    publisher: "a table by density, quoted on the list strawbale at listserv.repp.org, May 2007",
    seen: Seen::NotYet,
};

/// What hives and hollow trees lose for the bees in them.
pub static MITCHELL_2016: Source = Source {
    id: "mitchell-2016",
    author: "Mitchell, D.",
    year: Some(2016),
    title: "(title not known)",
    publisher: "International Journal of Biometeorology, abstract at link.springer.com/article/10.1007/s00484-015-1057-z",
    seen: Seen::NotYet,
};

/// What bark and brick conduct.
pub static PIPING_DESIGNER: Source = Source {
    id: "piping-designer",
    author: "piping-designer.com",
    year: None,
    title: "(title not known)",
    publisher: "a table of conductivities: bark, common brick",
    seen: Seen::NotYet,
};

/// What insulations of plants and wool conduct.
pub static WILLIAMS_INSULATION: Source = Source {
    id: "williams-insulation",
    author: "briangwilliams.us",
    year: None,
    title: "(title not known)",
    publisher: "a table of insulations: sheep's wool, flax, strawboard, cellulose",
    seen: Seen::NotYet,
};

/// What wood conducts by specific gravity and moisture.
pub static WOOD_HANDBOOK: Source = Source {
    id: "wood-handbook",
    author: "USDA Forest Service, Forest Products Laboratory",
    year: None,
    title: "Wood Handbook: Wood as an Engineering Material (title from memory)",
    publisher: "equation 4-15, read at issuhub.com/view/index/5801, page 90; specific gravities from memory",
    seen: Seen::NotYet,
};
