//! The order in which a look is taken down: the same on a paper card, on the page for the field and in a note.
//!
//! Holds true: each key is a detail of `look`, spelt as the note language spells it, so that a row of a card read
//! from left to right is a line of notes.

/// What is said of a bar, from left to right; free words come behind all of them.
pub const COLUMNS: &[Column] = &[
    share("drawn", "Drawn"),
    // Of any age; the columns behind it say which.
    share("brood", "Brood"),
    share("sealed", "Sealed"),
    share("open", "Open"),
    column("eggs", "Eggs", Kind::Eggs),
    share("drones", "Drones"),
    share("capped", "Capped"),
    share("honey", "Honey"),
    share("nectar", "Nectar"),
    share("pollen", "Pollen"),
    share("bees", "Bees"),
    column("cells cups", "Cups", Kind::Count),
    column("cells charged", "Cells charged", Kind::Count),
    column("cells sealed", "Cells sealed", Kind::Count),
    column(
        "fault",
        "Fault",
        Kind::Choice(&["none", "crossed", "bulging", "attached", "broken", "fallen"]),
    ),
    column("queen", "Queen", SEEN),
];

/// What is said of the colony as a whole, in order; free words come behind all of them.
pub const COLONY: &[Column] = &[
    column("queen", "Queen", SEEN),
    column("temper", "Temper", Kind::Choice(&["calm", "restless", "sharp"])),
    share("bees", "Bees cover"),
    column("heft", "Heft", Kind::Choice(&["light", "fair", "heavy"])),
    column("stores", "Stores", Kind::Mass),
    column("crushed", "Bees crushed", Kind::Count),
    column("smoke", "Smoke", Kind::Choice(&["none", "little", "much"])),
    column("handled", "Handled", Kind::Choice(&["gently", "roughly"])),
    column(
        "flight",
        "Flight",
        Kind::Choice(&["none", "little", "good", "heavy"]),
    ),
    column("stopped", "Looked up to bar", Kind::Count),
];

const SEEN: Kind = Kind::Choice(&["seen", "unseen"]);

/// One thing that is taken down.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Column {
    /// The words of the note.
    pub key: &'static str,
    /// What stands above it on a card and on the page.
    pub heading: &'static str,
    /// What is written in it.
    pub kind: Kind,
}

/// What is written in a column.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Eighths of the full comb, both faces together.
    Share,
    /// Eighths, or that they were seen or not seen.
    Eggs,
    /// A whole number.
    Count,
    /// One of these words.
    Choice(&'static [&'static str]),
    /// A weight with its unit.
    Mass,
}

const fn column(key: &'static str, heading: &'static str, kind: Kind) -> Column {
    Column { key, heading, kind }
}

const fn share(key: &'static str, heading: &'static str) -> Column {
    column(key, heading, Kind::Share)
}

/// Where a detail of a look stands on a card, by its name as a value: on a bar, or in a colony as a whole. `None` for
/// what no card asks for.
pub fn position(of_a_bar: bool, value: &str) -> Option<usize> {
    let key = match value {
        "eggs_share" => "eggs",
        "cups" => "cells cups",
        "charged_cells" => "cells charged",
        "sealed_cells" => "cells sealed",
        other => other,
    };
    let columns = if of_a_bar { COLUMNS } else { COLONY };
    columns.iter().position(|column| column.key == key)
}

impl Column {
    /// What a note says where this is written in the box: nothing for an empty one.
    ///
    /// Words may be cut short as far as they stay apart, two letters at least, or one where only one word begins
    /// with it: `u` is unseen, `cr` is crossed.
    ///
    /// # Errors
    /// What is written fits no note; the sentence names the column and what fits.
    pub fn detail(&self, written: &str) -> Result<Option<String>, String> {
        let written = written.trim();
        if written.is_empty() {
            return Ok(None);
        }
        let number = || written.parse::<f64>().ok();
        let eighths = || match number()? {
            whole if whole.fract() == 0.0 => Some(format!("{} {whole}/8", self.key)),
            part => Some(format!("{} {} %", self.key, part * 12.5)),
        };
        let detail = match self.kind {
            Kind::Share => eighths(),
            Kind::Eggs if number() == Some(0.0) => Some(format!("{} unseen", self.key)),
            Kind::Eggs => eighths().or_else(|| one_of(&["seen", "unseen"], written).map(|w| self.says(w))),
            Kind::Count => written
                .parse::<u32>()
                .ok()
                .map(|count| self.says(&count.to_string())),
            Kind::Choice(words) => one_of(words, written).map(|word| self.says(word)),
            Kind::Mass => Some(self.says(written)),
        };
        let refused = || format!("{}: \"{written}\" is not {}", self.heading, self.kind.fits());
        detail.map(Some).ok_or_else(refused)
    }

