//! Holes in which the blade turns: inside corners that it cannot follow.

use measure::{Angle, Length};
use outline::Point;
use stock::{PartKey, SawHole, SawHoleUse};

use crate::BladeSize;
use crate::heading::Heading;
use crate::line::Line;
use crate::way::Tight;

/// What the blade keeps clear of the hole's wall, millimetres.
const PLAY: f64 = 0.3;

/// A hole may take so much of the part, millimetres: less than a grain of wood.
const EXACT: f64 = 0.015;

/// As exactly the blade's middle stands beside the hole's, millimetres.
const SETTLED: f64 = 0.15;

/// So often a hole's middle is bettered.
const ROUNDS: usize = 12;

/// Each hole that is tried is so much larger than the one before.
const LARGER: f64 = 1.1;

/// A smaller turn needs no hole, radians.
const LEAST_TURN: f64 = 0.05;

/// Lines that cross farther off than this are parallel, millimetres.
const FARTHEST: f64 = 2000.0;

/// A hole, and the places of the way between which the blade turns in it.
#[derive(Clone, Debug)]
pub(crate) struct Pivot {
    pub(crate) middle: Point,
    radius: f64,
    /// Where the teeth stand as it begins to turn.
    pub(crate) teeth: Point,
    /// Where the blade's middle leaves the way, and where the teeth are on it again.
    pub(crate) from: usize,
    pub(crate) to: usize,
    /// How far it turns, radians, right below zero.
    pub(crate) turn: f64,
}

impl Pivot {
    pub(crate) fn hole(&self, part: PartKey) -> SawHole {
        let diameter = Length::mm(self.radius * 2.0);
        SawHole { part, at: self.middle, diameter, is: SawHoleUse::Pivot }
    }

    /// Where the teeth stand when it has turned.
    pub(crate) fn turned(&self) -> Point {
        let far = self.teeth.distance(self.middle).to_mm();
        let toward = Heading::toward(self.middle, self.teeth).unwrap_or(Heading::EAST);
        toward.turned(self.turn).from(self.middle, far)
    }

    pub(crate) fn by(&self) -> Angle {
        Angle::radians(self.turn)
    }
}

/// A hole for each tight inside bend; none if one of them cannot have one.
pub(crate) fn all(line: &Line, bends: &[Tight], off: f64, widest_bit: Length) -> Option<Vec<Pivot>> {
    bends.iter().map(|it| one(line, it, off, widest_bit.to_mm() / 2.0)).collect()
}

/// The least radius of a hole in which a blade turns that comes along a line.
///
/// The hole touches the line, the blade's middle runs `off` from it, so the
/// blade stands in the hole as a chord off the middle. It fits if half its width
/// and that way to its far side make no more than the radius less the play:
/// (w / 2)² + (r - e)² = (r - p)² with e = off - band / 2 (derived).
/// Infinite where the band runs so close to the line that none will do.
pub(crate) fn least(blade: &BladeSize, off: f64) -> f64 {
    let (half, inner) = (blade.width.to_mm() / 2.0, off - blade.band.to_mm() / 2.0);
    if inner <= PLAY {
        return f64::INFINITY;
    }
    (half * half + inner * inner - PLAY * PLAY) / (2.0 * (inner - PLAY))
}

/// The smallest hole, by steps of [`LARGER`], that holds the whole stretch which
/// the blade cannot follow.
fn one(line: &Line, bend: &Tight, off: f64, widest: f64) -> Option<Pivot> {
    let mut radius = least(&line.blade, off);
    while radius <= widest {
        if let Some(pivot) = sized(line, bend, off, radius) {
            return Some(pivot);
        }
        radius *= LARGER;
    }
    None
}

/// A hole of a radius that touches the part on both sides of a bend: its middle
/// lies so far to the right of the way that the blade's middle comes to stand
/// beside it (found by going from the feet on the way to where their normals'
/// ends meet, and back).
fn sized(line: &Line, bend: &Tight, off: f64, radius: f64) -> Option<Pivot> {
    let way = &line.way;
    let count = way.count();
    let aside = radius - off;
    let half = way.steps(line.blade.width.to_mm() / 2.0);
    let (before, behind) = (bend.leave.min(bend.enter) + count, bend.leave.max(bend.enter) + count);
    let corner = usize::midpoint(before, behind);
    let wide = way.steps(4.0 * radius) + (behind - before);
    let nearest = |from: usize, to: usize, it: Point| {
        let far = |place: &usize| way.at(*place).distance(it).to_mm();
        (from..=to).min_by(|a, b| far(a).total_cmp(&far(b)))
    };
    let (mut from, mut to) = (before.saturating_sub(half), behind + half);
    let mut middle = Point::default();
    for _ in 0..ROUNDS {
        let beside = |place: usize| way.heading(place).right().from(way.at(place), aside);
        middle = crossing(beside(from), way.heading(from), beside(to), way.heading(to))?;
        from = nearest(corner.checked_sub(wide)?, corner, middle)?;
        to = nearest(corner, corner + wide, middle)?;
    }
    let settled = |place: usize| (way.at(place).distance(middle).to_mm() - aside).abs() < SETTLED;
    let part = line.wanted.outline.outer();
    let free = !part.contains(middle) && part.distance(middle).to_mm() > radius - EXACT;
    let holds = from <= bend.leave + count && to >= bend.enter + count;
    // The foot itself, which lies between two places of the way.
    let (at, heading) = (way.at(from), way.heading(from));
    let teeth = heading.from(at, heading.along(at, middle) + line.blade.width.to_mm() / 2.0);
    // The blade turns until its teeth are on the way again.
    let swing = teeth.distance(middle).to_mm();
    let off_swing = |place: &usize| (way.at(*place).distance(middle).to_mm() - swing).abs();
    let again = (to..=to + 2 * half).min_by(|a, b| off_swing(a).total_cmp(&off_swing(b)))?;
    let (come, go) = (Heading::toward(middle, teeth)?, Heading::toward(middle, way.at(again))?);
    let turn = come.turn_to(go);
    let fits = settled(from) && settled(to) && free && holds && turn < -LEAST_TURN;
    let from_here = from % count;
    fits.then(|| Pivot { middle, radius, teeth, from: from_here, to: from_here + (again - from), turn })
}

/// Where two lines cross.
fn crossing(a: Point, along: Heading, b: Point, other: Heading) -> Option<Point> {
    let left = other.left();
    let (here, on) = (left.along(b, a), left.along(b, along.from(a, 1.0)));
    let far = here / (here - on);
    (far.abs() < FARTHEST).then(|| along.from(a, far))
}
