//! The documents that a shop keeps.

use measure::Problem;
use rusqlite::{OptionalExtension, params};
use serde::Serialize;
use serde::de::DeserializeOwned;
use stock::{Job, JobId, Pattern, PatternId, Piece, PieceId, ShopKit, Verdicts};

use crate::{Store, trouble};

/// Something kept whole under a number.
pub trait Document: Serialize + DeserializeOwned {
    /// The type of its id.
    type Id: Copy + Into<Number>;
    /// The word under which it is kept.
    const KIND: &'static str;
    /// Its id.
    fn id(&self) -> Self::Id;
}

/// The number in an id.
pub struct Number(pub(crate) u32);

macro_rules! documents {
    ($($document:ident, $id:ident, $kind:literal;)*) => {$(
        impl From<$id> for Number {
            fn from(it: $id) -> Number {
                Number(it.0)
            }
        }

        impl Document for $document {
            type Id = $id;
            const KIND: &'static str = $kind;
            fn id(&self) -> $id {
                self.id
            }
        }
    )*};
}

documents! {
    Piece, PieceId, "piece";
    Pattern, PatternId, "pattern";
    Job, JobId, "job";
}

/// There is one kit in a shop.
#[derive(Clone, Copy)]
pub struct TheKit;

impl From<TheKit> for Number {
    fn from(_: TheKit) -> Number {
        Number(1)
    }
}

impl Document for ShopKit {
    type Id = TheKit;
    const KIND: &'static str = "kit";
    fn id(&self) -> TheKit {
        TheKit
    }
}

/// There is one list of answers in a shop.
#[derive(Clone, Copy)]
pub struct TheVerdicts;

impl From<TheVerdicts> for Number {
    fn from(_: TheVerdicts) -> Number {
        Number(1)
    }
}

impl Document for Verdicts {
    type Id = TheVerdicts;
    const KIND: &'static str = "verdicts";
    fn id(&self) -> TheVerdicts {
        TheVerdicts
    }
}

impl Store {
    /// The document with this id, if there is one.
    ///
    /// # Errors
    /// The file cannot be read, or what is kept there is damaged.
    pub fn get<D: Document>(&self, id: D::Id) -> Result<Option<D>, Problem> {
        let Number(number) = id.into();
        let body: Option<String> = self
            .db
            .query_row(
                "SELECT body FROM documents WHERE kind = ?1 AND id = ?2",
                params![D::KIND, number],
                |row| row.get(0),
            )
            .optional()
            .map_err(trouble)?;
        body.map(|body| read(number, &body)).transpose()
    }

    /// Every document of a kind, by id.
    ///
    /// # Errors
    /// The file cannot be read, or what is kept there is damaged.
    pub fn all<D: Document>(&self) -> Result<Vec<D>, Problem> {
        let mut found = self
            .db
            .prepare_cached("SELECT id, body FROM documents WHERE kind = ?1 ORDER BY id")
            .map_err(trouble)?;
        let rows = found
            .query_map([D::KIND], |row| Ok((row.get::<_, u32>(0)?, row.get::<_, String>(1)?)))
            .map_err(trouble)?;
        rows.map(|row| row.map_err(trouble).and_then(|(number, body)| read(number, &body))).collect()
    }

    /// A number that no document of this kind has ever had.
    ///
    /// # Errors
    /// The file cannot be written.
    pub fn next_number<D: Document>(&self) -> Result<u32, Problem> {
        self.db
            .query_row(
                "INSERT INTO ids VALUES (?1, 1) ON CONFLICT (kind) DO UPDATE SET last = last + 1 RETURNING last",
                [D::KIND],
                |row| row.get(0),
            )
            .map_err(trouble)
    }
}

fn read<D: Document>(number: u32, body: &str) -> Result<D, Problem> {
    serde_json::from_str(body).map_err(|it| {
        Problem::new(format!("{} {number} in the shop's file is damaged: {it}", D::KIND))
            .hint("put back a copy of the shop's file")
    })
}
