//! The wood that lies on the saw's table, and what a cut leaves of it.

use outline::{Outline, Point, band, hull};

use crate::heading::Heading;

/// Ways are thinned out to this before their kerf is taken away, millimetres.
const THIN: f64 = 0.02;

/// The wood in the hands.
#[derive(Clone, Debug)]
pub(crate) struct Wood {
    pub(crate) outline: Outline,
    // Invariant: the convex line around the outline.
    hull: Vec<Point>,
}

impl Wood {
    pub(crate) fn new(outline: Outline) -> Wood {
        let hull = hull(outline.outer().corners().to_vec());
        Wood { outline, hull }
    }

    /// How far it reaches toward the column when the teeth stand at a place,
    /// millimetres.
    pub(crate) fn reach(&self, at: Point, heading: Heading) -> f64 {
        let right = heading.right();
        self.hull.iter().map(|it| right.along(at, *it)).fold(0.0, f64::max)
    }

    /// What a cut leaves, largest first.
    pub(crate) fn without(&self, way: &[Point], kerf: measure::Length) -> Vec<Outline> {
        self.outline.minus(&band(&thinned(way), kerf))
    }

    /// How far one goes from a place in a direction until the teeth are out of
    /// the wood and the next `clear` millimetres are free too; zero if they are.
    pub(crate) fn way_out(&self, at: Point, direction: Heading, clear: f64) -> f64 {
        let mut inside = self.outline.contains(at);
        let mut out = 0.0;
        for far in self.crossings(at, direction).into_iter().filter(|it| *it > 0.0) {
            if inside {
                out = far;
            } else if far - out > clear {
                return out;
            }
            inside = !inside;
        }
        out
    }

    /// Where a straight line crosses the wood's line, by how far off it is, what
    /// lies behind below zero, in order.
    fn crossings(&self, at: Point, direction: Heading) -> Vec<f64> {
        let left = direction.left();
        let mut found = Vec::new();
        for edge in self.outline.rings().flat_map(outline::Ring::edges) {
            let (a, b) = (left.along(at, edge.from), left.along(at, edge.to));
            if (a > 0.0) != (b > 0.0) {
                found.push(direction.along(at, edge.from.toward(edge.to, a / (a - b))));
            }
        }
        found.sort_by(f64::total_cmp);
        found
    }

    /// Where a straight line enters the wood first and leaves it last; none if
    /// it misses it.
    pub(crate) fn across(&self, at: Point, direction: Heading) -> Option<(Point, Point)> {
        let crossings = self.crossings(at, direction);
        let (first, last) = (crossings.first()?, crossings.last()?);
        Some((direction.from(at, *first), direction.from(at, *last)))
    }
}

/// A way with fewer points, none of which lies farther off than [`THIN`]: from
/// each that is kept, straight on as far as the lines within reach of all points
/// since leave a direction open (Williams 1978), and the way does not turn back.
pub(crate) fn thinned(way: &[Point]) -> Vec<Point> {
    let mut kept: Vec<Point> = way.first().copied().into_iter().collect();
    let mut open: Option<Sector> = None;
    for pair in way.windows(2) {
        let Some(&from) = kept.last() else { break };
        open = match open {
            Some(sector) if sector.holds(from, pair[1]) => Some(sector.narrowed(from, pair[1])),
            Some(_) => {
                kept.push(pair[0]);
                Sector::toward(pair[0], pair[1])
            }
            None => Sector::toward(from, pair[1]),
        };
    }
    kept.extend(way.last());
    kept
}

/// The directions from a point in which a straight line keeps near to others.
#[derive(Clone, Copy)]
struct Sector {
    middle: Heading,
    /// From the middle to the right and to the left, radians.
    right: f64,
    left: f64,
    /// How far the last point lies, millimetres.
    far: f64,
}

impl Sector {
    /// All in which the line comes near one point; none if it is the same.
    fn toward(from: Point, to: Point) -> Option<Sector> {
        let middle = Heading::toward(from, to)?;
        let far = from.distance(to).to_mm();
        let open = (THIN / far).min(1.0).asin();
        Some(Sector { middle, right: -open, left: open, far })
    }

    fn holds(self, from: Point, to: Point) -> bool {
        let turn = Heading::toward(from, to).map_or(0.0, |it| self.middle.turn_to(it));
        self.right <= turn && turn <= self.left && from.distance(to).to_mm() >= self.far
    }

    fn narrowed(self, from: Point, to: Point) -> Sector {
        let Some(other) = Sector::toward(from, to) else { return self };
        let turn = self.middle.turn_to(other.middle);
        let (right, left) = (self.right.max(turn + other.right), self.left.min(turn + other.left));
        Sector { right, left, far: other.far, ..self }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_thinned_way_keeps_near_to_every_point_and_its_turning_back() {
        let arc = (0..=900).map(|it| f64::from(it) / 900.0);
        let arc: Vec<Point> = arc.map(|it| Point::new(50.0 * it.cos(), 50.0 * it.sin())).collect();
        let few = thinned(&arc);
        assert!(few.len() < 40, "{}", few.len());
        let far = |it: &Point| {
            let edges = few.windows(2).map(|it| outline::Segment { from: it[0], to: it[1] });
            edges.map(|edge| edge.distance(*it).to_mm()).fold(f64::INFINITY, f64::min)
        };
        assert!(arc.iter().map(far).fold(0.0, f64::max) <= THIN * 1.001);
        let there_and_back = [0.0, 20.0, 40.0, 30.0, 10.0].map(|x| Point::new(x, 0.0));
        assert_eq!(thinned(&there_and_back), [0.0, 40.0, 10.0].map(|x| Point::new(x, 0.0)));
    }
}
