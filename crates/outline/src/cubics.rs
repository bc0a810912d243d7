//! A faired stretch as few cubic curves.

use kurbo::{CubicBez, ParamCurve, ParamCurveCurvature, ParamCurveDeriv, Point as At, Vec2};

use crate::Point;
use crate::stretch::{End, Stretch};

/// How close the curves keep to the points, and how much they may bend.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Bound {
    /// In millimetres.
    pub(crate) stray: f64,
    /// One over millimetres; where the points themselves bend more, so may the curve.
    pub(crate) bend: f64,
}

/// Rounds of laying the points anew along the curve; it settles in a few.
const ROUNDS: usize = 5;

/// A curve's bend is looked at in so many places.
const PLACES: usize = 24;

/// Below this share of their squares two unknowns cannot be told apart.
const SINGULAR: f64 = 1e-9;

/// Between points a curve may bend a little more than they tell.
const OVER: f64 = 1.05;

impl Stretch {
    /// Curves from end to end, each as long as the bound allows, one direction
    /// where two meet. Every curve is checked against each point that it stands
    /// for and for its bend in [`PLACES`] places; what does not hold is cut short.
    pub(crate) fn curves(&self, bound: Bound) -> Vec<CubicBez> {
        let (first, steps) = (self.start(), self.steps());
        let mut curves = Vec::new();
        let mut from = 0;
        while from < steps {
            let (to, curve) = self.longest(first, from, bound);
            curves.push(curve);
            from = to;
        }
        curves
    }

    /// A round is begun where it bends least.
    fn start(&self) -> isize {
        match self.first {
            End::Corner | End::Mirrored(_) => 0,
            End::Round => {
                let all = 0..self.steps() as isize;
                all.min_by(|a, b| self.bend(*a).total_cmp(&self.bend(*b))).unwrap_or(0)
            }
        }
    }

    /// The longest curve from a place that holds: doubled as long as it does, then halved in between.
    fn longest(&self, first: isize, from: usize, bound: Bound) -> (usize, CubicBez) {
        let left = self.steps() - from;
        let span = |steps: usize| self.curve(first + from as isize, steps, bound);
        let (mut good, mut bad) = ((1, self.shortest(first + from as isize)), left + 1);
        let mut reach = 2;
        while good.0 < left && reach < bad {
            match span(reach.min(left)) {
                Some(curve) => good = (reach.min(left), curve),
                None => bad = reach,
            }
            reach *= 2;
        }
        while good.0 + 1 < bad {
            let middle = (good.0 + bad) / 2;
            match span(middle) {
                Some(curve) => good = (middle, curve),
                None => bad = middle,
            }
        }
        (from + good.0, good.1)
    }

    /// Along one step.
    fn shortest(&self, from: isize) -> CubicBez {
        let (a, b) = (place(self.at(from)), place(self.at(from + 1)));
        let third = a.distance(b) / 3.0;
        CubicBez::new(a, a + self.ahead(from) * third, b - self.behind(from + 1) * third, b)
    }

    /// The direction in which the line leaves a point.
    fn ahead(&self, index: isize) -> Vec2 {
        if index == 0 && matches!(self.first, End::Corner) {
            return one_sided([0, 1, 2].map(|it| self.at(it)));
        }
        self.along(index)
    }

    /// The direction in which the line comes to a point.
    fn behind(&self, index: isize) -> Vec2 {
        let last = self.steps() as isize;
        if index == last && matches!(self.last, End::Corner) {
            return -one_sided([0, 1, 2].map(|it| self.at(last - it)));
        }
        self.along(index)
    }

    fn along(&self, index: isize) -> Vec2 {
        unit(place(self.at(index + 1)) - place(self.at(index - 1)))
    }

