//! How a face is sawn apart on the bandsaw: holes first, then cuts in their order.

use measure::{Angle, Length};
use outline::Point;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::{BladeId, FaceKey, PartKey};

/// Everything that is drilled and sawn to free the parts of one face.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct CutPlan {
    /// Which face.
    pub face: FaceKey,
    /// What is drilled before the first cut.
    pub holes: Vec<SawHole>,
    /// The cuts, in the order in which they are sawn.
    pub cuts: Vec<SawCut>,
}

/// A hole that is drilled through for the saw.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct SawHole {
    /// For which part.
    pub part: PartKey,
    /// Its middle, on the face.
    pub at: Point,
    /// The bit.
    pub diameter: Length,
    /// What it is for.
    pub is: SawHoleUse,
}

/// What a hole is drilled for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum SawHoleUse {
    /// The blade turns on the spot in it; it lies in the waste and touches the line.
    Pivot,
    /// A coping saw or jig saw is threaded through it, inside an opening.
    Start,
}

/// One cut: from where the blade goes into the work to where it is out again.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct SawCut {
    /// What it does.
    pub kind: SawCutKind,
    /// The parts that it is sawn for: whose line it follows, that it parts from
    /// one another, or whose waste it takes away. None where a maker has drawn it
    /// for no part.
    pub parts: Vec<PartKey>,
    /// With which blade.
    pub blade: BladeId,
    /// The way of the teeth, by the middle of the kerf, leg after leg: each
    /// begins where the one before it ended.
    pub legs: Vec<SawLeg>,
}

/// What a cut does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum SawCutKind {
    /// Straight, between parts: each side holds at least one.
    Parting,
    /// Straight: takes waste away, so that the work clears the column.
    Trim,
    /// Straight and square to the line, ending before it: what is sawn along
    /// the line then falls off in short pieces. The blade is led back out of it.
    Relief,
    /// Along the line of a part, with its way in and out.
    Outline,
    /// Straight across a tight outside corner, so that less is left to sand.
    Facet,
}

/// A stretch of a cut.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case", tag = "is")]
pub enum SawLeg {
    /// Sawn from point to point.
    Sawn {
        /// On the face; two points or more.
        way: Vec<Point>,
    },
    /// The work is turned about a point, with the blade in a hole: it saws
    /// nothing there.
    Turned {
        /// What the work turns about: the middle of the hole.
        about: Point,
        /// By how much the blade's heading turns, counter-clockwise on the face.
        by: Angle,
    },
}

impl SawCut {
    /// Where the teeth go in.
    pub fn begin(&self) -> Option<Point> {
        self.sawn().next()
    }

    /// All points that the teeth saw through, in order.
    pub fn sawn(&self) -> impl Iterator<Item = Point> + '_ {
        self.legs
            .iter()
            .flat_map(|leg| match leg {
                SawLeg::Sawn { way } => way.as_slice(),
                SawLeg::Turned { .. } => &[],
            })
            .copied()
    }

    /// How long it is.
    pub fn length(&self) -> Length {
        let mut long = Length::ZERO;
        for leg in &self.legs {
            if let SawLeg::Sawn { way } = leg {
                long = way.windows(2).fold(long, |long, it| long + it[0].distance(it[1]));
            }
        }
        long
    }
}
