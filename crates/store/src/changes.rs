//! Changes: each one transaction, each undone and redone as a whole.

use measure::Problem;
use rusqlite::{OptionalExtension, Transaction, TransactionBehavior, params};

use crate::document::{Document, Number};
use crate::{Store, trouble};

/// How many changes can be undone.
const KEPT_CHANGES: u32 = 1000;

/// One document put or taken away.
#[derive(Clone, Debug, PartialEq)]
pub struct Edit {
    kind: &'static str,
    number: u32,
    after: Option<String>,
    seen: Option<u32>,
}

/// What came of a change.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// All its edits were made.
    Made,
    /// None was: somebody has changed one of the documents since it was looked at.
    Overtaken,
}

impl Edit {
    /// Puts a document in the place of the one with its id, if any.
    ///
    /// # Errors
    /// The document cannot be written as JSON.
    pub fn put<D: Document>(document: &D) -> Result<Edit, Problem> {
        let Number(number) = document.id().into();
        let body = serde_json::to_string(document)
            .map_err(|it| Problem::new(format!("cannot write {} {number}: {it}", D::KIND)))?;
        Ok(Edit { kind: D::KIND, number, after: Some(body), seen: None })
    }

    /// Takes a document away.
    pub fn remove<D: Document>(id: D::Id) -> Edit {
        let Number(number) = id.into();
        Edit { kind: D::KIND, number, after: None, seen: None }
    }

    /// Makes the edit only if nobody has changed the document since the store
    /// was at this version.
    #[must_use]
    pub fn seen(self, version: Option<u32>) -> Edit {
        Edit { seen: version, ..self }
    }
}

impl Store {
    /// Makes a change: all its edits, or none of them. What was undone before
    /// can then no longer be redone.
    ///
    /// # Errors
    /// The file cannot be written.
    pub fn change(&mut self, label: &str, at: &str, edits: &[Edit]) -> Result<Outcome, Problem> {
        let transaction = self.writing()?;
        for edit in edits {
            if is_overtaken(&transaction, edit).map_err(trouble)? {
                return Ok(Outcome::Overtaken);
            }
        }
        change(&transaction, label, at, edits).map_err(trouble)?;
        transaction.commit().map_err(trouble)?;
        Ok(Outcome::Made)
    }

    /// What undo would take back.
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn undo_label(&self) -> Result<Option<String>, Problem> {
        self.label("SELECT label FROM changes WHERE undone = 0 ORDER BY number DESC LIMIT 1")
    }

    /// What redo would do again.
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn redo_label(&self) -> Result<Option<String>, Problem> {
        self.label("SELECT label FROM changes WHERE undone = 1 ORDER BY number LIMIT 1")
    }

    /// Takes the last change back; tells what it was, `None` if there is none.
    ///
    /// # Errors
    /// The file cannot be written.
    pub fn undo(&mut self) -> Result<Option<String>, Problem> {
        let transaction = self.writing()?;
        let done = step_back(&transaction).map_err(trouble)?;
        transaction.commit().map_err(trouble)?;
        Ok(done)
    }

    /// Does the change again that was taken back last.
    ///
    /// # Errors
    /// The file cannot be written.
    pub fn redo(&mut self) -> Result<Option<String>, Problem> {
        let transaction = self.writing()?;
        let done = step_on(&transaction).map_err(trouble)?;
        transaction.commit().map_err(trouble)?;
        Ok(done)
    }

    fn label(&self, query: &str) -> Result<Option<String>, Problem> {
        self.db.query_row(query, [], |row| row.get(0)).optional().map_err(trouble)
    }

    /// A transaction that is alone in writing from its start.
    pub(crate) fn writing(&mut self) -> Result<Transaction<'_>, Problem> {
        self.db.transaction_with_behavior(TransactionBehavior::Immediate).map_err(trouble)
    }
}

