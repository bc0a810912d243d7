//! What is screwed to a part or let into it, with every size: enough to draw it.

use measure::{Angle, Length};
use outline::Point;
use serde::{Deserialize, Serialize};
use stock::{FeatureId, LetIn, PartKey, PatternId};
use ts_rs::TS;

/// One thing held on or in a part.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Fixing {
    /// On which part.
    pub part: PartKey,
    /// Of which pattern.
    pub pattern: PatternId,
    /// Of which feature there.
    pub feature: FeatureId,
    /// Its middle on the pattern.
    pub at: Point,
    /// Which way it lies on the pattern.
    pub along: Angle,
    /// Where its holes are on the pattern.
    pub holes: Vec<Point>,
    /// The wood over it, a hollow's depth taken off.
    pub top: Length,
    /// What it is and how it holds.
    pub held: Held,
}

/// How a thing is held.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case", tag = "is")]
pub enum Held {
    /// A foot or a batten with wood screws.
    Screwed {
        /// A batten, which lies across the grain.
        batten: bool,
        /// Along the line of its screws.
        length: Length,
        /// Square to that.
        width: Length,
        /// Between the part and the table.
        height: Length,
        /// Its screws.
        screw: WoodScrew,
    },
    /// A handle, with screws through the part into it.
    Bolted {
        /// The screws' diameter.
        screw: Length,
        /// The round hole.
        hole: Length,
        /// The length of the other one, if it has to be a slot.
        slot: Option<Length>,
    },
    /// Something in a blind hole.
    Sunk {
        /// The hole's diameter.
        diameter: Length,
        /// The hole's depth.
        depth: Length,
        /// What is let in.
        holds: LetIn,
    },
}

/// A wood screw as it sits.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct WoodScrew {
    /// Its number.
    pub number: u32,
    /// Its length.
    pub length: Length,
    /// The plain shank's diameter.
    pub shank: Length,
    /// The head's diameter.
    pub head: Length,
    /// How deep the head sits; zero means countersunk.
    pub counterbore: Length,
    /// The diameter of counterbore and plug.
    pub plug: Length,
    /// The hole through the foot.
    pub hole: Length,
    /// The outer holes' length, if they have to be slots.
    pub slot: Option<Length>,
    /// The hole in the part.
    pub pilot: Length,
    /// How far it reaches into the part.
    pub bite: Length,
}
