//! The convex line around points.

use crate::Point;

/// The convex line around points, counter-clockwise (Andrew's monotone chain).
pub fn hull(mut points: Vec<Point>) -> Vec<Point> {
    points.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    points.dedup();
    if points.len() < 3 {
        return points;
    }
    let mut lower = chain(points.iter().copied());
    let mut upper = chain(points.iter().rev().copied());
    lower.pop();
    upper.pop();
    lower.append(&mut upper);
    lower
}

/// The points of a way that never turns right.
fn chain(points: impl Iterator<Item = Point>) -> Vec<Point> {
    let mut chain: Vec<Point> = Vec::new();
    for point in points {
        while let [.., a, b] = chain[..] {
            if turns_left(a, b, point) {
                break;
            }
            chain.pop();
        }
        chain.push(point);
    }
    chain
}

fn turns_left(a: Point, b: Point, c: Point) -> bool {
    (b.x - a.x) * (c.y - a.y) - (c.x - a.x) * (b.y - a.y) > 0.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_square_with_points_inside_is_its_four_corners() {
        let corners = [[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]];
        let inside = [[5.0, 5.0], [5.0, 0.0], [1.0, 9.0], [0.0, 0.0]];
        let points = inside.into_iter().chain(corners).map(|[x, y]| Point::new(x, y)).collect();
        assert_eq!(hull(points), corners.map(|[x, y]| Point::new(x, y)));
        assert!(hull(Vec::new()).is_empty());
    }
}
