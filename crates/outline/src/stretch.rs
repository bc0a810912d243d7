//! A stretch of a traced line between two places that hold it, and how the
//! roughness is taken out of it.

use crate::Point;
use crate::mirror::Axis;

/// What an end of a stretch does.
#[derive(Clone, Copy, Debug)]
pub(crate) enum End {
    /// A kept corner: it stays where it is.
    Corner,
    /// The line goes on as its own mirror image.
    Mirrored(Axis),
    /// The line goes on at its other end, which is the same point.
    Round,
}

/// Points at even steps from one end to the other.
#[derive(Clone, Debug)]
pub(crate) struct Stretch {
    pub(crate) points: Vec<Point>,
    pub(crate) first: End,
    pub(crate) last: End,
}

/// How much roughness is taken out.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Fairness {
    /// No bend shall be tighter, in millimetres; zero for no matter.
    pub(crate) radius: f64,
    /// No point may be moved farther than this, in millimetres.
    pub(crate) stray: f64,
}

/// Points to a radius: chords of an eighth stray 0.2 % of the radius.
const STEPS_TO_RADIUS: f64 = 8.0;

/// The bell curve ends at this many sigmas.
const REACH: f64 = 3.0;

/// The line is bent this much less than asked, so that the curves put through it keep to it.
const MARGIN: f64 = 1.1;

/// The bell curve that takes out what is left of the waves is this part of the
/// least radius wide; it changes a bend of that radius by less than 0.1 %.
const LEAST_WAVE: f64 = 4.0;

/// The most rounds of easing; a bend settles in a few times the square of [`STEPS_TO_RADIUS`].
const ROUNDS: usize = 400;

/// Easing ends when no point moves farther than this share of a step.
const SETTLED: f64 = 1e-3;

/// Fewer steps than this hold no shape.
const LEAST_STEPS: usize = 8;

impl Stretch {
    /// A line of chords as points about `step` apart.
    pub(crate) fn evenly(line: &[Point], step: f64, first: End, last: End) -> Stretch {
        let mut line = line.to_vec();
        line.dedup();
        let way: f64 = line.windows(2).map(|it| it[0].distance(it[1]).to_mm()).sum();
        let count = ((way / step).ceil() as usize).max(LEAST_STEPS);
        let (mut points, mut behind) = (Vec::with_capacity(count + 1), 0.0);
        for pair in line.windows(2) {
            let side = pair[0].distance(pair[1]).to_mm();
            while points.len() < count && points.len() as f64 * way / count as f64 <= behind + side {
                let share = (points.len() as f64 * way / count as f64 - behind) / side;
                points.push(pair[0].toward(pair[1], share.clamp(0.0, 1.0)));
            }
            behind += side;
        }
        points.truncate(count);
        points.push(line[line.len() - 1]);
        Stretch { points, first, last }
    }

    /// Steps from end to end.
    pub(crate) fn steps(&self) -> usize {
        self.points.len() - 1
    }

    /// The point so many steps from the first, beyond the ends as well.
    pub(crate) fn at(&self, index: isize) -> Point {
        let last = self.steps() as isize;
        if matches!(self.first, End::Round) {
            return self.points[index.rem_euclid(last) as usize];
        }
        match index {
            index if index < 0 => self.first.beyond(self.points[0], self.points[(-index).min(last) as usize]),
            index if index > last => {
                let within = self.points[(2 * last - index).max(0) as usize];
                self.last.beyond(self.points[last as usize], within)
            }
            index => self.points[index as usize],
        }
    }

    /// How much the line bends at a point, one over millimetres: the circle
    /// through it and its neighbours (Menger's curvature).
    pub(crate) fn bend(&self, index: isize) -> f64 {
        let (a, b, c) = (self.at(index - 1), self.at(index), self.at(index + 1));
        let sides = a.distance(b).to_mm() * b.distance(c).to_mm() * a.distance(c).to_mm();
        if sides > 0.0 { 2.0 * crate::crossing::side(a, b, c).abs() / sides } else { 0.0 }
    }

    /// Without its roughness: first smoothed by a bell curve as wide as it may
    /// stray, then eased where it bends more than it shall.
    pub(crate) fn faired(&self, fair: Fairness) -> Stretch {
        let step = self.step();
        let mut smooth = self.clone();
        smooth.points = self.smoothed(fair.stray / step);
        for (point, drawn) in smooth.points.iter_mut().zip(&self.points) {
            *point = held(*point, *drawn, fair.stray);
        }
        smooth.hold_ends(self);
        if fair.radius <= 0.0 {
            return smooth;
        }
        let apart = ((fair.radius / STEPS_TO_RADIUS).min(fair.stray) / step).floor() as usize;
        let apart = apart.clamp(1, (self.steps() / LEAST_STEPS).max(1));
        let drawn = self.thinned(apart);
        smooth.thinned(apart).eased(fair, &drawn).settled(fair, &drawn).eased(fair, &drawn)
    }

