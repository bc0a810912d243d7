//! The way of the teeth around a part, and where a blade cannot follow it.

use outline::{Point, Ring, blurred_by};

use crate::BladeSize;
use crate::heading::Heading;

/// The way is read in steps of at most this, millimetres.
const LONGEST_STEP: f64 = 1.0;

/// A blade's width is read in no fewer steps than this.
const STEPS_IN_BLADE: f64 = 8.0;

/// A way is read in no more steps than this, however long it is.
const MOST_STEPS: f64 = 6000.0;

/// Ways are smoothed over this, millimetres: a hand is no steadier, and a fifth
/// of the spare stock at the sharpest corner.
const SMOOTHING: f64 = 1.0;

/// A blade is led with so much of the room that its least radius leaves it: the
/// rest is for the bend from the line into a lead.
const SHARE: f64 = 0.95;

/// So much sooner the blade leaves a line at an outside corner, millimetres.
const SOONER: f64 = 0.8;

/// A closed way, counter-clockwise: the part lies on its left.
#[derive(Clone, Debug)]
pub(crate) struct Way {
    // Invariant: evenly spaced, as many headings as points, at least 8.
    points: Vec<Point>,
    headings: Vec<Heading>,
    step: f64,
}

/// A stretch that a blade cannot follow: places on the way by their number.
/// They may run on past the end of the way, which is closed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Tight {
    /// The last place that the teeth reach before it.
    pub(crate) leave: usize,
    /// The first place behind it from which the blade follows again. Before
    /// `leave` at a sharp corner, which both cuts reach.
    pub(crate) enter: usize,
    /// Whether the way turns right there: toward the waste.
    pub(crate) inside: bool,
    /// How far the way turns within it, radians.
    pub(crate) turn: f64,
}

impl Way {
    /// Along a ring, in steps that suit a blade's width.
    pub(crate) fn along(ring: &Ring, blade: &BladeSize) -> Way {
        let around = ring.perimeter().to_mm();
        let step = LONGEST_STEP.min(blade.width.to_mm() / STEPS_IN_BLADE).max(around / MOST_STEPS);
        let count = (around / step).ceil().max(8.0) as usize;
        // A traced line's roughness is no bend.
        let points = blurred_by(&ring.evenly(count), SMOOTHING * count as f64 / around);
        // Rounding may leave the last place out.
        let count = points.len();
        let ahead = |index: usize| points[(index + 1) % count];
        let behind = |index: usize| points[(index + count - 1) % count];
        let headings =
            (0..count).map(|it| Heading::toward(behind(it), ahead(it)).unwrap_or(Heading::EAST)).collect();
        Way { headings, step: around / count as f64, points }
    }

    /// How many places it has.
    pub(crate) fn count(&self) -> usize {
        self.points.len()
    }

    /// From one place to the next, millimetres.
    pub(crate) fn step(&self) -> f64 {
        self.step
    }

    /// A place, counted on past the end.
    pub(crate) fn at(&self, index: usize) -> Point {
        self.points[index % self.count()]
    }

    /// Where the teeth point there.
    pub(crate) fn heading(&self, index: usize) -> Heading {
        self.headings[index % self.count()]
    }

    /// How many steps a length takes, at least one.
    pub(crate) fn steps(&self, length: f64) -> usize {
        ((length / self.step).round() as usize).max(1)
    }

    /// How far the way turns between two places, radians, left above zero.
    pub(crate) fn turn(&self, from: usize, to: usize) -> f64 {
        (from..to).map(|it| self.heading(it).turn_to(self.heading(it + 1))).sum()
    }

