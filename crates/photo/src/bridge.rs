//! The edge goes on under what hides it.

use measure::Length;
use outline::{Outline, Point, Ring};

/// The edge is walked in steps of about this, in millimetres.
const STEP: f64 = 1.0;

/// So many steps of the edge in sight tell how it goes on.
const LOOK_BACK: usize = 60;

/// Fewer steps than this show no direction.
const LEAST_LOOK: usize = 10;

/// A live edge strays from the straight by so many millimetres, and by this share of its length.
const WAVY: (f64, f64) = (3.0, 0.15);

/// An edge that goes into hiding this near to the rim of what hides it, in
/// millimetres, does so at a corner of the wood.
const AT_RIM: f64 = 20.0;

/// Two ends that point at each other within this cosine (20°) are joined straight.
const STRAIGHT: f64 = 0.94;

/// Drawn on without an end, an edge goes no farther than this.
const FARTHEST: f64 = 400.0;

/// An outline with its hidden parts drawn on from what shows, how much of it is
/// hidden, and whether an end of the wood is hidden wholly.
pub(crate) struct Bridged {
    pub(crate) outline: Outline,
    pub(crate) hidden: Length,
    pub(crate) end_lost: bool,
}

/// Draws the edge straight on where `hides` says that it cannot be seen: two
/// parts that would meet under there meet in a corner.
pub(crate) fn bridged(outline: Outline, tolerance: Length, hides: impl Fn(Point) -> bool) -> Bridged {
    let points = walked(outline.outer());
    let hidden: Vec<bool> = points.iter().map(|it| hides(*it)).collect();
    let Some(first) = (0..points.len()).find(|&at| !hidden[at] && hidden[(at + 1) % points.len()]) else {
        return Bridged { outline, hidden: Length::ZERO, end_lost: false };
    };
    let mut walk = Walk { points: &points, hidden: &hidden, first, lost: 0.0, end_lost: false };
    let line = walk.drawn_on(|before, after| way_between(before, after, &hides));
    // Ways that cross each other are no edge: then every gap is closed straight.
    let ring = Ring::new(line).or_else(|_| Ring::new(walk.drawn_on(|_, _| (Vec::new(), false))));
    let outline = ring.map_or(outline, |it| Outline::from(it).simplified(tolerance));
    Bridged { outline, hidden: Length::mm(walk.lost), end_lost: walk.end_lost }
}

/// An edge that is walked from a place in sight.
struct Walk<'a> {
    points: &'a [Point],
    hidden: &'a [bool],
    first: usize,
    /// How much of it was drawn on, in millimetres, and whether an end was a guess.
    lost: f64,
    end_lost: bool,
}

impl Walk<'_> {
    /// What shows, and the way between where it does not.
    fn drawn_on(&mut self, between: impl Fn(&End, &End) -> (Vec<Point>, bool)) -> Vec<Point> {
        let count = self.points.len();
        let turned = |at: usize| (self.first + at) % count;
        let (mut line, mut lost, mut end_lost) = (Vec::new(), 0.0, false);
        let mut at = 0;
        while at < count {
            line.push(self.points[turned(at)]);
            let run = (at + 1..count).take_while(|&it| self.hidden[turned(it)]).count();
            if run > 0 {
                let before = End::at(self.points, self.hidden, turned(at), false);
                let after = End::at(self.points, self.hidden, turned(at + run + 1), true);
                let (way, no_end) = between(&before, &after);
                lost += length(&before, &way, &after);
                end_lost |= no_end;
                line.extend(way);
            }
            at += run + 1;
        }
        (self.lost, self.end_lost) = (lost, end_lost);
        line
    }
}

