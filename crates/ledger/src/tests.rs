//! The laws of the books, on written examples and on drawn histories.

mod desk;
mod examples;
mod hours;
mod laws;
mod names;
mod wire;