    /// The stretches that a blade cannot follow, in order along the way; none if
    /// it can follow nothing of it.
    ///
    /// A blade of width w that just turns a circle of radius R stands in it as a
    /// chord, which the circle leaves by w² / (8 R). Where the way leaves a
    /// chord as long as the blade by more, the blade is caught (derived; the
    /// judge sees it by moving a blade along).
    pub(crate) fn tight(&self, blade: &BladeSize) -> Option<Vec<Tight>> {
        let width = blade.width.to_mm();
        let long = self.steps(width).min(self.count() / 2);
        let limit = width * width / (8.0 * blade.planned_radius()) * SHARE;
        let count = self.count();
        let caught: Vec<Option<bool>> = (0..count)
            .map(|tail| (self.rise(tail, long) > limit).then(|| self.turns_right(tail, tail + long)))
            .collect();
        let begin = (0..count).find(|it| caught[*it].is_none())?;
        let mut found: Vec<Tight> = Vec::new();
        let mut index = begin;
        while index < begin + count {
            let Some(inside) = caught[index % count] else {
                index += 1;
                continue;
            };
            let first = index;
            while caught[index % count] == Some(inside) {
                index += 1;
            }
            // Windows by their tail: the teeth stand a blade's width before it.
            let (leave, enter) = (first + long - 1, index);
            found.push(Tight { leave, enter, inside, turn: 0.0 });
        }
        // The line is left a little sooner than the blade is caught: it bends into a lead.
        let sooner = self.steps(SOONER);
        for it in found.iter_mut().filter(|it| !it.inside) {
            (it.leave, it.enter) = (it.leave.saturating_sub(sooner), it.enter + sooner);
        }
        let mut joined = self.joined(found);
        for it in &mut joined {
            it.turn = self.turn((it.leave + 1).saturating_sub(long), it.enter + long);
        }
        Some(joined)
    }

    /// Tight stretches of one kind between which nothing is left to follow are one.
    fn joined(&self, found: Vec<Tight>) -> Vec<Tight> {
        let mut joined: Vec<Tight> = Vec::new();
        for it in found {
            match joined.last_mut() {
                Some(last) if last.inside == it.inside && it.leave <= last.enter + 2 => last.enter = it.enter,
                Some(_) | None => joined.push(it),
            }
        }
        if let [first, .., last] = joined[..]
            && first.inside == last.inside
            && first.leave + self.count() <= last.enter + 2
        {
            // In order by where they are left: the one over the end of the way is the last.
            joined.remove(0);
            if let Some(over_the_end) = joined.last_mut() {
                over_the_end.enter = first.enter + self.count();
            }
        }
        joined
    }

    /// By how much the way between two places leaves a straight line, both sides
    /// together, millimetres.
    fn rise(&self, from: usize, long: usize) -> f64 {
        let (tail, teeth) = (self.at(from), self.at(from + long));
        let Some(chord) = Heading::toward(tail, teeth) else { return f64::INFINITY };
        let left = chord.left();
        let (low, high) = left.span(tail, (from..from + long).map(|it| self.at(it)));
        high - low
    }

    fn turns_right(&self, from: usize, to: usize) -> bool {
        self.turn(from, to) < 0.0
    }
}

#[cfg(test)]
mod tests {
    use measure::Length;
    use stock::BladeId;

    use super::*;

    #[test]
    fn wherever_a_line_begins_its_corners_are_in_order_with_a_side_between() {
        let blade = BladeSize {
            id: BladeId(1),
            width: Length::inches(0.375),
            band: Length::mm(0.6),
            kerf: Length::mm(1.1),
            least_radius: Length::inches(1.4375),
            teeth_suit: true,
        };
        let triangle = |first: usize| {
            let mut corners = [[0.0, 0.0], [200.0, 0.0], [100.0, 160.0]].map(|[x, y]| Point::new(x, y));
            corners.rotate_left(first);
            Way::along(&Ring::new(corners.to_vec()).unwrap(), &blade)
        };
        for way in (0..3).map(triangle) {
            let tight = way.tight(&blade).unwrap();
            assert_eq!(tight.len(), 3, "{tight:?}");
            // Between two corners there is a side to follow, all round.
            let next = tight.iter().skip(1).map(|it| it.leave).chain([tight[0].leave + way.count()]);
            for (it, next) in tight.iter().zip(next) {
                assert!(
                    it.enter < next && next - it.enter > way.steps(120.0),
                    "{tight:?} of {}",
                    way.count()
                );
            }
        }
    }
}
