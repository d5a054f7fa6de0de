//! The bytes of an envelope. Frozen: see `docs/format.md` before touching a line.
//!
//! Big-endian, length-prefixed, no padding, one way to write each envelope: whatever
//! [`decode`] accepts, [`encode`] gives back byte for byte.

mod v1;

use crate::{Broken, Envelope};

const MAGIC: &[u8; 3] = b"CWE";

/// The canonical bytes of an envelope, over which its digest is taken.
///
/// The caller keeps to what [`decode`] demands (`seen` sorted, texts below 64 KiB); entries made by
/// [`crate::Heads::seal`] or by [`decode`] do.
#[must_use]
pub fn encode(envelope: &Envelope) -> Vec<u8> {
    v1::encode(envelope)
}

/// Reads an envelope; total, whatever the bytes.
///
/// # Errors
/// Says why the bytes are not an envelope, or that they are one of a newer format.
pub fn decode(bytes: &[u8]) -> Result<Envelope, Broken> {
    let body = bytes.strip_prefix(MAGIC).ok_or(Broken::NotAnEnvelope)?;
    match body.split_first() {
        None => Err(Broken::CutShort),
        Some((&v1::FORMAT, body)) => v1::decode(body),
        Some((&format, _)) => Err(Broken::Undecodable(format)),
    }
}
