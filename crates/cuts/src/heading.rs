//! A direction on a face, as a vector of length one.

use outline::Point;

/// Where the teeth point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Heading {
    // Invariant: a vector of length one.
    x: f64,
    y: f64,
}

impl Heading {
    /// Along the x axis.
    pub(crate) const EAST: Heading = Heading { x: 1.0, y: 0.0 };

    /// From one point toward another; none if they are the same.
    pub(crate) fn toward(from: Point, to: Point) -> Option<Heading> {
        let (x, y) = (to.x - from.x, to.y - from.y);
        let long = x.hypot(y);
        (long > 1e-9).then(|| Heading { x: x / long, y: y / long })
    }

    /// Turned counter-clockwise, by radians.
    pub(crate) fn turned(self, by: f64) -> Heading {
        let (sin, cos) = by.sin_cos();
        Heading { x: self.x * cos - self.y * sin, y: self.x * sin + self.y * cos }
    }

    /// The other way.
    pub(crate) fn back(self) -> Heading {
        Heading { x: -self.x, y: -self.y }
    }

    /// Square to it, on its left.
    pub(crate) fn left(self) -> Heading {
        Heading { x: -self.y, y: self.x }
    }

    /// Square to it, on its right: toward the column.
    pub(crate) fn right(self) -> Heading {
        Heading { x: self.y, y: -self.x }
    }

    /// The point so many millimetres on.
    pub(crate) fn from(self, at: Point, far: f64) -> Point {
        Point::new(at.x + self.x * far, at.y + self.y * far)
    }

    /// How far a point lies along it from another, millimetres.
    pub(crate) fn along(self, from: Point, to: Point) -> f64 {
        (to.x - from.x) * self.x + (to.y - from.y) * self.y
    }

    /// How far points lie along it from a place, the least and the most, millimetres.
    pub(crate) fn span(self, from: Point, points: impl Iterator<Item = Point>) -> (f64, f64) {
        let along = points.map(|it| self.along(from, it));
        along.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), it| (low.min(it), high.max(it)))
    }

    /// How far a heading turns to reach another, radians, left above zero.
    pub(crate) fn turn_to(self, other: Heading) -> f64 {
        let sin = self.x * other.y - self.y * other.x;
        let cos = self.x * other.x + self.y * other.y;
        sin.atan2(cos)
    }
}