    fn says(&self, what: &str) -> String {
        format!("{} {what}", self.key)
    }
}

impl Kind {
    /// What fits, in words.
    pub fn fits(self) -> String {
        match self {
            Self::Share => "a number of eighths".to_owned(),
            Self::Eggs => "a number of eighths, s for seen or u for unseen".to_owned(),
            Self::Count => "a whole number".to_owned(),
            Self::Choice(words) => format!("one of {}", words.join(", ")),
            Self::Mass => "a weight such as 6 kg".to_owned(),
        }
    }
}

fn one_of(words: &[&'static str], written: &str) -> Option<&'static str> {
    let mut fitting = words.iter().filter(|word| word.starts_with(written));
    let only = fitting.next()?;
    fitting.next().is_none().then_some(*only)
}

/// The note of a row of a card, its boxes from left to right: the tick of `as before`, the columns, the words.
/// `None` where the row is blank: the bar was not seen.
///
/// # Errors
/// A box holds what fits no note.
pub fn row(
    hive: &str,
    place: u16,
    as_before: bool,
    boxes: &[&str],
    words: &str,
) -> Result<Option<String>, String> {
    let mut details: Vec<String> = Vec::new();
    if as_before {
        details.push("as before".to_owned());
    }
    for (column, written) in COLUMNS.iter().zip(boxes) {
        details.extend(
            column
                .detail(written)
                .map_err(|says| format!("{hive} bar {place}, {says}"))?,
        );
    }
    let words = words
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
        .replace('"', "'");
    if !words.is_empty() {
        details.push(format!("note \"{words}\""));
    }
    Ok((!details.is_empty()).then(|| format!("look {hive} bar {place} {}", details.join(" "))))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::note::{Fact, read};

    fn fact(line: &str) -> Fact {
        let line = format!("2026-05-24 {line}");
        read(&line)
            .unwrap_or_else(|error| panic!("{line}: {error:?}"))
            .fact
    }

    #[test]
    fn every_column_is_a_detail_that_the_note_language_reads() {
        for column in COLUMNS.iter().chain(COLONY) {
            let written = match column.kind {
                Kind::Share | Kind::Eggs => "3",
                Kind::Count => "2",
                Kind::Choice(words) => words[words.len() - 1],
                Kind::Mass => "6 kg",
            };
            let detail = column
                .detail(written)
                .expect("it fits")
                .expect("it says something");
            let subject = if COLONY.contains(column) {
                "alder"
            } else {
                "alder bar 3"
            };
            let line = format!("look {subject} {detail}");
            assert!(fact(&line).to_string().contains(&detail), "{line}");
        }
    }

    #[test]
    fn a_row_from_left_to_right_is_a_line_of_notes() {
        let mut boxes = vec![""; COLUMNS.len()];
        boxes[0] = "8";
        boxes[2] = "4";
        boxes[4] = "s";
        boxes[13] = "1";
        boxes[14] = "bu";
        boxes[15] = "u";
        let line = row("alder", 4, false, &boxes, " wax  \"white\" ")
            .expect("it fits")
            .expect("not blank");
        assert_eq!(
            line,
            "look alder bar 4 drawn 8/8 sealed 4/8 eggs seen cells sealed 1 fault bulging queen unseen note \"wax 'white'\""
        );
        // The note language prints the queen before her cells.
        assert_eq!(
            fact(&line).to_string(),
            "look alder bar 4 drawn 8/8 sealed 4/8 eggs seen queen unseen cells sealed 1 fault bulging note \"wax 'white'\""
        );
        assert_eq!(
            row("alder", 5, true, &[], "").expect("it fits").as_deref(),
            Some("look alder bar 5 as before")
        );
        assert_eq!(row("alder", 6, false, &[], "").expect("it fits"), None);
    }

    #[test]
    fn what_does_not_fit_is_named_with_its_bar_and_column() {
        let mut boxes = vec![""; COLUMNS.len()];
        boxes[14] = "b";
        let says = row("alder", 4, false, &boxes, "").expect_err("bulging or broken");
        assert!(
            says.starts_with("alder bar 4, Fault: \"b\" is not one of none, crossed"),
            "{says}"
        );
        assert_eq!(COLUMNS[4].detail("0"), Ok(Some("eggs unseen".to_owned())));
        assert_eq!(COLUMNS[2].detail("2.5"), Ok(Some("sealed 31.25 %".to_owned())));
    }
}
