//! Areas of a face that are not clear wood.

use outline::Ring;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::ZoneId;

/// An area of a face with something other than clear heartwood.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Zone {
    /// Unique within its face.
    pub id: ZoneId,
    /// What is there.
    pub kind: ZoneKind,
    /// Where, on the face.
    pub area: Ring,
    /// Whether it reaches through to the other face.
    pub through: bool,
    /// What the maker wrote beside it.
    pub note: String,
}

/// A fault that a photograph may show. It is a zone once the maker has confirmed
/// it, and gone once it is refused.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Candidate {
    /// Unique among the zones and candidates of its face.
    pub id: ZoneId,
    /// What it seems to be.
    pub kind: ZoneKind,
    /// Where, on the face.
    pub area: Ring,
    /// From 0 (hardly) to 1 (surely).
    pub sure: f64,
}

/// What a zone holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum ZoneKind {
    /// A branch grown in.
    Knot,
    /// A crack along the grain.
    Check,
    /// Bark, outside or grown in.
    Bark,
    /// A missing edge: the round of the log.
    Wane,
    /// Pale wood under the bark; sound.
    Sapwood,
    /// A colour that does not belong; sound.
    Stain,
    /// Holes of insects.
    Worm,
    /// Any other opening.
    Hole,
    /// The middle of the log, where checks begin.
    Pith,
}

impl ZoneKind {
    /// Every kind, in the order in which they are offered.
    pub const ALL: [ZoneKind; 9] = [
        ZoneKind::Knot,
        ZoneKind::Check,
        ZoneKind::Bark,
        ZoneKind::Wane,
        ZoneKind::Sapwood,
        ZoneKind::Stain,
        ZoneKind::Worm,
        ZoneKind::Hole,
        ZoneKind::Pith,
    ];

    /// The trade's word.
    pub const fn word(self) -> &'static str {
        match self {
            ZoneKind::Knot => "knot",
            ZoneKind::Check => "check",
            ZoneKind::Bark => "bark",
            ZoneKind::Wane => "wane",
            ZoneKind::Sapwood => "sapwood",
            ZoneKind::Stain => "stain",
            ZoneKind::Worm => "worm holes",
            ZoneKind::Hole => "hole",
            ZoneKind::Pith => "pith",
        }
    }

    /// So many of them: `1 knot`, `2 checks`, `3 places with bark`.
    pub fn counted(self, count: usize) -> String {
        let (one, many) = match self {
            ZoneKind::Knot => ("knot", "knots"),
            ZoneKind::Check => ("check", "checks"),
            ZoneKind::Bark => ("place with bark", "places with bark"),
            ZoneKind::Wane => ("place with wane", "places with wane"),
            ZoneKind::Sapwood => ("place with sapwood", "places with sapwood"),
            ZoneKind::Stain => ("stain", "stains"),
            ZoneKind::Worm => ("place with worm holes", "places with worm holes"),
            ZoneKind::Hole => ("hole", "holes"),
            ZoneKind::Pith => ("place with pith", "places with pith"),
        };
        format!("{count} {}", if count == 1 { one } else { many })
    }

    /// Whether a part may hold it: sapwood and stain are sound wood, all the
    /// rest is kept out of every part (common practice, no source).
    pub const fn is_sound(self) -> bool {
        match self {
            ZoneKind::Sapwood | ZoneKind::Stain => true,
            ZoneKind::Knot
            | ZoneKind::Check
            | ZoneKind::Bark
            | ZoneKind::Wane
            | ZoneKind::Worm
            | ZoneKind::Hole
            | ZoneKind::Pith => false,
        }
    }
}
