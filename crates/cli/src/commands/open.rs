//! `open`: the pages of the books, for a browser on this machine and for paired phones.

use std::path::Path;

use app::Surroundings as _;
use serde_json::{Value, json};
use web::{Desk, Doors, Setup};

use super::beyond;
use super::opening::{office_for_writing, surroundings};
use super::show;
use super::writing::announced as announced_new;
use crate::args::{Args, LanArgs};
use crate::exit::Failure;
use crate::output::{Said, Then};

pub(crate) fn run(
    args: &Args,
    port: Option<u16>,
    by: &str,
    lan: &LanArgs,
) -> Result<(Said, Option<Then>), Failure> {
    let path = args.books_path();
    let is_new = !path.exists();
    let mut doors = doors(port)?;
    let mut office = office_for_writing(args, None)?;
    office.write_as(by);
    let today = surroundings(args).today();
    let round = announced_new(args, is_new, show::round(&office, None, today));
    let lan = match lan.lan {
        true => Some(beyond::open(args, lan, &office, &mut doors)?),
        false => None,
    };
    let more = lan.as_ref().map(|lan| beyond::announced(lan, args));
    let mut desk = Desk::new(office, Box::new(surroundings(args)), setup(&path, &doors));
    if let Some(lan) = lan {
        desk = desk.beyond(lan);
    }
    let (mut said, then) = announced(round, doors, desk);
    said.text.push_str(&more.unwrap_or_default());
    Ok((said, then))
}

/// Opens the doors that the pages are served at.
pub(crate) fn doors(port: Option<u16>) -> Result<Doors, Failure> {
    Doors::open(port).map_err(|error| {
        Failure::Place(match port {
            Some(port) => {
                format!("Port {port} cannot be used: {error}. Choose another with --port, or leave it out.")
            }
            None => format!(
                "No port from {} on can be used: {error}. Choose one with --port.",
                web::USUAL_PORT
            ),
        })
    })
}

pub(crate) fn setup(path: &Path, doors: &Doors) -> Setup {
    let name = path.file_stem().unwrap_or(path.as_os_str());
    Setup {
        port: doors.port,
        name: name.to_string_lossy().into_owned(),
    }
}

/// What is said first, with the address; then the pages are served until the program is told to end.
pub(crate) fn announced(said: Said, doors: Doors, desk: Desk) -> (Said, Option<Then>) {
    let address = doors.address();
    let text = format!(
        "{}\nThe pages are at {address} for browsers on this machine. Control-C ends them.\n",
        said.text
    );
    let mut json = json!({ "address": address });
    if let (Value::Object(all), Value::Object(of)) = (&mut json, said.json) {
        all.extend(of);
    }
    let then = move || web::serve(doors, desk).map_err(|error| Failure::File(address, error));
    (Said { text, json, ..said }, Some(Box::new(then)))
}
