//! The units that notes are written in.

/// What a unit measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum UnitKind {
    /// Mass.
    Mass,
    /// Length.
    Length,
    /// Volume.
    Volume,
    /// Temperature on a scale.
    Temperature,
    /// A part of a hundred.
    Percent,
    /// Area.
    Area,
}

/// A unit that an amount in a note may have.
///
/// Gallon, quart, pint and fluid ounce are those of the United States; pound and ounce are avoirdupois; the
/// tonne is metric.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Unit {
    /// Kilogram.
    Kg,
    /// Gram.
    G,
    /// Milligram.
    Mg,
    /// Tonne, 1 000 kg.
    T,
    /// Avoirdupois pound, 0.453 592 37 kg exactly.
    Lb,
    /// Avoirdupois ounce, a sixteenth of a pound.
    Oz,
    /// Millimetre.
    Mm,
    /// Centimetre.
    Cm,
    /// Metre.
    M,
    /// Kilometre.
    Km,
    /// Inch, 25.4 mm exactly.
    In,
    /// Foot, 12 inches.
    Ft,
    /// Mile, 5 280 feet.
    Mi,
    /// Millilitre.
    Ml,
    /// Centilitre.
    Cl,
    /// Litre.
    L,
    /// US fluid ounce, a 128th of a gallon.
    Floz,
    /// US gallon, 231 cubic inches.
    Gal,
    /// US liquid quart, a quarter of a gallon.
    Qt,
    /// US liquid pint, an eighth of a gallon.
    Pt,
    /// Degree Celsius.
    C,
    /// Degree Fahrenheit.
    F,
    /// Per cent.
    Percent,
    /// Square centimetre.
    Cm2,
    /// Square decimetre.
    Dm2,
    /// Square metre.
    M2,
    /// Square inch.
    In2,
}

impl Unit {
    /// Every unit, in the order of this type.
    pub const ALL: [Self; 27] = [
        Self::Kg,
        Self::G,
        Self::Mg,
        Self::T,
        Self::Lb,
        Self::Oz,
        Self::Mm,
        Self::Cm,
        Self::M,
        Self::Km,
        Self::In,
        Self::Ft,
        Self::Mi,
        Self::Ml,
        Self::Cl,
        Self::L,
        Self::Floz,
        Self::Gal,
        Self::Qt,
        Self::Pt,
        Self::C,
        Self::F,
        Self::Percent,
        Self::Cm2,
        Self::Dm2,
        Self::M2,
        Self::In2,
    ];

    /// The unit a keeper means by a word, in its short or its spoken form, British or American; `None` if it
    /// is no unit, or could be two (a ton is long, short or metric).
    ///
    /// Short forms keep their case, since `m` and `M` are not the same; words of three letters and more may
    /// have any.
    pub fn from_word(word: &str) -> Option<Self> {
        short_form(word).or_else(|| spoken_form(&word.to_ascii_lowercase()))
    }

    /// The short spelling that notes are printed with.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Kg => "kg",
            Self::G => "g",
            Self::Mg => "mg",
            Self::T => "t",
            Self::Lb => "lb",
            Self::Oz => "oz",
            Self::Mm => "mm",
            Self::Cm => "cm",
            Self::M => "m",
            Self::Km => "km",
            Self::In => "in",
            Self::Ft => "ft",
            Self::Mi => "mi",
            Self::Ml => "ml",
            Self::Cl => "cl",
            Self::L => "l",
            Self::Floz => "floz",
            Self::Gal => "gal",
            Self::Qt => "qt",
            Self::Pt => "pt",
            Self::C => "C",
            Self::F => "F",
            Self::Percent => "%",
            Self::Cm2 => "cm2",
            Self::Dm2 => "dm2",
            Self::M2 => "m2",
            Self::In2 => "in2",
        }
    }

    /// What the unit measures.
    pub const fn kind(self) -> UnitKind {
        match self {
            Self::Kg | Self::G | Self::Mg | Self::T | Self::Lb | Self::Oz => UnitKind::Mass,
            Self::Mm | Self::Cm | Self::M | Self::Km | Self::In | Self::Ft | Self::Mi => UnitKind::Length,
            Self::Ml | Self::Cl | Self::L | Self::Floz | Self::Gal | Self::Qt | Self::Pt => UnitKind::Volume,
            Self::C | Self::F => UnitKind::Temperature,
            Self::Percent => UnitKind::Percent,
            Self::Cm2 | Self::Dm2 | Self::M2 | Self::In2 => UnitKind::Area,
        }
    }
}

