//! Plans as they were made, and the steps checked off at the bench. Neither is
//! part of undo: a plan can be made again, and what was done was done.

use std::collections::BTreeMap;

use measure::Problem;
use rusqlite::{OptionalExtension, params};
use stock::JobId;

use crate::changes::touch;
use crate::{Store, trouble};

/// A plan as it was kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeptPlan {
    /// Names the brief that it was made from.
    pub made_from: String,
    /// What a list of jobs tells of it, as JSON.
    pub short: String,
    /// The plan, as JSON.
    pub body: String,
}

/// A step that was checked off.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mark {
    /// When.
    pub at: String,
    /// What really happened.
    pub note: String,
}

impl Store {
    /// A job's plan, if it has one.
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn plan(&self, job: JobId) -> Result<Option<KeptPlan>, Problem> {
        self.db
            .query_row("SELECT made_from, short, body FROM plans WHERE job = ?1", [job.0], |row| {
                Ok(KeptPlan { made_from: row.get(0)?, short: row.get(1)?, body: row.get(2)? })
            })
            .optional()
            .map_err(trouble)
    }

    /// What a job's plan was made from, and its short form; cheaper than the whole.
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn plan_in_short(&self, job: JobId) -> Result<Option<(String, String)>, Problem> {
        self.db
            .query_row("SELECT made_from, short FROM plans WHERE job = ?1", [job.0], |row| {
                Ok((row.get(0)?, row.get(1)?))
            })
            .optional()
            .map_err(trouble)
    }

    /// Keeps a job's plan in the place of the one before.
    ///
    /// # Errors
    /// The file cannot be written.
    pub fn keep_plan(&mut self, job: JobId, plan: &KeptPlan) -> Result<(), Problem> {
        let transaction = self.writing()?;
        transaction
            .execute(
                "INSERT INTO plans VALUES (?1, ?2, ?3, ?4)
                 ON CONFLICT (job) DO UPDATE SET made_from = ?2, short = ?3, body = ?4",
                params![job.0, plan.made_from, plan.short, plan.body],
            )
            .map_err(trouble)?;
        touch(&transaction).map_err(trouble)?;
        transaction.commit().map_err(trouble)
    }

    /// The steps of a job that were checked off.
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn marks(&self, job: JobId) -> Result<BTreeMap<String, Mark>, Problem> {
        let mut rows =
            self.db.prepare_cached("SELECT step, at, note FROM marks WHERE job = ?1").map_err(trouble)?;
        let each = rows
            .query_map([job.0], |row| Ok((row.get(0)?, Mark { at: row.get(1)?, note: row.get(2)? })))
            .map_err(trouble)?;
        each.collect::<Result<_, _>>().map_err(trouble)
    }

    /// Checks a step off, or opens it again with `None`.
    ///
    /// # Errors
    /// The file cannot be written.
    pub fn mark(&mut self, job: JobId, step: &str, mark: Option<&Mark>) -> Result<(), Problem> {
        let transaction = self.writing()?;
        let done = match mark {
            Some(mark) => transaction.execute(
                "INSERT INTO marks VALUES (?1, ?2, ?3, ?4)
                 ON CONFLICT (job, step) DO UPDATE SET at = ?3, note = ?4",
                params![job.0, step, mark.at, mark.note],
            ),
            None => {
                transaction.execute("DELETE FROM marks WHERE job = ?1 AND step = ?2", params![job.0, step])
            }
        };
        done.map_err(trouble)?;
        touch(&transaction).map_err(trouble)?;
        transaction.commit().map_err(trouble)
    }
}
