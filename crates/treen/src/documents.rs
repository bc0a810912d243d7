//! Documents as JSON, out and in.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use measure::Problem;
use serde::Serialize;
use serde::de::DeserializeOwned;
use shop::{Shop, Trouble};
use stock::{JobId, PatternId, PieceId};

use crate::say::say;

/// The kinds of document.
#[derive(Clone, Copy, ValueEnum)]
pub(crate) enum Kind {
    /// A piece of wood
    Piece,
    /// A pattern
    Pattern,
    /// A job
    Job,
    /// A job's plan (read only)
    Plan,
    /// Machines, people, prices, units
    Kit,
}

/// Write a document as JSON
#[derive(Args)]
pub(crate) struct Read {
    kind: Kind,
    /// Its number; the kit has none
    #[arg(default_value_t = 1)]
    id: u32,
}

/// Put a changed document back
#[derive(Args)]
pub(crate) struct Write {
    kind: Kind,
    /// The JSON file
    file: PathBuf,
}

impl Read {
    pub(crate) fn run(self, shop: &Shop) -> Result<(), Trouble> {
        match self.kind {
            Kind::Piece => print(&shop.piece(PieceId(self.id))?),
            Kind::Pattern => print(&shop.pattern(PatternId(self.id))?),
            Kind::Job => print(&shop.job(JobId(self.id))?),
            Kind::Plan => print(&shop.plan(JobId(self.id))?),
            Kind::Kit => print(&shop.kit()?),
        }
    }
}

impl Write {
    pub(crate) fn run(self, shop: &Shop) -> Result<(), Trouble> {
        let bytes = crate::file(&self.file)?;
        match self.kind {
            Kind::Piece => shop.put_piece(read(&bytes)?, None).map(|_| ()),
            Kind::Pattern => shop.put_pattern(&read(&bytes)?, None),
            Kind::Job => shop.put_job(&read(&bytes)?, None),
            Kind::Kit => shop.put_kit(&read(&bytes)?, None),
            Kind::Plan => {
                Err(Problem::new("a plan is worked out, not written").hint("use `treen job plan`").into())
            }
        }
    }
}

fn print(it: &impl Serialize) -> Result<(), Trouble> {
    let text = serde_json::to_string_pretty(it);
    say!("{}", text.map_err(|it| Problem::new(format!("cannot write it as JSON: {it}")))?);
    Ok(())
}

fn read<T: DeserializeOwned>(bytes: &[u8]) -> Result<T, Problem> {
    serde_json::from_slice(bytes).map_err(|it| {
        Problem::new(format!("the file cannot be read: {it}")).hint("start from what `treen read` writes")
    })
}
