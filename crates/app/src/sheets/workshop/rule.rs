//! Measures as the keeper's own rule has them: millimetres, or inches to a 32nd with what that is off.

use apiary::Holding;
use apiary::ground::pattern::Pattern;
use quantity::{Length, Unit};

use crate::reader::Reader;

/// The rule that measures are printed for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rule {
    /// Whole and half millimetres.
    Millimetres,
    /// Inches and their 32nds.
    Inches,
}

/// A 32nd of an inch.
const STEP: Length = Length::inch_64ths(2);

impl Rule {
    /// The rule that a pattern was described with: inches where its note says inches or feet.
    pub fn of(reader: &Reader<'_>, pattern: &Pattern) -> Self {
        let fact = reader.note(pattern.made_by).map(|note| &note.fact);
        let says_inches = |field: &str| {
            let reading = fact.and_then(|fact| fact.reading(field));
            reading.is_some_and(|reading| matches!(reading.unit(), Unit::In | Unit::Ft))
        };
        if ["length", "depth", "bar"].into_iter().any(says_inches) {
            Self::Inches
        } else {
            Self::Millimetres
        }
    }

    /// The rule of most patterns in the books.
    pub fn of_most(reader: &Reader<'_>, h: &Holding) -> Self {
        let all = h
            .ground
            .patterns
            .iter()
            .map(|(_, pattern)| Self::of(reader, pattern));
        let (mut inches, mut others) = (0, 0);
        all.for_each(|rule| match rule {
            Self::Inches => inches += 1,
            Self::Millimetres => others += 1,
        });
        if inches > others {
            Self::Inches
        } else {
            Self::Millimetres
        }
    }

    /// A measure with its unit; in inches with what it is off, where that is a tenth of a millimetre or more.
    pub fn told(self, length: Length) -> String {
        match self {
            Self::Millimetres => format!("{} mm", self.short(length)),
            Self::Inches => {
                let off = (nearest(length) - length).to_mm();
                let off = match off {
                    off if off.abs() < 0.05 => String::new(),
                    off => format!(" ({}{:.1} mm)", if off > 0.0 { "+" } else { "−" }, off.abs()),
                };
                format!("{} in{off}", self.short(length))
            }
        }
    }

    /// A measure without its unit, as a drawing has it.
    pub fn short(self, length: Length) -> String {
        match self {
            Self::Millimetres => {
                let mm = format!("{:.1}", length.to_mm());
                mm.strip_suffix(".0").unwrap_or(&mm).to_owned()
            }
            Self::Inches => inches(length),
        }
    }

    /// What stands behind measures without a unit.
    pub const fn unit(self) -> &'static str {
        match self {
            Self::Millimetres => "mm",
            Self::Inches => "in",
        }
    }

    /// A measure as a note writes it.
    pub fn noted(self, length: Length) -> String {
        match self {
            Self::Millimetres => format!("{} mm", self.short(length)),
            Self::Inches => format!("{} in", inches(length).replace(' ', "-")),
        }
    }
}

fn nearest(length: Length) -> Length {
    let step = STEP.steps();
    let half = step / 2 * length.steps().signum();
    Length::from_steps((length.steps() + half) / step * step)
}

/// Whole inches and a fraction in lowest terms: `12 1/8`.
fn inches(length: Length) -> String {
    let steps = nearest(length).steps() / STEP.steps();
    let sign = if steps < 0 { "−" } else { "" };
    let (whole, rest) = (steps.abs() / 32, steps.abs() % 32);
    if rest == 0 {
        return format!("{sign}{whole}");
    }
    let twos = rest.trailing_zeros();
    let fraction = format!("{}/{}", rest >> twos, 32 >> twos);
    match whole {
        0 => format!("{sign}{fraction}"),
        _ => format!("{sign}{whole} {fraction}"),
    }
}

/// A length as it is typed: `3.2 mm`, `1/8 in`, `1-1/4in`.
pub(super) fn read(said: &str) -> Option<Length> {
    let said = said.trim();
    let at = said.find(|c: char| c.is_alphabetic())?;
    let mm_each = match &said[at..] {
        "mm" => 1.0,
        "cm" => 10.0,
        "in" => 25.4,
        _ => return None,
    };
    let number = said[..at].trim();
    let (whole, part) = match number.split_once(['-', ' ']) {
        Some((whole, part)) => (whole.parse::<f64>().ok()?, part),
        None => (0.0, number),
    };
    let part = match part.split_once('/') {
        Some((above, below)) => {
            above.parse::<f64>().ok()? / below.parse::<f64>().ok().filter(|below| *below > 0.0)?
        }
        None => part.parse().ok()?,
    };
    Length::from_mm_f64(mm_each * (whole + part))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn inches_are_told_to_a_32nd_with_what_they_are_off() {
        let told = |mm: f64| Rule::Inches.told(Length::from_mm_f64(mm).expect("a length"));
        assert_eq!(told(25.4), "1 in");
        assert_eq!(told(19.05), "3/4 in");
        assert_eq!(told(307.975), "12 1/8 in");
        // 308 mm is 12.126 in, or 12 1/8 in less 0.025 mm.
        assert_eq!(told(308.0), "12 1/8 in");
        // 307.7 mm is 12.1142 in; 12 1/8 in is 307.975 mm.
        assert_eq!(told(307.7), "12 1/8 in (+0.3 mm)");
        // 100 mm is 3.937 in; 3 15/16 in is 100.0125 mm, and 95 mm is 3 3/4 in less 0.25 mm.
        assert_eq!(told(100.0), "3 15/16 in");
        assert_eq!(told(95.0), "3 3/4 in (+0.2 mm)");
    }

    #[test]
    fn millimetres_keep_a_tenth_where_there_is_one() {
        let told = |mm: f64| Rule::Millimetres.told(Length::from_mm_f64(mm).expect("a length"));
        assert_eq!(
            (told(955.0), told(307.7)),
            ("955 mm".to_owned(), "307.7 mm".to_owned())
        );
    }

    #[test]
    fn a_typed_length_is_read_with_its_unit() {
        assert_eq!(read("3.2 mm"), Length::from_mm_f64(3.2));
        assert_eq!(read("1/8 in"), Some(Length::inch_64ths(8)));
        assert_eq!(read("1-1/4in"), Some(Length::inch_64ths(80)));
        for bad in ["3.2", "mm", "1/0 in", "3 ft", "-", ""] {
            assert_eq!(read(bad), None, "{bad}");
        }
    }

    #[test]
    fn a_noted_measure_reads_as_it_is() {
        assert_eq!(Rule::Inches.noted(Length::inch_64ths(64 + 16)), "1-1/4 in");
        assert_eq!(Rule::Millimetres.noted(Length::mm(140)), "140 mm");
    }
}
