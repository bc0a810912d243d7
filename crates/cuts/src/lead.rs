//! Ways into the wood to a part's line, and away from it.

use outline::Point;

use crate::BladeSize;
use crate::fence::Fence;
use crate::heading::Heading;
use crate::wood::Wood;

/// Leads are laid a little wider than the blade's planned radius.
const WIDER: f64 = 1.08;

/// From one looked-at place of a lead to the next, millimetres.
const STEP: f64 = 2.0;

/// So far beyond the wood's edge a cut begins and ends, millimetres.
pub(crate) const BEYOND: f64 = 2.0;

/// More than the blade's own width is kept free where it begins and ends,
/// millimetres.
const ROOM: f64 = 2.0;

/// How much is kept between wood and column, millimetres (common practice, no
/// source: a finger's breadth is more than a saw's own play).
pub(crate) const FROM_COLUMN: f64 = 6.0;

/// Turns that a lead is tried with, degrees: away from the part...
const AWAY: [f64; 9] = [0.0, 10.0, 20.0, 30.0, 45.0, 60.0, 80.0, 100.0, 120.0];

/// ... and, where none of these serves, around its end: in a narrow gap between
/// two parts there is no room to turn away.
const AROUND: [f64; 6] = [15.0, 30.0, 45.0, 60.0, 80.0, 100.0];

/// A radian less along the part's own corner is worth so much shorter a lead,
/// millimetres: the farther a lead bends from it, the more wood stays there.
const WORTH_OF_TURN: f64 = 120.0;

/// What a cut has to mind.
#[derive(Clone, Copy)]
pub(crate) struct Ground<'a> {
    /// What is in the hands.
    pub(crate) wood: &'a Wood,
    /// Around every part.
    pub(crate) fences: &'a [Fence],
    /// From the blade to the column, millimetres.
    pub(crate) throat: f64,
    /// The blade.
    pub(crate) blade: &'a BladeSize,
}

impl Ground<'_> {
    /// Whether the work clears the column with the teeth at a place.
    pub(crate) fn clears(&self, at: Point, heading: Heading) -> bool {
        self.wood.reach(at, heading) <= self.throat - FROM_COLUMN
    }

    /// What has to be free where the blade goes in or has come out, millimetres.
    pub(crate) fn room(&self) -> f64 {
        self.blade.width.to_mm() + ROOM + BEYOND
    }

    /// Whether a straight way clears the column and every part.
    pub(crate) fn is_free(&self, from: Point, to: Point, heading: Heading) -> bool {
        let long = from.distance(to).to_mm();
        let steps = (long / STEP).ceil().max(1.0);
        let mut places = (0..=steps as usize).map(|it| from.toward(to, it as f64 / steps));
        places.all(|it| !self.is_barred(it) && self.clears(it, heading))
    }

    /// Whether a place is too near to a part.
    pub(crate) fn is_barred(&self, at: Point) -> bool {
        self.fences.iter().any(|it| it.bars(at))
    }
}

/// Which end of a cut a lead is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum End {
    /// From the wood's edge to the line.
    In,
    /// From the line out of the wood.
    Out,
}

/// On which side of the blade the part lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum PartOn {
    /// Away from the column.
    Left,
    /// Toward the column.
    Right,
}

/// The best lead from a place on a part's line, in the order of sawing with
/// that place left out; none if there is none. `corner` is how far the part's
/// line turns away at a corner that the blade cannot follow, radians: the lead
/// then bends along with it as far as the blade does, so that little is left.
pub(crate) fn lead(
    ground: &Ground,
    at: Point,
    heading: Heading,
    (end, part): (End, PartOn),
    corner: f64,
) -> Option<Lead> {
    let wanted = corner / 2.0;
    let along = [wanted, wanted * 0.75, wanted * 0.5, wanted * 0.25].into_iter().filter(|it| *it > 0.01);
    let away = AWAY.into_iter().map(|it| -it.to_radians());
    let around = AROUND.into_iter().map(f64::to_radians);
    let tried = |turn: f64| try_one(ground, at, heading, (end, part), turn, wanted);
    let best = along.chain(away).filter_map(tried).min_by(|a, b| a.cost.total_cmp(&b.cost));
    best.or_else(|| around.filter_map(tried).min_by(|a, b| a.cost.total_cmp(&b.cost)))
}

/// A way in or out.
#[derive(Clone, Debug)]
pub(crate) struct Lead {
    /// In the order of sawing.
    pub(crate) points: Vec<Point>,
    /// Its length with what its bend is worth, millimetres.
    pub(crate) cost: f64,
}

/// One lead: an arc that turns toward the part (above zero) or away from it,
/// then straight on. It is laid from the line outward, a way in backwards.
fn try_one(
    ground: &Ground,
    at: Point,
    heading: Heading,
    (end, part): (End, PartOn),
    turn: f64,
    wanted: f64,
) -> Option<Lead> {
    let outward = if end == End::Out { heading } else { heading.back() };
    // Seen outward, a part on the left lies on the left of a way out and on the right of a way in.
    let side = if (end == End::Out) == (part == PartOn::Left) { 1.0 } else { -1.0 };
    let radius = ground.blade.planned_radius() * WIDER;
    let steps = (turn.abs() * radius / STEP).ceil();
    let mut points = Vec::new();
    let (mut place, mut direction) = (at, outward);
    let fits = |place: Point, direction: Heading| {
        let sawn = if end == End::Out { direction } else { direction.back() };
        !ground.is_barred(place) && ground.clears(place, sawn)
    };
    for _ in 0..steps as usize {
        let part = turn / steps * side;
        let middle = direction.turned(part / 2.0);
        place = middle.from(place, 2.0 * radius * (part.abs() / 2.0).sin());
        direction = direction.turned(part);
        if !fits(place, direction) {
            return None;
        }
        points.push(place);
    }
    let straight = ground.wood.way_out(place, direction, ground.room()) + BEYOND;
    let long = straight + turn.abs() * radius;
    for step in 1..=(straight / STEP).ceil() as usize {
        let place = direction.from(place, (step as f64 * STEP).min(straight));
        if !fits(place, direction) {
            return None;
        }
    }
    points.push(direction.from(place, straight));
    if end == End::In {
        points.reverse();
    }
    Some(Lead { points, cost: long + (turn - wanted).abs() * WORTH_OF_TURN })
}
