//! The band that something of a certain width leaves along a way.

use measure::Length;

use crate::engine::{Lines, Operation};
use crate::{Outline, Point};

/// Where a way turns by more than this, its band gets a flat corner outside
/// rather than a pointed one (60 degrees: the point would stand out by 15 % of
/// half the width).
const LEAST_COSINE: f64 = 0.5;

/// Everything within half a width of a way, square to it and flat at its ends,
/// largest first; more than one outline only where the way leaves the grid.
/// Empty for fewer than two different points or a width of nothing.
pub fn band(way: &[Point], width: Length) -> Vec<Outline> {
    let mut way = way.to_vec();
    way.dedup();
    if way.len() < 2 || width <= Length::ZERO {
        return Vec::new();
    }
    let half = width.to_mm() / 2.0;
    let mut around = side(&way, half);
    way.reverse();
    around.append(&mut side(&way, half));
    Lines::raw(&[around]).outlines(Operation::Keep, &Lines::default())
}

/// The line beside a way, on its right.
fn side(way: &[Point], half: f64) -> Vec<Point> {
    let mut line = Vec::with_capacity(way.len() + 8);
    let right: Vec<(f64, f64)> = way
        .windows(2)
        .map(|it| {
            let (dx, dy) = (it[1].x - it[0].x, it[1].y - it[0].y);
            let long = dx.hypot(dy);
            (dy / long * half, -dx / long * half)
        })
        .collect();
    let aside = |at: Point, by: (f64, f64)| Point::new(at.x + by.0, at.y + by.1);
    line.push(aside(way[0], right[0]));
    for (index, pair) in right.windows(2).enumerate() {
        let (a, b) = (pair[0], pair[1]);
        let at = way[index + 1];
        let cosine = (a.0 * b.0 + a.1 * b.1) / (half * half);
        if cosine < LEAST_COSINE {
            line.extend([aside(at, a), at, aside(at, b)]);
        } else {
            // Where the two lines beside the way meet.
            let share = 1.0 / (1.0 + cosine);
            line.push(aside(at, ((a.0 + b.0) * share, (a.1 + b.1) * share)));
        }
    }
    line.push(aside(way[way.len() - 1], right[right.len() - 1]));
    line
}

#[cfg(test)]
mod tests {
    use super::*;

    fn area(way: &[[f64; 2]], width: f64) -> f64 {
        let way: Vec<Point> = way.iter().map(|it| Point::new(it[0], it[1])).collect();
        band(&way, Length::mm(width)).iter().map(|it| it.area().to_mm2()).sum()
    }

    #[test]
    fn a_straight_way_leaves_a_rectangle_and_a_bent_one_no_less() {
        assert!((area(&[[0.0, 0.0], [100.0, 0.0]], 2.0) - 200.0).abs() < 1e-6);
        // Two arms of 50 with a mitred corner: each arm's middle line is its length.
        assert!((area(&[[0.0, 0.0], [50.0, 0.0], [80.0, 40.0]], 2.0) - 200.0).abs() < 1e-3);
        assert!((area(&[[0.0, 0.0], [50.0, 0.0], [50.0, 50.0]], 2.0) - 199.0).abs() < 1.1);
        assert_eq!(area(&[[0.0, 0.0]], 2.0), 0.0);
    }

    #[test]
    fn a_way_round_that_ends_in_itself_leaves_an_opening() {
        let circle = (0..=36).map(|it| f64::from(it) * std::f64::consts::TAU / 36.0);
        let mut way = vec![Point::new(50.0, -60.0)];
        way.extend(circle.map(|it| Point::new(50.0 * it.cos(), 50.0 * it.sin())));
        let found = band(&way, Length::mm(1.0));
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].openings().len(), 1);
        assert!((found[0].openings()[0].area().to_mm2() - 49.5 * 49.5 * std::f64::consts::PI).abs() < 60.0);
    }
}
