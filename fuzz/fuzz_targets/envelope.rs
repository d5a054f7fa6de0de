//! Any bytes are an envelope that encodes to the same bytes, or are refused.
#![no_main]

use ledger::wire;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    if let Ok(envelope) = wire::decode(bytes) {
        assert_eq!(wire::encode(&envelope), bytes);
    }
});
