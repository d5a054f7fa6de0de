//! Temperature, and the difference of two temperatures, which is another thing.

use std::ops::Sub;

/// Absolute zero on the Celsius scale, exact by the definition of the scale.
const COLDEST: f64 = -273.15;

/// A temperature on the Celsius scale, never below absolute zero and always a number.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Celsius {
    degrees: f64,
}

impl Celsius {
    /// Degrees Celsius; `None` below −273.15 and for what is not a finite number.
    pub fn new(degrees: f64) -> Option<Self> {
        (degrees.is_finite() && degrees >= COLDEST).then_some(Self { degrees })
    }

    /// Degrees Fahrenheit; `None` below absolute zero and for what is not a finite number.
    pub fn from_fahrenheit(degrees: f64) -> Option<Self> {
        Self::new((degrees - 32.0) * 5.0 / 9.0)
    }

    /// Degrees Celsius.
    pub const fn get(self) -> f64 {
        self.degrees
    }

    /// Degrees Fahrenheit.
    pub fn to_fahrenheit(self) -> f64 {
        self.degrees * 9.0 / 5.0 + 32.0
    }

    /// The temperature a step further; `None` below absolute zero.
    pub fn checked_add(self, step: CelsiusStep) -> Option<Self> {
        Self::new(self.degrees + step.degrees)
    }
}

impl Sub for Celsius {
    type Output = CelsiusStep;

    fn sub(self, other: Self) -> CelsiusStep {
        CelsiusStep {
            degrees: self.degrees - other.degrees,
        }
    }
}

/// A difference of temperatures in degrees Celsius (the same number of kelvins), always a number.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct CelsiusStep {
    degrees: f64,
}

impl CelsiusStep {
    /// So many degrees Celsius; `None` for what is not a finite number.
    pub fn new(degrees: f64) -> Option<Self> {
        degrees.is_finite().then_some(Self { degrees })
    }

    /// Degrees Celsius.
    pub const fn get(self) -> f64 {
        self.degrees
    }
}
