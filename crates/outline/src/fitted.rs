//! A traced line as few smooth curves, with the corners that its maker keeps.

use kurbo::{BezPath, CubicBez, PathEl};
use measure::{Length, Problem};

use crate::corners::Drawn;
use crate::cubics::{self, Bound};
use crate::mirror::{self, Half};
use crate::stretch::{Fairness, Stretch};
use crate::{Point, Ring, Segment};

/// What is asked of the smooth line.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// Places on the line where it shall keep a corner.
    pub corners: Vec<Point>,
    /// No bend shall be tighter than this, corners left out; zero for no matter.
    pub least_radius: Length,
    /// The line may leave the traced one by this much, and by twice as much
    /// where a corner is made sharp again.
    pub stray: Length,
    /// Whether both halves shall be each other's mirror image.
    pub symmetric: bool,
}

/// A traced line made smooth.
#[derive(Clone, Debug, PartialEq)]
pub struct Fitted {
    /// The line, as chords that stray [`Fitted::CHORDS`] from its curves.
    pub ring: Ring,
    /// How far it leaves the traced line at most, or the mean of its halves.
    pub stray: Length,
    /// Its tightest bend, corners left out; `None` if it is straight all along.
    pub least_radius: Option<Length>,
    /// How many cubic curves it takes.
    pub cubics: usize,
    /// Where its corners are.
    pub corners: Vec<Point>,
    /// The axis of a symmetric line, with how far the traced line leaves the mean of its halves.
    pub axis: Option<(Segment, Length)>,
}

/// A traced line is looked at in so many steps: a quarter of a millimetre on a board's outline.
const STEPS: f64 = 4096.0;

/// Of what the line may stray, the curves take this share, and never more than
/// so many millimetres; the rest is for taking out roughness.
const FOR_CURVES: f64 = 0.2;
const MOST_FOR_CURVES: f64 = 0.02;

/// Between its points a line may stray more than at them, and where two sides are
/// close it may cross itself; it is then done again with less to spare.
const TRIES: usize = 5;
const TIGHTER: f64 = 0.97;

/// A radius is reached when no bend is tighter than it by more than this.
const REACHED: f64 = 1.1;

/// The largest radius that can be had is looked for by so many halvings.
const HALVINGS: usize = 3;

/// The most corners that are kept.
const MOST_CORNERS: usize = 64;

/// Points nearer to each other are one.
const ONE_PLACE: Length = Length::mm(1e-6);

/// A bend below this, one over millimetres, is straight.
const STRAIGHT: f64 = 1e-6;

impl Fitted {
    /// The chords leave the curves by no more: less than a blade wanders.
    pub const CHORDS: Length = Length::mm(0.02);
}

impl Ring {
    /// The line made smooth: roughness taken out, bends eased to the least radius
    /// as far as it may stray for it, put through cubic curves that keep to that,
    /// and broken at the corners alone. How far it strays and how tightly it bends
    /// in the end is measured on the curves themselves.
    ///
    /// # Errors
    /// A length out of its range, a corner far from the line, halves too unlike to
    /// be made one, or a line that crosses itself once it is smooth.
    pub fn fitted(&self, fit: &Fit) -> Result<Fitted, Problem> {
        self.check(fit)?;
        let half = fit.symmetric.then(|| Half::of(self)).transpose()?;
        let whole = half.as_ref().map_or_else(|| Ok(self.clone()), Half::whole)?;
        let drawn = half.as_ref().map_or_else(|| Drawn::round(self), Drawn::half);
        let traced = Traced { fit, half, whole, drawn };
        let asked = traced.smooth(fit.least_radius)?;
        let smooth = if asked.reaches(fit.least_radius) { asked } else { traced.smoothest(asked) };
        Ok(Fitted {
            ring: smooth.ring,
            stray: smooth.stray,
            least_radius: (smooth.tightest > STRAIGHT).then(|| Length::mm(1.0 / smooth.tightest)),
            cubics: smooth.cubics,
            corners: smooth.corners,
            axis: traced.half.map(|half| (half.cut(), mirror::farthest_apart(self, &traced.whole))),
        })
    }

    fn check(&self, fit: &Fit) -> Result<(), Problem> {
        let size = self.bounds().width().max(self.bounds().height());
        let (radius, stray) = (fit.least_radius, fit.stray);
        if radius < Length::ZERO || radius > size {
            let (most, found) = (size.to_mm(), radius.to_mm());
            return Err(Problem::new(format!(
                "expected a least radius from 0 to {most:.0} mm, found {found} mm"
            ))
            .hint("name the tightest bend that the line may have"));
        }
        let most = size / 10.0;
        if stray <= Length::ZERO || stray > most {
            let (most, found) = (most.to_mm(), stray.to_mm());
            return Err(Problem::new(format!(
                "the line may stray above 0 and up to {most:.1} mm, not {found} mm"
            ))
            .hint("half a millimetre keeps all that a photograph shows"));
        }
        if fit.corners.len() > MOST_CORNERS {
            let found = fit.corners.len();
            return Err(Problem::new(format!("{found} corners; at most {MOST_CORNERS} are kept"))
                .hint("keep the sharp ones alone"));
        }
        Ok(())
    }
}

