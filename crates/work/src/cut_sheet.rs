//! How a face is sawn apart, as it was proved: what a drawing of it needs.

use measure::{Area, Length};
use outline::{Outline, Point};
use serde::{Deserialize, Serialize};
use stock::{CutPlan, PartKey};
use ts_rs::TS;

/// All cuts of one face, in order. Each plan has been sawn through by the judge.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct CutSheet {
    /// What is sawn apart first with a hand-held saw, in order.
    pub apart: Vec<HandCut>,
    /// Holes and cuts.
    pub plan: CutPlan,
    /// What is to be known of each cut, in the plan's order.
    pub cuts: Vec<CutFigures>,
    /// What is left on each part for the sander.
    pub left: Vec<StockLeft>,
    /// From the blade to the column.
    pub throat: Length,
    /// The side of the saw's square table.
    pub table: Length,
}

/// A straight cut with a hand-held saw, where the wood is too long for the bandsaw
/// to part it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct HandCut {
    /// How it is called on drawings and cards: `A` is the first.
    pub letter: char,
    /// Where it begins, beside the wood.
    pub from: Point,
    /// Where it ends, beside the wood.
    pub to: Point,
    /// The width of the cut.
    pub kerf: Length,
}

/// One cut.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct CutFigures {
    /// What is done, as one instruction without its number.
    pub words: String,
    /// From the tips of the teeth to the back of the blade.
    pub width: Length,
    /// The width of the cut.
    pub kerf: Length,
    /// How far the work reaches toward the column at the most.
    pub reach: Length,
    /// What is in the hands when it begins, on the face, to a third of a millimetre.
    pub held: Outline,
    /// Its longer side.
    pub work: Length,
    /// How far its balance point comes to lie beyond the table; zero if it does not.
    pub overhang: Length,
    /// What comes off.
    pub falls: Vec<Falling>,
}

/// A piece of waste that comes off in a cut.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Falling {
    /// Its outline on the face, to a third of a millimetre.
    pub outline: Outline,
    /// Its area.
    pub area: Area,
    /// How far the teeth have come along the cut by then.
    pub after: Length,
}

/// What is left outside a part's line.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct StockLeft {
    /// On which part.
    pub part: PartKey,
    /// From its line, where it is the most.
    pub most: Length,
    /// Where that is, on the face.
    pub at: Point,
    /// The same, on the mean.
    pub mean: Length,
}
