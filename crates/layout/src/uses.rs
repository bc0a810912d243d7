//! What a piece of wood could become.

use measure::Problem;
use outline::Outline;
use rayon::prelude::*;
use serde::Serialize;
use stock::{Brief, PatternId, PieceId};
use ts_rs::TS;

use crate::part::Part;
use crate::rules;

/// One thing that a piece could become.
#[derive(Clone, Debug, PartialEq, Serialize, TS)]
pub struct PieceUse {
    /// Sawn from it.
    pub pattern: PatternId,
    /// Where they lie on it, the most that were found.
    pub outlines: Vec<Outline>,
    /// The share of its face that they take.
    pub share: f64,
}

/// The wants of a brief that a piece could become, each by itself; those first
/// that use most of it. The same brief gives the same answer.
///
/// # Errors
/// The piece is not in the brief.
pub fn uses(brief: &Brief, piece: PieceId) -> Result<Vec<PieceUse>, Problem> {
    let piece = brief.piece(piece)?;
    let found = brief.job.wants.par_iter().filter_map(|want| {
        let pattern = brief.pattern(want.pattern).ok()?;
        if rules::part_needs(brief, want) > piece.thickness {
            return None;
        }
        let part = Part::of(brief, want, pattern);
        let places = part.places_on(piece, part.place_on(piece)?);
        let share = pattern.outline.area() * places.len() as f64 / piece.face.area();
        Some(PieceUse { pattern: pattern.id, outlines: part.outlines(piece, &places), share })
    });
    let mut found: Vec<PieceUse> = found.collect();
    found.sort_by(|one, other| other.share.total_cmp(&one.share).then(one.pattern.cmp(&other.pattern)));
    Ok(found)
}
