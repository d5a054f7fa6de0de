//! What the program answers to the shell. The codes are a promise; `docs/exit-codes.md` lists them.

use ledger::Fault;

/// How a command ended, when it did not end well.
#[derive(Debug)]
pub(crate) enum Failure {
    /// The request was refused as a whole; nothing was written. Exit code 2.
    Refused(String),
    /// The world failed: disk, file, another program.
    Fault(Fault),
    /// A file that was named cannot be read or written. Exit code 74.
    File(String, std::io::Error),
    /// What was named cannot hold books, told in whole sentences. Exit code 74.
    Place(String),
}

impl From<Fault> for Failure {
    fn from(fault: Fault) -> Self {
        Self::Fault(fault)
    }
}

impl Failure {
    pub(crate) fn code(&self) -> u8 {
        match self {
            Self::Refused(_) => 2,
            Self::File(..) | Self::Place(_) => 74,
            Self::Fault(fault) => match fault {
                Fault::Damaged(_) => 70,
                Fault::DiskFull(_) => 71,
                Fault::ReadOnly(_) => 72,
                Fault::Locked(_) => 73,
                Fault::TooNew { .. } => 75,
                Fault::NotBooks => 76,
                Fault::Missing(_)
                | Fault::Exists
                | Fault::NoSuchFarm
                | Fault::OtherFarm
                | Fault::NoSuchEntry
                | Fault::NotYetErased(_)
                | Fault::Failed(_) => 74,
            },
        }
    }

    pub(crate) fn sentence(&self) -> String {
        match self {
            Self::Refused(says) | Self::Place(says) => says.clone(),
            Self::Fault(fault) => {
                let cause =
                    std::error::Error::source(fault).map_or_else(String::new, |cause| format!(" ({cause})"));
                format!("{}{cause}. {}", capital(&fault.to_string()), fault.action())
            }
            Self::File(name, error) => format!("{name}: {error}. Check the name and the folder."),
        }
    }
}

/// A fragment as the beginning of a sentence.
pub(crate) fn capital(fragment: &str) -> String {
    let mut letters = fragment.chars();
    letters
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
