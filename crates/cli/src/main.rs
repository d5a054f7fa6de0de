//! The terminal: the one binary of Combwright.

mod args;
mod commands;
mod exit;
mod output;
mod patience;
mod reckon;

use std::process::ExitCode;

use clap::Parser as _;

/// Notes are many small pieces; an allocator made for such halves the time of opening large books.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    let args = args::Args::parse();
    let said = commands::run(&args);
    output::say(said, args.json)
}
