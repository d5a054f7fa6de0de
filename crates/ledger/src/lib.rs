//! ledger.
