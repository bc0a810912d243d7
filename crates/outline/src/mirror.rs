//! A mirror line, and the line it makes of two halves that are nearly alike.

use kurbo::CubicBez;
use measure::{Angle, Length, Problem};

use crate::{Bounds, Point, Ring, Segment};

/// Points that the two halves are compared by.
const POINTS: usize = 512;

/// The axis and the pairs of points are found anew this often; they settle at once.
const ROUNDS: usize = 3;

/// Edges that are looked at together.
const BLOCK: usize = 24;

/// Points this near to the axis, in millimetres, lie on it.
const ON_AXIS: f64 = 1e-9;

/// A straight line to mirror at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Axis {
    through: Point,
    along: Angle,
}

/// One half of a symmetric line, from where the axis cuts it to where it cuts it again.
pub(crate) struct Half {
    pub(crate) axis: Axis,
    pub(crate) points: Vec<Point>,
}

impl Axis {
    pub(crate) fn mirrored(self, at: Point) -> Point {
        let foot = self.foot(at);
        Point::new(2.0 * foot.x - at.x, 2.0 * foot.y - at.y)
    }

    /// The nearest point on the axis.
    pub(crate) fn foot(self, at: Point) -> Point {
        let along = self.ahead(at);
        Point::new(self.through.x + along * self.along.cos(), self.through.y + along * self.along.sin())
    }

    /// A curve's mirror image, run through the other way.
    pub(crate) fn image(self, it: &CubicBez) -> CubicBez {
        let [p0, p1, p2, p3] = [it.p3, it.p2, it.p1, it.p0].map(|it| {
            let image = self.mirrored(Point::new(it.x, it.y));
            kurbo::Point::new(image.x, image.y)
        });
        CubicBez { p0, p1, p2, p3 }
    }

    /// How far along the axis a point lies.
    fn ahead(self, at: Point) -> f64 {
        (at.x - self.through.x) * self.along.cos() + (at.y - self.through.y) * self.along.sin()
    }

    /// How far left of the axis a point lies.
    fn left(self, at: Point) -> f64 {
        (at.y - self.through.y) * self.along.cos() - (at.x - self.through.x) * self.along.sin()
    }

    /// The axis that lays each pair's points on each other best: the sum of
    /// squares is least through the pairs' common middle, and with points as
    /// complex numbers about it the direction is half that of the sum of the
    /// products of each pair (a reflection is z → e^(2iθ) · conjugate of z).
    fn between(pairs: &[(Point, Point)]) -> (Axis, f64) {
        let count = 2.0 * pairs.len() as f64;
        let sum = pairs.iter().fold((0.0, 0.0), |sum, (a, b)| (sum.0 + a.x + b.x, sum.1 + a.y + b.y));
        let middle = Point::new(sum.0 / count, sum.1 / count);
        let (mut real, mut imaginary, mut squares) = (0.0, 0.0, 0.0);
        for (a, b) in pairs {
            let (ax, ay, bx, by) = (a.x - middle.x, a.y - middle.y, b.x - middle.x, b.y - middle.y);
            real += ax * bx - ay * by;
            imaginary += ax * by + ay * bx;
            squares += ax * ax + ay * ay + bx * bx + by * by;
        }
        let along = Angle::radians(imaginary.atan2(real) / 2.0);
        (Axis { through: middle, along }, squares - 2.0 * real.hypot(imaginary))
    }
}

impl Half {
    /// The mean of a line's two halves about the axis that fits them best.
    ///
    /// Points are paired first by their way along the line from every point that
    /// the axis may cut, then by the alignment of least squares (Sakoe and Chiba,
    /// "Dynamic programming algorithm optimization for spoken word recognition",
    /// 1978), which lets a tooth on one side find its fellow on the other.
    ///
    /// # Errors
    /// The halves are so unlike that their mean runs across the axis.
    pub(crate) fn of(ring: &Ring) -> Result<Half, Problem> {
        let round = ring.evenly(POINTS);
        let opposite = |start: usize| -> Vec<(Point, Point)> {
            (1..POINTS / 2)
                .map(|step| (round[(start + step) % POINTS], round[(start + POINTS - step) % POINTS]))
                .collect()
        };
        let tried = (0..POINTS / 2).map(|start| (start, Axis::between(&opposite(start))));
        let Some((start, (mut axis, _))) = tried.min_by(|a, b| a.1.1.total_cmp(&b.1.1)) else {
            return Err(unlike());
        };
        let mut pairs = Vec::new();
        for _ in 0..ROUNDS {
            let (one, other) = halves(&round, start, axis);
            pairs =
                aligned(&one, &other).into_iter().map(|(a, b)| (one[a], axis.mirrored(other[b]))).collect();
            axis = Axis::between(&pairs).0;
        }
        let mut points: Vec<Point> = pairs.iter().map(|(a, b)| a.toward(axis.mirrored(*b), 0.5)).collect();
        points.dedup();
        let last = points.len() - 1;
        (points[0], points[last]) = (axis.foot(points[0]), axis.foot(points[last]));
        let side = points.iter().map(|it| axis.left(*it)).sum::<f64>().signum();
        points.retain(|it| axis.left(*it) * side >= -ON_AXIS);
        let half = Half { axis, points };
        half.whole().map(|_| half).map_err(|_| unlike())
    }

