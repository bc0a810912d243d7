//! The shop folder: documents, changes and pictures, kept safe.
//!
//! One embedded database file and a folder of pictures beside it. Knows the
//! inputs and no algorithm; every change is one transaction, and can be undone.

mod changes;
mod document;
mod migrations;
mod pictures;
mod records;

use std::fs;
use std::path::{Path, PathBuf};
use std::time::Duration;

use measure::Problem;
use rusqlite::Connection;

pub use changes::{Edit, Outcome};
pub use document::{Document, Number, TheKit, TheVerdicts};
pub use records::{KeptPlan, Mark};

/// The shop's folder, open.
pub struct Store {
    db: Connection,
    folder: PathBuf,
}

/// The database's name within the folder.
const FILE: &str = "shop.sqlite";

/// How long one program waits for another that is writing to the same folder.
const PATIENCE: Duration = Duration::from_secs(5);

impl Store {
    /// Opens the folder, and makes it if there is none.
    ///
    /// # Errors
    /// The folder cannot be made or read, the file is no shop, or it was written
    /// by a newer version of the program.
    pub fn open(folder: &Path) -> Result<Store, Problem> {
        fs::create_dir_all(folder.join(pictures::FOLDER))
            .map_err(|it| Problem::new(format!("cannot make the shop folder {}: {it}", folder.display())))?;
        let file = folder.join(FILE);
        let mut db = Connection::open(&file).map_err(|it| unreadable(&file, &it))?;
        db.busy_timeout(PATIENCE).map_err(|it| unreadable(&file, &it))?;
        migrations::bring_up_to_date(&mut db).map_err(|it| it.within(&file.display().to_string()))?;
        Ok(Store { db, folder: folder.to_owned() })
    }

    /// Grows with every change to anything that is kept here.
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn version(&self) -> Result<u32, Problem> {
        self.db.query_row("SELECT version FROM shop", [], |row| row.get(0)).map_err(trouble)
    }
}

fn unreadable(file: &Path, why: &rusqlite::Error) -> Problem {
    Problem::new(format!("cannot open {}: {why}", file.display()))
        .hint("choose another folder, or put back a copy of this file")
}

/// A database error, as a message for the maker.
fn trouble(it: rusqlite::Error) -> Problem {
    Problem::new(format!("the shop's file refuses: {it}"))
        .hint("check that the disk has room and the folder can be written")
}

#[cfg(test)]
mod tests;