impl std::fmt::Display for Unit {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.as_str())
    }
}

fn short_form(word: &str) -> Option<Unit> {
    let other_spelling = match word {
        "Kg" | "KG" => Some(Unit::Kg),
        "Lb" | "LB" => Some(Unit::Lb),
        "Oz" | "OZ" => Some(Unit::Oz),
        "mL" | "ML" => Some(Unit::Ml),
        "cL" => Some(Unit::Cl),
        "L" => Some(Unit::L),
        "°C" => Some(Unit::C),
        "°F" => Some(Unit::F),
        "cm²" => Some(Unit::Cm2),
        "dm²" => Some(Unit::Dm2),
        "m²" => Some(Unit::M2),
        "in²" => Some(Unit::In2),
        _ => None,
    };
    other_spelling.or_else(|| Unit::ALL.into_iter().find(|unit| unit.as_str() == word))
}

fn spoken_form(word: &str) -> Option<Unit> {
    spoken_mass(word)
        .or_else(|| spoken_length(word))
        .or_else(|| spoken_volume(word))
        .or_else(|| spoken_other(word))
}

fn spoken_mass(word: &str) -> Option<Unit> {
    Some(match word {
        "kilo" | "kilos" | "kilogram" | "kilograms" | "kilogramme" | "kilogrammes" | "kgs" => Unit::Kg,
        "gram" | "grams" | "gramme" | "grammes" => Unit::G,
        "milligram" | "milligrams" | "milligramme" | "milligrammes" => Unit::Mg,
        "tonne" | "tonnes" => Unit::T,
        "pound" | "pounds" | "lbs" => Unit::Lb,
        "ounce" | "ounces" => Unit::Oz,
        _ => return None,
    })
}

fn spoken_length(word: &str) -> Option<Unit> {
    Some(match word {
        "millimetre" | "millimetres" | "millimeter" | "millimeters" => Unit::Mm,
        "centimetre" | "centimetres" | "centimeter" | "centimeters" => Unit::Cm,
        "metre" | "metres" | "meter" | "meters" => Unit::M,
        "kilometre" | "kilometres" | "kilometer" | "kilometers" => Unit::Km,
        "inch" | "inches" => Unit::In,
        "foot" | "feet" => Unit::Ft,
        "mile" | "miles" => Unit::Mi,
        _ => return None,
    })
}

fn spoken_volume(word: &str) -> Option<Unit> {
    Some(match word {
        "millilitre" | "millilitres" | "milliliter" | "milliliters" => Unit::Ml,
        "centilitre" | "centilitres" | "centiliter" | "centiliters" => Unit::Cl,
        "litre" | "litres" | "liter" | "liters" => Unit::L,
        "fl oz" | "fl-oz" | "floz" | "fluid ounce" | "fluid ounces" | "fluid-ounce" | "fluid-ounces" => {
            Unit::Floz
        }
        "gallon" | "gallons" => Unit::Gal,
        "quart" | "quarts" => Unit::Qt,
        "pint" | "pints" => Unit::Pt,
        _ => return None,
    })
}

fn spoken_other(word: &str) -> Option<Unit> {
    Some(match word {
        "celsius" | "centigrade" => Unit::C,
        "fahrenheit" => Unit::F,
        "percent" | "per cent" | "per-cent" => Unit::Percent,
        _ => return None,
    })
}
