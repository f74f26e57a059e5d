//! What SQLite says, in words for a person.

use rusqlite::{Error, ErrorCode, types::FromSqlError};

use crate::store::StoreError;

/// Our error for one of SQLite.
pub(super) fn fault(error: Error) -> StoreError {
    match &error {
        Error::SqliteFailure(failure, _) => match failure.code {
            ErrorCode::DiskFull => StoreError::Full,
            ErrorCode::ReadOnly | ErrorCode::PermissionDenied | ErrorCode::CannotOpen => {
                StoreError::ReadOnly
            }
            ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked => StoreError::Busy,
            // A constraint can only break when an index does not agree with the log.
            ErrorCode::DatabaseCorrupt
            | ErrorCode::NotADatabase
            | ErrorCode::ConstraintViolation
            | ErrorCode::TypeMismatch => StoreError::Damaged(error.to_string()),
            _ => StoreError::System(error.to_string()),
        },
        Error::FromSqlConversionFailure(..)
        | Error::InvalidColumnType(..)
        | Error::IntegralValueOutOfRange(..)
        | Error::Utf8Error(..) => StoreError::Damaged(error.to_string()),
        _ => StoreError::System(error.to_string()),
    }
}

/// Our error for a stored value of the wrong kind.
pub(super) fn wrong_kind(slot: i64, error: &FromSqlError) -> StoreError {
    StoreError::Damaged(format!("slot {slot}: {error}"))
}
