//! What a part shows to the sander and the brush.

use measure::{Area, Figure, Length, Units};
use outline::Ring;
use stock::FinishedFaces;

use crate::hollow::{self, Hollowed};
use crate::making::Laid;

/// A part's surface by what it was last touched by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Skin {
    /// Its faces, without the mouths of its hollows.
    pub(crate) faces: Area,
    /// All edges.
    pub(crate) edges: Area,
    /// Floors and walls of its hollows.
    pub(crate) hollows: Area,
    /// The way round all its edges.
    pub(crate) around: Length,
}

impl Skin {
    pub(crate) fn of(part: &Laid, hollows: &[Hollowed]) -> Skin {
        let outline = &part.placement.outline;
        let around: Length = outline.rings().map(Ring::perimeter).sum();
        let (mouths, hollows) = hollow::mouths_and_skins(hollows, part.key);
        let faces = (outline.area() * 2.0 - mouths).max(outline.area());
        Skin { faces, edges: around * part.want.thickness, hollows, around }
    }

    /// What is coated of it.
    pub(crate) fn coated(self, part: &Laid, which: FinishedFaces) -> Skin {
        match which {
            FinishedFaces::Both => self,
            FinishedFaces::Upper => Skin { faces: self.faces - part.placement.outline.area(), ..self },
        }
    }

    pub(crate) fn all(&self) -> Area {
        self.faces + self.rough()
    }

    /// What the saw and the router have left: edges and hollows.
    pub(crate) fn rough(&self) -> Area {
        self.edges + self.hollows
    }

    /// Adds its areas to a figure.
    pub(crate) fn told(&self, figure: Figure, units: Units) -> Figure {
        let figure = figure.from("faces", units.area(self.faces)).from("edges", units.area(self.edges));
        if self.hollows > Area::ZERO {
            figure.from("hollows, floors and walls", units.area(self.hollows))
        } else {
            figure
        }
    }
}

impl std::iter::Sum for Skin {
    fn sum<I: Iterator<Item = Skin>>(all: I) -> Skin {
        let none = Skin { faces: Area::ZERO, edges: Area::ZERO, hollows: Area::ZERO, around: Length::ZERO };
        all.fold(none, |sum, it| Skin {
            faces: sum.faces + it.faces,
            edges: sum.edges + it.edges,
            hollows: sum.hollows + it.hollows,
            around: sum.around + it.around,
        })
    }
}