    fn step(&self) -> f64 {
        let way: f64 = self.points.windows(2).map(|it| it[0].distance(it[1]).to_mm()).sum();
        way / self.steps() as f64
    }

    /// Smoothed by a bell curve of so many steps; what a first pass takes off the
    /// rounds is smoothed and given back, so that they keep their radius.
    fn smoothed(&self, sigma: f64) -> Vec<Point> {
        let once = Stretch { points: self.blurred(sigma), ..*self };
        let twice = once.blurred(sigma);
        let given_back = |(a, b): (&Point, Point)| Point::new(2.0 * a.x - b.x, 2.0 * a.y - b.y);
        once.points.iter().zip(twice).map(given_back).collect()
    }

    fn blurred(&self, sigma: f64) -> Vec<Point> {
        let reach = (REACH * sigma).ceil() as isize;
        let bell = |off: isize| (-0.5 * (off as f64 / sigma.max(f64::MIN_POSITIVE)).powi(2)).exp();
        let weights: Vec<f64> = (-reach..=reach).map(bell).collect();
        let whole: f64 = weights.iter().sum();
        let mean = |index: usize| {
            let near =
                (-reach..=reach).zip(&weights).map(|(off, weight)| (self.at(index as isize + off), weight));
            let (x, y) = near.fold((0.0, 0.0), |(x, y), (it, weight)| (x + it.x * weight, y + it.y * weight));
            Point::new(x / whole, y / whole)
        };
        (0..self.points.len()).map(mean).collect()
    }

    /// Every so manieth point, evenly from end to end.
    fn thinned(&self, apart: usize) -> Stretch {
        let count = self.steps() / apart;
        let points = (0..=count).map(|index| self.points[index * self.steps() / count]).collect();
        Stretch { points, ..*self }
    }

    /// Eased where it bends more than it shall: every point there moves towards
    /// the chord of its neighbours in the measure of the excess (the flow by
    /// curvature of Gage and Hamilton, stopped at the wanted bend), never farther
    /// than it may stray from where it was drawn.
    fn eased(mut self, fair: Fairness, drawn: &Stretch) -> Stretch {
        let most = 1.0 / (fair.radius * MARGIN);
        let least = self.step() * SETTLED;
        for _ in 0..ROUNDS {
            let moved: Vec<Point> = (0..self.points.len())
                .map(|index| {
                    let (at, bend) = (self.points[index], self.bend(index as isize));
                    if bend <= most || self.is_held(index) {
                        return at;
                    }
                    let (before, after) = (self.at(index as isize - 1), self.at(index as isize + 1));
                    let eased = at.toward(before.toward(after, 0.5), (1.0 - most / bend) / 2.0);
                    held(eased, drawn.points[index], fair.stray)
                })
                .collect();
            let way = self.points.iter().zip(&moved).map(|(a, b)| a.distance(*b).to_mm()).fold(0.0, f64::max);
            self.points = moved;
            if way < least {
                break;
            }
        }
        self.hold_ends(drawn);
        self
    }

    /// Without the waves that are shorter than any bend it may have.
    fn settled(mut self, fair: Fairness, drawn: &Stretch) -> Stretch {
        let sigma = fair.radius / LEAST_WAVE / self.step();
        let smooth = self.smoothed(sigma);
        self.points =
            smooth.iter().zip(&drawn.points).map(|(it, drawn)| held(*it, *drawn, fair.stray)).collect();
        self.hold_ends(drawn);
        self
    }

    /// Rounding must not part what meets at an end.
    fn hold_ends(&mut self, drawn: &Stretch) {
        let last = self.steps();
        if matches!(self.first, End::Corner) {
            self.points[0] = drawn.points[0];
        }
        match self.last {
            End::Corner => self.points[last] = drawn.points[drawn.steps()],
            End::Round => self.points[last] = self.points[0],
            End::Mirrored(_) => {}
        }
    }

    fn is_held(&self, index: usize) -> bool {
        (index == 0 && matches!(self.first, End::Corner))
            || (index == self.steps() && matches!(self.last, End::Corner))
    }
}

impl End {
    /// The point as far beyond an end as `within` lies before it.
    fn beyond(self, end: Point, within: Point) -> Point {
        match self {
            End::Corner | End::Round => Point::new(2.0 * end.x - within.x, 2.0 * end.y - within.y),
            End::Mirrored(axis) => axis.mirrored(within),
        }
    }
}

/// No farther from a place than this.
fn held(at: Point, place: Point, most: f64) -> Point {
    let way = place.distance(at).to_mm();
    if way > most { place.toward(at, most / way) } else { at }
}
