//! Opening and making files of books.

use super::SqliteStore;
use super::fault::fault;
use ledger::Fault;
use rusqlite::{Connection, OpenFlags, TransactionBehavior};
use std::path::{Path, PathBuf};
use std::time::Duration;

/// Marks a SQLite file as one of books: "CWbk".
const APPLICATION: i64 = 0x4357_626B;
/// The newest format of the tables this version knows.
const FORMAT: i64 = 1;
const SCHEMA: &str = include_str!("schema.sql");
/// How long to wait for another writer.
const PATIENCE: Duration = Duration::from_secs(10);

/// How to open a file. The default is what every program must use.
#[derive(Debug, Clone)]
pub struct Options {
    /// When a commit counts as written.
    pub synchronous: Synchronous,
    /// A virtual file system registered with SQLite, in place of the system's own.
    pub vfs: Option<String>,
    /// How long to wait for another writer.
    pub patience: Duration,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            synchronous: Synchronous::Full,
            vfs: None,
            patience: PATIENCE,
        }
    }
}

/// When a commit counts as written.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Synchronous {
    /// When it is on the disk. This is SQLite's EXTRA: FULL, and when a file is made the folder is
    /// synchronised too, after the journal of its making was deleted. A journal that came back after
    /// a power cut would undo what the log has since put into the file.
    #[default]
    Full,
    /// At once, whatever the disk does. Loses notes in a power cut; only there so that the test of
    /// power cuts can show that it would notice.
    Off,
}

impl SqliteStore {
    /// Opens a file of books for reading and writing.
    ///
    /// # Errors
    /// When there is no such file, it is not one of books, or it cannot be written.
    pub fn open(path: &Path) -> Result<Self, Fault> {
        Self::open_with(path, &Options::default())
    }

    /// Makes a new file of books.
    ///
    /// # Errors
    /// When there is a file of that name, or it cannot be made.
    pub fn create(path: &Path) -> Result<Self, Fault> {
        if path.exists() {
            Err(Fault::Exists)
        } else {
            Self::create_with(path, &Options::default())
        }
    }

    /// Opens a file of books, making it first where there is none.
    ///
    /// # Errors
    /// As [`SqliteStore::open`] and [`SqliteStore::create`].
    pub fn open_or_create(path: &Path) -> Result<Self, Fault> {
        Self::create_with(path, &Options::default())
    }

    /// Opens a file of books for reading only. Works on a medium that cannot be written, and leaves
    /// nothing behind there.
    ///
    /// # Errors
    /// When there is no such file, or it is not one of books.
    pub fn open_read_only(path: &Path) -> Result<Self, Fault> {
        match Self::read_through(path, OpenFlags::empty(), &path.to_string_lossy()) {
            Err(Fault::Missing(_) | Fault::ReadOnly(_)) if path.exists() && is_settled(path) => {
                // Without room for the log's index SQLite reads only what it is told cannot change.
                Self::read_through(path, OpenFlags::SQLITE_OPEN_URI, &immutable_uri(path))
            }
            other => other,
        }
    }

    /// Opens a file of books in a given way.
    ///
    /// # Errors
    /// As [`SqliteStore::open`].
    pub fn open_with(path: &Path, options: &Options) -> Result<Self, Fault> {
        let connection = connect(path, options, OpenFlags::empty())?;
        recognise(&connection)?;
        Self::for_writing(connection, path, options)
    }

    /// Opens or makes a file of books in a given way.
    ///
    /// # Errors
    /// As [`SqliteStore::open_or_create`].
    pub fn create_with(path: &Path, options: &Options) -> Result<Self, Fault> {
        let mut connection = connect(path, options, OpenFlags::SQLITE_OPEN_CREATE)?;
        if is_untouched(&connection)? {
            make_tables(&mut connection)?;
            sync_folder(path, options)?;
        }
        recognise(&connection)?;
        Self::for_writing(connection, path, options)
    }

    fn for_writing(connection: Connection, path: &Path, options: &Options) -> Result<Self, Fault> {
        if connection.is_readonly("main").map_err(fault)? {
            return Err(Fault::ReadOnly("opened for reading only".into()));
        }
        keep_a_log(&connection, options.patience)?;
        let log = options.vfs.is_none().then(|| log_of(path));
        Ok(Self { connection, log })
    }

    fn read_through(path: &Path, flags: OpenFlags, name: &str) -> Result<Self, Fault> {
        if !path.exists() {
            return Err(Fault::Missing("no such file".into()));
        }
        let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX | flags;
        let connection = Connection::open_with_flags(name, flags).map_err(fault)?;
        set_up(&connection, PATIENCE)?;
        recognise(&connection)?;
        Ok(Self {
            connection,
            log: None,
        })
    }
}

