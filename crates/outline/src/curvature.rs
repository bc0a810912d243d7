//! How tightly a line bends: what a blade must follow.

use measure::{Angle, Length};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::crossing::side;
use crate::{Point, Ring};

/// How a line bends at one of its corners.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Bend {
    /// Where.
    pub at: Point,
    /// The radius of the line there; zero at a sharp corner.
    pub radius: Length,
    /// Whether the line bends into the shape (a hollow side, an inside corner).
    pub inside: bool,
    /// Whether this is a sharp corner that no radius explains.
    pub corner: bool,
}

/// A line that bends less than this is straight to any blade.
const STRAIGHT: Length = Length::mm(5_000.0);

/// A turn below this is never a corner: coarse curves turn so much from chord to chord.
const LEAST_CORNER: Angle = Angle::degrees(10.0);

/// A turn above this is a corner if its chords are too long for a drawn curve.
const CLEAR_CORNER: Angle = Angle::degrees(30.0);

/// A curve that was drawn with chords strays no farther from them than this; our
/// own curves stray 0.02 mm, curves read from a drawing 0.1 mm.
const CHORD_RISE: Length = Length::mm(0.15);

/// The same for a traced line that was thinned out by a quarter of a millimetre.
const THINNED_RISE: Length = Length::mm(0.6);

impl Ring {
    /// How the line bends at each of its corners, in order; straight places are
    /// left out.
    ///
    /// The radius is that of the circle that fits the corners within `scale`
    /// either way along the line best (Taubin 1991), the neighbours at least;
    /// it never looks past a sharp corner. Take a small scale (2 mm) for drawn
    /// shapes: arcs shorter than twice the scale come out too flat. Take four
    /// times the smoothing width for traced ones.
    pub fn bends(&self, scale: Length) -> Vec<Bend> {
        let line = Line::new(self);
        (0..line.corners.len()).filter_map(|index| line.bend(index, scale.to_mm())).collect()
    }
}

struct Line<'a> {
    corners: &'a [Point],
    /// Of the edge that starts at each corner.
    lengths: Vec<f64>,
    sharp: Vec<bool>,
}

impl Line<'_> {
    fn new(ring: &Ring) -> Line<'_> {
        let corners = ring.corners();
        let lengths: Vec<f64> = ring.edges().map(|edge| edge.length().to_mm()).collect();
        let count = corners.len();
        let sharp = (0..count)
            .map(|index| {
                let before = (index + count - 1) % count;
                let turn = turn(corners[before], corners[index], corners[(index + 1) % count]);
                is_sharp(turn, lengths[before].min(lengths[index]))
            })
            .collect();
        Line { corners, lengths, sharp }
    }

    fn bend(&self, index: usize, scale: f64) -> Option<Bend> {
        let count = self.corners.len();
        let at = self.corners[index];
        let (before, after) = (self.corners[(index + count - 1) % count], self.corners[(index + 1) % count]);
        if self.sharp[index] {
            let inside = side(before, at, after) < 0.0;
            return Some(Bend { at, radius: Length::ZERO, inside, corner: true });
        }
        let back = self.reach(index, scale, false);
        let ahead = self.reach(index, scale, true);
        let window = || (0..=back + ahead).map(|step| self.corners[(index + count - back + step) % count]);
        let circle = Circle::fitting(window)?;
        if circle.radius > STRAIGHT.to_mm() {
            return None;
        }
        let (first, last) =
            (self.corners[(index + count - back) % count], self.corners[(index + ahead) % count]);
        let inside = side(first, last, circle.middle) < 0.0;
        // On more than half a round the chord's far side is the near one.
        let inside = if is_major(first, at, last, circle.middle) { !inside } else { inside };
        Some(Bend { at, radius: Length::mm(circle.radius), inside, corner: false })
    }

    /// How many corners one way lie within the scale: the neighbour at least,
    /// none past a sharp corner, and never more than a third of the ring.
    fn reach(&self, index: usize, scale: f64, ahead: bool) -> usize {
        let count = self.corners.len();
        let most = ((count - 1) / 3).max(1);
        let mut way = 0.0;
        for step in 1..=most {
            let (corner, edge) = if ahead {
                ((index + step) % count, (index + step - 1) % count)
            } else {
                ((index + count - step) % count, (index + count - step) % count)
            };
            way += self.lengths[edge];
            if way > scale && step > 1 {
                return step - 1;
            }
            if self.sharp[corner] || way > scale {
                return step;
            }
        }
        most
    }
}

