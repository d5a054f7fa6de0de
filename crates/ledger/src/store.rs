//! The one door to whatever keeps the books: a file, a server, or memory.
//!
//! A store has five drawers: entries, attachments, people, settings of the farm, settings of the
//! device. It keeps sealed bytes and knows nothing of what they mean; reading and verifying them is
//! [`Entry::from_row`], outside, so that it can be spread over threads.

use crate::{Digest, Entry, FarmId, Heads, Row};
use std::collections::BTreeMap;
use std::error::Error;

/// Whether entries were written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[must_use = "stale entries were not written"]
pub enum Appended {
    /// They are on the disk.
    Written,
    /// Somebody else wrote meanwhile: load again, seal again, try again. Nothing was written.
    Stale,
}

/// A page of the address book: what it says, by heading.
pub type Person = BTreeMap<String, String>;

/// Which of the two drawers of settings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Scope {
    /// Shared by all devices of the farm.
    Farm,
    /// For this device only; never sent to another.
    Device,
}

/// Something wrong with the world: the disk, another program, the file.
#[derive(Debug, thiserror::Error)]
pub enum Fault {
    /// No room left.
    #[error("the disk is full")]
    DiskFull(#[source] Cause),
    /// The file or the disk cannot be written.
    #[error("the books cannot be written to")]
    ReadOnly(#[source] Cause),
    /// Another program holds the file, and did not let go in time.
    #[error("the books are in use by another program")]
    Locked(#[source] Cause),
    /// The words are out of the books, but still lie in a file that another program holds open.
    #[error("the erased words could not be removed from the log yet")]
    NotYetErased(#[source] Cause),
    /// There is no such file.
    #[error("there is no such file")]
    Missing(#[source] Cause),
    /// A file is there already, where a new one was to be made.
    #[error("there is a file already")]
    Exists,
    /// The file is something else.
    #[error("this is not a file of books")]
    NotBooks,
    /// Written by a newer version of the program.
    #[error("the books have format {found}, and this version knows only up to {known}")]
    TooNew {
        /// The format of the file.
        found: i64,
        /// The newest format this version knows.
        known: i64,
    },
    /// The file was changed or cut short by something else.
    #[error("the file is damaged")]
    Damaged(#[source] Cause),
    /// The store does not hold such a farm.
    #[error("there is no such farm in these books")]
    NoSuchFarm,
    /// Entries of another farm were to be put among those of this one.
    #[error("the entry belongs to another farm")]
    OtherFarm,
    /// The store does not hold such an entry.
    #[error("there is no such entry")]
    NoSuchEntry,
    /// The disk or the system failed in some other way.
    #[error("the disk failed")]
    Failed(#[source] Cause),
}

/// What lay beneath a fault.
pub type Cause = Box<dyn Error + Send + Sync>;

impl Fault {
    /// What the keeper can do about it.
    #[must_use]
    pub const fn action(&self) -> &'static str {
        match self {
            Self::DiskFull(_) => "Nothing was written. Make room on the disk, then try again.",
            Self::ReadOnly(_) => {
                "Nothing was written. Allow writing to the file and its folder, then try again."
            }
            Self::Locked(_) => {
                "Nothing was written. Close the other program, or wait until it is done, then try again."
            }
            Self::NotYetErased(_) => {
                "Close the other programs that have the books open, then erase once more."
            }
            Self::Missing(_) => "Check the name and the folder.",
            Self::Exists => "Nothing was written. Choose another name, or open the file that is there.",
            Self::NotBooks => "Nothing was changed. Check that the right file was named.",
            Self::TooNew { .. } => "Nothing was changed. Use the newest version of the program.",
            Self::Damaged(_) => {
                "Keep the file as it is, and make a new one from it with the rescue command, or restore a backup."
            }
            Self::NoSuchFarm => "Check which farm was asked for.",
            Self::OtherFarm => "Nothing was written. Open the books of the farm the entries came from.",
            Self::NoSuchEntry => "Check the name of the entry.",
            Self::Failed(_) => "Nothing more was written. Check the disk, then open the books again.",
        }
    }
}

/// A store of books. All promises of `append` and `add` hold after a power cut: what was answered
/// is there, what was not is there whole or not at all.
pub trait Store {
    /// The farms it holds.
    fn farms(&self) -> Result<Vec<FarmId>, Fault>;

    /// Makes room for a farm; nothing happens if it is there.
    fn create_farm(&mut self, farm: FarmId) -> Result<(), Fault>;

    /// The farm of a store that keeps the books of one: the one it has, or else this one, from now on. Two
    /// programs that ask at once get the same answer.
    fn only_farm(&mut self, or_else: FarmId) -> Result<FarmId, Fault>;

    /// How many entries of a farm there are, so that room can be made for them at once.
    fn count(&self, farm: FarmId) -> Result<usize, Fault>;

    /// A number that is another one as soon as somebody else has written: asked before each answer by a
    /// program that stays open, so it must be cheap.
    fn others_wrote(&self) -> Result<u64, Fault>;

    /// Hands out every entry of a farm in the order in which it came, unread.
    fn load(&self, farm: FarmId, each: &mut dyn FnMut(Row)) -> Result<(), Fault>;

    /// Writes entries sealed onto these heads, all or none.
    ///
    /// `after` are the heads as they were before the first of them was sealed. Waits a while for
    /// another writer.
    fn append(&mut self, farm: FarmId, after: &Heads, entries: &[Entry]) -> Result<Appended, Fault>;

    /// Takes in entries from elsewhere, all or none, and says how many were new. Entries that are
    /// here already stay as they are, blanked or not; two with one number are both kept. Only a
    /// damaged entry is replaced by its whole copy, and counts as new.
    fn add(&mut self, farm: FarmId, entries: &[Entry]) -> Result<usize, Fault>;

    /// Erases the words of an entry so that no trace of them is left in the files.
    fn blank(&mut self, farm: FarmId, digest: &Digest) -> Result<(), Fault>;

    /// Keeps an attachment and gives the name to ask for it by.
    fn put_attachment(&mut self, farm: FarmId, bytes: &[u8]) -> Result<Digest, Fault>;

    /// An attachment.
    fn attachment(&self, farm: FarmId, digest: &Digest) -> Result<Option<Vec<u8>>, Fault>;

    /// The attachments there are, with their sizes in bytes.
    fn attachments(&self, farm: FarmId) -> Result<BTreeMap<Digest, u64>, Fault>;

    /// Writes a page of the address book, in place of what it said before.
    fn put_person(&mut self, farm: FarmId, id: &str, person: &Person) -> Result<(), Fault>;

    /// Tears a page out of the address book so that no trace is left.
    fn erase_person(&mut self, farm: FarmId, id: &str) -> Result<(), Fault>;

    /// The address book, by id.
    fn people(&self, farm: FarmId) -> Result<BTreeMap<String, Person>, Fault>;

    /// Writes a setting, in place of what it was before.
    fn put_setting(&mut self, farm: FarmId, scope: Scope, key: &str, value: &str) -> Result<(), Fault>;

    /// A setting.
    fn setting(&self, farm: FarmId, scope: Scope, key: &str) -> Result<Option<String>, Fault>;

    /// All settings of a drawer.
    fn settings(&self, farm: FarmId, scope: Scope) -> Result<BTreeMap<String, String>, Fault>;
}
