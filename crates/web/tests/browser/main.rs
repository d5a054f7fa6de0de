//! The pages in a real browser, over a real port, on the demo books and on books of their own.

mod checks;
mod driver;
mod field;
mod harness;
mod http;
mod keeper;
mod outline;
mod pages;
mod paired;
mod paths;
mod phone;
mod season;
mod served;
