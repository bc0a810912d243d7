//! Whether shapes keep their distance, worked out on their true edges.

use outline::{Outline, Place, Point, Segment};

use crate::goods::{Goods, Kind};
use crate::ground::Ground;

/// The search keeps this much more than the gap that is asked for, so that no
/// rounding makes a layout that the judge refuses.
const SURE: f64 = 0.005;

/// A shape as it lies on a face, with its true edges.
pub(crate) struct Laid {
    pub(crate) outline: Outline,
    edges: Vec<Segment>,
}

impl Laid {
    pub(crate) fn new(outline: &Outline, place: Place) -> Laid {
        let outline = place.outline(outline);
        let edges = outline.rings().flat_map(outline::Ring::edges).collect();
        Laid { outline, edges }
    }

    /// Whether it lies on clear wood, `edge` away from every edge and fault.
    pub(crate) fn is_on(&self, ground: &Ground, goods: &Goods) -> bool {
        let inside = |at: Point| ground.field.at(at) > 0.0;
        let spot = self.outline.outer().corners()[0];
        let surrounds = |spot: &Point| self.outline.contains(*spot);
        inside(spot)
            && !ground.islands.iter().any(|island| island.spots.first().is_some_and(surrounds))
            && !closer_than(&self.edges, &ground.lines, goods.edge + SURE)
    }

    /// Whether it keeps clear of the faults of the far face as well.
    pub(crate) fn is_clear_below(&self, ground: &Ground, goods: &Goods) -> bool {
        ground.below.iter().all(|island| {
            let line: Vec<Segment> = island.area.edges().collect();
            !island.area.contains(self.outline.outer().corners()[0])
                && !island.spots.first().is_some_and(|it| self.outline.contains(*it))
                && !closer_than(&self.edges, &line, goods.edge + SURE)
        })
    }

    /// Whether the way to another shape is clear.
    pub(crate) fn is_clear_of(&self, other: &Laid, gap: f64) -> bool {
        let spot = |laid: &Laid| laid.outline.outer().corners()[0];
        !closer_than(&self.edges, &other.edges, gap + SURE)
            && !self.outline.contains(spot(other))
            && !other.outline.contains(spot(self))
    }
}

/// Whether every stem of a kind keeps within its angle of the grain, taken
/// from the true grain field.
pub(crate) fn stems_run_with_grain(kind: &Kind, ground: &Ground, place: Place) -> bool {
    /// Spots along a stem.
    const SPOTS: usize = 24;
    /// Kept back from the limit, in degrees, for the spots between.
    const HELD: f64 = 0.1;
    kind.shape.stems.iter().all(|&(axis, within)| {
        let lies = place.segment(axis);
        let direction = lies.direction();
        (0..=SPOTS).all(|step| {
            let spot = lies.from.toward(lies.to, step as f64 / SPOTS as f64);
            let off = ground.face.grain.at(spot).between_lines(direction);
            off.to_degrees() <= (within.to_degrees() - HELD).max(within.to_degrees() * 0.5)
        })
    })
}

/// Whether any two of the lines come closer than the limit, or cross. The lines
/// are met from left to right, and only those near the other set at all.
fn closer_than(one: &[Segment], other: &[Segment], limit: f64) -> bool {
    let (Some(around_one), Some(around_other)) = (Bound::around(one), Bound::around(other)) else {
        return false;
    };
    let mut left: Vec<(Bound, Segment)> = around_other.near(one, limit);
    let mut right: Vec<(Bound, Segment)> = around_one.near(other, limit);
    let by_left_end = |a: &(Bound, Segment), b: &(Bound, Segment)| a.0.low_x.total_cmp(&b.0.low_x);
    left.sort_by(by_left_end);
    right.sort_by(by_left_end);
    let mut first = 0;
    let widest = right.iter().map(|(around, _)| around.high_x - around.low_x).fold(0.0, f64::max);
    left.iter().any(|(around, edge)| {
        while right.get(first).is_some_and(|(it, _)| it.low_x + widest < around.low_x - limit) {
            first += 1;
        }
        let reach = right[first..].iter().take_while(|(it, _)| it.low_x <= around.high_x + limit);
        reach.into_iter().any(|(it, line)| it.is_near(around, limit) && between(*edge, *line) < limit)
    })
}

#[derive(Clone, Copy)]
struct Bound {
    low_x: f64,
    low_y: f64,
    high_x: f64,
    high_y: f64,
}

impl Bound {
    fn of(edge: &Segment) -> Bound {
        let Segment { from, to } = *edge;
        Bound {
            low_x: from.x.min(to.x),
            low_y: from.y.min(to.y),
            high_x: from.x.max(to.x),
            high_y: from.y.max(to.y),
        }
    }

    fn around(edges: &[Segment]) -> Option<Bound> {
        edges.iter().map(Bound::of).reduce(|one, other| Bound {
            low_x: one.low_x.min(other.low_x),
            low_y: one.low_y.min(other.low_y),
            high_x: one.high_x.max(other.high_x),
            high_y: one.high_y.max(other.high_y),
        })
    }

    fn is_near(&self, other: &Bound, limit: f64) -> bool {
        self.low_x <= other.high_x + limit
            && other.low_x <= self.high_x + limit
            && self.low_y <= other.high_y + limit
            && other.low_y <= self.high_y + limit
    }

    fn near(&self, edges: &[Segment], limit: f64) -> Vec<(Bound, Segment)> {
        let boxed = edges.iter().map(|edge| (Bound::of(edge), *edge));
        boxed.filter(|(around, _)| around.is_near(self, limit)).collect()
    }
}

fn between(one: Segment, other: Segment) -> f64 {
    if cross(one, other) {
        return 0.0;
    }
    let ends =
        [one.distance(other.from), one.distance(other.to), other.distance(one.from), other.distance(one.to)];
    ends.iter().map(|it| it.to_mm()).fold(f64::INFINITY, f64::min)
}

fn cross(one: Segment, other: Segment) -> bool {
    let side = |line: Segment, spot: Point| {
        let (dx, dy) = (line.to.x - line.from.x, line.to.y - line.from.y);
        dx * (spot.y - line.from.y) - dy * (spot.x - line.from.x)
    };
    side(one, other.from) * side(one, other.to) < 0.0 && side(other, one.from) * side(other, one.to) < 0.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use measure::{Angle, Length};
    use outline::Ring;

    fn square(x: f64, y: f64, side: f64) -> Laid {
        let ring = Ring::rectangle(Length::mm(side), Length::mm(side)).unwrap();
        let place = Place { at: Point::new(x, y), turn: Angle::ZERO, mirrored: false };
        Laid::new(&Outline::from(ring), place)
    }

    #[test]
    fn squares_side_by_side_keep_their_gap_or_do_not() {
        let first = square(0.0, 0.0, 100.0);
        assert!(first.is_clear_of(&square(103.1, 0.0, 100.0), 3.0));
        assert!(!first.is_clear_of(&square(102.9, 0.0, 100.0), 3.0));
        assert!(!first.is_clear_of(&square(102.0, 102.0, 50.0), 3.0), "2.83 mm from corner to corner");
        assert!(first.is_clear_of(&square(102.2, 102.2, 50.0), 3.0), "3.11 mm from corner to corner");
        assert!(!first.is_clear_of(&square(40.0, 40.0, 10.0), 3.0), "one inside the other");
        assert!(!square(40.0, 40.0, 10.0).is_clear_of(&first, 3.0), "the other inside the one");
        assert!(!first.is_clear_of(&square(60.0, -50.0, 200.0), 3.0), "they cross");
    }
}
