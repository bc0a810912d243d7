//! What is wrong or doubtful, as a good compiler says it.

use measure::Figure;
use outline::Point;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::{Change, FaceKey, PanelId, PartKey, PatternId, PieceId};

/// What is wrong: what, where, the figure and its limit, why, and the mending.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Finding {
    /// How bad.
    pub grade: Grade,
    /// The rule's name in words: `stem across the grain`.
    pub rule: String,
    /// What is wrong, in one line with its numbers.
    pub what: String,
    /// Where.
    pub spot: Spot,
    /// The computed figure.
    pub figure: Figure,
    /// The limit beside it, in the same units.
    pub limit: String,
    /// Why that matters.
    pub why: String,
    /// The cheapest mending, best first.
    pub mendings: Vec<Mending>,
}

/// How bad a finding is; sorts the worst first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Grade {
    /// Cannot or must not be made.
    Stop,
    /// Will likely fail.
    Mend,
    /// Good to know.
    Note,
}

/// Where a finding points.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case", tag = "on")]
pub enum Spot {
    /// The job as a whole.
    Job,
    /// A piece on the rack.
    Piece {
        /// Which.
        piece: PieceId,
    },
    /// A panel of the job.
    Panel {
        /// Which.
        panel: PanelId,
    },
    /// A pattern, at a point of its drawing if there is one.
    Pattern {
        /// Which.
        pattern: PatternId,
        /// Where on its drawing.
        at: Option<Point>,
    },
    /// A part that lies on a face, at a point of that face.
    Part {
        /// Which.
        part: PartKey,
        /// On which face.
        face: FaceKey,
        /// Where on the face.
        at: Point,
    },
    /// A part that lies nowhere.
    Unplaced {
        /// Which.
        part: PartKey,
    },
}

/// What would mend a finding.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Mending {
    /// What the maker does: `turn the foot to run with the top`.
    pub label: String,
    /// The change, if the program can make it.
    pub change: Option<Change>,
}

impl Mending {
    /// A mending that the maker has to do.
    pub fn by_hand(label: impl Into<String>) -> Mending {
        Mending { label: label.into(), change: None }
    }

    /// A mending that the program can make.
    pub fn by(change: Change, label: impl Into<String>) -> Mending {
        Mending { label: label.into(), change: Some(change) }
    }
}
