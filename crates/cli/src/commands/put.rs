//! Putting a file where the keeper asks for it: a sheet for the printer, the page for the field.
//!
//! Holds true: a file is there whole or not at all; what was there before is kept unless its place is asked for; the
//! books, what lies beside them and whatever else holds records or keys is never written over, whatever is asked.

use std::fs::{self, File};
use std::io::{ErrorKind, Read as _, Write as _};
use std::path::{Path, PathBuf};

use trust::Authority;

use super::beyond::KEYS;
use crate::exit::Failure;

/// Where a file is to be put.
pub(super) struct Place<'a> {
    /// The file.
    pub(super) file: &'a Path,
    /// Whether it may take the place of another.
    pub(super) replace: bool,
    /// The option that names it; none where it is named by itself.
    pub(super) option: Option<&'static str>,
    /// The books in use.
    pub(super) books: &'a Path,
}

impl Place<'_> {
    /// Writes the file whole, beside its place first.
    pub(super) fn put(&self, bytes: &[u8]) -> Result<(), Failure> {
        self.refuse_what_stays()?;
        let folder = match self.file.parent() {
            Some(folder) if !folder.as_os_str().is_empty() => folder,
            _ => Path::new("."),
        };
        let mut beside = tempfile::Builder::new()
            .prefix(".put-")
            .permissions(permissions())
            .tempfile_in(folder)
            .map_err(|error| self.failed(&error))?;
        beside
            .write_all(bytes)
            .and_then(|()| beside.as_file().sync_all())
            .map_err(|error| self.failed(&error))?;
        let put = match self.replace {
            true => beside.persist(self.file),
            false => beside.persist_noclobber(self.file),
        };
        put.map(drop).map_err(|error| self.failed(&error.error))
    }

    fn refuse_what_stays(&self) -> Result<(), Failure> {
        let name = self.file.display();
        let with = self.with();
        let refused = |says: String| Err(Failure::Place(says));
        if self.file.is_dir() {
            return refused(format!(
                "{name}: this is a folder. Name a file in it{with}. Nothing was written."
            ));
        }
        if is_of_books(self.file, self.books) || is_keys(self.file) {
            return refused(format!(
                "{name}: this is the place of books or of their keys, and it is never written over. Name another \
                 file{with}. Nothing was written."
            ));
        }
        match fs::symlink_metadata(self.file) {
            Ok(_) if !self.replace => Err(self.failed(&ErrorKind::AlreadyExists.into())),
            Ok(there) if !there.is_file() && !there.is_symlink() => refused(format!(
                "{name}: this is no file that another could take the place of. Name another{with}. Nothing was written."
            )),
            _ => Ok(()),
        }
    }

    fn with(&self) -> String {
        self.option
            .map_or_else(String::new, |option| format!(" with {option}"))
    }

    fn failed(&self, error: &std::io::Error) -> Failure {
        let name = self.file.display();
        Failure::Place(match error.kind() {
            ErrorKind::AlreadyExists => format!(
                "{name}: there is a file of this name, and it was kept. Name another{}, or say --replace.",
                self.with()
            ),
            ErrorKind::NotFound => {
                format!("{name}: its folder is not there. Make it, or check the name. Nothing was written.")
            }
            ErrorKind::StorageFull | ErrorKind::QuotaExceeded => format!(
                "{name}: the disk is full. Make room and try again. Nothing was written, and nothing was lost."
            ),
            _ => {
                format!("{name}: it cannot be written: {error}. Nothing was written, and nothing was lost.")
            }
        })
    }
}

/// What is put is no secret; who may read it is left to the system's own mask.
#[cfg(unix)]
fn permissions() -> fs::Permissions {
    use std::os::unix::fs::PermissionsExt as _;
    fs::Permissions::from_mode(0o666)
}

/// What stands behind the name of books in the names of files that belong to them: the logs of the store, the keys, and
/// new keys on their way.
const BESIDE: [&str; 5] = ["-wal", "-shm", "-journal", KEYS, ".keys-new"];

/// Whether a file is one of books, or lies beside one and belongs to it. The books in use are known by their place, as
/// they may not have been made yet; others by what stands in them.
fn is_of_books(file: &Path, books: &Path) -> bool {
    let place = place_of(file);
    let in_use = |of: &Path| place == place_of(of);
    let real = place_of(books);
    // The logs lie beside the real file where the books are reached by a link.
    let is_in_use = [books, &real]
        .into_iter()
        .any(|of| in_use(of) || BESIDE.into_iter().any(|ending| in_use(&with_ending(of, ending))));
    let named = place.to_string_lossy();
    let is_beside_others = BESIDE.into_iter().any(|ending| {
        named
            .strip_suffix(ending)
            .is_some_and(|of| is_records(Path::new(of)))
    });
    is_in_use || is_records(&place) || is_beside_others
}

fn with_ending(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(ending);
    PathBuf::from(name)
}

/// The place without links and detours, also of a file that is not there yet.
fn place_of(file: &Path) -> PathBuf {
    let beside = || {
        let folder = match file.parent()? {
            here if here.as_os_str().is_empty() => Path::new("."),
            folder => folder,
        };
        Some(fs::canonicalize(folder).ok()?.join(file.file_name()?))
    };
    fs::canonicalize(file)
        .ok()
        .or_else(beside)
        .unwrap_or_else(|| file.to_owned())
}

/// How every file of SQLite begins (its file format, 1.3.1). Those of other programs are kept too: no sheet is worth
/// anybody's records.
const RECORDS: &[u8; 16] = b"SQLite format 3\0";

fn is_records(file: &Path) -> bool {
    let mut begins = [0; RECORDS.len()];
    // Whatever is no plain file might never answer.
    file.is_file()
        && File::open(file)
            .and_then(|mut file| file.read_exact(&mut begins))
            .is_ok_and(|()| begins == *RECORDS)
}

/// Whether a file holds the keys of an authority, wherever it was copied to.
fn is_keys(file: &Path) -> bool {
    /// More than a file of keys ever takes.
    const MOST: u64 = 1 << 20;
    let is_small = fs::metadata(file).is_ok_and(|there| there.is_file() && there.len() <= MOST);
    is_small && fs::read_to_string(file).is_ok_and(|text| Authority::from_text(&text).is_ok())
}
