//! Patterns to begin with: designs of our own, each a form that is filled in and can be changed before it is written.

use apiary::note::compose::fill;
use apiary::note::read;
use page::{Block, Words};

use crate::reader::Reader;

/// A design to begin with: what it is, and the note that describes it but for its day.
struct Start {
    says: &'static str,
    note: &'static str,
}

/// Our own, invented for this program; none is a published plan.
const STARTS: [Start; 6] = [
    Start {
        says: "Sloping boards, from straight planks of 22 mm",
        note: "pattern slant slope top 42 cm floor 22 cm depth 27 cm length 95.5 cm bar 35 mm bar-length 47 cm bar-thickness 20 mm guide \"wax line\" followers 2 holes 8 of 16 mm in side wall \"pine 22 mm\" ends \"pine 22 mm\" base \"pine 22 mm\" cover \"pine 20 mm\" cover \"pine 22 mm\" height 80 cm leg 70 mm x 22 mm",
    },
    Start {
        says: "Upright boards, the fewest cuts",
        note: "pattern plain upright width 38 cm depth 27 cm length 95.5 cm bar 35 mm bar-length 43 cm bar-thickness 20 mm guide \"wax line\" followers 2 holes 8 of 16 mm in side wall \"pine 22 mm\" ends \"pine 22 mm\" base \"pine 22 mm\" cover \"pine 20 mm\" cover \"pine 22 mm\" height 80 cm leg 70 mm x 22 mm",
    },
    Start {
        says: "A steel drum of 200 litres lying on its side, cut so that 60 litres are left below the bars",
        note: "pattern cask drum diameter 57.15 cm depth 18.4 cm length 85.1 cm bar 35 mm bar-length 62 cm bar-thickness 20 mm guide \"wood strip\" followers 2 holes 6 of 18 mm in end wall \"steel 1.2 mm\" ends \"steel 1.2 mm\" cover \"pine 20 mm\" cover \"wool 50 mm\" cover \"pine 22 mm\" height 85 cm leg 95 mm x 22 mm",
    },
    Start {
        says: "A bent sheet in a wooden frame, straw round it",
        note: "pattern bow arc width 44 cm depth 26 cm length 88.5 cm bar 35 mm bar-length 49 cm bar-thickness 20 mm guide \"wax line\" followers 1 holes 6 of 18 mm in end wall \"plywood 4 mm\" wall \"straw 60 mm\" ends \"pine 22 mm\" cover \"pine 20 mm\" cover \"straw 60 mm\" cover \"plywood 9 mm\"",
    },
    Start {
        says: "A hanging basket under clay, as a chain hangs",
        note: "pattern basket catenary top 44 cm depth 30 cm length 85 cm bar 32 mm bar-length 50 cm bar-thickness 20 mm guide \"wax line\" holes 5 of 18 mm in end wall \"clay 1200 kg/m3 30 mm\" ends \"pine 22 mm\" cover \"pine 20 mm\" cover \"straw 80 mm\"",
    },
    Start {
        says: "Warm walls: two boards with wool between them, a pane to look in by",
        note: "pattern cosy upright width 40 cm depth 28 cm length 95.5 cm bar 32 mm bar-length 56 cm bar-thickness 20 mm spacers 12 of 6 mm guide \"wax line\" followers 2 holes 8 of 16 mm in side wall \"pine 15 mm\" wall \"wool 30 mm\" wall \"pine 15 mm\" ends \"pine 22 mm\" base \"pine 22 mm\" cover \"pine 20 mm\" cover \"wool 60 mm\" cover \"pine 15 mm\" pane 60 cm x 15 cm of \"glass 4 mm\" height 80 cm leg 70 mm x 22 mm",
    },
];

/// The designs, each leading to its filled-in form.
pub(super) fn starts(reader: &Reader<'_>) -> Block {
    let links = STARTS.iter().map(|start| {
        let line = format!("{} {}", reader.day(), start.note);
        Words::linked(start.says, form(&line)).plain(".")
    });
    Block::List(links.collect())
}

/// The form of a pattern, filled in with what a note says but for its day and the name it would take.
pub(super) fn form(line: &str) -> String {
    let note = read(line).expect("BUG: a design to begin with reads");
    let mut query: Vec<String> = fill(&note)
        .into_iter()
        .filter(|(key, _)| key != "day")
        .map(|(key, value)| format!("{}={}", encoded(&key), encoded(&value)))
        .collect();
    query.sort();
    format!("/write/pattern?{}", query.join("&"))
}

fn encoded(text: &str) -> String {
    super::super::path(&[text])[1..].to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_design_to_begin_with_can_be_built_and_kept_warm() {
        for start in &STARTS {
            let line = format!("2026-03-01 {}", start.note);
            let note = read(&line).unwrap_or_else(|error| panic!("{line}: {error}"));
            let doubts = apiary::Holding::default().misgivings(&note);
            assert!(doubts.is_empty(), "{}: {doubts:?}", start.says);
            assert_eq!(form(&line).matches("pattern=").count(), 1, "{}", start.says);
        }
    }
}
