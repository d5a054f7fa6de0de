//! apiary.
