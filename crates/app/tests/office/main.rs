//! The office at work: the fixed season, places, pails, lots, money, late and rival notes.

mod desk;
mod fixed_season;
mod fixture;
mod never_stops;
mod order;
mod places;