/// The corners along the way from one end to the other, and whether what lies
/// between them is a guess.
fn way_between(before: &End, after: &End, hides: &impl Fn(Point) -> bool) -> (Vec<Point>, bool) {
    let facing = -(before.ahead.0 * after.ahead.0 + before.ahead.1 * after.ahead.1);
    if facing > STRAIGHT {
        return (Vec::new(), false);
    }
    if let Some(corner) = before.meets(after).filter(|it| near_hiding(*it, hides)) {
        return (vec![corner], false);
    }
    let (out, out_after) = (before.out_of_hiding(hides), after.out_of_hiding(hides));
    let at_rim = |end: &End, out: &Point| end.at.distance(*out).to_mm() < AT_RIM;
    let abreast = [(before, after, at_rim(after, &out_after)), (after, before, at_rim(before, &out))];
    let mut abreast = abreast.into_iter().filter(|it| it.2).filter_map(|(end, to, _)| end.abreast_of(to.at));
    if let Some(corner) = abreast.find(|it| near_hiding(*it, hides)) {
        return (vec![corner], false);
    }
    if facing < 0.0 { (vec![out, out_after], true) } else { (Vec::new(), false) }
}

/// Whether a place is hidden, or nearly so.
fn near_hiding(place: Point, hides: &impl Fn(Point) -> bool) -> bool {
    let beside = [(0.0, 0.0), (AT_RIM, 0.0), (-AT_RIM, 0.0), (0.0, AT_RIM), (0.0, -AT_RIM)];
    beside.iter().any(|(x, y)| hides(Point::new(place.x + x, place.y + y)))
}

fn length(before: &End, way: &[Point], after: &End) -> f64 {
    let stops: Vec<Point> = [before.at].into_iter().chain(way.iter().copied()).chain([after.at]).collect();
    stops.windows(2).map(|pair| pair[0].distance(pair[1]).to_mm()).sum()
}

/// Where an edge goes into hiding, and which way.
struct End {
    at: Point,
    ahead: (f64, f64),
}

impl End {
    /// The end at a point in sight; the edge in sight lies before or after it.
    fn at(points: &[Point], hidden: &[bool], index: usize, sight_after: bool) -> End {
        let count = points.len();
        let step =
            |by: usize| if sight_after { (index + by) % count } else { (index + count - by % count) % count };
        let seen = (0..LOOK_BACK.min(count)).take_while(|&by| !hidden[step(by)]).count().max(1);
        let mean = |from: usize, to: usize| {
            let part = (from..to.max(from + 1)).map(|by| points[step(by)]);
            let (x, y) = part.fold((0.0, 0.0), |sum, it| (sum.0 + it.x, sum.1 + it.y));
            let share = 1.0 / (to.max(from + 1) - from) as f64;
            Point::new(x * share, y * share)
        };
        let mut straight = seen.min(LEAST_LOOK);
        while straight < seen
            && is_straight(mean(0, straight / 2), mean(straight / 2, straight), points[step(straight)])
        {
            straight += 1;
        }
        let (near, far) = (mean(0, straight / 2), mean(straight / 2, straight));
        let way = near.distance(far).to_mm().max(f64::MIN_POSITIVE);
        End { at: points[index], ahead: ((near.x - far.x) / way, (near.y - far.y) / way) }
    }

    fn ahead_by(&self, way: f64) -> Point {
        Point::new(self.at.x + self.ahead.0 * way, self.at.y + self.ahead.1 * way)
    }

    /// Where it goes on to, abreast of a place.
    fn abreast_of(&self, place: Point) -> Option<Point> {
        let way = (place.x - self.at.x) * self.ahead.0 + (place.y - self.at.y) * self.ahead.1;
        (way > 0.0).then(|| self.ahead_by(way))
    }

    /// Where both go on to meet.
    fn meets(&self, other: &End) -> Option<Point> {
        let cross = self.ahead.0 * other.ahead.1 - self.ahead.1 * other.ahead.0;
        let (dx, dy) = (other.at.x - self.at.x, other.at.y - self.at.y);
        let own = (dx * other.ahead.1 - dy * other.ahead.0) / cross;
        let others = (dx * self.ahead.1 - dy * self.ahead.0) / cross;
        let reachable = 0.0..FARTHEST;
        (reachable.contains(&own) && reachable.contains(&others)).then(|| self.ahead_by(own))
    }

