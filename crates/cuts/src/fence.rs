//! Where the middle of a kerf must not come: around each part.

use std::rc::Rc;

use measure::Length;
use outline::{Outline, Point, Ring, Segment};

/// How exactly a fence is drawn.
const EXACT: Length = Length::mm(0.05);

/// A cut may come so much nearer to a part than its spare stock, millimetres:
/// where it leaves the line or comes to it.
const LEEWAY: f64 = 0.1;

/// A fence's edges are looked up in rows as high as this, millimetres, or higher:
/// all rows together hold no more edges than so many, however many pass through.
const ROW: f64 = 1.0;
const MOST_ENTRIES: f64 = 500_000.0;

/// The line that the middle of a kerf keeps to or stays outside of.
#[derive(Clone, Debug)]
pub(crate) struct Fence {
    pub(crate) ring: Ring,
    rows: Rc<Rows>,
    off: f64,
}

impl Fence {
    /// Around a part, so many millimetres off; none if nothing is left of it.
    pub(crate) fn around(part: &Outline, off: f64) -> Option<Fence> {
        let filled = Outline::from(part.outer().clone());
        let ring = filled.offset(Length::mm(off), EXACT).first()?.outer().clone();
        Some(Fence { rows: Rc::new(Rows::of(&ring)), ring, off })
    }

    /// How far it runs off the part's line, millimetres.
    pub(crate) fn off(&self) -> f64 {
        self.off
    }

    /// Whether a place is farther inside than a cut may come.
    pub(crate) fn bars(&self, at: Point) -> bool {
        let mut inside = false;
        for edge in self.rows.near(at) {
            if (edge.from.y > at.y) != (edge.to.y > at.y) {
                let share = (at.y - edge.from.y) / (edge.to.y - edge.from.y);
                inside ^= edge.from.toward(edge.to, share).x > at.x;
            }
        }
        inside && !self.rows.near(at).iter().any(|it| it.distance(at).to_mm() <= LEEWAY)
    }
}

/// A ring's edges, sorted into rows from its lowest corner up: ways are held
/// against fences at every step.
#[derive(Debug)]
struct Rows {
    low: f64,
    /// How high each is, millimetres.
    high: f64,
    // Invariant: each holds all edges that come within the leeway of it.
    rows: Vec<Vec<Segment>>,
}

impl Rows {
    fn of(ring: &Ring) -> Rows {
        let bounds = ring.bounds();
        let most = MOST_ENTRIES / ring.corners().len() as f64;
        let high = ROW.max(bounds.height().to_mm() / most);
        let count = (bounds.height().to_mm() / high).ceil() as usize + 1;
        let mut found = Rows { low: bounds.low.y, high, rows: vec![Vec::new(); count] };
        for edge in ring.edges() {
            let (low, high) = (edge.from.y.min(edge.to.y) - LEEWAY, edge.from.y.max(edge.to.y) + LEEWAY);
            let (first, last) = (found.row(low.max(found.low)), found.row(high.min(bounds.high.y)));
            found.rows[first..=last].iter_mut().for_each(|it| it.push(edge));
        }
        found
    }

    fn row(&self, y: f64) -> usize {
        ((y - self.low) / self.high) as usize
    }

    /// Every edge that may cross a place's level, or come within the leeway of it.
    fn near(&self, at: Point) -> &[Segment] {
        let row = if at.y < self.low { None } else { self.rows.get(self.row(at.y)) };
        row.map_or(&[], Vec::as_slice)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A comb of so many teeth, 100 m high.
    fn comb(teeth: u32) -> Outline {
        let tooth = |it: u32| {
            let x = f64::from(it);
            [[x, 0.0], [x, 100_000.0], [x + 0.5, 100_000.0], [x + 0.5, 0.0]]
        };
        let corners = (0..teeth).flat_map(tooth).chain([[f64::from(teeth), -10.0], [0.0, -10.0]]);
        Ring::new(corners.map(|it| Point::new(it[0], it[1])).collect()).unwrap().into()
    }

    #[test]
    fn what_lies_inside_is_barred_but_for_the_leeway() {
        let fence = Fence::around(&Ring::rectangle(Length::mm(40.0), Length::mm(20.0)).unwrap().into(), 2.0);
        let fence = fence.unwrap();
        assert!(fence.bars(Point::new(20.0, 10.0)) && fence.bars(Point::new(20.0, -1.8)));
        for free in [(20.0, -1.95), (20.0, -2.1), (20.0, 30.0), (-50.0, 10.0), (90.0, 10.0)] {
            assert!(!fence.bars(Point::new(free.0, free.1)), "{free:?}");
        }
    }

    #[test]
    fn many_long_edges_take_no_more_room_than_few() {
        let fence = Fence::around(&comb(2_000), 0.1).unwrap();
        let entries: usize = fence.rows.rows.iter().map(Vec::len).sum();
        assert!(entries as f64 <= MOST_ENTRIES * 1.2, "{entries}");
    }
}
