//! Photographs of wood: what is asked of them, and answered about them.

use handbook::SpeciesKey;
use measure::Length;
use outline::Point;
use serde::{Deserialize, Serialize};
use stock::{Form, Side, ZoneId, ZoneKind};
use ts_rs::TS;

/// A piece brought in by its photograph.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct PhotoAsk {
    /// What the maker calls it.
    pub name: String,
    /// What it is of.
    pub species: SpeciesKey,
    /// Slab, plank or offcut.
    pub form: Form,
    /// As it lies there.
    pub thickness: Length,
    /// Where the scale sheets lay.
    pub sheets: SheetsAt,
    /// The length of the sheet's 200 mm line as it came out of the printer.
    pub check_line: Option<Length>,
    /// Lengths that the maker measured on the wood, in place of scale sheets.
    #[serde(default)]
    pub known: Vec<KnownLength>,
}

/// The other face of a piece, brought in by its photograph.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct FarPhotoAsk {
    /// Where the scale sheets lay.
    pub sheets: SheetsAt,
    /// The length of the sheet's 200 mm line as it came out of the printer.
    pub check_line: Option<Length>,
    /// Lengths that the maker measured on the wood, in place of scale sheets.
    #[serde(default)]
    pub known: Vec<KnownLength>,
}

/// Where the scale sheets lay when the photograph was taken.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum SheetsAt {
    /// On the top face, or level with it.
    #[default]
    OnTop,
    /// On the bench beside the wood; the thickness corrects for it.
    OnBench,
}

/// A length on the top face that the maker measured.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct KnownLength {
    /// One end: the picture's pixels as it is shown upright, from its upper left, y down.
    pub from_px: [f64; 2],
    /// The other.
    pub to_px: [f64; 2],
    /// From one to the other.
    pub length: Length,
}

/// What the maker says of a candidate.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Answer {
    /// On which face it lies.
    pub face: Side,
    /// Which.
    pub candidate: ZoneId,
    /// What it is; nothing if there is no fault.
    pub is: Option<ZoneKind>,
}

/// Strokes that mend a face's edge.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct EdgeAsk {
    /// Of which face.
    pub face: Side,
    /// What the hand drew.
    pub strokes: Vec<EdgeStroke>,
}

/// A line drawn on a face's picture.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct EdgeStroke {
    /// Whether there is wood along it.
    pub wood: bool,
    /// Where it runs, in the face's millimetres.
    pub line: Vec<Point>,
}

/// What the answers about one kind of fault have come to.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct KeennessLine {
    /// The kind.
    pub kind: ZoneKind,
    /// In one sentence.
    pub told: String,
}
