//! Where each part lies: the answer of placing, and what later steps read.

use measure::Area;
use outline::{Outline, Place};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::{PanelId, PieceId, WantId};

/// A face that parts are laid on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case", tag = "of", content = "id")]
pub enum FaceKey {
    /// A piece on the rack.
    Piece(PieceId),
    /// A panel of this job.
    Panel(PanelId),
}

/// One part: the nth of a want.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, TS)]
pub struct PartKey {
    /// Which want.
    pub want: WantId,
    /// Which of its parts, from 1.
    pub copy: u32,
}

/// One strip: the nth of a panel, from its lower edge up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, TS)]
pub struct StripKey {
    /// Which panel.
    pub panel: PanelId,
    /// Which of its strips, from 1.
    pub strip: u32,
}

/// A part on a face.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Placement {
    /// Which part.
    pub part: PartKey,
    /// On which face.
    pub face: FaceKey,
    /// How it lies there.
    pub place: Place,
    /// Its finished outline on that face.
    pub outline: Outline,
    /// Whether the maker put it there.
    pub pinned: bool,
}

/// A strip for a panel, laid on a piece, at its rough size.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct StripPlacement {
    /// Which strip.
    pub strip: StripKey,
    /// On which piece.
    pub piece: PieceId,
    /// Its rough outline on that piece.
    pub outline: Outline,
}

/// What is left of a face and worth keeping.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Offcut {
    /// Of which face.
    pub face: FaceKey,
    /// Its outline on that face.
    pub outline: Outline,
}

/// All parts and strips together.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, TS)]
pub struct Layout {
    /// The parts that found a place, by part.
    pub placements: Vec<Placement>,
    /// The strips that found a place, by strip.
    pub strips: Vec<StripPlacement>,
    /// The parts that found none.
    pub unplaced: Vec<PartKey>,
    /// The strips that found none.
    pub unplaced_strips: Vec<StripKey>,
    /// What is left and worth keeping.
    pub offcuts: Vec<Offcut>,
    /// The faces that are used, with the area that their parts or strips take.
    pub used: Vec<(FaceKey, Area)>,
}

impl Layout {
    /// Where a part lies.
    pub fn placement(&self, part: PartKey) -> Option<&Placement> {
        self.placements.iter().find(|it| it.part == part)
    }
}