/// A traced line and what is asked of it.
struct Traced<'a> {
    fit: &'a Fit,
    half: Option<Half>,
    whole: Ring,
    drawn: Drawn,
}

/// What one radius makes of a line.
struct Smooth {
    ring: Ring,
    stray: Length,
    /// The most bend, one over millimetres.
    tightest: f64,
    cubics: usize,
    corners: Vec<Point>,
}

impl Smooth {
    fn reaches(&self, radius: Length) -> bool {
        radius <= Length::ZERO || self.tightest * radius.to_mm() <= REACHED
    }
}

impl Traced<'_> {
    /// Where the line may not stray as far as the radius asked would need, it gets
    /// creases; it is smoothest with the largest radius that it can still have.
    fn smoothest(&self, asked: Smooth) -> Smooth {
        let (mut low, mut high) = (self.fit.stray.min(self.fit.least_radius), self.fit.least_radius);
        let mut best = asked;
        for _ in 0..HALVINGS {
            let radius = Length::mm((low.to_mm() * high.to_mm()).sqrt());
            let Ok(found) = self.smooth(radius) else { break };
            if found.reaches(radius) {
                low = radius
            } else {
                high = radius
            }
            if found.tightest < best.tightest {
                best = found;
            }
        }
        best
    }

    fn smooth(&self, radius: Length) -> Result<Smooth, Problem> {
        let fit = self.fit;
        let step = self.whole.perimeter().to_mm() / STEPS;
        let for_curves = (fit.stray.to_mm() * FOR_CURVES).min(MOST_FOR_CURVES);
        let mut stray = fit.stray.to_mm() - for_curves;
        let mut tried = 1;
        loop {
            let fair = Fairness { radius: radius.to_mm(), stray };
            let parted = self.drawn.cornered(&fit.corners, step, fair.stray)?;
            let curves = curves(&parted.stretches, fair, for_curves, self.half.as_ref());
            tried += 1;
            let ring = match chords(&curves) {
                Err(_) if tried <= TRIES => {
                    stray /= 2.0;
                    continue;
                }
                ring => ring?,
            };
            let found = mirror::farthest_apart(&ring, &self.whole);
            let may = fit.stray * if parted.tips.is_empty() { 1.0 } else { 2.0 };
            if found > may && tried <= TRIES {
                stray *= may / found * TIGHTER;
                continue;
            }
            let tightest = curves.iter().map(cubics::most_bend).fold(0.0, f64::max);
            return Ok(Smooth { ring, stray: found, tightest, cubics: curves.len(), corners: parted.tips });
        }
    }
}

/// The curves of all stretches, and of the other half.
fn curves(stretches: &[Stretch], fair: Fairness, stray: f64, half: Option<&Half>) -> Vec<CubicBez> {
    // A bend tighter than the line may stray is roughness in any case.
    let bend = 1.0 / if fair.radius > 0.0 { fair.radius } else { fair.stray };
    let own = stretches.iter().flat_map(|it| it.faired(fair).curves(Bound { stray, bend }));
    let mut curves: Vec<CubicBez> = own.collect();
    if let Some(half) = half {
        let back: Vec<CubicBez> = curves.iter().rev().map(|it| half.axis.image(it)).collect();
        curves.extend(back);
    }
    curves
}

fn chords(curves: &[CubicBez]) -> Result<Ring, Problem> {
    let mut path = BezPath::new();
    if let Some(first) = curves.first() {
        path.move_to(first.p0);
    }
    for it in curves {
        path.curve_to(it.p1, it.p2, it.p3);
    }
    let mut points: Vec<Point> = Vec::new();
    kurbo::flatten(path.iter(), Fitted::CHORDS.to_mm(), |element| match element {
        PathEl::MoveTo(to) | PathEl::LineTo(to) | PathEl::QuadTo(_, to) | PathEl::CurveTo(_, _, to) => {
            points.push(Point::new(to.x, to.y));
        }
        PathEl::ClosePath => {}
    });
    // Where stretches meet, their ends differ by rounding.
    points.dedup_by(|b, a| a.distance(*b) < ONE_PLACE);
    while points.len() > 1 && points[0].distance(points[points.len() - 1]) < ONE_PLACE {
        points.pop();
    }
    Ring::new(points).map_err(|problem| problem.within("made smooth").hint("ask for a smaller least radius"))
}
