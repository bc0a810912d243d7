//! Holes in which the blade turns: inside corners that it cannot follow.

use std::f64::consts::FRAC_PI_2;

use measure::{Angle, Length};
use outline::Point;
use stock::{PartKey, SawHole, SawHoleUse};

use crate::BladeSize;
use crate::heading::Heading;
use crate::line::Line;
use crate::way::Tight;

/// What the blade keeps clear of the hole's wall, millimetres.
const PLAY: f64 = 0.3;

/// A hole's middle is found this exactly, millimetres.
const EXACT: f64 = 0.005;

/// A hole, and the places of the way between which the blade turns in it.
#[derive(Clone, Debug)]
pub(crate) struct Pivot {
    pub(crate) middle: Point,
    radius: f64,
    /// Where the blade's middle stands as it begins to turn, and as it ends.
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

fn one(line: &Line, bend: &Tight, off: f64, widest: f64) -> Option<Pivot> {
    let radius = least(&line.blade, off);
    if radius > widest {
        return None;
    }
    let way = &line.way;
    let (before, behind) = (bend.leave.min(bend.enter), bend.leave.max(bend.enter));
    let reach = way.steps(line.blade.width.to_mm());
    let (before, behind) = (before + way.count() - reach / 2, behind + way.count() + reach / 2);
    let (come, go) = (way.heading(before), way.heading(behind));
    let turn = come.turn_to(go);
    if turn > -0.05 {
        return None;
    }
    let corner = crossing(way.at(before), come, way.at(behind), go)?;
    let middle = settle(line, corner, come.turned(turn / 2.0 - FRAC_PI_2), radius)?;
    let foot = |from: usize, to: usize| {
        (from..=to).min_by(|a, b| {
            way.at(*a).distance(middle).to_mm().total_cmp(&way.at(*b).distance(middle).to_mm())
        })
    };
    let wide = way.steps(4.0 * radius + line.blade.width.to_mm());
    let between = usize::midpoint(before, behind);
    let from = foot(between.checked_sub(wide)?, between)?;
    let to = foot(between, between + wide)?;
    let turn = way.heading(from).turn_to(way.heading(to));
    Some(Pivot { middle, radius, from: from % way.count(), to: from % way.count() + (to - from), turn })
}

/// Where two lines cross.
fn crossing(a: Point, along: Heading, b: Point, other: Heading) -> Option<Point> {
    let left = other.left();
    let (here, on) = (left.along(b, a), left.along(b, along.from(a, 1.0)));
    let far = here / (here - on);
    far.is_finite().then(|| along.from(a, far))
}

/// The place in the waste, from a corner in a direction, where a hole just
/// touches the part.
fn settle(line: &Line, corner: Point, direction: Heading, radius: f64) -> Option<Point> {
    let part = line.wanted.outline.outer();
    let free = |far: f64| {
        let at = direction.from(corner, far);
        if part.contains(at) { -1.0 } else { part.distance(at).to_mm() - radius }
    };
    let (mut low, mut high) = (0.0, radius * 8.0);
    if free(high) < 0.0 {
        return None;
    }
    while high - low > EXACT {
        let middle = f64::midpoint(low, high);
        if free(middle) < 0.0 { low = middle } else { high = middle }
    }
    Some(direction.from(corner, high))
}