/// Whether the edit's document is newer than what its maker has seen.
fn is_overtaken(db: &Transaction<'_>, edit: &Edit) -> rusqlite::Result<bool> {
    let Some(seen) = edit.seen else { return Ok(false) };
    let query = "SELECT version FROM documents WHERE kind = ?1 AND id = ?2";
    let now: Option<u32> =
        db.query_row(query, params![edit.kind, edit.number], |row| row.get(0)).optional()?;
    Ok(now.is_some_and(|now| now > seen))
}

fn change(db: &Transaction<'_>, label: &str, at: &str, edits: &[Edit]) -> rusqlite::Result<()> {
    db.execute("DELETE FROM changes WHERE undone = 1", [])?;
    db.execute("INSERT INTO changes (label, at) VALUES (?1, ?2)", [label, at])?;
    let number = db.last_insert_rowid();
    for (place, edit) in (0_u32..).zip(edits) {
        let before: Option<String> = db
            .query_row(
                "SELECT body FROM documents WHERE kind = ?1 AND id = ?2",
                params![edit.kind, edit.number],
                |row| row.get(0),
            )
            .optional()?;
        db.execute(
            "INSERT INTO edits VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
            params![number, place, edit.kind, edit.number, before, edit.after],
        )?;
        write(db, edit.kind, edit.number, edit.after.as_deref())?;
    }
    db.execute("DELETE FROM changes WHERE number <= ?1 - ?2", params![number, KEPT_CHANGES])?;
    touch(db)
}

fn step_back(db: &Transaction<'_>) -> rusqlite::Result<Option<String>> {
    let last = "SELECT number, label FROM changes WHERE undone = 0 ORDER BY number DESC LIMIT 1";
    let Some((number, label)) = found(db, last)? else { return Ok(None) };
    for (kind, id, body) in
        edits(db, "SELECT kind, id, before FROM edits WHERE change = ?1 ORDER BY place DESC", number)?
    {
        write(db, &kind, id, body.as_deref())?;
    }
    db.execute("UPDATE changes SET undone = 1 WHERE number = ?1", [number])?;
    touch(db)?;
    Ok(Some(label))
}

fn step_on(db: &Transaction<'_>) -> rusqlite::Result<Option<String>> {
    let next = "SELECT number, label FROM changes WHERE undone = 1 ORDER BY number LIMIT 1";
    let Some((number, label)) = found(db, next)? else { return Ok(None) };
    for (kind, id, body) in
        edits(db, "SELECT kind, id, after FROM edits WHERE change = ?1 ORDER BY place", number)?
    {
        write(db, &kind, id, body.as_deref())?;
    }
    db.execute("UPDATE changes SET undone = 0 WHERE number = ?1", [number])?;
    touch(db)?;
    Ok(Some(label))
}

fn found(db: &Transaction<'_>, query: &str) -> rusqlite::Result<Option<(i64, String)>> {
    db.query_row(query, [], |row| Ok((row.get(0)?, row.get(1)?))).optional()
}

fn edits(
    db: &Transaction<'_>,
    query: &str,
    change: i64,
) -> rusqlite::Result<Vec<(String, u32, Option<String>)>> {
    let mut rows = db.prepare(query)?;
    rows.query_map([change], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))?.collect()
}

fn write(db: &Transaction<'_>, kind: &str, number: u32, body: Option<&str>) -> rusqlite::Result<()> {
    match body {
        Some(body) => db.execute(
            "INSERT INTO documents SELECT ?1, ?2, ?3, version + 1 FROM shop WHERE true
             ON CONFLICT (kind, id) DO UPDATE SET body = excluded.body, version = excluded.version",
            params![kind, number, body],
        )?,
        None => db.execute("DELETE FROM documents WHERE kind = ?1 AND id = ?2", params![kind, number])?,
    };
    Ok(())
}

/// Says that something has changed.
pub(crate) fn touch(db: &Transaction<'_>) -> rusqlite::Result<()> {
    db.execute("UPDATE shop SET version = version + 1", []).map(|_| ())
}