    /// The cubic of least squares over so many steps with the line's own
    /// directions at its ends (Schneider, "An algorithm for automatically fitting
    /// digitized curves", Graphics Gems, 1990), if it holds.
    fn curve(&self, from: isize, steps: usize, bound: Bound) -> Option<CubicBez> {
        let points: Vec<At> = (0..=steps as isize).map(|step| place(self.at(from + step))).collect();
        let ends = (self.ahead(from), -self.behind(from + steps as isize));
        let mut shares = by_way(&points);
        let mut curve = least_squares(&points, &shares, ends);
        for _ in 0..ROUNDS {
            for (share, point) in shares.iter_mut().zip(&points) {
                *share = nearer(&curve, *point, *share);
            }
            curve = least_squares(&points, &shares, ends);
        }
        let off = points
            .iter()
            .zip(&shares)
            .map(|(it, share)| curve.eval(nearer(&curve, *it, *share)).distance(*it));
        let strays = off.fold(0.0, f64::max) > bound.stray;
        let own = (0..=steps as isize).map(|step| self.bend(from + step)).fold(0.0, f64::max);
        (!strays && most_bend(&curve) <= bound.bend.max(own * OVER)).then_some(curve)
    }
}

/// The most that a curve bends, one over millimetres, looked at in [`PLACES`] places.
pub(crate) fn most_bend(curve: &CubicBez) -> f64 {
    let places = (0..=PLACES).map(|step| step as f64 / PLACES as f64);
    places.map(|share| curve.curvature(share).abs()).filter(|it| it.is_finite()).fold(0.0, f64::max)
}

fn place(it: Point) -> At {
    At::new(it.x, it.y)
}

fn unit(it: Vec2) -> Vec2 {
    if it.hypot() > 0.0 { it / it.hypot() } else { Vec2::ZERO }
}

/// The direction at the first of three even steps, to the second order.
fn one_sided(three: [Point; 3]) -> Vec2 {
    let [a, b, c] = three.map(place);
    unit((b - a) * 4.0 - (c - a))
}

/// Shares of the way along the points.
fn by_way(points: &[At]) -> Vec<f64> {
    let mut way = vec![0.0];
    for pair in points.windows(2) {
        way.push(way[way.len() - 1] + pair[0].distance(pair[1]));
    }
    let whole = way[way.len() - 1].max(f64::MIN_POSITIVE);
    way.iter().map(|it| it / whole).collect()
}

/// The curve nearest to the points at their shares; where these do not tell its
/// arms' lengths, or would point them backwards, arms of a third of the way.
fn least_squares(points: &[At], shares: &[f64], ends: (Vec2, Vec2)) -> CubicBez {
    let (first, last) = (points[0], points[points.len() - 1]);
    let (mut aa, mut ab, mut bb, mut ax, mut bx) = (0.0, 0.0, 0.0, 0.0, 0.0);
    for (point, share) in points.iter().zip(shares) {
        let (t, u) = (*share, 1.0 - share);
        let (a, b) = (ends.0 * (3.0 * t * u * u), ends.1 * (3.0 * t * t * u));
        let bare =
            first.to_vec2() * (u * u * u + 3.0 * t * u * u) + last.to_vec2() * (t * t * t + 3.0 * t * t * u);
        let off = point.to_vec2() - bare;
        (aa, ab, bb) = (aa + a.dot(a), ab + a.dot(b), bb + b.dot(b));
        (ax, bx) = (ax + a.dot(off), bx + b.dot(off));
    }
    let det = aa * bb - ab * ab;
    let (one, other) = ((ax * bb - bx * ab) / det, (bx * aa - ax * ab) / det);
    let third = first.distance(last) / 3.0;
    let sound = det > SINGULAR * aa * bb && one > 0.0 && other > 0.0;
    let (one, other) = if sound { (one, other) } else { (third, third) };
    CubicBez::new(first, first + ends.0 * one, last + ends.1 * other, last)
}

/// A share whose place is nearer to the point, by one of Newton's steps.
fn nearer(curve: &CubicBez, point: At, share: f64) -> f64 {
    let off = curve.eval(share) - point;
    let (speed, bend) = (curve.deriv().eval(share).to_vec2(), curve.deriv().deriv().eval(share).to_vec2());
    let slope = speed.dot(speed) + off.dot(bend);
    if slope > 0.0 { (share - off.dot(speed) / slope).clamp(0.0, 1.0) } else { share }
}
