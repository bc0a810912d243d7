//! A closed line that never crosses itself.

use measure::{Area, Length, Problem};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::crossing::first_crossing;
use crate::{Bounds, Point, Segment};

/// A closed line of straight edges. Written as a list of points.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
#[serde(try_from = "Vec<Point>", into = "Vec<Point>")]
#[ts(type = "Array<[number, number]>")]
pub struct Ring {
    // Invariant: three corners or more, counter-clockwise, no two neighbours
    // alike, no edge crosses another, more than `SMALLEST_AREA`.
    corners: Vec<Point>,
}

/// Less than this is not a shape that a saw could follow.
pub(crate) const SMALLEST_AREA: Area = Area::mm2(0.01);

impl Ring {
    /// The most corners that a ring from outside may have.
    pub const MOST_CORNERS: usize = 20_000;

    /// Takes corners in either sense; neighbours that are alike are merged.
    ///
    /// # Errors
    /// Fewer than three corners, more than [`Ring::MOST_CORNERS`], edges that
    /// cross or lie on each other, or no area; the message names the place.
    pub fn new(corners: Vec<Point>) -> Result<Ring, Problem> {
        if corners.len() > Ring::MOST_CORNERS {
            let message = format!("{} corners; at most {} are read", corners.len(), Ring::MOST_CORNERS);
            return Err(Problem::new(message).hint("simplify the line first"));
        }
        let mut corners = without_repeats(corners);
        if corners.len() < 3 {
            return Err(Problem::new(format!("expected three corners or more, found {}", corners.len())));
        }
        let twice = twice_area(&corners);
        if twice.abs() < 2.0 * SMALLEST_AREA.to_mm2() {
            return Err(Problem::new("the closed line has no area"));
        }
        if twice < 0.0 {
            corners.reverse();
        }
        if let Some(at) = first_crossing(&corners) {
            return Err(Problem::new(format!("the line crosses itself near {:.1}, {:.1} mm", at.x, at.y))
                .hint("draw it again without the crossing"));
        }
        Ok(Ring { corners })
    }

    /// A rectangle with its lower left corner at the origin.
    ///
    /// # Errors
    /// A side of zero or less.
    pub fn rectangle(length: Length, width: Length) -> Result<Ring, Problem> {
        let (x, y) = (length.to_mm(), width.to_mm());
        if x <= 0.0 || y <= 0.0 {
            return Err(Problem::new(format!("expected sides above zero, found {x} by {y} mm")));
        }
        Ring::new(vec![Point::new(0.0, 0.0), Point::new(x, 0.0), Point::new(x, y), Point::new(0.0, y)])
    }

    /// The corners, counter-clockwise.
    pub fn corners(&self) -> &[Point] {
        &self.corners
    }

