//! What is known of a picture.

use outline::{Point, Ring};
use serde::{Deserialize, Serialize};

use crate::camera::Camera;
use crate::slab::{Knot, SlabAsk};

/// What is known exactly of one picture. All lengths in millimetres; the world
/// is the slab's frame, z up from the bench. Pixels as [`Camera`] counts them,
/// in the picture as it stands upright.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Truth {
    /// The camera and its lens.
    pub camera: Camera,
    /// How high above the bench the sheets lie.
    pub sheets_level_mm: f64,
    /// The scale sheets.
    pub sheets: Vec<SheetTruth>,
    /// The slab, if the picture is of one.
    pub slab: Option<SlabTruth>,
    /// The leaf's edge on the bench, stem and all, if the picture is of one.
    pub leaf: Option<Ring>,
}

/// One sheet in the picture.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SheetTruth {
    /// Its number.
    pub number: u8,
    /// Its middle.
    pub at: Point,
    /// Turned by this much, counter-clockwise, in degrees.
    pub turn_degrees: f64,
    /// Its tags.
    pub tags: Vec<TagTruth>,
}

/// One tag in the picture.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct TagTruth {
    /// Its number in the code family.
    pub id: u16,
    /// Corners of the black square: upper left, upper right, lower right, lower
    /// left as printed.
    pub corners: [Point; 4],
    /// Where they are seen.
    pub corners_px: [[f64; 2]; 4],
    /// Whether all of it, with one module of white round it, is seen.
    pub visible: bool,
}

/// The slab in the picture.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SlabTruth {
    /// What was asked of it.
    pub ask: SlabAsk,
    /// From end to end.
    pub length_mm: f64,
    /// From edge to edge at the widest, bark and all.
    pub width_mm: f64,
    /// From the bench to the upper face.
    pub thickness_mm: f64,
    /// The edge of the upper face, bark and all.
    pub outline: Ring,
    /// The edge of the wood on the upper face.
    pub wood_line: Ring,
    /// The knots.
    pub knots: Vec<Knot>,
    /// The checks.
    pub checks: Vec<Ring>,
    /// Fibre directions on the upper face, every 40 mm.
    pub fibres: Vec<FibreTruth>,
}

/// The fibres at one place.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct FibreTruth {
    /// Where.
    pub at: Point,
    /// Counter-clockwise from x, in degrees.
    pub degrees: f64,
}
