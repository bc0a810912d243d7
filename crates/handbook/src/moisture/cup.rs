//! How far a board cups when its moisture changes, or changes on one face first.

use measure::{Length, Moisture};

use super::{Cut, movement};
use crate::Species;

/// How far the edges of a board rise over its middle when it dries from one
/// moisture to another, away from the pith (below zero: they sink, as when it
/// swells). `pith` is the distance of the face from the pith, the board lying
/// flat-sawn over it.
///
/// Wood that shrinks by e_R across and e_T along its rings keeps its rings round
/// and free of stress if every angle about the pith changes by
/// k = (1 + e_T)/(1 + e_R): the face y = a becomes (1 + e_R) a cos(kθ)/cos θ.
/// Derived from the strains of polar coordinates; a finite-element model of the
/// same board agrees (`checks/cup_fem.py`).
pub fn cup(wood: &Species, width: Length, pith: Length, from: Moisture, to: Moisture) -> Length {
    if width <= Length::ZERO || pith <= Length::ZERO {
        return Length::ZERO;
    }
    let whole = Length::mm(1000.0);
    let strain = |cut| movement(wood, cut, whole, from, to).change / whole;
    free_cup(width, pith, strain(Cut::QuarterSawn), strain(Cut::FlatSawn))
}

/// The same for known strains across and along the rings.
pub fn free_cup(width: Length, pith: Length, radial: f64, tangential: f64) -> Length {
    let angle = (width.to_mm() / 2.0 / pith.to_mm()).atan();
    let turn = (1.0 + tangential) / (1.0 + radial);
    pith * ((1.0 + radial) * ((turn * angle).cos() / angle.cos() - 1.0))
}

/// How far the edges of a board rise over its middle when its upper face has
/// moved by `apart` of its width more than the lower one, evenly in between
/// (below zero, as when it dries: they rise). The board then bends freely with
/// the curvature apart / thickness (strain that is linear in depth fits
/// together without stress), and the arc over the width rises by its square /
/// 8. The finite-element model agrees (`checks/cup_fem.py`).
pub fn one_faced_cup(width: Length, thickness: Length, apart: f64) -> Length {
    if width <= Length::ZERO || thickness <= Length::ZERO {
        return Length::ZERO;
    }
    width * (-apart * (width / thickness) / 8.0)
}
