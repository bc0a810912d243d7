//! Headings on the face, and the convex line round what is in the hands.

use outline::Point;

/// A direction of length one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Heading {
    pub(crate) x: f64,
    pub(crate) y: f64,
}

impl Heading {
    /// From one point to another; nothing if they are the same.
    pub(crate) fn of(from: Point, to: Point) -> Option<Heading> {
        let (x, y) = (to.x - from.x, to.y - from.y);
        let long = x.hypot(y);
        (long > 0.0).then(|| Heading { x: x / long, y: y / long })
    }

    /// Square to it, on the right hand.
    pub(crate) fn right(self) -> Heading {
        Heading { x: self.y, y: -self.x }
    }

    /// Turned counter-clockwise, by radians.
    pub(crate) fn turned(self, by: f64) -> Heading {
        let (sine, cosine) = by.sin_cos();
        Heading { x: self.x * cosine - self.y * sine, y: self.x * sine + self.y * cosine }
    }

    /// By how much the other is turned counter-clockwise from it, in radians.
    pub(crate) fn turn_to(self, other: Heading) -> f64 {
        (self.x * other.y - self.y * other.x).atan2(self.x * other.x + self.y * other.y)
    }

    /// How far a point lies in this direction, seen from another.
    pub(crate) fn along(self, from: Point, to: Point) -> f64 {
        (to.x - from.x) * self.x + (to.y - from.y) * self.y
    }
}

/// A point, moved.
pub(crate) fn moved(it: Point, toward: Heading, by: f64) -> Point {
    Point::new(it.x + toward.x * by, it.y + toward.y * by)
}

/// A point, turned counter-clockwise about another by radians.
pub(crate) fn turned(it: Point, about: Point, by: f64) -> Point {
    let (sine, cosine) = by.sin_cos();
    let (x, y) = (it.x - about.x, it.y - about.y);
    Point::new(about.x + x * cosine - y * sine, about.y + x * sine + y * cosine)
}

/// Three points with twice so little area between them lie in line, in square
/// millimetres.
const STRAIGHT: f64 = 1e-6;

/// The convex line round points, counter-clockwise.
pub(crate) fn hull(mut points: Vec<Point>) -> Vec<Point> {
    points.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    let lower = chain(points.iter().copied());
    let upper = chain(points.iter().rev().copied());
    let open = |it: &[Point]| it[..it.len().saturating_sub(1)].to_vec();
    [open(&lower), open(&upper)].concat()
}

fn chain(points: impl Iterator<Item = Point>) -> Vec<Point> {
    let mut kept: Vec<Point> = Vec::new();
    for it in points {
        while let [.., a, b] = kept[..] {
            if (b.x - a.x) * (it.y - a.y) - (b.y - a.y) * (it.x - a.x) > STRAIGHT {
                break;
            }
            kept.pop();
        }
        kept.push(it);
    }
    kept
}

/// The longer and the shorter side of the least rectangle round a convex line:
/// one of its sides lies along an edge.
pub(crate) fn sides(hull: &[Point]) -> (f64, f64) {
    let mut best = (0.0, 0.0);
    let mut least = f64::INFINITY;
    for (index, &from) in hull.iter().enumerate() {
        let Some(edge) = Heading::of(from, hull[(index + 1) % hull.len()]) else { continue };
        let (long, across) = (extent(hull, from, edge), extent(hull, from, edge.right()));
        if long * across < least {
            least = long * across;
            best = (long.max(across), long.min(across));
        }
    }
    best
}

fn extent(hull: &[Point], from: Point, toward: Heading) -> f64 {
    let along = hull.iter().map(|&it| toward.along(from, it));
    let (low, high) =
        along.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), it| (low.min(it), high.max(it)));
    high - low
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_convex_line_drops_what_lies_inside() {
        let points = [(0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (0.0, 3.0), (2.0, 1.0), (2.0, 0.0)];
        let round = hull(points.map(|(x, y)| Point::new(x, y)).to_vec());
        assert_eq!(round.len(), 4, "{round:?}");
        assert_eq!(sides(&round), (4.0, 3.0));
    }

    #[test]
    fn right_of_north_is_east() {
        let north = Heading { x: 0.0, y: 1.0 };
        assert_eq!(north.right(), Heading { x: 1.0, y: -0.0 });
        assert!((north.turn_to(north.turned(0.3)) - 0.3).abs() < 1e-12);
    }
}