    /// Straight on until nothing hides it.
    fn out_of_hiding(&self, hides: &impl Fn(Point) -> bool) -> Point {
        let steps = (1..(FARTHEST / STEP) as usize).take_while(|it| hides(self.ahead_by(*it as f64 * STEP)));
        self.ahead_by(steps.count() as f64 * STEP)
    }
}

/// Whether a place lies on the line through two others, as straight as an edge is.
fn is_straight(near: Point, far: Point, place: Point) -> bool {
    let (dx, dy) = (far.x - near.x, far.y - near.y);
    let way = dx.hypot(dy).max(f64::MIN_POSITIVE);
    let (px, py) = (place.x - near.x, place.y - near.y);
    let (along, off) = ((px * dx + py * dy) / way, (px * dy - py * dx).abs() / way);
    off < WAVY.0 + WAVY.1 * along.max(0.0)
}

/// Points along a ring at steps of about [`STEP`].
fn walked(ring: &Ring) -> Vec<Point> {
    let edges = ring.edges().flat_map(|edge| {
        let count = (edge.length().to_mm() / STEP).ceil().max(1.0) as usize;
        (0..count).map(move |it| edge.from.toward(edge.to, it as f64 / count as f64))
    });
    edges.collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ring(corners: &[(f64, f64)]) -> Outline {
        Outline::from(Ring::new(corners.iter().map(|&(x, y)| Point::new(x, y)).collect()).unwrap())
    }

    /// What hides is taken 2 mm larger than it is, as where a sheet lies is known.
    fn check(seen: &[(f64, f64)], hides: fn(Point) -> bool, truth: &[(f64, f64)]) -> Bridged {
        let found = bridged(ring(seen), Length::mm(0.1), hides);
        let truth = ring(truth);
        let off = found.outline.area_outside(&truth).to_mm2() + truth.area_outside(&found.outline).to_mm2();
        assert!(off < 160.0, "{off} mm² off: {:?}", found.outline);
        found
    }

    const BOARD: [(f64, f64); 4] = [(0.0, 0.0), (400.0, 0.0), (400.0, 150.0), (0.0, 150.0)];

    #[test]
    fn a_corner_under_a_sheet_is_drawn_from_its_two_sides() {
        let sheet = |at: Point| at.x > 338.0 && at.x < 432.0 && at.y > 78.0 && at.y < 192.0;
        let seen = [
            (0.0, 0.0),
            (400.0, 0.0),
            (400.0, 80.0),
            (430.0, 80.0),
            (430.0, 190.0),
            (340.0, 190.0),
            (340.0, 150.0),
            (0.0, 150.0),
        ];
        let found = check(&seen, sheet, &BOARD);
        assert!((found.hidden.to_mm() - 134.0).abs() < 4.0 && !found.end_lost, "{:?}", found.hidden);
    }

    #[test]
    fn a_sheet_over_one_edge_is_crossed_straight() {
        let sheet = |at: Point| at.x > 98.0 && at.x < 202.0 && at.y > 98.0 && at.y < 222.0;
        let seen = [
            (0.0, 0.0),
            (400.0, 0.0),
            (400.0, 150.0),
            (200.0, 150.0),
            (200.0, 220.0),
            (100.0, 220.0),
            (100.0, 150.0),
            (0.0, 150.0),
        ];
        assert!(!check(&seen, sheet, &BOARD).end_lost);
    }

    #[test]
    fn an_end_wholly_under_a_sheet_is_told() {
        let sheet = |at: Point| at.x > 298.0 && at.x < 402.0;
        let seen = [
            (0.0, 0.0),
            (300.0, 0.0),
            (300.0, -30.0),
            (400.0, -30.0),
            (400.0, 180.0),
            (300.0, 180.0),
            (300.0, 150.0),
            (0.0, 150.0),
        ];
        assert!(check(&seen, sheet, &BOARD).end_lost);
    }

    #[test]
    fn an_edge_in_plain_sight_stays() {
        let found = check(&BOARD, |_| false, &BOARD);
        assert!(found.hidden == Length::ZERO && !found.end_lost);
    }
}
