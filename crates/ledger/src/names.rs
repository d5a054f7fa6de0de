//! Names that appear in every entry: whose farm, which device, which number, what time of day.

use smol_str::SmolStr;
use std::fmt;
use std::str::FromStr;
use uuid::Uuid;

/// The farm a book belongs to; part of every key, so that one store can hold many.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FarmId(pub Uuid);

/// The name of a telephone, a laptop or whatever else writes its own chain.
///
/// Starts with a letter, then letters, digits and hyphens, at most 24 characters, not ending in a
/// hyphen; so a [`Handle`] can be typed anywhere and never needs quoting.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Device(SmolStr);

/// The short name of an entry: `phone/412`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Handle {
    /// Whose chain.
    pub device: Device,
    /// Which entry of the chain, the first being 1.
    pub number: u64,
}

/// A time of day to the minute, as a keeper writes it: `14:20`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Hour(u16);

/// A device, handle or hour that cannot be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum Unnameable {
    /// Breaks a rule stated at [`Device`].
    #[error("a device name is a letter, then letters, digits or hyphens, at most 24 in all")]
    Device,
    /// Is not `device/number`.
    #[error("a handle is a device name, a stroke and a number, such as phone/412")]
    Handle,
    /// Is not between 00:00 and 23:59.
    #[error("an hour lies between 00:00 and 23:59")]
    Hour,
}

impl FarmId {
    /// An id read back from where it was kept.
    #[must_use]
    pub const fn from_bytes(bytes: [u8; 16]) -> Self {
        Self(Uuid::from_bytes(bytes))
    }

    /// The raw bytes.
    #[must_use]
    pub const fn as_bytes(&self) -> &[u8; 16] {
        self.0.as_bytes()
    }
}

impl Device {
    /// The longest name, in characters.
    pub const LONGEST: usize = 24;

    /// Checks a name.
    ///
    /// # Errors
    /// When the name breaks a rule stated at [`Device`].
    pub fn new(name: &str) -> Result<Self, Unnameable> {
        let bytes = name.as_bytes();
        let starts_well = bytes.first().is_some_and(u8::is_ascii_alphabetic);
        let plain = bytes
            .iter()
            .all(|byte| byte.is_ascii_alphanumeric() || *byte == b'-');
        let fits = bytes.len() <= Self::LONGEST && bytes.last() != Some(&b'-');
        if starts_well && plain && fits {
            Ok(Self(SmolStr::new(name)))
        } else {
            Err(Unnameable::Device)
        }
    }

    /// The name as text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl Hour {
    /// Midnight at the beginning of the day.
    pub const MIDNIGHT: Self = Self(0);

    /// So many minutes after midnight.
    #[must_use]
    pub const fn from_minutes(minutes: u16) -> Option<Self> {
        if minutes < 24 * 60 {
            Some(Self(minutes))
        } else {
            None
        }
    }

    /// The time shown by a clock.
    #[must_use]
    pub const fn new(hour: u16, minute: u16) -> Option<Self> {
        if hour < 24 && minute < 60 {
            Some(Self(hour * 60 + minute))
        } else {
            None
        }
    }

    /// Minutes after midnight.
    #[must_use]
    pub const fn minutes(self) -> u16 {
        self.0
    }
}

impl fmt::Display for FarmId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl fmt::Display for Device {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl fmt::Display for Handle {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}/{}", self.device, self.number)
    }
}

impl fmt::Display for Hour {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:02}:{:02}", self.0 / 60, self.0 % 60)
    }
}

impl FromStr for Device {
    type Err = Unnameable;

    fn from_str(text: &str) -> Result<Self, Unnameable> {
        Self::new(text)
    }
}

impl FromStr for Handle {
    type Err = Unnameable;

    fn from_str(text: &str) -> Result<Self, Unnameable> {
        let (device, number) = text.split_once('/').ok_or(Unnameable::Handle)?;
        let plain = number.bytes().all(|byte| byte.is_ascii_digit()) && !number.starts_with('0');
        let number = number.parse().ok().filter(|_| plain).ok_or(Unnameable::Handle)?;
        Ok(Self {
            device: Device::new(device).map_err(|_| Unnameable::Handle)?,
            number,
        })
    }
}

impl FromStr for Hour {
    type Err = Unnameable;

    fn from_str(text: &str) -> Result<Self, Unnameable> {
        let digits = |part: &str| {
            let plain = part.len() == 2 && part.bytes().all(|byte| byte.is_ascii_digit());
            part.parse::<u16>().ok().filter(|_| plain)
        };
        let (hour, minute) = text.split_once(':').ok_or(Unnameable::Hour)?;
        let (hour, minute) = digits(hour).zip(digits(minute)).ok_or(Unnameable::Hour)?;
        Self::new(hour, minute).ok_or(Unnameable::Hour)
    }
}
