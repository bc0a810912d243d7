//! Joining, cutting away and common parts of outlines.

use measure::Area;

use crate::Outline;
use crate::engine::{Lines, Operation};

/// All of them as one: shapes that overlap or share an edge become one shape.
/// Largest first; pieces and openings under 0.01 mm² are left out.
pub fn union(outlines: &[Outline]) -> Vec<Outline> {
    Lines::of(outlines).outlines(Operation::Keep, &Lines::default())
}

impl Outline {
    /// What is left when the others are taken away, largest first; pieces and
    /// openings under 0.01 mm² are left out.
    pub fn minus(&self, others: &[Outline]) -> Vec<Outline> {
        let near: Vec<&Outline> = others.iter().filter(|other| other.bounds().meets(self.bounds())).collect();
        if near.is_empty() {
            return vec![self.clone()];
        }
        Lines::of([self]).outlines(Operation::Subtract, &Lines::of(near))
    }

    /// What both cover, largest first; pieces and openings under 0.01 mm² are
    /// left out.
    pub fn common(&self, other: &Outline) -> Vec<Outline> {
        if !self.bounds().meets(other.bounds()) {
            return Vec::new();
        }
        Lines::of([self]).outlines(Operation::Common, &Lines::of([other]))
    }

    /// The area that both cover, slivers and all.
    pub fn overlap_area(&self, other: &Outline) -> Area {
        if !self.bounds().meets(other.bounds()) {
            return Area::ZERO;
        }
        Lines::of([self]).area(Operation::Common, &Lines::of([other]))
    }

    /// The area of this that lies outside the other, slivers and all.
    pub fn area_outside(&self, other: &Outline) -> Area {
        if !self.bounds().meets(other.bounds()) {
            return self.area();
        }
        Lines::of([self]).area(Operation::Subtract, &Lines::of([other]))
    }
}
