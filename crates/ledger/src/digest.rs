//! Fingerprints and the salt that keeps a short note from being guessed from its fingerprint.

use std::fmt;

/// A BLAKE3 fingerprint: of an envelope, of a salted note, or of an attachment.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Digest([u8; 32]);

/// Sixteen random bytes hashed together with a note.
///
/// Without them anybody holding a blanked entry could try likely notes until the fingerprint
/// fits; so blanking throws the salt away too.
#[derive(Clone, Copy, PartialEq, Eq)]
pub struct Salt([u8; 16]);

/// Text that is not 64 hexadecimal digits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("not a digest of 64 hexadecimal digits")]
pub struct Misread;

impl Digest {
    /// The fingerprint of some bytes.
    #[must_use]
    pub fn of(bytes: &[u8]) -> Self {
        Self(*blake3::hash(bytes).as_bytes())
    }

    /// The fingerprint that commits to a note without showing it.
    #[must_use]
    pub fn commitment(salt: &Salt, note: &[u8]) -> Self {
        let mut hasher = blake3::Hasher::new();
        hasher.update(&salt.0).update(note);
        Self(*hasher.finalize().as_bytes())
    }

    /// A fingerprint read back from where it was kept.
    #[must_use]
    pub const fn from_bytes(bytes: [u8; 32]) -> Self {
        Self(bytes)
    }

    /// The raw bytes.
    #[must_use]
    pub const fn as_bytes(&self) -> &[u8; 32] {
        &self.0
    }

    /// The first eight hexadecimal digits, enough to tell two apart on a page.
    #[must_use]
    pub fn short(&self) -> String {
        hex(&self.0[..4])
    }

    /// Reads the 64 digits that `Display` prints.
    ///
    /// # Errors
    /// When the text is anything but 64 hexadecimal digits.
    pub fn from_hex(text: &str) -> Result<Self, Misread> {
        let digits = text.as_bytes();
        if digits.len() != 64 {
            return Err(Misread);
        }
        let mut bytes = [0; 32];
        for (byte, pair) in bytes.iter_mut().zip(digits.chunks_exact(2)) {
            *byte = nibble(pair[0])? << 4 | nibble(pair[1])?;
        }
        Ok(Self(bytes))
    }

    /// Four bytes of the fingerprint as a number; evenly spread, since BLAKE3 is.
    pub(crate) const fn tag(&self) -> u32 {
        u32::from_be_bytes([self.0[0], self.0[1], self.0[2], self.0[3]])
    }
}

impl Salt {
    /// A salt made of sixteen random bytes, which the caller must have drawn afresh.
    #[must_use]
    pub const fn from_bytes(bytes: [u8; 16]) -> Self {
        Self(bytes)
    }

    /// The raw bytes.
    #[must_use]
    pub const fn as_bytes(&self) -> &[u8; 16] {
        &self.0
    }
}

impl fmt::Display for Digest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&hex(&self.0))
    }
}

impl fmt::Debug for Digest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Digest({})", self.short())
    }
}

/// Never shows the bytes: a salt in a log undoes what blanking is for.
impl fmt::Debug for Salt {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Salt(…)")
    }
}

fn hex(bytes: &[u8]) -> String {
    const DIGITS: &[u8; 16] = b"0123456789abcdef";
    bytes
        .iter()
        .flat_map(|byte| [DIGITS[usize::from(byte >> 4)], DIGITS[usize::from(byte & 15)]])
        .map(char::from)
        .collect()
}

fn nibble(digit: u8) -> Result<u8, Misread> {
    match digit {
        b'0'..=b'9' => Ok(digit - b'0'),
        b'a'..=b'f' => Ok(digit - b'a' + 10),
        b'A'..=b'F' => Ok(digit - b'A' + 10),
        _ => Err(Misread),
    }
}
