//! What can be asked for on the command line.

use std::path::PathBuf;

use clap::{Parser, Subcommand, ValueEnum};
use jiff::civil::{Date, DateTime};

/// Books and reckoning for keepers of top-bar hives: notes in, bar maps, balances, lots and costs out.
#[derive(Parser, Debug)]
#[command(
    name = "combwright",
    bin_name = "combwright",
    version,
    propagate_version = true,
    max_term_width = 100
)]
pub(crate) struct Args {
    /// The file of the books
    #[arg(long, global = true, value_name = "FILE")]
    pub(crate) books: Option<PathBuf>,
    /// Answer as one JSON value on standard output
    #[arg(long, global = true)]
    pub(crate) json: bool,
    /// Take this as the time now, such as 2026-07-19T14:20
    #[arg(long, global = true, value_name = "TIME", value_parser = time)]
    pub(crate) now: Option<DateTime>,
    #[command(subcommand)]
    pub(crate) command: Command,
}

impl Args {
    /// The file of the books, or the usual one.
    pub(crate) fn books_path(&self) -> PathBuf {
        self.books
            .clone()
            .unwrap_or_else(|| PathBuf::from("combwright.books"))
    }
}

fn time(said: &str) -> Result<DateTime, String> {
    let day = || said.parse::<Date>().ok().map(|day| day.at(12, 0, 0, 0));
    said.parse::<DateTime>()
        .ok()
        .or_else(day)
        .ok_or_else(|| "a time is written 2026-07-19T14:20".to_owned())
}

fn day(said: &str) -> Result<Date, String> {
    said.parse().map_err(|_| "a day is written 2026-07-19".to_owned())
}

#[derive(Subcommand, Debug)]
pub(crate) enum Command {
    /// Make demo books of an invented valley and print the round of the day
    Demo {
        /// Print and end
        #[arg(long)]
        no_serve: bool,
    },
    /// Write notes: from the command line, a file or standard input
    Note(NoteArgs),
    /// Answer from the books
    Show {
        #[command(subcommand)]
        topic: Topic,
        /// As things stood at the end of this day
        #[arg(long, global = true, value_name = "DAY", value_parser = day)]
        on: Option<Date>,
    },
    /// Calculate without any books
    Reckon(crate::reckon::ReckonArgs),
    /// Look after the file of the books
    Books {
        #[command(subcommand)]
        what: Books,
    },
    /// Print completions for a shell
    Completions {
        /// The shell
        shell: clap_complete::Shell,
    },
    /// Write the manual pages into a folder
    Man {
        /// The folder
        folder: PathBuf,
    },
}

#[derive(clap::Args, Debug)]
pub(crate) struct NoteArgs {
    /// Notes, one in quotes for each; or one note without quotes; - or nothing reads standard input
    #[arg(conflicts_with = "file")]
    pub(crate) lines: Vec<String>,
    /// Read the notes from a file, one a line; - is standard input
    #[arg(long, value_name = "FILE")]
    pub(crate) file: Option<PathBuf>,
    /// Write the good lines even where others are refused
    #[arg(long)]
    pub(crate) keep_good: bool,
    /// The device that writes; remembered for these books
    #[arg(long, value_name = "NAME", value_parser = device)]
    pub(crate) device: Option<ledger::Device>,
    /// Who writes: an id of the address book
    #[arg(long, value_name = "ID", default_value = "")]
    pub(crate) by: String,
}

fn device(name: &str) -> Result<ledger::Device, String> {
    ledger::Device::new(name).map_err(|error| error.to_string())
}

#[derive(Subcommand, Debug)]
pub(crate) enum Topic {
    /// What needs doing and seeing to
    Round,
    /// All hives and who lives in them
    Yard,
    /// One hive, bar by bar
    Hive {
        /// The hive
        name: String,
    },
    /// Combs last seen capped and without brood
    Ripe,
    /// What is on the shelf, at shops and in the store of empties
    Stock,
    /// One lot: where it came from and where it went
    Lot {
        /// The lot
        name: String,
    },
    /// The mass balance of pails, tanks, wax and batches
    Balance,
    /// What each hive gave
    Yields,
    /// What a kilo of honey cost
    Cost {
        /// What an hour of the keeper's own time is worth, such as "15.00 GBP"
        #[arg(long, value_name = "MONEY", allow_hyphen_values = true, value_parser = crate::commands::show::wage)]
        wage: Option<quantity::Money>,
    },
    /// Cash in hand
    Cash,
    /// What is odd in the books
    Complaints,
    /// The notes that stand, in the order of their days
    Notes,
}

#[derive(Subcommand, Debug)]
pub(crate) enum Books {
    /// Check every entry, chain and page of the file; ends with 1 where something is odd
    Check,
    /// Write the entries out, as notes one a line or as JSON lines
    Export {
        /// How
        #[arg(long, value_enum, default_value_t = Form::Notes)]
        form: Form,
    },
    /// Bring in notes or JSON lines; bringing the same in twice changes nothing
    Import {
        /// The file; - is standard input
        file: PathBuf,
        /// Write the good lines even where others cannot be read
        #[arg(long)]
        keep_good: bool,
    },
    /// Save every whole entry of a damaged file into a new one
    Rescue {
        /// The new file
        to: PathBuf,
    },
    /// The address book
    People,
    /// Enter a person into the address book, or erase them from it
    Person {
        /// The id that notes use, such as p-14
        id: String,
        /// What the book says, such as name="Ann Example"
        #[arg(value_name = "HEADING=TEXT")]
        says: Vec<String>,
        /// Tear the page out for good
        #[arg(long, conflicts_with = "says")]
        erase: bool,
    },
    /// Erase the words of a note for good; its place in the chain stays
    Erase {
        /// The note, such as laptop/17
        handle: ledger::Handle,
        /// Yes, for good
        #[arg(long)]
        for_good: bool,
    },
}

#[derive(ValueEnum, Clone, Copy, Debug)]
pub(crate) enum Form {
    /// One line a note, as it could be typed; what devices did not know of each other is not told
    Notes,
    /// One JSON object an entry, whole and exact
    Jsonl,
}
