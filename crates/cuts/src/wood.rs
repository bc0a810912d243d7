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

/// A way with fewer points, none of which lies farther off than [`THIN`]
/// (Reumann and Witkam's walk with chords).
pub(crate) fn thinned(way: &[Point]) -> Vec<Point> {
    let mut kept: Vec<Point> = Vec::new();
    let mut begin = 0;
    kept.extend(way.first());
    for end in 2..way.len() {
        let Some(chord) = Heading::toward(way[begin], way[end]) else { continue };
        let left = chord.left();
        let off = (begin + 1..end).any(|it| left.along(way[begin], way[it]).abs() > THIN);
        if off {
            begin = end - 1;
            kept.push(way[begin]);
        }
    }
    kept.extend(way.last());
    kept
}
