//! Money in whole minor units, and the sharing of it without losing a penny.

use std::fmt;

use rust_decimal::Decimal;

/// A currency, by its three letters of ISO 4217.
///
/// Whether the letters are in use is not checked: a keeper may trade in tokens.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Currency {
    letters: [u8; 3],
}

impl Currency {
    /// A currency by three upper-case ASCII letters; `None` for anything else.
    pub fn new(letters: &str) -> Option<Self> {
        let letters: [u8; 3] = letters.as_bytes().try_into().ok()?;
        letters
            .iter()
            .all(u8::is_ascii_uppercase)
            .then_some(Self { letters })
    }

    /// The three letters.
    pub fn as_str(&self) -> &str {
        std::str::from_utf8(&self.letters).expect("BUG: a currency is three ASCII letters")
    }

    /// How many decimals the minor unit has: 2 for pence and cents, 0 where there is none, 3 for a few
    /// dinars.
    ///
    /// The lists are *from memory (ISO 4217)*; 2 is the standard's usual exponent.
    pub fn minor_digits(&self) -> u32 {
        match &self.letters {
            b"BIF" | b"CLP" | b"DJF" | b"GNF" | b"ISK" | b"JPY" | b"KMF" | b"KRW" | b"PYG" | b"RWF"
            | b"UGX" | b"VND" | b"VUV" | b"XAF" | b"XOF" | b"XPF" => 0,
            b"BHD" | b"IQD" | b"JOD" | b"KWD" | b"LYD" | b"OMR" | b"TND" => 3,
            _ => 2,
        }
    }
}

impl fmt::Display for Currency {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

/// A sum of money: a whole number of minor units (pence, cents) of one currency; a debt is negative.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Money {
    minor: i64,
    currency: Currency,
}

impl Money {
    /// So many minor units of the currency.
    pub const fn new(minor: i64, currency: Currency) -> Self {
        Self { minor, currency }
    }

    /// An amount as it is written; `None` when it has more decimals than the currency, zeros included, or is
    /// out of range.
    ///
    /// `1.500 EUR` is refused: it may be a thousand and a half, written with a point between the thousands.
    pub fn from_decimal(amount: Decimal, currency: Currency) -> Option<Self> {
        let missing_digits = currency.minor_digits().checked_sub(amount.scale())?;
        let minor = amount.mantissa().checked_mul(10_i128.pow(missing_digits))?;
        Some(Self {
            minor: i64::try_from(minor).ok()?,
            currency,
        })
    }

    /// The whole number of minor units.
    pub const fn minor(self) -> i64 {
        self.minor
    }

    /// The currency.
    pub const fn currency(self) -> Currency {
        self.currency
    }

    /// The sum; `None` for two currencies or out of range.
    pub fn checked_add(self, other: Self) -> Option<Self> {
        let minor = self.minor.checked_add(other.minor)?;
        (self.currency == other.currency).then_some(Self { minor, ..self })
    }

    /// The difference; `None` for two currencies or out of range.
    pub fn checked_sub(self, other: Self) -> Option<Self> {
        let minor = self.minor.checked_sub(other.minor)?;
        (self.currency == other.currency).then_some(Self { minor, ..self })
    }

    /// So many times the sum; `None` out of range.
    pub fn checked_mul(self, times: i64) -> Option<Self> {
        Some(Self {
            minor: self.minor.checked_mul(times)?,
            ..self
        })
    }

    /// The amount with all the decimals of the currency.
    pub fn to_decimal(self) -> Decimal {
        Decimal::new(self.minor, self.currency.minor_digits())
    }

    /// The sum shared by weights, none lost: see [`share`].
    pub fn share(self, weights: &[u64]) -> Option<Vec<Self>> {
        let parts = share(self.minor, weights)?;
        Some(parts.into_iter().map(|minor| Self { minor, ..self }).collect())
    }
}

impl fmt::Display for Money {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.to_decimal(), self.currency)
    }
}

/// Shares a whole amount by weights, by largest remainder, so that the parts sum to it exactly.
///
/// What is left after rounding each part towards zero goes, one unit each, to the largest remainders; among
/// equals to the first. A negative amount is shared as its size. `None` when there are no weights or all are
/// zero.
pub fn share(amount: i64, weights: &[u64]) -> Option<Vec<i64>> {
    let weight_sum: u128 = weights.iter().copied().map(u128::from).sum();
    if weight_sum == 0 {
        return None;
    }
    let whole = u128::from(amount.unsigned_abs());
    let mut sizes: Vec<u128> = weights
        .iter()
        .map(|&weight| whole * u128::from(weight) / weight_sum)
        .collect();
    let left_over = whole - sizes.iter().sum::<u128>();
    for idx in by_remainder(whole, weights, weight_sum).take(left_over as usize) {
        sizes[idx] += 1;
    }
    let parts: Vec<i64> = sizes.into_iter().map(|size| signed(size, amount < 0)).collect();
    let sum: i128 = parts.iter().copied().map(i128::from).sum();
    assert_eq!(sum, i128::from(amount), "BUG: a share lost or made something");
    Some(parts)
}

/// The places of the weights, the largest remainder first, among equals the first place first.
fn by_remainder(whole: u128, weights: &[u64], weight_sum: u128) -> impl Iterator<Item = usize> {
    let remainder = |idx: usize| whole * u128::from(weights[idx]) % weight_sum;
    let mut places: Vec<usize> = (0..weights.len()).collect();
    places.sort_by_key(|&idx| std::cmp::Reverse(remainder(idx)));
    places.into_iter()
}

fn signed(size: u128, is_negative: bool) -> i64 {
    let size = i128::try_from(size).expect("BUG: a part is no larger than the whole");
    i64::try_from(if is_negative { -size } else { size }).expect("BUG: a part is no larger than the whole")
}
