//! Which pieces of the rack suit a part, and how many of it each holds.

use measure::Problem;
use outline::{Outline, Place};
use rayon::prelude::*;
use serde::Serialize;
use stock::{Brief, Piece, PieceId, WantId};
use ts_rs::TS;

use crate::part::Part;
use crate::rules;

/// A piece that a part can be sawn from.
#[derive(Clone, Debug, PartialEq, Serialize, TS)]
pub struct Suit {
    /// The piece.
    pub piece: PieceId,
    /// Where parts lie on it, the most that were found.
    pub outlines: Vec<Outline>,
    /// Whether more of them were looked for: only the best few pieces are tried
    /// for more than one.
    pub counted: bool,
}

/// The pieces that a part can be sawn from, those first that are least wood.
#[derive(Clone, Debug, Default, PartialEq, Serialize, TS)]
pub struct Suits {
    /// The best of them.
    pub suits: Vec<Suit>,
    /// How many more there are.
    pub more: u32,
    /// Pieces that are thinner than the part needs.
    pub too_thin: u32,
    /// Pieces that are thick enough and on which no place was found.
    pub no_room: u32,
}

/// Pieces that are told.
const MOST: usize = 24;
/// Of these, so many are tried for more than one part.
const COUNTED: usize = 6;

/// The brief's pieces that suit one of its wants, the least wood first: a large
/// slab is kept for what needs it. The same brief gives the same answer.
///
/// # Errors
/// The want or its pattern is not in the brief.
pub fn suits(brief: &Brief, want: WantId) -> Result<Suits, Problem> {
    let want = brief.want(want)?;
    let part = Part::of(brief, want, brief.pattern(want.pattern)?);
    let need = rules::part_needs(brief, want);
    let (thick, thin): (Vec<&Piece>, Vec<&Piece>) = brief.pieces.iter().partition(|it| need <= it.thickness);
    let mut found: Vec<(&Piece, Place)> =
        thick.par_iter().filter_map(|piece| Some((*piece, part.place_on(piece)?))).collect();
    let area = |it: &Piece| it.face.area().to_mm2();
    found.sort_by(|one, other| area(one.0).total_cmp(&area(other.0)).then(one.0.id.cmp(&other.0.id)));
    let more = found.len().saturating_sub(MOST) as u32;
    let no_room = (thick.len() - found.len()) as u32;
    found.truncate(MOST);
    let suits = found.into_par_iter().enumerate().map(|(rank, (piece, place))| {
        let counted = rank < COUNTED;
        let places = if counted { part.places_on(piece, place) } else { vec![place] };
        Suit { piece: piece.id, outlines: part.outlines(piece, &places), counted }
    });
    Ok(Suits { suits: suits.collect(), more, too_thin: thin.len() as u32, no_room })
}
