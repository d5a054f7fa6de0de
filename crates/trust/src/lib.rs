//! The farm's own certificate authority: it vouches for this machine's name before the farm's phones.
//!
//! A browser lets a page work without a signal only where it trusts the page's address, and for an address
//! within a farm nobody public vouches. So the farm does it itself. [`Authority::make`] draws two keys. The first
//! signs the *root*, which phones take in, and one certificate below it, the *issuing* one; then it is thrown
//! away. The second, the issuing key, is kept and signs the short-lived certificates of this machine.
//!
//! Holds true: no key exists any more that the root's holder could sign another name with; the one that is kept
//! can vouch for the authority's own hosts and nothing else, as both certificates say in a critical extension
//! (RFC 5280, 4.2.1.10), and it cannot pass even that on.
//!
//! Knows no file, no clock and no network: the time is handed in. Keys and serial numbers are drawn from the
//! system's randomness here, and nowhere else below `app`.
//!
//! Start at [`Authority`], then [`Host`].

mod authority;
mod host;

pub use authority::{Authority, Certificate, Fingerprint, NotMade, Unreadable};
pub use host::{Host, NoHost};
