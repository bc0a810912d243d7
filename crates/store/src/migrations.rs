//! Brings a shop's file up to the form that this program writes.

use measure::Problem;
use rusqlite::Connection;

use crate::trouble;

/// One step for each form that the file has had, oldest first.
const STEPS: [&str; 2] = [
    "
    CREATE TABLE shop (
        only INTEGER PRIMARY KEY CHECK (only = 1),
        version INTEGER NOT NULL
    ) STRICT;
    INSERT INTO shop VALUES (1, 0);
    CREATE TABLE ids (kind TEXT PRIMARY KEY, last INTEGER NOT NULL) STRICT;
    CREATE TABLE documents (
        kind TEXT NOT NULL,
        id INTEGER NOT NULL,
        body TEXT NOT NULL,
        PRIMARY KEY (kind, id)
    ) STRICT;
    CREATE TABLE changes (
        number INTEGER PRIMARY KEY AUTOINCREMENT,
        label TEXT NOT NULL,
        at TEXT NOT NULL,
        undone INTEGER NOT NULL DEFAULT 0
    ) STRICT;
    CREATE TABLE edits (
        change INTEGER NOT NULL REFERENCES changes (number) ON DELETE CASCADE,
        place INTEGER NOT NULL,
        kind TEXT NOT NULL,
        id INTEGER NOT NULL,
        before TEXT,
        after TEXT,
        PRIMARY KEY (change, place)
    ) STRICT;
    CREATE TABLE plans (
        job INTEGER PRIMARY KEY,
        made_from TEXT NOT NULL,
        short TEXT NOT NULL,
        body TEXT NOT NULL
    ) STRICT;
    CREATE TABLE marks (
        job INTEGER NOT NULL,
        step TEXT NOT NULL,
        at TEXT NOT NULL,
        note TEXT NOT NULL,
        PRIMARY KEY (job, step)
    ) STRICT;
",
    // Which change a document is from, so that nobody writes over one unseen.
    "ALTER TABLE documents ADD COLUMN version INTEGER NOT NULL DEFAULT 0;",
];

pub(crate) fn bring_up_to_date(db: &mut Connection) -> Result<(), Problem> {
    // FULL: what the program has confirmed survives a power cut.
    db.execute_batch("PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL; PRAGMA foreign_keys = ON;")
        .map_err(no_shop)?;
    let transaction =
        db.transaction_with_behavior(rusqlite::TransactionBehavior::Immediate).map_err(trouble)?;
    let form: u32 = transaction.query_row("PRAGMA user_version", [], |row| row.get(0)).map_err(no_shop)?;
    if form as usize > STEPS.len() {
        let message =
            format!("was written by a newer version of Treen (form {form}, this one knows {})", STEPS.len());
        return Err(Problem::new(message).hint("use the newer version"));
    }
    for (number, step) in (1_u32..).zip(STEPS).skip(form as usize) {
        transaction.execute_batch(step).map_err(no_shop)?;
        transaction.pragma_update(None, "user_version", number).map_err(trouble)?;
    }
    transaction.commit().map_err(trouble)
}

fn no_shop(it: rusqlite::Error) -> Problem {
    Problem::new(format!("is not a shop's file: {it}"))
        .hint("choose another folder, or put back a copy of this file")
}