    /// The half with its mirror image.
    pub(crate) fn whole(&self) -> Result<Ring, Problem> {
        let inner = &self.points[1..self.points.len().max(2) - 1];
        let back = inner.iter().rev().map(|it| self.axis.mirrored(*it));
        Ring::new(self.points.iter().copied().chain(back).collect())
    }

    /// The part of the axis that lies within.
    pub(crate) fn cut(&self) -> Segment {
        Segment { from: self.points[0], to: self.points[self.points.len() - 1] }
    }
}

fn unlike() -> Problem {
    Problem::new("the two halves are too unlike to be made one").hint("leave it as it was traced")
}

/// Both halves of a closed line between the places nearest to `start` and its
/// opposite where the axis cuts it, the second laid over the first.
fn halves(round: &[Point], start: usize, axis: Axis) -> (Vec<Point>, Vec<Point>) {
    let count = round.len();
    let first = cut(round, start, axis);
    let second = cut(round, start + count / 2, axis);
    let span = (second + count - first) % count;
    let one = (0..=span).map(|step| round[(first + step) % count]).collect();
    let other = (0..=count - span).map(|step| axis.mirrored(round[(first + count - step) % count])).collect();
    (one, other)
}

/// The point nearest to the axis within a quarter of the way either side.
fn cut(round: &[Point], near: usize, axis: Axis) -> usize {
    let count = round.len();
    let reach = count / 8;
    let all = (0..=2 * reach).map(|step| (near + count - reach + step) % count);
    let off = |index: &usize| axis.left(round[*index]).abs();
    all.min_by(|a, b| off(a).total_cmp(&off(b))).unwrap_or(near % count)
}

/// The pairing of two lines from end to end, never going back on either, with
/// the least sum of squared ways.
fn aligned(one: &[Point], other: &[Point]) -> Vec<(usize, usize)> {
    let (rows, columns) = (one.len(), other.len());
    let way = |row: usize, column: usize| one[row].distance(other[column]).to_mm().powi(2);
    let mut sum = vec![f64::INFINITY; rows * columns];
    let mut from = vec![0_u8; rows * columns];
    for row in 0..rows {
        for column in 0..columns {
            let at = row * columns + column;
            let both = if row > 0 && column > 0 { sum[at - columns - 1] } else { f64::INFINITY };
            let down = if row > 0 { sum[at - columns] } else { f64::INFINITY };
            let across = if column > 0 { sum[at - 1] } else { f64::INFINITY };
            let (before, step) = [(both, 0), (down, 1), (across, 2)]
                .into_iter()
                .min_by(|a, b| a.0.total_cmp(&b.0))
                .unwrap_or((f64::INFINITY, 0));
            sum[at] = way(row, column) + if at == 0 { 0.0 } else { before };
            from[at] = step;
        }
    }
    let (mut row, mut column) = (rows - 1, columns - 1);
    let mut pairs = vec![(row, column)];
    while row > 0 || column > 0 {
        match from[row * columns + column] {
            1 => row -= 1,
            2 => column -= 1,
            _ => (row, column) = (row - 1, column - 1),
        }
        pairs.push((row, column));
    }
    pairs.reverse();
    pairs
}

/// How far two lines leave each other at most, looked at from the corners of both.
pub(crate) fn farthest_apart(ring: &Ring, other: &Ring) -> Length {
    Length::mm(farthest_from(ring, other).max(farthest_from(other, ring)))
}

/// Edges are looked at only where the box around their block is nearer than what
/// was found; the block that was nearest to the corner before comes first.
fn farthest_from(ring: &Ring, other: &Ring) -> f64 {
    let edges: Vec<Segment> = other.edges().collect();
    let blocks: Vec<(Bounds, &[Segment])> = edges
        .chunks(BLOCK)
        .filter_map(|block| Some((Bounds::around(block.iter().flat_map(|it| [it.from, it.to]))?, block)))
        .collect();
    let (mut first, mut farthest) = (0, 0.0_f64);
    for &at in ring.corners() {
        let spot = Bounds { low: at, high: at };
        let mut nearest = f64::INFINITY;
        let order = [first].into_iter().chain(0..blocks.len());
        for index in order {
            let (around, block) = &blocks[index];
            if around.distance(spot).to_mm() < nearest {
                let way = block.iter().map(|it| it.distance(at).to_mm()).fold(f64::INFINITY, f64::min);
                if way < nearest {
                    (nearest, first) = (way, index);
                }
            }
        }
        farthest = farthest.max(nearest);
    }
    farthest
}
