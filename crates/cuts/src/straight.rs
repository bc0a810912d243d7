//! Straight cuts that part the parts from one another and take waste away.

use std::f64::consts::FRAC_PI_2;

use outline::Point;
use stock::{BladeId, PartKey, SawCut, SawCutKind, SawLeg};

use crate::fence::Fence;
use crate::heading::Heading;
use crate::lead::{BEYOND, FROM_COLUMN, Ground};

/// Directions of parting cuts are looked at in steps of so many degrees.
const STEP: usize = 5;

/// Between the kerf of a parting cut and the ways around the parts, at the
/// least, millimetres.
const LEAST_GAP: f64 = 1.0;

/// A trim is laid so far off the part's own box, the first that serves,
/// millimetres: a hand's breadth of waste is good to hold by.
pub(crate) const TRIM_OFF: [f64; 3] = [40.0, 15.0, 3.0];

/// Around several parts it is laid as close as it goes: they are held by one another.
pub(crate) const TRIM_CLOSE: [f64; 1] = [3.0];

/// Less waste than this is not worth a trim, millimetres.
const LEAST_TRIM: f64 = 3.0;

/// A straight cut through all of the wood.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Straight {
    pub(crate) from: Point,
    pub(crate) to: Point,
}

impl Straight {
    pub(crate) fn cut(self, kind: SawCutKind, parts: Vec<PartKey>, blade: BladeId) -> SawCut {
        SawCut { kind, parts, blade, legs: vec![SawLeg::Sawn { way: vec![self.from, self.to] }] }
    }

    fn length(self) -> f64 {
        self.from.distance(self.to).to_mm()
    }
}

/// Through all of the wood, in the direction that clears the column; none if
/// neither does or a part is in the way.
fn through(ground: &Ground, at: Point, heading: Heading) -> Option<Straight> {
    let (first, last) = ground.wood.across(at, heading)?;
    let (from, to) = (heading.from(first, -BEYOND), heading.from(last, BEYOND));
    let ways = [(from, to, heading), (to, from, heading.back())];
    let free = |it: &&(Point, Point, Heading)| ground.is_free(it.0, it.1, it.2);
    ways.iter().filter(free).map(|it| Straight { from: it.0, to: it.1 }).next()
}

/// The shortest cut that parts the wood between some of the parts in it, each a
/// fence; none if there is none.
pub(crate) fn parting(ground: &Ground, within: &[&Fence]) -> Option<Straight> {
    let every = (0..180).step_by(STEP).flat_map(|degrees| {
        let heading = Heading::EAST.turned((degrees as f64).to_radians());
        gaps(within, heading).into_iter().filter_map(move |at| through(ground, at, heading))
    });
    every.min_by(|a, b| a.length().total_cmp(&b.length()))
}

/// The middles of the gaps between parts, seen along a direction.
fn gaps(within: &[&Fence], heading: Heading) -> Vec<Point> {
    let (origin, left) = (Point::default(), heading.left());
    let mut spans: Vec<(f64, f64)> =
        within.iter().map(|it| left.span(origin, it.ring.corners().iter().copied())).collect();
    spans.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut found = Vec::new();
    let mut high = f64::NEG_INFINITY;
    for (from, to) in spans {
        if high.is_finite() && from - high > LEAST_GAP {
            found.push(left.from(origin, f64::midpoint(from, high)));
        }
        high = high.max(to);
    }
    found
}

/// A side of a part's own box: waste lies on the right of its heading.
pub(crate) struct Side {
    heading: Heading,
    /// A point on it.
    at: Point,
}

/// The four sides of the smallest box around some corners, of which there is one.
pub(crate) fn sides(corners: &[Point]) -> [Side; 4] {
    let first = box_heading(corners);
    [0.0, 1.0, 2.0, 3.0].map(|quarter| {
        let heading = first.turned(quarter * FRAC_PI_2);
        let right = heading.right();
        let (_, far) = right.span(corners[0], corners.iter().copied());
        Side { heading, at: right.from(corners[0], far) }
    })
}

impl Side {
    /// The next trim on this side, on the way to a last one so far off the box;
    /// inside, none if that is done; outside, none if it cannot be sawn. Where
    /// the waste is deeper than the throat it goes in slices, from its end.
    pub(crate) fn trim(&self, ground: &Ground, off: f64) -> Option<Option<Straight>> {
        let last = self.heading.right().from(self.at, off);
        let deep = ground.wood.reach(last, self.heading);
        if deep < LEAST_TRIM {
            return Some(None);
        }
        let slices = (deep / (ground.throat - FROM_COLUMN)).ceil().max(1.0);
        let place = self.heading.right().from(last, deep * (1.0 - 1.0 / slices));
        through(ground, place, self.heading).map(Some)
    }
}

/// Trims on some sides of a box.
pub(crate) struct Trims<'a> {
    pub(crate) sides: Vec<&'a Side>,
    /// How far off it, millimetres.
    pub(crate) off: f64,
}

impl Trims<'_> {
    /// One side, two that face one another, or all: for others there is no need
    /// where the wood is long in one direction.
    pub(crate) fn is_even(&self) -> bool {
        match self.sides[..] {
            [one, other] => one.heading.turn_to(other.heading).abs() > FRAC_PI_2 * 1.5,
            [] | [_, _, _] => false,
            [_, ..] => true,
        }
    }
}

/// The ways to trim around a box, those with the fewest trims first.
pub(crate) fn trims<'a>(sides: &'a [Side], offs: &'a [f64]) -> impl Iterator<Item = Trims<'a>> {
    let mut subsets: Vec<u32> = (1..1 << sides.len()).collect();
    subsets.sort_by_key(|it| it.count_ones());
    subsets.into_iter().flat_map(move |subset| {
        offs.iter().map(move |off| {
            let chosen = sides.iter().enumerate().filter(|(side, _)| subset >> side & 1 == 1);
            Trims { sides: chosen.map(|it| it.1).collect(), off: *off }
        })
    })
}

/// The direction of the smallest box around corners (one of their hull's edges:
/// Freeman and Shapira 1975).
fn box_heading(corners: &[Point]) -> Heading {
    let hull = outline::hull(corners.to_vec());
    let edges = hull.iter().zip(hull.iter().cycle().skip(1));
    let headings = edges.filter_map(|(a, b)| Heading::toward(*a, *b));
    let area = |heading: &Heading| {
        let span = |along: Heading| {
            let (low, high) = along.span(hull[0], hull.iter().copied());
            high - low
        };
        span(*heading) * span(heading.left())
    };
    headings.min_by(|a, b| area(a).total_cmp(&area(b))).unwrap_or(Heading::EAST)
}
