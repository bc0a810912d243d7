//! Which way a shape is longest.

use measure::{Angle, Length};
use outline::{Place, Point, Ring};

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

/// The direction of a shape's long axis, by the second moments of its area, with
/// its slim end ahead: a leaf points its stem that way, a board its handle.
pub(crate) fn slim_end(shape: &Ring) -> Angle {
    let middle = shape.centroid();
    let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
    for edge in shape.edges() {
        let (ax, ay) = (edge.from.x - middle.x, edge.from.y - middle.y);
        let (bx, by) = (edge.to.x - middle.x, edge.to.y - middle.y);
        let cross = ax * by - bx * ay;
        xx += cross * (ax * ax + ax * bx + bx * bx) / 12.0;
        yy += cross * (ay * ay + ay * by + by * by) / 12.0;
        xy += cross * (ax * (2.0 * ay + by) + bx * (ay + 2.0 * by)) / 24.0;
    }
    let axis = Angle::radians((2.0 * xy).atan2(xx - yy) / 2.0);
    let ahead = |it: &Point| (it.x - middle.x) * axis.cos() + (it.y - middle.y) * axis.sin();
    let (back, front) = shape
        .corners()
        .iter()
        .map(ahead)
        .fold((0.0_f64, 0.0_f64), |(low, high), it| (low.min(it), high.max(it)));
    if front >= -back { axis } else { axis + Angle::degrees(180.0) }
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

    #[test]
    fn a_paddle_points_its_handle_ahead() {
        // A blade of 200 by 100 with a handle of 100 by 20 at its left end.
        let corners = [
            (-100.0, 40.0),
            (0.0, 40.0),
            (0.0, 0.0),
            (200.0, 0.0),
            (200.0, 100.0),
            (0.0, 100.0),
            (0.0, 60.0),
            (-100.0, 60.0),
        ];
        for degrees in [0.0, 35.0, 140.0, 250.0] {
            let turned = Place { turn: Angle::degrees(degrees), ..Place::default() };
            let shape = Ring::new(corners.map(|(x, y)| turned.point(Point::new(x, y))).to_vec()).unwrap();
            let off = (slim_end(&shape).to_degrees() - degrees - 180.0).rem_euclid(360.0);
            assert!(!(1e-6..=360.0 - 1e-6).contains(&off), "turned by {degrees}, off by {off}");
        }
    }
}
