//! Where straight edges meet.

use crate::Point;

/// Twice the area of the triangle, with its sign: above zero if `c` lies to
/// the left of the way from `a` to `b`.
pub(crate) fn side(a: Point, b: Point, c: Point) -> f64 {
    (b.x - a.x) * (c.y - a.y) - (c.x - a.x) * (b.y - a.y)
}

/// Whether two edges have a point in common, if only an end.
pub(crate) fn meet(a: Point, b: Point, c: Point, d: Point) -> bool {
    let apart_y = a.y.max(b.y) < c.y.min(d.y) || c.y.max(d.y) < a.y.min(b.y);
    let apart_x = a.x.max(b.x) < c.x.min(d.x) || c.x.max(d.x) < a.x.min(b.x);
    !apart_x && !apart_y && side(a, b, c) * side(a, b, d) <= 0.0 && side(c, d, a) * side(c, d, b) <= 0.0
}

/// Where two edges of a closed line that are not neighbours meet, or where two
/// neighbours lie on each other.
pub(crate) fn first_crossing(corners: &[Point]) -> Option<Point> {
    let count = corners.len();
    let edges: Vec<[Point; 2]> =
        (0..count).map(|index| [corners[index], corners[(index + 1) % count]]).collect();
    let mut found = None;
    sweep(&edges, &mut |one, other| {
        let neighbours = (one + 1) % count == other || (other + 1) % count == one;
        let ([a, b], [c, d]) = (edges[one], edges[other]);
        let bad = if neighbours { folds_back(one, other, corners) } else { meet(a, b, c, d) };
        if bad {
            found = Some(a);
        }
        bad
    });
    found
}

/// How often edges of closed lines cross or overlap (ends that only touch do
/// not count), up to `most`.
pub(crate) fn count_crossings(lines: &[Vec<Point>], most: usize) -> usize {
    let closed = |line: &[Point]| -> Vec<[Point; 2]> {
        let next = line.iter().cycle().skip(1);
        line.iter().zip(next).map(|(&a, &b)| [a, b]).collect()
    };
    let edges: Vec<[Point; 2]> = lines.iter().flat_map(|line| closed(line)).collect();
    let mut count = 0;
    sweep(&edges, &mut |one, other| {
        let ([a, b], [c, d]) = (edges[one], edges[other]);
        let touch = a == c || a == d || b == c || b == d;
        if !touch && meet(a, b, c, d) {
            count += 1;
        }
        count >= most
    });
    count
}

/// Sweeps from left to right and shows every pair of edges whose boxes meet,
/// until `stop` says so.
fn sweep(edges: &[[Point; 2]], stop: &mut impl FnMut(usize, usize) -> bool) {
    let left = |index: usize| edges[index][0].x.min(edges[index][1].x);
    let right = |index: usize| edges[index][0].x.max(edges[index][1].x);
    let low = |index: usize| edges[index][0].y.min(edges[index][1].y);
    let high = |index: usize| edges[index][0].y.max(edges[index][1].y);
    let mut order: Vec<usize> = (0..edges.len()).collect();
    order.sort_by(|&a, &b| left(a).total_cmp(&left(b)).then(a.cmp(&b)));
    let mut open: Vec<usize> = Vec::new();
    for &this in &order {
        open.retain(|&other| right(other) >= left(this));
        for &other in &open {
            let boxes_meet = low(other) <= high(this) && low(this) <= high(other);
            if boxes_meet && stop(this, other) {
                return;
            }
        }
        open.push(this);
    }
}

/// Whether two neighbouring edges lie on each other.
fn folds_back(one: usize, other: usize, corners: &[Point]) -> bool {
    let count = corners.len();
    let first = if (one + 1) % count == other { one } else { other };
    let (a, b, c) = (corners[first], corners[(first + 1) % count], corners[(first + 2) % count]);
    let along = (b.x - a.x) * (c.x - b.x) + (b.y - a.y) * (c.y - b.y);
    side(a, b, c) == 0.0 && along < 0.0
}
