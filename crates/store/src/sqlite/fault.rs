//! What SQLite's errors mean to a keeper.

use ledger::Fault;
use rusqlite::{Error, ErrorCode};

/// Sorts an error of SQLite under the fault that says what can be done.
pub(crate) fn fault(error: Error) -> Fault {
    let Some(code) = error.sqlite_error_code() else {
        return Fault::Damaged(Box::new(error));
    };
    match code {
        ErrorCode::DiskFull | ErrorCode::TooBig => Fault::DiskFull(Box::new(error)),
        ErrorCode::ReadOnly | ErrorCode::PermissionDenied => Fault::ReadOnly(Box::new(error)),
        ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked => Fault::Locked(Box::new(error)),
        ErrorCode::CannotOpen => Fault::Missing(Box::new(error)),
        ErrorCode::NotADatabase => Fault::NotBooks,
        ErrorCode::DatabaseCorrupt | ErrorCode::ConstraintViolation | ErrorCode::TypeMismatch => {
            Fault::Damaged(Box::new(error))
        }
        _ => Fault::Failed(Box::new(error)),
    }
}
