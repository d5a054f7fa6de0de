//! `combwright reckon TOPIC`: calculation without any books.
//!
//! Holds true: every answer has its sources and its notes; what is assumed because it was not given is said
//! in a note; a refusal names the flag and what would be accepted.
//!
//! Does not: know an equation (those are in the crate `reckon`); open books; print.
//!
//! Start at [`run`], then [`moisture`], the fullest topic; [`quantities`] reads what was typed.

mod answer;
mod bar;
mod cells;
mod cut;
mod cut_files;
mod cut_told;
mod daily;
mod degree_days;
mod density;
mod gtin;
mod heat;
mod index;
mod jars;
mod moisture;
mod quantities;
mod queen;
mod section;
mod shape;
mod share;
mod wall;
mod winter;

use std::fmt;

use serde_json::Value;

/// Calculate without any books.
#[derive(Debug, clap::Args)]
pub(crate) struct ReckonArgs {
    #[command(subcommand)]
    topic: Topic,
}

#[derive(Debug, clap::Subcommand)]
enum Topic {
    /// The water in honey, from a refractometer
    Moisture(moisture::Flags),
    /// The refractive index at 20 °C of a honey with so much water
    Index(index::Flags),
    /// The density of liquid honey
    Density(density::Flags),
    /// How many jars a mass of honey fills
    Jars(jars::Flags),
    /// Money shared by weights, nothing lost
    Share(share::Flags),
    /// An article number with its check digit
    Gtin(gtin::Flags),
    /// Cells in a square decimetre of comb
    Cells(cells::Flags),
    /// What a hive of a given section holds: volume, bars, comb and honey
    Section(section::Flags),
    /// What a wall of layers resists
    Wall(wall::Flags),
    /// What warmth a hive of a section and layers loses
    Heat(Box<heat::Flags>),
    /// Parts sawn from boards at the least cost, then with the least waste
    Cut(cut::Flags),
    /// What one bar bears: honey, wax and cells of its comb
    Bar(bar::Flags),
    /// What a colony eats in winter, and when it runs out
    Winter(winter::Flags),
    /// The dates that follow from a split, a graft or a sealed queen cell
    Queen(queen::Flags),
    /// Degree-days from daily weather
    DegreeDays(degree_days::Flags),
}

/// A calculated answer.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Reckoned {
    /// What is to be printed, with its last line feed: sentences for people, or the JSON object on one line if
    /// that was asked for.
    pub(crate) text: String,
    /// The JSON object.
    pub(crate) json: Value,
}

/// Why nothing is calculated: a sentence that names the flag and what would be accepted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Refused(pub(crate) String);

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for Refused {}

/// Calculates what was asked for.
pub(crate) fn run(args: &ReckonArgs, json: bool) -> Result<Reckoned, Refused> {
    let answer = match &args.topic {
        Topic::Moisture(flags) => moisture::reckon(flags),
        Topic::Index(flags) => index::reckon(flags),
        Topic::Density(flags) => density::reckon(flags),
        Topic::Jars(flags) => jars::reckon(flags),
        Topic::Share(flags) => share::reckon(flags),
        Topic::Gtin(flags) => gtin::reckon(flags),
        Topic::Cells(flags) => cells::reckon(flags),
        Topic::Section(flags) => section::reckon(flags),
        Topic::Wall(flags) => wall::reckon(flags),
        Topic::Heat(flags) => heat::reckon(flags),
        Topic::Cut(flags) => cut::reckon(flags),
        Topic::Bar(flags) => bar::reckon(flags),
        Topic::Winter(flags) => winter::reckon(flags),
        Topic::Queen(flags) => queen::reckon(flags),
        Topic::DegreeDays(flags) => degree_days::reckon(flags),
    }?;
    Ok(answer.told(json))
}
