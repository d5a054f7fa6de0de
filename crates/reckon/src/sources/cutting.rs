//! What cutting lists are planned by.

use quantity::{Seen, Source};

/// The bound of a column generation that is not at its end.
pub static FARLEY_1990: Source = Source {
    id: "farley-1990",
    author: "Farley, A. A.",
    year: Some(1990),
    title: "A note on bounding a class of linear programming problems, including cutting stock problems (title from memory)",
    publisher: "Operations Research 38 (volume from memory)",
    seen: Seen::NotYet,
};

/// Column generation for lengths.
pub static GILMORE_GOMORY_1961: Source = Source {
    id: "gilmore-gomory-1961",
    author: "Gilmore, P. C. and Gomory, R. E.",
    year: Some(1961),
    title: "A linear programming approach to the cutting-stock problem (title from memory)",
    publisher: "Operations Research 9 (volume from memory)",
    seen: Seen::NotYet,
};

/// Column generation for boards cut in stages.
pub static GILMORE_GOMORY_1965: Source = Source {
    id: "gilmore-gomory-1965",
    author: "Gilmore, P. C. and Gomory, R. E.",
    year: Some(1965),
    title: "Multistage cutting stock problems of two and more dimensions (title from memory)",
    publisher: "Operations Research 13 (volume from memory)",
    seen: Seen::NotYet,
};
