//! Which way a shape is longest.

use measure::{Angle, Length};
use outline::{Place, Point};

/// Directions tried in half a turn.
const DIRECTIONS: u32 = 720;

/// The direction of the longer side of the smallest rectangle around the
/// points, to a quarter of a degree, from 0° to 180°.
pub(crate) fn along(points: &[Point]) -> Angle {
    let tried = (0..DIRECTIONS).map(|index| {
        let turn = Angle::degrees(180.0 * f64::from(index) / f64::from(DIRECTIONS));
        let (length, width) = size(points, turn);
        (turn, length, length.to_mm() * width.to_mm())
    });
    let long = tried.filter(|(turn, length, _)| *length >= size(points, *turn).1);
    long.min_by(|a, b| a.2.total_cmp(&b.2)).map_or(Angle::ZERO, |it| it.0)
}

/// Length along a direction, and width across it.
pub(crate) fn size(points: &[Point], turn: Angle) -> (Length, Length) {
    let back = Place { at: Point::default(), turn: -turn, mirrored: false };
    let bounds = outline::Bounds::around(points.iter().map(|&it| back.point(it)));
    bounds.map_or((Length::ZERO, Length::ZERO), |it| (it.width(), it.height()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_turned_rectangle_is_longest_along_its_longer_side() {
        let turned = Place { turn: Angle::degrees(112.0), ..Place::default() };
        let corners = [(0.0, 0.0), (300.0, 0.0), (300.0, 80.0), (0.0, 80.0)];
        let corners = corners.map(|(x, y)| turned.point(Point::new(x, y)));
        assert!((along(&corners).to_degrees() - 112.0).abs() < 0.13);
    }
}
