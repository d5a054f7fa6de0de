//! The check digit of article numbers.
//!
//! Does not: know who owns a number. Start at [`gtin`].

use std::fmt;

/// Why an article number cannot be completed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GtinError {
    /// There is something else than the digits 0 to 9.
    NotDigits,
    /// A body has 7, 11, 12 or 13 digits.
    Length {
        /// The digits that were given.
        digits: usize,
    },
}

impl fmt::Display for GtinError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotDigits => f.write_str("an article number is made of the digits 0 to 9 only"),
            Self::Length { digits } => write!(
                f,
                "an article number without its check digit has 7, 11, 12 or 13 digits, not {digits}"
            ),
        }
    }
}

impl std::error::Error for GtinError {}

/// The whole article number, from its digits without the check digit.
///
/// # What it gives
/// A GTIN of 8, 12, 13 or 14 digits.
///
/// # Equation
/// From the right, digits are weighted 3, 1, 3, 1 …; the check digit fills their sum up to a multiple of ten.
///
/// # Holds for
/// Bodies of 7, 11, 12 and 13 digits.
///
/// # Source
/// GS1 General Specifications; the same rule is published by gs1.se and gs1india.org.
///
/// # Checked against
/// Two numbers printed with their check digits, 7300011000017 and 5010017088439.
pub fn gtin(body: &str) -> Result<String, GtinError> {
    if !body.bytes().all(|byte| byte.is_ascii_digit()) {
        return Err(GtinError::NotDigits);
    }
    if !matches!(body.len(), 7 | 11 | 12 | 13) {
        return Err(GtinError::Length { digits: body.len() });
    }
    Ok(format!("{body}{}", check_digit(body)))
}

/// Whether a whole article number ends in the right check digit.
pub fn is_gtin(full: &str) -> bool {
    let body = full.get(..full.len().saturating_sub(1)).unwrap_or_default();
    gtin(body).is_ok_and(|right| right == full)
}

fn check_digit(body: &str) -> u32 {
    let weights = [3, 1].into_iter().cycle();
    let digits = body.bytes().rev().map(|byte| u32::from(byte - b'0'));
    let sum: u32 = digits.zip(weights).map(|(digit, weight)| digit * weight).sum();
    (10 - sum % 10) % 10
}
