//! What is kept about access: people, sessions, codes, the certificate. A small SQLite file beside the
//! ledger, readable by its owner alone.
//!
//! It is no part of the ledger: it is never exported, and may be thrown away; then people are added
//! again. The server and the verbs of `people` use it at the same time, so nothing of it is
//! held in memory: who is removed is out with the next request.

mod schema;

use std::path::{Path, PathBuf};

use jiff::Timestamp;
use rusqlite::{Connection, OptionalExtension as _, TransactionBehavior, params};

use super::{
    certificate::Made,
    code, limiter,
    people::{Person, fold},
    phrase::Kept,
    roles::Role,
    secret::{LENGTH, Token, TokenHash},
    session::Span,
};
use crate::{problem::Failure, serve::demo, yard::Which};

/// What is kept about access, open.
pub(crate) struct Store {
    connection: Connection,
}

/// Why nothing could be kept or found.
#[derive(Debug)]
pub(crate) struct StoreError(String);

type Answer<T> = Result<T, StoreError>;

impl From<rusqlite::Error> for StoreError {
    fn from(error: rusqlite::Error) -> Self {
        Self(error.to_string())
    }
}

impl From<StoreError> for Failure {
    fn from(error: StoreError) -> Self {
        let help = "the file beside the ledger whose name ends in .access keeps people and sessions; \
            without it people have to be added again, and no record is lost";
        Self::asked(format!("what is kept about access cannot be used: {}", error.0), help)
    }
}

/// The file beside a ledger.
pub(crate) fn beside(ledger: &Path) -> PathBuf {
    let mut name = ledger.as_os_str().to_owned();
    name.push(".access");
    PathBuf::from(name)
}

/// The ledger that access is kept beside; for the demonstration, the one that its pages keep.
pub(crate) fn ledger(which: Which) -> Result<PathBuf, Failure> {
    match which {
        Which::File(path) => Ok(path),
        Which::Demo => demo::usual().map(|root| root.join(demo::LEDGER)).ok_or_else(|| {
            Failure::asked("it is not said where people are kept", "add --ledger FILE")
        }),
    }
}

impl Store {
    /// Opens the file; makes it where there is none.
    pub(crate) fn open(path: &Path) -> Answer<Self> {
        schema::private(path)
            .map_err(|error| StoreError(format!("{}: {error}", path.display())))?;
        Self::of(Connection::open(path)?)
    }

    fn of(connection: Connection) -> Answer<Self> {
        schema::prepare(&connection)?;
        Ok(Self { connection })
    }

    /// Adds a person. False when there is one of that name.
    pub(crate) fn add(&self, name: &str, role: Role, now: Timestamp) -> Answer<bool> {
        let added = self.connection.execute(
            "INSERT OR IGNORE INTO person (folded, name, role, added_ms) VALUES (?, ?, ?, ?)",
            params![fold(name), name, role.word(), now.as_millisecond()],
        )?;
        Ok(added == 1)
    }

    /// Removes a person with every session and code. False when there is none.
    pub(crate) fn remove(&self, name: &str) -> Answer<bool> {
        let sql = "DELETE FROM person WHERE folded = ?";
        Ok(self.connection.execute(sql, [fold(name)])? == 1)
    }

    /// Gives a person another role. False when there is none.
    pub(crate) fn set_role(&self, name: &str, role: Role) -> Answer<bool> {
        let sql = "UPDATE person SET role = ? WHERE folded = ?";
        Ok(self.connection.execute(sql, params![role.word(), fold(name)])? == 1)
    }

    /// Gives a person a passphrase and ends every session: whoever came in with the old one is out.
    pub(crate) fn set_phrase(&mut self, name: &str, kept: &Kept) -> Answer<bool> {
        let change = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let sql = "UPDATE person SET phrase = ?, failures = 0 WHERE folded = ?";
        let known = change.execute(sql, params![kept.text(), fold(name)])? == 1;
        change.execute("DELETE FROM session WHERE person = ?", [fold(name)])?;
        change.commit()?;
        Ok(known)
    }

    /// Everybody, by name.
    pub(crate) fn people(&self) -> Answer<Vec<Person>> {
        let sql = "SELECT name, role, phrase IS NOT NULL FROM person ORDER BY folded";
        let mut query = self.connection.prepare_cached(sql)?;
        let people = query.query_map([], person)?.collect::<Result<Vec<_>, _>>()?;
        Ok(people)
    }

    /// Begins a try with a passphrase, counted as failed until [`Self::came_in`]. The passphrase is
    /// `None` when nobody has that name, when there is none, and after too many failures.
    pub(crate) fn try_phrase(&mut self, name: &str) -> Answer<Option<Kept>> {
        let change = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let sql = "UPDATE person SET failures = failures + 1 \
            WHERE folded = ? AND failures < ? AND phrase IS NOT NULL RETURNING phrase";
        let found: Option<String> = change
            .query_row(sql, params![fold(name), limiter::FAILURES_MOST], |row| row.get(0))
            .optional()?;
        // Something is written for an unknown name as well: else it would be answered sooner by
        // the time the disk takes.
        let sql = "INSERT INTO tried (id, tries) VALUES (1, 1) \
            ON CONFLICT DO UPDATE SET tries = tries + 1";
        change.execute(sql, [])?;
        change.commit()?;
        Ok(found.and_then(|text| Kept::read(&text)))
    }

