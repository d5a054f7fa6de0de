//! The office at work: the fixed season, places, pails, lots, money, late and rival notes.

mod cards;
mod desk;
mod field;
mod fixed_season;
mod fixture;
mod forms;
mod hive;
mod never_stops;
mod order;
mod persons;
mod places;
mod warmth;
mod weather;
mod workshop;
