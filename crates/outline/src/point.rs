//! A point, a segment and a box on a flat face.

use measure::{Angle, Length, Problem};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// A point on a face or a pattern, in millimetres, y up. Written as `[x, y]`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize, TS)]
#[serde(try_from = "[f64; 2]", into = "[f64; 2]")]
#[ts(type = "[number, number]")]
pub struct Point {
    /// Millimetres to the right.
    pub x: f64,
    /// Millimetres up.
    pub y: f64,
}

impl Point {
    /// Takes millimetres.
    pub const fn new(x: f64, y: f64) -> Point {
        Point { x, y }
    }

    /// How far it is to the other.
    pub fn distance(self, to: Point) -> Length {
        Length::mm((to.x - self.x).hypot(to.y - self.y))
    }

    /// The direction in which the other lies.
    pub fn direction(self, to: Point) -> Angle {
        Angle::radians((to.y - self.y).atan2(to.x - self.x))
    }

    /// The point that lies `share` of the way to the other (0 here, 1 there).
    pub fn toward(self, to: Point, share: f64) -> Point {
        Point::new(self.x + (to.x - self.x) * share, self.y + (to.y - self.y) * share)
    }
}

impl TryFrom<[f64; 2]> for Point {
    type Error = Problem;

    fn try_from([x, y]: [f64; 2]) -> Result<Point, Problem> {
        let limit = Point::FARTHEST.to_mm();
        if x.abs() <= limit && y.abs() <= limit {
            Ok(Point { x, y })
        } else {
            Err(Problem::new(format!("expected a point within {limit} mm, found [{x}, {y}]")))
        }
    }
}

impl Point {
    /// No coordinate of a shape read from outside is larger than this.
    pub const FARTHEST: Length = Length::mm(100_000.0);
}

impl From<Point> for [f64; 2] {
    fn from(it: Point) -> [f64; 2] {
        [it.x, it.y]
    }
}

/// A straight line between two points.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Segment {
    /// Where it starts.
    pub from: Point,
    /// Where it ends.
    pub to: Point,
}

impl Segment {
    /// Its length.
    pub fn length(self) -> Length {
        self.from.distance(self.to)
    }

    /// Its direction, from start to end.
    pub fn direction(self) -> Angle {
        self.from.direction(self.to)
    }

    /// The upright box around it.
    pub fn bounds(self) -> Bounds {
        let (a, b) = (self.from, self.to);
        Bounds { low: Point::new(a.x.min(b.x), a.y.min(b.y)), high: Point::new(a.x.max(b.x), a.y.max(b.y)) }
    }

    /// The way to the nearest of its points.
    pub fn distance(self, to: Point) -> Length {
        self.nearest(to).distance(to)
    }

    /// The square of that, square millimetres: to find the nearest of many.
    pub(crate) fn distance_squared(self, to: Point) -> f64 {
        let near = self.nearest(to);
        (near.x - to.x).powi(2) + (near.y - to.y).powi(2)
    }

    /// The nearest of its points.
    pub fn nearest(self, to: Point) -> Point {
        let (dx, dy) = (self.to.x - self.from.x, self.to.y - self.from.y);
        let square = dx * dx + dy * dy;
        if square == 0.0 {
            return self.from;
        }
        let share = ((to.x - self.from.x) * dx + (to.y - self.from.y) * dy) / square;
        self.from.toward(self.to, share.clamp(0.0, 1.0))
    }
}

/// The upright box around a shape.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Bounds {
    /// The corner at the lower left.
    pub low: Point,
    /// The corner at the upper right.
    pub high: Point,
}

impl Bounds {
    /// The box around all these points; `None` if there are none.
    pub fn around(points: impl IntoIterator<Item = Point>) -> Option<Bounds> {
        points.into_iter().fold(None, |so_far, it| {
            let Bounds { low, high } = so_far.unwrap_or(Bounds { low: it, high: it });
            Some(Bounds {
                low: Point::new(low.x.min(it.x), low.y.min(it.y)),
                high: Point::new(high.x.max(it.x), high.y.max(it.y)),
            })
        })
    }

    /// Wider on every side.
    #[must_use]
    pub fn grown(self, by: Length) -> Bounds {
        let by = by.to_mm();
        Bounds {
            low: Point::new(self.low.x - by, self.low.y - by),
            high: Point::new(self.high.x + by, self.high.y + by),
        }
    }

    /// Whether the other box lies inside this one, touching allowed.
    pub fn covers(self, other: Bounds) -> bool {
        self.low.x <= other.low.x
            && self.low.y <= other.low.y
            && self.high.x >= other.high.x
            && self.high.y >= other.high.y
    }

    /// Whether two boxes have a point in common.
    pub fn meets(self, other: Bounds) -> bool {
        self.low.x <= other.high.x
            && other.low.x <= self.high.x
            && self.low.y <= other.high.y
            && other.low.y <= self.high.y
    }

    /// The shortest way between two boxes; zero if they meet.
    pub fn distance(self, other: Bounds) -> Length {
        let x = (other.low.x - self.high.x).max(self.low.x - other.high.x).max(0.0);
        let y = (other.low.y - self.high.y).max(self.low.y - other.high.y).max(0.0);
        Length::mm(x.hypot(y))
    }

    /// From left to right.
    pub fn width(self) -> Length {
        Length::mm(self.high.x - self.low.x)
    }

    /// From bottom to top.
    pub fn height(self) -> Length {
        Length::mm(self.high.y - self.low.y)
    }

    /// The middle.
    pub fn centre(self) -> Point {
        self.low.toward(self.high, 0.5)
    }
}
