//! The shapes to be made.

use measure::{Angle, Force, Length};
use outline::{Outline, Place, Point, Ring, Segment};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::{FeatureId, PatternId, PictureId, TracedLine};

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
        /// The line as it was found; a pattern of an earlier form has none.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        #[ts(optional)]
        line: Option<TracedLine>,
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
    /// Where the wood's natural edge may be the part's own: there the outline is
    /// drawn past it.
    LiveEdge {
        /// As deep into the outline as the natural edge may come.
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
    /// A bar screwed across the underside to keep the part flat. Its middle
    /// screw holds, the others sit in slots, so that the wood may move.
    Batten {
        /// The batten's middle.
        at: Point,
        /// Which way the batten's length lies on the pattern.
        along: Angle,
        /// The batten's length.
        length: Length,
        /// The batten's width.
        width: Length,
        /// The batten's height.
        height: Length,
    },
    /// A bought handle on the food side, held by two screws from below.
    Handle {
        /// Midway between its screws.
        at: Point,
        /// Which way the line through its screws lies on the pattern.
        along: Angle,
        /// How far its screws are apart.
        apart: Length,
        /// The screws' diameter.
        screw: Length,
    },
    /// A blind hole in the underside with something let into it.
    Pocket {
        /// Its middle.
        at: Point,
        /// Its diameter.
        diameter: Length,
        /// How deep it is.
        depth: Length,
        /// What is let in.
        holds: LetIn,
    },
}

/// What is let into a pocket.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum LetIn {
    /// A magnet, glued in.
    Magnet,
    /// A sleeve with a thread inside, screwed in.
    ThreadedInsert,
}

impl Pattern {
    /// The stems, with their ids.
    pub fn stems(&self) -> impl Iterator<Item = (FeatureId, Segment, Angle, Force)> + '_ {
        self.features.iter().filter_map(|it| {
            let FeatureKind::Stem { axis, within, load } = it.kind else { return None };
            Some((it.id, axis, within, load))
        })
    }

    /// The areas that food touches.
    pub fn food_areas(&self) -> impl Iterator<Item = &Ring> + '_ {
        self.features.iter().filter_map(|it| {
            let FeatureKind::FoodArea { area } = &it.kind else { return None };
            Some(area)
        })
    }

    /// The areas in which the wood's natural edge may be the part's.
    pub fn live_edges(&self) -> impl Iterator<Item = &Ring> + '_ {
        self.features.iter().filter_map(|it| {
            let FeatureKind::LiveEdge { area } = &it.kind else { return None };
            Some(area)
        })
    }

    /// Whether the wood's natural edge may anywhere be the part's.
    pub fn has_live_edge(&self) -> bool {
        self.live_edges().next().is_some()
    }

    /// Where feet and battens cover the underside.
    pub fn covered(&self) -> impl Iterator<Item = Ring> + '_ {
        self.features.iter().filter_map(|it| {
            let (FeatureKind::FootSeat { at, along, length, width, .. }
            | FeatureKind::Batten { at, along, length, width, .. }) = it.kind
            else {
                return None;
            };
            let bar = Ring::rectangle(length, width).ok()?;
            let turned = Place { at: Point::default(), turn: along, mirrored: false };
            let middle = turned.point(bar.centroid());
            Some(Place { at: Point::new(at.x - middle.x, at.y - middle.y), ..turned }.ring(&bar))
        })
    }

    /// The hollows, with their ids, rims, depths and walls.
    pub fn hollows(&self) -> impl Iterator<Item = (FeatureId, &Ring, Length, Angle)> + '_ {
        self.features.iter().filter_map(|it| {
            let FeatureKind::Hollow { area, depth, wall } = &it.kind else { return None };
            Some((it.id, area, *depth, *wall))
        })
    }

    /// The hanging holes, with their ids, middles and diameters.
    pub fn hanging_holes(&self) -> impl Iterator<Item = (FeatureId, Point, Length)> + '_ {
        self.features.iter().filter_map(|it| {
            let FeatureKind::HangingHole { at, diameter } = it.kind else { return None };
            Some((it.id, at, diameter))
        })
    }
}