/// Turns the write-ahead log on. SQLite does not wait for another program here, as it does everywhere else, so the
/// waiting is done by hand; once the log is on, it stays on.
fn keep_a_log(connection: &Connection, patience: Duration) -> Result<(), Fault> {
    const STEP: Duration = Duration::from_millis(10);
    let mut waited = Duration::ZERO;
    loop {
        match connection
            .pragma_update(None, "journal_mode", "WAL")
            .map_err(fault)
        {
            Err(Fault::Locked(_)) if waited < patience => {
                std::thread::sleep(STEP);
                waited += STEP;
            }
            done => return done,
        }
    }
}

fn connect(path: &Path, options: &Options, flags: OpenFlags) -> Result<Connection, Fault> {
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX | flags;
    let opened = match &options.vfs {
        None => Connection::open_with_flags(path, flags),
        Some(vfs) => Connection::open_with_flags_and_vfs(path, flags, vfs.as_str()),
    };
    let connection = opened.map_err(fault)?;
    set_up(&connection, options.patience)?;
    let synchronous = match options.synchronous {
        Synchronous::Full => "EXTRA",
        Synchronous::Off => "OFF",
    };
    connection
        .pragma_update(None, "synchronous", synchronous)
        .map_err(fault)?;
    Ok(connection)
}

/// Settings of a connection; none of them is kept in the file.
fn set_up(connection: &Connection, patience: Duration) -> Result<(), Fault> {
    let set = || {
        connection.busy_timeout(patience)?;
        connection.pragma_update(None, "foreign_keys", true)?;
        connection.pragma_update(None, "secure_delete", true)?;
        connection.pragma_update(None, "trusted_schema", false)?;
        connection.pragma_update(None, "cell_size_check", true)
    };
    set().map_err(fault)
}

/// Whether nobody has put anything into the file, so that it may become one of books.
fn is_untouched(connection: &Connection) -> Result<bool, Fault> {
    let (application, format) = marks(connection)?;
    let things: i64 = connection
        .query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))
        .map_err(fault)?;
    Ok(application == 0 && format == 0 && things == 0)
}

/// Makes the tables and the marks in one go, so that a half-made file is never taken for one of
/// books; two programs may try at once.
fn make_tables(connection: &mut Connection) -> Result<(), Fault> {
    let transaction = connection
        .transaction_with_behavior(TransactionBehavior::Immediate)
        .map_err(fault)?;
    if is_untouched(&transaction)? {
        transaction.execute_batch(SCHEMA).map_err(fault)?;
        transaction
            .pragma_update(None, "application_id", APPLICATION)
            .map_err(fault)?;
        transaction
            .pragma_update(None, "user_version", FORMAT)
            .map_err(fault)?;
    }
    transaction.commit().map_err(fault)
}

/// SQLite makes sure of the file; that its name is in the folder after a power cut, is left to us.
fn sync_folder(path: &Path, options: &Options) -> Result<(), Fault> {
    if options.vfs.is_some() || !cfg!(unix) {
        return Ok(());
    }
    let folder = path
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    let synced = std::fs::File::open(folder).and_then(|folder| folder.sync_all());
    synced.map_err(|error| Fault::Failed(Box::new(error)))
}

/// Makes sure that a file is one of books, and not too new.
fn recognise(connection: &Connection) -> Result<(), Fault> {
    let (application, found) = marks(connection)?;
    if application != APPLICATION {
        return Err(Fault::NotBooks);
    }
    if found > FORMAT {
        Err(Fault::TooNew { found, known: FORMAT })
    } else {
        Ok(())
    }
}

fn marks(connection: &Connection) -> Result<(i64, i64), Fault> {
    let mark = |name| {
        connection
            .pragma_query_value(None, name, |row| row.get::<_, i64>(0))
            .map_err(fault)
    };
    Ok((mark("application_id")?, mark("user_version")?))
}

/// Whether the file is all there is: no log with pages that belong into it.
fn is_settled(path: &Path) -> bool {
    std::fs::metadata(log_of(path)).map_or(true, |log| log.len() == 0)
}

/// Where SQLite keeps the log of a file.
pub(crate) fn log_of(path: &Path) -> PathBuf {
    let mut log = path.as_os_str().to_owned();
    log.push("-wal");
    log.into()
}

fn immutable_uri(path: &Path) -> String {
    let plain = |byte: &u8| byte.is_ascii_alphanumeric() || b"/._-~".contains(byte);
    let escaped = path
        .to_string_lossy()
        .bytes()
        .fold(String::from("file:"), |mut uri, byte| {
            match plain(&byte) {
                true => uri.push(char::from(byte)),
                false => uri.push_str(&format!("%{byte:02X}")),
            }
            uri
        });
    escaped + "?immutable=1"
}
