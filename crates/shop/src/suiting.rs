//! Which wood suits a pattern, and what a piece of wood could become.

use layout::{PieceUse, Suits};
use measure::{Length, Problem};
use serde::{Deserialize, Serialize};
use stock::{Brief, JobId, Pattern, PatternId, Piece, PieceId, Want, WantId};
use ts_rs::TS;

use crate::keeping::plain_job;
use crate::planning::brief;
use crate::view::NewJob;
use crate::{Shop, Trouble, clock};

/// What a piece could become, and how thick.
#[derive(Clone, Debug, PartialEq, Serialize, TS)]
pub struct Uses {
    /// Finished thickness: what planing and sanding both faces leave.
    pub thickness: Length,
    /// What it could become, the best use of it first.
    pub uses: Vec<PieceUse>,
}

/// What wood is looked for.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct SuitAsk {
    /// Finished thickness.
    pub thickness: Length,
}

impl Shop {
    /// The pieces of the rack from which a pattern can be sawn, the least wood
    /// first; nothing is kept.
    ///
    /// # Errors
    /// There is no such pattern, or no such thickness.
    pub fn suits(&self, pattern: PatternId, ask: SuitAsk) -> Result<Suits, Trouble> {
        if ask.thickness <= Length::ZERO {
            return Err(Problem::new("the thickness has to be above zero").into());
        }
        let pieces = self.reading(|store| store.all())?;
        let brief = self.trying(pieces, vec![self.pattern(pattern)?], ask.thickness)?;
        Ok(layout::suits(&brief, WantId(1))?)
    }

    /// What a piece could become, of the shop's patterns, each by itself, as
    /// thick as can be; nothing is kept.
    ///
    /// # Errors
    /// There is no such piece, it was sawn, or planing leaves nothing of it.
    pub fn uses(&self, piece: PieceId) -> Result<Uses, Trouble> {
        let piece = self.whole_piece(piece)?;
        let allow = self.kit()?.allowances;
        let thickness = piece.thickness - (allow.planing + allow.sanding) * 2.0;
        if thickness <= Length::ZERO {
            return Err(Problem::new("planing and sanding both faces leave nothing of it")
                .hint("allow less for planing and sanding, in the shop")
                .into());
        }
        let id = piece.id;
        let patterns = self.reading(|store| store.all())?;
        let uses = layout::uses(&self.trying(vec![piece], patterns, thickness)?, id)?;
        Ok(Uses { thickness, uses })
    }

    /// A brief that nobody has asked for: each pattern once, of one thickness.
    fn trying(
        &self,
        pieces: Vec<Piece>,
        patterns: Vec<Pattern>,
        thickness: Length,
    ) -> Result<Brief, Trouble> {
        let kit = self.kit()?;
        let today = clock::first_day(&kit.people, clock::now());
        let mut job = plain_job(JobId(0), NewJob { name: String::new(), due: today }, &pieces, &kit);
        job.wants = patterns
            .iter()
            .zip(1..)
            .map(|(pattern, id)| Want::new(WantId(id), pattern.id, 1, thickness))
            .collect();
        Ok(brief(&job, &pieces, &patterns, &kit, today))
    }
}
