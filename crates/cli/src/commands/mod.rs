//! The commands, one file each; `lines`, `opening`, `put` and `writing` are what several of them share.

mod beyond;
mod books;
mod demo;
mod field;
mod lines;
mod note;
mod open;
mod opening;
mod print;
mod put;
mod sheet;
pub(crate) mod show;
mod weather;
mod writing;

use std::path::Path;

use clap::CommandFactory as _;
use serde_json::json;

use crate::args::{Args, Command};
use crate::exit::Failure;
use crate::output::{Said, Then};

pub(crate) fn run(args: &Args) -> Result<(Said, Option<Then>), Failure> {
    let said = match &args.command {
        Command::Demo {
            no_serve: false,
            port,
        } => return demo::serve(args, *port),
        Command::Open { port, by, lan } => return open::run(args, *port, by, lan),
        Command::Pair => beyond::pair(args),
        Command::Devices { what } => beyond::devices(args, what.as_ref()),
        Command::Demo { .. } => demo::run(args),
        Command::Note(asked) => note::run(args, asked),
        Command::Show { topic, on } => show::run(args, topic, *on),
        Command::Field { file, replace } => field::write(args, file, *replace),
        Command::Print(asked) => print::run(args, asked),
        Command::Reckon(asked) => reckon(args, asked),
        Command::Books { what } => books::run(args, what),
        Command::Completions { shell } => Ok(completions(*shell)),
        Command::Man { folder } => man(folder),
    };
    Ok((said?, None))
}

fn reckon(args: &Args, asked: &crate::reckon::ReckonArgs) -> Result<Said, Failure> {
    let reckoned = crate::reckon::run(asked, args.json).map_err(|refused| Failure::Refused(refused.0))?;
    Ok(Said::new(reckoned.text, reckoned.json))
}

fn completions(shell: clap_complete::Shell) -> Said {
    let mut out = Vec::new();
    clap_complete::generate(shell, &mut Args::command(), "combwright", &mut out);
    let script = String::from_utf8_lossy(&out).into_owned();
    let json = json!({ "shell": shell.to_string(), "script": script });
    Said::new(script, json)
}

fn man(folder: &Path) -> Result<Said, Failure> {
    let failed = |error| Failure::File(folder.display().to_string(), error);
    std::fs::create_dir_all(folder).map_err(failed)?;
    clap_mangen::generate_to(Args::command(), folder).map_err(failed)?;
    let name = folder.display().to_string();
    Ok(Said::new(
        format!("The manual pages are in {name}.\n"),
        json!({ "folder": name }),
    ))
}