/// Whether the arc from `first` through `at` to `last` is more than half a round.
fn is_major(first: Point, at: Point, last: Point, middle: Point) -> bool {
    side(first, last, at) * side(first, last, middle) > 0.0
}

/// How much the line turns at the middle point, without its sign.
fn turn(before: Point, at: Point, after: Point) -> Angle {
    let turn = (before.direction(at) - at.direction(after)).to_degrees().rem_euclid(360.0);
    Angle::degrees(turn.min(360.0 - turn))
}

/// Whether a turn between two chords is more than a drawn curve could have: a
/// curve would rise chord / 2 × tan(turn / 4) above its chord.
fn is_sharp(turn: Angle, chord: f64) -> bool {
    let rise = Length::mm(chord / 2.0 * (turn / 4.0).tan());
    (turn >= CLEAR_CORNER && rise > CHORD_RISE) || (turn >= LEAST_CORNER && rise > THINNED_RISE)
}

struct Circle {
    middle: Point,
    radius: f64,
}

impl Circle {
    /// The circle that fits the points best; `None` for points on a straight line.
    ///
    /// Taubin's fit with Newton's iteration as given by Chernov, "Circular and
    /// linear regression" (2010), section 5.9; exact for points on a circle.
    fn fitting<I: Iterator<Item = Point>>(points: impl Fn() -> I) -> Option<Circle> {
        let moments = Moments::of(points);
        let root = moments.root();
        let Moments { xx, yy, xy, xz, yz, z, .. } = moments;
        let det = root * root - root * z + xx * yy - xy * xy;
        let x = (xz * (yy - root) - yz * xy) / det / 2.0;
        let y = (yz * (xx - root) - xz * xy) / det / 2.0;
        let radius = (x * x + y * y + z).sqrt();
        let middle = Point::new(moments.middle.x + x, moments.middle.y + y);
        (det != 0.0 && radius.is_finite()).then_some(Circle { middle, radius })
    }
}

/// Means of products of coordinates about the points' middle; z is x² + y².
struct Moments {
    middle: Point,
    xx: f64,
    yy: f64,
    xy: f64,
    xz: f64,
    yz: f64,
    zz: f64,
    z: f64,
}

impl Moments {
    fn of<I: Iterator<Item = Point>>(points: impl Fn() -> I) -> Moments {
        let count = points().count() as f64;
        let sum = points().fold(Point::default(), |sum, it| Point::new(sum.x + it.x, sum.y + it.y));
        let middle = Point::new(sum.x / count, sum.y / count);
        let mean = |of: fn(f64, f64) -> f64| {
            points().map(|it| of(it.x - middle.x, it.y - middle.y)).sum::<f64>() / count
        };
        Moments {
            middle,
            xx: mean(|x, _| x * x),
            yy: mean(|_, y| y * y),
            xy: mean(|x, y| x * y),
            xz: mean(|x, y| x * (x * x + y * y)),
            yz: mean(|x, y| y * (x * x + y * y)),
            zz: mean(|x, y| (x * x + y * y).powi(2)),
            z: mean(|x, y| x * x + y * y),
        }
    }

    /// The smallest root of the fit's characteristic polynomial.
    fn root(&self) -> f64 {
        let Moments { xx, yy, xy, xz, yz, zz, z, .. } = *self;
        let (cov, var) = (xx * yy - xy * xy, zz - z * z);
        let (a3, a2) = (4.0 * z, -3.0 * z * z - zz);
        let a1 = var * z + 4.0 * cov * z - xz * xz - yz * yz;
        let a0 = xz * (xz * yy - yz * xy) + yz * (yz * xx - xz * xy) - var * cov;
        let (mut x, mut y) = (0.0, a0);
        for _ in 0..50 {
            let next = x - y / (a1 + x * (2.0 * a2 + 3.0 * a3 * x));
            let value = a0 + next * (a1 + next * (a2 + next * a3));
            if !next.is_finite() || next == x || value.abs() >= y.abs() {
                break;
            }
            (x, y) = (next, value);
        }
        x
    }
}
