//! Where a hole for an inside corner is drilled.

use measure::{Angle, Length};
use outline::{Outline, Point};

/// Looked at in steps of five degrees.
const DIRECTIONS: i32 = 72;

/// A hole that touches both sides of a corner lies no farther from it than this
/// many radii, unless the corner is a slit.
const FARTHEST: f64 = 6.0;

/// Into so many steps a radius is cut.
const STEPS: f64 = 20.0;

/// The middle of a hole in the waste that just touches the line at a corner:
/// the nearest place in the middle of the waste with its radius free around it.
pub(super) fn middle(outline: &Outline, at: Point, diameter: Length) -> Point {
    let radius = diameter.to_mm() / 2.0;
    let from =
        |direction: Angle, far: f64| Point::new(at.x + direction.cos() * far, at.y + direction.sin() * far);
    let free = |it: Point| {
        if outline.contains(it) { 0.0 } else { outline.outer().distance(it).to_mm() }
    };
    let every = (0..DIRECTIONS).map(|it| Angle::degrees(f64::from(it) * 360.0 / f64::from(DIRECTIONS)));
    let widest = every.max_by(|a, b| free(from(*a, radius)).total_cmp(&free(from(*b, radius))));
    let Some(waste) = widest else { return at };
    let steps =
        (STEPS as i32..(FARTHEST * STEPS) as i32).map(|it| from(waste, radius * f64::from(it) / STEPS));
    let mut last = from(waste, radius);
    for place in steps {
        last = place;
        if free(place) >= radius {
            break;
        }
    }
    last
}

#[cfg(test)]
mod tests {
    use outline::Ring;

    use super::*;

    #[test]
    fn a_hole_in_a_square_corner_touches_both_sides() {
        // An L: its inside corner at (50, 50), the waste to the upper right.
        let corners = [[0.0, 0.0], [100.0, 0.0], [100.0, 50.0], [50.0, 50.0], [50.0, 100.0], [0.0, 100.0]];
        let ring = Ring::new(corners.map(|[x, y]| Point::new(x, y)).to_vec()).unwrap();
        let middle = middle(&Outline::from(ring), Point::new(50.0, 50.0), Length::mm(10.0));
        assert!((middle.x - 55.0).abs() < 0.2 && (middle.y - 55.0).abs() < 0.2, "{middle:?}");
    }
}
