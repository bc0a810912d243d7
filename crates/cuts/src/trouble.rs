//! What cannot be sawn, and why.

use measure::Length;
use stock::PartKey;

/// A part that the plan does not free.
#[derive(Clone, Debug, PartialEq)]
pub struct Trouble {
    /// Which.
    pub part: PartKey,
    /// Why.
    pub kind: TroubleKind,
}

/// Why a part is not freed.
#[derive(Clone, Debug, PartialEq)]
pub enum TroubleKind {
    /// No blade is left that may saw it.
    NoBlade,
    /// The work meets the column, however it is trimmed.
    Column {
        /// How far the part alone reaches toward the column.
        reach: Length,
    },
    /// Other parts lie so close around it that no cut comes to it without
    /// cutting one of them loose.
    Crowded {
        /// Whether one would on a saw without a column.
        column: bool,
    },
    /// It lies on another part, or so many parts lie on the face that no cuts are
    /// planned there.
    Overlaps,
    /// Cuts were found, and none stood when they were sawn through.
    Refused,
    /// The blade finds no way to its line and away from it.
    NoWay,
}