    /// A person has come in: begins a session, and forgives failures. `None` when the person has
    /// been removed meanwhile.
    pub(crate) fn came_in(
        &mut self,
        name: &str,
        token: TokenHash,
        now: Timestamp,
    ) -> Answer<Option<Person>> {
        let change = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let ended = Span::ended_before(now).as_millisecond();
        change.execute("DELETE FROM session WHERE begun_ms < ?", [ended])?;
        let sql = "UPDATE person SET failures = 0 WHERE folded = ? \
            RETURNING name, role, phrase IS NOT NULL";
        let found = change.query_row(sql, [fold(name)], person).optional()?;
        if found.is_some() {
            let span = Span::begin(now).begun.as_millisecond();
            change.execute(
                "INSERT INTO session (hash, person, begun_ms, used_ms) VALUES (?1, ?2, ?3, ?3)",
                params![token.0, fold(name), span],
            )?;
        }
        change.commit()?;
        Ok(found)
    }

    /// The person of a session that stands now; its use is noted.
    pub(crate) fn session(&self, token: TokenHash, now: Timestamp) -> Answer<Option<Person>> {
        let sql = "SELECT name, role, phrase IS NOT NULL, begun_ms, used_ms \
            FROM session JOIN person ON person = folded WHERE hash = ?";
        let mut query = self.connection.prepare_cached(sql)?;
        let row = |row: &rusqlite::Row<'_>| {
            Ok((person(row)?, Span { begun: instant(row, 3)?, used: instant(row, 4)? }))
        };
        let Some((found, span)) = query.query_row([token.0], row).optional()? else {
            return Ok(None);
        };
        if !span.stands(now) {
            self.end(token)?;
            return Ok(None);
        }
        if let Some(span) = span.noted(now) {
            let sql = "UPDATE session SET used_ms = ? WHERE hash = ?";
            self.connection.execute(sql, params![span.used.as_millisecond(), token.0])?;
        }
        Ok(Some(found))
    }

    /// Ends a session.
    pub(crate) fn end(&self, token: TokenHash) -> Answer<()> {
        self.connection.execute("DELETE FROM session WHERE hash = ?", [token.0])?;
        Ok(())
    }

    /// Keeps a code for a person, in place of an earlier one. False when there is no such person.
    pub(crate) fn give_code(&self, name: &str, hash: [u8; 32], now: Timestamp) -> Answer<bool> {
        let sql = "INSERT OR REPLACE INTO code (person, hash, made_ms) \
            SELECT folded, ?, ? FROM person WHERE folded = ?";
        let params = params![hash, now.as_millisecond(), fold(name)];
        Ok(self.connection.execute(sql, params)? == 1)
    }

    /// Takes a code: it is gone, and whose it was is said when it was still good.
    pub(crate) fn take_code(&self, hash: [u8; 32], now: Timestamp) -> Answer<Option<String>> {
        let sql = "DELETE FROM code WHERE hash = ? RETURNING person, made_ms";
        let mut query = self.connection.prepare_cached(sql)?;
        let row = |row: &rusqlite::Row<'_>| Ok((row.get(0)?, instant(row, 1)?));
        let found: Option<(String, Timestamp)> = query.query_row([hash], row).optional()?;
        Ok(found.filter(|(_, made)| code::is_good(*made, now)).map(|(person, _)| person))
    }

    /// The token of forms on this machine alone, where there are no sessions. It is made once, so
    /// that a page that was open before a restart still works after it.
    pub(crate) fn own_token(&self, random: [u8; LENGTH]) -> Answer<Token> {
        let sql = "INSERT OR IGNORE INTO own (id, token) VALUES (1, ?)";
        self.connection.execute(sql, [random])?;
        let token = self.connection.query_row("SELECT token FROM own", [], |row| row.get(0))?;
        Ok(Token::new(token))
    }

    /// The certificate that is kept.
    pub(crate) fn certificate(&self) -> Answer<Option<Made>> {
        let sql = "SELECT certificate, pem, key, ends_ms FROM certificate";
        let row = |row: &rusqlite::Row<'_>| {
            let (certificate, pem, key) = (row.get(0)?, row.get(1)?, row.get(2)?);
            Ok(Made { certificate, pem, key, ends: instant(row, 3)? })
        };
        Ok(self.connection.query_row(sql, [], row).optional()?)
    }

    /// Keeps a certificate in place of the earlier one.
    pub(crate) fn keep_certificate(&self, made: &Made) -> Answer<()> {
        self.connection.execute(
            "INSERT OR REPLACE INTO certificate (id, certificate, pem, key, ends_ms) \
                VALUES (1, ?, ?, ?, ?)",
            params![made.certificate, made.pem, made.key, made.ends.as_millisecond()],
        )?;
        Ok(())
    }
}

fn person(row: &rusqlite::Row<'_>) -> rusqlite::Result<Person> {
    let word: String = row.get(1)?;
    // A word that is no role, as a newer program may write, may do the least.
    let role = Role::of(&word).unwrap_or(Role::Viewer);
    Ok(Person { name: row.get(0)?, role, has_phrase: row.get(2)? })
}

fn instant(row: &rusqlite::Row<'_>, column: usize) -> rusqlite::Result<Timestamp> {
    let millis = row.get(column)?;
    Ok(Timestamp::from_millisecond(millis).unwrap_or(Timestamp::MIN))
}

#[cfg(test)]
mod tests;
