//! The wood on the rack.

use handbook::SpeciesKey;
use jiff::civil::Date;
use measure::{Area, Length, Moisture, Money, Problem, Volume};
use outline::{Outline, Point, Ring};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::{Candidate, GrainField, JobId, PieceId, Registered, Zone};

/// One piece of wood.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Piece {
    /// Made by the store.
    pub id: PieceId,
    /// What the maker calls it.
    pub name: String,
    /// What it is of.
    pub species: SpeciesKey,
    /// Slab, plank or offcut.
    pub form: Form,
    /// As it lies there, before any machine.
    pub thickness: Length,
    /// The last reading of the moisture meter.
    pub moisture: Option<Reading>,
    /// What it cost.
    pub price: Option<Price>,
    /// Where it lies.
    pub place: String,
    /// The face that the parts are laid on.
    pub face: Face,
    /// The face underneath, if it was photographed too.
    #[serde(default)]
    pub far_face: Option<FarFace>,
    /// What it was sawn for, once it is no longer whole.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub sawn: Option<Sawn>,
}

/// A piece was sawn: it is no wood to plan with any more, but the record of
/// what was made of it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Sawn {
    /// For this job.
    pub job: JobId,
    /// When.
    #[ts(type = "string")]
    pub on: Date,
    /// What was left of it went on the rack as these.
    pub leftovers: Vec<PieceId>,
}

/// The other face of a piece: how it looks, and how it lies under the near one.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct FarFace {
    /// As it is seen with the piece turned over.
    pub face: Face,
    /// How it lies under the near one.
    pub lies: Registered,
    /// Places that are the same edge or mark on both faces.
    pub marks: Vec<SameMark>,
}

/// Which of a piece's two faces.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Side {
    /// The one that parts are laid on.
    #[default]
    Near,
    /// The one underneath.
    Far,
}

/// One place that can be told on both faces: a corner, a pencil mark over the edge.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct SameMark {
    /// On the near face.
    pub near: Point,
    /// On the far face, in its own millimetres.
    pub far: Point,
}

/// How the wood came.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Form {
    /// Sawn through the log, its natural edges left.
    Slab,
    /// Sawn square.
    #[default]
    Plank,
    /// Left over from other work.
    Offcut,
}

/// A reading of the moisture meter.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Reading {
    /// What it showed.
    pub moisture: Moisture,
    /// When.
    #[ts(type = "string")]
    pub on: Date,
}

/// What a piece cost.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case", tag = "by", content = "amount")]
pub enum Price {
    /// For every board foot.
    BoardFoot(Money),
    /// For the whole piece.
    Whole(Money),
}

/// One face of a piece, in millimetres from its lower left corner, y up.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Face {
    /// Where the wood ends.
    pub outline: Outline,
    /// Its picture at true scale, if it was photographed.
    pub picture: Option<FacePicture>,
    /// Where it is not clear.
    pub zones: Vec<Zone>,
    /// What its photograph may show, and nobody has looked at yet.
    #[serde(default)]
    pub candidates: Vec<Candidate>,
    /// Which way the fibres run.
    pub grain: GrainField,
    /// Lengths on this face may be wrong by this share (0.003 = 0.3 %); zero
    /// if they were measured by hand.
    pub doubt: f64,
}

/// A rectified picture of a face.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct FacePicture {
    /// Which stored picture.
    pub picture: PictureId,
    /// Pixels from left to right.
    pub width_px: u32,
    /// Pixels from top to bottom.
    pub height_px: u32,
    /// The side of one pixel. The picture's lower left corner is the face's origin.
    pub pixel: Length,
    /// The photograph that it was made from, as the camera took it.
    #[serde(default)]
    pub original: Option<PictureId>,
}

/// A stored picture, named by the hash of its bytes.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, TS)]
#[serde(transparent)]
#[ts(type = "string")]
pub struct PictureId(
    /// Lower-case hexadecimal digits.
    pub String,
);

impl Face {
    /// A bare rectangle with its grain along x, as a plank is when measured by hand.
    ///
    /// # Errors
    /// A side of zero or less.
    pub fn rectangle(length: Length, width: Length) -> Result<Face, Problem> {
        Ok(Face {
            outline: Outline::from(Ring::rectangle(length, width)?),
            picture: None,
            zones: Vec::new(),
            candidates: Vec::new(),
            grain: GrainField::default(),
            doubt: 0.0,
        })
    }

    /// The area inside the outline.
    pub fn area(&self) -> Area {
        self.outline.area()
    }
}

impl Piece {
    /// One of its two faces.
    ///
    /// # Errors
    /// The far one was never photographed.
    pub fn face_on(&mut self, side: Side) -> Result<&mut Face, Problem> {
        match side {
            Side::Near => Ok(&mut self.face),
            Side::Far => self.far_face.as_mut().map(|it| &mut it.face).ok_or_else(|| {
                Problem::new(format!("the other face of “{}” was never photographed", self.name))
                    .hint("photograph it first")
            }),
        }
    }

    /// Both faces, the near one first.
    pub fn faces(&self) -> impl Iterator<Item = &Face> {
        std::iter::once(&self.face).chain(self.far_face.as_ref().map(|it| &it.face))
    }

    /// The wood in it, edge to edge.
    pub fn volume(&self) -> Volume {
        self.face.area() * self.thickness
    }

    /// What the whole piece cost, if that is known.
    pub fn cost(&self) -> Option<Money> {
        self.price.map(|price| match price {
            Price::BoardFoot(each) => each * self.volume().to_board_feet(),
            Price::Whole(all) => all,
        })
    }
}
