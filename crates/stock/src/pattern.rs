//! The shapes to be made.

use measure::{Angle, Force, Length};
use outline::{Outline, Point, Ring, Segment};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::{FeatureId, PatternId, PictureId};

/// A shape at true size, and what is special about it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Pattern {
    /// Made by the store.
    pub id: PatternId,
    /// What the maker calls it.
    pub name: String,
    /// Where the outline came from.
    pub origin: Origin,
    /// The outline, finished size, food side up.
    pub outline: Outline,
    /// What is special about it.
    pub features: Vec<Feature>,
}

/// Where an outline came from.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case", tag = "from")]
pub enum Origin {
    /// Drawn by parameters.
    Family {
        /// Which family, with its parameters.
        family: outline::Family,
    },
    /// Brought in from a drawing.
    Drawing {
        /// The file's name.
        file: String,
    },
    /// Traced from a photograph.
    Traced {
        /// The stored photograph.
        picture: PictureId,
    },
}

/// Something special about a pattern.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Feature {
    /// Unique within its pattern.
    pub id: FeatureId,
    /// What it is.
    pub kind: FeatureKind,
}

/// What a feature is.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case", tag = "is")]
pub enum FeatureKind {
    /// A narrow part that has to run with the grain: a stem, a tail, a handle.
    Stem {
        /// Its middle line, from the body out to the tip.
        axis: Segment,
        /// How far its grain may turn away from that line.
        within: Angle,
        /// The load at its tip that it has to bear, flat on the bench edge.
        load: Force,
    },
    /// The area that food touches.
    FoodArea {
        /// Where.
        area: Ring,
    },
    /// A hollow with a flat floor and sloping walls.
    Hollow {
        /// Where its rim runs.
        area: Ring,
        /// How deep the floor lies below the face.
        depth: Length,
        /// How steep the walls are, from the face downward; 90° is upright.
        wall: Angle,
    },
    /// A hole to hang it by.
    HangingHole {
        /// Its middle.
        at: Point,
        /// Its diameter.
        diameter: Length,
    },
    /// A place on the underside for a foot that is screwed on.
    FootSeat {
        /// The foot's middle.
        at: Point,
        /// Which way the foot's length lies on the pattern.
        along: Angle,
        /// The foot's length.
        length: Length,
        /// The foot's width.
        width: Length,
        /// The foot's height.
        height: Length,
    },
}

impl Pattern {
    /// The stems, with their ids.
    pub fn stems(&self) -> impl Iterator<Item = (FeatureId, Segment, Angle, Force)> + '_ {
        self.features.iter().filter_map(|feature| match feature.kind {
            FeatureKind::Stem { axis, within, load } => Some((feature.id, axis, within, load)),
            FeatureKind::FoodArea { .. }
            | FeatureKind::Hollow { .. }
            | FeatureKind::HangingHole { .. }
            | FeatureKind::FootSeat { .. } => None,
        })
    }
}
