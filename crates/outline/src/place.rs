//! Where and how a shape lies: mirrored or not, turned, moved.

use measure::Angle;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::{Bounds, Outline, Point, Ring, Segment};

/// A rigid way from a pattern's own drawing to a face: first mirrored left to
/// right (if at all), then turned about the origin, then moved.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize, TS)]
pub struct Place {
    /// Where the drawing's origin goes.
    pub at: Point,
    /// Turned by this much, counter-clockwise.
    pub turn: Angle,
    /// Whether x is turned to −x first.
    pub mirrored: bool,
}

impl Place {
    /// Where a point of the drawing lies.
    pub fn point(self, it: Point) -> Point {
        let x = if self.mirrored { -it.x } else { it.x };
        let (sin, cos) = (self.turn.sin(), self.turn.cos());
        Point::new(self.at.x + x * cos - it.y * sin, self.at.y + x * sin + it.y * cos)
    }

    /// The way back: from the face to the pattern's own drawing.
    #[must_use]
    pub fn inverse(self) -> Place {
        // A turned mirror image is turned back by the same turn once it is mirrored again.
        let turn = if self.mirrored { self.turn } else { -self.turn };
        let back = Place { at: Point::default(), turn, mirrored: self.mirrored };
        let moved = back.point(self.at);
        Place { at: Point::new(-moved.x, -moved.y), ..back }
    }

    /// Where a segment of the drawing lies.
    pub fn segment(self, it: Segment) -> Segment {
        Segment { from: self.point(it.from), to: self.point(it.to) }
    }

    /// How a direction in the drawing lies.
    pub fn direction(self, it: Angle) -> Angle {
        let own = if self.mirrored { Angle::degrees(180.0) - it } else { it };
        own + self.turn
    }

    /// Where a ring of the drawing lies.
    pub fn ring(self, it: &Ring) -> Ring {
        it.moved(|point| self.point(point))
    }

    /// Where a whole outline of the drawing lies.
    pub fn outline(self, it: &Outline) -> Outline {
        it.moved(|point| self.point(point))
    }

    /// The box around an outline that lies so.
    pub fn bounds(self, it: &Outline) -> Bounds {
        let corners = it.outer().corners().iter().map(|&point| self.point(point));
        Bounds::around(corners).expect("a ring has corners")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mirrored_place_keeps_directions_and_points_together() {
        let place = Place { at: Point::new(5.0, -2.0), turn: Angle::degrees(30.0), mirrored: true };
        let drawn = Segment { from: Point::new(1.0, 2.0), to: Point::new(4.0, 9.0) };
        let lies = place.segment(drawn).direction();
        assert!(lies.between_lines(place.direction(drawn.direction())).to_degrees() < 1e-9);
    }

    #[test]
    fn the_way_back_leads_to_where_it_began() {
        for (degrees, mirrored) in [(0.0, false), (30.0, false), (0.0, true), (200.0, true), (-75.0, true)] {
            let place = Place { at: Point::new(412.0, -83.5), turn: Angle::degrees(degrees), mirrored };
            for at in [Point::new(0.0, 0.0), Point::new(120.0, -7.0), Point::new(-33.0, 260.0)] {
                let off = place.inverse().point(place.point(at)).distance(at);
                assert!(off.to_mm() < 1e-9, "turned by {degrees}, mirrored {mirrored}: {off:?} off");
                assert!(place.point(place.inverse().point(at)).distance(at).to_mm() < 1e-9);
            }
        }
    }
}
