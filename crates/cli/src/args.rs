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
    /// Make demo books of an invented valley, print the round of the day and serve the pages until stopped
    Demo {
        /// Print and end
        #[arg(long)]
        no_serve: bool,
        /// The port of the pages; without it the first free one from 8436 on
        #[arg(long, value_name = "N")]
        port: Option<u16>,
    },
    /// Serve the pages of the books to a browser on this machine, and with --lan to paired phones, until stopped
    Open {
        /// The port of the pages; without it the first free one from 8436 on
        #[arg(long, value_name = "N")]
        port: Option<u16>,
        /// Who writes: an id of the address book
        #[arg(long, value_name = "ID", default_value = "")]
        by: String,
        #[command(flatten)]
        lan: LanArgs,
    },
    /// Make a one-time code that pairs a phone, with the addresses as codes for its camera
    Pair,
    /// List the phones and other machines that were paired, or stop them
    Devices {
        #[command(subcommand)]
        what: Option<Devices>,
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
    /// Write the page for the field into one file that works without a server and without a signal
    Field {
        /// The file, such as field.html
        file: PathBuf,
        /// Take the place of a file of that name
        #[arg(long)]
        replace: bool,
    },
    /// Put cards, the round or a hive on paper, as a PDF file
    Print(PrintArgs),
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
pub(crate) struct LanArgs {
    /// Serve paired phones in the local network as well, encrypted
    #[arg(long)]
    pub(crate) lan: bool,
    /// What phones call this machine: a name or an address; may be given twice [default: its own name with .local]
    #[arg(long, value_name = "HOST", requires = "lan")]
    pub(crate) called: Vec<trust::Host>,
    /// The address of this machine to be served at [default: all of them]
    #[arg(long, value_name = "ADDRESS", requires = "lan")]
    pub(crate) on: Option<std::net::IpAddr>,
    /// The port for phones [default: 8496]
    #[arg(long, value_name = "N", requires = "lan")]
    pub(crate) lan_port: Option<u16>,
}

#[derive(Subcommand, Debug)]
pub(crate) enum Devices {
    /// Stop one: it gets no answer from now on
    Stop {
        /// Which, such as d-1
        id: String,
    },
    /// Stop all of them, and close a code that is open
    StopAll,
    /// Make a new certificate authority and stop all; each phone takes in the new certificate
    NewAuthority {
        /// What phones call this machine: a name or an address; may be given twice [default: what they called it]
        #[arg(long, value_name = "HOST")]
        called: Vec<trust::Host>,
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

#[derive(clap::Args, Debug)]
pub(crate) struct PrintArgs {
    #[command(subcommand)]
    pub(crate) what: Print,
    /// The paper [default: a4]
    #[arg(
        long,
        global = true,
        value_enum,
        env = "COMBWRIGHT_PAPER",
        hide_env_values = true
    )]
    pub(crate) paper: Option<Paper>,
    /// The file [default: what is printed, such as card-alder.pdf]
    #[arg(long, global = true, value_name = "FILE")]
    pub(crate) out: Option<PathBuf>,
    /// Take the place of a file of that name
    #[arg(long, global = true)]
    pub(crate) replace: bool,
    /// As things stood at the end of this day
    #[arg(long, global = true, value_name = "DAY", value_parser = day)]
    pub(crate) on: Option<Date>,
}

#[derive(Subcommand, Debug)]
pub(crate) enum Print {
    /// Look cards with the last map: of the hives that are named, or of all hives with bees
    Card {
        /// The hives
        hives: Vec<String>,
        /// All hives with bees of this yard
        #[arg(long, value_name = "NAME", conflicts_with = "hives")]
        yard: Option<String>,
    },
    /// Look cards without a map, for hives without records
    Blank {
        /// How many bars each has
        #[arg(long, value_name = "N", default_value_t = 30, value_parser = clap::value_parser!(u16).range(1..=i64::from(app::sheets::MOST_BARS)))]
        bars: u16,
        /// How many cards
        #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u16).range(1..=100))]
        cards: u16,
    },
    /// The round of the day, or of a yard
    Round {
        /// The yard
        yard: Option<String>,
    },
    /// The page of a hive, with its drawings
    Hive {
        /// The hive
        name: String,
    },
    /// The page of a pattern, with its drawings; without a name all patterns side by side
    Workshop {
        /// The pattern
        name: Option<String>,
    },
    /// The cutting list of a pattern
    Cut {
        /// The pattern
        name: String,
        #[command(flatten)]
        saw: SawFlags,
    },
    /// A part that is sawn round an outline, at full size
    Template {
        /// The pattern
        pattern: String,
        /// The part
        #[arg(long, value_enum, default_value_t = Shaped::Follower)]
        part: Shaped,
        /// On paper over as many sheets as it needs, or for a program that draws or cuts
        #[arg(long = "as", value_enum, default_value_t = TemplateForm::Pdf)]
        form: TemplateForm,
    },
}

/// How parts are sawn.
#[derive(clap::Args, Clone, Debug)]
pub(crate) struct SawFlags {
    /// How many hives
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub(crate) hives: u32,
    /// What the saw takes
    #[arg(
        long,
        value_name = "LENGTH",
        default_value = "3.2 mm",
        allow_hyphen_values = true
    )]
    pub(crate) kerf: String,
    /// What is trimmed off all four sides of every board
    #[arg(
        long,
        value_name = "LENGTH",
        default_value = "0 mm",
        allow_hyphen_values = true
    )]
    pub(crate) edge: String,
    /// Which cuts come first: rip or crosscut
    #[arg(long, value_name = "WAY", default_value = "rip")]
    pub(crate) order: String,
    /// Buy nothing: wood on hand alone
    #[arg(long)]
    pub(crate) from_hand: bool,
}