    /// The edges, counter-clockwise.
    pub fn edges(&self) -> impl Iterator<Item = Segment> + '_ {
        let next = self.corners.iter().cycle().skip(1);
        self.corners.iter().zip(next).map(|(&from, &to)| Segment { from, to })
    }

    /// The area inside.
    pub fn area(&self) -> Area {
        Area::mm2(twice_area(&self.corners) / 2.0)
    }

    /// The way round.
    pub fn perimeter(&self) -> Length {
        self.edges().map(Segment::length).sum()
    }

    /// The upright box around it.
    pub fn bounds(&self) -> Bounds {
        Bounds::around(self.corners.iter().copied()).expect("a ring has corners")
    }

    /// The middle of the area.
    pub fn centroid(&self) -> Point {
        let origin = self.corners[0];
        let (mut x, mut y, mut twice) = (0.0, 0.0, 0.0);
        for edge in self.edges() {
            let (ax, ay) = (edge.from.x - origin.x, edge.from.y - origin.y);
            let (bx, by) = (edge.to.x - origin.x, edge.to.y - origin.y);
            let cross = ax * by - bx * ay;
            x += (ax + bx) * cross;
            y += (ay + by) * cross;
            twice += cross;
        }
        Point::new(origin.x + x / (3.0 * twice), origin.y + y / (3.0 * twice))
    }

    /// Whether a point lies inside (a point on the line may fall either way).
    pub fn contains(&self, point: Point) -> bool {
        self.edges().fold(false, |inside, Segment { from, to }| {
            let spans = (from.y > point.y) != (to.y > point.y);
            let left = || (to.x - from.x) * (point.y - from.y) / (to.y - from.y) + from.x > point.x;
            if spans && left() { !inside } else { inside }
        })
    }

    /// The way from a point to the nearest place on the line.
    pub fn distance(&self, point: Point) -> Length {
        let squared = self.edges().map(|edge| edge.distance_squared(point)).fold(f64::INFINITY, f64::min);
        Length::mm(squared.sqrt())
    }

    /// A ring from corners that the geometry engine has put in order; they hold
    /// the invariant but for the sense.
    pub(crate) fn sound(mut corners: Vec<Point>) -> Ring {
        if twice_area(&corners) < 0.0 {
            corners.reverse();
        }
        Ring { corners }
    }

    /// A ring from corners that this crate has just moved as one rigid whole,
    /// so that the invariant still holds.
    pub(crate) fn moved(&self, to: impl Fn(Point) -> Point) -> Ring {
        Ring::sound(self.corners.iter().map(|&it| to(it)).collect())
    }
}

impl TryFrom<Vec<Point>> for Ring {
    type Error = Problem;

    fn try_from(corners: Vec<Point>) -> Result<Ring, Problem> {
        Ring::new(corners)
    }
}

impl From<Ring> for Vec<Point> {
    fn from(it: Ring) -> Vec<Point> {
        it.corners
    }
}

fn without_repeats(mut corners: Vec<Point>) -> Vec<Point> {
    corners.dedup();
    while corners.len() > 1 && corners.first() == corners.last() {
        corners.pop();
    }
    corners
}

/// Twice the area inside a closed line; above zero if it runs counter-clockwise.
pub(crate) fn twice_area(corners: &[Point]) -> f64 {
    let origin = corners[0];
    let next = corners.iter().cycle().skip(1);
    corners
        .iter()
        .zip(next)
        .map(|(a, b)| (a.x - origin.x) * (b.y - origin.y) - (b.x - origin.x) * (a.y - origin.y))
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ring(corners: &[[f64; 2]]) -> Result<Ring, Problem> {
        Ring::new(corners.iter().map(|&[x, y]| Point::new(x, y)).collect())
    }

    #[test]
    fn a_square_knows_its_figures() {
        let square = ring(&[[0.0, 0.0], [0.0, 10.0], [10.0, 10.0], [10.0, 0.0]]).unwrap();
        assert_eq!(square.area(), Area::mm2(100.0));
        assert_eq!(square.perimeter(), Length::mm(40.0));
        assert_eq!(square.centroid(), Point::new(5.0, 5.0));
        assert!(square.contains(Point::new(1.0, 9.0)) && !square.contains(Point::new(11.0, 5.0)));
        assert_eq!(square.distance(Point::new(13.0, 14.0)), Length::mm(5.0));
    }

    #[test]
    fn a_line_that_crosses_itself_is_refused_with_its_place() {
        let told = ring(&[[0.0, 0.0], [10.0, 10.0], [10.0, 0.0], [0.0, 9.0]]).unwrap_err();
        assert!(told.message.contains("crosses itself"), "{told}");
    }

    #[test]
    fn lines_without_area_are_refused() {
        assert!(ring(&[[0.0, 0.0], [10.0, 0.0]]).is_err());
        assert!(ring(&[[0.0, 0.0], [10.0, 0.0], [5.0, 0.0]]).is_err());
        assert!(ring(&[[0.0, 0.0], [10.0, 0.0], [4.0, 0.0], [4.0, 9.0]]).is_err(), "an edge folds back");
        assert!(ring(&[[1.0, 1.0]; 9]).is_err());
    }
}