#[derive(ValueEnum, Clone, Copy, Debug)]
pub(crate) enum Shaped {
    /// The boards that close the hive
    End,
    /// The boards that close off a part of it
    Follower,
    /// The boards that a drum lies in
    Cradle,
}

#[derive(ValueEnum, Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum TemplateForm {
    /// Sheets to be glued together
    Pdf,
    /// A drawing at its true size
    Svg,
    /// A drawing in millimetres, with a layer each for what is cut, drilled and marked
    Dxf,
}

#[derive(ValueEnum, Clone, Copy, Debug)]
pub(crate) enum Paper {
    /// 210 mm by 297 mm
    A4,
    /// 8.5 in by 11 in
    Letter,
}

#[derive(Subcommand, Debug)]
pub(crate) enum Topic {
    /// What needs doing and seeing to; with a yard, its hives in the order in which they are visited
    Round {
        /// The yard
        #[arg(long, value_name = "YARD")]
        yard: Option<String>,
    },
    /// What follows from splits, queen cells, swarms and lost queens, within which days
    Calendar {
        /// Of this hive alone
        #[arg(long, value_name = "HIVE")]
        hive: Option<String>,
        /// As iCalendar (RFC 5545), for a calendar program
        #[arg(long)]
        ics: bool,
    },
    /// Bait boxes, and swarms somebody called about
    Swarms,
    /// All hives and who lives in them
    Yard,
    /// One hive, bar by bar
    Hive {
        /// The hive
        name: String,
    },
    /// What the looks at a hive mean: room, signs of swarming, what is ripe, winter
    Meaning {
        /// The hive
        name: String,
    },
    /// Patterns, wood on hand, boards that can be bought
    Workshop,
    /// A pattern of hives: room, combs, warmth, parts, weight
    Pattern {
        /// The pattern
        name: String,
    },
    /// The cutting list of a pattern: boards to buy, how to saw them, what is left
    Cut {
        /// The pattern
        name: String,
        #[command(flatten)]
        saw: SawFlags,
        /// How long to look for a cheaper list; Ctrl-C keeps the best so far
        #[arg(long, value_name = "SECONDS", default_value_t = 10, value_parser = clap::value_parser!(u16).range(1..=3600))]
        seconds: u16,
    },
    /// All patterns side by side
    Compare,
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
        #[arg(long, value_name = "MONEY", allow_hyphen_values = true, value_parser = app::sheets::wage)]
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
    /// Bring in notes, JSON lines or a spreadsheet; bringing the same in twice changes nothing
    Import(ImportArgs),
    /// Bring home a text file of notes from the field page; bringing the same in twice changes nothing
    Bring {
        /// The file that the phone gave out; - is standard input
        file: PathBuf,
    },
    /// Bring in the daily weather of a yard: a CSV with the columns date,tmin_c,tmax_c[,rain_mm], or a file of
    /// GHCN-Daily; bringing the same in twice changes nothing
    Weather {
        /// The file; - is standard input
        file: PathBuf,
        /// The yard
        #[arg(long, value_name = "NAME")]
        yard: String,
        /// The station, where the file has several
        #[arg(long, value_name = "ID")]
        station: Option<String>,
        /// Only show what would be written
        #[arg(long)]
        dry_run: bool,
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

#[derive(clap::Args, Debug)]
pub(crate) struct ImportArgs {
    /// The file: notes, JSON lines, or with --as a sheet (.csv or .xlsx); - is standard input
    pub(crate) file: PathBuf,
    /// Write the good lines or rows even where others are refused
    #[arg(long)]
    pub(crate) keep_good: bool,
    /// The rows of the sheet are notes of this verb, such as cut
    #[arg(long = "as", value_name = "VERB")]
    pub(crate) verb: Option<String>,
    /// What fills a key of the verb: a column, a template such as 'comb={Weight} kg', or words between quotes
    #[arg(long = "map", value_name = "KEY=COLUMN", requires = "verb", value_parser = map)]
    pub(crate) maps: Vec<(String, String)>,
    /// Which way of saying the verb, counted from 1 [default: the one that has all the keys]
    #[arg(long, value_name = "N", requires = "verb", value_parser = clap::value_parser!(u16).range(1..))]
    pub(crate) form: Option<u16>,
    /// In which order the parts of a day stand
    #[arg(long, value_enum, requires = "verb", default_value_t = Days::Ymd)]
    pub(crate) days: Days,
    /// What stands before the decimals
    #[arg(long, value_enum, requires = "verb", default_value_t = DecimalSign::Point)]
    pub(crate) decimal: DecimalSign,
    /// Which sheet of the workbook
    #[arg(long, value_name = "NAME", requires = "verb")]
    pub(crate) sheet: Option<String>,
    /// Show what would be written, and write nothing
    #[arg(long, requires = "verb")]
    pub(crate) dry_run: bool,
    /// Where refused rows go [default: beside the sheet, as NAME.refused.csv]
    #[arg(long, value_name = "FILE", requires = "verb")]
    pub(crate) refused: Option<PathBuf>,
}

fn map(said: &str) -> Result<(String, String), String> {
    let (key, column) = said
        .split_once('=')
        .ok_or("say a key and what fills it, such as bars.hive=Hive")?;
    Ok((key.trim().to_owned(), column.trim().to_owned()))
}

#[derive(ValueEnum, Clone, Copy, Debug)]
pub(crate) enum Days {
    /// 2026-07-19
    Ymd,
    /// 19.7.2026
    Dmy,
    /// 7/19/2026
    Mdy,
}

#[derive(ValueEnum, Clone, Copy, Debug)]
pub(crate) enum DecimalSign {
    /// 1.5
    Point,
    /// 1,5
    Comma,
}

#[derive(ValueEnum, Clone, Copy, Debug)]
pub(crate) enum Form {
    /// One line a note, as it could be typed; what devices did not know of each other is not told
    Notes,
    /// One JSON object an entry, whole and exact
    Jsonl,
}
